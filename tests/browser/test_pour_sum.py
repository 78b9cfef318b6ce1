"""The sum that a phone does of a pour is the engine's: same plain numbers in, same level, yards and legs out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from playwright.sync_api import Page

from takeoff.pour.filling import LegCurve, Load, Reading
from takeoff.pour.progress import PourState, pour_state

pytestmark = pytest.mark.look

BEGIN = datetime(2026, 11, 3, 14, 0, tzinfo=UTC)
PACE_YD3_H = 30.0
LEGS = (
    LegCurve("A", [(996.0, 0.0), (1000.0, 0.2), (1108.0, 9.0)], 1000.0, 1108.0),
    LegCurve("B", [(1000.0, 0.0), (1040.0, 3.0), (1070.0, 4.0), (1108.0, 8.0)], 1000.0, 1108.0),
    LegCurve("C", [(1048.0, 0.0), (1096.0, 2.5)], 1048.0, 1096.0),
)


def at(minute: float) -> str:
    return (BEGIN + timedelta(minutes=minute)).isoformat()


def case(number: int) -> tuple[dict, float, PourState]:
    """Trucks, levels read and a minute by chance; what the page's script gets, and what the engine says of them. Every
    third has a truck that is not empty yet, every other one a round of all legs."""
    by = Random(number)
    now = float(by.randint(40, 150))
    loads: list[Load] = []
    minute = 0.0
    for _ in range(by.randint(1, 4)):
        loads.append((minute, minute + by.randint(10, 35), by.choice((4.0, 6.5, 9.0))))
        minute = loads[-1][1] + by.randint(0, 20)
    is_placing = number % 3 == 0
    if is_placing:
        loads.append((now - 5.0, now - 5.0 + 9.0 / PACE_YD3_H * 60, 9.0))
    some = [LEGS[by.randrange(3)].leg for _ in range(by.randint(0, 6))] + ["A", "B", "C"] * (number % 2)
    readings = [Reading(leg, float(by.randint(20, 38)), 1000.0 + by.randint(0, 100)) for leg in some]
    tops = {leg.leg: leg.top_in for leg in LEGS}
    data = {
        "legs": [{"leg": leg.leg, "knots": leg.knots, "foot_in": leg.foot_in, "top_in": leg.top_in} for leg in LEGS],
        "levels": [{"leg": r.leg, "down_in": tops[r.leg] - r.level_in, "taken": at(r.minute)} for r in readings],
        "loads": [
            {"decision": "accepted", "yd3": yd3, "started": at(start), "ended": at(end)} for start, end, yd3 in loads
        ],
        "pace_yd3_h": PACE_YD3_H,
        "yd3": 19.5,
    }
    if is_placing:
        data["loads"][-1]["ended"] = None
    state = pour_state(LEGS, loads, now, limit_ft_h=None, readings=readings)
    return data, (BEGIN + timedelta(minutes=now)).timestamp() * 1000, state


def test_the_phone_says_what_the_engine_says(phone: Page) -> None:
    page = "<!doctype html><title>x</title>"
    phone.route("**/made-up", lambda route: route.fulfill(body=page, content_type="text/html"))
    phone.goto("/made-up")
    cases = [case(number) for number in range(60)]
    found = phone.evaluate(
        "async (cases) => { const { pourAt } = await import('/static/pour_sum.js');"
        " return cases.map(([data, now]) => pourAt(data, now)); }",
        [[data, now] for data, now, _ in cases],
    )
    assert sum(state.yield_ratio is not None for _, _, state in cases) >= 10
    for got, (_, _, state) in zip(found, cases, strict=True):
        assert got["legs"] == pytest.approx([leg.level_in for leg in state.legs], abs=1e-6)
        said = (state.placed_yd3, state.level_in, state.remaining_yd3)
        assert [got[name] for name in ("placed", "level", "left")] == pytest.approx(said, abs=1e-6)
