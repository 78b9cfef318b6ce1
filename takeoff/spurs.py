"""Placing a spur (a T wall): where it leaves its leg, how it is walked, where it lands.

Conventions
-----------
* ``heading_deg`` of a spur is the angle from the direction of the leg it starts on: positive to the left, negative
  to the right, 90 square to it. 0 (nothing said) means square and into the building.
* The start point is ``at`` along the dimensioned face of the through leg, from that leg's start: there the spur's own
  dimensioned face stands.
* The first length is typed from the matching face of the through wall on the spur's side: from its inside of foam when
  the plan is dimensioned to the outside of foam and the spur goes inward, from its outside of foam when it goes
  outward; concrete to concrete, or centre to centre, on plans dimensioned so. The last length is typed to the
  matching face of the leg it ends on.
* Whatever the plan is dimensioned to, a spur's faces are cut off at the foam of the walls it stands between; its
  core is poured through that foam.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from takeoff.closure import said
from takeoff.curves import Carrier, Piece, Point, along, direction_deg, dot, left_of, meet, minus, unit
from takeoff.placement import CornerKind, FaceLine, LegGeometry, Tee
from takeoff.plan import Attachment, Face, Leg, Plan, Walk
from takeoff.problems import Problem, Severity
from takeoff.rings import PlacedWalk, problem_of
from takeoff.units import Length
from takeoff.walking import (
    CannotPlace,
    EndPoints,
    Sided,
    corner_points,
    depth_of,
    joint_kind,
    leg_geometry,
    side_of,
    turned,
)

#: A spur may miss the face it ends on by this much; the last leg is run to the face [in].
LANDING_SLACK_IN = 0.5

_INNER = {
    Face.OUTSIDE_OF_FOAM: Face.INSIDE_OF_FOAM,
    Face.OUTSIDE_OF_CONCRETE: Face.INSIDE_OF_CONCRETE,
    Face.CENTRE_LINE: Face.CENTRE_LINE,
}


@dataclass(frozen=True, slots=True)
class Stand:
    """The place on a through leg where a spur stands: the point its length is typed from (or to), the through leg's
    heading there, the foam face it is cut off at, and which side it is on."""

    host: LegGeometry
    point: Point
    heading_deg: float
    foam: FaceLine
    inward: bool
    station_in: float  # along the through leg's outside face


def stand_on(plan: Plan, host: LegGeometry, at: Length, inward: bool) -> Stand:
    """Find the place ``at`` along the dimensioned face of a through leg, on one of its sides."""
    station = host.along_outside(at).inch
    outside = host.outside
    heading = host.heading_deg
    if outside.curve:
        along_arc = math.degrees(station / outside.curve.radius)
        radial = outside.curve.start_deg + math.copysign(along_arc, outside.curve.sweep_deg)
        heading = radial + math.copysign(90.0, outside.curve.sweep_deg)
    face = _INNER[plan.dimensions_to] if inward else plan.dimensions_to
    into = left_of(heading) if not host.outside_left else left_of(heading + 180.0)
    point = along(_on_outside(host, station, heading), into, depth_of(plan, host.leg, face))
    foam = host.faces[Face.INSIDE_OF_FOAM if inward else Face.OUTSIDE_OF_FOAM]
    return Stand(host, point, heading, foam, inward, station)


def _on_outside(host: LegGeometry, station: float, heading: float) -> Point:
    if host.outside.curve:
        return host.outside.at(station)
    return along(host.outside.start, unit(heading), station)


def place_spur(plan: Plan, walk: Walk, hosts: dict[str, LegGeometry], path: str) -> tuple[PlacedWalk, tuple[Tee, ...]]:
    """Place one spur on legs already placed."""
    try:
        return _place(plan, walk, hosts, path)
    except CannotPlace as trouble:
        return PlacedWalk((), (problem_of(trouble, walk, path),)), ()


def _place(plan: Plan, walk: Walk, hosts: dict[str, LegGeometry], path: str) -> tuple[PlacedWalk, tuple[Tee, ...]]:
    begin, heading = _beginning(plan, walk, hosts)
    sided = Sided(plan, _inward(walk, begin, heading))
    pieces = sided.pieces(walk.legs, begin.point, heading, {})
    landing = _landing(plan, walk, hosts, pieces[-1])
    problems: tuple[Problem, ...] = ()
    added: dict[str, float] = {}
    if landing is not None and (gap := _gap(walk, landing, pieces[-1])):
        added[walk.legs[-1].name] = gap
        pieces = sided.pieces(walk.legs, begin.point, heading, added)
        problems = (_run_note(walk, landing, gap, path),)
    legs = _faces(sided, walk, pieces, begin, landing, added)
    tees = [_tee(begin, legs[0], True)] + ([_tee(landing, legs[-1], False)] if landing else [])
    return PlacedWalk(legs, problems), tuple(tees)


def _run_note(walk: Walk, landing: Stand, gap: float, path: str) -> Problem:
    name, way = walk.legs[-1].name, "on" if gap > 0 else "back"
    sentence = f"Spur {walk.name}: leg {name} is run {said(gap)} {way} to the face of leg {landing.host.leg.name}."
    return Problem(Severity.NOTE, sentence, path, name)


def _host(walk: Walk, hosts: dict[str, LegGeometry], attachment: Attachment | None, word: str) -> LegGeometry:
    if attachment is None or attachment.leg not in hosts:
        name = attachment.leg if attachment else "nothing"
        sentence = f"Spur {walk.name}: {word.replace('_', ' ')} {name}, which is not a leg placed here."
        raise CannotPlace("", word, sentence)
    return hosts[attachment.leg]


def _beginning(plan: Plan, walk: Walk, hosts: dict[str, LegGeometry]) -> tuple[Stand, float]:
    """Where the spur leaves, and its first heading on paper."""
    host = _host(walk, hosts, walk.starts_on, "starts_on")
    assert walk.starts_on is not None
    inward_left = not host.outside_left
    turn = walk.heading_deg or (90.0 if inward_left else -90.0)
    inward = (turn > 0) == inward_left
    begin = stand_on(plan, host, walk.starts_on.at, inward)
    return begin, begin.heading_deg + turn


def _inward(walk: Walk, begin: Stand, heading: float) -> int:
    """+1 where the spur's inner side is on its left. With no turn its outside faces the start of the through leg."""
    whole = turned(walk.legs, with_last=False)
    if abs(whole) > 1e-6:
        return 1 if whole > 0 else -1
    back = unit(begin.heading_deg + 180.0)
    return -1 if dot(back, left_of(heading)) > 0 else 1


