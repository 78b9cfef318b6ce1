"""The second law of hydration against its published test, and by behaviour."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from takeoff.heat.affinity import TEST_MIX, degree_at, two_laws
from takeoff.heat.hydration import Mix, of_mix

HOURS = np.arange(97.0)


def test_degree_and_heat_of_the_published_test() -> None:
    """BAM (Berlin), public finite element code for concrete, test of its heat of hydration: at 35 C after 40,000 s, in
    steps of 1,800 s and straight between them, degree 0.47812969 and heat 239.06484735 J/g."""
    (found,) = degree_at(TEST_MIX, HOURS, np.full(97, 35.0), [40000 / 3600], step_s=1800.0)
    assert found == pytest.approx(0.47812969, rel=1e-6)
    assert found * TEST_MIX.heat_j_g == pytest.approx(239.06484735, rel=1e-6)


def test_it_converges_with_the_first_power_of_the_step() -> None:
    fine, *coarser = (degree_at(TEST_MIX, HOURS, np.full(97, 20.0), [12.0], s)[0] for s in (30.0, 1800.0, 900.0))
    wide, narrow = (abs(value - fine) for value in coarser)
    assert 1.7 < wide / narrow < 2.4


def test_it_grows_with_time_and_warmth_and_never_passes_its_most() -> None:
    cold, warm = (degree_at(TEST_MIX, HOURS, np.full(97, t), [6, 24, 72, 96]) for t in (5.0, 30.0))
    for course in (cold, warm):
        assert all(a < b for a, b in pairwise(course)) and course[-1] < TEST_MIX.alpha_max
    assert all(a < b for a, b in zip(cold, warm, strict=True))


def test_both_laws_are_told_of_the_same_temperatures_and_only_where_those_are_known() -> None:
    mix, core = Mix(), np.full(49, 20.0)
    (found,) = two_laws(of_mix(mix), mix, HOURS[:49], core, (24, 72))
    assert found.hour == 24 and all(0.2 < degree < 0.8 for degree in found.degree)
    half = replace(of_mix(mix), heat_j_m3=of_mix(mix).heat_j_m3 / 2)
    (less,) = two_laws(half, mix, HOURS[:49], core, (24,))
    assert less.heat_j_g == pytest.approx((found.heat_j_g[0] / 2, found.heat_j_g[1])) and less.degree == found.degree
    assert two_laws(half, mix, HOURS[:9], core[:9], (24,)) == ()


@pytest.mark.parametrize("name", ["b1_s", "b2", "eta", "alpha_max", "activation_j_mol", "heat_j_g"])
def test_constants_of_nothing_are_refused(name) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        replace(TEST_MIX, **{name: 0.0})
