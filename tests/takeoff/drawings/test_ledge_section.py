"""The section through a brick ledge, to the measures it says."""

from __future__ import annotations

import itertools
import math

import pytest

from takeoff.drawings.ledge_section import ledge_section
from takeoff.drawings.scene import Callout, Dimension, Hatch, Path, Stroke
from takeoff.drawings.svg import render
from takeoff.geometry import place
from takeoff.ledges import LedgeRun, ledge_runs
from tests.takeoff import plans


def run_of() -> LedgeRun:
    plan = plans.ledge()
    return ledge_runs(plan, place(plan))[0]


def area(points: tuple[tuple[float, float], ...]) -> float:
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


def test_the_concrete_is_the_core_and_the_haunch():
    (concrete,) = [s for s in ledge_section(run_of(), 4).shapes if isinstance(s, Path) and s.hatch is Hatch.CONCRETE]
    tall = max(y for _, y in concrete.points) - min(y for _, y in concrete.points)
    assert area(concrete.points) == pytest.approx(8 * tall + 6 * 12 / 2)


def test_the_outer_panel_keeps_its_thickness_along_the_flare():
    panels = [s for s in ledge_section(run_of(), 4).shapes if isinstance(s, Path) and s.hatch is Hatch.FOAM]
    flared = max(panels, key=lambda s: len(s.points))
    tall = max(y for _, y in flared.points) - min(y for _, y in flared.points)
    assert area(flared.points) == pytest.approx(2.375 * tall)


def test_the_stirrup_is_drawn_to_its_legs_inside_the_concrete():
    (bar,) = [s for s in ledge_section(run_of(), 4).shapes if isinstance(s, Path) and s.stroke is Stroke.BAR]
    legs = [math.dist(a, b) for a, b in itertools.pairwise(bar.points)]
    assert legs == pytest.approx([10.5, 11.0, 10.5 * math.sqrt(1.25)])
    for x, y in bar.points:
        assert -12 - 1e-6 <= y <= -1.5
        assert -6 * (1 + y / 12) < x < 8


def test_dimensions_say_what_is_drawn():
    for shape in ledge_section(run_of(), 4).shapes:
        if isinstance(shape, Dimension):
            assert shape.text == f'{math.dist((shape.x0, shape.y0), (shape.x1, shape.y1)):g}"'


@pytest.mark.parametrize("width", [320, 640])
def test_written_on_a_phone_and_on_a_desk(width):
    scene = ledge_section(run_of(), 4)
    said = [s.text for s in scene.shapes if isinstance(s, Callout)]
    svg = render(scene, width)
    assert all(text.split()[0] in svg for text in said)
    assert "engineer's detail goes before it" in svg
