"""The fabricator's list and the cutting plan: every bar once, shapes that add up to their cut lengths, cuts that give
what is listed and are what is ordered."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff import laps
from takeoff.bar_list import BarLine, bar_list, cutting_plan
from takeoff.bar_marks import marked
from takeoff.bending import ShapeKind, as_cut, cut_length, kind_of
from takeoff.compute import compute
from takeoff.drawings.bar_shapes import bar_shape
from takeoff.drawings.scene import Dimension, Path
from takeoff.drawings.svg import render
from takeoff.orders import order_lines
from takeoff.plan import Plan, Stage
from takeoff.results import Bar, BarRole, BarShape, Takeoff
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.plans import at

POURED = (Stage.FOOTING, Stage.FROST_WALL, Stage.FULL_WALL)
HOUSES = ("walkout", "stepped", "garage", "tee", "openings", "porch_arc")


def stocked(made: Plan, *also: str) -> Plan:
    bars = replace(made.spec.bars, also_stock=tuple(at(length) for length in also))
    return replace(made, spec=replace(made.spec, bars=bars))


@pytest.fixture(scope="module", params=HOUSES)
def house(request: pytest.FixtureRequest) -> Takeoff:
    made = plans.SAMPLES[request.param]()
    return compute(stocked(made, "40-0") if request.param == "garage" else made)


# -- shapes ----------------------------------------------------------------------------------------
LEGS = st.lists(st.integers(12, 120), min_size=2, max_size=5)


@settings(max_examples=60)
@given(LEGS, st.data(), st.integers(3, 8), st.sampled_from((4, 6)))
def test_a_cut_length_is_that_of_the_line_in_the_middle_of_the_bar(
    legs: list[int], data: st.DataObject, size: int, inside: int
) -> None:
    """The middle line walked in small straight steps: legs out to out end half a bar outside it at each bend."""
    turns = [data.draw(st.sampled_from((90.0, -90.0, 45.0, -45.0, 60.0))) for _ in legs[1:]]
    diameter = laps.bar_size(size).diameter
    ends = [0.0, *(diameter / 2 * math.tan(math.radians(abs(turn)) / 2) for turn in turns), 0.0]
    middle = [leg - a - b for leg, (a, b) in zip(legs, pairwise(ends), strict=True)]
    radius, walked = (inside + 1) / 2 * diameter, 0.0
    backs = [0.0, *(radius * math.tan(math.radians(abs(turn)) / 2) for turn in turns), 0.0]
    for leg, (a, b) in zip(middle, pairwise(backs), strict=True):
        walked += leg - a - b
    for turn in turns:
        steps = 400
        chord = 2 * radius * math.sin(math.radians(abs(turn)) / steps / 2)
        walked += steps * chord
    shape = BarShape(tuple(Length.inches(leg) for leg in legs), tuple(turns), inside)
    assert cut_length(size, shape).inch == pytest.approx(walked, abs=1e-3)


@pytest.mark.parametrize(
    ("turns", "kind"),
    [
        ((), ShapeKind.STRAIGHT), ((45.0,), ShapeKind.L), ((90.0, 90.0), ShapeKind.U), ((90.0, -90.0), ShapeKind.OTHER),
        ((90.0, 90.0, 90.0, 90.0), ShapeKind.CLOSED_TIE), ((-90.0, -90.0, -90.0, -90.0), ShapeKind.CLOSED_TIE),
        ((90.0, 90.0, 90.0), ShapeKind.OTHER),
    ],
)  # fmt: skip
def test_what_a_shape_is_called(turns: tuple[float, ...], kind: ShapeKind) -> None:
    assert kind_of(BarShape((at("10"),) * (len(turns) + 1), turns)) is kind


@pytest.mark.parametrize(
    ("length", "cut"), [("10", "10"), ("10 1/64", "10"), ("10 1/16", "10 1/4"), ("10 1/4", "10 1/4"), ("0 1/2", "0.5")]
)
def test_bars_are_cut_to_the_next_quarter_inch(length: str, cut: str) -> None:
    assert as_cut(at(length)) == at(cut)


def test_every_bent_bar_says_its_shape(house: Takeoff) -> None:
    for bar in house.bars:
        if bar.shape is not None:
            assert cut_length(bar.size, bar.shape) == bar.cut_length
            assert len(bar.shape.turns_deg) == len(bar.shape.legs) - 1 > 0
        if bar.role in (BarRole.DOWEL, BarRole.STIRRUP):
            assert bar.shape is not None
        if "bend" in bar.basis:
            assert bar.shape is not None, bar.basis


# -- marks -----------------------------------------------------------------------------------------
def bar(role: BarRole, cut: str, shape: BarShape | None = None, stage: Stage = Stage.FOOTING) -> Bar:
    return Bar("", 5, role, stage, "main", "A", 1, at(cut), None, "", (), shape)


def test_marks_run_by_size_and_role_and_a_bar_turned_over_is_the_same_bar() -> None:
    there = BarShape((at("30"), at("17"), at("60")), (90.0, -90.0))
    back = BarShape((at("60"), at("17"), at("30")), (90.0, -90.0))
    bars = [
        bar(BarRole.FOOTING, "104", there), bar(BarRole.FOOTING, "104", back), bar(BarRole.FOOTING, "104"),
        bar(BarRole.VERTICAL, "94", stage=Stage.FULL_WALL), bar(BarRole.VERTICAL, "93 63/64", stage=Stage.FROST_WALL),
    ]  # fmt: skip
    assert [b.mark for b in marked(bars)] == ["5F1", "5F1", "5F2", "5V1", "5V1"]


def test_marks_of_the_footing_do_not_follow_the_walls() -> None:
    low, high = (compute(plans.rectangle(wall_top=at(top))) for top in ("98-0", "99-4"))
    marks = [{b.leg: b.mark for b in house.bars if b.stage is Stage.FOOTING} for house in (low, high)]
    assert marks[0] == marks[1]


# -- the list --------------------------------------------------------------------------------------
def test_every_bar_is_listed_once(house: Takeoff) -> None:
    listed: Counter[str] = Counter()
    for stage in POURED:
        for line in bar_list(house, stage):
            listed[f"{stage}{line.size}"] += line.count
            assert line.count == sum(count for _, count in line.legs)
            total = sum(length.nm for _, length in line.dimensions) - line.deduction.nm
            assert total == line.cut_length.nm
            if line.inside_bend:
                assert line.inside_bend.inch in (
                    pytest.approx(k * laps.bar_size(line.size).diameter, abs=1e-6) for k in (4, 6)
                )
    scheduled: Counter[str] = Counter()
    for b in house.bars:
        scheduled[f"{b.stage}{b.size}"] += b.count
    assert listed == scheduled


def test_the_list_weighs_what_the_quantities_weigh(house: Takeoff) -> None:
    for stage in POURED:
        said: defaultdict[int, float] = defaultdict(float)
        for q in house.of(stage):
            if q.key.startswith("bars.weight.#"):
                said[int(q.key.removeprefix("bars.weight.#"))] += q.amount
        listed: defaultdict[int, float] = defaultdict(float)
        for line in bar_list(house, stage):
            listed[line.size] += line.weight_lb
        assert listed == pytest.approx(said)


def test_a_list_of_a_section_is_part_of_the_whole() -> None:
    house = compute(plans.garage())
    own = bar_list(house, Stage.FOOTING, ("garage",))
    whole = {line.mark: line for line in bar_list(house, Stage.FOOTING)}
    assert own and all(line.count <= whole[line.mark].count for line in own)
    assert {leg for line in own for leg, _ in line.legs} == {"G1", "G2", "G3"}


def test_a_dowel_as_a_fabricator_reads_it() -> None:
    """10 in footing less 3 in cover and 38 in of lap stand on a foot of 10 in: 45 + 10 - 2.502 x 5/8 = 53.436 in, cut
    53 1/2 (by hand)."""
    (line,) = [x for x in bar_list(compute(plans.rectangle()), Stage.FOOTING) if x.roles == (BarRole.DOWEL,)]
    assert (line.mark, line.kind, line.legs_said()) == ("5D1", ShapeKind.L, "A 3'-9\", B 0'-10\"")
    assert line.bend_said() == 'inside 3 3/4", deduct 1 1/2"' and line.cut_said() == "4'-5 1/2\""
    assert line.where_said() == "A 26, B 18, C 26, D 18"


# -- cutting ---------------------------------------------------------------------------------------
@pytest.mark.parametrize("sections", [None, ("main",)])
def test_the_cuts_give_what_is_listed_and_are_what_is_ordered(house: Takeoff, sections: tuple[str, ...] | None) -> None:
    for stage in POURED:
        wanted: Counter[tuple[int, Length]] = Counter()
        for b in house.bars:
            if b.stage is stage and (sections is None or b.section in sections):
                wanted[b.size, as_cut(b.cut_length)] += b.count
        given_: Counter[tuple[int, Length]] = Counter()
        stock: Counter[tuple[int, str]] = Counter()
        for size in cutting_plan(house, stage, sections):
            for line in size.lines:
                stock[size.size, f"bar {line.stock.foot:g} ft"] += line.count
                used = sum(length.nm * n for length, n, _ in line.pieces)
                assert used + line.left.nm == line.stock.nm and line.left.nm >= 0
                assert line.said() and all(marks for _, _, marks in line.pieces)
                for length, n, _ in line.pieces:
                    given_[size.size, length] += n * line.count
        assert given_ == wanted
        ordered = {
            (int(x.key.split("#")[1].split(".")[0]), x.buy_unit): x.count
            for x in order_lines(house, stage, sections)
            if x.key.startswith("bars.stock")
        }
        assert ordered == stock


def test_several_stock_lengths_are_ordered_by_length() -> None:
    """88 bars of 106 in: two out of each of 44 of 20 ft. With 27 ft on hand, which gives three: 28 of these for 84 and
    two of 20 ft for four, 796 ft; 29 and one would be 803 ft (by hand)."""
    low = plans.rectangle(frost_top=None, wall_top=at("95-0"), grade_outside=at("94-0"))
    keys = [
        {q.key: q.amount for q in compute(made).of(Stage.FULL_WALL) if q.key.startswith("bars.stock.#5")}
        for made in (low, stocked(low, "27-0"))
    ]
    assert keys == [{"bars.stock.#5": 44.0}, {"bars.stock.#5.20ft": 2.0, "bars.stock.#5.27ft": 28.0}]


# -- drawings --------------------------------------------------------------------------------------
def test_a_shape_is_drawn_with_all_its_legs() -> None:
    house = compute(plans.stepped())
    bent: list[BarLine] = [line for line in bar_list(house, Stage.FOOTING) if line.shape]
    assert {line.kind for line in bent} == {ShapeKind.L, ShapeKind.OTHER}
    for line in bent:
        scene = bar_shape(line)
        said = [shape.text for shape in scene.shapes if isinstance(shape, Dimension)]
        assert said == line.legs_said().split(", bent")[0].split(", ")
        assert sum(isinstance(shape, Path) for shape in scene.shapes) == 1
        assert line.mark in scene.title and line.cut_said() in scene.description
        assert render(scene, 240).startswith("<svg")
