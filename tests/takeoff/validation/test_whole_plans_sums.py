"""Sums that can be checked with a calculator: every basis adds up to its amount, sections to the house, stages to the
wall, and criteria say what a foreman would say."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from itertools import product

import pytest

from takeoff.compute import compute
from takeoff.courses import grids
from takeoff.geometry import place
from takeoff.orders import order_lines
from takeoff.plan import Stage, with_sections
from takeoff.results import OrderLine, Quantity, Takeoff
from takeoff.stages import leg_stages
from tests.takeoff import plans
from tests.takeoff.examples import NAMES, amount, taken_off

SAMPLES = ("walkout", "garage", "stepped", "openings", "ledge", "porch_arc", "second_ring", "tee")
HOUSES = (*NAMES, *SAMPLES)


def house(name: str) -> Takeoff:
    return taken_off(name) if name in NAMES else compute(plans.SAMPLES[name]())


# -- reading a basis --------------------------------------------------------------------------------
FEET = re.compile(r"(-?)(\d+)'-(\d+)(?: (\d+)/(\d+))?\"")
INCHES = re.compile(r"(?<![\d'-])(\d+(?:\.\d+)?)(?: (\d+)/(\d+))?\"")


def inches(text: str) -> float:
    """One length as written in a basis, in inches."""
    if match := FEET.fullmatch(text.strip()):
        sign, feet, whole, top, bottom = match.groups()
        value = int(feet) * 12 + int(whole) + (int(top) / int(bottom) if top else 0.0)
        return -value if sign else value
    if match := INCHES.fullmatch(text.strip()):
        whole, top, bottom = match.groups()
        return float(whole) + (int(top) / int(bottom) if top else 0.0)
    raise ValueError(text)


def terms_of(quantity: Quantity) -> list[tuple[str, str, float]]:
    """(leg, how, figure) of each term of a basis written as a sum over legs."""
    body = quantity.basis.split("; in all ")[0].split(" (lengths")[0].split(" (corners")[0]
    out = []
    for part in body.split("; "):
        said, figure = part.rsplit(" = ", 1)
        leg, how = said.split(": ", 1)
        out.append((leg, how, float(figure.split()[0].replace(",", ""))))
    return out


SUMMED = ("footing.concrete", "footing.forms", "footing.key_strip", "footing.capillary_break", "wall.concrete",
          "membrane.area", "membrane.termination", "board.area", "drain.pipe", "drain.stone", "drain.fabric",
          "backfill.volume")  # fmt: skip


@pytest.mark.parametrize("name", HOUSES)
def test_the_terms_of_every_sum_add_up_to_its_amount(name: str) -> None:
    """To the rounding of the figures as written: half a hundredth a term (half a tenth where it is over a hundred)."""
    found = [q for q in house(name).quantities if q.key in SUMMED]
    assert found
    for quantity in found:
        terms = terms_of(quantity)
        slack = sum(0.05 if abs(figure) >= 100 else 0.005 for _, _, figure in terms)
        assert sum(figure for _, _, figure in terms) == pytest.approx(quantity.amount, abs=slack + 1e-9)
        assert {leg for leg, _, _ in terms if not leg.startswith("pad ")} == set(quantity.legs)
        if len(terms) > 1:
            said = quantity.basis.split("; in all ")[1].split()[0].replace(",", "")
            assert float(said) == pytest.approx(quantity.amount, abs=0.051)


def multiplied(how: str) -> tuple[float, float]:
    """'41'-4" x 20" x 10" less keyway 3.5" x 1.5"' multiplied out: the whole, and the key, which runs along the first
    length [in3]. Pads say how many before their size: '2 x 3'-0" x 3'-0" x 12"'."""
    if count := re.match(r"(\d+) x ", how):
        return int(count[1]) * multiplied(how[count.end() :])[0], 0.0
    how, _, key = how.partition(" less keyway ") if " less keyway " in how else how.partition(" + keyway ")
    sizes = [inches(part) for part in how.split(" x ")]
    return math.prod(sizes), sizes[0] * math.prod(inches(part) for part in key.split(" x ")) if key else 0.0


@pytest.mark.parametrize("name", HOUSES)
def test_sums_of_concrete_multiply_out(name: str) -> None:
    """Every term of footing and wall concrete, from its own text: lengths as printed, to the sixteenth."""
    for quantity in house(name).quantities:
        if quantity.key not in ("footing.concrete", "wall.concrete"):
            continue
        for leg, how, figure in terms_of(quantity):
            if how.startswith(("step", "ledge", "T at")):
                continue
            opening = how.startswith("less ")
            value, key = multiplied(how.split(" ", 2)[2] if opening else how)  # 'less W1 3'-0" x ...'
            value += -key if quantity.key == "footing.concrete" else key
            assert (-value if opening else value) / 46656 == pytest.approx(figure, abs=0.02), f"{leg}: {how}"


