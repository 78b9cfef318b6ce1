"""What an order is cut into: form units by the saw, membrane by the wall; pads; and why an order by area differs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from inspections.handouts.subject import Subject
from inspections.legs import in_runs
from takeoff.bands import Band, bands, has_ground_outside
from takeoff.block_cuts import Piece, block_cuts
from takeoff.cutting import Pattern
from takeoff.facings import Dressed, Facing, by_group, dressed, face_runs, membrane_facings
from takeoff.form_sundries import said_courses
from takeoff.membrane import choose, corner_heights, detail_strips, reach_below_in, row_widths, strips
from takeoff.plan import Levels, Stage
from takeoff.site import EnvelopeSpec, MembraneWay
from takeoff.tally import feet_inches, inch_text
from takeoff.units import Length, format_length


# -- form units --------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class PieceRow:
    """Pieces of one length and where they go."""

    length: str
    count: int
    where: str


@dataclass(frozen=True, slots=True)
class UnitRow:
    """``count`` units cut alike, into what, and what is left of each."""

    count: int
    pieces: str
    left: str


@dataclass(frozen=True, slots=True)
class SawList:
    """The cut pieces of one height. ``said``: how many units they come from and how good that is."""

    title: str
    said: str
    pieces: tuple[PieceRow, ...]
    units: tuple[UnitRow, ...]


def saw_lists(subject: Subject) -> list[SawList]:
    """Cut lists for the sections of the sheet."""
    names = dict(subject.facts.sections)
    out = []
    for cuts in block_cuts(subject.takeoff.plan, subject.placement, subject.takeoff.units):
        if cuts.stage is not subject.kind or cuts.section not in subject.sections:
            continue
        ripped = f", ripped to {_in(cuts.height)}" if cuts.height < cuts.full else f", {_in(cuts.height)} high"
        said = f'{cuts.count} pieces out of {cuts.units} units, {cuts.said}, 1/4" to a saw cut'
        if cuts.reused:
            said += f"; {cuts.reused} of them out of what another piece leaves over: keep offcuts until the top course"
        title = f"{names[cuts.section]}, {cuts.form}, {_in(cuts.core)} core{ripped}"
        out.append(SawList(title, said, tuple(map(_piece, cuts.pieces)), tuple(map(_unit, cuts.patterns))))
    return out


def _piece(piece: Piece) -> PieceRow:
    by_leg: dict[str, list[int]] = {}
    for leg, course, _ in piece.where:
        by_leg.setdefault(leg, []).append(course)
    said = [f"{leg} {_courses(leg, courses, piece)}" for leg, courses in by_leg.items()]
    return PieceRow(_in(piece.length), piece.count, "; ".join(said))


def _courses(leg: str, courses: Sequence[int], piece: Piece) -> str:
    """'courses 1 to 4', and how many in each where that is more than one."""
    counts = {count for name, _, count in piece.where if name == leg}
    if counts == {1}:
        return said_courses(courses)
    each = (f"{count} in course {course}" for name, course, count in piece.where if name == leg)
    return f"{counts.pop()} each in {said_courses(courses)}" if len(counts) == 1 else ", ".join(each)


def _unit(pattern: Pattern) -> UnitRow:
    said = " + ".join(_in(length) if n == 1 else f"{n} x {_in(length)}" for length, n in pattern.pieces)
    return UnitRow(pattern.count, said, _in(pattern.left))


#: Quantities of walls that carry brick or are bent, as their keys begin.
SPECIAL = ("blocks.ledge", "blocks.radius_more", "ledge.ends", "radius.")


def special_units(subject: Subject) -> list[tuple[str, str]]:
    """What a brick ledge or a bent wall takes, and how it was counted: which pieces, which cuts, on which leg."""
    return [
        (quantity.label, quantity.basis)
        for quantity in subject.takeoff.of(subject.kind, subject.sections)
        if quantity.key.startswith(SPECIAL)
    ]


# -- by area -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class AreaTable:
    """An order by wall area held against the layout: the sums, and each reason with its units."""

    title: str
    basis: str
    difference: str
    reasons: tuple[tuple[str, str, str], ...]  # reason, units, how counted


def area_tables(subject: Subject) -> list[AreaTable]:
    """Why an order by area would differ, for the sections of the sheet."""
    names = dict(subject.facts.sections)
    out = []
    for found in subject.areas:
        if found.stage is subject.kind and found.section in subject.sections:
            reasons = tuple((reason.name, f"{reason.units:+.2f}", reason.text) for reason in found.reasons)
            more = found.difference
            said = f"{abs(more)} unit{'' if abs(more) == 1 else 's'} {'more' if more >= 0 else 'fewer'} by layout"
            out.append(AreaTable(f"{names[found.section]}, {found.form}", found.basis, said, reasons))
    return out


# -- membrane ----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class StripRow:
    """Sheet for one wall: what is cut for it, and from and to which level."""

    legs: str
    pieces: str
    levels: str


@dataclass(frozen=True, slots=True)
class StripTable:
    """How the membrane of one section is laid and cut."""

    title: str
    said: str
    rows: tuple[StripRow, ...]
    details: tuple[str, ...]


def strip_tables(subject: Subject) -> list[StripTable]:
    """Membrane strips wall by wall, for the stage that lays them; empty for any other."""
    spec, placement = subject.takeoff.plan.spec.envelope, subject.placement
    outer = tuple(band for band in bands(placement) if has_ground_outside(placement, band.geometry))

    def faces(levels: Levels) -> tuple[Facing, ...]:
        return membrane_facings(levels, spec)

    names, corners = dict(subject.facts.sections), corner_heights(spec, outer)
    out = []
    for (section, stage), parts in by_group(dressed(outer, faces)).items():
        if stage is not subject.kind or section not in subject.sections:
            continue
        details = detail_strips(spec, parts, corners.get((section, stage), []))
        choice = choose(spec, parts, outer, details)
        rolls = f"{choice.laid.rolls} roll{'' if choice.laid.rolls == 1 else 's'}"
        wide, side = inch_text(spec.membrane_roll_width.inch), format_length(spec.membrane_side_lap, "in")
        laid = "in upright strips" if choice.way is MembraneWay.UPRIGHT else "in level rows"
        rows = _upright(spec, parts) if choice.way is MembraneWay.UPRIGHT else _level(spec, parts, outer)
        strips_of: Counter[str] = Counter(f"{feet_inches(each.length)}" for each in details if not each.joined)
        footing = sum(each.length for each in details if each.joined)
        told = [f"{n} x {long} up corners and Ts" for long, n in strips_of.items()]
        told += [f"{feet_inches(footing)} along the footing"] if footing else []
        said = f"{laid}, rolls {wide} wide, side laps {side}: {rolls}, detail strips among them"
        out.append(StripTable(names[section], said, tuple(rows), tuple(told)))
    return out


def _upright(spec: EnvelopeSpec, parts: tuple[Dressed, ...]) -> Iterator[StripRow]:
    """A row for each wall and height: strips of full width, from their foot to their top."""
    rows: dict[tuple[str, str, str], list[str]] = {}
    for part in parts:
        count = strips(part.band.outside, spec.membrane_roll_width.inch, spec.membrane_side_lap.inch)
        reach = part.facing.top - part.facing.bottom + reach_below_in(spec, part.facing)
        pieces = f"{count} strip{'' if count == 1 else 's'} of {feet_inches(reach)} on {feet_inches(part.band.outside)}"
        rows.setdefault((part.band.name, *_levels(part.facing)), []).append(pieces)
    for (leg, low, high), pieces_of in rows.items():
        yield StripRow(leg, "; ".join(pieces_of), f"{low} to {high}")


def _level(spec: EnvelopeSpec, parts: tuple[Dressed, ...], outer: tuple[Band, ...]) -> Iterator[StripRow]:
    """A row for each run round the house: its rows from the foot up."""
    for run in face_runs(parts, outer):
        widths = " + ".join(inch_text(width) for width in row_widths(spec, run.facing))
        low, high = _levels(run.facing)
        long = run.length + (spec.membrane_end_lap.inch if run.closed else 0.0)
        legs = in_runs(dict.fromkeys(part.band.name for part in run.parts))
        yield StripRow(legs, f"rows {widths} wide, each {feet_inches(long)}", f"{low} to {high}")


def _levels(facing: Facing) -> tuple[str, str]:
    """Levels of the face covered, without what is turned down or lapped below it."""
    low, high = Length.from_inches(facing.bottom), Length.from_inches(facing.top)
    return format_length(low), format_length(high)


# -- pads --------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class PadRow:
    """One kind of pad footing."""

    name: str
    count: int
    size: str
    top: str
    bars: str


def pad_rows(subject: Subject) -> list[PadRow]:
    """Pads of the sheet's sections, on the footing's sheets only."""
    if subject.kind is not Stage.FOOTING:
        return []
    return [
        PadRow(
            pad.name,
            pad.count,
            f"{pad.length} x {pad.width}, {_in(pad.thickness)} thick",
            format_length(pad.top),
            f"{pad.bars_each_way} #{pad.bar_size} each way" if pad.bars_each_way else "none",
        )
        for pad in subject.takeoff.plan.pads
        if pad.section in subject.sections
    ]


def _in(length: Length) -> str:
    return format_length(length, "in")
