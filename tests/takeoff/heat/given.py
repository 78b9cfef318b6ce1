"""Walls and winters for the tests: a real winter's hours, and steady air."""

from __future__ import annotations

from functools import cache

import numpy as np

from takeoff.heat.outlook import Wall
from takeoff.heat.strength import usual_curve
from tests.takeoff.weather.given import winter

CORE, FOAM = 0.1524, 0.0635


@cache
def _hours() -> tuple[np.ndarray, np.ndarray]:
    hours = winter().hours
    return np.array([h.air_c for h in hours]), np.array([h.wind_m_s or 0.0 for h in hours])


def winter_air(day: int, days: int) -> np.ndarray:
    """Air [C] at Chicago O'Hare (typical year) from a day after 1 November on."""
    return _hours()[0][day * 24 : (day + days) * 24 + 1]


def winter_wind(day: int, days: int) -> np.ndarray:
    """Wind [m/s] likewise."""
    return _hours()[1][day * 24 : (day + days) * 24 + 1]


def steady_wall(air_c: float = -5.0, days: int = 7, foam: float = FOAM, **more) -> Wall:
    """A wall in unchanging air."""
    known = {"placed_c": 16.0, "curve": usual_curve(4000)} | more
    return Wall(CORE, foam, np.full(24 * days + 1, air_c), **known)
