"""Conduction by behaviour: heat is neither made nor lost, nothing overshoots, covers help, wrong input is said."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.heat.conduction import State, simulate, start, steps
from takeoff.heat.history import Balance
from takeoff.heat.hydration import Mix, of_mix
from takeoff.heat.layers import (
    CONCRETE,
    FOAM,
    Body,
    Cover,
    HeatError,
    Layer,
    Material,
    Side,
    corner_factor,
    film_w_m2k,
    footing,
    soil_layers,
    steady_side,
    wall,
)

REACTION = of_mix(Mix())


def body(air: float = -5.0, hours: int = 72, covers=(), foam: float = 0.06, hydration=REACTION) -> Body:
    return wall(0.15, foam, steady_side(air, hours, 3.0, covers), steady_side(air, hours), hydration)


def run(b: Body, hours: int = 72, placed: float = 15.0):
    return simulate(b, start(b, placed, -5.0), hours)


materials = st.sampled_from([CONCRETE, FOAM, Material("gravel", 1.2, 1.6e6)])
layers = st.lists(st.builds(Layer, materials, st.floats(0.01, 0.5), st.integers(1, 12)), min_size=1, max_size=5).filter(
    lambda found: sum(x.cells for x in found) > 1
)


@settings(max_examples=25, deadline=None)
@given(layers, st.floats(-30, 30), st.floats(-30, 30), st.floats(0, 15))
def test_heat_adds_up_in_any_layers(found, outside, inside, wind) -> None:
    b = Body(tuple(found), steady_side(outside, 24, wind), steady_side(inside, 24, wind))
    assert run(b, 24).balance.missing < 1e-9


@settings(max_examples=25, deadline=None)
@given(layers, st.floats(-30, 30), st.floats(-30, 30))
def test_after_long_the_profile_is_that_of_resistances(found, outside, inside) -> None:
    b = Body(tuple(found), steady_side(outside, 3000, 2.0), steady_side(inside, 3000, 2.0))
    times = np.concatenate([np.arange(100.0), np.arange(100.0, 3001.0, 50.0)])
    ended = simulate(b, start(b, 10.0, 10.0), 3000, times)
    film = 1 / float(film_w_m2k(2.0))
    total = 2 * film + sum(x.thickness_m / x.material.k for x in found)
    flow = (outside - inside) / total
    slow = total * sum(x.thickness_m * x.material.c_j_m3k for x in found)
    left = 45 * np.exp(-3000 * 3600 / slow)
    assert ended.surface_c[-1, 0] == pytest.approx(outside - flow * film, abs=0.02 + left)
    assert ended.surface_c[-1, 1] == pytest.approx(inside + flow * film, abs=0.02 + left)


def test_a_jump_of_the_air_does_not_ring_in_thin_foam() -> None:
    b = wall(0.15, 0.06, steady_side(-20, 48), steady_side(-20, 48), REACTION, fineness=4)
    b = Body(b.layers, b.outside, b.inside, None)
    cooled = simulate(b, State(np.full(len(start(b, 0, 0).temperature_c), 20.0), np.zeros(0)), 48, np.arange(49.0))
    fall = np.diff(cooled.temperature_c, axis=0)
    assert np.all(fall[0] < 0) and np.all(fall[:, cooled.concrete] < 0)
    assert np.abs(fall[3]).max() < 0.02 * np.abs(fall[0]).max()
    assert np.all(fall[5:] < 0), "a scheme that rings would go on from hour to hour"
    assert cooled.temperature_c.min() >= -20


def test_alike_on_both_sides_is_alike_inside() -> None:
    b = wall(0.15, 0.06, steady_side(-5, 48), steady_side(-5, 48), REACTION)
    found = run(b, 48)
    assert found.temperature_c == pytest.approx(found.temperature_c[:, ::-1], abs=1e-9)
    assert found.outside_face_c == pytest.approx(found.inside_face_c, abs=1e-9)


def test_faces_lie_between_core_and_air_and_hydration_warms() -> None:
    found = run(body())
    plain = run(body(hydration=None))
    assert np.all(found.outside_face_c[2:] < found.core_c[2:]) and np.all(found.outside_face_c[2:] > -5)
    assert found.core_c.max() > 25 > plain.core_c.max()
    assert found.balance.hydration > 0 == plain.balance.hydration


@pytest.mark.parametrize("fewer", [0.0, 0.1])
def test_a_cover_keeps_warm_only_while_it_lies(fewer) -> None:
    bare = run(body(foam=fewer))
    day, always = (run(body(foam=fewer, covers=(Cover(0.7, 0, end),))) for end in (24, 999))
    assert np.all(day.core_c[2:25] > bare.core_c[2:25])
    assert day.core_c[:25] == pytest.approx(always.core_c[:25], abs=1e-9)
    assert np.all(day.core_c[27:] < always.core_c[27:])


def test_more_wind_is_colder() -> None:
    still = wall(0.15, 0.0, steady_side(-5, 48, 0.0), steady_side(-5, 48, 0.0), REACTION)
    windy = wall(0.15, 0.0, steady_side(-5, 48, 10.0), steady_side(-5, 48, 10.0), REACTION)
    assert run(still, 48).core_c[24] > run(windy, 48).core_c[24] + 2


def test_a_run_taken_up_again_goes_on_as_if_never_left() -> None:
    hours = np.arange(73.0)
    side = Side(5 * np.sin(hours / 4), 2 + np.cos(hours / 9))
    b = wall(0.15, 0.06, side, side, REACTION)
    times = steps(72, 0, 0.25, 0.25)
    whole = simulate(b, start(b, 15, 5), 72, times)
    rest = simulate(b, State(whole.temperature_c[48], whole.age_h[48]), 24, steps(24, 0, 0.25, 0.25), 48.0)
    assert rest.core_c == pytest.approx(whole.core_c[48:], abs=2e-3)


def test_whole_hours_are_told_whatever_the_steps() -> None:
    for times in (steps(5), steps(5, 2, 0.25, 0.5), None):
        b = body(hours=5)
        found = simulate(b, start(b, 15, -5), 5, times)
        assert list(found.hours) == [0, 1, 2, 3, 4, 5] and len(found.core_c) == len(found.surface_c) == 6


def test_a_surface_held_has_the_temperature_given() -> None:
    b = Body((Layer(CONCRETE, 0.2, 5),), Side(np.full(25, -3.0), held=True), Side(np.full(25, 9.0), closed=True))
    found = run(b, 24)
    assert found.surface_c[1:, 0] == pytest.approx(-3.0)
    assert found.surface_c[1:, 1] == pytest.approx(found.temperature_c[1:, -1])


def test_slices_of_a_footing_fill_it_and_its_soil() -> None:
    soil = Material("soil", 1.5, 2e6)
    b = footing(0.25, soil, steady_side(0, 5), 8.0, REACTION, soil_m=2.0)
    assert sum(x.thickness_m for x in b.layers) == pytest.approx(2.25)
    found = simulate(b, start(b, 15, 8), 5)
    assert found.depth_m[-1] + found.width_m[-1] / 2 == pytest.approx(2.25)
    widths = [x.thickness_m / x.cells for x in soil_layers(soil, 2.5)]
    assert widths == sorted(widths)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: simulate(body(hours=10), start(body(), 15, -5), 11), "known for 10 h, 11 h are needed"),
        (lambda: simulate(body(air=float("nan")), start(body(), 15, -5), 5), "hours without a number"),
        (lambda: simulate(body(), State(np.full(99, np.nan), np.zeros(0)), 5), "begin with"),
        (lambda: simulate(body(), State(start(body(), 15, 0).temperature_c, np.zeros(2)), 5), "needs its age"),
        (lambda: Layer(FOAM, 0.0, 3), "needs a thickness"),
        (lambda: Material("air", 0.0, 1.0), "more than nothing"),
        (lambda: steps(5, 1, 0.3, 1), "whole number"),
        (lambda: steps(0), "one hour"),
        (lambda: corner_factor(0.06, 0.0), "core"),
    ],
)
def test_what_cannot_be_is_said(make, said) -> None:
    with pytest.raises(HeatError, match=said):
        make()


def test_a_balance_that_does_not_close_says_so() -> None:
    assert not Balance(10.0, 0.0, 0.0, 9.9).closes and Balance(10.0, 0.0, 0.0, 9.999).closes
    assert Balance(0.0, 0.0, 0.0, 0.0).missing == 0.0
