"""The wall cut across: how wide and how high everything is at one place of one leg.

Across the wall, ``d`` [in] is 0 at the outside of foam, positive to the inside, negative outside. Levels are up
positive on the plan's datum [in]. The section and the tracker are both drawn from a :class:`WallCut`.
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.plan import Leg, Levels, Plan, Straight, stretches
from takeoff.units import Length

#: Clean stone under a slab [in]; common practice, no source.
SLAB_STONE = 4.0

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class WallCut:
    """Sizes [in] and levels [in] at one place. ``frost_top``/``wall_top`` None where that wall does not stand."""

    leg: str
    section: str
    foam: float
    core: float
    footing_width: float
    footing_thickness: float
    footing_top: float
    frost_top: float | None
    wall_top: float | None
    grade_outside: float
    grade_inside: float
    slab_top: float | None
    slab_thickness: float
    working_space: float
    slope_run: float
    stone_beyond: float
    stone_over: float
    membrane_above: float
    membrane_onto: float

    @property
    def thickness(self) -> float:
        """Foam, core, foam."""
        return 2 * self.foam + self.core

    @property
    def middle(self) -> float:
        """Centre of the core."""
        return self.thickness / 2

    @property
    def footing_outside(self) -> float:
        """Outer edge of the footing (negative: outside the foam)."""
        return self.middle - self.footing_width / 2

    @property
    def footing_inside(self) -> float:
        """Inner edge of the footing."""
        return self.middle + self.footing_width / 2

    @property
    def footing_bottom(self) -> float:
        """Level of the underside of the footing."""
        return self.footing_top - self.footing_thickness

    @property
    def top(self) -> float:
        """Top of whatever wall stands here."""
        return self.wall_top if self.wall_top is not None else (self.frost_top or self.footing_top)

    @property
    def full_bottom(self) -> float:
        """Where the full-height wall begins."""
        return self.frost_top if self.frost_top is not None else self.footing_top

    @property
    def slab_underside(self) -> float | None:
        """Underside of the slab, None where there is none."""
        return None if self.slab_top is None else self.slab_top - self.slab_thickness

    @property
    def inside_fill_top(self) -> float:
        """Level the ground inside is brought to: underside of the slab's stone, or the grade inside."""
        if self.slab_underside is None:
            return self.grade_inside
        return max(self.slab_underside - SLAB_STONE, self.footing_top)

    @property
    def frost_fill_top(self) -> float:
        """Level the frost backfill reaches outside: the top of the frost wall, not above grade."""
        return min(self.full_bottom, self.grade_outside)

    @property
    def membrane_top(self) -> float:
        """Where the membrane ends: its height above grade, not above the wall."""
        return min(self.grade_outside + self.membrane_above, self.top)


def levels_at(leg: Leg, at: Length | None, length: Length) -> Levels:
    """Levels at a distance along the dimensioned face; with ``at`` None where the footing is lowest."""
    parts = stretches(leg, length)
    if at is None:
        return min(parts, key=lambda s: (s.levels.footing_top, -s.levels.top.nm)).levels
    for part in parts:
        if part.start <= at <= part.end:
            return part.levels
    return parts[-1].levels


def dimensioned_length(leg: Leg) -> Length:
    """Length of a leg along its dimensioned face."""
    if isinstance(leg.path, Straight):
        return leg.path.length
    return Length.from_inches(leg.path.radius.inch * abs(leg.path.sweep_deg) * 3.141592653589793 / 180)


def wall_cut(plan: Plan, leg: Leg, at: Length | None = None) -> WallCut:
    """The cut at ``at`` (along the dimensioned face) of a leg, or where its footing is lowest."""
    levels = levels_at(leg, at, dimensioned_length(leg))
    form, section, spec = plan.form(leg.form), plan.section(leg.section), plan.spec
    thickness = form.thickness(leg.core)
    width = max(spec.footing.width, thickness + spec.footing.projection * 2)
    return WallCut(
        leg=leg.name,
        section=leg.section,
        foam=form.foam.inch,
        core=leg.core.inch,
        footing_width=width.inch,
        footing_thickness=spec.footing.thickness.inch,
        footing_top=levels.footing_top.inch,
        frost_top=None if levels.frost_top is None else levels.frost_top.inch,
        wall_top=None if levels.wall_top is None else levels.wall_top.inch,
        grade_outside=levels.grade_outside.inch,
        grade_inside=levels.grade_inside.inch,
        slab_top=None if section.slab_top is None else section.slab_top.inch,
        slab_thickness=section.slab_thickness.inch,
        working_space=spec.earth.working_space.inch,
        slope_run=spec.earth.slope_run,
        stone_beyond=spec.envelope.stone_beyond_footing.inch,
        stone_over=spec.envelope.stone_over_footing.inch,
        membrane_above=spec.envelope.membrane_above_grade.inch,
        membrane_onto=spec.envelope.membrane_onto_footing.inch,
    )


def box(d0: float, y0: float, d1: float, y1: float) -> Points:
    """A rectangle across the wall."""
    return (d0, y0), (d1, y0), (d1, y1), (d0, y1)


def dug_edge(cut: WallCut, level: float, limit: float) -> float:
    """How far out (negative) the dug slope stands at a level, not beyond ``limit``."""
    foot = cut.footing_outside - cut.working_space
    return max(foot - cut.slope_run * max(level - cut.footing_bottom, 0.0), limit)


def outside_fill(cut: WallCut, bottom: float, top: float, limit: float) -> Points:
    """Fill outside between two levels: against footing and wall on one side, the dug slope (cut off at ``limit``) on
    the other. Empty where there is nothing to fill."""
    if top <= bottom:
        return ()
    near: list[tuple[float, float]] = []
    if bottom < cut.footing_top:
        near += [(cut.footing_outside, bottom)]
        if top > cut.footing_top:
            near += [(cut.footing_outside, cut.footing_top), (0.0, cut.footing_top), (0.0, top)]
        else:
            near += [(cut.footing_outside, top)]
    else:
        near += [(0.0, bottom), (0.0, top)]
    far = [(dug_edge(cut, top, limit), top)]
    foot = cut.footing_outside - cut.working_space
    bend = cut.footing_bottom + (foot - limit) / cut.slope_run if cut.slope_run else top
    if bottom < bend < top:
        far.append((limit, bend))
    return (*near, *far, (dug_edge(cut, bottom, limit), bottom))


def inside_fill(cut: WallCut, reach: float) -> Points:
    """Fill inside, against footing and frost wall, up to the stone of the slab or the grade inside, as far as
    ``reach`` inside the inner foam."""
    top, inner = cut.inside_fill_top, cut.thickness
    far = max(inner + reach, cut.footing_inside)
    if top <= cut.footing_bottom:
        return ()
    if top <= cut.footing_top:
        return (
            (cut.footing_inside, cut.footing_bottom),
            (far, cut.footing_bottom),
            (far, top),
            (cut.footing_inside, top),
        )
    return (
        (cut.footing_inside, cut.footing_bottom),
        (far, cut.footing_bottom),
        (far, top),
        (inner, top),
        (inner, cut.footing_top),
        (cut.footing_inside, cut.footing_top),
    )


def mirrored(points: Points) -> Points:
    """The same shape seen facing the other way."""
    return tuple((-x, y) for x, y in points)


def shifted(points: Points, dx: float, dy: float = 0.0, scale: float = 1.0) -> Points:
    """Scaled, then moved."""
    return tuple((x * scale + dx, y * scale + dy) for x, y in points)
