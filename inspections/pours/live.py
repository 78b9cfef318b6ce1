"""Where a pour stands at a moment: level, rise, yards left, what to call, minutes to a cold joint. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspections.pours.models import LevelReading, TruckLoad
from inspections.pours.theory import Theory
from takeoff.pour.filling import LegState, Load, Reading, placed_yd3
from takeoff.pour.lifts import COLD_JOINT_MIN
from takeoff.pour.progress import Measured, PourState, pour_state
from takeoff.pour.truck_log import minutes_between
from takeoff.pours import call_yd3
from takeoff.site import ConcreteSpec

#: Pace of placing [yd3/h] where none is planned; common practice, as the engine takes it for a pump.
USUAL_YD3_H = 30.0
_DUST = 1e-6


@dataclass(frozen=True, slots=True)
class Live:
    """Plain numbers. ``state`` is what levels, rise and legs are read from; None for a footing, which has none of them.
    ``joint_at`` is None while a truck is being emptied, when nothing is left to place, and where every leg has its own
    clock."""

    begun: datetime
    placed_yd3: float
    left_yd3: float
    coming_yd3: float
    call_yd3: float
    state: PourState | None
    lift: int | None
    joint_at: datetime | None
    joint_min: float | None

    @property
    def level_in(self) -> float | None:
        """Level [in] if the concrete lay level, by what was read and placed."""
        return self.state.level_in if self.state else None

    @property
    def rise_ft_h(self) -> float | None:
        """Rise [ft/h] in the last hour, by what was placed."""
        return self.state.rise_ft_h if self.state else None

    @property
    def warnings(self) -> tuple[str, ...]:
        """What hurts first."""
        return self.state.warnings if self.state else ()

    @property
    def legs(self) -> tuple[LegState, ...]:
        """Each leg as it stands; none where no level was ever read."""
        return self.state.legs if self.state and self.measured else ()

    @property
    def is_read(self) -> bool:
        """Whether the level is by a round of readings."""
        return self.measured is not None and not self.measured.unread

    @property
    def measured(self) -> Measured | None:
        """What was read against what was placed."""
        return self.state.measured if self.state else None

    def next_by(self, leg: LegState) -> datetime | None:
        """Until when a leg that was read takes more concrete; None where it is full or was never read."""
        if leg.joint_min is None or leg.risen_min is None:
            return None
        return self.at(leg.risen_min + COLD_JOINT_MIN)

    def at(self, minute: float) -> datetime:
        """The moment so many minutes after the first concrete."""
        return self.begun + timedelta(minutes=minute)


def accepted(loads: Sequence[TruckLoad]) -> list[TruckLoad]:
    """Trucks that were taken."""
    return [load for load in loads if load.decision == TruckLoad.Decision.ACCEPTED]


def begun_at(loads: Sequence[TruckLoad]) -> datetime | None:
    """When the first concrete was placed."""
    return min((load.started for load in accepted(loads) if load.started is not None), default=None)


def last_concrete(loads: Sequence[TruckLoad], now: datetime) -> datetime | None:
    """When concrete was last placed: now, while a truck is being emptied."""
    placed = [min(load.ended or now, now) for load in accepted(loads) if load.started is not None]
    return max(placed, default=None)


def running(loads: Sequence[TruckLoad]) -> list[TruckLoad]:
    """Trucks being emptied."""
    return [load for load in accepted(loads) if load.started is not None and load.ended is None]


def coming_yd3(loads: Sequence[TruckLoad]) -> float:
    """Concrete on site or on the way that is not being placed yet: written down and not sent back."""
    wanted = (TruckLoad.Decision.OPEN, TruckLoad.Decision.ACCEPTED)
    return sum(load.yd3 for load in loads if load.decision in wanted and load.started is None)


def live(
    theory: Theory, loads: Sequence[TruckLoad], now: datetime, spec: ConcreteSpec, levels: Sequence[LevelReading] = ()
) -> Live | None:
    """The pour at ``now``; None before its first concrete. A truck being emptied is taken to empty at the planned pace;
    a leg stands where it was read, and concrete lies level where nothing was."""
    begun = begun_at(loads)
    if begun is None:
        return None
    minute = minutes_between(begun, now)
    rows = [_minutes(load, begun, minute, theory.yd3_h or USUAL_YD3_H) for load in accepted(loads) if load.started]
    placed = placed_yd3(rows, minute)
    coming = coming_yd3(loads) + sum(yd3 for _, _, yd3 in rows) - placed
    state = None
    left = to_fill = max(theory.yd3 - placed, 0.0)
    if theory.curves:
        state = pour_state(
            theory.curves, rows, minute, limit_ft_h=theory.limit_ft_h, lift_in=theory.lift_in,
            readings=readings_of(theory, levels, begun),
        )  # fmt: skip
        left, to_fill = state.remaining_yd3, 0.0 if state.is_full else state.to_fill_yd3
    standing = state.standing_yd3 if state else placed
    lift = next((each.number for each in theory.lifts if standing < each.up_to_yd3 - _DUST), None)
    own_clocks = state is not None and state.joint_min is None
    joint_at = None if running(loads) or left <= _DUST or own_clocks else _joint_at(loads, now)
    joint_min = minutes_between(now, joint_at) if joint_at else None
    return Live(begun, placed, left, coming, call_yd3(to_fill, coming, spec), state, lift, joint_at, joint_min)


def readings_of(theory: Theory, levels: Sequence[LevelReading], begun: datetime) -> list[Reading]:
    """Levels as they were read: the top of the leg's forms less what was read down from it."""
    out = []
    for row in levels:
        curve = theory.curve_of(row.legs[0]) if row.legs else None
        if curve is not None:
            out.append(Reading(curve.leg, minutes_between(begun, row.taken), curve.top_in - row.down_in))
    return out


def _joint_at(loads: Sequence[TruckLoad], now: datetime) -> datetime | None:
    last = last_concrete(loads, now)
    return last + timedelta(minutes=COLD_JOINT_MIN) if last else None


def _minutes(load: TruckLoad, begun: datetime, minute: float, yd3_h: float) -> Load:
    """When it began and was empty [min after the first concrete]; one being emptied ends as fast as planned."""
    assert load.started is not None
    start = minutes_between(begun, load.started)
    if load.ended is not None:
        return start, max(minutes_between(begun, load.ended), start + _DUST), load.yd3
    return start, max(start + load.yd3 / yd3_h * 60, minute, start + _DUST), load.yd3
