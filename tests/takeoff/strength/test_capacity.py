"""Properties of the strip and of what carries it, over all sorts of walls."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.strength.capacity import (
    LIGHT_STEEL,
    Section,
    area_needed_in2,
    least_area_in2,
    moment_capacity_lb_ft,
    moment_to_carry_lb_ft,
    shear_capacity_lb,
    steel_strain,
    stress_block,
)
from takeoff.strength.strip import EarthLoad, cantilever, pinned

FEW = settings(max_examples=40, deadline=None)


@st.composite
def loads(draw: st.DrawFn) -> EarthLoad:
    span = draw(st.floats(3, 14))
    fill = draw(st.floats(0.1, span))
    return EarthLoad(span, fill, draw(st.floats(20, 90)), draw(st.floats(0, span - fill)))


@FEW
@given(loads())
def test_a_wall_held_at_its_top_works_less_than_one_that_is_not(load: EarthLoad) -> None:
    held, free = pinned(load), cantilever(load)
    assert 0 < held.moment < free.moment
    assert held.top + held.foot == pytest.approx(free.foot) == pytest.approx(load.total)
    assert 0 < held.at < load.span


@FEW
@given(loads(), st.floats(1.01, 1.5))
def test_moment_grows_with_the_soil_and_with_the_fill(load: EarthLoad, more: float) -> None:
    heavier = EarthLoad(load.span, load.fill, load.pressure * more, load.balanced)
    assert pinned(heavier).moment == pytest.approx(more * pinned(load).moment)
    lower = EarthLoad(load.span, load.fill / more, load.pressure, load.balanced)
    assert pinned(lower).moment < pinned(load).moment


def test_no_fill_no_moment() -> None:
    assert pinned(EarthLoad(8, 0, 45)).moment == 0


@pytest.mark.parametrize("heights", [(8, 8.1, 0), (8, 7, 2), (8, -1, 0), (0, 0, 0)])
def test_earth_above_the_wall_is_refused(heights: tuple[float, float, float]) -> None:
    span, fill, balanced = heights
    with pytest.raises(ValueError, match="strip"):
        EarthLoad(span, fill, 45, balanced)


@FEW
@given(st.floats(0.02, 1.2), st.floats(1.5, 8), st.floats(600, 5900), st.floats(1.02, 1.3))
def test_more_steel_depth_or_strength_never_carries_less(area: float, depth: float, fc: float, more: float) -> None:
    base = Section(area, depth, 60_000, fc)
    assert moment_capacity_lb_ft(Section(area, depth * more, 60_000, fc)) >= moment_capacity_lb_ft(base)
    assert moment_capacity_lb_ft(Section(area, depth, 60_000, fc * more)) >= moment_capacity_lb_ft(base) * 0.999
    assert shear_capacity_lb(Section(area, depth, 60_000, fc * more)) > shear_capacity_lb(base)
    if steel_strain(base) >= 0.01:  # beyond it phi falls as steel is added
        assert moment_capacity_lb_ft(Section(area * 1.01, depth, 60_000, fc)) > moment_capacity_lb_ft(base)


@FEW
@given(st.floats(100, 6000), st.floats(2, 6), st.floats(2500, 5000))
def test_the_steel_needed_carries_the_moment(moment: float, depth: float, fc: float) -> None:
    area = area_needed_in2(moment, depth, fc, 60_000)
    if area is None:
        return
    section = Section(area, depth, 60_000, fc)
    if steel_strain(section) >= 0.005:
        assert moment_capacity_lb_ft(section) >= moment_to_carry_lb_ft(section, moment) * 0.98


def test_light_steel_carries_a_third_more() -> None:
    light = Section(least_area_in2(3.75, 3000, 60_000) * 0.99, 3.75, 60_000, 3000)
    heavy = Section(least_area_in2(3.75, 3000, 60_000) * 1.01, 3.75, 60_000, 3000)
    assert moment_to_carry_lb_ft(light, 900) == pytest.approx(900 * LIGHT_STEEL)
    assert moment_to_carry_lb_ft(heavy, 900) == 900


def test_no_steel_does_what_the_section_cannot() -> None:
    assert area_needed_in2(50_000, 2.75, 2500, 60_000) is None
    assert moment_capacity_lb_ft(Section(0.0, 3, 60_000, 3000)) == 0


def test_stress_block_by_strength() -> None:
    assert [stress_block(fc) for fc in (2500, 4000, 5000, 9000)] == [0.85, 0.85, pytest.approx(0.80), 0.65]
