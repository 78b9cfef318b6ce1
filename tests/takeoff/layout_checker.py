"""An independent look at a block layout: what a person with a tape and the plan would check, in code of its own.

It shares nothing with the layout but the plan, the placed legs and the units it is shown. Everything is cut into small
cells between all steps and jambs of a leg, and each cell of each course is asked what should stand there.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import pairwise

from takeoff.blocks import Layout
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.plan import Plan, Stage, WalkKind
from takeoff.results import PlacedUnit, UnitKind

CORNERS = {UnitKind.CORNER, UnitKind.CORNER_LEFT, UnitKind.CORNER_RIGHT}


@dataclass(frozen=True)
class Cell:
    """A piece of a leg where nothing changes: levels, and the openings over it as (sill, head)."""

    start: int
    end: int
    foot: int
    frost: int | None
    top: int
    openings: tuple[tuple[int, int], ...]

    def band(self, low: int, high: int) -> tuple[int, int] | None:
        bottom, top = max(low, self.foot), min(high, self.top)
        return (bottom, top) if top > bottom else None

    def occupied(self, low: int, high: int) -> bool:
        band = self.band(low, high)
        return band is not None and not any(sill <= band[0] and head >= band[1] for sill, head in self.openings)


def cells_of(geometry: LegGeometry) -> list[Cell]:
    leg, length = geometry.leg, geometry.outside.length.nm
    steps = sorted(leg.steps, key=lambda s: s.at)
    at = [0, *(geometry.along_outside(s.at).nm for s in steps), length]
    spans = [tuple(x.nm for x in geometry.opening_span(o)) for o in leg.openings]
    cuts = sorted({*at, *(min(max(0, x), length) for pair in spans for x in pair)})
    out = []
    for a, b in pairwise(cuts):
        foot, frost, wall = leg.footing_top, leg.frost_top, leg.wall_top
        for step, x in zip(steps, at[1:-1], strict=True):
            if x <= a:
                foot, frost, wall = step.footing_top or foot, step.frost_top or frost, step.wall_top or wall
        top = wall or frost
        assert top is not None
        over = tuple(
            (o.sill.nm, (o.sill + o.height).nm)
            for o, (low, high) in zip(leg.openings, spans, strict=True)
            if low < b and high > a
        )
        out.append(Cell(a, b, foot.nm, frost.nm if frost else None, top.nm, over))
    return out


def check(plan: Plan, placement: Placement, layout: Layout) -> None:
    """Assert everything that can be asserted of a layout of straight legs and square corners."""
    by_leg: dict[str, list[PlacedUnit]] = defaultdict(list)
    for unit in layout.units:
        by_leg[unit.leg].append(unit)
    for name, geometry in placement.legs.items():
        check_leg(plan, geometry, by_leg[name], layout)
    check_corners(plan, placement, layout)
    check_counts(plan, layout)


def grid_of(plan: Plan, geometry: LegGeometry) -> tuple[int, int]:
    """(level where course 1 starts, face height): counted from the section's datum, course 1 the lowest needed."""
    section, height = plan.section(geometry.leg.section), plan.form(geometry.leg.form).face_height.nm
    legs = [g for g in plan.legs_in(section.key) if plan.form(g.form).face_height.nm == height]
    feet = [x.nm for g in legs for x in (g.footing_top, *(s.footing_top for s in g.steps)) if x is not None]
    lowest = min(feet)
    datum = section.datum.nm if section.datum is not None else lowest
    while datum > lowest:
        datum -= height
    while datum + height <= lowest:
        datum += height
    return datum, height


def check_leg(plan: Plan, geometry: LegGeometry, units: list[PlacedUnit], layout: Layout) -> None:
    cells, (base, height) = cells_of(geometry), grid_of(plan, geometry)
    form = plan.form(geometry.leg.form)
    rows: dict[int, list[PlacedUnit]] = defaultdict(list)
    for unit in units:
        rows[unit.course].append(unit)
    highest = max(c.top for c in cells)
    count = math.ceil((highest - base) / height)
    assert set(rows) <= set(range(1, count + 1))
    least = plan.spec.layout.minimum_piece or form.web_spacing
    told_short = any(
        p.leg == geometry.leg.name and "shorter than one web spacing" in p.sentence for p in layout.problems
    )
    for course in range(1, count + 1):
        low = base + (course - 1) * height
        check_cover(cells, rows[course], low, low + height)
        for unit in rows[course]:
            check_unit(cells, unit, low, low + height, form.length.nm)
            assert unit.end - unit.start >= least or told_short
    check_bond(plan, geometry, rows, layout)


def check_cover(cells: list[Cell], row: list[PlacedUnit], low: int, high: int) -> None:
    """No gap, no overlap, nothing in an opening or in the air: widths add up cell by cell."""
    for a, b in pairwise(row):
        assert a.end <= b.start, "units overlap"
    for cell in cells:
        covered = sum(max(0, min(u.end.nm, cell.end) - max(u.start.nm, cell.start)) for u in row)
        expected = cell.end - cell.start if cell.occupied(low, high) else 0
        assert covered == expected, f"cell {cell} in course from {low}: {covered} of {expected}"


def check_unit(cells: list[Cell], unit: PlacedUnit, low: int, high: int, length: int) -> None:
    assert unit.start < unit.end and (unit.end - unit.start).nm <= length
    under = [c for c in cells if c.start < unit.end.nm and c.end > unit.start.nm]
    bands = [band for c in under if (band := c.band(low, high)) is not None]
    assert unit.bottom.nm == min(b[0] for b in bands) and unit.top.nm == max(b[1] for b in bands)
    assert unit.ripped == (unit.top.nm - unit.bottom.nm < high - low)
    if unit.kind not in CORNERS:  # a corner unit may be stacked early for the leg around the corner
        frost = any(c.frost is not None and band[0] < c.frost for c, band in zip(under, bands, strict=True))
        assert (unit.stage is Stage.FROST_WALL) == frost
        if unit.kind is UnitKind.STRAIGHT and unit.counted:
            assert (unit.cut_start or unit.cut_end) == ((unit.end - unit.start).nm < length)


