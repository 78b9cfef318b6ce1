"""Texts and signs on paper, and where those that may move come to stand: clear of lettering, walls and lines.

Each goes where it costs least: the way it moves [pt], and what it then lies on. Lettering, dimensions, heavy lines and
walls are kept off wherever there is room; a dashed or thin line is crossed only when keeping off it would take the
words further away than they are worth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise

from takeoff.drawings.lettering import width_of
from takeoff.drawings.marks import Box, Ink, Lettering, Marking, Point, circle, extent_of, line_box, polyline
from takeoff.drawings.scene import Hatch, Path, Shape, Stroke, Symbol, Text
from takeoff.drawings.signs import sign

SMALLEST = 4.6
NUDGES = 14
NUDGE = 4.0
SLIDES = (0.0, 14.0, -14.0, 28.0, -28.0, 44.0, -44.0, 64.0, -64.0)
#: Level words beside a corner have less far to go.
SHORT_SLIDES = (0.0, 8.0, -8.0, 16.0, -16.0)
#: A move to the side counts less than one away from the thing.
SIDEWAYS = 0.7
HEAVY_PENS = (Stroke.VISIBLE, Stroke.HEAVY)
LIGHT_PENS = (Stroke.HIDDEN, Stroke.PLANNED, Stroke.CENTRE, Stroke.THIN)
#: Lying on something that must be kept off, on a light line, or behind a wall is worth this much of a move [pt].
ON_HEAVY, ON_LIGHT, BEHIND = 1000.0, 20.0, 60.0

Spot = tuple[Ink | Lettering, ...]


def lettered(text: Text, scale: float) -> tuple[Lettering, ...]:
    """The lettering of a text; none where it has no room."""
    height = text.height_pt
    if scale < text.from_scale:
        return ()
    if text.room:
        height = min(height, height * text.room * scale / max(width_of(text.text, height, text.bold), 1e-6))
        if height < SMALLEST:
            return ()
    x, y = text.x * scale + text.dx_pt, -text.y * scale - text.dy_pt
    return (Lettering(x, y, text.text, height, -text.rotate, text.anchor, text.bold, text.halo, text.warn),)


def signed(symbol: Symbol, scale: float) -> tuple[Ink | Lettering, ...]:
    """The marks of a sign, after its leader."""
    x, y = symbol.x * scale + symbol.dx_pt, -symbol.y * scale - symbol.dy_pt
    marks = sign(symbol.mark, x, y, symbol.size_pt, symbol.text, symbol.rotate, symbol.warn)
    if not symbol.leader:
        return marks
    point = symbol.x * scale, -symbol.y * scale
    leader = polyline((point, (x, y)), Stroke.THIN, warn=symbol.warn)
    return leader, circle(*point, 0.9, None, solid=True, warn=symbol.warn), *marks


def settle(
    shapes: Sequence[Shape], marks: Sequence[Marking], taken: Sequence[Box], scale: float
) -> list[Ink | Lettering]:
    """Texts and signs that may move, in their order: each keeps off those before it, too."""
    loose = [s for s in shapes if isinstance(s, (Text, Symbol)) and s.avoid]
    if not loose:
        return []
    inks = [mark for mark in marks if isinstance(mark, Ink)]
    heavy = [*taken, *(box for ink in inks if ink.stroke in HEAVY_PENS for box in _line_boxes(ink))]
    light = [_line_boxes(ink) for ink in inks if ink.stroke in LIGHT_PENS]
    walls = wall_boxes(shapes, scale)
    out: list[Ink | Lettering] = []
    for shape in loose:
        held_to_its_point = isinstance(shape, Symbol) and shape.leader
        chosen = _cheapest(shape, scale, heavy, light, () if held_to_its_point else walls)
        if chosen:
            out += chosen[0]
            heavy.append(chosen[1])
    return out


def _cheapest(
    shape: Text | Symbol, scale: float, heavy: Sequence[Box], light: Sequence[Sequence[Box]], walls: Sequence[Box]
) -> tuple[Spot, Box] | None:
    """Spots come nearest first, so that the search ends where a spot's way alone costs more than the best found."""
    spots = _spots(shape, scale)
    nearest = next(spots, None)
    if nearest is None:
        return None
    point = shape.x * scale, -shape.y * scale
    field = _field(_bounding(nearest[1]), point)
    heavy, walls = _within(field, heavy), _within(field, walls)
    light = [near for line in light if (near := _within(field, line))]
    others = [wall for wall in walls if not wall.meets(Box(*point, 1.0, 1.0))]
    kept_off = [*heavy, *walls]
    best: tuple[Spot, Box] | None = None
    least = math.inf
    for way, spot in chain([nearest], spots):
        if way >= least:
            break
        cover = _bounding(spot)
        cost = way + (ON_HEAVY if any(cover.meets(box) for box in kept_off) else 0.0)
        if cost < least:
            cost += ON_LIGHT * sum(any(cover.meets(box) for box in line) for line in light)
        if cost < least and others:
            sight = line_box(point, (cover.x, cover.y))
            cost += BEHIND if any(sight.meets(wall) for wall in others) else 0.0
        if cost < least:
            best, least = (spot, cover), cost
    return best


