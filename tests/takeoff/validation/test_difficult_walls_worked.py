"""Angled corners, odd courses, T walls, field-made corners and sundries against worked examples.

T10, T11, T14, T45 and T48 are derived step by step outside this program; T03, T04 and T53 are derived with usual
figures of the trade (common practice, no source); T52 is a height and a trim from a public account, its foam derived.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from takeoff import blocks, courses, geometry
from takeoff.blocks import Layout
from takeoff.corners import mitre_shortening
from takeoff.field_corners import field_corners
from takeoff.forms import GENERIC_16, CornerLegs, FormSystem
from takeoff.orders import order_lines
from takeoff.plan import Plan, RestWay, Stage, Step, Straight
from takeoff.results import Takeoff, UnitKind
from takeoff.units import Length
from tests.takeoff.plans import at, leg, plan, rectangle, ring, spur
from tests.takeoff.validation import forms_and_bars, worked_cases

#: The form of T10 and T21: W 13 in, web 8 in, 45 degree legs 32 and 16 in.
FORM = replace(
    GENERIC_16,
    key="worked",
    foam=at("2.5"),
    web_spacing=at("8"),
    corners=(CornerLegs(at("8"), at("40"), at("24")),),
    corners_45=(CornerLegs(at("8"), at("32"), at("16")),),
)
FOOT = at("86-0")


def lay(made: Plan) -> Layout:
    return blocks.lay(made, geometry.place(made))


def amount(layout: Layout, key: str) -> float:
    return sum(q.amount for q in layout.quantities if q.key == key)


def chosen(made: Plan, way: RestWay, form: FormSystem = GENERIC_16) -> Plan:
    """The plan with a way to make odd courses, and its form system."""
    return replace(made, sections=tuple(replace(s, rest_way=way) for s in made.sections), forms=(form,))


def loop(courses_high: int) -> Plan:
    """The outline of T21: (0,0) (34,0) (40,6) (40,18) (24,18) (24,32) (0,32) ft, one corner clipped 6 ft each way."""
    slant = Length.from_inches(72 * math.sqrt(2))
    sides = ((at("34-0"), 45), (slant, 45), (at("12-0"), 90), (at("16-0"), -90), (at("14-0"), 90), (at("24-0"), 90))
    legs = [
        replace(leg(f"L{k}", "1", turn), path=Straight(length))
        for k, (length, turn) in enumerate((*sides, (at("32-0"), 90)))
    ]
    high = {"form": "worked", "frost_top": None, "wall_top": FOOT + courses_high * at("16")}
    return plan(ring(*(replace(g, **high) for g in legs)), forms=(FORM,))


# -- 45 degree corners -----------------------------------------------------------------------------
def test_t10_derived_legs_and_fill_of_a_clipped_corner() -> None:
    """Slant 101.823 in, legs 32 and 16 in: 53.823 in left, two pieces of 26.91 in; inside legs 26.615 and 10.615 in."""
    made = loop(7)
    placed = geometry.place(made)
    assert placed.legs["L1"].outside.length.inch == pytest.approx(101.823, abs=5e-4)
    assert placed.legs["L1"].centre.length.inch == pytest.approx(96.439, abs=5e-4)
    for course in range(1, 8):
        row = [u for u in blocks.lay(made, placed).units if (u.leg, u.course) == ("L1", course)]
        lengths = [(u.end - u.start).inch for u in row]
        assert sorted(lengths) == pytest.approx([16, 26.9117, 26.9117, 32], abs=1e-3)
        assert lengths[0] == (32 if course % 2 else 16)
    shorter = mitre_shortening(FORM.thickness(at("8")), 45.0).inch
    assert [32 - shorter, 16 - shorter] == pytest.approx([26.615, 10.615], abs=5e-4)


def test_t10_derived_an_inside_clip_takes_the_shorter_legs_and_the_other_hand() -> None:
    """The same turn the other way: exterior-side legs 26.615 and 10.615 in, left hand in odd courses."""
    slant = Length.from_inches(72 * math.sqrt(2))
    sides = (("40-0", 90), ("16-0", 90), ("10-0", -45), ("1", -45), ("6-0", 90), ("24-0", 90), ("28-0", 90))
    high = {"form": "worked", "frost_top": None, "wall_top": FOOT + 4 * at("16")}
    legs = [leg(f"L{k}", x, turn, **high) for k, (x, turn) in enumerate(sides)]
    legs[3] = replace(legs[3], path=Straight(slant))
    made = plan(ring(*legs), forms=(FORM,))
    placed = geometry.place(made)
    first = next(u for u in blocks.lay(made, placed).units if (u.leg, u.course) == ("L3", 1) and not u.start)
    assert (first.end - first.start).inch == pytest.approx(26.615, abs=5e-4)
    assert first.kind is UnitKind.CORNER_45_LEFT and first.mark == "45L"


@pytest.mark.parametrize(("high", "right", "left"), [(7, 2 * 4, 2 * 3), (6, 2 * 3, 2 * 3), (1, 2, 0)])
def test_derived_angled_corners_by_hand(high: int, right: int, left: int) -> None:
    """Two outside 45 degree corners: right = 2 x ceil(n / 2), left = 2 x floor(n / 2), one of each to spare."""
    layout = lay(loop(high))
    assert (amount(layout, "blocks.corner_45_right"), amount(layout, "blocks.corner_45_left")) == (right, left)
    assert not [u for u in layout.units if u.kind is UnitKind.MITRE]
    [line] = [q for q in layout.quantities if q.key == "blocks.corner_45_right"]
    assert line.buy is not None and line.buy.extra == 1


def test_reversible_angled_corners_are_one_line() -> None:
    made = loop(7)
    layout = lay(replace(made, forms=(replace(FORM, handed=False),)))
    assert amount(layout, "blocks.corner_45") == 14
    assert {u.mark for u in layout.units if u.kind is UnitKind.CORNER_45} == {"45"}


# -- T walls ---------------------------------------------------------------------------------------
def test_t11_derived_units_cut_outs_and_straps_of_a_t_wall() -> None:
    given, result = forms_and_bars.case("T11")
    form = replace(GENERIC_16, key="thin", foam=at("2.5"))
    high = {"core": at("6"), "form": "thin", "frost_top": None, "wall_top": FOOT + 6 * at("16")}
    sides = (leg(n, x, **high) for n, x in zip("ABCD", ("40-0", "30-0") * 2, strict=True))
    made = plan(ring(*sides), spur("inner", ("A", "18-0"), leg("T", given.length, 0, **high)), forms=(form,))
    layout = lay(made)
    rows = [[u for u in layout.units if (u.leg, u.course) == ("T", n)] for n in range(1, 7)]
    for row, other in zip(rows[::2], rows[1::2], strict=True):
        assert [u.end - u.start for u in row] == [at(x) for x in result.odd]
        assert [u.end - u.start for u in other] == [at(x) for x in result.even]
    assert amount(layout, "forms.tee_cutouts") == 6
    assert amount(layout, "forms.tee_panel") == pytest.approx(6 * 96 / 144)
    assert amount(layout, "forms.straps") == 2 * 6 + 6  # far side of the T, and the caps at its free end
    assert amount(layout, "blocks.end_caps") == 6
    assert {(u.leg, u.end) for u in layout.units if u.cap_end} == {("T", at("120"))}


# -- odd courses -----------------------------------------------------------------------------------
def test_t03_common_practice_six_whole_courses_and_one_low_one() -> None:
    form = replace(GENERIC_16, half_height=at("12"))
    made = chosen(rectangle(wall_top=FOOT + at("108"), frost_top=None), RestWay.PART_HEIGHT, form)
    layout = lay(made)
    assert {u.course for u in layout.units if u.part_height} == {7}
    assert not [u for u in layout.units if u.ripped and u.kind is UnitKind.STRAIGHT]
    marks = {u.mark for u in layout.units if u.part_height}
    assert "H48" in marks and all(m.startswith("H") for m in marks)
    assert amount(layout, "blocks.half_height") >= 4 * 2


def test_t04_common_practice_the_ways_out_of_a_hundred_inches() -> None:
    """Four inches over six courses: low units of 4 in, a line 12 in down in a seventh course, or two of 10 in."""
    made = rectangle(wall_top=FOOT + at("100"), frost_top=None)
    low = lay(chosen(made, RestWay.PART_HEIGHT, replace(GENERIC_16, half_height=at("4"))))
    assert {u.top - u.bottom for u in low.units if u.part_height} == {at("4")}
    assert not any("least rip" in p.sentence for p in low.problems)
    line = lay(chosen(made, RestWay.POUR_LINE))
    top = [u for u in line.units if u.course == 7]
    assert {u.top - FOOT for u in top} == {at("112")} and not any(u.ripped for u in top)
    assert all(u.mark.endswith(" L 4") for u in top)
    two = lay(chosen(made, RestWay.TWO_RIPPED))
    assert {(u.course, u.top - u.bottom) for u in two.units if u.ripped} == {(6, at("10")), (7, at("10"))}
    assert not any("least rip" in p.sentence for p in two.problems)
    ripped = [p.sentence for p in lay(made).problems if "least rip" in p.sentence]
    assert len(ripped) == 1 and 'Proposed: two courses ripped to 10"' in ripped[0]


def test_t14_derived_two_courses_of_ten_inches_below_a_step() -> None:
    given, result = forms_and_bars.case("T14")
    step = Step(at(given.lower_run), footing_top=FOOT + at(given.step))
    high = {"footing_top": FOOT + at(given.step), "frost_top": None, "wall_top": FOOT + at(given.step) + at("96")}
    sides = (leg("B", "28-0", **high), leg("C", "40-0", **high), leg("D", "28-0", **high))
    first = leg("A", "40-0", steps=(step,), **{**high, "footing_top": FOOT})
    made = chosen(plan(ring(first, *sides)), RestWay.TWO_RIPPED)
    made = replace(made, sections=(replace(made.sections[0], datum=FOOT + at(given.step)),))
    layout = lay(made)
    ripped = [u for u in layout.units if u.ripped and u.leg == "A"]
    assert {u.top - u.bottom for u in ripped} == {at(result.each_of_two)}
    assert sum((u.end - u.start).inch for u in ripped) == 2 * at(given.lower_run).inch
    assert amount(layout, "forms.trim") == pytest.approx(result.foam_wasted_ft2)


@pytest.mark.parametrize(("face", "full", "rest_mm"), [("16", 5, 368.0), ("18", 5, 114.0)])
def test_t48_derived_a_metric_height_in_inch_units(face: str, full: int, rest_mm: float) -> None:
    way = courses.rip(Length.mm(2400), at(face))
    assert (way.full_courses, way.rest) == (full, Length.mm(str(rest_mm)))


@pytest.mark.parametrize("way", [RestWay.RIP, RestWay.POUR_LINE])
def test_t52_foam_trimmed_off_sixty_feet_of_wall(way: RestWay) -> None:
    """A public account: 108.5 in of 16 in units, 3.5 in off every one of 15 units; 17.5 ft2 derived."""
    given, result = forms_and_bars.case("T52")
    made = chosen(rectangle("20-0", "10-0", wall_top=FOOT + at(given.height), frost_top=None), way)
    assert amount(lay(made), "forms.trim") == pytest.approx(result.foam_ft2)


# -- field-made corners and sundries ---------------------------------------------------------------
def test_t45_derived_six_corners_made_of_straight_units() -> None:
    """Worked without a saw cut, so that two 24 in pieces come out of a 48 in unit; with one, each takes a unit."""
    given, result = worked_cases.case("T45")
    legs = CornerLegs(at("8"), Length.from_inches(given.long_in), Length.from_inches(given.short_in))
    made = field_corners(GENERIC_16, legs, given.missing, saw_cut=Length(0))
    assert made.straight_units == result.straight_units
    assert made.plywood_ft2 == pytest.approx(result.plywood_ft2, abs=5e-4)
    assert (made.straps, made.stock_each.inch) == (4 * given.missing, result.stock_per_corner_in)
    assert field_corners(GENERIC_16, legs, given.missing).straight_units == 12
    with pytest.raises(ValueError, match="longer than a straight unit"):
        field_corners(GENERIC_16, replace(legs, long=at("50")), 1)


def test_t53_derived_adhesive_under_the_first_course() -> None:
    """Two beads along 140.485 ft of outline: 280.97 ft, eight 29 fl oz tubes of 39.488 ft."""
    made = loop(7)
    layout = lay(made)
    [beads] = [q for q in layout.quantities if q.key == "forms.adhesive"]
    given, result = worked_cases.case("T53")
    assert beads.amount == pytest.approx(given.adhesive_ft, abs=5e-3)
    assert beads.buy is not None and beads.buy.step == pytest.approx(result.bead_large_ft, abs=5e-4)
    takeoff = Takeoff(made, layout.quantities, layout.units, layout.seams, (), (), (), ())
    [line] = [x for x in order_lines(takeoff, Stage.FULL_WALL) if x.key == "forms.adhesive"]
    assert line.count == result.adhesive_tubes
