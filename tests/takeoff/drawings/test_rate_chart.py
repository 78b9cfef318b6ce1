"""The chart of the highest rise by temperature: drawn for a phone and a desk, said in words, no curve where none is."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.drawings.rate_chart import rate_chart
from takeoff.drawings.scene import Path, Stroke
from takeoff.drawings.svg import render
from takeoff.pour.pressure import CAUTION, Placing, rate_by_temperature

WALL = Placing(9.0, 1.0, 60.0, 5.0)


def points(placing=WALL, rated=900.0):
    found = rate_by_temperature(placing, rated)
    assert isinstance(found, tuple)
    return found


@pytest.mark.parametrize("width", [340, 720])
def test_it_is_drawn_in_the_width_asked_with_its_words(width):
    scene = rate_chart(points(), (60.0, 3.5), width)
    svg = ET.fromstring(render(scene, width))
    assert float(svg.attrib["width"]) == width
    assert CAUTION in scene.description and "Planned: 3.50 ft/h at 60 °F." in scene.description


def test_warmer_concrete_may_rise_faster_and_the_curve_climbs():
    """ACI 347-04 2.2.2.1 as printed by M. K. Hurd: R = (p - 150) T / 9000, below 7 ft/h as T."""
    curve = next(s for s in rate_chart(points(rated=700.0)).shapes if isinstance(s, Path) and s.stroke is Stroke.HEAVY)
    heights = [y for _, y in curve.points]
    assert heights == sorted(heights) and heights[-1] / heights[4] == pytest.approx(90 / 60)


def test_where_no_rate_is_slow_enough_there_is_no_curve_but_a_sentence():
    scene = rate_chart(points(rated=500.0))
    assert not [s for s in scene.shapes if isinstance(s, Path) and s.stroke is Stroke.HEAVY]
    assert "40 to 90 °F: Full liquid head governs" in scene.description


def test_where_pressure_sets_no_limit_that_is_said():
    assert "pressure sets no limit" in rate_chart(points(rated=2000.0)).description


def test_one_temperature_is_no_chart():
    with pytest.raises(ValueError, match="two temperatures"):
        rate_chart(points()[:1])


@settings(max_examples=25)
@given(st.floats(2, 20), st.floats(300, 2500), st.one_of(st.none(), st.tuples(st.floats(35, 110), st.floats(0.1, 40))))
def test_every_wall_and_form_can_be_drawn(height, rated, planned):
    scene = rate_chart(points(Placing(height, 1.0, 60.0, 5.0), rated), planned)
    for shape in scene.shapes:
        if isinstance(shape, Path):
            assert all(-1e-6 <= y <= 150 + 1e-6 for _, y in shape.points)
