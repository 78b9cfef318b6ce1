"""Brick ledges against a worked example and closed forms.

T16 is derived step by step (32 ft of face, 12 in haunch, 5 1/2 in beyond the core, webs 8 in apart); limits on flare
(30 degrees) and on brick (25 ft of it, about 1,000 lb/ft) are those of a trade article.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from takeoff.block_orders import SAW_CUT
from takeoff.blocks import lay
from takeoff.forms import GENERIC_18
from takeoff.geometry import place
from takeoff.laps import bar_size, lap_splice, lapped_pieces
from takeoff.ledge_bars import cut_length, stirrup_count, stirrup_shape
from takeoff.ledge_checks import VENEER_PLF, veneer_load_plf
from takeoff.ledge_orders import LedgeCount, ledge_part
from takeoff.ledges import STEEPEST_FLARE_DEG, Haunch, flare_deg, haunch_volume_in3, ledge_volume
from takeoff.results import BarRole
from takeoff.units import ZERO, Length
from tests.takeoff import plans
from tests.takeoff.plans import at
from tests.takeoff.test_ledges import around

FACE = Length.feet(32)
WEB_8 = replace(GENERIC_18, web_spacing=at("8"), length=at("48"))


def test_t16_flare_section_and_concrete():
    assert flare_deg(at("5.5"), at("12")) == pytest.approx(24.624, abs=5e-4)
    assert flare_deg(at("5.5"), at("12")) <= STEEPEST_FLARE_DEG
    volume = haunch_volume_in3(FACE.inch, 5.5, 0.0, 12.0)
    assert volume / 1728 == pytest.approx(7.333, abs=5e-4)
    assert volume / 46_656 == pytest.approx(0.272, abs=5e-4)


def test_t16_units_straight_part_and_two_corner_legs():
    """320 in between corner legs of 24 and 40 in: 7 units, and 2 more for the lips of the corner legs."""
    count = LedgeCount()
    for length in ["48"] * 6 + ["32"]:
        count.add("A", at(length), WEB_8, lip=False)
    assert count.units(WEB_8, at("8")) == 7
    for lip in ("24", "40"):
        count.add("A", at(lip), WEB_8, lip=True)
    assert count.units(WEB_8, at("8")) == 9


def test_t16_stirrups_at_8_in():
    assert stirrup_count(FACE, at("8")) == 48


def test_t16_lip_and_core_bar():
    """2 x (32 ft + one lap of 2 1/2 ft) out of 20 ft bars: #4, Grade 60."""
    lap = lap_splice(4, 60).length
    pieces = lapped_pieces(FACE, Length.feet(20), lap)
    assert lap == Length.inches(30)
    assert 2 * sum(piece.foot for piece in pieces) == pytest.approx(69.0)


def test_t16_load_of_the_veneer():
    assert veneer_load_plf(25.0, 40.0) == 1000.0 == VENEER_PLF


def test_t16_on_a_plan():
    """The same ledge on a leg of a house: the sum of its straight pieces and lips is the face."""
    levels = {"footing_top": at("84-6"), "frost_top": at("90-6"), "wall_top": at("98-0")}
    base = plans.rectangle("32-0", "28-0", form="generic-18", core=at("6"), **levels)
    plan = around("A", base=base, level="96-6", projection="5.5")
    part = ledge_part(plan, placement := place(plan), lay(plan, placement))
    (units,) = [q for q in part.quantities if q.key == "blocks.ledge"]
    assert units.amount == 9
    (stirrups,) = [b for b in part.bars if b.role is BarRole.STIRRUP]
    assert stirrups.count == 48
    (volume,) = ledge_volume(plan, placement)
    assert volume.yd3 == pytest.approx((384 - 2 * 2.875) * 5.5 / 2 * 14 / 46_656)


@pytest.mark.parametrize("size", [3, 4, 5])
def test_cut_length_of_a_stirrup_is_its_centre_line(size):
    """Closed form: straight parts between tangent points, and arcs on the bar's centre line (ACI 318 tie bends: inside
    diameter 4 db, from memory)."""
    shape = stirrup_shape(Haunch(at("5.5"), ZERO, at("12"), True), at("6"), size)
    db = bar_size(size).diameter
    outer, centre = 3 * db, 2.5 * db  # radii of a bend of 4 db inside
    turns = [math.radians(abs(turn)) for turn in shape.turns_deg]
    tangents = [outer * math.tan(turn / 2) for turn in turns]
    straight = [leg.inch for leg in shape.legs]
    straight[0] -= tangents[0]
    straight[1] -= tangents[0] + tangents[1]
    straight[2] -= tangents[1]
    assert cut_length(shape, size).inch == pytest.approx(sum(straight) + sum(turn * centre for turn in turns), abs=1e-6)
    assert turns[1] == pytest.approx(math.pi / 2 + math.atan(5.5 / 12))


def test_the_saw_takes_what_practice_says():
    """Two pieces of 24 in do not come out of one unit of 48 in: the saw takes 1/4 in (common practice, no source)."""
    assert at("0.25") == SAW_CUT
    count = LedgeCount()
    count.add("A", at("24"), WEB_8, lip=True)
    count.add("B", at("24"), WEB_8, lip=True)
    assert count.units(WEB_8, at("8")) == 2
