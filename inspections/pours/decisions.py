"""Decisions to pour that still stand: what was decided, whether it holds by the newest weather, when to look again.

A decision is made again, never changed: of each leg the latest counts. It stands until its legs are poured. Whether it
holds is worked out anew on every page, from the newest weather kept that has its hours, under the conditions it was
made under; nothing of that is stored.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final
from urllib.parse import quote
from zoneinfo import ZoneInfo

from django.urls import reverse

from inspections import states
from inspections.page_queries import words
from inspections.page_queries.mine import Mine
from inspections.pours.kinds import POURED, STRICTER, is_against
from inspections.pours.models import PourDecision
from inspections.standing import Ledger, StageRow
from inspections.winter.conditions import USUAL, Conditions
from inspections.winter.guide import Answer, answer
from jobs.exceptions import Refused
from jobs.models import House, Role
from jobs.weather import reading
from jobs.weather.records import WeatherKind, WeatherSource
from takeoff.weather.hours import Series, WeatherError
from takeoff.weather.windows import HOUR_S

NO = PourDecision.Verdict.NO
#: Hours before the first concrete at which the weather is looked at again; common practice, no source.
LOOKS: Final = (48, 24, 2)
#: A forecast older than this is said to be old.
STALE_AFTER: Final = timedelta(hours=24)
#: Nobody decides on a pour longer ahead than this.
LONGEST_AHEAD: Final = timedelta(days=60)
#: Who hears of it where a decision no longer holds.
TELL: Final = "Tell plant, pump and inspector."


# -- which decisions stand -----------------------------------------------------------------------------
def of_stage(stage: int) -> list[PourDecision]:
    """All decisions of a stage that were not corrected, latest first. One query."""
    return list(_rows().filter(stage=stage))


def _rows() -> Any:
    found = PourDecision.objects.filter(replaced_by=None).select_related("by", "source__by", "source__house")
    return found.defer("source__text").order_by("-pk")


def standing(
    found: Iterable[PourDecision], is_poured: Callable[[int, str], bool]
) -> list[tuple[PourDecision, tuple[str, ...]]]:
    """Decisions, latest first, each with those of its legs that it is the latest word on and that are not poured (stage
    row id and leg)."""
    said: set[tuple[int, str]] = set()
    out = []
    for each in found:
        own = [leg for leg in each.legs if (each.stage_id, leg) not in said]
        said.update((each.stage_id, leg) for leg in own)
        left = tuple(leg for leg in own if not is_poured(each.stage_id, leg))
        if left:
            out.append((each, left))
    return out


def poured_in(ledger: Ledger) -> Callable[[int, str], bool]:
    """Whether a leg is poured in a stage, by the record of the work; true of what is no longer in the plan."""

    def is_poured(stage: int, leg: str) -> bool:
        row = ledger.stage(stage)
        if row is None or leg not in {each.name for each in ledger.legs_of(row)}:
            return True
        return ledger.is_done(row, POURED[row.kind], leg)

    return is_poured


# -- when to look again --------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Look:
    """The look that is due now, or the next one: hours before the pour, and when; None where all are past."""

    hours: int | None
    at: datetime | None
    is_due: bool


def look(first: datetime, latest: datetime, now: datetime) -> Look:
    """48, 24 and 2 h before the first concrete somebody looks at the weather and decides again. Due is the latest of
    these moments that has passed without a decision since; else the next one is told."""
    marks = [(hours, first - timedelta(hours=hours)) for hours in LOOKS]
    passed = [mark for mark in marks if mark[1] <= now]
    if passed and latest < passed[-1][1]:
        return Look(*passed[-1], is_due=True)
    ahead = next((mark for mark in marks if mark[1] > now), None)
    return Look(*ahead, is_due=False) if ahead else Look(None, None, False)


# -- what is told of one -------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Decided:
    """One standing decision as the pages show it. ``now`` is the guide's answer by the newest weather, None where the
    hours are past or it was decided not to pour."""

    decision: PourDecision
    legs: tuple[str, ...]
    on: str
    stage: str
    house: House
    url: str
    moment: datetime
    now: Answer | None
    source: WeatherSource | None

    @property
    def title(self) -> str:
        """'Go with protection'."""
        return words.upper_first(self.decision.get_verdict_display())

    @property
    def against(self) -> bool:
        """Whether it goes further than the guide's answer did."""
        return is_against(self.decision.verdict, self.decision.answer)

    @property
    def guide(self) -> str:
        """What the guide said then."""
        return self.decision.get_answer_display()

    @property
    def then(self) -> str:
        """The weather it was decided by: 'typed highs and lows of Wed Nov 25, 6:00 pm'."""
        source = self.decision.source
        return weather_words(self.house, source) if source else "weather of then, of which none was kept,"

    @property
    def hours(self) -> str:
        """'Thu Nov 26, 9:00 am to 1:00 pm'."""
        zone = ZoneInfo(self.house.timezone)
        end = self.decision.until.astimezone(zone)
        day = "" if end.date() == self.decision.first_at.astimezone(zone).date() else f"{end:%a %b} {end.day}, "
        return f"{words.moment(self.house, self.decision.first_at)} to {day}{clock(end)}"

    @property
    def by(self) -> str:
        """'Maren Oldacre, Wed Nov 25, 6:05 pm'."""
        return f"{self.decision.by}, {words.moment(self.house, self.decision.at)}"

    @property
    def on_site(self) -> str:
        """'covers on site, no heat, concrete of 60 F'."""
        kept = self.decision.conditions
        there = [name for name in ("covers", "heat") if kept.get(name)]
        parts = [" and ".join(there) + " on site" if there else "neither covers nor heat on site"]
        if kept.get("base_warm"):
            parts.append("base and forms kept warm")
        if kept.get("concrete_f") is not None:
            parts.append(f"concrete of {kept['concrete_f']:g} °F")
        return ", ".join(parts)

    @property
    def is_past(self) -> bool:
        """Whether its hours went by."""
        return self.decision.until <= self.moment

    @property
    def is_worse(self) -> bool:
        """Whether the newest weather asks for more than was decided and than the guide said then."""
        return self.now is not None and is_worse(self.decision, self.now)

    @property
    def due(self) -> tuple[str, bool]:
        """What a list of things to do says of it, and whether that is late."""
        first = words.moment(self.house, self.decision.first_at)
        verdict = "not to pour" if self.decision.verdict == NO else self.decision.get_verdict_display()
        what = f"{self.stage}: decided {verdict}, {first}"
        if self.is_worse and self.now is not None:
            return f"{what}: the newest weather says {self.now.verdict.value}, decide again", True
        if self.look.is_due:
            return f"{what}: look at the weather again", True
        return what, False

    @property
    def is_better(self) -> bool:
        """Whether it was decided not to pour and the guide no longer says so."""
        return self.now is not None and self.decision.verdict == NO and _rank(self.now.key) < _rank(NO)

    @property
    def is_newer(self) -> bool:
        """Whether weather came since it was decided."""
        return self.source is not None and self.source.pk != self.decision.source_id

    @property
    def weather(self) -> str:
        """'typed highs and lows of Nov 26, 5:00 am'."""
        return weather_words(self.house, self.source) if self.source else "no weather kept"

    @property
    def says(self) -> str:
        """Whether it holds, in a sentence or two."""
        if self.now is None:
            return ""
        newest = f"The newest weather ({self.weather})" if self.is_newer else f"The weather ({self.weather})"
        verdict = self.now.verdict.value
        if self.is_worse:
            return f"{newest} says {verdict}. Decide again. {TELL}"
        if self.is_better:
            return f"{newest} now says {verdict}: decide again if you want to pour."
        if self.is_newer:
            still = "still says" if self.now.key == self.decision.answer else "says"
            holds = "No worse than decided" if self.against else "It holds"
            return f"{holds}: {newest[0].lower()}{newest[1:]} {still} {verdict}."
        return "No newer weather is kept than it was decided by."

    @property
    def missing(self) -> str:
        """What is not on site and now asked for."""
        return self.now.lacking if self.now is not None and self.is_worse else ""

    @property
    def stale(self) -> str:
        """A sentence where the weather it goes by is old."""
        source = self.source
        if self.now is None or source is None or source.kind == WeatherKind.EPW:
            return ""
        hours = (self.moment - source.at).total_seconds() / HOUR_S
        if hours <= STALE_AFTER.total_seconds() / HOUR_S:
            return ""
        old = f"{hours:.0f} hours" if hours < 48 else f"{hours / 24:.0f} days"
        return f"This weather is {old} old: type or fetch it anew."

    @property
    def look(self) -> Look:
        """The look that is due or comes next; none after a no."""
        if self.is_past or self.decision.verdict == NO:
            return Look(None, None, False)
        return look(self.decision.first_at, self.decision.at, self.moment)

    @property
    def looks(self) -> str:
        """'Look again now: 24 h before was Wed Nov 25, 9:00 am; last look Tue Nov 24, 6:05 pm.'"""
        found, latest = self.look, words.moment(self.house, self.decision.at)
        if found.at is None:
            return f"Last look {latest}."
        at = words.moment(self.house, found.at)
        if found.is_due:
            return f"Look again now and decide: {found.hours} h before the pour was {at}; last look {latest}."
        return f"Next look {found.hours} h before the pour, {at}; last look {latest}."

    @property
    def message(self) -> str:
        """The text for plant, pump and inspector where it no longer holds or it was decided not to pour; plain letters,
        no signs a phone may lose."""
        if self.decision.verdict == NO and not self.is_past:
            first, why = "Do not batch, do not set up: we do not pour.", tuple(self.decision.reasons)
        elif self.is_worse and self.now is not None:
            stop = "Do not batch, do not set up: " if self.now.key == NO else "Changed: "
            first, why = f"{stop}the newest weather says {self.now.verdict.value}.", self.now.reasons
        else:
            return ""
        lines = [
            f"{self.house.name}, {self.stage}",
            f"Pour of {words.moment(self.house, self.decision.first_at)}",
            first,
            *(plain(reason) for reason in why[:2]),
            "We decide again and call you.",
            f"{self.decision.by}, {self.house.firm.name}",
            *([self.house.firm.phone] if self.house.firm.phone else []),
        ]
        return "\n".join(lines)

    @property
    def sms(self) -> str:
        """Opens the telephone's own message with the text in it."""
        return f"sms:?body={quote(self.message)}"


