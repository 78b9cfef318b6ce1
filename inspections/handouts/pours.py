"""The pour of a wall on paper: lifts with their levels and yards, and what to call when the end is in sight."""

from __future__ import annotations

from dataclasses import dataclass

from inspections.handouts.subject import Subject
from inspections.legs import in_runs
from takeoff.plan import Stage
from takeoff.pour.from_plan import lifts_of, pour_of
from takeoff.pour.lifts import LiftPlan
from takeoff.pours import BalanceRow, LiftSpan, WallPour, wall_pour
from takeoff.problems import Problem
from takeoff.tally import number
from takeoff.units import Length, format_length

WALLS = (Stage.FROST_WALL, Stage.FULL_WALL)
#: A balance is called near the top: every 3 in up to here, every 6 in above.
CLOSE: Length = Length.feet(1)
STEP: Length = Length.inches(6)
#: Columns of the balance table on paper.
ACROSS = 3


@dataclass(frozen=True, slots=True)
class LiftRow:
    """One lift: its levels with the legs that have them, its concrete and that of all up to it, how long it takes."""

    number: int
    levels: tuple[str, ...]
    yd3: str
    up_to: str
    minutes: str


@dataclass(frozen=True, slots=True)
class CallRow:
    """What still goes in while this much is open everywhere, and the call with an empty truck on site."""

    remaining: str
    to_fill: str
    call: str


@dataclass(frozen=True, slots=True)
class Pour:
    """One pour of all legs of the sheet. ``calls`` are rows of several cells side by side, read down each column;
    ``words`` is the pace, '' where it cannot be said, and ``told`` why, or what else has to be known."""

    legs: str
    total: str
    lifts: tuple[LiftRow, ...]
    calls: tuple[tuple[CallRow | None, ...], ...]
    words: str
    told: tuple[str, ...]
    margin: str


def pour(subject: Subject) -> Pour | None:
    """The wall of the stage on the sheet's legs, poured in one go; None for a stage that pours no wall."""
    if subject.kind not in WALLS:
        return None
    plan = subject.takeoff.plan
    wall = wall_pour(plan, subject.placement, subject.kind, subject.legs)
    if not wall.bodies:
        return None
    asked = pour_of(plan, wall)
    paced = asked if isinstance(asked, Problem) else lifts_of(wall, asked)
    told = (paced,) if isinstance(paced, Problem) else paced.problems
    spec = plan.spec.concrete
    return Pour(
        legs=in_runs(leg for leg in subject.legs if any(body.leg == leg for body in wall.bodies)),
        total=f"{number(wall.curve().total_yd3)} yd3",
        lifts=_lifts(wall, None if isinstance(paced, Problem) else paced),
        calls=_calls(wall.balance()),
        words="" if isinstance(paced, Problem) else paced.words,
        told=tuple(problem.sentence for problem in told),
        margin=f"{spec.waste_wall:.0%} margin, {spec.pump_hopper_yd3:g} yd3 for the pump, steps of "
        f"{spec.order_step_yd3:g} yd3, not under {spec.minimum_load_yd3:g} yd3",
    )


def _lifts(wall: WallPour, paced: LiftPlan | None) -> tuple[LiftRow, ...]:
    """As deep as the pace allows; as the specification wishes where no pace can be said."""
    depth = None if paced is None else Length.from_inches((paced.lifts[0].to_ft - paced.lifts[0].from_ft) * 12)
    minutes = [] if paced is None else [f"{lift.minutes:.0f} min" for lift in paced.lifts]
    return tuple(
        LiftRow(
            lift.number,
            tuple(_level(span) for span in lift.spans),
            f"{lift.yd3:.2f}",
            f"{lift.up_to_yd3:.2f}",
            minutes[lift.number - 1] if lift.number <= len(minutes) else "",
        )
        for lift in wall.lifts(depth)
    )


def _level(span: LiftSpan) -> str:
    return f"{in_runs(span.legs)}: {format_length(span.bottom)} to {format_length(span.top)}"


def _calls(balance: tuple[BalanceRow, ...]) -> tuple[tuple[CallRow | None, ...], ...]:
    rows: list[CallRow | None] = [
        CallRow(format_length(row.remaining, "ft-in"), f"{row.to_fill_yd3:.2f}", f"{row.call_yd3:.2f}")
        for row in balance
        if row.remaining <= CLOSE or not row.remaining % STEP
    ]
    high = -(-len(rows) // ACROSS)
    rows += [None] * (high * ACROSS - len(rows))
    return tuple(tuple(rows[column * high + k] for column in range(ACROSS)) for k in range(high))
