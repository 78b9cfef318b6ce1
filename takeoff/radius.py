"""Walls bent to a radius: where straight units are slotted, how wide, and how true the wall comes out.

A straight unit is bent by taking strips of foam out of the panel on the hollow side, one between each pair of webs, and
closing the slots. What keeps its length is the skin of the panel on the bulging side, or, where that panel is cut
through as well, its core side. Along an arc that bulges out of the house the hollow side is the inside; where the wall
bends in, it is the outside.

Radii, lengths and widths are float inches; angles degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from takeoff.forms import FormSystem
from takeoff.geometry import LegGeometry, Placement
from takeoff.laps import bar_size
from takeoff.plan import Plan

#: Foam of the bulging panel may be squeezed by this part of its length before it is better cut through. Common
#: practice, no source.
MOST_SQUEEZED = 0.025

#: Modulus of elasticity of reinforcing steel [ksi], ACI 318 (from memory).
STEEL_KSI = 29_000.0

#: Foam left between two slots beside a web; less does not hold the web. Common practice, no source.
LEAST_BETWEEN_SLOTS = 1.0


class BendWay(StrEnum):
    """What is done to the panel on the bulging side."""

    SKIN_KEPT = "skin_kept"  # left whole and squeezed: its outer skin keeps its length
    CUT_THROUGH = "cut_through"  # relief cuts through the foam: its core side keeps its length and the cuts open


@dataclass(frozen=True, slots=True)
class Bend:
    """A straight unit bent: ``convex`` is the radius of the face of foam on the bulging side; foam, core, web spacing
    and length of the unit [in]."""

    convex: float
    foam: float
    core: float
    web: float
    unit: float
    way: BendWay = BendWay.SKIN_KEPT

    @property
    def thickness(self) -> float:
        """Foam, core, foam [in]."""
        return self.core + 2 * self.foam

    @property
    def neutral(self) -> float:
        """Radius at which the panel keeps its length [in]."""
        return self.convex if self.way is BendWay.SKIN_KEPT else self.convex - self.foam

    @property
    def concave(self) -> float:
        """Radius of the face of foam on the hollow side [in]; above 0 in any wall that can be placed."""
        return self.convex - self.thickness

    def shortened(self, radius: float) -> float:
        """What one web spacing loses at a radius [in]: s (Rn - r) / Rn; negative outside the neutral radius."""
        return self.web * (self.neutral - radius) / self.neutral

    @property
    def slot(self) -> float:
        """Width of a slot [in] that closes on the hollow face: s (Rn - R + W) / Rn."""
        return self.shortened(self.concave)

    @property
    def slot_at_core(self) -> float:
        """Width [in] the slot would need where the panel meets the core: s (Rn - R + t + c) / Rn."""
        return self.shortened(self.concave + self.foam)

    @property
    def wedge(self) -> float:
        """What stays open of a slot cut parallel, at its core side [in]."""
        return self.slot - self.slot_at_core

    @property
    def relief(self) -> float:
        """What a relief cut through the bulging panel opens on its face [in]: s t / Rn; 0 where its skin is kept."""
        return max(-self.shortened(self.convex), 0.0)

    @property
    def squeezed(self) -> float:
        """Part of its length by which the bulging panel is squeezed at its core side: t / Rn, 0 where cut through."""
        return self.shortened(self.convex - self.foam) / self.web

    @property
    def cells(self) -> int:
        """Web spacings in a unit: as many slots, one of which is half at each end joint."""
        return math.floor(self.unit / self.web + 1e-9)

    @property
    def removed(self) -> float:
        """Length [in] taken out of the hollow panel of one unit."""
        return self.cells * self.slot

    @property
    def cell_deg(self) -> float:
        """Angle [degrees] one web spacing turns."""
        return math.degrees(self.web / self.neutral)

    @property
    def facet(self) -> float:
        """By how much [in] the true circle bulges beyond a flat between two webs: s^2 / (8 R)."""
        return self.web**2 / (8 * self.convex)

    def units(self, sweep_deg: float) -> float:
        """Units on an arc, one course: its length at the neutral radius over the length of a unit."""
        return self.neutral * math.radians(abs(sweep_deg)) / self.unit

    def slots(self, neutral_length: float) -> int:
        """Slots on a run of units without a break: one a web spacing begun [in at the neutral radius]."""
        return math.ceil(neutral_length / self.web - 1e-6)

    def whole_webs(self, sweep_deg: float) -> float:
        """The radius of the bulging face [in], nearest to this one, at which the arc is a whole number of webs long."""
        count = max(round(self.neutral * math.radians(abs(sweep_deg)) / self.web), 1)
        return count * self.web / math.radians(abs(sweep_deg)) + (self.convex - self.neutral)


def way_for(convex: float, foam: float) -> BendWay:
    """How a bulging panel is treated: left whole while it is squeezed by no more than 2.5%, else cut through."""
    return BendWay.SKIN_KEPT if foam <= MOST_SQUEEZED * convex else BendWay.CUT_THROUGH


def spring_radius_in(size: int, grade_ksi: float) -> float:
    """Smallest radius [in] a straight bar springs to without taking a set: (db / 2) E / fy. Elastic bending."""
    return bar_size(size).diameter / 2 * STEEL_KSI / grade_ksi


# -- the arcs of a plan -----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class ArcLeg:
    """A leg bent to a radius: ``outside`` is the radius of its outside face of foam [in], ``bulges_out`` whether it
    bulges out of the house."""

    geometry: LegGeometry
    form: FormSystem
    outside: float
    bulges_out: bool
    bend: Bend

    @property
    def name(self) -> str:
        """Name of the leg."""
        return self.geometry.leg.name

    @property
    def sweep_deg(self) -> float:
        """Angle of its outside face [degrees], as trimmed by its corners."""
        return math.degrees(self.geometry.outside.length.inch / self.outside)

    @property
    def slotted(self) -> str:
        """The panel that is slotted, in words."""
        return "inside" if self.bulges_out else "outside"

    @property
    def neutral_per_outside(self) -> float:
        """Length kept by the units for one inch of outside face."""
        return self.bend.neutral / self.outside


def arc_legs(plan: Plan, placement: Placement) -> tuple[ArcLeg, ...]:
    """Every bent leg of a plan, in walking order."""
    out = []
    for geometry in placement.legs.values():
        curve = geometry.outside.curve
        if curve is None:
            continue
        form, core = plan.form(geometry.leg.form), geometry.leg.core
        bulges_out = (curve.sweep_deg > 0) != geometry.outside_left
        convex = curve.radius if bulges_out else curve.radius + form.thickness(core).inch
        foam = form.foam.inch
        bend = Bend(convex, foam, core.inch, form.web_spacing.inch, form.length.inch, way_for(convex, foam))
        out.append(ArcLeg(geometry, form, curve.radius, bulges_out, bend))
    return tuple(out)
