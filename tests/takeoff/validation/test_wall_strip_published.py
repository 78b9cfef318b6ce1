"""The strip of wall against the printed tables it stands behind, statics done by sums, and a section library.

* IRC 2021 Tables R404.1.2(2) to (4) and (8): with a load factor of 1.6, phi 0.9, concrete of 2,500 psi, Grade 60 and a
  wall half an inch under nominal, the strip gives the printed spacings of reinforced cells.
* structuralcodes (fib): bending strength of a concrete section with a parabola-rectangle law in place of the stress
  block.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from structuralcodes.geometry import RectangularGeometry, add_reinforcement
from structuralcodes.materials.basic import ElasticPlasticMaterial, GenericMaterial
from structuralcodes.materials.constitutive_laws import ParabolaRectangle
from structuralcodes.sections import BeamSection

from takeoff.laps import bar_size
from takeoff.strength.capacity import (
    CRUSHING,
    EARTH_FACTOR,
    STEEL_MODULUS_PSI,
    Section,
    area_needed_in2,
    area_per_foot_in2,
    moment_capacity_lb_ft,
    nominal_moment_lb_ft,
    thickness_in,
)
from takeoff.strength.prescriptive import INSIDE_COVER, WIDEST
from takeoff.strength.strip import EarthLoad, cantilever, pinned
from tests.takeoff.validation.test_wall_tables_printed import CENTRE, INSIDE

FC, FY = 2500.0, 60_000.0


# -- the printed tables ----------------------------------------------------------------------------
def spacing_by_strip(thickness: int, height: str, fill: str, soil: int, bar: int, inside: bool) -> float:
    """Spacing [in] at which the strip needs just this bar, 48 at most."""
    moment = EARTH_FACTOR * pinned(EarthLoad(float(height), float(fill), soil)).moment
    thick, size = thickness_in(thickness), bar_size(bar)
    depth = thick - INSIDE_COVER.inch - size.diameter / 2 if inside else thick / 2
    area = area_needed_in2(moment, depth, FC, FY)
    assert area is not None
    return min(float(WIDEST), size.area * 12 / area)


def far_off(
    cells: list[tuple[str, int, tuple[str, ...], int, str]], inside: bool
) -> tuple[int, set[tuple[object, ...]]]:
    """How many reinforced cells there are, and those the strip misses by more than an inch."""
    count, missed = 0, set()
    for _, thickness, (height, fill), soil, cell in cells:
        if "@" not in cell:
            continue
        bar, printed = (int(part.rstrip("lmj")) for part in cell.split(" @ "))
        count += 1
        if abs(round(spacing_by_strip(thickness, height, fill, soil, bar, inside)) - printed) > 1:
            missed.add((thickness, height, fill, soil))
    return count, missed


def test_cells_with_bars_at_the_middle_of_the_wall() -> None:
    """81 of 82 within an inch; the one missed is the #6 @ 39 that its neighbours show to be a slip for #5."""
    count, missed = far_off(CENTRE, inside=False)
    assert count == 82 and missed == {(6, "8", "5", 45)}
    assert round(spacing_by_strip(6, "8", "5", 45, 5, inside=False)) == 39


def test_cells_with_bars_near_the_inside_face() -> None:
    """94 of 100 within an inch. Missed: the same slip (#6 for #5), three #4 @ 48 that lean on plain concrete, and two
    that the strip lets stand an inch or two wider."""
    count, missed = far_off(INSIDE, inside=True)
    assert count == 100
    assert missed == {
        (8, "9", "6", 60), (12, "9", "8", 60), (10, "10", "9", 30), (12, "10", "9", 45), (6, "8", "6", 60),
        (10, "10", "9", 45),
    }  # fmt: skip
    assert round(spacing_by_strip(8, "9", "6", 60, 5, inside=True)) == 39


# -- statics ---------------------------------------------------------------------------------------
LOADS = [
    EarthLoad(8, 8, 60), EarthLoad(9, 7, 45), EarthLoad(10, 4, 30), EarthLoad(8, 5, 45, 1.5), EarthLoad(9, 1, 45, 7),
]  # fmt: skip


