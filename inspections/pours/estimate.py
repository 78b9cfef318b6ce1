"""Strength of a wall from temperatures read in it: low, likely and high, for somebody to accept or not.

Each place's readings, from the last concrete placed on, are turned into an equivalent age and that into strength by a
usual curve of the strength specified; the weakest place counts. Low takes the colder end of every interval, high the
warmer; both take the curve's own spread besides. Nothing is counted after the last reading or below freezing. Without a
reading the heat model of the wall stands in, by the weather: a wider range, and it says that no probe was read.
How the strength goes on from there is kept beside it: :mod:`inspections.pours.outlook`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from itertools import pairwise
from typing import Any, Final

from inspections.ahead import Ahead
from inspections.pours.air import Around
from inspections.pours.live import accepted, last_concrete, running
from inspections.pours.models import TemperatureReading
from inspections.pours.outlook import Path, carried_on, modelled
from inspections.pours.queries import Records
from takeoff.pour.truck_log import minutes_between
from takeoff.site import ConcreteSpec

#: Places in the wall whose readings speak of its strength.
PLACES: Final = ("core_top", "core_middle", "north_corner", "face")


@dataclass(frozen=True, slots=True)
class Estimate:
    """Strength [psi] at ``until``, the last reading of the place that is weakest, and what it was worked out from."""

    low_psi: float
    likely_psi: float
    high_psi: float
    until: datetime
    inputs: dict[str, Any]
    ahead: Ahead

    def said(self) -> dict[str, Any]:
        """Fields of the record."""
        return {
            "low_psi": self.low_psi,
            "likely_psi": self.likely_psi,
            "high_psi": self.high_psi,
            "until": self.until,
            "inputs": self.inputs,
            "ahead": self.ahead.said(),
        }


def estimate(own: Records, spec: ConcreteSpec, now: datetime, around: Around | None = None) -> Estimate | str:
    """The estimate, or the sentence why there is none. ``now`` is by the clock of the site."""
    placed = last_concrete(own.loads, now)
    if placed is None or running(own.loads):
        return "Strength is estimated once the last truck is written down as empty."
    placed = placed.astimezone(timezone(placed.astimezone(now.tzinfo).utcoffset() or timedelta()))
    begin = placed_f(own, spec)
    by_place = {place: _readings(own, place, placed) for place in PLACES}
    used = {place: readings for place, readings in by_place.items() if readings}
    inputs: dict[str, Any] = {
        "placed": placed.isoformat(),
        "placed_f": begin,
        "specified_psi": spec.strength_psi,
        "curve": _curve(spec.strength_psi).name,
    }
    if not used:
        return _modelled(placed, begin, spec, now, around, inputs)
    curve = _curve(spec.strength_psi)
    paths = {place: _path(readings, placed, begin, curve) for place, readings in used.items()}
    ranges = {place: _range(path, curve) for place, path in paths.items()}
    weakest = min(ranges, key=lambda place: ranges[place][0])
    return Estimate(
        round(ranges[weakest][0]),
        round(min(likely for _, likely, _ in ranges.values())),
        round(max(high for _, _, high in ranges.values())),
        used[weakest][-1].taken,
        {
            **inputs,
            "weakest": weakest,
            "readings": {p: [[r.taken.isoformat(), r.value_f] for r in found] for p, found in used.items()},
            "rule": "equivalent age; low by the colder end of each interval less the spread of the curve",
        },
        carried_on(tuple(paths.items()), placed, begin, spec.strength_psi, around),
    )


def _modelled(
    placed: datetime, begin_f: float, spec: ConcreteSpec, now: datetime, around: Around | None, inputs: dict[str, Any]
) -> Estimate | str:
    """What the weather alone says of a wall that no probe was read in, or why nothing is said."""
    found = modelled(placed, begin_f, spec.strength_psi, around, now) if around is not None else None
    if found is None:
        return (
            "No temperature in the wall is read since the last truck, and the weather is not known from then to now: "
            "nothing can be said of its strength."
        )
    (low, likely, high), ahead = found
    rule = (
        "modelled, no probe: the heat model of the thinnest wall at its coldest corner, inputs at their worst and best"
    )
    told = {**inputs, "weakest": "", "readings": {}, "weather": ahead.words, "rule": rule}
    return Estimate(round(low), round(likely), round(high), ahead.start, told, ahead)


def placed_f(own: Records, spec: ConcreteSpec) -> float:
    """Temperature of the concrete as placed [F]: of the coldest truck taken, else the least that was agreed."""
    taken = [load.concrete_f for load in accepted(own.loads) if load.concrete_f is not None]
    return min(taken, default=own.mix.least_f if own.mix else spec.minimum_temperature_f)


def _readings(own: Records, place: str, placed: datetime) -> list[TemperatureReading]:
    """Of a place, one at a time, after placing."""
    found = {r.taken: r for r in own.temperatures if r.place == place and r.taken > placed}
    return [found[at] for at in sorted(found)]


def _curve(psi: float) -> Any:
    from takeoff.heat.strength import usual_curve

    return usual_curve(psi)


def _path(readings: list[TemperatureReading], placed: datetime, begin_f: float, curve: Any) -> Path:
    """What was read at a place, and the ages it makes: by the colder end of each interval, its mean, its warmer end."""
    points = tuple((minutes_between(placed, r.taken) / 60, r.value_f) for r in readings)
    ends: tuple[Callable[[float, float], float], ...] = (min, lambda a, b: (a + b) / 2, max)
    low, likely, high = (_age_h([(0.0, begin_f), *points], end, curve) for end in ends)
    return Path(points, (low, likely, high))


def _range(path: Path, curve: Any) -> tuple[float, ...]:
    """Low, likely and high strength [psi] at the last reading of a place."""
    parts = (1 - curve.spread, 1.0, 1 + curve.spread)
    return tuple(part * curve.psi(age) for part, age in zip(parts, path.ages, strict=True))


def _age_h(points: list[tuple[float, float]], end: Callable[[float, float], float], curve: Any) -> float:
    """Equivalent age [h] at the last point, each interval taken at one temperature made of those of its ends."""
    from takeoff.heat.maturity import FREEZING_C, stepped

    parts = [((end(a, b) - 32) / 1.8, later - before) for (before, a), (later, b) in pairwise(points)]
    hours, temperatures = stepped(parts)
    return float(curve.age_rule(hours, temperatures, counted_above_c=FREEZING_C)[-1])
