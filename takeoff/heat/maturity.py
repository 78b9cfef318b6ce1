"""Maturity: time and temperature of concrete as one number, and the readings it is worked out from.

Nurse-Saul adds up degrees above a datum; equivalent age weighs each hour by Arrhenius (both in ASTM C1074); the Model
Code has its own weights. An interval counts at the mean of the temperatures at its ends, as readings are taken.
The formulas go on below freezing; concrete there hardly does. ``counted_above_c`` leaves out intervals below it.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from itertools import pairwise
from typing import Protocol

import numpy as np

from takeoff.heat.layers import Array, HeatError
from takeoff.sources import Source

C1074 = Source("ASTM C1074", "", "Annex and X1: datum 0 °C, Q 5000 K, reference 20 °C", seen=False)
NURSE_SAUL = Source("Nurse-Saul maturity", "", "as in a worked exam question")
MODEL_CODE_AGE = Source("fib Model Code 2010", "", "Eq. 5.1-85, as the structuralcodes tests have it")
#: Datum [C] for Type I cement without admixtures between 0 and 40 C; older practice is -10 C.
DATUM_C = 0.0
#: Activation energy by the gas constant [K], and the temperature at which the age is told [C].
Q_K, REFERENCE_C = 5000.0, 20.0
KELVIN = 273.15
#: Below this nothing is counted where a wall is judged [C].
FREEZING_C = 0.0
EVERYTHING = -1000.0
#: No probe in concrete reads outside of these [C].
COLDEST_READ_C, HOTTEST_READ_C = -40.0, 95.0
#: Years that a logger's clock may show.
FIRST_YEAR, LAST_YEAR = 2000, 2199


class AgeRule(Protocol):
    """Makes equivalent ages [h] up to each reading out of hours and temperatures [C]."""

    def __call__(self, hours: Array, temperature_c: Array, *, counted_above_c: float = ...) -> Array: ...


def _intervals(hours: Array, temperature_c: Array) -> tuple[Array, Array]:
    """Length [h] and mean temperature [C] of each interval; HeatError where readings are no history."""
    if len(hours) != len(temperature_c) or len(hours) < 2:
        raise HeatError("A history needs at least two readings, each with a time and a temperature.")
    lengths = np.diff(hours)
    if not np.all(lengths > 0) or not np.all(np.isfinite(temperature_c)):
        raise HeatError("Readings must follow each other in time, each with a number.")
    return lengths, (temperature_c[:-1] + temperature_c[1:]) / 2


def _added_up(parts: Array) -> Array:
    return np.concatenate([[0.0], np.cumsum(parts)])


def nurse_saul(
    hours: Array, temperature_c: Array, datum_c: float = DATUM_C, counted_above_c: float = EVERYTHING
) -> Array:
    """Sum of (T - datum) dt up to each reading [C h]; an interval below the datum adds nothing."""
    lengths, mean = _intervals(hours, temperature_c)
    return _added_up(np.where(mean < counted_above_c, 0.0, np.maximum(mean - datum_c, 0.0)) * lengths)


def equivalent_age(
    hours: Array,
    temperature_c: Array,
    q_k: float = Q_K,
    reference_c: float = REFERENCE_C,
    counted_above_c: float = EVERYTHING,
) -> Array:
    """Hours at the reference temperature that bring as much, up to each reading: sum of exp(-Q (1/T - 1/Tr)) dt."""
    lengths, mean = _intervals(hours, temperature_c)
    kelvin = mean + KELVIN
    weight = np.exp(-q_k * (1 / kelvin - 1 / (reference_c + KELVIN)))
    return _added_up(np.where(mean < counted_above_c, 0.0, weight) * lengths)


def model_code_age(hours: Array, temperature_c: Array, counted_above_c: float = EVERYTHING) -> Array:
    """Hours at 20 C by the Model Code: sum of exp(13.65 - 4000/(273 + T)) dt, up to each reading."""
    lengths, mean = _intervals(hours, temperature_c)
    return _added_up(np.where(mean < counted_above_c, 0.0, np.exp(13.65 - 4000.0 / (273.0 + mean))) * lengths)


def stepped(parts: Sequence[tuple[float, float]]) -> tuple[Array, Array]:
    """A history of steps (temperature [C], hours) as readings at both ends of each step, a second apart at a jump."""
    hours: list[float] = []
    temps: list[float] = []
    now = 0.0
    for temperature, length in parts:
        if not length > 0:
            raise HeatError("A step of a history needs hours.")
        hours += [now + (1e-9 if hours else 0.0), now + length]
        temps += [temperature, temperature]
        now += length
    return np.array(hours), np.array(temps)


# -- readings -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """Measured concrete temperatures [C] by hours from placing, in order; where they come from."""

    hours: Array
    temperature_c: Array
    source: str


def typed_readings(pairs: Sequence[tuple[float, float]], fahrenheit: bool = True, source: str = "typed") -> Readings:
    """Readings typed as (hours from placing, temperature); HeatError naming the one that cannot be."""
    hours = np.array([float(h) for h, _ in pairs])
    temps = np.array([float(t) for _, t in pairs])
    temps = (temps - 32) / 1.8 if fahrenheit else temps
    for n, (hour, temp) in enumerate(zip(hours, temps, strict=True), 1):
        if not (np.isfinite(hour) and COLDEST_READ_C <= temp <= HOTTEST_READ_C):
            raise HeatError(f"Reading {n}: concrete of {temp:.0f} °C ({temp * 1.8 + 32:.0f} °F) cannot be.")
        if n > 1 and not hour > hours[n - 2]:
            raise HeatError(f"Reading {n} is not later than the one before.")
        if hour < 0:
            raise HeatError(f"Reading {n} was taken before placing.")
    if len(hours) < 2:
        raise HeatError("At least two readings are needed.")
    return Readings(hours, temps, source)


def read_logger(text: str, placed: datetime) -> Readings:
    """A logger's file: CSV with a head line, a column of times and one of temperatures that says F or C.

    Times are dates and clock times without a zone on the clock of ``placed``, or hours from placing in a column
    headed 'hours'. Readings before placing are left out; of two at one time the later line counts. Clocks that change
    in the file: :func:`_on_clock`. HeatError names the line that cannot be read.
    """
    rows, fahrenheit = _rows(text, placed)
    pairs: list[tuple[float, float]] = []
    for number, hour, value, line in rows:
        celsius = (value - 32) / 1.8 if fahrenheit else value
        if not (math.isfinite(hour) and COLDEST_READ_C <= celsius <= HOTTEST_READ_C):
            raise HeatError(
                f"Line {number}: concrete of {value:g} °{'F' if fahrenheit else 'C'} cannot be: {line[:40]}."
            )
        if pairs and hour < pairs[-1][0]:
            raise HeatError(f"Line {number} is not later than the line before it: {line[:40]}.")
        if pairs and hour == pairs[-1][0]:
            pairs.pop()
        pairs.append((hour, value))
    return typed_readings([p for p in pairs if not p[0] < 0], fahrenheit, "logger file")


def logger_begins(text: str, placed: datetime) -> datetime | None:
    """When the first reading of a logger's file was taken, on the clock of ``placed``; None where it counts hours.

    Raises HeatError as :func:`read_logger`.
    """
    lines = _lines(text)
    comma, (when, what, _, in_hours) = _head(lines)
    return None if in_hours else _times(lines[1:2], comma, when, what, placed)[0][1]


#: A line's number and words.
_Numbered = tuple[int, str]


def _lines(text: str) -> list[_Numbered]:
    """Numbered lines that say something, the head line first."""
    lines = [(n, line) for n, line in enumerate(text.lstrip("\ufeff").splitlines(), 1) if line.strip()]
    lines = [(n, line) for n, line in lines if not line.startswith("#")]
    if len(lines) < 3:
        raise HeatError("A logger's file needs a head line and at least two readings.")
    return lines


def _head(lines: list[_Numbered]) -> tuple[str, tuple[int, int, bool, bool]]:
    """What parts the columns, and what :func:`_columns` finds in the head line."""
    comma = max(",;\t", key=lines[0][1].count)
    return comma, _columns(_cells(*lines[0], comma))


def _rows(text: str, placed: datetime) -> tuple[list[tuple[int, float, float, str]], bool]:
    """Number of the line, hours from placing, value, the line; whether values are F."""
    lines = _lines(text)
    comma, (when, what, fahrenheit, in_hours) = _head(lines)
    if in_hours:
        hours = _split(lines[1:], comma, when, what)
        return [(n, _number(at, n, line), value, line) for n, at, value, line in hours], fahrenheit
    times = _times(lines[1:], comma, when, what, placed)
    begin = placed.timestamp() / 3600
    rows = zip(times, _on_clock([at for _, at, _, _ in times], placed), strict=True)
    return [(n, at.timestamp() / 3600 - begin, value, line) for (n, _, value, line), at in rows], fahrenheit


def _split(lines: list[_Numbered], comma: str, when: int, what: int) -> list[tuple[int, str, float, str]]:
    """Number of the line, its time as written, its value, the line."""
    out = []
    for number, line in lines:
        row = _cells(number, line, comma)
        if max(when, what) >= len(row):
            raise _unread(number, line)
        out.append((number, row[when].strip(), _number(row[what], number, line), line))
    return out


def _cells(number: int, line: str, comma: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=comma), [])
    except csv.Error:
        raise _unread(number, line) from None


def _number(text: str, number: int, line: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise _unread(number, line) from None


def _unread(number: int, line: str) -> HeatError:
    return HeatError(f"Line {number} cannot be read as a time and a temperature: {line[:40]}.")


def _times(
    lines: list[_Numbered], comma: str, when: int, what: int, placed: datetime
) -> list[tuple[int, datetime, float, str]]:
    """As :func:`_split`, with times read; without a zone where the file gives none and ``placed`` has none to add."""
    out = []
    for number, text, value, line in _split(lines, comma, when, what):
        at = _clock_time(text)
        if at is None and re.fullmatch(r"\d+([.,]\d+)?", text.strip()):
            raise HeatError(
                f"Line {number}: “{text.strip()}” is no time; name the column “hours” where it counts hours."
            )
        if at is None:
            raise _unread(number, line)
        out.append((number, at if at.tzinfo or not placed.tzinfo else at.replace(tzinfo=placed.tzinfo), value, line))
    return out


def _clock_time(text: str) -> datetime | None:
    for pattern in (None, "%m/%d/%Y %H:%M", "%m/%d/%Y %H:%M:%S", "%m/%d/%Y %I:%M %p", "%m/%d/%y %H:%M"):
        try:
            at = datetime.fromisoformat(text) if pattern is None else datetime.strptime(text, pattern)  # noqa: DTZ007
        except ValueError:
            continue
        return at if FIRST_YEAR <= at.year <= LAST_YEAR else None
    return None


def _on_clock(times: list[datetime], placed: datetime) -> list[datetime]:
    """Times of a logger whose clocks may have changed while it read, as moments.

    Its clock follows the site's where the file shows it: an hour written twice in autumn, none written in the hour
    left out in spring. Otherwise (autumn without an hour twice, spring with times that never were) it stayed as it was
    set at its first reading. Where a file of few readings does not show it, this takes the shorter of the two spans,
    which counts less warmth. Times with a zone of their own are left alone.
    """
    zone = placed.tzinfo
    if zone is None or not times or any(at.tzinfo is not zone for at in times):
        return times
    plain = [at.replace(tzinfo=None) for at in times]
    back = [before > after for before, after in pairwise(plain)]
    twice = [at.replace(fold=1).utcoffset() != at.utcoffset() and _was(at, zone) for at in times]
    repeats = any(b and t for b, t in zip(back, twice[1:], strict=True))
    offsets = [at.utcoffset() or timedelta() for at in times]
    falls = any(before > after for before, after in pairwise(offsets))
    if all(_was(at, zone) for at in times) and (repeats or not falls):
        out, second = [], False
        for at, is_back, is_twice in zip(times, [False, *back], twice, strict=True):
            second = is_twice and (second or is_back)
            out.append(at.replace(fold=int(second)))
        return out
    kept = timezone(offsets[0])
    return [at.replace(tzinfo=kept) for at in plain]


def _was(at: datetime, zone: tzinfo) -> bool:
    """Whether the clocks of a zone ever showed this time: not in the hour left out in spring."""
    return at.astimezone(UTC).astimezone(zone).replace(tzinfo=None, fold=0) == at.replace(tzinfo=None, fold=0)


def _columns(head: list[str]) -> tuple[int, int, bool, bool]:
    """Places of time and temperature, whether it is F, whether time is hours."""
    names = [re.sub(r"[\s_]+", " ", cell.strip().lower().replace("°", "")) for cell in head]
    when = next((n for n, name in enumerate(names) if re.match(r"(time|date|hour|at\b|elapsed)", name)), None)
    what = next(
        (n for n, name in enumerate(names) if n != when and re.match(r"(temp|concrete|probe|core)", name)), None
    )
    if when is None or what is None:
        raise HeatError("Line 1: columns named “time” and “temp (F)” or “temp (C)” are needed.")
    unit = re.search(r"\b(f|c|fahrenheit|celsius|degf|degc)\b", names[what])
    if unit is None:
        raise HeatError(f"Line 1: column “{head[what].strip()}” does not say whether it is F or C.")
    return when, what, "f" in unit.group(1).replace("degc", "c"), names[when].startswith(("hour", "elapsed"))


def history_with(readings: Readings, hours: Array, temperature_c: Array) -> tuple[Array, Array]:
    """Readings up to the last one, the model from then on; before the first reading the model too."""
    before = hours < readings.hours[0]
    after = hours > readings.hours[-1]
    return (
        np.concatenate([hours[before], readings.hours, hours[after]]),
        np.concatenate([temperature_c[before], readings.temperature_c, temperature_c[after]]),
    )
