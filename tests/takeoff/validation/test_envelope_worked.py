"""Board, drain pipe, stone and fabric against worked examples; stone sizes as IRC R405.1 is quoted."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from takeoff import board, drain, envelope
from takeoff.bands import strip_area
from takeoff.readymix import buying_units
from takeoff.results import Buy
from takeoff.tally import yards
from tests.takeoff.ground import placed
from tests.takeoff.validation.test_footing_worked import clipped_l_plan
from tests.takeoff.validation.worked_cases import case


def test_t38_rolls_of_board() -> None:
    given, result = case("T38")
    assert board.board_rolls(given.length_ft * 12, given.roll_ft * 12, given.lap_in) == result.rolls


def test_t39_section_loop_stone_and_fabric() -> None:
    given, result = case("T39")
    loop = given.perimeter_ft * 12 + 2 * given.k * (given.projection_in + given.pipe_beyond_in)
    assert loop / 12 == pytest.approx(result.loop_ft, abs=1e-3)
    section = drain.stone_section_in2(
        given.beyond_in, given.thickness_in, given.over_in, given.projection_in, given.pipe_outside_in
    )
    assert section / 144 == pytest.approx(result.section_ft2, abs=5e-4)
    assert yards(section * loop) == pytest.approx(result.stone_yd3, abs=5e-3)
    wrap = drain.fabric_width_in(given.beyond_in, given.thickness_in, given.over_in)
    assert wrap == result.fabric_width_in
    assert loop * wrap / 144 == pytest.approx(result.fabric_ft2, abs=1e-2)


def test_t39_stone_by_strips_agrees_within_a_tenth_of_a_yard() -> None:
    """The worked example takes the whole section along the pipe; the layer on the footing lies nearer the wall."""
    given, result = case("T39")
    length, spread, shelf = given.perimeter_ft * 12, 2 * given.k, given.projection_in
    box = strip_area(length, spread, shelf, shelf + given.beyond_in) * (given.thickness_in + given.over_in)
    layer = strip_area(length, spread, 0.0, shelf) * given.over_in
    pipe = math.pi / 4 * given.pipe_outside_in**2 * (length + spread * (shelf + given.pipe_beyond_in))
    assert yards(box + layer - pipe) == pytest.approx(result.stone_yd3, abs=0.1)


def test_t39_whole_plan_gives_loop_bends_and_coils() -> None:
    """Footing 24 in under a 13 in wall: 5 1/2 in beyond the foam, as in the example."""
    _, result = case("T39")
    plan = clipped_l_plan()
    quantities = {
        q.key: q.amount for q in envelope.envelope(plan, placed(plan)).quantities if q.key.startswith("drain")
    }
    assert quantities["drain.pipe"] == pytest.approx(result.loop_ft, abs=1e-3)
    bends = Counter({k: int(v) for k, v in quantities.items() if "bend" in k})
    assert bends == {"drain.bend_90": result.bends_90, "drain.bend_45": result.bends_45}
    with_outlet = quantities["drain.pipe"] + 30.0
    assert buying_units(with_outlet, Buy("coil 100 ft", 100.0)) == 2
    assert quantities["drain.stone"] == pytest.approx(result.stone_yd3, abs=0.1)
