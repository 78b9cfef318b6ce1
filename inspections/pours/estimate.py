"""Strength of a wall from temperatures read in it: low, likely and high, for somebody to accept or not.

Each place's readings, from the last concrete placed on, are turned into an equivalent age and that into strength by the
curve of the mix (the supplier's, else a usual one, corrected by the laboratory's breaks); the weakest place counts.
Low takes the colder end of every interval, high the warmer; both take the curve's own spread besides. Where only the
core was read and the weather is known, the coldest corner counts as a place: the model says how much colder it is.
Nothing is counted after the last reading or below freezing. Without a reading the heat model of the wall stands in, by
the weather: a wider range, and it says that no probe was read. How the strength goes on from there is kept beside it:
:mod:`inspections.pours.outlook`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from inspections.ahead import Ahead
from inspections.pours.air import Around
from inspections.pours.as_poured import (
    CORES,
    CORNERS,
    FOREVER,
    PLACES,
    SUPPLIERS,
    AsPoured,
    Point,
    as_poured,
    correction_words,
    curve_of,
    mix_words,
)
from inspections.pours.models import TemperatureReading
from inspections.pours.outlook import Path, carried_on, carried_to_corner, look, modelled, reaches
from inspections.pours.queries import Records
from takeoff.site import ConcreteSpec

if TYPE_CHECKING:
    from takeoff.heat.strength import Curve

#: A place nobody read: the coldest corner, carried over from the core by the model.
CARRIED: Final = "corner"
RULE: Final = "equivalent age; low by the colder end of each interval less the spread of the curve"
NO_PROBE: Final = (
    "modelled, no probe: the heat model of the thinnest wall at its coldest corner, inputs at their worst and best"
)


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

    @property
    def curve_words(self) -> str:
        """Whose curve it is, and how the laboratory corrected it."""
        own = self.inputs["curve"] == SUPPLIERS
        said = "By the supplier's own curve." if own else "A usual curve for the strength specified, not this mix's."
        return f"{said} {self.inputs['correction']}".strip()

    @property
    def weakest_words(self) -> str:
        """The place that is weakest, '' where none was read."""
        place = self.inputs["weakest"]
        if place == CARRIED:
            return "Weakest is the coldest corner, carried over from the core by the model; nobody read it."
        return f"Weakest by what was read: {TemperatureReading.Place(place).label}." if place else ""


def estimate(own: Records, spec: ConcreteSpec, now: datetime, around: Around | None = None) -> Estimate | str:
    """The estimate, or the sentence why there is none. ``now`` is by the clock of the site."""
    poured = as_poured(own, spec, now)
    if poured is None:
        return "Strength is estimated once the last truck is written down as empty."
    return estimated(poured, around)


@lru_cache(maxsize=64)
def estimated(poured: AsPoured, around: Around | None) -> Estimate | str:
    """The same of a pour on record; the same for the same records and weather, and kept."""
    read = {place: points for place, points in poured.places.items() if place in PLACES}
    if not read:
        return _modelled(poured, around)
    curve = curve_of(poured)
    paths = {place: _path(points, poured.placed_f, curve) for place, points in read.items()}
    seen = look(poured, around) if around is not None and reaches(poured, around) else None
    core = next((place for place in CORES if place in paths), None)
    if seen is not None and core is not None and not set(paths) & set(CORNERS):
        paths[CARRIED] = carried_to_corner(paths[core], seen)
    ranges = {place: _range(path, curve) for place, path in paths.items()}
    weakest = min(ranges, key=lambda place: ranges[place][0])
    return Estimate(
        round(ranges[weakest][0]),
        round(min(likely for _, likely, _ in ranges.values())),
        round(max(high for _, _, high in ranges.values())),
        poured.placed + timedelta(hours=paths[weakest].last_h),
        {**_inputs(poured, curve), "weakest": weakest, "readings": _hourly(poured, read), "rule": RULE},
        carried_on(paths, poured, seen),
    )


def _modelled(poured: AsPoured, around: Around | None) -> Estimate | str:
    """What the weather alone says of a wall that no probe was read in, or why nothing is said."""
    found = modelled(poured, around) if around is not None else None
    if found is None and poured.now_h < 1:
        return "The last truck is empty for less than an hour: nothing can be said of its strength yet."
    if found is None:
        return (
            "No temperature in the wall is read since the last truck, and the weather is not known from then to now: "
            "nothing can be said of its strength."
        )
    (low, likely, high), ahead = found
    told = {
        **_inputs(poured, curve_of(poured)),
        "weakest": "",
        "readings": {},
        "weather": ahead.words,
        "rule": NO_PROBE,
    }
    return Estimate(round(low), round(likely), round(high), ahead.start, told, ahead)


def _inputs(poured: AsPoured, curve: Curve) -> dict[str, Any]:
    """What it was worked out from, as it is kept with the record that accepts it."""
    return {
        "placed": poured.placed.isoformat(),
        "placed_f": poured.placed_f,
        "specified_psi": poured.specified_psi,
        "mix": mix_words(poured),
        "curve": curve.name,
        "curve_points": [list(point) for point in poured.curve_points],
        "curve_factor": round(curve.factor, 4),
        "curve_spread": round(curve.spread, 4),
        "breaks": [list(each) for each in poured.breaks],
        "correction": correction_words(poured),
        "protection": [
            {name: None if value == FOREVER else value for name, value in asdict(kept).items()} for kept in poured.kept
        ],
        "loggers": [{"name": each.name, "place": each.place, "readings": each.count} for each in poured.loggers],
    }


def _hourly(poured: AsPoured, read: dict[str, tuple[Point, ...]]) -> dict[str, list[list[Any]]]:
    """Of every place the last reading of each hour: a logger's thousands stay in its file."""
    last = {place: {int(hour): (hour, f) for hour, f in points} for place, points in read.items()}
    return {
        place: [[(poured.placed + timedelta(hours=hour)).isoformat(timespec="seconds"), f] for hour, f in kept.values()]
        for place, kept in last.items()
    }


def _path(points: tuple[Point, ...], begin_f: float, curve: Curve) -> Path:
    """What was read at a place, and the ages it makes: by the colder end of each interval, its mean, its warmer end."""
    ends: tuple[Callable[[float, float], float], ...] = (min, lambda a, b: (a + b) / 2, max)
    low, likely, high = (_age_h([(0.0, begin_f), *points], end, curve) for end in ends)
    return Path(points, (low, likely, high))


def _range(path: Path, curve: Curve) -> tuple[float, ...]:
    """Low, likely and high strength [psi] at the last reading of a place."""
    parts = (1 - curve.spread, 1.0, 1 + curve.spread)
    return tuple(part * curve.psi(age) for part, age in zip(parts, path.ages, strict=True))


def _age_h(points: list[Point], end: Callable[[float, float], float], curve: Curve) -> float:
    """Equivalent age [h] at the last point, each interval taken at one temperature made of those of its ends."""
    from takeoff.heat.maturity import FREEZING_C, stepped

    parts = [((end(a, b) - 32) / 1.8, later - before) for (before, a), (later, b) in pairwise(points)]
    hours, temperatures = stepped(parts)
    return float(curve.age_rule(hours, temperatures, counted_above_c=FREEZING_C)[-1])
