"""Lintels over openings: which table, which bars, how far past the jambs, and what is for the engineer.

Spans, load conditions and rules: IRC 2021 R608.8 and its tables, read in a public copy of the code; lengths past the
jamb: Table R608.5.4(1).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from takeoff.bending import cut_length
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.geometry import place
from takeoff.lintel_tables import LintelBars, lintel, listed_depth, load_condition, snow_column
from takeoff.lintels import (
    development,
    lintel_bars,
    stirrup_shape,
    stirrup_spacing,
    stirrups_each_side,
    without_head_bars,
)
from takeoff.plan import BeamPocket, Opening, OpeningKind, Plan
from takeoff.problems import Severity
from takeoff.results import Bar, BarRole, Part
from takeoff.site import AboveGrade, BuildingSpec
from takeoff.tables import read_table
from tests.takeoff import plans
from tests.takeoff.plans import at

ONE_STORY = BuildingSpec(stories=1, width=at("28-0"), snow_psf=40)


def house(
    *openings: Opening, building: BuildingSpec = ONE_STORY, bars: dict[str, Any] | None = None, **leg: Any
) -> Plan:
    """The rectangle with these openings in leg A."""
    base = plans.rectangle(**leg)
    walk = base.walks[0]
    first = replace(walk.legs[0], openings=openings)
    spec = replace(base.spec, building=building, bars=replace(base.spec.bars, **(bars or {})))
    return replace(base, walks=(replace(walk, legs=(first, *walk.legs[1:])),), spec=spec)


def window(width: str, head: str = "96-8", offset: str = "16-0", name: str = "W1") -> Opening:
    """A window 3 ft high with its head at a level; the wall's top is at 98'-0"."""
    return Opening(name, OpeningKind.WINDOW, at(width), at("3-0"), at(head) - at("3-0"), at(offset))


def part(plan: Plan) -> Part:
    return lintel_bars(plan, place(plan))


def of(plan: Plan, role: BarRole) -> list[Bar]:
    return [bar for bar in part(plan).bars if bar.role is role]


# -- the tables ------------------------------------------------------------------------------------
def test_load_conditions_are_those_printed_for_a_basement_under_light_frame() -> None:
    """Table R608.8(1): 3 where the lintel's top is within half the span of the wall's top, else nonload-bearing."""
    rows = [row for row in read_table("irc_r608_8_1_lintel_loads").rows if "light-frame" in row["wall"]]
    assert [row["condition"] for row in rows] == ["3", "NLB", "NLB"] and "<= W/2" not in rows[0]["lintel"]
    assert "one-story" in rows[0]["wall"]
    assert load_condition(at("24"), 24, at("36")) == "3"
    assert load_condition(at("42"), 24, at("36")) == "3"
    assert load_condition(at("42.5"), 24, at("36")) == "NLB"


@pytest.mark.parametrize(("available", "depth"), [("7.9", None), ("8", 8), ("15", 12), ("24", 24), ("60", 24)])
def test_the_next_lower_depth_printed_is_taken(available: str, depth: int | None) -> None:
    assert listed_depth(8, at(available)) == depth


@pytest.mark.parametrize(("psf", "column"), [(0, 30), (30, 30), (31, 70), (70, 70), (71, None)])
def test_the_next_greater_snow_load_is_taken(psf: float, column: int | None) -> None:
    assert snow_column(psf) == column


def test_a_span_by_the_printed_row() -> None:
    """8 in wall, 16 in deep, condition 3, 70 psf: stirrups from 5'-2"; #4 to 6'-3", #5 to 7'-9"."""
    short, longer = lintel(8, at("16"), at("5-2"), 70, 60), lintel(8, at("16"), at("6-4"), 70, 60)
    assert isinstance(short, LintelBars) and (short.number, short.size, short.centre) == (1, 4, None)
    assert isinstance(longer, LintelBars) and (longer.number, longer.size) == (1, 5)
    assert longer.allowed == at("7-9") and longer.plain_span == at("5-2") and longer.centre is not None
    too_long = lintel(8, at("16"), at("17-11"), 70, 60)
    assert isinstance(too_long, str) and "over the" in too_long


def test_grade_40_spans_less() -> None:
    sixty, forty = lintel(8, at("12"), at("5-4"), 30, 60), lintel(8, at("12"), at("5-4"), 30, 40)
    assert isinstance(sixty, LintelBars) and isinstance(forty, LintelBars)
    assert sixty.allowed >= at("5-4") and forty.size > sixty.size


