"""Every body of concrete that a wall is poured of, with the level it begins and ends at: what both the volume of a
pour and its filling by height are summed from.

A body is given by its level areas; taken out (an opening) it is negative. Displacement by steel is ignored (1,000 lb is
0.08 yd3) and so are beam pockets, which seldom go through the core.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from takeoff.bands import Band, leg_bands, opening_span
from takeoff.footing_runs import FootingRun, key_text, key_volume_yd3, runs
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.ledges import LedgeRun, ledge_runs
from takeoff.openings_forms import formed_openings
from takeoff.plan import Attachment, Levels, Opening, Plan, Stage, levels_at
from takeoff.tally import CUBIC_INCHES_PER_YARD, feet_inches, inch_text, yards


# -- rules ------------------------------------------------------------------------------------------
def wall_volume_yd3(
    centre_line_in: float, core_in: float, height_in: float, openings_in2: float = 0.0, web_displacement: float = 0.0
) -> float:
    """Concrete [yd3] in a core: (centre line x height - openings) x core x (1 - part taken by the webs)."""
    return yards((centre_line_in * height_in - openings_in2) * core_in * (1 - web_displacement))


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


# -- bodies -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Solid:
    """One body of concrete of a pour: levels [in] and level areas [in2] at its bottom, half way up and at its top.

    The area changes with the square of the height at most (a haunch with mitred ends), so that Simpson's rule is exact
    for it. ``zone`` is the wall it belongs to: its foot is where lifts are counted from, its top where the pour ends.
    ``joined`` is True for a body told in one breath with the one before it (a keyway with its core).
    """

    leg: str
    section: str
    zone: Zone
    bottom: float
    top: float
    areas: tuple[float, float, float]
    text: str
    joined: bool = False

    @property
    def tapers(self) -> bool:
        """True where its area changes with the level."""
        return self.areas[0] != self.areas[1] or self.areas[1] != self.areas[2]

    def area_at(self, level: float) -> float:
        """Level area [in2] at a level [in]; the quadratic through the three given areas, nothing beyond the body."""
        if not self.bottom <= level <= self.top or self.top <= self.bottom:
            return 0.0
        low, middle, high = self.areas
        u = (level - self.bottom) / (self.top - self.bottom)
        return low + u * (4 * middle - 3 * low - high) + u * u * 2 * (low + high - 2 * middle)

    def volume_between(self, low: float, high: float) -> float:
        """Concrete [in3] between two levels [in]."""
        low, high = max(low, self.bottom), min(high, self.top)
        if high <= low:
            return 0.0
        if not self.tapers:
            return self.areas[0] * (high - low)
        middle = (low + high) / 2
        return (high - low) / 6 * (self.area_at(low) + 4 * self.area_at(middle) + self.area_at(high))

    @property
    def yd3(self) -> float:
        """All of it [yd3]."""
        return yards(self.volume_between(self.bottom, self.top))


def solids(plan: Plan, placement: Placement) -> tuple[Solid, ...]:
    """Every body of every wall, in walking order: cores with their keyways, openings taken out, ledges, throats."""
    out: list[Solid] = []
    for run in runs(plan, placement):
        out += _cores(plan, run)
    out += [_haunch(run) for run in ledge_runs(plan, placement)]
    for geometry in placement.legs.values():
        out += _throats(plan, geometry)
    return tuple(out)


def _cores(plan: Plan, run: FootingRun) -> Iterator[Solid]:
    """The core over one stretch, less its openings; its lowest wall also fills the keyway of the footing below."""
    band, leg = run.band, run.band.geometry.leg
    core, webs = leg.core.inch, plan.form(leg.form).web_displacement
    openings = formed_openings(plan, leg)
    for number, zone in enumerate(zones(band.levels)):
        area = band.centre * core * (1 - webs)
        text = f"{feet_inches(band.centre)} x {feet_inches(zone.height)} x {inch_text(core)}{_webs_text(webs)}"
        yield _prism(band, zone, zone.bottom, max(zone.top, zone.bottom), area, text)
        if number == 0:
            yield from _keyway(plan, run, zone)
        for opening in openings:
            yield from _hole(band, zone, opening, core, webs)


def _prism(band: Band, zone: Zone, bottom: float, top: float, area: float, text: str, joined: bool = False) -> Solid:
    return Solid(band.name, band.section, zone, bottom, top, (area, area, area), text, joined)


def _keyway(plan: Plan, run: FootingRun, zone: Zone) -> Iterator[Solid]:
    """What the footing gave up for the key, below the wall's foot."""
    spec = plan.spec.footing
    volume, deep = key_volume_yd3(run.length, spec) * CUBIC_INCHES_PER_YARD, spec.key_depth.inch
    if volume and deep:
        yield _prism(run.band, zone, zone.bottom - deep, zone.bottom, volume / deep, key_text(spec, "+"), True)


