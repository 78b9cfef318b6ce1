"""Horizontal bars of the walls: levels by course, laps, corner bars, and the bars around openings."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import lru_cache

from takeoff.bar_runs import END_COVER, Gathered, LegSteel, Line, Met, Run, Zone, inset, subtract
from takeoff.bending import bent, cut_length
from takeoff.courses import Grid
from takeoff.geometry import Corner, CornerKind
from takeoff.laps import lapped_pieces
from takeoff.plan import Stage
from takeoff.problems import Problem, Severity
from takeoff.rests import Line as CourseLine
from takeoff.rests import RestRule, lay_heights, rule_of
from takeoff.results import BarRole, BarShape
from takeoff.units import ZERO, Length, format_length

#: Where bars of each (stage, level) run along a leg, lowest first.
Rows = dict[tuple[Stage, Length], list[Run]]

#: A level of bars lies within this of the top and of the bottom of every pour. Common practice, no source.
END_ZONE = Length.inches(12)

#: A ripped end course lower than this holds no level of its own if the next one still reaches the end zone.
THIN = Length.inches(4)

#: Bars beside an opening lie this far from its edge. Common practice, no source.
BESIDE_OPENING = Length.inches(3)

#: A bar closer than this above or below an opening would meet its buck. Common practice, no source.
CLEAR_OF_BUCK = Length.inches("1.5")

#: A bar this close to a row of horizontal bars lies beside one of them. Common practice, no source.
BESIDE_ROW = Length.inches("1.5")

#: Seats for bars in the height of a form unit: at every quarter of it; a row moves by two at most, half a course.
#: Common practice, no source.
SEATS, FARTHEST = 4, 2


# -- levels ----------------------------------------------------------------------------------------
@lru_cache(maxsize=256)  # asked for with the rows, at openings and by the code's check
def levels_in(zone: Zone, leg: LegSteel) -> tuple[Length, ...]:
    """Levels of horizontal bars in one pour of one stretch, lowest first: the middle of every n-th course, and always
    of the first and the last; one that would meet a buck lies in the next seat."""
    courses = _course_levels(zone, leg)
    while len(courses) > 1 and courses[-1][1] < THIN and zone.top - courses[-2][0] <= END_ZONE:
        courses.pop()
    while len(courses) > 1 and courses[0][1] < THIN and courses[1][0] - zone.bottom <= END_ZONE:
        courses.pop(0)
    every, last = leg.plan.spec.bars.horizontal_every_courses, len(courses) - 1
    chosen = [level for i, (level, _) in enumerate(courses) if i % max(1, every) == 0 or i == last]
    return tuple(clear_of_bucks(zone, leg, level) for level in chosen) if leg.openings else tuple(chosen)


def _course_levels(zone: Zone, leg: LegSteel) -> list[tuple[Length, Length]]:
    """(bar level, height) of each course of a pour as it is laid, lowest first; the bar sits in the middle of the unit,
    moved where a cut leaves no cover."""
    lines, _ = lay_heights(zone.stretch.levels, leg.grid, _rest_rule(leg))
    out = []
    for course, line in lines.items():
        bottom, top = max(line.bottom, zone.bottom), min(line.top, zone.top)
        if top > bottom:
            middle = _unit_middle(course, line, leg.grid)
            level = middle if bottom + END_COVER <= middle <= top - END_COVER else bottom + (top - bottom).half()
            out.append((level, top - bottom))
    return out


def _unit_middle(course: int, line: CourseLine, grid: Grid) -> Length:
    """Level of the middle of the unit a course is cut from. Of two courses ripped alike the one at the end of the wall
    leaves its place on the grid: the upper one keeps its lower edge, the lower one its upper edge."""
    if line.bottom < grid.bottom(course):
        return line.bottom + grid.height.half()
    if line.top > grid.bottom(course + 1):
        return line.top - grid.height.half()
    return grid.bottom(course) + grid.height.half()


def _rest_rule(leg: LegSteel) -> RestRule:
    way = leg.plan.section(leg.leg.section).rest_way
    return rule_of(leg.plan.form(leg.leg.form), way, leg.plan.spec.layout.minimum_rip)


def clear_of_bucks(zone: Zone, leg: LegSteel, level: Length) -> Length:
    """The level, or where it would meet the head or the sill of a buck, the nearest seat up or down that meets none:
    inside the pour's covers, within the end zone it was in, in no opening it was not in. The level itself where there
    is no such seat; its bars then stop at the buck (:func:`meets_buck`)."""
    if not meets_buck(zone, leg, level):
        return level
    holes = _openings_over(zone, leg)
    inside = [hole for hole in holes if hole[0] < level < hole[1]]
    low, high = zone.bottom + END_COVER, zone.top - END_COVER
    if level <= zone.bottom + END_ZONE:
        high = min(high, zone.bottom + END_ZONE)
    if level >= zone.top - END_ZONE:
        low = max(low, zone.top - END_ZONE)
    seat = Length(leg.grid.height.nm // SEATS)
    for away in (k * seat for k in range(1, FARTHEST + 1)):
        for other in (level + away, level - away):
            entered = any(sill < other < head for sill, head in holes if (sill, head) not in inside)
            if low <= other <= high and not entered and not meets_buck(zone, leg, other):
                return other
    return level


def meets_buck(zone: Zone, leg: LegSteel, level: Length) -> bool:
    """True where a level of a pour runs over or under an opening so close that its bars meet the buck."""
    return any(
        sill - CLEAR_OF_BUCK < level <= sill or head <= level < head + CLEAR_OF_BUCK
        for sill, head in _openings_over(zone, leg)
    )


def stopped_rows(legs: tuple[LegSteel, ...]) -> list[Problem]:
    """Rows that meet a buck and find no seat clear of it, told leg by leg."""
    out = []
    for leg in (leg for leg in legs if leg.openings):
        levels = {level for zone in leg.zones for level in levels_in(zone, leg) if meets_buck(zone, leg, level)}
        if levels:
            at = " and ".join(format_length(level) for level in sorted(levels))
            sentence = (
                f"{leg.name}: the row of horizontal bars at {at} meets the buck of an opening and no seat near it is "
                "clear; its bars stop at the buck. Lay it by hand where the plan allows."
            )
            out.append(Problem(Severity.NOTE, sentence, leg=leg.name))
    return out


def _openings_over(zone: Zone, leg: LegSteel) -> list[Run]:
    """(sill, head) of the openings of a stretch."""
    stretch = zone.stretch
    return [(sill, head) for (a, b), sill, head in leg.openings if a < stretch.end and b > stretch.start]


def level_runs(leg: LegSteel) -> Rows:
    """Where bars of each (stage, level) run along the leg: stretches side by side joined, openings taken out."""
    runs: dict[tuple[Stage, Length], list[Run]] = {}
    for zone in leg.zones:
        for level in levels_in(zone, leg):
            of_level = runs.setdefault((zone.stage, level), [])
            if of_level and of_level[-1][1] == zone.stretch.start:
                of_level[-1] = (of_level[-1][0], zone.stretch.end)
            else:
                of_level.append((zone.stretch.start, zone.stretch.end))
    return {
        (stage, level): [part for run in of_level for part in subtract(run, _holes(leg, level))]
        for (stage, level), of_level in sorted(runs.items(), key=lambda item: item[0][1])
    }


def _holes(leg: LegSteel, level: Length) -> Iterator[Run]:
    return (jambs for jambs, sill, head in leg.openings if sill - CLEAR_OF_BUCK < level < head + CLEAR_OF_BUCK)


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
    return min([room, *(jambs[0] for jambs in _holes(leg, level))])


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
        others = [(a - END_COVER, b + END_COVER) for a, b in _holes(leg, level)]
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
