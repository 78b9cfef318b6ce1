"""Braces over all houses of a firm: what each wall ties up and when, where they stand now, on which days too few are
owned.

A wall ties its braces up from the day it is stacked until its backfill begins (nobody has to leave a wall on its own
before that), or until so many days after its pour as the builder says. Days are those that happened where they are
recorded, else those planned; what should have begun is counted from today on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.db.models import Max, OuterRef, Subquery
from django.urls import reverse
from django.utils import timezone

from inspections.page_queries import words
from inspections.page_queries.mine import Mine, mine
from inspections.standing import StageRow
from jobs.frozen import LegFacts
from jobs.models import Firm, HouseStage, Person, PlanRevision
from takeoff.brace_pool import Need, pool, stretches
from takeoff.plan import Stage

#: Each kind of wall, and the backfill that comes against it.
FILLED_BY: Final = {Stage.FROST_WALL: Stage.FROST_BACKFILL, Stage.FULL_WALL: Stage.FINAL_BACKFILL}
KEY: Final = "braces"
DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall that ties up braces, both days included."""

    name: str
    url: str
    braces: int
    first: date
    last: date
    standing: bool
    note: str = ""

    @property
    def days(self) -> str:
        """'Nov 27 to Dec 8'."""
        return span(self.first, self.last)

    @property
    def until(self) -> str:
        """'Dec 8'."""
        return _day(self.last)


@dataclass(frozen=True, slots=True)
class Missing:
    """A wall that cannot be counted, why, and where that is mended."""

    name: str
    why: str
    url: str
    action: str


@dataclass(frozen=True, slots=True)
class Days:
    """Days with the same braces out."""

    days: str
    out: int
    short: int
    held: tuple[tuple[str, int], ...]
    now: bool


@dataclass(frozen=True, slots=True)
class BracesPage:
    """The page. ``owned`` is None where nobody said it."""

    owned: int | None
    say: str
    advice: str
    rows: list[Days]
    walls: list[Wall]
    missing: list[Missing]
    after: int | None

    @property
    def standing(self) -> list[Wall]:
        """Walls that have braces on them now."""
        return [wall for wall in self.walls if wall.standing]

    @property
    def to_come(self) -> list[Wall]:
        """Walls that will have braces on them."""
        return [wall for wall in self.walls if not wall.standing]

    @property
    def out_now(self) -> int:
        """Braces on site now."""
        return sum(wall.braces for wall in self.standing)

    @property
    def left(self) -> int | None:
        """Braces in the yard now; None where nobody said how many are owned."""
        return None if self.owned is None else max(self.owned - self.out_now, 0)


def read(person: Person, firm: Firm, after: int | None = None, now: datetime | None = None) -> BracesPage:
    """All houses of the firm; ``after``: days after the pour on which braces come down, None: at the backfill.
    Fourteen queries, however many houses."""
    now = now or timezone.now()
    houses = [each for each in mine(person) if each.house.firm_id == firm.pk]
    keys = [each.house.pk for each in houses]
    planned = {stage.pk: stage for stage in HouseStage.objects.filter(house__in=keys)}
    counted = _counted(keys)
    told = [_House(each, planned, counted.get(each.house.pk), after, now) for each in houses]
    found = [each_wall for each in told for each_wall in each.walls()]
    walls = sorted((x for x in found if isinstance(x, Wall)), key=lambda wall: (wall.first, wall.name))
    needs = [Need(w.name, w.braces, w.first.toordinal(), w.last.toordinal(), w.standing) for w in walls]
    say, advice = _said(needs, firm.braces_owned)
    rows = _rows(needs, firm.braces_owned, min((each.today for each in told), default=now.date()))
    missing = [x for x in found if isinstance(x, Missing)]
    return BracesPage(firm.braces_owned, say, advice, rows, walls, missing, after)


def _counted(keys: Sequence[int]) -> dict[int, dict[tuple[str, str], float]]:
    """House -> (stage, section) -> braces, of the revision in force. One query."""
    of_house = PlanRevision.objects.filter(house=OuterRef("house")).order_by().values("house")
    latest = of_house.annotate(latest=Max("number")).values("latest")
    rows = PlanRevision.objects.filter(house__in=keys, number=Subquery(latest))
    return {
        house: {(q["stage"], q["section"]): q["amount"] for q in quantities if q["key"] == KEY}
        for house, quantities in rows.values_list("house", "frozen__quantities")
    }


