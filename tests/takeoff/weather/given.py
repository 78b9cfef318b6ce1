"""Weather for the tests: a real winter (its source stands in the file), and made-up hours."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

from takeoff.weather.csv_file import read_csv
from takeoff.weather.hours import Hour, Series, celsius, series

DATA = Path(__file__).parent / "data"
CHICAGO = ZoneInfo("America/Chicago")
NOON = datetime(2027, 1, 5, 12, tzinfo=CHICAGO)


@cache
def winter() -> Series:
    """November to February at Chicago O'Hare, typical meteorological year 3."""
    return read_csv((DATA / "ohare_tmy3_winter.csv").read_text(encoding="utf-8"), CHICAGO)


def steady(air_f: list[float], start: datetime = NOON, wind_m_s: float | None = 2.0) -> Series:
    """One hour after another of the given air temperatures [F]."""
    begin = start.astimezone(UTC)
    hours = (Hour(begin + timedelta(hours=n), celsius(air), wind_m_s) for n, air in enumerate(air_f))
    return series(hours, CHICAGO, "made up")
