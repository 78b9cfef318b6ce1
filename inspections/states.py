"""How far everything is, what moves next, and whose move it is. Worked out from the ledger, stored nowhere.

One leg in one stage is, the first that holds:

=========  ===========================================================================================
rejected   a rejection is open at any of its points
buried     the last operation of a later stage that buries this kind is done on the leg
released   its operations are done, its hold points released (or waived), its witness points told
presented  a hold point was presented and waits for somebody
ready      the gate of its next operation is open
held       that gate is held (or only closing points are missing), and the leg has come here: all its earlier
           stages are finished, or something is recorded in this one
planned    it has not come here yet
=========  ===========================================================================================

A section in a stage is rejected where any of its legs is; else as its least advanced leg, in the order planned, held,
ready, presented, released, buried. Where some legs are still planned and others are not, the others speak for it; but
where those are all released or buried it is held, because the section as a whole is not through. A house is in the
stage of its last section.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inspections import gates
from inspections.gates import Reason
from inspections.process import CLOSES, Operation, Point, PointKind, Scope
from inspections.standing import WHOLE_HOUSE, Ledger, Presented, Signed, StageRow, Standing, is_hold
from jobs.frozen import LegFacts
from jobs.models import Role
from takeoff.drawings.tracker import PartState
from takeoff.plan import Stage

#: From least to most advanced; a rejection stands apart.
ORDER = (
    PartState.PLANNED,
    PartState.HELD,
    PartState.READY,
    PartState.PRESENTED,
    PartState.RELEASED,
    PartState.BURIED,
)
_THROUGH = (PartState.RELEASED, PartState.BURIED)
#: Standings a point may be presented from, beside being presented anew.
TO_PRESENT = (Standing.WAITING, Standing.OUTDATED, Standing.VOID, Standing.CORRECTED)


# -- parts -------------------------------------------------------------------------------------------
def leg_state(ledger: Ledger, stage: StageRow, leg: LegFacts) -> PartState:
    """How far one leg is in one stage it goes through."""
    points = ledger.points_of(stage, leg)
    standings = {p.key: ledger.standing(stage, p, leg.name).standing for p in points}
    if Standing.REJECTED in standings.values():
        return PartState.REJECTED
    if is_buried(ledger, stage, leg):
        return PartState.BURIED
    if is_finished(ledger, stage, leg):
        return PartState.RELEASED
    if any(is_hold(p) and standings[p.key] is Standing.PRESENTED and not ledger.waived(stage, p, leg) for p in points):
        return PartState.PRESENTED
    operation = next_operation(ledger, stage, leg.name)
    if operation is not None and not any(gates.blocks(ledger, stage, operation, leg.name)):
        return PartState.READY
    return PartState.HELD if _has_come(ledger, stage, leg) else PartState.PLANNED


def is_finished(ledger: Ledger, stage: StageRow, leg: LegFacts) -> bool:
    """Nothing is missing before the stages after this one."""
    key = (stage.pk, leg.name)
    if key not in ledger.finished:
        ledger.finished[key] = not any(gates.unfinished(ledger, stage, leg))
    return ledger.finished[key]


def is_buried(ledger: Ledger, stage: StageRow, leg: LegFacts) -> bool:
    """Whether the last operation of a later stage has covered this one on the leg."""
    return any(
        later.position > stage.position
        and stage.kind in later.process.buries
        and ledger.is_done(later, later.process.operations[-1].key, leg.name)
        for later in ledger.stages_of(leg)
    )


def bare_footing(ledger: Ledger) -> StageRow | None:
    """The first footing that is poured on some leg and not covered yet there: frost may get under it."""
    return next(
        (
            row
            for row in ledger.stages
            if row.kind is Stage.FOOTING
            for leg in ledger.legs_of(row)
            if next_operation(ledger, row, leg.name) is None and not is_buried(ledger, row, leg)
        ),
        None,
    )


def next_operation(ledger: Ledger, stage: StageRow, leg: str) -> Operation | None:
    """The first operation of the stage not done on the leg, or None."""
    return next((o for o in stage.process.operations if not ledger.is_done(stage, o.key, leg)), None)


def _has_come(ledger: Ledger, stage: StageRow, leg: LegFacts) -> bool:
    earlier = (s for s in ledger.stages_of(leg) if s.position < stage.position)
    return ledger.is_touched(stage, leg.name) or all(is_finished(ledger, s, leg) for s in earlier)


def together(states: Iterable[PartState]) -> PartState:
    """One state for several parts (legs of a section, repeated stages of a kind); see the top of this module."""
    found = set(states)
    if PartState.REJECTED in found:
        return PartState.REJECTED
    come = found - {PartState.PLANNED}
    if not come:
        return PartState.PLANNED
    least = min(come, key=ORDER.index)
    return PartState.HELD if PartState.PLANNED in found and least in _THROUGH else least


def section_state(ledger: Ledger, section: str, stage: StageRow) -> PartState | None:
    """How far a section is in a stage; None where none of its legs goes through it."""
    legs = _legs_in(ledger, section, stage)
    return together(leg_state(ledger, stage, leg) for leg in legs) if legs else None


def part_states(ledger: Ledger) -> dict[tuple[str, Stage], PartState]:
    """(section key, kind of stage) -> state, as the section through the ground is drawn. A kind that the house has
    twice is one part of the drawing."""
    found: dict[tuple[str, Stage], list[PartState]] = {}
    for section, _ in ledger.facts.sections if ledger.facts else ():
        for stage in ledger.stages:
            state = section_state(ledger, section, stage)
            if state is not None:
                found.setdefault((section, stage.kind), []).append(state)
    return {key: together(states) for key, states in found.items()}


def front(ledger: Ledger, section: str) -> StageRow | None:
    """The first stage that a leg of the section has not finished; None where all is done."""
    for stage in ledger.stages:
        if any(not is_finished(ledger, stage, leg) for leg in _legs_in(ledger, section, stage)):
            return stage
    return None


def current_stage(ledger: Ledger) -> StageRow | None:
    """The stage of the house: that of its last section; None without a plan, or where all is done."""
    fronts = [front(ledger, section) for section, _ in (ledger.facts.sections if ledger.facts else ())]
    return min((stage for stage in fronts if stage is not None), key=lambda s: s.position, default=None)


def _legs_in(ledger: Ledger, section: str, stage: StageRow) -> tuple[LegFacts, ...]:
    return tuple(leg for leg in ledger.legs_of(stage) if leg.section == section)


# -- what moves next ---------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Move:
    """What a section is up to: its next operation, or (None) the closing points of its stage.

    ``open_legs`` may go on alone. ``whose``: the roles whose move comes first; whoever does the work where the gate is
    open, else whoever can take away the first reason.
    """

    section: str
    section_name: str
    stage: StageRow
    operation: Operation | None
    legs: tuple[str, ...]
    open_legs: tuple[str, ...]
    reasons: tuple[Reason, ...]
    whose: tuple[Role, ...]

    @property
    def is_open(self) -> bool:
        """Whether the work may go on now, on all its legs."""
        return self.operation is not None and not self.reasons


def next_moves(ledger: Ledger) -> list[Move]:
    """The next move of every section that is not done, in the order of the sections."""
    moves = []
    for section, name in ledger.facts.sections if ledger.facts else ():
        stage = front(ledger, section)
        if stage is not None:
            moves.append(_move(ledger, section, name, stage))
    return moves


def _move(ledger: Ledger, section: str, name: str, stage: StageRow) -> Move:
    legs = tuple(leg.name for leg in _legs_in(ledger, section, stage))
    for operation in stage.process.operations:
        left = tuple(leg for leg in legs if not ledger.is_done(stage, operation.key, leg))
        if left:
            gate = gates.gate(ledger, stage, operation, left)
            whose = whose_move(gate.reasons[0]) if gate.reasons else operation.does
            return Move(section, name, stage, operation, left, gate.open_legs, gate.reasons, whose)
    reasons = gates.lacking(ledger, stage, legs)
    held = tuple(leg for leg in legs if any(leg in r.legs or WHOLE_HOUSE in r.legs for r in reasons))
    return Move(section, name, stage, None, held, (), reasons, whose_move(reasons[0]))


def whose_move(reason: Reason) -> tuple[Role, ...]:
    """Roles that can take a reason away."""
    process = gates.BY_KIND[reason.stage]
    point, operation = process.point(reason.about), process.operation(reason.about)
    if reason.code == Standing.REJECTED:
        return CLOSES
    if reason.code == "engineer_strength":
        return (Role.ENGINEER,)
    if point is not None:
        return point.releases if reason.code == Standing.PRESENTED else point.presents
    if operation is not None and reason.code == "not_done":
        return operation.does
    return (Role.BUILDER,)


# -- what is asked of whom ---------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Ask:
    """A presentation that waits for somebody, on the legs that still wait (none for a point of the house)."""

    stage: StageRow
    point: Point
    presented: Presented
    legs: tuple[str, ...]


def waiting_for(ledger: Ledger, role: Role) -> list[Ask]:
    """What the role may release or reject now, oldest first. A witness point is asked only until its work is done."""
    asks: dict[int, tuple[StageRow, Point, Presented, list[str]]] = {}
    for stage, point, name in _every_point(ledger):
        found = ledger.standing(stage, point, name)
        if role not in point.releases or found.standing is not Standing.PRESENTED or found.presented is None:
            continue
        if point.kind is PointKind.WITNESS and point.before and ledger.is_done(stage, point.before, name):
            continue
        asks.setdefault(found.presented.pk, (stage, point, found.presented, []))[3].append(name)
    return [Ask(*asks[pk][:3], tuple(n for n in asks[pk][3] if n != WHOLE_HOUSE)) for pk in sorted(asks)]


@dataclass(frozen=True, slots=True)
class Check:
    """A point to be presented in the front stage of a section, on the legs that need it (none for the house's).

    ``reasons``: work of the stage that has to be done before it can be looked at; empty where it can be presented now.
    """

    section: str
    section_name: str
    stage: StageRow
    point: Point
    legs: tuple[str, ...]
    standings: tuple[Standing, ...]
    reasons: tuple[Reason, ...]

    @property
    def is_ready(self) -> bool:
        """Whether it can be presented now."""
        return not self.reasons


def to_present(ledger: Ledger, role: Role) -> list[Check]:
    """What the role can present, section by section, in the order of the process; a point of the house once."""
    checks: list[Check] = []
    house_points: set[tuple[int, str]] = set()
    for section, section_name in ledger.facts.sections if ledger.facts else ():
        stage = front(ledger, section)
        if stage is None:
            continue
        for point in stage.process.points:
            if role not in point.presents or (stage.pk, point.key) in house_points:
                continue
            check = _check(ledger, section, section_name, stage, point)
            if check is not None:
                checks.append(check)
                if point.scope is Scope.HOUSE:
                    house_points.add((stage.pk, point.key))
    return checks


def _check(ledger: Ledger, section: str, section_name: str, stage: StageRow, point: Point) -> Check | None:
    legs = [
        leg for leg in _legs_in(ledger, section, stage) if point.applies(leg) and not ledger.waived(stage, point, leg)
    ]
    found = {leg.name: ledger.standing(stage, point, leg.name).standing for leg in legs}
    due = tuple(name for name, standing in found.items() if standing in TO_PRESENT)
    if not due:
        return None
    reasons = gates.not_done_yet(ledger, stage, point, due)
    standings = tuple(dict.fromkeys(found[name] for name in due))
    shown = () if point.scope is Scope.HOUSE else due
    return Check(section, section_name, stage, point, shown, standings, reasons)


@dataclass(frozen=True, slots=True)
class Correction:
    """An open rejection, on the legs where it is open (none for a point of the house)."""

    stage: StageRow
    point: Point
    signed: Signed
    legs: tuple[str, ...]


def open_corrections(ledger: Ledger) -> list[Correction]:
    """Everything that is to be put right, oldest first."""
    found: dict[int, tuple[StageRow, Point, Signed, list[str]]] = {}
    for stage, point, name in _every_point(ledger):
        standing = ledger.standing(stage, point, name)
        if standing.standing is Standing.REJECTED and standing.signed is not None:
            found.setdefault(standing.signed.pk, (stage, point, standing.signed, []))[3].append(name)
    return [Correction(*found[pk][:3], tuple(n for n in found[pk][3] if n != WHOLE_HOUSE)) for pk in sorted(found)]


def _every_point(ledger: Ledger) -> Iterable[tuple[StageRow, Point, str]]:
    """Every point on every leg that has it; a point of the house once."""
    for stage in ledger.stages:
        legs = ledger.legs_of(stage)
        for point in stage.process.points:
            if point.scope is Scope.HOUSE:
                if legs:
                    yield stage, point, WHOLE_HOUSE
                continue
            for leg in legs:
                if point.applies(leg):
                    yield stage, point, leg.name
