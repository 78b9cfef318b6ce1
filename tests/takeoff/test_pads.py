"""Pad footings: concrete and boards in the footing's order, bars each way, what is told."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.ops import unary_union

from takeoff import footing, pads
from takeoff.compute import compute
from takeoff.orders import order_lines
from takeoff.plan import Pad, Plan, Stage
from takeoff.problems import Severity
from takeoff.results import BarRole
from takeoff.site import BuildingSpec, FootingPlacement
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import placed

POST = Pad("P1", "main", Length.inches(36), Length.inches(36), Length.inches(12), Length.feet(89), count=3)
HEARTH = replace(POST, name="P2", length=Length.inches(60), width=Length.inches(40), count=1, bars_each_way=4)


def with_pads(*given: Pad, plan: Plan | None = None, **footing_changes: object) -> Plan:
    base = plan or plans.rectangle()
    house = BuildingSpec(stories=1, width=Length.feet(28), snow_psf=20)
    spec = replace(base.spec, building=house, footing=replace(base.spec.footing, **footing_changes))  # type: ignore[arg-type]
    return replace(base, pads=given, spec=spec)


def amount(plan: Plan, key: str, section: str = "main") -> float:
    (found,) = [q for q in footing.footings(plan, placed(plan)).quantities if q.key == key and q.section == section]
    return found.amount


def test_concrete_of_pads_is_ordered_with_the_footing_once() -> None:
    plan, without = with_pads(POST, HEARTH), with_pads()
    more = amount(plan, "footing.concrete") - amount(without, "footing.concrete")
    assert more == pytest.approx((3 * 36 * 36 * 12 + 60 * 40 * 12) / 46656)
    (concrete,) = [q for q in footing.footings(plan, placed(plan)).quantities if q.key == "footing.concrete"]
    assert 'pad P1: 3 x 3\'-0" x 3\'-0" x 12"' in concrete.basis
    assert concrete.legs == ("A", "B", "C", "D")


def test_boards_go_round_pads_unless_they_are_placed_against_earth() -> None:
    more = amount(with_pads(POST), "footing.forms") - amount(with_pads(), "footing.forms")
    assert more == pytest.approx(3 * 12)
    trench = with_pads(POST, placement=FootingPlacement.TRENCH)
    assert not [q for q in footing.footings(trench, placed(trench)).quantities if q.key == "footing.forms"]


def test_pads_of_a_section_without_walls_have_an_order_but_no_numbers_for_other_legs() -> None:
    deck = replace(plans.PORCH, key="deck", name="Deck posts")
    base = plans.rectangle()
    plan = with_pads(replace(POST, section="deck"), plan=replace(base, sections=(*base.sections, deck)))
    assert amount(plan, "footing.concrete", "deck") == pytest.approx(1.0)
    volumes = [c for c in footing.footings(plan, placed(plan)).criteria if c.key == "footing.concrete_volume"]
    assert [c.legs for c in volumes] == [("A", "B", "C", "D")]


def test_area_on_the_ground_says_what_a_pad_may_carry() -> None:
    """9 ft2 at 2,000 psf is 18,000 lb; 12 in of concrete at 150 pcf weigh 1,350 lb of it."""
    assert pads.ground_load_lb(9.0, 12.0, 2000.0, 150.0) == pytest.approx(16_650)
    (area,) = pads.part(with_pads(POST)).quantities
    assert area.amount == pytest.approx(27.0) and area.buy is None and "16,650 lb" in area.basis
    assert area.stage is Stage.FOOTING and area.legs == ()


def test_bars_lie_both_ways_inside_the_cover() -> None:
    square, long_way, short_way = pads.pad_bars(with_pads(POST, HEARTH))
    assert (square.count, square.cut_length) == (3 * 3 * 2, Length.inches(30))
    assert (long_way.count, long_way.cut_length) == (4, Length.inches(54))
    assert (short_way.count, short_way.cut_length) == (4, Length.inches(34))
    assert {b.role for b in (square, long_way, short_way)} == {BarRole.PAD}
    assert square.lap is None and square.shape is None and square.stage is Stage.FOOTING
    assert len({b.mark for b in (square, long_way, short_way)}) == 3
    again = pads.pad_bars(with_pads(POST, replace(POST, name="P3", count=1)))
    assert [b.mark for b in again] == ["PD1", "PD1"]


def test_posts_are_no_longer_missing_once_there_are_pads() -> None:
    house = plans.openings()
    assert any("posts under them" in p.sentence for p in footing.footings(house, placed(house)).problems)
    plan = with_pads(POST, plan=house)
    assert not any("posts under them" in p.sentence for p in footing.footings(plan, placed(plan)).problems)


@pytest.mark.parametrize(
    ("pad", "field", "words"),
    [
        (replace(POST, thickness=Length.inches(5)), "thickness", "IRC R403.1.1"),
        (replace(POST, length=Length.feet(8), width=Length.feet(8)), "bars_each_way", "18"),
        (replace(POST, bars_each_way=1), "bars_each_way", "one bar each way"),
        (replace(POST, thickness=Length.feet(14)), "thickness", "weighs more"),
    ],
)
def test_pads_that_look_wrong_are_told_beside_their_field(pad: Pad, field: str, words: str) -> None:
    told = [p for p in pads.problems(with_pads(pad)) if p.severity is Severity.WARNING]
    assert [p.path for p in told] == [f"pads.0.{field}"] and words in told[0].sentence


def test_the_engineer_is_named_for_their_loads() -> None:
    (note,) = pads.problems(with_pads(POST, HEARTH))
    assert note.severity is Severity.NOTE and "P1, P2" in note.sentence and "engineer" in note.sentence
    assert pads.problems(with_pads()) == ()


@given(st.lists(st.tuples(st.integers(12, 96), st.integers(12, 96), st.integers(1, 4)), min_size=1, max_size=5))
@settings(max_examples=25, deadline=None)
def test_area_and_boards_are_those_of_boxes(sizes: list[tuple[int, int, int]]) -> None:
    """Against shapely: the pads set out apart on paper, their area and outline measured there."""
    given_pads = tuple(
        replace(POST, name=f"P{k}", length=Length.inches(long), width=Length.inches(wide), count=count)
        for k, (long, wide, count) in enumerate(sizes)
    )
    plan = with_pads(*given_pads)
    spots = [
        box(200 * k, 200 * j, 200 * k + long, 200 * j + wide)
        for k, (long, wide, count) in enumerate(sizes)
        for j in range(count)
    ]
    shape = unary_union(spots)
    assert sum(q.amount for q in pads.part(plan).quantities) * 144 == pytest.approx(shape.area)
    more = amount(plan, "footing.forms") - amount(with_pads(), "footing.forms")
    assert more * 12 == pytest.approx(shape.length)


def test_bars_of_pads_are_bought_and_weighed_with_the_footings() -> None:
    """18 bars of 30 in are 45 ft of #4."""
    takeoff = compute(with_pads(POST))
    (laid,) = [bar for bar in takeoff.bars if bar.role is BarRole.PAD]
    assert (laid.count, laid.section, laid.stage) == (18, "main", Stage.FOOTING)
    (feet,) = [q for q in takeoff.of(Stage.FOOTING) if q.key == "bars.pad.#4"]
    assert feet.amount == pytest.approx(45.0)
    (stock,) = [q for q in takeoff.of(Stage.FOOTING) if q.key == "bars.stock.#4"]
    assert stock.amount == 3  # eight of 30 in out of 20 ft
    assert any(line.key == "bars.stock.#4" for line in order_lines(takeoff, Stage.FOOTING))
