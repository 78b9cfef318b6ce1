"""Final backfill: strong, held at its foot and at its top; filled; the ground falls away."""

from inspections.process import Evidence, EvidenceKind, Operation, Point, StageProcess
from inspections.stages.words import (
    BACKFILL_PLACEMENT,
    CARDS,
    HOLD,
    PHOTO_ALONG,
    SHOWN_BY,
    SURFACE_DRAINAGE,
    WORD_AND_NUMBER,
    B,
    E,
    I,
    L,
    check,
    choice,
    measure,
)
from takeoff.plan import Stage

FILL = "fill_full_wall"
UNBALANCED = ("backfill.unbalanced_before", "backfill.unbalanced_after")
PHOTO = Evidence("photo", "Photo of what holds it", EvidenceKind.PHOTO)

STRENGTH = Point(
    "strength",
    "Strong enough to be filled against",
    HOLD,
    releases=(E, B),
    before=FILL,
    looks_at=WORD_AND_NUMBER,
    presents=(L, B, E),
    evidence=(Evidence("reason", "What the strength is known by", EvidenceKind.TEXT),),
    criteria=UNBALANCED,
    source=BACKFILL_PLACEMENT,
)

HELD_FOOT = Point(
    "held_foot",
    "Held at its foot",
    HOLD,
    releases=(B, E),
    before=FILL,
    looks_at="The slab is placed, or struts stand, or an engineered key and dowels hold the foot.",
    presents=(L, B, E),
    evidence=(
        choice(
            "held_by",
            "Held by",
            ("slab", "Slab placed"),
            ("strut", "Temporary struts"),
            ("key_dowels", "Key and dowels, engineered"),
        ),
        PHOTO,
    ),
    criteria=UNBALANCED,
    source=BACKFILL_PLACEMENT,
)

HELD_TOP = Point(
    "held_top",
    "Held at its top",
    HOLD,
    releases=(B, E),
    before=FILL,
    looks_at="The floor deck is on, nailed and bolted, or braces designed for the earth stand.",
    presents=(L, B, E),
    evidence=(
        choice(
            "held_by",
            "Held by",
            ("deck", "Floor deck on, nailed and bolted"),
            ("braced", "Braces designed for the earth"),
        ),
        PHOTO,
    ),
    criteria=UNBALANCED,
    source=BACKFILL_PLACEMENT,
)

LAST_LOOK = Point(
    "pre_backfill",
    "Pre-backfill inspection",
    HOLD,
    releases=(I,),
    before=FILL,
    looks_at="Membrane covered, drain running, fill unfrozen and free of boulders and debris.",
    evidence=(check("fill_unfrozen", "Fill unfrozen, no lumps, boulders or debris"), PHOTO_ALONG),
    criteria=("backfill.lift",),
    source=CARDS,
)

GRADE = Point(
    "grade",
    "Finished grade falls away",
    HOLD,
    releases=(B, I),
    before="",
    looks_at="The ground falls away from the wall and the membrane still stands above it.",
    evidence=(
        measure("fall", "Least fall in the first 10 ft", "grade.fall", "in in 10 ft"),
        check("above_grade", "Membrane still stands above the finished ground"),
    ),
    criteria=("grade.fall",),
    source=SURFACE_DRAINAGE,
)

FINAL_BACKFILL = StageProcess(
    kind=Stage.FINAL_BACKFILL,
    title="Final backfill",
    purpose="The ground goes back against a wall that is strong, held at its top and at its foot.",
    points=(STRENGTH, HELD_FOOT, HELD_TOP, LAST_LOOK, GRADE),
    operations=(
        Operation(
            FILL,
            "Backfill the full-height wall",
            "full-height wall backfilled",
            caution="Keep machines as far from the wall as the fill is deep. Lift by lift, never dumped against it.",
            waits=(
                "Waits for strength: each wall must be known to have what the plan says it needs, less with the slab "
                "released as what holds its foot, more before.",
                SHOWN_BY,
                f"Where the plan cannot say how strong a wall must be, the engineer of record must release "
                f"“{STRENGTH.title}”; the builder's release does not count there.",
            ),
        ),
    ),
    buries=(Stage.FOOTING, Stage.FROST_WALL, Stage.FROST_BACKFILL, Stage.FULL_WALL, Stage.WATERPROOFING),
    cautions=(
        "Fill against a green or unbraced wall can push it in: lift by lift, machines kept back, "
        "never dumped against the wall.",
        "Nobody works between a bank and a wall while it is filled.",
    ),
)
