"""Measurements after the pour against tolerance and aim."""

from __future__ import annotations

import pytest

from takeoff.pour.tolerances import Measure, judge, off_text


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


@pytest.mark.parametrize(("off", "text"), [(1.25, '+1 1/4"'), (-0.125, '-1/8"'), (0.0, '0"'), (-2.0, '-2"')])
def test_a_deviation_is_read_from_a_tape(off, text) -> None:
    assert off_text(off) == text


def test_what_no_longer_moves_is_not_told_to_be_pulled_true() -> None:
    assert "Pull it true" in judge(Measure.PLUMB, 0.5).words
    late = judge(Measure.PLUMB, 0.5, moves=False).words
    assert "Pull it true" not in late and "It no longer moves" in late
