"""At which levels horizontal bars lie in a wall: the courses as laid, clear of bucks; and how far each row runs."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from takeoff.bar_runs import END_COVER, LegSteel, Run, Zone, subtract
from takeoff.courses import Grid
from takeoff.plan import Stage
from takeoff.problems import Problem, Severity
from takeoff.rests import Line as CourseLine
from takeoff.rests import RestRule, lay_heights, rule_of
from takeoff.units import Length, format_length

#: Where bars of each (stage, level) run along a leg, lowest first.
Rows = dict[tuple[Stage, Length], list[Run]]

#: A level of bars lies within this of the top and of the bottom of every pour. Common practice, no source.
END_ZONE = Length.inches(12)

#: A ripped end course lower than this holds no level of its own if the next one still reaches the end zone.
THIN = Length.inches(4)

#: A bar closer than this above or below an opening would meet its buck. Common practice, no source.
CLEAR_OF_BUCK = Length.inches("1.5")

#: Seats for bars in the height of a form unit: at every quarter of it; a row moves by two at most, half a course.
#: Common practice, no source.
SEATS, FARTHEST = 4, 2


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
    """Where bars of each (stage, level) run along the leg: stretches side by side joined, a lap past a step where the
    row beside it lies at another level, openings taken out."""
    runs: dict[tuple[Stage, Length], list[Run]] = {}
    for zone in leg.zones:
        for level in levels_in(zone, leg):
            of_level = runs.setdefault((zone.stage, level), [])
            if of_level and of_level[-1][1] == zone.stretch.start:
                of_level[-1] = (of_level[-1][0], zone.stretch.end)
            else:
                of_level.append((zone.stretch.start, zone.stretch.end))
    return {
        (stage, level): [
            part for run in of_level for part in subtract(_past_steps(leg, stage, level, run), holes_at(leg, level))
        ]
        for (stage, level), of_level in sorted(runs.items(), key=lambda item: item[0][1])
    }


def _past_steps(leg: LegSteel, stage: Stage, level: Length, run: Run) -> Run:
    """A run that ends at a step goes on a lap (and the cover taken off both ends) into the wall beside, where that wall
    stands at its level, so that it laps the row that lies a little higher or lower there. Common practice, no
    source."""
    start, end = run
    on = leg.lap(leg.plan.spec.bars.horizontal_size, upright=False).length + END_COVER + END_COVER
    for zone in (z for z in leg.zones if z.stage is stage and z.bottom + END_COVER <= level <= z.top - END_COVER):
        if zone.stretch.end == run[0]:
            start = max(zone.stretch.start, run[0] - on)
        if zone.stretch.start == run[1]:
            end = min(zone.stretch.end, run[1] + on)
    return start, end


def holes_at(leg: LegSteel, level: Length) -> Iterator[Run]:
    return (jambs for jambs, sill, head in leg.openings if sill - CLEAR_OF_BUCK < level < head + CLEAR_OF_BUCK)
