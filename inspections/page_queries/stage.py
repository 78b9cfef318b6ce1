"""One stage of a house: its gates by section, its points, its numbers, what was done, what was planned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from inspections import asbuilt, gates, queries, states
from inspections.gates import Gate
from inspections.models import WorkDone
from inspections.page_queries import words
from inspections.page_queries.words import Figure, Group, Why
from inspections.process import Operation, Point
from inspections.standing import Done, Ledger, StageRow
from jobs.frozen import Frozen, frozen_from_json
from jobs.models import Event, House, HouseStage, PlanRevision, Role
from takeoff.drawings.tracker import PartState
from takeoff.plan import Plan, Stage
from takeoff.results import Quantity

SHOWN_EVENTS = 8


@dataclass(frozen=True, slots=True)
class Turn:
    """One operation on one section: open or held, with every reason, and whether the person may record it."""

    section: str
    section_key: str
    stage_pk: int
    operation: Operation
    legs: tuple[str, ...]
    on: str
    is_open: bool
    open_legs: tuple[str, ...]
    reasons: list[Why]
    role: Role | None  # in which the person may record it
    who: str  # who may

    @property
    def what(self) -> str:
        """'Place footing concrete, Garage'."""
        return f"{self.operation.title}, {self.section}" if self.section else self.operation.title

    @property
    def anchor(self) -> str:
        """Where it stands on the page."""
        return f"turn-{self.section_key}-{self.operation.key}"

    @property
    def offered(self) -> bool:
        """Whether there is anything to record, and the person may."""
        return bool(self.open_legs) and self.role is not None

    @property
    def alone(self) -> str:
        """'Legs A and B', where only they may go on."""
        return words.where(self.open_legs) if self.open_legs and not self.is_open else ""


def turn_of(house: House, ledger: Ledger, move: states.Move, roles: frozenset[Role]) -> Turn:
    """The next operation of a section, as a page shows it."""
    assert move.operation is not None
    gate = Gate(move.stage, move.operation, move.legs, move.open_legs, move.reasons)
    return _turn(house, ledger, gate, move.section, move.section_name, roles)


def _turn(house: House, ledger: Ledger, gate: Gate, section: str, section_name: str, roles: frozenset[Role]) -> Turn:
    role = next((r for r in gate.operation.does if r in roles), None)
    return Turn(
        section_name,
        section,
        gate.stage.pk,
        gate.operation,
        gate.legs,
        words.where(gate.legs),
        gate.is_open,
        gate.open_legs,
        words.whys(house, ledger, gate.reasons),
        role,
        words.whose_words(gate.operation.does),
    )


@dataclass(frozen=True, slots=True)
class DoneRow:
    """An operation that took place."""

    text: str
    on: str
    when: str
    by: str
    revision: str


@dataclass(frozen=True, slots=True)
class SectionRow:
    """One section in the stage."""

    key: str
    name: str
    legs: tuple[str, ...]
    on: str
    state: PartState
    turns: list[Turn]
    lacking: list[Why]


@dataclass(frozen=True, slots=True)
class PointRow:
    """One point of the stage."""

    point: Point
    url: str
    state: PartState
    groups: list[Group]
    figures: list[Figure]
    who: str
    waits: str  # what waits for it


@dataclass(frozen=True, slots=True)
class StagePage:
    """The page."""

    house: House
    row: StageRow
    stage: HouseStage
    ledger: Ledger
    state: PartState | None
    sections: list[SectionRow]
    points: list[PointRow]
    done: list[DoneRow]
    events: list[Event]
    figures: list[Figure]
    quantities: list[Quantity]

    @property
    def is_poured(self) -> bool:
        """Whether concrete is placed in it."""
        return self.row.kind in (Stage.FOOTING, Stage.FROST_WALL, Stage.FULL_WALL)

    @property
    def bare_footing(self) -> StageRow | None:
        """The footing that frost may still get under, where this is a stage that ends it."""
        return states.bare_footing(self.ledger) if self.row.kind in (Stage.FROST_WALL, Stage.FROST_BACKFILL) else None


def read(
    house: House, stage: HouseStage, ledger: Ledger, roles: frozenset[Role], revision: PlanRevision | None
) -> StagePage:
    """Everything the page of a stage shows, from the ledger and two queries."""
    row = ledger.stage(stage.pk)
    assert row is not None
    frozen = frozen_from_json(revision.frozen) if revision else None
    own = _sections(house, ledger, row, roles)
    legs = tuple(leg.name for leg in ledger.legs_of(row))
    keys = tuple(dict.fromkeys(key for point in row.process.points for key in point.criteria))
    return StagePage(
        house,
        row,
        stage,
        ledger,
        states.together(s.state for s in own) if own else None,
        own,
        [_point_row(house, ledger, row, point, frozen) for point in row.process.points
         if words.names_with(ledger, row, point)],
        list(done_rows(house, ledger, row)),
        list(Event.objects.filter(stage=stage).select_related("by")[:SHOWN_EVENTS]),
        words.figures(frozen.criteria_of(row.kind, keys), legs) if frozen else [],
        _quantities(ledger, row, frozen) if frozen else [],
    )  # fmt: skip


def _quantities(ledger: Ledger, row: StageRow, frozen: Frozen) -> list[Quantity]:
    """The stage's quantities, each with its section's name."""
    names = dict(ledger.facts.sections) if ledger.facts else {}
    return [replace(q, section=names.get(q.section, q.section)) for q in frozen.quantities_of(row.kind)]


def _sections(house: House, ledger: Ledger, row: StageRow, roles: frozenset[Role]) -> list[SectionRow]:
    out = []
    for key, name in ledger.facts.sections if ledger.facts else ():
        legs = tuple(leg.name for leg in ledger.legs_of(row) if leg.section == key)
        if not legs:
            continue
        turns = []
        for operation in row.process.operations:
            left = tuple(leg for leg in legs if not ledger.is_done(row, operation.key, leg))
            if left:
                gate = gates.gate(ledger, row, operation, left)
                turns.append(_turn(house, ledger, gate, key, name, roles))
        state = states.section_state(ledger, key, row)
        assert state is not None
        closing = [] if turns else words.whys(house, ledger, gates.lacking(ledger, row, legs))
        out.append(SectionRow(key, name, legs, words.where(legs), state, _once(turns), closing))
    return out


def _once(turns: list[Turn]) -> list[Turn]:
    """What holds a move and the one before it alike is told with the first, and pointed to from the next."""
    out = turns[:1]
    for before, turn in pairwise(turns):
        shared = [why for why in turn.reasons if why in before.reasons]
        if len(shared) > 1 and len(shared) == len(before.reasons):
            said = Why(f"All that holds “{before.operation.title}”.", f"#{before.anchor}")
            turn = replace(turn, reasons=[said, *(why for why in turn.reasons if why not in shared)])
        out.append(turn)
    return out


def _point_row(house: House, ledger: Ledger, row: StageRow, point: Point, frozen: Frozen | None) -> PointRow:
    found = words.groups(ledger, row, point)
    names = tuple(n for n in words.names_with(ledger, row, point) if n)
    criteria = frozen.criteria_of(row.kind, point.criteria, names or None) if frozen else ()
    operation = row.process.operation(point.before)
    return PointRow(
        point,
        words.point_url(house, row, point.key),
        words.point_state(found),
        found,
        words.figures(criteria, names),
        words.role_words(point.releases),
        f"“{operation.title}” waits for it" if operation else "the next stage waits for it",
    )


def done_rows(house: House, ledger: Ledger, row: StageRow) -> Iterable[DoneRow]:
    """Operations of the stage that took place, oldest first. One query for the names."""
    own = [done for done in ledger.done if done.stage == row.pk]
    by = dict(WorkDone.objects.filter(pk__in=[d.pk for d in own]).values_list("pk", "by__name")) if own else {}
    for done in own:
        yield _done_row(house, row, done, by.get(done.pk, ""))


def _done_row(house: House, row: StageRow, done: Done, by: str) -> DoneRow:
    operation = row.process.operation(done.operation)
    past = words.upper_first(operation.past) if operation else done.operation
    return DoneRow(past, words.where(done.legs), words.moment(house, done.at), by, words.letter(done.revision))


# -- the footing as poured -----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class AsBuilt:
    """Shot levels beside the plan's, and how level they are by section."""

    rows: list[asbuilt.LegAsBuilt]
    spreads: list[asbuilt.Spread]
    released: frozenset[str]
    names: dict[str, str]

    @property
    def off(self) -> list[asbuilt.LegAsBuilt]:
        """Legs whose first course needs something done."""
        return [row for row in self.rows if not row.is_level]

    @property
    def said(self) -> list[tuple[str, asbuilt.Spread, str]]:
        """(section's name, its spread, what is allowed in words)."""
        return [
            (self.names.get(s.section, s.section), s, "" if s.allowed_in is None else words.amount(s.allowed_in, "in"))
            for s in self.spreads
        ]


def as_built(ledger: Ledger, plan: Plan | None, frozen: Frozen | None) -> AsBuilt | None:
    """What was shot of the footing, None where nothing was. One query."""
    if plan is None or frozen is None:
        return None
    shots = asbuilt.shots(ledger)
    rows = asbuilt.compare(plan, {leg: shot.level for leg, shot in shots.items()})
    if not rows:
        return None
    released = frozenset(leg for leg, shot in shots.items() if shot.is_released)
    names = dict(ledger.facts.sections) if ledger.facts else {}
    return AsBuilt(rows, asbuilt.spreads(rows, frozen.criteria), released, names)


def shows_as_built(row: StageRow) -> bool:
    """Stages where the footing as poured matters: itself, and the walls on it."""
    return row.kind in (Stage.FOOTING, Stage.FROST_WALL, Stage.FULL_WALL)


def revision_of(house: House) -> PlanRevision | None:
    """The revision in force, with what the engine made of it."""
    return queries.revision_in_force(house)