def is_worse(decision: PourDecision, now: Answer) -> bool:
    """Whether this answer asks for more than was decided and than the guide said then; never after a no."""
    decided = max(_rank(decision.verdict), _rank(decision.answer))
    return decision.verdict != NO and _rank(now.key) > decided


def _rank(key: str) -> int:
    return STRICTER.index(PourDecision.Verdict(key))


def plain(text: str) -> str:
    """A sentence as a text message takes it."""
    return text.replace(" °F", " F")


def clock(at: datetime) -> str:
    """'1:00 pm'."""
    return f"{at:%I:%M}".lstrip("0") + (" am" if at.hour < 12 else " pm")


def weather_words(house: House, source: WeatherSource) -> str:
    """'typed highs and lows of Wed Nov 25, 5:00 am'."""
    return f"{source.get_kind_display()} of {words.moment(house, source.at)}"


# -- for the pages -------------------------------------------------------------------------------------
def told(each: Mine, now: datetime, stage: StageRow, legs: Sequence[str] = ()) -> list[Decided]:
    """Standing decisions of a stage (and legs of it), those whose hours are past last. One query where nothing stands,
    else three."""
    left = standing(of_stage(stage.pk), poured_in(each.ledger))
    left = [(row, own) for row, own in left if not legs or set(own) & set(legs)]
    found = _told([(each, left)], now)[each.house.pk]
    return sorted(found, key=lambda row: (row.is_past, row.decision.first_at))


