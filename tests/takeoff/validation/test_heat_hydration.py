"""Heat of hydration against published values; sources and how each came are in the ids."""

from __future__ import annotations

import pytest

from takeoff.heat.hydration import (
    Cement,
    Hydration,
    Mix,
    activation_energy_j_mol,
    adiabatic,
    cement_heat_j_g,
    slope_parameter,
    time_parameter_h,
    ultimate_degree,
)
from takeoff.heat.layers import CONCRETE
from tests.takeoff.validation.heat_published import case, params


def _oofem(i) -> Hydration:
    return Hydration(
        i.Qpot_J_g * 1000 * i.cement_kg_m3, i.alpha_inf, i.tau_h, i.beta, i.Ea, i.Tref_C, age_at_placing_h=0.0
    )


@pytest.mark.parametrize("given", params("HH-01", "HH-02"))
def test_adiabatic_rise_step_by_step_as_a_finite_element_code(given) -> None:
    i = given.inputs
    step = 5 if given.id == "HH-01" else 29
    found = adiabatic(_oofem(i), i.rho * i.c, i.T0_C, step, i.dt_h)
    assert found.degree[step] == pytest.approx(given.expected["DoH"], abs=given.tolerance["DoH"])
    assert found.temperature_c[step] == pytest.approx(given.expected["T_C"], abs=given.tolerance["T_C"])


@pytest.mark.parametrize(
    ("hour", "degree", "celsius"),
    [(5, 0.0955, 34.29), (29, 0.81245, 104.09)],
    ids=["HH-01 converged, as noted beside it (computed)", "HH-02 converged, as noted beside it (computed)"],
)
def test_adiabatic_rise_with_short_steps(hour, degree, celsius) -> None:
    i = case("HH-01").inputs
    found = adiabatic(_oofem(i), i.rho * i.c, i.T0_C, hour, 0.01)
    assert found.degree[-1] == pytest.approx(degree, abs=2e-4)
    assert found.temperature_c[-1] == pytest.approx(celsius, abs=0.03)


@pytest.mark.parametrize("given", params("HH-05"))
def test_ultimate_degree(given) -> None:
    assert ultimate_degree(given.inputs.wcm) == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("HH-07"))
def test_total_heat_and_rise_of_a_mix(given) -> None:
    i = given.inputs
    assert i.c_J_kgK == {"cement": 840, "agg": 770, "water": 4187}
    mix = Mix(i.cement_kg_m3, i.water_kg, i.agg_kg)
    heat = i.Hu_J_g * 1000 * mix.cement_kg * i.alpha_u
    assert heat / 1e6 == pytest.approx(given.expected["MJ_m3"], abs=given.tolerance["MJ_m3"])
    assert heat / mix.c_j_m3k == pytest.approx(given.expected["rise_C"], abs=given.tolerance["rise_C"])
    assert mix.c_j_m3k / mix.density_kg_m3 == pytest.approx(given.expected["c_mix"], abs=given.tolerance["c"])
    whole = adiabatic(
        Hydration(i.Hu_J_g * 1e3 * mix.cement_kg, i.alpha_u, 17.15, 1.042, 34459), mix.c_j_m3k, 20, 2000, 2.0
    )
    assert whole.temperature_c[-1] - 20 == pytest.approx(given.expected["rise_C"], abs=0.5)


@pytest.mark.parametrize("given", params("HH-10"))
def test_regressions_for_an_ordinary_cement(given) -> None:
    i = given.inputs
    cement = Cement(i.C3S, i.C2S, i.C3A, i.C4AF, i.SO3, i.freeCaO, i.MgO, i.Blaine_m2_kg)
    found = {
        "Hcem_J_g": cement_heat_j_g(cement),
        "tau_h": time_parameter_h(cement),
        "beta": slope_parameter(cement),
        "Ea_J_mol": activation_energy_j_mol(cement),
    }
    assert found == {name: pytest.approx(value, rel=1e-3) for name, value in given.expected.items()}


@pytest.mark.parametrize("given", params("HH-08"))
def test_ordinary_parameters_bracket_the_ones_quoted(given) -> None:
    assert given.expected["k_W_mK"] == CONCRETE.k
    assert CONCRETE.c_j_m3k == pytest.approx(given.expected["c_J_kgK"] * 2458, rel=0.15)
    assert cement_heat_j_g(Cement()) == pytest.approx(given.expected["Qpot_J_g"], rel=0.06)
