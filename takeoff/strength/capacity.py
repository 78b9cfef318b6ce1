"""What a strip of reinforced wall carries: bending by the rectangular stress block, shear by the concrete alone.

psi, inches, and lb ft per ft of wall. The stress block, the strength reduction and the least steel are those of ACI
318 as taught in McCormac and Brown, 9th edition (from memory where no value is cited); with them, a load factor of
1.6 and a wall half an inch under its nominal thickness the reinforced cells of IRC Tables R404.1.2(2) to (4) come
out within an inch in 81 of 82 cases.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from takeoff.sources import Source

MODEL: Final = Source("strip of wall, load factor 1.6, ACI 318 stress block, phi 0.9", seen=False)

#: Strip width [in]: moments and areas are per foot of wall.
WIDTH_IN: Final = 12.0

#: Load factor on lateral earth pressure (ACI 318 5.3.1, ASCE 7, from memory).
EARTH_FACTOR: Final = 1.6

PHI_BENDING: Final = 0.9
PHI_COMPRESSION: Final = 0.65
PHI_SHEAR: Final = 0.75

#: Strain of concrete at failure, and of steel where a section is tension controlled.
CRUSHING: Final = 0.003
TENSION_CONTROLLED: Final = 0.005
STEEL_MODULUS_PSI: Final = 29_000_000.0

#: A flat wall may be this much thinner than its nominal thickness [in]. IRC 2021 Table R608.3, note c.
UNDER_NOMINAL_IN: Final = 0.5

#: Steel below the least area needs a third more strength than the load asks (ACI 318 9.6.1.3, from memory).
LIGHT_STEEL: Final = 4 / 3


@dataclass(frozen=True, slots=True)
class Section:
    """One foot of wall: steel area [in2/ft], its depth from the face in compression [in], yield and concrete [psi]."""

    area: float
    depth: float
    fy_psi: float
    fc_psi: float


def thickness_in(core_in: float) -> float:
    """Thickness counted on [in]: nominal less the half inch a wall may be thinner."""
    return core_in - UNDER_NOMINAL_IN


def stress_block(fc_psi: float) -> float:
    """beta1: 0.85 up to 4,000 psi, 0.05 less for each 1,000 psi above, 0.65 at least. ACI 318 22.2.2.4.3."""
    return min(0.85, max(0.65, 0.85 - 0.05 * (fc_psi - 4000) / 1000))


def neutral_axis_in(section: Section) -> float:
    """Depth of the neutral axis at failure [in]; where the steel does not reach its yield, from its strain."""
    block = 0.85 * section.fc_psi * stress_block(section.fc_psi) * WIDTH_IN
    c = section.area * section.fy_psi / block
    if CRUSHING * (section.depth - c) >= section.fy_psi / STEEL_MODULUS_PSI * c:
        return c
    elastic = section.area * STEEL_MODULUS_PSI * CRUSHING
    return (-elastic + math.sqrt(elastic**2 + 4 * block * elastic * section.depth)) / (2 * block)


def steel_strain(section: Section) -> float:
    """Strain of the steel at failure: 0.003 (d - c) / c."""
    c = neutral_axis_in(section)
    return CRUSHING * (section.depth - c) / c


def nominal_moment_lb_ft(section: Section) -> float:
    """Mn = As fs (d - a / 2), fs the yield or what the strain gives. ACI 318 22.2."""
    if section.area <= 0 or section.depth <= 0:
        return 0.0
    c = neutral_axis_in(section)
    steel = min(section.fy_psi, STEEL_MODULUS_PSI * CRUSHING * (section.depth - c) / c)
    return section.area * steel * (section.depth - stress_block(section.fc_psi) * c / 2) / 12


def reduction(section: Section) -> float:
    """phi: 0.9 where the steel strains 0.005 or more, 0.65 at its yield, straight between. ACI 318 21.2.2."""
    strain, yields = steel_strain(section), section.fy_psi / STEEL_MODULUS_PSI
    share = (strain - yields) / (TENSION_CONTROLLED - yields)
    return PHI_COMPRESSION + (PHI_BENDING - PHI_COMPRESSION) * min(1.0, max(0.0, share))


@lru_cache(maxsize=4096)
def moment_capacity_lb_ft(section: Section) -> float:
    """phi Mn [lb ft per ft]."""
    if section.area <= 0 or section.depth <= 0:
        return 0.0
    return reduction(section) * nominal_moment_lb_ft(section)


def shear_capacity_lb(section: Section) -> float:
    """phi 2 sqrt(f'c) b d [lb per ft]: concrete alone, no steel across. ACI 318-14 22.5.5.1, from memory."""
    return PHI_SHEAR * 2 * math.sqrt(section.fc_psi) * WIDTH_IN * max(0.0, section.depth)


def least_area_in2(depth_in: float, fc_psi: float, fy_psi: float) -> float:
    """Least steel of a section in bending [in2/ft]: the larger of 3 sqrt(f'c) and 200, over fy, times b d. ACI 318
    9.6.1.2."""
    return max(3 * math.sqrt(fc_psi), 200.0) / fy_psi * WIDTH_IN * depth_in


def area_needed_in2(moment_lb_ft: float, depth_in: float, fc_psi: float, fy_psi: float) -> float | None:
    """Steel whose capacity at phi 0.9 is the factored moment [in2/ft], not less than the smaller of the least area and
    a third more than the moment needs; None where no steel does.

    As = 0.85 f'c b / fy x (d - sqrt(d^2 - 2 M / (0.85 f'c b phi))).
    """
    block = 0.85 * fc_psi * WIDTH_IN
    under_root = depth_in**2 - 2 * moment_lb_ft * 12 / (block * PHI_BENDING)
    if under_root < 0 or depth_in <= 0:
        return None
    area = block / fy_psi * (depth_in - math.sqrt(under_root))
    return max(area, min(least_area_in2(depth_in, fc_psi, fy_psi), LIGHT_STEEL * area))


def moment_to_carry_lb_ft(section: Section, factored_lb_ft: float) -> float:
    """The factored moment, a third more where the steel is under the least area. ACI 318 9.6.1.3."""
    light = section.area < least_area_in2(section.depth, section.fc_psi, section.fy_psi)
    return factored_lb_ft * (LIGHT_STEEL if light else 1.0)


def area_per_foot_in2(bar_area_in2: float, spacing_in: float) -> float:
    """Steel of bars at a spacing [in2 per ft of wall]."""
    return bar_area_in2 * WIDTH_IN / spacing_in
