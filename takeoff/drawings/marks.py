"""What lies on the paper after a scene is scaled: ink and lettering in points, y down, and boxes that must not meet."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from takeoff.drawings.lettering import width_of
from takeoff.drawings.scene import Hatch, Stroke

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Segment:
    """A piece of a path: a move, a line or an arc to ``to``; ``radius`` None is straight. ``clockwise`` as seen."""

    to: Point
    radius: float | None = None
    large: bool = False
    clockwise: bool = False


@dataclass(frozen=True, slots=True)
class Ink:
    """A path on paper. ``extent`` are points that bound it (arcs included)."""

    start: Point
    segments: tuple[Segment, ...]
    closed: bool
    stroke: Stroke | None
    hatch: Hatch = Hatch.NONE
    warn: bool = False
    wash: bool = False
    extent: tuple[Point, ...] = ()
    solid: bool = False  # filled with ink (arrow heads, dots)

    @property
    def plain(self) -> bool:
        """Nothing but a stroke, so that neighbours of the same pen may share one path."""
        return self.stroke is not None and self.hatch is Hatch.NONE and not self.solid and not self.wash


@dataclass(frozen=True, slots=True)
class Lettering:
    """One line of text; (x, y) is the middle of its height; ``angle`` in degrees, clockwise on paper."""

    x: float
    y: float
    text: str
    height: float
    angle: float = 0.0
    anchor: str = "middle"
    bold: bool = False
    halo: bool = False
    warn: bool = False

    def box(self) -> Box:
        """The paper it covers."""
        width = width_of(self.text, self.height, self.bold)
        shift = {"start": width / 2, "middle": 0.0, "end": -width / 2}[self.anchor]
        turn = math.radians(self.angle)
        return Box(
            self.x + shift * math.cos(turn), self.y + shift * math.sin(turn), width / 2, self.height * 0.56, self.angle
        )


@dataclass(frozen=True, slots=True)
class Group:
    """Marks that belong to a link."""

    key: str
    title: str
    marks: tuple[Ink | Lettering, ...]


Marking = Ink | Lettering | Group


@dataclass(frozen=True, slots=True)
class Box:
    """A turned rectangle: centre, half width, half height [pt], angle in degrees, clockwise on paper."""

    x: float
    y: float
    half_width: float
    half_height: float
    angle: float = 0.0
    #: half size of the upright box around it
    reach_x: float = field(init=False, repr=False, compare=False)
    reach_y: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        turn = math.radians(self.angle)
        cos, sin = abs(math.cos(turn)), abs(math.sin(turn))
        object.__setattr__(self, "reach_x", self.half_width * cos + self.half_height * sin)
        object.__setattr__(self, "reach_y", self.half_width * sin + self.half_height * cos)

    def corners(self) -> tuple[Point, ...]:
        """The four corners, in order."""
        turn = math.radians(self.angle)
        cos, sin = math.cos(turn), math.sin(turn)
        ax, ay = self.half_width * cos, self.half_width * sin
        bx, by = self.half_height * sin, self.half_height * cos
        x, y = self.x, self.y
        near = (x - ax + bx, y - ay - by), (x + ax + bx, y + ay - by)
        return (*near, (x + ax - bx, y + ay + by), (x - ax - bx, y - ay + by))

    def meets(self, other: Box) -> bool:
        """Whether the two cover any paper in common (separating axes)."""
        across = self.reach_x + other.reach_x - abs(self.x - other.x)
        down = self.reach_y + other.reach_y - abs(self.y - other.y)
        if across <= 1e-9 or down <= 1e-9:
            return False
        if self.angle % 90 == 0 == other.angle % 90:
            return True
        return not any(_apart(self.corners(), other.corners(), axis) for axis in (*self._axes(), *other._axes()))

    def _axes(self) -> tuple[Point, Point]:
        turn = math.radians(self.angle)
        return (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))


def _apart(a: tuple[Point, ...], b: tuple[Point, ...], axis: Point) -> bool:
    along_a = [x * axis[0] + y * axis[1] for x, y in a]
    along_b = [x * axis[0] + y * axis[1] for x, y in b]
    return max(along_a) <= min(along_b) + 1e-9 or max(along_b) <= min(along_a) + 1e-9


def line_box(a: Point, b: Point, half_height: float = 0.4) -> Box:
    """A line as a thin box, a little short at its ends so that lines may join."""
    length = math.dist(a, b)
    angle = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    return Box((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, max(length / 2 - 1, 0.1), half_height, angle)


def polyline(
    points: Iterable[Point], stroke: Stroke | None, closed: bool = False, warn: bool = False, solid: bool = False
) -> Ink:
    """Straight ink through points."""
    first, *rest = points
    segments = tuple([Segment(p) for p in rest])
    return Ink(first, segments, closed, stroke, warn=warn, extent=(first, *rest), solid=solid)


def circle(x: float, y: float, radius: float, stroke: Stroke | None, solid: bool = False, warn: bool = False) -> Ink:
    """A circle of ink."""
    segments = (Segment((x + radius, y), radius, False, True), Segment((x - radius, y), radius, False, True))
    extent = ((x - radius, y - radius), (x + radius, y + radius))
    return Ink((x - radius, y), segments, True, stroke, warn=warn, extent=extent, solid=solid)


def extent_of(marks: Iterable[Marking]) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of everything; zeros where there is nothing."""
    points: list[Point] = []
    _add_points(marks, points)
    if not points:
        return (0.0, 0.0, 0.0, 0.0)
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def _add_points(marks: Iterable[Marking], points: list[Point]) -> None:
    for mark in marks:
        if isinstance(mark, Group):
            _add_points(mark.marks, points)
        elif isinstance(mark, Ink):
            points.extend(mark.extent)
        else:
            points.extend(mark.box().corners())
