"""Upright bars a flat concrete basement wall wants by the residential code's tables, as printed.

Three tables are for bars at the middle of the wall, R404.1.2(2) 6 in, (3) 8 in, (4) 10 in; one is for bars near the
inside face, (8). They are never mixed, nothing in them is interpolated, and the next greater height and fill printed
is taken. What lies outside them is refused with the reason.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from takeoff.laps import bar_size
from takeoff.site import BarPlace
from takeoff.sources import Source
from takeoff.tables import Row, read_table
from takeoff.units import Length, format_length

#: Soils the tables list, by the lateral load of their column [psf per ft of depth]; any other soil is prohibited.
SOIL_COLUMNS: Final = {
    **dict.fromkeys(("GW", "GP", "SW", "SP"), 30),
    **dict.fromkeys(("GM", "GC", "SM", "SM-SC", "ML"), 45),
    **dict.fromkeys(("SC", "ML-CL", "CL"), 60),
}
LOADS: Final = (30, 45, 60)

#: Table of each nominal thickness with bars at the middle of the wall.
CENTRE_TABLES: Final = {
    6: ("irc_r404_1_2_2_flat_6", "R404.1.2(2)"),
    8: ("irc_r404_1_2_3_flat_8", "R404.1.2(3)"),
    10: ("irc_r404_1_2_4_flat_10", "R404.1.2(4)"),
}
INSIDE_TABLE: Final = ("irc_r404_1_2_8_inside_face", "R404.1.2(8)")
INSIDE_THICKNESSES: Final = (6, 8, 10, 12)

#: The cover of table (8) from the inside face; bars set deeper in the wall are not those of the table.
INSIDE_COVER: Final = Length.inches("1.25")

#: Least concrete of the tables [psi], and of notes l (a wall 2 in thinner) and m (a plain 12 in wall) of table (8).
LEAST_STRENGTH_PSI: Final = 2500
THINNER_STRENGTH_PSI: Final = 4000
PLAIN_TWELVE_STRENGTH_PSI: Final = 3500

#: A flat wall may be built 1/2 in thinner to 1/4 in thicker than nominal. IRC 2021 Table R608.3, note c.
THINNER, THICKER = Length.inches("0.5"), Length.inches("0.25")

#: Bars stand no farther apart. IRC 2021 R404.1.3.3.7.6.
WIDEST: Final = 48

#: Cells kept as printed though their neighbours say they are slips: (table, height, fill, soil, thickness).
ODD_CELLS: Final = {("R404.1.2(2)", 8, 5, 45, 6): "#5", ("R404.1.2(8)", 9, 6, 60, 8): "#5"}


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a table asks of a wall. ``bar`` None is no upright bar; ``refused`` says why no table may be used."""

    table: str = ""
    row: str = ""
    cell: str = ""
    bar: int | None = None
    spacing_in: int | None = None
    refused: str = ""
    notes: tuple[str, ...] = ()

    @property
    def source(self) -> Source:
        """The table as a source."""
        return Source("IRC", "2021", f"Table {self.table}" if self.table else "R404.1.2")

    @property
    def words(self) -> str:
        """'#6 @ 32 in', 'no upright bars', or ''."""
        if self.refused:
            return ""
        return "no upright bars" if self.bar is None else f"#{self.bar} @ {self.spacing_in} in"


def nominal_thickness(core: Length) -> int | None:
    """Nominal thickness [in] of 6, 8, 10 or 12 that a core may be built as, None for any other."""
    for inches in INSIDE_THICKNESSES:
        nominal = Length.inches(inches)
        if nominal - THINNER <= core <= nominal + THICKER:
            return inches
    return None


def soil_load(symbol: str, equivalent_fluid_pcf: float) -> int | str:
    """Column of a soil [psf per ft]: the printed one of its class, or the next that covers the design load of the
    site where that is greater. A sentence where the tables may not be used."""
    if symbol not in SOIL_COLUMNS:
        return f"soil {symbol} is not listed, and the tables may not be used for it"
    for load in LOADS:
        if load >= SOIL_COLUMNS[symbol] and load >= equivalent_fluid_pcf:
            return load
    return f"the lateral soil load of {equivalent_fluid_pcf:g} psf per ft is over the 60 the tables go to"


@cache
def wanted(
    core: Length, height: Length, fill: Length, soil: int, place: BarPlace, strength_psi: float, cover: Length
) -> Wanted:
    """Upright bars for a wall: ``core`` as formed, ``height`` unsupported, ``fill`` unbalanced, ``soil`` the column
    [psf per ft], ``cover`` from the inside face where bars are placed there."""
    thickness = nominal_thickness(core)
    if thickness is None:
        return Wanted(refused=f"no table is for a core of {_in(core)}; they are for 6, 8, 10 and 12 in")
    if strength_psi < LEAST_STRENGTH_PSI:
        return Wanted(refused=f"the tables want concrete of 2,500 psi, not {strength_psi:,.0f}")
    if place is BarPlace.INSIDE_FACE:
        return _inside(thickness, height, fill, soil, strength_psi, cover)
    if thickness not in CENTRE_TABLES:
        return Wanted(refused="a 12 in wall with bars at its middle is in no table; it is in the one for the inside")
    name, table = CENTRE_TABLES[thickness]
    row = _row(read_table(name).rows, height, fill)
    if isinstance(row, str):
        return Wanted(table=table, refused=row)
    return _read(table, row, soil, thickness, row[f"soil_{soil}"])


