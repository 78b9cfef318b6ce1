"""The difficult house counted by the bar fabricator: bars of legs, laps, shapes, weights and how stock is cut.

By pencil. #4 across, lap 30 in; #5 upright at 18 in and in the footing, lap 38 in (IRC 2021 Table R608.5.4(1), Grade
60); 2 in cover at ends; a bend of 90 degrees saves 2.502 bar diameters in main bars and 2.073 in ties, one of 45 0.565
(geometry of bends inside 6 and 4 diameters). #4 weighs 0.668, #5 1.043 lb/ft (an open construction textbook).
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest

from takeoff.bar_list import bar_list, cutting_plan
from takeoff.bending import as_cut
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.laps import wall_lap
from takeoff.plan import Plan, RestWay, Stage
from takeoff.results import Bar, BarRole
from takeoff.site import LapsFrom
from takeoff.units import Length
from tests.takeoff.difficult import difficult, difficult_taken_off
from tests.takeoff.examples import amount
from tests.takeoff.plans import at, rectangle

D4, D5, LAP4, LAP5 = 0.5, 0.625, 30.0, 38.0
FOAM, CORE, WALL, COVER = 2.375, 8.0, 12.75, 2.0
SLANT = 72 * math.sqrt(2)
FLARE = math.tan(math.radians(22.5))


def bars(leg: str, stage: Stage, role: BarRole) -> list[Bar]:
    return [b for b in difficult_taken_off().bars if (b.leg, b.stage, b.role) == (leg, stage, role)]


def pieces(leg: str, stage: Stage, role: BarRole) -> list[float]:
    """Every single bar's cut length [in], shortest first."""
    return sorted(b.cut_length.inch for b in bars(leg, stage, role) for _ in range(b.count))


def levels(found: list[Bar]) -> list[float]:
    return sorted({line[1] for b in found for line in b.places})


def test_verticals_and_dowels_of_s8() -> None:
    """Centre line 552 - 2 x 6 3/8 = 539 1/4 in: ceil(/ 18) = 30 bars, at 6 3/8 + 18 k from its left end (seen from
    outside its start): ten on each of the three levels of the footing. 48, 28 and 8 in of frost wall and 38 in up; 96
    less 2 in of full wall; dowels (10 - 3) + 38 + 10 - 2.502 x 5/8 in."""
    assert math.ceil((552 - WALL) / 18) == 30
    assert pieces("S8", Stage.FROST_WALL, BarRole.PROJECTING) == [46.0] * 10 + [66.0] * 10 + [86.0] * 10
    assert pieces("S8", Stage.FULL_WALL, BarRole.VERTICAL) == [94.0] * 30
    dowels = pieces("S8", Stage.FOOTING, BarRole.DOWEL)
    assert dowels == pytest.approx([7 + 38 + 10 - 2.502 * D5] * 30, abs=2e-3)


def test_horizontals_of_s8() -> None:
    """Full wall: 552 - 2 x (2 3/8 + 2) = 543 1/4 in in six rows, each of two bars of 240 in and one of 123 1/4 in, two
    laps. Frost wall: course 1 to the step at 180 in; courses 2 and 3 to that at 360 in, two bars with a lap; course 3
    is 8 in high from there, its row lies 4 in higher and starts a lap before the end of the other (360 - 2 - 30)."""
    long = 552 - 2 * (FOAM + COVER)
    assert pieces("S8", Stage.FULL_WALL, BarRole.HORIZONTAL) == [long + 2 * LAP4 - 480] * 6 + [240.0] * 12
    first, second = 180 - COVER - FOAM - COVER, 360 - COVER - FOAM - COVER
    last = 552 - FOAM - COVER - (360 - COVER - LAP4)
    by_hand = [first, *[second + LAP4 - 240] * 2, *[240.0] * 2, last]
    assert pieces("S8", Stage.FROST_WALL, BarRole.HORIZONTAL) == pytest.approx(sorted(by_hand))
    assert levels(bars("S8", Stage.FROST_WALL, BarRole.HORIZONTAL)) == [1040, 1056, 1072, 1076]


def test_bars_of_s2_between_45_degree_corners() -> None:
    """101.823 in, 2 3/8 in x tan 22.5 deg and 2 in off at each end, three rows and six; one corner bar a row, 30 + 30
    less 0.565 x 1/2 in. Its centre line is 96.54 in: six bars up."""
    straight = SLANT - 2 * (FOAM * FLARE + COVER)
    for stage, rows in ((Stage.FROST_WALL, 3), (Stage.FULL_WALL, 6)):
        assert pieces("S2", stage, BarRole.HORIZONTAL) == pytest.approx([straight] * rows, abs=1e-3)
        assert pieces("S2", stage, BarRole.CORNER) == pytest.approx([60 - 0.565 * D4] * rows, abs=1e-3)
    assert len(pieces("S2", Stage.FULL_WALL, BarRole.VERTICAL)) == math.ceil((SLANT - WALL * FLARE) / 18) == 6


