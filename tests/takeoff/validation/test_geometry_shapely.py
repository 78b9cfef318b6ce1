"""Faces, areas and lengths against shapely, a general-purpose geometry library that knows nothing of walls.

The line a plan was walked on is drawn apart from our code; shapely's mitred buffer of it is another face of the wall.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.geometry import LineString

from takeoff.curves import flatten
from takeoff.geometry import LegGeometry, Outline, enclosed_area_in2, outline, place
from takeoff.plan import Face, Plan, Straight
from takeoff.units import Length
from takeoff.walking import depth_of
from tests.takeoff.plans import SAMPLES, plan, ring
from tests.takeoff.rings import Drawn, drawn_plans

FEW = settings(max_examples=25, deadline=None)


def mitred(line: Polygon, outward: float) -> Polygon:
    """The parallel of a closed line, corners mitred."""
    return line.buffer(outward, join_style="mitre", mitre_limit=20.0)


def polygon_of(shape: Outline, step_deg: float = 0.5) -> Polygon:
    """An outline as a polygon, its bends in short chords."""
    points: list[tuple[float, float]] = []
    for k, start in enumerate(shape.points):
        end, sweep = shape.points[(k + 1) % len(shape.points)], 4 * math.degrees(math.atan(shape.bulges[k]))
        points += flatten(start, end, _centre(start, end, sweep), sweep, step_deg)[:-1]
    return Polygon(points)


def _centre(start: tuple[float, float], end: tuple[float, float], sweep: float) -> tuple[float, float] | None:
    if abs(sweep) < 1e-9:
        return None
    rise = 1 / (2 * math.tan(math.radians(sweep / 2)))
    (x0, y0), (x1, y1) = start, end
    return ((x0 + x1) / 2 - (y1 - y0) * rise, (y0 + y1) / 2 + (x1 - x0) * rise)


@FEW
@given(drawn_plans(), st.sampled_from(list(Face)))
def test_every_face_encloses_what_a_mitred_buffer_does(drawn: Drawn, face: Face) -> None:
    placement = place(drawn.plan)
    assert not placement.problems
    expected = mitred(Polygon(drawn.line), -depth_of(drawn.plan, drawn.plan.legs()[0], face))
    near = 2e-4 if drawn.bent else 1e-9
    assert enclosed_area_in2(placement, "house", face) == pytest.approx(expected.area, rel=near)
    assert outline(placement, "house", face).perimeter == pytest.approx(expected.exterior.length, rel=near)
    assert sum(g.faces[face].length.inch for g in placement.legs.values()) == pytest.approx(
        expected.exterior.length, rel=near
    )
    assert polygon_of(outline(placement, "house", face)).symmetric_difference(expected).area < 1e-3 * expected.area


@FEW
@given(
    st.sampled_from([Face.OUTSIDE_OF_CONCRETE, Face.CENTRE_LINE]).flatmap(lambda face: drawn_plans(face)),
    st.sampled_from(list(Face)),
)
def test_a_plan_dimensioned_inward_has_the_right_outside(drawn: Drawn, face: Face) -> None:
    placement = place(drawn.plan)
    assert not placement.problems
    leg = drawn.plan.legs()[0]
    outward = depth_of(drawn.plan, leg, drawn.plan.dimensions_to) - depth_of(drawn.plan, leg, face)
    expected = mitred(Polygon(drawn.line), outward)
    near = 2e-4 if drawn.bent else 1e-9
    assert enclosed_area_in2(placement, "house", face) == pytest.approx(expected.area, rel=near)
    assert outline(placement, "house", face).perimeter == pytest.approx(expected.exterior.length, rel=near)


@FEW
@given(drawn_plans())
def test_each_leg_of_a_face_lies_at_its_depth_from_the_outside(drawn: Drawn) -> None:
    placement = place(drawn.plan)
    for leg in placement.legs.values():
        for face, line in leg.faces.items():
            middle = line.at(line.length.inch / 2)
            outside = polygon_of(outline(placement, "house", Face.OUTSIDE_OF_FOAM)).exterior
            away = outside.distance(LineString([middle, middle]))
            assert away == pytest.approx(depth_of(drawn.plan, leg.leg, face), abs=2e-2)


@FEW
@given(drawn_plans(treatments=("square", "clip")), st.sampled_from([Face.OUTSIDE_OF_CONCRETE, Face.CENTRE_LINE]))
def test_lengths_read_off_one_face_and_typed_on_it_give_the_same_house(drawn: Drawn, face: Face) -> None:
    placement = place(drawn.plan)
    again = place(_typed_on(drawn, placement.legs, face))
    for name, leg in placement.legs.items():
        assert abs(again.legs[name].outside.length - leg.outside.length) <= Length(200)


def _typed_on(drawn: Drawn, legs: dict[str, LegGeometry], face: Face) -> Plan:
    typed = [replace(leg.leg, path=Straight(leg.faces[face].length)) for leg in legs.values()]
    return plan(ring(*typed, heading_deg=drawn.plan.walks[0].heading_deg), dimensions_to=face)


@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_walls_of_the_samples_cover_the_ground_once(name: str) -> None:
    """The wall's plan area is what lies between its outer faces, and equals thickness x centre line for a ring of
    one thickness with mitred corners (Pappus on each leg)."""
    walls = SAMPLES[name]()
    placement = place(walls)
    assert set(placement.legs) == {leg.name for leg in walls.legs()}
    for ring_name in placement.rings():
        outer = polygon_of(outline(placement, ring_name, Face.OUTSIDE_OF_FOAM), 0.1)
        inner = polygon_of(outline(placement, ring_name, Face.INSIDE_OF_FOAM), 0.1)
        assert outer.is_valid and inner.is_valid and outer.contains(inner)
        legs = placement.of_walk(ring_name)
        by_legs = sum(g.centre.length.inch * depth_of(walls, g.leg, Face.INSIDE_OF_FOAM) for g in legs)
        uneven = len({g.leg.core for g in legs}) > 1  # the mitre of two thicknesses is not halved by the centre line
        bent_joint = any(g.outside.curve for g in legs) and name != "round_corner"  # nor that of a line and an arc
        near = 2e-3 if uneven else 3e-4 if bent_joint else 1e-5
        assert outer.area - inner.area == pytest.approx(by_legs, rel=near)