def told_of(houses: Iterable[Mine], now: datetime) -> dict[int, list[Decided]]:
    """House row id -> its standing decisions that lie ahead, soonest first. One query where nothing stands, else three,
    however many houses."""
    mine = {each.house.pk: each for each in houses}
    found: dict[int, list[PourDecision]] = {key: [] for key in mine}
    for row in _rows().filter(house__in=mine, at__gte=now - LONGEST_AHEAD):
        found[row.house_id].append(row)
    left = [
        (mine[key], [pair for pair in standing(rows, poured_in(mine[key].ledger)) if pair[0].until > now])
        for key, rows in found.items()
    ]
    out = _told(left, now)
    return {key: sorted(out[key], key=lambda row: row.decision.first_at) for key in mine}


#: A decision with its legs.
_Pair = tuple[PourDecision, tuple[str, ...]]


def _told(left: Sequence[tuple[Mine, Sequence[_Pair]]], now: datetime) -> dict[int, list[Decided]]:
    ahead = [row for _, pairs in left for row, _ in pairs if row.until > now]
    sources = _sources(ahead)
    chosen = {row.pk: newest(sources.get(row.house_id, ()), row) for row in ahead}
    reading.load([source for source in chosen.values() if source is not None], now)
    return {each.house.pk: list(_rows_of(each, pairs, chosen, now)) for each, pairs in left}


