"""Courses, runs, bond and corners against worked examples; the data file says how each result came about.

T52 is a height and a count from a public account; the others are derived step by step, with rip and offset limits that
are common practice without a source.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from takeoff import blocks, courses, geometry
from takeoff.block_orders import SAW_CUT
from takeoff.bond import BondRules, CourseSpec, Interval, bond, close_joints, fills
from takeoff.corners import hand_counts
from takeoff.cutting import first_fit
from takeoff.forms import GENERIC_16, CornerLegs
from takeoff.plan import Plan, Stage, Step
from takeoff.results import UnitKind
from takeoff.units import Length
from tests.takeoff.plans import at, leg, plan, rectangle, ring
from tests.takeoff.validation.forms_and_bars import case

#: A form of the worked examples' corner legs.
FORM = replace(
    GENERIC_16, key="worked", foam=at("2.5"), web_spacing=at("8"), corners=(CornerLegs(at("6"), at("36"), at("20")),)
)


def nm(text: str) -> int:
    return at(text).nm


def rules(web: str = "8") -> BondRules:
    return BondRules(nm("48"), nm(web), nm("8"), nm(web), nm("11"))


def joints_of(lengths: tuple[int, ...], start: int) -> list[int]:
    """Joints of a run that begins at the end of a corner leg, both corner legs' joints included."""
    out = [start]
    for length in lengths:
        out.append(out[-1] + length)
    return out


def least_offset(lower: list[int], upper: list[int]) -> int:
    return min(abs(a - b) for a in lower for b in upper)


def wall(length: str) -> Plan:
    """A ring whose leg A has a worked length, in the worked form."""
    core = {"form": "worked", "core": at("6"), "frost_top": None}
    made = rectangle()
    sides = ((n, x) for n, x in zip("ABCD", (length, "300", length, "300"), strict=True))
    return replace(made, forms=(FORM,), walks=(ring(*(leg(n, x, **core) for n, x in sides)),))


def laid_joints(made: Plan, course: int) -> list[int]:
    layout = blocks.lay(made, geometry.place(made))
    row = [u for u in layout.units if (u.leg, u.course) == ("A", course)]
    return [a.end.nm for a, b in pairwise(row) if a.end == b.start]


# -- heights ---------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ["T03", "T04"])
def test_courses_and_what_is_left(name: str) -> None:
    given, result = case(name)
    for face, full, rest in zip(given.faces, result.full, result.rest, strict=True):
        way = courses.rip(at(given.height), at(face))
        assert (way.full_courses, way.rest) == (full, at(rest))
    mix = courses.stock_mix(at(given.height), tuple(at(h) for h in given.stock_heights))
    assert mix == {at(h): count for h, count in result.mix.items()}


def test_t03_no_rip_trims_a_whole_course() -> None:
    given, result = case("T03")
    assert courses.rip(at(given.height), at("16")).whole_course_trim == at(result.whole_course_trim)


def test_t04_the_ways_out_of_a_rip_too_low() -> None:
    given, result = case("T04")
    way = courses.rip(at(given.height), at("16"))
    assert way.rest < at(given.least_rip)
    assert (way.whole_course_trim, way.footing_up) == (at(result.pour_line_below), at(result.footing_up))
    told = courses.rip_options(at(given.height), at("16"), at(given.least_rip), at("4"))
    for words in ('6 full courses and 1 of 4" units', 'a pour line 12" below', 'the footing 4" higher or 12" lower'):
        assert words in told


