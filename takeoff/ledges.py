"""Brick ledges: which course carries them, from where to where, and the concrete of the haunch under the bearing.

A ledge unit is one course high. Its bearing is its top, so a ledge stands on a course line; under the bearing the outer
panel flares out over the unit's haunch and keeps its thickness, so that the concrete stands out from the core as far as
the panel stands out from the foam above and below. Where the ledge of one leg meets that of the next at a corner, at
the same level, the haunch runs round it in a mitre.

:mod:`takeoff.ledge_units` counts what is bought for ledges, :mod:`takeoff.ledge_bars` their steel.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from takeoff.bands import corner_spread, face_length
from takeoff.bar_runs import subtract
from takeoff.corners import neighbours
from takeoff.courses import Grid, grids
from takeoff.forms import FormSystem
from takeoff.geometry import Corner, CornerKind, LegGeometry, Placement
from takeoff.places import places
from takeoff.plan import Face, Ledge, Plan, Stage, levels_at
from takeoff.results import PlacedUnit, UnitKind
from takeoff.sources import Source
from takeoff.tally import feet_inches, inch_text, yards
from takeoff.units import ZERO, Length

#: A ledge's haunch is at least this tall where no ledge unit says how tall. Common practice, no source.
HAUNCH_HEIGHT = Length.inches(12)

#: Flattest flare of a haunch, from upright [degrees]; the article does not say from what, read here as from upright.
STEEPEST_FLARE_DEG = 30.0
FLARE = Source("trade article on brick ledges", clause="flare not over 30 degrees")


# -- rules ------------------------------------------------------------------------------------------
def flare_deg(top: Length, height: Length, bottom: Length = ZERO) -> float:
    """Angle [degrees from upright] of the underside of a haunch: atan((top - bottom) / height)."""
    return math.degrees(math.atan2(top.inch - bottom.inch, height.inch))


def haunch_height(projection: Length) -> Length:
    """Height of a haunch no ledge unit gives: 12 in, or taller where 12 in would flare beyond 30 degrees."""
    least = projection.inch / math.tan(math.radians(STEEPEST_FLARE_DEG))
    return max(HAUNCH_HEIGHT, Length.from_inches(least))


def haunch_volume_in3(
    length_in: float, top_in: float, bottom_in: float, height_in: float, spread: float = 0.0
) -> float:
    """Concrete [in3] beyond the core under a ledge: (a + b) / 2 x h x length, exact with mitred ends and on arcs.

    The section is a trapezoid, ``top_in`` (a) wide at the bearing and ``bottom_in`` (b) at its foot. ``length_in`` is
    measured on the face of the core; ``spread`` is what the length gains per inch outward [in/in] (tan of half the turn
    at a mitred corner, the sweep of an arc), so that a level slice w wide is L w + spread w^2 / 2.
    """
    a, b = top_in, bottom_in
    return height_in * (length_in * (a + b) / 2 + spread * (a * a + a * b + b * b) / 6)


def bearing_line(level: Length, grid: Grid, top: Length) -> tuple[Length, int]:
    """The course line nearest to a bearing level, and the course under it; between two equally near the lower one.

    Never below the top of course 1 nor above the wall's ``top``.
    """
    below = (level - grid.base) // grid.height
    down, up = grid.base + below * grid.height, grid.base + (below + 1) * grid.height
    nearest = down if level - down <= up - level or up > top else up
    line = max(nearest, grid.base + grid.height)
    return line, (line - grid.base) // grid.height


# -- where ledges are -------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Haunch:
    """Section of a haunch beyond the core: width at the bearing and at its foot, height. ``unit`` is True where the
    form system's ledge unit has just this section."""

    top: Length
    bottom: Length
    height: Length
    unit: bool

    @property
    def flare_deg(self) -> float:
        """Its flare from upright [degrees]."""
        return flare_deg(self.top, self.height, self.bottom)


