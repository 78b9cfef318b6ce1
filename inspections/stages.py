"""The declared process: six kinds of stage, what must be released in each, by whom, on what evidence.

Reading this file from top to bottom tells a builder how the program will hold the job. Numbers are not written
here: a criterion's key is looked up in the takeoff of the revision in force. Which inspections a place requires
differs and changes; the defaults follow published inspection cards of cold-climate jurisdictions and common practice,
and local code, the engineer of record and licensed practice rule.
"""

from __future__ import annotations

from inspections.process import Evidence, EvidenceKind, Operation, Point, PointKind, Scope, StageProcess
from jobs.frozen import LegFacts
from jobs.models import Role
from takeoff.plan import Stage

B, L, I, E, S = Role.BUILDER, Role.FIELD_LEAD, Role.INSPECTOR, Role.ENGINEER, Role.SURVEYOR
HOLD, WITNESS = PointKind.HOLD, PointKind.WITNESS

CARDS = "published inspection cards of cold-climate jurisdictions; common practice"
R404_1_7 = "IRC R404.1.7 backfill placement"

PHOTO_ALONG = Evidence("photo", "Photo along the wall with a tape in it", EvidenceKind.PHOTO)


def _check(key: str, label: str) -> Evidence:
    return Evidence(key, label, EvidenceKind.CHECK)


def _measure(key: str, label: str, criterion: str, unit: str, required: bool = True) -> Evidence:
    return Evidence(key, label, EvidenceKind.MEASUREMENT, required, criterion, unit)


def _has_openings(leg: LegFacts) -> bool:
    return leg.openings > 0


def _has_pockets(leg: LegFacts) -> bool:
    return leg.beam_pockets > 0


def _has_ledge(leg: LegFacts) -> bool:
    return leg.ledge