def test_corner_bars_where_legs_meet_square_inside_and_in_line() -> None:
    """S8 to S1: one row in the frost wall, because S1 begins 40 in higher; S5 to S6 (inside): two straight bars a row
    to the far face, 30 + 8 - 2 in; S3 to S4 (in line): 60 in."""
    square, inside, line = 60 - 2.502 * D4, LAP4 + CORE - COVER, 2 * LAP4
    assert pieces("S8", Stage.FROST_WALL, BarRole.CORNER) == pytest.approx([square], abs=1e-3)
    assert pieces("S8", Stage.FULL_WALL, BarRole.CORNER) == pytest.approx([square] * 6, abs=1e-3)
    assert pieces("S5", Stage.FULL_WALL, BarRole.CORNER) == [inside] * 12
    assert pieces("S3", Stage.FULL_WALL, BarRole.CORNER) == [line] * 6


def test_bars_of_the_t_wall_lap_all_of_a_lap() -> None:
    """T1's rows run from the foam of S8 to its free end less 2 in. Two bent bars a row tie it in, one each way along
    S8: 30 in along S8, and from the far face of its core (8 - 2 in), through the foam and 30 in along T1; 30 in from
    the far face would lap only 21 5/8 in."""
    leg = LAP4 + FOAM + CORE - COVER
    for stage, rows in ((Stage.FROST_WALL, 2), (Stage.FULL_WALL, 6)):
        assert pieces("T1", stage, BarRole.HORIZONTAL) == [168 - COVER] * rows
        found = bars("T1", stage, BarRole.CORNER)
        assert [b.count for b in found] == [2 * rows]
        assert found[0].cut_length.inch == pytest.approx(leg + LAP4 - 2.502 * D4, abs=1e-3)
        assert found[0].shape is not None and [x.inch for x in found[0].shape.legs] == [leg, LAP4]


@pytest.mark.parametrize(
    ("leg", "sides", "across"),
    [
        ("S1", [87.5, 87.5], [99, 99]),  # 92'-6 1/2" - 24 in to 2 in under 98'-0"
        ("S3", [94, 94], [91]),  # from the cold joint; a door has no bar below
        ("S6", [79.5, 79.5], [81, 81]),
    ],
)
def test_bars_around_openings_as_formed(leg: str, sides: list[float], across: list[float]) -> None:
    assert pieces(leg, Stage.FULL_WALL, BarRole.OPENING) == pytest.approx(sorted([*sides, *across]))


def test_steel_of_the_brick_ledge() -> None:
    """On the core 140 1/8 in to the buck of W1 and 165.516 in beyond it, 2 in off at each end, lip and core; a stirrup
    a web, floor(142 1/2 / 6) + floor(166 1/2 / 6). A stirrup: 12 - 1 1/2, 8 + 6 - 3, 10 1/2 / cos(atan(1 / 2)), bent
    90 and 116.57 degrees as a tie: a bend saves 2 (r + d) tan(turn / 2) - (r + d / 2) turn, r = 2 d."""
    runs = [142.5 - FOAM - 2 * COVER, 166.5 - FOAM * FLARE - 2 * COVER]
    assert pieces("S1", Stage.FULL_WALL, BarRole.LEDGE) == pytest.approx(sorted([*runs, *runs]), abs=1e-3)
    flare = math.atan(0.5)
    turns = (math.pi / 2, math.pi / 2 + flare)
    saved = sum(2 * 3 * D4 * math.tan(t / 2) - 2.5 * D4 * t for t in turns)
    cut = 10.5 + 11 + 10.5 / math.cos(flare) - saved
    assert pieces("S1", Stage.FULL_WALL, BarRole.STIRRUP) == pytest.approx([cut] * (23 + 27), abs=2e-3)


def test_laps_of_a_ledge_follow_the_rule_chosen_for_laps() -> None:
    """Ledge bars longer than stock lap like the rows of the wall, by whichever rule is chosen."""
    found = {}
    for rule in LapsFrom:
        plan = difficult()
        spec = replace(plan.spec.bars, laps_from=rule, stock_length=at("13-0"), also_stock=())
        made = replace(plan, spec=replace(plan.spec, bars=spec))
        ledge = [b for b in compute(made, CuttingMethod.FIRST_FIT).bars if b.role is BarRole.LEDGE]
        found[rule] = {b.lap for b in ledge}
        assert found[rule] == {None, wall_lap(made.spec, at("8"), 4, upright=False).length}
    assert found[LapsFrom.CODE_TABLE] == {None, at("30")} != found[LapsFrom.EQUATIONS]


