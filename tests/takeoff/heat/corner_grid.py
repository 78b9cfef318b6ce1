"""The outside corner of a wall on a two-dimensional grid, stepped explicitly: a second opinion on its allowance.

Plain cooling without heat of hydration. The two walls meet at a right angle; their cut ends pass no heat.
"""

from __future__ import annotations

import numpy as np

DX = 0.0127


def corner_and_core(
    core_cells: int, foam_cells: int, films: tuple[float, float], air_c: np.ndarray, begin_c: float, arm_cells: int = 40
) -> tuple[np.ndarray, np.ndarray]:
    """Temperature [C] at whole hours of the slice of concrete at the outside corner and of the core far from it.

    ``films`` [W/m2K] outside and inside; concrete 1.7 W/mK and 2.4 MJ/m3K, foam 0.036 W/mK and 35 kJ/m3K. Foam and
    concrete begin at ``begin_c``.
    """
    whole = core_cells + 2 * foam_cells
    size = whole + arm_cells
    depth = np.minimum.outer(np.arange(size), np.arange(size))
    solid = depth < whole
    concrete = (depth >= foam_cells) & (depth < foam_cells + core_cells)
    half = np.where(concrete, DX / 2 / 1.7, DX / 2 / 0.036)
    heat = np.where(concrete, 2.4e6, 35e3) * DX * DX
    links = []
    for axis in (0, 1):
        first, second = (np.delete(a, -1, axis) for a in (half, solid)), (np.delete(a, 0, axis) for a in (half, solid))
        (h0, s0), (h1, s1) = first, second
        both = np.where(s0 & s1, DX / (h0 + h1), 0.0)
        inner = np.where(s0 & ~s1, DX / (h0 + 1 / films[1]), 0.0)
        links.append((both, inner))
    outer = DX / (half[0] + 1 / films[0])
    step = 36.0
    t = np.where(solid, begin_c, 0.0)
    corner, core = [begin_c], [begin_c]
    for hour in range(len(air_c) - 1):
        for n in range(round(3600 / step)):
            air = air_c[hour] + (air_c[hour + 1] - air_c[hour]) * (n + 1) * step / 3600
            flow = np.zeros_like(t)
            for axis, (both, inner) in enumerate(links):
                passed = both * np.diff(t, axis=axis)
                pads = [(0, 0), (0, 0)]
                pads[axis] = (1, 1)
                flow += np.diff(np.pad(passed, pads), axis=axis)
                lost = inner * (np.delete(t, -1, axis) - air)
                pads[axis] = (0, 1)
                flow -= np.pad(lost, pads)
            flow[0] -= outer * (t[0] - air)
            flow[:, 0] -= outer * (t[:, 0] - air)
            t = np.where(solid, t + step * flow / heat, 0.0)
        corner.append(float(t[foam_cells, foam_cells]))
        core.append(float(t[foam_cells + core_cells // 2, -1]))
    return np.array(corner), np.array(core)
