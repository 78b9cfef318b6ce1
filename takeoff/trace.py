"""The plan as far as it has been typed: something to draw while legs are still missing or unreadable."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from takeoff import closure as closing
from takeoff.closure import Course
from takeoff.curves import Piece, direction_deg, minus
from takeoff.placement import Closure, Curve, FaceLine
from takeoff.units import Length


@dataclass(frozen=True, slots=True)
class TypedLeg:
    """A leg as typed so far: None where a field is empty or cannot be read. An arc has radius and sweep."""

    name: str
    length: Length | None = None
    turn_deg: float | None = 0.0
    radius: Length | None = None
    sweep_deg: float | None = None

    @property
    def readable(self) -> bool:
        """Whether there is enough to draw it."""
        if self.radius is not None or self.sweep_deg is not None:
            return bool(self.radius and self.radius.nm > 0 and self.sweep_deg and abs(self.sweep_deg) <= 360.0)
        return self.length is not None and self.length.nm > 0


@dataclass(frozen=True, slots=True)
class TracedLeg:
    """A leg drawn on its dimensioned face."""

    name: str
    line: FaceLine
    heading_deg: float


@dataclass(frozen=True, slots=True)
class Trace:
    """What can be drawn of an unfinished ring: the readable legs, where the next one would begin and in which
    direction, and how far it is from closing (None with nothing drawn). ``skipped`` names the legs left out."""

    legs: tuple[TracedLeg, ...]
    x: float
    y: float
    heading_deg: float
    closure: Closure | None
    skipped: tuple[str, ...] = ()

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Box around it [in]: x0, y0, x1, y1 (corners and arc middles)."""
        points = [p for g in self.legs for p in (g.line.start, g.line.at(g.line.length.inch / 2), g.line.end)]
        xs, ys = [p[0] for p in points] or [0.0], [p[1] for p in points] or [0.0]
        return (min(xs), min(ys), max(xs), max(ys))


def trace(
    legs: Sequence[TypedLeg], heading_deg: float = 0.0, origin: tuple[float, float] = (0.0, 0.0), name: str = "ring"
) -> Trace:
    """Draw the legs typed so far on their dimensioned face, leaving out those that cannot be read (a turn typed for
    one of them still turns). Never refuses anything."""
    here, heading = origin, heading_deg
    drawn: list[TracedLeg] = []
    courses: list[Course] = []
    skipped: list[str] = []
    for leg in legs:
        turn = leg.turn_deg or 0.0
        if leg.readable:
            piece = _piece(leg, here, heading)
            drawn.append(TracedLeg(leg.name, _line(piece), heading % 360.0))
            courses.append(Course(leg.name, turn, None if piece.bent else heading, piece.length))
            here, heading = piece.end, piece.end_heading
        else:
            skipped.append(leg.name)
        heading += turn
    turned = heading - heading_deg
    closure = closing.close(name, courses, minus(origin, here), turned, ()) if drawn else None
    return Trace(tuple(drawn), here[0], here[1], heading % 360.0, closure, tuple(skipped))


def _piece(leg: TypedLeg, here: tuple[float, float], heading: float) -> Piece:
    if leg.radius is not None and leg.sweep_deg is not None:
        return Piece(here, heading, radius=leg.radius.inch, sweep_deg=leg.sweep_deg)
    assert leg.length is not None
    return Piece(here, heading, length=leg.length.inch)


def _line(piece: Piece) -> FaceLine:
    start, end, curve = piece.start, piece.end, None
    if piece.bent:
        centre = piece.centre
        curve = Curve(centre[0], centre[1], piece.radius, direction_deg(minus(start, centre)), piece.sweep_deg)
    return FaceLine(start[0], start[1], end[0], end[1], Length.from_inches(piece.run), curve)
