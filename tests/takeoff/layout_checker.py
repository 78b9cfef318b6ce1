"""An independent look at a block layout: what a person with a tape and the plan would check, in code of its own.

It shares nothing with the layout but the plan, the lengths of the placed legs and the units it is shown. Everything is
cut into small cells between all steps and jambs of a leg, and each cell of each course is asked what should stand in
it.
Counts and drawings are looked at by :mod:`tests.takeoff.layout_counts`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from takeoff.blocks import Layout
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.plan import End, OddCourse, OpeningKind, Plan, RestWay, Stage, WalkKind
from takeoff.results import PlacedUnit, UnitKind

SQUARE = {UnitKind.CORNER, UnitKind.CORNER_LEFT, UnitKind.CORNER_RIGHT}
SLANTED = {UnitKind.CORNER_45, UnitKind.CORNER_45_LEFT, UnitKind.CORNER_45_RIGHT}
CORNERS = SQUARE | SLANTED
RIGHT = {UnitKind.CORNER_RIGHT, UnitKind.CORNER_45_RIGHT}
INCH = 25_400_000

Span = tuple[int, int]


@dataclass(frozen=True)
class Cell:
    """A piece of a leg where nothing changes: levels, where each course stands, and the openings as (sill, head)."""

    start: int
    end: int
    foot: int
    frost: int | None
    top: int
    openings: tuple[Span, ...]
    courses: dict[int, Span]

    def occupied(self, course: int) -> bool:
        """True where something of a course should be standing."""
        if course not in self.courses:
            return False
        low, high = self.courses[course]
        high = min(high, self.top)
        return not any(sill <= low and head >= high for sill, head in self.openings)


# -- what the plan says ----------------------------------------------------------------------------
def grid_of(plan: Plan, geometry: LegGeometry) -> tuple[int, int]:
    """(level where course 1 starts, face height): counted from the section's datum, course 1 the lowest needed."""
    section, height = plan.section(geometry.leg.section), plan.form(geometry.leg.form).face_height.nm
    legs = [g for g in plan.legs_in(section.key) if plan.form(g.form).face_height.nm == height]
    feet = [x.nm for g in legs for x in (g.footing_top, *(s.footing_top for s in g.steps)) if x is not None]
    tops = [x.nm for g in legs for x in (g.wall_top or g.frost_top, *(s.wall_top for s in g.steps)) if x is not None]
    lowest = min(feet)
    datum = max(tops) if section.odd_course is OddCourse.BOTTOM else lowest
    datum = section.datum.nm if section.datum is not None else datum
    while datum > lowest:
        datum -= height
    while datum + height <= lowest:
        datum += height
    return datum, height


def courses_between(foot: int, top: int, base: int, height: int, way: RestWay) -> dict[int, Span]:
    """Where each course stands from a footing to the top of a wall, odd ones made in the way chosen."""
    first, last = (foot - base) // height, -((base - top) // height) - 1
    out = {n + 1: (max(foot, base + n * height), min(top, base + (n + 1) * height)) for n in range(first, last + 1)}
    whole = {n for n, (low, high) in out.items() if high - low == height}
    low_n, high_n = first + 1, last + 1
    odd_top, odd_foot = high_n not in whole and out[high_n][1] < base + high_n * height, low_n not in whole
    if way is RestWay.POUR_LINE and odd_top:
        out[high_n] = (out[high_n][0], base + high_n * height)
    if way is RestWay.TWO_RIPPED:
        if odd_top and high_n - 1 in whole:
            share(out, high_n - 1, high_n)
            whole.discard(high_n - 1)
        if odd_foot and low_n != high_n and low_n + 1 in whole:
            share(out, low_n, low_n + 1)
    return out


def share(out: dict[int, Span], lower: int, upper: int) -> None:
    middle = out[lower][0] + (out[upper][1] - out[lower][0]) // 2
    out[lower], out[upper] = (out[lower][0], middle), (middle, out[upper][1])


def holes_of(plan: Plan, geometry: LegGeometry) -> list[tuple[int, int, int, int]]:
    """Openings with the boards of their bucks: both jambs along the leg, sill and head."""
    buck, out = plan.spec.layout.buck.nm, []
    for opening in geometry.leg.openings:
        near = geometry.along_outside(
            opening.offset if opening.measured_from is End.START else geometry.dimension_length - opening.offset
        ).nm
        low = near if opening.measured_from is End.START else near - opening.width.nm
        below = buck if opening.kind is OpeningKind.WINDOW else 0
        sill = opening.sill.nm
        out.append((low - buck, low + opening.width.nm + buck, sill - below, sill + opening.height.nm + buck))
    return out


