"""May this work go on? The one place that decides, with every reason in words.

The rule, leg by leg. An operation may go on when

1. a plan revision is locked, and the leg goes through this stage in it;
2. the operation itself is not already done there, and every earlier operation of the stage is;
3. every earlier kind of stage the leg needs exists on this house and stands before this one;
4. every stage before this one is finished on this leg: its operations done, its hold points released, its witness
   points told;
5. every hold point this operation waits for is released, and every witness point it waits for has been told to the
   person named (presented to them; they need not have come);
6. no rejection stands open on this leg at any point of this or an earlier stage. A rejection stays open until it was
   put right *and* the point was presented again;
7. before earth is filled against a wall, it is known to have the strength the plan says it needs for the state it is
   filled in: a frost wall on both sides, or on one side first where it was last presented as braced for that; a
   full-height wall with the slab in, where the slab is released as what holds its foot, else before the slab. Known is
   the weakest of the cylinders cured beside the wall and broken last (within half a day of the newest), or the low end
   of the newest accepted estimate less a tenth, whichever is more; the cylinders alone where they broke under that
   no earlier than the moment it speaks of. The reason says when it is expected by that estimate, or that one is
   missing; an expected day opens nothing. Where the plan says that no strength answers, the strength must be released
   by the engineer of record; of a frost wall filled on one side first it is the point that says so, and a plan that
   says only what it needs on both sides answers for one side with no strength. Where the plan says nothing (it never
   carries earth so, or the plan was locked before any of this was worked out), nothing more is asked.

A release counts only for the inputs it was given for: the leg's, or the house's for a point of the whole house; when
a new revision changes those, it is void. Bracing for backfill is waived on a leg with less than the stated unbalanced
fill: before the slab is in, or after it where the slab is on record as what holds the foot; a rejection is never
waived. Points a leg does not have (a ledge, an opening) hold nothing there.

So nothing is buried or loaded over a rejection or a missing release. Who may *do* it is another question:
:mod:`inspections.permissions`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from inspections import strength
from inspections.legs import leg_words
from inspections.process import CLOSES, Operation, Point, PointKind, Scope
from inspections.stages import BY_KIND, DEFAULT_ORDER
from inspections.standing import WHOLE_HOUSE, Ledger, StageRow, Standing
from jobs.frozen import LegFacts
from jobs.models import Role
from takeoff.plan import Stage


@dataclass(frozen=True, slots=True)
class Blocked:
    """Why one leg is held: a code, the stage and the point or operation it is about."""

    code: str
    stage: Stage
    about: str  # point key, operation key, or ''
    leg: str
    row: int | None = None  # row id of the stage it is about, None where the house has none
    detail: str = ""  # what the sentence says besides, the same for all legs it is said of


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason in words, for all the legs it holds."""

    code: str
    sentence: str
    stage: Stage
    about: str
    legs: tuple[str, ...]
    stage_pk: int | None = None


@dataclass(frozen=True, slots=True)
class Gate:
    """Open or held. ``legs`` are those asked about; ``open_legs`` those that might go on alone."""

    stage: StageRow
    operation: Operation
    legs: tuple[str, ...]
    open_legs: tuple[str, ...]
    reasons: tuple[Reason, ...]

    @property
    def is_open(self) -> bool:
        """Whether the work may go on, on all the legs asked about."""
        return bool(self.legs) and not self.reasons


def gate(ledger: Ledger, stage: StageRow, operation: Operation, legs: Iterable[str] | None = None) -> Gate:
    """The gate of one operation on the named legs (default: all legs of the stage it is not yet done on)."""
    if legs is None:
        names = tuple(x.name for x in ledger.legs_of(stage) if not ledger.is_done(stage, operation.key, x.name))
    else:
        names = tuple(legs)
    blocked = {name: tuple(blocks(ledger, stage, operation, name)) for name in names}
    if not names:
        code = "no_plan" if ledger.facts is None else "nothing_left"
        alone = (Blocked(code, stage.kind, operation.key, WHOLE_HOUSE, stage.pk),)
        return Gate(stage, operation, (), (), tuple(_reasons(ledger, alone)))
    every = tuple(b for found in blocked.values() for b in found)
    return Gate(stage, operation, names, tuple(n for n in names if not blocked[n]), tuple(_reasons(ledger, every)))


def lacking(ledger: Ledger, stage: StageRow, legs: Iterable[str] | None = None) -> tuple[Reason, ...]:
    """What the legs (default: all of the stage) still lack before the stage is finished on them."""
    wanted = None if legs is None else set(legs)
    own = [leg for leg in ledger.legs_of(stage) if wanted is None or leg.name in wanted]
    return tuple(_reasons(ledger, (b for leg in own for b in unfinished(ledger, stage, leg))))


