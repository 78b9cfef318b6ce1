"""How strong a wall is known to be, and how strong it must be before earth is filled against it. Pure.

Known are cylinders cured beside the wall, of those broken last (within half a day of the newest) the weakest; and the
low end of the newest estimate that somebody accepted, less a tenth; not where such a cylinder broke under that at
the moment the estimate speaks of or later, because it was measured and the estimate was not. Cylinders cured in a
laboratory speak of the mix, not of a wall in the cold, and are not counted. What is needed comes from the plan, as it
was worked out when it was locked; a plan locked before that was worked out asks nothing here. A frost wall that was
last presented as braced is filled on one side first: it needs what such a wall needs, or the engineer of record, who
then releases the point that says how it is held, because a release of its strength may have been given for both sides
together. The day a strength is expected is read off the newest accepted estimate, as it was looked ahead then: when it
is there with the same tenth to spare.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from inspections.ahead import day, expected
from inspections.legs import leg_words
from inspections.process import Point
from inspections.stages.words import SHOWN_BY as SHOWN
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
    WallState.FROST_ONE_SIDE: "braced and filled on one side first",
    WallState.BEFORE_SLAB: "filled before the slab is in",
    WallState.FINISHED: "filled with the slab in",
}


@dataclass(frozen=True, slots=True)
class Fill:
    """A filling of earth: its operation, the wall it lies against, the point that says the wall is strong, the point of
    the last look before it is buried, and in which states the wall may be filled."""

    operation: str
    wall: Stage
    point: str
    look: str
    states: tuple[WallState, WallState]


FILLS: Final = {
    Stage.FROST_BACKFILL: Fill(
        "fill_frost_wall",
        Stage.FROST_WALL,
        "frost_strength",
        "frost_pre_backfill",
        (WallState.FROST_FILL, WallState.FROST_ONE_SIDE),
    ),
    Stage.FINAL_BACKFILL: Fill(
        "fill_full_wall", Stage.FULL_WALL, "strength", "pre_backfill", (WallState.BEFORE_SLAB, WallState.FINISHED)
    ),
}
#: Says how a frost wall is held, and so whether one side of it is filled first.
BALANCE: Final = "frost_balance"


@dataclass(frozen=True, slots=True)
class Need:
    """Strength a leg needs [psi] in the state it is filled in; None where no strength answers. ``older``: because the
    plan was locked before this state was worked out."""

    state: WallState
    psi: int | None
    older: bool = False


@dataclass(frozen=True, slots=True)
class Known:
    """Strength a leg's wall is known to have [psi]: by cylinders and when the last of them broke, by the accepted
    estimate less its margin."""

    cylinders: float | None
    estimate: Estimated | None
    broken: datetime | None = None

    @property
    def is_belied(self) -> bool:
        """Whether cylinders broke under what is relied on of the estimate, no earlier than the moment it speaks of:
        concrete does not get weaker."""
        if self.estimate is None or self.cylinders is None or self.broken is None:
            return False
        return self.broken >= self.estimate.until and self.cylinders < self.estimate.low * MARGIN

    @property
    def psi(self) -> float:
        """The better of the two, 0 where neither is; cylinders alone where they belie the estimate."""
        relied = self.estimate.low * MARGIN if self.estimate and not self.is_belied else 0.0
        return max(self.cylinders or 0.0, relied)


def need(ledger: Ledger, stage: StageRow, leg: LegFacts) -> Need | None:
    """What the leg needs before this stage's fill; None where the plan says nothing, or the wall never carries it."""
    return needed_in(leg, state_of(ledger, stage, leg)) if stage.kind in FILLS else None


def state_of(ledger: Ledger, stage: StageRow, leg: LegFacts) -> WallState:
    """In which state the leg is filled: with the slab in where it is released as what holds the foot; a frost wall on
    one side first where it was last presented so, which holds the fill until that is released."""
    if stage.kind is Stage.FINAL_BACKFILL:
        return WallState.FINISHED if slab_holds(ledger, stage, leg) else WallState.BEFORE_SLAB
    balance = stage.process.point(BALANCE)
    presented = ledger.standing(stage, balance, leg.name).presented if balance else None
    braced = presented is not None and presented.choices.get("held_by") == "braced"
    return WallState.FROST_ONE_SIDE if braced else WallState.FROST_FILL


