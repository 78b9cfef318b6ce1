"""Backfill of the frost wall: membrane, drain and stone on; strong and held; filled from both sides; the ground."""

from inspections.process import Evidence, EvidenceKind, Operation, Point, StageProcess
from inspections.stages.words import (
    BACKFILL_PLACEMENT,
    CARDS,
    DRAINS,
    HOLD,
    PHOTO_ALONG,
    SHOWN_BY,
    SURFACE_DRAINAGE,
    WORD_AND_NUMBER,
    B,
    E,
    I,
    L,
    carries_no_full_wall,
    check,
    choice,
    measure,
)
from takeoff.plan import Stage

FILL = "fill_frost_wall"

MEMBRANE = Point(
    "frost_membrane",
    "Membrane on the frost wall",
    HOLD,
    releases=(I,),
    before=FILL,
    looks_at="Surface dry, laps rolled down, turned onto the footing, enough left turned up for the wall above.",
    evidence=(measure("side_lap", "Narrowest side lap", "membrane.side_lap"), PHOTO_ALONG),
    criteria=("membrane.side_lap", "membrane.end_lap", "membrane.onto_footing", "membrane.above_grade"),
    source=CARDS,
)

DRAIN = Point(
    "frost_drain",
    "Drain, stone and fabric at the footing",
    HOLD,
    releases=(I,),
    before=FILL,
    looks_at="Pipe falls to the outlet, stone and fabric as drawn, nothing crushed.",
    evidence=(
        measure("cover", "Least stone over the pipe", "drain.pipe_cover"),
        check("outlet", "Water test: runs to the outlet"),
        PHOTO_ALONG,
    ),
    criteria=("drain.stone_under", "drain.pipe_cover", "drain.stone_over", "drain.stone_beyond"),
    source=DRAINS,
)

STRENGTH = Point(
    "frost_strength",
    "Strong enough to be filled against",
    HOLD,
    releases=(E, B),
    before=FILL,
    looks_at=WORD_AND_NUMBER,
    presents=(L, B, E),
    evidence=(Evidence("reason", "What the strength is known by", EvidenceKind.TEXT),),
    criteria=("backfill.unbalanced_before",),
    source=BACKFILL_PLACEMENT,
)

BALANCE = Point(
    "frost_balance",
    "How the wall is held while it is filled",
    HOLD,
    releases=(B, E),
    before=FILL,
    looks_at="Both sides go up together, within the stated difference; or braces designed for the earth hold the wall "
    "at its top, and one side is filled first.",
    presents=(L, B, E),
    evidence=(
        choice(
            "held_by",
            "Held by",
            ("both_sides", "Both sides filled together"),
            ("braced", "Braced at its top, one side filled first"),
        ),
    ),
    criteria=("backfill.balance", "backfill.lift", "backfill.unbalanced_before"),
    source=f"{BACKFILL_PLACEMENT}; common practice for the difference",
)

LAST_LOOK = Point(
    "frost_pre_backfill",
    "Pre-backfill inspection",
    HOLD,
    releases=(I,),
    before=FILL,
    looks_at="Last look before it is buried: fill unfrozen, no boulders or debris against the wall.",
    evidence=(check("fill_unfrozen", "Fill unfrozen, no lumps, boulders or debris"), PHOTO_ALONG),
    source=CARDS,
)

GRADE = Point(
    "frost_grade",
    "Finished grade falls away",
    HOLD,
    releases=(B, I),
    before="",
    looks_at="Where no full-height wall follows: the ground falls away, and what keeps water out stands above it.",
    evidence=(measure("fall", "Least fall in the first 10 ft", "grade.fall", "in in 10 ft"),),
    criteria=("grade.fall",),
    applies=carries_no_full_wall,
    source=SURFACE_DRAINAGE,
)

FROST_BACKFILL = StageProcess(
    kind=Stage.FROST_BACKFILL,
    title="Backfill of the frost wall",
    purpose="Drain, membrane and stone on, then both sides filled together so that frost cannot get under the footing.",
    points=(MEMBRANE, DRAIN, STRENGTH, BALANCE, LAST_LOOK, GRADE),
    operations=(
        Operation(
            FILL,
            "Backfill the frost wall",
            "frost wall backfilled",
            caution="Keep machines as far from the wall as the fill is deep. Lift by lift, both sides.",
            waits=(
                "Waits for strength: each wall must be known to have what the plan says it needs, filled on both "
                "sides together, or braced and filled on one side first, as it was presented.",
                SHOWN_BY,
                f"Where the plan cannot say how strong a wall must be, the engineer of record must release "
                f"“{STRENGTH.title}”, or “{BALANCE.title}” where one side is filled first; the builder's release "
                "does not count there.",
            ),
        ),
    ),
    buries=(Stage.FOOTING, Stage.FROST_WALL),
    cautions=(
        "Fill against a green or unbraced wall can push it in: lift by lift, both sides, machines kept back.",
        "Nobody works between a bank and a wall while it is filled.",
    ),
)
