"""Trucks as they come, and where the pour stands: the same sums that a phone does from the same knots."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.pour.truck_log import (
    Agreed,
    Answer,
    Reading,
    Ticket,
    balance_order_yd3,
    judge,
    level_reached,
    minutes_to_cold_joint,
    placed_yd3,
    pour_state,
    remaining_yd3,
    rise_ft_h,
    volume_below,
    wait_minutes,
    yield_ratio,
)

CHICAGO = ZoneInfo("America/Chicago")
BATCHED = datetime(2026, 12, 3, 8, 0, tzinfo=CHICAGO)
AGREED = Agreed("WALL 3000", 55.0, 75.0, 6.0, 6.0, water_allowed_gal=5.0)
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
        ({"water_gal": 8.0, "water_by": "driver"}, "water", "8 gal of water added by driver, 5 allowed"),
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
    edge = replace(GOOD, concrete_f=55.0, slump_in=7.5, air_percent=7.5, water_gal=5.0)
    assert judge(edge, AGREED, after(30)).answer is Answer.ACCEPT


@pytest.mark.parametrize(
    ("minutes", "agreed_min", "answer"),
    [
        (59, 90, Answer.ACCEPT),
        (60, 90, Answer.LOOK),
        (90, 90, Answer.LOOK),
        (90.1, 90, Answer.REJECT),
        (90.1, 120, Answer.LOOK),
        (121, 120, Answer.REJECT),
        (-5, 90, Answer.LOOK),
    ],
)
def test_age_since_batching(minutes, agreed_min, answer) -> None:
    assert judge(GOOD, replace(AGREED, discharge_min=agreed_min), after(minutes)).answer is answer


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
    assert yield_ratio(KNOTS, 48, 13.39) == pytest.approx(1.03)
    assert yield_ratio(KNOTS, 0, 1) is None


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


# -- the state of a pour ------------------------------------------------------------------------------
def state(loads, now, **more):
    return pour_state(KNOTS, loads, now, **{"limit_ft_h": 4.0, "coming_yd3": 30.0} | more)


def test_in_the_middle_of_a_pour() -> None:
    found = state([(0.0, 60.0, 13.0)], 60.0)
    assert (found.placed_yd3, found.level_in, found.remaining_yd3) == (13, 48, 14)
    assert found.rise_ft_h == pytest.approx(4) and found.wait_min == pytest.approx(0)
    assert found.balance_yd3 == 0 and found.warnings == () and found.yield_ratio is None


def test_too_fast_says_how_long_to_stop() -> None:
    found = state([(0.0, 30.0, 13.0)], 30.0)
    assert found.rise_ft_h == pytest.approx(8) and found.wait_min == pytest.approx(30)
    assert found.warnings[0] == "Too fast: 8.0 ft/h, at most 4.0. Stop for 30 min; stand off the wall."
    assert state([(0.0, 30.0, 13.0)], 30.0, limit_ft_h=None).warnings == ()


def test_a_level_read_on_the_wall_is_believed_and_tells_the_yield() -> None:
    found = state([(0.0, 60.0, 13.0)], 60.0, readings=[Reading(60.0, 42.0)])
    assert found.level_in == pytest.approx(42)
    assert found.yield_ratio == pytest.approx(13 / (13 * 42 / 48))
    assert any("more placed than drawn" in w for w in found.warnings)
    later = state([(0.0, 60.0, 13.0), (60.0, 90.0, 3.0)], 90.0, readings=[Reading(60.0, 42.0)])
    assert later.level_in == pytest.approx(level_reached(KNOTS, volume_below(KNOTS, 42.0) + 3.0))


def test_less_placed_than_drawn_looks_for_voids() -> None:
    found = state([(0.0, 60.0, 12.0)], 60.0, readings=[Reading(60.0, 48.0)])
    assert any("voids under openings" in w for w in found.warnings)


def test_short_of_concrete_calls_the_balance() -> None:
    found = state([(0.0, 60.0, 13.0)], 60.0, coming_yd3=9.0)
    assert found.balance_yd3 == balance_order_yd3(14.0, 9.0) == 6.0
    assert "Call 6 yd3 more." in found.warnings


@pytest.mark.parametrize(
    ("now", "said"),
    [(100.0, None), (106.0, "14 min to a cold joint."), (130.0, "Cold joint: nothing placed for 10 min too long.")],
)
def test_the_cold_joint_clock_warns(now, said) -> None:
    warnings = state([(0.0, 60.0, 13.0)], now).warnings
    assert (not warnings) if said is None else any(w.startswith(said) for w in warnings)


def test_a_full_wall_needs_nothing_more() -> None:
    found = state([(0.0, 300.0, 27.0)], 400.0, coming_yd3=0.0)
    assert (found.level_in, found.remaining_yd3, found.balance_yd3, found.warnings) == (108, 0, 0, ())