# -- sections, stages -------------------------------------------------------------------------------
@pytest.mark.parametrize("name", HOUSES)
def test_what_sections_need_adds_up_to_what_the_house_needs(name: str) -> None:
    takeoff = house(name)
    for stage in Stage:
        whole: dict[str, float] = defaultdict(float)
        parts: dict[str, float] = defaultdict(float)
        for q in takeoff.of(stage):
            whole[q.key] += q.amount
        for section in takeoff.plan.sections:
            for q in takeoff.of(stage, (section.key,)):
                assert q.section == section.key and q.stage is stage
                parts[q.key] += q.amount
        assert whole == pytest.approx(parts)


@pytest.mark.parametrize("name", HOUSES)
def test_drain_stone_and_fabric_are_bought_once_for_each_leg(name: str) -> None:
    """A leg's drain belongs to the one stage that buries it, and each part of its face is dressed once."""
    for key in ("drain.pipe", "drain.stone", "drain.fabric", "footing.concrete", "footing.capillary_break", "dowels"):
        legs = [leg for q in house(name).quantities if q.key == key for leg in q.legs]
        assert len(legs) == len(set(legs)), f"{key} twice for a leg"


@pytest.mark.parametrize("name", HOUSES)
def test_every_leg_finds_what_the_job_names_at_each_of_its_stages(name: str) -> None:
    """Footing concrete, bars, dowels and capillary break; blocks, bars, concrete and braces of each wall; membrane,
    board, pipe, stone and fabric where the face is buried; backfill where there is any to put back."""
    takeoff = house(name)
    wanted = {
        Stage.FOOTING: ("footing.concrete", "footing.bars", "dowels", "footing.capillary_break", "footing.forms"),
        Stage.FROST_WALL: ("blocks.straight", "bars.horizontal", "bars.vertical", "wall.concrete", "braces"),
        Stage.FULL_WALL: ("blocks.straight", "bars.horizontal", "bars.vertical", "wall.concrete", "braces"),
        Stage.WATERPROOFING: ("membrane.area",),
        Stage.FROST_BACKFILL: ("backfill.volume",),
    }
    for leg, stages in leg_stages(takeoff.plan).items():
        for stage in stages:
            for kind in wanted.get(stage, ()):
                found = [q for q in takeoff.of(stage) if q.key.startswith(kind) and leg in q.legs]
                assert found, f"{leg} has no {kind} at {stage}"
                assert all(q.basis and q.purpose and str(q.source) and q.unit for q in found)


@pytest.mark.parametrize("name", HOUSES)
def test_orders_are_rounded_up_once_from_the_unrounded_sum(name: str) -> None:
    takeoff = house(name)
    for stage in Stage:
        for line in order_lines(takeoff, stage):
            apart = amount(takeoff, line.key, stage)
            assert line.key.startswith("bars.stock") or line.amount == pytest.approx(apart)
            assert line.with_waste <= line.ordered + 1e-9
            assert line.ordered - line.with_waste < line.ordered / line.count + 1e-9


def stock_feet(rows: Iterable[Quantity | OrderLine], size: int) -> float:
    """Feet of stock bars of one size, whatever their lengths."""
    total = 0.0
    for row in rows:
        unit = row.buy_unit if isinstance(row, OrderLine) else row.buy.unit if row.buy else ""
        if f"{row.key}.".startswith(f"bars.stock.#{size}."):
            total += row.amount * float(unit.removeprefix("bar ").removesuffix(" ft"))
    return total


@pytest.mark.parametrize("name", HOUSES)
def test_stock_bars_ordered_together_are_no_more_than_apart(name: str) -> None:
    takeoff = house(name)
    for stage, size in product(Stage, (4, 5)):
        assert stock_feet(order_lines(takeoff, stage), size) <= stock_feet(takeoff.of(stage), size)


def test_bars_of_two_sections_ordered_together_are_cut_from_one_heap() -> None:
    """Saltlick Lane, #5 of the frost walls: 90 bars of 86 in, two from 20 ft, leave 68 in, enough for the garage's 47
    bars of 54 in less the two that need a bar more; by section it would be 45 and 12."""
    plan = taken_off("saltlick-lane").plan
    takeoff = compute(replace(plan, spec=replace(plan.spec, bars=replace(plan.spec.bars, also_stock=()))))
    [line] = [x for x in order_lines(takeoff, Stage.FROST_WALL) if x.key == "bars.stock.#5"]
    assert line.ordered == 45 + 1
    assert "Main basement and Garage cut together (fewest possible) 46" in line.basis
    [own] = [x for x in order_lines(takeoff, Stage.FROST_WALL, ("garage",)) if x.key == "bars.stock.#5"]
    assert own.ordered == 12


