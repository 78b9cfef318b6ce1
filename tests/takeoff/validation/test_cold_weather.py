"""Cold-weather rules and mix temperatures against published values; sources and how each came are in the ids."""

from __future__ import annotations

import pytest

from takeoff.pour.mix import (
    COVERED_BODY_PER_H,
    DRUM_PER_H,
    HOTTEST_WATER_F,
    OPEN_BODY_PER_H,
    Batch,
    balance,
    batched_f,
    fresh_temperature_f,
    haul_loss_f,
    water_needed,
)
from takeoff.tables import read_table
from takeoff.weather.decide import CANADIAN, Inputs, Verdict, decide, rules_306r
from takeoff.weather.hours import celsius, fahrenheit
from takeoff.weather.rules_306r import (
    COOLING_F_PER_DAY,
    COOLING_F_PER_H,
    FREEZE_ONCE_PSI,
    Service,
    cold_by_older_rule,
    drop_limit_f,
    mixing_minimum_f,
    placing_minimum_f,
    protection_days,
    section_rules,
)
from tests.takeoff.validation.pour_day import case, params
from tests.takeoff.weather.given import NOON


@pytest.mark.parametrize("given", params("CW-01"))
def test_cold_is_under_40_f(given) -> None:
    rules = rules_306r(8)
    ready = {"covers": True, "concrete_f": 60.0}
    at = given.inputs.air_temp_F
    assert decide(Inputs(NOON, 50, at, NOON, 72, **ready), rules).verdict is Verdict.PROTECT
    assert decide(Inputs(NOON, 50, 40.0, NOON, 72, **ready), rules).verdict is Verdict.GO


@pytest.mark.parametrize("given", params("CW-04", "CW-05"))
def test_placing_temperature_by_thickness(given) -> None:
    from_in, to_in = (float(n) for n in given.inputs.least_dimension.split(" in")[0].split("-"))
    for thickness in (from_in, (from_in + to_in) / 2, to_in - 0.1):
        assert placing_minimum_f(thickness) == given.expected["F"]
    assert round(celsius(given.expected["F"])) == given.expected["C"]


#: As restated by public web pages on cold weather (55 under 12 in, 40 over 72 in).
@pytest.mark.parametrize(("thickness", "least"), [(4, 55), (8, 55), (11.99, 55), (72, 40), (100, 40)])
def test_placing_temperature_of_thin_and_thick_sections(thickness, least) -> None:
    assert placing_minimum_f(thickness) == least


@pytest.mark.parametrize("given", params("CW-20"))
def test_drop_after_protection(given) -> None:
    assert [drop_limit_f(t) for t in (8, 24, 48, 80)] == given.expected
    assert [row["drop_seen"] for row in read_table("aci_306r_temperatures").rows] == ["no"] * 4


@pytest.mark.parametrize("given", params("CW-22"))
def test_protection_days(given) -> None:
    for accelerated, column in ((False, "normal"), (True, "accelerated")):
        found = [protection_days(service, accelerated) for service in Service]
        assert found[:3] == given.expected[column][:3]
        assert found[3] is None and given.expected[column][3] == "by strength"


@pytest.mark.parametrize(
    ("air_f", "row"),
    [(31, (60, 55, 50, 45)), (30, (65, 60, 55, 50)), (0, (65, 60, 55, 50)), (-1, (70, 65, 60, 55))],
    ids=lambda v: f"ACI-306R-88-Table-3.1-air-{v}F (from memory)" if isinstance(v, int) else "",
)
def test_mixing_temperature_by_air(air_f, row) -> None:
    assert tuple(mixing_minimum_f(t, air_f) for t in (8, 24, 48, 80)) == row


def test_rows_of_thickness_meet() -> None:
    rows = section_rules()
    assert [r.under_in for r in rows[:-1]] == [r.from_in for r in rows[1:]]
    assert rows[0].from_in == 0 and rows[-1].under_in is None


@pytest.mark.parametrize("given", params("CW-07"))
def test_strength_to_freeze_once(given) -> None:
    assert given.expected["psi"] == FREEZE_ONCE_PSI


@pytest.mark.parametrize("given", params("CW-11"))
def test_concrete_with_ice(given) -> None:
    i = given.inputs
    parts = [(heat, i.T_C[name]) for name, heat in i.kJ_per_C.items()]
    assert balance(parts, i.latent_kJ_per_kg * i.ice_kg) == pytest.approx(given.expected, abs=given.tolerance)


