"""From when until when a footing lies bare: hours from its pour, as asked and as far as the weather is known. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from math import ceil

from inspections.winter.conditions import FROM_NOW, Conditions
from takeoff.weather.hours import local_time, spoken, spoken_day, zone_named

#: Less than a day of frost is no answer.
LEAST_H = 24


@dataclass(frozen=True, slots=True)
class Lying:
    """A footing that lies there from ``poured``, looked at ``now``; hours of weather from then; the ground as read last
    [F]."""

    poured: datetime
    now: datetime
    known_h: int
    ground_f: float | None = None


@dataclass(frozen=True, slots=True)
class Bare:
    """First and last hour it lies bare, from the pour; ``start`` is the first by the clock, ``begin_f`` how warm the
    ground is then (None: as deep down)."""

    from_h: int
    until_h: int
    start: datetime
    begin_f: float | None
    notes: tuple[str, ...]


def bare_of(asked: Conditions, lying: Lying) -> Bare | str:
    """The hours, or the sentence why there are none. Raises WeatherError for an hour that the clocks skip."""
    notes = []
    first = 0
    if asked["bare_from"] == FROM_NOW:
        first = max(ceil(_hours(lying.poured, lying.now)), 0)
        notes.append("Looked at from now on.")
    last = lying.known_h
    if asked["bare_until"] is not None:
        zone = zone_named(asked.zone_name)
        end = local_time(datetime.combine(asked["bare_until"] + timedelta(days=1), time()), zone)
        wanted = int(_hours(lying.poured, end))
        if wanted - first < LEAST_H:
            return f"It is backfilled by {_day(end)}, less than a day after it is looked at: give a later “Bare until”."
        if wanted > last:
            notes.append(f"Bare until {_day(end)}, but the weather is known only until {_at(lying, last)}.")
        last = min(wanted, last)
    if last - first < LEAST_H:
        return (
            f"The weather is known until {_at(lying, lying.known_h)}: {LEAST_H} h of it or more, while the footing "
            "lies bare, are needed."
        )
    start = lying.poured + timedelta(hours=first)
    begin = lying.ground_f if first else None
    if begin is not None:
        notes.append(f"The ground begins as it was read last, {begin:g} °F.")
    return Bare(first, last, start, begin, (f"Bare from {spoken(start)} to {_at(lying, last)}.", *notes))


def _hours(begin: datetime, end: datetime) -> float:
    return (end.timestamp() - begin.timestamp()) / 3600


def _at(lying: Lying, hours: int) -> str:
    zone = lying.poured.tzinfo
    return spoken(datetime.fromtimestamp(lying.poured.timestamp() + hours * 3600, zone))


def _day(end: datetime) -> str:
    return spoken_day(end - timedelta(minutes=1))
