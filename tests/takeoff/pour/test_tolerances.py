"""Measurements after the pour against tolerance and aim."""

from __future__ import annotations

import pytest

from takeoff.pour.tolerances import Measure, judge


@pytest.mark.parametrize(
    ("measure", "off", "within", "aimed"),
    [
        (Measure.PLUMB, 0.25, True, True),
        (Measure.PLUMB, -0.5, True, False),
        (Measure.PLUMB, 1.0, True, False),
        (Measure.PLUMB, 1.01, False, False),
        (Measure.THICKNESS, -0.25, True, True),
        (Measure.THICKNESS, -0.3, False, False),
        (Measure.THICKNESS, 0.375, True, True),
        (Measure.FOOTING_TOP, -1.5, True, False),
        (Measure.FOOTING_TOP, 0.6, False, False),
        (Measure.FOOTING_TOP_UNDER_MASONRY, -1.5, False, False),
    ],
)
def test_within_tolerance_and_within_the_aim(measure, off, within, aimed) -> None:
    found = judge(measure, off)
    assert (found.within, found.within_aim) == (within, aimed)
    assert ("ask the engineer" in found.words) == (not within)


def test_a_builder_s_own_aim() -> None:
    assert judge(Measure.PLUMB, 0.2, aim_in=0.125).within_aim is False
    assert judge(Measure.PLUMB, 0.5, aim_in=0.5).within_aim is True