def cells_of(plan: Plan, geometry: LegGeometry) -> list[Cell]:
    """A leg cut at its steps and jambs."""
    leg, length = geometry.leg, geometry.outside.length.nm
    steps = sorted(leg.steps, key=lambda s: s.at)
    at = [0, *(geometry.along_outside(s.at).nm for s in steps), length]
    holes = holes_of(plan, geometry)
    cuts = sorted({*at, *(min(max(0, x), length) for hole in holes for x in hole[:2])})
    base, height = grid_of(plan, geometry)
    way = plan.section(leg.section).rest_way
    out = []
    for a, b in pairwise(cuts):
        foot, frost, wall = leg.footing_top, leg.frost_top, leg.wall_top
        for step, x in zip(steps, at[1:-1], strict=True):
            if x <= a:
                foot, frost, wall = step.footing_top or foot, step.frost_top or frost, step.wall_top or wall
        top = wall or frost
        assert top is not None
        over = tuple((sill, head) for low, high, sill, head in holes if low < b and high > a)
        standing = courses_between(foot.nm, top.nm, base, height, way)
        out.append(Cell(a, b, foot.nm, frost.nm if frost else None, top.nm, over, standing))
    return out


# -- one leg ---------------------------------------------------------------------------------------
def check(plan: Plan, placement: Placement, layout: Layout) -> None:
    """Assert everything that can be asserted of where units stand, on straight legs."""
    by_leg: dict[str, list[PlacedUnit]] = defaultdict(list)
    for unit in layout.units:
        by_leg[unit.leg].append(unit)
    for name, geometry in placement.legs.items():
        check_leg(plan, geometry, by_leg[name], layout)
    check_corners(plan, placement, layout)
    check_caps(plan, placement, by_leg)


def check_leg(plan: Plan, geometry: LegGeometry, units: list[PlacedUnit], layout: Layout) -> None:
    cells = cells_of(plan, geometry)
    rows: dict[int, list[PlacedUnit]] = defaultdict(list)
    for unit in units:
        rows[unit.course].append(unit)
    courses = {n for cell in cells for n in cell.courses}
    assert set(rows) <= courses
    form = plan.form(geometry.leg.form)
    least = plan.spec.layout.minimum_piece or form.web_spacing
    told_short = any(
        p.leg == geometry.leg.name and "shorter than one web spacing" in p.sentence for p in layout.problems
    )
    for course in courses:
        check_cover(cells, rows[course], course)
        for unit in rows[course]:
            check_unit(plan, cells, unit)
            assert unit.end - unit.start >= least or told_short
    check_bond(plan, geometry, rows, layout)


def check_cover(cells: list[Cell], row: list[PlacedUnit], course: int) -> None:
    """No gap, no overlap, nothing in an opening or in the air: widths add up cell by cell."""
    for a, b in pairwise(row):
        assert a.end <= b.start, "units overlap"
    for cell in cells:
        covered = sum(max(0, min(u.end.nm, cell.end) - max(u.start.nm, cell.start)) for u in row)
        expected = cell.end - cell.start if cell.occupied(course) else 0
        assert covered == expected, f"cell {cell} in course {course}: {covered} of {expected}"


def check_unit(plan: Plan, cells: list[Cell], unit: PlacedUnit) -> None:
    form = plan.form(plan.leg(unit.leg).form)
    face, length = form.face_height.nm, form.length.nm
    assert unit.start < unit.end and (unit.end - unit.start).nm <= length
    under = [c for c in cells if c.start < unit.end.nm and c.end > unit.start.nm and unit.course in c.courses]
    bands = [c.courses[unit.course] for c in under]
    assert unit.bottom.nm == min(b[0] for b in bands) and unit.top.nm == max(b[1] for b in bands)
    high = unit.top.nm - unit.bottom.nm
    assert high <= face, "no unit is that high"
    assert unit.ripped == (high < (form.half_height.nm if unit.part_height and form.half_height else face))
    if unit.part_height:
        assert plan.section(plan.leg(unit.leg).section).rest_way is RestWay.PART_HEIGHT
        assert unit.kind not in CORNERS and form.half_height is not None and high <= form.half_height.nm
    if unit.kind not in CORNERS:  # a corner unit may be stacked early for the leg around the corner
        frost = any(c.frost is not None and band[0] < c.frost for c, band in zip(under, bands, strict=True))
        assert (unit.stage is Stage.FROST_WALL) == frost
        if unit.kind is UnitKind.STRAIGHT and unit.counted:
            assert (unit.cut_start or unit.cut_end) == ((unit.end - unit.start).nm < length)


