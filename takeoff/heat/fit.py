"""The model made to follow a wall's own readings: heat of the mix and its pace, each by one factor."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from takeoff.heat.conduction import simulate, start
from takeoff.heat.layers import Array, HeatError
from takeoff.heat.maturity import Readings
from takeoff.heat.outlook import Outlook, Spread, Wall, look_ahead
from takeoff.problems import Problem, Severity

#: Factors may go this far from 1, and are held back by this (in parts) as if a reading were off by a degree for it.
LEAST, MOST, PRIOR = 0.5, 2.0, 0.25
#: With fewer readings, or fewer hours of them, the pace is not fitted.
PACE_READINGS, PACE_HOURS = 6, 18.0
#: A fitted model that still misses by more than this [C] does not describe the wall.
POOR_C = 2.5
LEAST_HEAT_SPREAD = 0.03


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """The wall with its fitted hydration; factors, and how far the model missed the readings [C, root mean square]."""

    wall: Wall
    heat: float
    pace: float
    before_rms_c: float
    after_rms_c: float
    worst_c: float
    words: str
    problems: tuple[Problem, ...]


def fit(wall: Wall, readings: Readings) -> Fitted:
    """Fit heat and pace of hydration to readings in the core.

    Least squares, with both factors held near 1 as far as few readings cannot tell better. HeatError where no reading
    lies within the hours of air.
    """
    from scipy.optimize import least_squares

    use = readings.hours <= wall.hours
    if not np.any(use):
        raise HeatError("No reading lies within the hours the air is known for.")
    hours, measured = readings.hours[use], readings.temperature_c[use]
    with_pace = len(hours) >= PACE_READINGS and hours[-1] - hours[0] >= PACE_HOURS
    size = 2 if with_pace else 1

    def miss(logs: Array) -> Array:
        heat, pace = math.exp(logs[0]), math.exp(logs[1]) if with_pace else 1.0
        return np.concatenate([_core_at(wall, hours, heat, pace) - measured, logs / PRIOR])

    bound = (np.full(size, math.log(LEAST)), np.full(size, math.log(MOST)))
    found = least_squares(miss, np.zeros(size), bounds=bound, diff_step=1e-3, xtol=1e-3, ftol=1e-3)
    heat, pace = math.exp(found.x[0]), math.exp(found.x[1]) if with_pace else 1.0
    before = _core_at(wall, hours, 1.0, 1.0) - measured
    after = np.asarray(found.fun[: len(hours)], dtype=np.float64)
    rms = [float(np.sqrt((e**2).mean())) for e in (before, after)]
    worst = float(np.abs(after).max())
    fitted = replace(wall, hydration=wall.reaction.scaled(heat, 1 / pace))
    words = (
        f"{len(hours)} reading{'s' if len(hours) > 1 else ''}: the mix gives x {heat:.2f} the heat"
        + (f" at x {pace:.2f} the pace" if with_pace else "")
        + f". The model missed by {rms[0] * 1.8:.1f} °F before and misses by {rms[1] * 1.8:.1f} °F after fitting."
    )
    return Fitted(fitted, heat, pace, rms[0], rms[1], worst, words, _problems(heat, pace, rms[1], worst))


def look_ahead_fitted(wall: Wall, readings: Readings, spread: Spread | None = None) -> tuple[Outlook, Fitted]:
    """Fit, then look ahead: readings stand where they are, the fitted model goes on from the last of them.

    What the readings told of the heat is no longer spread: it is as uncertain as the fit misses, in parts of the
    rise measured, and no less than 3 %.
    """
    found = fit(wall, readings)
    spread = spread or Spread()
    rise = max(float(readings.temperature_c.max()) - wall.placed_c, 1.0)
    heat = min(max(found.after_rms_c / rise, LEAST_HEAT_SPREAD), spread.heat)
    return look_ahead(found.wall, replace(spread, heat=heat), readings), found


def _core_at(wall: Wall, hours: Array, heat: float, pace: float) -> Array:
    """The model's core at hours, for factors; no further than the last one."""
    last = min(max(math.ceil(hours[-1]), 1), wall.hours)
    body = replace(wall, hydration=wall.reaction.scaled(heat, 1 / pace)).body()
    standing = float(wall.air_c[0]) if wall.standing_c is None else wall.standing_c
    history = simulate(body, start(body, wall.placed_c, standing), last)
    return np.interp(hours, history.hours, history.core_c)


def _problems(heat: float, pace: float, rms_c: float, worst_c: float) -> tuple[Problem, ...]:
    out = []
    if not LEAST * 1.02 < heat < MOST / 1.02 or not LEAST * 1.02 < pace < MOST / 1.02:
        said = "The readings ask for a mix unlike any usual one: check the probe, the air and what was delivered."
        out.append(Problem(Severity.WARNING, said))
    if rms_c > POOR_C:
        said = (
            f"Even fitted, the model misses the readings by {rms_c * 1.8:.0f} °F (worst {worst_c * 1.8:.0f} °F): go by "
        )
        out.append(Problem(Severity.WARNING, said + "the readings, not by what it foretells."))
    return tuple(out)
