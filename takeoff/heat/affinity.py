"""A second law of hydration: cement reacts by its affinity for water that is left, and by Arrhenius.

d alpha/dt = B1 (B2/alpha_max + alpha) (alpha_max - alpha) exp(-eta alpha/alpha_max) x exp(-Ea/R (1/T - 1/Tr)).
Its constants are those of one mix and are found in a calorimeter; no rule makes them out of what a mix weighs. So it is
a second opinion beside :mod:`takeoff.heat.hydration`, and no answer rests on it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from takeoff.heat.hydration import KELVIN, Array, Hydration, Mix
from takeoff.sources import Source

CERVERA = Source(
    "Cervera, Oliver and Prato 1999, affinity of hydration", "", "as a public code of BAM (Berlin) and its test have it"
)
#: As the source takes it [J/mol K].
GAS_J_MOL_K = 8.3145
STEP_S = 1800.0
#: Halvings of a step's end: to the dust of a float.
HALVINGS = 50


@dataclass(frozen=True, slots=True)
class Affinity:
    """Constants of one mix: B1 [1/s], B2, eta, the most that ever reacts, Ea [J/mol], reference [C], heat of all of it
    reacting [J/g of binder]."""

    b1_s: float
    b2: float
    eta: float
    alpha_max: float
    activation_j_mol: float
    reference_c: float
    heat_j_g: float
    source: Source = CERVERA

    def __post_init__(self) -> None:
        if min(self.b1_s, self.b2, self.eta, self.alpha_max, self.activation_j_mol, self.heat_j_g) <= 0:
            raise ValueError("Every constant of hydration must be more than nothing.")

    def rate_s(self, degree: float, temperature_c: float) -> float:
        """Degree of hydration gained in a second at a degree and a temperature [C]."""
        left = (self.b2 / self.alpha_max + degree) * (self.alpha_max - degree)
        power = self.activation_j_mol / GAS_J_MOL_K
        warmth = math.exp(power / (self.reference_c + KELVIN) - power / (temperature_c + KELVIN))
        return self.b1_s * left * math.exp(-self.eta * degree / self.alpha_max) * warmth


#: The mix of the published test.
TEST_MIX = Affinity(0.0002916, 0.0024229, 5.554, 0.875, 47002.0, 25.0, 500.0)


def degree_at(
    law: Affinity, hours: Array, temperature_c: Array, at_h: Sequence[float], step_s: float = STEP_S
) -> tuple[float, ...]:
    """Degree of hydration at hours, for temperatures [C] told at ``hours`` from placing.

    Each step solves for its own end (backward Euler); between steps straight, as the source's test has it.
    """
    if not step_s > 0:
        raise ValueError("A step must be more than nothing.")
    count = max(math.ceil(max(at_h) * 3600 / step_s - 1e-9), 1)
    times = np.arange(count + 1) * step_s / 3600
    temps, degrees = np.interp(times, hours, temperature_c), [0.0]
    for temperature in temps[1:]:
        degrees.append(_step(law, degrees[-1], float(temperature), step_s))
    return tuple(float(np.interp(hour, times, degrees)) for hour in at_h)


def _step(law: Affinity, begin: float, temperature_c: float, step_s: float) -> float:
    """Degree at the end of a step, by halving: it only grows and never passes its most."""
    low, high = begin, law.alpha_max
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        short = begin + step_s * law.rate_s(middle, temperature_c) > middle
        low, high = (middle, high) if short else (low, middle)
    return high


@dataclass(frozen=True, slots=True)
class TwoLaws:
    """Degree of hydration and heat [J/g of binder] at an hour by the law the answers rest on, and by affinity."""

    hour: float
    degree: tuple[float, float]
    heat_j_g: tuple[float, float]


def two_laws(
    hydration: Hydration,
    mix: Mix,
    hours: Array,
    temperature_c: Array,
    at_h: Sequence[float],
    other: Affinity = TEST_MIX,
) -> tuple[TwoLaws, ...]:
    """Both laws through the same temperatures [C], at hours from placing that lie within them."""
    at = [hour for hour in at_h if hour <= hours[-1]]
    if not at:
        return ()
    pace = hydration.rate(temperature_c)
    age = hydration.age_at_placing_h + np.concatenate([[0.0], np.cumsum((pace[1:] + pace[:-1]) / 2 * np.diff(hours))])
    first = np.interp(at, hours, hydration.degree(age))
    all_heat = hydration.heat_j_m3 / 1000.0 / mix.binder_kg
    return tuple(
        TwoLaws(hour, (float(a), b), (float(a) * all_heat, b * other.heat_j_g))
        for hour, a, b in zip(at, first, degree_at(other, hours, temperature_c, at), strict=True)
    )
