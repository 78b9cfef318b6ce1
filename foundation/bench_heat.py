"""The heat model's wall worked out a second way, to measure the model against: a general ODE solver, method of lines.

Nothing of the model's own scheme is used: temperatures stand at points, not in slices, the equation of each point is
written out, and scipy's BDF chooses its own steps.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from takeoff.heat.bench_case import standard_wall
from takeoff.heat.hydration import GAS_J_MOL_K, KELVIN
from takeoff.heat.layers import CONCRETE, FOAM, film_w_m2k
from takeoff.heat.outlook import Wall

Array = NDArray[np.float64]


def core_by_ode(wall: Wall | None = None, foam_points: int = 4, core_points: int = 11, rtol: float = 1e-5) -> Array:
    """Temperature of the middle of the core [C] at each whole hour; ``core_points`` odd, both sides alike."""
    wall = wall or standard_wall()
    x = _points(wall, foam_points, core_points)
    gaps = np.diff(x)
    middle = (x[:-1] + x[1:]) / 2
    concrete = (middle > wall.foam_m) & (middle < wall.foam_m + wall.core_m)
    k = np.where(concrete, CONCRETE.k, FOAM.k)
    half = gaps / 2 * np.where(concrete, wall.mix.c_j_m3k, FOAM.c_j_m3k)
    capacity = np.concatenate([half, [0]]) + np.concatenate([[0], half])
    share = np.concatenate([gaps / 2 * concrete, [0]]) + np.concatenate([[0], gaps / 2 * concrete])
    wet = np.flatnonzero(share > 0)
    h, n = wall.reaction, len(x)
    hours = np.arange(wall.hours + 1, dtype=float)
    wind = np.broadcast_to(wall.wind_m_s, hours.shape)

    def slope(at_h: float, y: Array) -> Array:
        t, age = y[:n], y[n:]
        r = 1 / film_w_m2k(float(np.interp(at_h, hours, wind)))
        r += sum(c.r_m2k_w for c in wall.covers if c.from_h < at_h <= c.until_h)
        air = np.interp(at_h, hours, wall.air_c)
        flow = k * np.diff(t) / gaps
        arrives = np.concatenate([[(air - t[0]) / r], -flow]) + np.concatenate([flow, [(air - t[-1]) / r]])
        kelvin = t[wet] + KELVIN
        ages = np.exp(h.activation_j_mol / GAS_J_MOL_K * (1 / (h.reference_c + KELVIN) - 1 / kelvin))
        z = (h.tau_h / age) ** h.beta
        power = h.heat_j_m3 * h.alpha_u * np.exp(-z) * z * h.beta / age * ages
        change = arrives * 3600
        change[wet] += power * share[wet]
        return np.concatenate([change / capacity, ages])

    begin = np.full(n, wall.standing_c if wall.standing_c is not None else wall.air_c[0], dtype=float)
    begin[wet] = wall.placed_c
    y = np.concatenate([begin, np.full(len(wet), h.age_at_placing_h)])
    found = solve_ivp(slope, (0, wall.hours), y, "BDF", hours, rtol=rtol, atol=1e-3, max_step=2.0)
    return np.asarray(found.y[n // 2], dtype=np.float64)


def _points(wall: Wall, foam_points: int, core_points: int) -> Array:
    parts = [np.linspace(wall.foam_m, wall.foam_m + wall.core_m, core_points)]
    if wall.foam_m > 0:
        parts.insert(0, np.linspace(0, wall.foam_m, foam_points)[:-1])
        parts.append(np.linspace(0, wall.foam_m, foam_points)[1:] + wall.foam_m + wall.core_m)
    return np.concatenate(parts)