FOOTING = StageProcess(
    kind=Stage.FOOTING,
    title="Footing",
    purpose="A level, frost-free bearing for every wall, with the steel and everything that must pass under it in place.",
    points=(
        Point(
            "permit",
            "Permit number and approved set on site",
            HOLD,
            (B, I),
            "pour_footing",
            "The permit is issued, its card is posted, and the approved drawings lie on site in the revision that is locked here.",
            scope=Scope.HOUSE,
            presents=(L, B),
            source=CARDS,
            evidence=(
                Evidence("permit_number", "Permit number as on the card", EvidenceKind.TICKET),
                _check("approved_set", "Approved set on site, same revision as here"),
            ),
        ),
        Point(
            "stakes",
            "Stakes and setbacks",
            HOLD,
            (S, I),
            "pour_footing",
            "Property stakes are visible, offsets measured, the building stands where the site plan puts it.",
            source=CARDS,
            evidence=(
                _check("stakes_visible", "Property stakes visible"),
                _check("setbacks", "Setbacks measured and as drawn"),
                _measure("diagonal", "Difference of the two diagonals", "corner.diagonal", "in", required=False),
            ),
        ),
        Point(
            "hole",
            "Hole dry, unfrozen, on undisturbed ground",
            HOLD,
            (I, E),
            "pour_footing",
            "Bottom on undisturbed or compacted ground, pumped dry, free of frost, ice, mud and loose soil; deep enough below grade.",
            source=CARDS,
            criteria=("footing.frost_depth",),
            evidence=(
                _check("pumped_dry", "Pumped dry"),
                _check("unfrozen", "No frost or ice in the ground"),
                _check("undisturbed", "Undisturbed or compacted, no loose soil"),
                _measure("depth", "Footing bottom below exterior grade", "footing.frost_depth", "in"),
                Evidence("photo", "Photo of the bottom with the rod", EvidenceKind.PHOTO),
            ),
        ),
        Point(
            "under_footing",
            "Sleeves and drains through and under the footing, sump and outlet",
            HOLD,
            (I, L, B),
            "pour_footing",
            "Every sleeve, drain and crossover sits where the plan has it; the sump or the daylight outlet is set and drains.",
            evidence=(
                _check("sleeves", "Sleeves and drains in place"),
                _check("outlet", "Sump or outlet in place"),
                PHOTO_ALONG,
            ),
        ),
        Point(
            "electrode",
            "Concrete-encased electrode",
            HOLD,
            (I,),
            "pour_footing",
            "The grounding electrode is tied in the footing and its tail is marked.",
            scope=Scope.HOUSE,
            source=CARDS,
            evidence=(Evidence("photo", "Photo of the electrode and its tail", EvidenceKind.PHOTO),),
        ),
        Point(
            "footing_dowels",
            "Dowel layout",
            WITNESS,
            (E,),
            "pour_footing",
            "Dowels stand inside the core, at their spacing, with the projection drawn.",
            criteria=("dowel.spacing", "dowel.projection"),
            evidence=(_measure("dowel_spacing", "Widest dowel spacing", "dowel.spacing", "in"),),
        ),
        Point(
            "footing_steel",
            "Footing forms and steel",
            HOLD,
            (I,),
            "pour_footing",
            "Size, depth, bars, laps and cover as drawn; forms tight, clean and frost-free; key or dowels ready.",
            source=CARDS,
            criteria=(
                "footing.width",
                "footing.thickness",
                "footing.bar_lap",
                "footing.cover",
                "dowel.spacing",
                "footing.concrete_volume",
            ),
            evidence=(
                _measure("width", "Narrowest width between forms", "footing.width", "in"),
                _measure("thickness", "Least depth in the forms", "footing.thickness", "in"),
                _measure("lap", "Shortest bar lap", "footing.bar_lap", "in"),
                _measure("cover", "Least cover to earth", "footing.cover", "in"),
                PHOTO_ALONG,
            ),
        ),
        Point(
            "footing_top",
            "Footing top shot again after the pour",
            HOLD,
            (B, S),
            "",
            "Forms level is not concrete level. The top of every leg is shot after the pour and goes into the course plan.",
            criteria=("footing.top_spread",),
            evidence=(Evidence("levels", "Level of the footing top", EvidenceKind.LEVELS),),
        ),
    ),
    operations=(
        Operation(
            "pour_footing",
            "Place footing concrete",
            "footing concrete placed",
            caution="Cap or bend every bar that stands up. No concrete on frozen ground, ice or standing water.",
        ),
    ),
    cautions=(
        "A cut bank can fall without warning: slope or shore it, keep spoil and machines back from the edge, inspect it daily and after rain or thaw.",
        "Cap or bend over every bar that stands up.",
    ),
)