# -- bars ------------------------------------------------------------------------------------------
def test_a_lintel_has_bars_in_its_bottom_and_top() -> None:
    """36 in window, 16 in of wall over it, 40 psf: 1-#4 would do, #5 is the size of bars around openings here."""
    bottom, top = of(house(window("36")), BarRole.LINTEL)
    assert (bottom.size, bottom.count, top.size, top.count) == (5, 1, 5, 1)
    assert bottom.cut_length == at("36") + 2 * at("28") == top.cut_length  # 28 in: development of #5, Grade 60
    half = 0.625 / 2
    assert bottom.places[0][1] == pytest.approx(at("96-8").inch + 1.5 + half)
    assert top.places[0][1] == pytest.approx(at("98-0").inch - 1.5 - half)
    assert "R608.8(4)" in bottom.basis and "16 in deep" in bottom.basis
    assert of(house(window("36")), BarRole.STIRRUP) == [] and part(house(window("36"))).problems == ()


def test_lintel_bars_reach_the_larger_of_development_and_the_reach_of_opening_bars() -> None:
    far = of(house(window("36"), bars={"opening_bar_reach": at("40")}), BarRole.LINTEL)[0]
    assert far.cut_length == at("36") + 2 * at("40")
    near = of(house(window("36"), bars={"opening_bar_reach": at("12"), "opening_bar_size": 4}), BarRole.LINTEL)[0]
    assert near.cut_length == at("36") + 2 * at("23")  # #4, Grade 60


def test_a_bar_the_development_table_does_not_print_takes_the_equation() -> None:
    assert development(house(bars={"grade_ksi": 75}), 5) > development(house(), 5) == at("28")


def test_close_to_a_corner_the_bars_are_hooked() -> None:
    """16 in from the corner is too near for 28 in straight; 15 in hold a hook."""
    bottom = of(house(window("36", offset="20")), BarRole.LINTEL)[0]
    assert bottom.shape is not None and bottom.shape.turns_deg == (90.0,)
    assert bottom.shape.legs[0].inch == pytest.approx(0.625 * 16)  # 12 db straight, the bend's outside 4 db
    near = part(house(window("36", offset="10")))
    assert [p.severity for p in near.problems] == [Severity.ENGINEER] and "corner" in near.problems[0].sentence


def test_a_neighbouring_opening_ends_the_bars() -> None:
    """The next window is 40 in away and 3 in higher, so that it stands in the way of both bars."""
    plan = house(window("36"), window("36", head="97-0", offset="22-4", name="W2"))
    bottom = next(bar for bar in of(plan, BarRole.LINTEL) if "W1" in bar.basis)
    assert bottom.places[0][2] <= at("22-2").inch


@pytest.mark.parametrize(
    ("width", "stirrups"),
    [("5-2", 0), ("6-4", 8)],
)
def test_stirrups_outside_the_middle_part(width: str, stirrups: int) -> None:
    """16 in deep, 8 in wall, 70 psf: none to 5'-2"; at 6'-4" every 7.09 in from 3.55 in past each jamb until one stands
    in the middle part."""
    found = of(house(window(width)), BarRole.STIRRUP)
    assert sum(bar.count for bar in found) == stirrups
    for bar in found:
        spacing, centre = stirrup_spacing(16, 5), read_centre(16, "3_70")
        middle = at("16-0").inch + at(width).inch / 2
        left = sorted(x for x, _, _, _ in bar.places if x < middle)
        assert left[0] == pytest.approx(at("16-0").inch + spacing.inch / 2, abs=1e-3)
        assert [b - a for a, b in pairwise(left)] == pytest.approx([spacing.inch] * (len(left) - 1))
        assert left[-2] < middle - centre / 2 <= left[-1]
        assert len(bar.places) == bar.count


def read_centre(depth: int, column: str) -> float:
    row = next(read_table("irc_r608_8_4_lintels_8").where(depth=str(depth), bars="centre"))
    feet, inches = row[column].split("-")
    return int(feet) * 12.0 + int(inches)


def test_stirrups_are_half_the_effective_depth_apart() -> None:
    """R608.8.2.1: d is the depth less cover and half a bar."""
    assert stirrup_spacing(16, 5).inch == pytest.approx((16 - 1.5 - 0.3125) / 2)
    assert [stirrups_each_side(at("60"), at(c), at("6")) for c in ("60", "54", "48", "0")] == [1, 1, 2, 6]


