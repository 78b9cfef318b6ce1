"""Placing a ring: walk it, close it, find its faces."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff import closure as closing
from takeoff.closure import Course
from takeoff.curves import Piece, along, left_of, minus
from takeoff.placement import Closure, LegGeometry
from takeoff.plan import Arc, Face, Plan, Walk
from takeoff.problems import Problem, Severity
from takeoff.walking import CannotPlace, EndPoints, Sided, corner_points, joint_kind, leg_geometry, turned


@dataclass(frozen=True, slots=True)
class PlacedWalk:
    """Legs of one walk, empty where it could not be placed, and what there is to say about it."""

    legs: tuple[LegGeometry, ...]
    problems: tuple[Problem, ...]
    closure: Closure | None = None


def place_ring(plan: Plan, walk: Walk, path: str) -> PlacedWalk:
    """Place one ring. ``path`` is its address in the plan document, for problems."""
    whole = turned(walk.legs)
    sided = Sided(plan, 1 if whole > 0 else -1)
    start = (walk.origin_x.inch, walk.origin_y.inch)
    pieces = sided.pieces(walk.legs, start, walk.heading_deg, {})
    verdict = close_ring(plan, walk, sided, pieces, whole)
    problems = closure_problems(verdict, path)
    if verdict.verdict in ("choose_legs", "correct"):
        return PlacedWalk((), problems, verdict)
    added = {name: length.inch for name, length in verdict.adjustments}
    pieces = sided.pieces(walk.legs, start, walk.heading_deg, added)
    try:
        return PlacedWalk(_faces(sided, walk, pieces, added), problems, verdict)
    except CannotPlace as trouble:
        return PlacedWalk((), (*problems, problem_of(trouble, walk, path)), verdict)


def close_ring(plan: Plan, walk: Walk, sided: Sided, pieces: list[Piece], whole: float) -> Closure:
    """The ring's closing error on its dimensioned face, and what is done about it."""
    last, first = walk.legs[-1], walk.legs[0]
    stepped = along(pieces[-1].end, left_of(pieces[-1].end_heading), sided.jog(last, first))
    courses = [
        Course(leg.name, leg.turn_deg, None if isinstance(leg.path, Arc) else piece.heading_deg, piece.length)
        for leg, piece in zip(walk.legs, pieces, strict=True)
    ]
    choice = next((c.legs for c in plan.closure if c.walk == walk.name), ())
    return closing.close(walk.name, courses, minus(pieces[0].start, stepped), whole, choice)


def closure_problems(closure: Closure, path: str) -> tuple[Problem, ...]:
    """A ring that does not close blocks the takeoff; what was absorbed is noted."""
    if closure.verdict == "closed":
        return ()
    severity = Severity.NOTE if closure.verdict == "absorbed" else Severity.BLOCKER
    return (Problem(severity, closure.sentence, path),)


def problem_of(trouble: CannotPlace, walk: Walk, path: str) -> Problem:
    """A blocker beside the field at fault."""
    names = [leg.name for leg in walk.legs]
    address = f"{path}.legs.{names.index(trouble.leg)}.{trouble.field_name}" if trouble.leg in names else path
    return Problem(Severity.BLOCKER, trouble.sentence, address, trouble.leg)


def _faces(sided: Sided, walk: Walk, pieces: list[Piece], added: dict[str, float]) -> tuple[LegGeometry, ...]:
    legs, count = walk.legs, len(walk.legs)
    ends = [EndPoints() for _ in legs]
    for k, leg in enumerate(legs):
        after = (k + 1) % count
        for face in Face:
            ends[k].end[face], ends[after].start[face] = corner_points(
                sided, (leg, legs[after]), (pieces[k], pieces[after]), leg.turn_deg, face
            )
    return tuple(
        leg_geometry(
            sided,
            walk,
            leg,
            pieces[k],
            ends[k],
            (joint_kind(legs[k - 1].turn_deg, sided.inward), joint_kind(leg.turn_deg, sided.inward)),
            (legs[k - 1].turn_deg, leg.turn_deg),
            added.get(leg.name, 0.0),
        )
        for k, leg in enumerate(legs)
    )
