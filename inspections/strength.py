"""How strong a wall is known to be, and how strong it must be before earth is filled against it. Pure.

Known are cylinders cured beside the wall, of those broken last (within half a day of the newest) the weakest; and the
low end of the newest estimate that somebody accepted, less a tenth. Cylinders cured in a laboratory speak of the mix,
not of a wall in the cold, and are not counted. What is needed comes from the plan, as it was worked out when it was
locked; a plan locked before that was worked out asks nothing here. The day it is expected is read off the newest
accepted estimate, as it was looked ahead then: when the strength needed is there with the same tenth to spare.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from inspections.ahead import day, expected
from inspections.standing import Broken, Estimated, Ledger, StageRow, Standing
from jobs.frozen import LegFacts
from jobs.models import Role
from takeoff.plan import Stage
from takeoff.results import WallState

#: Cylinders of one test are broken within this of each other.
TOGETHER: Final = timedelta(hours=12)
#: Part of the low end of an estimate that is relied on; common practice, no source.
MARGIN: Final = 0.9
STATE_WORDS: Final = {
    WallState.FROST_FILL: "filled on both sides",
    WallState.BEFORE_SLAB: "filled before the slab is in",
    WallState.FINISHED: "filled with the slab in",
}


@dataclass(frozen=True, slots=True)
class Fill:
    """A filling of earth: its operation, the wall it lies against, the point that says the wall is strong."""

    operation: str
    wall: Stage
    point: str


FILLS: Final = {
    Stage.FROST_BACKFILL: Fill("fill_frost_wall", Stage.FROST_WALL, "frost_strength"),
    Stage.FINAL_BACKFILL: Fill("fill_full_wall", Stage.FULL_WALL, "strength"),
}


@dataclass(frozen=True, slots=True)
class Need:
    """Strength a leg needs [psi] in the state it is filled in; None where no strength answers."""

    state: WallState
    psi: int | None


@dataclass(frozen=True, slots=True)
class Known:
    """Strength a leg's wall is known to have [psi]: by cylinders, by the accepted estimate less its margin."""

    cylinders: float | None
    estimate: Estimated | None

    @property
    def psi(self) -> float:
        """The better of the two, 0 where neither is."""
        return max(self.cylinders or 0.0, self.estimate.low * MARGIN if self.estimate else 0.0)


def need(ledger: Ledger, stage: StageRow, leg: LegFacts) -> Need | None:
    """What the leg needs before this stage's fill; None where the plan says nothing, or the wall never carries it."""
    if stage.kind not in FILLS:
        return None
    state = WallState.FROST_FILL
    if stage.kind is Stage.FINAL_BACKFILL:
        state = WallState.FINISHED if slab_holds(ledger, stage, leg) else WallState.BEFORE_SLAB
    return Need(state, leg.strength[state]) if state in leg.strength else None


def slab_holds(ledger: Ledger, stage: StageRow, leg: LegFacts) -> bool:
    """Whether the slab is released as what holds the foot of the wall."""
    foot = stage.process.point("held_foot")
    if foot is None:
        return False
    found = ledger.standing(stage, foot, leg.name)
    held = found.presented.choices.get("held_by") if found.presented else None
    return found.standing is Standing.RELEASED and held == "slab"


def known(ledger: Ledger, wall: Stage, leg: str) -> Known:
    """What is known of the wall of a kind on a leg."""
    rows = {row.pk for row in ledger.stages if row.kind is wall}
    return Known(
        weakest_of_last(b for b in ledger.broken if b.stage in rows and leg in b.legs),
        max(
            (e for e in ledger.estimated if e.stage in rows and leg in e.legs),
            key=lambda e: e.pk,
            default=None,
        ),
    )


def weakest_of_last(broken: Iterable[Broken]) -> float | None:
    """Of the cylinders cured beside the wall and broken last, the weakest [psi]; None without any."""
    own = [b for b in broken if b.beside_wall]
    if not own:
        return None
    last = max(b.broken for b in own)
    return min(b.psi for b in own if last - b.broken <= TOGETHER)


def engineer_released(ledger: Ledger, stage: StageRow, leg: LegFacts) -> bool:
    """Whether the engineer of record released the strength of the leg."""
    point = stage.process.point(FILLS[stage.kind].point)
    assert point is not None
    found = ledger.standing(stage, point, leg.name)
    return found.standing is Standing.RELEASED and found.signed is not None and found.signed.role == Role.ENGINEER


def words(asked: Need, found: Known) -> str:
    """'1,400 psi needed, filled before the slab is in; cylinders beside it broke at 1,200 psi'."""
    psi, said = asked.psi or 0, []
    if found.cylinders is not None:
        said.append(f"the weakest cylinder beside it broke at {found.cylinders:,.0f} psi")
    elif found.estimate is None:
        said.append("no cylinder cured beside it is broken")
    if found.estimate is not None:
        e = found.estimate
        said.append(
            f"{e.low:,.0f} to {e.high:,.0f} psi are estimated, likely {e.likely:,.0f}, "
            f"of which {e.low * MARGIN:,.0f} psi are relied on"
        )
    said.append(expected_words(psi, found.estimate))
    return f"{psi:,} psi needed, {STATE_WORDS[asked.state]}; {'; '.join(said)}"


def expected_words(psi: int, estimate: Estimated | None) -> str:
    """When the strength is expected with its margin, by the accepted estimate; else what is missing to say so."""
    if estimate is None:
        return "no estimate yet: read temperatures and work one out on the pour page"
    if estimate.ahead is None:
        return "no expected day yet: work a newer estimate out on the pour page"
    ahead = estimate.ahead
    accepted = day(estimate.at.astimezone(ahead.start.tzinfo))
    return f"expected {expected(ahead, psi / MARGIN)}, by the accepted estimate of {accepted} ({ahead.by})"
