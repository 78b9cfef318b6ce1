"""Bars of one leg gathered as they are found, and the two lists a schedule wants of them: runs of identical bars with
the places they are drawn, and how far the concrete reaches inside the outside face at each end of a leg."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache

from takeoff.bending import cut_length
from takeoff.corners import neighbours
from takeoff.courses import Grid
from takeoff.geometry import Corner, CornerKind, LegGeometry, Placement
from takeoff.laps import Lap, wall_lap
from takeoff.openings_forms import formed_openings
from takeoff.plan import Leg, Levels, Plan, Stage, Stretch, levels_at
from takeoff.results import Bar, BarRole, BarShape
from takeoff.units import ZERO, Length

Line = tuple[float, float, float, float]
Run = tuple[Length, Length]
Alike = tuple[str, Stage, BarRole, int, Length, Length | None, str, BarShape | None]

#: A bar end needs this much concrete beyond it at a jamb, a free end or a step. Common practice, no source.
END_COVER = Length.inches(2)


@dataclass(slots=True)
class _Alike:
    """How many bars are identical, and the lines they are drawn by."""

    count: int = 0
    lines: list[Line] = field(default_factory=list)


@dataclass(slots=True)
class Gathered:
    """Bars by what makes them identical: (leg, stage, role, size, cut length, lap, basis, shape)."""

    found: dict[Alike, _Alike] = field(default_factory=dict)

    def add(
        self,
        leg: str,
        stage: Stage,
        role: BarRole,
        size: int,
        cut: Length,
        basis: str,
        count: int = 1,
        lap: Length | None = None,
        lines: Iterable[Line] = (),
        shape: BarShape | None = None,
    ) -> None:
        """Add ``count`` bars of one cut length with the lines they are drawn by."""
        key = (leg, stage, role, size, cut, lap, basis, shape)
        alike = self.found.get(key)
        if alike is None:
            alike = self.found[key] = _Alike()
        alike.count += count
        alike.lines.extend(lines)

    def add_bent(
        self,
        leg: str,
        stage: Stage,
        role: BarRole,
        size: int,
        shape: BarShape,
        basis: str,
        count: int = 1,
        lap: Length | None = None,
        lines: Iterable[Line] = (),
    ) -> None:
        """Add ``count`` bars of one shape; the cut length follows from it."""
        self.add(leg, stage, role, size, cut_length(size, shape), basis, count, lap, lines, shape)

    def bars(self, plan: Plan) -> tuple[Bar, ...]:
        """As a schedule, not marked yet."""
        sections = {leg.name: leg.section for leg in plan.legs()}
        return tuple(
            Bar("", size, role, stage, sections[leg], leg, alike.count, cut, lap, basis, tuple(alike.lines), shape)
            for (leg, stage, role, size, cut, lap, basis, shape), alike in self.found.items()
        )


@dataclass(frozen=True, slots=True, eq=False)
class Zone:
    """The part of a stretch poured in one wall stage; equal to itself alone, like its leg."""

    stage: Stage
    stretch: Stretch
    bottom: Length
    top: Length

    @property
    def on_frost_wall(self) -> bool:
        """True for a full-height wall standing on a frost wall."""
        return self.stage is Stage.FULL_WALL and self.bottom > self.stretch.levels.footing_top

    @property
    def carries_wall(self) -> bool:
        """True for a frost wall under a full-height wall."""
        return self.stage is Stage.FROST_WALL and self.stretch.levels.wall_top is not None


def zones_at(stretch: Stretch) -> tuple[Zone, ...]:
    """Frost wall and full-height wall of a stretch, lower first."""
    levels: Levels = stretch.levels
    out, bottom = [], levels.footing_top
    if levels.frost_top is not None and levels.frost_top > bottom:
        out.append(Zone(Stage.FROST_WALL, stretch, bottom, levels.frost_top))
        bottom = levels.frost_top
    if levels.wall_top is not None and levels.wall_top > bottom:
        out.append(Zone(Stage.FULL_WALL, stretch, bottom, levels.wall_top))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Met:
    """The wall that a leg meets in a T, and its levels there."""

    leg: Leg
    levels: Levels


@dataclass(frozen=True, slots=True, eq=False)
class LegSteel:
    """A leg ready for its bars: stretches and zones along the outside face, where openings are, what stands beside.

    One is equal to itself alone, so that what is worked out from it can be kept with it as the key.
    """

    plan: Plan
    geometry: LegGeometry
    grid: Grid
    stretches: tuple[Stretch, ...]
    zones: tuple[Zone, ...]
    openings: tuple[tuple[Run, Length, Length], ...]  # (jambs along the outside, sill, head)
    before: LegGeometry | None
    after: LegGeometry | None
    met: tuple[Met | None, Met | None] = (None, None)  # walls met in a T at the start and at the end

    @property
    def leg(self) -> Leg:
        """The leg of the plan."""
        return self.geometry.leg

    @property
    def name(self) -> str:
        """Its name."""
        return self.geometry.leg.name

    @property
    def length(self) -> Length:
        """Along the outside of foam."""
        return self.geometry.outside.length

    @property
    def thickness(self) -> Length:
        """Foam, core and foam."""
        return self.plan.form(self.leg.form).thickness(self.leg.core)

    @property
    def foam(self) -> Length:
        """Foam of one side."""
        return self.plan.form(self.leg.form).foam

    @property
    def centre_ratio(self) -> float:
        """Length of the centre line over that of the outside face on an arc, 1 on a straight leg."""
        outside, centre = self.geometry.outside.curve, self.geometry.centre.curve
        return centre.radius / outside.radius if outside and centre else 1.0

    def along_bar(self, distance: Length) -> Length:
        """A distance along the outside face as a length of bar: shorter on an arc, by the radii."""
        ratio = self.centre_ratio
        return distance if ratio == 1.0 else Length(round(distance.nm * ratio))

    def lap(self, size: int, upright: bool = True) -> Lap:
        """Lap of a wall bar."""
        return wall_lap(self.plan.spec, self.leg.core, size, upright)


def legs_for_steel(plan: Plan, placement: Placement, grids: dict[str, Grid]) -> tuple[LegSteel, ...]:
    """All placed legs, in walking order."""
    beside = neighbours(plan, placement)
    out = []
    for name, geometry in placement.legs.items():
        stretches = tuple(s for s in geometry.outside_stretches() if s.end > s.start)
        zones = tuple(zone for stretch in stretches for zone in zones_at(stretch))
        formed = formed_openings(plan, geometry.leg)
        openings = tuple((geometry.opening_span(o), o.sill, o.head) for o in formed)
        before, after = beside.get((name, "start")), beside.get((name, "end"))
        met = _met(plan, geometry)
        out.append(LegSteel(plan, geometry, grids[name], stretches, zones, openings, before, after, met))
    return tuple(out)


def _met(plan: Plan, geometry: LegGeometry) -> tuple[Met | None, Met | None]:
    """The walls a leg of a spur meets in a T, at its start and at its end."""
    ends = (geometry.start, geometry.walk.starts_on), (geometry.end, geometry.walk.ends_on)
    out = [
        Met(plan.leg(on.leg), levels_at(plan.leg(on.leg), on.at)) if corner.kind is CornerKind.TEE and on else None
        for corner, on in ends
    ]
    return out[0], out[1]


@lru_cache(maxsize=1024)  # the same few corners for every bar of a leg
def inset(corner: Corner, depth: Length) -> Length:
    """How far from the outside corner a line ``depth`` inside the outside face begins: depth x tan(theta/2), behind
    the corner (negative) at an inside one, 0 where there is no turn."""
    if corner.kind is CornerKind.OUTSIDE:
        sign = 1.0
    elif corner.kind is CornerKind.INSIDE:
        sign = -1.0
    else:
        return ZERO
    return Length.from_inches(sign * depth.inch * math.tan(math.radians(corner.deflection_deg) / 2))


def subtract(run: Run, holes: Iterable[Run]) -> list[Run]:
    """What is left of a run after taking holes out of it, in order."""
    left = [run]
    for low, high in holes:
        left = [part for a, b in left for part in ((a, min(b, low)), (max(a, high), b)) if part[1] > part[0]]
    return left
