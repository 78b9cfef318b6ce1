"""One leg seen square on, block by block: courses, cuts, openings, footing, levels, bars.

x is the distance along the outside face of foam from the leg's start, y the level, both in inches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from takeoff.bands import has_ground_outside
from takeoff.drawings.bars import bar_words, beside_laps
from takeoff.drawings.dimension import dimension, feet_inches
from takeoff.drawings.elevation_units import end_caps, unit_marks, unit_shapes
from takeoff.drawings.scene import Callout, Hatch, Legend, Line, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.geometry import CornerKind, LegGeometry, Placement, place
from takeoff.openings_forms import formed_openings
from takeoff.plan import Leg, Opening, Plan, Stage, Stretch
from takeoff.results import Bar, PlacedUnit, Takeoff

#: Grade and slab lines run this far past the wall [in].
BEYOND = 14.0


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch with its ends and levels as numbers [in]."""

    start: float
    end: float
    footing: float
    frost: float | None
    top: float
    wall: bool
    grade: float


def elevation(
    takeoff: Takeoff, leg: str, placement: Placement | None = None, bars: bool = True, key: str = ""
) -> Scene:
    """The elevation of one leg. KeyError where the plan has no such leg or it could not be placed.

    ``bars`` False leaves the reinforcement out (for the crew that stacks). ``key`` must differ between drawings on
    one page; the leg's name serves where it is not given.
    """
    plan = takeoff.plan
    placement = placement or place(plan)
    geometry = placement.legs[leg]
    runs = [_run(s) for s in geometry.outside_stretches()]
    units = [u for u in takeoff.units if u.leg == leg]
    shown = [b for b in takeoff.bars if b.leg == leg and b.places] if bars else []
    inner = not has_ground_outside(placement, geometry)
    shapes: list[Shape] = [
        *_footing(plan, geometry, runs),
        *unit_shapes(units),
        *end_caps(units),
        *_outline(runs),
        *_cold_joint(runs),
        *_bars(shown),
        *_openings(plan, geometry, runs),
        *_pockets(geometry, runs),
        *_ledges(geometry),
        *([] if inner else _grade(runs)),
        *_slab(plan, geometry, runs),
        *unit_marks(units, geometry, formed_openings(plan, geometry.leg)),
        *_seams(takeoff, leg, units),
        *_course_numbers(units, geometry.outside.length.inch),
        *_neighbours(placement, geometry, runs),
        *_level_labels(plan, geometry, runs, inner),
        *_dimensions(geometry, runs),
    ]
    side = "its start on the left" if inner else "seen from inside" if geometry.outside_left else "seen from outside"
    return Scene(
        title=f"{plan.title}: elevation of leg {leg}",
        description=_describe(geometry.leg, geometry, units, shown, side),
        shapes=tuple(shapes),
        key=key or f"elevation-{leg}",
        caption=f"Leg {leg}, {side}",
        scale_bar=True,
        legend=_legend(takeoff, geometry, units, shown, inner),
    )


def _run(stretch: Stretch) -> Run:
    levels = stretch.levels
    return Run(
        stretch.start.inch,
        stretch.end.inch,
        levels.footing_top.inch,
        None if levels.frost_top is None else levels.frost_top.inch,
        levels.top.inch,
        levels.wall_top is not None,
        levels.grade_outside.inch,
    )


def _describe(leg: Leg, geometry: LegGeometry, units: Sequence[PlacedUnit], bars: Sequence[Bar], side: str) -> str:
    courses = len({u.course for u in units})
    cuts = sum(u.cut_start + u.cut_end for u in units)
    openings = ", ".join(f"{o.name} {o.width} by {o.height}" for o in leg.openings) or "no openings"
    steel = f", {sum(b.count for b in bars)} bars" if bars else ""
    return (
        f"Leg {leg.name}, {side}: {geometry.outside.length} along the outside of foam, {courses} courses, "
        f"{len(units)} units with {cuts} sawn ends, {openings}{steel}."
    )


