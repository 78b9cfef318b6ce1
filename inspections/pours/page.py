"""What the page of a pour shows: what is to be poured, where it stands, its trucks, and how the wall does after it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils import timezone

from inspections import gates
from inspections.ahead import expected
from inspections.gates import Gate
from inspections.page_queries import pictures, words
from inspections.page_queries.mine import Mine
from inspections.pours import after, during, trucks, warmth
from inspections.pours.air import around
from inspections.pours.curve_text import curve_words
from inspections.pours.estimate import Estimate, estimate
from inspections.pours.kinds import KINDS, POURED
from inspections.pours.live import USUAL_YD3_H, Live, last_concrete, live, running
from inspections.pours.models import MixAgreed, TruckLoad
from inspections.pours.queries import Records, pours_of, records
from inspections.pours.theory import Needed, Theory, needed_of, of_pour
from inspections.pours.trucks import SentBack, TruckRow
from inspections.standing import StageRow
from inspections.strength import MARGIN, STATE_WORDS, known
from jobs.frozen import Frozen, frozen_from_json
from jobs.models import HouseStage, PlanRevision, Role
from takeoff.plan import Plan, Stage
from takeoff.pour.lifts import COLD_JOINT_MIN
from takeoff.pour.tolerances import ACI_117_FOOTINGS, ACI_117_WALLS
from takeoff.units import Length, format_length


@dataclass(frozen=True, slots=True)
class Place:
    """One pour of the stage, to choose it by."""

    leg: str
    on: str
    url: str
    current: bool


@dataclass(frozen=True, slots=True)
class LiftRow:
    """One lift: its yards, those up to its top, and its levels."""

    number: int
    yd3: str
    up_to: str
    levels: tuple[str, ...]
    now: bool


@dataclass(frozen=True, slots=True)
class PourPage:
    """The page."""

    each: Mine
    stage: HouseStage
    row: StageRow
    legs: tuple[str, ...]
    on: str
    places: list[Place]
    revision: PlanRevision
    theory: Theory
    plan: Plan
    records: Records
    mix: MixAgreed | None
    slump: str
    lifts: list[LiftRow]
    trucks: list[TruckRow]
    live: Live | None
    done: bool
    now: datetime
    needed: tuple[tuple[str, str, str], ...]  # legs, state, psi or why not
    after: after.After
    estimate: Estimate | None
    no_estimate: str
    warmth: warmth.Warmth | None  # None for a footing
    may: dict[str, Role]  # kind of record -> role in which the person may write it

    @property
    def is_wall(self) -> bool:
        """Whether a wall is poured."""
        return self.row.kind is not Stage.FOOTING

    @property
    def curve(self) -> str:
        """The supplier's curve as it was agreed, '' without one."""
        return curve_words(self.mix.curve or []) if self.mix else ""

    @property
    def url(self) -> str:
        """Address of the page for this pour."""
        return url(self.each.house.pk, self.stage.pk, self.legs[0])

    @property
    def level(self) -> str:
        """Level reached, to the inch: concrete does not lie truer."""
        if self.live is None or self.live.level_in is None:
            return ""
        return format_length(Length.from_inches(self.live.level_in), "ft-in", 1)

    @property
    def legs_now(self) -> list[during.LegRow]:
        """Each leg as it stands by what was read."""
        return during.legs(self.live)

    @property
    def levels(self) -> list[during.LevelRow]:
        """Levels as they were read, newest first."""
        return during.levels(self.theory, self.records.levels)

    @property
    def measured(self) -> during.MeasuredRow | None:
        """What was read against what was placed."""
        return during.measured(self.live)

    @property
    def next_leg(self) -> str:
        """The leg to be read next."""
        return during.next_leg(self.theory, self.live, self.records.levels)

    @property
    def sent_back(self) -> SentBack | None:
        """A truck that went back while the wall is part full."""
        return trucks.sent_back(self.plan, self.records, self.live, self.done, self.now)

    @property
    def tolerances(self) -> str:
        """Whose tolerances a reading is held against."""
        source = ACI_117_WALLS if self.is_wall else ACI_117_FOOTINGS
        return f"Allowed by {source}; the aim is the plan's or common practice."

    @property
    def gate(self) -> Gate:
        """Whether this pour may begin, and everything that holds it."""
        operation = self.row.process.operation(POURED[self.row.kind])
        assert operation is not None
        return gates.gate(self.each.ledger, self.row, operation, self.legs)

    @property
    def held(self) -> list[words.Why]:
        """What holds it, each with where it is mended."""
        return words.whys(self.each.house, self.each.ledger, self.gate.reasons)

    @property
    def relied_on(self) -> float:
        """What of the estimate is relied on [psi] once it is accepted."""
        return self.estimate.low_psi * MARGIN if self.estimate else 0.0

    @property
    def expected(self) -> tuple[tuple[str, str], ...]:
        """Each strength that is needed and neither shown nor relied on yet, and when it is expected with its margin."""
        if self.estimate is None:
            return ()
        shown = min(known(self.each.ledger, self.row.kind, leg).psi for leg in self.legs)
        needed = {n.answer.psi for n in needed_of(self.plan, self.row.kind, self.legs)}
        lacking = sorted(psi for psi in needed if psi is not None and psi > max(self.relied_on, shown))
        return tuple((f"{psi:,} psi", expected(self.estimate.ahead, psi / MARGIN)) for psi in lacking)

    @property
    def up(self) -> str:
        """How far up from the lowest foot, and how far under the top."""
        if self.live is None or self.live.level_in is None:
            return ""
        foot, top = self.foot_in, self.theory.knots[-1][0]
        up = format_length(Length.from_inches(max(self.live.level_in - foot, 0.0)), "ft-in", 1)
        open_ = format_length(Length.from_inches(max(top - self.live.level_in, 0.0)), "ft-in", 1)
        return f"{up} up from the foot, {open_} open to the top"

    @property
    def foot_in(self) -> float:
        """Level of the lowest foot of the walls [in]; a keyway lies under it."""
        lowest = [span.bottom.inch for lift in self.theory.lifts for span in lift.spans]
        return min(lowest, default=self.theory.knots[0][0] if self.theory.knots else 0.0)

    @property
    def data(self) -> dict[str, Any]:
        """Numbers of this pour for a script: the fill curve, the trucks, the limits. Inert."""
        loads = [row.load for row in self.trucks if row.load.decision != TruckLoad.Decision.REJECTED]
        spec = self.plan.spec.concrete
        return {
            "now": timezone.localtime(self.now).isoformat(),
            "knots": [list(knot) for knot in self.theory.knots],
            "legs": [
                {"leg": leg.leg, "knots": [list(k) for k in leg.knots], "foot_in": leg.foot_in, "top_in": leg.top_in}
                for leg in self.theory.curves
            ],
            "levels": [
                {"leg": row.legs[0], "down_in": row.down_in, "taken": row.taken.isoformat()}
                for row in self.records.levels
            ],
            "yd3": self.theory.yd3,
            "limit_ft_h": self.theory.limit_ft_h,
            "pace_yd3_h": self.theory.yd3_h or USUAL_YD3_H,
            "lift_in": self.theory.lift_in,
            "cold_joint_min": COLD_JOINT_MIN,
            "call": {
                "margin": spec.waste_wall,
                "hopper_yd3": spec.pump_hopper_yd3,
                "step_yd3": spec.order_step_yd3,
                "least_yd3": spec.minimum_load_yd3,
            },
            "loads": [{**_times(load), "decision": load.decision} for load in loads],
        }


