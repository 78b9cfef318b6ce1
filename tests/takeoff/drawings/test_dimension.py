"""Dimension lines: what they say, and that they never stand on one another."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.drawings.dimension import TEXT_HEIGHT, arrange, dimension, feet_inches, readable
from takeoff.drawings.lettering import width_of, wrap
from takeoff.drawings.marks import Box, line_box
from takeoff.drawings.scene import Dimension


@pytest.mark.parametrize(
    ("inches", "text"), [(340.5, "28'-4 1/2\""), (11.97, "1'-0\""), (0.0, "0'-0\""), (96, "8'-0\"")]
)
def test_distances_are_said_in_feet_and_inches(inches, text) -> None:
    assert feet_inches(inches) == text


def test_a_dimension_says_the_distance_between_its_points() -> None:
    assert dimension(0, 0, 36, 48).text == "5'-0\""


def test_it_stands_to_the_left_of_its_direction() -> None:
    (placed,) = arrange([Dimension(0, 0, 100, 0, "8'-4\"", 20)], 1.0)
    assert placed.ends == ((0, -20), (100, -20)), "left of a walk to the right is up, and y runs down on paper"
    (placed,) = arrange([Dimension(100, 0, 0, 0, "8'-4\"", 20)], 1.0)
    assert placed.ends == ((100, 20), (0, 20))


def test_text_stands_over_its_line() -> None:
    (placed,) = arrange([Dimension(100, 0, 0, 0, "x", 20)], 1.0)
    assert placed.lettering.y < 20 - TEXT_HEIGHT / 2


@pytest.mark.parametrize(("angle", "read"), [(0, 0), (180, 0), (90, -90), (-90, -90), (45, 45), (135, -45), (270, -90)])
def test_text_reads_from_below_or_from_the_right(angle, read) -> None:
    assert readable(angle) == pytest.approx(read)


STOPS = st.lists(st.integers(1, 400), min_size=2, max_size=7, unique=True)


@settings(max_examples=40, deadline=None)
@given(STOPS, st.floats(0.3, 3.0), st.booleans())
def test_no_text_lies_on_another_text_or_line(stops, scale, upright) -> None:
    marks = [0, *sorted(stops)]
    spans = [*pairwise(marks), (0, marks[-1])]
    lines = [(0, a, 0, b) if upright else (a, 0, b, 0) for a, b in spans]
    placed = arrange([dimension(*line) for line in lines], scale)
    for one, other in combinations(placed, 2):
        assert not one.lettering.box().meets(other.lettering.box())
        assert not one.lettering.box().meets(line_box(*other.ends))
        assert not other.lettering.box().meets(line_box(*one.ends))


def test_short_ones_stand_nearest() -> None:
    placed = arrange([dimension(0, 0, 200, 0), dimension(0, 0, 100, 0)], 1.0)
    reach = {p.source.x1: -p.ends[0][1] for p in placed}
    assert reach[100] < reach[200]


def test_it_keeps_off_what_is_already_there() -> None:
    (free,) = arrange([dimension(0, 0, 100, 0)], 1.0)
    (moved,) = arrange([dimension(0, 0, 100, 0)], 1.0, [free.lettering.box()])
    assert moved.ends[0][1] < free.ends[0][1]


def test_boxes_meet_by_area_not_by_edge() -> None:
    assert Box(0, 0, 5, 5).meets(Box(9, 0, 5, 5))
    assert not Box(0, 0, 5, 5).meets(Box(10, 0, 5, 5))
    assert not Box(0, 0, 10, 1, 45).meets(Box(8, -8, 2, 2)), "a turned box covers its corners only"
    assert Box(0, 0, 10, 1, 45).meets(Box(6, 6, 2, 2))


def test_wrapped_lines_fit_and_keep_every_word() -> None:
    text = "clean stone 6 in over the footing in filter fabric"
    lines = wrap(text, 7, 80)
    assert " ".join(lines) == text and all(width_of(line, 7) <= 80 for line in lines)
