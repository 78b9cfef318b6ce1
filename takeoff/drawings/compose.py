"""From a scene to marks on paper at one scale: paths, lettering, signs, dimensions, labels with leaders."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from takeoff.drawings.dimension import arrange
from takeoff.drawings.lettering import wrap
from takeoff.drawings.loose import arc_points, lettered, settle, signed, wall_boxes
from takeoff.drawings.marks import (
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
from takeoff.drawings.scene import (
    Callout,
    Dimension,
    Legend,
    Line,
    Link,
    Mark,
    Path,
    Scene,
    Shape,
    Stroke,
    Symbol,
    Text,
)
from takeoff.drawings.strip import strip

CALLOUT_HEIGHT = 7.0
CALLOUT_ROOM = 112.0
CALLOUT_GAP = 14.0
STRIP_GAP = 12.0
#: On a sheet narrower than this [pt] labels stand below the drawing.
NARROW = 400.0
BUBBLE_OFF = 13.0


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

    Lettering does not grow with the scale, so the extent is taken as a straight line in it and met in a few steps.
    """
    if width_pt < NARROW:
        scene = numbered(scene)
    room = width_pt - 2 * scene.margin_pt
    high = None if height_pt is None else height_pt - 2 * scene.margin_pt
    most = scene.scale_pt_per_in or math.inf
    if most < math.inf:
        marks = work(scene, most)
        if _fits(extent_of(marks), room, _less_strip(high, scene, most, room)):
            return _sheet(scene, marks, most, room)
    scale, marks = _search(scene, most, room, high)
    return _sheet(scene, marks, scale, room)


def numbered(scene: Scene) -> Scene:
    """The same drawing for a narrow sheet: labels beside it become numbers in bubbles, said in the key below."""
    callouts = [shape for shape in scene.shapes if isinstance(shape, Callout)]
    callouts.sort(key=lambda c: (c.side != "left", -c.y))
    bubbles: list[Shape] = []
    key: list[Legend] = []
    for n, callout in enumerate(callouts, 1):
        dx = -BUBBLE_OFF if callout.side == "left" else BUBBLE_OFF
        bubbles.append(
            Symbol(callout.x, callout.y, Mark.ROUND, str(n), 6.0, dx_pt=dx, avoid=True, warn=callout.warn, leader=True)
        )
        key.append(Legend(callout.text, None, mark=Mark.ROUND, text=str(n), warn=callout.warn))
    rest = tuple(shape for shape in scene.shapes if not isinstance(shape, Callout))
    return replace(scene, shapes=(*rest, *bubbles), legend=(*key, *scene.legend)) if key else scene


def compose(scene: Scene, scale: float, width_pt: float) -> Sheet:
    """Lay a scene out at a given scale [pt per in]; the strip below takes the width of the sheet."""
    return _sheet(scene, work(scene, scale), scale, width_pt - 2 * scene.margin_pt)


def _size(scene: Scene) -> tuple[float, float]:
    """Width and height [in] of what has a size of its own: all but lettering."""
    points = [mark for shape in scene.shapes for mark in _mark(shape, 1.0) if not isinstance(mark, Lettering)]
    left, top, right, bottom = extent_of(points)
    return max(right - left, 1.0), max(bottom - top, 1.0)


def _search(scene: Scene, most: float, room: float, high: float | None) -> tuple[float, list[Marking]]:
    """A first guess gives what has a size of its own two thirds of the room across and down. From there it grows with
    the scale as its size says, and then along the line through the last two extents, until the drawing fits with little
    to spare."""
    size = _size(scene)
    scale = min(most, room * 0.67 / size[0], math.inf if high is None else high * 0.67 / size[1])
    before: tuple[float, float] | None = None
    best: tuple[float, list[Marking]] | None = None
    for _ in range(7):
        marks = work(scene, scale)
        extent, down = extent_of(marks), _less_strip(high, scene, scale, room)
        excess = _excess(extent, room, down)
        if excess <= 0.25 and (best is None or scale > best[0]):
            best = scale, marks
        if best and (scale >= most or -3.0 <= excess <= 0.25):
            break
        slope = (excess - before[1]) / (scale - before[0]) if before and scale != before[0] else 0.0
        if before is None:
            step = _first_step(extent, size, room, down)
        else:
            step = -(excess + 1.0) / slope if slope > 1e-6 else scale * (0.15 if excess < 0 else -0.15)
        before = scale, excess
        scale = min(max(scale + step, scale * 0.3), scale * 3, most)
    while best is None:
        scale *= 0.93
        marks = work(scene, scale)
        if scale < 1e-3 or _fits(extent_of(marks), room, _less_strip(high, scene, scale, room)):
            best = scale, marks
    return best


def _first_step(
    extent: tuple[float, float, float, float], size: tuple[float, float], room: float, high: float | None
) -> float:
    """How much larger a scale the room leaves, across and down it, if lettering takes as much of it as now."""
    left, top, right, bottom = extent
    across = (room - 1.0 - (right - left)) / size[0]
    return across if high is None else min(across, (high - 1.0 - (bottom - top)) / size[1])


def _excess(extent: tuple[float, float, float, float], room: float, high: float | None) -> float:
    """By how much [pt] the drawing is too wide, or too high; negative is to spare."""
    left, top, right, bottom = extent
    wide = right - left - room
    return wide if high is None else max(wide, bottom - top - high)


def _fits(extent: tuple[float, float, float, float], room: float, high: float | None) -> bool:
    return _excess(extent, room, high) <= 0.25


def _less_strip(high: float | None, scene: Scene, scale: float, room: float) -> float | None:
    if high is None:
        return None
    below = strip(scene, scale, room).height
    return high - (below + STRIP_GAP if below else 0.0)


def work(scene: Scene, scale: float) -> list[Marking]:
    """Everything of a scene but the strip below, at a scale."""
    laid = [_mark(shape, scale) for shape in scene.shapes if not isinstance(shape, (Dimension, Callout))]
    marks = [mark for group in laid for mark in group]
    taken = [mark.box() for mark in marks if isinstance(mark, Lettering)]
    for placed in arrange(
        [s for s in scene.shapes if isinstance(s, Dimension)], scale, taken, wall_boxes(scene.shapes, scale)
    ):
        marks += [*placed.inks(), placed.lettering]
        taken += placed.obstacles()
    marks += settle(scene.shapes, marks, taken, scale)
    return marks + _callouts([s for s in scene.shapes if isinstance(s, Callout)], scale, marks)


def _sheet(scene: Scene, marks: list[Marking], scale: float, room: float) -> Sheet:
    left, top, right, bottom = extent_of(marks)
    foot = strip(scene, scale, max(room, right - left))
    if foot.marks:
        edge = min(left, (left + right - room) / 2)
        marks = marks + [moved(mark, edge, bottom + STRIP_GAP) for mark in foot.marks]
        left, right = min(left, edge), max(right, edge + room)
        bottom += STRIP_GAP + foot.height
    margin = scene.margin_pt
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
        extent += arc_points(a, b, bulge)
    return Ink(points[0], segments, path.closed, path.stroke, path.hatch, path.warn, path.wash, tuple(extent))


def _segment(a: Point, b: Point, bulge: float) -> Segment:
    if not bulge:
        return Segment(b)
    radius = math.dist(a, b) * (1 + bulge * bulge) / (4 * abs(bulge))
    return Segment(b, radius, abs(bulge) > 1, bulge < 0)


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