def needed_in(leg: LegFacts, state: WallState) -> Need | None:
    """What the leg needs in a state; None where the plan says nothing of it. A plan that says what a frost wall needs
    filled on both sides, and not on one, was locked before that was worked out: no strength answers there."""
    if state in leg.strength:
        return Need(state, leg.strength[state])
    if state is WallState.FROST_ONE_SIDE and WallState.FROST_FILL in leg.strength:
        return Need(state, None, older=True)
    return None


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
    own = [b for b in ledger.broken if b.stage in rows and leg in b.legs and b.beside_wall]
    return Known(
        weakest_of_last(own),
        max(
            (e for e in ledger.estimated if e.stage in rows and leg in e.legs),
            key=lambda e: e.pk,
            default=None,
        ),
        max((b.broken for b in own), default=None),
    )


def weakest_of_last(broken: Iterable[Broken]) -> float | None:
    """Of the cylinders cured beside the wall and broken last, the weakest [psi]; None without any."""
    own = [b for b in broken if b.beside_wall]
    if not own:
        return None
    last = max(b.broken for b in own)
    return min(b.psi for b in own if last - b.broken <= TOGETHER)


def engineers_point(stage: StageRow, asked: Need) -> Point:
    """The point whose release by the engineer of record stands for a strength that the plan cannot say."""
    key = BALANCE if asked.state is WallState.FROST_ONE_SIDE else FILLS[stage.kind].point
    found = stage.process.point(key)
    assert found is not None
    return found


def engineer_released(ledger: Ledger, stage: StageRow, leg: LegFacts, asked: Need) -> bool:
    """Whether the engineer of record released it on the leg."""
    found = ledger.standing(stage, engineers_point(stage, asked), leg.name)
    return found.standing is Standing.RELEASED and found.signed is not None and found.signed.role == Role.ENGINEER


# -- in words ----------------------------------------------------------------------------------------
def engineer_words(ledger: Ledger, stage: StageRow, leg: LegFacts, asked: Need) -> str:
    """'filled before the slab is in; the engineer of record must release “Strong enough to be filled against”', or what
    to do where somebody else released it."""
    point = engineers_point(stage, asked)
    why = " (it was locked before that was worked out)" if asked.older else ""
    then = f"the engineer of record must release “{point.title}”"
    if ledger.standing(stage, point, leg.name).standing is Standing.RELEASED:
        then += ", which somebody else released: have it rejected, put right and presented to the engineer"
    return f"{STATE_WORDS[asked.state]}{why}; {then}"


#: How a strength may be shown, in a few words; in full it is told with the process.
BRIEFLY: Final = "shown by cylinders cured beside it or an estimate that the engineer of record or the builder accepts"


#: Why an accepted estimate says nothing any more.
BELIED: Final = (
    "no expected day yet: the cylinder broke under that since, so work a newer estimate out on the pour page"
)


def words(asked: Need, found: Known) -> str:
    """'1,400 psi needed, filled before the slab is in, shown by ...; the weakest cylinder beside it broke at 1,200 psi;
    expected about Nov 29'."""
    psi, said = asked.psi or 0, []
    if found.cylinders is not None:
        said.append(f"the weakest cylinder beside it broke at {found.cylinders:,.0f} psi")
    elif found.estimate is None:
        said.append("no cylinder cured beside it is broken")
    if found.estimate is not None:
        e = found.estimate
        said.append(
            f"{e.low:,.0f} to {e.high:,.0f} psi are estimated, likely {e.likely:,.0f}, "
            f"of which {e.low * MARGIN:,.0f} psi {'were' if found.is_belied else 'are'} relied on"
        )
    said.append(BELIED if found.is_belied else expected_words(psi, found.estimate))
    return f"{psi:,} psi needed, {STATE_WORDS[asked.state]}, {BRIEFLY}; {'; '.join(said)}"


