"""What the six stages share: roles by letter, usual evidence, sources, and which legs have what."""

from __future__ import annotations

from inspections.process import Evidence, EvidenceKind, PointKind
from jobs.frozen import LegFacts
from jobs.models import Role
from takeoff.plan import Stage

#: Builder, field lead, inspector, engineer of record, surveyor.
B, L, I, E, S = Role.BUILDER, Role.FIELD_LEAD, Role.INSPECTOR, Role.ENGINEER, Role.SURVEYOR  # noqa: E741
HOLD, WITNESS = PointKind.HOLD, PointKind.WITNESS

CARDS = "published inspection cards of cold-climate jurisdictions; common practice"
BACKFILL_PLACEMENT = "IRC R404.1.7, backfill placement"
DRAINS = "IRC R405.1; inspection cards"
SURFACE_DRAINAGE = "IRC R401.3"

#: How strength is shown before earth comes: rule 7 of the gate, as a person reads it.
SHOWN_BY = (
    "It is shown by cylinders cured beside the wall, the weakest of those broken last (those from a laboratory do not "
    "count), or by an estimate from the wall's temperatures that the engineer of record or the builder accepted, less "
    "a tenth, while no such cylinder broke under that since."
)
#: A release of the strength is somebody's word; the number is asked for besides.
WORD_AND_NUMBER = (
    "The person responsible says, with a reason, that the wall has the strength for this fill. Besides that word, the "
    "fill waits until the strength that the plan says the wall needs is shown."
)

PHOTO_ALONG = Evidence("photo", "Photo along the wall with a tape in it", EvidenceKind.PHOTO)
TICKET = Evidence("ticket", "Delivery ticket", EvidenceKind.TICKET)
SLUMP = Evidence("slump", "Slump agreed, and who approved it", EvidenceKind.TEXT)


def check(key: str, label: str) -> Evidence:
    """Somebody looked and says yes."""
    return Evidence(key, label, EvidenceKind.CHECK)


def measure(key: str, label: str, criterion: str, unit: str = "in", required: bool = True) -> Evidence:
    """A reading compared with a number of the takeoff."""
    return Evidence(key, label, EvidenceKind.MEASUREMENT, required, criterion, unit)


def choice(key: str, label: str, *choices: tuple[str, str]) -> Evidence:
    """One of a few answers."""
    return Evidence(key, label, EvidenceKind.CHOICE, choices=choices)


def diagonals(required: bool = True) -> Evidence:
    """Both diagonals of a rectangle of the layout."""
    label = "Difference of the two diagonals, for each 50 ft of diagonal"
    return measure("diagonal", label, "corner.diagonal", "in per 50 ft", required)


def has_openings(leg: LegFacts) -> bool:
    """A window or door is in the leg."""
    return leg.openings > 0


def has_frost_openings(leg: LegFacts) -> bool:
    """A window or door is in the frost wall, or beam pockets where nothing stands on it."""
    return leg.frost_openings > 0 or (leg.beam_pockets > 0 and carries_no_full_wall(leg))


def carries_no_full_wall(leg: LegFacts) -> bool:
    """Only a frost wall stands here (garage, porch): its backfill is the last."""
    return Stage.FULL_WALL not in leg.stages


def has_ledge(leg: LegFacts) -> bool:
    """The leg carries brick on a ledge."""
    return leg.ledge


def stands_on_its_footing(leg: LegFacts) -> bool:
    """The full-height wall starts on the footing, without a frost wall below it."""
    return Stage.FROST_WALL not in leg.stages


def stands_on_a_frost_wall(leg: LegFacts) -> bool:
    """The full-height wall starts on a frost wall, at a cold joint."""
    return Stage.FROST_WALL in leg.stages
