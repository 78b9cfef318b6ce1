"""The trucks of a pour as they come: accepted, to be looked at, or sent back. On plain numbers and moments."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from takeoff.pour.lifts import ASTM_C94, DISCHARGE_MIN
from takeoff.sources import COMMON_PRACTICE, Source

#: Minutes before the limit from which a truck is to be watched, and to be hurried; common practice, no source.
WATCH_FROM_MIN, HURRY_FROM_MIN = 30.0, 10.0
#: Slump as delivered, give or take, by the slump that was ordered [in]: up to 2, over 2 up to 4, over 4.
SLUMP_TOLERANCE = Source("ASTM C94", "", "slump tolerance by nominal slump", seen=False)
SLUMP_STEPS_IN = ((2.0, 0.5), (4.0, 1.0), (float("inf"), 1.5))
#: Air as delivered, give or take [%]: a ready-mix ordering page.
AIR_TOLERANCE = 1.5
#: Turns of the drum, which older editions limit beside the time.
MOST_REVOLUTIONS = 300
#: Water on site: what the ticket still allows, once, before any of the load is discharged.
WATER_ON_SITE = Source("ASTM C94", "", "water added on site", seen=False)
_DUST = 1e-9


# -- one truck ----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Ticket:
    """One truck. Times carry their zone; what is None has not happened or was not measured.

    ``slump_in`` and ``air_percent`` as tested on site, ``water_gal`` added on site and by whom; ``water_late`` is water
    written down after placing began, ``slump_before_water`` a slump that was not measured again after it.
    """

    number: str
    mix: str
    yd3: float
    batched: datetime
    arrived: datetime | None = None
    started: datetime | None = None
    ended: datetime | None = None
    concrete_f: float | None = None
    air_f: float | None = None
    slump_in: float | None = None
    air_percent: float | None = None
    water_gal: float = 0.0
    water_by: str = ""
    water_allowed_gal: float | None = None
    water_late: bool = False
    slump_before_water: bool = False
    revolutions: int | None = None


@dataclass(frozen=True, slots=True)
class Agreed:
    """What was ordered and agreed for every truck of a pour. ``discharge_min`` is 90 unless the purchaser waived it."""

    mix: str
    least_f: float
    most_f: float
    slump_in: float | None = None
    air_percent: float | None = None
    discharge_min: float = DISCHARGE_MIN


class Answer(StrEnum):
    """What to do with a truck."""

    ACCEPT = "accept"
    LOOK = "look"  # something is missing or near its limit
    REJECT = "reject"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why: rule, what was measured, what it is measured against, a sentence, and where the rule is from."""

    rule: str
    answer: Answer
    value: float | str | None
    limit: float | str | None
    words: str
    source: Source = COMMON_PRACTICE


@dataclass(frozen=True, slots=True)
class TruckAnswer:
    """The answer for one truck is its worst reason; no reason at all accepts it."""

    answer: Answer
    reasons: tuple[Reason, ...]
    minutes: float  # since batching
    minutes_left: float

    @property
    def words(self) -> str:
        """Said to the driver."""
        if not self.reasons:
            return f"Accept; {self.minutes_left:.0f} min left to discharge."
        return f"{self.answer.value.capitalize()}: " + " ".join(r.words for r in self.reasons)


def minutes_between(start: datetime, end: datetime) -> float:
    """Minutes from one moment to another, whatever the clocks did between."""
    return (end.timestamp() - start.timestamp()) / 60


def judge(ticket: Ticket, agreed: Agreed, now: datetime) -> TruckAnswer:
    """Accept, look at or reject a truck as it stands at ``now``.

    Rejected: another mix, too cold, too warm, older than agreed before it is empty, water beyond the ticket's
    allowance, slump or air beyond tolerance. Not measured is said, never taken as good.
    """
    end = ticket.ended or now
    minutes, most = minutes_between(ticket.batched, end), discharge_within(ticket, agreed)
    reasons = (
        *_mix(ticket, agreed), *_age(ticket, minutes, most), *_temperature(ticket, agreed), *_tests(ticket, agreed),
        *_water(ticket, agreed), *_revolutions(ticket),
    )  # fmt: skip
    order = (Answer.ACCEPT, Answer.LOOK, Answer.REJECT)
    worst = max((r.answer for r in reasons), key=order.index, default=Answer.ACCEPT)
    ranked = tuple(sorted(reasons, key=lambda r: -order.index(r.answer)))
    return TruckAnswer(worst, ranked, minutes, most - minutes)


def discharge_within(ticket: Ticket, agreed: Agreed) -> float:
    """Minutes from batching to empty: as agreed, but more than 90 only while no water is added."""
    return min(agreed.discharge_min, DISCHARGE_MIN) if ticket.water_gal > _DUST else agreed.discharge_min


def slump_tolerance_in(ordered_in: float) -> float:
    """Give or take of a slump [in] by what was ordered (ASTM C94, from memory)."""
    return next(give for most, give in SLUMP_STEPS_IN if ordered_in <= most)


