"""Weather as hours: one record an hour, a series in the site's own zone, and the units it is said in.

Every reader of this package hands back a :class:`Series`. Times carry their zone, so that a day of 23 or 25 hours
when the clocks change is a day like any other.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

HOUR = timedelta(hours=1)
MPH_PER_M_S = 2.2369362920544
#: Air temperatures beyond these were never measured on the ground: a slip of the unit or of the finger.
COLDEST_C, HOTTEST_C = -90.0, 60.0
STRONGEST_WIND_M_S = 115.0
YEARS = (1900, 2200)


class WeatherError(ValueError):
    """Text that is no weather; its message is a sentence fit for the person who gave it."""


def celsius(f: float) -> float:
    """Degrees C of degrees F."""
    return (f - 32) / 1.8


def fahrenheit(c: float) -> float:
    """Degrees F of degrees C, without the dust of the conversion: 40 F read and said again is 40 F, not under it."""
    return round(c * 1.8 + 32, 9)


def mph(m_s: float) -> float:
    """Miles an hour of metres a second, without the dust of the conversion."""
    return round(m_s * MPH_PER_M_S, 9)


def zone_named(name: str) -> ZoneInfo:
    """A zone of the IANA time zone database ('America/Chicago'); WeatherError where there is none of that name."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise WeatherError(f"“{name}” is no time zone; write it like America/Chicago.") from None


@dataclass(frozen=True, slots=True)
class Hour:
    """Weather at one time. ``at`` carries a zone; what is None was not given.

    Air and dew point in degrees C, wind and gusts in m/s, ``cloud`` from 0 clear to 1 overcast, ``sun_w_m2`` on the
    level ground, ``snow_cm`` lying, ``rain_mm`` fallen in the hour.
    """

    at: datetime
    air_c: float
    wind_m_s: float | None = None
    gust_m_s: float | None = None
    dew_c: float | None = None
    cloud: float | None = None
    sun_w_m2: float | None = None
    rain_mm: float | None = None
    snow_cm: float | None = None

    @property
    def air_f(self) -> float:
        """Air [F]."""
        return fahrenheit(self.air_c)

    @property
    def wind_mph(self) -> float | None:
        """Mean wind [mph]."""
        return None if self.wind_m_s is None else mph(self.wind_m_s)

    @property
    def gust_mph(self) -> float | None:
        """Gusts [mph]."""
        return None if self.gust_m_s is None else mph(self.gust_m_s)


@dataclass(frozen=True, slots=True)
class Series:
    """Hours in order of time. ``source`` says in words where they come from and by what model.

    Build it with :func:`series`, which sorts, checks and fills ``stamps``, the times in seconds since 1970.
    """

    hours: tuple[Hour, ...]
    zone: tzinfo
    source: str
    stamps: tuple[float, ...]

    def between(self, start: datetime, end: datetime) -> tuple[Hour, ...]:
        """Hours from ``start`` on and before ``end``."""
        low, high = bisect_left(self.stamps, start.timestamp()), bisect_left(self.stamps, end.timestamp())
        return self.hours[low:high]

    def at(self, when: datetime) -> Hour | None:
        """The hour that holds at a time: the last one begun, None where it is more than an hour ago or missing."""
        index = bisect_left(self.stamps, when.timestamp() + 1e-6) - 1
        if index < 0 or when.timestamp() - self.stamps[index] >= 3600:
            return None
        return self.hours[index]

    def local_dates(self) -> tuple[date, ...]:
        """Days of the site's own calendar that have hours."""
        return tuple(dict.fromkeys(h.at.astimezone(self.zone).date() for h in self.hours))

    def gaps(self) -> tuple[tuple[datetime, datetime], ...]:
        """Neighbouring hours more than an hour apart: nothing is filled in between."""
        # by the stamps: times of one zone are subtracted by their clocks, which lie when the clocks change
        late = (n for n in range(1, len(self.stamps)) if self.stamps[n] - self.stamps[n - 1] > HOUR.total_seconds())
        return tuple((self.hours[n - 1].at, self.hours[n].at) for n in late)


