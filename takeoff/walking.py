"""From legs to lines: the dimensioned face as it is walked, its parallels, and where they meet at corners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from takeoff.curves import (
    Carrier,
    Piece,
    Point,
    along,
    cross,
    direction_deg,
    dot,
    half_turn,
    left_of,
    meet,
    minus,
    unit,
)
from takeoff.placement import Corner, CornerKind, Curve, FaceLine, LegGeometry
from takeoff.plan import Arc, Face, Leg, Plan, Straight, Walk
from takeoff.units import Length

#: Less turn than this is none [degrees].
NO_TURN_DEG = 1e-6
#: Less turn than this cannot be mitred where the wall changes thickness; the legs are butted with a jog [degrees].
SLIGHT_TURN_DEG = 5.0

FACE_WORDS = {
    Face.OUTSIDE_OF_FOAM: "outside of foam",
    Face.OUTSIDE_OF_CONCRETE: "outside of concrete",
    Face.CENTRE_LINE: "centre line",
    Face.INSIDE_OF_CONCRETE: "inside of concrete",
    Face.INSIDE_OF_FOAM: "inside of foam",
}


class CannotPlace(Exception):  # noqa: N818 - not an error of the program: a sentence for the person
    """A walk that cannot be drawn; carries the leg's name, the field at fault and a sentence."""

    def __init__(self, leg: str, field_name: str, sentence: str) -> None:
        super().__init__(sentence)
        self.leg, self.field_name, self.sentence = leg, field_name, sentence


def depth_of(plan: Plan, leg: Leg, face: Face) -> float:
    """How far a face lies inside the outside of foam [in]: foam, core and foam of the leg's own form system."""
    foam, core = plan.form(leg.form).foam.inch, leg.core.inch
    if face is Face.OUTSIDE_OF_FOAM:
        return 0.0
    if face is Face.OUTSIDE_OF_CONCRETE:
        return foam
    if face is Face.CENTRE_LINE:
        return foam + core / 2.0
    return foam + core if face is Face.INSIDE_OF_CONCRETE else foam + core + foam


def sweep_of(leg: Leg) -> float:
    """Degrees an arc bends through, 0 for a straight leg."""
    return leg.path.sweep_deg if isinstance(leg.path, Arc) else 0.0


def turned(legs: Sequence[Leg], with_last: bool = True) -> float:
    """All turns and bends of a walk together [degrees, + left]; a spur's last turn leads nowhere and is left out."""
    bends = math.fsum(sweep_of(leg) for leg in legs)
    return bends + math.fsum(leg.turn_deg for leg in (legs if with_last else legs[:-1]))


@dataclass(frozen=True, slots=True)
class Sided:
    """A plan seen from one walk: ``inward`` is +1 where the building is on the left hand, -1 on the right."""

    plan: Plan
    inward: int

    def left(self, leg: Leg, face: Face) -> float:
        """How far to the left of the dimensioned face another face of a leg lies [in]."""
        return self.inward * (depth_of(self.plan, leg, face) - depth_of(self.plan, leg, self.plan.dimensions_to))

    def jog(self, before: Leg, leg: Leg) -> float:
        """How far the dimensioned face of a leg steps to the left of the one before, so that the face named in
        ``leg.flush`` runs on in line [in]. Only where the walk does not turn."""
        if abs(before.turn_deg) > NO_TURN_DEG:
            return 0.0
        return self.left(before, leg.flush) - self.left(leg, leg.flush)

    def pieces(self, legs: Sequence[Leg], start: Point, heading_deg: float, added: dict[str, float]) -> list[Piece]:
        """The dimensioned face as walked; ``added`` is what closure puts on a straight leg [in]."""
        out: list[Piece] = []
        here, heading = start, heading_deg
        for k, leg in enumerate(legs):
            if k:
                here = along(here, left_of(heading), self.jog(legs[k - 1], leg))
            piece = piece_of(leg, here, heading, added.get(leg.name, 0.0))
            out.append(piece)
            here, heading = piece.end, piece.end_heading + leg.turn_deg
        return out


def piece_of(leg: Leg, start: Point, heading_deg: float, added: float = 0.0) -> Piece:
    """One leg's dimensioned face from where it starts."""
    if isinstance(leg.path, Straight):
        return Piece(start, heading_deg, length=leg.path.length.inch + added)
    return Piece(start, heading_deg, radius=leg.path.radius.inch, sweep_deg=leg.path.sweep_deg)


def carrier_of(piece: Piece, left: float, leg: Leg, face: Face) -> Carrier:
    """What a face lies on; refuses an arc bent tighter than the wall is thick."""
    carrier = piece.carrier.parallel(left, piece.bends_left)
    if piece.bent and carrier.radius <= 1e-3:
        raise CannotPlace(
            leg.name,
            "radius",
            f"Leg {leg.name}: the radius {Length.from_inches(piece.radius)} is less than the wall is thick; "
            f"nothing would be left of its {FACE_WORDS[face]}.",
        )
    return carrier