# -- criteria ---------------------------------------------------------------------------------------
def test_a_walkout_is_asked_for_its_falling_ground_too() -> None:
    """Legs G, H and I of Juniper Bend have nothing left to fill at the final backfill; rain runs to them all the same
    (IRC R401.3)."""
    takeoff = taken_off("juniper-bend")
    found = takeoff.criteria_for(Stage.FINAL_BACKFILL, ("G", "H", "I"))
    assert {leg for c in found if c.key == "grade.fall" for leg in c.legs} >= {"G", "H", "I"}
    inner = compute(plans.tee())
    assert not any(c.key == "grade.fall" for c in inner.criteria if "T1" in c.legs)


def test_bars_above_the_cold_joint_are_asked_only_where_a_wall_stands_on_it() -> None:
    takeoff = taken_off("saltlick-lane")
    [found] = [c for c in takeoff.criteria_for(Stage.FROST_WALL) if c.key == "wall.projection"]
    assert found.legs == ("A", "B", "C", "D")


def test_opening_criteria_are_asked_of_legs_with_openings() -> None:
    takeoff = taken_off("kettle-road")
    for key in ("opening.size", "wall.opening_edge"):
        [found] = [c for c in takeoff.criteria_for(Stage.FULL_WALL) if c.key == key]
        assert found.legs == ("South", "East")


def test_criteria_are_said_as_on_site() -> None:
    said = [c.text for name in HOUSES for c in house(name).criteria]
    assert all(said)
    assert not any(re.search(r"\b1 (rows|bars|trucks|openings)\b|0'-0\" of unbalanced", text) for text in said)


# -- the membrane's corners and the fill inside a round porch ----------------------------------------
def test_both_ends_of_a_garage_get_a_strip_up_the_corner_where_it_meets_the_house() -> None:
    takeoff = compute(plans.garage())
    [membrane] = [q for q in takeoff.quantities if q.key == "membrane.area" and q.section == "garage"]
    corners = [leg for leg, how, _ in terms_of(membrane) if how.startswith("corner")]
    assert sorted(corners) == ["G1", "G2", "G3", "G3"]


def test_a_corner_strip_is_as_high_as_the_higher_wall() -> None:
    """Leg D and the deeper end of A: 2'-8" of full wall beside leg A's own, whichever leg is walked first."""
    takeoff = compute(plans.stepped())
    [membrane] = [q for q in takeoff.of(Stage.WATERPROOFING) if q.key == "membrane.area"]
    corners = {leg: how for leg, how, _ in terms_of(membrane) if how.startswith("corner")}
    placed = place(takeoff.plan)
    assert set(corners) <= set(placed.legs) and len(corners) == 4


def test_the_inside_of_a_small_porch_is_filled_with_the_wall_it_hangs_on() -> None:
    """By hand: inside its foam the porch reaches 59 1/4 in from leg E, whose hole is 79 5/8 in wide or more from the
    level of the porch's footing up; outside, ground beyond that hole is left."""
    [placed] = [q for q in taken_off("juniper-bend").quantities if q.key == "backfill.volume" and q.section == "porch"]
    assert "inside" not in placed.basis and placed.amount > 0
    [lift] = [c for c in taken_off("juniper-bend").criteria if c.key == "backfill.lift" and c.legs == ("K",)]
    assert "outside" in lift.text and "inside, by turns" in lift.text


@pytest.mark.parametrize("name", ["kettle-road", "saltlick-lane", "juniper-bend", "stepped", "openings", "l_shape"])
def test_a_section_split_in_two_needs_no_more_and_no_less(name: str) -> None:
    """Corner units, corner bars and corner strips between two sections are counted with one of them. Only what is cut
    from stock may take more, each section cutting from its own: a unit or two, an eighth of the bars."""
    plan = house(name).plan
    main = [leg.name for leg in plan.legs_in("main")]
    first = replace(plan.section("main"), datum=grids(plan)[main[0]].base)
    rest = tuple(s for s in plan.sections if s.key != "main")
    north = replace(first, key="north", name="North")
    moved = dict.fromkeys(main[len(main) // 2 :], "north")
    whole = compute(replace(plan, sections=(first, *rest)))
    split = compute(with_sections(plan, moved, (first, north, *rest)))
    for stage, size in product(Stage, (4, 5)):
        together, apart = (stock_feet(takeoff.of(stage), size) for takeoff in (whole, split))
        assert together <= apart <= together * 1.125 + 40
    for key in sorted({q.key for q in whole.quantities if not q.key.startswith("bars.stock")}):
        slack = 2.0 if key.startswith(("blocks.straight", "membrane.rolls", "board.rolls")) else 1e-6
        part = 0.05 if key.startswith("blocks.straight") else 0.0  # offcuts of one section do not serve the other
        for stage in Stage:
            near = pytest.approx(amount(whole, key, stage), abs=slack, rel=part)
            assert amount(split, key, stage) == near, f"{key} {stage}"
