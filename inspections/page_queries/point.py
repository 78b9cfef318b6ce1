"""One point: what it must be, how it stands leg by leg, what was shown and said, and what the person may do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.urls import reverse

from inspections import engineer, gates, permissions, queries, states, strength
from inspections.actions import CORRECTION_EVIDENCE
from inspections.models import CorrectionClosed, EvidenceItem, Presentation, SignOff
from inspections.page_queries import words
from inspections.page_queries.evidence import Shown, photos, readings, shown
from inspections.page_queries.words import Figure, Group, Why
from inspections.process import CLOSES, Point, Scope
from inspections.standing import WHOLE_HOUSE, Ledger, StageRow, Standing
from jobs.frozen import Frozen, frozen_from_json
from jobs.models import House, HouseStage, Person, PlanRevision, Role


@dataclass(frozen=True, slots=True)
class Subject:
    """What a point page is about, and who looks at it."""

    person: Person
    house: House
    stage: HouseStage
    row: StageRow
    point: Point
    ledger: Ledger
    roles: frozenset[Role]

    @property
    def names(self) -> tuple[str, ...]:
        """Legs that have the point, or the whole house."""
        return words.names_with(self.ledger, self.row, self.point)

    def role_among(self, allowed: Sequence[Role]) -> Role | None:
        """The first of the allowed roles the person holds."""
        return next((role for role in allowed if role in self.roles), None)


@dataclass(frozen=True, slots=True)
class Word:
    """A sign-off of an attempt, with what was done about it."""

    sign_off: SignOff
    released: bool
    on: str
    note: str
    put_right: list[tuple[CorrectionClosed, list[Shown]]]


@dataclass(frozen=True, slots=True)
class Attempt:
    """A presentation with its evidence and everything said about it."""

    presentation: Presentation
    on: str
    readings: list[Shown]
    photos: list[Shown]
    outside: int
    words: list[Word]


@dataclass(frozen=True, slots=True)
class Decision:
    """A presentation that waits (or was released, and may still be rejected): on these legs, by this person."""

    attempt: Attempt
    legs: tuple[str, ...]
    on: str
    role: Role | None
    may_release: bool
    released: bool  # stands released: only rejecting is left
    why: str


@dataclass(frozen=True, slots=True)
class Fix:
    """An open correction."""

    sign_off: SignOff
    legs: tuple[str, ...]
    on: str
    role: Role | None
    why: str


@dataclass(frozen=True, slots=True)
class ToPresent:
    """Whether the person may present, on which legs, or why not."""

    legs: tuple[str, ...]
    is_open: bool
    role: Role | None
    why: str
    again: bool = False  # it waits already; other evidence may be sent in its place


@dataclass(frozen=True, slots=True)
class PointPage:
    """The page."""

    subject: Subject
    revision: PlanRevision | None
    figures: list[Figure]  # what readings are compared with
    further: list[Figure]  # other numbers of the plan that are looked at
    groups: list[Group]
    attempts: list[Attempt]
    decisions: list[Decision]
    fixes: list[Fix]
    to_present: ToPresent
    engineer: tuple[str, ...]
    needed: list[str]  # what a wall must be known to carry before it is filled against
    shown: list[str]  # what it is known to carry
    shown_url: str  # where cylinders, temperatures and estimates of it stand
    besides: list[Why]  # at the last look before a fill: what else the fill waits for


def read(subject: Subject) -> PointPage:
    """Everything the page of a point shows."""
    revision = queries.revision_in_force(subject.house)
    frozen = frozen_from_json(revision.frozen) if revision else None
    attempts = _attempts(subject)
    return PointPage(
        subject,
        revision,
        *_figures(subject, frozen),
        words.groups(subject.ledger, subject.row, subject.point, subject.names),
        attempts,
        list(_decisions(subject, attempts)),
        list(_fixes(subject, attempts)),
        to_present(subject),
        _engineer(subject, frozen),
        strength.told_at(subject.point, subject.ledger.legs_of(subject.row)),
        strength.shown_at(subject.ledger, subject.row, subject.point),
        _shown_url(subject),
        _besides(subject),
    )


def _shown_url(subject: Subject) -> str:
    fill = strength.FILLS.get(subject.row.kind)
    wall = next((row for row in subject.ledger.stages if fill and row.kind is fill.wall), None)
    return f"{reverse('inspections:pour', args=[subject.house.pk, wall.pk])}#strength" if wall else ""


def _besides(subject: Subject) -> list[Why]:
    """What else a fill waits for, for whoever takes the last look: earth is not to go in because this is released."""
    fill = strength.FILLS.get(subject.row.kind)
    if fill is None or subject.point.key != fill.look:
        return []
    operation = next(each for each in subject.row.process.operations if each.key == fill.operation)
    told = {"nothing_left", "no_plan", "not_strong", "engineer_strength"}  # the last two stand with what is shown
    found = gates.gate(subject.ledger, subject.row, operation).reasons
    others = [each for each in found if each.code not in told and each.about != subject.point.key]
    return words.whys(subject.house, subject.ledger, others)


def _engineer(subject: Subject, frozen: Frozen | None) -> tuple[str, ...]:
    legs = [name for name in subject.names if name != WHOLE_HOUSE]
    return engineer.sentences(frozen, subject.row.kind, (subject.point.key,), legs) if frozen else ()


def _figures(subject: Subject, frozen: Frozen | None) -> tuple[list[Figure], list[Figure]]:
    """Numbers that readings are compared with, and the others; where no reading is asked for, all are the first."""
    if frozen is None:
        return [], []
    legs = tuple(name for name in subject.names if name != WHOLE_HOUSE)
    found = words.figures(frozen.criteria_of(subject.row.kind, subject.point.criteria, legs or None), legs)
    compared = {e.criterion for e in subject.point.evidence if e.criterion}
    first = [f for f in found if f.key in compared]
    return (first, [f for f in found if f.key not in compared]) if first else (found, [])


# -- what was shown and said ---------------------------------------------------------------------------
def _attempts(subject: Subject) -> list[Attempt]:
    """All presentations of the point, latest first. Six queries."""
    rows = Presentation.objects.filter(stage=subject.stage, point=subject.point.key)
    rows = rows.select_related("by", "revision").order_by("-pk")
    rows = rows.prefetch_related(
        "evidence", "sign_offs__by", "sign_offs__revision", "sign_offs__closures__by", "sign_offs__closures__evidence"
    )
    return [_attempt(subject, row) for row in rows]


def _attempt(subject: Subject, row: Presentation) -> Attempt:
    items: list[EvidenceItem] = list(row.evidence.all())
    found = shown(subject.point.evidence, items)
    said = sorted(row.sign_offs.all(), key=lambda s: s.pk)
    return Attempt(
        row,
        words.where(row.legs),
        readings(found),
        photos(found),
        sum(item.within is False for item in items),
        [_word(subject, sign_off) for sign_off in said],
    )


def _word(subject: Subject, sign_off: SignOff) -> Word:
    released = sign_off.decision == SignOff.Decision.RELEASED
    names = sign_off.legs or [WHOLE_HOUSE]
    standing = [subject.ledger.standing(subject.row, subject.point, name) for name in names]
    notes = {
        words.given_on(subject.ledger, found) for found in standing if found.signed and found.signed.pk == sign_off.pk
    }
    closed = [(c, shown(CORRECTION_EVIDENCE, c.evidence.all())) for c in sign_off.closures.all()]
    return Word(sign_off, released, words.where(sign_off.legs), " ".join(sorted(notes)).strip(), closed)


# -- what may be done ----------------------------------------------------------------------------------
def _decisions(subject: Subject, attempts: Iterable[Attempt]) -> Iterable[Decision]:
    by_pk = {attempt.presentation.pk: attempt for attempt in attempts}
    for standing in (Standing.PRESENTED, Standing.RELEASED):
        groups: dict[int, list[str]] = {}
        for name in subject.names:
            found = subject.ledger.standing(subject.row, subject.point, name)
            if found.standing is standing and found.presented is not None:
                groups.setdefault(found.presented.pk, []).append(name)
        for pk in sorted(groups):
            if pk in by_pk:
                yield _decision(subject, by_pk[pk], tuple(groups[pk]), standing is Standing.RELEASED)


def _decision(subject: Subject, attempt: Attempt, names: tuple[str, ...], released: bool) -> Decision:
    role = subject.role_among(subject.point.releases)
    legs = tuple(name for name in names if name != WHOLE_HOUSE)
    who = words.whose_words(subject.point.releases)
    if role is None:
        return Decision(attempt, legs, words.where(legs), None, False, released, f"{who} releases or rejects it.")
    own = permissions.presented_by(subject.person, subject.ledger, subject.row, subject.point, names)
    why = ""
    if own and not released:
        on = f" on {words.leg_words(own)}" if any(own) else ""
        why = f"You presented it yourself{on}, so somebody else must release it. You may still reject it."
    return Decision(attempt, legs, words.where(legs), role, not own and not released, released, why)


def _fixes(subject: Subject, attempts: Iterable[Attempt]) -> Iterable[Fix]:
    sign_offs = {word.sign_off.pk: word.sign_off for attempt in attempts for word in attempt.words}
    role = subject.role_among(CLOSES)
    for correction in states.open_corrections(subject.ledger):
        if correction.stage == subject.row and correction.point == subject.point and correction.signed.pk in sign_offs:
            why = "" if role else f"{words.whose_words(CLOSES)} says what was put right."
            yield Fix(sign_offs[correction.signed.pk], correction.legs, words.where(correction.legs), role, why)


def to_present(subject: Subject) -> ToPresent:
    """Legs it can be presented on now, and whether by this person."""
    role = subject.role_among(subject.point.presents)
    standings = {n: subject.ledger.standing(subject.row, subject.point, n).standing for n in subject.names}
    due = [
        name
        for name, standing in standings.items()
        if standing in states.TO_PRESENT and not words.is_waived(subject.ledger, subject.row, subject.point, name)
    ]
    legs = tuple(name for name in due if name != WHOLE_HOUSE)
    if subject.ledger.facts is None:
        return ToPresent(legs, False, role, "No plan revision is locked yet, so there is nothing to check against.")
    if not due:
        waits = tuple(name for name, standing in standings.items() if standing is Standing.PRESENTED)
        return ToPresent(tuple(n for n in waits if n), bool(waits) and role is not None, role, "", again=True)
    if role is None:
        return ToPresent(legs, False, None, f"{words.whose_words(subject.point.presents)} presents it.")
    checked = [x.name for x in subject.ledger.legs_of(subject.row)] if subject.point.scope is Scope.HOUSE else due
    ready = [
        n for n in due if not gates.not_done_yet(subject.ledger, subject.row, subject.point, [n] if n else checked)
    ]
    if not ready:
        reasons = gates.not_done_yet(subject.ledger, subject.row, subject.point, checked)
        return ToPresent(legs, False, role, f"It is looked at after the work. {reasons[0].sentence}")
    return ToPresent(tuple(n for n in ready if n), True, role, "")