FROST_WALL = StageProcess(
    kind=Stage.FROST_WALL,
    title="Frost wall",
    purpose="The wall from the footing to the underside of the slab, one course grid with the wall above.",
    points=(
        Point(
            "frost_layout",
            "Capillary break and layout on the footing",
            HOLD,
            (B, I),
            "stack_frost_wall",
            "Capillary break on and dry, both foam line and core line chalked, diagonals equal, every dowel inside the core.",
            criteria=("corner.diagonal", "dowel.spacing"),
            evidence=(
                _check("break_on", "Capillary break on, dowel zones as drawn"),
                _check("dowels_in_core", "Dowels inside the core"),
                _measure("diagonal", "Difference of the two diagonals", "corner.diagonal", "in"),
            ),
        ),
        Point(
            "frost_openings",
            "Openings, sleeves and beam pockets",
            HOLD,
            (I, B),
            "pour_frost_wall",
            "Bucks and sleeves sit where the plan has them, at the core's depth, braced.",
            applies=lambda leg: _has_openings(leg) or _has_pockets(leg),
            evidence=(_check("place_size", "Place and size as drawn"), PHOTO_ALONG),
        ),
        Point(
            "frost_steel",
            "Frost wall steel",
            HOLD,
            (I,),
            "pour_frost_wall",
            "Bar size, spacing, laps to the dowels, cover; clean inside; bars projecting for the wall above.",
            source=CARDS,
            criteria=(
                "wall.bar_size",
                "wall.vertical_spacing",
                "wall.vertical_lap",
                "wall.horizontal_lap",
                "wall.core",
            ),
            evidence=(
                _measure("spacing", "Widest vertical spacing", "wall.vertical_spacing", "in"),
                _measure("lap", "Shortest lap to the dowels", "wall.vertical_lap", "in"),
                PHOTO_ALONG,
            ),
        ),
        Point(
            "frost_anchors",
            "Anchor bolts and hold-downs laid out",
            HOLD,
            (I, B),
            "pour_frost_wall",
            "Bolts counted, bagged and marked on the wall where its top carries a plate.",
            evidence=(_check("bolts", "Bolts on the wall, or none needed here"),),
        ),
        Point(
            "frost_go",
            "Ready to pour",
            HOLD,
            (B,),
            "pour_frost_wall",
            "Braced, straps on seams and end caps, clean and free of ice, covers on site, mix and slump agreed and by whom.",
            presents=(L,),
            criteria=("wall.concrete_volume", "concrete.temperature", "concrete.strength"),
            evidence=(
                _check("braced", "Braces, end caps and seams strapped"),
                _check("no_ice", "No snow or ice inside the forms"),
                _check("covers", "Covers and heat on site"),
                Evidence("slump", "Slump agreed, and who approved it", EvidenceKind.TEXT),
            ),
        ),
        Point(
            "frost_as_built",
            "Top, line and concrete as poured",
            HOLD,
            (B, S),
            "",
            "Top level, line and the concrete as delivered are on record.",
            criteria=("wall.top", "concrete.temperature"),
            evidence=(
                _measure("top", "Farthest off level at the top", "wall.top", "in"),
                _measure("temperature", "Coldest load out of the truck", "concrete.temperature", "F"),
                Evidence("ticket", "Delivery ticket", EvidenceKind.TICKET),
            ),
        ),
    ),
    operations=(
        Operation("stack_frost_wall", "Stack the frost wall", "frost wall stacking begun"),
        Operation(
            "pour_frost_wall",
            "Pour the frost wall",
            "frost wall poured",
            caution="Nobody stands in the trench outside while the hose is over the wall.",
        ),
    ),
    cautions=("Stay clear of the face of a form while it is filled; a seam can open without warning.",),
)

FROST_BACKFILL = StageProcess(
    kind=Stage.FROST_BACKFILL,
    title="Backfill of the frost wall",
    purpose="Drain, membrane and stone on, then both sides filled together so that frost cannot get under the footing.",
    points=(
        Point(
            "frost_membrane",
            "Membrane on the frost wall",
            HOLD,
            (I,),
            "fill_frost_wall",
            "Surface dry, laps rolled down, turned onto the footing, enough left turned up for the wall above to lap onto.",
            source=CARDS,
            criteria=("membrane.side_lap", "membrane.end_lap"),
            evidence=(_measure("side_lap", "Narrowest side lap", "membrane.side_lap", "in"), PHOTO_ALONG),
        ),
        Point(
            "frost_drain",
            "Drain, stone and fabric at the footing",
            HOLD,
            (I,),
            "fill_frost_wall",
            "Pipe falls to the outlet, stone and fabric as drawn, nothing crushed.",
            source="IRC R405.1; inspection cards",
            criteria=("drain.stone_over", "drain.pipe_cover"),
            evidence=(
                _measure("cover", "Least stone over the pipe", "drain.pipe_cover", "in"),
                _check("outlet", "Water test: runs to the outlet"),
                PHOTO_ALONG,
            ),
        ),
        Point(
            "frost_strength",
            "Strong enough to be filled against",
            HOLD,
            (E, B),
            "fill_frost_wall",
            "The person responsible says, with a reason, that the wall has the strength for this fill.",
            presents=(L, B, E),
            source=R404_1_7,
            criteria=("backfill.unbalanced_before",),
            evidence=(Evidence("reason", "What the strength is known by", EvidenceKind.TEXT),),
        ),
        Point(
            "frost_balance",
            "How the wall is held while it is filled",
            HOLD,
            (B, E),
            "fill_frost_wall",
            "Both sides go up together, never more than the stated difference, or the wall is braced for one-sided fill.",
            presents=(L, B, E),
            source=R404_1_7 + "; common practice for the difference",
            criteria=("backfill.balance", "backfill.unbalanced_before"),
            evidence=(
                Evidence(
                    "held_by",
                    "Held by",
                    EvidenceKind.CHOICE,
                    choices=(("both_sides", "Both sides filled together"), ("braced", "Braced for one-sided fill")),
                ),
            ),
        ),
        Point(
            "frost_pre_backfill",
            "Pre-backfill inspection",
            HOLD,
            (I,),
            "fill_frost_wall",
            "Last look before it is buried: unfrozen fill, no boulders or debris against the wall.",
            source=CARDS,
            evidence=(_check("fill_unfrozen", "Fill unfrozen, no lumps, boulders or debris"), PHOTO_ALONG),
        ),
    ),
    operations=(
        Operation(
            "fill_frost_wall",
            "Backfill the frost wall",
            "frost wall backfilled",
            caution="Keep machines as far from the wall as the fill is deep. Lift by lift, both sides.",
        ),
    ),
    buries=(Stage.FOOTING, Stage.FROST_WALL),
    cautions=(
        "Fill against a green or unbraced wall can push it in: lift by lift, both sides, machines kept back.",
        "Nobody works between a bank and a wall while it is filled.",
    ),
)

