"""Braces and planks, wall by wall."""

from __future__ import annotations

from takeoff import bracing, geometry
from takeoff.plan import Plan, Stage
from takeoff.results import Quantity
from takeoff.site import BraceSpec
from tests.takeoff.plans import at, garage, openings, rectangle, tee


def quantity(made: Plan, key: str, stage: Stage, section: str = "main") -> Quantity:
    part = bracing.braces(made, geometry.place(made))
    (found,) = [q for q in part.quantities if (q.key, q.stage, q.section) == (key, stage, section)]
    return found


def test_a_wall_shorter_than_both_first_distances_still_has_a_brace() -> None:
    assert bracing.field_braces(at("3-0"), BraceSpec()) == 1
    assert bracing.field_braces(at("4-0"), BraceSpec()) == 1
    assert bracing.field_braces(at("4-1"), BraceSpec()) == 2


def test_openings_count_in_the_wall_they_stand_in() -> None:
    plain, pierced = rectangle(), openings()
    assert quantity(pierced, "braces", Stage.FULL_WALL).amount == quantity(plain, "braces", Stage.FULL_WALL).amount + 4
    assert quantity(pierced, "braces", Stage.FROST_WALL).amount == quantity(plain, "braces", Stage.FROST_WALL).amount


def test_two_more_at_each_t() -> None:
    wall = quantity(tee(), "braces", Stage.FULL_WALL)
    assert wall.amount - quantity(rectangle(), "braces", Stage.FULL_WALL).amount == 5 + 2 * 2
    assert "2 T x 2" in wall.basis


def test_low_frost_walls_are_braced_but_need_no_planks() -> None:
    part = bracing.braces(garage(), geometry.place(garage()))
    frost = [q for q in part.quantities if q.section == "garage"]
    assert [q.key for q in frost] == ["braces"]


def test_the_sum_is_written_out() -> None:
    wall = quantity(openings(), "braces", Stage.FULL_WALL)
    assert "A 7 + 1 openings x 2" in wall.basis and wall.basis.endswith(f"= {wall.amount:g}")


def test_spacing_is_a_criterion_of_each_wall() -> None:
    part = bracing.braces(rectangle(), geometry.place(rectangle()))
    assert {(c.stage, c.value) for c in part.criteria} == {(Stage.FROST_WALL, 72.0), (Stage.FULL_WALL, 72.0)}
