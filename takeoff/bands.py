"""The ground beside a leg and the line under it, stretch by stretch: lengths and areas at a distance from the wall.

A mitred offset of a leg changes length evenly with the distance: by tan(half the turn) at each square or skew
corner (longer at an outside corner going out, shorter at an inside one) and by the swept angle on an arc. So a
stretch needs only its length on the foam and that *spread*; lines and strips at any distance follow exactly.

Limits: where an arc meets a leg at an angle the mitre is taken on the bisector of the tangents, and a leg that a
wide cut swallows entirely goes on being counted (negatively). Both are told where they matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, degrees, hypot, radians, tan

from takeoff.geometry import Corner, CornerKind, FaceLine, LegGeometry, Placement
from takeoff.plan import End, Face, Levels, Opening, WalkKind, stretches
from takeoff.units import Length


@dataclass(frozen=True, slots=True)
class Band:
    """One stretch of one leg. Lengths in inches: ``outside`` and ``inside`` on the faces of the foam, ``centre`` on
    the middle of the core, each trimmed by the mitre at a corner. ``start``..``end`` along the dimensioned face.
    ``spread`` is the length gained per inch moved outward from the wall, ``inward`` per inch moved inward [in/in]; they
    are each other's opposite but at a T, where a strip gets shorter on both sides."""

    geometry: LegGeometry
    levels: Levels
    start: float
    end: float
    outside: float
    centre: float
    inside: float
    spread: float
    inward: float
    centre_ratio: float  # centre-line length of one inch of dimensioned face
    first: bool
    last: bool

    @property
    def name(self) -> str:
        """The leg's name."""
        return self.geometry.leg.name

    @property
    def section(self) -> str:
        """The leg's section."""
        return self.geometry.leg.section

    def out_length(self, distance: float) -> float:
        """Length [in] of the line ``distance`` inches outside the foam."""
        return self.outside + self.spread * distance

    def out_area(self, near: float, far: float) -> float:
        """Area [in2] of the mitred strip between two distances outside the foam."""
        return strip_area(self.outside, self.spread, near, far)

    def in_length(self, distance: float) -> float:
        """Length [in] of the line ``distance`` inches inside the inner foam."""
        return self.inside + self.inward * distance

    def in_area(self, near: float, far: float) -> float:
        """Area [in2] of the mitred strip between two distances inside the inner foam."""
        return strip_area(self.inside, self.inward, near, far)


def strip_area(length: float, spread: float, near: float, far: float) -> float:
    """Area between two offsets of a line: the sum of L + k d from ``near`` to ``far``, for one leg or a whole loop."""
    return length * (far - near) + spread * (far * far - near * near) / 2


def corner_spread(corner: Corner) -> float:
    """Length the outside face gains at this end per inch moved outward: tan(half the turn), negative at an inside
    corner. A T wall ends on another wall's face as at a square inside corner."""
    if corner.kind is CornerKind.TEE:
        return -1.0
    half = tan(radians(corner.deflection_deg) / 2)
    return {CornerKind.OUTSIDE: half, CornerKind.INSIDE: -half}.get(corner.kind, 0.0)


def inward_spread(corner: Corner) -> float:
    """The same for the inside face moved inward: the opposite, but a T wall's strip gets shorter there too."""
    return -1.0 if corner.kind is CornerKind.TEE else -corner_spread(corner)


@lru_cache(maxsize=8)  # asked for by every trade of one takeoff
def bands(placement: Placement) -> tuple[Band, ...]:
    """All stretches of all legs in walking order."""
    return tuple(band for geometry in placement.legs.values() for band in leg_bands(geometry))


def leg_bands(geometry: LegGeometry) -> tuple[Band, ...]:
    """The stretches of one leg, each with its lengths on every line a takeoff measures on."""
    cut = stretches(geometry.leg, geometry.dimension_length)
    out = []
    for index, stretch in enumerate(cut):
        first, last = index == 0, index == len(cut) - 1
        start, end = None if first else stretch.start, None if last else stretch.end
        outside = face_length(geometry, Face.OUTSIDE_OF_FOAM, start, end)
        ends = [geometry.start] * first + [geometry.end] * last
        swept = _arc_spread(geometry, outside)
        out.append(
            Band(
                geometry=geometry,
                levels=stretch.levels,
                start=stretch.start.inch,
                end=stretch.end.inch,
                outside=outside,
                centre=face_length(geometry, Face.CENTRE_LINE, start, end),
                inside=face_length(geometry, Face.INSIDE_OF_FOAM, start, end),
                spread=sum(map(corner_spread, ends)) + swept,
                inward=sum(map(inward_spread, ends)) - swept,
                centre_ratio=_scale(geometry.outside, geometry.centre) * geometry.outside_per_dimension,
                first=first,
                last=last,
            )
        )
    return tuple(out)


def face_length(geometry: LegGeometry, face: Face, start: Length | None, end: Length | None) -> float:
    """Length [in] on ``face`` between two places typed along the leg; None means to the face's own end."""
    base, line = geometry.outside, geometry.faces[face]
    begin, finish = _ends(base, line)
    scale = _scale(base, line)
    if start is not None:
        begin = geometry.along_outside(start).inch * scale
    if end is not None:
        finish = geometry.along_outside(end).inch * scale
    return max(finish - begin, 0.0)


def opening_span(opening: Opening, leg_length: float) -> tuple[float, float]:
    """Where an opening begins and ends along the dimensioned face from the leg's start [in]."""
    near, width = opening.offset.inch, opening.width.inch
    if opening.measured_from is End.START:
        return near, near + width
    return leg_length - near - width, leg_length - near


def has_ground_outside(placement: Placement, geometry: LegGeometry) -> bool:
    """True for a leg of a ring, and for a T wall that goes outward from one (a porch, a garage): only these have a
    face to be waterproofed and drained."""
    if geometry.walk.kind is WalkKind.RING:
        return True
    names = {leg.name for leg in geometry.walk.legs}
    for tee in placement.tees:
        if tee.spur in names and tee.through not in names:
            return not tee.inward and has_ground_outside(placement, placement.legs[tee.through])
    return False


def _scale(base: FaceLine, face: FaceLine) -> float:
    if base.curve is None or face.curve is None:
        return 1.0
    return face.curve.radius / base.curve.radius


def _ends(base: FaceLine, face: FaceLine) -> tuple[float, float]:
    """Where the face's own ends lie, measured along it from the point beside the base's start."""
    if base.curve is None or face.curve is None:
        run = hypot(base.x1 - base.x0, base.y1 - base.y0) or 1.0
        ux, uy = (base.x1 - base.x0) / run, (base.y1 - base.y0) / run
        begin = (face.x0 - base.x0) * ux + (face.y0 - base.y0) * uy
        return begin, begin + face.length.inch
    turn = 1 if face.curve.sweep_deg > 0 else -1
    ahead = (_bearing(face) - _bearing(base) + 180) % 360 - 180
    begin = turn * radians(ahead) * face.curve.radius
    return begin, begin + face.length.inch


def _bearing(line: FaceLine) -> float:
    """Direction [degrees] from an arc's centre to its start."""
    assert line.curve is not None
    return degrees(atan2(line.y0 - line.curve.cy, line.x0 - line.curve.cx))


def _arc_spread(geometry: LegGeometry, length: float) -> float:
    """Swept angle [rad] of a stretch of an arc, positive where the wall bulges outward."""
    curve = geometry.outside.curve
    if curve is None:
        return 0.0
    bulges_out = (curve.sweep_deg > 0) != geometry.outside_left
    return (1 if bulges_out else -1) * length / curve.radius