def not_done_yet(ledger: Ledger, stage: StageRow, point: Point, legs: Iterable[str]) -> tuple[Reason, ...]:
    """Work of the same stage that has to be done on the legs before the point can be looked at."""
    names = tuple(legs)
    before = ledger.work_before(stage, point)
    missing = (
        Blocked("not_done", stage.kind, operation.key, name, stage.pk)
        for operation in before
        for name in names
        if not ledger.is_done(stage, operation.key, name)
    )
    return tuple(_reasons(ledger, missing))


# -- the rule, leg by leg ----------------------------------------------------------------------------
def blocks(ledger: Ledger, stage: StageRow, operation: Operation, name: str) -> Iterator[Blocked]:
    """Everything that holds one operation on one leg."""
    if ledger.facts is None:
        yield Blocked("no_plan", stage.kind, operation.key, WHOLE_HOUSE, stage.pk)
        return
    leg = ledger.leg(name)
    if leg is None or stage.kind not in leg.stages:
        yield Blocked("not_here", stage.kind, operation.key, name, stage.pk)
        return
    if ledger.is_done(stage, operation.key, name):
        yield Blocked("already_done", stage.kind, operation.key, name, stage.pk)
        return
    yield from _missing_stages(ledger, stage, leg)
    for earlier in ledger.stages_of(leg):
        if earlier.position < stage.position:
            yield from unfinished(ledger, earlier, leg)
    yield from _own_operations(ledger, stage, operation, leg)
    for point in stage.process.points_before(operation.key):
        yield from _point_blocks(ledger, stage, point, leg)
    yield from _not_strong(ledger, stage, operation, leg)
    waited_for = {p.key for p in stage.process.points_before(operation.key)}
    for point in ledger.points_of(stage, leg):
        if point.key not in waited_for:
            yield from _open_rejection(ledger, stage, point, leg)


def _missing_stages(ledger: Ledger, stage: StageRow, leg: LegFacts) -> Iterator[Blocked]:
    """Kinds of stage the leg needs first that this house lacks, or has only after this one."""
    before = {s.kind for s in ledger.stages if s.position < stage.position}
    for kind in DEFAULT_ORDER[: DEFAULT_ORDER.index(stage.kind)]:
        if kind in leg.stages and kind not in before:
            yield Blocked("stage_missing", kind, "", leg.name)


def unfinished(ledger: Ledger, earlier: StageRow, leg: LegFacts) -> Iterator[Blocked]:
    """What a stage still lacks on this leg."""
    for operation in earlier.process.operations:
        if not ledger.is_done(earlier, operation.key, leg.name):
            yield Blocked("not_done", earlier.kind, operation.key, leg.name, earlier.pk)
    for point in earlier.process.points:
        yield from _point_blocks(ledger, earlier, point, leg)


def _own_operations(ledger: Ledger, stage: StageRow, operation: Operation, leg: LegFacts) -> Iterator[Blocked]:
    for own in stage.process.operations:
        if own.key == operation.key:
            return
        if not ledger.is_done(stage, own.key, leg.name):
            yield Blocked("not_done", stage.kind, own.key, leg.name, stage.pk)


def _point_blocks(ledger: Ledger, stage: StageRow, point: Point, leg: LegFacts) -> Iterator[Blocked]:
    """Whether one point holds work on this leg."""
    if not point.applies(leg):
        return
    found = ledger.standing(stage, point, leg.name).standing
    name = WHOLE_HOUSE if point.scope is Scope.HOUSE else leg.name
    if found in (Standing.REJECTED, Standing.CORRECTED):
        yield Blocked(found.value, stage.kind, point.key, name, stage.pk)
    elif ledger.waived(stage, point, leg):
        return
    elif point.kind is PointKind.WITNESS:
        if found is Standing.WAITING:
            yield Blocked("not_told", stage.kind, point.key, name, stage.pk)
    elif found is not Standing.RELEASED:
        yield Blocked(found.value, stage.kind, point.key, name, stage.pk)


def _not_strong(ledger: Ledger, stage: StageRow, operation: Operation, leg: LegFacts) -> Iterator[Blocked]:
    """A wall that is not known to carry the earth this operation puts against it."""
    fill, asked = strength.FILLS.get(stage.kind), strength.need(ledger, stage, leg)
    if fill is None or fill.operation != operation.key or asked is None:
        return
    if asked.psi is None:
        if not strength.engineer_released(ledger, stage, leg, asked):
            detail = strength.engineer_words(ledger, stage, leg, asked)
            about = strength.engineers_point(stage, asked).key
            yield Blocked("engineer_strength", stage.kind, about, leg.name, stage.pk, detail)
        return
    found = strength.known(ledger, fill.wall, leg.name)
    if found.psi < asked.psi:
        row = next((s.pk for s in ledger.stages if s.kind is fill.wall), None)
        yield Blocked("not_strong", fill.wall, "", leg.name, row, strength.words(asked, found))


