"""Wall geometry against worked examples (derived by plane geometry, checked apart; see geometry_worked.json)."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from takeoff.forms import CornerLegs, FormSystem
from takeoff.geometry import outline, place
from takeoff.plan import Arc, Face, Leg, Plan, Straight
from takeoff.units import Length, parse_length
from tests.takeoff.plans import leg, plan, ring

CASES = {c["id"]: c for c in json.loads(Path(__file__).with_name("geometry_worked.json").read_text())["cases"]}


def form(foam: str, core: str) -> FormSystem:
    """A form system of these thicknesses."""
    legs = CornerLegs(Length.inches(core), Length.inches(36), Length.inches(20))
    return FormSystem("f", "F", Length.inches(16), Length.inches(48), Length.inches(foam), Length.inches(6), (legs,))


def built_of(walls: Plan, foam: str, core: str, **changes: Any) -> Plan:
    """The same plan in forms of these thicknesses."""
    legs = tuple(replace(g, form="f", core=Length.inches(core)) for g in walls.walks[0].legs)
    return replace(walls, walks=(replace(walls.walks[0], legs=legs),), forms=(form(foam, core),), **changes)


def straight(name: str, inches: float, turn: float) -> Leg:
    return replace(leg(name, "1", turn), path=Straight(Length.from_inches(inches)))


@pytest.mark.parametrize("face", list(Face))
def test_t01_one_wall_by_face(face: Face) -> None:
    case = CASES["T01"]
    walls = plan(ring(*(leg(n, x) for n, x in zip("ABCD", ("40-0", "28-0", "40-0", "28-0"), strict=True))))
    placed = place(built_of(walls, str(case["foam_in"]), str(case["core_in"]))).legs["A"]
    assert placed.faces[face].length == Length.inches(case["faces_in"][face.value])


@pytest.mark.parametrize("face", [Face.OUTSIDE_OF_CONCRETE, Face.CENTRE_LINE])
def test_t01_backwards_a_plan_dimensioned_inward_gives_the_outside(face: Face) -> None:
    """40'-0" to concrete is 480 + 5 in to the outside of foam: the house is not 5 in short each way."""
    case = CASES["T01"]
    typed = case["faces_in"][face.value]
    legs = [straight(n, typed, 90) for n in "ABCD"]
    placed = place(built_of(plan(ring(*legs)), str(case["foam_in"]), str(case["core_in"]), dimensions_to=face))
    assert {g.outside.length for g in placed.legs.values()} == {Length.inches(480)}


def test_t10_clipped_corner() -> None:
    case = CASES["T10"]
    clip = case["clip_in"]
    sides = (
        ("A", 480 - clip, 45),
        ("B", clip * math.sqrt(2), 45),
        ("C", 336 - clip, 90),
        ("D", 480, 90),
        ("E", 336, 90),
    )
    placed = place(built_of(plan(ring(*(straight(*side) for side in sides))), "2.5", "8"))
    assert placed.legs["B"].outside.length.inch == pytest.approx(case["outside_in"], abs=5e-4)
    assert placed.legs["B"].centre.length.inch == pytest.approx(case["centre_in"], abs=5e-4)


def _half_circle(face: Face, at_inside: bool = False) -> float:
    """Outside length [ft] of a half circle whose radius of 120 in is taken to a face."""
    case = CASES["T19"]
    radius = case["radius_in"] + (case["foam_in"] * 2 + case["core_in"] if at_inside else 0)
    arcs = [replace(leg(n, "1", 0), path=Arc(Length.inches(str(radius)), 180)) for n in "AB"]
    placed = place(built_of(plan(ring(*arcs)), "2.5", "6", dimensions_to=face))
    return placed.legs["A"].outside.length.foot


@pytest.mark.parametrize("face", [Face.OUTSIDE_OF_FOAM, Face.OUTSIDE_OF_CONCRETE, Face.CENTRE_LINE])
def test_t19_radius_by_the_face_it_is_taken_to(face: Face) -> None:
    assert _half_circle(face) == pytest.approx(CASES["T19"]["outside_ft"][face.value], abs=6e-4)


def test_t19_spread_of_the_four_readings() -> None:
    inside = _half_circle(Face.OUTSIDE_OF_FOAM, at_inside=True)
    assert inside == pytest.approx(CASES["T19"]["outside_ft"]["inside_of_foam"], abs=6e-4)
    assert inside - _half_circle(Face.OUTSIDE_OF_FOAM) == pytest.approx(CASES["T19"]["spread_ft"], abs=6e-3)


def test_t21_centre_line_of_an_l_with_a_clipped_corner() -> None:
    case = CASES["T21"]
    corners = [(x * 12.0, y * 12.0) for x, y in case["corners_ft"]]
    sides = [math.dist(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    turns = (45, 45, 90, -90, 90, 90, 90)
    legs = [straight(n, x, t) for n, x, t in zip("ABCDEFG", sides, turns, strict=True)]
    placed = place(built_of(plan(ring(*legs)), "2.5", "8"))
    outside = sum(g.outside.length.foot for g in placed.legs.values())
    centre = sum(g.centre.length.foot for g in placed.legs.values())
    assert outside == pytest.approx(case["outside_ft"], abs=6e-4)
    assert centre == pytest.approx(case["centre_ft"], abs=6e-4)
    assert outline(placed, "house", Face.CENTRE_LINE).perimeter / 12 == pytest.approx(centre)
    section_ft2 = case["footing_width_in"] / 12 * case["footing_thickness_in"] / 12
    assert centre * section_ft2 == pytest.approx(case["footing_ft3"], abs=6e-3)


def test_t48_metric_height_in_inch_units() -> None:
    case = CASES["T48"]
    height = parse_length("2.40 m")
    assert height == Length.mm(case["height_mm"]) == parse_length("2400", "mm")
    for unit, rest in ((Length.inches(16), case["rest_16_mm"]), (Length.inches(18), case["rest_18_mm"])):
        assert (height // unit, height % unit) == (5, Length.mm(str(rest)))
    assert parse_length("8'-0\"") - height == Length.mm(str(case["too_tall_as_8_ft_mm"]))
