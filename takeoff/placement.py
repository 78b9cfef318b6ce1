"""What placing a plan on paper gives: each leg with its five faces, the joints, the closing error.

Import these from :mod:`takeoff.geometry`. Coordinates are float inches, x to the right and y up on paper; paper up
is called north. Lengths are exact to the nanometre where turns are multiples of 90 degrees and rounded once elsewhere.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from takeoff.curves import Point, along, unit
from takeoff.plan import End as LegEnd
from takeoff.plan import Face, Leg, Opening, Stretch, Walk, WalkKind, stretches
from takeoff.problems import Problem
from takeoff.units import Length


class CornerKind(StrEnum):
    """What happens at the end of a leg."""

    OUTSIDE = "outside"  # convex: the building is inside the turn
    INSIDE = "inside"  # re-entrant
    STRAIGHT = "straight"  # no turn: two legs in line, or an arc that runs on smoothly
    TEE = "tee"  # a spur meets another leg here
    END = "end"  # a free end (end cap)


@dataclass(frozen=True, slots=True)
class Corner:
    """The joint between two legs. ``deflection_deg`` is the absolute turn, 90 for a square corner."""

    kind: CornerKind
    deflection_deg: float
    x: float  # of the outside-of-foam line [in]
    y: float


@dataclass(frozen=True, slots=True)
class Curve:
    """Centre and radius [in] of a face that is an arc; angles in degrees, counter-clockwise from +x.

    ``start_deg`` is the direction of the face's start seen from the centre; ``sweep_deg`` is positive bending left.
    """

    cx: float
    cy: float
    radius: float
    start_deg: float
    sweep_deg: float


@dataclass(frozen=True, slots=True)
class FaceLine:
    """One face of one leg: from start to end point [in], straight or an arc, and its length."""

    x0: float
    y0: float
    x1: float
    y1: float
    length: Length
    curve: Curve | None = None

    @property
    def start(self) -> Point:
        """Start point [in]."""
        return (self.x0, self.y0)

    @property
    def end(self) -> Point:
        """End point [in]."""
        return (self.x1, self.y1)

    @property
    def bulge(self) -> float:
        """Tangent of a quarter of the sweep, positive bending left; 0 for a straight face."""
        return math.tan(math.radians(self.curve.sweep_deg) / 4.0) if self.curve else 0.0

    def at(self, distance_in: float) -> Point:
        """The point a distance [in] along the face from its start."""
        if self.curve:
            turned = math.copysign(math.degrees(distance_in / self.curve.radius), self.curve.sweep_deg)
            return along((self.curve.cx, self.curve.cy), unit(self.curve.start_deg + turned), self.curve.radius)
        whole = math.hypot(self.x1 - self.x0, self.y1 - self.y0) or 1.0
        return along(self.start, ((self.x1 - self.x0) / whole, (self.y1 - self.y0) / whole), distance_in)


@dataclass(frozen=True, slots=True)
class LegGeometry:
    """One leg placed on the paper.

    ``outside_left`` is True where the outside of the building is on the left hand of the walking direction.
    ``faces`` holds all five faces, trimmed at the corners by mitre. ``dimension_offset`` is the distance from the
    leg's start on the outside-of-foam line to its start on the dimensioned face, so that an offset typed along the
    dimensioned face becomes one along the outside face by adding it (negative where the dimensioned face starts
    first: at inside corners, and at a T measured from a face within the through wall). On arcs the two faces also
    differ in radius: use :meth:`along_outside`, which is right for both.
    """

    leg: Leg
    walk: Walk
    outside_left: bool
    heading_deg: float  # at the start
    start: Corner
    end: Corner
    faces: dict[Face, FaceLine]
    dimension_offset: Length
    adjustment: Length  # what closure put on this leg (0 mostly)
    dimension_length: Length = field(default_factory=lambda: Length(0))  # as typed, with the adjustment
    outside_per_dimension: float = 1.0  # radius of the outside face over that of the dimensioned face; 1 if straight

    @property
    def outside(self) -> FaceLine:
        """Outside of foam, the face the crew lays block to."""
        return self.faces[Face.OUTSIDE_OF_FOAM]

    @property
    def centre(self) -> FaceLine:
        """Centre line of the core: what concrete volume is measured on."""
        return self.faces[Face.CENTRE_LINE]

    def along_outside(self, typed: Length) -> Length:
        """A distance typed along the dimensioned face, as a distance along the outside face of foam."""
        if self.outside_per_dimension == 1.0:
            return typed + self.dimension_offset
        return Length(round(typed.nm * self.outside_per_dimension)) + self.dimension_offset

    def outside_stretches(self) -> tuple[Stretch, ...]:
        """The leg cut at its steps, along the outside face of foam: the first stretch starts at its outside corner
        and the last ends at the other, whichever face the plan is dimensioned to."""
        parts = stretches(self.leg, self.dimension_length)
        cuts = [Length(0), *(self.along_outside(p.start) for p in parts[1:]), self.outside.length]
        return tuple(Stretch(cuts[k], cuts[k + 1], part.levels) for k, part in enumerate(parts))

    def opening_span(self, opening: Opening) -> tuple[Length, Length]:
        """Both jambs of a rough opening along the outside face of foam; its width is kept as typed."""
        if opening.measured_from is LegEnd.START:
            start = self.along_outside(opening.offset)
            return (start, start + opening.width)
        end = self.along_outside(self.dimension_length - opening.offset)
        return (end - opening.width, end)


@dataclass(frozen=True, slots=True)
class Tee:
    """A spur meeting a leg: ``at`` is the spur's centre line along the outside face of the through leg, ``inward``
    says on which side of it the spur stands."""

    through: str
    spur: str
    at: Length
    inward: bool


@dataclass(frozen=True, slots=True)
class Closure:
    """How far a ring misses its start: a surveyor's closing line, and what is to be done about it.

    ``error`` and ``bearing_deg`` (clockwise from paper up) lead from where the ring ends to where it began.
    ``verdict`` is 'closed', 'absorbed', 'choose_legs' or 'correct'; ``sentence`` says it with feet-inches and
    direction ('0'-0 3/8" short, to the north-east'). ``adjustments`` is what each leg was given to close it.
    """

    walk: str
    error: Length
    bearing_deg: float
    turned_deg: float  # total of the turns; must be +-360
    verdict: str
    sentence: str
    adjustments: tuple[tuple[str, Length], ...] = ()


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed polyline [in]; ``bulges`` bend the segment after each point, as in drawings.scene.Path."""

    points: tuple[Point, ...]
    bulges: tuple[float, ...]

    @property
    def area(self) -> float:
        """Area enclosed [in2]: shoelace, plus the circle segment of each bend."""
        total, count = 0.0, len(self.points)
        for k, (x0, y0) in enumerate(self.points):
            x1, y1 = self.points[(k + 1) % count]
            total += (x0 * y1 - x1 * y0) / 2.0 + _circle_segment(math.hypot(x1 - x0, y1 - y0), self.bulges[k])
        return abs(total)

    @property
    def perimeter(self) -> float:
        """Length around it [in]."""
        total, count = 0.0, len(self.points)
        for k, (x0, y0) in enumerate(self.points):
            x1, y1 = self.points[(k + 1) % count]
            chord, sweep = math.hypot(x1 - x0, y1 - y0), 4.0 * math.atan(abs(self.bulges[k]))
            total += chord if sweep < 1e-12 else chord * sweep / (2.0 * math.sin(sweep / 2.0))
        return total


def _circle_segment(chord: float, bulge: float) -> float:
    """Area between a chord and its arc, signed as the shoelace counts it: an arc bending left lies on the right hand
    of its chord and adds to a counter-clockwise outline."""
    if abs(bulge) < 1e-12:
        return 0.0
    sweep = 4.0 * math.atan(bulge)
    radius = chord / (2.0 * math.sin(abs(sweep) / 2.0))
    return radius**2 / 2.0 * (sweep - math.sin(sweep))


@dataclass(frozen=True, slots=True, eq=False)
class Placement:
    """All legs on paper, in walking order. ``legs`` lacks the walks that could not be placed; ``problems`` says why.

    One is equal to itself alone, so that what is worked out from it can be kept with it as the key.
    """

    legs: dict[str, LegGeometry]
    closures: tuple[Closure, ...] = ()
    problems: tuple[Problem, ...] = ()
    tees: tuple[Tee, ...] = ()

    def of_walk(self, walk_name: str) -> tuple[LegGeometry, ...]:
        """Legs of one walk, in walking order."""
        return tuple(g for g in self.legs.values() if g.walk.name == walk_name)

    def rings(self) -> tuple[str, ...]:
        """Names of the rings that were placed."""
        return tuple(dict.fromkeys(g.walk.name for g in self.legs.values() if g.walk.kind is WalkKind.RING))

    def next_leg(self, name: str) -> LegGeometry | None:
        """The leg after a leg in its walk; after a ring's last leg comes its first, after a spur's last none."""
        return self._neighbour(name, 1)

    def previous_leg(self, name: str) -> LegGeometry | None:
        """The leg before a leg in its walk."""
        return self._neighbour(name, -1)

    def _neighbour(self, name: str, step: int) -> LegGeometry | None:
        walk = self.legs[name].walk
        names = [leg.name for leg in walk.legs]
        place = names.index(name) + step
        if walk.kind is WalkKind.SPUR and not 0 <= place < len(names):
            return None
        return self.legs[names[place % len(names)]]
