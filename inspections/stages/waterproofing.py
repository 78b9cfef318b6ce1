"""Waterproofing and drain: surface, membrane, drain; then it is covered."""

from inspections.process import Operation, Point, StageProcess
from inspections.stages.words import CARDS, DRAINS, HOLD, PHOTO_ALONG, B, I, check, measure
from takeoff.plan import Stage

COVER = "cover_membrane"

SURFACE = Point(
    "surface",
    "Surface ready",
    HOLD,
    releases=(B, I),
    before=COVER,
    looks_at="Dry, no frost, dust or loose foam; primer water-based; the sheet's own lower temperature kept.",
    evidence=(check("dry", "Dry and free of frost"), check("primer", "Primer fit for foam, dry to the touch")),
)

MEMBRANE = Point(
    "membrane",
    "Membrane, laps and corners",
    HOLD,
    releases=(I,),
    before=COVER,
    looks_at="Side and end laps, corner strips, turned onto the footing or lapped onto the frost wall's sheet, "
    "terminated above grade.",
    evidence=(
        measure("side_lap", "Narrowest side lap", "membrane.side_lap"),
        measure("end_lap", "Shortest end lap", "membrane.end_lap"),
        measure("above_grade", "Least height above finished grade", "membrane.above_grade"),
        PHOTO_ALONG,
    ),
    criteria=("membrane.side_lap", "membrane.end_lap", "membrane.onto_footing", "membrane.above_grade"),
    source=CARDS,
)

DRAIN = Point(
    "drain",
    "Drain, stone and fabric",
    HOLD,
    releases=(I,),
    before=COVER,
    looks_at="Pipe falls to the outlet, stone and fabric as drawn; or, where the frost backfill buried it, "
    "its outlet still runs.",
    evidence=(check("outlet", "Water test: runs to the outlet"), PHOTO_ALONG),
    criteria=("drain.stone_under", "drain.pipe_cover", "drain.stone_over", "drain.stone_beyond"),
    source=DRAINS,
)

WATERPROOFING = StageProcess(
    kind=Stage.WATERPROOFING,
    title="Waterproofing and drain",
    purpose="Membrane lapped onto what stands turned up below, drain and stone to the outlet, board over it.",
    points=(SURFACE, MEMBRANE, DRAIN),
    operations=(Operation(COVER, "Cover the membrane with board and stone", "membrane covered"),),
    cautions=(
        "Solvents dissolve foam and fill a hole with vapour: water-based primer, ventilate.",
        "Nobody works under a bank that is not sloped or shored.",
    ),
)
