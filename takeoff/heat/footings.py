"""A footing after its pour: its top, its upper edge and the soil under it through time."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from takeoff.heat.conduction import simulate as run_body
from takeoff.heat.conduction import start
from takeoff.heat.edges import footing_edge_c
from takeoff.heat.ground import Soil, frost_depth_m
from takeoff.heat.history import History
from takeoff.heat.hydration import Hydration, Mix, of_mix
from takeoff.heat.layers import CONCRETE, SHELTERED_M_S, Array, Cover, Side, footing
from takeoff.heat.maturity import FREEZING_C
from takeoff.heat.strength import Curve


@dataclass(frozen=True, slots=True, eq=False)
class Footing:
    """A footing as placed: depth and width [m], soil, air by whole hours, covers on top and what its sides wear.

    ``ground_c`` is the soil 2.5 m below, ``soil_c`` the soil it is placed on (by default as deep down).
    """

    depth_m: float
    width_m: float
    soil: Soil
    air_c: Array
    placed_c: float
    ground_c: float
    curve: Curve
    soil_c: float | None = None
    wind_m_s: Array | float = SHELTERED_M_S
    top: tuple[Cover, ...] = ()
    sides: tuple[Cover, ...] = ()
    mix: Mix = field(default_factory=Mix)
    hydration: Hydration | None = None


@dataclass(frozen=True, slots=True, eq=False)
class FootingCourse:
    """One run: temperature [C] of the top, of its edge and of the soil right under it, strength at the edge [psi],
    frost below the footing [m]; hour by hour."""

    history: History
    top_c: Array
    edge_c: Array
    soil_c: Array
    psi: Array
    frost_m: Array

    @property
    def soil_freezes_at(self) -> float | None:
        """First hour the soil under it is below freezing, None where it never is."""
        below = np.flatnonzero(self.soil_c < FREEZING_C)
        return float(self.history.hours[below[0]]) if len(below) else None


def footing_course(pour: Footing) -> FootingCourse:
    """The run of a footing from placing to the end of its air."""
    reaction = pour.hydration or of_mix(pour.mix)
    concrete = replace(CONCRETE, c_j_m3k=pour.mix.c_j_m3k)
    above = Side(pour.air_c, pour.wind_m_s, pour.top)
    body = footing(pour.depth_m, pour.soil.material(), above, pour.ground_c, reaction, concrete=concrete)
    soil_c = pour.ground_c if pour.soil_c is None else pour.soil_c
    history = run_body(body, start(body, pour.placed_c, soil_c), len(pour.air_c) - 1)
    side = Side(pour.air_c, pour.wind_m_s, pour.sides)
    edge = footing_edge_c(history, pour.width_m, side, pour.placed_c, reaction, concrete)
    age = pour.curve.age_rule(history.hours, edge, counted_above_c=FREEZING_C)
    soil = slice(history.concrete.stop, None)
    depth = history.depth_m[soil]
    frost = np.array([max(frost_depth_m(depth, row[soil]) - pour.depth_m, 0.0) for row in history.temperature_c])
    return FootingCourse(history, history.outside_face_c, edge, history.inside_face_c, pour.curve.through(age), frost)
