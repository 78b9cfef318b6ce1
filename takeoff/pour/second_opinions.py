"""Other rules for pressure on forms, to lay beside the one that is used: DIN 18218 and CIRIA Report 108.

They are for comparison on the sheet, not for choosing the kinder number.
"""

from __future__ import annotations

from enum import StrEnum
from math import sqrt

from takeoff.sources import Source

DIN_18218 = Source("DIN 18218", "2010-01", "pressure by consistency class, setting time 5 h", seen=False)
CIRIA_108 = Source("CIRIA Report 108", "", "pressure of concrete on formwork, as worked on an engineering forum")
PSF_PER_KPA = 20.885434
FT_PER_M = 1 / 0.3048


class Consistency(StrEnum):
    """Consistency by flow table, EN 206: stiff, plastic, soft, very soft."""

    F1 = "F1"
    F2 = "F2"
    F3 = "F3"
    F4 = "F4"


#: Slope [kPa per m/h] and start [kPa]; from memory.
_DIN = {
    Consistency.F1: (5.0, 21.0),
    Consistency.F2: (10.0, 19.0),
    Consistency.F3: (14.0, 18.0),
    Consistency.F4: (17.0, 17.0),
}
DIN_LEAST_KPA = 25.0
DIN_FASTEST_M_H = 7.0


def din_18218_kpa(
    consistency: Consistency, rate_m_h: float, height_m: float, k1: float = 1.0, weight_kn_m3: float = 25.0
) -> float:
    """Pressure [kPa]: (a v + b) K1, at least 25, at most the liquid head. ``k1`` is 1 for concrete set after 5 h.

    From memory. Raises ValueError above 7 m/h, where the rule ends.
    """
    if not 0 < rate_m_h <= DIN_FASTEST_M_H:
        raise ValueError(f"DIN 18218 holds for rises up to {DIN_FASTEST_M_H:g} m/h, not {rate_m_h:g}.")
    slope, start = _DIN[consistency]
    return min(max((slope * rate_m_h + start) * k1, DIN_LEAST_KPA), weight_kn_m3 * height_m)


def ciria_108_kpa(
    rate_m_h: float, height_m: float, concrete_c: float, c1: float = 1.0, c2: float = 0.3,
    weight_kn_m3: float = 25.0, form_m: float | None = None,
) -> float:  # fmt: skip
    """Pressure [kPa]: D (C1 sqrt R + C2 K sqrt(H - C1 sqrt R)), K = (36 / (T + 16))^2, at most the liquid head.

    ``c1`` 1.0 for walls and 1.5 for columns, ``c2`` by cement and admixture (0.3 to 0.6), ``form_m`` height of the
    form where it is higher than the pour. Where C1 sqrt R is over the form's height the liquid head governs.
    """
    reach = c1 * sqrt(rate_m_h)
    rest = (form_m or height_m) - reach
    liquid = weight_kn_m3 * height_m
    if rest <= 0:
        return liquid
    k = (36 / (concrete_c + 16)) ** 2
    return min(weight_kn_m3 * (reach + c2 * k * sqrt(rest)), liquid)