FULL_WALL = StageProcess(
    kind=Stage.FULL_WALL,
    title="Full-height wall",
    purpose="The wall to the first floor: stacked, reinforced, braced, released, poured once.",
    points=(
        Point(
            "first_courses",
            "First courses: line, level, plumb",
            HOLD,
            (B, I),
            "pour_full_wall",
            "After three courses: line, level and stack height at every corner, before it goes higher.",
            criteria=("wall.plumb", "corner.diagonal"),
            evidence=(
                _measure("plumb", "Farthest out of plumb", "wall.plumb", "in"),
                _measure("diagonal", "Difference of the two diagonals", "corner.diagonal", "in"),
            ),
        ),
        Point(
            "openings",
            "Openings and bucks",
            HOLD,
            (I, B),
            "pour_full_wall",
            "Every buck at its place, size and core depth, plumb, cross-braced, sill left open for filling.",
            applies=_has_openings,
            criteria=("opening.size", "wall.core"),
            evidence=(_measure("off", "Farthest off size", "opening.size", "in"), PHOTO_ALONG),
        ),
        Point(
            "ledge_steel",
            "Brick ledge steel",
            WITNESS,
            (E,),
            "pour_full_wall",
            "Stirrups and lip bar as detailed by the engineer.",
            applies=_has_ledge,
            evidence=(PHOTO_ALONG,),
        ),
        Point(
            "wall_steel",
            "Wall steel",
            HOLD,
            (I,),
            "pour_full_wall",
            "Every vertical and horizontal: size, spacing, laps staggered, bars at openings; clean inside.",
            source=CARDS,
            criteria=(
                "wall.bar_size",
                "wall.vertical_spacing",
                "wall.vertical_lap",
                "wall.horizontal_lap",
                "wall.core",
            ),
            evidence=(
                _measure("spacing", "Widest vertical spacing", "wall.vertical_spacing", "in"),
                _measure("lap", "Shortest horizontal lap", "wall.horizontal_lap", "in"),
                PHOTO_ALONG,
            ),
        ),
        Point(
            "anchors",
            "Anchor bolts, beam pockets and embeds",
            HOLD,
            (I, B),
            "pour_full_wall",
            "Bolts counted and bagged on the wall, beam pockets and ledger hardware at their level.",
            evidence=(
                _check("bolts", "Anchor bolts counted and marked"),
                _check("pockets", "Beam pockets and embeds in, or none here"),
            ),
        ),
        Point(
            "pour_go",
            "Ready to pour",
            HOLD,
            (B,),
            "pour_full_wall",
            "Braces and planks, spare plywood and screws, two vibrators, clean and free of ice, covers on site, mix and slump agreed and by whom.",
            presents=(L,),
            criteria=("wall.concrete_volume", "concrete.temperature", "concrete.strength"),
            evidence=(
                _check("braced", "Braces fixed, planks and guard rails on"),
                _check("no_ice", "No snow or ice inside the forms"),
                _check("covers", "Covers and heat on site"),
                _check("spares", "Plywood, screws and lumber for a blow-out at hand"),
                Evidence("slump", "Slump agreed, and who approved it", EvidenceKind.TEXT),
            ),
        ),
        Point(
            "wall_as_built",
            "Top, plumb and concrete as poured",
            HOLD,
            (B, S),
            "",
            "Top level, plumb and line, and the concrete as delivered are on record.",
            criteria=("wall.top", "wall.plumb", "concrete.temperature"),
            evidence=(
                _measure("top", "Farthest off level at the top", "wall.top", "in"),
                _measure("plumb", "Farthest out of plumb", "wall.plumb", "in"),
                _measure("temperature", "Coldest load out of the truck", "concrete.temperature", "F"),
                Evidence("ticket", "Delivery ticket", EvidenceKind.TICKET),
            ),
        ),
    ),
    operations=(
        Operation(
            "stack_full_wall",
            "Stack the full-height wall",
            "full-height wall stacking begun",
            caution="Stop stacking unbraced wall in wind.",
        ),
        Operation(
            "pour_full_wall",
            "Pour the full-height wall",
            "full-height wall poured",
            caution="Guard rails on the planks; clear of the face of the form; a spotter for the pump.",
        ),
    ),
    cautions=(
        "Falls: planks, guard rails and a ladder before anybody works at the top.",
        "Stay clear of the face of a form while it is filled; a seam can open without warning.",
    ),
)