def _times(load: TruckLoad) -> dict[str, Any]:
    stamps = {name: getattr(load, name) for name in ("batched", "arrived", "started", "ended")}
    return {"ticket": load.ticket, "yd3": load.yd3} | {n: at.isoformat() if at else None for n, at in stamps.items()}


def url(house: int, stage: int, leg: str = "") -> str:
    """Address of the page of a pour."""
    plain = reverse("inspections:pour", args=[house, stage])
    return f"{plain}?{urlencode({'leg': leg})}" if leg else plain


def read(each: Mine, stage: HouseStage, revision: PlanRevision, wanted: str, now: datetime) -> PourPage | None:
    """Everything the page shows; None where the revision in force pours nothing in this stage."""
    row = each.ledger.stage(stage.pk)
    kept = pictures.plans([each.house]).get(each.house.pk)
    assert row is not None
    found = records(stage.pk)
    pours = pours_of(each.ledger, row, found)
    if kept is None or not pours:
        return None
    legs = _chosen(each, row, pours, wanted)
    own, frozen = found.of(legs), frozen_from_json(revision.frozen)
    theory = of_pour(kept.plan, frozen, row.kind, legs, own.mix, own.loads)
    done = all(each.ledger.is_done(row, POURED[row.kind], leg) for leg in legs)
    state = live(theory, own.loads, now, kept.plan.spec.concrete, own.levels)
    return PourPage(
        each,
        stage,
        row,
        legs,
        words.where(legs),
        [Place(p[0], words.where(p), url(each.house.pk, stage.pk, p[0]), p == legs) for p in pours],
        revision,
        theory,
        kept.plan,
        own,
        own.mix,
        _slump(kept.plan, own.mix),
        list(_lifts(theory, state)),
        trucks.rows(kept.plan, own, now),
        state,
        done,
        now,
        _needed(kept, row.kind, legs),
        _after(each, row, own, theory, frozen, legs, done, now),
        *_strength(each, kept.plan, row, own, legs, now),
        {key: role for key, kind in KINDS.items() if (role := next((r for r in kind.writes if r in each.roles), None))},
    )


