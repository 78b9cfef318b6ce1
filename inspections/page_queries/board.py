"""The board: every house of a person, what it is up to, what holds it, what is due; first what needs them today."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from django.core.paginator import Page, Paginator
from django.urls import reverse
from django.utils import timezone

from inspections import states
from inspections.page_queries import coming, pictures, words
from inspections.page_queries.coming import Coming
from inspections.page_queries.mine import Mine, mine
from inspections.pours import decisions
from inspections.pours.decisions import Decided
from inspections.process import CLOSES
from inspections.states import Move
from jobs.models import HouseStage, Person, Role

PAGE = 20
#: A planned day this near is due [days].
SOON = 3
SHOWN_REASONS = 2
_OUTSIDE = (Role.INSPECTOR, Role.ENGINEER, Role.SURVEYOR)


@dataclass(frozen=True, slots=True)
class MoveRow:
    """The next move of one section."""

    section: str
    what: str
    stage: str
    url: str
    is_open: bool
    whose: str
    mine: bool
    reasons: tuple[str, ...]
    more: int


@dataclass(frozen=True, slots=True)
class Due:
    """Something with a day, or something that waits for somebody."""

    text: str
    late: bool
    url: str = ""


@dataclass(frozen=True, slots=True)
class Needs:
    """What a house wants of the person: corrections, points that wait for their word, work that may go on, planned days
    past or near, and work that is held by what they can prepare."""

    corrections: int
    asks: int
    open_moves: int
    late: int
    soon: int
    to_prepare: int
    no_plan: bool
    done: bool

    @property
    def rank(self) -> int:
        """Smaller comes first."""
        if self.corrections or self.late:
            return 0
        if self.asks or self.open_moves:
            return 1
        if self.soon:
            return 2
        if self.no_plan or self.to_prepare:
            return 3
        return 5 if self.done else 4

    @property
    def sentences(self) -> list[str]:
        """What is asked of the person, in words."""
        out = []
        if self.corrections:
            out.append(f"{_count(self.corrections, 'correction')} to close")
        if self.asks:
            out.append(f"{_count(self.asks, 'point')} to release or reject")
        if self.open_moves:
            out.append(f"{_count(self.open_moves, 'move')} open now")
        return out


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One house on the board."""

    mine: Mine
    needs: Needs
    dues: list[Due] = field(default_factory=list)
    moves: list[MoveRow] = field(default_factory=list)
    drawing: str = ""
    stage: str = ""


def board(person: Person, page: str | None, now: datetime | None = None) -> tuple[Page[Any], list[BoardRow]]:
    """One page of the board. Sixteen queries, however many houses (two more the first time a plan is drawn, two where
    a decision to pour stands)."""
    now = now or timezone.now()
    found = mine(person)
    dates = _dates([m.house.pk for m in found])
    moves = {m.house.pk: states.next_moves(m.ledger) for m in found}
    decided = decisions.told_of(found, now)
    rows = []
    for each in found:
        dues = [*_decided(decided[each.house.pk], now), *_dated(each, moves[each.house.pk], dates, now)]
        rows.append(BoardRow(each, _needs(each, moves[each.house.pk], dues), dues))
    rows.sort(key=lambda row: (row.needs.rank, row.mine.house.name.lower(), row.mine.house.pk))
    shown = Paginator(rows, PAGE).get_page(page)
    plans = pictures.plans(row.mine.house for row in shown)
    lacking = coming.told([row.mine for row in shown], dates, now)
    return shown, [_filled(row, moves[row.mine.house.pk], plans, lacking[row.mine.house.pk], now) for row in shown]


def _dates(keys: list[int]) -> Mapping[int, HouseStage]:
    """Stage row id -> the stage with its planned days. One query."""
    return {stage.pk: stage for stage in HouseStage.objects.filter(house__in=keys)}


