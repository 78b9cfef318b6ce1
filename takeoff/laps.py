"""Bars: their sizes, laps, bends, and how a run longer than a stock bar is pieced together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, lru_cache

from takeoff.problems import Problem, Severity
from takeoff.site import BarPlace, LapsFrom, Specification
from takeoff.sources import IRC_R608_5_4_1, Source
from takeoff.strength.development import CLASS_B, EQUATION, SIMPLE, Bond, confinement, lap_in
from takeoff.tables import read_table
from takeoff.units import ZERO, Length, ceil_div

BARS = Source("ASTM A615 bars in McCormac and Brown", "9th ed.", "Table A.2")

#: Bar diameters of the inside of a bend: main bars #3 to #8, and stirrups and ties to #5 (ACI 318; the first read in
#: a standard-hook table of the PCI Design Handbook, 7th ed., Design Aid 15.4.1; the second from memory).
MAIN_BEND = 6
TIE_BEND = 4

#: Bar numbers that can be scheduled.
SIZES = range(3, 9)

#: Where a size or grade is in no table: bar diameters of lap per ksi of grade (60 db for Grade 60, 40 db for Grade
#: 40, the pattern of the printed rows). Told as a matter for the engineer.
DIAMETERS_PER_KSI = 1


@dataclass(frozen=True, slots=True)
class BarSize:
    """An imperial bar: number, nominal diameter [in], weight [lb/ft], nominal area [in2]."""

    number: int
    diameter: float
    weight: float
    area: float


@cache
def bar_size(number: int) -> BarSize:
    """Nominal diameter, weight and area of a bar. Raises KeyError for one outside #3 to #8."""
    for row in read_table("bars_astm_a615").where(bar=str(number)):
        return BarSize(number, float(row["diameter"]), float(row["weight"]), float(row["area"]))
    raise KeyError(f"No bar #{number} among #3 to #8")


@dataclass(frozen=True, slots=True)
class Lap:
    """Length of a lap splice in tension; ``printed`` False where no table gives it.

    ``table`` and ``equation`` are what each rule gives, None where it gives nothing; ``basis`` names both and the one
    that governs.
    """

    length: Length
    printed: bool
    source: Source = IRC_R608_5_4_1
    table: Length | None = None
    equation: Length | None = None
    basis: str = ""


def printed_length(use: str, number: int, grade_ksi: int) -> Length | None:
    """A length of IRC 2021 Table R608.5.4(1) ('lap splice in tension', ...): #4, #5, #6 of Grade 40 and 60, as
    printed; None for any other bar or grade."""
    for row in read_table("irc_r608_5_4_1_laps").where(use=use, bar=str(number)):
        if f"grade_{grade_ksi}" in row:
            return Length.inches(row[f"grade_{grade_ksi}"])
    return None


@cache
def lap_splice(
    number: int,
    grade_ksi: int,
    strength_psi: float | None = None,
    laps_from: LapsFrom = LapsFrom.CODE_TABLE,
    held: float | None = None,
    top_bar: bool = False,
) -> Lap:
    """Lap splice in tension from the residential code's table, the equations of the concrete code, or the larger.

    A bar or grade the table does not print takes the equations, class B, rounded up to a whole inch; ``held`` is the
    confinement (cb + Ktr) / db, None where cover and spacing are not known. Without the concrete's strength such a bar
    follows the table's pattern and is marked as not printed: an engineer must decide (:func:`lap_problem`).
    """
    table = printed_length("lap splice in tension", number, grade_ksi)
    if strength_psi is None:
        return _without_strength(number, grade_ksi, table)
    bond = Bond(number, bar_size(number).diameter, grade_ksi * 1000.0, strength_psi, held, top_bar)
    equation = Length.inches(math.ceil(lap_in(bond) - 1e-9))
    source = SIMPLE if held is None else EQUATION
    words = (
        f"{_lap_words(table)}; {CLASS_B:g} x development of #{number}, Grade {grade_ksi}, {strength_psi:,.0f} psi"
        f"{', top bar' if top_bar else ''}{'' if held is None else f', (cb + Ktr)/db {held:.2f}'} = "
        f"{equation.inch:.0f} in"
    )
    if table is not None and (laps_from is LapsFrom.CODE_TABLE or (laps_from is LapsFrom.LARGER and table >= equation)):
        return Lap(table, True, IRC_R608_5_4_1, table, equation, f"{words}; the table governs")
    return Lap(equation, table is not None, source, table, equation, f"{words}; the equation governs")


def _without_strength(number: int, grade_ksi: int, table: Length | None) -> Lap:
    if table is not None:
        return Lap(table, True, IRC_R608_5_4_1, table, None, _lap_words(table))
    inches = Length.inches(math.ceil(bar_size(number).diameter * grade_ksi * DIAMETERS_PER_KSI - 1e-9))
    source = Source("pattern of IRC Table R608.5.4(1), not printed for this bar")
    return Lap(inches, False, source, None, None, f"{_lap_words(None)}; {inches.inch:.0f} in follows its pattern")


