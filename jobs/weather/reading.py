"""From kept text to hours: each kind of weather by its own reader, in the zone of the site."""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import suppress
from datetime import date, datetime
from typing import Any

from jobs.exceptions import Refused
from jobs.models import House
from jobs.weather.records import WeatherKind, WeatherSource
from takeoff.weather.csv_file import read_csv
from takeoff.weather.epw import read_epw
from takeoff.weather.forecast import read_forecast
from takeoff.weather.highs_lows import Day, from_highs_and_lows
from takeoff.weather.hours import Series, WeatherError, series, zone_named

#: Larger files are no weather of one place and year [bytes].
LARGEST = 4_000_000
#: More lines than the hours of a leap year and a head are not one file of weather.
MOST_LINES = 8_900
#: Typed days at most: ten to decide, and three that only the last of them look ahead to.
MOST_DAYS = 13
#: Records of a house that can be chosen from.
MOST_SHOWN = 40


class NoWeather(Refused):
    """Text that is no weather; the sentence says what is wrong with it."""


def text_of(content: bytes) -> str:
    """The text of an uploaded file. Raises :class:`NoWeather` for one that is too large or no text."""
    if len(content) > LARGEST:
        raise NoWeather(f"The file has {len(content):,} bytes; at most {LARGEST:,} are accepted.")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        try:
            text = content.decode("cp1252")
        except UnicodeDecodeError:
            raise NoWeather("The file is not text; choose an EPW or a CSV file of hours.") from None
    if "\0" in text:
        raise NoWeather("The file is not text; choose an EPW or a CSV file of hours.")
    return text


def kind_of(text: str) -> WeatherKind:
    """A typical-year file says LOCATION first; every other file is taken for a table of hours."""
    return WeatherKind.EPW if text.lstrip().upper().startswith("LOCATION") else WeatherKind.CSV


def written(days: list[Day]) -> str:
    """Typed days as they are kept."""
    rows = [{"on": d.on.isoformat(), "high_f": d.high_f, "low_f": d.low_f, "wind_mph": d.wind_mph} for d in days]
    return json.dumps(rows)


def days_of(text: str) -> list[Day]:
    """Typed days as :func:`written` kept them."""
    return [
        Day(date.fromisoformat(row["on"]), row["high_f"], row["low_f"], row["wind_mph"]) for row in json.loads(text)
    ]


def read(kind: str, text: str, house: House, start: datetime) -> Series:
    """The hours of a text. A typical year is laid on the year of ``start`` and the one after.

    Raises :class:`NoWeather` with the engine's sentence, which names the line.
    """
    lines = text.count("\n")
    if kind in (WeatherKind.CSV, WeatherKind.EPW) and lines > MOST_LINES:
        raise NoWeather(f"The file has {lines:,} lines; at most a year of hours is accepted, {MOST_LINES:,} lines.")
    try:
        return _read(kind, text, house.timezone, start.year)
    except WeatherError as wrong:
        raise NoWeather(str(wrong)) from None


def _read(kind: str, text: str, zone_name: str, year: int) -> Series:
    zone: Any = zone_named(zone_name)
    if kind == WeatherKind.EPW:
        first, second = (read_epw(text, zone, each) for each in (year, year + 1))
        seen = set(first.stamps)
        return series(
            (*first.hours, *(h for h, s in zip(second.hours, second.stamps, strict=True) if s not in seen)),
            zone, first.source,
        )  # fmt: skip
    if kind == WeatherKind.CSV:
        return read_csv(text, zone)
    if kind == WeatherKind.FORECAST:
        return read_forecast(text, zone)
    return from_highs_and_lows(days_of(text), zone)


#: Hours kept read, of all records together: some hundred forecasts, or a dozen typical years.
MOST_HOURS_KEPT = 300_000
#: A record (row id and time), the zone it is read in, the year a typical year is laid on.
_Key = tuple[int, datetime, str, int]
_kept: dict[_Key, Series] = {}


def series_of(source: WeatherSource, start: datetime) -> Series:
    """The hours of a record. Records never change, so what was read of one is kept for a while."""
    key = _key(source, start)
    if key not in _kept:
        kind, text = WeatherSource.objects.values_list("kind", "text").get(pk=source.pk)
        _keep(key, _read(kind, text, source.house.timezone, start.year))
    return _kept[key]


def load(sources: Iterable[WeatherSource], start: datetime) -> None:
    """Read those records that are not read yet, with one query for all of them; one that cannot be read is left to
    :func:`series_of`, which says why."""
    wanted = {source.pk: _key(source, start) for source in sources}
    missing = [pk for pk, key in wanted.items() if key not in _kept]
    if not missing:
        return
    for pk, kind, text in WeatherSource.objects.filter(pk__in=missing).values_list("pk", "kind", "text"):
        with suppress(WeatherError):
            _keep(wanted[pk], _read(kind, text, wanted[pk][2], start.year))


def _key(source: WeatherSource, start: datetime) -> _Key:
    return source.pk, source.at, source.house.timezone, start.year


def _keep(key: _Key, found: Series) -> None:
    while _kept and sum(len(each.hours) for each in _kept.values()) + len(found.hours) > MOST_HOURS_KEPT:
        _kept.pop(next(iter(_kept)), None)
    _kept[key] = found


def of_house(house: House) -> list[WeatherSource]:
    """All weather of a house without its text, latest first."""
    rows = WeatherSource.objects.filter(house=house).select_related("by", "house").defer("text")
    return list(rows[:MOST_SHOWN])
