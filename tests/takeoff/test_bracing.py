"""Braces and planks, wall by wall."""

from __future__ import annotations

from dataclasses import replace

from takeoff import bracing, geometry
from takeoff.plan import Plan, Stage
from takeoff.results import Quantity
from takeoff.site import BraceSpec
from tests.takeoff.plans import at, bay, garage, openings, porch_arc, rectangle, round_corner, tee


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
    assert "4 at 2 Ts" in wall.basis


def test_low_frost_walls_are_braced_but_need_no_planks() -> None:
    part = bracing.braces(garage(), geometry.place(garage()))
    frost = [q for q in part.quantities if q.section == "garage"]
    assert [q.key for q in frost] == ["braces"]


def test_the_sum_is_written_out() -> None:
    wall = quantity(openings(), "braces", Stage.FULL_WALL)
    assert "and 1 to begin with, 2 at 1 opening: 9" in wall.basis and wall.basis.endswith(f"Together {wall.amount:g}")
    assert "A 33'-10 1/2\" at 6': 5.6, so 6, and 1" in wall.basis and "ceil" not in wall.basis


def test_spacing_is_a_criterion_of_each_wall() -> None:
    part = bracing.braces(rectangle(), geometry.place(rectangle()))
    assert {(c.stage, c.value) for c in part.criteria} == {(Stage.FROST_WALL, 72.0), (Stage.FULL_WALL, 72.0)}


def test_a_corner_mitred_on_site_gets_one_more() -> None:
    """Four corners of 45 degrees: none is mitred where the system makes the unit, all of them where it does not."""
    made = bay()
    without = replace(made, forms=tuple(replace(form, corners_45=()) for form in made.forms))
    plain, mitred = (quantity(p, "braces", Stage.FULL_WALL) for p in (made, without))
    assert mitred.amount == plain.amount + 4
    assert "1 at a mitred corner" in mitred.basis and "mitred" not in plain.basis


def test_a_radius_is_braced_every_four_feet() -> None:
    """Half round of 8 ft outside, 12 3/4 in thick: 21.79 ft inside, ceil(17.79 / 4) + 1 = 6 against 4 on a straight."""
    found = {row.leg: row for row in _rows(porch_arc())}
    assert (found["B"].field, found["B"].bent) == (6, True)
    part = bracing.braces(round_corner(), geometry.place(round_corner()))
    spacing = {c.legs: c.value for c in part.criteria if c.stage is Stage.FULL_WALL}
    assert spacing == {("A", "C", "D", "E"): 72.0, ("B",): 48.0}


def _rows(made: Plan) -> list[bracing.Braced]:
    placement = geometry.place(made)
    rows = (bracing.braced(made, leg, Stage.FULL_WALL) for leg in placement.legs.values())
    return [row for row in rows if row is not None]


def test_planks_of_another_length() -> None:
    """16 ft planks lapped 2 ft along 38 ft: 2 x ceil(36 / 14)."""
    spec = replace(BraceSpec(), plank_length=at("16-0"), plank_lap=at("2-0"))
    assert bracing.plank_count(at("38-0"), spec) == 6


def test_braces_of_a_pour_are_those_of_its_legs() -> None:
    made = openings()
    placement = geometry.place(made)
    whole = bracing.braces_for(made, placement, Stage.FULL_WALL, "ABCD")
    assert whole == quantity(made, "braces", Stage.FULL_WALL).amount
    parts = [bracing.braces_for(made, placement, Stage.FULL_WALL, legs) for legs in ("AB", "CD")]
    assert sum(parts) == whole and min(parts) > 0
    assert bracing.braces_for(made, placement, Stage.FOOTING, "ABCD") == 0


def test_more_braces_than_are_in_the_yard_are_told() -> None:
    made = rectangle()
    needed = int(quantity(made, "braces", Stage.FULL_WALL).amount)

    def told(owned: int) -> list[str]:
        spec = replace(made.spec, braces=replace(made.spec.braces, owned=owned))
        other = replace(made, spec=spec)
        return [p.sentence for p in bracing.braces(other, geometry.place(other)).problems]

    assert told(0) == [] and told(needed) == []
    assert f"{needed} braces are needed and {needed - 3} are in the yard" in told(needed - 3)[-1]
    assert told(needed - 3)[-1].endswith("rent 3.")