def _landing(plan: Plan, walk: Walk, hosts: dict[str, LegGeometry], last: Piece) -> Stand | None:
    """Where the spur should land, None for a free end; the side is the one it comes from."""
    if walk.ends_on is None:
        return None
    host = _host(walk, hosts, walk.ends_on, "ends_on")
    middle = stand_on(plan, host, walk.ends_on.at, True)
    to_left = side_of(along(last.end, unit(last.end_heading), -12.0), middle.point, middle.heading_deg) > 0
    return stand_on(plan, host, walk.ends_on.at, to_left != host.outside_left)


def _gap(walk: Walk, landing: Stand, last: Piece) -> float:
    """How far the last leg must be run on to reach the face it ends on [in]; refuses a miss of more than 1/2 in."""
    miss = minus(landing.point, last.end)
    name, host = walk.legs[-1].name, landing.host.leg.name
    along_face = dot(miss, unit(landing.heading_deg))
    off_face = dot(miss, unit(last.end_heading)) if abs(along_face) < 1e-9 else _run_on(landing, last)
    if math.hypot(*miss) > LANDING_SLACK_IN:
        square = abs(dot(miss, left_of(landing.heading_deg)))
        sentence = (
            f"Spur {walk.name}: the end of leg {name} misses its place on leg {host} by {said(square)} off the face "
            f'and {said(along_face)} along it; at most 1/2" can be taken up. Look at its lengths and its place.'
        )
        raise CannotPlace(name, "length" if not last.bent else "radius", sentence)
    return off_face if not last.bent and abs(off_face) > 1e-6 else 0.0


def _run_on(landing: Stand, last: Piece) -> float:
    """Distance from the end of a straight last leg to the line its length is typed to [in]."""
    target = meet(Carrier(landing.point, landing.heading_deg), Carrier(last.start, last.heading_deg), last.end)
    return dot(minus(target, last.end), unit(last.end_heading)) if target else 0.0


