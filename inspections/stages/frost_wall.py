"""Frost wall: layout on the footing, stack, steel and openings; the pour; what came of it."""

from inspections.process import Operation, Point, StageProcess
from inspections.stages.words import (
    CARDS,
    HOLD,
    PHOTO_ALONG,
    SLUMP,
    TICKET,
    B,
    I,
    L,
    S,
    check,
    diagonals,
    has_frost_openings,
    measure,
)
from takeoff.plan import Stage

STACK, POUR = "stack_frost_wall", "pour_frost_wall"

LAYOUT = Point(
    "frost_layout",
    "Capillary break and layout on the footing",
    HOLD,
    releases=(B, I),
    before=STACK,
    looks_at="Capillary break on and dry, foam and core line both chalked, diagonals equal, every dowel in the core.",
    evidence=(
        check("break_on", "Capillary break on, dowel zones as drawn"),
        check("dowels_in_core", "Dowels inside the core"),
        diagonals(),
    ),
    criteria=("corner.diagonal",),
)

OPENINGS = Point(
    "frost_openings",
    "Openings, sleeves and beam pockets",
    HOLD,
    releases=(I, B),
    before=POUR,
    looks_at="Bucks and sleeves sit where the plan has them, at the core's depth, braced.",
    evidence=(check("place_size", "Place and size as drawn"), PHOTO_ALONG),
    criteria=("opening.size", "wall.opening_edge"),
    applies=has_frost_openings,
)

STEEL = Point(
    "frost_steel",
    "Frost wall steel",
    HOLD,
    releases=(I,),
    before=POUR,
    looks_at="Bar size, spacing, laps to the dowels, cover; clean inside; bars projecting for the wall above.",
    evidence=(
        measure("spacing", "Widest vertical spacing", "wall.vertical_spacing"),
        measure("lap", "Shortest lap to the dowels", "wall.vertical_lap"),
        PHOTO_ALONG,
    ),
    criteria=(
        "wall.bar_size",
        "wall.vertical_spacing",
        "wall.vertical_lap",
        "wall.horizontal_rows",
        "wall.horizontal_lap",
        "wall.projection",
        "wall.core",
    ),
    source=CARDS,
)

ANCHORS = Point(
    "frost_anchors",
    "Anchor bolts and hold-downs laid out",
    HOLD,
    releases=(I, B),
    before=POUR,
    looks_at="Bolts counted, bagged and marked on the wall where its top carries a plate.",
    evidence=(check("bolts", "Bolts on the wall, or none needed here"),),
)

GO = Point(
    "frost_go",
    "Ready to pour",
    HOLD,
    releases=(B,),
    before=POUR,
    looks_at="Braced, straps on seams and end caps, free of ice, covers on site, pour line snapped inside where "
    "concrete stops within a course, mix and slump agreed and by whom.",
    presents=(L,),
    evidence=(
        check("braced", "Braces, end caps and seams strapped"),
        check("no_ice", "No snow or ice inside the forms"),
        check("covers", "Covers and heat on site"),
        SLUMP,
    ),
    criteria=(
        "wall.concrete_volume",
        "wall.pour_line",
        "concrete.temperature",
        "concrete.strength",
        "concrete.slump",
        "brace.spacing",
    ),
)

AS_BUILT = Point(
    "frost_as_built",
    "Top, line and concrete as poured",
    HOLD,
    releases=(B, S),
    before="",
    looks_at="Top level, line and the concrete as delivered are on record.",
    evidence=(
        measure("top", "Farthest off level at the top", "wall.top"),
        measure("temperature", "Coldest load out of the truck", "concrete.temperature", "F"),
        TICKET,
    ),
    criteria=("wall.top", "wall.line", "concrete.temperature"),
)

FROST_WALL = StageProcess(
    kind=Stage.FROST_WALL,
    title="Frost wall",
    purpose="The wall from the footing to the underside of the slab, one course grid with the wall above.",
    points=(LAYOUT, OPENINGS, STEEL, ANCHORS, GO, AS_BUILT),
    operations=(
        Operation(STACK, "Stack the frost wall", "frost wall stacking begun"),
        Operation(
            POUR,
            "Pour the frost wall",
            "frost wall poured",
            caution="Nobody stands in the trench outside while the hose is over the wall.",
        ),
    ),
    cautions=("Stay clear of the face of a form while it is filled; a seam can open without warning.",),
)
