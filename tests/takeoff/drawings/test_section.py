"""The section: bodies to scale that touch and never overlap, for every leg of every sample plan."""

from __future__ import annotations

from itertools import combinations

import pytest
from shapely.geometry import Polygon

from takeoff.drawings.cut import inside_fill, outside_fill, wall_cut
from takeoff.drawings.scene import Callout, Dimension, Hatch, Path, Symbol, Text
from takeoff.drawings.section import section
from tests.takeoff import plans
from tests.takeoff.drawings.samples import house, laid

LEGS = [(name, leg.name) for name in ("walkout", "garage", "stepped") for leg in plans.SAMPLES[name]().legs()]
FAR = -66.0


def shapes(scene, kind):
    return [s for s in scene.shapes if isinstance(s, kind)]


@pytest.mark.parametrize(("name", "leg"), LEGS, ids=[f"{n}-{g}" for n, g in LEGS])
def test_concrete_fill_and_ground_never_overlap(name, leg) -> None:
    plan = plans.SAMPLES[name]()
    cut = wall_cut(plan, plan.leg(leg))
    first = cut.frost_fill_top if cut.frost_top is not None else cut.footing_bottom
    bodies = [
        ((cut.footing_outside, cut.footing_bottom), (cut.footing_inside, cut.footing_bottom),
         (cut.footing_inside, cut.footing_top), (cut.footing_outside, cut.footing_top)),
        ((0, cut.footing_top), (cut.thickness, cut.footing_top), (cut.thickness, cut.top), (0, cut.top)),
        outside_fill(cut, cut.footing_bottom, first, FAR),
        outside_fill(cut, first, cut.grade_outside, FAR),
        inside_fill(cut, 50),
    ]  # fmt: skip
    solids = [Polygon(points) for points in bodies if points]
    assert all(solid.is_valid for solid in solids)
    for one, other in combinations(solids, 2):
        assert one.intersection(other).area == pytest.approx(0, abs=1e-9)


def test_fill_outside_has_the_area_of_its_trapezoid() -> None:
    """Worked by hand: slope 1 in 1 from 24 in beyond the footing, cut off nowhere."""
    plan = house()
    cut = wall_cut(plan, plan.leg("A"))
    deep = cut.grade_outside - cut.footing_bottom
    bottom_width = -cut.footing_outside + 24
    whole = bottom_width * deep + deep * deep / 2
    footing = -cut.footing_outside * cut.footing_thickness
    filled = Polygon(outside_fill(cut, cut.footing_bottom, cut.grade_outside, -1e6)).area
    assert filled == pytest.approx(whole - footing)


def test_the_two_backfills_make_up_the_whole() -> None:
    plan = house()
    cut = wall_cut(plan, plan.leg("A"))
    parts = [(cut.footing_bottom, cut.frost_fill_top), (cut.frost_fill_top, cut.grade_outside)]
    areas = [Polygon(outside_fill(cut, low, high, FAR)).area for low, high in parts]
    assert sum(areas) == pytest.approx(Polygon(outside_fill(cut, parts[0][0], parts[1][1], FAR)).area)


def test_sizes_on_the_drawing_are_those_of_the_plan() -> None:
    scene = section(laid(house()), "A")
    said = {d.text for d in shapes(scene, Dimension)}
    assert {"1'-8\"", "1'-0 3/4\"", "0'-8\"", "0'-10\"", "4'-0\"", "8'-0\""} <= said


NAMES = (
    "membrane", "drainage board", "drain pipe", "clean stone", "filter fabric", "dowels and keyway", "#4 level",
    "cold joint 90'-0\"", "#5 upright at 18\"", "footing 20\" x 10\"", "capillary break", "slab 4\"",
)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_everything_is_named(name) -> None:
    assert any(name in callout.text for callout in shapes(section(laid(house()), "A"), Callout))


def test_levels_stand_as_triangles() -> None:
    scene = section(laid(house()), "A")
    assert len(shapes(scene, Symbol)) == 3
    words = {t.text for t in shapes(scene, Text)}
    assert {"top of wall 98'-0\"", "slab 90'-4\"", "grade at wall 96'-8\""} <= words


def test_a_garage_wall_has_no_slab_and_no_cold_joint() -> None:
    scene = section(laid(house()), "G2")
    words = " / ".join(c.text for c in shapes(scene, Callout))
    assert "cold joint" not in words and "slab" not in words
    assert any(t.text == "grade inside 96'-8\"" for t in shapes(scene, Text))


def test_a_place_along_a_stepped_leg_has_its_own_levels() -> None:
    plan = house()
    takeoff = laid(plan)
    low, high = section(takeoff, "C", plans.at("2-0")), section(takeoff, "C", plans.at("12-0"))
    assert "top 86'-0\"" in low.description and "top 87'-4\"" in high.description


def test_the_ledge_stands_out_from_the_foam() -> None:
    scene = section(laid(house()), "F")
    ledge = [p for p in shapes(scene, Path) if p.hatch is Hatch.FOAM and min(x for x, _ in p.points) < 0]
    assert [min(x for x, _ in p.points) for p in ledge] == [-6.0]


def test_an_inner_wall_has_the_building_on_both_sides() -> None:
    scene = section(laid(plans.tee(), "T1"), "T1")
    words = " / ".join(c.text for c in shapes(scene, Callout))
    assert "membrane" not in words and "drain" not in words
    slabs = [p for p in shapes(scene, Path) if p.hatch is Hatch.CONCRETE and max(y for _, y in p.points) == 90 * 12 + 4]
    middles = sorted(sum(x for x, _ in p.points) / 4 for p in slabs)
    assert sum(middles) == pytest.approx(12.75), "mirrored about the middle of the wall"
    assert "building on both sides" in scene.description
