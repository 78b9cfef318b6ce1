"""Strength by equivalent age: the mix's own curve, ACI 209, Model Code and Eurocode; corrected by cylinder breaks.

A curve gives psi at an equivalent age [h at 20 C]. Only the mix's own curve, and breaks of cylinders cured with the
wall, speak of this concrete; the others are what is usual. Whoever relies on a number asks the engineer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from takeoff.heat.layers import Array, HeatError
from takeoff.heat.maturity import AgeRule, equivalent_age, model_code_age
from takeoff.sources import Source

ACI_209 = Source("ACI 209R", "-92", "Eq. 2-1, as the WSDOT library has it")
EUROCODE = Source("EN 1992-1-1", "2004", "3.1.2(6) Eq. 3.2")
MODEL_CODE = Source("fib Model Code", "2010", "Eq. 5.1-51")
OVERDESIGN = Source("ACI 318, as The Concrete Producer has it", "", "required average strength")
PSI_PER_MPA = 145.0377
#: a [days] and b of t/(a + b t): moist and steam cured, Type I and III.
ACI_209_TERMS = {
    ("moist", "I"): (4.0, 0.85),
    ("moist", "III"): (2.3, 0.92),
    ("steam", "I"): (1.0, 0.95),
    ("steam", "III"): (0.7, 0.98),
}
#: s of the Eurocode by class of cement, and of the Model Code by strength class of cement.
EUROCODE_S = {"R": 0.20, "N": 0.25, "S": 0.38}
MODEL_CODE_S = {"32.5 N": 0.38, "32.5 R": 0.25, "42.5 N": 0.25, "42.5 R": 0.20, "52.5 N": 0.20, "52.5 R": 0.20}
#: Before this equivalent age [h] concrete is taken to have no strength where a curve says nothing; common practice.
SET_H = 8.0
#: A curve is usually known no better than this part of itself; common practice, no source.
SPREAD = 0.10


def aci_209(days: float, cement: str = "I", cure: str = "moist") -> float:
    """Strength by that of 28 days: t/(a + b t)."""
    a, b = ACI_209_TERMS[cure, cement]
    return days / (a + b * days) if days > 0 else 0.0


def eurocode(days: float, s: float = 0.25) -> float:
    """Mean strength by that of 28 days: exp(s (1 - sqrt(28/t)))."""
    return math.exp(s * (1 - math.sqrt(28 / days))) if days > 0 else 0.0


def model_code(days: float, cement: str = "42.5 N", mean_mpa: float = 30.0) -> float:
    """Mean strength by that of 28 days, as :func:`eurocode` with the Model Code's s: 0.20 above 60 MPa."""
    return eurocode(days, 0.20 if mean_mpa > 60 else MODEL_CODE_S[cement])


def required_average_psi(specified_psi: float, deviation_psi: float) -> float:
    """Average the plant aims at [psi]: the larger of fc + 1.34 s and fc + 2.33 s - 500, for fc up to 5000 psi."""
    if not 0 < specified_psi <= 5000:
        raise HeatError("This rule is for specified strengths up to 5000 psi.")
    return max(specified_psi + 1.34 * deviation_psi, specified_psi + 2.33 * deviation_psi - 500)


@dataclass(frozen=True, slots=True)
class Curve:
    """Strength by equivalent age. ``spread`` is the part of itself it is known to; ``known_to_h`` where it ends.

    ``age_rule`` makes the age out of (hours, temperatures): that of ASTM C1074 unless the curve goes with another.
    """

    name: str
    psi_at: Callable[[float], float]
    source: Source
    spread: float = SPREAD
    factor: float = 1.0
    known_to_h: float = float("inf")
    note: str = ""
    age_rule: AgeRule = equivalent_age

    def psi(self, age_h: float) -> float:
        """Strength [psi] at an equivalent age [h]."""
        return self.factor * self.psi_at(min(age_h, self.known_to_h)) if age_h > 0 else 0.0

    def through(self, ages_h: Array) -> Array:
        """Strength [psi] at ages [h]."""
        return np.array([self.psi(float(age)) for age in ages_h])

    def scaled(self, factor: float) -> Curve:
        """The same curve, so much stronger."""
        return replace(self, factor=self.factor * factor)

    def age_of(self, psi: float) -> float | None:
        """Equivalent age [h] at which a strength is reached, None where it never is (within 10 years)."""
        low, high = 0.0, min(self.known_to_h, 87600.0)
        if psi <= 0:
            return 0.0
        if self.psi(high) < psi:
            return None
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.psi(middle) < psi else (low, middle)
        return high


def usual_curve(psi_28: float, cement: str = "I") -> Curve:
    """ACI 209 for moist curing from the strength of 28 days; nothing before it sets."""
    _positive(psi_28)
    return Curve(
        f"ACI 209, Type {cement}, {psi_28:g} psi at 28 days",
        lambda age: psi_28 * aci_209(age / 24, cement) if age >= SET_H else 0.0,
        ACI_209, note="A usual curve, not this mix's.",
    )  # fmt: skip


