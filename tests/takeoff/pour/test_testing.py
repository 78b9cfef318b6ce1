"""Samples spread over the pour, verdicts in words."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.pour.testing import Cylinder, samples_due, strength_verdict


@given(st.floats(0.25, 600), st.floats(0, 30_000))
@settings(max_examples=40)
def test_samples_lie_within_the_pour(yd3, area) -> None:
    found = samples_due(yd3, area)
    assert found.tests == len(found.at_yd3) >= 1
    assert all(0 < at < yd3 for at in found.at_yd3) and list(found.at_yd3) == sorted(found.at_yd3)
    assert yd3 / found.tests <= 150 + 1e-6


@pytest.mark.parametrize(
    ("size", "cylinders"), [(Cylinder.FOUR_BY_EIGHT, 3 + 1 + 2), (Cylinder.SIX_BY_TWELVE, 2 + 1 + 2)]
)
def test_cylinders_with_those_beside_the_wall(size, cylinders) -> None:
    found = samples_due(30, size=size, field_cured=2)
    assert found.cylinders == cylinders and "2 beside the wall" in found.words


def test_no_concrete_needs_no_test() -> None:
    assert samples_due(0).tests == 0


def test_good_tests_are_accepted() -> None:
    assert strength_verdict([3100, 2900, 3000], 3000).words == "Accepted."