def expected_words(psi: int, estimate: Estimated | None) -> str:
    """When the strength is expected with its margin, by the accepted estimate; else what is missing to say so."""
    if estimate is None:
        return "no estimate yet: read temperatures and work one out on the pour page"
    if estimate.ahead is None:
        return "no expected day yet: work a newer estimate out on the pour page"
    ahead = estimate.ahead
    accepted = day(estimate.at.astimezone(ahead.start.tzinfo))
    return f"expected {expected(ahead, psi / MARGIN)}, by the accepted estimate of {accepted} ({ahead.by})"


def needed_by(legs: Iterable[LegFacts], fill: Fill) -> list[tuple[tuple[str, ...], tuple[Need, ...]]]:
    """What legs need in each state they may be filled in, legs alike together; those the plan says nothing of left
    out."""
    groups: dict[tuple[Need, ...], list[str]] = {}
    for leg in legs:
        asked = tuple(found for state in fill.states if (found := needed_in(leg, state)) is not None)
        if asked:
            groups.setdefault(asked, []).append(leg.name)
    return [(tuple(names), asked) for asked, names in groups.items()]


def told_at(point: Point, legs: Iterable[LegFacts]) -> list[str]:
    """What whoever releases a point of a fill must know: 'Legs A to E: 1,400 psi needed, filled before the slab is in;
    900 psi needed, filled with the slab in.', and at the point of strength how it is shown. Of other points nothing."""
    fills = [*((fill.point, fill) for fill in FILLS.values()), (BALANCE, FILLS[Stage.FROST_BACKFILL])]
    said = [
        f"{leg_words(names)}: {'; '.join(need_words(each) for each in asked)}."
        for key, fill in fills
        if key == point.key
        for names, asked in needed_by(legs, fill)
    ]
    return [*(f"{each[0].upper()}{each[1:]}" for each in said), *([SHOWN] if said and point.key != BALANCE else [])]


def shown_at(ledger: Ledger, stage: StageRow, point: Point) -> list[str]:
    """What is shown of each leg beside what it needs as it would be filled now, legs alike together: told where
    strength is released, and at the last look before it is buried."""
    fill = FILLS.get(stage.kind)
    if fill is None or point.key not in (fill.point, fill.look):
        return []
    groups: dict[str, list[str]] = {}
    for leg in ledger.legs_of(stage):
        asked = need(ledger, stage, leg)
        if asked is not None:
            groups.setdefault(_shown(ledger, stage, leg, asked, fill), []).append(leg.name)
    said = [f"{leg_words(tuple(names))}: {words_}." for words_, names in groups.items()]
    return [f"{each[0].upper()}{each[1:]}" for each in said]


def _shown(ledger: Ledger, stage: StageRow, leg: LegFacts, asked: Need, fill: Fill) -> str:
    """'2,640 psi shown by the weakest cylinder cured beside it; 1,150 psi needed, filled with the slab in'."""
    if asked.psi is None:
        if not engineer_released(ledger, stage, leg, asked):
            return engineer_words(ledger, stage, leg, asked)
        return f"no strength answers, {STATE_WORDS[asked.state]}; the engineer of record released it"
    found = known(ledger, fill.wall, leg.name)
    if found.psi < asked.psi:
        return words(asked, found)
    by = (
        "the weakest cylinder cured beside it"
        if found.psi == found.cylinders
        else "the accepted estimate, less a tenth"
    )
    return f"{found.psi:,.0f} psi shown by {by}; {need_words(asked)}"


def need_words(asked: Need) -> str:
    """'1,400 psi needed, filled before the slab is in', or that it is for the engineer of record."""
    if asked.psi is None:
        return f"for the engineer of record alone to release, {STATE_WORDS[asked.state]}"
    return f"{asked.psi:,} psi needed, {STATE_WORDS[asked.state]}"
