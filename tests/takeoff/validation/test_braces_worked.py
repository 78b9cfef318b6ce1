"""Braces of one wall, a published rule of thumb for a whole basement, and braces shared by several houses."""

from __future__ import annotations

import pytest

from takeoff import bracing
from takeoff.brace_pool import Need, Slip, pool
from takeoff.geometry import place
from takeoff.plan import Stage
from tests.takeoff import plans
from tests.takeoff.validation.worked_cases import case


@pytest.mark.parametrize("size", [("50-0", "30-0")], ids=["T36: 32 braces to a 1,500 ft2 basement, trade press"])
def test_a_basement_of_1500_ft2_takes_about_the_braces_of_the_rule_of_thumb(size: tuple[str, str]) -> None:
    """32 braces round 160 ft are 5 ft each; without openings the walls themselves take 28, five and six feet apart."""
    plan = plans.rectangle(*size)
    count = bracing.braces_for(plan, place(plan), Stage.FULL_WALL, "ABCD")
    assert 5.0 <= 160 / count <= 6.0
    assert count <= 32


def test_t50_three_houses_and_eighty_braces() -> None:
    given, result = case("T50")
    got = pool([Need(*row) for row in given.needs], given.owned)
    assert (got.peak, got.peak_day, got.short) == (result.peak, result.peak_day, result.short)
    assert got.slips == (Slip(result.slip_house, result.slip_days),)
    assert got.together == ("A", "B", "C")
    assert got.say == "23 braces short on day 5 (103 needed, 80 owned): move C by 2 days, or rent 23."
