"""Footing: papers, hole, what passes under, steel; the pour; the top shot again."""

from inspections.process import Evidence, EvidenceKind, Operation, Point, Scope, StageProcess
from inspections.stages.words import CARDS, HOLD, PHOTO_ALONG, TICKET, WITNESS, B, E, I, L, S, check, diagonals, measure
from takeoff.plan import Stage

POUR = "pour_footing"

PERMIT = Point(
    "permit",
    "Permit number and approved set on site",
    HOLD,
    releases=(B, I),
    before=POUR,
    looks_at="The permit is issued, its card is posted, and the approved drawings lie on site, same revision as here.",
    scope=Scope.HOUSE,
    evidence=(
        Evidence("permit_number", "Permit number as on the card", EvidenceKind.TICKET),
        check("approved_set", "Approved set on site, same revision as here"),
    ),
    source=CARDS,
)

STAKES = Point(
    "stakes",
    "Stakes and setbacks",
    HOLD,
    releases=(S, I),
    before=POUR,
    looks_at="Property stakes are visible, offsets measured, the building stands where the site plan puts it.",
    evidence=(
        check("stakes_visible", "Property stakes visible"),
        check("setbacks", "Setbacks measured and as drawn"),
        diagonals(required=False),
    ),
    criteria=("corner.diagonal",),
    source=CARDS,
)

HOLE = Point(
    "hole",
    "Hole dry, unfrozen, on undisturbed ground",
    HOLD,
    releases=(I, E),
    before=POUR,
    looks_at="Bottom on undisturbed or compacted ground, pumped dry, free of frost, ice, mud and loose soil; "
    "deep enough below grade. What was dug too deep is filled with concrete or compacted gravel, not loose soil.",
    evidence=(
        check("pumped_dry", "Pumped dry"),
        check("unfrozen", "No frost or ice in the ground"),
        check("undisturbed", "Undisturbed or compacted, no loose soil"),
        measure("depth", "Footing bottom below exterior grade, at the shallowest", "footing.frost_depth"),
        Evidence("photo", "Photo of the bottom with the rod", EvidenceKind.PHOTO),
    ),
    criteria=("footing.frost_depth",),
    source=CARDS,
)

UNDER_FOOTING = Point(
    "under_footing",
    "Sleeves and drains through and under the footing, sump and outlet",
    HOLD,
    releases=(I, L, B),
    before=POUR,
    looks_at="Every sleeve, drain and crossover where the plan has it; sump or daylight outlet set, and it drains.",
    evidence=(
        check("sleeves", "Sleeves and drains in place"),
        check("outlet", "Sump or outlet in place"),
        PHOTO_ALONG,
    ),
)

ELECTRODE = Point(
    "electrode",
    "Concrete-encased electrode",
    HOLD,
    releases=(I,),
    before=POUR,
    looks_at="The grounding electrode is tied in the footing and its tail is marked.",
    scope=Scope.HOUSE,
    evidence=(Evidence("photo", "Photo of the electrode and its tail", EvidenceKind.PHOTO),),
    source=CARDS,
)

DOWELS = Point(
    "footing_dowels",
    "Dowel layout",
    WITNESS,
    releases=(E,),
    before=POUR,
    looks_at="Dowels stand inside the core, at their spacing, with the projection drawn.",
    evidence=(
        measure("dowel_spacing", "Widest dowel spacing", "dowel.spacing"),
        measure("dowel_projection", "Shortest dowel above the footing top", "dowel.projection", required=False),
    ),
    criteria=("dowel.size", "dowel.spacing", "dowel.projection"),
)

STEEL = Point(
    "footing_steel",
    "Footing forms and steel",
    HOLD,
    releases=(I,),
    before=POUR,
    looks_at="Size, depth, bars, laps and cover as drawn; forms tight, clean and frost-free; key or dowels ready.",
    evidence=(
        measure("width", "Narrowest width between forms", "footing.width"),
        measure("thickness", "Least depth in the forms", "footing.thickness"),
        measure("lap", "Shortest bar lap", "footing.bar_lap"),
        measure("cover", "Least cover to earth", "footing.cover"),
        PHOTO_ALONG,
    ),
    criteria=(
        "footing.width",
        "footing.thickness",
        "footing.bars",
        "footing.bar_lap",
        "footing.cover",
        "footing.key_depth",
        "dowel.spacing",
        "footing.concrete_volume",
        "concrete.strength",
        "concrete.temperature",
    ),
    source=CARDS,
)

TOP = Point(
    "footing_top",
    "Footing top shot again after the pour",
    HOLD,
    releases=(B, S),
    before="",
    looks_at="Forms level is not concrete level: every leg is shot after the pour, and goes into the course plan.",
    evidence=(
        Evidence(
            "levels",
            "Level of the footing top, at the start of the leg",
            EvidenceKind.LEVELS,
            criterion="footing.top_spread",
            unit="in",
        ),
        measure("temperature", "Coldest load out of the truck", "concrete.temperature", "F", required=False),
        Evidence(TICKET.key, TICKET.label, TICKET.kind, required=False),
    ),
    criteria=("footing.top_spread", "concrete.temperature"),
)

FOOTING = StageProcess(
    kind=Stage.FOOTING,
    title="Footing",
    purpose="A level, frost-free bearing for every wall, with the steel and all that must pass under it in place.",
    points=(PERMIT, STAKES, HOLE, UNDER_FOOTING, ELECTRODE, DOWELS, STEEL, TOP),
    operations=(
        Operation(
            POUR,
            "Place footing concrete",
            "footing concrete placed",
            caution="Cap or bend every bar that stands up. No concrete on frozen ground, ice or standing water.",
        ),
    ),
    cautions=(
        "A cut bank can fall without warning: slope or shore it, keep spoil and machines back from the edge, "
        "have it looked at daily and after rain or thaw.",
        "Cap or bend over every bar that stands up.",
    ),
)