def eurocode_curve(mean_psi_28: float, kind: str = "N") -> Curve:
    """Eurocode 2 from the mean strength of 28 days; kind R, N or S of cement."""
    _positive(mean_psi_28)
    s = EUROCODE_S[kind]
    return Curve(
        f"Eurocode 2, class {kind}, {mean_psi_28:g} psi at 28 days",
        lambda age: mean_psi_28 * eurocode(age / 24, s) if age >= SET_H else 0.0,
        EUROCODE, note="A usual curve of the mean strength, not this mix's.", age_rule=model_code_age,
    )  # fmt: skip


def model_code_curve(mean_psi_28: float, cement: str = "42.5 N") -> Curve:
    """Model Code 2010 from the mean strength of 28 days and the strength class of the cement."""
    _positive(mean_psi_28)
    mean_mpa = mean_psi_28 / PSI_PER_MPA
    return Curve(
        f"Model Code 2010, cement {cement}, {mean_psi_28:g} psi at 28 days",
        lambda age: mean_psi_28 * model_code(age / 24, cement, mean_mpa) if age >= SET_H else 0.0,
        MODEL_CODE, note="A usual curve of the mean strength, not this mix's.", age_rule=model_code_age,
    )  # fmt: skip


def own_curve(points: Sequence[tuple[float, float]], source: str = "the mix's own curve, as typed") -> Curve:
    """The mix's own: (days at 20 C, psi), straight against the logarithm of age between points.

    Below the first point a straight line from setting; beyond the last it stays, because nothing is known there.
    HeatError where points do not grow.
    """
    ordered = sorted((float(d) * 24, float(p)) for d, p in points)
    if len(ordered) < 2:
        raise HeatError("A curve needs at least two points: days and psi.")
    for (d0, p0), (d1, p1) in pairwise(ordered):
        if not (0 < d0 < d1 and 0 < p0 <= p1):
            raise HeatError(f"The curve falls or repeats at {d1 / 24:g} days: strength must grow with age.")
    ages, values = np.log([a for a, _ in ordered]), np.array([p for _, p in ordered])
    first, psi_first = ordered[0]
    begins = min(SET_H, first / 2)

    def psi(age: float) -> float:
        if age < first:
            return max(age - begins, 0.0) / (first - begins) * psi_first
        return float(np.interp(math.log(age), ages, values))

    return Curve(
        "the mix's own curve", psi, Source(source), known_to_h=ordered[-1][0], note="Beyond its last point it is held."
    )


def _positive(psi: float) -> None:
    if not psi > 0:
        raise HeatError("A strength at 28 days must be more than nothing.")


# -- cylinder breaks ----------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Break:
    """A cylinder: its equivalent age [h] when broken (from its own temperatures) and its strength [psi]."""

    age_h: float
    psi: float


@dataclass(frozen=True, slots=True)
class Corrected:
    """A curve made to fit breaks: by what factor, and how far the breaks scatter about it (parts of it)."""

    curve: Curve
    factor: float
    scatter: float
    before_rms_psi: float
    after_rms_psi: float
    words: str


def corrected(curve: Curve, breaks: Sequence[Break]) -> Corrected:
    """Scale a curve by breaks: least squares of strength on the curve. One factor; the shape stays.

    The spread becomes what the breaks scatter, never under 5 % and with fewer than three breaks never under the
    curve's own. HeatError where a break cannot be compared.
    """
    if not breaks:
        raise HeatError("There is no break to correct by.")
    told = np.array([curve.psi(b.age_h) for b in breaks])
    found = np.array([b.psi for b in breaks])
    if not np.all(told > 0) or not np.all(found > 0):
        raise HeatError("A cylinder was broken before the curve has any strength, or has none itself.")
    factor = float((found * told).sum() / (told * told).sum())
    rest = found / (factor * told) - 1
    scatter = float(np.sqrt((rest**2).sum() / max(len(breaks) - 1, 1)))
    spread = max(scatter, 0.05) if len(breaks) >= 3 else max(scatter, curve.spread)
    before = float(np.sqrt(((found - told) ** 2).mean()))
    after = float(np.sqrt(((found - factor * told) ** 2).mean()))
    words = (
        f"{len(breaks)} break{'s' if len(breaks) > 1 else ''}: the curve is taken x {factor:.2f}; it missed by "
        f"{before:,.0f} psi before and misses by {after:,.0f} psi after."
    )
    if not 0.7 <= factor <= 1.4:
        words += " That is far from the curve: ask the ready-mix supplier what was delivered."
    fitted = replace(curve.scaled(factor), spread=spread, note=f"{curve.note} Corrected by breaks.".strip())
    return Corrected(fitted, factor, scatter, before, after, words)
