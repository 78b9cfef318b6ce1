"""Maturity: time and temperature of concrete as one number, and the readings it is worked out from.

Nurse-Saul adds up degrees above a datum; equivalent age weighs each hour by Arrhenius (both in ASTM C1074); the Model
Code has its own weights. An interval counts at the mean of the temperatures at its ends, as readings are taken.
The formulas go on below freezing; concrete there hardly does. ``counted_above_c`` leaves out intervals below it.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
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
        if not (np.isfinite(hour) and -40 <= temp <= 95):
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
    headed 'hours'. Readings before placing are left out. HeatError names the line that cannot be read.
    """
    lines = [(n, line) for n, line in enumerate(text.lstrip("\ufeff").splitlines(), 1) if line.strip()]
    lines = [(n, line) for n, line in lines if not line.startswith("#")]
    if len(lines) < 3:
        raise HeatError("A logger's file needs a head line and at least two readings.")
    comma = max(",;\t", key=lines[0][1].count)
    when, what, fahrenheit, in_hours = _columns(next(csv.reader([lines[0][1]], delimiter=comma)))
    pairs = []
    for number, line in lines[1:]:
        row = next(csv.reader([line], delimiter=comma))
        try:
            hour = float(row[when]) if in_hours else _hours_since(row[when].strip(), placed)
            pairs.append((hour, float(row[what])))
        except (ValueError, IndexError, TypeError):
            raise HeatError(f"Line {number} cannot be read as a time and a temperature: {line[:40]}.") from None
    return typed_readings([p for p in pairs if not p[0] < 0], fahrenheit, "logger file")


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


def _hours_since(text: str, placed: datetime) -> float:
    for pattern in (None, "%m/%d/%Y %H:%M", "%m/%d/%Y %H:%M:%S", "%m/%d/%Y %I:%M %p", "%m/%d/%y %H:%M"):
        try:
            at = datetime.fromisoformat(text) if pattern is None else datetime.strptime(text, pattern)  # noqa: DTZ007
        except ValueError:
            continue
        if at.tzinfo is None and placed.tzinfo is not None:
            at = at.replace(tzinfo=placed.tzinfo)
        return at.timestamp() / 3600 - placed.timestamp() / 3600
    raise ValueError(text)


def history_with(readings: Readings, hours: Array, temperature_c: Array) -> tuple[Array, Array]:
    """Readings up to the last one, the model from then on; before the first reading the model too."""
    before = hours < readings.hours[0]
    after = hours > readings.hours[-1]
    return (
        np.concatenate([hours[before], readings.hours, hours[after]]),
        np.concatenate([temperature_c[before], readings.temperature_c, temperature_c[after]]),
    )
