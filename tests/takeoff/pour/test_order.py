"""The order of a pour and its text message."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from takeoff.pour.lifts import LiftPlan, Pour, plan_lifts
from takeoff.pour.mix import Batch, mix_temperatures
from takeoff.pour.order import LINE, as_text, concrete_order
from takeoff.pour.pressure import Placing
from takeoff.problems import Severity
from takeoff.site import ConcreteSpec

AT = datetime(2026, 12, 3, 9, tzinfo=ZoneInfo("America/Chicago"))
SPEC = ConcreteSpec(slump_in=6.0, slump_approved_by="R. Vance, P.E.")
POUR = Pour(Placing(9, 0, 50, 6), 45.9, 720.0)


def order(spec=SPEC, yd3=16.25, **more):
    return concrete_order("Juniper Bend", "frost wall, garage", AT, yd3, spec, **more)


def lifts() -> LiftPlan:
    plan = plan_lifts(POUR)
    assert isinstance(plan, LiftPlan)
    return plan


def test_loads_add_up_and_none_is_too_large_to_place_in_time() -> None:
    found = order(lifts=lifts(), pour=POUR)
    assert sum(found.loads) == 16.25 and max(found.loads) <= 5.25
    assert found.every_min == pytest.approx(5.25 / lifts().yd3_h * 60)


def test_without_a_lift_plan_trucks_are_full() -> None:
    found = order(yd3=20.0)
    assert found.loads == (9, 9, 2) and found.every_min is None and found.problems == ()


def test_the_text_is_short_lines_with_all_that_the_plant_asks() -> None:
    temperatures = mix_temperatures(8, 20, 0.5, Batch(564, 3100, 270, 40, 50, 140))
    text = as_text(
        order(
            lifts=lifts(),
            pour=POUR,
            temperatures=temperatures,
            accelerator=True,
            address="12 Juniper Bend",
            phone="555-0100",
        )
    )
    assert all(len(line) <= LINE for line in text.splitlines())
    for said in (
        "Thu Dec 3, 9:00 am",
        "16.25 yd3",
        "a truck every 59 min",
        "3000 psi, 3/8 in stone",
        "air 6 %, slump 6 in",
        "55-75 F at discharge",
        "batch at 65 F or more",
        "mixing water about",
        "non-chloride accelerator",
        "no chloride, no water added on site",
        "1 sample, 4 cylinders",
        "12 Juniper Bend",
        "555-0100",
    ):
        assert said in text


def test_water_that_hot_alone_cannot_be_ordered() -> None:
    temperatures = mix_temperatures(8, 20, 0.5, Batch(564, 3100, 270, 40, 35, 140))
    found = order(temperatures=temperatures)
    assert "mixing water" not in as_text(found)
    assert any("aggregate must be heated" in p.sentence for p in found.problems)


def test_a_missing_slump_is_said_not_filled_in() -> None:
    found = order(replace(SPEC, slump_in=None))
    assert found.problems[0].severity is Severity.ENGINEER and "do not send" in found.problems[0].sentence
    assert "slump NOT SET, DO NOT SEND" in as_text(found)


def test_a_slump_nobody_approved_is_told() -> None:
    found = order(replace(SPEC, slump_approved_by=""))
    assert [p.severity for p in found.problems] == [Severity.WARNING]


def test_stone_too_large_for_the_core_is_told() -> None:
    found = order(replace(SPEC, aggregate_in=1.5), clear_core_in=6.0)
    assert any("too large" in p.sentence for p in found.problems)


@pytest.mark.parametrize(
    ("yd3", "said"), [(9.0, "9 yd3 in 9"), (27.0, "27 yd3 in 3 x 9"), (92.0, "92 yd3 in 10 x 9 + 2")]
)
def test_loads_in_few_words(yd3, said) -> None:
    assert said in as_text(order(yd3=yd3))


def test_a_load_under_the_minimum_is_told() -> None:
    found = order(yd3=1.5)
    assert any("minimum" in p.sentence for p in found.problems)
