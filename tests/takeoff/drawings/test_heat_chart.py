"""The two charts of a wall after its pour: lines told apart by kind and name, limits, ranges, all of it in words."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from takeoff.drawings.heat_chart import HEIGHT, LEFT, Limit, strength_chart, temperature_chart
from takeoff.drawings.scene import Hatch, Line, Path, Stroke, Text
from takeoff.drawings.svg import render
from takeoff.heat.answers import CAUTION, backfill_strength, survives_a_freeze
from takeoff.heat.layers import Cover
from takeoff.heat.maturity import typed_readings
from takeoff.heat.outlook import look_ahead
from tests.takeoff.heat.given import steady_wall

OUTLOOK = look_ahead(replace(steady_wall(-8.0, 7), top_covers=(Cover(0.5),)))


def lines(scene):
    return [s for s in scene.shapes if isinstance(s, Path) and not s.closed]


def words(scene):
    return [s.text for s in scene.shapes if isinstance(s, Text)]


def test_every_line_has_its_own_kind_and_name() -> None:
    scene = temperature_chart(OUTLOOK, 720, (Limit(55, "least"),))
    assert [p.stroke for p in lines(scene)] == [Stroke.HEAVY, Stroke.VISIBLE, Stroke.HIDDEN, Stroke.THIN]
    for name in ("core", "corner", "top", "air"):
        assert any(w.startswith(f"{name} ") and w.endswith(" °F") for w in words(scene))
    assert {"freezing", "least", "days from placing"} <= set(words(scene))
    assert len({legend.stroke for legend in scene.legend if legend.stroke}) == 5


def test_the_range_is_a_tone_around_the_likely_line() -> None:
    scene = strength_chart(OUTLOOK, 720)
    band = next(s for s in scene.shapes if isinstance(s, Path) and s.hatch is Hatch.PLAIN)
    likely = lines(scene)[0].points
    half = len(band.points) // 2
    low, high = band.points[:half], tuple(reversed(band.points[half:]))
    assert all(a[1] - 1e-9 <= b[1] <= c[1] + 1e-9 for a, b, c in zip(low, likely, high, strict=True))


def test_nothing_leaves_the_chart() -> None:
    for scene in (temperature_chart(OUTLOOK, 390), strength_chart(OUTLOOK, 390, until_h=48)):
        for path in lines(scene):
            assert all(LEFT - 1e-6 <= x <= 390 * 0.75 - 20 and -1e-6 <= y <= HEIGHT + 1e-6 for x, y in path.points)


def test_an_answer_stands_at_its_hours() -> None:
    answer = backfill_strength(OUTLOOK, 1500)
    scene = strength_chart(OUTLOOK, 720, [(1500, answer)])
    upright = sorted(s.x0 for s in scene.shapes if isinstance(s, Line) and s.x0 == s.x1 and s.y0 == 0 and s.y1 > 3)
    start, end = lines(scene)[0].points[0][0], lines(scene)[0].points[-1][0]
    hours = [(x - start) / (end - start) * 168 for x in upright]
    assert hours == pytest.approx([answer.low, answer.likely, answer.high])
    assert answer.words in scene.description and CAUTION in scene.description


def test_readings_are_crosses() -> None:
    readings = typed_readings([(2, 61), (12, 75), (24, 90)])
    plain = temperature_chart(OUTLOOK, 720)
    crossed = temperature_chart(look_ahead(OUTLOOK.wall, readings=readings), 720)
    count = [sum(isinstance(s, Line) and s.x0 != s.x1 and s.y0 != s.y1 for s in x.shapes) for x in (plain, crossed)]
    assert count == [0, 2 * 3]


def test_long_weather_is_thinned_and_the_last_hour_kept() -> None:
    scene = temperature_chart(look_ahead(steady_wall(-3.0, 28)), 720)
    assert all(len(p.points) < 400 for p in lines(scene))
    assert "28 days" in scene.description and not any(w.startswith("top ") for w in words(scene))


def test_both_are_drawn() -> None:
    asked = [(500.0, survives_a_freeze(OUTLOOK))]
    for scene in (temperature_chart(OUTLOOK, 390), strength_chart(OUTLOOK, 720, asked)):
        ET.fromstring(render(scene, 720))
        assert scene.title in scene.description and np.isfinite(scene.margin_pt)
