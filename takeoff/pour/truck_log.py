"""The trucks of a pour as they come: accepted or not, how far up the wall, how fast, how much is left.

All on plain numbers - minutes, feet, inches, cubic yards - with no state and no clock, so that a small script on a
phone can do the same sum from the same knots and the two can be compared line by line. A fill curve is a list of knots
(level [in], concrete below that level [yd3]), both rising, straight in between.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from itertools import pairwise
from math import ceil

from takeoff.pour.lifts import ASTM_C94, DISCHARGE_MIN
from takeoff.readymix import balance_order
from takeoff.sources import COMMON_PRACTICE, Source

Knots = Sequence[tuple[float, float]]

#: Minutes before the limit from which a truck is to be watched; common practice.
WATCH_FROM_MIN = 30.0
#: Slump and air as delivered, give or take: ASTM C94 from memory (slump over 4 in) and a ready-mix ordering page.
SLUMP_TOLERANCE_IN, AIR_TOLERANCE = 1.5, 1.5
SLUMP_TOLERANCE = Source("ASTM C94", "", "slump tolerance over 4 in nominal", seen=False)
ORDER_MARGIN = 0.05
_DUST = 1e-9


# -- one truck ----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Ticket:
    """One truck. Times carry their zone; what is None has not happened or was not measured.

    ``slump_in`` and ``air_percent`` as tested on site, ``water_gal`` added on site and by whom.
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
    placed_in: str = ""


@dataclass(frozen=True, slots=True)
class Agreed:
    """What was ordered and agreed for every truck of a pour. ``discharge_min`` is 90 unless the purchaser waived it."""

    mix: str
    least_f: float
    most_f: float
    slump_in: float | None = None
    air_percent: float | None = None
    discharge_min: float = DISCHARGE_MIN
    water_allowed_gal: float = 0.0