# -- concrete and block ------------------------------------------------------------------------------
def _footing(plan: Plan, geometry: LegGeometry, runs: Sequence[Run]) -> list[Shape]:
    """The footing below, stepped with its risers; it stands out past an outside corner or a free end."""
    spec = plan.spec.footing
    thick, riser = spec.thickness.inch, spec.step_riser_thickness.inch
    form = plan.form(geometry.leg.form)
    toe = (max(spec.width.inch, form.thickness(geometry.leg.core).inch + 2 * spec.projection.inch)) / 2
    toe -= form.thickness(geometry.leg.core).inch / 2
    past = (CornerKind.OUTSIDE, CornerKind.END)
    first = runs[0].start - (toe if geometry.start.kind in past else 0)
    last = runs[-1].end + (toe if geometry.end.kind in past else 0)
    upper: list[tuple[float, float]] = [(first, runs[0].footing)]
    lower: list[tuple[float, float]] = [(first, runs[0].footing - thick)]
    for before, after in pairwise(runs):
        at, low, high = after.start, before.footing, after.footing
        if low == high:
            continue
        upper += [(at, low), (at, high)]
        turn = at + riser if high > low else at - riser
        lower += [(turn, low - thick), (turn, high - thick)]
    upper.append((last, runs[-1].footing))
    lower.append((last, runs[-1].footing - thick))
    return [Path((*upper, *reversed(lower)), (), True, Stroke.VISIBLE, Hatch.CONCRETE)]


def _outline(runs: Sequence[Run]) -> list[Shape]:
    top = [point for run in runs for point in ((run.start, run.top), (run.end, run.top))]
    bottom = [point for run in runs for point in ((run.start, run.footing), (run.end, run.footing))]
    return [Path((*top, *reversed(bottom)), (), True, Stroke.VISIBLE)]


def _cold_joint(runs: Sequence[Run]) -> list[Shape]:
    return [
        Line(run.start, run.frost, run.end, run.frost, Stroke.COLD_JOINT)
        for run in runs
        if run.frost is not None and run.wall
    ]


def _bars(bars: Sequence[Bar]) -> list[Shape]:
    """Bars where they lie; of two that lap, the second is drawn beside the first."""
    return [Line(*where, Stroke.BAR) for where in beside_laps(place for bar in bars for place in bar.places)]


def _seams(takeoff: Takeoff, leg: str, units: Sequence[PlacedUnit]) -> list[Shape]:
    """Joints above each other: a mark on the line between the two courses."""
    bottoms = {u.course: u.bottom.inch for u in units}
    return [
        Symbol(seam.at.inch, bottoms[seam.course], Mark.SEAM, size_pt=6.0, warn=True)
        for seam in takeoff.seams
        if seam.leg == leg and seam.course in bottoms
    ]


def _course_numbers(units: Sequence[PlacedUnit], length: float) -> list[Shape]:
    """The number of every course at both ends of the wall, where that course reaches the end or not."""
    out: list[Shape] = []
    for course in sorted({u.course for u in units}):
        row = [u for u in units if u.course == course]
        for unit, dx, anchor in (
            (min(row, key=lambda u: u.start), -5, "end"),
            (max(row, key=lambda u: u.end), 5, "start"),
        ):
            x = unit.start.inch if dx < 0 else unit.end.inch
            out.append(
                Text(
                    x,
                    (unit.bottom.inch + unit.top.inch) / 2,
                    str(course),
                    6.0,
                    anchor=anchor,
                    bold=True,
                    dx_pt=dx,
                    halo=True,
                )
            )
    return out


# -- openings, ledges, ground ------------------------------------------------------------------------
def _openings(plan: Plan, geometry: LegGeometry, runs: Sequence[Run]) -> list[Shape]:
    """The hole as formed; the rough opening within its buck."""
    out: list[Shape] = []
    top = max(run.top for run in runs)
    for opening, formed in zip(geometry.leg.openings, formed_openings(plan, geometry.leg), strict=True):
        out.append(Path(_hole(geometry, formed, top), (), True, Stroke.HEAVY, Hatch.PAPER))
        corners = _hole(geometry, opening, top)
        (a, low), _, (b, high), _ = corners
        if formed != opening:
            out.append(Path(corners, (), True, Stroke.THIN))
        out += [Line(a, low, b, high, Stroke.THIN), Line(a, high, b, low, Stroke.THIN)]
        for n, words in enumerate(_opening_words(opening)):
            x, y = (a + b) / 2, (low + high) / 2
            out.append(Text(x, y, words, 6.2, bold=n == 0, dy_pt=8 - 8 * n, room=(b - a) * 0.96, halo=True))
    return out


