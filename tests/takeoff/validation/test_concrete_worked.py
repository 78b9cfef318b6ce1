"""Wall concrete and ordering against worked examples; see the data file for how each came about.

T29 is printed in an open construction textbook. T24, T25 and T11 are derived step by step.
"""

from __future__ import annotations

import pytest

from takeoff import concrete, pours
from takeoff.readymix import balance_order, buying_units, ordered
from takeoff.results import Buy
from tests.takeoff.validation.worked_cases import case


def test_t29_textbook_frost_wall() -> None:
    given, result = case("T29")
    got = concrete.wall_volume_yd3(given.length_ft * 12, given.core_in, given.height_ft * 12)
    assert round(got, 1) == result.yd3


def test_t24_wall_order_from_net_area_to_last_load() -> None:
    given, result = case("T24")
    net_in2 = given.net_ft2 * 144
    assert concrete.wall_volume_yd3(net_in2, given.core_in, 1.0) * 27 == pytest.approx(result.gross_ft3, abs=1e-3)
    core = concrete.wall_volume_yd3(net_in2, given.core_in, 1.0, web_displacement=given.webs)
    assert core * 27 == pytest.approx(result.less_webs_ft3, abs=1e-3)
    whole = core + given.ledge_ft3 / 27
    assert whole == pytest.approx(result.yd3, abs=1e-3)
    buy = Buy("quarter yard", given.step_yd3, given.waste, given.pump_yd3)
    assert whole * (1 + buy.waste) + buy.extra == pytest.approx(result.with_waste_yd3, abs=1e-3)
    assert ordered(whole, buy) == result.order_yd3
    assert buying_units(whole, buy) == result.order_yd3 * 4
    split = concrete.trucks(result.order_yd3, given.truck_yd3, 2.0)
    assert len(split.loads) == result.trucks
    assert split.loads[-1] == result.last_load_yd3
    assert split.text == "4 trucks: 9 + 9 + 9 + 3.75 yd3"


def test_t25_balance_called_from_the_deck() -> None:
    given, result = case("T25")
    left = pours.remaining_yd3(given.open_ft * 12, given.height_in, given.core_in, given.ledge_ft3 * 1728)
    assert left * 27 == pytest.approx(result.to_fill_ft3)
    assert left == pytest.approx(result.to_fill_yd3, abs=5e-4)
    assert left * (1 + given.margin) + given.pump_yd3 == pytest.approx(result.needed_yd3, abs=5e-4)
    rule = (given.margin, given.pump_yd3, given.step_yd3, given.least_yd3)
    assert balance_order(left, given.on_truck_yd3, *rule) == result.order_yd3
    assert balance_order(left, 3.0, *rule) == given.least_yd3  # 0.85 yd3 short: the plant sends its least load
    assert balance_order(left, 4.0, *rule) == 0.0
    assert balance_order(0.0, 0.0, *rule) == 0.0


def test_t11_throat_of_a_t_wall() -> None:
    given, result = case("T11")
    got = concrete.throat_volume_yd3(given.core_in, given.foam_in, given.height_in)
    assert got * 27 == pytest.approx(result.ft3, abs=5e-4)
    assert got == pytest.approx(result.yd3, abs=5e-4)
