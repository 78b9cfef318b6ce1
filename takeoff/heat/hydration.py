"""Heat of hydration: how far cement has reacted by an equivalent age, how much heat that is, how fast it goes.

Degree of hydration of three parameters, alpha(te) = alpha_u exp(-(tau/te)^beta), with the age counted by Arrhenius;
parameters from the mix by the regressions of Schindler and Folliard (2005). Their coefficients beyond the first terms
were not seen in print and are marked so. A supplier's calorimetry is better than any of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from takeoff.sources import COMMON_PRACTICE, Source

Array = NDArray[np.float64]

GAS_J_MOL_K = 8.314
KELVIN = 273.15
REGRESSIONS = Source("Schindler and Folliard, ACI Materials Journal 102(1)", "2005", "regressions", seen=False)
ULTIMATE = Source("Schindler and Folliard, ACI Materials Journal 102(1)", "2005", "alpha_u, as a public code has it")
CAPACITIES = Source("Georgia Tech, CCT1D research code", "", "heat capacities of a mix")
DEFAULT_MIX = COMMON_PRACTICE
#: Age is counted at this temperature in the regressions [C].
REFERENCE_C = 21.1
#: Heat capacity of parts of a mix [J/kgK].
C_CEMENT, C_AGGREGATE, C_WATER = 840.0, 770.0, 4187.0
#: Concrete is this old when it is placed [h]; common practice.
AGE_AT_PLACING_H = 1.0
#: Pounds in a cubic yard as kilograms in a cubic metre.
KG_M3_PER_LB_YD3 = 0.593276


@dataclass(frozen=True, slots=True)
class Cement:
    """Compounds and sulphate as parts of mass (Bogue), fineness [m2/kg]. Default: a typical Type I, invented mean."""

    c3s: float = 0.55
    c2s: float = 0.18
    c3a: float = 0.09
    c4af: float = 0.08
    so3: float = 0.027
    free_lime: float = 0.008
    mgo: float = 0.02
    blaine_m2_kg: float = 380.0


@dataclass(frozen=True, slots=True)
class Mix:
    """One cubic metre [kg]; ``ash_cao``: part of lime in fly ash. Default: 564 lb/yd3 of cement at w/cm 0.45."""

    cement_kg: float = 334.6
    water_kg: float = 150.6
    aggregate_kg: float = 1840.0
    ash_kg: float = 0.0
    slag_kg: float = 0.0
    ash_cao: float = 0.10
    cement: Cement = Cement()

    def __post_init__(self) -> None:
        if not (self.cement_kg > 0 and self.water_kg > 0 and self.aggregate_kg >= 0):
            raise ValueError("A mix needs cement and water.")
        if self.ash_kg < 0 or self.slag_kg < 0:
            raise ValueError("Fly ash and slag cannot be less than nothing.")

    @property
    def binder_kg(self) -> float:
        """Cement, fly ash and slag [kg/m3]."""
        return self.cement_kg + self.ash_kg + self.slag_kg

    @property
    def ash(self) -> float:
        """Part of fly ash in the binder."""
        return self.ash_kg / self.binder_kg

    @property
    def slag(self) -> float:
        """Part of slag in the binder."""
        return self.slag_kg / self.binder_kg

    @property
    def density_kg_m3(self) -> float:
        """Fresh density [kg/m3]."""
        return self.binder_kg + self.water_kg + self.aggregate_kg

    @property
    def c_j_m3k(self) -> float:
        """Heat capacity of a cubic metre [J/m3K], from its parts."""
        return C_CEMENT * self.binder_kg + C_AGGREGATE * self.aggregate_kg + C_WATER * self.water_kg


@dataclass(frozen=True, slots=True)
class Hydration:
    """``heat_j_m3`` if all binder reacted; alpha_u, tau [h] and beta of the curve; activation energy [J/mol]."""

    heat_j_m3: float
    alpha_u: float
    tau_h: float
    beta: float
    activation_j_mol: float
    reference_c: float = REFERENCE_C
    age_at_placing_h: float = AGE_AT_PLACING_H
    source: Source = REGRESSIONS

    def __post_init__(self) -> None:
        if min(self.heat_j_m3, self.alpha_u, self.tau_h, self.beta, self.activation_j_mol) <= 0:
            raise ValueError("Every parameter of hydration must be more than nothing.")

    def scaled(self, heat: float = 1.0, time: float = 1.0) -> Hydration:
        """The same with its heat, or its time scale, multiplied."""
        return replace(self, heat_j_m3=self.heat_j_m3 * heat, tau_h=self.tau_h * time)

    def degree(self, age_h: Array) -> Array:
        """Degree of hydration at equivalent ages [h] above nothing."""
        out: Array = self.alpha_u * np.exp(-((self.tau_h / age_h) ** self.beta))
        return out

    def rate(self, temperature_c: Array) -> Array:
        """Hours of equivalent age in an hour at temperatures [C], by Arrhenius: 1 at the reference."""
        power = self.activation_j_mol / GAS_J_MOL_K
        out: Array = np.exp(power / (self.reference_c + KELVIN) - power / (temperature_c + KELVIN))
        return out


def ultimate_degree(w_cm: float, ash: float = 0.0, slag: float = 0.0) -> float:
    """Part of the binder that ever reacts: 1.031 w/(0.194 + w) + 0.50 ash + 0.30 slag, at most 1."""
    if not w_cm > 0:
        raise ValueError("Without water nothing reacts.")
    return min(1.031 * w_cm / (0.194 + w_cm) + 0.50 * ash + 0.30 * slag, 1.0)


def cement_heat_j_g(cement: Cement) -> float:
    """Heat of all cement reacting [J/g]: each compound's own, by its part of mass."""
    c = cement
    compounds = 500 * c.c3s + 260 * c.c2s + 866 * c.c3a + 420 * c.c4af
    return compounds + 624 * c.so3 + 1186 * c.free_lime + 850 * c.mgo