def test_stirrup_shapes() -> None:
    """One leg with a 135 degree hook at each end around single bars; a U with hooks around two. By hand: #3, bend 1.5
    in inside, 2.25 in straight, 13.75 in out to out in a lintel 16 in deep."""
    one = LintelBars("R608.8(4)", 16, "3", "3_30", 1, 5, at("9-0"), at("5-0"), at("2-0"))
    shape = stirrup_shape(at("8"), one)
    assert shape.turns_deg == (135.0, 135.0) and shape.inside_diameters == 4
    arc = 0.75 * 135 * 3.14159265 / 180 + 0.1875 * 135 * 3.14159265 / 180  # on the bar's centre line
    by_hand = 2 * 2.25 + 2 * arc + 13.75 - 2 * 1.125
    assert cut_length(3, shape).inch == pytest.approx(by_hand, abs=1e-3)
    two = replace(one, number=2)
    assert stirrup_shape(at("8"), two).turns_deg == (135.0, 90.0, 90.0, 135.0)
    assert stirrup_shape(at("8"), two).legs[2] == at("6.5")


# -- what is for the engineer ----------------------------------------------------------------------
@pytest.mark.parametrize(
    ("plan", "words"),
    [
        pytest.param(house(window("36"), building=BuildingSpec()), "how many stories", id="nothing said"),
        pytest.param(house(window("36"), building=replace(ONE_STORY, snow_psf=80)), "over the 70", id="snow"),
        pytest.param(house(window("36"), building=replace(ONE_STORY, stories=2)), "two stories", id="two stories"),
        pytest.param(house(window("36"), building=replace(ONE_STORY, width=at("44-0"))), "wider than", id="roof"),
        pytest.param(
            house(window("36"), building=replace(ONE_STORY, walls=AboveGrade.CONCRETE_OR_MASONRY)),
            "under concrete walls", id="concrete above",
        ),
        pytest.param(
            house(window("36"), building=replace(ONE_STORY, walls=AboveGrade.BRICK_VENEER)),
            "brick above weighs more", id="brick above",
        ),
        pytest.param(house(window("36"), core=at("12"), form="generic-18"), "core of 12", id="12 in"),
        pytest.param(house(window("36", head="97-6")), "8 in is the least", id="no room"),
        pytest.param(house(window("18-2", offset="4-0")), "over the 18", id="too wide"),
    ],
)  # fmt: skip
def test_no_table_may_be_asked(plan: Plan, words: str) -> None:
    found = part(plan)
    assert found.bars == ()
    assert [p.severity for p in found.problems] == [Severity.ENGINEER] and words in found.problems[0].sentence
    assert "W1 in A" in found.problems[0].sentence


def test_a_beam_over_an_opening_is_for_the_engineer() -> None:
    plan = house(window("36"))
    pocket = BeamPocket("P1", at("17-0"), at("8"), at("10"))
    legs = (replace(plan.walks[0].legs[0], beam_pockets=(pocket,)), *plan.walks[0].legs[1:])
    plan = replace(plan, walks=(replace(plan.walks[0], legs=legs),))
    assert "a beam bears on it" in part(plan).problems[0].sentence


def test_narrow_openings_need_no_lintel() -> None:
    """R608.8: lintels over openings of 2 ft and more."""
    assert part(house(window("23"))) == Part()


# -- in the takeoff --------------------------------------------------------------------------------
def test_a_lintel_takes_the_place_of_the_bar_over_its_opening() -> None:
    plan = house(window("36"), window("20", offset="30-0", name="W2"))
    takeoff = compute(plan, CuttingMethod.FIRST_FIT)
    level = [line for bar in takeoff.bars if bar.role is BarRole.OPENING for line in bar.places if line[1] == line[3]]
    heads = sorted(line[0] for line in level if line[1] == at("96-11").inch)
    assert len(heads) == 1 and heads[0] > at("25-0").inch  # only over the narrow window
    assert len([line for line in level if line[1] == at("93-5").inch]) == 2  # below both
    lintels = [q for q in takeoff.quantities if q.key == "bars.lintel.#5"]
    assert sum(q.amount for q in lintels) == pytest.approx(2 * (36 + 56) / 12)
    assert {bar.role for bar in takeoff.bars if bar.mark.startswith("5L")} == {BarRole.LINTEL}


def test_without_lintels_bars_stay_as_they_are() -> None:
    plan = house(window("36"), building=BuildingSpec())
    bars = compute(plan, CuttingMethod.FIRST_FIT).bars
    assert without_head_bars(plan, place(plan), bars) == bars
