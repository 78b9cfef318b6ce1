"""Membrane, board, mastic, drain pipe, stone and fabric against worked examples; stone sizes as IRC R405.1 is quoted.
Strips to a roll, laps and fasteners are common practice, no source."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest

from takeoff import board, drain, envelope, membrane, rolls
from takeoff.bands import strip_area
from takeoff.courses import Grid
from takeoff.forms import GENERIC_16
from takeoff.readymix import buying_units
from takeoff.results import Buy
from takeoff.rolls import Pieces
from takeoff.tally import yards
from takeoff.units import Length
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
    out = replace(plan.spec.envelope, drain_outlet=Length.feet(30))
    longer = replace(plan, spec=replace(plan.spec, envelope=out))
    [with_outlet] = [q.amount for q in envelope.envelope(longer, placed(longer)).quantities if q.key == "drain.pipe"]
    assert with_outlet == pytest.approx(result.with_outlet_ft, abs=1e-2)
    assert buying_units(with_outlet, Buy("coil 100 ft", 100.0)) == 2
    assert quantities["drain.stone"] == pytest.approx(result.stone_yd3, abs=0.1)


def test_t38_fasteners_along_the_top_and_on_webs_in_the_field() -> None:
    """16 in courses and webs of 6 in: cells of 48 in, 30 web lines and two rows."""
    given, result = case("T38")
    long, high = given.length_ft * 12, given.board_high_ft * 12
    assert board.top_fasteners(long, given.top_spacing_in) == result.top_fasteners
    lines, levels = board.field_places(long, 0.0, high, GENERIC_16, Grid(Length(0), GENERIC_16.face_height))
    assert len(lines) * len(levels) == result.field_fasteners
    assert board.field_cell(6.0, 16.0, given.field_ft2 * 144) == (48.0, 48.0)


def test_t53_beads_and_tubes() -> None:
    given, result = case("T53")
    assert given.large_tube_oz * membrane.FLUID_OUNCE_IN3 == pytest.approx(result.tube_in3, abs=1e-3)
    large, small = (membrane.bead_ft(oz, given.bead_in) for oz in (given.large_tube_oz, given.small_tube_oz))
    assert (large, small) == (
        pytest.approx(result.bead_large_ft, abs=1e-3),
        pytest.approx(result.bead_small_ft, abs=1e-3),
    )
    edge = given.edge_ft + given.pipes * given.ring_ft
    assert buying_units(edge, Buy("tube", large, membrane.MASTIC_WASTE)) == result.mastic_tubes
    assert buying_units(given.adhesive_ft, Buy("tube", large)) == result.adhesive_tubes


def test_t53_mastic_of_a_whole_plan_is_bought_by_the_tube() -> None:
    """The clipped L, 140.485 ft round without its pipes: 140.485 x 1.1 / 39.488 = 3.9."""
    plan = clipped_l_plan()
    [mastic] = [q for q in envelope.envelope(plan, placed(plan)).quantities if q.key == "membrane.mastic"]
    assert mastic.buy is not None
    assert mastic.amount == pytest.approx(case("T53")[0].edge_ft, abs=1e-3)
    assert buying_units(mastic.amount, mastic.buy) == 4


@pytest.mark.parametrize(
    ("reach_in", "strips_a_roll"), [(118.0, 6), (94.0, 8), (54.0, 14)], ids=["9'-10\"", "7'-10\"", "4'-6\""]
)
def test_t37_common_practice_strips_to_a_roll_of_65_ft(reach_in: float, strips_a_roll: int) -> None:
    """Count the strips, then the strips that come out of a roll 65 ft long, a 12 in detail strip three to the width."""
    count = 5 * strips_a_roll
    assert rolls.pack([Pieces(39.0, (reach_in,) * count)], 39.0, 780.0, 6.0).rolls == 5
    assert rolls.pack([Pieces(39.0, (reach_in,) * (count + 1))], 39.0, 780.0, 6.0).rolls == 6
    assert rolls.side_by_side(12.0, 39.0) == 3
