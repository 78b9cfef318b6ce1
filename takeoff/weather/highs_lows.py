"""Hours from typed highs and lows: what a person has when there is no file, from the radio or the paper.

The model: the day's low stands at 06:00 and its high at 15:00 on the site's clocks, and the air goes from each to the
next along half a cosine wave; before the first low and after the last high it stays where it is. Common practice for
cold days without a front; a front passing at noon is not in two numbers a day. It is said with the series.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise
from math import cos, pi

from takeoff.weather.hours import HOUR, Hour, Series, WeatherError, celsius, series, spoken_day

LOW_AT, HIGH_AT = time(6), time(15)
MODEL = "Typed highs and lows; hours between on half a cosine wave, low at 6 am and high at 3 pm"


@dataclass(frozen=True, slots=True)
class Day:
    """High and low of one day [F], and its wind [mph] where it is known."""

    on: date
    high_f: float
    low_f: float
    wind_mph: float | None = None


def from_highs_and_lows(days: Sequence[Day], zone: tzinfo) -> Series:
    """Every hour of the days typed, from the first midnight to the last.

    Days may be typed in any order and must follow each other. Raises WeatherError where one is missing, comes twice or
    has its low above its high.
    """
    ordered = sorted(days, key=lambda day: day.on)
    _check(ordered)
    knots = [knot for day in ordered for knot in _knots(day, zone)]
    wind = {day.on: None if day.wind_mph is None else day.wind_mph * 0.44704 for day in ordered}
    at = _midnight(ordered[0].on, zone)
    end = _midnight(ordered[-1].on + timedelta(days=1), zone)
    hours = []
    while at < end:
        local = at.astimezone(zone)
        hours.append(Hour(local, celsius(air_between(knots, at)), wind[local.date()]))
        at += HOUR
    return series(hours, zone, MODEL)


def air_between(knots: Sequence[tuple[datetime, float]], at: datetime) -> float:
    """Air at a time between known highs and lows, along half a cosine wave between neighbours."""
    if at <= knots[0][0]:
        return knots[0][1]
    for (t0, a), (t1, b) in pairwise(knots):
        if at <= t1:
            return (a + b) / 2 + (a - b) / 2 * cos(pi * ((at - t0) / (t1 - t0)))
    return knots[-1][1]


def _check(days: Sequence[Day]) -> None:
    if not days:
        raise WeatherError("Type the high and the low of at least one day.")
    for day in days:
        if day.low_f > day.high_f:
            said = f"the low of {day.low_f:g} °F is above the high of {day.high_f:g} °F."
            raise WeatherError(f"{spoken_day(day.on)}: {said}")
    for before, after in pairwise(days):
        if after.on == before.on:
            raise WeatherError(f"{spoken_day(after.on)} is typed twice.")
        if after.on - before.on != timedelta(days=1):
            raise WeatherError(f"{spoken_day(before.on + timedelta(days=1))} is missing between the days typed.")


def _knots(day: Day, zone: tzinfo) -> tuple[tuple[datetime, float], ...]:
    pairs = ((LOW_AT, day.low_f), (HIGH_AT, day.high_f))
    return tuple((datetime.combine(day.on, clock, zone).astimezone(UTC), air) for clock, air in pairs)


def _midnight(on: date, zone: tzinfo) -> datetime:
    return datetime.combine(on, time(), zone).astimezone(UTC)
