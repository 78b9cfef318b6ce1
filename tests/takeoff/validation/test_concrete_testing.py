"""Testing, acceptance, supply and tolerances against published values; sources and how each came are in the ids."""

from __future__ import annotations

from math import ceil

import pytest

from takeoff.pour import testing, tolerances, vibrating
from takeoff.pour.filling import ORDER_MARGIN, balance_order_yd3
from takeoff.pour.lifts import DISCHARGE_MIN, placing_rate_yd3_h, plan_area_ft2
from takeoff.pour.progress import MOST_COUNTED
from takeoff.pour.tolerances import PUBLISHED, Measure
from takeoff.pour.truck_log import MOST_REVOLUTIONS, slump_tolerance_in
from takeoff.readymix import trucks
from takeoff.site import ConcreteSpec
from tests.takeoff.validation.pour_day import params


@pytest.mark.parametrize("given", params("OP-01"))
def test_discharge_limit(given) -> None:
    assert given.expected["hours"] * 60 == DISCHARGE_MIN


@pytest.mark.parametrize("given", params("OP-02"))
def test_how_often_to_test(given) -> None:
    rule = given.expected
    assert testing.samples_due(5).tests == rule["per_day"]
    assert testing.samples_due(rule["per_cy"]).tests == 1
    assert testing.samples_due(rule["per_cy"] + 0.25).tests == 2
    assert testing.samples_due(40, rule["per_sf"]).tests == 1
    assert testing.samples_due(40, rule["per_sf"] + 1).tests == 2


@pytest.mark.parametrize("given", params("OP-10"))
def test_cylinders_of_a_test(given) -> None:
    assert {size.value: count for size, count in testing.PER_TEST.items()} == given.expected


@pytest.mark.parametrize("given", params("OP-26"))
def test_times_of_sampling(given) -> None:
    rule = given.expected
    assert rule["C172_first_to_last_portion_min"] == testing.SAMPLE_MIN
    assert rule["start_slump_temp_air_min"] == testing.START_TESTS_MIN
    assert rule["start_cylinders_min"] == testing.START_CYLINDERS_MIN
    assert (tuple(rule["C31_initial_F"]), rule["C31_max_h"]) == (testing.INITIAL_CURE_F, testing.INITIAL_CURE_H)


@pytest.mark.parametrize("given", params("OP-05"))
def test_a_single_low_test_within_500_psi_is_accepted(given) -> None:
    assert given.inputs.test >= testing.least_single_psi(given.inputs.fc)
    assert testing.strength_verdict([given.inputs.test], given.inputs.fc).accepted


@pytest.mark.parametrize("given", params("OP-07"))
def test_a_seven_day_cylinder_rejects_nothing(given) -> None:
    assert given.expected == "no acceptance meaning"
    found = testing.strength_verdict([2250], given.inputs.fc, age_days=7)
    assert found.accepted and "reject nothing" in found.words


@pytest.mark.parametrize("given", params("OP-08"))
def test_moving_means_and_single_tests(given) -> None:
    found = testing.strength_verdict(given.inputs.tests_psi, 3000)
    assert list(found.low_means_at) == given.expected["fail_avg3_at"]
    assert list(found.low_tests) == given.expected["single_fail_below_2500"]
    assert not found.accepted and "test 7 under 2,500 psi" in found.words


@pytest.mark.parametrize("given", params("OP-04"))
def test_least_single_test(given) -> None:
    assert given.expected["single"] == ">= fc-500"
    assert testing.least_single_psi(5000) == 4500
    assert testing.least_single_psi(6000) == pytest.approx(5400)


@pytest.mark.parametrize("given", params("OP-16"))
def test_wall_of_a_yard_a_foot(given) -> None:
    area = plan_area_ft2(given.expected, given.inputs.t_ft * 12)
    assert placing_rate_yd3_h(1, area) == 1


@pytest.mark.parametrize("given", params("OP-17"))
def test_supply_for_a_rise(given) -> None:
    length, width = given.inputs.plan_ft
    area = length * width
    assert placing_rate_yd3_h(1, area) == given.expected["cy_per_ft"]
    assert placing_rate_yd3_h(given.inputs.R_ft_h, area) == given.expected["cy_per_h"]


