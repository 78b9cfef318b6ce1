"""The difficult house counted by the block yard and the crew that stacks it, course by course, by pencil.

Units 48 x 16 in, webs 6 in apart; square corners 38 and 22 in along the outside, 45 degree corners 32 and 20 in; a wall
12 3/4 in thick takes as much off a leg of the corner unit at the inside corner. In odd courses a right-hand unit stands
at an outside corner (long leg forward as walked here), in even ones a left-hand one; at the inside corner the other
hand. A run between corner legs is filled with whole units and one cut piece, or, where less than a web is left, two
equal ones (derived; common practice). The first course of the house lies on 86'-0", of the garage on 93'-0".
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest

from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.plan import Plan, RestWay, Stage
from takeoff.results import PlacedUnit, UnitKind
from tests.takeoff.difficult import difficult, difficult_taken_off
from tests.takeoff.examples import amount
from tests.takeoff.plans import at, rectangle
from tests.takeoff.turned import walked_back
from tests.takeoff.validation.test_whole_plans_turned import totals

LONG, SHORT, LONG_45, SHORT_45, UNIT, WALL = 38.0, 22.0, 32.0, 20.0, 48.0, 12.75
SLANT = 72 * math.sqrt(2)


def row(leg: str, course: int) -> list[PlacedUnit]:
    return [u for u in difficult_taken_off().units if (u.leg, u.course) == (leg, course)]


def filled(run: float) -> list[float]:
    """Straight pieces of a run, longest first."""
    whole, rest = divmod(run, UNIT)
    if rest < 1e-6:
        return [UNIT] * int(whole)
    if rest < 6.0:
        return [UNIT] * (int(whole) - 1) + [(UNIT + rest) / 2] * 2
    return [UNIT] * int(whole) + [rest]


def straight(leg: str, course: int) -> list[float]:
    found = [(u.end - u.start).inch for u in row(leg, course) if u.kind is UnitKind.STRAIGHT]
    return sorted(found, reverse=True)


def corner_legs(leg: str, course: int) -> list[float]:
    return [(u.end - u.start).inch for u in row(leg, course) if u.kind is not UnitKind.STRAIGHT]


@pytest.mark.parametrize("course", range(1, 10))
def test_s7_between_two_outside_corners(course: int) -> None:
    """18 ft: long leg at one end, short at the other; 13 ft between them, three units and 12 in."""
    ends = [LONG, SHORT] if course % 2 else [SHORT, LONG]
    assert corner_legs("S7", course) == ends
    assert straight("S7", course) == filled(216 - sum(ends)) == [48, 48, 48, 12]


@pytest.mark.parametrize("course", range(1, 10))
def test_s2_between_two_45_degree_corners(course: int) -> None:
    """101.823 - 52 = 49.823 in: two pieces of 24.91 in, because 1.82 in is no piece."""
    ends = [LONG_45, SHORT_45] if course % 2 else [SHORT_45, LONG_45]
    assert corner_legs("S2", course) == pytest.approx(ends)
    assert straight("S2", course) == pytest.approx(filled(SLANT - 52), abs=1e-3)
    assert straight("S2", course)[0] == pytest.approx(24.9117, abs=1e-3)


@pytest.mark.parametrize("course", [c for c in range(1, 10) if c != 7])
def test_s6_from_the_inside_corner(course: int) -> None:
    """12 ft: the leg at the inside corner is 12 3/4 in shorter, so 96 3/4 in are left in every course: one unit and two
    pieces of 24 3/8 in."""
    ends = [LONG - WALL, SHORT] if course % 2 else [SHORT - WALL, LONG]
    assert corner_legs("S6", course) == ends
    assert straight("S6", course) == filled(144 - sum(ends)) == [48, 24.375, 24.375]


def test_s6_beside_its_window() -> None:
    """W2 as formed is 33 in wide from 58 1/2 in on and takes the whole of course 7 (94'-0" to 95'-4", within 93'-2 1/2"
    to 96'-5 1/2"): the pieces there are cut to its jambs and the strip beyond keeps the joints of the course."""
    assert [(u.start.inch, u.end.inch) for u in row("S6", 7)] == [
        (0, 25.25), (25.25, 58.5), (91.5, 97.625), (97.625, 122), (122, 144),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("course", "corners", "run", "heights"),
    [
        (1, [LONG], 180 - LONG, {16}),
        (2, [SHORT], 360 - SHORT, {16, 12}),
        (3, [LONG, SHORT], 552 - LONG - SHORT, {16, 8}),
        (4, [SHORT, LONG], 552 - SHORT - LONG, {16}),
        (9, [LONG, SHORT], 552 - LONG - SHORT, {16}),
    ],
)
def test_s8_over_its_steps(course: int, corners: list[float], run: float, heights: set[int]) -> None:
    """The footing climbs 20 in at 15 and 30 ft, no whole course: course 1 ends at 15 ft; course 2 runs to 30 ft, 12 in
    high from the first step on; course 3 is 8 in high on the last 16 ft."""
    assert corner_legs("S8", course) == corners
    assert sum(straight("S8", course)) == pytest.approx(run)
    assert len(straight("S8", course)) == len(filled(run))
    assert {(u.top - u.bottom).inch for u in row("S8", course)} == heights


def test_open_ends_are_capped() -> None:
    """Where a step leaves a course end in the open, at the free end of T1 in every course it has, beside the garage's
    door (course 4, 8 in of it)."""
    open_ends = Counter(
        (u.leg, at.inch / 12, u.course)
        for u in difficult_taken_off().units
        for at, cap in ((u.start, u.cap_start), (u.end, u.cap_end))
        if cap
    )
    steps = {("S1", 20, 1), ("S1", 10, 2), ("S8", 15, 1), ("S8", 30, 2), ("G2", 6, 4), ("G2", 16, 4)}
    assert set(open_ends) == steps | {("T1", 14, course) for course in range(2, 10)}
    assert set(open_ends.values()) == {1}
    takeoff = difficult_taken_off()
    assert amount(takeoff, "blocks.end_caps", Stage.FROST_WALL, "main") == 4 + 2
    assert amount(takeoff, "blocks.end_caps", Stage.FULL_WALL, "main") == 6
    assert amount(takeoff, "blocks.end_caps", Stage.FROST_WALL, "garage") == 2


@pytest.mark.parametrize(
    ("stage", "section", "right", "left", "right_45", "left_45"),
    [
        # S6/S7 and S7/S8 in courses 1 to 3, S8/S1 in 3 alone; the inside corner S5/S6 with the other hand
        (Stage.FROST_WALL, "main", 2 + 2 + 1 + 1, 1 + 1 + 0 + 2, 4, 2),
        # four corners and two of 45 degrees in courses 4 to 9
        (Stage.FULL_WALL, "main", 4 * 3, 4 * 3, 2 * 3, 2 * 3),
        # two corners in four courses, the uppermost ripped
        (Stage.FROST_WALL, "garage", 2 * 2, 2 * 2, 0, 0),
    ],
)
def test_corner_units_by_hand(stage: Stage, section: str, right: int, left: int, right_45: int, left_45: int) -> None:
    keys = ("corner_right", "corner_left", "corner_45_right", "corner_45_left")
    found = [amount(difficult_taken_off(), f"blocks.{key}", stage, section) for key in keys]
    assert found == [right, left, right_45, left_45]


def test_straps_and_panels_at_the_ts() -> None:
    """T1 meets S8 in courses 2 to 9, the garage in courses 6 to 9 (92'-8" on, its footing top is 93'-0"): two straps a
    course on the far side, and one for every end cap; a panel as wide as the core."""
    takeoff = difficult_taken_off()
    assert amount(takeoff, "forms.straps", Stage.FROST_WALL, "main") == 2 * 2 + 6
    assert amount(takeoff, "forms.straps", Stage.FULL_WALL, "main") == (6 + 4 + 4) * 2 + 6
    assert amount(takeoff, "forms.straps", Stage.FROST_WALL, "garage") == 2
    assert amount(takeoff, "forms.tee_cutouts") == 2 + 6 + 4 + 4
    assert amount(takeoff, "forms.tee_panel") == pytest.approx(8 * (28 + 96 + 2 * 56) / 144)


def test_what_is_ripped_off() -> None:
    """Face of foam cut away: 8 in over 10 ft and 4 in over 10 ft of S1, 4 in over 15 ft and 8 in over 16 ft of S8, 4 in
    over T1; 8 in over all of the garage."""
    takeoff = difficult_taken_off()
    house = 120 * 8 + 120 * 4 + 180 * 4 + 192 * 8 + 168 * 4
    assert amount(takeoff, "forms.trim", section="main") == pytest.approx(house / 144)
    assert amount(takeoff, "forms.trim", section="garage") == pytest.approx((2 * 288 + 264) * 8 / 144)


def test_slots_of_the_bend() -> None:
    """The outer skin is kept: a slot of s W / R = 6 x 12 3/4 / 96 in every web spacing, 48 pi / 6 = 25.13 of them a
    course, so 26 with a narrower one; all together they close 12 3/4 in x pi/2 (derived)."""
    takeoff = difficult_taken_off()
    [frost] = [q for q in takeoff.of(Stage.FROST_WALL) if q.key == "radius.slots"]
    assert frost.amount == 3 * math.ceil(48 * math.pi / 6)
    assert amount(takeoff, "radius.slots", Stage.FULL_WALL) == 6 * 26
    assert "13/16" in frost.basis and "0.797" in frost.basis
    assert 6 * WALL / 96 * 48 * math.pi / 6 == pytest.approx(WALL * math.pi / 2)


@pytest.mark.parametrize(("stage", "section"), [(Stage.FROST_WALL, "main"), (Stage.FULL_WALL, "main")])
def test_units_bought_are_no_fewer_than_the_pieces_need(stage: Stage, section: str) -> None:
    """Whole pieces each take a unit, cut ones at least their length together (with the saw cut); never more than one
    unit a piece. Pieces under a brick ledge are ledge units and are counted apart."""
    takeoff = difficult_taken_off()
    legs = {leg.name for leg in takeoff.plan.legs_in(section)}
    pieces = [
        (u.end - u.start).inch
        for u in takeoff.units
        if u.leg in legs and u.stage is stage and u.kind is UnitKind.STRAIGHT and u.counted
    ]
    ledge = amount(takeoff, "blocks.ledge", stage)
    bought = amount(takeoff, "blocks.straight", stage, section) + ledge
    assert sum(pieces) / UNIT <= bought <= len(pieces)


def test_ledge_units() -> None:
    """Course 8 (95'-4" to 96'-8") of S1 from its corner to W1 and from W1 to its end: 142 1/2 and 166 1/2 in; what
    corner units take of it is ordered as pieces of ledge units."""
    takeoff = difficult_taken_off()
    assert math.ceil((142.5 + 166.5) / UNIT) <= amount(takeoff, "blocks.ledge") <= 8
    assert amount(takeoff, "ledge.ends") == 4


def test_bucks() -> None:
    """Round each opening as formed: W1 51 x 51, D1 43 x 81 1/2 (no sill), W2 33 x 39 in; two strips at a sill."""
    takeoff = difficult_taken_off()
    assert amount(takeoff, "bucks.frame") * 12 == pytest.approx(3 * 51 + 2 * 81.5 + 43 + 2 * 39 + 33)
    assert amount(takeoff, "bucks.sill") * 12 == pytest.approx(2 * 51 + 2 * 33)


def test_the_house_walked_the_other_way_round_needs_the_same() -> None:
    """Every amount of every section and stage, bars and sawn units among them."""
    assert totals(compute(walked_back(difficult()))) == pytest.approx(totals(difficult_taken_off()))


# -- where concrete stops inside a course ------------------------------------------------------------
def pour_lines(plan: Plan) -> dict[tuple[Stage, float], tuple[tuple[str, ...], str]]:
    found = [c for c in compute(plan, CuttingMethod.FIRST_FIT).criteria if c.key == "wall.pour_line"]
    return {(c.stage, c.value): (c.legs, c.text) for c in found}


def test_the_pour_line_of_the_garage_is_a_number_to_meet() -> None:
    """With whole courses left standing the fourth of the garage reaches 98'-4": concrete stops 8 in below it at 97'-8",
    and 8 in below the third (97'-0") at 96'-4" beside the door. Where courses are ripped there is no such line."""
    plan = difficult()
    sections = tuple(replace(s, rest_way=RestWay.POUR_LINE) if s.key == "garage" else s for s in plan.sections)
    lines = [c for c in compute(replace(plan, sections=sections)).criteria if c.key == "wall.pour_line"]
    assert [(c.stage, c.value, c.legs) for c in lines] == [
        (Stage.FROST_WALL, 8.0, ("G1", "G2", "G3")),
        (Stage.FROST_WALL, 8.0, ("G2",)),
    ]
    assert ["97'-8\"" in lines[0].text, "96'-4\"" in lines[1].text] == [True, True]
    assert all(c.sense == "is" and c.tolerance == 0.25 and 'a line 8" below' in c.text for c in lines)
    assert not [c for c in difficult_taken_off().criteria if c.key == "wall.pour_line"]


def test_a_cold_joint_inside_a_course_is_a_pour_line_of_the_frost_wall() -> None:
    """A frost wall to 89'-8" under courses from 86'-0": the third reaches 90'-0", 4 in higher, and is not cut."""
    lined = pour_lines(rectangle(frost_top=at("89-8")))
    assert list(lined) == [(Stage.FROST_WALL, 4.0)]
    legs, text = lined[Stage.FROST_WALL, 4.0]
    assert legs == ("A", "B", "C", "D") and "at 89'-8\"" in text