@pytest.mark.parametrize(("stage", "size", "per_ft"), [(Stage.FULL_WALL, 4, 0.668), (Stage.FOOTING, 5, 1.043)])
def test_weight_is_length_times_the_weight_of_a_foot(stage: Stage, size: int, per_ft: float) -> None:
    takeoff = difficult_taken_off()
    feet = sum(b.count * b.cut_length.foot for b in takeoff.bars if (b.stage, b.size) == (stage, size))
    assert amount(takeoff, f"bars.weight.#{size}", stage) == pytest.approx(feet * per_ft)
    listed = sum(line.weight_lb for line in bar_list(takeoff, stage) if line.size == size)
    assert listed == pytest.approx(feet * per_ft)


@pytest.mark.parametrize("stage", [Stage.FOOTING, Stage.FROST_WALL, Stage.FULL_WALL])
def test_the_bar_list_holds_every_bar_once_under_one_mark(stage: Stage) -> None:
    takeoff = difficult_taken_off()
    want: Counter[str] = Counter()
    for bar in (b for b in takeoff.bars if b.stage is stage):
        want[bar.mark] += bar.count
    lines = bar_list(takeoff, stage)
    assert {line.mark: line.count for line in lines} == want
    for line in lines:
        longest = max(b.cut_length for b in takeoff.bars if b.mark == line.mark and b.stage is stage)
        assert line.cut_length == longest


@pytest.mark.parametrize("stage", [Stage.FOOTING, Stage.FROST_WALL, Stage.FULL_WALL])
def test_stock_bars_give_every_piece_and_no_plan_can_buy_less(stage: Stage) -> None:
    """Each pattern fits its stock (20 and 30 ft); patterns together give every piece; what is bought is not under the
    sum of the pieces, nor under the plan's own bound, which it reaches."""
    takeoff = difficult_taken_off()
    for cuts in cutting_plan(takeoff, stage):
        given: Counter[Length] = Counter()
        for line in cuts.lines:
            used = sum((n * length for length, n, _ in line.pieces), Length(0))
            assert line.stock in (at("20-0"), at("30-0")) and used + line.left == line.stock
            for length, n, _ in line.pieces:
                given[length] += n * line.count
        wanted: Counter[Length] = Counter()
        for bar in takeoff.bars:
            if (bar.stage, bar.size) == (stage, cuts.size) and bar.section in cuts.sections:
                wanted[as_cut(bar.cut_length)] += bar.count
        assert given == wanted
        bought = sum((line.count * line.stock for line in cuts.lines), Length(0))
        assert bought == cuts.cuts.bought >= sum((n * x for x, n in wanted.items()), Length(0))
        assert cuts.cuts.plan.least is not None and cuts.cuts.plan.least <= bought


# -- odd courses shared by two ----------------------------------------------------------------------
def shared(height: str, datum: str | None = None) -> Plan:
    """A rectangle without frost wall from 86'-0", its odd height made of two courses ripped alike."""
    made = rectangle(frost_top=None, wall_top=at("86-0") + at(height), grade_outside=at("93-0"))
    level = None if datum is None else at(datum)
    return replace(made, sections=tuple(replace(s, rest_way=RestWay.TWO_RIPPED, datum=level) for s in made.sections))


@pytest.mark.parametrize(
    ("height", "datum", "rows"),
    [
        # 4 in over six courses: two of 10 in; bars in the middle of their units, 8 in up, 2 in under the edge
        ("100", None, [8, 24, 40, 56, 72, 88, 98]),
        # 2 in over six courses: two of 9 in, where the middle of a unit has no cover; a row in each all the same
        ("98", None, [8, 24, 40, 56, 72, 84.5, 93.5]),
        # 4 in at the foot (course lines from 86'-4"): two of 10 in, bars 8 in under their tops
        ("100", "86-4", [2, 12, 28, 44, 60, 76, 92]),
    ],
)
def test_rows_follow_two_courses_ripped_alike(height: str, datum: str | None, rows: list[float]) -> None:
    """One row a course as laid; common practice, no source."""
    takeoff = compute(shared(height, datum), CuttingMethod.FIRST_FIT)
    units = {(u.bottom, u.top) for u in takeoff.units if u.leg == "A"}
    found = [b for b in takeoff.bars if b.leg == "A" and b.role is BarRole.HORIZONTAL]
    assert [level - 86 * 12 for level in levels(found)] == rows
    assert len(units) == len(rows)
    for level, (bottom, top) in zip(levels(found), sorted(units), strict=True):
        assert bottom.inch + COVER <= level <= top.inch - COVER


def test_rows_an_inspector_counts_on_a_stepped_leg() -> None:
    """The frost wall of S8 is three courses high, then two (28 in), then one (8 in): nowhere more than three rows lie
    over one another, and one where it is lowest. The garage has a row less at its door."""
    takeoff = difficult_taken_off()
    by_hand = {"S8": (1, "1 to 3 rows"), "S7": (3, "3 rows"), "G2": (3, "3 to 4 rows"), "T1": (2, "2 rows")}
    for leg, (few, text) in by_hand.items():
        said = takeoff.criterion(Stage.FROST_WALL, "wall.horizontal_rows", leg)
        assert said is not None and said.value == few and said.text.startswith(text)
