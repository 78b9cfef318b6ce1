"""Lengths and strips beside the legs against polygons offset by shapely."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.bands import bands, corner_spread, has_ground_outside, leg_bands, strip_area
from takeoff.geometry import Corner, CornerKind
from takeoff.plan import Face
from tests.takeoff import plans
from tests.takeoff.ground import grown, outside_polygon, placed, ring_between, walk_bands

STRAIGHT = ("rectangle", "l_shape", "bay", "stepped", "openings")
TANGENT = ("round_corner",)
SKEW = ("porch_arc",)


@pytest.mark.parametrize("name", STRAIGHT)
@pytest.mark.parametrize(("near", "far"), [(0.0, 3.625), (3.625, 15.625), (0.0, 60.0), (-12.75, 0.0), (-30.0, -12.75)])
def test_strips_of_all_legs_make_the_offset_ring(name: str, near: float, far: float) -> None:
    placement = placed(plans.SAMPLES[name]())
    got = sum(band.out_area(near, far) for band in walk_bands(placement))
    assert got == pytest.approx(ring_between(outside_polygon(placement), near, far), rel=1e-6)


@pytest.mark.parametrize("name", TANGENT)
def test_a_tangent_arc_is_exact_at_any_distance(name: str) -> None:
    placement = placed(plans.SAMPLES[name]())
    got = sum(band.out_area(0.0, 36.0) for band in walk_bands(placement))
    assert got == pytest.approx(ring_between(outside_polygon(placement), 0.0, 36.0), rel=2e-5)  # chords of 0.5 degree


@pytest.mark.parametrize("name", SKEW)
def test_an_arc_met_square_is_within_a_part_in_a_thousand(name: str) -> None:
    """The mitre between a line and an arc is taken on the bisector of their tangents."""
    placement = placed(plans.SAMPLES[name]())
    got = sum(band.out_area(0.0, 16.0) for band in walk_bands(placement))
    assert got == pytest.approx(ring_between(outside_polygon(placement), 0.0, 16.0), rel=2e-3)


@pytest.mark.parametrize("name", [*STRAIGHT, *TANGENT])
def test_line_beside_the_wall_has_the_length_of_the_offset_ring(name: str) -> None:
    placement = placed(plans.SAMPLES[name]())
    length = sum(band.out_length(20.0) for band in walk_bands(placement))
    assert length == pytest.approx(grown(outside_polygon(placement), 20.0).length, rel=2e-5)


@pytest.mark.parametrize("name", [*STRAIGHT, *TANGENT, *SKEW, "two_cores", "walkout"])
def test_stretches_of_a_leg_add_up_to_its_faces(name: str) -> None:
    placement = placed(plans.SAMPLES[name]())
    for geometry in placement.legs.values():
        parts = leg_bands(geometry)
        assert sum(b.outside for b in parts) == pytest.approx(geometry.outside.length.inch, abs=1e-6)
        assert sum(b.centre for b in parts) == pytest.approx(geometry.centre.length.inch, abs=1e-6)
        inside = geometry.faces[Face.INSIDE_OF_FOAM].length.inch
        assert sum(b.inside for b in parts) == pytest.approx(inside, abs=1e-6)


def test_a_step_keeps_its_place_whatever_face_is_dimensioned() -> None:
    """A at 14'-0" from its start on the outside; on the concrete the first part is shorter by the foam."""
    stretch = placed(plans.stepped())
    first = next(band for band in bands(stretch) if band.name == "A")
    assert first.outside == pytest.approx(14 * 12)
    assert first.centre == pytest.approx(14 * 12 - 12.75 / 2)
    assert first.inside == pytest.approx(14 * 12 - 12.75)


def test_which_walls_have_ground_outside() -> None:
    for name, expected in (
        ("garage", {"G1": True, "G2": True, "G3": True, "A": True}),
        ("tee", {"T1": False, "A": True}),
        ("walkout", {"T1": False, "G1": True, "J": True}),
    ):
        placement = placed(plans.SAMPLES[name]())
        found = {leg: has_ground_outside(placement, placement.legs[leg]) for leg in expected}
        assert found == expected


@pytest.mark.parametrize(
    ("kind", "turn", "expected"),
    [
        (CornerKind.OUTSIDE, 90.0, 1.0),
        (CornerKind.INSIDE, 90.0, -1.0),
        (CornerKind.OUTSIDE, 45.0, math.tan(math.pi / 8)),
        (CornerKind.STRAIGHT, 0.0, 0.0),
        (CornerKind.END, 0.0, 0.0),
        (CornerKind.TEE, 90.0, -1.0),
    ],
)
def test_what_a_corner_adds_per_inch(kind: CornerKind, turn: float, expected: float) -> None:
    assert corner_spread(Corner(kind, turn, 0.0, 0.0)) == pytest.approx(expected)


@given(a=st.floats(100, 2000), b=st.floats(100, 2000), far=st.floats(0.5, 200))
@settings(max_examples=50, deadline=None)
def test_a_loop_of_strips_is_the_difference_of_rectangles(a: float, b: float, far: float) -> None:
    got = strip_area(2 * (a + b), 8.0, 0.0, far)
    assert got == pytest.approx((a + 2 * far) * (b + 2 * far) - a * b, rel=1e-9)


def test_a_t_wall_gets_shorter_going_away_on_both_sides() -> None:
    band = next(b for b in bands(placed(plans.tee())) if b.name == "T1")
    assert band.out_length(10.0) == pytest.approx(band.outside - 20.0)
    assert band.in_length(10.0) == pytest.approx(band.inside - 20.0)
