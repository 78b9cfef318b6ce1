"""Trucks as they come: accepted, to be looked at, or sent back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from takeoff.pour.truck_log import Agreed, Answer, Ticket, judge

CHICAGO = ZoneInfo("America/Chicago")
BATCHED = datetime(2026, 12, 3, 8, 0, tzinfo=CHICAGO)
AGREED = Agreed("WALL 3000", 55.0, 75.0, 6.0, 6.0)
GOOD = Ticket(
    "T-1", "wall 3000", 9.0, BATCHED, BATCHED + timedelta(minutes=25), concrete_f=62.0, slump_in=6.0, air_percent=6.0
)


def after(minutes: float) -> datetime:
    return BATCHED + timedelta(minutes=minutes)


@pytest.mark.parametrize(
    ("change", "rule", "said"),
    [
        ({"mix": "SLAB 4000"}, "mix", "ordered is WALL 3000"),
        ({"mix": ""}, "mix", "(none)"),
        ({"concrete_f": 54.9}, "temperature", "Too cold: 54.9 °F"),
        ({"concrete_f": 75.1}, "temperature", "Too warm"),
        ({"slump_in": 7.6}, "slump", "ordered 6 give or take 1.5"),
        ({"air_percent": 4.4}, "air", "Air 4.4 %"),
        ({"slump_in": 3.0}, "slump", "ordered 6"),
    ],
)
def test_a_truck_is_sent_back_for_one_reason(change, rule, said) -> None:
    found = judge(replace(GOOD, **change), AGREED, after(30))
    assert found.answer is Answer.REJECT and [r.rule for r in found.reasons] == [rule]
    assert said in found.words and found.words.startswith("Reject: ")


def test_a_good_truck_and_the_edges_are_accepted() -> None:
    found = judge(GOOD, AGREED, after(30))
    assert found.answer is Answer.ACCEPT and found.minutes_left == pytest.approx(60)
    assert found.words == "Accept; 60 min left to discharge."
    edge = replace(GOOD, concrete_f=55.0, slump_in=7.5, air_percent=7.5)
    assert judge(edge, AGREED, after(30)).answer is Answer.ACCEPT


@pytest.mark.parametrize(
    ("minutes", "agreed_min", "answer"),
    [
        (59, 90, Answer.ACCEPT),
        (60, 90, Answer.LOOK),
        (80, 90, Answer.LOOK),
        (90, 90, Answer.LOOK),
        (90.1, 90, Answer.REJECT),
        (90.1, 120, Answer.LOOK),
        (121, 120, Answer.REJECT),
        (-5, 90, Answer.LOOK),
    ],
)
def test_age_since_batching(minutes, agreed_min, answer) -> None:
    assert judge(GOOD, replace(AGREED, discharge_min=agreed_min), after(minutes)).answer is answer


@pytest.mark.parametrize(
    ("minutes", "said"), [(60, "Look: 30 min left"), (79, "Look: 11 min"), (80, "Only 10 min left")]
)
def test_it_is_told_at_60_and_pressed_at_80_minutes(minutes, said) -> None:
    """The two alarms of a truck's age: common practice, no source."""
    assert said in judge(GOOD, AGREED, after(minutes)).words


def test_a_truck_that_is_empty_is_as_old_as_it_was_then() -> None:
    done = replace(GOOD, ended=after(70))
    found = judge(done, AGREED, after(500))
    assert found.answer is Answer.ACCEPT and found.minutes == pytest.approx(70)


def test_a_temperature_not_measured_is_never_good() -> None:
    found = judge(replace(GOOD, concrete_f=None), AGREED, after(30))
    assert found.answer is Answer.LOOK and "not measured" in found.words


def test_the_worst_reason_is_said_first() -> None:
    found = judge(replace(GOOD, concrete_f=None, mix="other"), AGREED, after(70))
    assert [r.answer for r in found.reasons] == [Answer.REJECT, Answer.LOOK, Answer.LOOK]


def test_minutes_run_on_while_the_clocks_change() -> None:
    batched = datetime(2026, 11, 1, 1, 50, tzinfo=CHICAGO)
    now = (batched.astimezone(UTC) + timedelta(minutes=100)).astimezone(CHICAGO)
    assert judge(replace(GOOD, batched=batched), AGREED, now).minutes == pytest.approx(100)


# -- water and turns ----------------------------------------------------------------------------------
WATERED = replace(GOOD, water_gal=4.0, water_by="T. Brandvik", water_allowed_gal=5.0)


def test_water_within_the_allowance_is_no_reason() -> None:
    assert judge(WATERED, AGREED, after(30)).reasons == ()


@pytest.mark.parametrize(
    ("change", "answer", "rule", "said"),
    [
        ({"water_gal": 8.0}, Answer.REJECT, "water", "8 gal of water added by T. Brandvik, 5 allowed by the ticket."),
        ({"water_allowed_gal": None}, Answer.LOOK, "water", "without it no water may be added"),
        ({"water_by": ""}, Answer.LOOK, "water_by", "who had the water added"),
        ({"water_late": True}, Answer.LOOK, "water_late", "never after"),
        ({"slump_before_water": True}, Answer.LOOK, "slump_again", "slump again after the water"),
        ({"revolutions": 301}, Answer.LOOK, "revolutions", "301 turns of the drum, over 300"),
    ],
)
def test_water_and_turns(change, answer, rule, said) -> None:
    found = judge(replace(WATERED, **change), AGREED, after(30))
    assert (found.answer, [r.rule for r in found.reasons]) == (answer, [rule]) and said in found.words


def test_no_water_says_nothing_of_an_allowance_that_is_not_noted() -> None:
    dry = replace(GOOD, water_allowed_gal=None, water_late=True, slump_before_water=True, revolutions=300)
    assert judge(dry, AGREED, after(30)).reasons == ()


def test_more_than_90_min_holds_only_without_added_water() -> None:
    longer = replace(AGREED, discharge_min=120.0)
    assert judge(GOOD, longer, after(85)).answer is Answer.ACCEPT
    early, late = (judge(WATERED, longer, after(minutes)) for minutes in (30, 95))
    assert [r.rule for r in early.reasons] == ["waiver"] and early.minutes_left == pytest.approx(60)
    assert late.answer is Answer.REJECT and [r.rule for r in late.reasons] == ["age", "waiver"]
