"""How far up the wall a pour stands, how fast it rises, what is left: leg by leg, by what was placed and what was read.

All on plain numbers - minutes after the first concrete, feet, inches, cubic yards - with no state and no clock, so that
a small script on a phone can do the same sum from the same knots and the two can be compared line by line. A fill curve
is a list of knots (level [in], concrete below that level [yd3]), both rising, straight in between. Levels are those of
the plan.

Concrete never lies level. Until something is read all legs are taken at the level that what was placed would fill;
from a reading on, that leg stands where it was read, and what is placed afterwards raises all legs that are not full by
the same height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from takeoff.pour.lifts import COLD_JOINT_MIN
from takeoff.readymix import balance_order

Knots = Sequence[tuple[float, float]]
#: Minute its discharge began, minute it was empty, yd3.
Load = tuple[float, float, float]

ORDER_MARGIN = 0.05
#: Truer than this fresh concrete neither lies nor is read with a tape [in]; common practice, no source.
TRUE_IN = 1.0
#: Legs read within so long of each other are one round, and may be summed [min]; common practice, no source.
ROUND_MIN = 20.0
_DUST = 1e-9


# -- the fill curve -----------------------------------------------------------------------------------
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


def yield_ratio(standing_yd3: float, placed_yd3: float) -> float | None:
    """Placed over what stands in the wall: 1.03 is 3% more than drawn; None before anything is placed."""
    return placed_yd3 / standing_yd3 if standing_yd3 > _DUST and placed_yd3 > 0 else None


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


def placed_yd3(loads: Sequence[Load], minute: float) -> float:
    """Concrete [yd3] placed until a minute; a truck is taken to empty evenly between its two times."""
    total = 0.0
    for start, end, yd3 in loads:
        if minute >= end:
            total += yd3
        elif minute > start:
            total += yd3 * (minute - start) / (end - start)
    return total


def last_placed(loads: Sequence[Load], minute: float) -> float | None:
    """The minute, until this one, at which concrete was last placed anywhere; None before any was."""
    return max((min(end, minute) for start, end, _ in loads if start <= minute), default=None)


# -- legs ---------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class LegCurve:
    """One leg of a pour: its fill curve, and the levels [in] of its lowest foot and its highest top of forms. A keyway
    lies under the foot."""

    leg: str
    knots: Knots
    foot_in: float
    top_in: float


@dataclass(frozen=True, slots=True)
class Reading:
    """A level read on one leg: minutes since the first concrete, level [in]."""

    leg: str
    minute: float
    level_in: float


def whole_curve(legs: Sequence[LegCurve]) -> Knots:
    """The fill curve of all legs together, if concrete lay level over them."""
    levels = sorted({level for leg in legs for level, _ in leg.knots})
    return _rising([(level, standing_yd3(legs, [level] * len(legs))) for level in levels])


def standing_yd3(legs: Sequence[LegCurve], levels: Sequence[float]) -> float:
    """Concrete [yd3] in the forms, each leg filled to its own level [in]."""
    return sum(volume_below(leg.knots, level) - leg.knots[0][1] for leg, level in zip(legs, levels, strict=True))


def raised(legs: Sequence[LegCurve], levels: Sequence[float], yd3: float) -> tuple[float, ...]:
    """Levels [in] after so much more [yd3] was placed: all legs that are not full rise by the same height."""
    steps = {k - level for leg, level in zip(legs, levels, strict=True) for k, _ in leg.knots if k - level > _DUST}
    if yd3 <= _DUST or not steps:
        return tuple(levels)
    ups = sorted(steps | {0.0})
    knots = _rising([(up, standing_yd3(legs, [level + up for level in levels])) for up in ups])
    up = level_reached(knots, knots[0][1] + yd3)
    return tuple(min(level + up, leg.knots[-1][0]) for leg, level in zip(legs, levels, strict=True))


def levels_at(
    legs: Sequence[LegCurve], loads: Sequence[Load], readings: Sequence[Reading], minute: float
) -> tuple[float, ...]:
    """Level [in] of each leg at a minute: where it was read, with what was placed since spread over all."""
    lowest = min(leg.knots[0][0] for leg in legs)
    levels: tuple[float, ...] = (lowest,) * len(legs)
    names, placed = [leg.leg for leg in legs], 0.0
    for reading in sorted(readings, key=lambda r: r.minute):
        if reading.minute > minute + _DUST or reading.leg not in names:
            continue
        until = placed_yd3(loads, reading.minute)
        risen = list(raised(legs, levels, until - placed))
        risen[names.index(reading.leg)] = reading.level_in
        levels, placed = tuple(risen), until
    return raised(legs, levels, placed_yd3(loads, minute) - placed)


def _rising(knots: Knots) -> Knots:
    """The same knots where sums of floats fell back by dust."""
    highest = accumulate((yd3 for _, yd3 in knots), max)
    return [(level, yd3) for (level, _), yd3 in zip(knots, highest, strict=True)]


# -- one leg, as it was read --------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class LegState:
    """One leg now. What was never read is None; ``rise_ft_h`` is between its last two readings, ``fell_in`` how much
    lower the last one was. ``risen_min`` is the minute at which concrete last rose there as far as was read."""

    leg: str
    top_in: float
    level_in: float
    open_in: float
    full: bool
    read_min: float | None
    read_in: float | None
    rose_in: float | None
    rise_ft_h: float | None
    wait_min: float
    risen_min: float | None
    joint_min: float | None

    @property
    def fell_in(self) -> float:
        """How much lower the last reading was than the one before [in], where it was more than a tape is out."""
        return -self.rose_in if self.rose_in is not None and self.rose_in < -TRUE_IN else 0.0


def leg_state(
    curve: LegCurve, level_in: float, readings: Sequence[Reading], loads: Sequence[Load], now_min: float,
    limit_ft_h: float | None, cold_joint_limit_min: float = COLD_JOINT_MIN,
) -> LegState:  # fmt: skip
    """A leg at its level, with what its own readings say of rise and age.

    Its rise is judged by itself, because concrete never lies level and the rise at a place is what loads the forms
    there: between its last two readings, and over the limit only where it rose more than a tape is out. To wait is
    until the rise since the reading before the last is back within the limit.
    """
    own = sorted((r for r in readings if r.leg == curve.leg and r.minute <= now_min + _DUST), key=lambda r: r.minute)
    full = level_in >= curve.top_in - TRUE_IN
    open_in = max(curve.top_in - max(level_in, curve.foot_in), 0.0)
    if not own:
        return LegState(curve.leg, curve.top_in, level_in, open_in, full, None, None, None, None, 0.0, None, None)
    last = own[-1]
    before = next((r for r in reversed(own) if r.minute < last.minute - _DUST), None)
    rose = rise = None
    wait = 0.0
    if before is not None:
        rose = last.level_in - before.level_in
        rise = rise_ft_h(before.level_in, last.level_in, last.minute - before.minute)
        if limit_ft_h is not None and rise > limit_ft_h + _DUST and rose > TRUE_IN:
            wait = wait_minutes(before.level_in, last.level_in, now_min - before.minute, limit_ft_h)
    risen = risen_minute(own, curve.foot_in, loads)
    joint = None if risen is None or full else minutes_to_cold_joint(now_min - risen, cold_joint_limit_min)
    return LegState(
        curve.leg, curve.top_in, level_in, open_in, full, last.minute, last.level_in, rose, rise, wait, risen, joint
    )


def risen_minute(own: Sequence[Reading], foot_in: float, loads: Sequence[Load]) -> float | None:
    """The minute at which concrete last rose on a leg, by its readings in their order: the last of them that is higher
    than the one it last rose to by more than a tape is out, and no later than concrete was placed at all. None where
    it was only seen empty."""
    risen, base = None, foot_in
    for reading in own:
        if reading.level_in > base + TRUE_IN:
            risen, base = reading.minute, reading.level_in
        base = min(base, max(reading.level_in, foot_in))
    placed = None if risen is None else last_placed(loads, risen)
    return risen if placed is None else placed
