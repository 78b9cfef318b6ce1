"""Form systems as data: what one supplier's blocks measure. A builder types in those of his own supplier.

The two shipped here are invented and generic; no set of height, foam, web spacing and corner legs is a maker's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from takeoff.units import Length


@dataclass(frozen=True, slots=True)
class CornerLegs:
    """Legs of a corner unit for one core, measured along the outside face of foam."""

    core: Length
    long: Length
    short: Length


@dataclass(frozen=True, slots=True)
class FormSystem:
    """Dimensions of one family of form units.

    ``handed``: left and right corner units are different pieces; otherwise one piece turned over serves both.
    ``web_displacement``: part of the core taken by webs (0 when ordering, by default). ``rated_pressure_psf``:
    lateral pressure the form is rated for [psf].
    """

    key: str
    name: str
    face_height: Length
    length: Length
    foam: Length  # each side
    web_spacing: Length
    corners: tuple[CornerLegs, ...]
    handed: bool = True
    half_height: Length | None = None
    #: legs of the 45 degree corner unit, by core; a core that is not here is mitred out of straight units
    corners_45: tuple[CornerLegs, ...] = ()
    ledge_projection: Length | None = None  # how far the ledge unit's bearing stands out past the core
    ledge_height: Length | None = None  # from the foot of the ledge unit's haunch to its bearing
    least_radius: Length | None = None  # of the outside of foam, below which the supplier will not have it bent
    units_per_bundle: int = 12
    corners_per_bundle: int = 8
    rated_pressure_psf: float = 600.0
    web_displacement: float = 0.0
    foam_r_per_in: float = 4.0  # [h ft2 F / Btu in] at 75 F mean
    note: str = field(default="")

    def cores(self) -> tuple[Length, ...]:
        """Core thicknesses this system is made in."""
        return tuple(c.core for c in self.corners)

    def legs_for(self, core: Length) -> CornerLegs:
        """Corner legs for a core; raises KeyError where the system is not made in it."""
        for legs in self.corners:
            if legs.core == core:
                return legs
        raise KeyError(f"{self.name} is not made with a {core} core")

    def legs_45_for(self, core: Length) -> CornerLegs | None:
        """Legs of the 45 degree corner unit for a core, None where the system has none."""
        return next((c for c in self.corners_45 if c.core == core), None)

    def shorter_inside_45(self, core: Length) -> Length:
        """How much shorter the inside face of a leg is than its outside at a 45 degree corner: the wall's thickness
        times tan 22.5 degrees, by the mitre's geometry. A corner unit's leg must be longer than that."""
        return Length.from_inches(self.thickness(core).inch * math.tan(math.radians(22.5)))

    def thickness(self, core: Length) -> Length:
        """Whole thickness of the wall: foam, core, foam."""
        return Length(2 * self.foam.nm + core.nm)


def _corner(core: str, long: str, short: str) -> CornerLegs:
    return CornerLegs(Length.inches(core), Length.inches(long), Length.inches(short))


#: Invented. 16 in face, handed corners.
GENERIC_16 = FormSystem(
    key="generic-16",
    name="Generic sixteen (invented)",
    face_height=Length.inches(16),
    length=Length.inches(48),
    foam=Length.inches("2.375"),
    web_spacing=Length.inches(6),
    corners=(_corner("4", "34", "18"), _corner("6", "36", "20"), _corner("8", "38", "22"), _corner("10", "40", "24")),
    handed=True,
    half_height=Length.inches(8),
    corners_45=(_corner("6", "30", "18"), _corner("8", "32", "20"), _corner("10", "34", "22")),
    ledge_projection=Length.inches(6),
    ledge_height=Length.inches(12),
    rated_pressure_psf=720.0,
    note="Invented dimensions for trying the program; replace with your supplier's data before ordering.",
)

#: Invented. 18 in face, reversible corners.
GENERIC_18 = FormSystem(
    key="generic-18",
    name="Generic eighteen (invented)",
    face_height=Length.inches(18),
    length=Length.inches(48),
    foam=Length.inches("2.875"),
    web_spacing=Length.inches(8),
    corners=(_corner("6", "39", "23"), _corner("8", "41", "25"), _corner("10", "43", "27"), _corner("12", "45", "29")),
    handed=False,
    half_height=Length.inches(9),
    corners_45=(_corner("6", "33", "17"), _corner("8", "35", "19"), _corner("10", "37", "21")),
    ledge_projection=Length.inches("5.5"),
    ledge_height=Length.inches(14),
    least_radius=Length.feet(6),
    rated_pressure_psf=650.0,
    note="Invented dimensions for trying the program; replace with your supplier's data before ordering.",
)

GENERIC_SYSTEMS = (GENERIC_16, GENERIC_18)

#: A core this thin below grade is in no table: an engineer must decide.
ENGINEER_REQUIRED_CORE = Length.inches(4)
