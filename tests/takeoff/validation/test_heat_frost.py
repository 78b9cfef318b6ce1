"""Frost in the ground against published charts, formulas and the exact front; sources are in the ids."""

from __future__ import annotations

import math

import numpy as np
import pytest

from takeoff.heat.conduction import simulate, start
from takeoff.heat.ground import (
    BTU_FT3,
    LATENT_BTU_LB,
    N_FREEZING,
    Neumann,
    Soil,
    berggren,
    berggren_lambda,
    freezing_degree_days,
    frost_depth_m,
    neumann,
    stefan_ft,
)
from takeoff.heat.layers import Body, Freezing, Layer, Material, Side
from tests.takeoff.validation.heat_published import params

LAMBDAS = ("FR-08", "FR-10", "FR-11", "FR-13", "FR-14", "FR-16", "FR-17", "FR-19", "FR-20")
FRONTS = ("FR-25", "FR-26", "FR-28")


@pytest.mark.parametrize("given", params("FR-01"))
def test_total_unit_weight(given) -> None:
    assert Soil(given.inputs.gd_pcf, given.inputs.w_pct).total_pcf == pytest.approx(given.expected)


@pytest.mark.parametrize("given", params("FR-02"))
def test_conductivity_of_frozen_silt(given) -> None:
    found = Soil(given.inputs.gd, given.inputs.w).k_btu_h_ft_f(frozen=True)
    assert found == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("FR-04"))
def test_heat_of_freezing_of_water(given) -> None:
    """All water: 62.4 lb/ft3 at 144 Btu/lb; the same heat in SI is 334 MJ/m3."""
    assert pytest.approx(given.expected, abs=given.tolerance) == 62.4 * LATENT_BTU_LB
    assert given.expected * BTU_FT3 / 1e6 == pytest.approx(334, abs=2)


@pytest.mark.parametrize("given", params("FR-05"))
def test_n_factors(given) -> None:
    assert [N_FREEZING[name] for name in given.inputs.surface] == given.expected


@pytest.mark.parametrize("given", params("FR-07"))
def test_latent_heat_and_capacity_of_soil(given) -> None:
    soil = Soil(given.inputs.gd, given.inputs.w)
    assert soil.latent_btu_ft3 == pytest.approx(given.expected["L"], abs=given.tolerance)
    assert soil.capacity_btu_ft3_f() == pytest.approx(given.expected["C"], abs=given.tolerance)
    assert soil.capacity_btu_ft3_f(mineral=0.2) == pytest.approx(31.25, abs=given.tolerance)


@pytest.mark.parametrize("given", params(*LAMBDAS))
def test_chart_of_lambda(given) -> None:
    found = berggren_lambda(given.inputs.mu, given.inputs.alpha)
    assert found == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("FR-22"))
def test_modified_berggren_depth(given) -> None:
    i = given.inputs
    found = berggren(Soil(i.gd, i.w), i.FI_Fdays, i.days, i.MAT_F, i.n, i.k)
    want = given.expected
    assert (found.alpha, found.mu, found.factor) == (
        pytest.approx(want["alpha"]), pytest.approx(want["mu"], abs=1e-4), pytest.approx(want["lambda"], abs=1e-4),
    )  # fmt: skip
    assert found.depth_ft == pytest.approx(want["X_ft"], abs=given.tolerance)
    assert f"{found.depth_ft:.2f} ft" in found.basis and found.depth_ft < found.stefan_ft


@pytest.mark.parametrize("given", params("FR-23"))
def test_stefan_depth(given) -> None:
    i = given.inputs
    assert stefan_ft(i.k, i.nF_Fdays, i.L) == pytest.approx(given.expected, abs=given.tolerance)


def _front(i) -> Neumann:
    per_h = 1e-4 / 3600  # cm2/h in m2/s
    return Neumann(
        i.Ts_C, i.T0_C, i.a_frozen_cm2_h * per_h, i.a_unfrozen_cm2_h * per_h, i.m_cm_sqrt_h / 100 / math.sqrt(3600)
    )


@pytest.mark.parametrize("given", params(*FRONTS))
def test_neumann_front_and_temperatures(given) -> None:
    i, front = given.inputs, _front(given.inputs)
    seconds = i.day * 86400.0
    assert front.front_m(seconds) == pytest.approx(given.expected["front_m"], abs=1e-3)
    assert [front.temperature_c(z, seconds) for z in i.z_m] == pytest.approx(given.expected["T_C"], abs=1e-3)


def _soil_with_front(i, range_k: float) -> Material:
    """Soil of the case's diffusivities whose front runs at the case's speed: capacities chosen, latent heat follows."""
    front = _front(i)
    c_frozen, c_thawed = 1.8e6, 2.6e6
    kf, ku = front.a_frozen * c_frozen, front.a_thawed * c_thawed
    x, y = front.m / (2 * math.sqrt(front.a_frozen)), front.m / (2 * math.sqrt(front.a_thawed))
    up = kf * -i.Ts_C * math.exp(-x * x) / (math.sqrt(math.pi * front.a_frozen) * math.erf(x))
    down = ku * i.T0_C * math.exp(-y * y) / (math.sqrt(math.pi * front.a_thawed) * math.erfc(y))
    latent = 2 * (up - down) / front.m
    return Material("soil", ku, c_thawed, freezing=Freezing(latent, kf, c_frozen, 0.0, -range_k))


@pytest.mark.parametrize("given", params(*FRONTS))
def test_own_neumann_finds_the_speed(given) -> None:
    i = given.inputs
    found = neumann(i.Ts_C, i.T0_C, _soil_with_front(i, 0.1))
    assert found.m * 100 * 60 == pytest.approx(i.m_cm_sqrt_h, abs=1e-6)


@pytest.fixture(scope="module")
def frozen_column():
    """60 days of the exact front's soil in slices of 2.5 cm, steps of an hour."""
    i = params("FR-28")[0].values[0].inputs
    soil = _soil_with_front(i, 0.05)
    hours = 60 * 24
    body = Body(
        (Layer(soil, 2.0, 80), Layer(soil, 4.0, 40)), Side(np.full(hours + 1, i.Ts_C), held=True),
        Side(np.full(hours + 1, i.T0_C), held=True),
    )  # fmt: skip
    return simulate(body, start(body, i.T0_C, i.T0_C), hours, np.arange(hours + 1.0))


@pytest.mark.parametrize("given", params(*FRONTS))
def test_transient_model_follows_the_exact_front(given, frozen_column) -> None:
    """Within a slice (2.5 cm) of the front and 0.15 C of the temperatures a slice or more away from it."""
    i, want = given.inputs, given.expected
    row = frozen_column.temperature_c[i.day * 24]
    front = frost_depth_m(frozen_column.depth_m, row, -0.025)
    assert front == pytest.approx(want["front_m"], abs=0.025)
    for z, t in zip(i.z_m, want["T_C"], strict=True):
        if abs(z - want["front_m"]) > 0.03:
            assert np.interp(z, frozen_column.depth_m, row) == pytest.approx(t, abs=0.15)


def test_heat_of_freezing_adds_up(frozen_column) -> None:
    """First law over 60 days of freezing ground."""
    assert frozen_column.balance.closes and frozen_column.balance.missing < 1e-6


@pytest.mark.parametrize("given", params("FR-29"))
def test_freezing_degree_days_of_a_day(given) -> None:
    i = given.inputs
    assert freezing_degree_days([(i.Tmax_F, i.Tmin_F)]) == pytest.approx(given.expected)
