"""One ordinary wall in an invented winter, to measure the heat model with: 28 days by the hour, covers for four."""

from __future__ import annotations

import numpy as np

from takeoff.heat.history import History
from takeoff.heat.layers import R_US, Array, Cover
from takeoff.heat.outlook import Wall, run
from takeoff.heat.strength import usual_curve

DAYS = 28


def winter_air_c(days: int = DAYS) -> Array:
    """Air [C] by whole hours: a daily swing of 10 C about a mean that goes from 0 to -12 and back in two weeks."""
    hours = np.arange(24 * days + 1, dtype=np.float64)
    air: Array = -6 + 6 * np.cos(2 * np.pi * hours / 336) + 5 * np.sin(2 * np.pi * (hours - 9) / 24)
    return air


def standard_wall(days: int = DAYS) -> Wall:
    """A core of 6 in between 2.5 in of foam, placed at 60 F, under R 2 blankets for four days, in changing wind."""
    air = winter_air_c(days)
    wind = 3 + 2 * np.sin(2 * np.pi * np.arange(len(air)) / 60)
    covers = (Cover(2 * R_US, 0.0, 96.0),)
    return Wall(
        6 * 0.0254, 2.5 * 0.0254, air, (60 - 32) / 1.8, usual_curve(4000), wind_m_s=wind, covers=covers,
        standing_c=float(air[0]), air_source="invented winter",
    )  # fmt: skip


def standard_run() -> History:
    """The wall's 28 days."""
    return run(standard_wall())
