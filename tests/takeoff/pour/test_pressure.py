"""Pressure on the form by behaviour: refusals, which rule governs and why, the rate back from the rating."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from takeoff.forms import GENERIC_16, GENERIC_18
from takeoff.pour.pressure import (
    FormCheck,
    Governs,
    Placing,
    Pressure,
    RateLimit,
    check_form,
    coefficients,
    highest_rate,
    rate_by_temperature,
    slump_warning,
    unit_weight_coefficient,
    wall_pressure,
)
from takeoff.pour.second_opinions import Consistency, ciria_108_kpa, din_18218_kpa
from takeoff.problems import Problem, Severity
from takeoff.site import Chemistry

WALL = Placing(9.0, 4.0, 50.0, 6.0)
PLACINGS = st.builds(
    Placing,
    height_ft=st.floats(1, 30),
    rate_ft_h=st.floats(0.1, 20),
    concrete_f=st.floats(35, 110),
    slump_in=st.floats(0, 9),
    unit_weight_pcf=st.floats(90, 170),
    chemistry=st.sampled_from(Chemistry),
    vibration_ft=st.sampled_from([2.0, 4.0, 5.0]),
)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"slump_in": None}, "No slump is given"),
        ({"slump_in": 13.0}, "A slump of 13 in cannot be"),
        ({"slump_in": float("nan")}, "cannot be"),
        ({"concrete_f": 34.0}, "outside 35 to 110 °F"),
        ({"concrete_f": 0.0}, "outside 35 to 110 °F"),
        ({"height_ft": 0.0}, "more than nothing"),
        ({"rate_ft_h": -1.0}, "more than nothing"),
        ({"unit_weight_pcf": 23.5}, "no concrete"),
    ],
)
def test_what_cannot_be_said_is_refused_for_the_engineer(change, said) -> None:
    for refused in (
        wall_pressure(replace(WALL, **change)),
        check_form(replace(WALL, **change), 720.0),
    ):
        assert isinstance(refused, Problem) and refused.severity is Severity.ENGINEER
        assert said in refused.sentence


@pytest.mark.parametrize(
    ("change", "governs", "said"),
    [
        ({}, Governs.SLOW, "rise under 7 ft/h"),
        ({"rate_ft_h": 8.0, "concrete_f": 90.0, "height_ft": 10.0}, Governs.FAST, "fast rise"),
        ({"rate_ft_h": 1.0}, Governs.FLOOR, "600 psf"),
        ({"height_ft": 3.0}, Governs.LIQUID_TO_TOP, "so low"),
        ({"slump_in": 7.5}, Governs.FULL_HEAD, "slump 7.5 in is over 7 in"),
        ({"vibration_ft": 5.0}, Governs.FULL_HEAD, "vibration reaches 5 ft"),
        ({"rate_ft_h": 16.0}, Governs.FULL_HEAD, "16 ft/h is over 15"),
    ],
)
def test_which_rule_governs_and_why(change, governs, said) -> None:
    found = wall_pressure(replace(WALL, **change))
    assert isinstance(found, Pressure)
    assert found.governs is governs and said in found.why
    assert f"{found.psf:,.0f} psf" in found.basis
    assert found.inputs == replace(WALL, **change)


@given(PLACINGS)
@settings(max_examples=150)
def test_pressure_lies_between_its_bounds(placing) -> None:
    found = wall_pressure(placing)
    assert isinstance(found, Pressure)
    floor = min(600 * unit_weight_coefficient(placing.unit_weight_pcf), placing.liquid_psf)
    assert floor - 1e-6 <= found.psf <= placing.liquid_psf + 1e-6
    assert found.liquid_ft + found.even_ft == pytest.approx(placing.height_ft)


@given(PLACINGS, st.floats(0.1, 10))
@settings(max_examples=100)
def test_colder_concrete_and_faster_rise_never_push_less(placing, more) -> None:
    now = wall_pressure(placing)
    assert isinstance(now, Pressure)
    colder = replace(placing, concrete_f=max(placing.concrete_f - more, 35.0))
    for worse in (colder, replace(placing, rate_ft_h=placing.rate_ft_h + more)):
        found = wall_pressure(worse)
        assert isinstance(found, Pressure) and found.psf >= now.psf - 1e-6


@given(PLACINGS, st.floats(300, 2500))
@settings(max_examples=150)
def test_the_highest_rate_is_the_highest(placing, rated) -> None:
    limit = highest_rate(placing, rated)
    assert isinstance(limit, RateLimit)
    if limit.ft_h is None:
        if limit.lift_ft is None:
            assert placing.liquid_psf <= rated
        else:
            assert limit.lift_ft * placing.unit_weight_pcf == pytest.approx(rated)
            assert limit.lift_ft < placing.height_ft
        return
    assume(limit.ft_h > 1e-3)
    at = wall_pressure(replace(placing, rate_ft_h=limit.ft_h))
    over = wall_pressure(replace(placing, rate_ft_h=limit.ft_h * 1.001 + 0.001))
    assert isinstance(at, Pressure) and isinstance(over, Pressure)
    assert at.psf <= max(rated, 600 * unit_weight_coefficient(placing.unit_weight_pcf)) * (1 + 1e-9)
    assert over.psf > rated or limit.ft_h == pytest.approx(15) or over.governs is Governs.FLOOR


def test_both_equations_meet_at_seven_feet_an_hour() -> None:
    slow, fast = (wall_pressure(Placing(14, r, 60, 6)) for r in (7 - 1e-9, 7.0))
    assert isinstance(slow, Pressure) and isinstance(fast, Pressure)
    assert slow.psf == pytest.approx(fast.psf)


def test_full_head_leaves_only_lifts_that_set() -> None:
    limit = highest_rate(replace(WALL, slump_in=8.0), 720.0)
    assert isinstance(limit, RateLimit)
    assert limit.ft_h is None and limit.lift_ft == pytest.approx(4.8)
    assert "shown to have set" in limit.words and "slump 8 in" in limit.words


def test_a_form_under_the_least_pressure_gets_no_rate() -> None:
    limit = highest_rate(WALL, 500.0)
    assert isinstance(limit, RateLimit)
    assert limit.ft_h is None and "600 psf is over the rating" in limit.words


def test_cold_concrete_in_a_high_wall_may_have_no_rate_at_all() -> None:
    limit = highest_rate(Placing(16, 1, 40, 6), 720.0)
    assert isinstance(limit, RateLimit)
    assert limit.ft_h is None and "this cold" in limit.words


@pytest.mark.parametrize("system", [GENERIC_16, GENERIC_18], ids=lambda s: s.key)
def test_against_the_rating_of_a_form_system(system) -> None:
    fast = check_form(WALL, system.rated_pressure_psf)
    assert isinstance(fast, FormCheck) and not fast.holds and "too much" in fast.words
    slow = check_form(replace(WALL, rate_ft_h=2.5), system.rated_pressure_psf)
    assert isinstance(slow, FormCheck) and slow.holds
    limit = highest_rate(WALL, system.rated_pressure_psf)
    assert isinstance(limit, RateLimit) and limit.ft_h is not None
    edge = check_form(replace(WALL, rate_ft_h=limit.ft_h), system.rated_pressure_psf)
    assert isinstance(edge, FormCheck) and edge.holds


def test_points_of_the_chart_rise_with_temperature() -> None:
    points = rate_by_temperature(WALL, 720.0)
    assert not isinstance(points, Problem)
    assert [t for t, _ in points] == [40 + 5 * n for n in range(11)]
    rates = [limit.ft_h for _, limit in points]
    assert rates == sorted(rates) and rates[2] == pytest.approx(570 * 50 / 9000)
    refused = rate_by_temperature(replace(WALL, slump_in=None), 720.0)
    assert isinstance(refused, Problem)
    with pytest.raises(ValueError, match="must rise"):
        rate_by_temperature(WALL, 720.0, 50, 40)


def test_chemistry_multiplies() -> None:
    assert coefficients(replace(WALL, chemistry=Chemistry.BLENDED_RETARDED, unit_weight_pcf=160)) == pytest.approx(
        1.4 * 160 / 145
    )


@pytest.mark.parametrize(
    ("slump", "said"),
    [(None, ""), (6.0, "over 6 in"), (6.5, ""), (7.0, ""), (8.0, "as a liquid")],
)
def test_where_building_code_and_pressure_rule_pull_apart(slump, said) -> None:
    found = slump_warning(replace(WALL, slump_in=slump, slump_approved_by="R. Vance, P.E."))
    assert (found is None) == (said == "")
    if found is not None:
        assert said in found.sentence and "R. Vance" in found.sentence


def test_other_rules_stop_at_the_liquid_head_and_where_they_end() -> None:
    assert din_18218_kpa(Consistency.F3, 2, 1.0) == 25.0
    assert din_18218_kpa(Consistency.F1, 0.1, 9.0) == 25.0
    assert ciria_108_kpa(4.0, 1.0, 10) == 25.0
    with pytest.raises(ValueError, match="7 m/h"):
        din_18218_kpa(Consistency.F2, 8, 3)
