"""How the strength of a wall grows after its last reading, as far as anything is known of its temperature then. Pure.

With the weather from the pour on, the heat model of the wall is made to follow what was read and goes on from there at
its coldest corner, colder and warmer as the weather may turn out; without, the last temperature of each place is taken
to hold, give or take :data:`HELD_C`. Age grows from what each place has by its readings; the weakest place counts.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any, Final

import numpy as np

from inspections.ahead import FITTED, HELD, MODELLED, Ahead
from inspections.pours.air import DAYS, Around

#: A temperature that is taken to hold is taken this much [C] colder and warmer besides; common practice, no source.
HELD_C: Final = 3.0
#: Strength is kept this often [h]; weather that goes less far past a reading than two steps carries nothing on.
STEP_H: Final = 6
#: Places whose readings the model is made to follow: the core, as the model has it.
CORES: Final = ("core_middle", "core_top")
#: Equivalent age [h] by hours from placing.
Age = Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class Path:
    """One place: its readings by hours from placing [h, F]; low, likely and high age [h] they make at the last."""

    points: tuple[tuple[float, float], ...]
    ages: tuple[float, float, float]

    @property
    def last_h(self) -> float:
        """Hours from placing to the last reading."""
        return self.points[-1][0]


@lru_cache(maxsize=64)
def carried_on(
    read: tuple[tuple[str, Path], ...], placed: datetime, placed_f: float, specified_psi: float, around: Around | None
) -> Ahead:
    """Strength from the last reading on, of the places read; the same for the same readings and weather, and kept."""
    from takeoff.heat.strength import usual_curve

    paths, curve = dict(read), usual_curve(specified_psi)
    last = max(path.last_h for path in paths.values())
    found = _fitted(paths, placed_f, curve, around, last)
    if found is None:
        end, by = last + DAYS * 24, HELD
        words = (
            "No weather carries the readings on (it must be known from the pour to half a day past the last): each "
            f"place is taken to hold the last temperature read, within {HELD_C * 1.8:.0f} °F."
        )
        growths = {place: _held(path, curve) for place, path in paths.items()}
    else:
        courses, end, words = found
        by, growths = FITTED, dict.fromkeys(paths, courses)
    hours = np.arange(last, end + 1e-6, STEP_H)
    bounds = (np.min, np.min, np.max)
    strength = [
        part * bounds[n]([[curve.psi(float(age)) for age in _aged(path, n, growths[place][n], hours)]
                          for place, path in paths.items()], axis=0)
        for n, part in enumerate((1 - curve.spread, 1.0, 1 + curve.spread))
    ]  # fmt: skip
    return _kept(placed, last, strength, by, words)


def modelled(
    placed: datetime, placed_f: float, specified_psi: float, around: Around, now: datetime
) -> tuple[tuple[float, float, float], Ahead] | None:
    """Low, likely and high strength [psi] of the last full hour by weather alone, and how it goes on; None where the
    weather of these days ends before it, or the concrete was never placed so cold or hot."""
    at = int((now - placed).total_seconds() // 3600)
    if not 1 <= at < around.told_h:
        return None
    found = _by_weather(placed_f, specified_psi, around)
    if found is None:
        return None
    courses, words = found
    low, likely, high = (float(course[at]) for course in courses)
    return (low, likely, high), _kept(placed, at, [course[at::STEP_H] for course in courses], MODELLED, words)


@lru_cache(maxsize=16)
def _by_weather(placed_f: float, specified_psi: float, around: Around) -> tuple[list[Any], str] | None:
    """Low, likely and high strength [psi] by whole hours from placing, and what they are worked out from."""
    from takeoff.heat.layers import HeatError
    from takeoff.heat.outlook import look_ahead
    from takeoff.heat.strength import usual_curve

    curve = usual_curve(specified_psi)
    try:
        outlook = look_ahead(_wall(around, placed_f, curve))
    except HeatError:
        return None
    words = (
        f"No probe: the heat model of the wall without covers or heat, a usual mix; {outlook.spread.words}, the curve "
        f"within {curve.spread:.0%}. {around.source}."
    )
    return [outlook.cold.psi, outlook.likely.psi, outlook.warm.psi], words


def _fitted(
    paths: Mapping[str, Path], placed_f: float, curve: Any, around: Around | None, last: float
) -> tuple[tuple[Age, Age, Age], float, str] | None:
    """Ages of the coldest corner by the model that follows the core's readings, how far they go, and in words; None
    where the weather does not carry them on."""
    if around is None or len(around.air_c) - 1 < last + 2 * STEP_H:
        return None
    from takeoff.heat.fit import POOR_C, look_ahead_fitted
    from takeoff.heat.layers import HeatError
    from takeoff.heat.maturity import Readings
    from takeoff.heat.outlook import look_ahead

    wall, core = _wall(around, placed_f, curve), next((paths[place] for place in CORES if place in paths), None)
    said = "The model of the wall goes on with the weather, without covers or heat; no reading of the core fits it."
    try:
        if core is None:
            outlook = look_ahead(wall)
        else:
            hours, degrees = (np.array(each) for each in zip(*core.points, strict=True))
            outlook, fit = look_ahead_fitted(wall, Readings(hours, (degrees - 32) / 1.8, "read in the core"))
            said = f"The model of the wall goes on with the weather, without covers or heat. {fit.words}"
            said += " It does not follow them well: read again soon." if fit.after_rms_c > POOR_C else ""
    except HeatError:
        return None
    ages = tuple(_interpolated(course.hours, course.age_h) for course in (outlook.cold, outlook.likely, outlook.warm))
    return (ages[0], ages[1], ages[2]), float(wall.hours), f"{said} {around.source}."


def _interpolated(hours: Any, age_h: Any) -> Age:
    return lambda at: np.interp(at, hours, age_h)


def _held(path: Path, curve: Any) -> tuple[Age, Age, Age]:
    """Age at the temperature read last, colder, as it is, and warmer; nothing below freezing."""
    from takeoff.heat.maturity import FREEZING_C

    def growth(off: float) -> Age:
        degrees = np.full(2, (path.points[-1][1] - 32) / 1.8 + off)
        pace = float(curve.age_rule(np.array([0.0, 1.0]), degrees, counted_above_c=FREEZING_C)[-1])
        return lambda at: pace * np.asarray(at)

    return growth(-HELD_C), growth(0.0), growth(HELD_C)


def _aged(path: Path, n: int, growth: Age, hours: Any) -> Any:
    """Age of a place: by its readings, and what it grew since."""
    return path.ages[n] + growth(hours) - growth(path.last_h)


def _wall(around: Around, placed_f: float, curve: Any) -> Any:
    from takeoff.heat.outlook import Wall

    return Wall(
        around.core_m, around.foam_m, np.array(around.air_c), (placed_f - 32) / 1.8, curve,
        wind_m_s=np.array(around.wind_m_s), air_source=around.source,
    )  # fmt: skip


def _kept(placed: datetime, from_h: float, courses: list[Any], by: str, words: str) -> Ahead:
    low, likely, high = (tuple(round(float(psi), 1) for psi in course) for course in courses)
    return Ahead(placed + timedelta(hours=from_h), float(STEP_H), low, likely, high, by, words)
