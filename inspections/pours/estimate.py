"""Strength of a wall from temperatures read in it: low, likely and high, for somebody to accept or not.

Each place's readings, from the last concrete placed on, are turned into an equivalent age and that into strength by a
usual curve of the strength specified; the weakest place counts. Low takes the colder end of every interval, high the
warmer; both take the curve's own spread besides. Nothing is counted after the last reading or below freezing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Any, Final

from inspections.pours.live import accepted, last_concrete, running
from inspections.pours.models import TemperatureReading
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

    def said(self) -> dict[str, Any]:
        """Fields of the record."""
        return {
            "low_psi": self.low_psi,
            "likely_psi": self.likely_psi,
            "high_psi": self.high_psi,
            "until": self.until,
            "inputs": self.inputs,
        }


def estimate(own: Records, spec: ConcreteSpec, now: datetime) -> Estimate | str:
    """The estimate, or the sentence why there is none."""
    placed = last_concrete(own.loads, now)
    if placed is None or running(own.loads):
        return "Strength is estimated once the last truck is written down as empty."
    by_place = {place: _readings(own, place, placed) for place in PLACES}
    used = {place: readings for place, readings in by_place.items() if readings}
    if not used:
        return "No temperature in the wall is read since the last truck: nothing can be said of its strength."
    begin = placed_f(own, spec)
    ranges = {place: _range(readings, placed, begin, spec.strength_psi) for place, readings in used.items()}
    weakest = min(ranges, key=lambda place: ranges[place][0])
    return Estimate(
        round(ranges[weakest][0]),
        round(min(likely for _, likely, _ in ranges.values())),
        round(max(high for _, _, high in ranges.values())),
        used[weakest][-1].taken,
        {
            "placed": placed.isoformat(),
            "placed_f": begin,
            "specified_psi": spec.strength_psi,
            "weakest": weakest,
            "readings": {p: [[r.taken.isoformat(), r.value_f] for r in found] for p, found in used.items()},
            "curve": _curve(spec.strength_psi).name,
            "rule": "equivalent age; low by the colder end of each interval less the spread of the curve",
        },
    )


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


def _range(readings: list[TemperatureReading], placed: datetime, begin_f: float, psi: float) -> tuple[float, ...]:
    """Low, likely and high strength [psi] at the last reading of a place."""
    points = [(0.0, begin_f), *((minutes_between(placed, r.taken) / 60, r.value_f) for r in readings)]
    curve = _curve(psi)
    ends: tuple[tuple[Callable[[float, float], float], float], ...] = (
        (min, 1 - curve.spread), (lambda a, b: (a + b) / 2, 1.0), (max, 1 + curve.spread),
    )  # fmt: skip
    return tuple(part * curve.psi(_age_h(points, end, curve)) for end, part in ends)


def _age_h(points: list[tuple[float, float]], end: Callable[[float, float], float], curve: Any) -> float:
    """Equivalent age [h] at the last point, each interval taken at one temperature made of those of its ends."""
    from takeoff.heat.maturity import FREEZING_C, stepped

    parts = [((end(a, b) - 32) / 1.8, later - before) for (before, a), (later, b) in pairwise(points)]
    hours, temperatures = stepped(parts)
    return float(curve.age_rule(hours, temperatures, counted_above_c=FREEZING_C)[-1])
