"""Where a pour stands in the middle of it, and what is told first."""

from __future__ import annotations

import pytest

from takeoff.pour.filling import LegCurve, Reading
from takeoff.pour.progress import Measured, pour_state

#: A 9 ft wall of 27 yd3 with a window that takes concrete away between 4 ft and 7 ft.
WALL = LegCurve("W", [(0.0, 0.0), (48.0, 13.0), (84.0, 19.0), (108.0, 27.0)], 0.0, 108.0)


# -- the state of a pour ------------------------------------------------------------------------------
def state(loads, now, **more):
    return pour_state([WALL], loads, now, **{"limit_ft_h": 4.0} | more)


def test_in_the_middle_of_a_pour() -> None:
    found = state([(0.0, 60.0, 13.0)], 60.0)
    assert (found.placed_yd3, found.level_in, found.remaining_yd3) == (13, 48, 14)
    assert found.rise_ft_h == pytest.approx(4) and found.wait_min == pytest.approx(0)
    assert found.warnings == () and found.yield_ratio is None


def test_too_fast_says_how_long_to_stop() -> None:
    found = state([(0.0, 30.0, 13.0)], 30.0)
    assert found.rise_ft_h == pytest.approx(8) and found.wait_min == pytest.approx(30)
    assert found.warnings[0] == "Too fast: 8.0 ft/h, at most 4.0. Stop for 30 min; stand off the wall."
    assert state([(0.0, 30.0, 13.0)], 30.0, limit_ft_h=None).warnings == ()


def test_a_level_read_on_the_wall_is_believed_and_tells_the_yield() -> None:
    """13 yd3 over 48 in: at 42 in 11.375 yd3 stand."""
    found = state([(0.0, 60.0, 13.0)], 60.0, readings=[Reading("W", 60.0, 42.0)])
    assert (found.level_in, found.filled_in, found.standing_yd3) == pytest.approx((42, 48, 11.375))
    assert found.yield_ratio == pytest.approx(13 / 11.375)
    assert found.to_fill_yd3 == pytest.approx((27 - 11.375) * 1.10)  # no more is counted on than is usual
    a_little = state([(0.0, 60.0, 12.0)], 60.0, readings=[Reading("W", 60.0, 42.0)])
    assert a_little.to_fill_yd3 == pytest.approx((27 - 11.375) * 12 / 11.375)
    assert "1.6 yd3 more placed than stands in the wall: look for a bulge, a leak, a blow-out." in found.warnings
    assert found.measured.words.endswith("1.6 yd3 more placed than stands, 6 in lower than it would fill.")
    later = state([(0.0, 60.0, 13.0), (60.0, 90.0, 3.0)], 90.0, readings=[Reading("W", 60.0, 42.0)])
    assert later.standing_yd3 == pytest.approx(14.375) and later.yield_ratio == pytest.approx(13 / 11.375)


def test_less_placed_than_stands_looks_for_voids_and_calls_no_less() -> None:
    found = state([(0.0, 60.0, 12.0)], 60.0, readings=[Reading("W", 60.0, 48.0)])
    assert any("voids under openings" in w for w in found.warnings) and found.to_fill_yd3 == found.remaining_yd3


def test_what_a_tape_is_out_warns_of_nothing() -> None:
    found = state([(0.0, 10.0, 2.0)], 10.0, limit_ft_h=None, readings=[Reading("W", 10.0, 6.5)])
    assert found.yield_ratio > 1.1 and found.warnings == ()


@pytest.mark.parametrize(
    ("now", "said"),
    [(100.0, None), (106.0, "14 min to a cold joint."), (130.0, "Cold joint: nothing placed for 10 min too long.")],
)
def test_the_cold_joint_clock_warns(now, said) -> None:
    warnings = state([(0.0, 60.0, 13.0)], now).warnings
    assert (not warnings) if said is None else any(w.startswith(said) for w in warnings)


def test_a_full_wall_needs_nothing_more() -> None:
    found = state([(0.0, 300.0, 27.0)], 400.0)
    assert (found.level_in, found.remaining_yd3, found.joint_min, found.warnings) == (108, 0, None, ())


# -- several legs -------------------------------------------------------------------------------------
#: Two legs of 9 ft with 10 ft2 each: 0.03086 yd3 an inch.
TWO = [LegCurve(leg, [(0.0, 0.0), (108.0, 10 * 9 / 27)], 0.0, 108.0) for leg in "AB"]
TRUCK = [(0.0, 30.0, 3.0)]