def _webs_text(displacement: float) -> str:
    return f" less {displacement:.1%} webs" if displacement else ""


def _hole(band: Band, zone: Zone, opening: Opening, core: float, webs: float) -> Iterator[Solid]:
    """The part of an opening, as formed, inside one zone of a stretch; on an arc as wide as on the centre line."""
    near, far = opening_span(opening, band.geometry.dimension_length.inch)
    wide = (min(far, band.end) - max(near, band.start)) * band.centre_ratio
    bottom, top = max(opening.sill.inch, zone.bottom), min(opening.head.inch, zone.top)
    if wide > 0 and top > bottom:
        text = f"less {opening.name} {feet_inches(wide)} x {feet_inches(top - bottom)} x {inch_text(core)}"
        yield _prism(band, zone, bottom, top, -wide * core * (1 - webs), text)


def _haunch(run: LedgeRun) -> Solid:
    """Concrete beyond the core under a ledge; half way up its section is half way between foot and bearing."""
    section, long, spread = run.haunch, run.on_core(), run.spread()
    foot, head = section.bottom.inch, section.top.inch
    low, middle, high = (long * w + spread * w * w / 2 for w in (foot, (foot + head) / 2, head))
    text = f"ledge {feet_inches(long)} x ({inch_text(head)} x {inch_text(section.height.inch)} / 2)"
    if spread:
        text += " mitred at corners" if run.geometry.outside.curve is None else " round the bend"
    bearing = run.bearing.inch
    here = zones(levels_at(run.geometry.leg, run.ledge.start))
    zone = next((z for z in here if z.stage is run.stage), here[-1])
    return Solid(run.leg, run.section, zone, bearing - section.height.inch, bearing, (low, middle, high), text)


def _throats(plan: Plan, geometry: LegGeometry) -> Iterator[Solid]:
    """A T wall is measured from the face of the wall it meets; its concrete goes on through that wall's foam, as far
    up and down as that wall stands."""
    own = leg_bands(geometry)
    ends = ((geometry.start, geometry.walk.starts_on, own[0]), (geometry.end, geometry.walk.ends_on, own[-1]))
    for corner, met, band in ends:
        if corner.kind is CornerKind.TEE and met is not None:
            for zone in zones(band.levels):
                yield from _throat(plan, band, zone, met)


def _throat(plan: Plan, band: Band, zone: Zone, met: Attachment) -> Iterator[Solid]:
    host = plan.leg(met.leg)
    there = levels_at(host, met.at)
    foam, core = plan.form(host.form).foam.inch, band.geometry.leg.core.inch
    bottom, top = max(zone.bottom, there.footing_top.inch), min(zone.top, there.top.inch)
    if top > bottom:
        text = f"T at {met.leg} {inch_text(core)} x {inch_text(foam)} x {feet_inches(top - bottom)}"
        yield _prism(band, zone, bottom, top, core * foam, text)
