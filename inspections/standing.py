"""Where every point and operation of a house stands, worked out from its records. Pure: no queries in here.

A :class:`Ledger` holds one house's records in order and answers, leg by leg, how a point stands and which operations
are done. :func:`inspections.queries.ledgers` fills it for many houses with a fixed number of queries.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from functools import cached_property

from inspections.ahead import Ahead
from inspections.process import Operation, Point, PointKind, Scope, StageProcess
from inspections.stages import BY_KIND, WAIVED_WHEN_LOW
from jobs.frozen import Facts, LegFacts
from takeoff.plan import Stage

#: The name a point of the whole house is kept under, beside leg names.
WHOLE_HOUSE = ""


class Standing(StrEnum):
    """How one point stands on one leg."""

    WAITING = "waiting"  # nothing presented yet
    PRESENTED = "presented"
    OUTDATED = "outdated"  # presented, but the leg's inputs to the stage have changed since; to be presented again
    RELEASED = "released"
    VOID = "void"  # released, but the leg's inputs to the stage have changed since
    REJECTED = "rejected"  # a correction is open
    CORRECTED = "corrected"  # the correction is closed; to be presented again


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage of the house: its row id, place and kind."""

    pk: int
    position: int
    kind: Stage
    title: str

    @property
    def process(self) -> StageProcess:
        """The declared process of this kind of stage."""
        return BY_KIND[self.kind]


@dataclass(frozen=True, slots=True)
class Presented:
    """A presentation, as the ledger needs it. ``choices`` are its choice evidence by key, ``fingerprints`` the inputs
    it was presented against, by leg."""

    pk: int
    stage: int
    point: str
    legs: tuple[str, ...]
    by: int
    revision: int
    at: datetime
    choices: Mapping[str, str] = field(default_factory=dict)
    fingerprints: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Signed:
    """A sign-off, as the ledger needs it."""

    pk: int
    stage: int
    point: str
    legs: tuple[str, ...]
    presentation: int
    released: bool
    by: int
    role: str
    revision: int
    fingerprints: Mapping[str, str]
    reason: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Closed:
    """A closed correction: of which sign-off, on which legs."""

    pk: int
    sign_off: int
    legs: tuple[str, ...]
    at: datetime


@dataclass(frozen=True, slots=True)
class Done:
    """An operation that took place."""

    pk: int
    stage: int
    operation: str
    legs: tuple[str, ...]
    revision: int
    at: datetime


@dataclass(frozen=True, slots=True)
class Broken:
    """A cylinder of a wall's concrete: its strength [psi], and whether it lay beside the wall until then."""

    pk: int
    stage: int
    legs: tuple[str, ...]
    psi: float
    broken: datetime
    beside_wall: bool


@dataclass(frozen=True, slots=True)
class Estimated:
    """An estimate of a wall's strength [psi] that somebody accepted ``at`` a time, ``until`` when it speaks, and its
    strength from then on as it was looked ahead."""

    pk: int
    stage: int
    legs: tuple[str, ...]
    low: float
    likely: float
    high: float
    at: datetime
    until: datetime
    ahead: Ahead | None = None


@dataclass(frozen=True, slots=True)
class PointStanding:
    """How a point stands on a leg, with the records that say so."""

    standing: Standing
    presented: Presented | None = None
    signed: Signed | None = None


