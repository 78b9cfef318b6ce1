"""Frost in the ground: Stefan, modified Berggren and Neumann's front, freezing index, how soil conducts and freezes.

Published customary units are kept inside the functions that carry them. These are answers for open, even ground; the
ground beside a wall, under snow or in the wet is the engineer's, and frost is found with a probe, not with a formula.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from takeoff.heat.layers import Array, Freezing, HeatError, Material
from takeoff.sources import Source

BERGGREN = Source("UFC 3-130-06 (TM 5-852-6), Aldrich and Paynter 1966", "", "modified Berggren equation")
STEFAN = Source("UFC 3-130-06 (TM 5-852-6)", "", "Stefan equation, lambda 1")
NEUMANN = Source(
    "Lunardini 1981, as in Bonan, Climate Change and Terrestrial Ecosystem Modeling", "", "Neumann solution"
)
N_FACTORS = Source("UFC 3-130-04 (TM 5-852-4)", "", "Table 4-1 n-factors for freezing")
KERSTEN = Source("Kersten 1949, University of Minnesota Bulletin 28", "", "conductivity of soils", seen=False)

#: Heat of freezing of a pound of water [Btu/lb], water's unit weight aside.
LATENT_BTU_LB = 144.0
#: Heat capacity of dry mineral soil, and the mean of water and ice [Btu/lb F].
MINERAL, WATER_MEAN, WATER, ICE = 0.17, 0.75, 1.0, 0.5
FREEZING_F = 32.0
BTU_H_FT_F = 1.730735  # W/mK
BTU_FT3_F = 67066.1  # J/m3K
BTU_FT3 = 37258.9  # J/m3
M_PER_FT = 0.3048
#: Index at the surface by that of the air, for freezing.
N_FREEZING = {
    "snow": 1.0, "concrete": 0.75, "asphalt": 0.7, "bare soil": 0.7, "shaded": 0.9, "turf": 0.5, "trees": 0.3,
}  # fmt: skip


# -- soil ---------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Soil:
    """Dry unit weight [lb/ft3], water by dry weight [%], and whether it is fine (silt and clay) or sandy."""

    dry_pcf: float
    water_pct: float
    fine: bool = True
    name: str = "soil"

    def __post_init__(self) -> None:
        if not (40 <= self.dry_pcf <= 170 and 0 < self.water_pct <= 100):
            raise HeatError("Soil needs a dry unit weight of 40 to 170 pcf and a water content of up to 100 %.")

    @property
    def total_pcf(self) -> float:
        """Unit weight with its water [lb/ft3]."""
        return self.dry_pcf * (1 + self.water_pct / 100)

    @property
    def latent_btu_ft3(self) -> float:
        """Heat of freezing [Btu/ft3]: 144 x dry unit weight x water. All water is taken to freeze."""
        return LATENT_BTU_LB * self.dry_pcf * self.water_pct / 100

    def capacity_btu_ft3_f(self, water: float = WATER_MEAN, mineral: float = MINERAL) -> float:
        """Heat capacity [Btu/ft3 F]; ``water`` is 1.0 thawed, 0.5 frozen, 0.75 the mean that Berggren takes."""
        return self.dry_pcf * (mineral + water * self.water_pct / 100)

    def k_btu_h_ft_f(self, frozen: bool) -> float:
        """Conductivity [Btu/h ft F] by Kersten's equations (Btu in/h ft2 F inside); water of 7 % at least if fine, 1 %
        if sandy, below which they were not fitted: there they are held."""
        w, g = max(self.water_pct, 7.0 if self.fine else 1.0), self.dry_pcf
        if self.fine:
            cold = 0.01 * 10 ** (0.022 * g) + 0.085 * 10 ** (0.008 * g) * w
            warm = (0.9 * math.log10(w) - 0.2) * 10 ** (0.01 * g)
        else:
            cold = 0.076 * 10 ** (0.013 * g) + 0.032 * 10 ** (0.0146 * g) * w
            warm = (0.7 * math.log10(w) + 0.4) * 10 ** (0.01 * g)
        return float((cold if frozen else warm) / 12)

    def material(self) -> Material:
        """The soil for the transient model, freezing between 0 and -0.5 C."""
        freezing = Freezing(
            self.latent_btu_ft3 * BTU_FT3,
            self.k_btu_h_ft_f(True) * BTU_H_FT_F,
            self.capacity_btu_ft3_f(ICE) * BTU_FT3_F,
        )
        thawed = self.capacity_btu_ft3_f(WATER) * BTU_FT3_F
        return Material(self.name, self.k_btu_h_ft_f(False) * BTU_H_FT_F, thawed, KERSTEN, freezing=freezing)


# -- freezing index -----------------------------------------------------------------------------------
def freezing_degree_days(highs_lows_f: Iterable[tuple[float, float]]) -> float:
    """Sum of 32 - (high + low)/2 over days below freezing [F days]; days above take nothing off."""
    return sum(max(FREEZING_F - (high + low) / 2, 0.0) for high, low in highs_lows_f)


def freezing_index(highs_lows_f: Sequence[tuple[float, float]]) -> float:
    """Freezing index of a season [F days]: the largest fall of the running sum of degree days about 32 F.

    Thaws between count against it, which is how an index over a winter is told; 0 where nothing freezes.
    """
    total, peak, worst = 0.0, 0.0, 0.0
    for high, low in highs_lows_f:
        total += (high + low) / 2 - FREEZING_F
        peak = max(peak, total)
        worst = max(worst, peak - total)
    return worst


def days_of_hours(air_c: Array) -> tuple[tuple[float, float], ...]:
    """(high, low) [F] of each whole day of hours [C] from the first on."""
    whole = np.asarray(air_c[: len(air_c) // 24 * 24], dtype=np.float64).reshape(-1, 24) * 1.8 + 32
    return tuple((float(d.max()), float(d.min())) for d in whole)


# -- depth by formula ---------------------------------------------------------------------------------
def stefan_ft(k: float, surface_index_f_days: float, latent: float) -> float:
    """Depth [ft] = sqrt(48 k nF / L): k [Btu/h ft F], index at the surface [F days], L [Btu/ft3]. The soil's own
    warmth is left out, so it is deeper than the truth."""
    if not (k > 0 and latent > 0) or surface_index_f_days < 0:
        raise HeatError("Conductivity and heat of freezing must be more than nothing.")
    return math.sqrt(48 * k * surface_index_f_days / latent)


def berggren_lambda(mu: float, alpha: float) -> float:
    """Correction of Stefan's depth: 1/erf g - alpha/erfc g = sqrt(pi) g exp(g^2)/mu, lambda = g sqrt(2/mu).

    ``mu`` is the fusion parameter, ``alpha`` the thermal ratio; the published chart is this equation drawn.
    """
    from scipy.optimize import brentq
    from scipy.special import erf, erfc

    if not mu > 0 or alpha < 0:
        raise HeatError("The fusion parameter must be more than nothing, the thermal ratio not less.")

    def miss(g: float) -> float:
        # times exp(-g^2), so that nothing overflows
        return float(math.exp(-g * g) / erf(g) - alpha * math.exp(-g * g) / erfc(g) - math.sqrt(math.pi) * g / mu)

    top = 1.0
    while top < 5.0 and miss(top) > 0:
        top += 0.5
    return float(brentq(miss, 1e-9, top, xtol=1e-13)) * math.sqrt(2 / mu)


@dataclass(frozen=True, slots=True)
class Berggren:
    """Depth of frost with everything it was worked out from (customary units)."""

    depth_ft: float
    stefan_ft: float
    factor: float
    alpha: float
    mu: float
    surface_index_f_days: float
    days: float
    basis: str
    source: Source = BERGGREN

    @property
    def depth_m(self) -> float:
        """Depth [m]."""
        return self.depth_ft * M_PER_FT


def berggren(soil: Soil, index_f_days: float, days: float, ground_f: float, n: float = 0.7, k: float = 0.0) -> Berggren:
    """Modified Berggren: X = lambda sqrt(48 k nF / L).

    ``index_f_days`` of the air over ``days``, ``ground_f`` the ground before (mean of the year), ``n`` the surface by
    the air; ``k`` 0 takes the mean of frozen and thawed. Ground at or below freezing beforehand: thermal ratio 0.
    """
    if not days > 0:
        raise HeatError("A freezing season needs days.")
    k = k or (soil.k_btu_h_ft_f(True) + soil.k_btu_h_ft_f(False)) / 2
    index = n * index_f_days
    if index <= 0:
        return Berggren(0.0, 0.0, 1.0, 0.0, 0.0, 0.0, days, "It does not freeze: the index is 0.")
    below = index / days
    alpha = max(ground_f - FREEZING_F, 0.0) / below
    latent = soil.latent_btu_ft3
    mu = soil.capacity_btu_ft3_f() * below / latent
    factor, plain = berggren_lambda(mu, alpha), stefan_ft(k, index, latent)
    basis = (
        f"alpha = {ground_f - FREEZING_F:.1f} / {below:.1f} = {alpha:.2f}, mu = {soil.capacity_btu_ft3_f():.2f} x "
        f"{below:.1f} / {latent:,.0f} = {mu:.3f}, lambda = {factor:.3f}; X = {factor:.3f} x sqrt(48 x {k:.2f} x "
        f"{index:,.0f} / {latent:,.0f}) = {factor * plain:.2f} ft"
    )
    return Berggren(factor * plain, plain, factor, alpha, mu, index, days, basis)


# -- Neumann's front ----------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Neumann:
    """Ground at one temperature whose surface is held below freezing from time 0 on; the front is at m sqrt(t).

    Temperatures in C, diffusivities [m2/s], ``m`` [m/sqrt s]. Exact for frozen and thawed ground of unlike kind.
    """

    surface_c: float
    ground_c: float
    a_frozen: float
    a_thawed: float
    m: float

    def front_m(self, seconds: float) -> float:
        """Depth of the front [m]."""
        return self.m * math.sqrt(seconds)

    def temperature_c(self, depth_m: float, seconds: float) -> float:
        """Temperature [C] at a depth."""
        from scipy.special import erf, erfc

        root = math.sqrt(seconds)
        if depth_m <= self.front_m(seconds):
            part = erf(depth_m / (2 * root * math.sqrt(self.a_frozen))) / erf(self.m / (2 * math.sqrt(self.a_frozen)))
            return float(self.surface_c * (1 - part))
        far = erfc(depth_m / (2 * root * math.sqrt(self.a_thawed))) / erfc(self.m / (2 * math.sqrt(self.a_thawed)))
        return float(self.ground_c * (1 - far))


def neumann(surface_c: float, ground_c: float, soil: Material) -> Neumann:
    """Neumann's solution for a soil: the front's speed from the balance of heat at it.

    k_f |Ts| e^(-m2/4a_f) / (sqrt(pi a_f) erf(m/2 sqrt a_f)) - k_u T0 e^(-m2/4a_u) / (sqrt(pi a_u) erfc(..)) = L m / 2
    """
    from scipy.optimize import brentq
    from scipy.special import erf, erfc

    if soil.freezing is None or not surface_c < 0 <= ground_c:
        raise HeatError("A freezing front needs soil that freezes, a surface below 0 °C and ground not below.")
    frozen = soil.freezing
    af, au = frozen.k_frozen / frozen.c_frozen_j_m3k, soil.k / soil.c_j_m3k

    def miss(m: float) -> float:
        x, y = m / (2 * math.sqrt(af)), m / (2 * math.sqrt(au))
        up = frozen.k_frozen * -surface_c * math.exp(-x * x) / (math.sqrt(math.pi * af) * erf(x))
        down = soil.k * ground_c * math.exp(-y * y) / (math.sqrt(math.pi * au) * erfc(y))
        return float(up - down - frozen.latent_j_m3 * m / 2)

    return Neumann(surface_c, ground_c, af, au, float(brentq(miss, 1e-12, 6 * math.sqrt(min(af, au)), xtol=1e-18)))


def frost_depth_m(depth_m: Array, temperature_c: Array, freezes_at_c: float = 0.0) -> float:
    """Depth of the deepest place at or below freezing, straight between the middles of slices; 0 where none is."""
    cold = np.flatnonzero(temperature_c <= freezes_at_c)
    if not len(cold):
        return 0.0
    n = int(cold[-1])
    if n + 1 == len(depth_m):
        return float(depth_m[n])
    a, b = float(temperature_c[n]), float(temperature_c[n + 1])
    return float(depth_m[n] + (freezes_at_c - a) / (b - a) * (depth_m[n + 1] - depth_m[n]))
