"""Order lines: one rounding per order, waste and extra once, sections together or apart."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takeoff import concrete, earth, envelope, footing, orders
from takeoff.plan import Plan, Stage
from takeoff.results import Buy, Quantity, Takeoff, Unit
from takeoff.sources import GEOMETRY
from takeoff.tally import number
from tests.takeoff import plans
from tests.takeoff.ground import placed


def takeoff_of(quantities: Iterable[Quantity], plan: Plan | None = None) -> Takeoff:
    return Takeoff(plan or plans.rectangle(), tuple(quantities), (), (), (), (), (), ())


def quantity(amount: float, section: str = "main", buy: Buy | None = None, key: str = "wall.concrete") -> Quantity:
    buy = buy or Buy("quarter yard", 0.25, 0.05, 0.25)
    return Quantity(key, "Wall concrete", amount, Unit.YD3, Stage.FULL_WALL, section, "core", "", GEOMETRY, buy)


def whole(plan: Plan) -> Takeoff:
    placement = placed(plan)
    parts = (part(plan, placement) for part in (footing.footings, concrete.walls, envelope.envelope, earth.backfill))
    return takeoff_of((q for part in parts for q in part.quantities), plan)


def test_the_sum_says_rounding_only_where_something_was_rounded() -> None:
    counted = replace(quantity(4.0, buy=Buy("brace", 1.0)), unit=Unit.EACH)
    whole_ones, cut = (
        orders.order_lines(takeoff_of([replace(counted, amount=amount, key="braces")]), Stage.FULL_WALL)
        for amount in (4.0, 3.2)
    )
    assert [line.basis for line in whole_ones] == ["Main basement 4"]
    assert [line.basis for line in cut] == ["Main basement 3.20; rounded up to 4"]
    spare = replace(counted, key="braces", buy=Buy("unit", 1.0, 0.0, 1.0))
    assert [x.basis for x in orders.order_lines(takeoff_of([spare]), Stage.FULL_WALL)] == [
        "Main basement 4; + 1 once = 5"
    ]


def test_two_sections_are_rounded_together_and_the_pump_filled_once() -> None:
    together = orders.order_lines(takeoff_of([quantity(4.0), quantity(5.0, "garage")]), Stage.FULL_WALL)
    (line,) = together
    assert line.with_waste == pytest.approx(9 * 1.05 + 0.25)
    assert line.ordered == 9.75 and line.count == 39
    apart = [
        orders.order_lines(takeoff_of([quantity(4.0), quantity(5.0, "garage")]), Stage.FULL_WALL, (section,))[0].ordered
        for section in ("main", "garage")
    ]
    assert apart == [4.5, 5.5]


def test_a_concrete_line_tells_its_sum_and_its_trucks() -> None:
    (line,) = orders.order_lines(takeoff_of([quantity(8.5)]), Stage.FULL_WALL)
    assert line.ordered == 9.25
    assert "Main basement 8.50 yd3; + 5.0% waste = 8.93; + 0.25 once = 9.18" in line.basis
    assert "2 trucks: 7.25 + 2 yd3" in line.basis and "under the minimum of 2 yd3" in line.basis


def test_exact_multiples_are_not_rounded_up() -> None:
    """0.1 + 0.2 is more than 0.3 in floats; an order must not grow by a quarter yard for it."""
    buy = Buy("quarter yard", 0.1)
    (line,) = orders.order_lines(takeoff_of([quantity(0.1, buy=buy), quantity(0.2, "garage", buy)]), Stage.FULL_WALL)
    assert line.count == 3


def test_what_is_not_bought_or_of_another_stage_is_left_out() -> None:
    unbought = Quantity("x", "X", 3.0, Unit.FT, Stage.FULL_WALL, "main", "", "", GEOMETRY)
    assert orders.order_lines(takeoff_of([unbought]), Stage.FULL_WALL) == ()
    assert orders.order_lines(takeoff_of([quantity(3.0)]), Stage.FOOTING) == ()


def test_waste_that_differs_is_weighted() -> None:
    each = [quantity(10.0, buy=Buy("roll", 1.0, 0.10)), quantity(30.0, "garage", Buy("roll", 1.0, 0.02))]
    (line,) = orders.order_lines(takeoff_of(each), Stage.FULL_WALL)
    assert line.with_waste == pytest.approx(11.0 + 30.6)


def test_different_buying_units_are_different_lines() -> None:
    each = [quantity(1.0, buy=Buy("bundle of 12", 12.0)), quantity(1.0, buy=Buy("bundle of 8", 8.0))]
    lines = orders.order_lines(takeoff_of(each), Stage.FULL_WALL)
    assert {line.buy_unit for line in lines} == {"bundle of 12", "bundle of 8"}


@given(st.lists(st.floats(0.01, 50), min_size=1, max_size=6), st.floats(0, 0.2), st.floats(0, 1))
def test_what_is_ordered_covers_and_is_less_than_one_step_over(
    amounts: list[float], waste: float, extra: float
) -> None:
    buy = Buy("quarter yard", 0.25, waste, extra)
    (line,) = orders.order_lines(takeoff_of([quantity(a, buy=buy) for a in amounts]), Stage.FULL_WALL)
    need = math.fsum(amounts) * (1 + waste) + extra
    assert need - 1e-6 <= line.ordered < need + 0.25 + 1e-6


@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
def test_every_sample_gives_orders_for_its_stages(name: str) -> None:
    takeoff = whole(plans.SAMPLES[name]())
    keys = [(q.key, q.section, q.stage) for q in takeoff.quantities]
    assert len(set(keys)) == len(keys), "one quantity per key, section and stage"
    assert all(q.amount > 0 and q.basis and q.purpose and q.legs for q in takeoff.quantities)
    assert all(number(q.amount) in q.basis for q in takeoff.quantities), "the sum ends in the amount"
    for stage in Stage:
        for line in orders.order_lines(takeoff, stage):
            assert line.count >= 1 and line.ordered >= line.with_waste - 1e-6
    assert {q.stage for q in takeoff.quantities} == {
        s for leg in takeoff.plan.legs() for s in takeoff.plan.stages_of(leg)
    }
