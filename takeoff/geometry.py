"""Where the wall is: walks turned into coordinates, faces offset, lengths and areas measured.

How it is done
--------------
The dimensioned face of each walk is drawn as it is walked. Every other face of a leg is the parallel of that line at
the leg's own distance (foam, core and foam of its own form system), and faces of neighbouring legs end where they
meet: a mitre. So a plan dimensioned to the core's centre line gives the right outside lengths at corners of any
angle, between straight legs and arcs, and where the thickness changes.

The outside of a ring is on the right hand when its turns add up to +360 degrees, on the left when they add up to
-360. A spur's outside is found the same way from its turns; a spur with no turn has its outside on the side that
faces the start of the leg it stands on.

:mod:`takeoff.rings`, :mod:`takeoff.spurs`, :mod:`takeoff.closure`, :mod:`takeoff.crossing` and :mod:`takeoff.trace`
hold the parts; everything other modules need can be imported from here.
"""

from __future__ import annotations

from takeoff.clearance import clearance, free_span
from takeoff.crossing import crossings
from takeoff.placement import (
    Closure,
    Corner,
    CornerKind,
    Curve,
    FaceLine,
    LegGeometry,
    Outline,
    Placement,
    Tee,
)
from takeoff.plan import Face, Plan, Walk, WalkKind
from takeoff.problems import Problem, Severity
from takeoff.rings import place_ring
from takeoff.spurs import place_spur
from takeoff.trace import Trace, TracedLeg, TypedLeg, trace

__all__ = [
    "Closure",
    "Corner",
    "CornerKind",
    "Curve",
    "FaceLine",
    "LegGeometry",
    "Outline",
    "Placement",
    "Tee",
    "Trace",
    "TracedLeg",
    "TypedLeg",
    "enclosed_area_in2",
    "free_span",
    "outline",
    "place",
    "trace",
]


def place(plan: Plan) -> Placement:
    """Put every leg of a plan on paper.

    Never raises on a plan that :mod:`takeoff.planfile` has passed: a walk that cannot be placed is left out and a
    blocker says why, naming leg and field.
    """
    legs: dict[str, LegGeometry] = {}
    closures: list[Closure] = []
    problems: list[Problem] = []
    paths = {walk.name: f"walks.{k}" for k, walk in enumerate(plan.walks)}
    for walk in plan.walks:
        if walk.kind is WalkKind.RING and walk.legs:
            placed = place_ring(plan, walk, paths[walk.name])
            legs.update({g.leg.name: g for g in placed.legs})
            problems += placed.problems
            closures += [placed.closure] if placed.closure else []
    tees = _place_spurs(plan, legs, problems, paths)
    ordered = {leg.name: legs[leg.name] for leg in plan.legs() if leg.name in legs}
    addresses = {leg.name: f"{paths[w.name]}.legs.{k}" for w in plan.walks for k, leg in enumerate(w.legs)}
    problems += crossings(ordered, tees, addresses)
    problems += clearance(ordered, tees, addresses, plan.spec.layout.buck)
    return Placement(ordered, tuple(closures), tuple(problems), tees)


def _place_spurs(
    plan: Plan, legs: dict[str, LegGeometry], problems: list[Problem], paths: dict[str, str]
) -> tuple[Tee, ...]:
    """Place spurs on what is placed, again and again while that brings more of them into reach."""
    waiting = [walk for walk in plan.walks if walk.kind is WalkKind.SPUR and walk.legs]
    failed: set[str] = set()
    tees: list[Tee] = []
    while ready := [walk for walk in waiting if _reachable(walk, legs)]:
        for walk in ready:
            placed, met = place_spur(plan, walk, legs, paths[walk.name])
            legs.update({g.leg.name: g for g in placed.legs})
            problems += placed.problems
            tees += met
            failed |= set() if placed.legs else {walk.name}
        waiting = [walk for walk in waiting if walk not in ready]
    problems += [_stranded(walk, legs, paths[walk.name]) for walk in waiting]
    return tuple(tees)


def _reachable(walk: Walk, legs: dict[str, LegGeometry]) -> bool:
    wanted = [a.leg for a in (walk.starts_on, walk.ends_on) if a is not None]
    return bool(walk.starts_on) and all(name in legs for name in wanted)


def _stranded(walk: Walk, legs: dict[str, LegGeometry], path: str) -> Problem:
    """Why a spur was not reached: it names no leg, a leg not placed, or itself."""
    if walk.starts_on is None:
        return Problem(Severity.BLOCKER, f"Spur {walk.name} does not say which leg it starts on.", f"{path}.starts_on")
    missing = [a.leg for a in (walk.starts_on, walk.ends_on) if a is not None and a.leg not in legs]
    sentence = f"Spur {walk.name} stands on leg {missing[0]}, which could not be placed."
    return Problem(Severity.BLOCKER, sentence, f"{path}.starts_on", walk.legs[0].name)


def outline(placement: Placement, walk_name: str, face: Face) -> Outline:
    """The closed line of one face of a ring, as walked; a jog between two legs is a short segment of its own.

    Raises KeyError where there is no such ring on paper.
    """
    legs = placement.of_walk(walk_name)
    if not legs or legs[0].walk.kind is not WalkKind.RING:
        raise KeyError(walk_name)
    points: list[tuple[float, float]] = []
    bulges: list[float] = []
    for k, leg in enumerate(legs):
        line, after = leg.faces[face], legs[(k + 1) % len(legs)].faces[face]
        points.append(line.start)
        bulges.append(line.bulge)
        if max(abs(line.x1 - after.x0), abs(line.y1 - after.y0)) > 1e-6:
            points.append(line.end)
            bulges.append(0.0)
    return Outline(tuple(points), tuple(bulges))


def enclosed_area_in2(placement: Placement, walk_name: str, face: Face) -> float:
    """Area inside one face of a ring [in2]. Raises KeyError where there is no such ring on paper."""
    return outline(placement, walk_name, face).area
