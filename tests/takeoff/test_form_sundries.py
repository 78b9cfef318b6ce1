"""End caps, straps, ties, cut-outs at Ts and plywood, on walls small enough to count by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from takeoff import blocks, geometry
from takeoff.blocks import Layout
from takeoff.form_sundries import said_courses
from takeoff.plan import Plan, RestWay, Stage
from takeoff.results import UnitKind
from tests.takeoff.plans import at, bay, garage, ledge, leg, plan, rectangle, ring, spur, stepped, two_cores, walkout


def lay(made: Plan) -> Layout:
    return blocks.lay(made, geometry.place(made))


def amount(layout: Layout, key: str, stage: Stage | None = None) -> float:
    return sum(q.amount for q in layout.quantities if q.key == key and stage in (None, q.stage))


# -- ends in the open ------------------------------------------------------------------------------
def test_a_closed_wall_of_one_height_has_no_caps() -> None:
    assert not amount(lay(rectangle()), "blocks.end_caps")


def test_every_course_that_ends_at_a_step_is_capped() -> None:
    """Footings step one course at two places; the top steps down two courses on B, and A ends two courses over D."""
    layout = lay(stepped())
    places = {(u.leg, u.course, u.cap_start, u.cap_end) for u in layout.units if u.cap_start or u.cap_end}
    assert places == {
        ("A", 1, False, True), ("C", 1, True, False),
        ("B", 8, False, True), ("B", 9, False, True),
        ("A", 8, True, False), ("A", 9, True, False),
    }  # fmt: skip
    assert (amount(layout, "blocks.end_caps"), amount(layout, "forms.straps")) == (6, 6)
    [high] = [q for q in layout.quantities if (q.key, q.stage) == ("blocks.end_caps", Stage.FULL_WALL)]
    assert 'B: at 20\'-0" in courses 8 to 9, core 8"' in high.basis


def test_a_spur_higher_than_the_wall_it_stands_on_is_capped_above_it() -> None:
    base = rectangle(wall_top=at("94-0"), frost_top=None)
    made = replace(base, walks=(*base.walks, spur("in", ("A", "18-0"), leg("T", "10-0", 0, frost_top=None))))
    capped = {u.course for u in lay(made).units if u.cap_start}
    assert capped == {7, 8, 9}  # the host is six courses high


def test_courses_are_said_shortly() -> None:
    assert [said_courses(x) for x in ((3,), (1, 2, 3), (4, 1))] == ["course 3", "courses 1 to 3", "courses 1, 4"]


# -- straps and ties -------------------------------------------------------------------------------
def test_two_ties_at_every_sawn_joint() -> None:
    layout = lay(walkout())
    sawn = sum(
        1
        for a, b in pairwise(layout.units)
        if (a.leg, a.course) == (b.leg, b.course) and a.end == b.start and (a.cut_end or b.cut_start)
    )
    assert amount(layout, "forms.ties") == 2 * sawn > 0


def test_a_joint_through_every_course_is_strapped_in_every_course() -> None:
    """Where the core changes nine joints stand over each other: two straps at each."""
    layout = lay(two_cores())
    assert amount(layout, "forms.straps") == 2 * 9


def test_seams_are_strapped_with_the_joint_below() -> None:
    made = rectangle()
    strict = replace(made, spec=replace(made.spec, layout=replace(made.spec.layout, minimum_offset=at("23"))))
    layout = lay(strict)
    touched = {(s.leg, s.course, s.at) for s in layout.seams}
    assert amount(layout, "forms.straps") >= 2 * (len(touched) + 1)


def test_a_corner_cut_in_the_field_takes_four_plywood_straps_a_course() -> None:
    made = replace(bay(), forms=tuple(replace(f, corners_45=()) for f in bay().forms))
    layout = lay(made)
    assert amount(layout, "forms.corner_straps") == 4 * 4 * 9
    assert amount(layout, "forms.corner_plywood") == pytest.approx(4 * 4 * 9 * 16 * 16 / 144)
    assert amount(layout, "blocks.mitre") == 2 * 4 * 9
    assert not amount(lay(bay()), "forms.corner_straps")


# -- Ts --------------------------------------------------------------------------------------------
def test_a_slanting_t_is_cut_out_wider() -> None:
    base = rectangle(frost_top=None)
    inner = spur("in", ("A", "14-0"), leg("T", "12-0", 0, frost_top=None), heading=60)
    layout = lay(replace(base, walks=(*base.walks, inner)))
    assert amount(layout, "forms.tee_cutouts") == 9
    assert amount(layout, "forms.tee_panel") == pytest.approx(8 / math.sin(math.radians(60)) * 144 / 144)


def test_a_frost_wall_hung_high_is_cut_out_where_it_stands() -> None:
    """The garage's frost wall meets the full-height wall from 93'-0" to 97'-8" at both ends."""
    layout = lay(garage())
    assert amount(layout, "forms.tee_panel", Stage.FULL_WALL) == pytest.approx(2 * 8 * 56 / 144)
    assert not amount(layout, "forms.tee_panel", Stage.FROST_WALL)


# -- low units, ledges -----------------------------------------------------------------------------
def test_low_units_have_a_line_and_offcuts_of_their_own() -> None:
    made = rectangle(wall_top=at("97-4"), frost_top=None)  # eight courses and 8 in
    low = lay(replace(made, sections=tuple(replace(s, rest_way=RestWay.PART_HEIGHT) for s in made.sections)))
    units = [u for u in low.units if u.part_height]
    assert {(u.course, u.top - u.bottom) for u in units} == {(9, at("8"))} and not any(u.ripped for u in units)
    [line] = [q for q in low.quantities if q.key == "blocks.half_height"]
    whole = sum(1 for u in units if u.end - u.start == at("48"))
    assert whole < line.amount <= len(units) and "low whole" in line.basis
    corners = [u for u in low.units if u.course == 9 and u.kind not in (UnitKind.STRAIGHT,)]
    assert corners and all(u.ripped and u.mark.endswith("R 8") for u in corners)


def test_units_under_a_brick_ledge_are_not_ordered_as_straight_ones() -> None:
    plain, carrying = lay(rectangle()), lay(ledge())
    on_ledge = [u for u in carrying.units if u.mark.startswith("B")]
    assert {u.leg for u in on_ledge} == {"A", "B"} and len({u.course for u in on_ledge}) == 1
    fewer = amount(plain, "blocks.straight") - amount(carrying, "blocks.straight")
    assert fewer >= len([u for u in on_ledge if u.end - u.start == at("48")]) > 0


def test_walls_of_two_systems_that_meet_are_strapped_like_field_corners() -> None:
    legs = (leg("A", "40-0"), leg("B", "28-0", form="generic-18"), leg("C", "40-0"), leg("D", "28-0"))
    assert amount(lay(plan(ring(*legs))), "forms.corner_straps") > 0