def corner_points(
    sided: Sided, legs: tuple[Leg, Leg], pieces: tuple[Piece, Piece], turn_deg: float, face: Face
) -> tuple[Point, Point]:
    """Where a face of one leg ends and the same face of the next begins: one mitre point, or, where there is no turn,
    a point on each straight across the joint (they differ where the face jogs)."""
    (a, b), (first, second) = legs, pieces
    left_a, left_b = sided.left(a, face), sided.left(b, face)
    butted = abs(turn_deg) <= NO_TURN_DEG or (abs(turn_deg) < SLIGHT_TURN_DEG and abs(left_a - left_b) > 1e-9)
    if butted:
        carrier_of(first, left_a, a, face)
        carrier_of(second, left_b, b, face)
        heading = first.end_heading
        return along(first.end, left_of(heading), left_a), along(second.start, left_of(second.heading_deg), left_b)
    guess = _tangent_mitre(first, second, left_a, left_b)
    point = meet(carrier_of(first, left_a, a, face), carrier_of(second, left_b, b, face), guess)
    if point is None:
        raise CannotPlace(
            a.name,
            "turn",
            f"Legs {a.name} and {b.name} do not meet on their {FACE_WORDS[face]}; "
            f"look at the turn at the end of {a.name} and at their lengths or radii.",
        )
    return point, point


def _tangent_mitre(first: Piece, second: Piece, left_a: float, left_b: float) -> Point:
    """The mitre as if both legs were straight: near enough to choose between two crossings."""
    a = Carrier(along(first.end, left_of(first.end_heading), left_a), first.end_heading)
    b = Carrier(along(second.start, left_of(second.heading_deg), left_b), second.heading_deg)
    return meet(a, b, first.end) or first.end


def face_line(piece: Piece, left: float, leg: Leg, face: Face, start: Point, end: Point) -> FaceLine:
    """One face between its two ends; refuses one that has nothing left between its corners."""
    carrier = carrier_of(piece, left, leg, face)
    if not piece.bent:
        length = dot(minus(end, start), unit(piece.heading_deg))
        curve = None
    else:
        first, last = direction_deg(minus(start, carrier.base)), direction_deg(minus(end, carrier.base))
        whole = piece.sweep_deg + _slip(carrier, piece.end, last) - _slip(carrier, piece.start, first)
        length = carrier.radius * math.radians(whole if piece.bends_left else -whole)
        curve = Curve(carrier.base[0], carrier.base[1], carrier.radius, first, whole)
    if length <= 1e-6:
        raise CannotPlace(
            leg.name,
            "length" if not piece.bent else "sweep",
            f"Leg {leg.name} is too short: between its corners nothing is left of its {FACE_WORDS[face]}.",
        )
    return FaceLine(start[0], start[1], end[0], end[1], Length.from_inches(length), curve)


def _slip(carrier: Carrier, walked: Point, direction: float) -> float:
    """How much further round a face's end lies than the dimensioned face's [degrees]."""
    return half_turn(direction - direction_deg(minus(walked, carrier.base)))


@dataclass(slots=True)
class EndPoints:
    """Start and end of every face of one leg while they are being found."""

    start: dict[Face, Point] = field(default_factory=dict)
    end: dict[Face, Point] = field(default_factory=dict)


def leg_geometry(
    sided: Sided, walk: Walk, leg: Leg, piece: Piece, ends: EndPoints, kinds: tuple[CornerKind, CornerKind],
    deflections: tuple[float, float], added: float,
) -> LegGeometry:  # fmt: skip
    """Put one leg together from the ends of its faces."""
    faces = {f: face_line(piece, sided.left(leg, f), leg, f, ends.start[f], ends.end[f]) for f in Face}
    outside = faces[Face.OUTSIDE_OF_FOAM]
    corners = [
        Corner(kind, abs(turn), point[0], point[1])
        for kind, turn, point in zip(kinds, deflections, (outside.start, outside.end), strict=True)
    ]
    return LegGeometry(
        leg=leg,
        walk=walk,
        outside_left=sided.inward < 0,
        heading_deg=piece.heading_deg % 360.0,
        start=corners[0],
        end=corners[1],
        faces=faces,
        dimension_offset=Length.from_inches(_dimension_offset(piece, outside)),
        adjustment=Length.from_inches(added),
        dimension_length=Length.from_inches(piece.run),
        outside_per_dimension=outside.curve.radius / piece.radius if outside.curve else 1.0,
    )


def _dimension_offset(piece: Piece, outside: FaceLine) -> float:
    """From the start of the outside face to where the tape was held, along the outside face [in]."""
    if outside.curve is None:
        return dot(minus(piece.start, outside.start), unit(piece.heading_deg))
    held = direction_deg(minus(piece.start, piece.centre))
    ahead = half_turn(held - outside.curve.start_deg)
    return outside.curve.radius * math.radians(ahead if piece.bends_left else -ahead)


def joint_kind(turn_deg: float, inward: int) -> CornerKind:
    """Convex, re-entrant or straight on, from the turn and the side the building is on."""
    if abs(turn_deg) <= NO_TURN_DEG:
        return CornerKind.STRAIGHT
    return CornerKind.OUTSIDE if turn_deg * inward > 0 else CornerKind.INSIDE


def side_of(point: Point, line_start: Point, heading_deg: float) -> float:
    """How far a point lies to the left of a line [in]."""
    return cross(unit(heading_deg), minus(point, line_start))
