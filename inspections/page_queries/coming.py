"""Pours planned for the next ten days that something is missing for: weather that was looked at, a mix agreed.

Nothing is told of a pour that has both; what is due by itself (days, words somebody waits for) is on the board already.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.db.models import Max
from django.utils import timezone

from inspections.page_queries import words
from inspections.page_queries.mine import Mine
from inspections.pours.decisions import STALE_AFTER, poured_in
from inspections.pours.kinds import POURED
from inspections.pours.models import MixAgreed
from inspections.standing import StageRow
from jobs.models import HouseStage
from jobs.weather.records import WeatherSource

#: As far ahead as an hourly forecast is worth looking at [days].
AHEAD: Final = 10


@dataclass(frozen=True, slots=True)
class Coming:
    """One pour that wants something, and its page."""

    text: str
    url: str


def told(found: Sequence[Mine], planned: Mapping[int, HouseStage], now: datetime) -> dict[int, list[Coming]]:
    """House row id -> its pours. Two queries, however many houses."""
    keys = [each.house.pk for each in found]
    seen = dict(WeatherSource.objects.filter(house__in=keys).order_by().values_list("house").annotate(Max("at")))
    mixed = set(MixAgreed.objects.filter(stage__house__in=keys).values_list("stage", flat=True))
    return {each.house.pk: _of_house(each, planned, seen.get(each.house.pk), mixed, now) for each in found}


def _of_house(
    each: Mine, planned: Mapping[int, HouseStage], seen: datetime | None, mixed: set[int], now: datetime
) -> list[Coming]:
    today = timezone.localdate(now, words.zone(each.house))
    out = []
    for row in each.ledger.stages:
        day = _pour_day(each, row, planned.get(row.pk))
        if day is None or not today <= day <= today + timedelta(days=AHEAD):
            continue
        wants = [want for want in (_weather(each, seen, now), "" if row.pk in mixed else "no mix is agreed") if want]
        if wants:
            text = f"{row.title}, pour by {day:%a %b} {day.day}: {', '.join(wants)}"
            out.append(Coming(text, words.stage_url(each.house, row)))
    return out


def _pour_day(each: Mine, row: StageRow, stage: HouseStage | None) -> date | None:
    """The last day of a stage that is poured, else its first; None where nothing of it is left to pour."""
    if stage is None or row.kind not in POURED:
        return None
    is_poured = poured_in(each.ledger)
    if all(is_poured(row.pk, leg.name) for leg in each.ledger.legs_of(row)):
        return None
    return stage.planned_end_date or stage.planned_start_date


def _weather(each: Mine, seen: datetime | None, now: datetime) -> str:
    if seen is None:
        return "no weather is given"
    if now - seen <= STALE_AFTER:
        return ""
    days = (timezone.localdate(now, words.zone(each.house)) - timezone.localdate(seen, words.zone(each.house))).days
    return f"weather looked at {days} day{'' if days == 1 else 's'} ago"
