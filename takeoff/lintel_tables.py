"""Lintels of flat walls by the residential code's tables, as printed: which load, which bars, where stirrups.

Nothing is interpolated: the next lower depth and the next greater snow load printed are taken, and what stronger
concrete would let a lintel span more is left aside.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from takeoff.sources import Source
from takeoff.tables import Row, read_table
from takeoff.units import Length, format_length

BEARING_TABLES: Final = {
    6: ("irc_r608_8_3_lintels_6", "R608.8(3)"),
    8: ("irc_r608_8_4_lintels_8", "R608.8(4)"),
    10: ("irc_r608_8_5_lintels_10", "R608.8(5)"),
}
NONBEARING_TABLE: Final = ("irc_r608_8_9_lintels_nonbearing", "R608.8(9)")

#: Load condition of a wall under a light-frame story: what it bears from roof, floor and the wall above.
UNDER_LIGHT_FRAME: Final = "3"
NONBEARING: Final = "NLB"

#: Ground snow loads of the columns [psf].
SNOW: Final = (30, 70)

#: Openings narrower than this need no lintel; wider than the second are in no table. IRC 2021 R608.8, Table R608.8(3)
#: note m.
NARROWEST, WIDEST = Length.feet(2), Length.feet(18)

#: Kept as printed: (table, depth, bars, yield, column) of a span that cannot be right as written.
ODD_SPANS: Final = {("R608.8(3)", "12", "2-#4 or 1-#6", "60000", "2_70"): "8-12"}

#: Cover of lintel bars above the opening and below the lintel's top: Figure R608.8(2), from memory.
COVER: Final = Length.inches("1.5")
FIGURE: Final = Source("IRC", "2021", "Figure R608.8(2) cover of lintel bars", seen=False)


@dataclass(frozen=True, slots=True)
class LintelBars:
    """What a table gives a lintel: its listed depth, ``number`` bars of ``size`` in the top and again in the bottom,
    and where stirrups are needed the middle part of the span without them (None: no stirrups)."""

    table: str
    depth: int
    condition: str
    column: str
    number: int
    size: int
    allowed: Length
    plain_span: Length | None
    centre: Length | None
    notes: tuple[str, ...] = ()

    @property
    def source(self) -> Source:
        """The table as a source."""
        return Source("IRC", "2021", f"Table {self.table}")


def snow_column(psf: float) -> int | None:
    """The next greater ground snow load printed [psf], None above the last."""
    return next((column for column in SNOW if psf <= column), None)


def listed_depth(thickness: int, available: Length) -> int | None:
    """The deepest lintel printed that the concrete above an opening holds [in], None under the least."""
    depths = {int(row["depth"]) for row in read_table(BEARING_TABLES[thickness][0]).rows}
    return max((depth for depth in depths if Length.inches(depth) <= available), default=None)


def load_condition(available: Length, depth: int, span: Length) -> str:
    """Load condition of a basement wall of a one-story building under light-frame walls, taken as bearing roof and
    floor: 3 where the lintel's top is within half the span of the wall's top, else nonload-bearing. IRC 2021 Table
    R608.8(1)."""
    above = available - Length.inches(depth)
    return UNDER_LIGHT_FRAME if 2 * above <= span else NONBEARING


def lintel(thickness: int, available: Length, span: Length, snow: int, grade_ksi: int) -> LintelBars | str:
    """Bars for a clear span, the least the tables print that is long enough; a sentence where there are none.

    A lintel deep below the wall's top carries only the wall over it; where that table is too short, the bearing one is
    taken. ``available`` is the concrete over the opening in one pour.
    """
    depth = listed_depth(thickness, available)
    if depth is None:
        return f"only {_in(available)} of concrete above the opening; 8 in is the least lintel printed"
    condition = load_condition(available, depth, span)
    if condition == NONBEARING and not isinstance(found := _nonbearing(thickness, depth, span, grade_ksi), str):
        return found
    return _bearing(thickness, depth, span, snow, grade_ksi)


def _nonbearing(thickness: int, depth: int, span: Length, grade_ksi: int) -> LintelBars | str:
    """Table R608.8(9): no stirrups; the concrete wall over the lintel is what it carries."""
    name, table = NONBEARING_TABLE
    return _least(name, table, depth, NONBEARING, f"{thickness}_wall", span, grade_ksi)


def _bearing(thickness: int, depth: int, span: Length, snow: int, grade_ksi: int) -> LintelBars | str:
    name, table = BEARING_TABLES[thickness]
    column = f"{UNDER_LIGHT_FRAME}_{snow}"
    found = _least(name, table, depth, UNDER_LIGHT_FRAME, column, span, grade_ksi)
    if isinstance(found, str):
        return found
    plain = printed_span(_only(name, depth, "none")[column])
    centre = printed_span(_only(name, depth, "centre")[column])
    if plain is not None and span <= plain:
        return LintelBars(
            table, depth, UNDER_LIGHT_FRAME, column, found.number, found.size, found.allowed, plain, None, found.notes
        )
    return LintelBars(
        table, depth, UNDER_LIGHT_FRAME, column, found.number, found.size, found.allowed, plain,
        centre or Length(0), found.notes,
    )  # fmt: skip


def _only(name: str, depth: int, bars: str) -> Row:
    return next(read_table(name).where(depth=str(depth), bars=bars))


def _least(
    name: str, table: str, depth: int, condition: str, column: str, span: Length, grade_ksi: int
) -> LintelBars | str:
    """The first row of bars whose span is long enough, in the order printed (lightest first)."""
    fy, longest = ("60000" if grade_ksi >= 60 else "40000"), Length(0)
    for row in read_table(name).where(depth=str(depth), fy=fy):
        allowed = printed_span(row[column])
        if allowed is None:
            continue
        if allowed >= span:
            odd = ODD_SPANS.get((table, row["depth"], row["bars"], fy, column))
            notes = (f"the span {odd} stands as printed",) if odd else ()
            number, size = bars_of(row["bars"])
            return LintelBars(table, depth, condition, column, number, size, allowed, allowed, None, notes)
        longest = max(longest, allowed)
    return f"a span of {span} is over the {longest} Table {table} gives a lintel {depth} in deep"


def bars_of(printed: str) -> tuple[int, int]:
    """Number and size of '1-#5'; of '2-#4 or 1-#6' the first."""
    number, size = re.findall(r"(\d)-#(\d)", printed)[0]
    return int(number), int(size)


def printed_span(text: str) -> Length | None:
    """'4-2' as 4 ft 2 in; None for 'DR' and '-'. '8-12' is read as it stands, 8 ft and 12 in."""
    if not re.fullmatch(r"\d+-\d+", text):
        return None
    feet, inches = text.split("-")
    return Length.feet(feet) + Length.inches(inches)


def _in(length: Length) -> str:
    return format_length(length, "in")
