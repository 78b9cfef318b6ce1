"""Heights that are not a whole number of courses: what stands in each course where a rest is left at top or foot.

Four ways (:class:`takeoff.plan.RestWay`): rip one course; share the last whole course and the rest between two
courses ripped alike; lay units made lower; leave a whole course standing and stop the concrete at a line inside it.
A way that cannot be had at some place falls back to a rip there, and :attr:`Rest.fell_back` says why.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from takeoff.courses import Grid, rip
from takeoff.forms import FormSystem
from takeoff.plan import Levels, RestWay
from takeoff.units import ZERO, Length, format_length


@dataclass(frozen=True, slots=True)
class RestRule:
    """What a section and its form system say about a rest: the way chosen, the low units there are, the least rip."""

    way: RestWay
    part_height: Length | None
    minimum: Length


class Line(NamedTuple):
    """One course at one place: its bottom and top as it stands, and the height of the unit it is cut from."""

    bottom: Length
    top: Length
    unit: Length


@dataclass(frozen=True, slots=True)
class Rest:
    """A rest at the top or the foot of a wall, and how it is made. ``full`` whole courses of ``face_height`` stand
    beside it; ``made`` is the height of the course (of each of the two courses) after cutting, ``unit`` of what it is
    cut from."""

    at_top: bool
    rest: Length
    full: int
    face_height: Length
    way: RestWay
    made: Length
    unit: Length
    fell_back: str = ""

    @property
    def height(self) -> Length:
        """Whole courses and the rest together."""
        return self.full * self.face_height + self.rest

    @property
    def lost(self) -> Length:
        """Height of foam cut away over one inch of wall, at the pour line too; in both courses where two share."""
        return self.unit - self.rest


@lru_cache(maxsize=1024)  # forms and bars ask for the same courses, and so do legs alike
def lay_heights(levels: Levels, grid: Grid, rule: RestRule) -> tuple[Mapping[int, Line], tuple[Rest, ...]]:
    """Every course of one stretch by number, with what was done about a rest at its foot and at its top.

    Course numbers stay those of the grid: two courses that share a rest are the last whole one and the odd one, their
    common line moved.
    """
    foot, top, high = levels.footing_top, levels.top, grid.height
    if top <= foot:
        return {}, ()
    first, last = grid.course_at(foot), grid.course_at(top)
    if grid.bottom(last) == top:
        last -= 1
    lines = {n: Line(max(grid.bottom(n), foot), min(grid.bottom(n + 1), top), high) for n in range(first, last + 1)}
    odd_foot, odd_top = foot > grid.bottom(first), top < grid.bottom(last + 1)
    full = sum(1 for line in lines.values() if line.top - line.bottom == high)
    found = []
    if odd_top:
        found.append(_make(lines, last, full, grid, rule, at_top=True))
    if odd_foot and not (odd_top and first == last):
        found.append(_make(lines, first, full, grid, rule, at_top=False))
    return lines, tuple(found)


def _make(lines: dict[int, Line], n: int, full: int, grid: Grid, rule: RestRule, at_top: bool) -> Rest:
    """Build the odd course ``n`` in the way chosen, changing ``lines``."""
    line, high = lines[n], grid.height
    rest = line.top - line.bottom
    way, why = rule.way, ""
    made, unit = rest, high
    if way is RestWay.TWO_RIPPED:
        other = n - 1 if at_top else n + 1
        beside = lines.get(other)
        if beside is None or beside.top - beside.bottom < high:
            way, why = RestWay.RIP, "there is no whole course beside it to share with"
        else:
            made = _share(lines, n, other, at_top)
    elif way is RestWay.PART_HEIGHT:
        if rule.part_height is None:
            way, why = RestWay.RIP, "the form system has no lower units"
        elif rule.part_height < rest:
            way, why = RestWay.RIP, f"the {_in(rule.part_height)} units do not reach"
        else:
            unit = rule.part_height
            lines[n] = line._replace(unit=unit)
    elif way is RestWay.POUR_LINE:
        if at_top:
            lines[n] = line._replace(top=grid.bottom(n + 1))
        else:
            way, why = RestWay.RIP, "a rest at the foot has no pour line"
    return Rest(at_top, rest, full, high, way, made, unit, why)


def _share(lines: dict[int, Line], n: int, other: int, at_top: bool) -> Length:
    """Move the line between two courses so that both are ripped alike; their height (the lower one's)."""
    lower, upper = (other, n) if at_top else (n, other)
    half = (lines[upper].top - lines[lower].bottom).half()
    middle = lines[lower].bottom + half
    lines[lower] = lines[lower]._replace(top=middle)
    lines[upper] = lines[upper]._replace(bottom=middle)
    return half


# -- what the engine would take --------------------------------------------------------------------
def proposal(rest: Length, full: int, form: FormSystem, minimum: Length, at_top: bool) -> tuple[RestWay | None, str]:
    """The way this program would take for a rest, and why; None where only another level of the footing helps.

    In this order: units that are just as high as the rest; one ripped course, where it keeps the least height; two
    courses ripped alike, where they do; a pour line. Common practice, no source.
    """
    way = rip(full * form.face_height + rest, form.face_height)
    if form.half_height == rest:
        return RestWay.PART_HEIGHT, f"{_in(rest)} units fit without a cut"
    if rest >= minimum:
        return RestWay.RIP, f"one ripped course, {_in(form.face_height - rest)} of it lost"
    if full and way.two_courses >= minimum:
        return RestWay.TWO_RIPPED, f"two courses ripped to {_in(way.two_courses)} both keep a bar seat"
    if at_top:
        return RestWay.POUR_LINE, f"a whole course stands and {_in(way.whole_course_trim)} of it is trimmed off"
    return None, "no way of cutting keeps the least rip"


def rule_of(form: FormSystem, way: RestWay, minimum: Length) -> RestRule:
    """The rule for legs of a section built of one form system."""
    low = form.half_height if form.half_height is not None and ZERO < form.half_height < form.face_height else None
    return RestRule(way, low, minimum)


def _in(length: Length) -> str:
    return format_length(length, "in")
