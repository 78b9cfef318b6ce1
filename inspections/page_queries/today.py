"""Today: what is checked now on one house, what number it must be, and whether the next work may go on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils import timezone

from inspections import queries, states
from inspections.page_queries import words
from inspections.page_queries.mine import Mine, mine
from inspections.page_queries.stage import Turn, turn_of
from inspections.page_queries.words import Figure
from inspections.process import CLOSES, Evidence
from inspections.states import Check
from jobs.frozen import Frozen, frozen_from_json
from jobs.models import Person, Role

#: Whose list of checks is shown, where somebody has several roles.
ACTS_AS = (Role.FIELD_LEAD, Role.BUILDER, Role.ENGINEER, Role.SURVEYOR, Role.INSPECTOR)


@dataclass(frozen=True, slots=True)
class Card:
    """One point to check now."""

    title: str
    url: str
    on: str
    looks_at: str
    kind: str
    again: str  # why it is presented again, '' the first time
    main: Figure | None
    others: tuple[Figure, ...]
    missing: tuple[str, ...]
    optional: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Later:
    """A point of the stage that cannot be looked at yet."""

    title: str
    url: str
    on: str
    reason: str


@dataclass(frozen=True, slots=True)
class Waiting:
    """A point that was presented, and whom it waits for."""

    title: str
    url: str
    on: str
    whom: str
    since: str


@dataclass(frozen=True, slots=True)
class Fix:
    """Something to be put right."""

    title: str
    url: str
    on: str
    reason: str
    stage: str


@dataclass(frozen=True, slots=True)
class Part:
    """One section: its stage, its next work, its checks."""

    section: str
    stage: str
    stage_url: str
    cautions: tuple[str, ...]
    turn: Turn | None
    closing: bool  # work is done, only closing points are left
    cards: list[Card]
    later: list[Later]


@dataclass(frozen=True, slots=True)
class Today:
    """The page of one house."""

    mine: Mine
    role: Role | None
    fixes: list[Fix]
    parts: list[Part]
    waiting: list[Waiting]


def today(person: Person, wanted: str, now: datetime | None = None) -> tuple[list[Mine], Today | None]:
    """The person's houses, and the page of the one wanted (row id), else of the first with something to check.
    Eleven queries."""
    found = mine(person)
    if not found:
        return found, None
    chosen = next((m for m in found if str(m.house.pk) == wanted), None)
    chosen = chosen or next((m for m in found if _has_checks(m)), found[0])
    return found, _page(chosen, now or timezone.now())


def _acts_as(each: Mine) -> Role | None:
    return next((role for role in ACTS_AS if role in each.roles), None)


def _has_checks(each: Mine) -> bool:
    role = _acts_as(each)
    return role is not None and any(check.is_ready for check in states.to_present(each.ledger, role))


def _once(parts: list[Part]) -> list[Part]:
    """The parts with each caution on the first of them it belongs to."""
    said: set[str] = set()
    out = []
    for part in parts:
        out.append(replace(part, cautions=tuple(c for c in part.cautions if c not in said)))
        said.update(part.cautions)
    return out


def _page(each: Mine, now: datetime) -> Today:
    role = _acts_as(each)
    revision = queries.revision_in_force(each.house)
    frozen = frozen_from_json(revision.frozen) if revision else None
    checks = states.to_present(each.ledger, role) if role else []
    fixes = [
        Fix(c.point.title, words.point_url(each.house, c.stage, c.point.key), words.where(c.legs), c.signed.reason,
            c.stage.title)
        for c in states.open_corrections(each.ledger)
        if each.roles & set(CLOSES)
    ]  # fmt: skip
    parts = _once([_part(each, move, checks, frozen) for move in states.next_moves(each.ledger)])
    return Today(each, role, fixes, parts, _waiting(each, now))


def _part(each: Mine, move: states.Move, checks: Sequence[Check], frozen: Frozen | None) -> Part:
    own = [c for c in checks if c.section == move.section]
    turn = turn_of(each.house, each.ledger, move, each.roles) if move.operation else None
    return Part(
        move.section_name,
        move.stage.title,
        words.stage_url(each.house, move.stage),
        move.stage.process.cautions,
        turn,
        move.operation is None,
        [_card(each, check, frozen) for check in own if check.is_ready],
        [
            Later(c.point.title, words.point_url(each.house, c.stage, c.point.key), words.where(c.legs),
                  c.reasons[0].sentence)
            for c in own
            if not c.is_ready
        ],
    )  # fmt: skip


def _card(each: Mine, check: Check, frozen: Frozen | None) -> Card:
    point = check.point
    legs = check.legs or None
    criteria = frozen.criteria_of(check.stage.kind, point.criteria, legs) if frozen else ()
    numbers = words.figures(criteria, check.legs)
    asked = [e.criterion for e in point.evidence if e.criterion]
    numbers.sort(key=lambda f: (f.key not in asked, asked.index(f.key) if f.key in asked else 0))
    again = [words.LOOKS[s][1] for s in check.standings if s is not states.Standing.WAITING]
    return Card(
        point.title,
        words.point_url(each.house, check.stage, point.key),
        words.where(check.legs),
        point.looks_at,
        point.kind.value,
        ", ".join(again),
        numbers[0] if numbers else None,
        tuple(numbers[1:4]),
        tuple(_said(e) for e in point.evidence if e.required),
        tuple(_said(e) for e in point.evidence if not e.required),
    )


def _said(evidence: Evidence) -> str:
    return evidence.label


def _waiting(each: Mine, now: datetime) -> list[Waiting]:
    """What was presented and waits for somebody, oldest first, each once."""
    found: dict[int, Waiting] = {}
    for role in Role:
        for ask in states.waiting_for(each.ledger, role):
            found[ask.presented.pk] = Waiting(
                ask.point.title,
                words.point_url(each.house, ask.stage, ask.point.key),
                words.where(ask.legs),
                words.role_words(ask.point.releases),
                words.waited(each.house, ask.presented.at, now),
            )
    return [found[pk] for pk in sorted(found)]
