"""Weather as a table of text: a CSV with a head line, as a logger, a station or a spreadsheet writes it."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from datetime import datetime, tzinfo

from takeoff.weather.hours import MPH_PER_M_S, Hour, Series, WeatherError, celsius, local_time, series

#: A column is known by its name without unit, in small letters and with single spaces.
TIME = ("time", "date time", "datetime", "timestamp", "valid", "valid time", "at", "hour", "local time", "date")
AIR = (
    "air",
    "temp",
    "temperature",
    "air temp",
    "air temperature",
    "temperature 2m",
    "tmp",
    "dry bulb",
    "t",
    "tmpf",
    "tmpc",
)
WIND = ("wind", "wind speed", "wind speed 10m", "windspeed", "ws", "sped", "sknt", "mean wind")
GUST = ("gust", "gusts", "wind gust", "wind gusts", "wind gusts 10m", "gust mph")

#: Names that carry their unit without saying it.
IMPLIED_UNIT = {"tmpf": "f", "tmpc": "c", "sknt": "kn", "sped": "mph"}

_TEMPERATURE: dict[str, Callable[[float], float]] = {"c": float, "f": celsius, "k": lambda k: k - 273.15}
_SPEED: dict[str, float] = {
    "m/s": 1.0, "ms": 1.0, "mps": 1.0, "mph": 1 / MPH_PER_M_S, "mi/h": 1 / MPH_PER_M_S, "km/h": 1 / 3.6,
    "kmh": 1 / 3.6, "kph": 1 / 3.6, "kn": 1852 / 3600, "kt": 1852 / 3600, "knots": 1852 / 3600,
}  # fmt: skip
_UNITS = sorted({*_TEMPERATURE, *_SPEED, "degf", "degc"}, key=len, reverse=True)
_FORMATS = ("%m/%d/%Y %H:%M", "%m/%d/%Y %H:%M:%S", "%m/%d/%Y %I:%M %p", "%m/%d/%y %H:%M", "%d.%m.%Y %H:%M")


def read_csv(text: str, zone: tzinfo) -> Series:
    """Read hours from a CSV (comma, semicolon or tab) with a head line.

    Needed: a column of times and one of air temperature whose name says its unit ('temp (F)', 'air_c', 'temperature
    [°C]'). Wind and gusts are taken where they say theirs. Times without an offset are on the site's own clocks.
    Raises WeatherError naming the line and the column.
    """
    lines = [(n, line) for n, line in enumerate(text.lstrip("\ufeff").splitlines(), 1) if line.strip()]
    lines = [(n, line) for n, line in lines if not line.startswith("#")]
    if len(lines) < 2:
        raise WeatherError("A head line and at least one line of weather are needed.")
    comma = max(",;\t", key=lines[0][1].count)
    rows = [next(csv.reader([line], delimiter=comma)) for _, line in lines]
    columns = _columns(rows[0])
    out: list[Hour] = []
    for (number, _), row in zip(lines[1:], rows[1:], strict=True):
        out.append(_hour(row, columns, number, zone, out[-1].at if out else None))
    return series(out, zone, "Typed or logged hours (CSV)")


Column = tuple[int, str, str]  # place, name as written, unit


def _columns(head: list[str]) -> dict[str, Column]:
    found: dict[str, Column] = {}
    for place, written in enumerate(head):
        name, unit = _name_and_unit(written)
        for kind, names in (("time", TIME), ("air", AIR), ("wind", WIND), ("gust", GUST)):
            if name in names and kind not in found:
                found[kind] = (place, written.strip(), unit or IMPLIED_UNIT.get(name, ""))
    said = ", ".join(cell.strip() for cell in head)
    if "time" not in found:
        raise WeatherError(f"Line 1: no column of times; call one “time”. Found: {said[:120]}.")
    if "air" not in found:
        raise WeatherError(
            f"Line 1: no column of air temperature; call one “temp (F)” or “temp (C)”. Found: {said[:120]}."
        )
    for kind, units in (("air", _TEMPERATURE), ("wind", _SPEED), ("gust", _SPEED)):
        if kind in found and found[kind][2] not in units:
            wanted = "F or C" if kind == "air" else "mph, m/s, km/h or kn"
            raise WeatherError(f"Line 1: column “{found[kind][1]}” does not say its unit ({wanted}).")
    return found


def _name_and_unit(written: str) -> tuple[str, str]:
    """'Air Temp (°F)' is ('air temp', 'f'); 'wind_mph' is ('wind', 'mph')."""
    flat = re.sub(r"[_\s]+", " ", written.strip().lower().replace("°", "")).strip()
    bracket = re.search(r"[(\[]\s*([^)\]]*?)\s*[)\]]", flat)
    if bracket:
        name, unit = flat.replace(bracket.group(0), "").strip(), bracket.group(1)
    else:
        name, unit = flat, ""
        for each in _UNITS:
            tail = re.search(rf"[ ,/]+{re.escape(each)}$", flat)
            if tail:
                name, unit = flat[: tail.start()].strip(), each
                break
    return name, {"degf": "f", "degc": "c", "fahrenheit": "f", "celsius": "c"}.get(unit.replace(" ", ""), unit)


def _hour(row: list[str], columns: dict[str, Column], number: int, zone: tzinfo, before: datetime | None) -> Hour:
    def cell(kind: str) -> str:
        place = columns[kind][0] if kind in columns else len(row)
        return row[place].strip() if place < len(row) else ""

    try:
        at = _time(cell("time"), zone, before)
        air = cell("air")
        if air in ("", "M", "NA"):
            raise WeatherError("the air temperature is missing")
        to_c = _TEMPERATURE[columns["air"][2]]
        return Hour(
            at, to_c(_number(air)), _speed(cell("wind"), columns, "wind"), _speed(cell("gust"), columns, "gust")
        )
    except WeatherError as error:
        raise WeatherError(f"Line {number}: {error}") from None


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise WeatherError(f"“{text[:20]}” is no number.") from None


def _speed(text: str, columns: dict[str, Column], kind: str) -> float | None:
    return None if text in ("", "M", "NA") else _number(text) * _SPEED[columns[kind][2]]


def _time(text: str, zone: tzinfo, before: datetime | None) -> datetime:
    for read in (datetime.fromisoformat, *(lambda t, f=f: datetime.strptime(t, f) for f in _FORMATS)):  # noqa: DTZ007
        try:
            at = read(text)
        except ValueError:
            continue
        return at if at.tzinfo is not None else local_time(at, zone, before)
    raise WeatherError(f"“{text[:30]}” is no time; write it like 2027-01-05 06:00.")
