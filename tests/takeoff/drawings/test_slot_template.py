"""The cutting template: full size on its paper, every slot and web of a unit where it is, sheets that can be joined."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.drawings.compose import fit
from takeoff.drawings.scene import Line, Stroke, Symbol, Text
from takeoff.drawings.slot_template import (
    A4,
    BAR,
    EDGE,
    INSET,
    LETTER,
    SHARED,
    STRIP,
    pages,
    rows_on,
    slots,
    tiles,
    webs,
)
from takeoff.drawings.svg import render
from takeoff.geometry import place
from takeoff.radius import ArcLeg, Bend, arc_legs
from tests.takeoff import plans

BEND = Bend(120.0, 2.5, 6.0, 6.0, 48.0)
PAPERS = (LETTER, A4)


def arc_of(**changes: object) -> ArcLeg:
    plan = plans.porch_arc(**changes)
    (arc,) = arc_legs(plan, place(plan))
    return arc


@settings(max_examples=60, deadline=None)
@given(st.floats(12, 240), st.floats(5, 14))
def test_tiles_cover_the_unit_fit_the_sheet_and_share_an_inch(unit, wide):
    row = tiles(unit, wide)
    assert row[0].start == 0
    assert row[-1].end == pytest.approx(unit)
    assert all(tile.end - tile.start <= wide + 1e-6 for tile in row)
    for a, b in itertools.pairwise(row):
        assert a.end - b.start == pytest.approx(SHARED)


def test_what_is_cut_of_one_unit_is_a_slot_for_every_web():
    """Seven whole slots and a half at each end: together 8 x 0.55 in."""
    cut = sum(b - a for a, b in (slot.edges(BEND.unit) for slot in slots(BEND)))
    assert cut == pytest.approx(BEND.removed)
    assert webs(BEND) == tuple(range(3, 48, 6))


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.name)
@pytest.mark.parametrize("form", ["generic-16", "generic-18"])
def test_every_sheet_is_printed_at_full_size_within_its_edges(paper, form):
    for scene in pages(arc_of(form=form), paper):
        sheet = fit(scene, paper.wide * 72, paper.high * 72)
        assert sheet.scale == 72.0
        assert sheet.right - sheet.left <= (paper.width - 2 * EDGE) * 72 + 0.5
        assert sheet.bottom - sheet.top <= (paper.height - 2 * EDGE) * 72 + 0.5


def test_the_written_sheet_is_as_large_as_the_paper_less_its_edges():
    """Points: 72 an inch, so 10 in of Letter are 720 pt across."""
    svg = render(pages(arc_of(), LETTER)[0], LETTER.wide * 72, "pt", height=LETTER.high * 72)
    assert re.search(r'viewBox="0 0 720 540"', svg)
    assert 'width="720pt"' in svg


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.name)
def test_both_edges_of_every_slot_are_drawn_where_they_are(paper):
    arc = arc_of()
    row, each = tiles(arc.bend.unit, paper.strip), rows_on(paper)
    drawn: set[float] = set()
    for number, scene in enumerate(pages(arc, paper)):
        heavy = [s for s in scene.shapes if isinstance(s, Line) and s.stroke is Stroke.HEAVY and s.x0 == s.x1]
        lows = sorted({round(line.y0, 6) for line in heavy}, reverse=True)
        tops = [paper.high - 1.45 - k * 2.6 - 0.45 - STRIP for k in range(each)]
        for line in heavy:
            k = min(range(each), key=lambda i: abs(tops[i] - line.y0))
            drawn.add(round(row[number * each + k].start + line.x0 - INSET, 6))
            assert line.y1 - line.y0 == STRIP
        assert len(lows) <= each
    wanted = {round(x, 6) for slot in slots(arc.bend) for x in slot.edges(arc.bend.unit)}
    assert drawn == wanted


def test_sheets_are_joined_by_pairs_of_letters():
    letters = [s.text for scene in pages(arc_of()) for s in scene.shapes if isinstance(s, Symbol)]
    assert all(letters.count(letter) == 2 for letter in letters)
    assert len(set(letters)) == len(tiles(48, LETTER.strip)) - 1


def test_every_strip_says_what_it_is_when_it_is_cut_out():
    arc = arc_of()
    said = [s.text for scene in pages(arc) for s in scene.shapes if isinstance(s, Text) and "strip" in s.text]
    count = len(tiles(48, LETTER.strip))
    assert [text for text in said if text.startswith(arc.name)] == [
        f"{arc.name}, strip {k} of {count}" for k in range(1, count + 1)
    ]


def test_a_bar_of_six_inches_is_measured_first():
    for scene in pages(arc_of()):
        (bar,) = [s for s in scene.shapes if isinstance(s, Line) and s.stroke is Stroke.HEAVY and s.y0 == s.y1]
        assert bar.x1 - bar.x0 == BAR == 6
        assert any(isinstance(s, Text) and s.text.startswith(f"Measure this bar: {BAR} inches") for s in scene.shapes)


def test_slots_say_their_width_and_the_panel_they_are_in():
    words = [s.text for scene in pages(arc_of()) for s in scene.shapes if isinstance(s, Text)]
    assert 'slot 1: 13/16"' in words
    assert 'slot 0: half of 13/16"' in words
    assert any("slots in the inside panel, sheet 1 of 3" in word for word in words)
    assert any("left whole" in word for word in words)


def test_a_long_unit_takes_more_sheets():
    arc = arc_of()
    longer = replace(arc, bend=replace(arc.bend, unit=96.0))
    assert len(pages(longer)) > len(pages(arc))
