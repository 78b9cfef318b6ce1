"""The table of what each stage depends on: every name is one input that :mod:`takeoff.fingerprint` reads and hashes."""

from __future__ import annotations

from typing import Final

from takeoff.plan import Stage

_SHAPE: Final = ("path", "ends", "tees", "thickness")
_FOOTING_SIZE: Final = ("spec.footing.width", "spec.footing.thickness", "spec.footing.projection")
_MIX: Final = (
    *("spec.concrete.strength_psi", "spec.concrete.minimum_temperature_f"),
    *("spec.concrete.slump_in", "spec.concrete.slump_approved_by", "spec.concrete.order_step_yd3"),
)
_VERTICALS: Final = ("spec.bars.grade_ksi", "spec.bars.vertical_size", "spec.bars.vertical_spacing")
#: Where upright bars stand in the wall, and by which rule they lap.
_BAR_PLACE: Final = ("spec.bars.vertical_place", "spec.bars.inside_cover", "spec.bars.laps_from")
_DOWELS: Final = (
    *(*_VERTICALS, *_BAR_PLACE),
    "spec.bars.opening_edge_within",
    "spec.bars.dowel_size",
    "spec.bars.dowel_foot",
    "spec.bars.stock_length",
)
_BARS: Final = (
    *(*_VERTICALS, *_BAR_PLACE),
    *("spec.bars.horizontal_size", "spec.bars.horizontal_every_courses", "spec.bars.top_cover"),
    *("spec.bars.opening_bar_size", "spec.bars.opening_bar_reach", "spec.bars.opening_edge_within"),
    "spec.bars.stock_length",
)
#: What the lateral pressure of fresh concrete follows from, and what the mix is in a wall.
_POUR: Final = (
    *("spec.concrete.lift_height", "spec.concrete.unit_weight_pcf", "spec.concrete.chemistry"),
    *("spec.concrete.aggregate_in", "spec.concrete.air_percent"),
)
#: How braces stand; how many of them are in the yard is nobody's release.
_BRACES: Final = (
    *("spec.braces.spacing", "spec.braces.from_corner", "spec.braces.per_opening"),
    *("spec.braces.plank_length", "spec.braces.plank_lap"),
)
_WALL: Final = (
    *(*_SHAPE, "form", "grid", *_BARS, *_MIX, *_POUR, *_BRACES),
    *("spec.layout", "spec.concrete.waste_wall"),
)
_STONE: Final = (
    *("spec.envelope.stone_beyond_footing", "spec.envelope.stone_over_footing"),
    *("spec.envelope.stone_under_pipe", "spec.envelope.pipe_diameter"),
)
_MEMBRANE: Final = (
    *("spec.envelope.membrane_roll_width", "spec.envelope.membrane_roll_length"),
    *("spec.envelope.membrane_side_lap", "spec.envelope.membrane_end_lap"),
    *("spec.envelope.membrane_onto_footing", "spec.envelope.membrane_above_grade"),
    *("spec.envelope.membrane_detail_strip", "spec.envelope.membrane_laid", "spec.envelope.primer_ft2_per_gal"),
    *("spec.envelope.board_roll_width", "spec.envelope.board_roll_length", "spec.envelope.board_lap"),
    *("spec.envelope.board_top_fasteners", "spec.envelope.pipe_coil", "spec.envelope.drain_outlet"),
)
_EARTH: Final = (
    *("spec.earth.working_space", "spec.earth.slope_run", "spec.earth.lift", "spec.earth.swell", "spec.earth.shrink"),
    *("spec.earth.balance_within", "spec.earth.bracing_waived_below"),
    *("site.soil_class", "site.equivalent_fluid_pcf"),
)

#: What each stage depends on: names of :data:`takeoff.fingerprint.INPUTS`, or dotted names of values of the plan.
STAGE_INPUTS: Final[dict[Stage, tuple[str, ...]]] = {
    Stage.FOOTING: (
        *(*_SHAPE, "footing_levels", "outside_grade", "ends_footings", "openings_at_foot", "spec.footing", *_DOWELS),
        *(*_MIX, "spec.concrete.waste_footing", "spec.envelope.capillary_lap", "spec.envelope.capillary_mil"),
        *("site.frost_depth", "site.bearing_psf", "site.ground_water", "spec.building", "pads"),
    ),
    Stage.FROST_WALL: (
        *(*_WALL, "footing_levels", "frost_levels", "wall_above", "foot_joint"),
        *("holes_in_frost_wall", "ends_frost_walls", "rest_of_frost_wall"),
    ),
    Stage.FROST_BACKFILL: (
        *(*_SHAPE, "footing_levels", "frost_levels", "outside_grade", "inside_grade", "slab"),
        *(*_FOOTING_SIZE, *_STONE, *_MEMBRANE, *_EARTH, "spec.bars.top_held"),
    ),
    Stage.FULL_WALL: (
        *(*_WALL, "footing_levels", "frost_levels", "wall_levels", "foot_joint_of_full_wall"),
        *("holes_in_full_wall", "ends_full_walls", "rest_of_full_wall"),
    ),
    Stage.WATERPROOFING: (
        *(*_SHAPE, "footing_levels", "frost_levels", "wall_levels", "outside_grade"),
        *(*_FOOTING_SIZE, *_STONE, *_MEMBRANE, "site.ground_water"),
    ),
    Stage.FINAL_BACKFILL: (
        *(*_SHAPE, "footing_levels", "frost_levels", "outside_grade", "inside_grade", "slab"),
        *(*_FOOTING_SIZE, *_STONE, *_EARTH, "spec.bars.top_held"),
    ),
}
