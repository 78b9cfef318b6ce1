"""Drainage board: rolls hung along the wall with a lap where one ends, and what holds them.

Board goes round corners, so it is laid run by run round the house; walls lower than half a roll take it ripped, higher
ones than a roll take it in lapped rows. Fasteners along the top edge are always needed. Those in the field would go
through the membrane and are counted apart, on web lines at the middle of courses, for suppliers that allow them.
"""

from __future__ import annotations

from functools import cache
from math import ceil

from takeoff.bands import Band
from takeoff.courses import Grid, grids
from takeoff.facings import Dressed, board_facings, by_group, dressed, face_runs
from takeoff.forms import FormSystem
from takeoff.membrane import usable_lap_in
from takeoff.plan import Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Buy, Quantity, Unit
from takeoff.rolls import Laid, Pieces, pack, rows, side_by_side
from takeoff.site import EnvelopeSpec
from takeoff.sources import COMMON_PRACTICE, GEOMETRY
from takeoff.tally import Tally, feet_inches, inch_text, number, square_feet
from takeoff.units import Length, steps_text

#: Face that one fastener in the field holds [in2], 16 ft2. Common practice, no source.
FIELD_IN2 = 16 * 144.0
#: Moulding over the board's top edge comes in pieces [ft]. Common practice, no source.
MOULDING_FT = 8.0


# -- rules ------------------------------------------------------------------------------------------
def board_rolls(length_in: float, roll_length_in: float, lap_in: float) -> int:
    """Rolls of drainage board laid along one wall, each lapping the one before: ceil(L / (roll - lap))."""
    return ceil(length_in / (roll_length_in - lap_in) - 1e-9)


def top_fasteners(length_in: float, spacing_in: float) -> int:
    """Fasteners along a top edge with one at both ends: ceil(L / spacing) + 1."""
    return ceil(length_in / spacing_in - 1e-9) + 1 if length_in > 0 else 0


@cache
def field_cell(web_in: float, course_in: float, most_in2: float = FIELD_IN2) -> tuple[float, float]:
    """Width and height [in] of the face one field fastener holds: whole web spacings by whole courses, the largest
    that is not over ``most_in2``; of equal ones the squarest. One web by one course where even that is more."""
    best = web_in, course_in
    for courses in range(1, max(int(most_in2 / (web_in * course_in)), 1) + 1):
        webs = max(int(most_in2 / (courses * course_in) / web_in + 1e-9), 1)
        cell = webs * web_in, courses * course_in
        area, most = cell[0] * cell[1], best[0] * best[1]
        if area <= most_in2 + 1e-9 and (area, -abs(cell[0] - cell[1])) > (most, -abs(best[0] - best[1])):
            best = cell
    return best