def _sources(ahead: Sequence[PourDecision]) -> dict[int, list[WeatherSource]]:
    """House row id -> its weather that reaches to the hours decided on, latest first, without its text. One query."""
    out: dict[int, list[WeatherSource]] = {}
    if not ahead:
        return out
    first = min(row.first_at for row in ahead)
    found = WeatherSource.objects.filter(house__in={row.house_id for row in ahead}, last_at__gte=first)
    for source in found.select_related("by", "house").defer("text"):
        out.setdefault(source.house_id, []).append(source)
    return out


def _rows_of(
    each: Mine, pairs: Iterable[_Pair], chosen: Mapping[int, WeatherSource | None], now: datetime
) -> Iterator[Decided]:
    for row, own in pairs:
        stage = each.ledger.stage(row.stage_id)
        assert stage is not None
        source = chosen.get(row.pk)
        url = reverse("inspections:weather_decide", args=[each.house.pk, stage.pk])
        found = anew(row, source, each.house.timezone, now) if row.until > now else None
        yield Decided(row, own, words.where(own), stage.title, each.house, url, now, found, source)


def newest(sources: Iterable[WeatherSource], decision: PourDecision) -> WeatherSource | None:
    """The newest weather that has the hours decided on; a typical year is no news. Else the one it was decided by."""
    last = decision.until - timedelta(hours=1)
    return next(
        (s for s in sources if s.first_at and s.last_at and s.first_at <= decision.first_at and s.last_at >= last),
        decision.source,
    )


def anew(decision: PourDecision, source: WeatherSource | None, zone: str, now: datetime) -> Answer:
    """The guide's answer by this weather, under the conditions of the decision. ``now`` says on which year a typical
    year is laid; it goes on into the next."""
    series: Series | None = None
    if source is not None:
        try:
            series = reading.series_of(source, now)
        except (WeatherError, Refused):
            series = None
    asked = Conditions(decision.conditions, USUAL, zone)
    return answer(series, asked, decision.first_at, decision.until)


def other_pours(houses: Iterable[Mine], house: House, stage: int) -> list[tuple[str, str]]:
    """Pours of the builder's houses whose gate is open and that could take the crew instead: name and where the weather
    is looked at for them."""
    out = []
    for each in houses:
        if Role.BUILDER not in each.roles:
            continue
        for move in states.next_moves(each.ledger):
            here = each.house.pk == house.pk and move.stage.pk == stage
            if move.operation is not None and move.is_open and not here and move.operation.key in POURED.values():
                url = reverse("inspections:weather", args=[each.house.pk, move.stage.pk])
                out.append((f"{each.house.name}: {move.stage.title}, {move.section_name}", url))
    return list(dict.fromkeys(out))
