"""Maturity and strength against published values and an open library; sources and how each came are in the ids."""

from __future__ import annotations

import numpy as np
import pytest
from structuralcodes.codes import ec2_2004, mc2010

from takeoff.heat.maturity import (
    DATUM_C,
    Q_K,
    REFERENCE_C,
    equivalent_age,
    model_code_age,
    nurse_saul,
    stepped,
)
from takeoff.heat.strength import ACI_209_TERMS, EUROCODE_S, aci_209, eurocode, model_code, required_average_psi
from tests.takeoff.validation.heat_published import case, params


@pytest.mark.parametrize("given", params("MS-01"))
def test_nurse_saul_at_one_temperature(given) -> None:
    i = given.inputs
    hours, temps = stepped([(i.T_C, i.days * 24)])
    assert nurse_saul(hours, temps, i.T0_C)[-1] / 24 == pytest.approx(given.expected)


@pytest.mark.parametrize("given", params("MS-26"))
def test_nurse_saul_over_steps(given) -> None:
    hours, temps = stepped(given.inputs.T_C_hours)
    assert [nurse_saul(hours, temps, datum)[-1] for datum in given.inputs.T0_C] == pytest.approx(given.expected)


@pytest.mark.parametrize("given", params("MS-02"))
def test_model_code_age(given) -> None:
    i = given.inputs
    hours, temps = stepped([(t, d * 24) for t, d in zip(i.T_C, i.days, strict=True)])
    assert model_code_age(hours, temps)[-1] / 24 == pytest.approx(given.expected, abs=given.tolerance)


def test_model_code_age_by_an_open_library() -> None:
    """fib-international/structuralcodes, Eq. 5.1-85, over a stepped winter history."""
    temps, days = np.array([5.0, 12.0, 30.0, 8.0]), np.array([1.0, 2.0, 0.5, 4.0])
    hours, course = stepped(list(zip(temps, days * 24, strict=True)))
    theirs = mc2010.t_T(temps, days)
    assert model_code_age(hours, course)[-1] / 24 == pytest.approx(float(theirs), rel=1e-6)


@pytest.mark.parametrize("given", params("MS-04", "MS-05", "MS-07", "MS-08"))
def test_eurocode_development(given) -> None:
    assert eurocode(given.inputs.t_days, given.inputs.s) == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("MS-10", "MS-11", "MS-13", "MS-14", "MS-16"))
def test_model_code_development(given) -> None:
    cement = given.inputs.cement.split(" / ")[0]
    mean = getattr(given.inputs, "fcm_MPa", 20)
    assert model_code(given.inputs.t_days, cement, mean) == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("days", [1, 2, 3, 7, 14, 28, 90])
@pytest.mark.parametrize("s", EUROCODE_S.values())
def test_eurocode_by_an_open_library(days, s) -> None:
    """fib-international/structuralcodes, EN 1992-1-1:2004 Eq. 3.2."""
    assert eurocode(days, s) == pytest.approx(ec2_2004.beta_cc(days, s), rel=1e-9)


@pytest.mark.parametrize("days", [1, 3, 7, 28, 90])
@pytest.mark.parametrize("cement", ["32.5 N", "42.5 N", "42.5 R"])
def test_model_code_by_an_open_library(days, cement) -> None:
    """fib-international/structuralcodes, fib Model Code 2010 Eq. 5.1-51."""
    theirs = mc2010.beta_cc(np.array([float(days)]), 30.0, cement)
    assert model_code(days, cement, 30.0) == pytest.approx(float(np.ravel(theirs)[0]), rel=1e-9)


@pytest.mark.parametrize("given", params("MS-17"))
def test_terms_of_aci_209(given) -> None:
    assert [list(terms) for terms in ACI_209_TERMS.values()] == given.expected


@pytest.mark.parametrize("given", params("MS-19", "MS-20", "MS-22", "MS-23"))
def test_aci_209_moist_type_i(given) -> None:
    assert aci_209(given.inputs.t_days) == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("MS-25"))
def test_aci_209_moist_type_iii(given) -> None:
    found = [aci_209(t, "III") for t in given.inputs.t_days]
    assert found == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("MS-28"))
def test_defaults_of_the_standard_practice(given) -> None:
    want = given.expected
    assert (want["datum_C"], want["Q_K"], want["Tref_C"]) == (DATUM_C, Q_K, REFERENCE_C)
    low, high = want["Ea_range_J_mol"]
    assert low <= Q_K * 8.314 <= high


def test_equivalent_age_is_time_at_the_reference() -> None:
    """ASTM C1074: at the reference temperature an hour is an hour (by its definition)."""
    hours, temps = stepped([(REFERENCE_C, 48.0)])
    assert equivalent_age(hours, temps)[-1] == pytest.approx(48.0)


@pytest.mark.parametrize("given", params("MS-29"))
def test_required_average_strength(given) -> None:
    i = given.inputs
    assert required_average_psi(i.fc_psi, i.s_psi) == pytest.approx(given.expected, abs=given.tolerance)
    assert case("MS-29").units == "psi"
