"""Frost in the ground by behaviour: deeper with more cold, shallower with more water; formulas know their limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.heat.conduction import simulate, start
from takeoff.heat.ground import (
    Soil,
    berggren,
    berggren_lambda,
    days_of_hours,
    freezing_degree_days,
    freezing_index,
    frost_depth_m,
    neumann,
    stefan_ft,
)
from takeoff.heat.layers import Body, Freezing, HeatError, Material, Side, soil_layers
from takeoff.heat.soil_heat import SoilHeat

SILT = Soil(100, 15, name="silt")


@settings(max_examples=40, deadline=None)
@given(st.floats(0.01, 2), st.floats(0, 4), st.floats(0.01, 1))
def test_lambda_falls_with_the_grounds_own_warmth_and_is_never_over_one(mu, alpha, more) -> None:
    first, warmer = berggren_lambda(mu, alpha), berggren_lambda(mu, alpha + more)
    assert 0 < warmer < first <= 1


@settings(max_examples=30, deadline=None)
@given(st.floats(100, 4000), st.floats(34, 60))
def test_berggren_is_shallower_than_stefan_and_grows_with_the_index(index, ground) -> None:
    found, more = berggren(SILT, index, 120, ground), berggren(SILT, index * 1.2, 120, ground)
    assert 0 < found.depth_ft < found.stefan_ft and found.depth_ft < more.depth_ft


def test_no_index_no_frost() -> None:
    found = berggren(SILT, 0.0, 30, 45)
    assert found.depth_ft == found.depth_m == 0 and "does not freeze" in found.basis


def test_wet_soil_freezes_less_deep() -> None:
    assert berggren(Soil(100, 25), 1500, 120, 45).depth_ft < berggren(Soil(100, 8), 1500, 120, 45).depth_ft


def test_sandy_soil_conducts_more_than_fine_soil_of_the_same_weight() -> None:
    sand, silt = Soil(110, 10, fine=False), Soil(110, 10)
    for frozen in (True, False):
        assert sand.k_btu_h_ft_f(frozen) > silt.k_btu_h_ft_f(frozen)
    assert sand.k_btu_h_ft_f(True) > sand.k_btu_h_ft_f(False)


def test_freezing_index_counts_thaws_against_it() -> None:
    days = [(40, 40)] * 5 + [(20, 24)] * 10 + [(36, 36)] * 5 + [(20, 24)] * 4
    assert freezing_degree_days(days) == pytest.approx(140)
    assert freezing_index(days) == pytest.approx(100 - 20 + 40)
    assert freezing_index([(50, 40)] * 9) == 0


def test_days_of_hours() -> None:
    assert days_of_hours(np.concatenate([np.linspace(-10, 0, 24), np.zeros(5)])) == ((32.0, 14.0),)


def test_depth_of_frost_between_slices() -> None:
    depth = np.array([0.1, 0.3, 0.5])
    assert frost_depth_m(depth, np.array([-2.0, 2.0, 4.0])) == pytest.approx(0.2)
    assert frost_depth_m(depth, np.array([1.0, 2.0, 4.0])) == 0
    assert frost_depth_m(depth, np.array([-3.0, -2.0, -1.0])) == 0.5


@settings(max_examples=8, deadline=None)
@given(st.floats(-25, -2), st.floats(0.5, 8), st.floats(90, 130), st.floats(8, 25))
def test_transient_ground_follows_the_exact_front(surface, ground, dry, water) -> None:
    """Neumann's solution for the same soil, freezing within half a degree: within 2 cm and a tenth after ten days."""
    soil = Soil(dry, water).material()
    exact = neumann(surface, ground, soil).front_m(240 * 3600)
    hours = 240
    held = [Side(np.full(hours + 1, t), held=True) for t in (surface, ground)]
    column = Body(soil_layers(soil, 4.0), *held)
    found = simulate(column, start(column, ground, ground), hours, np.arange(hours + 1.0))
    depth = frost_depth_m(found.depth_m, found.temperature_c[-1], -0.25)
    assert depth == pytest.approx(exact, abs=0.02 + 0.1 * exact)
    assert found.balance.missing < 1e-6


@settings(max_examples=40, deadline=None)
@given(st.floats(-30, 30), st.floats(0.001, 5))
def test_heat_of_freezing_soil_grows_without_a_jump(t, step) -> None:
    heat = SoilHeat.of([SILT.material()], np.array([0.1]))
    assert heat is not None
    low, high = heat.heat(np.array([t])), heat.heat(np.array([t + step]))
    slopes = [float(heat.slope(np.array([x]))[0]) for x in (-20.0, -0.25, 20.0)]
    assert high > low and (high - low) / step <= max(slopes) * (1 + 1e-9)
    assert slopes[1] > 20 * slopes[2] > 20 * slopes[0] * 0.5


def test_all_the_heat_of_freezing_is_in_it() -> None:
    soil = SILT.material()
    heat = SoilHeat.of([soil], np.array([1.0]))
    assert heat is not None and soil.freezing is not None
    passed = float((heat.heat(np.array([0.0])) - heat.heat(np.array([-0.5])))[0])
    mean = (soil.c_j_m3k + soil.freezing.c_frozen_j_m3k) / 2
    assert passed == pytest.approx(soil.freezing.latent_j_m3 + 0.5 * mean)
    assert list(heat.frozen_part(np.array([-0.5]))) == [1.0] and list(heat.frozen_part(np.array([0.0]))) == [0.0]
    assert SoilHeat.of([Material("dry", 1.0, 1e6)], np.array([1.0])) is None


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Soil(20, 10), "dry unit weight"),
        (lambda: Soil(100, 0), "dry unit weight"),
        (lambda: berggren_lambda(0, 1), "fusion parameter"),
        (lambda: stefan_ft(0.0, 100, 1000), "more than nothing"),
        (lambda: berggren(SILT, 100, 0, 40), "needs days"),
        (lambda: neumann(5, 8, SILT.material()), "surface below"),
        (lambda: neumann(-5, 8, Material("dry", 1.0, 1e6)), "soil that freezes"),
        (lambda: Freezing(0, 1, 1), "above nothing"),
        (lambda: Freezing(1e8, 2, 2e6, 0.0, 0.0), "range"),
    ],
)
def test_what_cannot_be_is_said(make, said) -> None:
    with pytest.raises(HeatError, match=said):
        make()
