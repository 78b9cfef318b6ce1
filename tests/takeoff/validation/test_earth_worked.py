"""Earth against an open textbook's excavation example (T40) and its own loads; the true frustum is derived.

Swell and shrink: textbook figures for dense clay (30 %) and for sand and gravel (15 % swell, 95 % in place).
"""

from __future__ import annotations

import pytest

from takeoff import earth
from tests.takeoff.validation.worked_cases import case


def test_t40_hole_with_sloping_sides_is_the_true_prismoid() -> None:
    given, result = case("T40")
    long, wide = (side * 12 for side in given.bottom_ft)
    deep = given.depth_ft * 12
    hole = long * wide * deep + earth.annulus_in3(2 * (long + wide), 8.0, 0.0, given.slope, 0.0, deep)
    assert hole / 46656 == pytest.approx(result.prismoidal_bcy, abs=0.05)
    assert result.book_bcy == pytest.approx(hole / 46656, rel=5e-3)  # the book's average ends are 0.4 % low


def test_t40_loose_volume_and_loads() -> None:
    given, result = case("T40")
    assert round(earth.loose_yd3(407.0, given.swell), 1) == result.book_lcy
    assert earth.loads(result.book_lcy, result.truck_lcy) == result.book_loads
    assert earth.loads(earth.loose_yd3(1000.0, given.swell), result.truck_lcy) == result.clay_loads


def test_t40_compacted_back_to_loose() -> None:
    _, result = case("T40")
    bank = earth.bank_yd3(result.gravel_ccy, result.gravel_shrink)
    loose = earth.loose_yd3(bank, result.gravel_swell)
    assert earth.loads(loose, result.truck_lcy) == result.gravel_loads


@pytest.mark.parametrize("slope", [0.75, 1.0, 1.5], ids=["type A soil", "type B soil", "type C soil"])
def test_annulus_formula_written_out(slope: float) -> None:
    """P(dh + s h2/2) + K(d2 h + d s h2 + s2 h3/3), K the sum of tan(half turn); slopes are those of OSHA soil types,
    29 CFR 1926 Subpart P (from memory)."""
    perimeter, k, d, h = 1632.0, 4.0, 27.625, 142.0
    by_hand = perimeter * (d * h + slope * h**2 / 2) + k * (d**2 * h + d * slope * h**2 + slope**2 * h**3 / 3)
    assert earth.annulus_in3(perimeter, 2 * k, d, slope, 0.0, h) == pytest.approx(by_hand)