def _chosen(each: Mine, row: StageRow, pours: Sequence[tuple[str, ...]], wanted: str) -> tuple[str, ...]:
    """The pour that was asked for, else the first that is not done."""
    asked = next((legs for legs in pours if wanted in legs), None)
    left = (p for p in pours if not all(each.ledger.is_done(row, POURED[row.kind], leg) for leg in p))
    return asked or next(left, pours[0])


def _slump(plan: Plan, mix: MixAgreed | None) -> str:
    """Slump and who approved it, '' where nothing is said."""
    spec = plan.spec.concrete
    slump, by = (spec.slump_in, spec.slump_approved_by) if mix is None else (mix.slump_in, mix.approved_by)
    if slump is None:
        return ""
    return f"{slump:g} in, approved by {by}" if by else f"{slump:g} in, by the plan; nobody is named who approved it"


def _lifts(theory: Theory, state: Live | None) -> Iterator[LiftRow]:
    for lift in theory.lifts:
        spans = tuple(f"{words.where(s.legs)}: {format_length(s.bottom)} to {format_length(s.top)}" for s in lift.spans)
        current = state is not None and state.lift == lift.number
        yield LiftRow(lift.number, f"{lift.yd3:.1f}", f"{lift.up_to_yd3:.1f}", spans, current)


@lru_cache(maxsize=256)
def _needed(kept: pictures.Kept, stage: Stage, legs: tuple[str, ...]) -> tuple[tuple[str, str, str], ...]:
    """Strength needed before earth lies against the walls, the same answer of several legs once."""
    groups: dict[tuple[str, str], list[Needed]] = {}
    for needed in needed_of(kept.plan, stage, legs):
        groups.setdefault((STATE_WORDS[needed.state], after.strength_words(needed.answer)), []).append(needed)
    return tuple((words.where([n.leg for n in group]), state, said) for (state, said), group in groups.items())


def _strength(
    each: Mine, plan: Plan, row: StageRow, own: Records, legs: tuple[str, ...], now: datetime
) -> tuple[Estimate | None, str, warmth.Warmth | None]:
    """What the records say of the strength, or why nothing, and how warm the wall was kept."""
    if row.kind is Stage.FOOTING:
        return None, "", None
    now = now.astimezone(words.zone(each.house))
    weather = around(each.house, plan, legs, None if running(own.loads) else last_concrete(own.loads, now))
    found = estimate(own, plan.spec.concrete, now, weather)
    kept = warmth.read(own, plan.spec.concrete, weather, now)
    return (None, found, kept) if isinstance(found, str) else (found, "", kept)


def _after(
    each: Mine, row: StageRow, own: Records, theory: Theory, frozen: Frozen, legs: tuple[str, ...], done: bool,
    now: datetime,
) -> after.After:  # fmt: skip
    criteria = frozen.criteria_of(row.kind, ("wall.top",), legs)
    aim = criteria[0].tolerance if criteria else None
    return after.read(own, theory, row.kind, aim, last_concrete(own.loads, now), done, now)
