"""Concrete of the walls: core by centre line, net of openings, with ledges, T throats and the keyway below.

A frost wall and the full-height wall on it are two pours and are kept apart. Displacement by steel is ignored
(1,000 lb is 0.08 yd3) and so are beam pockets, which seldom go through the core.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan

from takeoff.bands import Band, face_length, leg_bands, opening_span
from takeoff.footing_runs import FootingRun, key_text, key_volume_yd3, runs
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.plan import Face, Ledge, Levels, Plan, Stage
from takeoff.readymix import Loads, mix_criteria, trucks, volume_criterion
from takeoff.results import Buy, Criterion, Part, Unit
from takeoff.sources import GEOMETRY
from takeoff.tally import Tally, feet_inches, inch_text, yards

__all__ = ["Loads", "Zone", "haunch_section_in2", "trucks", "wall_volume_yd3", "walls", "zones"]

#: A ledge's haunch is at least this tall [in], and never flatter than this from upright [degrees] (a trade article
#: gives 30 degrees as the most a ledge may flare).
HAUNCH_HEIGHT_IN = 12.0
STEEPEST_FLARE_DEG = 30.0


# -- rules ------------------------------------------------------------------------------------------
def wall_volume_yd3(
    centre_line_in: float, core_in: float, height_in: float, openings_in2: float = 0.0, web_displacement: float = 0.0
) -> float:
    """Concrete [yd3] in a core: (centre line x height - openings) x core x (1 - part taken by the webs)."""
    return yards((centre_line_in * height_in - openings_in2) * core_in * (1 - web_displacement))


def haunch_height_in(projection_in: float) -> float:
    """Height [in] of the haunch under a brick ledge: 12 in, or taller where 12 in would flare beyond 30 degrees.

    A plan gives only how far a ledge stands out; the supplier's ledge unit decides the true shape. Common practice.
    """
    return max(HAUNCH_HEIGHT_IN, projection_in / tan(radians(STEEPEST_FLARE_DEG)))


def haunch_section_in2(top_in: float, bottom_in: float, height_in: float) -> float:
    """Section [in2] of the haunch beyond the core: a trapezoid from ``top_in`` wide down to ``bottom_in``."""
    return (top_in + bottom_in) / 2 * height_in


def throat_volume_yd3(core_in: float, foam_in: float, height_in: float) -> float:
    """Concrete [yd3] where a T wall's core passes through one foam panel of the wall it meets."""
    return yards(core_in * foam_in * height_in)


# -- zones ------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Zone:
    """A wall of one stage over one stretch: from and to level [in]."""

    stage: Stage
    bottom: float
    top: float

    @property
    def height(self) -> float:
        """Height [in], never below nothing."""
        return max(self.top - self.bottom, 0.0)


def zones(levels: Levels) -> tuple[Zone, ...]:
    """The frost wall and the full-height wall standing on one stretch, whichever are there."""
    out, foot = [], levels.footing_top.inch
    if levels.frost_top is not None:
        out.append(Zone(Stage.FROST_WALL, foot, levels.frost_top.inch))
        foot = levels.frost_top.inch
    if levels.wall_top is not None:
        out.append(Zone(Stage.FULL_WALL, foot, levels.wall_top.inch))
    return tuple(out)


# -- quantities and criteria ------------------------------------------------------------------------
def walls(plan: Plan, placement: Placement) -> Part:
    """Concrete of both kinds of wall and the numbers their inspections ask for."""
    spec = plan.spec.concrete
    buy = Buy("quarter yard", spec.order_step_yd3, spec.waste_wall, spec.pump_hopper_yd3)
    tally = Tally(
        "wall.concrete",
        "Wall concrete",
        Unit.YD3,
        "core of the walls, openings taken out at their rough size",
        GEOMETRY,
        buy,
        note=" (lengths on the centre line of the core)",
    )
    for run in runs(plan, placement):
        _add_core(tally, plan, run)
    for geometry in placement.legs.values():
        _add_ledges(tally, geometry)
        _add_throats(tally, plan, geometry)
    return Part(quantities=tally.quantities(), criteria=_criteria(plan, tally, buy))


