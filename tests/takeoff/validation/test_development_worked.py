"""Development and lap lengths against worked examples of a textbook.

McCormac and Brown, Design of Reinforced Concrete, 9th edition (ACI 318-11), chapters 7 and 12; each id names the
example. Values were read in the book unless the id says 'computed' (from the formula read there).
"""

from __future__ import annotations

import math

import pytest

from takeoff.laps import bar_size, lap_splice, printed_length
from takeoff.site import LapsFrom
from takeoff.strength.development import (
    Bond,
    compression_development_in,
    compression_lap_in,
    confinement,
    development_diameters,
    development_in,
    grade_factor,
    hook_in,
    lap_class,
    lap_in,
    simple_diameters,
)
from takeoff.units import Length

FY = 60_000.0


@pytest.mark.parametrize(
    ("bond", "diameters"),
    [
        pytest.param(Bond(7, 0.875, FY, 3000, 1.867), 44, id="Example 7.2b"),
        pytest.param(Bond(7, 0.875, FY, 3500, 2.275, True, weight=0.75), 58, id="Example 7.4b"),
        pytest.param(Bond(7, 0.875, FY, 3500, 2.0, True, weight=0.75), 66, id="Example 7.4c"),
        pytest.param(Bond(7, 0.875, 420 / 0.00689476, 21 / 0.00689476, 1.87, coating=1.5), 66.2, id="Example 7.10b"),
    ],
)
def test_general_equation(bond: Bond, diameters: float) -> None:
    assert development_diameters(bond) == pytest.approx(diameters, abs=0.6)


@pytest.mark.parametrize(
    ("bond", "diameters"),
    [
        pytest.param(Bond(7, 0.875, FY, 3500, coating=1.5), 76, id="Example 7.3a"),
        pytest.param(Bond(7, 0.875, FY, 3500, top_bar=True, weight=0.75), 88, id="Example 7.4a"),
    ],
)
def test_simple_equation(bond: Bond, diameters: float) -> None:
    assert simple_diameters(bond) == pytest.approx(diameters, abs=0.5)


def test_top_bar_and_coating_together_count_no_more_than_1_7() -> None:
    """Example 7.6a: 69 in, the book rounding to 61 diameters first."""
    assert development_in(Bond(9, 1.128, FY, 4000, 1.99, True, 1.5)) == pytest.approx(69, abs=1.0)


def test_less_where_more_steel_stands_than_needed() -> None:
    """Problem 7.25: wall footing #7 @ 9 in, 3 in to the bar's side, steel needed over provided 0.65 / 0.80."""
    held = confinement(3 + 0.875 / 2, 9, 0.875)
    assert held == 2.5
    assert 0.65 / 0.80 * development_in(Bond(7, 0.875, FY, 4000, held)) == pytest.approx(20.2, abs=0.05)


def test_hooks() -> None:
    """Example 7.6b, c: #9, coated, 4,000 psi."""
    assert hook_in(FY, 1.128, 4000, coating=1.2) == pytest.approx(25.68, abs=0.01)


def test_dowels_in_compression() -> None:
    """Example 12.3: #6 into a lightweight column of 4,000 psi and into a footing of 3,000 psi."""
    assert compression_development_in(FY, 0.75, 4000, 0.85) == pytest.approx(16.74, abs=0.01)
    assert compression_development_in(FY, 0.75, 3000) == pytest.approx(16.43, abs=0.01)


def test_laps_in_compression() -> None:
    """0.0005 fy db, 12 in at least, a third more under 3,000 psi: #5 18.75 in."""
    assert compression_lap_in(FY, 0.625, 3000) == 18.75
    assert compression_lap_in(FY, 0.625, 2500) == pytest.approx(25.0)
    assert compression_lap_in(40_000, 0.375, 3000) == 12.0


@pytest.mark.parametrize(
    ("strength", "development", "laps"),
    [
        pytest.param(2500, (24, 30, 36), (31.2, 39, 46.8), id="chapter 7, computed, 2500 psi"),
        pytest.param(3000, (21.9, 27.4, 32.9), (28.5, 35.6, 42.7), id="chapter 7, computed, 3000 psi"),
    ],
)
def test_simple_lengths_of_wall_bars(strength: float, development: tuple[float, ...], laps: tuple[float, ...]) -> None:
    for bar, length, lap in zip((4, 5, 6), development, laps, strict=True):
        bond = Bond(bar, bar_size(bar).diameter, FY, strength)
        assert development_in(bond) == pytest.approx(length, abs=0.1)
        assert lap_in(bond) == pytest.approx(lap, abs=0.1)


def test_classes_of_tension_laps() -> None:
    """Class A 1.0, B 1.3, never under 12 in: A only with twice the steel and half of it lapped at one place."""
    assert [lap_class(2.0, 0.5), lap_class(1.9, 0.5), lap_class(2.0, 0.6)] == [1.0, 1.3, 1.3]
    assert lap_in(Bond(3, 0.375, 40_000, 5000, 2.5)) == 12.0


def test_the_class_comes_before_the_least_length() -> None:
    """1.3 x ld, not 1.3 x 12 in, where ld itself is under 12 in."""
    bond = Bond(4, 0.5, FY, 4000, 2.5)
    assert development_in(bond) == 12.0
    assert lap_in(bond) == pytest.approx(1.3 * development_diameters(bond) * 0.5)


def test_grade_factor_from_memory() -> None:
    """ACI 318-19 Table 25.4.2.5: 1.0 to Grade 60, 1.15 Grade 80, 1.3 Grade 100."""
    assert [grade_factor(fy) for fy in (40_000, 60_000, 75_000, 80_000, 100_000)] == [1.0, 1.0, 1.15, 1.15, 1.3]


def test_general_equation_refuses_what_is_not_known() -> None:
    with pytest.raises(ValueError, match="cover and spacing"):
        development_diameters(Bond(5, 0.625, FY, 3000))


@pytest.mark.parametrize("bar", [4, 5, 6])
def test_table_equation_or_the_larger(bar: int) -> None:
    """The code's table beside the simple equation at 2,500 psi: the larger of them is what 'larger' takes."""
    table = lap_splice(bar, 60, 2500, LapsFrom.CODE_TABLE)
    equation = lap_splice(bar, 60, 2500, LapsFrom.EQUATIONS)
    larger = lap_splice(bar, 60, 2500, LapsFrom.LARGER)
    assert table.length == printed_length("lap splice in tension", bar, 60) == equation.table
    assert equation.length == Length.inches(math.ceil(1.3 * FY / (25 * 50) * bar_size(bar).diameter))
    assert larger.length == max(table.length, equation.length)
    assert "governs" in table.basis and f"{equation.length.inch:.0f} in" in table.basis
    assert all(lap.printed for lap in (table, equation, larger))


@pytest.mark.parametrize(("bar", "grade"), [(3, 60), (7, 60), (8, 60), (5, 75)])
def test_a_bar_the_table_does_not_print_takes_the_equation(bar: int, grade: int) -> None:
    for rule in LapsFrom:
        lap = lap_splice(bar, grade, 3000, rule)
        bond = Bond(bar, bar_size(bar).diameter, grade * 1000, 3000)
        assert not lap.printed and lap.table is None
        assert lap.length == Length.inches(math.ceil(lap_in(bond) - 1e-9))


def test_top_bars_lap_thirty_percent_more() -> None:
    low, high = lap_in(Bond(5, 0.625, FY, 3000)), lap_in(Bond(5, 0.625, FY, 3000, top_bar=True))
    assert high == pytest.approx(1.3 * low)
