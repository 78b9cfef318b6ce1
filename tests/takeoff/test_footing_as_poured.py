"""A footing poured off its level: both ways out, and what is left of the lap."""

from __future__ import annotations

from functools import cache

import pytest

from takeoff.compute import compute
from takeoff.differences import Difference
from takeoff.footing_as_poured import footing_as_poured
from takeoff.results import Takeoff
from takeoff.units import Length
from tests.takeoff import plans

LOW = Length.inches("1.5")


@cache
def taken(name: str = "rectangle") -> Takeoff:
    return compute(plans.SAMPLES[name]())


def by_item(**low: Length) -> dict[str, Difference]:
    return {d.item: d for d in footing_as_poured(taken(), low)}


def test_a_low_leg_takes_more_concrete_and_a_bed() -> None:
    """Leg A, 40 ft: centre line 38.94 ft x 8 in x 1 1/2 in; bed 40 ft x 12 3/4 in x 1 1/2 in."""
    found = by_item(A=LOW)
    assert found["Wall concrete, leg A"].after == pytest.approx((480 - 12.75) * 8 * 1.5 / 46656)
    assert found["Bed under the first course, leg A"].after == pytest.approx(480 * 12.75 * 1.5 / 1728)


def test_the_lap_gets_shorter_by_as_much_and_goes_to_the_engineer() -> None:
    lap = by_item(A=LOW)["Lap of dowels, leg A"]
    assert (lap.before, lap.after, lap.change) == (38.0, 36.5, -1.5)
    assert "ask the engineer" in lap.say


def test_or_the_rest_is_ripped() -> None:
    """28 + 40 + 28 ft of first course: 24 units of 48 in, and the top comes lower."""
    rest = by_item(A=LOW)["Units to rip instead, Main basement"]
    assert rest.after == 24
    assert 'B, C, D to 14 1/2"' in rest.say and 'top then comes 1 1/2" lower' in rest.say


def test_a_high_leg_is_ripped_itself() -> None:
    found = by_item(B=Length.inches("-1"))
    assert found["Units to rip, leg B"].after == 7
    assert found["Wall concrete, leg B"].change == pytest.approx(-(336 - 12.75) * 8 / 46656)
    assert found["Lap of dowels, leg B"].after == 39.0
    assert not any("instead" in item for item in found)


def test_a_leg_high_by_more_than_a_rip_allows_is_told() -> None:
    assert "under the least rip" in by_item(B=Length.inches("-11"))["Units to rip, leg B"].say
    assert "least rip" not in by_item(B=Length.inches("-10"))["Units to rip, leg B"].say


def test_a_gap_too_low_for_a_shim_is_grouted() -> None:
    assert 'a bed of grout 3/8" high' in by_item(A=Length.inches("0.375"))["Bed under the first course, leg A"].say
    assert "grout or foam shims" in by_item(A=LOW)["Bed under the first course, leg A"].say


def test_what_was_measured_right_needs_nothing() -> None:
    assert footing_as_poured(taken(), {"A": Length(0)}) == ()
    assert footing_as_poured(taken(), {}) == ()


def test_the_lowest_of_several_decides_how_far_the_rest_is_ripped() -> None:
    rest = by_item(A=LOW, B=Length.inches("0.5"))["Units to rip instead, Main basement"]
    assert 'C, D to 14 1/2"' in rest.say and rest.after == 17


def test_legs_of_other_sections_stay_as_they_are() -> None:
    items = [d.item for d in footing_as_poured(taken("garage"), {"G1": LOW})]
    assert "Units to rip instead, Garage frost wall" in items
    assert not any("Main" in item for item in items)


def test_a_leg_that_is_not_there_is_an_error() -> None:
    with pytest.raises(KeyError):
        footing_as_poured(taken(), {"Z": LOW})