@pytest.mark.parametrize("load", LOADS, ids=lambda v: f"{v.span:g}-{v.fill:g}-{v.balanced:g}")
def test_moments_by_sums_of_many_slices(load: EarthLoad) -> None:
    """Simple beam and cantilever under the net pressure cut into 40,000 slices. Statics, no source."""
    y = (np.arange(40_000) + 0.5) * load.span / 40_000
    net = load.pressure * np.clip(load.fill + load.balanced - y, 0, load.fill)
    slices = net * load.span / 40_000
    top = float((slices * y).sum() / load.span)
    shear = top - np.cumsum(slices[::-1])
    moments = np.cumsum(shear) * load.span / 40_000
    found = pinned(load)
    assert found.top == pytest.approx(top, rel=1e-3)
    assert found.foot == pytest.approx(float(slices.sum()) - top, rel=1e-3)
    assert found.moment == pytest.approx(float(moments.max()), rel=1e-3)
    assert found.at == pytest.approx(load.span - (float(moments.argmax()) + 1) * load.span / 40_000, abs=0.01)
    assert cantilever(load).moment == pytest.approx(float((slices * y).sum()), rel=1e-3)
    assert cantilever(load).foot == pytest.approx(load.total)


def test_triangle_over_the_whole_height() -> None:
    """Handbook beam under a triangle: most moment 2 W L / (9 sqrt 3) at 0.5774 L from the light end, W = q L^2 / 2."""
    found, whole = pinned(EarthLoad(9, 9, 45)), 45 * 81 / 2
    assert found.moment == pytest.approx(2 * whole * 9 / (9 * math.sqrt(3)))
    assert 9 - found.at == pytest.approx(9 / math.sqrt(3))
    assert (found.top, found.foot) == (pytest.approx(whole / 3), pytest.approx(2 * whole / 3))


# -- sections --------------------------------------------------------------------------------------
MPA, MM, NMM_PER_LB_FT = 0.00689476, 25.4, 4.44822 * 304.8


def by_library(section: Section, thick: float) -> float:
    """Bending strength of the same section by structuralcodes [lb ft]."""
    law = ParabolaRectangle(fc=0.85 * section.fc_psi * MPA, eps_0=-0.002, eps_u=-CRUSHING)
    concrete = GenericMaterial(density=2400, constitutive_law=law)
    steel = ElasticPlasticMaterial(E=STEEL_MODULUS_PSI * MPA, fy=section.fy_psi * MPA, density=7850, eps_su=0.2)
    body = RectangularGeometry(12 * MM, thick * MM, concrete)
    diameter = 2 * math.sqrt(section.area / math.pi) * MM
    body = add_reinforcement(body, (0, (thick / 2 - section.depth) * MM), diameter, steel)
    strength = BeamSection(body).section_calculator.calculate_bending_strength()
    return abs(float(strength.m_y)) / NMM_PER_LB_FT


@pytest.mark.parametrize(
    ("core", "bar", "spacing", "fy", "fc"),
    [(8, 5, 18, 60_000, 3000), (6, 6, 12, 60_000, 2500), (10, 4, 24, 40_000, 3500), (8, 6, 13, 60_000, 2500)],
    ids=["structuralcodes-8in", "structuralcodes-6in", "structuralcodes-10in", "structuralcodes-8in-heavy"],
)
def test_bending_strength_of_wall_sections(core: int, bar: int, spacing: int, fy: float, fc: float) -> None:
    """Within 2%: bars at the middle of a wall half an inch under nominal, nominal strength."""
    thick = thickness_in(core)
    section = Section(area_per_foot_in2(bar_size(bar).area, spacing), thick / 2, fy, fc)
    assert nominal_moment_lb_ft(section) == pytest.approx(by_library(section, thick), rel=0.02)


def test_bending_strength_where_the_steel_does_not_yield() -> None:
    """structuralcodes: heavy steel in concrete of 1,000 psi, within 7% (the block and the parabola part there)."""
    section = Section(0.9, 2.75, 60_000, 1000)
    assert nominal_moment_lb_ft(section) == pytest.approx(by_library(section, 5.5), rel=0.07)
    assert moment_capacity_lb_ft(section) == pytest.approx(0.65 * nominal_moment_lb_ft(section))
