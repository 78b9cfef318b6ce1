"""Transient conduction against handbook solutions and against a general ODE solver; sources are in the ids."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import erfc

from foundation.bench_heat import core_by_ode
from takeoff.heat.bench_case import standard_run, standard_wall
from takeoff.heat.conduction import State, simulate, start, steps
from takeoff.heat.edges import edge_c
from takeoff.heat.layers import EDGE, Body, Cover, Layer, Material, Side, film_w_m2k
from takeoff.heat.layers import wall as layers_of
from takeoff.heat.outlook import run
from tests.takeoff.validation.heat_published import case, params

HANDBOOK = Material("handbook concrete", 2.0, 2350 * 950.0)


def _side(air: float, hours: int, h: float) -> Side:
    """A side with a film of a given conductance [W/m2K]: the model's own film with a cover that makes it so."""
    wind = 0.0
    return Side(np.full(hours + 1, air), wind, (Cover(1 / h - 1 / float(film_w_m2k(wind)), -1.0),))


def _held(air: float, hours: int) -> Side:
    return Side(np.full(hours + 1, air), held=True)


def _plain(body: Body, at: float) -> State:
    return start(body, at, at)


@pytest.mark.parametrize("given", params("HH-11", "HH-13", "HH-14"))
def test_cooling_of_a_plane_wall_by_one_term(given) -> None:
    """After a while a wall cools as A1 exp(-lambda^2 Fo): both are found in the model's own course."""
    bi, want = given.inputs.Bi, given.expected
    half, k, c = 0.5, 1.0, 1.0e6
    film = bi * k / half
    material = Material("made for it", k, c)
    body = Body((Layer(material, half, 120),), _side(0.0, 400, film), Side(np.zeros(401), closed=True))
    found = simulate(body, _plain(body, 1.0), 400, steps(400, 0, 0.25, 0.25))
    middle, fo = found.temperature_c[:, -1], found.hours * 3600 * k / c / half**2
    late = fo > 0.5
    slope, start_log = np.polyfit(fo[late], np.log(middle[late]), 1)
    assert math.sqrt(-slope) == pytest.approx(want["lambda1"], abs=4e-4)
    assert math.exp(start_log) == pytest.approx(want["A1"], abs=2e-3)


def test_the_same_coefficients_by_their_equation() -> None:
    """lambda tan lambda = Bi, as the handbook prints it, gives the values the courses were held against."""
    for name in ("HH-11", "HH-13", "HH-14"):
        given = case(name)
        lam = brentq(lambda x, bi=given.inputs.Bi: x * math.tan(x) - bi, 1e-9, math.pi / 2 - 1e-9)
        a1 = 4 * math.sin(lam) / (2 * lam + math.sin(2 * lam))
        assert (lam, a1) == (
            pytest.approx(given.expected["lambda1"], abs=1e-4), pytest.approx(given.expected["A1"], abs=1e-4),
        )  # fmt: skip


@pytest.mark.parametrize("given", params("HH-16"))
def test_deep_ground_under_a_sudden_cold(given) -> None:
    i = given.inputs
    soil = Material("dry ground", i.k, i.k / i.alpha_m2_s)
    hours = i.days * 24
    body = Body((Layer(soil, 6.0, 150),), _held(i.Ts_C, hours), _held(i.Ti_C, hours))
    found = simulate(body, _plain(body, i.Ti_C), hours, steps(hours, 24, 0.5, 1.0))
    reached = float(np.interp(0.0, found.temperature_c[-1], found.depth_m))
    assert reached == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("HH-17"))
def test_complementary_error_function_in_the_model(given) -> None:
    """The profile of a half-space after a step is erfc: the model's profile against the printed table."""
    a, hours = 1e-6, 100
    body = Body((Layer(Material("half space", 1.0, 1e6), 4.0, 400),), _held(1.0, hours), _held(0.0, hours))
    found = simulate(body, _plain(body, 0.0), hours, steps(hours, hours, 0.25, 0.25))
    for eta, value in zip(given.inputs.eta, given.expected, strict=True):
        x = eta * 2 * math.sqrt(a * hours * 3600)
        assert np.interp(x, found.depth_m, found.temperature_c[-1]) == pytest.approx(value, abs=5e-4)
        assert erfc(eta) == pytest.approx(value, abs=given.tolerance)


@pytest.mark.parametrize("given", params("HH-19"))
def test_fresh_concrete_on_cold_soil_takes_the_temperature_of_contact(given) -> None:
    c, s = given.inputs.concrete, given.inputs.soil
    concrete = Material("concrete", c["k"], c["rho"] * c["c"])
    soil = Material("soil", s["k"], s["rho"] * s["c"])
    body = Body(
        (Layer(concrete, 0.5, 500), Layer(soil, 0.5, 500)),
        Side(np.zeros(3), closed=True),
        Side(np.zeros(3), closed=True),
    )
    begin = State(np.repeat([15.0, 1.0], 500), np.zeros(0))
    found = simulate(body, begin, 2, steps(2, 2, 0.05, 1.0))
    near, far = found.temperature_c[1, 499], found.temperature_c[1, 500]
    contact = (c["k"] * near + s["k"] * far) / (c["k"] + s["k"])
    assert contact == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("HH-20"))
def test_thick_concrete_cooled_by_a_film(given) -> None:
    i = given.inputs
    body = Body((Layer(HANDBOOK, 2.0, 400),), _side(1.0, i.t_h, i.h), Side(np.zeros(i.t_h + 1), closed=True))
    found = simulate(body, _plain(body, 0.0), i.t_h, steps(i.t_h, i.t_h, 0.1, 1.0))
    got = [found.surface_c[-1, 0], float(np.interp(i.x_m[1], found.depth_m, found.temperature_c[-1]))]
    assert got == pytest.approx(given.expected, abs=given.tolerance)


