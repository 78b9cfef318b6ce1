"""What the ground and the climate give a house, and the numbers a builder may choose.

:class:`Site` is measured or looked up; :class:`Specification` is decided, with the trade's usual values as
defaults. Both travel inside a plan, so that a takeoff can be repeated from the plan alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from takeoff.units import Length


def _in(text: str) -> Length:
    return Length.inches(text)


@dataclass(frozen=True, slots=True)
class Site:
    """Soil class (Unified Soil Classification symbol), loads and levels of one lot.

    ``equivalent_fluid_pcf`` is the design lateral soil load [psf per ft of depth]; ``bearing_psf`` the allowable
    bearing [psf]; ``frost_depth`` below exterior grade; levels are on the plan's datum, None where unknown.
    """

    soil_class: str = "SM"
    equivalent_fluid_pcf: float = 45.0
    bearing_psf: float = 2000.0
    frost_depth: Length = field(default_factory=lambda: Length.feet(4))
    ground_water: Length | None = None
    exterior_grade: Length | None = None
    code_edition: str = "IRC 2021"


class BaseJoint(StrEnum):
    """What holds the wall's foot to its footing."""

    DOWELS = "dowels"
    KEY_AND_DOWELS = "key_and_dowels"


class FootingPlacement(StrEnum):
    """How footing concrete is contained; trenches swallow more."""

    FORMED = "formed"
    TRENCH = "trench"


@dataclass(frozen=True, slots=True)
class FootingSpec:
    """Continuous footing: width is the larger of ``width`` and the whole block plus ``projection`` each side."""

    width: Length = field(default_factory=lambda: _in("20"))
    thickness: Length = field(default_factory=lambda: _in("10"))
    projection: Length = field(default_factory=lambda: _in("3"))
    bars_along: int = 2
    bar_size: int = 5
    cover: Length = field(default_factory=lambda: _in("3"))
    placement: FootingPlacement = FootingPlacement.FORMED
    base_joint: BaseJoint = BaseJoint.KEY_AND_DOWELS
    key_width: Length = field(default_factory=lambda: _in("3.5"))
    key_depth: Length = field(default_factory=lambda: _in("1.5"))
    step_riser_thickness: Length = field(default_factory=lambda: _in("8"))


@dataclass(frozen=True, slots=True)
class WallBarSpec:
    """Wall reinforcement: one bar size each way; horizontals every ``horizontal_every_courses`` courses."""

    grade_ksi: int = 60
    vertical_size: int = 5
    vertical_spacing: Length = field(default_factory=lambda: _in("18"))
    horizontal_size: int = 4
    horizontal_every_courses: int = 1
    dowel_size: int = 5
    dowel_foot: Length = field(default_factory=lambda: _in("10"))
    opening_bar_size: int = 5
    opening_bar_reach: Length = field(default_factory=lambda: _in("24"))
    opening_edge_within: Length = field(default_factory=lambda: _in("12"))
    top_cover: Length = field(default_factory=lambda: _in("2"))
    stock_length: Length = field(default_factory=lambda: Length.feet(20))


@dataclass(frozen=True, slots=True)
class LayoutSpec:
    """Block-laying rules. ``minimum_offset`` None means the larger of 8 in and one web spacing."""

    minimum_offset: Length | None = None
    minimum_piece: Length | None = None  # None: one web spacing
    minimum_rip: Length = field(default_factory=lambda: _in("6"))
    spare_fraction: float = 0.03


@dataclass(frozen=True, slots=True)
class ConcreteSpec:
    """Concrete as ordered. Slump has no default: it is entered with who approved it."""

    strength_psi: int = 3000
    minimum_temperature_f: float = 55.0
    slump_in: float | None = None
    slump_approved_by: str = ""
    waste_wall: float = 0.05
    waste_footing: float = 0.05
    pump_hopper_yd3: float = 0.25
    order_step_yd3: float = 0.25
    truck_yd3: float = 9.0
    minimum_load_yd3: float = 2.0


@dataclass(frozen=True, slots=True)
class EnvelopeSpec:
    """Membrane, drainage board, drain pipe, stone and capillary break."""

    membrane_roll_width: Length = field(default_factory=lambda: _in("39"))
    membrane_roll_length: Length = field(default_factory=lambda: Length.feet(65))
    membrane_side_lap: Length = field(default_factory=lambda: _in("2.5"))
    membrane_end_lap: Length = field(default_factory=lambda: _in("6"))
    membrane_onto_footing: Length = field(default_factory=lambda: _in("6"))
    membrane_above_grade: Length = field(default_factory=lambda: _in("4"))
    membrane_detail_strip: Length = field(default_factory=lambda: _in("12"))
    board_roll_width: Length = field(default_factory=lambda: Length.feet(8))
    board_roll_length: Length = field(default_factory=lambda: Length.feet(50))
    board_lap: Length = field(default_factory=lambda: _in("6"))
    stone_beyond_footing: Length = field(default_factory=lambda: _in("12"))
    stone_over_footing: Length = field(default_factory=lambda: _in("6"))
    stone_under_pipe: Length = field(default_factory=lambda: _in("2"))
    pipe_diameter: Length = field(default_factory=lambda: _in("4"))
    pipe_coil: Length = field(default_factory=lambda: Length.feet(100))
    capillary_lap: Length = field(default_factory=lambda: _in("6"))


@dataclass(frozen=True, slots=True)
class EarthSpec:
    """The hole and what goes back into it. ``slope_run`` is horizontal run per 1 of rise of the cut."""

    working_space: Length = field(default_factory=lambda: _in("24"))
    slope_run: float = 1.0
    lift: Length = field(default_factory=lambda: _in("12"))
    swell: float = 0.25
    shrink: float = 0.10
    truck_loose_yd3: float = 12.0
    balance_within: Length = field(default_factory=lambda: _in("12"))
    bracing_waived_below: Length = field(default_factory=lambda: Length.feet(4))


@dataclass(frozen=True, slots=True)
class BraceSpec:
    """Alignment braces on the inside of the wall."""

    spacing: Length = field(default_factory=lambda: Length.feet(6))
    from_corner: Length = field(default_factory=lambda: Length.feet(2))
    per_opening: int = 2


@dataclass(frozen=True, slots=True)
class Specification:
    """Every choice a takeoff makes that is not the plan's geometry."""

    footing: FootingSpec = field(default_factory=FootingSpec)
    bars: WallBarSpec = field(default_factory=WallBarSpec)
    layout: LayoutSpec = field(default_factory=LayoutSpec)
    concrete: ConcreteSpec = field(default_factory=ConcreteSpec)
    envelope: EnvelopeSpec = field(default_factory=EnvelopeSpec)
    earth: EarthSpec = field(default_factory=EarthSpec)
    braces: BraceSpec = field(default_factory=BraceSpec)
