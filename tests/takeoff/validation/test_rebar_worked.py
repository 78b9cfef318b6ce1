"""Dowels, wall bars and braces against worked examples; the data file says how each result came about."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff import bracing, geometry, laps, rebar
from takeoff.plan import Plan
from takeoff.results import BarRole
from takeoff.site import BraceSpec
from takeoff.units import Length
from takeoff.vertical_bars import dowel_length
from tests.takeoff.plans import at, rectangle
from tests.takeoff.validation.forms_and_bars import case


def t33_house() -> Plan:
    given, _ = case("T33")
    made = rectangle(frost_top=None, wall_top=at("86-0") + at(given.wall))
    return replace(made, spec=replace(made.spec, bars=replace(made.spec.bars, dowel_foot=at(given.foot))))


def test_t33_cut_length_of_a_dowel() -> None:
    given, result = case("T33")
    lap = laps.lap_splice(given.bar, 60).length
    assert lap == at(given.lap)
    cut = dowel_length(at(given.footing), at(given.cover), lap, at(given.foot), given.bar)
    assert cut.inch == pytest.approx(result.cut_in, abs=5e-4)
    four, six = result.deductions_in
    assert laps.bend_deduction(given.bar, 90, laps.TIE_BEND).inch == pytest.approx(four, abs=5e-4)
    assert laps.bend_deduction(given.bar).inch == pytest.approx(six, abs=5e-4)


def test_t33_as_scheduled() -> None:
    given, result = case("T33")
    made = t33_house()
    bars = rebar.schedule(made, geometry.place(made)).bars
    dowels = {b.cut_length for b in bars if b.role is BarRole.DOWEL}
    verticals = {b.cut_length for b in bars if b.role is BarRole.VERTICAL}
    assert [d.inch for d in dowels] == [pytest.approx(result.cut_in, abs=5e-4)]
    assert verticals == {at(result.wall_bar)}
    pair = (*dowels, *verticals)
    weight = sum(x.foot for x in pair) * laps.bar_size(given.bar).weight
    assert weight == pytest.approx(result.weight_lb, abs=5e-3)
    assert at(given.stock) // at(result.wall_bar) == result.per_stock


def test_t36_braces_and_planks_of_one_wall() -> None:
    given, result = case("T36")
    wall, spec = Length.feet(given.inside_ft), BraceSpec()
    assert bracing.field_braces(wall, spec) == result.field
    assert bracing.field_braces(wall, spec) + given.openings * spec.per_opening == result.braces
    assert bracing.plank_count(wall) == result.planks
