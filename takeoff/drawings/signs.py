"""Small signs of a fixed size on paper: bubbles, level triangles, arrows, seams."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from takeoff.drawings.lettering import width_of
from takeoff.drawings.marks import Ink, Lettering, Point, Segment, circle, polyline
from takeoff.drawings.scene import Hatch, Mark, Stroke


def sign(
    mark: Mark, x: float, y: float, size: float, text: str = "", rotate: float = 0.0, warn: bool = False
) -> tuple[Ink | Lettering, ...]:
    """A sign on paper at (x, y) [pt, y down]."""
    if mark is Mark.DOT:
        return (circle(x, y, size / 2, None, solid=True, warn=warn),)
    if mark is Mark.START:
        return circle(x, y, size / 2, Stroke.VISIBLE), circle(x, y, size / 5, None, solid=True)
    if mark is Mark.LEVEL:
        half = size * 0.55
        return (polyline(((x, y), (x - half, y - size * 0.9), (x + half, y - size * 0.9)), Stroke.VISIBLE, True, warn),)
    if mark is Mark.ARROW:
        return (
            polyline(
                _turned(((0, 0), (-size, size * 0.32), (-size, -size * 0.32)), x, y, rotate), None, True, warn, True
            ),
        )
    if mark is Mark.SEAM:
        half = size / 2
        points = ((x, y - size), (x - half, y - half / 2), (x + half, y + half / 2), (x, y + size))
        return (polyline(points, Stroke.HEAVY, warn=warn),)
    return _bubble(mark, x, y, size, text)


def _turned(points: Sequence[Point], x: float, y: float, rotate: float) -> list[Point]:
    turn = math.radians(-rotate)
    return [
        (x + px * math.cos(turn) - py * math.sin(turn), y + px * math.sin(turn) + py * math.cos(turn))
        for px, py in points
    ]


def _bubble(mark: Mark, x: float, y: float, size: float, text: str) -> tuple[Ink | Lettering, ...]:
    high = size * 0.85
    wide = max(high, width_of(text, size, True) / 2 + size * 0.28)
    ear = size * 0.55
    if mark is Mark.ROUND:
        outline = circle(x, y, high, Stroke.VISIBLE) if wide <= high * 1.05 else _capsule(x, y, wide, high)
    elif mark is Mark.HEXAGON:
        side, tip = wide - ear * 0.2, wide + ear
        outline = _polygon(x, y, (-tip, 0), (-side, -high), (side, -high), (tip, 0), (side, high), (-side, high))
    elif mark is Mark.DIAMOND:
        outline = _polygon(x, y, (-wide - ear, 0), (0, -high - ear), (wide + ear, 0), (0, high + ear))
    else:
        outline = _polygon(x, y, (-wide, -high), (wide, -high), (wide, high), (-wide, high))
    return replace(outline, hatch=Hatch.PAPER), Lettering(x, y, text, size, bold=True)


def _polygon(x: float, y: float, *points: Point) -> Ink:
    return polyline([(x + px, y + py) for px, py in points], Stroke.VISIBLE, True)


def _capsule(x: float, y: float, half_width: float, half_height: float) -> Ink:
    left, right = x - half_width + half_height * 0.5, x + half_width - half_height * 0.5
    segments = (
        Segment((right, y - half_height)),
        Segment((right, y + half_height), half_height, False, True),
        Segment((left, y + half_height)),
        Segment((left, y - half_height), half_height, False, True),
    )
    extent = ((left - half_height, y - half_height), (right + half_height, y + half_height))
    return Ink((left, y - half_height), segments, True, Stroke.VISIBLE, extent=extent)
