"""Courses: where they lie on a section's grid, what is ripped, and what else a height could be built from.

One grid per section and face height: course 1 is the lowest the section needs, every course line is a whole number of
face heights from the section's datum. A frost wall and the full-height wall on it share the grid.
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.plan import Leg, Levels, OddCourse, Plan, Section
from takeoff.units import ZERO, Length, format_length


@dataclass(frozen=True, slots=True)
class Grid:
    """Course lines: course 1 starts at ``base``; every course is ``height`` high.

    ``datum`` is the level the section counts from where it has one of its own. Which of two successive courses is
    laid with which hand is counted from there, so that legs of a split section, or a leg dug deeper later, do not
    turn over the courses of the others.
    """

    base: Length
    height: Length
    datum: Length | None = None

    def bottom(self, course: int) -> Length:
        """Level of the bottom line of a course."""
        return Length(self.base.nm + (course - 1) * self.height.nm)

    def course_at(self, level: Length) -> int:
        """The course whose bottom line is at or next below a level."""
        return (level.nm - self.base.nm) // self.height.nm + 1

    def is_odd(self, level: Length) -> bool:
        """True where the course whose bottom line is at or next below a level is laid like the first one."""
        start = self.base if self.datum is None else self.datum
        return (level.nm - start.nm) // self.height.nm % 2 == 0

    def in_step_with(self, other: Grid) -> bool:
        """True where the course lines of both grids run through."""
        return self.height == other.height and not (self.base - other.base) % self.height


def section_grid(section: Section, legs: tuple[Leg, ...], height: Length) -> Grid:
    """The grid of a section's legs that are built of units of one face height.

    The datum is the section's, or the lowest footing top (odd course at the top) or the highest wall top (odd
    course at the bottom).
    """
    lowest = min(level for leg in legs for level in _footing_tops(leg))
    datum = section.datum
    if datum is None:
        highest = max(level for leg in legs for level in _tops(leg))
        datum = lowest if section.odd_course is OddCourse.TOP else highest
    return Grid(datum + ((lowest - datum) // height) * height, height, section.datum)


def _footing_tops(leg: Leg) -> list[Length]:
    return [leg.footing_top, *(s.footing_top for s in leg.steps if s.footing_top is not None)]


def _tops(leg: Leg) -> list[Length]:
    own = [leg.levels.top]
    own += [s.wall_top for s in leg.steps if s.wall_top is not None]
    if leg.wall_top is None:
        own += [s.frost_top for s in leg.steps if s.frost_top is not None]
    return own


def grids(plan: Plan) -> dict[str, Grid]:
    """The course grid of every leg, by leg name."""
    out: dict[str, Grid] = {}
    for section in plan.sections:
        by_height: dict[Length, list[Leg]] = {}
        for leg in plan.legs_in(section.key):
            by_height.setdefault(plan.form(leg.form).face_height, []).append(leg)
        for height, legs in by_height.items():
            grid = section_grid(section, tuple(legs), height)
            out.update({leg.name: grid for leg in legs})
    return out


@dataclass(frozen=True, slots=True)
class Band:
    """What one course occupies over one span, after cutting to the footing and to the top of the wall, and the height
    of the units it is cut from. At a pour line it stands above the top of the wall."""

    start: Length
    end: Length
    bottom: Length
    top: Length
    levels: Levels
    unit: Length

    @property
    def poured_to(self) -> Length:
        """Level the concrete comes up to in it."""
        return min(self.top, self.levels.top)


@dataclass(frozen=True, slots=True)
class Rip:
    """A height in whole courses and what is left over, with the ways to build the rest.

    ``whole_course_trim`` is what is cut off a whole top course (also the height above the pour line); ``two_courses``
    the height of each of two ripped courses that share the last whole course and the rest.
    """

    full_courses: int
    rest: Length
    whole_course_trim: Length
    two_courses: Length
    footing_down: Length
    footing_up: Length


def rip(height: Length, face_height: Length) -> Rip:
    """Divide a wall height into courses of ``face_height``. Common practice, no source."""
    full, rest = height // face_height, height % face_height
    trim = face_height - rest if rest else ZERO
    return Rip(full, rest, trim, (face_height + rest).half() if rest else ZERO, trim, rest)


def stock_mix(height: Length, heights: tuple[Length, ...]) -> dict[Length, int] | None:
    """The fewest units of the given heights that add up to a height exactly, or None where they cannot.

    The tallest unit is used as far as it goes; from there fewer, down to none.
    """
    if not height:
        return {}
    if not heights:
        return None
    tallest, rest = max(heights), tuple(h for h in heights if h != max(heights))
    best: dict[Length, int] | None = None
    for count in range(height // tallest, -1, -1):
        below = stock_mix(height - count * tallest, rest)
        if below is not None:
            mix = ({tallest: count} if count else {}) | below
            if best is None or sum(mix.values()) < sum(best.values()):
                best = mix
    return best


def rip_options(
    height: Length, face_height: Length, minimum: Length, part_height: Length | None, at_top: bool = True
) -> str:
    """What to do about a rest too low to rip, with its numbers: the choices in one clause, joined by 'or'.

    ``at_top`` False is for a rest at the foot, where a lower pour line is no way out.
    """
    way = rip(height, face_height)
    options = []
    mix = stock_mix(height, (face_height, part_height)) if part_height else None
    if mix and part_height:
        options.append(
            f"{mix.get(face_height, 0)} full courses and {mix.get(part_height, 0)} of {_in(part_height)} units"
        )
    if at_top:
        options.append(f"a pour line {_in(way.whole_course_trim)} below the top of a whole course")
    if way.two_courses >= minimum and way.full_courses:
        options.append(f"two courses ripped to {_in(way.two_courses)} each")
    options.append(f"the footing {_in(way.footing_up)} higher or {_in(way.footing_down)} lower")
    return "; ".join(options[:-1]) + ("; or " if len(options) > 1 else "") + options[-1]


def _in(length: Length) -> str:
    return format_length(length, "in")