WATERPROOFING = StageProcess(
    kind=Stage.WATERPROOFING,
    title="Waterproofing and drain",
    purpose="Membrane lapped onto what stands turned up below, drain and stone to the outlet, board over it.",
    points=(
        Point(
            "surface",
            "Surface ready",
            HOLD,
            (B, I),
            "cover_membrane",
            "Dry, no frost, dust or loose foam; primer water-based; the sheet's own lower temperature kept.",
            evidence=(
                _check("dry", "Dry and free of frost"),
                _check("primer", "Primer fit for foam, dry to the touch"),
            ),
        ),
        Point(
            "membrane",
            "Membrane, laps and corners",
            HOLD,
            (I,),
            "cover_membrane",
            "Side and end laps, corner strips, turned onto the footing or lapped onto the frost wall's sheet, terminated above grade.",
            source=CARDS,
            criteria=("membrane.side_lap", "membrane.end_lap", "membrane.above_grade"),
            evidence=(
                _measure("side_lap", "Narrowest side lap", "membrane.side_lap", "in"),
                _measure("end_lap", "Shortest end lap", "membrane.end_lap", "in"),
                _measure("above_grade", "Least height above finished grade", "membrane.above_grade", "in"),
                PHOTO_ALONG,
            ),
        ),
        Point(
            "drain",
            "Drain, stone and fabric",
            HOLD,
            (I,),
            "cover_membrane",
            "Pipe falls to the outlet, stone and fabric as drawn; or, where the frost backfill buried it, its outlet still runs.",
            source="IRC R405.1; inspection cards",
            criteria=("drain.stone_over", "drain.pipe_cover"),
            evidence=(_check("outlet", "Water test: runs to the outlet"), PHOTO_ALONG),
        ),
    ),
    operations=(Operation("cover_membrane", "Cover the membrane with board and stone", "membrane covered"),),
    cautions=(
        "Solvents dissolve foam and fill a hole with vapour: water-based primer, ventilate.",
        "Nobody works under a bank that is not sloped or shored.",
    ),
)

