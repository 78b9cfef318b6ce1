"""What a run of the heat model gives: temperatures through time, where, and whether its heat adds up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from takeoff.heat.layers import Array, Body, HeatError, conductivities

#: What the balance may miss, as a part of the heat that passed.
CLOSES_TO = 1e-3


@dataclass(frozen=True, slots=True)
class Balance:
    """Heat [J/m2] from first to last hour: what came in by each side, of hydration, what is stored more."""

    from_outside: float
    from_inside: float
    hydration: float
    stored: float

    @property
    def missing(self) -> float:
        """What does not add up, as a part of all heat that passed."""
        passed = abs(self.from_outside) + abs(self.from_inside) + abs(self.hydration) + abs(self.stored)
        gap = self.from_outside + self.from_inside + self.hydration - self.stored
        return abs(gap) / passed if passed > 0 else 0.0

    @property
    def closes(self) -> bool:
        """Within 0.1 %."""
        return self.missing <= CLOSES_TO


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """Temperatures [C] at each whole hour (row) and slice (column), equivalent age [h] of concrete slices.

    ``depth_m`` is the middle of each slice from outside, ``width_m`` its width; ``surface_c`` the two surfaces.
    """

    body: Body
    hours: Array
    temperature_c: Array
    age_h: Array
    depth_m: Array
    width_m: Array
    surface_c: Array
    balance: Balance

    def slices(self, layer: int) -> slice:
        """Columns of a layer, counted from outside."""
        start = sum(each.cells for each in self.body.layers[:layer])
        return slice(start, start + self.body.layers[layer].cells)

    @property
    def concrete(self) -> slice:
        """Columns of the concrete; HeatError where there is none."""
        for n, layer in enumerate(self.body.layers):
            if layer.material.hydrates:
                return self.slices(n)
        raise HeatError("There is no concrete in it.")

    def at_depth(self, depth_m: float) -> Array:
        """Temperature through time at a depth from outside, straight between the middles of slices."""
        after = int(np.clip(np.searchsorted(self.depth_m, depth_m), 1, max(len(self.depth_m) - 1, 1)))
        if len(self.depth_m) == 1:
            return self.temperature_c[:, 0]
        a, b = self.depth_m[after - 1], self.depth_m[after]
        part = (depth_m - a) / (b - a)
        return np.asarray(
            (1 - part) * self.temperature_c[:, after - 1] + part * self.temperature_c[:, after], dtype=np.float64
        )

    @property
    def core_c(self) -> Array:
        """The middle of the concrete."""
        return self.at_depth(sum(self._edges()) / 2)

    @property
    def outside_face_c(self) -> Array:
        """The face of the concrete towards outside (or up), under its foam or cover."""
        return self._face(0)

    @property
    def inside_face_c(self) -> Array:
        """The face of the concrete towards inside (or down)."""
        return self._face(1)

    def _edges(self) -> tuple[float, float]:
        c = self.concrete
        return (
            float(self.depth_m[c.start] - self.width_m[c.start] / 2),
            float(self.depth_m[c.stop - 1] + self.width_m[c.stop - 1] / 2),
        )

    def _face(self, which: int) -> Array:
        """At the joint of two slices the temperature that makes the same heat arrive and leave."""
        c = self.concrete
        near, far = (c.start, c.start - 1) if which == 0 else (c.stop - 1, c.stop)
        if far < 0 or far >= len(self.depth_m):
            return self.surface_c[:, which]
        g_near, g_far = (2 * conductivities(self.body)[n] / self.width_m[n] for n in (near, far))
        t = self.temperature_c
        return np.asarray((g_near * t[:, near] + g_far * t[:, far]) / (g_near + g_far), dtype=np.float64)

    def coldest_face_c(self) -> Array:
        """The colder of the two faces of the concrete, hour by hour."""
        return np.minimum(self.outside_face_c, self.inside_face_c)
