"""Where a pour stands at a moment: level, rise, yards left, what to call, minutes to a cold joint. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspections.pours.models import TruckLoad
from inspections.pours.theory import Theory
from takeoff.pour.lifts import COLD_JOINT_MIN
from takeoff.pour.truck_log import Load, minutes_between, placed_yd3, pour_state
from takeoff.pours import call_yd3
from takeoff.site import ConcreteSpec

#: Pace of placing [yd3/h] where none is planned; common practice, as the engine takes it for a pump.
USUAL_YD3_H = 30.0
#: More than any order: what is called is worked out here, with the plan's own margin, and not told twice.
_ALL_OF_IT = 1e9
_DUST = 1e-6


@dataclass(frozen=True, slots=True)
class Live:
    """Plain numbers. ``level_in``, ``rise_ft_h`` and ``over_in_lift`` are None for a footing, which has no level."""

    begun: datetime
    placed_yd3: float
    left_yd3: float
    coming_yd3: float
    call_yd3: float
    level_in: float | None
    rise_ft_h: float | None
    lift: int | None
    joint_at: datetime | None  # None while a truck is being emptied, and when nothing is left to place
    joint_min: float | None
    warnings: tuple[str, ...]


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


def live(theory: Theory, loads: Sequence[TruckLoad], now: datetime, spec: ConcreteSpec) -> Live | None:
    """The pour at ``now``; None before its first concrete. A truck being emptied is taken to empty at the planned pace;
    concrete lies level."""
    begun = begun_at(loads)
    if begun is None:
        return None
    minute = minutes_between(begun, now)
    rows = [_minutes(load, begun, minute, theory.yd3_h or USUAL_YD3_H) for load in accepted(loads) if load.started]
    placed = placed_yd3(rows, minute)
    coming = coming_yd3(loads) + sum(yd3 for _, _, yd3 in rows) - placed
    left = max(theory.yd3 - placed, 0.0)
    joint_at = None if running(loads) or left <= _DUST else _joint_at(loads, now)
    level = rise = None
    warnings: tuple[str, ...] = ()
    if len(theory.knots) > 1:
        state = pour_state(theory.knots, rows, minute, limit_ft_h=theory.limit_ft_h, coming_yd3=_ALL_OF_IT)
        level, rise, warnings = state.level_in, state.rise_ft_h, state.warnings
    lift = next((each.number for each in theory.lifts if placed < each.up_to_yd3 - _DUST), None)
    return Live(
        begun,
        placed,
        left,
        coming,
        call_yd3(left, coming, spec),
        level,
        rise,
        lift,
        joint_at,
        minutes_between(now, joint_at) if joint_at else None,
        warnings,
    )


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