def test_pace_of_a_slab() -> None:
    """Worked example of an open construction textbook, read: 9,000 ft2 of 5 in at 25 yd3/h with 10 yd3 trucks."""
    volume = 9000 * 5 / 12 / 27
    order = ceil(volume * 1.07 / 10) * 10
    split = trucks(order, 10, 2)
    assert (round(volume), order, len(split.loads)) == (139, 150, 15)
    assert order / 25 * 60 / len(split.loads) == 24


def test_balance_called_from_the_deck() -> None:
    """Derived example: 58 ft x 27 in x 8 in and 3 ft3 of ledge, 5% and 0.35 yd3 of line, 1.5 yd3 on the truck."""
    to_fill = (58 * 27 / 12 * 8 / 12 + 3) / 27
    assert to_fill == pytest.approx(3.333, abs=5e-4)
    assert balance_order_yd3(to_fill, 1.5, hopper_yd3=0.35) == 2.5


@pytest.mark.parametrize("given", params("OP-22"))
def test_wall_tolerances(given) -> None:
    rule = given.expected
    assert PUBLISHED[Measure.PLUMB].high_in == rule["vertical_in"] == -PUBLISHED[Measure.PLUMB].low_in
    assert PUBLISHED[Measure.LINE].high_in == rule["lateral_in"]
    assert PUBLISHED[Measure.THICKNESS].high_in == rule["thickness_plus_in"]
    assert -PUBLISHED[Measure.THICKNESS].low_in == rule["thickness_minus_in"]
    assert tolerances.HIGHEST_FT == 100


@pytest.mark.parametrize("given", params("OP-23"))
def test_footing_tolerances(given) -> None:
    for measure, key in (
        (Measure.FOOTING_TOP, "other_in"),
        (Measure.FOOTING_TOP_UNDER_MASONRY, "supporting_masonry_in"),
    ):
        assert [PUBLISHED[measure].low_in, PUBLISHED[measure].high_in] == given.expected[key]


@pytest.mark.parametrize("given", params("OP-25"))
def test_slump_tolerance_by_what_was_ordered(given) -> None:
    """ASTM C94, from memory: the last of each step and the first beyond it."""
    assert given.inputs.slump_in == ["<=2", "2-4", ">4"]
    edges = ((1.0, 2.0), (2.25, 4.0), (4.25, 6.0))
    for edge, give in zip(edges, given.expected, strict=True):
        assert [slump_tolerance_in(slump) for slump in edge] == [give, give]


@pytest.mark.parametrize("given", params("OP-01"))
def test_how_long_and_how_many_turns(given) -> None:
    assert [given.expected["hours"], given.expected["drum_revolutions"]] == [DISCHARGE_MIN / 60, MOST_REVOLUTIONS]


@pytest.mark.parametrize("given", params("OP-11"))
def test_how_often_slump_and_temperature(given) -> None:
    found = testing.field_tests_at_yd3(30.5)
    assert found == (0, 10, 20, 30) and found[1] - found[0] == given.expected
    assert testing.field_tests_at_yd3(10) == (0,) and testing.field_tests_at_yd3(0) == ()


@pytest.mark.parametrize("given", params("OP-13"))
def test_usual_waste_lies_in_the_published_allowance(given) -> None:
    low, high = given.expected["order_pct"]
    assert low <= ConcreteSpec().waste_wall * 100 <= high and low <= ORDER_MARGIN * 100 <= high
    assert 1 + high / 100 == MOST_COUNTED


@pytest.mark.parametrize("given", params("OP-19", "OP-20"))
def test_vibrating(given) -> None:
    rule = given.expected
    if given.id == "OP-19":
        assert rule["insertion_in"] == vibrating.FARTHEST_IN
        assert tuple(rule["air_entrained_s"]) == vibrating.SECONDS_WITH_AIR
        assert tuple(rule["non_air_s"]) == vibrating.SECONDS_WITHOUT_AIR
    else:
        assert rule["penetrate_previous_in"] == vibrating.INTO_LIFT_BELOW_IN
        assert rule["withdraw_in_s"] == vibrating.WITHDRAW_IN_S
        assert vibrating.spacing_in(4.0) == 6.0 and vibrating.spacing_in(20.0) == 18.0
