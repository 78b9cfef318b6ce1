"""Where a pour stands in the middle of it, and what hurts first: too fast, sunk, more placed than stands, a cold joint.

The sums are those of :mod:`takeoff.pour.filling`, on the same plain numbers. A sentence here never names a clock time:
whoever shows it knows the clock.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from takeoff.pour.filling import (
    ROUND_MIN,
    TRUE_IN,
    LegCurve,
    LegState,
    Load,
    Reading,
    last_placed,
    leg_state,
    level_reached,
    levels_at,
    minutes_to_cold_joint,
    placed_yd3,
    remaining_yd3,
    rise_ft_h,
    standing_yd3,
    wait_minutes,
    whole_curve,
    yield_ratio,
)
from takeoff.pour.lifts import ASTM_C94, COLD_JOINT_MIN
from takeoff.sources import COMMON_PRACTICE, Source
from takeoff.units import Length, format_length

#: The most of what was placed over what stands that is counted on for the rest of the wall: what is ordered over the
#: drawing at most (NRMCA CIP 8: 4 to 10%). More than that went somewhere, and is not ordered again unseen.
MOST_COUNTED = 1.10
#: Placed over what stands, from which it is not the usual give of forms, hose and tape; common practice, no source.
MORE, LESS = 1.05, 0.97
#: A cold joint is told so long before [min].
JOINT_NEAR_MIN = 15.0
_DUST = 1e-9


@dataclass(frozen=True, slots=True)
class Measured:
    """What was read on the wall against what was placed, at one moment. ``lower_in`` is how much lower the wall stands
    than what was placed would fill it; ``unread`` are legs without a reading in that round."""

    minute: float
    placed_yd3: float
    standing_yd3: float
    lower_in: float
    unread: tuple[str, ...]

    @property
    def more_yd3(self) -> float:
        """Placed and not standing in the wall [yd3], as the two are told: to a tenth."""
        return round(self.placed_yd3, 1) - round(self.standing_yd3, 1)

    @property
    def ratio(self) -> float | None:
        """Placed over what stands; None before anything does."""
        return yield_ratio(self.standing_yd3, self.placed_yd3)

    @property
    def reliable(self) -> float | None:
        """The same where every leg was read, so that what is not on one leg cannot lie on another; else None."""
        return None if self.unread else self.ratio

    @property
    def is_more(self) -> bool:
        """More placed than stands, beyond what a tape, forms and hose make."""
        return self.reliable is not None and self.reliable > MORE and self.lower_in > TRUE_IN

    @property
    def is_less(self) -> bool:
        """Less placed than stands, beyond the same."""
        return self.reliable is not None and self.reliable < LESS and self.lower_in < -TRUE_IN

    @property
    def words(self) -> str:
        """'10 yd3 placed, 9.4 stand in the wall: 0.6 yd3 more, and 2 in lower than it would fill.'"""
        said = f"{self.placed_yd3:.1f} yd3 placed, {self.standing_yd3:.1f} yd3 stand in the wall"
        off = f"{abs(self.more_yd3):.1f}"
        if off == "0.0":
            return f"{said}: as the levels say."
        more, lower = ("more", "lower") if self.more_yd3 > 0 else ("less", "higher")
        said = f"{said}: {off} yd3 {more} placed than stands"
        if abs(self.lower_in) < 0.5:  # less than is told: a full wall stands no lower, whatever came
            return f"{said}."
        return f"{said}, {to_the_inch(abs(self.lower_in))} {lower} than it would fill."


@dataclass(frozen=True, slots=True)
class PourState:
    """Everything the lead asks in the middle of a pour. ``level_in`` is where the concrete would stand if it lay level,
    by the last round of readings and what was placed since; ``filled_in`` by what was placed alone. ``joint_min``
    counts from the last concrete anywhere; None where every leg that is not full was read and has its own."""

    placed_yd3: float
    standing_yd3: float
    level_in: float
    filled_in: float
    rise_ft_h: float
    wait_min: float
    remaining_yd3: float
    joint_min: float | None
    legs: tuple[LegState, ...]
    spread_in: float
    measured: Measured | None
    warnings: tuple[str, ...]
    source: Source = COMMON_PRACTICE
    clock: Source = ASTM_C94

    @property
    def yield_ratio(self) -> float | None:
        """Placed over drawn as measured on every leg; None until they all were read in one round."""
        return self.measured.reliable if self.measured else None

    @property
    def counted_ratio(self) -> float:
        """What the rest of the wall is taken to need over the drawing, by the yield measured so far: never less than
        drawn, and no more than is usual."""
        return min(max(self.yield_ratio or 1.0, 1.0), MOST_COUNTED)

    @property
    def is_full(self) -> bool:
        """Whether every leg was read and stands at its top to half an inch: no truck is called for what is left."""
        read = self.measured is not None and not self.measured.unread
        return read and all(leg.open_in <= TRUE_IN / 2 for leg in self.legs)

    @property
    def to_fill_yd3(self) -> float:
        """What is still to place [yd3] by the yield measured so far."""
        return self.remaining_yd3 * self.counted_ratio


def pour_state(
    legs: Sequence[LegCurve], loads: Sequence[Load], now_min: float, *, limit_ft_h: float | None,
    readings: Sequence[Reading] = (), lift_in: float | None = None, cold_joint_limit_min: float = COLD_JOINT_MIN,
    over_min: float = 60.0,
) -> PourState:  # fmt: skip
    """Where a pour stands ``now_min`` minutes after its first concrete.

    ``loads`` are trucks accepted, one being emptied with the end expected. The rise over all is that of the last
    ``over_min`` minutes by what was placed; each leg that was read has its own besides. ``limit_ft_h`` None: pressure
    sets no limit. ``lift_in`` is how far legs may stand apart, None where no lift is planned.
    """
    known = [r for r in readings if r.minute <= now_min + _DUST]
    whole, found = whole_curve(legs), measured(legs, loads, known)
    placed, standing = placed_yd3(loads, now_min), standing_by_rounds(found, loads, now_min)
    level, filled = level_reached(whole, standing), level_reached(whole, placed)
    since = max(now_min - over_min, 0.0)
    before = level_reached(whole, max(standing - (placed - placed_yd3(loads, since)), 0.0))
    rise = rise_ft_h(before, level, now_min - since)
    wait = 0.0 if limit_ft_h is None else wait_minutes(before, level, now_min - since, limit_ft_h)
    levels = levels_at(legs, loads, known, now_min)
    rows = tuple(
        leg_state(leg, at, known, loads, now_min, limit_ft_h, cold_joint_limit_min)
        for leg, at in zip(legs, levels, strict=True)
    )
    left = remaining_yd3(whole, level)
    last = last_placed(loads, now_min) or 0.0
    open_ = any(row.joint_min is None and not row.full for row in rows)
    joint = minutes_to_cold_joint(now_min - last, cold_joint_limit_min) if open_ and left > _DUST else None
    state = PourState(
        placed,
        min(standing, whole[-1][1]),
        level,
        filled,
        rise,
        wait,
        left,
        joint,
        rows,
        spread_in(legs, rows),
        found,
        (),
    )
    return _with_warnings(state, limit_ft_h, lift_in)


def measured(legs: Sequence[LegCurve], loads: Sequence[Load], readings: Sequence[Reading]) -> Measured | None:
    """What the readings say of what was placed: at the last moment a round of all legs was complete, else at the
    newest of them; None before anything was read."""
    own = [r for r in readings if r.leg in {leg.leg for leg in legs}]
    rounds = [_measured_at(legs, loads, own, minute) for minute in sorted({r.minute for r in own}, reverse=True)]
    return next((each for each in rounds if not each.unread), rounds[0] if rounds else None)


def _measured_at(
    legs: Sequence[LegCurve], loads: Sequence[Load], readings: Sequence[Reading], minute: float
) -> Measured:
    """The readings until a moment. A leg counts as read where it was in the same round, or was full."""
    known = sorted((r for r in readings if r.minute <= minute + _DUST), key=lambda r: r.minute)
    placed, standing = placed_yd3(loads, minute), standing_yd3(legs, levels_at(legs, loads, known, minute))
    last = {r.leg: r for r in known}
    full = {leg.leg for leg in legs if leg.leg in last and last[leg.leg].level_in >= leg.top_in - TRUE_IN}
    fresh = {leg for leg, r in last.items() if r.minute >= minute - ROUND_MIN - _DUST}
    unread = tuple(leg.leg for leg in legs if leg.leg not in fresh | full)
    whole = whole_curve(legs)
    return Measured(minute, placed, standing, level_reached(whole, placed) - level_reached(whole, standing), unread)


def standing_by_rounds(found: Measured | None, loads: Sequence[Load], minute: float) -> float:
    """Concrete [yd3] in the wall: what was read on all legs in one round with what was placed since; before that, what
    was placed, because what is not on one leg may lie on another."""
    placed = placed_yd3(loads, minute)
    return placed if found is None or found.unread else found.standing_yd3 + placed - found.placed_yd3


def spread_in(legs: Sequence[LegCurve], rows: Sequence[LegState]) -> float:
    """How far apart [in] the highest leg and the lowest that is not full stand, of those that were read; a leg that is
    not begun is at its foot and never the highest."""
    read = [(leg, row) for leg, row in zip(legs, rows, strict=True) if row.read_min is not None]
    high = [row.level_in for leg, row in read if row.level_in > leg.foot_in]
    low = [max(row.level_in, leg.foot_in) for leg, row in read if not row.full]
    return max(max(high) - min(low), 0.0) if high and low else 0.0


# -- what hurts ---------------------------------------------------------------------------------------
def _with_warnings(state: PourState, limit: float | None, lift: float | None) -> PourState:
    return replace(state, warnings=(*_too_fast(state, limit), *_off(state), *_joints(state), *_apart(state, lift)))


def _too_fast(state: PourState, limit: float | None) -> Iterator[str]:
    if limit is None:
        return
    for row in state.legs:
        if row.wait_min > 0 and row.rise_ft_h is not None and row.rose_in is not None:
            yield (
                f"Leg {row.leg} rose {to_the_inch(row.rose_in)} at {row.rise_ft_h:.1f} ft/h; at most {limit:.1f}. "
                f"Place nothing more there for {ceil(row.wait_min)} min; stand off the wall."
            )
    if state.rise_ft_h > limit + _DUST:
        yield (
            f"Too fast: {state.rise_ft_h:.1f} ft/h, at most {limit:.1f}. Stop for {ceil(state.wait_min)} min; "
            "stand off the wall."
        )


def _off(state: PourState) -> Iterator[str]:
    for row in state.legs:
        if row.fell_in:
            yield (
                f"Leg {row.leg} stands {to_the_inch(row.fell_in)} lower than it was read before: stop there and look "
                "for a bulge, a leak or a blow-out from a safe distance, or read it again."
            )
    found = state.measured
    if found is not None and found.is_more:
        yield f"{found.more_yd3:.1f} yd3 more placed than stands in the wall: look for a bulge, a leak, a blow-out."
    if found is not None and found.is_less:
        yield (
            f"{-found.more_yd3:.1f} yd3 less placed than stands in the wall: look for voids under openings, and check "
            "the tickets."
        )


def _joints(state: PourState) -> Iterator[str]:
    if state.remaining_yd3 <= _DUST:
        return
    clocks = [(row.leg, row.joint_min) for row in state.legs if row.joint_min is not None]
    over, near = [c for c in clocks if c[1] <= 0], [c for c in clocks if 0 < c[1] <= JOINT_NEAR_MIN]
    if over:
        yield (
            f"Cold joint on {_legs(over)}: nothing rose there for {-min(left for _, left in over):.0f} min too long. "
            "Call the engineer before going on."
        )
    if near:
        yield f"{min(left for _, left in near):.0f} min to a cold joint on {_legs(near)}."
    if state.joint_min is not None and state.joint_min <= 0:
        yield (
            f"Cold joint: nothing placed for {-state.joint_min:.0f} min too long. Call the engineer before going on."
        )
    elif state.joint_min is not None and state.joint_min <= JOINT_NEAR_MIN:
        yield f"{state.joint_min:.0f} min to a cold joint."


def _apart(state: PourState, lift: float | None) -> Iterator[str]:
    if lift is not None and state.spread_in > lift + TRUE_IN:
        yield (
            f"The legs stand {to_the_inch(state.spread_in)} apart, more than one lift of {to_the_inch(lift)}: bring "
            "the lowest up before the highest goes on."
        )


def _legs(clocks: Sequence[tuple[str, float]]) -> str:
    """'leg A', 'legs A, B and C'."""
    *first, last = (leg for leg, _ in clocks)
    return f"legs {', '.join(first)} and {last}" if first else f"leg {last}"


def to_the_inch(value: float) -> str:
    """To the inch, because concrete does not lie truer: '6 in', '2'-6"'."""
    return f"{value:.0f} in" if value < 11.5 else format_length(Length.from_inches(value), "ft-in", 1)
