"""Heat in slices of soil that freeze: heat against temperature is three straight lines, steep while water freezes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from takeoff.heat.layers import Material

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SoilHeat:
    """The freezing slices of a body by place: knees [C], heat capacity of the three lines and heat [J/m2K, J/m2]."""

    cells: NDArray[np.intp]
    begins: Array
    ends: Array
    frozen: Array
    between: Array
    thawed: Array
    k_ratio: Array  # frozen conductivity by thawed

    @staticmethod
    def of(materials: Sequence[Material], width_m: Array) -> SoilHeat | None:
        """The freezing slices among materials, None where none freezes."""
        found = [(n, m, m.freezing) for n, m in enumerate(materials) if m.freezing is not None]
        if not found:
            return None
        cells = np.array([n for n, _, _ in found])
        w = width_m[cells]
        begins, ends = np.array([f.begins_c for _, _, f in found]), np.array([f.ends_c for _, _, f in found])
        thawed = np.array([m.c_j_m3k for _, m, _ in found])
        cold = np.array([f.c_frozen_j_m3k for _, _, f in found])
        latent = np.array([f.latent_j_m3 for _, _, f in found])
        between = (thawed + cold) / 2 + latent / (begins - ends)
        ratio = np.array([f.k_frozen / m.k for _, m, f in found])
        return SoilHeat(cells, begins, ends, cold * w, between * w, thawed * w, ratio)

    def heat(self, t: Array) -> Array:
        """Heat [J/m2] from soil just frozen through."""
        below = np.minimum(t - self.ends, 0.0) * self.frozen
        within = np.clip(t - self.ends, 0.0, self.begins - self.ends) * self.between
        return np.asarray(below + within + np.maximum(t - self.begins, 0.0) * self.thawed, dtype=np.float64)

    def slope(self, t: Array) -> Array:
        """Heat for a degree [J/m2K] at temperatures."""
        steep = np.where(t < self.begins, self.between, self.thawed)
        return np.asarray(np.where(t <= self.ends, self.frozen, steep), dtype=np.float64)

    def frozen_part(self, t: Array) -> Array:
        """Part of the water that is ice, 0 to 1."""
        return np.clip((self.begins - t) / (self.begins - self.ends), 0.0, 1.0)

    def half_resistance(self, half: Array, t: Array) -> Array:
        """Resistance of half of each slice of a body [m2K/W]: conductivity by the part that is frozen."""
        out = half.copy()
        out[self.cells] /= 1.0 + (self.k_ratio - 1.0) * self.frozen_part(t[self.cells])
        return out

    def stopped_at_knees(self, old: Array, new: Array) -> Array:
        """Temperatures of a body where no freezing slice passes a knee in one round: it stops just beyond it."""
        out = new.copy()
        a, b = old[self.cells], new[self.cells].copy()
        for knee in (self.begins, self.ends):
            b = np.where((a > knee) & (b < knee), knee - 1e-12, b)
            b = np.where((a < knee) & (b > knee), knee + 1e-12, b)
        out[self.cells] = b
        return out
