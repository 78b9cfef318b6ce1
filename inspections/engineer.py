"""What the takeoff leaves to an engineer: told where it is looked at, not at every point of the house.

A sentence about lintels belongs to the steel of the wall they are in; one about a footing's size to its forms and
steel. What says no topic concerns every point. The house page tells all of them, once.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from jobs.frozen import Frozen
from takeoff.plan import Stage
from takeoff.problems import About, Severity

#: The points at which each topic is looked at.
LOOKED_AT: Final[dict[About, tuple[str, ...]]] = {
    About.FOOTING: ("footing_steel",),
    About.STEEL: ("frost_steel", "wall_steel"),
    About.LINTELS: ("frost_steel", "wall_steel"),
    About.LEDGE: ("ledge_steel",),
}


def sentences(frozen: Frozen, stage: Stage, points: Iterable[str], legs: Iterable[str]) -> tuple[str, ...]:
    """Once each, what an engineer must decide that the points of a stage look at on any of the legs.

    What was locked before problems said their topic has none, and is told at every point.
    """
    keys, named = set(points), set(legs)
    out = []
    for problem in frozen.problems:
        if problem["severity"] != Severity.ENGINEER:
            continue
        about, own = About(problem.get("about", "")), set(problem.get("legs") or ()) or {problem["leg"]} - {""}
        here = about is About.ANYTHING or keys & set(LOOKED_AT[about])
        if here and problem.get("stage", "") in ("", stage) and (not own or not named or own & named):
            out.append(problem["sentence"])
    return tuple(dict.fromkeys(out))
