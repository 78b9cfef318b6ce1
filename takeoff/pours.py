"""How a wall fills: concrete up to any level, lift by lift, and what to call when the end is in sight.

All of it is summed from the bodies of :mod:`takeoff.solids`, so the curve of a whole pour ends at the volume that is
ordered. Levels are those of the plan. What pressure allows (how fast, how deep a lift) is not decided here.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from math import ceil
from typing import Final

from takeoff.geometry import Placement
from takeoff.plan import Plan, Stage
from takeoff.readymix import balance_order
from takeoff.site import ConcreteSpec
from takeoff.solids import Solid, solids
from takeoff.tally import CUBIC_INCHES_PER_YARD, SQUARE_INCHES_PER_FOOT, yards
from takeoff.units import Length

#: A body that tapers (a ledge's haunch) has a knot at least this often [in]; between knots it is taken as even.
TAPER_STEP_IN: Final = 1.0
#: Rows of a balance table come every so often, unless told otherwise.
BALANCE_EVERY: Final = Length.inches(3)
#: Heights closer than this are the same [in].
_DUST_IN: Final = 1e-6
#: Further down than anything reaches below a wall's foot [in].
_BELOW_IN: Final = 1e6


@dataclass(frozen=True, slots=True)
class FillCurve:
    """Concrete in the forms by level: ``knots`` of (level [in], yd3 up to there), straight between them, rising. The
    knots are plain numbers for whatever draws or counts with them; none where nothing is poured."""

    knots: tuple[tuple[float, float], ...]

    @property
    def total_yd3(self) -> float:
        """All of it [yd3]."""
        return self.knots[-1][1] if self.knots else 0.0

    def yards_at(self, level: Length) -> float:
        """Concrete [yd3] that is in the forms when all of them are filled to a level."""
        at, levels = level.inch, [knot[0] for knot in self.knots]
        k = bisect_right(levels, at)
        if k == 0:
            return 0.0
        if k == len(levels):
            return self.total_yd3
        (low, before), (high, after) = self.knots[k - 1], self.knots[k]
        return before + (after - before) * (at - low) / (high - low)

    def level_at(self, yd3: float) -> Length:
        """The level that much concrete [yd3] reaches, the lowest where it could be several; the top of the pour for
        more than it holds. Raises ValueError where nothing is poured."""
        if not self.knots:
            raise ValueError("there is no concrete in this pour")
        filled = [knot[1] for knot in self.knots]
        k = bisect_left(filled, yd3)
        if k == 0:
            return Length.from_inches(self.knots[0][0])
        if k == len(filled):
            return Length.from_inches(self.knots[-1][0])
        (low, before), (high, after) = self.knots[k - 1], self.knots[k]
        return Length.from_inches(low + (high - low) * (yd3 - before) / (after - before))

    def area_ft2(self, level: Length) -> float:
        """Concrete seen from above [ft2] just over a level: what turns yards an hour into feet an hour. Within the
        haunch of a ledge the mean of the inch it lies in."""
        k = bisect_right([knot[0] for knot in self.knots], level.inch + _DUST_IN)
        if not 0 < k < len(self.knots):
            return 0.0
        (low, before), (high, after) = self.knots[k - 1], self.knots[k]
        return (after - before) * CUBIC_INCHES_PER_YARD / (high - low) / SQUARE_INCHES_PER_FOOT


@dataclass(frozen=True, slots=True)
class LiftSpan:
    """From and to level of one lift, and the legs where it lies there."""

    legs: tuple[str, ...]
    bottom: Length
    top: Length


@dataclass(frozen=True, slots=True)
class PourLift:
    """One lift of a pour: its concrete and that of all up to it [yd3], and its levels (several where walls step)."""

    number: int
    yd3: float
    up_to_yd3: float
    spans: tuple[LiftSpan, ...]


@dataclass(frozen=True, slots=True)
class BalanceRow:
    """What to call while ``remaining`` of height is open everywhere: the concrete that fits, and the call with an
    empty truck on site [yd3]."""

    remaining: Length
    to_fill_yd3: float
    call_yd3: float


# -- one pour ---------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class WallPour:
    """The bodies that one pour is made of: a stage's wall on some legs."""

    bodies: tuple[Solid, ...]
    spec: ConcreteSpec

    @property
    def legs(self) -> tuple[str, ...]:
        """Legs that have concrete in the pour, in the order of its bodies."""
        return tuple(dict.fromkeys(body.leg for body in self.bodies))

    @property
    def foot_in(self) -> float:
        """Level of the lowest foot of its walls [in]; a keyway lies under it. Raises ValueError for no wall."""
        return min(body.zone.bottom for body in self.bodies)

    @property
    def top_in(self) -> float:
        """Level of the highest top of its forms [in]. Raises ValueError for no wall."""
        return max(body.zone.top for body in self.bodies)

    def of_leg(self, leg: str) -> WallPour:
        """What one leg has of the pour."""
        return WallPour(tuple(body for body in self.bodies if body.leg == leg), self.spec)

    @property
    def foot_to_top_in(self) -> float:
        """The tallest wall in the pour [in]."""
        return max((body.zone.height for body in self.bodies), default=0.0)

    def curve(self) -> FillCurve:
        """Concrete by level: exact at every level where anything begins, ends or steps, and straight between; a haunch
        is exact every inch."""
        levels = sorted({level for body in self.bodies for level in _levels_of(body)})
        knots, filled = [], 0.0
        for k, level in enumerate(levels):
            if k:
                filled += yards(sum(body.volume_between(levels[k - 1], level) for body in self.bodies))
            knots.append((level, filled))
        return FillCurve(tuple(knots))

    def lifts(self, height: Length | None = None) -> tuple[PourLift, ...]:
        """Lifts of a height (the specification's, if none is given), counted from each wall's own foot, so that a
        stepped footing is followed; the last one is what is left. A keyway belongs to the first."""
        deep = (self.spec.lift_height if height is None else height).inch
        count = ceil(self.foot_to_top_in / deep - _DUST_IN) if self.bodies else 0
        out, filled = [], 0.0
        for number in range(1, count + 1):
            low, high = (number - 1) * deep, number * deep
            parts = (_above_foot(body, low if number > 1 else -_BELOW_IN, high) for body in self.bodies)
            amount = yards(sum(parts))
            filled += amount
            out.append(PourLift(number, amount, filled, self._spans(low, high)))
        return tuple(out)

    def _spans(self, low: float, high: float) -> tuple[LiftSpan, ...]:
        """Where a lift lies: legs with the same levels together, in walking order."""
        found: dict[tuple[float, float], dict[str, None]] = {}
        for body in self.bodies:
            zone = body.zone
            bottom, top = zone.bottom + low, min(zone.bottom + high, zone.top)
            if top - bottom > _DUST_IN:
                found.setdefault((bottom, top), {})[body.leg] = None
        return tuple(
            LiftSpan(tuple(legs), Length.from_inches(bottom), Length.from_inches(top))
            for (bottom, top), legs in found.items()
        )

    def left_yd3(self, remaining: Length) -> float:
        """Concrete [yd3] that still goes in while this much height is open below the top of every wall."""
        return yards(sum(b.volume_between(b.zone.top - remaining.inch, max(b.top, b.zone.top)) for b in self.bodies))

    def balance(self, on_truck_yd3: float = 0.0, every: Length = BALANCE_EVERY) -> tuple[BalanceRow, ...]:
        """What to call at each remaining height, from ``every`` up to the whole wall."""
        rows = ceil(self.foot_to_top_in / every.inch - _DUST_IN) if self.bodies else 0
        return tuple(self._row(every * k, on_truck_yd3) for k in range(1, rows + 1))

    def _row(self, remaining: Length, on_truck_yd3: float) -> BalanceRow:
        left = self.left_yd3(remaining)
        return BalanceRow(remaining, left, call_yd3(left, on_truck_yd3, self.spec))


