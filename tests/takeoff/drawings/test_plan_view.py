"""The plan: what is hatched as concrete is the concrete, and every leg, opening, step and section is named."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from takeoff.drawings.plan_view import SECTION_MARKS, plan_view
from takeoff.drawings.scene import Dimension, Hatch, Path, Stroke, Symbol, Text
from takeoff.geometry import place
from tests.takeoff import plans
from tests.takeoff.drawings.samples import house

STRAIGHT = ["rectangle", "l_shape", "bay", "tee", "garage", "stepped", "openings", "ledge"]


def shapes(scene, kind):
    return [s for s in scene.shapes if isinstance(s, kind)]


def texts(scene) -> list[str]:
    return [t.text for t in shapes(scene, Text)]


def hatched(scene, hatch) -> list[Polygon]:
    return [Polygon(bent(p)) for p in shapes(scene, Path) if p.hatch is hatch]


def bent(path: Path, pieces: int = 200):
    """A closed path with its bends as many short lines, worked out from chord and sweep."""
    out = []
    points = [*path.points, path.points[0]]
    bulges = [*path.bulges, *[0.0] * (len(path.points) - len(path.bulges))]
    for (x0, y0), (x1, y1), bulge in zip(points, points[1:], bulges, strict=False):
        out.append((x0, y0))
        if bulge:
            sweep = 4 * math.atan(bulge)
            mx, my, half = (x0 + x1) / 2, (y0 + y1) / 2, math.dist((x0, y0), (x1, y1)) / 2
            height = half / math.tan(sweep / 2)
            cx, cy = mx - (y1 - y0) / (2 * half) * height, my + (x1 - x0) / (2 * half) * height
            start = math.atan2(y0 - cy, x0 - cx)
            r = math.dist((x0, y0), (cx, cy))
            for n in range(1, pieces):
                turn = start + sweep * n / pieces
                out.append((cx + r * math.cos(turn), cy + r * math.sin(turn)))
    return out


@pytest.mark.parametrize("name", STRAIGHT)
def test_hatched_concrete_is_the_core_less_its_openings(name) -> None:
    """Against a buffer of the centre lines by half a core (shapely): an independent way to the same area."""
    plan = plans.SAMPLES[name]()
    placement = place(plan)
    core = 0.0
    for geometry in placement.legs.values():
        line = LineString([geometry.centre.start, geometry.centre.end])
        core += line.length * geometry.leg.core.inch
        core -= sum(o.width.inch for o in geometry.leg.openings) * geometry.leg.core.inch
    drawn = sum(p.area for p in hatched(plan_view(plan, placement), Hatch.CONCRETE))
    assert drawn == pytest.approx(core, rel=1e-6)


@pytest.mark.parametrize("name", ["rectangle", "l_shape", "bay", "porch_arc", "round_corner", "two_cores"])
def test_walls_do_not_overlap(name) -> None:
    polygons = hatched(plan_view(plans.SAMPLES[name]()), Hatch.CONCRETE)
    assert unary_union(polygons).area == pytest.approx(sum(p.area for p in polygons), rel=1e-5)


def test_an_arc_keeps_its_thickness_all_along() -> None:
    """The half-round of the porch: ring sector between radius 8 ft less foam and less foam and core."""
    plan = plans.porch_arc()
    geometry = place(plan).legs["B"]
    centre = geometry.outside.curve
    arcs = [p for p in shapes(plan_view(plan), Path) if p.stroke is Stroke.VISIBLE and p.bulges and p.bulges[0]]
    assert len(arcs) == 2
    for arc in arcs:
        radius = {math.dist(point, (centre.cx, centre.cy)) for point in arc.points}
        assert max(radius) == pytest.approx(min(radius))
    radii = sorted(math.dist(a.points[0], (centre.cx, centre.cy)) for a in arcs)
    assert radii[1] - radii[0] == pytest.approx(12.75)


@pytest.mark.parametrize("name", plans.SAMPLES)
def test_every_leg_is_named_and_measured(name) -> None:
    plan = plans.SAMPLES[name]()
    scene, placement = plan_view(plan), place(plan)
    names = [s.text for s in shapes(scene, Symbol)]
    said = [d.text for d in shapes(scene, Dimension)] + texts(scene)
    for leg in plan.legs():
        assert leg.name in names
        geometry = placement.legs[leg.name]
        curve = geometry.faces[plan.dimensions_to].curve
        assert any(str(geometry.dimension_length) == word for word in said) or curve is not None


def test_dimensions_are_to_the_face_the_plan_names() -> None:
    outside, centre = plans.rectangle(), plans.rectangle()
    object.__setattr__(centre, "dimensions_to", plans.Face.CENTRE_LINE)
    to_foam, to_centre = (shapes(plan_view(p), Dimension)[0] for p in (outside, centre))
    assert to_foam.text == to_centre.text == "40'-0\""
    assert to_foam.y0 == pytest.approx(0) and to_centre.y0 == pytest.approx(0)
    assert any("centre line" in entry.label for entry in plan_view(centre).legend)


def test_openings_are_gaps_with_their_width() -> None:
    scene = plan_view(house())
    assert {"W1  3'-0\"", "D1  3'-4\""} <= set(texts(scene))


def test_turns_that_are_not_square_are_said() -> None:
    assert texts(plan_view(house())).count("45°") == 2
    assert "90°" not in texts(plan_view(plans.rectangle()))


def test_arcs_say_radius_and_sweep() -> None:
    assert "R 4'-0\", 90°" in texts(plan_view(house()))


def test_steps_say_what_changes_to_what() -> None:
    assert {"footing 87'-4\"", "grade 93'-0\""} <= set(texts(plan_view(house())))


def test_each_section_has_its_own_bubble_and_name() -> None:
    scene = plan_view(house())
    marks = {s.text: s.mark for s in shapes(scene, Symbol)}
    assert marks["A"] is SECTION_MARKS[0] and marks["G1"] is SECTION_MARKS[1]
    assert {"MAIN BASEMENT", "GARAGE", "slab 90'-4\""} <= set(texts(scene))
    assert {"leg of main basement", "leg of garage"} <= {entry.label for entry in scene.legend}


def test_a_leg_that_could_not_be_placed_is_left_out() -> None:
    plan = plans.rectangle()
    placement = place(plan)
    short = type(placement)({k: g for k, g in placement.legs.items() if k != "C"}, (), ())
    assert "C" not in [s.text for s in shapes(plan_view(plan, short), Symbol)]
