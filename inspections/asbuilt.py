"""The footing as poured: shot levels beside the plan's, and the course plan they make.

A course plan is only as good as what it stands on. The levels shot after the pour are taken leg by leg, at the leg's
start, from the latest presentation that was not rejected; the course lines stay where the plan has them, so that a
high leg shows a ripped first course and a low leg what must be filled under it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from inspections.models import EvidenceItem
from inspections.process import EvidenceKind
from inspections.standing import Ledger, Standing
from takeoff.plan import Leg, OddCourse, Plan, Section, Stage
from takeoff.planfile import read_plan
from takeoff.results import Criterion
from takeoff.units import ZERO, Length, format_length

POINT = "footing_top"
SPREAD = "footing.top_spread"
#: Concrete stays where it was poured when the plan changes; only what was rejected is not taken.
_COUNTS = (Standing.PRESENTED, Standing.OUTDATED, Standing.RELEASED, Standing.VOID)
#: Smaller than a rod is read.
READ_TO = Length.inches("1/16")


@dataclass(frozen=True, slots=True)
class Shot:
    """The level of the footing top as shot on one leg; ``is_released`` says whether somebody stands behind it."""

    level: Length
    is_released: bool


@dataclass(frozen=True, slots=True)
class LegAsBuilt:
    """One leg: planned, shot, how far off (positive is high), and what to do about it in words."""

    leg: str
    section: str
    planned: Length
    shot: Length
    sentence: str

    @property
    def off(self) -> Length:
        """How far above (positive) or below its level it was poured."""
        return self.shot - self.planned

    @property
    def is_level(self) -> bool:
        """Whether it was poured to its level, as near as a level is read."""
        return abs(self.off) < READ_TO


@dataclass(frozen=True, slots=True)
class Spread:
    """Highest less lowest of a section, each leg against its own level, beside what is allowed (None: no number)."""

    section: str
    spread: Length
    allowed_in: float | None

    @property
    def is_within(self) -> bool:
        """Whether the top is level enough to stack on."""
        return self.allowed_in is None or self.spread.inch <= self.allowed_in + 1e-6


def shots(ledger: Ledger) -> dict[str, Shot]:
    """Leg -> its footing top as shot, of the revision in force's legs. One query."""
    by_presentation: dict[int, dict[str, bool]] = {}
    for stage in ledger.stages:
        point = stage.process.point(POINT)
        for leg in ledger.legs_of(stage) if point else ():
            assert point is not None
            found = ledger.standing(stage, point, leg.name)
            if found.standing in _COUNTS and found.presented:
                by_presentation.setdefault(found.presented.pk, {})[leg.name] = found.standing is Standing.RELEASED
    items = EvidenceItem.objects.filter(presentation__in=by_presentation, kind=EvidenceKind.LEVELS).order_by("pk")
    return {
        leg: Shot(Length.from_inches(number), by_presentation[presentation][leg])
        for presentation, leg, number in items.values_list("presentation", "leg", "number")
        if leg in by_presentation[presentation] and number is not None
    }


def planned_tops(document: object) -> dict[str, Length]:
    """Leg -> level of its footing top at its start, from a stored plan; empty where it cannot be read."""
    plan = read_plan(document).plan
    return {leg.name: leg.footing_top for leg in plan.legs()} if plan else {}


def compare(plan: Plan, levels: Mapping[str, Length]) -> list[LegAsBuilt]:
    """Every leg that was shot, in walking order, beside its planned level."""
    return [
        LegAsBuilt(leg.name, leg.section, leg.footing_top, levels[leg.name], _sentence(leg, levels[leg.name]))
        for leg in plan.legs()
        if leg.name in levels
    ]


def spreads(rows: Sequence[LegAsBuilt], criteria: Sequence[Criterion]) -> list[Spread]:
    """Highest less lowest, section by section, against the plan's number for it."""
    out = []
    for section in dict.fromkeys(row.section for row in rows):
        own = [row for row in rows if row.section == section]
        names = {row.leg for row in own}
        numbers = [
            c.value
            for c in criteria
            if c.key == SPREAD and c.stage is Stage.FOOTING and (not c.legs or names & set(c.legs))
        ]
        high, low = max(row.off for row in own), min(row.off for row in own)
        out.append(Spread(section, high - low, min(numbers) if numbers else None))
    return out


def as_built_plan(plan: Plan, levels: Mapping[str, Length]) -> Plan:
    """The plan with footing tops as shot (steps of a leg move with it) and every course line where it was."""
    walks = tuple(replace(walk, legs=tuple(_as_shot(leg, levels) for leg in walk.legs)) for walk in plan.walks)
    sections = tuple(_pinned(plan, section) for section in plan.sections)
    return replace(plan, walks=walks, sections=sections)


def _as_shot(leg: Leg, levels: Mapping[str, Length]) -> Leg:
    if leg.name not in levels:
        return leg
    off = levels[leg.name] - leg.footing_top
    steps = tuple(
        replace(step, footing_top=step.footing_top + off) if step.footing_top is not None else step
        for step in leg.steps
    )
    return replace(leg, footing_top=levels[leg.name], steps=steps)


def _pinned(plan: Plan, section: Section) -> Section:
    """The section with its datum named, so that a footing poured low does not take the course lines with it."""
    legs = plan.legs_in(section.key)
    if section.datum is not None or not legs or section.odd_course is OddCourse.BOTTOM:
        return section
    tops = [leg.footing_top for leg in legs]
    tops += [s.footing_top for leg in legs for s in leg.steps if s.footing_top is not None]
    return replace(section, datum=min(tops))


def _sentence(leg: Leg, shot: Length) -> str:
    off = shot - leg.footing_top
    if abs(off) < READ_TO:
        return f"Leg {leg.name} poured to its level."
    amount = format_length(abs(off), "in")
    if off > ZERO:
        return f"Leg {leg.name} poured {amount} high: rip {amount} off the foot of the first course."
    return (
        f"Leg {leg.name} poured {amount} low: shim or grout {amount} under the first course. Where dowels were set "
        f"from the concrete, their laps are {amount} shorter: measure them."
    )