def wall_pour(plan: Plan, placement: Placement, stage: Stage, legs: Collection[str]) -> WallPour:
    """The wall of a stage on the chosen legs; legs that have no such wall bring nothing."""
    wanted = frozenset(legs)
    bodies = (b for b in solids(plan, placement) if b.zone.stage is stage and b.leg in wanted)
    return WallPour(tuple(bodies), plan.spec.concrete)


def fill_curve(plan: Plan, placement: Placement, stage: Stage, legs: Collection[str]) -> FillCurve:
    """Concrete by level of a stage's wall on the chosen legs."""
    return wall_pour(plan, placement, stage, legs).curve()


def call_yd3(to_fill_yd3: float, on_truck_yd3: float, spec: ConcreteSpec) -> float:
    """What to call from the deck [yd3], with the specification's margin, hopper, order step and least load."""
    return balance_order(
        to_fill_yd3, on_truck_yd3, spec.waste_wall, spec.pump_hopper_yd3, spec.order_step_yd3, spec.minimum_load_yd3
    )


def remaining_yd3(open_length_in: float, height_in: float, core_in: float, more_in3: float = 0.0) -> float:
    """Concrete [yd3] that a length of wall still takes: length x average height x core, and what a ledge adds."""
    return yards(open_length_in * height_in * core_in + more_in3)


def _levels_of(body: Solid) -> Iterable[float]:
    if not body.tapers:
        return (body.bottom, body.top)
    steps = max(ceil((body.top - body.bottom) / TAPER_STEP_IN - _DUST_IN), 1)
    return [body.bottom + (body.top - body.bottom) * k / steps for k in range(steps + 1)]


def _above_foot(body: Solid, low: float, high: float) -> float:
    """Concrete [in3] between two heights above the foot of the body's wall; the top of the wall takes what is over."""
    foot = body.zone.bottom
    top = max(body.top, foot + high) if foot + high >= body.zone.top - _DUST_IN else foot + high
    return body.volume_between(foot + low, top)
