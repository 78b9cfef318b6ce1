"""Fill curves, and how each leg stands by what was placed and what was read: the sums that a phone does from the same
knots."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.pour.filling import (
    LegCurve,
    Reading,
    balance_order_yd3,
    leg_state,
    level_reached,
    levels_at,
    minutes_to_cold_joint,
    placed_yd3,
    raised,
    remaining_yd3,
    rise_ft_h,
    risen_minute,
    standing_yd3,
    volume_below,
    wait_minutes,
    whole_curve,
    yield_ratio,
)

# -- the fill curve -----------------------------------------------------------------------------------
#: A 9 ft wall of 27 yd3 with a window that takes concrete away between 4 ft and 7 ft.
KNOTS = [(0.0, 0.0), (48.0, 13.0), (84.0, 19.0), (108.0, 27.0)]


@st.composite
def curves(draw):
    steps = draw(st.lists(st.tuples(st.floats(1, 60), st.floats(0.1, 20)), min_size=1, max_size=6))
    knots = [(draw(st.floats(-50, 50)), 0.0)]
    for high, much in steps:
        knots.append((knots[-1][0] + high, knots[-1][1] + much))
    return knots


@given(curves(), st.floats(0, 1))
@settings(max_examples=60)
def test_level_and_volume_are_inverse(knots, part) -> None:
    yd3 = part * knots[-1][1]
    level = level_reached(knots, yd3)
    assert volume_below(knots, level) == pytest.approx(yd3, abs=1e-6)
    assert remaining_yd3(knots, level) == pytest.approx(knots[-1][1] - yd3, abs=1e-6)


def test_beyond_the_ends_of_the_curve() -> None:
    assert (volume_below(KNOTS, -5), volume_below(KNOTS, 500)) == (0, 27)
    assert (level_reached(KNOTS, -1), level_reached(KNOTS, 40)) == (0, 108)


@pytest.mark.parametrize("knots", [[], [(0.0, 0.0)], [(0.0, 0.0), (0.0, 1.0)], [(0.0, 2.0), (5.0, 1.0)]])
def test_a_curve_that_does_not_rise_is_an_error(knots) -> None:
    with pytest.raises(ValueError, match="knots"):
        volume_below(knots, 1.0)


def test_rise_and_how_long_to_wait() -> None:
    assert rise_ft_h(0, 24, 30) == 4 and rise_ft_h(0, 24, 0) == 0
    assert wait_minutes(0, 24, 30, 3.0) == pytest.approx(10)
    assert wait_minutes(0, 24, 45, 3.0) == 0
    with pytest.raises(ValueError, match="more than nothing"):
        wait_minutes(0, 24, 30, 0)


def test_yield_over_theory() -> None:
    assert yield_ratio(13, 13.39) == pytest.approx(1.03)
    assert yield_ratio(0, 1) is None and yield_ratio(1, 0) is None


@pytest.mark.parametrize(
    ("to_fill", "on_site", "order"),
    [(0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (3.0, 9.0, 0.0), (3.0, 0.0, 3.5), (8.0, 0.5, 8.25), (1.0, 0.0, 2.0)],
)
def test_balance_order(to_fill, on_site, order) -> None:
    assert balance_order_yd3(to_fill, on_site) == order


def test_cold_joint_clock() -> None:
    assert minutes_to_cold_joint(50, 60) == 10 and minutes_to_cold_joint(70, 60) == -10


def test_trucks_empty_evenly() -> None:
    loads = [(0.0, 30.0, 9.0), (40.0, 60.0, 8.0)]
    assert [placed_yd3(loads, m) for m in (-1, 0, 15, 30, 35, 50, 99)] == pytest.approx([0, 0, 4.5, 9, 9, 13, 17])
    assert placed_yd3([(5.0, 5.0, 3.0)], 5.0) == 3


# -- legs ---------------------------------------------------------------------------------------------
#: A: 10 ft2 from 0 to 108 in; B: 20 ft2 from 24 to 96 in, a window takes half of it between 60 and 84.
A = LegCurve("A", [(0.0, 0.0), (108.0, 10 * 9 / 27)], 0.0, 108.0)
B = LegCurve("B", [(24.0, 0.0), (60.0, 20 * 3 / 27), (84.0, 20 * 4 / 27), (96.0, 20 * 5 / 27)], 24.0, 96.0)
LEGS = (A, B)


def boxes(levels) -> float:
    """The same concrete by plain arithmetic: boxes of ft2 and ft, without any curve."""
    a, b = levels
    feet = 10 * min(max(a, 0), 108) / 12
    for area, low, high in ((20, 24, 60), (10, 60, 84), (20, 84, 96)):
        feet += area * min(max(b - low, 0), high - low) / 12
    return feet / 27


@given(st.tuples(st.floats(-10, 130), st.floats(-10, 130)))
def test_what_stands_is_the_sum_of_the_boxes(levels) -> None:
    assert standing_yd3(LEGS, levels) == pytest.approx(boxes(levels))


@given(st.tuples(st.floats(0, 108), st.floats(0, 96)), st.floats(0, 8))
def test_what_is_placed_raises_all_that_is_not_full_by_the_same_height(levels, yd3) -> None:
    high = raised(LEGS, levels, yd3)
    assert boxes(high) == pytest.approx(min(boxes(levels) + yd3, boxes((108, 96))), abs=1e-6)
    ups = [now - then for now, then, leg in zip(high, levels, LEGS, strict=True) if now < leg.top_in - 1e-6]
    assert not ups or max(ups) - min(ups) < 1e-6


#: Two trucks with a break between them, 7 yd3.
LOADS = [(0.0, 40.0, 4.0), (55.0, 80.0, 3.0)]


@given(st.lists(st.tuples(st.sampled_from("AB"), st.floats(0, 100)), max_size=6), st.floats(0, 120))
@settings(max_examples=60)
def test_levels_read_as_they_are_worked_out_change_nothing(read, now) -> None:
    plain = dict(zip("AB", zip(*(levels_at(LEGS, LOADS, (), minute) for _, minute in read), strict=True), strict=False))
    readings = [Reading(leg, minute, plain[leg][k]) for k, (leg, minute) in enumerate(read)]
    assert levels_at(LEGS, LOADS, readings, now) == pytest.approx(levels_at(LEGS, LOADS, (), now), abs=1e-6)


def test_without_a_reading_it_lies_level_as_one_curve_says() -> None:
    knots = whole_curve(LEGS)
    assert knots[-1][1] == pytest.approx(boxes((108, 96)))
    level = level_reached(knots, placed_yd3(LOADS, 60.0))
    assert levels_at(LEGS, LOADS, (), 60.0) == pytest.approx((level, level))


def test_a_leg_that_was_read_stands_there_and_the_other_as_it_was() -> None:
    at_40 = levels_at(LEGS, LOADS, (), 40.0)
    read = [Reading("A", 40.0, 60.0), Reading("Z", 40.0, 1.0)]
    assert levels_at(LEGS, LOADS, read, 40.0) == (60.0, at_40[1])
    later = levels_at(LEGS, LOADS, read, 80.0)
    assert boxes(later) == pytest.approx(boxes((60.0, at_40[1])) + 3.0)
    assert levels_at(LEGS, LOADS, read, 39.0) == levels_at(LEGS, LOADS, (), 39.0)


def leg(*read, now=60.0, limit=4.0, level=48.0):
    return leg_state(A, level, [Reading("A", minute, at) for minute, at in read], LOADS, now, limit)


def test_a_leg_rises_by_its_own_last_two_readings_and_says_how_long_to_wait() -> None:
    """24 in in 10 min is 12 ft/h; at 4 ft/h they take 30 min from the first of the two, of which 20 are left."""
    found = leg((20.0, 0.0), (30.0, 12.0), (40.0, 36.0), now=40.0)
    assert found.rise_ft_h == pytest.approx(12) and found.wait_min == pytest.approx(20)
    assert leg((30.0, 12.0), (40.0, 36.0), now=55.0).wait_min == pytest.approx(5)
    assert leg((30.0, 12.0), (40.0, 36.0), now=61.0).wait_min == 0
    assert leg((30.0, 12.0), (60.0, 36.0)).wait_min == 0  # 4 ft/h
    assert leg((30.0, 12.0), (40.0, 36.0), limit=None).wait_min == 0


@pytest.mark.parametrize("read", [(), ((40.0, 36.0),), ((40.0, 36.0), (40.0, 37.0))])
def test_one_reading_is_no_rise(read) -> None:
    assert leg(*read).rise_ft_h is None and leg(*read).wait_min == 0


def test_a_tape_that_is_out_is_no_rise_and_a_leg_that_sank_is_told() -> None:
    assert leg((39.0, 36.0), (40.0, 37.0)).wait_min == 0  # 5 ft/h, but one inch
    assert leg((30.0, 36.0), (50.0, 33.0)).fell_in == 3 and leg((30.0, 36.0), (50.0, 35.5)).fell_in == 0


@pytest.mark.parametrize(
    ("read", "minute"),
    [
        ([(30.0, 0.0)], None),  # seen empty
        ([(30.0, 20.0)], 30.0),
        ([(30.0, 20.0), (60.0, 20.5)], 30.0),  # no higher than a tape is out
        ([(30.0, 20.0), (60.0, 20.8), (70.0, 21.6)], 70.0),  # creeping counts once it is more
        ([(30.0, 20.0), (52.0, 40.0)], 40.0),  # read in the break: not later than anything was placed
        ([(20.0, 40.0), (30.0, 20.0), (60.0, 30.0)], 60.0),  # sank and filled again
    ],
)
def test_when_concrete_last_rose_on_a_leg(read, minute) -> None:
    assert risen_minute([Reading("A", at, level) for at, level in read], 0.0, LOADS) == minute


def test_the_clock_of_a_leg_runs_from_there_until_it_is_full() -> None:
    assert leg((30.0, 20.0), now=70.0).joint_min == 20
    assert leg((30.0, 20.0), now=70.0, level=107.5).joint_min is None and leg(now=70.0).joint_min is None