def check_bond(plan: Plan, geometry: LegGeometry, rows: dict[int, list[PlacedUnit]], layout: Layout) -> None:
    """Every pair of joints closer than the minimum is reported as a seam, and every seam is such a pair."""
    form, spec = plan.form(geometry.leg.form), plan.spec.layout
    minimum = spec.minimum_offset.nm if spec.minimum_offset else max(8 * 25_400_000, form.web_spacing.nm)
    joints = {n: {a.end.nm for a in row for b in row if a.end == b.start} for n, row in rows.items()}
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


def check_corners(plan: Plan, placement: Placement, layout: Layout) -> None:
    """One unit a corner and course, on both legs, of the hand its geometry asks for, turning every course."""
    first = {(u.leg, u.course): u for u in layout.units if not u.start}
    last = {(u.leg, u.course): u for u in layout.units if u.end == placement.legs[u.leg].outside.length}
    for walk in plan.walks:
        legs = [placement.legs[g.name] for g in walk.legs]
        pairs = zip(legs, legs[1:] + (legs[:1] if walk.kind is WalkKind.RING else []), strict=False)
        for a, b in pairs:
            if a.end.kind not in (CornerKind.OUTSIDE, CornerKind.INSIDE) or a.leg.section != b.leg.section:
                continue
            both = [
                (last[a.leg.name, n], first[b.leg.name, n])
                for n in sorted(n for leg, n in last if leg == a.leg.name)
                if (b.leg.name, n) in first
            ]
            for arriving, departing in both:
                check_corner(plan, a, b, arriving, departing)


def check_corner(plan: Plan, a: LegGeometry, b: LegGeometry, arriving: PlacedUnit, departing: PlacedUnit) -> None:
    assert arriving.kind == departing.kind and arriving.kind in CORNERS
    assert (arriving.counted, departing.counted) == (True, False)
    assert arriving.stage == departing.stage
    form = plan.form(a.leg.form)
    sizes = next(c for c in form.corners if c.core == a.leg.core)
    inside = a.end.kind is CornerKind.INSIDE
    less = form.thickness(a.leg.core) if inside else form.thickness(a.leg.core) * 0
    whole = {sizes.long - less, sizes.short - less}
    on_a, on_b = arriving.end - arriving.start, departing.end - departing.start
    assert on_a <= max(whole) and on_b <= max(whole)
    sawn = arriving.cut_start or arriving.cut_end or departing.cut_start or departing.cut_end
    if not sawn:
        assert {on_a, on_b} == whole
        if form.handed:
            assert arriving.kind is hand_of(a, b, on_b > on_a)
    if not form.handed:
        assert arriving.kind is UnitKind.CORNER


def hand_of(a: LegGeometry, b: LegGeometry, long_on_departing: bool) -> UnitKind:
    """Look at the corner unit from its convex side, into the angle between its legs: which way does the long one go?"""
    back = (a.outside.x0 - a.outside.x1, a.outside.y0 - a.outside.y1)
    on = (b.outside.x1 - b.outside.x0, b.outside.y1 - b.outside.y0)
    back, on = ((v[0] / math.hypot(*v), v[1] / math.hypot(*v)) for v in (back, on))
    view = (back[0] + on[0], back[1] + on[1])
    right = (view[1], -view[0])
    long = on if long_on_departing else back
    return UnitKind.CORNER_RIGHT if long[0] * right[0] + long[1] * right[1] > 0 else UnitKind.CORNER_LEFT


def check_counts(plan: Plan, layout: Layout) -> None:
    """Quantities against the units that stand: corners exactly, straight units by packing again, one bin at a time."""
    sections = {leg.name: leg for leg in plan.legs()}
    corners: Counter[tuple[str, Stage, str]] = Counter()
    pools: dict[tuple[str, Stage, str, int, int], list[int]] = defaultdict(list)
    for unit in layout.units:
        leg = sections[unit.leg]
        if unit.kind in CORNERS:
            corners[leg.section, unit.stage, unit.kind.value] += unit.counted
        elif unit.counted:
            form = plan.form(leg.form)
            high = (unit.top - unit.bottom).nm if unit.ripped else form.face_height.nm
            pools[leg.section, unit.stage, leg.form, leg.core.nm, high].append((unit.end - unit.start).nm)
    straight: Counter[tuple[str, Stage]] = Counter()
    for (section, stage, key, _, _), lengths in pools.items():
        form = plan.form(key)
        least = plan.spec.layout.minimum_piece or form.web_spacing
        straight[section, stage] += pack(lengths, form.length.nm, 6_350_000, least.nm)
    told: Counter[tuple[str, Stage]] = Counter()
    for q in layout.quantities:
        if q.key.startswith("blocks.straight"):
            told[q.section, q.stage] += int(q.amount)
    assert told == straight
    for (section, stage, kind), count in corners.items():
        said = sum(
            q.amount for q in layout.quantities if (q.section, q.stage) == (section, stage) and f".{kind}" in q.key
        )
        assert said == count


def pack(lengths: list[int], stock: int, kerf: int, least: int) -> int:
    """First-fit decreasing, written the long way."""
    rooms: list[int] = []
    for length in sorted(lengths, reverse=True):
        for i, room in enumerate(rooms):
            if room - kerf >= max(length, least):
                rooms[i] = room - kerf - length
                break
        else:
            rooms.append(stock - length)
    return len(rooms)
