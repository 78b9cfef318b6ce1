"""Ledge units, their steel and what is told of them, on sample plans."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.blocks import lay
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.geometry import CornerKind, place
from takeoff.ledge_bars import corner_pieces, cut_length, stirrup_count, stirrup_shape
from takeoff.ledge_checks import end_offsets
from takeoff.ledge_orders import LedgeCount, ledge_part, lip_length, pieces_of
from takeoff.ledges import Haunch, by_course, ledge_places, ledge_runs, straight_parts
from takeoff.placement import Corner
from takeoff.plan import OddCourse, Opening, OpeningKind, Plan
from takeoff.problems import Severity
from takeoff.results import BarRole, Part
from takeoff.units import ZERO
from tests.takeoff import plans
from tests.takeoff.plans import at
from tests.takeoff.test_ledges import around, ledge_at, on_legs

FORM = plans.rectangle().forms[0]
PLACED = place(plans.rectangle())
LAID = lay(plans.rectangle(), PLACED)


def part_of(plan: Plan) -> Part:
    placement = place(plan)
    return ledge_part(plan, placement, lay(plan, placement))


def amount(part: Part, key: str) -> float:
    return sum(q.amount for q in part.quantities if q.key == key)


def said(part: Part, *words: str) -> list[str]:
    return [p.sentence for p in part.problems if all(word in p.sentence for word in words)]


# -- units -------------------------------------------------------------------------------------------
def test_units_along_a_leg_are_its_length_and_the_lips_of_its_corners():
    """Course 8 of A: legs 22 and 38 in (the corner pattern), 420 in of straight units between: 8 whole and 36 in."""
    part = part_of(around("A"))
    (units,) = [q for q in part.quantities if q.key == "blocks.ledge"]
    assert "8 whole" in units.basis
    assert units.amount == 8 + 3  # 36, 38 and 22 in need a unit each
    assert units.buy is not None
    assert (units.buy.step, units.buy.extra) == (1, 1)


def test_the_lip_goes_round_an_outside_corner_and_is_shorter_in_an_inside_one():
    assert lip_length(at("22"), at("6"), 90, CornerKind.OUTSIDE) == at("28")
    assert lip_length(at("22"), at("6"), 90, CornerKind.INSIDE) == at("16")
    assert lip_length(at("22"), at("6"), 0, CornerKind.STRAIGHT) == at("22")
    assert lip_length(at("22"), at("6"), 45, CornerKind.OUTSIDE).inch == pytest.approx(22 + 2.485, abs=1e-3)


def test_a_lip_longer_than_a_unit_is_made_of_two():
    count = LedgeCount()
    count.add("A", at("50"), FORM, lip=True)
    assert count.lips == Counter({at("48"): 1, at("2"): 1})
    assert count.units(FORM, at("6")) == 2


def test_all_round_no_end_is_closed_and_units_cover_the_course():
    part = part_of(around(*"ABCD"))
    assert amount(part, "ledge.ends") == 0
    assert amount(part, "blocks.ledge") * 48 >= 2 * (480 + 336)


def test_ends_are_closed_where_a_ledge_stops():
    assert amount(part_of(around("A")), "ledge.ends") == 2
    assert amount(part_of(on_legs(plans.rectangle(), {"A": (ledge_at(start="4-0", until="9-0"),)})), "ledge.ends") == 2
    assert amount(part_of(around("A", "B")), "ledge.ends") == 2


def test_a_unit_across_a_joint_in_line_is_one_ledge_unit():
    """A1 24 ft and A2 16 ft in line, one core: the same ledge units as one leg of 40 ft with the same corners."""
    lines = (plans.leg("A1", "24-0", 0), plans.leg("A2", "16-0"))
    rest = (plans.leg("B", "28-0"), plans.leg("C", "40-0"), plans.leg("D", "28-0"))
    two = around("A1", "A2", base=plans.plan(plans.ring(*lines, *rest)))
    part = part_of(two)
    (units,) = [q for q in part.quantities if q.key == "blocks.ledge"]
    placement = place(two)
    course = [u for u in lay(two, placement).units if u.leg in ("A1", "A2") and u.course == 8]
    straight = sum((u.end - u.start).inch for u in course if u.kind.value == "straight")
    assert units.amount * 48 >= straight
    assert units.amount <= straight / 48 + 4


def test_a_system_without_a_ledge_unit_gets_none_and_says_so():
    plan = around("A")
    bare = replace(plan, forms=tuple(replace(form, ledge_projection=None) for form in plan.forms))
    part = part_of(bare)
    assert amount(part, "blocks.ledge") == 0
    assert said(part, "has no ledge unit", FORM.name)
    assert [bar for bar in part.bars if bar.role is BarRole.LEDGE]


def test_concrete_in_ledges_is_what_the_wall_takes_more():
    whole, bare = (compute(plan, CuttingMethod.FIRST_FIT) for plan in (plans.ledge(), plans.rectangle()))
    wall = [sum(q.amount for q in t.quantities if q.key == "wall.concrete") for t in (whole, bare)]
    (within,) = [q for q in whole.quantities if q.key == "ledge.concrete"]
    assert within.amount == pytest.approx(wall[0] - wall[1])
    assert within.buy is None


def test_a_plan_without_a_ledge_has_nothing_to_say():
    assert part_of(plans.rectangle()) == Part()


def test_whole_ledge_units_are_those_marked_on_the_layout():
    plan = plans.ledge()
    placement = place(plan)
    layout = lay(plan, placement)
    marked = sum(1 for u in layout.units if u.counted and u.mark.startswith("B48"))
    (units,) = [q for q in ledge_part(plan, placement, layout).quantities if q.key == "blocks.ledge"]
    assert f": {marked} whole" in units.basis


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 470), st.integers(10, 480), st.sampled_from(["88-8", "91-4", "96-8"]), st.integers(2, 10))
def test_ledge_and_straight_units_share_a_course_without_gap(start, long, level, projection):
    """Anywhere on leg A: what is ledge and what stays straight are the course; bars and troubles never raise."""
    until = min(start + long, 480)
    plan = on_legs(plans.rectangle(), {"A": (ledge_at(level, str(start), str(until), str(projection)),)})
    (run,) = ledge_runs(plan, PLACED)
    laid = by_course(LAID.units, (run,))
    row = laid["A", run.course]
    ledge = sum(length.inch for _, length, _ in pieces_of(run, laid))
    straight = sum((b - a).inch for u in row for a, b in straight_parts(u, ledge_places(plan, PLACED)))
    lips = sum(length.inch for _, length, lip in pieces_of(run, laid) if lip)
    assert ledge == pytest.approx(until - start)
    assert ledge + straight - lips == pytest.approx(480)
    part = ledge_part(plan, PLACED, LAID)
    assert amount(part, "blocks.ledge") * 48 >= ledge - 1e-6
    assert amount(part, "ledge.ends") == 2
    assert all(bar.cut_length > ZERO and bar.count > 0 for bar in part.bars)


# -- steel -------------------------------------------------------------------------------------------
def test_bars_cover_lip_and_core_with_laps():
    part = part_of(around("A"))
    along = [b for b in part.bars if b.role is BarRole.LEDGE]
    run = 480 - 2 * 2.375 - 2 * 2  # on the core, less cover at both ends
    pieces = sum(b.count for b in along)
    total = sum(b.count * b.cut_length.inch for b in along)
    assert pieces == 6
    assert total == pytest.approx(2 * (run + 2 * 30), abs=1e-3)
    assert all(len(b.places) == b.count for b in along)


def test_round_a_corner_two_bent_bars_lap_lip_and_core():
    part = part_of(around("A", "B"))
    (bent,) = [b for b in part.bars if b.role is BarRole.LEDGE and b.shape is not None]
    assert (bent.leg, bent.count) == ("A", 2)
    assert bent.cut_length.inch == pytest.approx(60 - 2.502 * 0.5, abs=1e-3)


def test_at_an_inside_corner_bars_go_on_to_the_far_face():
    corner = Corner(CornerKind.INSIDE, 90.0, 0.0, 0.0)
    pieces = corner_pieces(corner, at("30"), 4, at("14"))
    assert [(cut, shape) for cut, shape, _ in pieces] == [(at("42.5"), None)] * 2


def test_a_stirrup_reaches_from_the_core_to_the_lip():
    """8 in core, 6 in haunch 12 in tall: 10 1/2 up, 11 across, back along the flare (6 to 12)."""
    shape = stirrup_shape(Haunch(at("6"), ZERO, at("12"), True), at("8"), 4)
    assert shape.legs[:2] == (at("10.5"), at("11"))
    assert shape.legs[2].inch == pytest.approx(10.5 * (1 + 0.25) ** 0.5)
    assert shape.inside_diameters == 4
    assert cut_length(shape, 4) < sum(shape.legs, ZERO)
    assert stirrup_shape(Haunch(at("6"), ZERO, at("12"), True), at("8"), 6).inside_diameters == 6


def test_a_stirrup_stands_at_every_web():
    part = part_of(around("A"))
    (stirrups,) = [b for b in part.bars if b.role is BarRole.STIRRUP]
    assert stirrups.count == 80
    assert len(stirrups.places) == 80
    assert stirrup_count(at("47"), at("6")) == 7
    assert stirrup_count(at("-1"), at("6")) == 0


# -- what is told ------------------------------------------------------------------------------------
def test_a_level_between_two_courses_is_told_once_for_legs_alike():
    (sentence,) = said(part_of(plans.ledge()), "is not on a course line")
    assert sentence.startswith("A, B: the brick ledge at 97'-0\"")
    assert '96\'-8" (4" lower) or 98\'-0" (12" higher)' in sentence
    assert not said(part_of(around("A")), "is not on a course line")


def test_an_end_off_the_web_lines_gets_the_nearest_place_that_works():
    for start, until in (("4-0", "13-5"), ("4-0", "12-0"), ("9-11", "20-0")):
        plan = on_legs(plans.rectangle(), {"A": (ledge_at(start=start, until=until),)})
        ends = said(part_of(plan), "is the nearest place that works")
        for sentence in ends:
            better = sentence.split("; ")[-1].split(" is the nearest")[0]
            which = {"start": better} if " starts at " in sentence else {"until": better}
            fixed = on_legs(plans.rectangle(), {"A": (ledge_at(**({"start": start, "until": until} | which)),)})
            word = " starts at " if " starts at " in sentence else " ends at "
            assert not said(part_of(fixed), word, "is the nearest place that works")
        assert ends or start == "4-0"


def test_pieces_at_an_end_are_whole_webs_and_two_at_least():
    offsets = end_offsets(at("48"), at("6"), at("12"), at("6"))
    assert offsets == [ZERO, *(at(str(n)) for n in range(12, 43, 6)), at("48")]
    assert end_offsets(at("10"), at("6"), at("12"), at("6")) == [ZERO]


def test_a_haunch_across_the_head_of_an_opening_is_for_the_engineer():
    window = Opening("W1", OpeningKind.WINDOW, at("36"), at("36"), at("93-0"), at("6-0"))
    base = plans.rectangle()
    walks = tuple(
        replace(w, legs=tuple(replace(g, openings=(window,)) if g.name == "A" else g for g in w.legs))
        for w in base.walks
    )
    plan = on_legs(replace(base, walks=walks), {"A": (ledge_at(),)})
    (found,) = [p for p in part_of(plan).problems if "W1" in p.sentence]
    assert (found.severity, found.path) == (Severity.ENGINEER, "walks.0.legs.0.ledges.0.level")
    beside = on_legs(replace(base, walks=walks), {"A": (ledge_at(start="10-0"),)})
    assert not [p for p in part_of(beside).problems if "W1" in p.sentence]


def test_a_flare_of_the_unit_beyond_the_limit_is_for_the_engineer():
    plan = around("A")
    flat = replace(plan, forms=tuple(replace(form, ledge_height=at("8")) for form in plan.forms))
    (found,) = [p for p in part_of(flat).problems if "flares" in p.sentence]
    assert found.severity is Severity.ENGINEER
    assert not said(part_of(plan), "flares")


def test_a_ledge_that_stands_out_otherwise_than_the_unit_is_told():
    assert said(part_of(around("A", projection="5")), 'stands out 5"', '6"')
    assert said(part_of(around("A", projection="2")), "no concrete is left for brick to bear on")


def test_a_ledge_in_a_ripped_course_is_told():
    base = plans.rectangle(wall_top=at("97-8"), frost_top=None)
    odd_below = replace(base, sections=(replace(base.sections[0], odd_course=OddCourse.BOTTOM),))
    assert said(part_of(around("A", base=odd_below, level="87-0")), "course 1 is ripped")
    assert not said(part_of(around("A", base=odd_below, level="88-4")), "is ripped")


def test_ledges_over_each_other_are_told():
    two = on_legs(plans.rectangle(), {"A": (ledge_at(until="10-0"), ledge_at("96-6", start="8-0", until="20-0"))})
    assert said(part_of(two), "lie over each other between 8'-0\" and 10'-0\"")


def test_numbers_to_check_name_level_and_steel():
    texts = {c.key: c.text for c in part_of(around("A")).criteria}
    assert "96'-8\", on course 8" in texts["ledge.level"]
    assert '6" apart' in texts["ledge.stirrups"]
    assert texts["ledge.flare"] == "underside of the ledge 27 degrees from upright"
