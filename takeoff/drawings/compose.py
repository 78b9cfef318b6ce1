"""From a scene to marks on paper at one scale: paths, lettering, signs, dimensions, labels with leaders."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from takeoff.drawings.dimension import arrange
from takeoff.drawings.lettering import width_of, wrap
from takeoff.drawings.marks import (
    Box,
    Group,
    Ink,
    Lettering,
    Marking,
    Point,
    Segment,
    circle,
    extent_of,
    polyline,
)
from takeoff.drawings.scene import Callout, Dimension, Line, Link, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.drawings.signs import sign
from takeoff.drawings.strip import strip

SMALLEST = 4.6
CALLOUT_HEIGHT = 7.0
CALLOUT_ROOM = 112.0
CALLOUT_GAP = 14.0
NUDGES = 14
NUDGE = 4.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """A composed drawing: marks in points (y down), the extent they cover, the scale used [pt per in]."""

    marks: tuple[Marking, ...]
    left: float
    top: float
    right: float
    bottom: float
    scale: float


def fit(scene: Scene, width_pt: float, height_pt: float | None = None) -> Sheet:
    """The largest scale at which the drawing fits the width (and height) [pt]; never above the scene's own scale.

    The extent grows almost straight with the scale (lettering does not grow), so a few secant steps find it.
    """
    scale = scene.scale_pt_per_in or 1.0
    sheet = compose(scene, scale, width_pt)
    if scene.scale_pt_per_in is not None and _fits(sheet, width_pt, height_pt):
        return sheet
    for _ in range(8):
        trial = compose(scene, scale * 0.9, width_pt)
        factor = _factor(sheet, trial, scale, width_pt, height_pt)
        scale = max(scale * factor, 1e-3)
        if scene.scale_pt_per_in is not None:
            scale = min(scale, scene.scale_pt_per_in)
        sheet = compose(scene, scale, width_pt)
        if _fits(sheet, width_pt, height_pt) and abs(factor - 1) < 0.01:
            break
    for _ in range(12):
        if _fits(sheet, width_pt, height_pt):
            break
        scale *= 0.985
        sheet = compose(scene, scale, width_pt)
    return sheet


def _fits(sheet: Sheet, width_pt: float, height_pt: float | None) -> bool:
    wide = sheet.right - sheet.left <= width_pt + 0.25
    return wide and (height_pt is None or sheet.bottom - sheet.top <= height_pt + 0.25)


def _factor(at: Sheet, below: Sheet, scale: float, width_pt: float, height_pt: float | None) -> float:
    """By how much to multiply the scale, from two samples of the extent."""

    def one(size: float, smaller: float, room: float) -> float:
        slope = (size - smaller) / (0.1 * scale)
        return 4.0 if slope <= 1e-9 else max(0.05, min(40.0, 1 + (room - size) / slope / scale))

    factor = one(at.right - at.left, below.right - below.left, width_pt)
    if height_pt is not None:
        factor = min(factor, one(at.bottom - at.top, below.bottom - below.top, height_pt))
    return factor


def compose(scene: Scene, scale: float, width_pt: float) -> Sheet:
    """Lay a scene out at a scale [pt per in]; the strip below takes the width of the sheet."""
    work = [_mark(shape, scale) for shape in scene.shapes if not isinstance(shape, (Dimension, Callout))]
    marks: list[Marking] = [mark for group in work for mark in group]
    marks = _settle(scene.shapes, marks, scale)
    taken = [mark.box() for mark in marks if isinstance(mark, Lettering)]
    for placed in arrange([s for s in scene.shapes if isinstance(s, Dimension)], scale, taken):
        marks += [*placed.inks(), placed.lettering]
    marks += _callouts([s for s in scene.shapes if isinstance(s, Callout)], scale, marks)
    left, top, right, bottom = extent_of(marks)
    room = max(right - left, width_pt - 2 * scene.margin_pt)
    foot = strip(scene, scale, room)
    if foot.marks:
        centre = (left + right) / 2
        marks += [moved(mark, centre - room / 2, bottom + 12) for mark in foot.marks]
        bottom += 12 + foot.height
    margin = scene.margin_pt
    if foot.marks:
        left, right = min(left, centre - room / 2), max(right, centre + room / 2)
    return Sheet(tuple(marks), left - margin, top - margin, right + margin, bottom + margin, scale)


def moved(mark: Marking, dx: float, dy: float) -> Marking:
    """The same mark elsewhere on the paper."""
    if isinstance(mark, Lettering):
        return replace(mark, x=mark.x + dx, y=mark.y + dy)
    if isinstance(mark, Group):
        inner = tuple(moved(m, dx, dy) for m in mark.marks)
        return replace(mark, marks=tuple(m for m in inner if not isinstance(m, Group)))
    segments = tuple(replace(s, to=(s.to[0] + dx, s.to[1] + dy)) for s in mark.segments)
    extent = tuple((x + dx, y + dy) for x, y in mark.extent)
    return replace(mark, start=(mark.start[0] + dx, mark.start[1] + dy), segments=segments, extent=extent)


def _mark(shape: Shape, scale: float) -> list[Marking]:
    if isinstance(shape, Line):
        ends = ((shape.x0 * scale, -shape.y0 * scale), (shape.x1 * scale, -shape.y1 * scale))
        return [polyline(ends, shape.stroke, warn=shape.warn)]
    if isinstance(shape, Path):
        return [_path(shape, scale)]
    if isinstance(shape, Text):
        return [] if shape.avoid else list(lettered(shape, scale))
    if isinstance(shape, Symbol):
        return [] if shape.avoid else list(signed(shape, scale))
    if isinstance(shape, Link):
        inner = [mark for part in shape.shapes for mark in _mark(part, scale)]
        return [Group(shape.key, shape.title, tuple(m for m in inner if not isinstance(m, Group)))]
    return []


def _path(path: Path, scale: float) -> Ink:
    points = [(x * scale, -y * scale) for x, y in path.points]
    pairs = list(zip(points, points[1:] + points[:1], strict=True))
    if not path.closed:
        pairs = pairs[:-1]
    bulges = list(path.bulges) + [0.0] * (len(pairs) - len(path.bulges))
    segments = tuple(_segment(a, b, bulge) for (a, b), bulge in zip(pairs, bulges, strict=False))
    if path.closed and not bulges[len(pairs) - 1]:
        segments = segments[:-1]
    extent = list(points)
    for (a, b), bulge in zip(pairs, bulges, strict=False):
        extent += _arc_points(a, b, bulge)
    return Ink(points[0], segments, path.closed, path.stroke, path.hatch, path.warn, path.wash, tuple(extent))


def _segment(a: Point, b: Point, bulge: float) -> Segment:
    if not bulge:
        return Segment(b)
    radius = math.dist(a, b) * (1 + bulge * bulge) / (4 * abs(bulge))
    return Segment(b, radius, abs(bulge) > 1, bulge < 0)


def _arc_points(a: Point, b: Point, bulge: float, count: int = 8) -> list[Point]:
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


def lettered(text: Text, scale: float, extra: float = 0.0) -> tuple[Lettering, ...]:
    """The lettering of a text; none where it has no room. ``extra`` [pt] moves it further along its offset."""
    height = text.height_pt
    if text.room:
        height = min(height, height * text.room * scale / max(width_of(text.text, height, text.bold), 1e-6))
        if height < SMALLEST:
            return ()
    dx, dy = _offset(text.dx_pt, text.dy_pt, extra)
    x, y = text.x * scale + dx, -text.y * scale - dy
    return (
        Lettering(x, y, text.text, height, -text.rotate, text.anchor, text.bold, text.halo, text.warn),
    )  # fmt: skip


def _offset(dx: float, dy: float, extra: float) -> Point:
    reach = math.hypot(dx, dy)
    if not extra or not reach:
        return dx, dy
    return dx * (1 + extra / reach), dy * (1 + extra / reach)


def signed(symbol: Symbol, scale: float, extra: float = 0.0) -> tuple[Ink | Lettering, ...]:
    """The marks of a sign; ``extra`` [pt] moves it further along its offset."""
    dx, dy = _offset(symbol.dx_pt, symbol.dy_pt, extra)
    return sign(
        symbol.mark,
        symbol.x * scale + dx,
        -symbol.y * scale - dy,
        symbol.size_pt,
        symbol.text,
        symbol.rotate,
        symbol.warn,
    )


def _settle(shapes: Sequence[Shape], marks: list[Marking], scale: float) -> list[Marking]:
    """Place texts and signs that may move: each goes further along its offset until it lies on nothing lettered."""
    taken = [mark.box() for mark in marks if isinstance(mark, Lettering)]
    for shape in shapes:
        if not isinstance(shape, (Text, Symbol)) or not shape.avoid:
            continue
        for step in range(NUDGES):
            extra = step * NUDGE
            found = lettered(shape, scale, extra) if isinstance(shape, Text) else signed(shape, scale, extra)
            boxes = [_bounding(found)] if found else []
            if not any(mine.meets(box) for mine in boxes for box in taken):
                break
        taken += boxes
        marks += list(found)
    return marks


def _bounding(marks: Sequence[Ink | Lettering]) -> Box:
    if len(marks) == 1 and isinstance(marks[0], Lettering):
        return marks[0].box()
    left, top, right, bottom = extent_of(marks)
    return Box((left + right) / 2, (top + bottom) / 2, (right - left) / 2 + 1, (bottom - top) / 2 + 1)


def _callouts(callouts: Sequence[Callout], scale: float, marks: Sequence[Marking]) -> list[Marking]:
    left, top, right, bottom = extent_of(marks)
    out: list[Marking] = []
    for side in ("left", "right"):
        column = sorted((c for c in callouts if c.side == side), key=lambda c: (-c.y, c.x))
        if column:
            edge = left - CALLOUT_GAP if side == "left" else right + CALLOUT_GAP
            out += _column(column, side, edge, scale, top, bottom)
    return out


def _column(
    column: Sequence[Callout], side: str, edge: float, scale: float, top: float, bottom: float
) -> list[Marking]:
    lines = [wrap(c.text, CALLOUT_HEIGHT, CALLOUT_ROOM) for c in column]
    step = CALLOUT_HEIGHT * 1.22
    heights = [len(each) * step + 3.5 for each in lines]
    centres = spread([-c.y * scale for c in column], heights, top, bottom)
    out: list[Marking] = []
    away = -1 if side == "left" else 1
    for callout, text, centre in zip(column, lines, centres, strict=True):
        x, y = callout.x * scale, -callout.y * scale
        bend = (edge - away * 5, centre)
        out.append(polyline(((edge, centre), bend, (x, y)), Stroke.THIN, warn=callout.warn))
        out.append(circle(x, y, 0.9, None, solid=True, warn=callout.warn))
        anchor = "end" if side == "left" else "start"
        for n, line in enumerate(text):
            at = centre + (n - (len(text) - 1) / 2) * step
            out.append(Lettering(edge + away * 2, at, line, CALLOUT_HEIGHT, anchor=anchor, warn=callout.warn))
    return out


def spread(wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> list[float]:
    """Centres of labels of the given heights, in order, as near to where they are wanted as they go without meeting;
    within top..bottom if they fit, otherwise running past the bottom."""
    centres: list[float] = []
    floor = top
    for want, height in zip(wanted, heights, strict=True):
        centres.append(max(want, floor + height / 2))
        floor = centres[-1] + height / 2
    ceiling = max(bottom, top + sum(heights))
    for n in range(len(centres) - 1, -1, -1):
        centres[n] = min(centres[n], ceiling - heights[n] / 2)
        ceiling = centres[n] - heights[n] / 2
    return centres