def test_t14_a_step_off_the_units() -> None:
    given, result = case("T14")
    way = courses.rip(at(given.step), at(given.face))
    assert way.rest < at(given.least_rip)
    assert way.two_courses == at(result.each_of_two)
    units = 2 * (at(given.lower_run) // at(given.unit))
    assert units == result.ripped_units
    lost = 2 * (at(given.face) - way.two_courses).foot * at(given.lower_run).foot
    assert lost == pytest.approx(result.foam_wasted_ft2)


def test_t14_is_told_when_the_plan_is_laid() -> None:
    given, _ = case("T14")
    step = Step(at(given.lower_run), footing_top=at("86-0") + at(given.step))
    high = {"footing_top": at("86-0") + at(given.step), "frost_top": None}
    sides = (leg("B", "28-0", **high), leg("C", "40-0", **high), leg("D", "28-0", **high))
    made = plan(ring(leg("A", "40-0", frost_top=None, steps=(step,)), *sides))
    section = replace(made.sections[0], datum=at("86-0") + at(given.step))  # courses counted from the upper footing
    layout = blocks.lay(replace(made, sections=(section,)), geometry.place(made))
    (told,) = [p.sentence for p in layout.problems if "bottom course" in p.sentence]
    assert told.startswith("A:") and 'ripped to 4"' in told and 'two courses ripped to 10" each' in told


def test_t52_a_public_account_of_a_wall_half_an_inch_too_high() -> None:
    given, result = case("T52")
    made = rectangle(wall_top=at("86-0") + at(given.height), frost_top=None)
    layout = blocks.lay(made, geometry.place(made))
    assert max(u.course for u in layout.units) == result.courses
    top = {u.top - u.bottom for u in layout.units if u.course == result.courses}
    assert top == {at(given.face) - at(result.trim)}
    lost = given.units * at(given.unit).foot * at(result.trim).foot
    assert lost == pytest.approx(result.foam_ft2)


# -- runs and bond ---------------------------------------------------------------------------------
def test_t05_pieces_of_three_runs() -> None:
    given, result = case("T05")
    for run, pieces in zip(given.runs, result.pieces, strict=True):
        assert fills(nm(run), rules(given.web))[0] == tuple(nm(p) for p in pieces)


def test_t06_joints_of_two_courses() -> None:
    given, result = case("T06")
    made = wall(given.wall)
    lower, upper = laid_joints(made, 1), laid_joints(made, 2)
    assert lower == [nm(x) for x in result.joints[0]]
    assert upper == [nm(x) for x in result.joints[1]]
    assert least_offset(lower, upper) == nm(result.offset)


def test_t07_the_arrangements_one_by_one() -> None:
    given, result = case("T07")
    long, short = nm(given.long), nm(given.short)
    run = nm(given.wall) - long - short
    assert (run, run % nm(given.unit)) == (nm(result.fill), nm(result.remainder))
    at_end, at_start, _, pair, *_ = fills(run, rules("6"))
    assert least_offset(joints_of(at_end, long), joints_of(at_end, short)) == nm(result.cut_at_same_end)
    assert least_offset(joints_of(at_end, long), joints_of(at_start, short)) == nm(result.cut_at_other_end)
    assert least_offset(joints_of(pair, long), joints_of(pair, short)) == nm(result.split_pair)
    assert least_offset(joints_of(at_start, long), joints_of(at_end, short)) == nm(result.beside_long_leg)


def test_t07_the_trap_is_solved_with_one_cut_a_course() -> None:
    given, result = case("T07")
    made = wall(given.wall)
    layout = blocks.lay(made, geometry.place(made))
    assert not layout.seams
    assert least_offset(laid_joints(made, 1), laid_joints(made, 2)) == nm(result.best)
    for course in range(1, 10):
        cut = [u for u in layout.units if (u.leg, u.course) == ("A", course) and u.mark.startswith("C ")]
        assert [u.mark for u in cut] == ["C 16"]


def test_t11_a_t_wall_alternates_and_packs() -> None:
    given, result = case("T11")
    spec = CourseSpec((Interval(0, nm(given.length)),))
    laid = bond([spec] * given.courses, rules("6"))
    for number, course in enumerate(laid, start=1):
        wanted = result.odd if number % 2 else result.even
        assert [p.length for p in course.pieces] == [nm(x) for x in wanted]
    for lower, upper in pairwise(laid):
        assert not close_joints(lower.joints, upper.joints, nm("8"))
    whole = sum(1 for course in laid for p in course.pieces if p.length == nm(given.unit))
    cut = sum(1 for course in laid for p in course.pieces if p.length != nm(given.unit))
    stock = first_fit({at("24"): cut}, Length(nm(given.unit)), SAW_CUT).stock
    assert whole + stock == result.units


# -- corners ---------------------------------------------------------------------------------------
def test_t08_corners_by_hand() -> None:
    given, result = case("T08")
    right, left = hand_counts(given.outside_corners, 0, given.courses)
    assert (right, left, right + left) == (result.right, result.left, result.total)


def test_t08_as_laid() -> None:
    given, result = case("T08")
    made = rectangle(wall_top=at("86-0") + given.courses * at("16"), frost_top=None)
    layout = blocks.lay(made, geometry.place(made))
    counted = [u.kind for u in layout.units if u.counted]
    assert counted.count(UnitKind.CORNER_RIGHT) == result.right
    assert counted.count(UnitKind.CORNER_LEFT) == result.left
    assert {u.stage for u in layout.units} == {Stage.FULL_WALL}