def _batch(i) -> Batch:
    return Batch(i.cement_lb, i.aggregate_lb_ssd, i.water_lb, i.T_cement_F, i.T_agg_F, i.T_water_F)


@pytest.mark.parametrize("given", params("CW-13"))
def test_concrete_with_hot_water(given) -> None:
    assert fresh_temperature_f(_batch(given.inputs)) == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("CW-14"))
def test_water_for_65_f(given) -> None:
    needed = water_needed(_batch(case("CW-13").inputs), given.inputs.target_F)
    assert needed.water_f == pytest.approx(given.expected, abs=given.tolerance)
    assert needed.problem is not None and "aggregate" in needed.problem.sentence


@pytest.mark.parametrize("given", params("CW-16"))
def test_hottest_water_is_the_lower_end_of_the_published_range(given) -> None:
    low, high = given.expected
    assert low == pytest.approx(celsius(HOTTEST_WATER_F)) and low < high


@pytest.mark.parametrize("given", params("CW-23"))
def test_haul_loss(given) -> None:
    i = given.inputs
    assert haul_loss_f(i.tr_F, i.ta_F, i.hours) == pytest.approx(given.expected, abs=given.tolerance)
    assert batched_f(i.tr_F, i.ta_F, i.hours) == i.tr_F + given.expected
    assert (DRUM_PER_H, OPEN_BODY_PER_H, COVERED_BODY_PER_H) == (0.25, 0.20, 0.10)


#: Air, lowest in 72 h, concrete [C]; frozen, covers; verdict and rule. Ontario Building Code 9.3.1.9 and CSA A23.1-14
#: 7.1.2.1 as quoted by a supplier; rules read, rows derived from them.
OUTCOMES = [
    (12, 7, 16, False, False, Verdict.GO, "warm"),
    (8, -2, 16, False, False, Verdict.NO, "covers"),
    (8, -2, 16, False, True, Verdict.PROTECT, "cold"),
    (-4, -11, 18, False, True, Verdict.PROTECT, "cold"),
    (-4, -11, 7, False, True, Verdict.NO, "concrete"),
    (-4, -11, 18, True, True, Verdict.NO, "frozen"),
    (2, 1, 28, False, True, Verdict.NO, "concrete"),
]


@pytest.mark.parametrize(("air", "low", "concrete", "frozen", "covers", "verdict", "rule"), OUTCOMES)
def test_seven_outcomes(air, low, concrete, frozen, covers, verdict, rule) -> None:
    inputs = Inputs(
        NOON, fahrenheit(air), fahrenheit(low), NOON, 72, frozen=frozen, covers=covers, concrete_f=fahrenheit(concrete)
    )
    found = decide(inputs, CANADIAN)
    assert (found.verdict, found.rule) == (verdict, rule)
    if verdict is Verdict.PROTECT:
        assert found.protection is not None
        assert (found.protection.hold_h, round(celsius(found.protection.hold_f), 9)) == (72, 10)
    if rule == "concrete":
        assert "reject the truck" in found.words


def test_legal_to_place_illegal_to_leave_is_said() -> None:
    inputs = Inputs(NOON, fahrenheit(8), fahrenheit(-2), NOON, 72, covers=True, concrete_f=61)
    notes = decide(inputs, CANADIAN).notes
    assert "Warm enough to place, too cold after it to leave bare: have the protection ready." in notes


@pytest.mark.parametrize("given", params("CW-02"))
def test_the_older_definition_of_cold(given) -> None:
    assert given.inputs.successive_days_mean_below_40F == ">3"
    cold, warm, mild = (35.0, 3.0), (39.0, 13.0), (41.0, 0.0)
    assert cold_by_older_rule([cold] * 4) is given.expected
    assert not cold_by_older_rule([cold] * 3)
    for between in (warm, mild):
        assert not cold_by_older_rule([cold] * 3 + [between] + [cold] * 3)


@pytest.mark.parametrize("given", params("CW-08"))
def test_cooling_while_heat_is_taken_off(given) -> None:
    assert (given.expected["per_hour_F"], given.expected["per_24h_F"]) == (COOLING_F_PER_H, COOLING_F_PER_DAY)
