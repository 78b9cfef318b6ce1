"""Earth that two holes share: a wall hung on another stands with its first few feet in the hole of that wall.

What both would dig and fill is counted once, with the wall that is met: the strips beside the hung wall begin where the
other's strip ends, level by level. The hung wall itself takes its own room out of the other's fill. Limits: both holes
are taken as square to each other, and as deep at the T as they are there.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from takeoff.bands import Band
from takeoff.footing import projection
from takeoff.geometry import CornerKind, Placement, enclosed_area_in2
from takeoff.plan import Attachment, Face, Plan, levels_at


@dataclass(frozen=True, slots=True)
class Hole:
    """The cut beside a face [in], levels on the plan's datum: ``toe`` wide at its ``bottom``, from there wider by
    ``slope`` to 1 up to its ``top``, never wider than ``most``."""

    bottom: float
    toe: float
    slope: float = 0.0
    top: float = float("inf")
    most: float = float("inf")

    def width(self, level: float) -> float:
        """How wide it is at a level between its bottom and its top [in]."""
        return min(self.toe + self.slope * (level - self.bottom), self.most)

    def turns_at(self) -> tuple[float, ...]:
        """The level at which it stops growing, if it does."""
        return (self.bottom + (self.most - self.toe) / self.slope,) if self.slope and self.most < float("inf") else ()


def shared_in3(own: Hole, met: Hole, low: float, high: float) -> float:
    """Volume [in3] that two holes square to each other share between two levels: the sum of width x width.

    Simpson's rule from knot to knot, exact because both widths are straight there.
    """
    low, high = max(low, own.bottom, met.bottom), min(high, own.top, met.top)
    if high <= low:
        return 0.0
    turns = (level for level in (*own.turns_at(), *met.turns_at()) if low < level < high)
    knots = sorted({low, high, *turns})
    total = 0.0
    for a, b in pairwise(knots):
        at = [own.width(level) * met.width(level) for level in (a, (a + b) / 2, b)]
        total += (b - a) / 6 * (at[0] + 4 * at[1] + at[2])
    return total


def inside_limits(placement: Placement, every: tuple[Band, ...]) -> dict[str, float]:
    """For each ring the distance [in] inside its foam at which the strips of all its legs fill it entirely; for a wall
    hung on others the distance at which its strip stops growing, because the next inch would lie in theirs."""
    chains: dict[str, list[Band]] = {}
    for band in every:
        chains.setdefault(band.geometry.walk.name, []).append(band)
    out: dict[str, float] = {}
    for walk, chain in chains.items():
        length, spread = sum(band.inside for band in chain), -sum(band.inward for band in chain)
        if walk in placement.rings():
            area = enclosed_area_in2(placement, walk, Face.INSIDE_OF_FOAM)
            # length d - spread d2/2 = area, the smaller root; if it is never reached, where the strip stops growing
            root = max(length * length - 2 * spread * area, 0.0) ** 0.5
            out[walk] = (length - root) / spread if spread > 0 else area / length
        elif spread > 0:
            out[walk] = length / spread
    return out


def met_holes(plan: Plan, placement: Placement, band: Band, limits: dict[str, float]) -> tuple[Hole, ...]:
    """The holes that the ends of a stretch stand in at a T, on the side of the wall met that it stands on, never longer
    than the stretch. ``limits``: how wide a strip inside each walk grows [in]."""
    walk = band.geometry.walk
    ends = [(band.geometry.start, walk.starts_on)] * band.first + [(band.geometry.end, walk.ends_on)] * band.last
    return tuple(
        _hole_at(plan, placement, met, band, limits) for corner, met in ends if corner.kind is CornerKind.TEE and met
    )


def _hole_at(plan: Plan, placement: Placement, met: Attachment, band: Band, limits: dict[str, float]) -> Hole:
    host, earth = plan.leg(met.leg), plan.spec.earth
    levels = levels_at(host, met.at)
    bottom = (levels.footing_top - plan.spec.footing.thickness).inch
    shelf = projection(plan.spec.footing, plan.form(host.form), host.core).inch
    toe, long = shelf + earth.working_space.inch, band.outside
    inward = any(t.inward for t in placement.tees if (t.spur, t.through) == (band.name, met.leg))
    if not inward:
        return Hole(bottom, toe, earth.slope_run, levels.grade_outside.inch, long)
    most = min(limits.get(placement.legs[met.leg].walk.name, long), long)
    if levels.frost_top is None and levels.wall_top is not None:
        return Hole(bottom, shelf, most=most)
    return Hole(bottom, toe, earth.slope_run, most=most)
