"""The order by wall area against the order by layout: both counted by hand on samples, reasons that add up."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from takeoff.area_method import Comparison, compare
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.plan import Plan, RestWay, Stage
from takeoff.results import Takeoff
from tests.takeoff import plans
from tests.takeoff.examples import NAMES, taken_off
from tests.takeoff.plans import at
from tests.takeoff.test_ledges import around
from tests.takeoff.test_radius import inward

UNITS = ("blocks.straight", "blocks.corner", "blocks.half_height", "blocks.ledge", "blocks.radius_more")


@cache
def sample(name: str) -> Takeoff:
    return compute(plans.SAMPLES[name](), CuttingMethod.FIRST_FIT)


def full_wall(plan: Plan) -> Comparison:
    return next(c for c in compare(compute(plan, CuttingMethod.FIRST_FIT)) if c.stage is Stage.FULL_WALL)


def units_of(comparison: Comparison, name: str) -> float:
    return next((r.units for r in comparison.reasons if r.name == name), 0.0)


def check(takeoff: Takeoff) -> None:
    """Reasons add up to the difference, and all units of the takeoff are in one of the comparisons."""
    found = compare(takeoff)
    for each in found:
        assert sum(r.units for r in each.reasons) == pytest.approx(each.difference, abs=0.01 * len(each.reasons) + 0.02)
        assert all(r.text for r in each.reasons)
    ordered = sum(q.amount for q in takeoff.quantities if q.key.startswith(UNITS))
    assert sum(each.by_layout for each in found) == ordered


@pytest.mark.parametrize("name", plans.SAMPLES)
def test_reasons_of_the_samples_add_up(name):
    check(sample(name))


@pytest.mark.parametrize("name", NAMES)
def test_reasons_of_the_example_houses_add_up(name):
    check(taken_off(name))


def test_a_rectangle_by_hand():
    """136 ft round, 8 ft of full-height wall: 1,088 ft2; a unit is 4 ft x 16 in."""
    comparison = full_wall(plans.rectangle())
    assert comparison.wall_ft2 == pytest.approx(1088)
    assert comparison.openings_ft2 == 0
    assert comparison.by_area == pytest.approx(204)
    assert comparison.corners == 24
    # a corner unit has legs of 38 and 22 in, 60 in for the 48 of a straight one
    assert units_of(comparison, "corner units") == pytest.approx(24 - 24 * 60 / 48)
    assert "1,088" in comparison.basis


def test_openings_by_hand():
    """Window 36 x 48 in and door 40 x 82 in, both above the cold joint."""
    comparison = full_wall(plans.openings())
    assert comparison.openings_ft2 == pytest.approx((36 * 48 + 40 * 82) / 144)
    assert comparison.net_ft2 == pytest.approx(1088 - 34.78, abs=0.005)
    assert units_of(comparison, "openings") > 0


def test_area_orders_nothing_for_what_a_rip_throws_away():
    """94 in of wall: the top course is ripped to 14 of 16 in; an eighth of its units is lost all round."""
    plan = plans.rectangle(frost_top=None, footing_top=at("90-2"))
    comparison = full_wall(plan)
    assert comparison.wall_ft2 == pytest.approx(136 * 94 / 12)
    straight = 136 * 12 - 4 * 60
    assert units_of(comparison, "ripped courses") == pytest.approx(straight / 48 * 2 / 16)


def test_low_units_count_for_what_they_are():
    plan = plans.rectangle(frost_top=None, footing_top=at("90-8"))
    by_half = replace(plan, sections=(replace(plan.sections[0], rest_way=RestWay.PART_HEIGHT),))
    takeoff = compute(by_half, CuttingMethod.FIRST_FIT)
    check(takeoff)
    low = sum(q.amount for q in takeoff.quantities if q.key.startswith("blocks.half_height"))
    assert low > 0
    assert units_of(compare(takeoff)[0], "low units") >= low / 2 - 1e-6


def test_lips_of_a_ledge_are_a_reason():
    assert units_of(full_wall(around(*"ABCD")), "brick ledge") > 0
    assert units_of(full_wall(plans.rectangle()), "brick ledge") == 0


def test_a_wall_bent_inward_takes_more_than_its_outside_face():
    comparison = full_wall(inward())
    assert units_of(comparison, "walls bent inward") == 6  # one a course
    check(compute(inward(), CuttingMethod.FIRST_FIT))


def test_bucks_are_a_reason_of_their_own():
    plan = plans.openings()
    with_bucks = replace(plan, spec=replace(plan.spec, layout=replace(plan.spec.layout, buck=at("1.5"))))
    assert units_of(full_wall(with_bucks), "bucks") < 0
    assert full_wall(with_bucks).openings_ft2 == pytest.approx(full_wall(plan).openings_ft2)
    check(compute(with_bucks, CuttingMethod.FIRST_FIT))


def test_nothing_to_compare_without_units():
    refused = Takeoff(plans.rectangle(), (), (), (), (), (), (), ())
    assert compare(refused) == ()