def _field(nearest: Box, point: Point) -> Box:
    """An upright box around a point and everywhere that its words may go."""
    across = abs(nearest.x - point[0]) + nearest.reach_x
    down = abs(nearest.y - point[1]) + nearest.reach_y
    far = max(across, down) + NUDGES * NUDGE + max(SLIDES)
    return Box(*point, far, far)


def _within(field: Box, boxes: Sequence[Box]) -> list[Box]:
    x, y, far = field.x, field.y, field.half_width
    return [b for b in boxes if abs(b.x - x) <= far + b.reach_x and abs(b.y - y) <= far + b.reach_y]


def _spots(shape: Text | Symbol, scale: float) -> Iterator[tuple[float, Spot]]:
    """Where a loose text or sign may stand, nearest first, and how far that is [pt]: further out along its offset,
    signs and titles also far to either side, level words a little; signs without a leader also on the other side."""
    sideways: tuple[float, ...] = (0.0,)
    if isinstance(shape, Symbol) or shape.bold:
        sideways = SLIDES
    elif not shape.rotate and shape.anchor == "middle":
        sideways = SHORT_SLIDES
    back = NUDGES if isinstance(shape, Symbol) and not shape.leader else 0
    away = [(step * NUDGE, slide) for step in range(-back, NUDGES) for slide in sideways]
    away.sort(key=_way)
    reach = math.hypot(shape.dx_pt, shape.dy_pt) or 1.0
    ux, uy = shape.dx_pt / reach, shape.dy_pt / reach
    for extra, slide in away:
        dx, dy = shape.dx_pt + ux * extra - uy * slide, shape.dy_pt + uy * extra + ux * slide
        placed = replace(shape, dx_pt=dx, dy_pt=dy)
        marks = lettered(placed, scale) if isinstance(placed, Text) else signed(placed, scale)
        if marks:
            yield _way((extra, slide)), marks


def _way(move: tuple[float, float]) -> float:
    return abs(move[0]) + SIDEWAYS * abs(move[1])


def _line_boxes(ink: Ink) -> list[Box]:
    """The lines of a path as boxes; an arc as the chords between the points that bound it."""
    if any(segment.radius is not None for segment in ink.segments):
        ends = _along_arc(ink)
    else:
        ends = [ink.start, *(segment.to for segment in ink.segments)]
    return [line_box(a, b) for a, b in pairwise(ends) if math.dist(a, b) > 2]


def _along_arc(ink: Ink) -> list[Point]:
    """The points of a single open arc in order; other bent paths are not kept off."""
    if ink.closed or len(ink.segments) != 1:
        return []
    return [ink.start, *ink.extent[2:], ink.segments[0].to]


def wall_boxes(shapes: Sequence[Shape], scale: float) -> list[Box]:
    """Walls seen from above, as boxes: what is hatched as foam or concrete between two faces, bent or straight."""
    bodies = [s for s in shapes if isinstance(s, Path) and s.closed and s.stroke is None and len(s.points) == 4]
    return [box for body in bodies if body.hatch in (Hatch.CONCRETE, Hatch.FOAM) for box in _body_boxes(body, scale)]


def _body_boxes(body: Path, scale: float) -> Iterator[Box]:
    a0, b0, b1, a1 = ((x * scale, -y * scale) for x, y in body.points)
    bulges = (*body.bulges, 0.0, 0.0, 0.0, 0.0)
    one = [a0, *arc_points(a0, b0, bulges[0]), b0]
    other = [a1, *reversed(arc_points(b1, a1, bulges[2])), b1]
    middle = [((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in zip(one, other, strict=True)]
    half = min(math.dist(p, q) for p, q in zip(one, other, strict=True)) / 2
    for p, q in pairwise(middle):
        if math.dist(p, q) > 2:
            yield line_box(p, q, half)


def arc_points(a: Point, b: Point, bulge: float, count: int = 8) -> list[Point]:
    """Points on the arc from a to b (paper coordinates; a positive bulge bends to the left as seen)."""
    if not bulge:
        return []
    half = 2 * math.atan(bulge)
    chord = math.dist(a, b)
    to_centre = (chord / 2) / math.tan(half)
    ux, uy = (b[0] - a[0]) / chord, (b[1] - a[1]) / chord
    # a positive bulge bends to the left, so the centre is on the left too (y down: left is (uy, -ux))
    cx, cy = (a[0] + b[0]) / 2 + uy * to_centre, (a[1] + b[1]) / 2 - ux * to_centre
    start = math.atan2(a[1] - cy, a[0] - cx)
    radius = math.dist(a, (cx, cy))
    return [
        (cx + radius * math.cos(start - 2 * half * k / count), cy + radius * math.sin(start - 2 * half * k / count))
        for k in range(1, count)
    ]


def _bounding(marks: Sequence[Ink | Lettering]) -> Box:
    if len(marks) == 1 and isinstance(marks[0], Lettering):
        return marks[0].box()
    left, top, right, bottom = extent_of(marks[-2:])  # a leader before them may lie on lines
    return Box((left + right) / 2, (top + bottom) / 2, (right - left) / 2 + 1, (bottom - top) / 2 + 1)
