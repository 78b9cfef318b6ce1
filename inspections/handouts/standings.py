"""How points stand, in words for paper: on which legs, who said so, when, on which revision."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from inspections.gates import role_words
from inspections.handouts.subject import Subject
from inspections.process import Point, Scope
from inspections.standing import WHOLE_HOUSE, PointStanding, Standing
from jobs.models import PlanRevision, Role

_SAYS = {
    Standing.WAITING: "Not presented yet{on}.",
    Standing.PRESENTED: "Presented{on} {when} by {presenter}; waits for {roles}.",
    Standing.OUTDATED: "The plan changed{on} after it was presented: present it again.",
    Standing.RELEASED: "Released{on} by {signer}, {when_signed}, on {revision}.",
    Standing.VOID: "Released{on} on {revision}, before the plan changed there: present it again.",
    Standing.REJECTED: "REJECTED{on} by {signer}, {when_signed}: {reason} Correction open.",
    Standing.CORRECTED: "Put right{on} after a rejection ({reason}): present it again.",
}


def standing_lines(subject: Subject, point: Point, legs: Sequence[str]) -> Iterator[str]:
    """One sentence for each way the point stands among the legs, and one for legs where it is waived."""
    names = [WHOLE_HOUSE] if point.scope is Scope.HOUSE else list(legs)
    waived = [x.name for x in subject.facts.legs if x.name in legs and subject.ledger.waived(subject.row, point, x)]
    groups: dict[tuple[Standing, int | None, int | None], tuple[PointStanding, list[str]]] = {}
    for name in names:
        if name in waived and point.scope is Scope.LEGS:
            continue
        found = subject.ledger.standing(subject.row, point, name)
        key = found.standing, _pk(found.presented), _pk(found.signed)
        groups.setdefault(key, (found, []))[1].append(name)
    for found, own in groups.values():
        yield _sentence(subject, point, found, [] if len(own) == len(names) else own)
    if waived and point.scope is Scope.LEGS:
        yield f"Waived on {subject.leg_words(waived)}: under 4.0 ft of unbalanced fill. Strength is never waived."


def _sentence(subject: Subject, point: Point, found: PointStanding, legs: Iterable[str]) -> str:
    """``legs`` none: it stands so everywhere."""
    words = subject.leg_words(legs)
    presented, signed = found.presented, found.signed
    return _SAYS[found.standing].format(
        on=f" on {words}" if words else "",
        when=when(subject, presented.at) if presented else "",
        presenter=subject.name_of(presented.by) if presented else "",
        roles=role_words(point.releases),
        signer=f"{subject.name_of(signed.by)} ({Role(signed.role).label})" if signed else "",
        when_signed=when(subject, signed.at) if signed else "",
        revision=f"revision {letter(signed.revision)}" if signed else "",
        reason=signed.reason.strip() if signed else "",
    )


def _pk(record: object) -> int | None:
    return getattr(record, "pk", None)


def when(subject: Subject, moment: datetime) -> str:
    """'Nov 3, 2026, 2:05 pm' by the house's clock."""
    local = subject.local(moment)
    clock = f"{local:%I:%M}".lstrip("0") + (" am" if local.hour < 12 else " pm")
    return f"{local:%b} {local.day}, {local.year}, {clock}"


def letter(number: int) -> str:
    """Letter of a revision by number."""
    return PlanRevision(number=number).letter