def _add_core(tally: Tally, plan: Plan, run: FootingRun) -> None:
    """The core over one stretch; its lowest wall also fills the keyway of the footing it stands on."""
    band, leg = run.band, run.band.geometry.leg
    core, webs = leg.core.inch, plan.form(leg.form).web_displacement
    for number, zone in enumerate(zones(band.levels)):
        text = f"{feet_inches(band.centre)} x {feet_inches(zone.height)} x {inch_text(core)}{_webs_text(webs)}"
        amount = wall_volume_yd3(band.centre, core, zone.height, 0.0, webs)
        if number == 0:
            amount += key_volume_yd3(run.length, plan.spec.footing)
            text += key_text(plan.spec.footing, "+")
        tally.add(band.section, zone.stage, band.name, amount, text)
        for name, area, said in _openings(band, zone):
            out = wall_volume_yd3(0.0, core, 0.0, area, webs)
            tally.add(band.section, zone.stage, band.name, out, f"less {name} {said} x {inch_text(core)}")


def _webs_text(displacement: float) -> str:
    return f" less {displacement:.1%} webs" if displacement else ""


def _openings(band: Band, zone: Zone) -> list[tuple[str, float, str]]:
    """Parts of openings inside a zone of a stretch: name, area on the centre line [in2], how it was worked out."""
    out = []
    leg_length = band.geometry.dimension_length.inch
    for opening in band.geometry.leg.openings:
        near, far = opening_span(opening, leg_length)
        wide = (min(far, band.end) - max(near, band.start)) * band.centre_ratio
        high = min(opening.head.inch, zone.top) - max(opening.sill.inch, zone.bottom)
        if wide > 0 and high > 0:
            out.append((opening.name, wide * high, f"{feet_inches(wide)} x {feet_inches(high)}"))
    return out


def _add_ledges(tally: Tally, geometry: LegGeometry) -> None:
    for ledge in geometry.leg.ledges:
        long = _ledge_length(geometry, ledge)
        high = haunch_height_in(ledge.projection.inch)
        section = haunch_section_in2(ledge.projection.inch, 0.0, high)
        text = f"ledge {feet_inches(long)} x ({inch_text(ledge.projection.inch)} x {inch_text(high)} / 2)"
        leg = geometry.leg
        tally.add(leg.section, _stage_at(geometry, ledge), leg.name, yards(long * section), text)


def _ledge_length(geometry: LegGeometry, ledge: Ledge) -> float:
    """Length of a ledge on the outside of the concrete, to the corner where it reaches one."""
    start = None if ledge.start.nm <= 0 else ledge.start
    end = None if ledge.until is None or ledge.until >= geometry.dimension_length else ledge.until
    return face_length(geometry, Face.OUTSIDE_OF_CONCRETE, start, end)


def _stage_at(geometry: LegGeometry, ledge: Ledge) -> Stage:
    """The wall that carries a ledge: the one its bearing level lies in."""
    leg = geometry.leg
    if leg.wall_top is None or (leg.frost_top is not None and ledge.level <= leg.frost_top):
        return Stage.FROST_WALL
    return Stage.FULL_WALL


def _add_throats(tally: Tally, plan: Plan, geometry: LegGeometry) -> None:
    """A T wall is measured from the face of the wall it meets; its concrete goes on through that wall's foam."""
    ends = ((geometry.start, geometry.walk.starts_on, 0), (geometry.end, geometry.walk.ends_on, -1))
    own = leg_bands(geometry)
    for corner, attachment, index in ends:
        if corner.kind is not CornerKind.TEE or attachment is None:
            continue
        foam = plan.form(plan.leg(attachment.leg).form).foam.inch
        leg = geometry.leg
        for zone in zones(own[index].levels):
            text = f"T at {attachment.leg} {inch_text(leg.core.inch)} x {inch_text(foam)} x {feet_inches(zone.height)}"
            amount = throat_volume_yd3(leg.core.inch, foam, zone.height)
            tally.add(leg.section, zone.stage, leg.name, amount, text)


def _criteria(plan: Plan, tally: Tally, buy: Buy) -> tuple[Criterion, ...]:
    """Volume as ordered and what is asked of the mix; core, lines and openings are told with the courses."""
    out: list[Criterion] = []
    for section, stage in tally.terms:
        legs = tally.legs(section, stage)
        out.append(volume_criterion("wall.concrete_volume", stage, tally.total(section, stage), buy, legs))
        out += mix_criteria(plan.spec.concrete, stage, legs)
    return tuple(out)
