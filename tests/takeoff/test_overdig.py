"""A garage or porch footing must not stand over the hole dug for the basement (common practice, no source)."""

from __future__ import annotations

import pytest

from takeoff.compute import compute
from takeoff.overdig import cut_reach_in
from takeoff.problems import Severity
from tests.takeoff import plans
from tests.takeoff.plans import at


def _said(plan) -> list[str]:
    return [p.sentence for p in compute(plan).problems if "lies over the hole" in p.sentence]


def test_a_garage_hung_on_a_deep_basement_is_told_at_both_its_ends():
    said = _said(plans.garage())
    assert len(said) == 2
    assert all("engineer" in sentence for sentence in said)
    assert {p.severity for p in compute(plans.garage()).problems if p.sentence in said} == {Severity.WARNING}


def test_walls_on_one_level_and_inner_walls_are_not_told():
    assert _said(plans.rectangle()) == []
    assert _said(plans.tee()) == []


@pytest.mark.parametrize("above, reach", [(0, 27), (84, 111)])
def test_the_cut_reaches_working_space_and_slope(above, reach):
    """3 in projection, 24 in working space, one to one."""
    assert cut_reach_in(3, 24, 1.0, above) == pytest.approx(reach)


def test_the_numbers_are_in_the_sentence():
    """Footing tops 93'-0" and 86'-0", both 10 in thick: 7 ft up a one-to-one cut, and 27 in before it."""
    first = _said(plans.garage())[0]
    assert "92'-2\"" in first and "85'-2\"" in first
    assert f"about {at('9-3')}" in first