class Answer(StrEnum):
    """What to do with a truck."""

    ACCEPT = "accept"
    LOOK = "look"  # something is missing or near its limit
    REJECT = "reject"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why: rule, what was measured, what it is measured against, and a sentence."""

    rule: str
    answer: Answer
    value: float | str | None
    limit: float | str | None
    words: str


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
    minutes = minutes_between(ticket.batched, end)
    reasons = (*_mix_and_age(ticket, agreed, minutes), *_temperature(ticket, agreed), *_tests(ticket, agreed))
    order = (Answer.ACCEPT, Answer.LOOK, Answer.REJECT)
    worst = max((r.answer for r in reasons), key=order.index, default=Answer.ACCEPT)
    ranked = tuple(sorted(reasons, key=lambda r: -order.index(r.answer)))
    return TruckAnswer(worst, ranked, minutes, agreed.discharge_min - minutes)


def _mix_and_age(ticket: Ticket, agreed: Agreed, minutes: float) -> list[Reason]:
    out = []
    if ticket.mix.strip().casefold() != agreed.mix.strip().casefold():
        words = f"The ticket says mix {ticket.mix or '(none)'}, ordered is {agreed.mix}."
        out.append(Reason("mix", Answer.REJECT, ticket.mix, agreed.mix, words))
    if minutes < 0:
        out.append(Reason("age", Answer.LOOK, minutes, 0.0, "The ticket is batched after now: check the times."))
    elif minutes > agreed.discharge_min + _DUST:
        words = f"{minutes:.0f} min since batching, over the {agreed.discharge_min:g} agreed."
        out.append(Reason("age", Answer.REJECT, minutes, agreed.discharge_min, words))
    elif ticket.ended is None and minutes >= agreed.discharge_min - WATCH_FROM_MIN:
        words = f"{agreed.discharge_min - minutes:.0f} min left to discharge."
        out.append(Reason("age", Answer.LOOK, minutes, agreed.discharge_min, words))
    return out


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


def _tests(ticket: Ticket, agreed: Agreed) -> list[Reason]:
    out = []
    pairs = (
        ("slump", "Slump", "in", ticket.slump_in, agreed.slump_in, SLUMP_TOLERANCE_IN),
        ("air", "Air", "%", ticket.air_percent, agreed.air_percent, AIR_TOLERANCE),
    )
    for rule, name, unit, found, wanted, give in pairs:
        if found is not None and wanted is not None and abs(found - wanted) > give + _DUST:
            words = f"{name} {found:g} {unit}, ordered {wanted:g} give or take {give:g}: test again, then send it back."
            out.append(Reason(rule, Answer.REJECT, found, wanted, words))
    if ticket.water_gal > agreed.water_allowed_gal + _DUST:
        who = f" by {ticket.water_by}" if ticket.water_by else ""
        words = f"{ticket.water_gal:g} gal of water added{who}, {agreed.water_allowed_gal:g} allowed by the ticket."
        out.append(Reason("water", Answer.REJECT, ticket.water_gal, agreed.water_allowed_gal, words))
    return out


# -- how far up the wall ------------------------------------------------------------------------------
def volume_below(knots: Knots, level_in: float) -> float:
    """Concrete [yd3] below a level [in]; nothing below the first knot, no more than the last. ValueError: no knots."""
    _check(knots)
    if level_in <= knots[0][0]:
        return knots[0][1]
    for (a, v0), (b, v1) in pairwise(knots):
        if level_in <= b:
            return v0 + (v1 - v0) * (level_in - a) / (b - a)
    return knots[-1][1]


def level_reached(knots: Knots, yd3: float) -> float:
    """Level [in] that a volume [yd3] fills to, if it lies level; the top at most.

    Where the curve stands still (nothing to fill between two levels) the lower level is given.
    """
    _check(knots)
    if yd3 <= knots[0][1]:
        return knots[0][0]
    for (a, v0), (b, v1) in pairwise(knots):
        if yd3 <= v1:
            return a + (b - a) * (yd3 - v0) / (v1 - v0)
    return knots[-1][0]


def _check(knots: Knots) -> None:
    if len(knots) < 2:
        raise ValueError("A fill curve needs two knots or more.")
    if any(b[0] <= a[0] or b[1] < a[1] for a, b in pairwise(knots)):
        raise ValueError("The knots of a fill curve must rise.")


def rise_ft_h(level_then_in: float, level_now_in: float, minutes: float) -> float:
    """Rate of rise [ft/h] between two levels [in]; 0 where no time went by."""
    return (level_now_in - level_then_in) / 12 / (minutes / 60) if minutes > 0 else 0.0


def wait_minutes(level_then_in: float, level_now_in: float, minutes: float, limit_ft_h: float) -> float:
    """Minutes to stop so that the rise since then is back within the limit; 0 where it is."""
    if limit_ft_h <= 0:
        raise ValueError("The limit of the rise must be more than nothing.")
    return max((level_now_in - level_then_in) / 12 / limit_ft_h * 60 - minutes, 0.0)


def remaining_yd3(knots: Knots, level_in: float) -> float:
    """Concrete [yd3] still to place above a level [in], as drawn."""
    return knots[-1][1] - volume_below(knots, level_in)


def yield_ratio(knots: Knots, level_in: float, placed_yd3: float) -> float | None:
    """Placed over theory for the level reached: 1.03 is 3% more than drawn; None before anything is placed."""
    theory = volume_below(knots, level_in) - knots[0][1]
    return placed_yd3 / theory if theory > _DUST and placed_yd3 > 0 else None


def balance_order_yd3(
    to_fill_yd3: float, on_site_yd3: float, *, hopper_yd3: float = 0.25, margin: float = ORDER_MARGIN,
    step_yd3: float = 0.25, minimum_yd3: float = 2.0,
) -> float:  # fmt: skip
    """The last load to call [yd3], with the usual margin, hopper, order step and least load: the rule that orders too
    (:func:`takeoff.readymix.balance_order`)."""
    return balance_order(to_fill_yd3, on_site_yd3, margin, hopper_yd3, step_yd3, minimum_yd3)


def minutes_to_cold_joint(minutes_since_placed: float, cold_joint_min: float) -> float:
    """Minutes until the concrete last placed at a spot no longer takes the next; under 0 it is one already."""
    return cold_joint_min - minutes_since_placed


# -- where the pour stands ----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Reading:
    """A level read on the wall: minutes since the first concrete, level [in]."""

    minute: float
    level_in: float


@dataclass(frozen=True, slots=True)
class PourState:
    """Everything the lead asks in the middle of a pour."""

    placed_yd3: float
    level_in: float
    rise_ft_h: float
    wait_min: float
    remaining_yd3: float
    yield_ratio: float | None
    balance_yd3: float
    cold_joint_min: float
    warnings: tuple[str, ...]
    source: Source = COMMON_PRACTICE
    clock: Source = ASTM_C94


Load = tuple[float, float, float]  # minute its discharge began, minute it was empty, yd3


def placed_yd3(loads: Sequence[Load], minute: float) -> float:
    """Concrete [yd3] placed until a minute; a truck is taken to empty evenly between its two times."""
    total = 0.0
    for start, end, yd3 in loads:
        if minute >= end:
            total += yd3
        elif minute > start:
            total += yd3 * (minute - start) / (end - start)
    return total


def pour_state(
    knots: Knots, loads: Sequence[Load], now_min: float, *, limit_ft_h: float | None,
    coming_yd3: float = 0.0, cold_joint_limit_min: float = 60.0, readings: Sequence[Reading] = (),
    over_min: float = 60.0,
) -> PourState:  # fmt: skip
    """Where a pour stands ``now_min`` minutes after its first concrete.

    ``loads`` are trucks accepted, one being emptied with the end expected; ``coming_yd3`` is what is still on site or
    on the way. The level is the last one read with what was placed since on top, else what the volume fills. The rise
    is that of the last ``over_min`` minutes. ``limit_ft_h`` None: pressure sets no limit.
    """
    placed = placed_yd3(loads, now_min)
    level = _level_at(knots, loads, readings, now_min)
    since = max(now_min - over_min, 0.0)
    before = _level_at(knots, loads, readings, since)
    rise = rise_ft_h(before, level, now_min - since)
    wait = 0.0 if limit_ft_h is None else wait_minutes(before, level, now_min - since, limit_ft_h)
    left = remaining_yd3(knots, level)
    ratio = yield_ratio(knots, level, placed) if readings else None
    balance = balance_order_yd3(left * max(ratio or 1.0, 1.0), coming_yd3)
    last = max((min(end, now_min) for start, end, _ in loads if start <= now_min), default=0.0)
    joint = minutes_to_cold_joint(now_min - last, cold_joint_limit_min)
    warnings = _warnings(rise, wait, limit_ft_h, balance, joint, ratio, left)
    return PourState(placed, level, rise, wait, left, ratio, balance, joint, warnings)


def _level_at(knots: Knots, loads: Sequence[Load], readings: Sequence[Reading], minute: float) -> float:
    """Level at a minute: the last reading until then with what was placed since on top, else by volume alone."""
    known = [r for r in readings if r.minute <= minute + _DUST]
    if not known:
        return level_reached(knots, knots[0][1] + placed_yd3(loads, minute))
    last = max(known, key=lambda r: r.minute)
    since = placed_yd3(loads, minute) - placed_yd3(loads, last.minute)
    return level_reached(knots, volume_below(knots, last.level_in) + since)


def _warnings(
    rise: float, wait: float, limit: float | None, balance: float, joint: float, ratio: float | None, left: float
) -> tuple[str, ...]:
    out = []
    if limit is not None and rise > limit + _DUST:
        out.append(f"Too fast: {rise:.1f} ft/h, at most {limit:.1f}. Stop for {ceil(wait)} min; stand off the wall.")
    if left > _DUST and joint <= 0:
        out.append(f"Cold joint: nothing placed for {-joint:.0f} min too long. Call the engineer before going on.")
    elif left > _DUST and joint <= 15:
        out.append(f"{joint:.0f} min to a cold joint.")
    if balance > 0:
        out.append(f"Call {balance:g} yd3 more.")
    if ratio is not None and ratio > 1.1:
        out.append(f"{ratio - 1:.0%} more placed than drawn: look for a bulge, a blow-out or a wide trench.")
    if ratio is not None and ratio < 0.97:
        out.append(f"{1 - ratio:.0%} less placed than drawn: look for voids under openings.")
    return tuple(out)