@dataclass(frozen=True, slots=True)
class LedgeRun:
    """A ledge of one leg: from ``start`` to ``end`` along the outside face of foam, on top of ``course``.

    ``bearing`` is the course line it is built at, ``ledge.level`` the level asked for. ``round_start``/``round_end``:
    there it goes on round the corner, or in line, on the next leg. ``path`` is its address in the plan document.
    """

    geometry: LegGeometry
    form: FormSystem
    ledge: Ledge
    path: str
    course: int
    bearing: Length
    start: Length
    end: Length
    stage: Stage
    haunch: Haunch
    round_start: bool = False
    round_end: bool = False

    @property
    def leg(self) -> str:
        """Name of the leg."""
        return self.geometry.leg.name

    @property
    def section(self) -> str:
        """Its section."""
        return self.geometry.leg.section

    @property
    def length(self) -> Length:
        """Along the outside face of foam."""
        return self.end - self.start

    @property
    def to_corner(self) -> tuple[bool, bool]:
        """Whether it reaches the leg's start and its end."""
        return not self.start, self.end == self.geometry.outside.length

    def on_core(self) -> float:
        """Length [in] on the outside face of the core, to the corner of the concrete where it goes round it or ends
        at an outside corner; at an inside corner it does not go round it ends on the other wall's foam."""
        ledge, (first, last) = self.ledge, self.to_corner
        start, end = None if first else ledge.start, None if last else ledge.until
        long = face_length(self.geometry, Face.OUTSIDE_OF_CONCRETE, start, end)
        for corner, reached, round_it in self._ends():
            if reached and not round_it and corner.kind is CornerKind.INSIDE:
                long += self.form.foam.inch * corner_spread(corner)
        return long

    def spread(self) -> float:
        """What its length gains per inch outward [in/in]: mitres where it goes round corners, the sweep of an arc."""
        mitres = sum(corner_spread(corner) for corner, reached, round_it in self._ends() if reached and round_it)
        curve = self.geometry.faces[Face.OUTSIDE_OF_CONCRETE].curve
        if curve is None:
            return mitres
        bulges_out = (curve.sweep_deg > 0) != self.geometry.outside_left
        return mitres + (1 if bulges_out else -1) * self.on_core() / curve.radius

    def _ends(self) -> tuple[tuple[Corner, bool, bool], tuple[Corner, bool, bool]]:
        first, last = self.to_corner
        return (self.geometry.start, first, self.round_start), (self.geometry.end, last, self.round_end)

    def typed(self, along: Length) -> Length:
        """A place along the outside face as a distance along the dimensioned face, from the leg's start."""
        ratio = self.geometry.outside_per_dimension
        return Length(round((along - self.geometry.dimension_offset).nm / ratio))


def ledge_runs(plan: Plan, placement: Placement) -> tuple[LedgeRun, ...]:
    """All ledges of a plan in walking order, in order along each leg."""
    if not any(leg.ledges for leg in plan.legs()):
        return ()
    course_grids, runs = grids(plan), []
    order = {name: k for k, name in enumerate(placement.legs)}
    for place in places(plan):
        geometry = placement.legs.get(place.leg.name)
        if geometry is not None:
            for k, ledge in enumerate(place.leg.ledges):
                path = f"{place.path}.ledges.{k}"
                runs.append(_run(plan, geometry, ledge, path, course_grids[place.leg.name]))
    usable = [run for run in runs if run.length > ZERO]
    return _rounded(plan, placement, sorted(usable, key=lambda run: (order[run.leg], run.start)))


def _run(plan: Plan, geometry: LegGeometry, ledge: Ledge, path: str, grid: Grid) -> LedgeRun:
    form, leg = plan.form(geometry.leg.form), geometry.leg
    whole = ledge.until is None or ledge.until >= geometry.dimension_length
    start = geometry.along_outside(ledge.start) if ledge.start > ZERO else ZERO
    end = geometry.outside.length if whole or ledge.until is None else geometry.along_outside(ledge.until)
    levels = levels_at(leg, ledge.start)
    line, course = bearing_line(ledge.level, grid, levels.top)
    low = levels.wall_top is None or (levels.frost_top is not None and line <= levels.frost_top)
    stage = Stage.FROST_WALL if low else Stage.FULL_WALL
    return LedgeRun(geometry, form, ledge, path, course, line, start, end, stage, haunch(ledge, form))


