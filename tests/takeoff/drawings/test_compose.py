"""Laying out: labels that spread, move aside or become numbers, and never lie on one another."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.drawings.compose import fit, numbered, spread, work
from takeoff.drawings.dimension import arrange, dimension
from takeoff.drawings.elevation import elevation
from takeoff.drawings.loose import wall_boxes
from takeoff.drawings.marks import Box, Lettering
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.scene import Callout, Hatch, Line, Mark, Path, Scene, Symbol, Text
from takeoff.drawings.section import section
from tests.takeoff import plans
from tests.takeoff.drawings.samples import house, laid


def lettering(sheet) -> list[Lettering]:
    return [mark for mark in sheet.marks if isinstance(mark, Lettering)]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 300), st.floats(4, 30)), min_size=1, max_size=12))
def test_labels_in_a_column_keep_their_order_and_never_meet(labels) -> None:
    labels.sort()
    heights = [height for _, height in labels]
    centres = spread([want for want, _ in labels], heights, 0, 300)
    for (one, next_one), (high, next_high) in zip(pairwise(centres), pairwise(heights), strict=True):
        assert next_one - one >= (high + next_high) / 2 - 1e-6
    assert centres[0] - heights[0] / 2 >= -1e-6
    assert centres[-1] + heights[-1] / 2 <= max(300, sum(heights)) + 1e-6


@pytest.mark.parametrize("width", [405, 540, 720])
@pytest.mark.parametrize("kind", [elevation, section])
def test_labels_beside_a_drawing_never_meet(kind, width) -> None:
    scene = kind(laid(house()), "A")
    said = {word for c in scene.shapes if isinstance(c, Callout) for word in c.text.split()}
    labels = [m for m in lettering(fit(scene, width)) if m.anchor != "middle" and set(m.text.split()) <= said]
    assert labels
    assert not [(a.text, b.text) for a, b in combinations(labels, 2) if a.box().meets(b.box())]


def test_a_narrow_sheet_numbers_its_labels_and_says_them_below() -> None:
    scene = section(laid(house()), "A")
    callouts = [s for s in scene.shapes if isinstance(s, Callout)]
    narrow = numbered(scene)
    bubbles = [s.text for s in narrow.shapes if isinstance(s, Symbol) and s.leader]
    assert bubbles == [str(n) for n in range(1, len(callouts) + 1)]
    key = {entry.text: entry.label for entry in narrow.legend if entry.text}
    assert sorted(key.values()) == sorted(c.text for c in callouts)
    words = {m.text for m in lettering(fit(scene, 290))}
    assert {c.text for c in callouts} <= words


def test_a_loose_sign_moves_out_of_the_way() -> None:
    fixed = Text(0, 0, "here first", 8)
    loose = Symbol(0, 0, Mark.ROUND, "A", 8, dx_pt=0, dy_pt=1, avoid=True)
    marks = work(Scene("t", "d", (fixed, loose)), 1.0)
    first, moved = (m for m in marks if isinstance(m, Lettering))
    assert not first.box().meets(moved.box())


def test_text_with_too_little_room_shrinks_and_then_goes() -> None:
    text = Text(0, 0, "C 31 1/2", 6, room=30)
    big, small, none = (work(Scene("t", "d", (text,)), scale) for scale in (2.0, 0.7, 0.3))
    assert big[0].height == 6 and 4.6 <= small[0].height < 6 and none == []


def test_detail_is_left_to_larger_drawings() -> None:
    scene = Scene("t", "d", (Line(0, 0, 9, 0), Text(0, 0, "step", from_scale=0.5)))
    assert len(work(scene, 0.6)) == 2 and len(work(scene, 0.4)) == 1


def test_bubbles_of_a_plan_never_meet() -> None:
    sheet = fit(plan_view(house()), 540)
    names = [m for m in lettering(sheet) if m.text in {leg.name for leg in house().legs()}]
    assert len(names) == 9
    assert not any(a.box().meets(b.box()) for a, b in combinations(names, 2))


@pytest.mark.parametrize("name", ["bay", "porch_arc", "garage", "openings", "stepped", "ledge"])
def test_words_of_a_plan_lie_on_no_wall_and_on_no_other_words(name) -> None:
    scene = plan_view(plans.SAMPLES[name]())
    sheet = fit(scene, 540)
    words, walls = lettering(sheet), wall_boxes(scene.shapes, sheet.scale)
    assert len(words) > 5 and walls
    assert not [(a.text, b.text) for a, b in combinations(words, 2) if a.box().meets(b.box())]
    assert not [word.text for word in words for wall in walls if word.box().meets(wall)]


def test_a_dimension_goes_past_a_wall_in_its_way_and_its_words_keep_off_one_it_cannot_pass() -> None:
    (free,), near, far = arrange([dimension(0, 0, 100, 0)], 1.0), Box(50, -25, 8, 8), Box(50, -100, 8, 90)
    (past,), (through,) = (arrange([dimension(0, 0, 100, 0)], 1.0, (), [wall]) for wall in (near, far))
    assert past.ends[0][1] < near.y - near.half_height < free.ends[0][1]
    assert through.ends == free.ends and not through.lettering.box().meets(far)


def test_a_sign_with_no_room_inside_goes_to_the_other_side_of_its_own_wall_not_behind_another() -> None:
    def wall(y):
        return Path(((-90, y), (90, y), (90, y + 8), (-90, y + 8)), closed=True, stroke=None, hatch=Hatch.CONCRETE)

    sign = Symbol(0, 8, Mark.ROUND, "K", 8, dy_pt=14, avoid=True)
    (letter,) = (m for m in work(Scene("t", "d", (wall(0), wall(18), sign)), 1.0) if isinstance(m, Lettering))
    assert letter.y > 0, "below its own wall; y runs down on paper"
