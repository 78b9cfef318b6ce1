"""The weather a poured wall stands in, hour by hour from its last concrete, out of the weather records of its house."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from jobs.exceptions import Refused
from jobs.models import House
from jobs.weather import reading
from jobs.weather.records import WeatherKind
from takeoff.heat.layers import M_PER_IN, SHELTERED_M_S
from takeoff.plan import Plan
from takeoff.weather.hours import Hour, Series, WeatherError

#: Records of weather looked through, newest first, and how far it is looked ahead from the last concrete [days].
MOST_RECORDS, DAYS = 8, 28


@dataclass(frozen=True, slots=True)
class Around:
    """A wall and its weather: core and foam of the thinnest leg [m], air [C] and wind [m/s] by whole hours from the
    last concrete on, and where they are from. The first ``told_h`` of them are weather of these days, any after
    them a typical year's."""

    core_m: float
    foam_m: float
    air_c: tuple[float, ...]
    wind_m_s: tuple[float, ...]
    source: str
    told_h: int


def around(house: House, plan: Plan, legs: Iterable[str], placed: datetime | None) -> Around | None:
    """The thinnest wall of the legs, which cools soonest, in the weather of its house; None where the weather is not
    known from the last concrete on. Each hour is taken from the newest record that has it, from a typical year where
    none has."""
    leg = min((plan.leg(name) for name in legs), key=lambda each: each.core.inch)
    if placed is None:
        return None
    told, typical = _series(house, placed)
    found = [*told, *typical]
    hours = known_hours(found, placed)
    if not hours:
        return None
    return Around(
        leg.core.inch * M_PER_IN,
        plan.form(leg.form).foam.inch * M_PER_IN,
        tuple(hour.air_c for hour in hours),
        tuple(SHELTERED_M_S if hour.wind_m_s is None else hour.wind_m_s for hour in hours),
        found[0].source if len(found) == 1 else f"{found[0].source}; hours it lacks from other records",
        len(known_hours(told, placed)),
    )


def known_hours(found: Iterable[Series], placed: datetime) -> list[Hour]:
    """Hours from ``placed`` on that follow each other without a gap; of several series the first that has an hour."""
    by_hour: dict[int, Hour] = {}
    for series in found:
        for hour in series.between(placed - timedelta(hours=1), placed + timedelta(days=DAYS)):
            by_hour.setdefault(int(hour.at.timestamp() // 3600), hour)
    at, out = int(placed.timestamp() // 3600), []
    while at in by_hour:
        out.append(by_hour[at])
        at += 1
    return out


def _series(house: House, placed: datetime) -> tuple[list[Series], list[Series]]:
    """Weather of the house and its typical years, newest first; a record that cannot be read any more says nothing."""
    told: list[Series] = []
    typical: list[Series] = []
    for source in reading.of_house(house)[:MOST_RECORDS]:
        try:
            found = reading.series_of(source, placed)
        except (WeatherError, Refused):
            continue
        (typical if source.kind == WeatherKind.EPW else told).append(found)
    return told, typical