def binder_heat_j_g(mix: Mix) -> float:
    """Heat of all binder reacting [J/g]: cement by its compounds, slag 461, fly ash 1800 times its lime."""
    cement = cement_heat_j_g(mix.cement) * mix.cement_kg / mix.binder_kg
    return cement + 461.0 * mix.slag + 1800.0 * mix.ash_cao * mix.ash


def time_parameter_h(cement: Cement, ash_lime: float = 0.0, slag: float = 0.0) -> float:
    """tau [h] = 66.78 C3A^-.154 C3S^-.401 Blaine^-.804 SO3^-.758 exp(2.187 slag + 9.50 ash x lime), as in the paper
    except that fineness is in m2/kg throughout."""
    c = cement
    base = 66.78 * c.c3a**-0.154 * c.c3s**-0.401 * c.blaine_m2_kg**-0.804 * c.so3**-0.758
    return float(base * math.exp(2.187 * slag + 9.50 * ash_lime))


def slope_parameter(cement: Cement, slag: float = 0.0) -> float:
    """beta = 181.4 C3A^.146 C3S^.227 Blaine^-.535 SO3^.558 exp(-.647 slag)."""
    c = cement
    base = 181.4 * c.c3a**0.146 * c.c3s**0.227 * c.blaine_m2_kg**-0.535 * c.so3**0.558
    return float(base * math.exp(-0.647 * slag))


def activation_energy_j_mol(cement: Cement) -> float:
    """Ea [J/mol] = 22100 C3A^.30 C4AF^.25 Blaine^.35, for cement without admixtures, ash and slag."""
    return float(22100.0 * cement.c3a**0.30 * cement.c4af**0.25 * cement.blaine_m2_kg**0.35)


def of_mix(mix: Mix) -> Hydration:
    """Parameters of a mix by the regressions; retarders and accelerators are not in them."""
    return Hydration(
        binder_heat_j_g(mix) * 1000.0 * mix.binder_kg,
        ultimate_degree(mix.water_kg / mix.binder_kg, mix.ash, mix.slag),
        time_parameter_h(mix.cement, mix.ash * mix.ash_cao, mix.slag),
        slope_parameter(mix.cement, mix.slag),
        activation_energy_j_mol(mix.cement),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Adiabatic:
    """Concrete that loses no heat: hours, temperature [C], degree of hydration."""

    hours: Array
    temperature_c: Array
    degree: Array


def adiabatic(hydration: Hydration, c_j_m3k: float, start_c: float, hours: float, step_h: float = 0.1) -> Adiabatic:
    """Temperature of concrete that loses no heat, from age 0 (nothing reacted) on.

    Each step solves for its own end (backward Euler, the age by the rate at the end), so that a coarse step is that of
    a published finite element code; the answer converges with the first power of the step.
    """
    if not (step_h > 0 and hours > 0 and c_j_m3k > 0):
        raise ValueError("Hours, step and heat capacity must be more than nothing.")
    count = round(hours / step_h)
    temps, degrees = np.empty(count + 1), np.empty(count + 1)
    temps[0], degrees[0], age = start_c, 0.0, 0.0
    rise = hydration.heat_j_m3 / c_j_m3k
    for n in range(count):
        degrees[n + 1], age = _adiabatic_step(hydration, start_c, rise, age, step_h)
        temps[n + 1] = start_c + rise * degrees[n + 1]
    return Adiabatic(np.arange(count + 1, dtype=np.float64) * step_h, temps, degrees)


def _adiabatic_step(h: Hydration, start_c: float, rise: float, age: float, step: float) -> tuple[float, float]:
    """Degree and age at the end of a step: the age whose own temperature makes it so, by bisection (it only grows)."""

    def degree(at: float) -> float:
        return h.alpha_u * math.exp(-((h.tau_h / at) ** h.beta))

    def rate(temperature_c: float) -> float:
        power = h.activation_j_mol / GAS_J_MOL_K
        return math.exp(power / (h.reference_c + KELVIN) - power / (temperature_c + KELVIN))

    low, high = age, age + rate(start_c + rise * h.alpha_u) * step
    for _ in range(60):
        middle = (low + high) / 2
        short = age + step * rate(start_c + rise * degree(middle)) > middle
        low, high = (middle, high) if short else (low, middle)
    return degree(high), high
