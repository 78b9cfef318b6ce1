"""Full-height wall: start on a sound joint, first courses, openings, steel, embeds; the pour; what came of it."""

from inspections.process import Operation, Point, StageProcess
from inspections.stages.words import (
    CARDS,
    HOLD,
    PHOTO_ALONG,
    SLUMP,
    TICKET,
    WITNESS,
    B,
    E,
    I,
    L,
    S,
    check,
    diagonals,
    has_ledge,
    has_openings,
    measure,
    stands_on_a_frost_wall,
    stands_on_its_footing,
)
from takeoff.plan import Stage

STACK, POUR = "stack_full_wall", "pour_full_wall"

JOINT = Point(
    "cold_joint",
    "Joint on the frost wall",
    HOLD,
    releases=(B, I),
    before=STACK,
    looks_at="Top of the frost wall clean, rough and free of ice; bars projecting straight and clean for their lap.",
    evidence=(
        check("clean", "Joint clean, rough, free of ice and laitance"),
        check("bars", "Projecting bars straight, clean, long enough for the lap"),
    ),
    criteria=("wall.vertical_lap",),
    applies=stands_on_a_frost_wall,
)

LAYOUT = Point(
    "full_layout",
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
    applies=stands_on_its_footing,
)

FIRST_COURSES = Point(
    "first_courses",
    "First courses: line, level, plumb",
    HOLD,
    releases=(B, I),
    before=POUR,
    looks_at="After three courses: line, level and stack height at every corner, before it goes higher.",
    evidence=(measure("plumb", "Farthest out of plumb", "wall.plumb"), diagonals()),
    criteria=("wall.plumb", "wall.line", "corner.diagonal", "wall.joint_offset"),
)

OPENINGS = Point(
    "openings",
    "Openings and bucks",
    HOLD,
    releases=(I, B),
    before=POUR,
    looks_at="Every buck at its place, size and core depth, plumb, cross-braced, sill left open for filling.",
    evidence=(
        measure("over", "Most over the size of an opening", "opening.size"),
        check("not_under", "None under its size; plumb, cross-braced, sill open for filling"),
        PHOTO_ALONG,
    ),
    criteria=("opening.size", "wall.opening_edge", "wall.core"),
    applies=has_openings,
)

LEDGE = Point(
    "ledge_steel",
    "Brick ledge steel",
    WITNESS,
    releases=(E,),
    before=POUR,
    looks_at="Stirrups and lip bar as detailed by the engineer.",
    evidence=(PHOTO_ALONG,),
    applies=has_ledge,
)

STEEL = Point(
    "wall_steel",
    "Wall steel",
    HOLD,
    releases=(I,),
    before=POUR,
    looks_at="Every vertical and horizontal: size, spacing, laps staggered, bars at openings; clean inside.",
    evidence=(
        measure("spacing", "Widest vertical spacing", "wall.vertical_spacing"),
        measure("lap", "Shortest horizontal lap", "wall.horizontal_lap"),
        PHOTO_ALONG,
    ),
    criteria=(
        "wall.bar_size",
        "wall.vertical_spacing",
        "wall.vertical_lap",
        "wall.horizontal_rows",
        "wall.horizontal_lap",
        "wall.top_bar",
        "wall.opening_edge",
        "wall.core",
    ),
    source=CARDS,
)

ANCHORS = Point(
    "anchors",
    "Anchor bolts, beam pockets and embeds",
    HOLD,
    releases=(I, B),
    before=POUR,
    looks_at="Bolts counted and bagged on the wall, beam pockets and ledger hardware at their level.",
    evidence=(
        check("bolts", "Anchor bolts counted and marked"),
        check("pockets", "Beam pockets and embeds in, or none here"),
    ),
)

GO = Point(
    "pour_go",
    "Ready to pour",
    HOLD,
    releases=(B,),
    before=POUR,
    looks_at="Braces and planks, spare plywood and screws, two vibrators, free of ice, covers on site, pour line "
    "snapped inside where concrete stops within a course, mix and slump agreed and by whom.",
    presents=(L,),
    evidence=(
        check("braced", "Braces fixed, planks and guard rails on"),
        check("no_ice", "No snow or ice inside the forms"),
        check("covers", "Covers and heat on site"),
        check("spares", "Plywood, screws and lumber for a blow-out at hand"),
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
    "wall_as_built",
    "Top, plumb and concrete as poured",
    HOLD,
    releases=(B, S),
    before="",
    looks_at="Top level, plumb and line, and the concrete as delivered are on record.",
    evidence=(
        measure("top", "Farthest off level at the top", "wall.top"),
        measure("plumb", "Farthest out of plumb", "wall.plumb"),
        measure("temperature", "Coldest load out of the truck", "concrete.temperature", "F"),
        TICKET,
    ),
    criteria=("wall.top", "wall.plumb", "wall.line", "concrete.temperature"),
)

FULL_WALL = StageProcess(
    kind=Stage.FULL_WALL,
    title="Full-height wall",
    purpose="The wall to the first floor: stacked, reinforced, braced, released, poured once.",
    points=(JOINT, LAYOUT, FIRST_COURSES, OPENINGS, LEDGE, STEEL, ANCHORS, GO, AS_BUILT),
    operations=(
        Operation(
            STACK,
            "Stack the full-height wall",
            "full-height wall stacking begun",
            caution="Stop stacking unbraced wall in wind.",
        ),
        Operation(
            POUR,
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
