"""Round the wall: the rate of rise sets lifts, trucks and pump hours."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.pour.lifts import (
    ColderTruck,
    LiftPlan,
    Pour,
    colder_truck,
    even_lifts,
    part_load_yd3,
    placing_rate_yd3_h,
    plan_area_ft2,
    plan_lifts,
    rise_ft_h,
    truck_minutes,
    truck_times,
    with_volumes,
)
from takeoff.pour.pressure import Placing
from takeoff.problems import Problem, Severity

#: A small frost wall: 6.8 yd3/h at 4 ft/h is 45.9 ft2 seen from above.
SMALL = Pour(Placing(9, 0, 50, 6), 45.9, 720.0)
HOUSE = Pour(Placing(8, 0, 60, 6), plan_area_ft2(150, 8), 720.0, pump_yd3_h=30)


def planned(pour: Pour) -> LiftPlan:
    plan = plan_lifts(pour)
    assert isinstance(plan, LiftPlan)
    return plan


def test_a_small_circuit_takes_seven_yards_an_hour_and_a_full_truck_stands_79_minutes() -> None:
    """Practice text on small frost walls, derived: 6.8 yd3/h at 4 ft/h, 79 min for a 9 yd3 truck."""
    rate = placing_rate_yd3_h(4, 45.9)
    assert rate == pytest.approx(6.8)
    assert truck_minutes(9, rate) == pytest.approx(79, abs=0.5)


@given(st.floats(0.1, 20), st.floats(5, 800))
@settings(max_examples=30)
def test_supply_and_rise_are_inverse(rate, area) -> None:
    assert rise_ft_h(placing_rate_yd3_h(rate, area), area) == pytest.approx(rate)


@given(st.floats(0.5, 40), st.floats(0.5, 6))
@settings(max_examples=50)
def test_lifts_are_even_fewest_and_add_up(height, most) -> None:
    lifts = even_lifts(height, most)
    assert sum(lifts) == pytest.approx(height)
    assert max(lifts) <= most * (1 + 1e-6)
    assert (len(lifts) - 1) * most < height


def test_pressure_sets_the_pace_of_a_small_wall() -> None:
    plan = planned(SMALL)
    assert plan.rate_ft_h == pytest.approx(570 * 50 / 9000)
    assert "set by pressure" in plan.words
    assert plan.yd3 == pytest.approx(9 * 45.9 / 27)
    assert plan.pump_hours == pytest.approx(0.5 + 9 / plan.rate_ft_h)
    assert plan.truck_every_min == pytest.approx(9 * 27 / (plan.rate_ft_h * 45.9) * 60)


def test_a_full_truck_too_old_becomes_part_loads() -> None:
    plan = planned(SMALL)
    assert plan.truck_unload_until_min > 90
    assert [p.severity for p in plan.problems] == [Severity.WARNING]
    assert "part loads of at most 5.25 yd3" in plan.problems[0].sentence
    assert part_load_yd3(plan.yd3_h, 30, 9) == 5.25
    times = truck_times(plan, SMALL)
    assert times[0] == 0 and list(times) == sorted(times)
    assert times[1] == pytest.approx(5.25 / plan.yd3_h * 60)


def test_the_pump_sets_the_pace_of_a_long_wall() -> None:
    slow_pump = replace(HOUSE, pump_yd3_h=10)
    plan = planned(slow_pump)
    assert plan.rate_ft_h == pytest.approx(rise_ft_h(10, 100)) and "set by the pump" in plan.words


def test_a_circuit_lasts_no_longer_than_the_cold_joint_time() -> None:
    plan = planned(HOUSE)
    assert plan.circuit_min <= HOUSE.cold_joint_min + 1e-6
    assert plan.circuit_min == pytest.approx((plan.lifts[0].to_ft - plan.lifts[0].from_ft) / plan.rate_ft_h * 60)
    assert [lift.from_ft for lift in plan.lifts[1:]] == [lift.to_ft for lift in plan.lifts[:-1]]
    assert plan.lifts[-1].to_ft == pytest.approx(8)


def test_a_pour_too_long_to_go_round_says_so() -> None:
    plan = planned(replace(HOUSE, area_ft2=900, pump_yd3_h=20))
    assert any("until a cold joint" in p.sentence for p in plan.problems)


def test_a_circuit_too_quick_is_gone_round_slower_and_trucks_and_pump_with_it() -> None:
    """30 min between lifts at one place: common practice, no source. Three lifts of 1.5 ft are an hour and a half."""
    small = replace(SMALL, placing=Placing(4.5, 0, 70, 6), lift_ft=1.5, haul_min=10, truck_yd3=4)
    plan = planned(small)
    assert [lift.minutes for lift in plan.lifts] == [30.0, 30.0, 30.0] and plan.rate_ft_h == pytest.approx(3.0)
    assert plan.pump_hours == pytest.approx(0.5 + 1.5) and plan.yd3_h == pytest.approx(plan.yd3 / 1.5)
    assert plan.truck_every_min == pytest.approx(4 / plan.yd3 * 90) and "set by the wait between lifts" in plan.words
    assert any("30 min a lift, no faster" in p.sentence for p in plan.problems)
    hurried = planned(replace(small, soonest_next_min=0.0))
    assert hurried.pump_hours < plan.pump_hours and "no faster" not in " ".join(p.sentence for p in hurried.problems)


def test_full_head_places_in_lifts_that_wait_for_set() -> None:
    plan = planned(replace(HOUSE, placing=replace(HOUSE.placing, slump_in=8.0), rated_psf=450.0))
    assert plan.waits_for_set and max(x.to_ft - x.from_ft for x in plan.lifts) <= 3.0 + 1e-9
    assert plan.problems[0].severity is Severity.ENGINEER and "construction joint" in plan.problems[0].sentence


def test_a_form_that_holds_the_liquid_goes_at_the_pump_s_pace() -> None:
    plan = planned(replace(SMALL, placing=Placing(4.5, 0, 50, 8), soonest_next_min=0.0))
    assert plan.limit.ft_h is None and not plan.waits_for_set
    assert plan.yd3_h == pytest.approx(SMALL.pump_yd3_h)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"area_ft2": 0.0}, "more than nothing"),
        ({"pump_yd3_h": 0.0}, "more than nothing"),
        ({"placing": Placing(9, 0, 50, None)}, "No slump"),
        ({"placing": Placing(0, 0, 50, 6)}, "more than nothing"),
    ],
)
def test_what_cannot_be_planned_is_refused(change, said) -> None:
    for refused in (plan_lifts(replace(SMALL, **change)), colder_truck(replace(SMALL, **change))):
        assert isinstance(refused, Problem) and said in refused.sentence


def test_a_truck_ten_degrees_colder_slows_the_wall() -> None:
    found = colder_truck(SMALL)
    assert isinstance(found, ColderTruck)
    assert found.plan.rate_ft_h == pytest.approx(570 * 40 / 9000)
    assert found.slower_ft_h == pytest.approx(570 * 10 / 9000)
    assert "rise 2.53 ft/h instead of 3.17" in found.words


def test_a_colder_truck_may_change_nothing_or_end_the_pace() -> None:
    same = colder_truck(replace(SMALL, pump_yd3_h=2))
    assert isinstance(same, ColderTruck) and "stays as it is" in same.words
    high = colder_truck(replace(SMALL, placing=Placing(16, 0, 80, 6)))
    assert isinstance(high, ColderTruck) and "shown to have set" in high.words
    too_cold = colder_truck(replace(SMALL, placing=Placing(9, 0, 40, 6)))
    assert isinstance(too_cold, Problem)


def test_a_haul_over_the_limit_leaves_no_load() -> None:
    assert part_load_yd3(6, 95, 9) == 0
    plan = planned(replace(SMALL, haul_min=95))
    assert any("the haul alone" in p.sentence for p in plan.problems)


def test_lifts_with_their_own_volumes_keep_pace_and_pump() -> None:
    plan = planned(SMALL)
    found = with_volumes(plan, SMALL, [5.1, 3.0, 40.0])
    assert [lift.yd3 for lift in found.lifts] == [5.1, 3.0, 40.0]
    assert found.lifts[1].minutes == plan.lifts[1].minutes and found.lifts[1].yd3_h < plan.yd3_h
    assert found.lifts[2].minutes == pytest.approx(40.0 / 30 * 60)
    assert found.yd3 == pytest.approx(48.1)
    assert with_volumes(plan, SMALL, [lift.yd3 for lift in plan.lifts]).truck_every_min == pytest.approx(
        plan.truck_every_min
    )
    with pytest.raises(ValueError, match="2 volumes for 3 lifts"):
        with_volumes(plan, SMALL, [1.0, 2.0])


def test_deep_lifts_are_kept_to_what_the_equations_allow() -> None:
    deep = replace(SMALL, placing=Placing(12, 0, 90, 6), lift_ft=6.0, cold_joint_min=90, haul_min=5)
    plan = planned(deep)
    assert max(x.to_ft - x.from_ft for x in plan.lifts) == pytest.approx(4)
    assert any("vibrated deeper" in p.sentence for p in plan.problems)
    assert not any("vibrated deeper" in p.sentence for p in planned(replace(deep, lift_ft=4.0)).problems)