def haunch(ledge: Ledge, form: FormSystem) -> Haunch:
    """The section of a haunch: that of the ledge unit where it stands out as far as the plan asks; else as far as the
    plan asks, at the usual height."""
    fits = form.ledge_projection == ledge.projection
    height = form.ledge_height if fits and form.ledge_height is not None else haunch_height(ledge.projection)
    return Haunch(ledge.projection, ZERO, height, fits)


def _rounded(plan: Plan, placement: Placement, runs: list[LedgeRun]) -> tuple[LedgeRun, ...]:
    """The runs, each told at which ends it goes on along the next leg."""
    beside = neighbours(plan, placement)
    starts = {(run.leg, run.bearing, run.ledge.projection) for run in runs if run.to_corner[0]}
    ends = {(run.leg, run.bearing, run.ledge.projection) for run in runs if run.to_corner[1]}

    def goes_on(run: LedgeRun, end: str, there: set[tuple[str, Length, Length]]) -> bool:
        other = beside.get((run.leg, end))
        return other is not None and (other.leg.name, run.bearing, run.ledge.projection) in there

    return tuple(
        replace(
            run,
            round_start=run.to_corner[0] and goes_on(run, "start", ends),
            round_end=run.to_corner[1] and goes_on(run, "end", starts),
        )
        for run in runs
    )


# -- concrete ---------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class LedgeVolume:
    """Concrete of one ledge beyond the core, and the sum written out."""

    leg: str
    section: str
    stage: Stage
    yd3: float
    text: str
    bottom: Length  # level of the haunch's foot
    bearing: Length


def ledge_volume(plan: Plan, placement: Placement) -> tuple[LedgeVolume, ...]:
    """Concrete of every ledge: part of the wall it stands on, from the haunch's foot up to the bearing."""
    out = []
    for run in ledge_runs(plan, placement):
        section, long, spread = run.haunch, run.on_core(), run.spread()
        volume = haunch_volume_in3(long, section.top.inch, section.bottom.inch, section.height.inch, spread)
        text = f"ledge {feet_inches(long)} x ({inch_text(section.top.inch)} x {inch_text(section.height.inch)} / 2)"
        if spread:
            text += " mitred at corners" if run.geometry.outside.curve is None else " round the bend"
        foot = run.bearing - section.height
        out.append(LedgeVolume(run.leg, run.section, run.stage, yards(volume), text, foot, run.bearing))
    return tuple(out)


# -- units ------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class LedgePlace:
    """Where ledge units stand instead of straight ones: leg, course, from and to along the outside face of foam."""

    leg: str
    course: int
    start: Length
    end: Length


def ledge_places(plan: Plan, placement: Placement) -> tuple[LedgePlace, ...]:
    """Where a form system's ledge units replace straight units; a ledge the system has no unit for is not among them.

    Corner and mitred units stay what they are: their lip is cut from ledge units bought beside them.
    """
    return tuple(
        LedgePlace(run.leg, run.course, run.start, run.end)
        for run in ledge_runs(plan, placement)
        if run.form.ledge_projection is not None
    )


UnitsByCourse = dict[tuple[str, int], list[PlacedUnit]]


def by_course(units: Iterable[PlacedUnit], runs: Iterable[LedgeRun]) -> UnitsByCourse:
    """Placed units of the courses that carry ledges, by leg and course."""
    out: UnitsByCourse = {(run.leg, run.course): [] for run in runs}
    for unit in units:
        row = out.get((unit.leg, unit.course))
        if row is not None:
            row.append(unit)
    return out


def straight_parts(unit: PlacedUnit, ledges: Iterable[LedgePlace]) -> tuple[tuple[Length, Length], ...]:
    """The parts (from, to along the leg) of a placed straight unit that are no ledge unit: the whole unit where no
    ledge touches it, nothing where one covers it. A unit of any other kind is always whole."""
    if unit.kind is not UnitKind.STRAIGHT:
        return ((unit.start, unit.end),)
    covered = [(p.start, p.end) for p in ledges if (p.leg, p.course) == (unit.leg, unit.course)]
    return tuple(subtract((unit.start, unit.end), covered))
