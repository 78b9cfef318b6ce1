"""Asked of me: every point that waits for the person's word, across houses, oldest first; and what they said before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.paginator import Page, Paginator
from django.utils import timezone

from inspections import states
from inspections.models import CorrectionClosed, EvidenceItem, Presentation, SignOff
from inspections.page_queries import words
from inspections.page_queries.evidence import Shown, photos, readings, shown
from inspections.page_queries.mine import Mine, mine
from inspections.stages import BY_KIND
from inspections.standing import Ledger, Signed
from inspections.states import Ask
from jobs.models import House, Person, Role
from takeoff.plan import Stage

SHOWN_HISTORY = 20
#: Presentations on one page of the list.
PAGE = 20


@dataclass(frozen=True, slots=True)
class AskRow:
    """One presentation that waits."""

    house: House
    stage: str
    title: str
    kind: str
    url: str
    on: str
    revision: str
    presented: str  # 'Mon Nov 3, 2:05 pm'
    waited: str
    by: str
    role: str
    note: str
    deviation: str
    outside: int
    readings: list[Shown]
    photos: list[Shown]
    earlier: list[str]  # what changed since last time, in words
    compare_url: str  # what changed in the plan since it was last judged


@dataclass(frozen=True, slots=True)
class SaidRow:
    """A sign-off of the person."""

    house: str
    title: str
    url: str
    on: str
    released: bool
    reason: str
    when: str
    revision: str


@dataclass(frozen=True, slots=True)
class Asked:
    """The page."""

    page: Page[Any]
    asks: list[AskRow]
    own: int  # presented by the person, so that somebody else must release it
    said: list[SaidRow]


def asked(person: Person, page: str | None = None, now: datetime | None = None) -> Asked:
    """What waits for the person, oldest first, and their latest sign-offs. Fifteen queries, however many houses."""
    now = now or timezone.now()
    found = mine(person)
    asks = [(each, ask) for each in found for ask in _asks(each)]
    asks.sort(key=lambda pair: pair[1].presented.pk)
    theirs = [(each, ask) for each, ask in asks if ask.presented.by != person.pk]
    shown = Paginator(theirs, PAGE).get_page(page)
    return Asked(
        shown,
        _rows(list(shown), now),
        len(asks) - len(theirs),
        list(_said(person, found)),
    )


def _asks(each: Mine) -> Iterable[Ask]:
    merged: dict[int, Ask] = {}
    for role in sorted(each.roles):
        for ask in states.waiting_for(each.ledger, role):
            merged.setdefault(ask.presented.pk, ask)
    return merged.values()


def _rows(pairs: list[tuple[Mine, Ask]], now: datetime) -> list[AskRow]:
    keys = [ask.presented.pk for _, ask in pairs]
    kept = Presentation.objects.filter(pk__in=keys).select_related("by").in_bulk() if keys else {}
    items: dict[int, list[EvidenceItem]] = {}
    for item in EvidenceItem.objects.filter(presentation__in=keys).order_by("pk") if keys else ():
        items.setdefault(item.presentation_id or 0, []).append(item)
    before = {ask.presented.pk: list(_before(each.ledger, ask)) for each, ask in pairs}
    people = words.names_of(s.by for found in before.values() for s in found)
    done = _put_right(s.pk for found in before.values() for s in found)
    return [
        _row(each, ask, kept[ask.presented.pk], items.get(ask.presented.pk, []), before[ask.presented.pk], people,
             done, now)
        for each, ask in pairs
        if ask.presented.pk in kept
    ]  # fmt: skip


def _before(ledger: Ledger, ask: Ask) -> Iterable[Signed]:
    """Earlier sign-offs of the same point on any of the legs, oldest first."""
    for signed in ledger.signed:
        here = (signed.stage, signed.point) == (ask.stage.pk, ask.point.key)
        if here and (not ask.legs or set(signed.legs) & set(ask.legs)):
            yield signed


def _put_right(sign_offs: Iterable[int]) -> dict[int, list[str]]:
    """Sign-off -> what was done about it. One query."""
    out: dict[int, list[str]] = {}
    keys = set(sign_offs)
    if keys:
        for sign_off, text in CorrectionClosed.objects.filter(sign_off__in=keys).values_list("sign_off", "done"):
            out.setdefault(sign_off, []).append(text)
    return out


def _row(
    each: Mine,
    ask: Ask,
    presentation: Presentation,
    items: list[EvidenceItem],
    before: list[Signed],
    people: Mapping[int, str],
    done: Mapping[int, list[str]],
    now: datetime,
) -> AskRow:
    evidence = shown(ask.point.evidence, items)
    return AskRow(
        each.house,
        ask.stage.title,
        ask.point.title,
        ask.point.kind.value,
        words.point_url(each.house, ask.stage, ask.point.key),
        words.where(ask.legs),
        words.letter(ask.presented.revision),
        words.moment(each.house, ask.presented.at),
        words.waited(each.house, ask.presented.at, now),
        str(presentation.by),
        Role(presentation.role).label,
        presentation.note,
        presentation.deviation,
        sum(item.within is False for item in items),
        readings(evidence),
        photos(evidence),
        [_earlier(each, signed, people, done) for signed in before],
        words.compare_url(each.house, each.ledger, before[-1].revision if before else None),
    )


def _earlier(each: Mine, signed: Signed, people: Mapping[int, str], done: Mapping[int, list[str]]) -> str:
    """One earlier word on it, in a sentence or two."""
    who = f"{people.get(signed.by, 'somebody')}, {words.moment(each.house, signed.at)}"
    on = f"on {words.letter(signed.revision)}"
    if signed.released:
        return f"Released {on} by {who}; the plan changed since."
    right = done.get(signed.pk)
    put = f" Put right: “{right[-1]}”" if right else ""
    return f"Rejected {on} by {who}: “{signed.reason}”{put}"


def _said(person: Person, found: list[Mine]) -> Iterable[SaidRow]:
    """The person's latest sign-offs on houses they still belong to. One query."""
    houses = {each.house.pk: each.house for each in found}
    rows = SignOff.objects.filter(by=person, house__in=houses).select_related("stage", "revision").order_by("-pk")
    for row in rows[:SHOWN_HISTORY]:
        house = houses[row.house_id]
        point = BY_KIND[Stage(row.stage.kind)].point(row.point)
        yield SaidRow(
            house.name,
            point.title if point else row.point,
            words.reverse("inspections:point", args=[house.pk, row.stage_id, row.point]),
            words.where(row.legs),
            row.decision == SignOff.Decision.RELEASED,
            row.reason,
            words.moment(house, row.at),
            row.revision.letter,
        )