def _inside(thickness: int, height: Length, fill: Length, soil: int, strength_psi: float, cover: Length) -> Wanted:
    name, table = INSIDE_TABLE
    if cover > INSIDE_COVER:
        return Wanted(table=table, refused=f"the table has bars within {_in(INSIDE_COVER)} of the inside face")
    rows = list(read_table(name).where(soil=str(soil), thickness_in=str(thickness)))
    row = _row(rows, height, fill)
    if isinstance(row, str):
        return Wanted(table=table, refused=row)
    if (thinner := _may_be_plain(row, soil, thickness, strength_psi)) is not None:
        found = _read(table, row, soil, thickness, "NR")
        return Wanted(table, found.row, row["vertical"], found.bar, found.spacing_in, "", (*found.notes, thinner))
    return _read(table, row, soil, thickness, row["vertical"])


def _may_be_plain(row: Row, soil: int, thickness: int, strength_psi: float) -> str | None:
    """Notes l and m of table (8): stronger concrete lets a wall stand without upright bars."""
    if row["vertical"] == "NR":
        return None
    if row["note"] == "m" and thickness == 12 and strength_psi >= PLAIN_TWELVE_STRENGTH_PSI:
        return "note m: a plain 12 in wall of 3,500 psi is permitted"
    thicker = read_table(INSIDE_TABLE[0]).where(
        soil=str(soil), thickness_in=str(thickness + 2), wall_height_ft=row["wall_height_ft"], fill_ft=row["fill_ft"]
    )
    if strength_psi >= THINNER_STRENGTH_PSI and any("l" in other["note"] for other in thicker):
        return f"note l: {thickness + 2} in needs no upright bars, and 4,000 psi lets it be 2 in thinner"
    return None


def _row(rows: tuple[Row, ...] | list[Row], height: Length, fill: Length) -> Row | str:
    """The row of the next greater height and fill, or why there is none."""
    highest = max(float(row["wall_height_ft"]) for row in rows)
    if height > Length.from_inches(highest * 12):
        return f"an unsupported height of {height} is over the {highest:g} ft the table goes to"
    fits = [row for row in rows if _feet(row["wall_height_ft"]) >= height]
    least = min(float(row["wall_height_ft"]) for row in fits)
    fits = [row for row in fits if float(row["wall_height_ft"]) == least and _feet(row["fill_ft"]) >= fill]
    if not fits:
        return f"a fill of {fill} is over what the table gives for {least:g} ft of wall"
    return min(fits, key=lambda row: float(row["fill_ft"]))


def _read(table: str, row: Row, soil: int, thickness: int, cell: str) -> Wanted:
    """One cell in words. 'NR' in a 6 in stay-in-place form is still #4 at 48 in."""
    height, fill = row["wall_height_ft"], row["fill_ft"]
    where = f"{thickness} in wall, {height} ft high, {fill} ft of fill, {soil} psf per ft"
    odd = ODD_CELLS.get((table, int(height), int(fill), soil, thickness))
    notes = (f"{cell} stands as printed; the cells beside it suggest {odd}",) if odd else ()
    if cell == "DR":
        return Wanted(table, where, cell, refused="the table says design required", notes=notes)
    if cell == "NR":
        if thickness == 6:
            return Wanted(table, where, cell, 4, WIDEST, "", (*notes, "a 6 in stay-in-place form keeps #4 at 48 in"))
        return Wanted(table, where, cell, None, None, "", notes)
    bar, spacing = cell.split(" @ ")
    return Wanted(table, where, cell, int(bar), int(spacing), "", notes)


# -- other bars than the table's -------------------------------------------------------------------
@cache
def alternate_spacing(bar: int, spacing_in: int, other: int, grade_ksi: int) -> int | None:
    """Widest spacing [in] of another size or grade that stands for ``bar`` of Grade 60 at ``spacing_in``: IRC 2021
    Table R404.1.2(9), Grade 40 columns for Grade 50; equal steel per foot for what it does not print, rounded down.
    None where the bars would stand closer than the table goes."""
    if other == bar and grade_ksi >= 60:
        return spacing_in
    column = f"{bar}_to_{other}_grade_{60 if grade_ksi >= 60 else 40}"
    for row in read_table("irc_r404_1_2_9_alternate_bars").where(spacing=str(spacing_in)):
        if column in row:
            return int(row[column])
    share = bar_size(other).area / bar_size(bar).area * min(grade_ksi, 60) / 60
    inches = min(WIDEST, int(spacing_in * share + 1e-9))
    return inches if inches >= 1 else None


def enough(want: Wanted, bar: int, spacing: Length, grade_ksi: int, core: Length) -> tuple[bool, str]:
    """Whether bars at a spacing are what the table wants, and the sum in words."""
    if want.bar is None or want.spacing_in is None:
        return True, "no upright bars are required"
    allowed = alternate_spacing(want.bar, want.spacing_in, bar, grade_ksi)
    if allowed is None:
        return False, f"#{bar} is too small to stand for {want.words}"
    same = bar == want.bar and grade_ksi >= 60
    words = want.words if same else f"{want.words}, or #{bar} Grade {grade_ksi} @ {allowed} in"
    if Length.inches(allowed) < core.half() or spacing < core.half():
        return False, f"{words}, closer than half the wall's thickness; a larger bar is needed"
    return spacing <= Length.inches(allowed), words


def _feet(text: str) -> Length:
    return Length.feet(text)


def _in(length: Length) -> str:
    return format_length(length, "in")