# -- one house -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class _Span:
    """Days on which braces stand on a wall, or ``why`` they cannot be told."""

    first: date = date.min
    last: date = date.min
    standing: bool = False
    note: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class _House:
    """What is known of one house's walls."""

    mine: Mine
    planned: Mapping[int, HouseStage]
    counted: Mapping[tuple[str, str], float] | None
    after: int | None
    now: datetime

    @property
    def today(self) -> date:
        return timezone.localdate(self.now, words.zone(self.mine.house))

    def walls(self) -> Iterator[Wall | Missing]:
        """Every kind of wall the house has, sections that stand on the same days together."""
        house, facts = self.mine.house, self.mine.ledger.facts
        if facts is None or self.counted is None:
            url = reverse("jobs:plan_edit", args=[house.pk])
            yield Missing(house.name, "no plan is locked yet, so no brace is counted", url, "Walk the plan")
            return
        for kind in FILLED_BY:
            together: dict[_Span, list[tuple[str, int]]] = {}
            for key, name in facts.sections:
                braces = round(self.counted.get((kind.value, key), 0))
                told = self._span(kind, [leg for leg in facts.legs if leg.section == key]) if braces else None
                if told is not None:
                    together.setdefault(told, []).append((name, braces))
            yield from (self._told(kind, told, rows, len(together) > 1) for told, rows in together.items())

    def _told(self, kind: Stage, told: _Span, sections: Sequence[tuple[str, int]], apart: bool) -> Wall | Missing:
        house, (row, *_) = self.mine.house, self._rows(kind)
        name = f"{house.name}, {row.title[:1].lower()}{row.title[1:]}"
        name += f" ({', '.join(section for section, _ in sections)})" if apart else ""
        if told.why:
            return Missing(name, told.why, reverse("jobs:stages_edit", args=[house.pk]), "Plan the days")
        braces = sum(count for _, count in sections)
        return Wall(name, words.stage_url(house, row), braces, told.first, told.last, told.standing, told.note)

    def _span(self, kind: Stage, legs: Sequence[LegFacts]) -> _Span | None:
        """When legs of a section have braces on their wall of a kind; None where they have none or those are down."""
        rows, fills = self._rows(kind), self._rows(FILLED_BY[kind])
        names = [leg.name for leg in legs if kind in leg.stages]
        if not rows or not names or self._finished_on(fills, names):
            return None
        begun, poured = self._begun_on(rows, names), self._finished_on(rows, names)
        first = begun or self._planned(rows, "planned_start_date", min)
        last = self._last(rows, fills, poured)
        if first is None or last is None:
            return _Span(why=f"no day is planned {'to begin on' if first is None else 'for its pour or its backfill'}")
        if begun and poured and self.after is not None and last < self.today:
            return None
        return self._from_today(first, max(first, last), begun is not None)

    def _from_today(self, first: date, last: date, standing: bool) -> _Span:
        """What stands still does; what should have begun begins today."""
        late = (self.today - first).days
        if standing:
            note = f"was to be free on {_day(last + DAY)}" if last < self.today else ""
            return _Span(first, max(last, self.today), True, note)
        if late <= 0:
            return _Span(first, last)
        return _Span(self.today, last + late * DAY, False, f"planned for {_day(first)}, not begun: counted from today")

    def _last(self, rows: Sequence[StageRow], fills: Sequence[StageRow], poured: date | None) -> date | None:
        """The last day on the wall: the one before its backfill, or so many after the pour; where no backfill is
        planned the day of the pour."""
        wall_done = poured or self._planned(rows, "planned_end_date", max)
        if self.after is not None:
            return wall_done + self.after * DAY if wall_done else None
        filling = self._planned(fills, "planned_start_date", min)
        return max((day for day in (wall_done, filling - DAY if filling else None) if day), default=None)

    def _rows(self, kind: Stage) -> list[StageRow]:
        return [row for row in self.mine.ledger.stages if row.kind is kind]

    def _planned(self, rows: Sequence[StageRow], name: str, pick: Callable[..., date | None]) -> date | None:
        days = [day for row in rows if (day := getattr(self.planned.get(row.pk), name, None))]
        return pick(days, default=None)

    def _begun_on(self, rows: Sequence[StageRow], legs: Sequence[str]) -> date | None:
        """The day of the first work on any of the legs."""
        steps = [(row, operation.key) for row in rows for operation in row.process.operations]
        done = [
            found.at for row, key in steps for leg in legs if (found := self.mine.ledger.done_record(row, key, leg))
        ]
        return timezone.localdate(min(done), words.zone(self.mine.house)) if done else None

    def _finished_on(self, rows: Sequence[StageRow], legs: Sequence[str]) -> date | None:
        """The day the last operation of the stage was done on the last of the legs; None while one is left."""
        latest = []
        for leg in legs:
            records = [self.mine.ledger.done_record(row, row.process.operations[-1].key, leg) for row in rows]
            done = [record.at for record in records if record]
            if not done:
                return None
            latest.append(max(done))
        return timezone.localdate(max(latest), words.zone(self.mine.house)) if latest else None


# -- all of them ---------------------------------------------------------------------------------------
def _rows(needs: Sequence[Need], owned: int | None, today: date) -> list[Days]:
    """From today on."""
    number, out = today.toordinal(), []
    for stretch in stretches(needs):
        if stretch.to_day < number:
            continue
        first = max(stretch.from_day, number)
        short = 0 if owned is None else max(stretch.out - owned, 0)
        days = span(date.fromordinal(first), date.fromordinal(stretch.to_day))
        out.append(Days(days, stretch.out, short, stretch.held, first == number))
    return out


def _said(needs: Sequence[Need], owned: int | None) -> tuple[str, str]:
    """Whether they are enough, and what would help."""
    if not needs:
        return "No wall with a planned day needs braces.", ""
    worst = pool(needs, owned or 0)
    assert worst.peak_day is not None
    day = _day(date.fromordinal(worst.peak_day))
    if owned is None:
        return f"Up to {worst.peak} braces are needed at once, from {day} on.", "How many you own is not said yet."
    if not worst.short:
        return f"Enough: up to {worst.peak} of your {owned} braces are out at once, from {day} on.", ""
    first = next(s for s in stretches(needs) if s.out > owned)
    say = f"Short from {_day(date.fromordinal(first.from_day))} on, by {first.out - owned}"
    if first.from_day != worst.peak_day and worst.short > first.out - owned:
        say += f"; worst from {day} on, by {worst.short}"
    waits = " and ".join(f"“{s.house}” waits {s.days} day{'' if s.days == 1 else 's'}" for s in worst.slips)
    return f"{say}.", f"It fits if {waits}; else rent {worst.short}." if waits else f"Rent {worst.short}."


def _day(day: date) -> str:
    return f"{day:%a %b} {day.day}"


def span(first: date, last: date) -> str:
    """'Fri Nov 27', 'Fri Nov 27 to Tue Dec 8'."""
    return _day(first) if first == last else f"{_day(first)} to {_day(last)}"
