"""Strength curves by behaviour: they grow, end where they are known, and follow the breaks of cylinders."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.heat.layers import HeatError
from takeoff.heat.maturity import equivalent_age, model_code_age
from takeoff.heat.strength import (
    SET_H,
    Break,
    corrected,
    eurocode_curve,
    model_code_curve,
    own_curve,
    required_average_psi,
    usual_curve,
)

OWN = own_curve([(1, 900), (3, 2100), (7, 3000), (28, 4200)])
CURVES = [OWN, usual_curve(4000), usual_curve(4000, "III"), eurocode_curve(4500), model_code_curve(4500)]


@pytest.mark.parametrize("curve", CURVES, ids=lambda c: c.name)
@settings(max_examples=30, deadline=None)
@given(a=st.floats(0, 3000), b=st.floats(0, 3000))
def test_strength_grows_and_its_age_is_found_back(curve, a, b) -> None:
    low, high = sorted((a, b))
    assert 0 <= curve.psi(low) <= curve.psi(high)
    age = curve.age_of(curve.psi(high))
    assert age is not None and age <= high + 1e-6
    assert curve.psi(age) == pytest.approx(curve.psi(high), abs=1.0) or age <= SET_H + 1e-6


def test_the_own_curve_goes_through_its_points_and_is_held_beyond() -> None:
    assert [OWN.psi(d * 24) for d in (1, 3, 7, 28)] == pytest.approx([900, 2100, 3000, 4200])
    assert OWN.psi(90 * 24) == pytest.approx(4200) and OWN.age_of(4300) is None
    assert OWN.psi(5) == 0 and 0 < OWN.psi(16) < 900


def test_usual_curves_have_their_strength_at_28_days_and_none_before_setting() -> None:
    assert usual_curve(4000).psi(28 * 24) == pytest.approx(4000, rel=0.01)
    assert eurocode_curve(4000).psi(28 * 24) == pytest.approx(4000)
    assert usual_curve(4000).psi(SET_H - 0.1) == 0
    assert usual_curve(4000, "III").psi(24) > 1.3 * usual_curve(4000).psi(24)


def test_a_curve_brings_its_own_rule_of_age() -> None:
    assert usual_curve(4000).age_rule is OWN.age_rule is equivalent_age
    assert eurocode_curve(4000).age_rule is model_code_curve(4000).age_rule is model_code_age
    slow, quick = model_code_curve(4000, "32.5 N"), model_code_curve(4000, "42.5 R")
    assert slow.psi(72) < model_code_curve(4000).psi(72) < quick.psi(72)
    strong = model_code_curve(10000, "32.5 N")
    assert strong.psi(72) / 10000 > slow.psi(72) / 4000


@settings(max_examples=30, deadline=None)
@given(st.floats(0.75, 1.35), st.lists(st.floats(20, 600), min_size=1, max_size=5))
def test_breaks_on_a_scaled_curve_give_its_scale_back(scale, ages) -> None:
    found = corrected(OWN, [Break(age, OWN.psi(age) * scale) for age in ages])
    assert found.factor == pytest.approx(scale) and found.scatter < 1e-9
    assert found.after_rms_psi == pytest.approx(0, abs=1e-6)
    assert found.curve.psi(100) == pytest.approx(OWN.psi(100) * scale)


def test_breaks_that_scatter_widen_the_range_and_few_never_narrow_it() -> None:
    apart = corrected(OWN, [Break(24, 700), Break(72, 2400), Break(168, 2700)])
    assert apart.curve.spread == pytest.approx(apart.scatter) and apart.scatter > 0.1
    close = corrected(OWN, [Break(72, 2000), Break(72, 2010), Break(168, 2880)])
    assert close.curve.spread == 0.05
    assert corrected(OWN, [Break(72, 2000)]).curve.spread == OWN.spread
    assert "3 breaks" in close.words and "x 0.9" in close.words


def test_breaks_far_from_the_curve_ask_the_supplier() -> None:
    assert "supplier" in corrected(OWN, [Break(72, 1200)]).words


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: own_curve([(1, 900)]), "two points"),
        (lambda: own_curve([(1, 900), (3, 800)]), "falls or repeats at 3 days"),
        (lambda: own_curve([(1, 900), (1, 950)]), "falls or repeats"),
        (lambda: usual_curve(0), "more than nothing"),
        (lambda: corrected(OWN, []), "no break"),
        (lambda: corrected(OWN, [Break(2, 100)]), "before the curve"),
        (lambda: corrected(OWN, [Break(72, 0)]), "none itself"),
        (lambda: required_average_psi(6000, 500), "up to 5000"),
    ],
)
def test_what_cannot_be_is_said(make, said) -> None:
    with pytest.raises(HeatError, match=said):
        make()
