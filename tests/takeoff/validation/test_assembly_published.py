"""Resistances and the energy code's least against published figures."""

from __future__ import annotations

import pytest

from takeoff import assembly
from takeoff.forms import GENERIC_16
from takeoff.site import AssemblySpec
from takeoff.units import Length


@pytest.mark.parametrize(
    ("mean_f", "printed"),
    [(20, 1.16), (30, 1.13), (40, 1.10), (50, 1.08), (60, 1.05), (70, 1.02), (80, 0.99), (90, 0.96), (100, 0.94),
     (110, 0.91)],
)  # fmt: skip
def test_foam_by_mean_temperature(mean_f: float, printed: float) -> None:
    """EPS Industry Alliance, "Polystyrene Foam Insulation in Long-Term Building Applications: Effective R-values",
    Table 6, type II (read). The booklet's line is 1.004 at 75 F; ours is 1 there, as labelled."""
    assert assembly.foam_factor(mean_f) == pytest.approx(printed, abs=0.0105)


@pytest.mark.parametrize(
    ("core_in", "printed"),
    [(6, 1.23), (8, 1.35)],
    ids=["6 in, Portland Cement Association", "8 in, ASHRAE Handbook 1993"],
)
def test_bare_concrete_walls_with_their_films(core_in: int, printed: float) -> None:
    """Uninsulated walls of 144 pcf concrete with both films, as quoted in public articles (read there)."""
    foam = ("inside foam", "outside foam")
    layers = assembly.layers_of(GENERIC_16, Length.inches(core_in), AssemblySpec(inside_lining_r=0.0))
    assert sum(layer.r for layer in layers if layer.name not in foam) == pytest.approx(printed, abs=0.01)


@pytest.mark.parametrize(
    ("edition", "zone", "marine", "r_ci", "u"),
    [
        ("2021", 0, False, 0, 0.360), ("2021", 1, False, 0, 0.360), ("2021", 2, False, 0, 0.360),
        ("2021", 3, False, 5, 0.091), ("2021", 4, False, 10, 0.059), ("2021", 4, True, 15, 0.050),
        ("2021", 5, False, 15, 0.050), ("2021", 6, False, 15, 0.050), ("2021", 7, False, 15, 0.050),
        ("2021", 8, False, 15, 0.050),
        ("2024", 0, False, 0, 0.360), ("2024", 1, False, 0, 0.360), ("2024", 2, False, 0, 0.360),
        ("2024", 3, False, 5, 0.091), ("2024", 4, False, 10, 0.059), ("2024", 4, True, 15, 0.050),
        ("2024", 5, False, 15, 0.050), ("2024", 6, False, 15, 0.050), ("2024", 8, False, 15, 0.050),
    ],
    ids=lambda value: f"IRC {value}" if isinstance(value, str) else f"{value}",
)  # fmt: skip
def test_least_for_basement_walls(edition: str, zone: int, marine: bool, r_ci: float, u: float) -> None:
    """IRC Tables N1102.1.2 and N1102.1.3, basement wall columns: 2021 read in the Colorado copy, 2024 in that of the
    General Services Administration."""
    least = assembly.least_for(f"IRC {edition}", zone, marine)
    assert least is not None and (least.r_ci, least.u) == (r_ci, u)
    assert "from memory" not in str(least.source)


@pytest.mark.parametrize(("zone", "r_ci", "u"), [(3, 5, 0.091), (4, 10, 0.059), (5, 15, 0.050), (7, 15, 0.050)])
def test_least_of_2018_is_from_memory_and_says_so(zone: int, r_ci: float, u: float) -> None:
    """IRC 2018 (unamended): from memory."""
    least = assembly.least_for("IRC 2018", zone)
    assert least is not None and (least.r_ci, least.u) == (r_ci, u)
    assert str(least.source).endswith("(from memory)")