def _needs(each: Mine, moves: list[Move], dues: list[Due]) -> Needs:
    asks = {
        ask.presented.pk
        for role in each.roles
        for ask in states.waiting_for(each.ledger, role)
        if ask.presented.by != each.person
    }
    return Needs(
        corrections=len(states.open_corrections(each.ledger)) if each.roles & set(CLOSES) else 0,
        asks=len(asks),
        open_moves=sum(1 for move in moves if move.is_open and each.roles & set(move.whose)),
        late=sum(due.late for due in dues),
        soon=sum(not due.late for due in dues),
        to_prepare=sum(1 for move in moves if not move.is_open and each.roles & set(move.whose)),
        no_plan=each.ledger.facts is None,
        done=each.ledger.facts is not None and not moves,
    )


def _dated(each: Mine, moves: list[Move], dates: Mapping[int, HouseStage], now: datetime) -> Iterator[Due]:
    """Planned days that are past or near, of stages that are not finished."""
    if each.ledger.facts is not None and not moves:
        return
    house, today = each.house, timezone.localdate(now, words.zone(each.house))
    first = min((move.stage.position for move in moves), default=0)
    begun = {done.stage for done in each.ledger.done}
    if house.dig_date and not each.ledger.done:
        yield from _day("Dig", house.dig_date, today)
    for row in each.ledger.stages:
        stage = dates.get(row.pk)
        if stage is None or row.position < first or (each.ledger.facts and not each.ledger.legs_of(row)):
            continue
        url = words.stage_url(house, row)
        if stage.planned_start_date and row.pk not in begun:
            yield from _day(f"{row.title}, start", stage.planned_start_date, today, url)
        if stage.planned_end_date:
            yield from _day(f"{row.title}, done", stage.planned_end_date, today, url)
    if house.buried_by_date:
        yield from _day("Buried by", house.buried_by_date, today)


def _decided(rows: Iterable[Decided], now: datetime) -> Iterator[Due]:
    """Decisions on pours that are near, or that need a look or another decision."""
    for row in rows:
        text, late = row.due
        if late or row.decision.first_at <= now + timedelta(days=SOON):
            yield Due(text, late, row.url)


def _day(what: str, day: date, today: date, url: str = "") -> Iterator[Due]:
    if day > today + timedelta(days=SOON):
        return
    nights = (day - today).days
    near = {0: "today", 1: "tomorrow"}.get(nights) or (
        f"in {nights} days" if nights > 0 else f"{_count(-nights, 'day')} past"
    )
    yield Due(f"{what}: {day:%a %b} {day.day}, {near}", nights < 0, url)


def _filled(
    row: BoardRow, moves: list[Move], plans: Mapping[int, pictures.Kept], lacking: Iterable[Coming], now: datetime
) -> BoardRow:
    """The row with what is worked out only for houses on the page."""
    each = row.mine
    current = states.current_stage(each.ledger)
    return BoardRow(
        each,
        row.needs,
        [*row.dues, *(Due(pour.text, False, pour.url) for pour in lacking), *_waiting(each, now)],
        [_move_row(each, move) for move in moves],
        pictures.small(plans.get(each.house.pk), each.ledger),
        current.title if current else "",
    )


def _waiting(each: Mine, now: datetime) -> Iterator[Due]:
    """What waits for somebody outside the firm, and for how long."""
    seen: set[int] = set()
    for role in _OUTSIDE:
        for ask in states.waiting_for(each.ledger, role):
            if ask.presented.pk in seen or ask.point.releases[0] is not role:
                continue
            seen.add(ask.presented.pk)
            since = words.waited(each.house, ask.presented.at, now)
            late = (now - ask.presented.at) > timedelta(days=SOON)
            text = f"“{ask.point.title}” waits for {words.role_words((role,))} {since}"
            yield Due(text, late, words.point_url(each.house, ask.stage, ask.point.key))


def _move_row(each: Mine, move: Move) -> MoveRow:
    what = move.operation.title if move.operation else f"Close “{move.stage.title}”"
    reasons = tuple(reason.sentence for reason in move.reasons)
    return MoveRow(
        move.section_name,
        what,
        move.stage.title,
        reverse("inspections:stage", args=[each.house.pk, move.stage.pk]),
        move.is_open,
        words.whose_words(move.whose),
        bool(each.roles & set(move.whose)),
        reasons[:SHOWN_REASONS],
        max(0, len(reasons) - SHOWN_REASONS),
    )


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
