"""What the page of a pour says of its legs while the wall fills: where each stands by what was read, and what was read
against what was placed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from inspections.legs import leg_words
from inspections.pours.live import Live
from inspections.pours.models import LevelReading
from inspections.pours.theory import Theory
from takeoff.pour.filling import LegState
from takeoff.pour.progress import to_the_inch
from takeoff.units import Length, format_length


@dataclass(frozen=True, slots=True)
class LegRow:
    """One leg now. ``read`` is how far down it was read, ``open`` how far it is about now, in feet and inches."""

    leg: str
    read: str
    open: str
    full: bool
    read_at: datetime | None
    rise: str
    wait: bool
    next_by: datetime | None
    joint_min: float


@dataclass(frozen=True, slots=True)
class LevelRow:
    """One level as it was read, with the level it is."""

    reading: LevelReading
    down: str
    level: str


@dataclass(frozen=True, slots=True)
class MeasuredRow:
    """What was read against what was placed, and what that means for what is called."""

    at: datetime
    words: str
    unread: str
    by: str


def legs(state: Live | None) -> list[LegRow]:
    """Every leg, once a level was read on any of them."""
    if state is None:
        return []
    return [
        LegRow(
            leg.leg,
            "" if leg.read_in is None else inches(max(leg.top_in - leg.read_in, 0.0)),
            inches(leg.open_in),
            leg.full,
            None if leg.read_min is None else state.at(leg.read_min),
            rise_words(leg),
            leg.wait_min > 0,
            state.next_by(leg),
            leg.joint_min or 0.0,
        )
        for leg in state.legs
    ]


def rise_words(leg: LegState) -> str:
    """'rose 2'-0" between its last two readings, 4.0 ft/h'."""
    if leg.rise_ft_h is None or leg.rose_in is None:
        return ""
    if round(leg.rose_in) == 0:
        return "has not risen between its last two readings"
    if leg.rose_in < 0:
        return f"{to_the_inch(-leg.rose_in)} lower than it was read before"
    return f"rose {to_the_inch(leg.rose_in)} between its last two readings, {leg.rise_ft_h:.1f} ft/h"


def measured(state: Live | None) -> MeasuredRow | None:
    """The newest readings summed, None before there are any."""
    found = state.measured if state else None
    if state is None or found is None:
        return None
    ratio, counted = found.reliable, state.state.counted_ratio if state.state else 1.0
    by = ""
    if ratio is not None and counted > 1:
        by = f"What is called counts on {counted - 1:.0%} more than drawn, as it was so far."
    if ratio is not None and ratio > counted > 1:
        by = f"What is called counts on {counted - 1:.0%} more than drawn: first find where the rest went."
    return MeasuredRow(state.at(found.minute), found.words, leg_words(found.unread), by)


def levels(theory: Theory, readings: Sequence[LevelReading]) -> list[LevelRow]:
    """Newest first."""
    out = []
    for row in reversed(readings):
        curve = theory.curve_of(row.legs[0]) if row.legs else None
        level = format_length(Length.from_inches(curve.top_in - row.down_in)) if curve else ""
        out.append(LevelRow(row, format_length(Length.from_inches(row.down_in)), level))
    return out


def next_leg(theory: Theory, state: Live | None, readings: Sequence[LevelReading]) -> str:
    """The leg to be read next: of those not full the one read longest ago, never read first."""
    full = {leg.leg for leg in state.legs if leg.full} if state else set()
    last = {row.legs[0]: row.taken.timestamp() for row in readings if row.legs}
    left = [curve.leg for curve in theory.curves if curve.leg not in full]
    return min(left, key=lambda leg: last.get(leg, 0.0), default="")


def inches(value: float) -> str:
    """To the inch: concrete does not lie truer."""
    return format_length(Length.from_inches(value), "ft-in", 1)
