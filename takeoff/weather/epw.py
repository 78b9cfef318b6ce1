"""Typical-year weather files: EnergyPlus weather format (EPW), 8 head lines and 35 columns an hour.

Columns used, counted from 0: 0-3 year, month, day, hour (1 to 24, the hour that ends then), 6 air [C], 7 dew point
[C], 13 sun on the level ground [Wh/m2], 21 wind [m/s], 22 sky cover [tenths], 30 snow depth [cm], 33 rain [mm].
Source of the format: EnergyPlus Auxiliary Programs, "EnergyPlus Weather File (EPW) Data Dictionary".
"""

from __future__ import annotations

import csv
from datetime import datetime, timedelta, timezone, tzinfo

from takeoff.weather.hours import Hour, Series, WeatherError, series

HEAD_LINES = 8
#: From these values on, the format says 'missing'.
MISSING = {6: 99.9, 7: 99.9, 13: 9999.0, 21: 999.0, 22: 99.0, 30: 999.0, 33: 999.0}


def read_epw(text: str, zone: tzinfo | None = None, year: int | None = None) -> Series:
    """Read an EPW file as hours.

    The file's clock is standard time all year, by the offset in its first line; ``zone`` is the site's own zone to
    show the hours in (with daylight time), by default that offset. A typical year is put together from months of
    several years: ``year`` lays them all on one, so that they follow each other. Each value stands at the end of its
    hour, as the format counts. Raises WeatherError naming the line that cannot be read.
    """
    lines = text.splitlines()
    name, clock = _location(lines)
    out = []
    for number, row in enumerate(csv.reader(lines[HEAD_LINES:]), HEAD_LINES + 1):
        if row and not _leap_day_missing(row, year):
            out.append(_hour(row, number, clock, year))
    return series(out, zone or clock, f"Typical year of {name}, hour by hour: what is usual, not a forecast")


def _location(lines: list[str]) -> tuple[str, timezone]:
    """Name and clock (offset from UTC, in hours in the file) of the first line."""
    head = lines[0].split(",") if lines else []
    if len(head) < 10 or head[0].strip().upper() != "LOCATION" or len(lines) <= HEAD_LINES:
        raise WeatherError("This is no EPW file: its first line does not begin with LOCATION.")
    try:
        clock = timezone(timedelta(hours=float(head[8])))
    except (ValueError, OverflowError):
        raise WeatherError(f"Line 1: “{head[8]}” is no offset from UTC in hours.") from None
    return head[1].strip(), clock


def _leap_day_missing(row: list[str], year: int | None) -> bool:
    """Whether a row is a 29 February that the asked year does not have."""
    leap = year is not None and (year % 4 or (not year % 100 and year % 400))
    return bool(leap) and [cell.strip() for cell in row[1:3]] == ["2", "29"]


def _hour(row: list[str], number: int, clock: timezone, year: int | None) -> Hour:
    try:
        begun = datetime(year or int(row[0]), int(row[1]), int(row[2]), int(row[3]) - 1, tzinfo=clock)
        air = _value(row, 6)
        if air is None:
            raise WeatherError(f"Line {number}: the air temperature is missing.")
        cloud = _value(row, 22)
        return Hour(
            begun + timedelta(hours=1), air, _value(row, 21), None, _value(row, 7),
            None if cloud is None else cloud / 10, _value(row, 13), _value(row, 33), _value(row, 30),
        )  # fmt: skip
    except WeatherError:
        raise
    except (ValueError, IndexError, OverflowError):
        raise WeatherError(f"Line {number} cannot be read as an hour of weather: {','.join(row)[:40]}…") from None


def _value(row: list[str], column: int) -> float | None:
    value = float(row[column])
    return None if value >= MISSING[column] else value
