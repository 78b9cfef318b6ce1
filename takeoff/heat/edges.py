"""Where two faces of concrete meet: the edge of a footing, the top of a wall.

Exact for plain cooling: the temperature where two faces meet is the product of what each alone would leave (the product
solution of conduction). With heat of hydration it is an allowance: what a loss leaves is told against the same concrete
without that loss.
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
#: Concrete below the top of a wall that its top is worked out with, as deep as walls are high: thickness [m], slices.
TOP_COLUMN = ((0.3, 12), (0.6, 8), (1.5, 8))
#: Ages at which concrete that loses nothing is worked out.
AGES = 2000
#: Closer to the air than this [K] a ratio of differences says nothing.
NEAR_K = 1.0


def mean_air_c(air_c: Array, hours: int = 24) -> Array:
    """Mean air [C] of the hours up to each one."""
    total = np.concatenate([[0.0], np.cumsum(air_c)])
    n = np.arange(len(air_c))
    first = np.maximum(n - hours + 1, 0)
    return np.asarray((total[1:] - total[first]) / (n - first + 1), dtype=np.float64)


def part_left(place_c: Array, without_loss_c: Array, air_c: Array) -> Array:
    """Part of the distance to the air [0 to 1] that a place keeps of what it had without loss; 1 where even that is no
    warmer than the air."""
    distance = without_loss_c - air_c
    part = np.divide(place_c - air_c, distance, out=np.ones_like(distance), where=distance > NEAR_K)
    return np.clip(part, 0.0, 1.0)


def edge_c(face_c: Array, across_c: Array, without_loss_c: Array, air_c: Array) -> Array:
    """Temperature [C] of a face where heat is lost across it too: ``across_c`` is the place in a run across,
    ``without_loss_c`` the same concrete losing nothing that way. Of the air of the hour and its mean over a day the
    colder answer is taken, because under covers nothing follows the hour."""
    mean = mean_air_c(air_c)
    left = part_left(across_c, without_loss_c, mean)
    return np.asarray(np.minimum(*(air + (face_c - air) * left for air in (air_c, mean))), dtype=np.float64)


def top_of_wall_c(
    wall: History, top: Side, placed_c: float, hydration: Hydration, concrete: Material = CONCRETE
) -> Array:
    """Temperature [C] of the middle of a wall's top: a column of concrete under ``top`` (its air, wind and covers), the
    warmth of which is lost besides through both faces, as in the run of the wall."""
    layers = tuple(Layer(concrete, thick, cells) for thick, cells in TOP_COLUMN)
    body = Body(layers, top, replace(top, closed=True), hydration)
    hours = len(wall.hours) - 1
    column = simulate(body, start(body, placed_c, placed_c), hours)
    air = np.asarray(top.air_c[: hours + 1], dtype=np.float64)
    return edge_c(column.surface_c[:, 0], wall.core_c, without_loss_c(placed_c, hours, hydration, concrete), air)


def without_loss_c(placed_c: float, hours: int, hydration: Hydration, concrete: Material) -> Array:
    """Temperature [C] at each whole hour of concrete that loses no heat: warm by what its age has released; the time
    an age takes is the sum of one over the pace at that warmth."""
    begin, rise = hydration.age_at_placing_h, hydration.heat_j_m3 / concrete.c_j_m3k
    hottest = np.array([placed_c + rise * hydration.alpha_u])
    ages = np.geomspace(begin, begin + (hours + 1) * float(hydration.rate(hottest)[0]), AGES)
    warm = placed_c + rise * (hydration.degree(ages) - hydration.degree(ages[:1]))
    slow = 1 / hydration.rate(warm)
    passed = np.concatenate([[0.0], np.cumsum((slow[1:] + slow[:-1]) / 2 * np.diff(ages))])
    return np.asarray(np.interp(np.arange(hours + 1), passed, warm), dtype=np.float64)


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
    nothing_lost = without_loss_c(placed_c, hours, hydration, concrete)
    air = np.asarray(side.air_c[: hours + 1], dtype=np.float64)
    return edge_c(footing.outside_face_c, across.outside_face_c, nothing_lost, air)