def two(now, *read, **more):
    readings = [Reading(leg, minute, level) for leg, minute, level in read]
    return pour_state(TWO, TRUCK, now, **{"limit_ft_h": 4.0, "readings": readings, "lift_in": 36.0} | more)


def test_concrete_on_one_leg_may_lie_on_the_other_until_both_are_read() -> None:
    one = two(30.0, ("A", 30.0, 20.0), limit_ft_h=None)
    assert one.measured.unread == ("B",) and one.yield_ratio is None and one.warnings == ()
    assert one.to_fill_yd3 == one.remaining_yd3 and one.standing_yd3 == 3.0
    both = two(30.0, ("A", 30.0, 20.0), ("B", 25.0, 60.0), limit_ft_h=None)
    assert both.measured.unread == () and both.yield_ratio is not None
    stale = two(60.0, ("B", 25.0, 60.0), ("A", 60.0, 20.0), limit_ft_h=None)
    assert stale.measured.unread == ("B",)
    later = two(60.0, ("A", 30.0, 20.0), ("B", 25.0, 60.0), ("A", 60.0, 50.0), limit_ft_h=None)
    assert later.measured == both.measured and later.standing_yd3 == both.standing_yd3  # one leg is no round
    full = two(60.0, ("B", 25.0, 108.0), ("A", 60.0, 20.0), limit_ft_h=None)
    assert full.measured.unread == ()


def test_the_leg_that_rose_too_fast_is_named() -> None:
    found = two(30.0, ("A", 20.0, 20.0), ("A", 30.0, 50.0))
    assert found.warnings[0] == (
        "Leg A rose 2'-6\" at 15.0 ft/h; at most 4.0. Place nothing more there for 28 min; stand off the wall."
    )


def test_a_leg_that_sank_is_told() -> None:
    found = two(30.0, ("A", 20.0, 50.0), ("A", 30.0, 44.0), limit_ft_h=None)
    assert any(w.startswith("Leg A stands 6 in lower than it was read before: stop there") for w in found.warnings)


def test_legs_further_apart_than_a_lift_are_told_and_a_full_one_is_never_the_lowest() -> None:
    told = "The legs stand 3'-6\" apart, more than one lift of 3'-0\""
    apart = two(30.0, ("A", 30.0, 20.0), ("B", 30.0, 62.0))
    assert apart.spread_in == 42 and any(w.startswith(told) for w in apart.warnings)
    assert not any("apart" in w for w in two(30.0, ("A", 30.0, 30.0), ("B", 30.0, 66.0)).warnings)
    assert two(30.0, ("A", 30.0, 20.0)).spread_in == 0
    low = LegCurve("L", [(0.0, 0.0), (24.0, 1.0)], 0.0, 24.0)
    found = pour_state(
        [*TWO, low], TRUCK, 30.0, limit_ft_h=None, readings=[Reading("A", 30.0, 70.0), Reading("L", 30.0, 24.0)]
    )
    assert found.spread_in == 0


def test_each_leg_that_was_read_has_its_own_clock_and_the_others_the_common_one() -> None:
    one = two(95.0, ("A", 20.0, 20.0), limit_ft_h=None)
    assert [row.joint_min for row in one.legs] == [-15.0, None] and one.joint_min == -5.0
    assert [w.split(":")[0] for w in one.warnings] == ["Cold joint on leg A", "Cold joint"]
    both = two(80.0, ("A", 28.0, 20.0), ("B", 25.0, 60.0), limit_ft_h=None)
    assert both.joint_min is None and [row.joint_min for row in both.legs] == [8.0, 5.0]
    assert "5 min to a cold joint on legs A and B." in both.warnings


def test_a_full_wall_is_told_without_inches_that_it_cannot_stand_lower() -> None:
    found = Measured(60.0, 14.0, 12.7, 0.0, ())
    assert found.words == "14.0 yd3 placed, 12.7 yd3 stand in the wall: 1.3 yd3 more placed than stands."


@pytest.mark.parametrize(("level", "is_full"), [(108.0, True), (107.5, True), (107.0, False)])
def test_for_a_wall_read_full_no_truck_is_called(level: float, is_full: bool) -> None:
    assert state([(0.0, 60.0, 27.0)], 60.0, readings=[Reading("W", 60.0, level)]).is_full is is_full
    assert not state([(0.0, 60.0, 27.0)], 60.0).is_full  # nobody looked