def _lap_words(table: Length | None) -> str:
    found = "nothing for this bar" if table is None else f"{table.inch:.0f} in"
    return f"IRC Table R608.5.4(1) {found}"


def wall_lap(spec: Specification, core: Length, size: int, upright: bool = True) -> Lap:
    """Lap of a wall bar by the rule the specification chose. Upright bars are held by the concrete to the nearer face
    and half their spacing; horizontal bars lie beside them and count as top bars."""
    bars, diameter = spec.bars, bar_size(size).diameter
    to_face = core.inch / 2
    if bars.vertical_place is BarPlace.INSIDE_FACE:
        to_face = min(to_face, bars.inside_cover.inch + diameter / 2)
    if not upright:
        to_face = max(diameter, to_face - bar_size(bars.vertical_size).diameter / 2 - diameter / 2)
    spacing = bars.vertical_spacing.inch if upright else 2 * to_face
    held = confinement(to_face, spacing, diameter)
    return lap_splice(size, bars.grade_ksi, spec.concrete.strength_psi, bars.laps_from, held, not upright)


def footing_lap(spec: Specification, size: int) -> Lap:
    """Lap of a bar along a footing by the rule the specification chose: bottom bars, cover and spacing as the simple
    equation asks."""
    return lap_splice(size, spec.bars.grade_ksi, spec.concrete.strength_psi, spec.bars.laps_from)


def lap_problem(number: int, grade_ksi: int, use: str, strength_psi: float | None = None) -> Problem | None:
    """The sentence for a bar the table does not cover, or None: for the engineer, or where the equations answer, a
    note."""
    lap = lap_splice(number, grade_ksi, strength_psi)
    if lap.printed:
        return None
    where = (
        f"The lap of {use} (#{number}, Grade {grade_ksi}) is in no table used here (IRC Table R608.5.4(1) gives #4 to "
        f"#6 of Grade 40 and 60)"
    )
    if lap.equation is not None:
        sentence = f"{where}; it follows the equations of the concrete code for {strength_psi:,.0f} psi."
        return Problem(Severity.NOTE, sentence, path="spec.bars")
    return Problem(Severity.ENGINEER, f"{where}; {lap.length} is taken until an engineer states it.", path="spec.bars")


def bend_deduction(number: int, angle_deg: float = 90.0, inside_diameters: int = MAIN_BEND) -> Length:
    """What a bend saves against the sum of its out-to-out legs.

    Geometry: legs to the outside corner, 2 Ro tan(angle/2), less the arc on the bar's centre line. 2.502 db at 90
    degrees and 0.565 db at 45 degrees for an inside diameter of 6 db; 2.073 db and 0.522 db for 4 db.
    """
    diameter, angle = bar_size(number).diameter, math.radians(angle_deg)
    outer, centre = inside_diameters / 2 + 1, inside_diameters / 2 + 0.5
    return Length.from_inches(diameter * (2 * outer * math.tan(angle / 2) - angle * centre))


def bent_length(number: int, first: Length, second: Length, angle_deg: float = 90.0) -> Length:
    """Cut length of a bar of two out-to-out legs with one bend."""
    return first + second - bend_deduction(number, angle_deg)


def pieces_needed(run: Length, stock: Length, lap: Length) -> int:
    """Bars for a run: ceil((X - l) / (S - l)), one at least. Common practice; geometry."""
    if run <= stock:
        return 1
    return ceil_div(run - lap, stock - lap)


@lru_cache(maxsize=4096)  # every second row of a wall is the same run
def lapped_pieces(run: Length, stock: Length, lap: Length, turned: bool = False) -> tuple[Length, ...]:
    """Lengths of the bars of a run, in order, each lapping the next by ``lap``; they add up to X + (n-1) l.

    Whole stock bars and one shorter, which comes first where ``turned`` (every other level), so that the laps of two
    levels lie a lap or more apart. Where that cannot be, equal bars; turned, the first and last of them are halves, one
    bar more. No bar is shorter than two laps. Raises ValueError for stock shorter than four laps.
    """
    if stock < 4 * lap:
        raise ValueError(f"stock bars of {stock} are too short for laps of {lap}")
    count = pieces_needed(run, stock, lap)
    if count == 1:
        return (run,)
    last = run + (count - 1) * lap - (count - 1) * stock
    if count == 2 and last < 2 * lap:
        pieces: tuple[Length, ...] = (run - lap, 2 * lap)
    elif 2 * lap <= last <= stock - lap:
        pieces = (*[stock] * (count - 1), last)
    else:
        return _equal_pieces(run, count, lap, turned)
    return pieces[::-1] if turned else pieces


def _equal_pieces(run: Length, count: int, lap: Length, turned: bool) -> tuple[Length, ...]:
    """Bars of one length; turned, shifted by half a bar."""
    pitch = Length((run - lap).nm // count)
    ends = (pitch.half() + lap,) if turned else ()
    middle = (pitch + lap,) * (count - 1)
    used = sum((piece - lap for piece in (*ends, *middle)), ZERO)
    return (*ends, *middle, run - used)