def series(hours: Iterable[Hour], zone: tzinfo, source: str) -> Series:
    """A checked series in its zone, sorted by time.

    Raises WeatherError where there is none, where a time carries no zone or comes twice, or where a number cannot be.
    """
    ordered = sorted((checked(h, zone) for h in hours), key=lambda h: h.at.astimezone(UTC))
    if not ordered:
        raise WeatherError("There is no hour of weather in it.")
    for before, after in pairwise(ordered):
        if before.at.astimezone(UTC) == after.at.astimezone(UTC):
            raise WeatherError(f"{spoken(before.at)} comes twice.")
    return Series(tuple(ordered), zone, source, tuple(h.at.timestamp() for h in ordered))


def checked(hour: Hour, zone: tzinfo) -> Hour:
    """The same hour in the site's zone; WeatherError where a number in it cannot be weather."""
    _year(hour.at)
    if hour.at.tzinfo is None:
        raise WeatherError(f"{hour.at:%Y-%m-%d %H:%M} says no time zone.")
    when = spoken(hour.at)
    if not COLDEST_C <= hour.air_c <= HOTTEST_C:
        raise WeatherError(f"Air of {hour.air_c:.0f} °C ({hour.air_f:.0f} °F) at {when} cannot be; check the unit.")
    for wind in (hour.wind_m_s, hour.gust_m_s):
        if wind is not None and not 0 <= wind <= STRONGEST_WIND_M_S:
            raise WeatherError(f"A wind of {mph(wind):.0f} mph at {when} cannot be; check the unit.")
    return Hour(
        hour.at.astimezone(zone), hour.air_c, hour.wind_m_s, hour.gust_m_s, hour.dew_c, hour.cloud, hour.sun_w_m2,
        hour.rain_mm, hour.snow_cm,
    )  # fmt: skip


def _year(at: datetime) -> None:
    if not YEARS[0] <= at.year <= YEARS[1]:
        raise WeatherError(f"The year {at.year} is not one of weather here.")


def spoken(when: datetime) -> str:
    """'Tue Jan 5, 6:00 am', without the platform's own words."""
    return f"{spoken_day(when)}, {clock(when)}"


def clock(when: datetime | time) -> str:
    """'6:00 am', as a site in America reads its clock."""
    return f"{when.hour % 12 or 12}:{when:%M} {'am' if when.hour < 12 else 'pm'}"


def clock_hour(hour: int) -> str:
    """A full hour of the day: '6 am', 'noon', '5 pm', 'midnight' for 0 and 24."""
    named = {0: "midnight", 12: "noon", 24: "midnight"}
    return named.get(hour) or f"{hour % 12} {'am' if hour < 12 else 'pm'}"


def clock_spans(starts: Sequence[datetime]) -> str:
    """Hours that begin at ``starts``, in order, those on end as one: '7 am to noon, 3 pm to midnight'; '' for none."""
    runs: list[list[datetime]] = []
    for at in starts:
        if runs and at.timestamp() - runs[-1][-1].timestamp() <= 3600:
            runs[-1].append(at)
        else:
            runs.append([at])
    said = [(run[0].hour, run[-1].hour + 1) for run in runs]
    return ", ".join("all day" if run == (0, 24) else f"{clock_hour(run[0])} to {clock_hour(run[1])}" for run in said)


def spoken_day(on: date) -> str:
    """'Tue Jan 5'."""
    day = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")[on.weekday()]
    months = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
    return f"{day} {months[on.month - 1]} {on.day}"


def local_time(naive: datetime, zone: tzinfo, after: datetime | None = None) -> datetime:
    """A wall-clock time as a moment of the zone.

    When the clocks go back an hour comes twice: the second one is meant where the first is not later than ``after``,
    the entry before. Raises WeatherError for a time the clocks skip in spring.
    """
    _year(naive)
    first = naive.replace(tzinfo=zone, fold=0)
    if first.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != naive:
        raise WeatherError(f"{naive:%Y-%m-%d %H:%M} does not exist there: the clocks go forward over it.")
    if after is not None and first.astimezone(UTC) <= after.astimezone(UTC):
        return naive.replace(tzinfo=zone, fold=1)
    return first
