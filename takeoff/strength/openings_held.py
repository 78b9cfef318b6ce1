"""Where openings take away what holds the top of a wall: the part under a wide one leans on nothing above."""

from __future__ import annotations

from typing import Final

from takeoff.openings_forms import formed_openings
from takeoff.plan import Leg, Opening, Plan
from takeoff.problems import Problem, Severity
from takeoff.results import WallState
from takeoff.sources import Source
from takeoff.strength.situations import Situation
from takeoff.units import Length

#: Ontario Building Code 9.15.4: part of a wall under an opening wider than 1.2 m, or where openings take more than a
#: quarter of the wall's length, counts as not held at its top unless it is reinforced for that.
SOURCE: Final = Source("Ontario Building Code", "O. Reg. 332/12", "9.15.4 lateral support of foundation walls")
WIDEST: Final = Length.mm(1200)
MOST_SHARE: Final = 0.25


def not_held_under_openings(plan: Plan, found: tuple[Situation, ...]) -> list[Problem]:
    """One sentence a leg whose openings are too wide, or too many, for the wall under them to count as held."""
    out = []
    for leg, length in _buried(found).values():
        openings = formed_openings(plan, leg)
        wide = [o for o in openings if o.width > WIDEST]
        share = sum(o.width.inch for o in openings) / length.inch
        if not wide and share <= MOST_SHARE:
            continue
        out.append(Problem(Severity.WARNING, _sentence(leg, wide, share), leg=leg.name))
    return out


def _buried(found: tuple[Situation, ...]) -> dict[str, tuple[Leg, Length]]:
    """Legs with earth against them in the finished house, and their lengths."""
    return {
        s.leg.name: (s.leg, max(other.end for other in found if other.leg.name == s.leg.name))
        for s in found
        if s.state is WallState.FINISHED and s.fill
    }


def _sentence(leg: Leg, wide: list[Opening], share: float) -> str:
    if wide:
        verb = "is" if len(wide) == 1 else "are"
        what = f"{', '.join(o.name for o in wide)} {verb} wider than {WIDEST}"
    else:
        what = f"openings take {share:.0%} of its length, more than {MOST_SHARE:.0%}"
    under = "it" if len(wide) == 1 else "them"
    return (
        f"{leg.name}: {what}, so the floor above is not taken to hold the wall under {under}; no table or strip here "
        f"counts the bars that part needs across ({SOURCE}). Ask the engineer."
    )
