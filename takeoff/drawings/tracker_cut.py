"""One section of the house drawn: the ground it stands in, and the shapes of each stage in the look of its state."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.drawings.cut import Points, WallCut, mirrored, shifted
from takeoff.drawings.scene import Hatch, Line, Mark, Path, Shape, Stroke, Symbol
from takeoff.drawings.tracker_parts import Bench, Heights, dug_slope, parts_of
from takeoff.drawings.tracker_states import LOOKS, MATERIALS, Look, PartState, SectionCuts, States, state_of
from takeoff.plan import Stage


def cut_shapes(cuts: SectionCuts, states: States, bench: Bench, heights: Heights, x: float, numbered: bool) -> DrawnCut:
    """Everything of one section with its left edge at ``x``: ground first, then one group of shapes per stage."""
    pair = cuts.right is not None
    half = bench.between / 2 if pair else bench.inside
    walls = [(cuts.left, x + bench.outside, False)]
    if cuts.right is not None:
        walls.append((cuts.right, x + bench.width(True) - bench.outside, True))
    ground: list[Shape] = []
    by_stage: dict[Stage, list[Line | Path | Symbol]] = {stage: [] for stage in cuts.stages}
    for wall, face, turned in walls:
        place = _placer(face, turned)
        ground += _ground_shapes(wall, bench, heights, half, place)
        for stage, outlines in parts_of(wall, bench, heights, half).items():
            look = look_of(stage, state_of(states, cuts, stage))
            for n, points in enumerate(outlines):
                broken_off = stage is Stage.FROST_BACKFILL and n == len(outlines) - 1
                by_stage[stage] += drawn(place(points), look, broken_off)
            by_stage[stage] += _fittings(stage, wall, bench, heights, place, state_of(states, cuts, stage))
    if cuts.left.slab_top is not None:
        ground += _slab(cuts, bench, heights, x)
    if numbered:
        for number, stage in enumerate(cuts.stages, 1):
            by_stage[stage] += _number(stage, number, cuts.left, bench, heights, half, x + bench.outside)
    return DrawnCut(ground, by_stage)


@dataclass(frozen=True, slots=True)
class DrawnCut:
    ground: list[Shape]
    by_stage: dict[Stage, list[Line | Path | Symbol]]


class _placer:  # noqa: N801 - used like a function
    """Moves a wall's own coordinates to the sheet, turned about for a wall that faces left."""

    def __init__(self, face: float, turned: bool) -> None:
        self.face, self.turned = face, turned

    def __call__(self, points: Points) -> Points:
        return shifted(mirrored(points) if self.turned else points, self.face)


def drawn(points: Points, look: Look, broken_off: bool) -> list[Line | Path | Symbol]:
    """A part's outline with its state's line and hatch; no line where the drawing breaks off."""
    hatch = look.hatch or Hatch.NONE
    if not broken_off:
        return [Path(points, (), True, look.stroke, hatch, look.warn, look.wash)]
    edge = (*points[2:], *points[:2])
    return [
        Path(points, (), True, None, hatch, look.warn, look.wash),
        Path(edge, (), False, look.stroke, warn=look.warn),
    ]


def look_of(stage: Stage, state: PartState) -> Look:
    look = LOOKS[state]
    return Look(look.stroke, MATERIALS[stage] if look.hatch is None else look.hatch, look.warn, look.wash)


def _ground_shapes(cut: WallCut, bench: Bench, heights: Heights, inside: float, place: _placer) -> list[Shape]:
    """Undisturbed earth beyond the slope and below the footing, and the ground line on it."""
    low, grade = heights.y(cut.footing_bottom), heights.y(cut.grade_outside)
    base, far, deep = -bench.outside, bench.wall + inside, -7.0
    foot, brow = dug_slope(bench, heights, cut, low), dug_slope(bench, heights, cut, grade)
    earth = ((base, grade), (brow, grade), (foot, low), (far, low), (far, deep), (base, deep))
    return [
        Path(place(earth), (), True, None, Hatch.EARTH),
        Path(place(((brow, grade), (foot, low), (far, low))), (), False, Stroke.THIN),
        Path(place(((base, grade), (brow, grade))), (), False, Stroke.GRADE),
    ]


def _fittings(
    stage: Stage, cut: WallCut, bench: Bench, heights: Heights, place: _placer, state: PartState
) -> list[Line | Path | Symbol]:
    """What tells the material of a finished part: foam faces of a wall, the membrane, the drain pipe."""
    if state not in (PartState.RELEASED, PartState.BURIED):
        return []
    y = heights.y
    if stage in (Stage.FROST_WALL, Stage.FULL_WALL):
        low = cut.footing_top if stage is Stage.FROST_WALL else cut.full_bottom
        high = cut.frost_top if stage is Stage.FROST_WALL else cut.wall_top
        foam = bench.wall * 0.2
        edges = [((d, y(low)), (d, y(high or low))) for d in (foam, bench.wall - foam)]
        return [Path(place(edge), (), False, Stroke.THIN) for edge in edges]
    drained = Stage.FROST_BACKFILL if cut.frost_top is not None else Stage.WATERPROOFING
    out: list[Line | Path | Symbol] = []
    if stage is Stage.WATERPROOFING:
        begin = cut.frost_fill_top if cut.frost_top is not None else cut.footing_top
        out.append(Path(place(((0, y(begin)), (0, y(cut.membrane_top)))), (), False, Stroke.MEMBRANE))
    if stage is drained:
        r = bench.strip * 0.42
        ((cx, cy),) = place(((-bench.toe - bench.strip / 2 - 1, y(cut.footing_bottom) + r + 1),))
        out.append(Path(((cx - r, cy), (cx + r, cy)), (1.0, 1.0), True, Stroke.VISIBLE, Hatch.PAPER))
    return out


def _slab(cuts: SectionCuts, bench: Bench, heights: Heights, x: float) -> list[Shape]:
    """The slab between the walls: not a stage, but what holds the foot of the wall; hidden line."""
    top, under = cuts.left.slab_top, cuts.left.slab_underside
    assert top is not None and under is not None
    start = x + bench.outside + bench.wall
    end = start + (bench.between if cuts.right is not None else bench.inside)
    return [
        Line(start, heights.y(top), end, heights.y(top), Stroke.HIDDEN),
        Line(start, heights.y(under), end, heights.y(under), Stroke.HIDDEN),
    ]


def _number(
    stage: Stage, number: int, cut: WallCut, bench: Bench, heights: Heights, inside: float, face: float
) -> list[Line | Path | Symbol]:
    """The number of a part, in a bubble on its first outline; a thin part's bubble stands outside with a line."""
    outlines = parts_of(cut, bench, heights, inside).get(stage)
    if not outlines:
        return []
    xs, ys = [p[0] for p in outlines[0]], [p[1] for p in outlines[0]]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    if stage is Stage.FROST_BACKFILL or stage is Stage.FINAL_BACKFILL:
        x -= bench.strip * 0.6
    if stage is Stage.WATERPROOFING:
        away = bench.wall + 12
        at = max(ys) - 5
        return [
            Line(face - bench.strip / 2, at, face + away, at, Stroke.THIN),
            Symbol(face + away, at, Mark.ROUND, str(number), 6.5),
        ]
    return [Symbol(face + x, y, Mark.ROUND, str(number), 6.5)]