def _faces(
    sided: Sided, walk: Walk, pieces: list[Piece], begin: Stand, landing: Stand | None, added: dict[str, float]
) -> tuple[LegGeometry, ...]:
    legs, last = walk.legs, len(walk.legs) - 1
    ends = [EndPoints() for _ in legs]
    for face in Face:
        ends[0].start[face] = _cut(sided, legs[0], pieces[0], begin, face, pieces[0].start)
        ends[last].end[face] = _finish(sided, legs[last], pieces[last], landing, face)
        for k in range(last):
            joint = corner_points(sided, (legs[k], legs[k + 1]), (pieces[k], pieces[k + 1]), legs[k].turn_deg, face)
            ends[k].end[face], ends[k + 1].start[face] = joint
    turns = [0.0, *(leg.turn_deg for leg in legs[:-1]), 0.0]
    kinds = [joint_kind(turn, sided.inward) for turn in turns]
    kinds[0], kinds[-1] = CornerKind.TEE, CornerKind.TEE if landing else CornerKind.END
    turns[0] = pieces[0].heading_deg - begin.heading_deg
    turns[-1] = pieces[last].end_heading - landing.heading_deg if landing else 0.0
    return tuple(
        leg_geometry(
            sided,
            walk,
            leg,
            pieces[k],
            ends[k],
            (kinds[k], kinds[k + 1]),
            (_to_180(turns[k]) if k == 0 else turns[k], _to_180(turns[k + 1]) if k == last else turns[k + 1]),
            added.get(leg.name, 0.0),
        )
        for k, leg in enumerate(legs)
    )


def _to_180(angle: float) -> float:
    wrapped = abs(angle) % 360.0
    return min(wrapped, 360.0 - wrapped)


def _cut(sided: Sided, leg: Leg, piece: Piece, stand: Stand, face: Face, near: Point) -> Point:
    """Where a face of a spur is cut off by the foam of the wall it stands on."""
    left = sided.left(leg, face)
    own = piece.carrier.parallel(left, piece.bends_left)
    guess = along(near, left_of(piece.heading_deg if near == piece.start else piece.end_heading), left)
    point = meet(own, _foam_carrier(stand), guess)
    if point is None or not _within(stand.foam, point):
        raise CannotPlace(
            leg.name,
            "",
            f"Leg {leg.name} runs past the end of leg {stand.host.leg.name}, on which it should stand; "
            f"that face is {stand.foam.length} long.",
        )
    return point


def _foam_carrier(stand: Stand) -> Carrier:
    if stand.foam.curve:
        return Carrier((stand.foam.curve.cx, stand.foam.curve.cy), 0.0, stand.foam.curve.radius)
    return Carrier(stand.foam.start, stand.host.heading_deg)


def _within(face: FaceLine, point: Point) -> bool:
    """Whether a point on a face's line or circle is between its ends (1/2 in to spare)."""
    whole = face.length.inch
    if face.curve is None:
        direction = ((face.x1 - face.x0) / whole, (face.y1 - face.y0) / whole)
        return -LANDING_SLACK_IN <= dot(minus(point, face.start), direction) <= whole + LANDING_SLACK_IN
    ahead = direction_deg(minus(point, (face.curve.cx, face.curve.cy))) - face.curve.start_deg
    ahead = (ahead if face.curve.sweep_deg > 0 else -ahead) % 360.0
    slack = math.degrees(LANDING_SLACK_IN / face.curve.radius)
    return ahead <= abs(face.curve.sweep_deg) + slack or ahead >= 360.0 - slack


def _finish(sided: Sided, leg: Leg, piece: Piece, landing: Stand | None, face: Face) -> Point:
    if landing is None:
        return along(piece.end, left_of(piece.end_heading), sided.left(leg, face))
    return _cut(sided, leg, piece, landing, face, piece.end)


def _tee(stand: Stand, spur: LegGeometry, at_start: bool) -> Tee:
    """Where the centre line of a spur meets its through leg, along that leg's outside face."""
    point = spur.centre.start if at_start else spur.centre.end
    outside = stand.host.outside
    if outside.curve is None:
        station = dot(minus(point, outside.start), unit(stand.host.heading_deg))
    else:
        ahead = direction_deg(minus(point, (outside.curve.cx, outside.curve.cy))) - outside.curve.start_deg
        ahead = (ahead if outside.curve.sweep_deg > 0 else -ahead) % 360.0
        station = outside.curve.radius * math.radians(ahead)
    return Tee(stand.host.leg.name, spur.leg.name, Length.from_inches(station), stand.inward)
