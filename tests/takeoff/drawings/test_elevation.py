"""The elevation: every unit's edges once, bars that lap side by side, levels and sizes said."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from takeoff.drawings.bars import bar_words, beside_laps
from takeoff.drawings.elevation import elevation
from takeoff.drawings.elevation_units import clear_of, joint_lines
from takeoff.drawings.scene import Callout, Dimension, Hatch, Line, Mark, Path, Stroke, Symbol, Text
from tests.takeoff import plans
from tests.takeoff.drawings.samples import at, house, laid


def shapes(scene, kind):
    return [s for s in scene.shapes if isinstance(s, kind)]


def drawn():
    return elevation(laid(house()), "A")


def test_every_edge_of_every_unit_lies_on_one_joint_line() -> None:
    units = laid(house()).units
    lines = joint_lines(units)
    assert len(lines) == len(set(lines))
    for unit in units:
        a, b, low, high = unit.start.inch, unit.end.inch, unit.bottom.inch, unit.top.inch
        assert (a, low, a, high) in lines and (b, low, b, high) in lines
        for level in (low, high):
            assert any(y0 == y1 == level and x0 <= a and b <= x1 for x0, y0, x1, y1 in lines)


def test_units_carry_their_marks_and_courses_their_numbers() -> None:
    scene = drawn()
    words = [t.text for t in shapes(scene, Text)]
    assert words.count("CR") == 5 and words.count("CL") == 4
    assert [words.count(str(n)) for n in range(1, 10)] == [2] * 9, "at both ends"


def test_sawn_ends_are_heavy_and_ripped_courses_tinted() -> None:
    scene = drawn()
    units = laid(house()).units
    heavy = [s for s in shapes(scene, Line) if s.stroke is Stroke.HEAVY and s.x0 == s.x1]
    assert len(heavy) == sum(u.cut_end for u in units)
    tinted = [p for p in shapes(scene, Path) if p.hatch is Hatch.RIPPED]
    assert len(tinted) == sum(u.ripped for u in units)


def test_ends_in_the_open_show_their_caps_and_the_key_names_them() -> None:
    takeoff = laid(house())
    capped = replace(takeoff, units=tuple(replace(u, cap_end=u.end == at("20-0")) for u in takeoff.units))
    scene = elevation(capped, "A")
    caps = [p for p in shapes(scene, Path) if p.hatch is Hatch.FOAM]
    assert len(caps) == 9 and all(max(x for x, _ in cap.points) == 240.0 for cap in caps)
    assert any(entry.label == "end cap" for entry in scene.legend)
    assert not any(entry.label == "end cap" for entry in drawn().legend)


def test_a_unit_left_standing_above_the_pour_line_is_explained() -> None:
    takeoff = laid(house())
    taller = tuple(replace(u, top=at("98-8")) if u.course == 9 else u for u in takeoff.units)
    scene = elevation(replace(takeoff, units=taller), "A")
    assert any("pour line" in entry.label for entry in scene.legend)


def test_a_buck_stands_around_the_rough_opening() -> None:
    plan = house()
    plan = replace(plan, spec=replace(plan.spec, layout=replace(plan.spec.layout, buck=at("1.5"))))
    formed, rough = (
        [p for p in shapes(elevation(laid(plan), "A"), Path) if p.stroke is stroke and len(p.points) == 4]
        for stroke in (Stroke.HEAVY, Stroke.THIN)
    )
    widths = [max(x for x, _ in p.points) - min(x for x, _ in p.points) for p in (formed[0], rough[0])]
    assert widths == pytest.approx([39.0, 36.0])


def test_joints_too_close_are_marked_where_they_are() -> None:
    (seam,) = [s for s in shapes(drawn(), Symbol) if s.mark is Mark.SEAM]
    assert (seam.x, seam.y, seam.warn) == (96.0, 86 * 12 + 32, True)


def test_bars_are_drawn_as_scheduled_or_left_out() -> None:
    takeoff = laid(house())
    bars = [s for s in shapes(elevation(takeoff, "A"), Line) if s.stroke is Stroke.BAR]
    assert len(bars) == sum(len(b.places) for b in takeoff.bars)
    assert not [s for s in shapes(elevation(takeoff, "A", bars=False), Line) if s.stroke is Stroke.BAR]
    assert bar_words(takeoff.bars)[0] == "13 #5 dowels (D1)"


PLACES = st.lists(st.tuples(st.integers(0, 3), st.integers(0, 20), st.integers(1, 20)), max_size=12)


@settings(max_examples=60, deadline=None)
@given(PLACES)
def test_bars_that_lap_never_lie_on_each_other(places) -> None:
    out = beside_laps([(float(x), float(y), float(x), float(y + n)) for x, y, n in places])
    for k, (x, low, _, high) in enumerate(out):
        for other, low2, _, high2 in out[k + 1 :]:
            assert x != other or high <= low2 or high2 <= low


def test_the_footing_is_as_wide_and_deep_as_specified_and_steps_without_a_gap() -> None:
    scene = elevation(laid(plans.stepped()), "A")
    (footing,) = [p for p in shapes(scene, Path) if p.hatch is Hatch.CONCRETE]
    outline = Polygon(footing.points)
    assert outline.is_valid
    # two runs of 10 in with 16 in between, an 8 in riser below the upper one; 3 5/8 in past each corner
    toe = (20 - 12.75) / 2
    assert outline.area == pytest.approx((480 + 2 * toe) * 10 + 16 * 8)
    assert min(y for _, y in footing.points) == pytest.approx(86 * 12 - 10)


def test_openings_blank_out_the_wall_and_say_their_size() -> None:
    scene = drawn()
    (hole,) = [p for p in shapes(scene, Path) if p.hatch is Hatch.PAPER and p.stroke is Stroke.HEAVY]
    xs, ys = [p[0] for p in hole.points], [p[1] for p in hole.points]
    assert (min(xs), max(xs), min(ys), max(ys)) == (60, 96, 92 * 12 + 8, 96 * 12 + 8)
    words = {t.text for t in shapes(scene, Text)}
    assert {"W1", "3'-0\" x 4'-0\"", "sill 92'-8\""} <= words


def test_a_mark_stands_on_what_is_left_of_its_unit() -> None:
    assert clear_of((0, 48, 0, 16), [(30, 90, -10, 100)]) == (0, 30, 0, 16)
    assert clear_of((0, 48, 0, 16), [(-10, 90, 4, 100)]) == (0, 48, 0, 4)
    assert clear_of((0, 48, 0, 16), [(60, 90, 0, 16)]) == (0, 48, 0, 16)


def test_levels_are_said_and_the_length_is_the_outside_of_foam() -> None:
    scene = drawn()
    said = {c.text for c in shapes(scene, Callout)}
    assert {"top of wall 98'-0\"", "grade 96'-8\"", "cold joint 90'-0\"", "top of footing 86'-0\""} <= said
    assert "20'-0\"" in {d.text for d in shapes(scene, Dimension)}
    assert {"5'-0\"", "3'-0\"", "12'-0\""} <= {d.text for d in shapes(scene, Dimension)}, "opening chain"


def test_ends_say_which_leg_follows() -> None:
    words = {t.text for t in shapes(drawn(), Text)}
    assert {"corner with F", "corner with B"} <= words


def test_a_leg_that_is_not_there_is_an_error() -> None:
    with pytest.raises(KeyError):
        elevation(laid(house()), "Z")
