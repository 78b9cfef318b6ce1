"""Where two faces of concrete meet: the edge of a footing, the top of a wall.

Exact for plain cooling: the temperature where two faces meet is the product of what each alone would leave (the product
solution of conduction). With heat of hydration it is an allowance, applied to the run that holds that heat.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from takeoff.heat.conduction import simulate, start
from takeoff.heat.history import History
from takeoff.heat.hydration import Hydration
from takeoff.heat.layers import CONCRETE, Array, Body, HeatError, Layer, Material, Side
from takeoff.sources import Source

PRODUCT = Source("Cengel and Ghajar, Heat and Mass Transfer", "", "4-4 product solution for several dimensions")
#: Concrete below the top of a wall that its top is worked out with [m].
TOP_DEPTH_M = 0.6
#: Closer to the air than this [K] a ratio of differences says nothing.
NEAR_K = 1.0


def mean_air_c(air_c: Array, hours: int = 24) -> Array:
    """Mean air [C] of the hours up to each one."""
    total = np.concatenate([[0.0], np.cumsum(air_c)])
    n = np.arange(len(air_c))
    first = np.maximum(n - hours + 1, 0)
    return np.asarray((total[1:] - total[first]) / (n - first + 1), dtype=np.float64)


def left_c(face_c: Array, middle_c: Array, air_c: Array) -> Array:
    """Part of the distance to the air [0 to 1] that a face keeps of its middle's; 1 where the middle is no warmer than
    the air."""
    distance = middle_c - air_c
    part = np.divide(face_c - air_c, distance, out=np.ones_like(distance), where=distance > NEAR_K)
    return np.clip(part, 0.0, 1.0)


def edge_c(face_c: Array, other_face_c: Array, other_middle_c: Array, air_c: Array) -> Array:
    """Temperature [C] where a face meets another face that leaves only a part of the warmth of its own middle."""
    mean = mean_air_c(air_c)
    return np.asarray(air_c + (face_c - air_c) * left_c(other_face_c, other_middle_c, mean), dtype=np.float64)


def top_of_wall_c(
    wall: History, top: Side, placed_c: float, hydration: Hydration, concrete: Material = CONCRETE
) -> Array:
    """Temperature [C] of the middle of a wall's top: a column of concrete under ``top`` (its air, wind and covers), the
    warmth of which is lost besides through both faces, as in the run of the wall."""
    body = Body((Layer(concrete, TOP_DEPTH_M, 24),), top, replace(top, closed=True), hydration)
    hours = len(wall.hours) - 1
    column = simulate(body, start(body, placed_c, placed_c), hours)
    air = np.asarray(top.air_c[: hours + 1], dtype=np.float64)
    return edge_c(column.surface_c[:, 0], wall.core_c, column.temperature_c[:, -1], air)


def footing_edge_c(
    footing: History, width_m: float, side: Side, placed_c: float, hydration: Hydration, concrete: Material = CONCRETE
) -> Array:
    """Temperature [C] of the upper edge of a footing: its top as run, times what its side leaves across its width.

    ``side`` is what the side of the footing meets: air, wind, and form or cover as a resistance.
    """
    if not width_m > 0:
        raise HeatError("A footing needs a width.")
    body = Body((Layer(concrete, width_m, max(8, round(width_m / 0.03))),), side, side, hydration)
    hours = len(footing.hours) - 1
    across = simulate(body, start(body, placed_c, placed_c), hours)
    air = np.asarray(side.air_c[: hours + 1], dtype=np.float64)
    return edge_c(footing.outside_face_c, across.outside_face_c, across.core_c, air)