def field_places(
    length_in: float, bottom: float, top: float, form: FormSystem, grid: Grid
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Web lines [in from the start of the face] and levels [in] of the field fasteners of a face.

    Each holds no more than its cell; it is put on the web line next to the cell's middle (webs half a spacing from
    the unit's end and a spacing apart) and at the middle of the course there, away from the joints.
    """
    high = top - bottom
    if length_in <= 0 or high <= 0:
        return (), ()
    web, course, base = form.web_spacing.inch, grid.height.inch, grid.base.inch
    wide, tall = field_cell(web, course)
    across, up = ceil(length_in / wide - 1e-9), ceil(high / tall - 1e-9)
    lines = (_nearest((k + 0.5) * length_in / across, web / 2, web, 0.0, length_in) for k in range(across))
    levels = (_nearest(bottom + (k + 0.5) * high / up, base + course / 2, course, bottom, top) for k in range(up))
    return tuple(dict.fromkeys(lines)), tuple(dict.fromkeys(levels))


def _nearest(wanted: float, first: float, step: float, low: float, high: float) -> float:
    """The nearest of a row of places, or the place itself where that one lies off the face."""
    found = first + step * round((wanted - first) / step)
    return found if low < found < high else wanted


def _top_words(long_in: float, spec: EnvelopeSpec) -> str:
    return f"{steps_text(Length.from_inches(long_in), spec.board_top_fasteners)}, and 1 to begin with"


# -- assembly ---------------------------------------------------------------------------------------
def board(plan: Plan, outer: tuple[Band, ...]) -> tuple[Quantity, ...]:
    """Board laid, rolls, moulding and fasteners of every face with ground outside."""
    spec = plan.spec.envelope
    groups = by_group(dressed(outer, board_facings))
    area, moulding, top, field = _area(), _moulding(), _top(spec), _field()
    course_grids, rolls = grids(plan), []
    for (section, stage), parts in groups.items():
        rolls.append(_rolls(spec, pack_board(spec, parts, outer), parts, section, stage))
        for part in parts:
            name, long = part.band.name, part.band.outside
            _add_area(area, spec, part)
            if part.facing.finished:
                moulding.add(section, stage, name, long / 12, feet_inches(long))
            count = top_fasteners(long, spec.board_top_fasteners.inch)
            top.add(section, stage, name, count, _top_words(long, spec))
            _add_field(field, part, plan.form(part.band.geometry.leg.form), course_grids[name])
    tallies = (area, moulding, top, field)
    return (*rolls, *(quantity for tally in tallies for quantity in tally.quantities()))


def pack_board(spec: EnvelopeSpec, parts: tuple[Dressed, ...], outer: tuple[Band, ...]) -> Laid:
    """Rolls of one section and stage, run by run."""
    wide, long, lap = spec.board_roll_width.inch, spec.board_roll_length.inch, spec.board_lap.inch
    pieces = []
    for run in face_runs(parts, outer):
        length = run.length + (lap if run.closed else 0.0)
        for width in board_rows(spec, run.parts[0]):
            pieces.append(Pieces(_ripped(width, wide), (length,), joined=True))
    return pack(pieces, wide, long, lap)


def _ripped(width: float, roll: float) -> float:
    """Board is ripped into equal pieces only where that saves any; else it keeps the roll's width."""
    return width if side_by_side(width, roll) > 1 else roll


def board_rows(spec: EnvelopeSpec, part: Dressed) -> tuple[float, ...]:
    """Widths [in] of the rows of board on a face, the lowest first."""
    wide = spec.board_roll_width.inch
    return rows(board_height_in(spec, part), wide, usable_lap_in(spec.board_lap.inch, wide))


def board_height_in(spec: EnvelopeSpec, part: Dressed) -> float:
    """Height of board on a face [in], lapped over the board that hangs below."""
    return part.facing.top - part.facing.bottom + (0.0 if part.facing.foot else spec.board_lap.inch)


def _rolls(spec: EnvelopeSpec, laid: Laid, parts: tuple[Dressed, ...], section: str, stage: Stage) -> Quantity:
    wide, long = spec.board_roll_width.inch, spec.board_roll_length.inch
    lengths: dict[tuple[float, ...], float] = {}
    for part in parts:
        widths = board_rows(spec, part)
        lengths[widths] = lengths.get(widths, 0.0) + part.band.outside
    said = " + ".join(
        f"{feet_inches(length)} of {' and '.join(inch_text(w) for w in widths)} board"
        for widths, length in lengths.items()
    )
    ends = f", {number(sum(laid.ends) / 12)} ft of roll ends left" if laid.ends else ""
    plural = "" if laid.joins == 1 else "s"
    joins = f", {laid.joins} lap{plural} of {inch_text(spec.board_lap.inch)} where rolls end" if laid.joins else ""
    basis = f"{said}{joins} = {laid.rolls} roll{'' if laid.rolls == 1 else 's'}{ends}"
    legs = tuple(dict.fromkeys(part.band.name for part in parts))
    buy = Buy(f"roll {wide / 12:g} x {long / 12:g} ft", 1.0)
    return Quantity(
        "board.rolls", "Drainage board", laid.rolls, Unit.EACH, stage, section, "footing to grade", basis, GEOMETRY,
        buy, legs,
    )  # fmt: skip


def _area() -> Tally:
    return Tally("board.area", "Drainage board laid", Unit.FT2, "footing to grade, laps included", GEOMETRY)


def _add_area(tally: Tally, spec: EnvelopeSpec, part: Dressed) -> None:
    roll, lap, long = spec.board_roll_length.inch, spec.board_lap.inch, part.band.outside
    high = board_height_in(spec, part)
    text = f"{feet_inches(long)} x {feet_inches(high)} x {roll / 12:g}/{(roll - lap) / 12:g} for laps"
    amount = square_feet(long * roll / (roll - lap) * high)
    tally.add(part.band.section, part.facing.stage, part.band.name, amount, text)


def _moulding() -> Tally:
    return Tally(
        "board.moulding", "Board top moulding", Unit.FT, "closes the board's top edge at grade", COMMON_PRACTICE,
        Buy(f"piece {MOULDING_FT:g} ft", MOULDING_FT),
    )  # fmt: skip


def _top(spec: EnvelopeSpec) -> Tally:
    spacing = inch_text(spec.board_top_fasteners.inch)
    return Tally(
        "board.top_fasteners", "Board fasteners, top edge", Unit.EACH, f"every {spacing} along the top, into webs",
        COMMON_PRACTICE, Buy("each", 1.0),
    )  # fmt: skip


def _field() -> Tally:
    return Tally(
        "board.field_fasteners", "Board fasteners, field", Unit.EACH,
        "one to 16 ft2 on web lines; through the membrane they are leak paths, so only where its supplier allows them",
        COMMON_PRACTICE, note=" (web lines from the leg's start; find the webs by the marks on the block)",
    )  # fmt: skip


def _add_field(tally: Tally, part: Dressed, form: FormSystem, grid: Grid) -> None:
    band, facing = part.band, part.facing
    lines, levels = field_places(band.outside, facing.bottom, facing.top, form, grid)
    heights = ", ".join(inch_text(level - facing.bottom) for level in levels)
    wide, _ = field_cell(form.web_spacing.inch, grid.height.inch)
    rows_ = f"{len(levels)} row{'s' if len(levels) > 1 else ''} ({heights} up)"
    text = f"{len(lines)} on web lines {feet_inches(wide)} or less apart x {rows_}"
    tally.add(band.section, facing.stage, band.name, len(lines) * len(levels), text)


def fastener_note(outer: tuple[Band, ...]) -> tuple[Problem, ...]:
    """Told once where board hangs over membrane."""
    if not dressed(outer, board_facings):
        return ()
    sentence = (
        "Fasteners through the membrane are leak paths: hold the drainage board by its top edge, and put fasteners in "
        "the field only where the membrane's supplier allows them, into webs."
    )
    return (Problem(Severity.NOTE, sentence),)
