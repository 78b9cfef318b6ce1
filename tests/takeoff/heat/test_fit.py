"""Fitting by behaviour: what made the readings is found back, few readings move little, odd ones are told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from takeoff.heat.fit import fit, look_ahead_fitted
from takeoff.heat.layers import HeatError
from takeoff.heat.maturity import typed_readings
from takeoff.heat.outlook import look_ahead, run
from tests.takeoff.heat.given import steady_wall

WALL = steady_wall(-6.0, 5)


def readings_of(heat: float, pace: float, hours, noise: float = 0.0):
    core = run(replace(WALL, hydration=WALL.reaction.scaled(heat, 1 / pace))).core_c
    return typed_readings([(h, core[h] + noise * (-1) ** n) for n, h in enumerate(hours)], fahrenheit=False)


@pytest.mark.parametrize(("heat", "pace"), [(1.2, 0.8), (0.8, 1.25), (1.0, 1.0)])
def test_heat_and_pace_are_found_back(heat, pace) -> None:
    found = fit(WALL, readings_of(heat, pace, range(2, 60, 4), noise=0.2))
    assert (found.heat, found.pace) == (pytest.approx(heat, abs=0.04), pytest.approx(pace, abs=0.05))
    assert found.after_rms_c < 0.4 and found.after_rms_c <= found.before_rms_c + 1e-6
    assert not found.problems and f"x {found.heat:.2f} the heat" in found.words


def test_few_readings_fit_the_heat_alone() -> None:
    found = fit(WALL, readings_of(1.2, 1.0, (10, 20)))
    assert found.pace == 1.0 and 1.0 < found.heat < 1.25


def test_a_probe_in_the_air_is_told() -> None:
    found = fit(WALL, typed_readings([(h, -6.0) for h in range(2, 40, 4)], fahrenheit=False))
    said = " ".join(p.sentence for p in found.problems)
    assert "check the probe" in said or "go by the readings" in said


def test_readings_stand_in_for_the_model_and_the_fitted_model_goes_on() -> None:
    readings = readings_of(1.25, 1.0, range(2, 50, 4))
    outlook, found = look_ahead_fitted(WALL, readings)
    plain = look_ahead(WALL)
    assert outlook.readings is readings and outlook.spread.heat < plain.spread.heat
    assert outlook.likely.psi[72] > plain.likely.psi[72]
    jump = np.abs(np.diff(outlook.likely.corner_c)).max()
    assert jump < np.abs(np.diff(plain.likely.corner_c)).max() + 1.0
    assert found.wall.reaction.heat_j_m3 == pytest.approx(WALL.reaction.heat_j_m3 * found.heat)


def test_readings_alone_replace_the_model_where_they_are() -> None:
    cold = typed_readings([(h, 2.0) for h in range(0, 49, 6)], fahrenheit=False)
    assert look_ahead(WALL, readings=cold).likely.psi[48] < 0.3 * look_ahead(WALL).likely.psi[48]


def test_readings_beyond_the_weather_cannot_be_fitted() -> None:
    with pytest.raises(HeatError, match="No reading lies"):
        fit(WALL, typed_readings([(900, 10), (910, 10)], fahrenheit=False))
