"""Block layout: samples and random plans, looked at by a checker of its own; and the rules one by one."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings

from takeoff import blocks, courses, geometry
from takeoff.blocks import Layout
from takeoff.forms import GENERIC_16, GENERIC_18
from takeoff.plan import OddCourse, Opening, OpeningKind, Plan, Section, Stage, Step
from takeoff.problems import Severity
from takeoff.results import Quantity, UnitKind
from takeoff.units import Length
from tests.takeoff import layout_checker, layout_counts
from tests.takeoff.plans import (
    SAMPLES,
    at,
    bay,
    frost,
    garage,
    l_shape,
    leg,
    openings,
    plan,
    porch_arc,
    rectangle,
    ring,
    round_corner,
    stepped,
    tee,
    two_cores,
    walkout,
)
from tests.takeoff.random_plans import square_plans


def lay(plan: Plan) -> Layout:
    return blocks.lay(plan, geometry.place(plan))


def amount(layout: Layout, key: str, stage: Stage, section: str = "main") -> float:
    found = [q for q in layout.quantities if (q.key, q.stage, q.section) == (key, stage, section)]
    assert len(found) == 1
    return found[0].amount


def row(layout: Layout, leg_name: str, course: int) -> list[str]:
    return [u.mark for u in layout.units if (u.leg, u.course) == (leg_name, course)]


def without_angled_units(made: Plan) -> Plan:
    """The plan with form systems that have no 45 degree corner units."""
    return replace(made, forms=tuple(replace(form, corners_45=()) for form in made.forms))


# -- whole plans -----------------------------------------------------------------------------------
CHECKED = ("rectangle", "l_shape", "bay", "tee", "garage", "stepped", "openings", "second_ring")


@pytest.mark.parametrize("name", CHECKED)
def test_a_checker_of_its_own_finds_nothing_wrong_with_the_samples(name: str) -> None:
    made = SAMPLES[name]()
    placed = geometry.place(made)
    layout = blocks.lay(made, placed)
    layout_checker.check(made, placed, layout)
    layout_counts.check_counts(made, layout)


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(square_plans())
def test_a_checker_of_its_own_finds_nothing_wrong_with_random_plans(made: Plan) -> None:
    placed = geometry.place(made)
    assume(len(placed.legs) == len(made.legs()))
    layout = blocks.lay(made, placed)
    layout_checker.check(made, placed, layout)
    layout_counts.check_counts(made, layout)


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(square_plans(shortest=14))
def test_short_returns_never_raise_and_leave_no_gap(made: Plan) -> None:
    placed = geometry.place(made)
    assume(len(placed.legs) == len(made.legs()))
    layout = blocks.lay(made, placed)
    for name, leg_geometry in placed.legs.items():
        cells = layout_checker.cells_of(made, leg_geometry)
        for course in {u.course for u in layout.units}:
            units = [u for u in layout.units if (u.leg, u.course) == (name, course)]
            layout_checker.check_cover(cells, units, course)


def test_the_checker_notices_a_missing_unit_a_wrong_hand_and_a_missing_cap() -> None:
    made = stepped()
    placed = geometry.place(made)
    layout = blocks.lay(made, placed)
    straight = next(u for u in layout.units if u.kind is UnitKind.STRAIGHT)
    without = replace(layout, units=tuple(u for u in layout.units if u is not straight))
    swapped = {UnitKind.CORNER_LEFT: UnitKind.CORNER_RIGHT, UnitKind.CORNER_RIGHT: UnitKind.CORNER_LEFT}
    turned = replace(layout, units=tuple(replace(u, kind=swapped.get(u.kind, u.kind)) for u in layout.units))
    open_ended = replace(layout, units=tuple(replace(u, cap_end=False) for u in layout.units))
    layout_checker.check(made, placed, layout)
    for wrong in (without, turned, open_ended):
        with pytest.raises(AssertionError):
            layout_checker.check(made, placed, wrong)
    dear = tuple(replace(q, amount=q.amount + 1) if q.key == "blocks.corner_right" else q for q in layout.quantities)
    with pytest.raises(AssertionError):
        layout_counts.check_counts(made, replace(layout, quantities=dear))


# -- corners ---------------------------------------------------------------------------------------
def test_walking_the_other_way_round_gives_the_same_order() -> None:
    sides = (("A", "40-0"), ("B", "28-0"), ("C", "40-0"), ("D", "28-0"))
    left = lay(plan(ring(*(leg(n, x, 90) for n, x in sides))))
    right = lay(plan(ring(*(leg(n, x, -90) for n, x in sides))))
    assert [(q.key, q.amount) for q in left.quantities] == [(q.key, q.amount) for q in right.quantities]


def test_an_inside_corner_takes_the_other_hand_and_a_shorter_leg() -> None:
    layout = lay(l_shape())
    full = Counter(u.kind for u in layout.units if u.counted)
    assert full[UnitKind.CORNER_RIGHT] == 5 * 5 + 1 * 4  # nine courses: five odd, four even
    assert full[UnitKind.CORNER_LEFT] == 5 * 4 + 1 * 5
    inside = {(u.end - u.start) for u in layout.units if u.leg == "D" and not u.start}
    thickness = GENERIC_16.thickness(at("8"))
    assert inside == {at("38") - thickness, at("22") - thickness}


def test_reversible_corners_are_counted_together() -> None:
    layout = lay(rectangle(form="generic-18", wall_top=at("98-0"), frost_top=None))
    kinds = {q.key for q in layout.quantities if q.key.startswith("blocks.")}
    assert kinds == {"blocks.straight", "blocks.corner"}
    assert amount(layout, "blocks.corner", Stage.FULL_WALL) == 4 * 8


def test_a_return_too_short_for_its_corner_units_is_cut_and_said() -> None:
    sides = (
        ("A", "20-0", 90),
        ("B", "20-0", 90),
        ("C", "10-0", -90),
        ("D", "2-0", 90),
        ("E", "10-0", 90),
        ("F", "22-0", 90),
    )
    layout = lay(plan(ring(*(leg(n, x, t) for n, x, t in sides))))
    told = [p.sentence for p in layout.problems if p.leg == "D"]
    assert any("corner units must be cut" in sentence for sentence in told)
    for course in range(1, 10):
        units = [u for u in layout.units if (u.leg, u.course) == ("D", course)]
        assert sum((u.end - u.start).nm for u in units) == at("2-0").nm


def test_sections_side_by_side_alternate_together() -> None:
    """The garage's courses start lower, but the corner units it shares with the house must turn as the house's do."""
    lower = {"section": "garage", "footing_top": at("84-8")}
    made = plan(ring(leg("A", "40-0"), leg("B", "28-0", **lower), leg("C", "40-0", **lower), leg("D", "28-0")))
    made = replace(made, sections=tuple(replace(s, datum=at("84-8")) for s in made.sections))
    layout = lay(made)
    assert not layout.seams
    by_level = {(u.leg, u.bottom): u.kind for u in layout.units if u.kind is not UnitKind.STRAIGHT}
    for level in (at("86-0"), at("87-4"), at("88-8")):
        assert by_level["A", level] is by_level["C", level]


# -- joints ---------------------------------------------------------------------------------------
def test_a_seam_that_cannot_be_avoided_is_reported() -> None:
    made = rectangle()
    strict = replace(made, spec=replace(made.spec, layout=replace(made.spec.layout, minimum_offset=at("23"))))
    layout = lay(strict)
    assert layout.seams
    assert all(seam.offset < at("23") for seam in layout.seams)
    assert any("Strap both faces" in p.sentence and p.severity is Severity.WARNING for p in layout.problems)


# -- heights ---------------------------------------------------------------------------------------
def test_the_odd_course_is_ripped_at_the_top_or_at_the_bottom_as_the_section_says() -> None:
    made = rectangle(wall_top=at("97-8"), frost_top=None)
    ripped = [u for u in lay(made).units if u.ripped]
    assert {(u.course, u.top - u.bottom) for u in ripped} == {(9, at("12"))}
    at_bottom = replace(made, sections=(Section("main", "Main", odd_course=OddCourse.BOTTOM),))
    ripped = [u for u in lay(at_bottom).units if u.ripped]
    assert {(u.course, u.top - u.bottom) for u in ripped} == {(1, at("12"))}


def test_a_rip_below_the_least_is_a_warning_with_the_ways_out_in_numbers() -> None:
    layout = lay(rectangle(wall_top=at("94-4"), frost_top=None))  # 100 in
    (told,) = [p for p in layout.problems if "ripped" in p.sentence]
    assert told.severity is Severity.WARNING
    for words in (
        "A, B, C, D",
        'ripped to 4"',
        'pour line 12" below',
        'two courses ripped to 10"',
        '4" higher or 12" lower',
    ):
        assert words in told.sentence


def test_a_step_off_the_courses_is_told_for_the_foot() -> None:
    steps = (Step(at("20-0"), footing_top=at("87-0")),)
    made = plan(
        ring(
            leg("A", "40-0", steps=steps, frost_top=None),
            *(leg(n, x, frost_top=None) for n, x in (("B", "28-0"), ("C", "40-0"), ("D", "28-0"))),
        )
    )
    layout = lay(made)
    assert any("bottom course would be ripped to 4" in p.sentence for p in layout.problems)


def test_a_frost_wall_and_the_wall_on_it_share_one_grid() -> None:
    layout = lay(rectangle(frost_top=at("90-6")))  # cold joint six inches up the fourth course
    stages = {u.course: u.stage for u in layout.units if u.kind is UnitKind.STRAIGHT}
    assert [stages[n] for n in range(1, 10)] == [Stage.FROST_WALL] * 4 + [Stage.FULL_WALL] * 5
    assert not any(u.ripped for u in layout.units)


def test_stepped_courses_end_with_a_cut_at_the_step() -> None:
    layout = lay(stepped())
    first = [u for u in layout.units if (u.leg, u.course) == ("A", 1)]
    assert first[-1].end == at("14-0") and first[-1].cut_end
    assert {u.course for u in layout.units if u.leg == "B"} == set(range(2, 10))


# -- openings --------------------------------------------------------------------------------------
def test_a_course_covered_in_full_is_cut_and_one_covered_in_part_is_notched() -> None:
    layout = lay(openings())
    jambs = (at("6-0"), at("9-0"))
    for course in range(1, 10):
        inside = [
            u for u in layout.units if (u.leg, u.course) == ("A", course) and u.start < jambs[1] and u.end > jambs[0]
        ]
        covered = course in (7, 8)  # the window stands from 93'-4" to 97'-4": courses 7 and 8 in full, 6 and 9 in part
        assert bool(inside) is not covered
        assert all(u.notched == (course in (6, 9)) for u in inside)


def test_a_beam_pocket_notches_the_top_course_only() -> None:
    layout = lay(openings())
    notched = {u.course for u in layout.units if u.leg == "A" and u.start < at("20-0") < u.end and u.notched}
    assert notched == {9}


def test_a_remainder_at_a_jamb_is_joined_to_its_neighbour() -> None:
    """A jamb two inches past a joint: no two-inch piece is left."""
    joint = next(u.end for u in lay(rectangle()).units if (u.leg, u.course) == ("A", 5) and u.start > at("5-0"))
    hole = Opening("W", OpeningKind.WINDOW, at("36"), at("48"), at("91-4"), joint + at("2"))
    sides = (leg(n, x) for n, x in (("B", "28-0"), ("C", "40-0"), ("D", "28-0")))
    layout = lay(plan(ring(leg("A", "40-0", openings=(hole,)), *sides)))
    assert min(u.end - u.start for u in layout.units) >= at("6")
    assert not any("shorter than one web spacing" in p.sentence for p in layout.problems)
    assert not layout.seams


# -- what is bought --------------------------------------------------------------------------------
def test_straight_units_are_bought_in_bundles_with_spares_and_corners_with_one_more_a_hand() -> None:
    layout = lay(rectangle())
    straight = next(q for q in layout.quantities if q.key == "blocks.straight")
    assert straight.buy is not None and (straight.buy.step, straight.buy.waste) == (12, 0.03)
    right = next(q for q in layout.quantities if q.key == "blocks.corner_right")
    assert right.buy is not None and (right.buy.step, right.buy.extra) == (1, 1)
    assert "course by course" in straight.basis


def test_systems_that_differ_have_lines_of_their_own() -> None:
    layout = lay(two_cores())
    keys = {q.key for q in layout.quantities}
    assert 'blocks.straight[generic-16/8"]' in keys and 'blocks.straight[generic-16/10"]' in keys
    assert any("core changes" in p.sentence for p in layout.problems)
    assert {s.course for s in layout.seams if s.leg == "A1"} == set(range(2, 10))


def test_ripped_offcuts_stay_among_ripped_pieces() -> None:
    layout = lay(garage())
    (straight,) = [q for q in layout.quantities if q.section == "garage" and q.key == "blocks.straight"]
    assert 'ripped to 8"' in straight.basis


def test_quantities_name_section_stage_and_legs() -> None:
    for quantity in lay(garage()).quantities:
        assert isinstance(quantity, Quantity)
        assert quantity.stage in (Stage.FROST_WALL, Stage.FULL_WALL)
        assert quantity.legs and quantity.basis and quantity.amount > 0


# -- what comes later ------------------------------------------------------------------------------
def test_mitres_arcs_and_ts_are_measured_exactly_and_said() -> None:
    for make, words in ((bay, "cut to the mitre"), (porch_arc, "the arc is laid"), (tee, "in a T")):
        made = without_angled_units(make())
        placed = geometry.place(made)
        layout = blocks.lay(made, placed)
        assert any(words in p.sentence and p.severity is Severity.NOTE for p in layout.problems)
        for name, leg_geometry in placed.legs.items():
            row = [u for u in layout.units if (u.leg, u.course) == (name, 1)]
            assert sum((u.end - u.start).nm for u in row) == leg_geometry.outside.length.nm


def test_legs_in_line_share_a_unit_counted_once() -> None:
    made = round_corner()
    layout = lay(made)
    across = [u for u in layout.units if u.leg == "B" and u.course == 1 and not u.start]
    assert [(u.counted, u.mark) for u in across] == [(False, "S48/30")]
    assert not layout.seams


def test_a_short_leg_between_two_mitres_is_two_pieces() -> None:
    layout = lay(without_angled_units(bay()))
    assert all(mark.startswith("M ") for mark in row(layout, "B", 1)) and len(row(layout, "B", 1)) == 2
    assert not layout.seams


# -- the rest --------------------------------------------------------------------------------------
def test_marks_can_be_read_on_the_wall() -> None:
    layout = lay(rectangle(wall_top=at("97-8"), frost_top=None))
    assert row(layout, "A", 1) == ["CR", *["S48"] * 8, "C 36", "CR"] or "S48" in row(layout, "A", 1)
    assert all(mark.endswith(" R 12") for mark in row(layout, "A", 9))


def test_courses_that_do_not_meet_at_a_corner_are_told() -> None:
    made = plan(ring(leg("A", "40-0"), leg("B", "28-0", form="generic-18"), leg("C", "40-0"), leg("D", "28-0")))
    layout = lay(made)
    told = [p.sentence for p in layout.problems if "do not meet" in p.sentence]
    assert len(told) == 2 and "Generic eighteen" in told[0]


def test_units_are_marked_once_for_the_grid_of_their_section() -> None:
    made = rectangle()
    grid = courses.grids(made)["A"]
    for unit in lay(made).units:
        assert grid.bottom(unit.course) <= unit.bottom < unit.top <= grid.bottom(unit.course) + grid.height


def test_criteria_say_core_and_tolerances() -> None:
    layout = lay(walkout())
    keys = {c.key for c in layout.criteria if c.stage is Stage.FULL_WALL}
    assert {"wall.core", "wall.plumb", "wall.top", "corner.diagonal", "opening.size", "wall.joint_offset"} <= keys
    core = next(c for c in layout.criteria if c.key == "wall.core")
    assert core.value == 8.0 and "A" in core.legs


def test_nothing_is_laid_for_a_plan_that_could_not_be_placed() -> None:
    made = rectangle()
    layout = blocks.lay(made, geometry.Placement({}))
    assert not layout.units and not layout.quantities


def test_the_frost_wall_alone_is_laid_for_its_stage() -> None:
    made = plan(ring(*(frost(n, x) for n, x in (("S1", "12-0"), ("S2", "10-0"), ("S3", "12-0"), ("S4", "10-0")))))
    assert {u.stage for u in lay(made).units} == {Stage.FROST_WALL}
    assert GENERIC_18.face_height == Length.inches(18)


@pytest.mark.parametrize("thick", ["A", "B"])
def test_a_corner_of_two_cores_is_ordered_in_the_thicker_one(thick: str) -> None:
    made = plan(
        ring(
            *(
                leg(n, x, core=at("10" if n == thick else "8"))
                for n, x in zip("ABCD", ("40-0", "28-0") * 2, strict=True)
            )
        )
    )
    layout = lay(made)
    tens = [q for q in layout.quantities if q.key.startswith("blocks.corner") and '/10"' in q.key]
    assert sum(q.amount for q in tens) == 2 * 9
    corners = Counter((u.leg, u.course) for u in layout.units if u.kind is not UnitKind.STRAIGHT and u.counted)
    assert sum(corners.values()) == 4 * 9
