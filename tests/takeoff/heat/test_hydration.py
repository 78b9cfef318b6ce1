"""Hydration by behaviour: degree and rate grow as they must, mixes with ash and slag are slower and cooler."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.heat.hydration import Hydration, Mix, adiabatic, of_mix, ultimate_degree

PLAIN = of_mix(Mix())


@settings(max_examples=40, deadline=None)
@given(st.floats(0.1, 2000), st.floats(0.1, 2000))
def test_degree_grows_and_never_passes_its_ultimate(a, b) -> None:
    low, high = sorted((a, b))
    first, second = PLAIN.degree(np.array([low, high]))
    assert 0 <= first <= second < PLAIN.alpha_u


def test_at_the_reference_an_hour_is_an_hour_and_warmth_is_faster() -> None:
    rates = PLAIN.rate(np.array([5.0, PLAIN.reference_c, 40.0]))
    assert rates[1] == pytest.approx(1.0) and rates[0] < 0.5 and rates[2] > 2


def test_ash_and_slag_slow_a_mix_and_take_heat_out() -> None:
    ash = of_mix(Mix(cement_kg=250.0, ash_kg=84.6))
    slag = of_mix(Mix(cement_kg=200.0, slag_kg=134.6))
    assert ash.heat_j_m3 < PLAIN.heat_j_m3 and slag.tau_h > PLAIN.tau_h and ash.tau_h > PLAIN.tau_h
    assert ash.alpha_u > PLAIN.alpha_u
    assert ultimate_degree(0.6, 0.5, 0.5) == 1.0


def test_scaled_heat_and_time() -> None:
    found = PLAIN.scaled(1.2, 0.5)
    assert (found.heat_j_m3, found.tau_h) == (PLAIN.heat_j_m3 * 1.2, PLAIN.tau_h * 0.5)


def test_a_warmer_start_is_done_sooner_with_the_same_rise() -> None:
    cold, warm = (adiabatic(PLAIN, Mix().c_j_m3k, t, 1500, 1.0) for t in (5.0, 25.0))
    assert warm.degree[12] > 2 * cold.degree[12]
    assert warm.temperature_c[-1] - 25 == pytest.approx(cold.temperature_c[-1] - 5, rel=0.03)
    assert np.all(np.diff(warm.temperature_c) >= 0)


def test_the_default_mix_is_a_yard_with_six_sacks() -> None:
    mix = Mix()
    assert mix.cement_kg == pytest.approx(564 * 0.593276, abs=0.1)
    assert mix.water_kg / mix.binder_kg == pytest.approx(0.45, abs=1e-3)
    assert 2250 < mix.density_kg_m3 < 2450
    assert mix.ash == mix.slag == 0


@pytest.mark.parametrize(
    "make",
    [
        lambda: Mix(cement_kg=0),
        lambda: Mix(water_kg=0),
        lambda: Mix(ash_kg=-1),
        lambda: ultimate_degree(0.0),
        lambda: replace(PLAIN, tau_h=0.0),
        lambda: Hydration(1e8, 0.7, 16, 0.6, -1),
        lambda: adiabatic(PLAIN, 2e6, 15, 10, 0.0),
    ],
)
def test_what_cannot_be_is_refused(make) -> None:
    with pytest.raises(ValueError, match=r"nothing|needs|reacts"):
        make()