def check_bond(plan: Plan, geometry: LegGeometry, rows: dict[int, list[PlacedUnit]], layout: Layout) -> None:
    """Every pair of joints closer than the minimum is reported as a seam, and every seam is such a pair."""
    form, spec = plan.form(geometry.leg.form), plan.spec.layout
    minimum = spec.minimum_offset.nm if spec.minimum_offset else max(8 * INCH, form.web_spacing.nm)
    joints = {n: {a.end.nm for a, b in pairwise(row) if a.end == b.start} for n, row in rows.items()}
    found = {
        (n, upper, min(abs(upper - lower) for lower in joints[n - 1]))
        for n in joints
        if joints.get(n - 1)
        for upper in joints[n]
        if min(abs(upper - lower) for lower in joints[n - 1]) < minimum
    }
    seams = {(s.course, s.at.nm, s.offset.nm) for s in layout.seams if s.leg == geometry.leg.name}
    assert seams == found
    if found:
        assert any(p.leg == geometry.leg.name and "too close" in p.sentence for p in layout.problems)


# -- corners ---------------------------------------------------------------------------------------
def joined_legs(plan: Plan, placement: Placement) -> list[tuple[LegGeometry, LegGeometry]]:
    """Pairs of legs that follow each other."""
    out = []
    for walk in plan.walks:
        legs = [placement.legs[g.name] for g in walk.legs]
        out += list(zip(legs, legs[1:] + (legs[:1] if walk.kind is WalkKind.RING else []), strict=False))
    return out


def check_corners(plan: Plan, placement: Placement, layout: Layout) -> None:
    """One unit a corner and course, on both legs, of the hand its geometry asks for, turning every course."""
    first = {(u.leg, u.course): u for u in layout.units if not u.start}
    last = {(u.leg, u.course): u for u in layout.units if u.end == placement.legs[u.leg].outside.length}
    for a, b in joined_legs(plan, placement):
        if a.end.kind not in (CornerKind.OUTSIDE, CornerKind.INSIDE) or a.leg.section != b.leg.section:
            continue
        previous = None
        for n in sorted(n for leg, n in last if leg == a.leg.name and (b.leg.name, n) in first):
            arriving, departing = last[a.leg.name, n], first[b.leg.name, n]
            body = max(arriving.top, departing.top) - min(arriving.bottom, departing.bottom)
            told = any("different lines" in p.sentence and p.leg == a.leg.name for p in layout.problems)
            too_high = body.nm > plan.form(a.leg.form).face_height.nm
            shared = arriving.kind in CORNERS and (arriving.counted, departing.counted) == (True, False)
            assert not too_high or (told and not shared), "no unit is high enough for both legs"
            if told and (too_high or UnitKind.STRAIGHT in (arriving.kind, departing.kind)):
                continue
            if check_corner(plan, a, b, arriving, departing):
                longer = (departing.end - departing.start) > (arriving.end - arriving.start)
                assert previous != (n - 1, longer), "the long leg must turn with every course"
                previous = (n, longer)


def has_unit(plan: Plan, a: LegGeometry) -> bool:
    """Whether the form system has a corner unit for a turn."""
    form = plan.form(a.leg.form)
    sizes = form.corners if math.isclose(a.end.deflection_deg, 90.0, abs_tol=0.01) else form.corners_45
    return any(c.core == a.leg.core for c in sizes)