def _open_rejection(ledger: Ledger, stage: StageRow, point: Point, leg: LegFacts) -> Iterator[Blocked]:
    """A rejection holds work even where its point is not what the operation waits for."""
    found = ledger.standing(stage, point, leg.name).standing
    if found in (Standing.REJECTED, Standing.CORRECTED):
        name = WHOLE_HOUSE if point.scope is Scope.HOUSE else leg.name
        yield Blocked(found.value, stage.kind, point.key, name, stage.pk)


# -- in words ----------------------------------------------------------------------------------------
_ROLE_NAMES = {
    Role.BUILDER: "the builder",
    Role.FIELD_LEAD: "the field lead",
    Role.INSPECTOR: "the inspector",
    Role.ENGINEER: "the engineer of record",
    Role.SURVEYOR: "the surveyor",
}


def role_words(roles: tuple[Role, ...]) -> str:
    """'the inspector or the engineer of record', 'the field lead, the builder or the engineer of record'."""
    names = [_ROLE_NAMES[r] for r in roles]
    return " or ".join(filter(None, (", ".join(names[:-1]), names[-1]))) if names else ""


#: Each says what is missing, what to do next, and who does it.
_SENTENCES = {
    "no_plan": "No plan revision is locked yet; the builder locks one.",
    "nothing_left": "Nothing is left to do here.",
    "not_here": "{legs} not part of this stage in the revision in force; choose other legs, or ask the builder.",
    "already_done": "Already done on {legs}; nothing more is to be recorded there.",
    "stage_missing": "{legs} must first go through “{stage}”, and this house has no such stage before this one; the "
    "builder adds it.",
    "not_done": "{stage}: “{about}” is not done on {legs}; {does} records it.",
    "waiting": "{stage}: “{about}” is not presented{on}; {presents} presents it, {roles} releases it.",
    "presented": "{stage}: “{about}” waits for {roles} to release it{on}.",
    "outdated": "{stage}: the plan changed{on} after “{about}” was presented; {presents} presents it again.",
    "void": "{stage}: the release of “{about}”{on} was given before the plan changed there; {presents} presents it "
    "again.",
    "rejected": "{stage}: “{about}” was rejected{on}; its correction is open, and {closes} puts it right.",
    "corrected": "{stage}: “{about}”{on} was put right and must be presented and released again; {presents} presents "
    "it, {roles} releases it.",
    "not_told": "{stage}: {roles} has not been told of “{about}”{on}; {presents} presents it.",
    "not_strong": "{stage}: {legs} not known to be strong enough: {detail}.",
    "engineer_strength": "{stage}: the plan cannot say how strong {legs} must be, {detail}.",
}


def _reasons(ledger: Ledger, blocked: Iterable[Blocked]) -> Iterator[Reason]:
    """Group by what it is about, keep the order found, and put into words."""
    groups: dict[tuple[str, Stage, int | None, str, str], list[str]] = {}
    for b in blocked:
        legs = groups.setdefault((b.code, b.stage, b.row, b.about, b.detail), [])
        if b.leg not in legs:
            legs.append(b.leg)
    for (code, kind, row, about, detail), legs in groups.items():
        stage = ledger.stage(row) if row is not None else None
        title = stage.title if stage else BY_KIND[kind].title
        said = _sentence(code, kind, title, about, tuple(legs), detail)
        yield Reason(code, said, kind, about, tuple(legs), row)


def _sentence(code: str, kind: Stage, title: str, about: str, legs: tuple[str, ...], detail: str) -> str:
    process = BY_KIND[kind]
    point, operation = process.point(about), process.operation(about)
    words = leg_words(legs)
    text = _SENTENCES[code].format(
        legs=words,
        on=f" on {words}" if words else "",
        stage=title,
        about=point.title if point else operation.title if operation else about,
        roles=role_words(point.releases) if point else "",
        presents=role_words(point.presents) if point else "",
        does=role_words(operation.does) if operation else "",
        closes=role_words(CLOSES),
        detail=detail,
    )
    if code in ("not_here", "not_strong"):
        verb = "is" if len(legs) == 1 else "are"
        text = text.replace(f"{words} not ", f"{words} {verb} not ", 1)
    return text[0].upper() + text[1:]
