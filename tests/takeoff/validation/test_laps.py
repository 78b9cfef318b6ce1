"""Laps, weights and bends against printed tables.

IRC 2021, Table R608.5.4(1), lap splice and tension development lengths, read in a public copy of the code as adopted in
Arkansas; typed here again, apart from the program's own file. Bars and hooks: see the data file.
"""

from __future__ import annotations

import pytest

from takeoff import laps
from takeoff.problems import Severity
from takeoff.tables import read_table
from takeoff.units import Length
from tests.takeoff.plans import at
from tests.takeoff.validation.forms_and_bars import case

#: (bar, Grade 40, Grade 60) as printed, by the row's use.
PRINTED = {
    "lap splice in tension": ((4, 20, 30), (5, 25, 38), (6, 30, 45)),
    "development of a straight bar in tension": ((4, 15, 23), (5, 19, 28), (6, 23, 34)),
    "development of a standard hook": ((4, 6, 9), (5, 7, 11), (6, 8, 13)),
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