FINAL_BACKFILL = StageProcess(
    kind=Stage.FINAL_BACKFILL,
    title="Final backfill",
    purpose="The ground goes back against a wall that is strong, held at its top and at its foot.",
    points=(
        Point(
            "strength",
            "Strong enough to be filled against",
            HOLD,
            (E, B),
            "fill_full_wall",
            "The person responsible says, with a reason, that the wall has the strength for this fill.",
            presents=(L, B, E),
            source=R404_1_7,
            criteria=("backfill.unbalanced_before", "backfill.unbalanced_after"),
            evidence=(Evidence("reason", "What the strength is known by", EvidenceKind.TEXT),),
        ),
        Point(
            "held_foot",
            "Held at its foot",
            HOLD,
            (B, E),
            "fill_full_wall",
            "The slab is placed, or struts stand, or an engineered key and dowels hold the foot.",
            presents=(L, B, E),
            source=R404_1_7,
            criteria=("backfill.unbalanced_before", "backfill.unbalanced_after"),
            evidence=(
                Evidence(
                    "held_by",
                    "Held by",
                    EvidenceKind.CHOICE,
                    choices=(
                        ("slab", "Slab placed"),
                        ("strut", "Temporary struts"),
                        ("key_dowels", "Key and dowels, engineered"),
                    ),
                ),
                Evidence("photo", "Photo", EvidenceKind.PHOTO),
            ),
        ),
        Point(
            "held_top",
            "Held at its top",
            HOLD,
            (B, E),
            "fill_full_wall",
            "The floor deck is on, nailed and bolted, or braces designed for the earth stand.",
            presents=(L, B, E),
            source=R404_1_7,
            criteria=("backfill.unbalanced_before", "backfill.unbalanced_after"),
            evidence=(
                Evidence(
                    "held_by",
                    "Held by",
                    EvidenceKind.CHOICE,
                    choices=(("deck", "Floor deck on, nailed and bolted"), ("braced", "Braces designed for the earth")),
                ),
                Evidence("photo", "Photo", EvidenceKind.PHOTO),
            ),
        ),
        Point(
            "pre_backfill",
            "Pre-backfill inspection",
            HOLD,
            (I,),
            "fill_full_wall",
            "Membrane covered, drain running, fill unfrozen and free of boulders and debris.",
            source=CARDS,
            evidence=(_check("fill_unfrozen", "Fill unfrozen, no lumps, boulders or debris"), PHOTO_ALONG),
        ),
        Point(
            "grade",
            "Finished grade falls away",
            HOLD,
            (B, I),
            "",
            "The ground falls away from the wall and the membrane still stands above it.",
            source="IRC R401.3",
            criteria=("grade.fall", "membrane.above_grade"),
            evidence=(_measure("fall", "Least fall in the first 10 ft", "grade.fall", "in"),),
        ),
    ),
    operations=(
        Operation(
            "fill_full_wall",
            "Backfill the full-height wall",
            "full-height wall backfilled",
            caution="Keep machines as far from the wall as the fill is deep. Lift by lift, no dumping against the wall.",
        ),
    ),
    buries=(Stage.FOOTING, Stage.FROST_WALL, Stage.FROST_BACKFILL, Stage.FULL_WALL, Stage.WATERPROOFING),
    cautions=(
        "Fill against a green or unbraced wall can push it in: lift by lift, machines kept back, no dumping against the wall.",
        "Nobody works between a bank and a wall while it is filled.",
    ),
)

#: Points whose need is waived on legs with less than the stated unbalanced fill (bracing only, never strength).
WAIVED_WHEN_LOW = frozenset({"held_foot", "held_top"})

STAGES: tuple[StageProcess, ...] = (FOOTING, FROST_WALL, FROST_BACKFILL, FULL_WALL, WATERPROOFING, FINAL_BACKFILL)
BY_KIND = {stage.kind: stage for stage in STAGES}
DEFAULT_ORDER = tuple(stage.kind for stage in STAGES)
