"""The trucks of a pour as its page shows them: how each stands, what the numbers say, what to do when one goes back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from inspections.legs import leg_words
from inspections.pours.forms import step_of
from inspections.pours.live import Live, accepted, running
from inspections.pours.models import TruckLoad
from inspections.pours.queries import Records, way_of
from inspections.pours.theory import agreed_of
from takeoff.plan import Plan
from takeoff.pour.truck_log import HURRY_FROM_MIN, WATCH_FROM_MIN, Ticket, TruckAnswer, judge, minutes_between

_DUST = 1e-6


@dataclass(frozen=True, slots=True)
class TruckRow:
    """One truck as it stands, and what the numbers say of it."""

    load: TruckLoad
    step: str
    answer: TruckAnswer | None
    limit_at: datetime
    is_running: bool

    @property
    def state(self) -> str:
        """In a word."""
        if self.load.decision == TruckLoad.Decision.REJECTED:
            return "Sent back"
        if self.load.decision == TruckLoad.Decision.OPEN:
            return "On site, not decided"
        return "Empty" if self.load.ended else "Being placed" if self.load.started else "Accepted, waiting"

    @property
    def words(self) -> str:
        """What the numbers say, where it is not settled."""
        return self.answer.words if self.answer else ""

    @property
    def alarms(self) -> str:
        """Minutes before its limit at which it is told, and pressed."""
        return f"{WATCH_FROM_MIN:g} {HURRY_FROM_MIN:g}"


@dataclass(frozen=True, slots=True)
class SentBack:
    """A truck went back while the wall is part full: what to call in its place, when the first leg takes no more, and
    the legs whose level was not read since."""

    load: TruckLoad
    call_yd3: float
    asked: str  # what the next one must be
    joint_at: datetime | None  # None while concrete is being placed and no leg was read
    joint_min: float
    unread: tuple[str, ...]
    is_placing: bool

    @property
    def unread_words(self) -> str:
        """'leg A', 'legs A to C'."""
        return leg_words(self.unread)

    @property
    def is_over(self) -> bool:
        """Whether a leg takes no more already."""
        return self.joint_at is not None and self.joint_min <= 0


def rows(plan: Plan, own: Records, now: datetime) -> list[TruckRow]:
    """Newest first: the one being worked with is on top."""
    placing = {load.pk for load in running(own.loads)}
    out = []
    for load in reversed(own.loads):
        agreed = agreed_of(plan.spec.concrete, own.mix, load.mix)
        open_ = load.decision != TruckLoad.Decision.REJECTED
        answer = judge(ticket_of(load, agreed.mix), agreed, now) if open_ else None
        within = answer.minutes + answer.minutes_left if answer else agreed.discharge_min
        limit = load.batched + timedelta(minutes=within)
        out.append(TruckRow(load, step_of(load), answer, limit, load.pk in placing))
    return out


def ticket_of(load: TruckLoad, mix: str) -> Ticket:
    """A mix that was not noted is not held against the truck."""
    late, old_slump = _water_story(load)
    return Ticket(
        load.ticket,
        load.mix or mix,
        load.yd3,
        load.batched,
        load.arrived,
        load.started,
        load.ended,
        load.concrete_f,
        load.air_f,
        load.slump_in,
        load.air_percent,
        load.water_gal,
        load.water_by,
        load.water_allowed_gal,
        late,
        old_slump,
        load.revolutions,
    )


def _water_story(load: TruckLoad) -> tuple[bool, bool]:
    """Whether water was first written down after placing began, and whether the slump is still that of before it. A
    truck written down with its water at once says neither."""
    if not load.water_gal:
        return False, False
    way = way_of(load)
    first = next(k for k, each in enumerate(way) if each.water_gal)
    if first == 0:
        return False, load.slump_in is None
    before = way[first - 1]
    return before.started is not None, load.slump_in is None or load.slump_in == before.slump_in


def sent_back(plan: Plan, own: Records, live: Live | None, done: bool, now: datetime) -> SentBack | None:
    """The last truck that went back while the wall was part full, until the next one is being placed."""
    gone = [load for load in own.loads if load.decision == TruckLoad.Decision.REJECTED]
    if live is None or done or live.left_yd3 <= _DUST or not gone or _is_full(live):
        return None
    last = max(gone, key=told_at)
    if any(load.started is not None and load.started > told_at(last) for load in accepted(own.loads)):
        return None
    joint_at = min((at for at in (live.joint_at, *map(live.next_by, live.legs)) if at is not None), default=None)
    agreed = agreed_of(plan.spec.concrete, own.mix, last.mix)
    asked = f"{agreed.least_f:g} to {agreed.most_f:g} °F, empty within {agreed.discharge_min:g} min of batching"
    read = {row.legs[0] for row in own.levels if row.legs and row.taken >= told_at(last)}
    unread = tuple(leg.leg for leg in live.state.legs if not leg.full and leg.leg not in read) if live.state else ()
    minutes = minutes_between(now, joint_at) if joint_at else 0.0
    return SentBack(last, live.call_yd3, asked, joint_at, minutes, unread, bool(running(own.loads)))


def _is_full(live: Live) -> bool:
    """Whether every leg was read within an inch of its top: none of them waits."""
    return live.is_read and all(leg.full for leg in live.legs)


def told_at(load: TruckLoad) -> datetime:
    """The minute it was written down, by the clock of the phone where there is one: times are typed to the minute."""
    return (load.device_at or load.at).replace(second=0, microsecond=0)
