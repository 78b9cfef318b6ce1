"""A leg ready to be laid: its form, its grid, and what stands in every course."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff import courses
from takeoff.bond import BondRules
from takeoff.courses import Band, Grid
from takeoff.forms import FormSystem
from takeoff.geometry import LegGeometry, Placement
from takeoff.plan import Leg, Plan, Stage, Stretch
from takeoff.site import LayoutSpec
from takeoff.units import Length

#: Least distance between joints of two courses, and never less than one web spacing. Common practice, no source.
LEAST_OFFSET = Length.inches(8)


@dataclass(frozen=True, slots=True)
class LegLayout:
    """One leg ready to be laid: its form, grid, stretches, openings and the bands of every course."""

    geometry: LegGeometry
    form: FormSystem
    grid: Grid
    stretches: tuple[Stretch, ...]
    bands: dict[int, tuple[Band, ...]]  # by course

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
        found = self.bands.get(self.grid.course_at(course_bottom), ())
        return bool(found) and (found[0].start.nm == 0 if end == "start" else found[-1].end.nm == self.length)


def legs_to_lay(plan: Plan, placement: Placement) -> dict[str, LegLayout]:
    grids = courses.grids(plan)
    out = {}
    for name, geometry in placement.legs.items():
        form, grid, stretches = plan.form(geometry.leg.form), grids[name], geometry.outside_stretches()
        bands = {n: courses.bands(stretches, grid, n) for n in courses.course_range(stretches, grid)}
        out[name] = LegLayout(geometry, form, grid, stretches, {n: b for n, b in bands.items() if b})
    return out


def bond_rules(form: FormSystem, core: Length, spec: LayoutSpec) -> BondRules:
    """The rules of running bond for one form system: offset and shortest piece default to the larger of 8 in and one
    web spacing, and to one web spacing. A corner leg is never cut shorter than the wall is thick."""
    offset = spec.minimum_offset if spec.minimum_offset is not None else max(LEAST_OFFSET, form.web_spacing)
    piece = minimum_piece(form, spec)
    return BondRules(form.length.nm, form.web_spacing.nm, offset.nm, piece.nm, form.thickness(core).nm)


def minimum_piece(form: FormSystem, spec: LayoutSpec) -> Length:
    """The shortest piece that may be laid: as specified, or one web spacing."""
    return spec.minimum_piece if spec.minimum_piece is not None else form.web_spacing


def stacked_with(band: Band) -> Stage:
    """The wall a unit with its bottom in a band is stacked with: the frost wall below the cold joint."""
    frost_top = band.levels.frost_top
    return Stage.FROST_WALL if frost_top is not None and band.bottom < frost_top else Stage.FULL_WALL
