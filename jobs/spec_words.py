"""What a person calls the fields of the specification, in what unit they are, and what the choices mean."""

from __future__ import annotations

from typing import Final

#: Units by the end of a field's name, for fields that are called as they are written.
UNITS: Final = {"_psi": "psi", "_f": "°F", "_in": "in", "_yd3": "yd³", "_ksi": "ksi"}

#: Label and unit by name, or by part and name where two parts have a field of one name.
NAMES: Final = {
    "width": ("Width, at least", ""),
    "projection": ("Stands out past the block", ""),
    "bars_along": ("Bars along it", ""),
    "bar_size": ("Size of its bars", "#"),
    "cover": ("Cover of its bars", ""),
    "placement": ("Poured", ""),
    "base_joint": ("Held at the foot by", ""),
    "step_riser_thickness": ("Thickness of a step's riser", ""),
    "grade_ksi": ("Grade of steel", "ksi"),
    "vertical_size": ("Uprights, size", "#"),
    "vertical_spacing": ("Uprights, spacing", ""),
    "horizontal_size": ("Horizontal bars, size", "#"),
    "horizontal_every_courses": ("Horizontal bars every", "courses"),
    "dowel_size": ("Dowels, size", "#"),
    "dowel_foot": ("Dowels, foot in the footing", ""),
    "opening_bar_size": ("Bars at openings, size", "#"),
    "opening_bar_reach": ("Bars at openings reach past by", ""),
    "opening_edge_within": ("Upright within, of an opening", ""),
    "top_cover": ("Cover at the top of wall", ""),
    "stock_length": ("Stock length", ""),
    "minimum_offset": ("Joints offset by at least", ""),
    "minimum_piece": ("Shortest piece", ""),
    "minimum_rip": ("Lowest ripped course", ""),
    "spare_fraction": ("Spare form units, part of 1", ""),
    "minimum_temperature_f": ("Concrete at least", "°F"),
    "slump_approved_by": ("Slump approved by", ""),
    "waste_wall": ("Waste in walls, part of 1", ""),
    "waste_footing": ("Waste in footings, part of 1", ""),
    "pump_hopper_yd3": ("Left in the pump", "yd³"),
    "order_step_yd3": ("Ordered in steps of", "yd³"),
    "truck_yd3": ("A truck holds", "yd³"),
    "minimum_load_yd3": ("Smallest load", "yd³"),
    "slope_run": ("Run of the dug slope for 1 of rise", ""),
    "lift": ("Compacted in lifts of", ""),
    "swell": ("Swells when dug by, part of 1", ""),
    "shrink": ("Shrinks when compacted by, part of 1", ""),
    "truck_loose_yd3": ("A truck holds, loose earth", "yd³"),
    "balance_within": ("Both sides level within", ""),
    "bracing_waived_below": ("Bracing waived below a fill of", ""),
    "spacing": ("Spacing", ""),
    "from_corner": ("First one from a corner", ""),
    "per_opening": ("More at an opening", ""),
    "also_stock": ("Other stock lengths on hand", ""),
    "vertical_place": ("Uprights stand", ""),
    "inside_cover": ("Cover at the inside face", ""),
    "laps_from": ("Laps are taken from", ""),
    "top_held": ("Top of wall while earth is put against it", ""),
    "buck": ("Buck outside the rough opening, each side", ""),
    "lift_height": ("Height of one lift of concrete", ""),
    "unit_weight_pcf": ("Weight of fresh concrete", "lb/ft³"),
    "chemistry": ("Cement and admixtures", ""),
    "aggregate_in": ("Largest aggregate", "in"),
    "air_percent": ("Air in the concrete", "%"),
    "membrane_laid": ("Membrane is laid", ""),
    "primer_ft2_per_gal": ("A gallon of primer covers", "ft²"),
    "capillary_mil": ("Liquid capillary break, wet film", "mil"),
    "board_top_fasteners": ("Fasteners along the top of the board, spacing", ""),
    "drain_outlet": ("Pipe from the drain to daylight or a sump", ""),
    "plank_length": ("Length of a plank", ""),
    "plank_lap": ("Planks lap by", ""),
    "owned": ("Braces in the yard", ""),
    "stories": ("Stories above the foundation", ""),
    "walls": ("Walls that stand on it", ""),
    "foundation": ("Ground floor", ""),
    "building.width": ("Width of the building, across the joists", ""),
    "snow_psf": ("Snow on the ground or load on the roof, the larger", "psf"),
    "climate_zone": ("Climate zone of the energy code", ""),
    "marine": ("Marine part of zone 4", ""),
    "mean_temperature_f": ("Heat resistance is taken at a mean of", "°F"),
    "inside_lining_r": ("Lining inside, R", "h·ft²·°F/Btu"),
    "outside_cladding_r": ("Cladding outside, R", "h·ft²·°F/Btu"),
}

HELP: Final = {
    "also_stock": "Several with commas: 30', 40'.",
    "inside_cover": "Where uprights stand near the inside face.",
    "buck": "0 where openings are typed as they are formed.",
    "capillary_mil": "0 where a sheet is laid.",
    "drain_outlet": "0 where it is not known yet; it is then not ordered.",
    "building.width": "The footing tables go by it.",
}

#: What choices mean, where the word in the plan file does not say it.
CHOICES: Final = {
    "light_frame": "light frame",
    "brick_veneer": "light frame with brick veneer",
    "concrete_or_masonry": "concrete or grouted masonry",
    "slab": "a slab on the ground",
    "crawl_space": "a floor over a crawl space",
    "basement": "a floor over a basement",
    "centre": "in the middle of the wall",
    "inside_face": "near the inside face",
    "code_table": "the residential code's table",
    "equations": "the concrete code's equations",
    "larger": "the longer of the two",
    "floor": "held by the floor",
    "braced": "held by braces",
    "not_held": "not held",
    "fewer": "whichever way takes fewer rolls",
    "upright": "upright",
    "level": "level",
    "plain": "plain cement, no retarder",
    "retarded": "plain cement with a retarder",
    "blended": "blended cement, no retarder",
    "blended_retarded": "blended cement with a retarder",
    "high_blend": "much slag (70% or more) or fly ash (40% or more)",
}

#: Fields of which nothing is usual: empty, or the number that stands for it, is not said.
NOT_SAID: Final = frozenset(
    {"building.stories", "building.width", "building.snow_psf", "assembly.climate_zone", "braces.owned"}
)
