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


class AboveGrade(StrEnum):
    """What stands on the foundation, as the footing tables group it."""

    LIGHT_FRAME = "light_frame"
    BRICK_VENEER = "brick_veneer"  # light frame with brick veneer
    CONCRETE_OR_MASONRY = "concrete_or_masonry"  # cast concrete (ICF too) or fully grouted masonry


class Foundation(StrEnum):
    """How the ground floor sits, as the footing tables group it."""

    SLAB = "slab"
    CRAWL_SPACE = "crawl_space"
    BASEMENT = "basement"


class BarPlace(StrEnum):
    """Where upright bars stand in the thickness of the wall."""

    CENTRE = "centre"
    INSIDE_FACE = "inside_face"


class LapsFrom(StrEnum):
    """Which rule gives laps."""

    CODE_TABLE = "code_table"  # the residential code's table; the equations only for what it does not print
    EQUATIONS = "equations"  # development and lap equations of the concrete code
    LARGER = "larger"


class TopHeld(StrEnum):
    """What holds the top of a wall when soil is put against it."""

    FLOOR = "floor"
    BRACED = "braced"
    NOT_HELD = "not_held"


class MembraneWay(StrEnum):
    """How sheet membrane is laid."""

    FEWER = "fewer"  # whichever takes fewer rolls
    UPRIGHT = "upright"
    LEVEL = "level"


class Chemistry(StrEnum):
    """What form pressure asks of cement and admixtures."""

    PLAIN = "plain"  # types I, II, III without retarder
    RETARDED = "retarded"  # types I, II, III with a retarder
    BLENDED = "blended"  # other types or blends, under 70% slag or 40% fly ash, without retarder
    BLENDED_RETARDED = "blended_retarded"
    HIGH_BLEND = "high_blend"  # 70% slag or more, or 40% fly ash or more


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
    #: other stock lengths on hand, for cutting
    also_stock: tuple[Length, ...] = ()
    vertical_place: BarPlace = BarPlace.CENTRE
    inside_cover: Length = field(default_factory=lambda: _in("1.25"))
    laps_from: LapsFrom = LapsFrom.CODE_TABLE
    top_held: TopHeld = TopHeld.FLOOR


@dataclass(frozen=True, slots=True)
class LayoutSpec:
    """Block-laying rules. ``minimum_offset`` None means the larger of 8 in and one web spacing."""

    minimum_offset: Length | None = None
    minimum_piece: Length | None = None  # None: one web spacing
    minimum_rip: Length = field(default_factory=lambda: _in("6"))
    #: lumber of a buck that stands outside the rough opening, each side; 0 where the opening is typed as formed
    buck: Length = field(default_factory=lambda: _in("0"))
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
    lift_height: Length = field(default_factory=lambda: Length.feet(4))
    unit_weight_pcf: float = 150.0
    chemistry: Chemistry = Chemistry.PLAIN
    aggregate_in: float = 0.375
    air_percent: float = 6.0


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
    membrane_laid: MembraneWay = MembraneWay.FEWER
    primer_ft2_per_gal: float = 250.0
    board_roll_width: Length = field(default_factory=lambda: Length.feet(8))
    board_roll_length: Length = field(default_factory=lambda: Length.feet(50))
    board_lap: Length = field(default_factory=lambda: _in("6"))
    stone_beyond_footing: Length = field(default_factory=lambda: _in("12"))
    stone_over_footing: Length = field(default_factory=lambda: _in("6"))
    stone_under_pipe: Length = field(default_factory=lambda: _in("2"))
    pipe_diameter: Length = field(default_factory=lambda: _in("4"))
    pipe_coil: Length = field(default_factory=lambda: Length.feet(100))
    #: solid pipe from the loop to daylight or a sump; 0 where that is not said
    drain_outlet: Length = field(default_factory=lambda: Length(0))
    capillary_lap: Length = field(default_factory=lambda: _in("6"))
    #: wet film of a liquid capillary break; 0 where a sheet is laid
    capillary_mil: float = 0.0
    board_top_fasteners: Length = field(default_factory=lambda: _in("12"))


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
    plank_length: Length = field(default_factory=lambda: Length.feet(10))
    plank_lap: Length = field(default_factory=lambda: Length.feet(1))
    owned: int = 0  # braces in the yard; 0 where that is not said


@dataclass(frozen=True, slots=True)
class BuildingSpec:
    """What the footing tables ask of the building above. ``stories`` 0, ``width`` 0 or ``snow_psf`` below 0 mean not
    said: the width of the footing is then not checked, and the takeoff says so. ``width`` is the building's, across
    the joists; ``snow_psf`` the ground snow load or roof live load, whichever is larger [psf]."""

    stories: int = 0
    walls: AboveGrade = AboveGrade.LIGHT_FRAME
    foundation: Foundation = Foundation.BASEMENT
    width: Length = field(default_factory=lambda: Length(0))
    snow_psf: float = -1.0


@dataclass(frozen=True, slots=True)
class AssemblySpec:
    """The wall as heat meets it. ``climate_zone`` 0 is not said; ``marine`` zone 4 counts as 5. R values in
    h ft2 F / Btu at a mean temperature of ``mean_temperature_f``; linings other than foam and concrete as one sum."""

    climate_zone: int = 0
    marine: bool = False
    mean_temperature_f: float = 75.0
    inside_lining_r: float = 0.45
    outside_cladding_r: float = 0.0


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
    building: BuildingSpec = field(default_factory=BuildingSpec)
    assembly: AssemblySpec = field(default_factory=AssemblySpec)
