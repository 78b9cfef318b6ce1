"""A leg ready to be laid: its form, its grid, and what stands in every course."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff import courses
from takeoff.bond import BondRules
from takeoff.corners import Joint, mitre_shortening
from takeoff.courses import Band, Grid
from takeoff.forms import FormSystem
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.openings_forms import formed_openings
from takeoff.plan import Leg, Opening, Plan, Stage, Stretch
from takeoff.rests import Rest, lay_heights, rule_of
from takeoff.site import LayoutSpec
from takeoff.units import Length

#: Least distance between joints of two courses, and never less than one web spacing. Common practice, no source.
LEAST_OFFSET = Length.inches(8)


@dataclass(frozen=True, slots=True)
class LegLayout:
    """One leg ready to be laid: its form, grid, stretches, the bands of every course, openings as formed with their
    jambs along the outside, and the rests of each stretch that were left over by whole courses."""

    geometry: LegGeometry
    form: FormSystem
    grid: Grid
    stretches: tuple[Stretch, ...]
    bands: dict[int, tuple[Band, ...]]  # by course
    holes: tuple[tuple[Length, Length, Opening], ...] = ()
    rests: tuple[tuple[Stretch, Rest], ...] = ()

    @property
    def leg(self) -> Leg:
        """The leg of the plan."""
        return self.geometry.leg

    @property
    def length(self) -> int:
        """Length along the outside of foam [nm]."""
        return self.geometry.outside.length.nm

    def stands_at(self, course_bottom: Length, end: str) -> bool:
        """True where the course starting at a level stands at this end of the leg."""
        return bool(self._row_at(course_bottom, end))

    def band_at(self, course_bottom: Length, end: str) -> Band | None:
        """The band of the course starting at a level, where it stands at this end of the leg."""
        row = self._row_at(course_bottom, end)
        return row[0 if end == "start" else -1] if row else None

    def bands_near(self, course_bottom: Length, end: str, reach: int) -> tuple[Band, ...]:
        """The bands of that course within ``reach`` [nm] of this end, none where it does not stand there."""
        row = self._row_at(course_bottom, end)
        if len(row) < 2:
            return row
        if end == "start":
            return tuple(b for b in row if b.start.nm == 0 or b.start.nm < reach)
        return tuple(b for b in row if b.end.nm == self.length or b.end.nm > self.length - reach)

    def _row_at(self, course_bottom: Length, end: str) -> tuple[Band, ...]:
        """All bands of that course, none where it does not stand at this end."""
        row = self.bands.get(self.grid.course_at(course_bottom), ())
        if row and (row[0].start.nm == 0 if end == "start" else row[-1].end.nm == self.length):
            return row
        return ()


def both_stand(joint: Joint, bottom: Length, legs: dict[str, LegLayout]) -> bool:
    """True where one unit can lie in both legs of a joint in the course starting at a level."""
    bands = bands_at(joint, bottom, legs)
    return bool(bands) and one_unit(bands, legs[joint.arriving].form.face_height)


def bands_at(joint: Joint, bottom: Length, legs: dict[str, LegLayout]) -> list[Band]:
    """The bands of both legs that a unit at their joint lies in, none where one of them does not stand there in this
    course."""
    reach = joint.long.nm if joint.long is not None else 0
    arriving = legs[joint.arriving].bands_near(bottom, "end", reach)
    departing = legs[joint.departing].bands_near(bottom, "start", reach)
    return [*arriving, *departing] if arriving and departing else []


def one_unit(bands: list[Band], face_height: Length) -> bool:
    """True where one unit is high enough to be notched to all these bands."""
    return max([b.top.nm for b in bands]) - min([b.bottom.nm for b in bands]) <= face_height.nm


def legs_to_lay(plan: Plan, placement: Placement) -> dict[str, LegLayout]:
    """Every placed leg with its courses, odd ones made in the way its section chose."""
    grids = courses.grids(plan)
    return {name: _leg_layout(plan, geometry, grids[name]) for name, geometry in placement.legs.items()}


def _leg_layout(plan: Plan, geometry: LegGeometry, grid: Grid) -> LegLayout:
    form, stretches = plan.form(geometry.leg.form), geometry.outside_stretches()
    rule = rule_of(form, plan.section(geometry.leg.section).rest_way, plan.spec.layout.minimum_rip)
    by_course: dict[int, list[Band]] = {}
    rests: list[tuple[Stretch, Rest]] = []
    for span in stretches:
        lines, found = lay_heights(span.levels, grid, rule)
        for n, line in lines.items():
            by_course.setdefault(n, []).append(Band(span.start, span.end, *line[:2], span.levels, line.unit))
        rests += [(span, rest) for rest in found]
    bands = {n: tuple(by_course[n]) for n in sorted(by_course)}
    holes = tuple((*geometry.opening_span(opening), opening) for opening in formed_openings(plan, geometry.leg))
    return LegLayout(geometry, form, grid, stretches, bands, holes, tuple(rests))


def bond_rules(
    form: FormSystem, core: Length, spec: LayoutSpec, turns: tuple[float, float] = (90.0, 90.0)
) -> BondRules:
    """The rules of running bond for one form system: offset and shortest piece default to the larger of 8 in and one
    web spacing, and to one web spacing. ``turns`` are made at the leg's start and end [degrees]: a corner leg is never
    cut back to the inside of the turn, W tan(theta/2), nor shorter than the shortest piece."""
    offset = spec.minimum_offset if spec.minimum_offset is not None else max(LEAST_OFFSET, form.web_spacing)
    piece = minimum_piece(form, spec)
    start, end = (max(mitre_shortening(form.thickness(core), turn), piece).nm for turn in turns)
    return BondRules(form.length.nm, form.web_spacing.nm, offset.nm, piece.nm, start, end)


def turns_of(leg: LegLayout) -> tuple[float, float]:
    """Turns at both ends of a leg [degrees]; where two legs are in line, or there is none, as at a square corner."""
    turned = (CornerKind.OUTSIDE, CornerKind.INSIDE)
    start, end = (c.deflection_deg if c.kind in turned else 90.0 for c in (leg.geometry.start, leg.geometry.end))
    return start, end


def minimum_piece(form: FormSystem, spec: LayoutSpec) -> Length:
    """The shortest piece that may be laid: as specified, or one web spacing."""
    return spec.minimum_piece if spec.minimum_piece is not None else form.web_spacing


@dataclass(frozen=True, slots=True)
class Stand:
    """The bands a unit lies in, and over them its bottom, its top and the height between; how far up in it the concrete
    stops, None where it fills it; and the wall it is stacked with where it turns no corner.

    ``part_height``: a straight unit there is one made lower. ``ripped``: it is cut lower than it was made, and
    ``corner_ripped`` the same of a corner unit.
    """

    under: tuple[Band, ...]
    bottom: Length
    top: Length
    high: Length
    pour_line: Length | None
    part_height: bool
    ripped: bool
    corner_ripped: bool
    stage: Stage

    @classmethod
    def in_bands(cls, under: tuple[Band, ...], face: Length) -> Stand:
        """Worked out for some bands, in order along the leg, and the height of a whole unit's face."""
        bottom, top = min(b.bottom for b in under), max(b.top for b in under)
        poured, low = max(b.poured_to for b in under), max(b.unit for b in under)
        high = top - bottom
        part_height = high <= low < face
        stages = {stacked_with(b) for b in under}
        return cls(
            under=under,
            bottom=bottom,
            top=top,
            high=high,
            pour_line=poured - bottom if poured < top else None,
            part_height=part_height,
            ripped=high < (low if part_height else face),
            corner_ripped=high < face,
            stage=Stage.FROST_WALL if Stage.FROST_WALL in stages else Stage.FULL_WALL,
        )


class Stands:
    """Where the units of one course stand, worked out once for each group of its bands."""

    def __init__(self, row: tuple[Band, ...], face: Length) -> None:
        self._row, self._face = row, face
        self._alone = Stand.in_bands(row, face) if len(row) == 1 else None
        self._known: dict[tuple[int, ...], Stand] = {}

    def of(self, start: int, end: int) -> Stand:
        """Where a unit from ``start`` to ``end`` along the leg [nm] stands."""
        if self._alone is not None:
            return self._alone
        places = tuple([k for k, b in enumerate(self._row) if b.start.nm < end and b.end.nm > start])
        stand = self._known.get(places)
        if stand is None:
            stand = self._known[places] = Stand.in_bands(tuple([self._row[k] for k in places]), self._face)
        return stand


def stacked_with(band: Band) -> Stage:
    """The wall a unit with its bottom in a band is stacked with: the frost wall below the cold joint."""
    frost_top = band.levels.frost_top
    return Stage.FROST_WALL if frost_top is not None and band.bottom < frost_top else Stage.FULL_WALL
