"""Cover and tolerance beside each bar: IRC 2021 R404.1.3.3.7.2 and R404.1.3.3.7.4, read in a public copy."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.placing import cover_tolerance, place_tolerance, placing_of
from takeoff.plan import Stage
from takeoff.results import Bar, BarRole
from takeoff.site import BarPlace
from tests.takeoff import plans
from tests.takeoff.plans import at

PLAN = plans.rectangle()
INSIDE = replace(PLAN, spec=replace(PLAN.spec, bars=replace(PLAN.spec.bars, vertical_place=BarPlace.INSIDE_FACE)))


def a_bar(role: BarRole, size: int = 5, upright: bool = False) -> Bar:
    line = (10.0, 0.0, 10.0 if upright else 90.0, 80.0 if upright else 0.0)
    return Bar("", size, role, Stage.FULL_WALL, "main", "A", 1, at("8-0"), None, "", (line,))


@pytest.mark.parametrize(("core", "off"), [("4", "0.4"), ("3", "3/8"), ("6", "0.6"), ("8", "0.8"), ("10", "1")])
def test_place_across_the_wall(core: str, off: str) -> None:
    """The greater of a tenth of the wall and 3/8 in."""
    assert place_tolerance(at(core)) == at(off)


@pytest.mark.parametrize(("cover", "less"), [("3", "3/8"), ("1.5", "3/8"), ("0.75", "1/4")])
def test_cover_may_be_short_by(cover: str, less: str) -> None:
    """The smaller of a third and 3/8 in."""
    assert cover_tolerance(at(cover)) == at(less)


def test_upright_bars_at_the_middle() -> None:
    found = placing_of(a_bar(BarRole.VERTICAL), PLAN, at("8"))
    assert found.cover == 'middle of the bar 4" from each face of the concrete'
    assert found.tolerance == '± 3/4" across the wall' and found.source.clause.startswith("R404.1.3.3.7.2")


@pytest.mark.parametrize(("size", "outside"), [(5, '1 1/2"'), (6, '2"')])
def test_upright_bars_near_the_inside_face(size: int, outside: str) -> None:
    found = placing_of(a_bar(BarRole.PROJECTING, size), INSIDE, at("8"))
    assert (
        found.cover.startswith('1 1/4" from the inside face') and f"{outside} or more from the outside" in found.cover
    )
    assert "R404.1.2(8)" in found.source.clause


@pytest.mark.parametrize("role", [BarRole.FOOTING, BarRole.FOOTING_CORNER, BarRole.PAD])
def test_footing_bars_keep_3_in_to_earth_even_where_less_is_typed(role: BarRole) -> None:
    thin = replace(PLAN, spec=replace(PLAN.spec, footing=replace(PLAN.spec.footing, cover=at("2"))))
    for plan in (PLAN, thin):
        found = placing_of(a_bar(role), plan, at("8"))
        assert found.cover.startswith('3" to the earth') and found.tolerance == 'no more than 3/8" less'


def test_dowels_have_both_a_cover_and_a_place() -> None:
    found = placing_of(a_bar(BarRole.DOWEL), PLAN, at("8"))
    assert found.cover.startswith('3" to the earth below; middle of the bar 4"')


@pytest.mark.parametrize("role", [BarRole.HORIZONTAL, BarRole.CORNER, BarRole.STIRRUP, BarRole.LEDGE])
def test_the_rest_keeps_three_quarters_to_the_foam(role: BarRole) -> None:
    assert placing_of(a_bar(role), PLAN, at("8")).cover == '3/4" to the foam'


def test_bars_at_openings_stand_near_the_edge() -> None:
    upright = placing_of(a_bar(BarRole.OPENING, upright=True), PLAN, at("8"))
    assert upright.cover.startswith("within 12\" of the opening's edge; middle of the bar")
    assert placing_of(a_bar(BarRole.OPENING), PLAN, at("8")).cover == '3/4" to the foam'


def test_the_cover_of_lintel_bars_is_said_to_be_from_memory() -> None:
    found = placing_of(a_bar(BarRole.LINTEL), PLAN, at("8"))
    assert found.cover.startswith('1 1/2" above the opening') and not found.source.seen