@pytest.mark.parametrize("given", params("HH-22"))
def test_bare_wall_after_six_hours(given) -> None:
    """The wall of the example has Bi 1.27 and Fo 1.8746 after 6 h at h = 25 W/m2K: half its thickness follows."""
    bi, fo = given.inputs.Bi, given.inputs.Fo
    half = bi * HANDBOOK.k / 25
    assert HANDBOOK.k / HANDBOOK.c_j_m3k * 6 * 3600 / half**2 == pytest.approx(fo, abs=2e-3)
    body = Body((Layer(HANDBOOK, 2 * half, 80),), _side(0.0, 6, 25.0), _side(0.0, 6, 25.0))
    found = simulate(body, _plain(body, 1.0), 6, steps(6, 6, 0.1, 1.0))
    assert [found.at_depth(half)[-1], found.surface_c[-1, 0]] == pytest.approx(given.expected, abs=given.tolerance)


def test_a_wall_against_a_general_ode_solver() -> None:
    """Core of the standard wall's first week against the method of lines with scipy's BDF: within 1 F (0.56 C)."""
    wall = standard_wall(7)
    assert np.abs(run(wall).core_c - core_by_ode(wall)).max() < 0.15


def test_mesh_and_step_converge_at_second_order() -> None:
    """Both halved at once, the error falls by four or so: the order the scheme and the slices are known to have."""
    case_ = standard_wall(3)
    side = Side(case_.air_c, 2.0)

    def core(fineness: int):
        body = layers_of(case_.core_m, case_.foam_m, side, side, case_.reaction, fineness=fineness)
        times = steps(72, 0, 1 / fineness, 1 / fineness)
        return simulate(body, start(body, 15.0, 5.0), 72, times).core_c

    exact = core(16)
    errors = [np.abs(core(f) - exact)[6:].max() for f in (1, 2, 4)]
    orders = [math.log2(a / b) for a, b in pairwise(errors)]
    assert errors[0] < 0.1 and all(order > 1.7 for order in orders), (errors, orders)


def test_heat_adds_up_over_28_days() -> None:
    """First law: what came in and what hydration gave is stored; within 0.1 % asked, to rounding found."""
    balance = standard_run().balance
    assert balance.closes and balance.missing < 1e-10
    assert balance.hydration > 0 and balance.from_outside < 0


@pytest.mark.parametrize(
    ("wind", "printed"),
    [(1, 0.08), (2, 0.06), (3, 0.05), (4, 0.04), (5, 0.04), (7, 0.03), (10, 0.02)],
    ids=lambda v: f"ISO-6946-2007-Annex-A-{v} (from memory)",
)
def test_outside_surface_resistance_by_wind(wind, printed) -> None:
    assert round(1 / float(film_w_m2k(float(wind))), 2) == printed


def test_edge_of_adjoining_walls_by_a_two_dimensional_grid() -> None:
    """Incropera and DeWitt, Table 4.1 case 8 (read): the edge where two walls join adds a shape factor of 0.54.

    Steady heat through an L of foam with arms of two thicknesses, on a grid: all of it less that of the two arms."""
    n, arms = 20, 2  # cells in a thickness, thicknesses in an arm
    depth = np.minimum(np.arange(n * (arms + 1) + 1) / n, 1.0)
    t = np.outer(depth, depth)  # 0 on the two outer faces, 1 on the faces of the core
    foam = (t > 0) & (t < 1)
    for _ in range(2500):
        wide = np.pad(t, ((1, 1), (1, 1)), mode="reflect")  # no heat passes the cut ends of the arms
        t = np.where(foam, (wide[2:, 1:-1] + wide[:-2, 1:-1] + wide[1:-1, 2:] + wide[1:-1, :-2]) / 4, t)
    flow = 2 * ((t[1] - t[0]).sum() - (t[1, -1] - t[0, -1]) / 2)
    assert flow - 2 * arms == pytest.approx(EDGE, abs=0.03)
    assert EDGE == 0.54


def test_product_of_two_runs_at_an_edge_by_a_two_dimensional_grid() -> None:
    """Cengel and Ghajar, 4-4 (from memory): where two faces meet plain cooling leaves the product of both. A square bar
    of concrete cooled by films is stepped on a grid and held against two runs of the model."""
    size, n, film, hours = 0.4, 20, 20.0, 8
    k, c, dx = HANDBOOK.k, HANDBOOK.c_j_m3k, 0.4 / 20
    t, dt = np.ones((n, n)), 60.0
    link, out = k, 1 / (1 / film + dx / 2 / k) * dx
    for _ in range(int(hours * 3600 / dt)):
        flow = np.zeros_like(t)
        for axis in (0, 1):
            step = np.diff(t, axis=axis) * link
            pads = [(0, 0), (0, 0)]
            pads[axis] = (1, 1)
            step = np.pad(step, pads)
            flow += np.diff(step, axis=axis)
        for edge in (np.s_[0, :], np.s_[-1, :], np.s_[:, 0], np.s_[:, -1]):
            flow[edge] -= out * t[edge]
        t = t + dt * flow / (c * dx * dx)
    side = _side(0.0, hours, film)
    found = simulate(body := Body((Layer(HANDBOOK, size, n),), side, side), _plain(body, 1.0), hours)
    middle, near = found.temperature_c[-1, n // 2], found.temperature_c[-1, 0]
    warm, none = np.array([30.0]), np.zeros(1)
    assert edge_c(near * warm, near * warm, warm, none)[0] / 30 == pytest.approx(t[0, 0], rel=0.02)
    assert edge_c(near * warm, middle * warm, warm, none)[0] / 30 == pytest.approx(t[0, n // 2], rel=0.02)