def _mix(ticket: Ticket, agreed: Agreed) -> Iterator[Reason]:
    if ticket.mix.strip().casefold() != agreed.mix.strip().casefold():
        words = f"The ticket says mix {ticket.mix or '(none)'}, ordered is {agreed.mix}."
        yield Reason("mix", Answer.REJECT, ticket.mix, agreed.mix, words)


def _age(ticket: Ticket, minutes: float, most: float) -> Iterator[Reason]:
    left = most - minutes
    if minutes < 0:
        yield Reason("age", Answer.LOOK, minutes, 0.0, "The ticket is batched after now: check the times.")
    elif left < -_DUST:
        yield Reason(
            "age", Answer.REJECT, minutes, most, f"{minutes:.0f} min since batching, over the {most:g} agreed."
        )
    elif ticket.ended is None and left <= HURRY_FROM_MIN:
        words = f"Only {left:.0f} min left to discharge: empty it now or send it back."
        yield Reason("age", Answer.LOOK, minutes, most, words)
    elif ticket.ended is None and left <= WATCH_FROM_MIN:
        yield Reason("age", Answer.LOOK, minutes, most, f"{left:.0f} min left to discharge.")


def _temperature(ticket: Ticket, agreed: Agreed) -> list[Reason]:
    found = ticket.concrete_f
    if found is None:
        words = "Concrete temperature not measured."
        return [Reason("temperature", Answer.LOOK, None, agreed.least_f, words)]
    if found < agreed.least_f:
        words = f"Too cold: {found:g} °F, at least {agreed.least_f:g} °F was agreed."
        return [Reason("temperature", Answer.REJECT, found, agreed.least_f, words)]
    if found > agreed.most_f:
        words = f"Too warm: {found:g} °F, at most {agreed.most_f:g} °F was agreed."
        return [Reason("temperature", Answer.REJECT, found, agreed.most_f, words)]
    return []


def _tests(ticket: Ticket, agreed: Agreed) -> Iterator[Reason]:
    slump = 0.0 if agreed.slump_in is None else slump_tolerance_in(agreed.slump_in)
    pairs = (
        ("slump", "Slump", "in", ticket.slump_in, agreed.slump_in, slump),
        ("air", "Air", "%", ticket.air_percent, agreed.air_percent, AIR_TOLERANCE),
    )
    for rule, name, unit, found, wanted, give in pairs:
        if found is not None and wanted is not None and abs(found - wanted) > give + _DUST:
            words = f"{name} {found:g} {unit}, ordered {wanted:g} give or take {give:g}: test again, then send it back."
            yield Reason(
                rule, Answer.REJECT, found, wanted, words, SLUMP_TOLERANCE if rule == "slump" else COMMON_PRACTICE
            )


def _water(ticket: Ticket, agreed: Agreed) -> Iterator[Reason]:
    """Water on site: within what the ticket still allows, once, before any of the load is discharged, and the slump
    measured again after it (ASTM C94 from memory)."""
    gal, allowed = ticket.water_gal, ticket.water_allowed_gal
    if gal <= _DUST:
        return
    added = f"{gal:g} gal of water added{f' by {ticket.water_by}' if ticket.water_by else ''}"
    if allowed is None:
        words = f"{added}, and what the ticket still allows is not noted: without it no water may be added."
        yield Reason("water", Answer.LOOK, gal, None, words, WATER_ON_SITE)
    elif gal > allowed + _DUST:
        yield Reason(
            "water", Answer.REJECT, gal, allowed, f"{added}, {allowed:g} allowed by the ticket.", WATER_ON_SITE
        )
    if not ticket.water_by:
        yield Reason("water_by", Answer.LOOK, None, None, "Write down who had the water added.")
    if ticket.water_late:
        words = "Water was written down after placing began: it goes in once, before any is discharged, never after."
        yield Reason("water_late", Answer.LOOK, gal, None, words, WATER_ON_SITE)
    if ticket.slump_before_water:
        yield Reason(
            "slump_again", Answer.LOOK, ticket.slump_in, None, "Measure the slump again after the water.", WATER_ON_SITE
        )
    if agreed.discharge_min > DISCHARGE_MIN:
        words = (
            f"{agreed.discharge_min:g} min were agreed for concrete without added water: {DISCHARGE_MIN:g} hold now."
        )
        yield Reason("waiver", Answer.LOOK, agreed.discharge_min, DISCHARGE_MIN, words, ASTM_C94)


def _revolutions(ticket: Ticket) -> Iterator[Reason]:
    """Turns of the drum. ASTM C94 as quoted by Concrete Construction: 300, waived where it places without more water;
    that later editions leave them out is from memory."""
    if ticket.revolutions is not None and ticket.revolutions > MOST_REVOLUTIONS:
        words = (
            f"{ticket.revolutions} turns of the drum, over {MOST_REVOLUTIONS}: a limit of older editions of ASTM C94, "
            "which the purchaser may waive where it still places without added water; later editions have none "
            "(from memory)."
        )
        yield Reason("revolutions", Answer.LOOK, ticket.revolutions, MOST_REVOLUTIONS, words, ASTM_C94)
