"""A second opinion on the heat of a wall's concrete: two laws of hydration through the same temperatures. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from takeoff.heat.affinity import CERVERA, two_laws
from takeoff.heat.hydration import REGRESSIONS
from takeoff.heat.outlook import Outlook

AT_H: Final = (24.0, 72.0)
#: Joules in a gram as Btu in a pound.
BTU_LB: Final = 0.429923
WHY: Final = (
    "The second law's constants are those of one published test mix, the first one's follow from this mix and from "
    "what was read in it: so a difference is that of two mixes as much as of two laws, and only a calorimeter of this "
    "mix settles it. No answer above rests on the second law."
)


@dataclass(frozen=True, slots=True)
class OpinionRow:
    """Degree of hydration and heat of a pound of cement at an hour, by the law of the answers and by affinity."""

    at: str
    first: str
    second: str
    differ: str


@dataclass(frozen=True, slots=True)
class Opinion:
    """The rows, why they differ, and whose laws they are."""

    rows: tuple[OpinionRow, ...]
    why: str = WHY
    first: str = str(REGRESSIONS)
    second: str = str(CERVERA)


def opinion_of(outlook: Outlook) -> Opinion | None:
    """Both laws at 24 and 72 h at the temperatures that the core likely has; None where less is known."""
    history, wall = outlook.likely.history, outlook.wall
    rows = []
    for found in two_laws(wall.reaction, wall.mix, history.hours, history.core_c, AT_H):
        (a, b), (heat_a, heat_b) = found.degree, (j_g * BTU_LB for j_g in found.heat_j_g)
        rows.append(
            OpinionRow(
                f"{found.hour:.0f} h",
                f"{a:.0%}, {heat_a:.0f} Btu/lb",
                f"{b:.0%}, {heat_b:.0f} Btu/lb",
                f"{abs(b - a):.0%} of the cement, {abs(heat_b - heat_a):.0f} Btu/lb",
            )
        )
    return Opinion(tuple(rows)) if rows else None
