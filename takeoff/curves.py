"""Plane geometry of a walked line: straight pieces and arcs, their parallels and where they meet.

Float inches, angles in degrees counter-clockwise from +x. Knows nothing of walls. Headings that are multiples of 90
degrees have exact unit vectors, so square plans are exact to the last bit that matters.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

Point = tuple[float, float]

_QUARTERS: Final[dict[float, Point]] = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
_NEAR: Final = 1e-9


@lru_cache(maxsize=4096)  # walls of one house go few ways
def unit(heading_deg: float) -> Point:
    """Unit vector of a heading; exact for multiples of 90 degrees."""
    heading = heading_deg % 360.0
    nearest = round(heading / 90.0) * 90.0
    if abs(heading - nearest) < _NEAR:
        return _QUARTERS[nearest % 360.0]
    radians = math.radians(heading)
    return (math.cos(radians), math.sin(radians))


def left_of(heading_deg: float) -> Point:
    """Unit vector to the left of a heading."""
    return unit(heading_deg + 90.0)


def along(start: Point, direction: Point, distance: float) -> Point:
    """The point at a distance from a start in a direction (a unit vector)."""
    return (start[0] + direction[0] * distance, start[1] + direction[1] * distance)


def minus(a: Point, b: Point) -> Point:
    """The vector from b to a."""
    return (a[0] - b[0], a[1] - b[1])


def dot(a: Point, b: Point) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def cross(a: Point, b: Point) -> float:
    """Signed area of the parallelogram of two vectors; positive where b is to the left of a."""
    return a[0] * b[1] - a[1] * b[0]


def direction_deg(vector: Point) -> float:
    """Heading of a vector, 0 to 360."""
    return math.degrees(math.atan2(vector[1], vector[0])) % 360.0


def half_turn(angle_deg: float) -> float:
    """The same angle between -180 (not included) and 180."""
    wrapped = angle_deg % 360.0
    return wrapped - 360.0 if wrapped > 180.0 else wrapped


@dataclass(frozen=True, slots=True)
class Carrier:
    """The endless line or full circle that a piece lies on; ``radius`` 0 for a line.

    A line passes through ``base`` in direction ``heading_deg``; a circle is centred on ``base``.
    """

    base: Point
    heading_deg: float
    radius: float = 0.0

    def parallel(self, left: float, bends_left: bool) -> Carrier:
        """The parallel a distance to the left of the direction walked; a circle's radius may become negative."""
        if self.radius == 0.0:
            return Carrier(along(self.base, left_of(self.heading_deg), left), self.heading_deg)
        return Carrier(self.base, self.heading_deg, self.radius - left if bends_left else self.radius + left)


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight or bent piece as walked: start, heading at the start, and length or radius and sweep (+ left)."""

    start: Point
    heading_deg: float
    length: float = 0.0
    radius: float = 0.0
    sweep_deg: float = 0.0

    @property
    def bent(self) -> bool:
        """Whether it is an arc."""
        return self.radius > 0.0

    @property
    def bends_left(self) -> bool:
        """Whether an arc bends to the left."""
        return self.sweep_deg > 0.0

    @property
    def centre(self) -> Point:
        """Centre of an arc."""
        return along(self.start, left_of(self.heading_deg), self.radius if self.bends_left else -self.radius)

    @property
    def end(self) -> Point:
        """Where it ends."""
        if not self.bent:
            return along(self.start, unit(self.heading_deg), self.length)
        out = unit(self.end_heading - 90.0 if self.bends_left else self.end_heading + 90.0)
        return along(self.centre, out, self.radius)

    @property
    def end_heading(self) -> float:
        """Heading at its end."""
        return self.heading_deg + self.sweep_deg

    @property
    def run(self) -> float:
        """Length along it."""
        return self.radius * math.radians(abs(self.sweep_deg)) if self.bent else self.length

    @property
    def carrier(self) -> Carrier:
        """What it lies on."""
        return Carrier(self.centre, 0.0, self.radius) if self.bent else Carrier(self.start, self.heading_deg)

    def heading_at(self, distance: float) -> float:
        """Heading at a distance along it."""
        if not self.bent:
            return self.heading_deg
        return self.heading_deg + math.copysign(math.degrees(distance / self.radius), self.sweep_deg)

    def at(self, distance: float) -> Point:
        """The point at a distance along it (also beyond its ends)."""
        if not self.bent:
            return along(self.start, unit(self.heading_deg), distance)
        heading = self.heading_at(distance)
        return along(self.centre, unit(heading - 90.0 if self.bends_left else heading + 90.0), self.radius)


def meet(a: Carrier, b: Carrier, near: Point) -> Point | None:
    """Where two carriers cross: the crossing nearest to a point, None where they do not."""
    if a.radius == 0.0 and b.radius == 0.0:
        return _lines(a, b)
    crossings = _line_circle(a, b) if a.radius == 0.0 else _line_circle(b, a) if b.radius == 0.0 else _circles(a, b)
    return min(crossings, key=lambda p: math.hypot(p[0] - near[0], p[1] - near[1]), default=None)


def _lines(a: Carrier, b: Carrier) -> Point | None:
    u, v = unit(a.heading_deg), unit(b.heading_deg)
    spread = cross(u, v)
    if abs(spread) < _NEAR:
        return None
    return along(a.base, u, cross(minus(b.base, a.base), v) / spread)


def _line_circle(line: Carrier, circle: Carrier) -> tuple[Point, ...]:
    u = unit(line.heading_deg)
    to_centre = minus(circle.base, line.base)
    foot = along(line.base, u, dot(to_centre, u))
    square = circle.radius**2 - cross(u, to_centre) ** 2
    if square < -1e-6 * circle.radius:
        return ()
    reach = math.sqrt(max(square, 0.0))
    return (along(foot, u, reach), along(foot, u, -reach))


def _circles(a: Carrier, b: Carrier) -> tuple[Point, ...]:
    apart = minus(b.base, a.base)
    distance = math.hypot(*apart)
    if distance < _NEAR:
        return ()
    toward = (distance**2 + a.radius**2 - b.radius**2) / (2.0 * distance)
    square = a.radius**2 - toward**2
    if square < -1e-6 * abs(a.radius):
        return ()
    axis = (apart[0] / distance, apart[1] / distance)
    foot, reach = along(a.base, axis, toward), math.sqrt(max(square, 0.0))
    across = (-axis[1], axis[0])
    return (along(foot, across, reach), along(foot, across, -reach))


def flatten(start: Point, end: Point, centre: Point | None, sweep_deg: float, step_deg: float = 3.0) -> list[Point]:
    """Points along a piece from start to end, an arc in chords of at most ``step_deg``."""
    if centre is None:
        return [start, end]
    count = max(1, math.ceil(abs(sweep_deg) / step_deg))
    radius, first = math.hypot(*minus(start, centre)), direction_deg(minus(start, centre))
    inner = (along(centre, unit(first + sweep_deg * k / count), radius) for k in range(1, count))
    return [start, *inner, end]


def segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the segments a-b and c-d touch or cross (touching within 1/1000 in counts)."""
    ab, cd = minus(b, a), minus(d, c)
    spread = cross(ab, cd)
    ac = minus(c, a)
    if abs(spread) < _NEAR * math.hypot(*ab) * math.hypot(*cd):
        return _overlap_in_line(a, b, c, d)
    s, t = cross(ac, cd) / spread, cross(ac, ab) / spread
    slack_s, slack_t = 1e-3 / max(math.hypot(*ab), 1e-3), 1e-3 / max(math.hypot(*cd), 1e-3)
    return -slack_s <= s <= 1 + slack_s and -slack_t <= t <= 1 + slack_t


def _overlap_in_line(a: Point, b: Point, c: Point, d: Point) -> bool:
    length = math.hypot(*minus(b, a))
    if length < 1e-6:
        return math.hypot(*minus(c, a)) < 1e-3
    u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    if abs(cross(u, minus(c, a))) > 1e-3:
        return False
    low, high = sorted((dot(u, minus(c, a)), dot(u, minus(d, a))))
    return low <= length + 1e-3 and high >= -1e-3