def _hole(geometry: LegGeometry, opening: Opening, top: float) -> tuple[tuple[float, float], ...]:
    a, b = (end.inch for end in geometry.opening_span(opening))
    low, high = opening.sill.inch, min(opening.head.inch, top)
    return (a, low), (b, low), (b, high), (a, high)


def _opening_words(opening: Opening) -> tuple[str, str, str]:
    size = f"{feet_inches(opening.width.inch)} x {feet_inches(opening.height.inch)}"
    return opening.name, size, f"sill {opening.sill}"


def _pockets(geometry: LegGeometry, runs: Sequence[Run]) -> list[Shape]:
    out: list[Shape] = []
    for pocket in geometry.leg.beam_pockets:
        at, half = geometry.along_outside(pocket.offset).inch, pocket.width.inch / 2
        top = _run_at(runs, at).top
        low = top - pocket.depth.inch
        box = ((at - half, low), (at + half, low), (at + half, top), (at - half, top))
        out.append(Path(box, (), True, Stroke.VISIBLE, Hatch.PAPER))
        out.append(Text(at, top, pocket.name, 6.2, dy_pt=7, avoid=True, halo=True))
    return out


def _run_at(runs: Sequence[Run], at: float) -> Run:
    return next((run for run in runs if run.start <= at <= run.end), runs[-1])


def _ledges(geometry: LegGeometry) -> list[Shape]:
    out: list[Shape] = []
    for ledge in geometry.leg.ledges:
        start = geometry.along_outside(ledge.start).inch if ledge.start else 0.0
        end = geometry.outside.length.inch if ledge.until is None else geometry.along_outside(ledge.until).inch
        y = ledge.level.inch
        out.append(Line(start, y, end, y, Stroke.HEAVY))
        out.append(Line(start, y - ledge.projection.inch, end, y - ledge.projection.inch, Stroke.HIDDEN))
        out.append(Text(start + 0.8 * (end - start), y, f"ledge {ledge.level}", 6.2, dy_pt=6, halo=True, avoid=True))
    return out


def _grade(runs: Sequence[Run]) -> list[Shape]:
    """Finished grade outside, stepping with the leg."""
    points = [(runs[0].start - BEYOND, runs[0].grade)]
    for before, after in pairwise(runs):
        points += [(after.start, before.grade), (after.start, after.grade)]
    points.append((runs[-1].end + BEYOND, runs[-1].grade))
    tidy = [p for n, p in enumerate(points) if n == 0 or p != points[n - 1]]
    return [Path(tuple(tidy), (), False, Stroke.GRADE)]


def _slab(plan: Plan, geometry: LegGeometry, runs: Sequence[Run]) -> list[Shape]:
    """Top of the slab inside, as a centre line."""
    slab = plan.section(geometry.leg.section).slab_top
    if slab is None:
        return []
    return [Line(runs[0].start - BEYOND / 2, slab.inch, runs[-1].end + BEYOND / 2, slab.inch, Stroke.CENTRE)]


# -- words and numbers -------------------------------------------------------------------------------
def _neighbours(placement: Placement, geometry: LegGeometry, runs: Sequence[Run]) -> list[Shape]:
    """Which leg the wall turns into at each end."""
    before, after = placement.previous_leg(geometry.leg.name), placement.next_leg(geometry.leg.name)
    words = {
        CornerKind.OUTSIDE: "corner with",
        CornerKind.INSIDE: "inside corner with",
        CornerKind.STRAIGHT: "runs on as",
        CornerKind.TEE: "T",
        CornerKind.END: "free end",
    }
    out: list[Shape] = []
    for run, x, anchor, corner, other in (
        (runs[0], runs[0].start, "start", geometry.start, before),
        (runs[-1], runs[-1].end, "end", geometry.end, after),
    ):
        name = f" {other.leg.name}" if other is not None and corner.kind not in (CornerKind.TEE, CornerKind.END) else ""
        out.append(Text(x, run.top, words[corner.kind] + name, 6.2, anchor=anchor, dy_pt=6, avoid=True, halo=True))
    return out


