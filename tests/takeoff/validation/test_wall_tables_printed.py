"""Every printed cell of IRC 2021 Tables R404.1.2(2), (3), (4), (8), (9) and R608.8(3), (4), (5), (9).

The cells stand in ``wall_tables_printed.txt`` as read in the Pennsylvania copy of the code; the program itself carries
those of the Arkansas copy.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.lintel_tables import BEARING_TABLES, NONBEARING_TABLE, SNOW, lintel, printed_span
from takeoff.site import BarPlace
from takeoff.strength.prescriptive import INSIDE_COVER, LOADS, alternate_spacing, wanted
from takeoff.tables import read_table
from takeoff.units import Length

Printed = dict[tuple[str, ...], list[str]]


def _read() -> dict[str, Printed]:
    out: dict[str, Printed] = {}
    for line in (Path(__file__).parent / "wall_tables_printed.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            table = out.setdefault(line.strip("[]"), {})
        elif not line.startswith("#"):
            key, cells = line.split(": ")
            table[tuple(key.split(", "))] = cells.split(", ")
    return out


PRINTED = _read()

CENTRE = [
    (table, thickness, key, soil, cell)
    for thickness, table in ((6, "R404.1.2(2)"), (8, "R404.1.2(3)"), (10, "R404.1.2(4)"))
    for key, cells in PRINTED[table].items()
    for soil, cell in zip(LOADS, cells, strict=True)
]
INSIDE = [
    ("R404.1.2(8)", thickness, key, soil, cell)
    for key, cells in PRINTED["R404.1.2(8)"].items()
    for (soil, thickness), cell in zip(((s, t) for s in LOADS for t in (6, 8, 10, 12)), cells, strict=True)
]


def test_how_many_cells_are_printed() -> None:
    assert len(CENTRE) == 3 * 3 * 18 and len(INSIDE) == 27 * 12


@pytest.mark.parametrize("place", BarPlace, ids=lambda p: p.value)
def test_upright_bars(place: BarPlace) -> None:
    """Each cell, asked at its own height and fill, in concrete of 2,500 psi that no note lets off."""
    for table, thickness, (height, fill), soil, cell in CENTRE if place is BarPlace.CENTRE else INSIDE:
        got = wanted(Length.inches(thickness), Length.feet(height), Length.feet(fill), soil, place, 2500, INSIDE_COVER)
        where = f"{table} {thickness} in, {height} ft, {fill} ft, {soil} psf"
        assert got.table == table, where
        words = cell.rstrip("lmj")
        if words == "DR":
            assert got.refused == "the table says design required", where
        elif words == "NR":
            assert got.words == ("#4 @ 48 in" if thickness == 6 else "no upright bars"), where
        else:
            assert got.words == f"#{words} in", where


def test_alternate_bars() -> None:
    """R404.1.2(9): the columns of #4, #5, #6 of Grade 60, then the sizes and grades that stand for them."""
    columns = [
        (bar, other, grade)
        for bar, sixty in ((4, (5, 6)), (5, (4, 6)), (6, (4, 5)))
        for grade, others in ((60, sixty), (40, (4, 5, 6)))
        for other in others
    ]
    for (spacing,), cells in PRINTED["R404.1.2(9)"].items():
        for (bar, other, grade), cell in zip(columns, cells, strict=True):
            assert alternate_spacing(bar, int(spacing), other, grade) == int(cell), (bar, spacing, other, grade)
    assert len(PRINTED["R404.1.2(9)"]) == 41


@pytest.mark.parametrize("thickness", BEARING_TABLES)
def test_lintel_spans(thickness: int) -> None:
    """R608.8(3) to (5): cell by cell, and what is asked for the span itself and for an inch more."""
    name, table = BEARING_TABLES[thickness]
    carried = {(r["depth"], r["bars"], r["fy"]): [*r.values()][3:] for r in read_table(name).rows}
    assert carried == PRINTED[table]
    for (depth, bars, fy), cells in PRINTED[table].items():
        for snow, cell in zip(SNOW, cells[3:5], strict=True):
            span = printed_span(cell)
            if bars in ("none", "centre") or span is None or span > Length.feet(18):
                continue
            got = lintel(thickness, Length.inches(depth), span, snow, int(fy) // 1000)
            assert not isinstance(got, str) and got.table == table and got.allowed >= span, (depth, bars, fy, cell)
            more = lintel(thickness, Length.inches(depth), span + Length.inches(1), snow, int(fy) // 1000)
            assert isinstance(more, str) or more.allowed > span, (depth, bars, fy, cell)


def test_spans_of_lintels_that_bear_nothing() -> None:
    carried = {(r["depth"], r["bars"], r["fy"]): [*r.values()][3:] for r in read_table(NONBEARING_TABLE[0]).rows}
    assert carried == PRINTED["R608.8(9)"]


def test_oddities_stand_as_printed() -> None:
    """#6 where the cells beside it call for #5, and a span of 8 ft and 12 in."""
    eight, five = Length.feet(8), Length.feet(5)
    odd = wanted(Length.inches(6), eight, five, 45, BarPlace.CENTRE, 2500, INSIDE_COVER)
    assert odd.words == "#6 @ 39 in" and "stands as printed" in odd.notes[0]
    nine, six = Length.feet(9), Length.feet(6)
    odd = wanted(Length.inches(8), nine, six, 60, BarPlace.INSIDE_FACE, 2500, INSIDE_COVER)
    assert odd.words == "#6 @ 39 in" and "stands as printed" in odd.notes[0]
    assert PRINTED["R608.8(3)"]["12", "2-#4 or 1-#6", "60000"][2] == "8-12"
    assert printed_span("8-12") == Length.feet(9) and printed_span("DR") is None and printed_span("-") is None
