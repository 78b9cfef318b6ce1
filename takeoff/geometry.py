"""Where the wall is: walks turned into coordinates, faces offset, lengths and areas measured.

Coordinates are float inches, x to the right and y up on paper. The outside-of-foam line is the reference line;
every other face lies a distance inside it. Filled in below; this is the shape every other module relies on.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from takeoff.plan import Face, Leg, Walk
from takeoff.units import Length


class CornerKind(StrEnum):
    """What happens at the end of a leg."""

    OUTSIDE = "outside"  # convex: the building is inside the turn
    INSIDE = "inside"  # re-entrant
    STRAIGHT = "straight"  # no turn: two legs in line
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
    """Centre and radius [in] of a face that is an arc; angles in degrees, counter-clockwise from +x."""

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


@dataclass(frozen=True, slots=True)
class LegGeometry:
    """One leg placed on the paper.

    ``outside_left`` is True where the outside of the building is on the left hand of the walking direction.
    ``faces`` holds all five faces, trimmed at the corners by mitre. ``dimension_offset`` is the distance from the
    leg's start on the outside-of-foam line to its start on the dimensioned face, so that an offset typed along the
    dimensioned face becomes one along the outside face by adding it.
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

    @property
    def outside(self) -> FaceLine:
        """Outside of foam, the face the crew lays block to."""
        return self.faces[Face.OUTSIDE_OF_FOAM]

    @property
    def centre(self) -> FaceLine:
        """Centre line of the core: what concrete volume is measured on."""
        return self.faces[Face.CENTRE_LINE]


@dataclass(frozen=True, slots=True)
class Closure:
    """How far a ring misses its start: a surveyor's closing line, and what is to be done about it.

    ``verdict`` is 'closed', 'absorbed', 'choose_legs' or 'correct'; ``sentence`` says it with feet-inches and
    direction ('0'-0 3/8" short, to the north-east').
    """

    walk: str
    error: Length
    bearing_deg: float
    turned_deg: float  # total of the turns; must be +-360
    verdict: str
    sentence: str
    adjustments: tuple[tuple[str, Length], ...] = ()
