"""The walk as it is typed: drawn with whatever is readable, its gap said with length and direction."""

from __future__ import annotations

import pytest

from takeoff.drawings.scene import Dimension, Line, Mark, Path, Stroke, Symbol, Text
from takeoff.drawings.svg import render
from takeoff.drawings.walk_preview import compass, walk_preview
from takeoff.geometry import TypedLeg, trace
from takeoff.units import parse_length


def typed(name: str, length: str, turn: float = 90) -> TypedLeg:
    return TypedLeg(name, parse_length(length), turn)


def preview(*legs: TypedLeg):
    return walk_preview(trace(legs))


def shapes(scene, kind):
    return [s for s in scene.shapes if isinstance(s, kind)]


SIDES = (typed("A", "40-0"), typed("B", "28-0"), typed("C", "39-0"), typed("D", "28-0"))


def test_nothing_typed_asks_for_a_first_leg() -> None:
    scene = preview()
    assert [t.text for t in shapes(scene, Text)] == ["type a first leg"]
    assert "<svg" in render(scene, 390)


def test_one_leg_has_its_length_and_an_arrow_where_the_next_would_go() -> None:
    scene = preview(typed("A", "40-0"))
    assert [d.text for d in shapes(scene, Dimension)] == ["40'-0\""]
    (arrow,) = [s for s in shapes(scene, Symbol) if s.mark is Mark.ARROW]
    assert arrow.rotate == 90 and arrow.x == pytest.approx(480) and arrow.y > 0


def test_the_gap_is_a_heavy_dashed_line_with_length_and_direction() -> None:
    scene = preview(*SIDES)
    (gap,) = [s for s in shapes(scene, Line) if s.stroke is Stroke.GAP]
    assert (gap.x1, gap.y1) == (0, 0) and gap.warn
    assert abs(gap.x0) == pytest.approx(12) and gap.y0 == pytest.approx(0, abs=1e-6)
    (words,) = [t for t in shapes(scene, Text) if t.warn]
    assert words.text == "open 1'-0\" to the west"


def test_a_closed_walk_has_no_gap_and_no_arrow() -> None:
    scene = preview(SIDES[0], SIDES[1], typed("C", "40-0"), SIDES[3])
    assert not [s for s in shapes(scene, Line) if s.stroke is Stroke.GAP]
    assert not [s for s in shapes(scene, Symbol) if s.mark is Mark.ARROW]


def test_a_leg_that_cannot_be_read_is_left_out_and_said() -> None:
    scene = preview(SIDES[0], TypedLeg("B"), SIDES[2])
    assert "Left out because they cannot be read: B" in scene.description
    assert [p for p in shapes(scene, Path) if p.stroke is Stroke.HEAVY].__len__() == 2


def test_an_arc_bends_and_says_its_radius() -> None:
    scene = preview(typed("A", "10-0", 0), TypedLeg("B", None, 0, parse_length("6-0"), 90.0))
    arc = [p for p in shapes(scene, Path) if p.bulges and p.bulges[0]]
    assert len(arc) == 1 and arc[0].bulges[0] > 0
    assert "R 6'-0\", 90°" in [t.text for t in shapes(scene, Text)]


@pytest.mark.parametrize(
    ("bearing", "word"), [(0, "north"), (44, "north-east"), (271, "west"), (359, "north"), (180, "south")]
)
def test_directions_in_words(bearing, word) -> None:
    assert compass(bearing) == word