@dataclass(frozen=True)
class Ledger:
    """All records of one house, in the order they were made (by row id, which never runs backwards)."""

    house: int
    facts: Facts | None
    revision: int | None  # number of the revision in force
    stages: tuple[StageRow, ...]
    presented: Sequence[Presented] = ()
    signed: Sequence[Signed] = ()
    closed: Sequence[Closed] = ()
    done: Sequence[Done] = ()
    broken: Sequence[Broken] = ()
    estimated: Sequence[Estimated] = ()

    @cached_property
    def _latest_presented(self) -> dict[tuple[int, str, str], Presented]:
        return {(p.stage, p.point, leg): p for p in self.presented for leg in p.legs or (WHOLE_HOUSE,)}

    @cached_property
    def _latest_signed(self) -> dict[tuple[int, str, str], Signed]:
        return {(s.stage, s.point, leg): s for s in self.signed for leg in s.legs or (WHOLE_HOUSE,)}

    @cached_property
    def _closed(self) -> set[tuple[int, str]]:
        return {(c.sign_off, leg) for c in self.closed for leg in c.legs or (WHOLE_HOUSE,)}

    @cached_property
    def _done(self) -> dict[tuple[int, str, str], Done]:
        return {(d.stage, d.operation, leg): d for d in self.done for leg in d.legs}

    @cached_property
    def _legs(self) -> dict[str, LegFacts]:
        return {leg.name: leg for leg in (self.facts.legs if self.facts else ())}

    @cached_property
    def _legs_by_kind(self) -> dict[Stage, tuple[LegFacts, ...]]:
        legs = tuple(self._legs.values())
        return {kind: tuple(leg for leg in legs if kind in leg.fingerprints) for kind in Stage}

    @cached_property
    def _touched(self) -> set[tuple[int, str]]:
        records: Sequence[Presented | Signed | Done] = [*self.presented, *self.signed, *self.done]
        return {(record.stage, leg) for record in records for leg in record.legs}

    @cached_property
    def _standings(self) -> dict[tuple[int, str, str], PointStanding]:
        return {}  # filled as they are asked for: a gate asks for the same ones leg by leg

    @cached_property
    def finished(self) -> dict[tuple[int, str], bool]:
        """Answers of :func:`inspections.states.is_finished`, by stage and leg, kept once given."""
        return {}

    # -- stages and legs --------------------------------------------------------------------------
    def stages_of(self, leg: LegFacts) -> tuple[StageRow, ...]:
        """The house's stages this leg goes through, in order."""
        return tuple(s for s in self.stages if s.kind in leg.fingerprints)

    def legs_of(self, stage: StageRow) -> tuple[LegFacts, ...]:
        """The legs that go through a stage, in walking order."""
        return self._legs_by_kind.get(stage.kind, ())

    def leg(self, name: str) -> LegFacts | None:
        """A leg of the revision in force by name, or None."""
        return self._legs.get(name)

    def is_touched(self, stage: StageRow, leg: str) -> bool:
        """Whether anything at all is recorded for the leg in the stage."""
        return (stage.pk, leg) in self._touched

    def is_done(self, stage: StageRow, operation: str, leg: str) -> bool:
        """Whether the operation took place on the leg."""
        return (stage.pk, operation, leg) in self._done

    def done_record(self, stage: StageRow, operation: str, leg: str) -> Done | None:
        """The record of it, or None."""
        return self._done.get((stage.pk, operation, leg))

    # -- points -----------------------------------------------------------------------------------
    def fingerprint(self, stage: StageRow, point: Point, leg: str) -> str:
        """What a release of this point on this leg is tied to, in the revision in force."""
        assert self.facts is not None
        if point.scope is Scope.HOUSE:
            return self.facts.house_fingerprint
        facts = self._legs.get(leg)
        return facts.fingerprints.get(stage.kind, "") if facts else ""

    def standing(self, stage: StageRow, point: Point, leg: str) -> PointStanding:
        """How a point stands on a leg: the latest sign-off rules, unless something was presented after it.

        What was presented or released counts only for the inputs it was presented or released against.
        """
        name = WHOLE_HOUSE if point.scope is Scope.HOUSE else leg
        key = (stage.pk, point.key, name)
        if key not in self._standings:
            self._standings[key] = self._stand(stage, point, name, key)
        return self._standings[key]

    def _stand(self, stage: StageRow, point: Point, name: str, key: tuple[int, str, str]) -> PointStanding:
        presented, signed = self._latest_presented.get(key), self._latest_signed.get(key)
        now = self.fingerprint(stage, point, name)
        if presented is not None and (signed is None or presented.pk > signed.presentation):
            current = presented.fingerprints.get(name) == now
            return PointStanding(Standing.PRESENTED if current else Standing.OUTDATED, presented, signed)
        if signed is None:
            return PointStanding(Standing.WAITING)
        if not signed.released:
            corrected = (signed.pk, name) in self._closed
            return PointStanding(Standing.CORRECTED if corrected else Standing.REJECTED, presented, signed)
        current = signed.fingerprints.get(name) == now
        return PointStanding(Standing.RELEASED if current else Standing.VOID, presented, signed)

    def work_before(self, stage: StageRow, point: Point) -> tuple[Operation, ...]:
        """Operations of the same stage that come before a point can be looked at."""
        order = stage.process.operations
        keys = [o.key for o in order]
        return order[: keys.index(point.before)] if point.before in keys else order

    def stage(self, pk: int) -> StageRow | None:
        """A stage of the house by row id, or None."""
        return next((s for s in self.stages if s.pk == pk), None)

    def points_of(self, stage: StageRow, leg: LegFacts) -> tuple[Point, ...]:
        """Points of a stage that this leg has."""
        return tuple(p for p in stage.process.points if p.applies(leg))

    def waived(self, stage: StageRow, point: Point, leg: LegFacts) -> bool:
        """Whether bracing is waived here: under 4.0 ft of unbalanced fill, before the slab unless the slab is recorded
        as what holds the foot. Strength is never waived (IRC R404.1.7)."""
        if point.key not in WAIVED_WHEN_LOW:
            return False
        if leg.waived_before_slab.get(stage.kind, False):
            return True
        foot = stage.process.point("held_foot")
        if point.key == "held_foot" or foot is None:
            return False
        found = self.standing(stage, foot, leg.name)
        slab = (
            found.standing is Standing.RELEASED and found.presented and found.presented.choices.get("held_by") == "slab"
        )
        return bool(slab) and leg.waived_after_slab.get(stage.kind, False)


def is_hold(point: Point) -> bool:
    """Whether work waits for this point."""
    return point.kind is PointKind.HOLD
