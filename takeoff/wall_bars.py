"""Horizontal bars of the walls: levels by course, laps, corner bars, and the bars around openings."""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

from takeoff.bar_levels import FARTHEST, SEATS, Rows, holes_at, levels_in
from takeoff.bar_runs import END_COVER, Gathered, LegSteel, Line, Met, Run, Zone, inset, subtract
from takeoff.bending import bent, cut_length
from takeoff.geometry import Corner, CornerKind
from takeoff.laps import lapped_pieces
from takeoff.plan import Stage
from takeoff.results import BarRole, BarShape
from takeoff.units import ZERO, Length, format_length

#: Bars beside an opening lie this far from its edge. Common practice, no source.
BESIDE_OPENING = Length.inches(3)

#: A bar this close to a row of horizontal bars lies beside one of them. Common practice, no source.
BESIDE_ROW = Length.inches("1.5")


# -- bars ------------------------------------------------------------------------------------------
def add_horizontals(
    bars: Gathered, leg: LegSteel, rows: Rows, after: LegSteel | None = None, beside: Collection[Length] = ()
) -> None:
    """Straight bars of every level, lapped, laps moved from level to level; corner bars at the ends. ``rows`` are those
    of :func:`level_runs`, ``after`` the next leg and ``beside`` the levels of its rows."""
    spec = leg.plan.spec.bars
    lap = leg.lap(spec.horizontal_size, upright=False).length
    for index, ((stage, level), runs) in enumerate(rows.items()):
        for run in runs:
            start, end = _bar_ends(leg, run)
            x = leg.along_bar(end - start)
            if x <= END_COVER:
                continue
            pieces = lapped_pieces(x, spec.stock_length, lap, turned=index % 2 == 1)
            lines = _piece_lines(start, pieces, lap, level, leg.centre_ratio)
            for piece, line in zip(pieces, lines, strict=True):
                used = lap if len(pieces) > 1 else None
                basis = f"run {x} in one bar" if used is None else f"run {x} in {len(pieces)} bars, lap {_in(lap)}"
                bars.add(leg.name, stage, BarRole.HORIZONTAL, spec.horizontal_size, piece, basis, 1, used, [line])
        if runs:
            _add_corner_bars(bars, leg, stage, level, runs, lap, after, _nearest(level, beside, leg))


def _bar_ends(leg: LegSteel, run: Run) -> Run:
    """Ends of the bars of a run: the concrete's corner less cover; to the face at a T or where legs are in line."""
    start, end = run
    a = _corner_reach(leg, leg.geometry.start) if not start else start + END_COVER
    b = leg.length - _corner_reach(leg, leg.geometry.end) if end == leg.length else end - END_COVER
    return a, b


def _corner_reach(leg: LegSteel, corner: Corner) -> Length:
    if corner.kind in (CornerKind.TEE, CornerKind.STRAIGHT):
        return Length(0)
    return inset(corner, leg.foam) + END_COVER


def _piece_lines(start: Length, pieces: tuple[Length, ...], lap: Length, level: Length, ratio: float) -> list[Line]:
    out, at, y = [], start.inch, level.inch
    for piece in pieces:
        out.append((at, y, at + piece.inch / ratio, y))
        at += (piece.inch - lap.inch) / ratio
    return out