def _level_labels(plan: Plan, geometry: LegGeometry, runs: Sequence[Run], inner: bool) -> list[Shape]:
    """Levels of the first stretch on the left, of the last on the right where they differ."""
    section = plan.section(geometry.leg.section)
    slab = None if section.slab_top is None else section.slab_top.inch
    left = _levels_of(runs[0], slab, inner)
    right = [level for level in _levels_of(runs[-1], None, inner) if level not in left]
    out: list[Shape] = [Callout(runs[0].start - 3, y, words, "left") for y, words in left]
    out += [Callout(runs[-1].end + 3, y, words, "right") for y, words in right]
    return out


def _levels_of(run: Run, slab: float | None, inner: bool) -> list[tuple[float, str]]:
    named: list[tuple[float | None, str]] = [
        (run.top, "top of wall" if run.wall else "top of frost wall"),
        (None if inner else run.grade, "grade"),
        (slab, "top of slab"),
        (run.frost if run.wall else None, "cold joint"),
        (run.footing, "top of footing"),
    ]
    return [(y, f"{word} {feet_inches(y)}") for y, word in named if y is not None]


def _dimensions(geometry: LegGeometry, runs: Sequence[Run]) -> list[Shape]:
    length = geometry.outside.length.inch
    low = min(run.footing for run in runs) - 12
    out: list[Shape] = [dimension(length, low, 0, low, 16)]
    cuts = [0.0, *(run.start for run in runs[1:]), length]
    if len(runs) > 1:
        out += [dimension(b, low, a, low, 16) for a, b in pairwise(cuts)]
    top = max(run.top for run in runs)
    jambs = sorted({end.inch for o in geometry.leg.openings for end in geometry.opening_span(o)})
    stops = [0.0, *jambs, length] if jambs else []
    out += [dimension(a, top, b, top, 18) for a, b in pairwise(stops)]
    return out + _heights(runs[-1], length)


def _heights(run: Run, x: float) -> list[Shape]:
    stops = [run.footing, *([run.frost] if run.frost is not None and run.wall else []), run.top]
    out: list[Shape] = [dimension(x, b, x, a, 27) for a, b in pairwise(stops)]
    if len(stops) > 2:
        out.append(dimension(x, run.top, x, run.footing, 27))
    return out


def _legend(
    takeoff: Takeoff, geometry: LegGeometry, units: Sequence[PlacedUnit], bars: Sequence[Bar], inner: bool
) -> tuple[Legend, ...]:
    leg = geometry.leg
    out = [] if inner else [Legend("grade outside", Stroke.GRADE)]
    if Stage.FROST_WALL in takeoff.plan.stages_of(leg) and Stage.FULL_WALL in takeoff.plan.stages_of(leg):
        out.append(Legend("cold joint", Stroke.COLD_JOINT))
    if any(u.cut_start or u.cut_end for u in units):
        out.append(Legend("sawn end", Stroke.HEAVY))
    if any(u.ripped or u.notched for u in units):
        out.append(Legend("ripped or notched unit", Stroke.JOINT, Hatch.RIPPED))
    if any(u.cap_start or u.cap_end for u in units):
        out.append(Legend("end cap", Stroke.HEAVY, Hatch.FOAM))
    highest = max(stretch.levels.top for stretch in geometry.outside_stretches())
    if any(unit.top > highest for unit in units):
        out.append(Legend("top of wall: pour line", Stroke.VISIBLE))
    out += [Legend(words, Stroke.BAR) for words in bar_words(bars)]
    if any(seam.leg == leg.name for seam in takeoff.seams):
        out.append(Legend("joints too close: strap both faces", None, mark=Mark.SEAM, warn=True))
    if takeoff.plan.section(leg.section).slab_top is not None:
        out.append(Legend("top of slab inside", Stroke.CENTRE))
    return tuple(out)
