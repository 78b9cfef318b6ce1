"""Development and lap lengths of deformed bars in tension by the equations of the concrete code.

Coded in psi and inches as printed. Normal-weight concrete, uncoated bars. The equations were read in McCormac and
Brown, Design of Reinforced Concrete, 9th edition, chapter 7 (ACI 318-11); they stand unchanged in ACI 318-19, 25.4.2
and 25.5.2, whose numbering and grade factor are from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from takeoff.sources import Source

EQUATION: Final = Source("ACI 318-19 25.4.2.4 as read in McCormac and Brown", "9th ed.", "chapter 7 (ACI 318-11)")
SIMPLE: Final = Source("ACI 318-19 25.4.2.3 as read in McCormac and Brown", "9th ed.", "chapter 7 (ACI 318-11)")
LAPS: Final = Source("ACI 318-19 25.5.2 as read in McCormac and Brown", "9th ed.", "chapter 7 (ACI 318-11)")

#: Neither a development nor a lap in tension is shorter [in].
LEAST_IN: Final = 12.0

#: sqrt(f'c) counts no more than this [psi]: concrete above 10,000 psi gains nothing.
MOST_ROOT_PSI: Final = 100.0

#: (cb + Ktr) / db counts no more than this.
MOST_CONFINEMENT: Final = 2.5

#: Horizontal bars with more than this much fresh concrete under them [in] are top bars.
TOP_BAR_ABOVE_IN: Final = 12.0
TOP_BAR: Final = 1.3

#: Bars #6 and smaller bond better in proportion.
SMALL_BAR: Final = 0.8
LARGEST_SMALL_BAR: Final = 6

#: Top-bar and coating factors together count no more than this.
MOST_TOP_AND_COATING: Final = 1.7

#: Tension laps: class A where twice the steel needed stands there and no more than half is lapped at one place.
CLASS_A: Final = 1.0
CLASS_B: Final = 1.3


#: Yields up to which a bar counts as Grade 60 and 80 [psi]: 420 and 550 MPa.
GRADE_60_MOST: Final = 60_920.0
GRADE_80_MOST: Final = 80_000.0


@dataclass(frozen=True, slots=True)
class Bond:
    """What bond is asked of: bar number and diameter [in], yield [psi], concrete [psi], and how the bar lies.

    ``confinement`` is (cb + Ktr) / db; None where cover and spacing are not known. ``coating`` 1.0 is an uncoated bar;
    ``weight`` 1.0 normal-weight concrete.
    """

    number: int
    diameter_in: float
    fy_psi: float
    fc_psi: float
    confinement: float | None = None
    top_bar: bool = False
    coating: float = 1.0
    weight: float = 1.0

    @property
    def root_psi(self) -> float:
        """sqrt(f'c) [psi], 100 at most."""
        return min(math.sqrt(self.fc_psi), MOST_ROOT_PSI)

    @property
    def top_and_coating(self) -> float:
        """Top-bar factor times coating factor, 1.7 at most."""
        return min((TOP_BAR if self.top_bar else 1.0) * self.coating, MOST_TOP_AND_COATING)


def grade_factor(fy_psi: float) -> float:
    """1.0 up to Grade 60 (420 MPa, a little more in psi), 1.15 for Grade 80, 1.3 for Grade 100; between them the next
    greater. ACI 318-19 Table 25.4.2.5, from memory."""
    if fy_psi <= GRADE_60_MOST:
        return 1.0
    return 1.15 if fy_psi <= GRADE_80_MOST else 1.3


def confinement(cover_in: float, spacing_in: float, diameter_in: float) -> float:
    """(cb + Ktr) / db without stirrups (Ktr 0), 2.5 at most; cb is the smaller of ``cover_in`` to the bar's centre and
    half the spacing of bars centre to centre [in]. ACI 318-19 25.4.2.4."""
    return min(min(cover_in, spacing_in / 2) / diameter_in, MOST_CONFINEMENT)


def development_diameters(bond: Bond, size_factor: float | None = None) -> float:
    """ld / db = 3 fy psi_t psi_e psi_s psi_g / (40 lambda sqrt(f'c) confinement), before the 12 in floor.

    Raises ValueError where the confinement is not known: then :func:`simple_diameters` is to be used.
    """
    if bond.confinement is None:
        raise ValueError("cover and spacing must be known for the general equation")
    small = SMALL_BAR if bond.number <= LARGEST_SMALL_BAR else 1.0
    size = small if size_factor is None else size_factor
    factors = bond.top_and_coating * size * grade_factor(bond.fy_psi)
    held = min(bond.confinement, MOST_CONFINEMENT)
    return 3 / 40 * bond.fy_psi / (bond.weight * bond.root_psi) * factors / held


def simple_diameters(bond: Bond) -> float:
    """ld / db = fy psi_t psi_e psi_g / (25 lambda sqrt(f'c)) up to #6, / 20 from #7, before the 12 in floor.

    For bars with clear spacing of 2 db and cover of 1 db or more: wall, footing and lintel bars here always have both.
    """
    divisor = 25 if bond.number <= LARGEST_SMALL_BAR else 20
    return bond.fy_psi * bond.top_and_coating * grade_factor(bond.fy_psi) / (divisor * bond.weight * bond.root_psi)


def development_in(bond: Bond) -> float:
    """Development length of a straight bar in tension [in], 12 in at least: by the general equation where cover and
    spacing are known, else by the simple one."""
    ratio = simple_diameters(bond) if bond.confinement is None else development_diameters(bond)
    return max(LEAST_IN, ratio * bond.diameter_in)


def lap_in(bond: Bond, lap_class: float = CLASS_B) -> float:
    """Lap splice in tension [in]: class times development, 12 in at least. The 12 in floor of the development length
    does not enter before the class factor. ACI 318-19 25.5.2."""
    ratio = simple_diameters(bond) if bond.confinement is None else development_diameters(bond)
    return max(LEAST_IN, lap_class * ratio * bond.diameter_in)


def lap_class(provided_over_required: float, share_lapped: float) -> float:
    """1.0 (class A) where twice the steel required is there and no more than half is lapped at one place, else 1.3
    (class B). ACI 318-19 25.5.2.1."""
    return CLASS_A if provided_over_required >= 2 and share_lapped <= 0.5 else CLASS_B


def compression_lap_in(fy_psi: float, diameter_in: float, fc_psi: float) -> float:
    """Lap of bars in compression [in]: 0.0005 fy db for fy up to 60,000 psi, (0.0009 fy - 24) db above, a third more
    under 3,000 psi, 12 in at least. ACI 318-19 25.5.5.1; the second formula from memory."""
    ratio = 0.0005 * fy_psi if fy_psi <= 60_000 else 0.0009 * fy_psi - 24
    return max(LEAST_IN, ratio * diameter_in * (4 / 3 if fc_psi < 3000 else 1.0))


def compression_development_in(fy_psi: float, diameter_in: float, fc_psi: float, weight: float = 1.0) -> float:
    """Development in compression [in]: the larger of fy / (50 lambda sqrt(f'c)) and 0.0003 fy diameters, 8 in at
    least; 0.02 fy / sqrt(f'c) in ACI 318-11. ACI 318-19 25.4.9.2."""
    root = min(math.sqrt(fc_psi), MOST_ROOT_PSI)
    return max(8.0, fy_psi / (50 * weight * root) * diameter_in, 0.0003 * fy_psi * diameter_in)


def hook_in(fy_psi: float, diameter_in: float, fc_psi: float, coating: float = 1.0, weight: float = 1.0) -> float:
    """Development of a standard hook [in] by ACI 318-11: 0.02 psi_e fy db / (lambda sqrt(f'c)), the larger of 8 db and
    6 in at least. The 2019 equation is another one; the residential code prints hooks of #4 to #6 in its own table."""
    root = min(math.sqrt(fc_psi), MOST_ROOT_PSI)
    return max(0.02 * coating * fy_psi / (weight * root) * diameter_in, 8 * diameter_in, 6.0)
