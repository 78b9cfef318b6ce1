"""The parts of one wall as the tracker draws them: levels to scale, widths across the wall schematic [pt].

x is 0 at the outside face of the wall, positive to the inside; y is 0 at the lowest level drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.drawings.cut import Points, WallCut, box
from takeoff.plan import Stage


@dataclass(frozen=True, slots=True)
class Bench:
    """Schematic widths across the wall [pt]."""

    wall: float
    toe: float  # footing beyond the wall
    strip: float  # membrane and drainage board
    fill: float  # fill at the bottom of the hole
    slope: float  # further out at the top
    inside: float  # ground inside a wall drawn alone
    between: float  # ground between two facing walls

    @property
    def outside(self) -> float:
        """From the outer edge of the drawing to the face of the wall."""
        return self.toe + self.fill + self.slope + 5

    def width(self, pair: bool) -> float:
        """Width of a cut."""
        if pair:
            return 2 * (self.outside + self.wall) + self.between
        return self.outside + self.wall + self.inside


@dataclass(frozen=True, slots=True)
class Heights:
    """Level [in] to paper [pt] for all cuts in a row."""

    top: float
    bottom: float
    scale: float

    def y(self, level: float) -> float:
        """Height on paper of a level, 0 at the lowest."""
        return (level - self.bottom) * self.scale


def parts_of(cut: WallCut, bench: Bench, heights: Heights, inside: float) -> dict[Stage, list[Points]]:
    """Outlines of each stage of one wall [pt], x 0 at the outside face, positive inside, ``inside`` as far as
    the ground is drawn there."""
    y = heights.y
    low, foot = y(cut.footing_bottom), y(cut.footing_top)
    out: dict[Stage, list[Points]] = {Stage.FOOTING: [box(-bench.toe, low, bench.wall + bench.toe, foot)]}
    if cut.frost_top is not None:
        out[Stage.FROST_WALL] = [box(0, foot, bench.wall, y(cut.frost_top))]
        out[Stage.FROST_BACKFILL] = [
            _outer(bench, heights, cut, low, y(cut.frost_fill_top), 0.0),
            _inner(bench, cut, heights, inside),
        ]
    if cut.wall_top is not None:
        begin = y(cut.frost_fill_top) if cut.frost_top is not None else low
        out[Stage.FULL_WALL] = [box(0, y(cut.full_bottom), bench.wall, y(cut.wall_top))]
        out[Stage.WATERPROOFING] = [_skin(cut, bench, heights)]
        out[Stage.FINAL_BACKFILL] = [_outer(bench, heights, cut, begin, y(cut.grade_outside), bench.strip)]
    return {stage: [p for p in shapes if p] for stage, shapes in out.items()}


def dug_slope(bench: Bench, heights: Heights, cut: WallCut, height: float) -> float:
    """The dug slope: its distance outside the wall [pt] at a height on paper."""
    low, top = heights.y(cut.footing_bottom), max(heights.y(cut.grade_outside), heights.y(cut.footing_bottom) + 1)
    return -(bench.toe + bench.fill + bench.slope * max(0.0, min((height - low) / (top - low), 1.0)))


def _outer(bench: Bench, heights: Heights, cut: WallCut, low: float, high: float, skin: float) -> Points:
    """Fill outside, from ``low`` to ``high`` on paper, leaving ``skin`` at the wall."""
    if high <= low:
        return ()
    foot = heights.y(cut.footing_top)
    near = [(-skin, high), (-skin, max(low, min(foot, high)))]
    if low < foot:
        near = [(-skin, high), (-skin, foot), (-bench.toe - skin, foot), (-bench.toe - skin, low)]
        if high <= foot:
            near = [(-bench.toe - skin, high), (-bench.toe - skin, low)]
    return (*near, (dug_slope(bench, heights, cut, low), low), (dug_slope(bench, heights, cut, high), high))


def _inner(bench: Bench, cut: WallCut, heights: Heights, inside: float) -> Points:
    """Fill inside; its second and third point are the edge where the drawing breaks off."""
    low, foot, high = heights.y(cut.footing_bottom), heights.y(cut.footing_top), heights.y(cut.inside_fill_top)
    toe, far = bench.wall + bench.toe, bench.wall + inside
    if high <= foot:
        return ((toe, low), (far, low), (far, high), (toe, high)) if high > low else ()
    return (toe, low), (far, low), (far, high), (bench.wall, high), (bench.wall, foot), (toe, foot)


def _skin(cut: WallCut, bench: Bench, heights: Heights) -> Points:
    """Membrane and board down the wall; where no frost backfill did it before, also the drain beside the footing."""
    high, foot, low = heights.y(cut.membrane_top), heights.y(cut.footing_top), heights.y(cut.footing_bottom)
    if cut.frost_top is not None:
        begin = heights.y(cut.frost_fill_top)
        return box(-bench.strip, begin, 0, high) if high > begin else box(-bench.strip, begin - 6, 0, begin)
    toe, drain = -bench.toe, -bench.toe - bench.strip
    near = ((toe, low), (toe, foot), (0, foot), (0, high))
    return (*near, (-bench.strip, high), (-bench.strip, foot), (drain, foot), (drain, low))