def _nearest(level: Length, beside: Collection[Length], leg: LegSteel) -> Length:
    """The row of the next leg that a corner bar meets: the nearest within the seats of a course (one of the two may
    have been moved at a buck); the level itself where there is none."""
    if level in beside:
        return level
    reach = Length(leg.grid.height.nm * FARTHEST // SEATS)
    near = [other for other in beside if abs(other - level) <= reach]
    return min(near, key=lambda other: (abs(other - level), other), default=level)


def _add_corner_bars(
    bars: Gathered,
    leg: LegSteel,
    stage: Stage,
    level: Length,
    runs: list[Run],
    lap: Length,
    after: LegSteel | None,
    next_level: Length,
) -> None:
    """Corner bars of one level at the leg's end (its start belongs to the leg before), and at T ends. ``next_level`` is
    the row they meet in the leg ``after``."""
    size = leg.plan.spec.bars.horizontal_size
    at_start = min(lap, runs[0][1] - END_COVER) if not runs[0][0] else ZERO
    at_end = min(lap, _leg_room(leg, runs[-1][1] - runs[-1][0])) if runs[-1][1] == leg.length else ZERO
    first, last, y = 0.0, leg.length.inch, level.inch
    outer = last - inset(leg.geometry.end, leg.foam).inch  # the corner of the concrete
    if at_end > END_COVER and after is not None:
        beyond = min(lap, _leg_room(leg, room_at_start(after, next_level)))
        if beyond > END_COVER:
            for cut, shape, count, basis in corner_bars(leg, leg.geometry.end, at_end, beyond):
                line = (outer - at_end.inch, y, min(outer, last), y)
                short = min(at_end, beyond)
                bars.add(leg.name, stage, BarRole.CORNER, size, cut, basis, count, short, [line], shape)
    for met, reach, line in (
        (leg.met[0], at_start, (first, y, at_start.inch, y)),
        (leg.met[1], at_end, (last - at_end.inch, y, last, y)),
    ):
        if met is not None and reach > END_COVER and met.levels.footing_top < level < met.levels.top:
            through = _far_face(leg, met)
            basis = (
                f"two at a T, one each way, legs {_in(reach)} + {_in(through)} to the far face of the wall met x "
                f"{_in(lap)}, bend inside 6 bar diameters"
            )
            shape = bent(reach + through, lap)
            bars.add_bent(leg.name, stage, BarRole.CORNER, size, shape, basis, 2, reach, [line])


def _far_face(leg: LegSteel, met: Met) -> Length:
    """From the face where a leg's own bars end at a T to the far face of the other wall's core, less cover: what a
    corner bar needs to lap them by all of its lap."""
    return leg.plan.form(met.leg.form).foam + met.leg.core - END_COVER


def _leg_room(leg: LegSteel, run: Length) -> Length:
    """Longest leg of a corner bar in a run that begins at the leg's end corner."""
    return run - inset(leg.geometry.end, leg.foam) - END_COVER


@lru_cache(maxsize=1024)  # the same in most rows of a leg
def corner_bars(
    leg: LegSteel, corner: Corner, here: Length, beyond: Length
) -> tuple[tuple[Length, BarShape | None, int, str], ...]:
    """(cut length, shape, how many a level, basis) of the corner bars of one joint, with a lap on each leg (less where
    an opening stands in the way).

    Outside corner: one bar, bent (2 l - 2.502 db at 90 degrees). Inside corner: two straight bars to the far face,
    never one around the inside, which would pull the corner open. Legs in line: one straight bar.
    """
    size = leg.plan.spec.bars.horizontal_size
    if corner.kind is CornerKind.OUTSIDE:
        shape = bent(here, beyond, corner.deflection_deg)
        turn = f"{corner.deflection_deg:g} degrees, bend inside 6 bar diameters"
        return ((cut_length(size, shape), shape, 1, f"legs {_in(here)} x {_in(beyond)}, {turn}"),)
    if corner.kind is CornerKind.INSIDE:
        core = leg.leg.core - END_COVER
        words = f"to the far face: lap %s + core less {_in(END_COVER)}"
        return tuple((lap + core, None, 1, words % _in(lap)) for lap in (here, beyond))
    return ((here + beyond, None, 1, f"legs in line: {_in(here)} and {_in(beyond)}"),)


def room_at_start(leg: LegSteel, level: Length) -> Length:
    """How far from its start a leg goes on at a level, to the first opening or step; 0 where it stands not."""
    room = ZERO
    for stretch in leg.stretches:
        if not stretch.levels.footing_top < level < stretch.levels.top:
            break
        room = stretch.end
    return min([room, *(jambs[0] for jambs in holes_at(leg, level))])


# -- openings --------------------------------------------------------------------------------------
def add_opening_bars(bars: Gathered, leg: LegSteel) -> None:
    """A bar on each side, above and below every opening, reaching beyond its corners as far as the wall goes.

    They are in addition to the rows of horizontal bars, also where one of these lies at the same level: the two then
    lie side by side.
    """
    spec = leg.plan.spec.bars
    reach, size = spec.opening_bar_reach, spec.opening_bar_size
    for (low, high), sill, head in leg.openings:
        zone = _zone_of(leg, (low, high), sill, head)
        if zone is None:
            continue
        foot, top = zone.bottom, zone.top - spec.top_cover
        y0, y1 = max(foot, sill - reach), min(top, head + reach)
        for x in (low - BESIDE_OPENING, high + BESIDE_OPENING):
            over = [(s - END_COVER, h + END_COVER) for (a, b), s, h in leg.openings if a < x < b]
            part = _part_at((y0, y1), over, (sill, head))
            if Length(0) < x < leg.length and part:
                basis = f"beside an opening {_in(head - sill)} high, {_in(reach)} beyond each end where the wall allows"
                line = (x.inch, part[0].inch, x.inch, part[1].inch)
                bars.add(leg.name, zone.stage, BarRole.OPENING, size, part[1] - part[0], basis, 1, None, [line])
        _add_sill_and_head(bars, leg, zone, (low, high), [head + BESIDE_OPENING, sill - BESIDE_OPENING])


def _part_at(run: Run, holes: list[Run], about: Run) -> Run | None:
    """The unbroken part of a run beside an opening, after other openings are taken out of it."""
    return next((p for p in subtract(run, holes) if p[0] < about[1] and p[1] > about[0]), None)


def _add_sill_and_head(bars: Gathered, leg: LegSteel, zone: Zone, jambs: Run, levels: list[Length]) -> None:
    spec, rows = leg.plan.spec.bars, levels_in(zone, leg)
    start, end = _bar_ends(leg, (Length(0), leg.length))
    reach = spec.opening_bar_reach
    run = (max(start, jambs[0] - reach), min(end, jambs[1] + reach))
    for level in levels:
        if not zone.bottom + END_COVER <= level <= zone.top - END_COVER:
            continue
        others = [(a - END_COVER, b + END_COVER) for a, b in holes_at(leg, level)]
        part = _part_at(run, others, jambs)
        if part:
            basis = f"above or below an opening {_in(jambs[1] - jambs[0])} wide, {_in(reach)} beyond each side"
            if any(abs(row - level) < BESIDE_ROW for row in rows):
                basis += ", beside the row of horizontal bars at its level"
            line = (part[0].inch, level.inch, part[1].inch, level.inch)
            cut = leg.along_bar(part[1] - part[0])
            bars.add(leg.name, zone.stage, BarRole.OPENING, spec.opening_bar_size, cut, basis, 1, None, [line])


def _zone_of(leg: LegSteel, jambs: Run, sill: Length, head: Length) -> Zone | None:
    """The pour that holds most of an opening's height, at its start jamb."""
    here = [z for z in leg.zones if z.stretch.start <= jambs[0] < z.stretch.end]
    return max(here, key=lambda z: min(z.top, head) - max(z.bottom, sill), default=None)


def _in(length: Length) -> str:
    return format_length(length, "in")
