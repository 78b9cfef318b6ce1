"""Laps, weights and bends against printed tables.

IRC 2021, Table R608.5.4(1), lap splice and tension development lengths, read in a public copy of the code as adopted in
Arkansas; typed here again, apart from the program's own file. Bars and hooks: see the data file.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff import laps
from takeoff.problems import Severity
from takeoff.site import BarPlace, LapsFrom, Specification
from takeoff.tables import read_table
from takeoff.units import Length
from tests.takeoff.plans import at
from tests.takeoff.validation.forms_and_bars import case

#: (bar, Grade 40, Grade 60) as printed, by the row's use.
PRINTED = {
    "lap splice in tension": ((4, 20, 30), (5, 25, 38), (6, 30, 45)),
    "development of a straight bar in tension": ((4, 15, 23), (5, 19, 28), (6, 23, 34)),
    "development of a standard hook": ((4, 6, 9), (5, 7, 11), (6, 8, 13)),
    "development of a standard hook with less cover": ((4, 8, 12), (5, 10, 15), (6, 12, 18)),
}


@pytest.mark.parametrize(("use", "rows"), PRINTED.items(), ids=lambda v: v if isinstance(v, str) else "")
def test_irc_table_r608_5_4_1_as_carried(use: str, rows: tuple[tuple[int, int, int], ...]) -> None:
    carried = [
        (int(r["bar"]), int(r["grade_40"]), int(r["grade_60"]))
        for r in read_table("irc_r608_5_4_1_laps").where(use=use)
    ]
    assert carried == list(rows)


@pytest.mark.parametrize(("bar", "grade_40", "grade_60"), PRINTED["lap splice in tension"], ids=lambda v: str(v))
def test_irc_lap_splice(bar: int, grade_40: int, grade_60: int) -> None:
    for grade, inches in ((40, grade_40), (60, grade_60)):
        lap = laps.lap_splice(bar, grade)
        assert lap.length == Length.inches(inches) and lap.printed
        assert laps.lap_problem(bar, grade, "vertical bars") is None


@pytest.mark.parametrize(("bar", "grade"), [(3, 60), (7, 60), (8, 60), (5, 75), (4, 50)])
def test_what_the_table_does_not_print_is_for_the_engineer(bar: int, grade: int) -> None:
    assert not laps.lap_splice(bar, grade).printed
    told = laps.lap_problem(bar, grade, "vertical bars")
    assert told is not None and told.severity is Severity.ENGINEER and f"#{bar}" in told.sentence


@pytest.mark.parametrize(("bar", "grade"), [(3, 60), (7, 60), (5, 75)])
def test_with_the_strength_known_the_equations_answer_and_say_so(bar: int, grade: int) -> None:
    told = laps.lap_problem(bar, grade, "vertical bars", 3000)
    assert told is not None and told.severity is Severity.NOTE and "equations of the concrete code" in told.sentence


@pytest.mark.parametrize("rule", LapsFrom, ids=lambda rule: rule.value)
def test_the_specification_chooses_the_rule_of_wall_and_footing_laps(rule: LapsFrom) -> None:
    """#5, Grade 60, 3,000 psi: 38 in printed; upright at the middle of an 8 in core 22 in, level (a top bar) 28 in, in
    a footing by the simple equation 36 in: McCormac and Brown, 9th ed., chapter 7, computed."""
    usual = Specification()
    spec = replace(usual, bars=replace(usual.bars, laps_from=rule))
    found = (
        laps.wall_lap(spec, at("8"), 5),
        laps.wall_lap(spec, at("8"), 5, upright=False),
        laps.footing_lap(spec, 5),
    )
    equations = tuple(at(inches) for inches in ("22", "28", "36"))
    assert tuple(lap.equation for lap in found) == equations and {lap.table for lap in found} == {at("38")}
    assert tuple(lap.length for lap in found) == (equations if rule is LapsFrom.EQUATIONS else (at("38"),) * 3)


def test_bars_near_the_inside_face_are_held_less() -> None:
    """Cover of 1-1/4 in holds a #7 less than the middle of an 8 in core does; #4 has enough of either."""
    usual = Specification()
    inside = replace(usual, bars=replace(usual.bars, vertical_place=BarPlace.INSIDE_FACE))
    assert laps.wall_lap(inside, at("8"), 7).length > laps.wall_lap(usual, at("8"), 7).length
    assert laps.wall_lap(inside, at("8"), 4).equation == laps.wall_lap(usual, at("8"), 4).equation


def test_t35_forty_diameters_is_too_short_for_grade_60() -> None:
    given, result = case("T35")
    for i, bar in enumerate(given.bars):
        assert laps.lap_splice(bar, 60).length == at(result.grade_60[i])
        assert laps.lap_splice(bar, 40).length == at(result.grade_40[i])
    short = laps.lap_splice(4, 60).length.inch - 40 * laps.bar_size(4).diameter
    assert short == at(result.forty_diameters_short).inch


def test_bar_sizes_as_printed() -> None:
    given, result = case("bars")
    for bar, diameter, weight in zip(given.bars, result.diameter, result.weight, strict=True):
        assert (laps.bar_size(bar).diameter, laps.bar_size(bar).weight) == (diameter, weight)
    with pytest.raises(KeyError):
        laps.bar_size(9)


@pytest.mark.parametrize("bar", [3, 4, 5, 6, 7, 8])
def test_weight_is_steel_at_490_pounds_a_cubic_foot(bar: int) -> None:
    """Nominal area x 490 lb/ft3, the usual density of steel; the tables round areas to a hundredth."""
    size = laps.bar_size(bar)
    assert size.weight == pytest.approx(3.14159 / 4 * size.diameter**2 / 144 * 490, rel=0.005)


def test_bends_in_bar_diameters() -> None:
    given, result = case("bends")
    for angle, six, four in zip(given.angles, result.inside_6, result.inside_4, strict=True):
        diameter = laps.bar_size(4).diameter
        assert laps.bend_deduction(4, angle).inch / diameter == pytest.approx(six, abs=5e-4)
        assert laps.bend_deduction(4, angle, laps.TIE_BEND).inch / diameter == pytest.approx(four, abs=5e-4)


def test_inside_diameter_of_main_bars_as_in_the_handbook() -> None:
    given, result = case("hooks")
    for bar, inside in zip(given.bars, result.inside_diameter, strict=True):
        assert laps.MAIN_BEND * laps.bar_size(bar).diameter == inside
