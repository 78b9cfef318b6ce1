"""Form units in an elevation: their edges once, sawn ends, ripped and notched ones, end caps, and their marks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from takeoff.drawings.scene import Hatch, Line, Path, Shape, Stroke, Text
from takeoff.geometry import LegGeometry
from takeoff.plan import Opening
from takeoff.results import PlacedUnit

#: An end cap is drawn this thick [in].
CAP_THICKNESS = 2.5

#: Marks of so many letters ('CL', '45R') fit across any unit.
SHORT_MARK = 3


def unit_shapes(units: Sequence[PlacedUnit]) -> list[Shape]:
    """Joints, each drawn once; ripped courses tinted; sawn ends heavier."""
    out: list[Shape] = []
    for unit in units:
        if unit.ripped or unit.notched:
            out.append(Path(_rectangle(unit), (), True, None, Hatch.RIPPED))
    out += [Line(*edge, Stroke.JOINT) for edge in joint_lines(units)]
    for unit in units:
        for sawn, at in ((unit.cut_start, unit.start.inch), (unit.cut_end, unit.end.inch)):
            if sawn:
                out.append(Line(at, unit.bottom.inch, at, unit.top.inch, Stroke.HEAVY))
    return out


def end_caps(units: Sequence[PlacedUnit]) -> list[Shape]:
    """A plate of foam within each course end that stands in the open."""
    out: list[Shape] = []
    for unit in units:
        for capped, at, way in ((unit.cap_start, unit.start.inch, 1), (unit.cap_end, unit.end.inch, -1)):
            if capped:
                low, high, far = unit.bottom.inch, unit.top.inch, at + way * CAP_THICKNESS
                plate = ((at, low), (far, low), (far, high), (at, high))
                out.append(Path(plate, (), True, Stroke.HEAVY, Hatch.FOAM))
    return out


def joint_lines(units: Iterable[PlacedUnit]) -> list[tuple[float, float, float, float]]:
    """Edges of all units, each once: vertical ones as they are, horizontal ones joined along a level."""
    upright = {(at.inch, u.bottom.inch, at.inch, u.top.inch) for u in units for at in (u.start, u.end)}
    levels: dict[float, list[tuple[float, float]]] = {}
    for unit in units:
        for level in (unit.bottom.inch, unit.top.inch):
            levels.setdefault(level, []).append((unit.start.inch, unit.end.inch))
    flat = [(a, level, b, level) for level, spans in levels.items() for a, b in _joined(spans)]
    return sorted(upright) + sorted(flat)


def _joined(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    for start, end in sorted(spans):
        if out and start <= out[-1][1] + 1e-6:
            out[-1] = out[-1][0], max(out[-1][1], end)
        else:
            out.append((start, end))
    return out


def _rectangle(unit: PlacedUnit) -> tuple[tuple[float, float], ...]:
    a, b, low, high = unit.start.inch, unit.end.inch, unit.bottom.inch, unit.top.inch
    return (a, low), (b, low), (b, high), (a, high)


def unit_marks(units: Sequence[PlacedUnit], geometry: LegGeometry, openings: Sequence[Opening]) -> list[Shape]:
    """Each unit's mark on what is left of it beside the openings, as formed; upright where that is narrower than high,
    so that a short piece has its mark on a long wall too."""
    holes: list[Extent] = []
    for opening in openings:
        start, end = geometry.opening_span(opening)
        holes.append((start.inch, end.inch, opening.sill.inch, opening.head.inch))
    out: list[Shape] = []
    for unit in units:
        low_x, high_x, low_y, high_y = clear_of(_extent(unit), holes)
        if unit.mark and high_x > low_x and high_y > low_y:
            wide, high = high_x - low_x, high_y - low_y
            upright = wide < high and len(unit.mark) > SHORT_MARK
            room, turn = (high, 90.0) if upright else (wide, 0.0)
            middle = (low_x + high_x) / 2, (low_y + high_y) / 2
            out.append(Text(*middle, unit.mark, 5.6, turn, room=room * 0.94, halo=True))
    return out


Extent = tuple[float, float, float, float]  # low x, high x, low y, high y


def _extent(unit: PlacedUnit) -> Extent:
    return unit.start.inch, unit.end.inch, unit.bottom.inch, unit.top.inch


def clear_of(extent: Extent, holes: Sequence[Extent]) -> Extent:
    """The largest upright part of a unit beside, above or below each opening that covers some of it."""
    for hole in holes:
        a, b, low, high = extent
        if hole[1] <= a or hole[0] >= b or hole[3] <= low or hole[2] >= high:
            continue
        parts = ((a, hole[0], low, high), (hole[1], b, low, high), (a, b, low, hole[2]), (a, b, hole[3], high))
        extent = max(parts, key=lambda p: max(p[1] - p[0], 0) * max(p[3] - p[2], 0))
    return extent
