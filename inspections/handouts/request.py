"""Inspection request: what is asked, what the crew found itself, what is open, what changed, room to decide."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from inspections import strength
from inspections.gates import role_words
from inspections.handouts.crew import PersonLine, people
from inspections.handouts.numbers import amount
from inspections.handouts.standings import letter, standing_lines, when
from inspections.handouts.subject import Subject
from inspections.models import EvidenceItem
from inspections.process import Evidence, EvidenceKind, Point, PointKind, Scope
from inspections.standing import WHOLE_HOUSE, Presented, Standing
from inspections.states import open_corrections
from jobs.frozen import facts_from_json
from jobs.models import PlanRevision
from takeoff.units import Length, format_length

#: Standings whose evidence is in front of whoever decides.
_SHOWN = (Standing.PRESENTED, Standing.OUTDATED, Standing.VOID)


@dataclass(frozen=True, slots=True)
class Reading:
    """One piece of evidence as found. ``verdict`` is '', 'within', or 'OUTSIDE' its number."""

    label: str
    found: str
    required: str
    verdict: str


@dataclass(frozen=True, slots=True)
class Asked:
    """One point on the request: how it stands, what was found, and why a reading outside is presented.

    ``needed``: what a wall must be known to carry before it is filled against. ``settled``: released (or waived) on all
    legs of the sheet, so that nothing is left to decide.
    """

    word: str
    title: str
    looks_at: str
    needed: tuple[str, ...]
    legs: str
    decided_by: str
    standings: tuple[str, ...]
    readings: tuple[Reading, ...]
    deviations: tuple[str, ...]
    settled: bool


@dataclass(frozen=True, slots=True)
class Open:
    """A correction that is open."""

    title: str
    legs: str
    reason: str
    since: str


@dataclass(frozen=True, slots=True)
class Request:
    """All that stands on an inspection request."""

    asked: list[Asked]
    corrections: list[Open]
    since: str
    changes: list[str]
    people: list[PersonLine]


def request(subject: Subject) -> Request:
    """The inspection request of a stage."""
    points = [
        (point, legs)
        for point in subject.row.process.points
        if (legs := [x.name for x in subject.facts.legs if x.name in subject.legs and point.applies(x)])
    ]
    presentations = {p.pk: p for point, legs in points for p in _in_front(subject, point, legs)}
    evidence = _evidence(presentations)
    last = _last_decision(subject)
    return Request(
        asked=[_asked(subject, point, legs, evidence) for point, legs in points],
        corrections=[
            Open(c.point.title, subject.leg_words(c.legs), c.signed.reason.strip(), when(subject, c.signed.at))
            for c in open_corrections(subject.ledger)
            if c.stage.pk == subject.stage.pk and subject.about(c.legs)
        ],
        since=when(subject, last[0]) if last else "",
        changes=list(dict.fromkeys(_changes(subject, *last))) if last else [],
        people=people(subject),
    )


# -- what was found ----------------------------------------------------------------------------------
def _in_front(subject: Subject, point: Point, legs: Iterable[str]) -> Iterable[Presented]:
    for name in _names(point, legs):
        found = subject.ledger.standing(subject.row, point, name)
        if found.presented is not None and found.standing in _SHOWN:
            yield found.presented


def _names(point: Point, legs: Iterable[str]) -> list[str]:
    return [WHOLE_HOUSE] if point.scope is Scope.HOUSE else list(legs)


def _is_settled(subject: Subject, point: Point, legs: list[str]) -> bool:
    waived = {x.name for x in subject.facts.legs if subject.ledger.waived(subject.row, point, x)}
    return all(
        name in waived or subject.ledger.standing(subject.row, point, name).standing is Standing.RELEASED
        for name in _names(point, legs)
    )


def _evidence(presentations: dict[int, Presented]) -> dict[int, list[EvidenceItem]]:
    """Evidence by presentation; one query, and the deviations come with it."""
    out: dict[int, list[EvidenceItem]] = defaultdict(list)
    items = EvidenceItem.objects.filter(presentation__in=list(presentations)).select_related("presentation")
    for item in items.order_by("pk"):
        assert item.presentation_id is not None
        out[item.presentation_id].append(item)
    return out


def _asked(subject: Subject, point: Point, legs: list[str], evidence: dict[int, list[EvidenceItem]]) -> Asked:
    shown = {p.pk: p for p in _in_front(subject, point, legs)}
    items = [item for pk in shown for item in evidence.get(pk, [])]
    asked = {each.key: each for each in point.evidence}
    readings: list[Reading] = []
    for pk, presented in shown.items():
        on = subject.leg_words(presented.legs) if len(shown) > 1 else ""
        readings += _readings(evidence.get(pk, []), asked, on)
    deviations = dict.fromkeys(
        item.presentation.deviation.strip() for item in items if item.presentation and item.presentation.deviation
    )
    return Asked(
        word="HOLD" if point.kind is PointKind.HOLD else "WITNESS",
        title=point.title,
        looks_at=point.looks_at,
        needed=tuple(strength.told_at(point, (leg for leg in subject.facts.legs if leg.name in legs))),
        legs="once for the house" if point.scope is Scope.HOUSE else subject.leg_words(legs),
        decided_by=role_words(point.releases),
        standings=tuple(standing_lines(subject, point, legs)),
        readings=tuple(readings),
        deviations=tuple(deviations),
        settled=_is_settled(subject, point, legs),
    )


def _readings(items: list[EvidenceItem], asked: dict[str, Evidence], legs: str) -> Iterable[Reading]:
    """Evidence of one presentation; ``legs`` names its legs where there are several presentations."""
    photos: dict[str, int] = defaultdict(int)
    ending = f", {legs}" if legs else ""
    for item in items:
        label = asked[item.key].label if item.key in asked else item.key
        if item.file:
            photos[label] += 1
            continue
        on = f", leg {item.leg}" if item.leg else ending
        verdict = {True: "within", False: "OUTSIDE", None: ""}[item.within]
        yield Reading(label + on, _found(item, asked.get(item.key)), item.required, verdict)
    for label, count in photos.items():
        files = f"{count} file{'s' if count > 1 else ''}, at the address in the code above"
        yield Reading(label + ending, files, "", "")


def _found(item: EvidenceItem, asked: Evidence | None) -> str:
    if item.number is not None:
        if item.kind == EvidenceKind.LEVELS:
            return format_length(Length.from_inches(item.number))
        said = amount(item.number, item.unit)
        typed = f" (typed “{item.text}”)" if item.text and item.text not in (f"{item.number:g}", said) else ""
        return said + typed
    if item.kind == EvidenceKind.CHOICE and asked is not None:
        return dict(asked.choices).get(item.text, item.text)
    return item.text


# -- what changed ------------------------------------------------------------------------------------
def _last_decision(subject: Subject) -> tuple[datetime, int] | None:
    """When something of the stage was last released or rejected on a leg of the sheet, and on which revision."""
    signed = [s for s in subject.ledger.signed if s.stage == subject.stage.pk and subject.about(s.legs)]
    return (signed[-1].at, signed[-1].revision) if signed else None


def _changes(subject: Subject, since: datetime, revision: int) -> Iterable[str]:
    """Sentences on everything newer than the last decision: the plan, corrections, presentations, work."""
    yield from _plan_changes(subject, revision)
    process = subject.row.process
    titles = {point.key: point.title for point in process.points}
    done = {operation.key: operation.past for operation in process.operations}
    rulings = {s.pk: s for s in subject.ledger.signed}
    for closed in subject.ledger.closed:
        ruling = rulings[closed.sign_off]
        if closed.at > since and ruling.stage == subject.stage.pk and subject.about(closed.legs):
            yield f"Correction of “{titles.get(ruling.point, ruling.point)}”{_on(subject, closed.legs)} closed."
    for presented in subject.ledger.presented:
        if presented.at > since and presented.stage == subject.stage.pk and subject.about(presented.legs):
            title = titles.get(presented.point, presented.point)
            who = subject.name_of(presented.by)
            yield f"“{title}” presented{_on(subject, presented.legs)} by {who}, {when(subject, presented.at)}."
    for work in subject.ledger.done:
        if work.at > since and work.stage == subject.stage.pk and subject.about(work.legs):
            past = done.get(work.operation, work.operation)
            yield f"{past[:1].upper()}{past[1:]}{_on(subject, work.legs)}, {when(subject, work.at)}."


def _plan_changes(subject: Subject, number_then: int) -> Iterable[str]:
    if number_then == subject.revision.number:
        return
    then, now = letter(number_then), subject.revision.letter
    old = PlanRevision.objects.filter(house=subject.house, number=number_then).values_list("facts", flat=True).first()
    if old is None:
        return
    before = facts_from_json(old)
    changed = []
    for leg in subject.facts.legs:
        was = before.leg(leg.name)
        if leg.name in subject.legs and (
            was is None or was.fingerprints.get(subject.kind) != leg.fingerprints[subject.kind]
        ):
            changed.append(leg.name)
    if changed:
        yield f"Plan revision {then} became {now}: this stage changed on {subject.leg_words(changed)}."
    else:
        yield f"Plan revision {then} became {now}: nothing of this stage changed on these legs."


def _on(subject: Subject, legs: Iterable[str]) -> str:
    words = subject.leg_words(legs)
    return f" on {words}" if words else ""