def check_corner(plan: Plan, a: LegGeometry, b: LegGeometry, arriving: PlacedUnit, departing: PlacedUnit) -> bool:
    """True where a whole corner unit stands."""
    if not has_unit(plan, a):
        assert arriving.kind is departing.kind is UnitKind.MITRE and arriving.counted and departing.counted
        return False
    form, square = plan.form(a.leg.form), math.isclose(a.end.deflection_deg, 90.0, abs_tol=0.01)
    assert arriving.kind == departing.kind and arriving.kind in (SQUARE if square else SLANTED)
    assert (arriving.counted, departing.counted) == (True, False)
    assert arriving.stage == departing.stage
    sizes = next(c for c in (form.corners if square else form.corners_45) if c.core == a.leg.core)
    less = 0.0
    if a.end.kind is CornerKind.INSIDE:
        less = form.thickness(a.leg.core).inch * math.tan(math.radians(90 if square else 45) / 2)
    whole = sorted((sizes.long.inch - less, sizes.short.inch - less))
    on_a, on_b = (arriving.end - arriving.start).inch, (departing.end - departing.start).inch
    assert max(on_a, on_b) <= whole[1] + 1e-6
    if arriving.cut_start or arriving.cut_end or departing.cut_start or departing.cut_end:
        return False
    assert math.isclose(min(on_a, on_b), whole[0], abs_tol=1e-6)
    assert math.isclose(max(on_a, on_b), whole[1], abs_tol=1e-6)
    if form.handed:
        assert (arriving.kind in RIGHT) == long_leg_points_right(a, b, on_b > on_a)
    else:
        assert arriving.kind in (UnitKind.CORNER, UnitKind.CORNER_45)
    return True


def long_leg_points_right(a: LegGeometry, b: LegGeometry, long_on_departing: bool) -> bool:
    """Look at the corner unit from its convex side, into the angle between its legs: which way does the long one go?"""
    back = (a.outside.x0 - a.outside.x1, a.outside.y0 - a.outside.y1)
    on = (b.outside.x1 - b.outside.x0, b.outside.y1 - b.outside.y0)
    back, on = ((v[0] / math.hypot(*v), v[1] / math.hypot(*v)) for v in (back, on))
    view = (back[0] + on[0], back[1] + on[1])
    right = (view[1], -view[0])
    long = on if long_on_departing else back
    return long[0] * right[0] + long[1] * right[1] > 0


# -- ends in the open ------------------------------------------------------------------------------
def check_caps(plan: Plan, placement: Placement, by_leg: dict[str, list[PlacedUnit]]) -> None:
    """A cap on every end that touches nothing: no unit, no buck, no wall around the corner."""
    beside: dict[tuple[str, str], tuple[str, str]] = {}
    for a, b in joined_legs(plan, placement):
        beside[a.leg.name, "end"], beside[b.leg.name, "start"] = (b.leg.name, "start"), (a.leg.name, "end")
    for name, units in by_leg.items():
        geometry = placement.legs[name]
        cells, length = cells_of(plan, geometry), geometry.outside.length.nm
        touching = {(u.course, u.start.nm) for u in units} & {(u.course, u.end.nm) for u in units}
        for unit in units:
            for end, at, capped in (("start", unit.start.nm, unit.cap_start), ("end", unit.end.nm, unit.cap_end)):
                next_to = [c for c in cells if (c.end if end == "start" else c.start) == at]
                bucked = any(unit.course in c.courses and not c.occupied(unit.course) for c in next_to)
                if (unit.course, at) in touching or bucked:
                    assert not capped
                elif at in (0, length) and (name, end) in beside:
                    other, side = beside[name, end]
                    assert capped == (not stands_there(unit, by_leg[other], side, placement.legs[other]))
                elif at not in (0, length) or (geometry.start if at == 0 else geometry.end).kind is CornerKind.END:
                    assert capped
                else:
                    assert capped == (not abuts(placement, unit, by_leg))


def stands_there(unit: PlacedUnit, others: list[PlacedUnit], side: str, geometry: LegGeometry) -> bool:
    """Whether a wall stands at the end of the next leg anywhere in the height of a unit."""
    at = 0 if side == "start" else geometry.outside.length.nm
    return any(
        (u.start.nm if side == "start" else u.end.nm) == at and u.bottom < unit.top and u.top > unit.bottom
        for u in others
    )


def abuts(placement: Placement, unit: PlacedUnit, by_leg: dict[str, list[PlacedUnit]]) -> bool:
    """Whether the wall a T stands on is there anywhere in the height of a unit at the T."""
    tees = [t for t in placement.tees if t.spur == unit.leg]
    if len(tees) != 1:
        return not (unit.cap_start or unit.cap_end)
    [tee] = tees
    return any(u.start <= tee.at <= u.end and u.bottom < unit.top and u.top > unit.bottom for u in by_leg[tee.through])
