"""The section through the ground at one place of one leg: everything to scale, named, and with its level.

Across the wall 0 is the outside of foam, positive inside, in inches; levels as on the plan.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from takeoff.bands import has_ground_outside
from takeoff.drawings.cut import (
    SLAB_STONE,
    Points,
    WallCut,
    box,
    dug_edge,
    inside_fill,
    outside_fill,
    wall_cut,
)
from takeoff.drawings.dimension import dimension, feet_inches
from takeoff.drawings.scene import Hatch, Legend, Line, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.drawings.section_words import names
from takeoff.geometry import Placement, place
from takeoff.plan import Leg, Plan
from takeoff.results import Bar, BarRole, Takeoff
from takeoff.site import BaseJoint
from takeoff.units import Length, format_length

#: How far the ground is drawn outside and inside the wall, and below the footing [in].
OUT = 66.0
IN = 50.0
DEEP = 12.0
#: Finished grade falls 6 in in 10 ft away from the wall (IRC 2021 R401.3); over the ground drawn that is [in]:
GRADE_FALL = OUT * 6 / 120
#: Drainage board as drawn [in]; its real thickness is a supplier's.
BOARD = 1.2


def section(
    takeoff: Takeoff, leg: str, at: Length | None = None, placement: Placement | None = None, key: str = ""
) -> Scene:
    """The section of a leg at a distance along its dimensioned face (None: where its footing is lowest).

    KeyError where the plan has no such leg. Bars come from the takeoff where it has them. An inner wall (a T wall
    with no ground outside it) has the building on both sides: no membrane, no drain. ``key`` must differ between
    drawings on one page; the leg's name serves where it is not given.
    """
    plan, wall = takeoff.plan, takeoff.plan.leg(leg)
    placement = placement or place(plan)
    cut = wall_cut(plan, wall, at)
    bars = [bar for bar in takeoff.bars if bar.leg == leg]
    inner = leg in placement.legs and not has_ground_outside(placement, placement.legs[leg])
    where = "where the footing is lowest" if at is None else f"{at} from its start"
    return Scene(
        title=f"{plan.title}: section through leg {leg}",
        description=describe(cut, leg, where, inner),
        shapes=tuple(_shapes(cut, plan, wall, bars, inner)),
        key=key or f"section-{leg}",
        caption=f"Section, leg {leg}, {where}",
        scale_bar=True,
        legend=(
            Legend("concrete", Stroke.THIN, Hatch.CONCRETE),
            Legend("foam", Stroke.THIN, Hatch.FOAM),
            Legend("backfill", Stroke.THIN, Hatch.BACKFILL),
            Legend("clean stone", Stroke.THIN, Hatch.GRAVEL),
            Legend("undisturbed earth", Stroke.THIN, Hatch.EARTH),
        ),
    )


def _shapes(cut: WallCut, plan: Plan, wall: Leg, bars: Sequence[Bar], inner: bool) -> list[Shape]:
    """Back to front: ground, fill, concrete, what keeps water out, steel, words."""
    ground = _inner_ground(cut) if inner else [*_ground(cut), *_fills(cut)]
    return [
        *ground,
        *_inside(cut),
        *_footing(cut, plan),
        *_wall(cut),
        *([] if inner else [*_drainage(cut, plan), *_ledge(wall, cut)]),
        *_bars(cut, plan, bars),
        *_levels(cut, inner),
        *_dimensions(cut),
        *names(cut, plan, wall, inner),
    ]


def describe(cut: WallCut, leg: str, where: str, inner: bool = False) -> str:
    """The section in words."""
    footing = f"footing {feet_inches(cut.footing_width)} wide, top {_said(cut.footing_top)}"
    parts = [f"Section through leg {leg}, {where}: {footing}"]
    if cut.frost_top is not None:
        parts.append(f"frost wall to {_said(cut.frost_top)}")
    if cut.wall_top is not None:
        parts.append(f"full-height wall to {_said(cut.wall_top)}")
    if cut.slab_top is not None:
        parts.append(f"slab top {_said(cut.slab_top)}")
    parts.append("building on both sides" if inner else f"grade outside {_said(cut.grade_outside)}")
    return ", ".join(parts) + "."


def _said(level: float) -> str:
    return format_length(Length.from_inches(level))


# -- ground ------------------------------------------------------------------------------------------
def _ground(cut: WallCut) -> list[Shape]:
    """Undisturbed earth beyond the dug slope and under everything, and the finished grade."""
    low, top = cut.footing_bottom, max(cut.grade_outside, cut.footing_bottom)
    far = cut.thickness + IN
    slope = _slope(cut, low, top)
    earth = ((-OUT, low - DEEP), (far, low - DEEP), (far, low), *slope, (-OUT, top))
    band = tuple(dict.fromkeys(earth))
    return [
        Path(band, (), True, None, Hatch.EARTH),
        Path(((far, low), *slope), (), False, Stroke.THIN),
    ]


def _slope(cut: WallCut, low: float, top: float) -> Points:
    """The dug slope from the bottom up, cut off where the drawing ends."""
    foot = cut.footing_outside - cut.working_space
    bend = low + (foot + OUT) / cut.slope_run if cut.slope_run else top
    points = [(max(foot, -OUT), low)]
    if bend < top:
        points.append((-OUT, bend))
    points.append((dug_edge(cut, top, -OUT), top))
    return tuple(points)


def _fills(cut: WallCut) -> list[Shape]:
    """Backfill of both stages outside and inside, the stone around the drain, its fabric."""
    out: list[Shape] = []
    low = cut.footing_bottom
    first_top = cut.frost_fill_top if cut.frost_top is not None else low
    for bottom, top in ((low, first_top), (max(first_top, low), cut.grade_outside)):
        points = outside_fill(cut, bottom, top, -OUT)
        if points:
            out.append(Path(points, (), True, None, Hatch.BACKFILL))
    if cut.frost_top is not None and cut.grade_outside > first_top > low:
        out.append(Line(dug_edge(cut, first_top, -OUT), first_top, 0, first_top, Stroke.PLANNED))
    grade = ((-OUT, cut.grade_outside - GRADE_FALL), (0, cut.grade_outside))
    return [*out, *_stone(cut), Path(grade, (), False, Stroke.GRADE)]


def _inside(cut: WallCut) -> list[Shape]:
    """What lies inside: fill, then the slab on its stone, or the grade where there is none."""
    out: list[Shape] = []
    fill, top, far = inside_fill(cut, IN), cut.inside_fill_top, cut.thickness + IN
    if fill:
        out.append(Path(fill, (), True, None, Hatch.BACKFILL))
        out.append(Line(cut.thickness, top, far, top, Stroke.THIN if cut.slab_top is not None else Stroke.GRADE))
    return out + _slab(cut)


def _inner_ground(cut: WallCut) -> list[Shape]:
    """An inner wall: earth under it from side to side, and the same fill and slab outside as inside."""
    far, low = cut.thickness + IN, cut.footing_bottom
    out: list[Shape] = [
        Path(box(-IN, low - DEEP, far, low), (), True, None, Hatch.EARTH),
        Line(-IN, low, far, low, Stroke.THIN),
    ]
    for shape in _inside(cut):
        if isinstance(shape, Path):
            out.append(replace(shape, points=tuple((cut.thickness - x, y) for x, y in shape.points)))
        elif isinstance(shape, Line):
            out.append(replace(shape, x0=cut.thickness - shape.x0, x1=cut.thickness - shape.x1))
    return out


def _stone(cut: WallCut) -> list[Shape]:
    edge = cut.footing_outside - cut.stone_beyond
    top = cut.footing_top + cut.stone_over
    stone = (
        (edge, cut.footing_bottom),
        (cut.footing_outside, cut.footing_bottom),
        (cut.footing_outside, cut.footing_top),
        (-BOARD, cut.footing_top),
        (-BOARD, top),
        (edge, top),
    )
    fabric = ((edge, cut.footing_bottom), (edge, top), (-BOARD, top))
    return [
        Path(stone, (), True, None, Hatch.PAPER),
        Path(stone, (), True, None, Hatch.GRAVEL),
        Path(fabric, (), False, Stroke.HIDDEN),
    ]


# -- concrete, foam, slab ----------------------------------------------------------------------------
def _footing(cut: WallCut, plan: Plan) -> list[Shape]:
    spec = plan.spec.footing
    body = box(cut.footing_outside, cut.footing_bottom, cut.footing_inside, cut.footing_top)
    out: list[Shape] = [
        Path(body, (), True, Stroke.HEAVY, Hatch.CONCRETE),
        Line(cut.footing_outside, cut.footing_top, cut.footing_inside, cut.footing_top, Stroke.COLD_JOINT),
    ]
    if spec.base_joint is BaseJoint.KEY_AND_DOWELS:
        half, deep = spec.key_width.inch / 2, spec.key_depth.inch
        key = box(cut.middle - half, cut.footing_top - deep, cut.middle + half, cut.footing_top)
        out.append(Path(key, (), True, Stroke.VISIBLE, Hatch.CONCRETE))
    return out


def _wall(cut: WallCut) -> list[Shape]:
    low, high = cut.footing_top, cut.top
    inner = cut.thickness - cut.foam
    out: list[Shape] = [
        Path(box(0, low, cut.foam, high), (), True, Stroke.VISIBLE, Hatch.FOAM),
        Path(box(cut.foam, low, inner, high), (), True, Stroke.VISIBLE, Hatch.CONCRETE),
        Path(box(inner, low, cut.thickness, high), (), True, Stroke.VISIBLE, Hatch.FOAM),
    ]
    if cut.frost_top is not None and cut.wall_top is not None:
        out.append(Line(0, cut.frost_top, cut.thickness, cut.frost_top, Stroke.COLD_JOINT))
    return out


def _slab(cut: WallCut) -> list[Shape]:
    if cut.slab_top is None or cut.slab_underside is None:
        return []
    far, near = cut.thickness + IN, cut.thickness
    under = cut.slab_underside
    stone = min(under - cut.inside_fill_top, SLAB_STONE)
    out: list[Shape] = [Path(box(near, under, far, cut.slab_top), (), True, Stroke.VISIBLE, Hatch.CONCRETE)]
    if stone > 0:
        out.insert(0, Path(box(near, under - stone, far, under), (), True, None, Hatch.PAPER))
        out.insert(1, Path(box(near, under - stone, far, under), (), True, Stroke.THIN, Hatch.GRAVEL))
    return out


def _ledge(wall: Leg, cut: WallCut) -> list[Shape]:
    """The brick ledge: its bearing, and the flare below it as deep as it stands out."""
    out: list[Shape] = []
    for ledge in wall.ledges:
        y, reach = ledge.level.inch, ledge.projection.inch
        flare = ((0.0, y), (-reach, y), (-reach, y - 4), (0.0, y - 4 - reach * 1.5))
        out.append(Path(flare, (), True, None, Hatch.PAPER))
        out.append(Path(flare, (), True, Stroke.VISIBLE, Hatch.FOAM))
        lip = ((cut.foam, y), (-reach + cut.foam, y), (-reach + cut.foam, y - 3), (cut.foam, y - 3 - reach * 1.5))
        out.append(Path(lip, (), True, Stroke.VISIBLE, Hatch.CONCRETE))
    return out


def _drainage(cut: WallCut, plan: Plan) -> list[Shape]:
    """Membrane from its turn-down on the footing to above grade, drainage board, drain pipe, capillary break."""
    spec = plan.spec.envelope
    reach = min(cut.membrane_onto, -cut.footing_outside)
    turn = max(cut.footing_top - (cut.membrane_onto - reach), cut.footing_bottom)
    sheet = ((-reach, turn), (-reach, cut.footing_top), (0.0, cut.footing_top), (0.0, cut.membrane_top))
    radius = spec.pipe_diameter.inch / 2
    cx = cut.footing_outside - 0.5 - radius - 1.5
    cy = cut.footing_bottom + spec.stone_under_pipe.inch + radius
    out: list[Shape] = [
        Path(box(-BOARD, cut.footing_top, 0, min(cut.grade_outside, cut.top)), (), True, Stroke.THIN, Hatch.BOARD),
        Path(sheet, (), False, Stroke.MEMBRANE),
        Path(((cx - radius, cy), (cx + radius, cy)), (1.0, 1.0), True, Stroke.HEAVY, Hatch.PAPER),
    ]
    return out


# -- bars --------------------------------------------------------------------------------------------
def _bars(cut: WallCut, plan: Plan, bars: Sequence[Bar]) -> list[Shape]:
    """Verticals, dowels and horizontals of this leg as the schedule has them, laid at the middle of the core."""
    out: list[Shape] = []
    middle = cut.middle
    seen: set[tuple[BarRole, float, float]] = set()
    for bar in bars:
        if bar.role not in (BarRole.VERTICAL, BarRole.PROJECTING, BarRole.DOWEL):
            continue
        for _, y0, _, y1 in bar.places:
            span = (bar.role, round(min(y0, y1), 1), round(max(y0, y1), 1))
            if span in seen or not _stands_here(cut, bar, span[1], span[2]):
                continue
            seen.add(span)
            d = middle + {BarRole.DOWEL: -0.9, BarRole.PROJECTING: 0.4}.get(bar.role, -0.5)
            out.append(Line(d, span[1], d, span[2], Stroke.HEAVY))
            if bar.role is BarRole.DOWEL:
                foot = plan.spec.bars.dowel_foot.inch
                out.append(Line(d, span[1], min(d + foot, cut.footing_inside - 3), span[1], Stroke.HEAVY))
            break
    return out + _level_bars(cut, bars, middle) + _footing_bars(cut, plan)


def _stands_here(cut: WallCut, bar: Bar, low: float, high: float) -> bool:
    """Whether an upright bar belongs to the walls of this cut (a leg may step)."""
    feet = {
        BarRole.DOWEL: (cut.footing_bottom,),
        BarRole.PROJECTING: (cut.footing_top,),
        BarRole.VERTICAL: (cut.full_bottom, cut.footing_top),
    }[bar.role]
    return any(abs(low - foot) < cut.footing_thickness for foot in feet) and high <= cut.top + 1


def _level_bars(cut: WallCut, bars: Sequence[Bar], middle: float) -> list[Shape]:
    level = [bar for bar in bars if bar.role is BarRole.HORIZONTAL]
    heights = sorted({round(y0, 2) for bar in level for _, y0, _, y1 in bar.places if y0 == y1})
    size = level[0].size if level else 4
    return [_round_bar(middle + 1.2, y, size) for y in heights if cut.footing_top < y < cut.top]


def _footing_bars(cut: WallCut, plan: Plan) -> list[Shape]:
    spec = plan.spec.footing
    if spec.bars_along < 1:
        return []
    first, last = cut.footing_outside + spec.cover.inch + 0.5, cut.footing_inside - spec.cover.inch - 0.5
    gap = (last - first) / max(spec.bars_along - 1, 1)
    y = cut.footing_bottom + spec.cover.inch + 0.5
    return [_round_bar(first + n * gap, y, spec.bar_size) for n in range(spec.bars_along)]


def _round_bar(x: float, y: float, size: int) -> Path:
    r = size / 16
    return Path(((x - r, y), (x + r, y)), (1.0, 1.0), True, Stroke.HEAVY, Hatch.PAPER)


# -- words and numbers -------------------------------------------------------------------------------
def _levels(cut: WallCut, inner: bool) -> list[Shape]:
    """Level marks: triangle, line and text, on the inside for slab and tops, on the outside for the grade."""
    far = cut.thickness + IN
    top = "top of wall" if cut.wall_top is not None else "top of frost wall"
    slab = (cut.slab_top, "slab") if cut.slab_top is not None else (cut.grade_inside, "grade inside")
    out: list[Shape] = []
    for x, y, words in ((cut.thickness + 14, cut.top, top), (far - 16, *slab)):
        out.append(Line(cut.thickness, y, x + 22, y, Stroke.THIN))
        out += _level(x, y, f"{words} {_said(y)}")
    if inner:
        return out
    along = -OUT * 0.62
    return out + _level(
        along, cut.grade_outside + along / OUT * GRADE_FALL, f"grade at wall {_said(cut.grade_outside)}"
    )


def _level(x: float, y: float, words: str) -> list[Shape]:
    return [Symbol(x, y, Mark.LEVEL, size_pt=6.5), Text(x, y, words, 6.8, dy_pt=11, halo=True)]


def _dimensions(cut: WallCut) -> list[Shape]:
    """Widths below, heights inside."""
    low = cut.footing_bottom - DEEP
    out: list[Shape] = [
        dimension(cut.footing_inside, low, cut.footing_outside, low, 10),
        dimension(cut.thickness - cut.foam, low, cut.foam, low, 10),
        dimension(cut.thickness, low, 0, low, 10),
    ]
    x = cut.thickness + IN
    stops = [cut.footing_bottom, cut.footing_top, *([cut.frost_top] if cut.frost_top and cut.wall_top else []), cut.top]
    out += [dimension(x, high, x, low_, 12) for low_, high in itertools.pairwise(stops)]
    return out
