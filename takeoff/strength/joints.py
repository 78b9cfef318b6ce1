"""What crosses the joints of a wall: bars at the cold joint between two pours, dowels that hold the foot."""

from __future__ import annotations

from typing import Final

from takeoff.laps import bar_size
from takeoff.plan import Plan
from takeoff.problems import Problem, Severity
from takeoff.results import WallState
from takeoff.site import BaseJoint
from takeoff.sources import Source
from takeoff.strength.capacity import EARTH_FACTOR, PHI_SHEAR, area_per_foot_in2
from takeoff.strength.checks import barred, effects_of
from takeoff.strength.situations import STATE_WORDS, Situation
from takeoff.units import Length, format_length

JOINTS: Final = Source("IRC", "2021", "R404.1.3.3.7.8 construction joint reinforcement")
FRICTION: Final = Source("ACI 318-19", "", "22.9 shear friction", seen=False)

#: A bar of #4 or more crosses a construction joint at this spacing or closer.
ACROSS_JOINT: Final = Length.inches(24)
LEAST_ACROSS: Final = 4

#: Friction of concrete placed on hardened concrete not roughened on purpose, and the most steel counts [psi].
SMOOTH: Final = 0.6
MOST_YIELD_PSI: Final = 60_000.0


def dowel_shear_lb(size: int, spacing: Length, grade_ksi: int) -> float:
    """phi mu Avf fy of dowels across a smooth joint [lb per ft of wall]: 0.75 x 0.6 x area x yield, 60,000 psi at
    most. ACI 318-19 22.9.4.2, from memory."""
    area = area_per_foot_in2(bar_size(size).area, spacing.inch)
    return PHI_SHEAR * SMOOTH * area * min(grade_ksi * 1000.0, MOST_YIELD_PSI)


def joint_problems(plan: Plan, found: tuple[Situation, ...]) -> list[Problem]:
    """Cold joints with too few bars across, and feet that dowels alone do not hold."""
    return [*_cold_joints(plan, found), *_feet(plan, found)]


def _cold_joints(plan: Plan, found: tuple[Situation, ...]) -> list[Problem]:
    bars = plan.spec.bars
    if bars.vertical_spacing <= ACROSS_JOINT and bars.vertical_size >= LEAST_ACROSS:
        return []
    legs = dict.fromkeys(s.leg.name for s in found if s.state is WallState.BEFORE_SLAB and not s.on_footing)
    if not legs:
        return []
    sentence = (
        f"{', '.join(legs)}: the bars across the cold joint on the frost wall are #{bars.vertical_size} @ "
        f"{bars.vertical_spacing.inch:g} in; one #{LEAST_ACROSS} or more is wanted at least every {_in(ACROSS_JOINT)}, "
        f'12" into both sides ({JOINTS}).'
    )
    return [Problem(Severity.WARNING, sentence, "spec.bars.vertical_spacing", next(iter(legs)))]


def _feet(plan: Plan, found: tuple[Situation, ...]) -> list[Problem]:
    """Feet on a footing without a key, where the dowels carry less across than the earth puts on them."""
    short: dict[str, tuple[str, float]] = {}
    for s in found:
        if push := overcomes_dowels_lb(plan, s):
            short[s.leg.name] = max((STATE_WORDS[s.state], push), short.get(s.leg.name, ("", 0.0)), key=lambda x: x[1])
    if not short:
        return []
    state, most = max(short.values(), key=lambda x: x[1])
    sentence = f"{', '.join(short)}, {state}: {dowel_words(plan, most)}; it wants a key, more dowels or the engineer."
    return [Problem(Severity.WARNING, sentence, "spec.footing.base_joint", next(iter(short)))]


def overcomes_dowels_lb(plan: Plan, s: Situation) -> float:
    """What earth puts on a foot [lb per ft, factored] that dowels alone hold, where it is more than they do; else 0."""
    bars = plan.spec.bars
    if plan.spec.footing.base_joint is not BaseJoint.DOWELS or not s.on_footing or barred(plan, s):
        return 0.0
    push = EARTH_FACTOR * effects_of(plan, s).foot
    return push if push > dowel_shear_lb(bars.dowel_size, bars.vertical_spacing, bars.grade_ksi) else 0.0


def dowel_words(plan: Plan, push: float) -> str:
    """'dowels #4 @ 48 in hold 1,350 lb per ft across the foot, the earth puts up to 1,500 there'."""
    bars = plan.spec.bars
    holds = dowel_shear_lb(bars.dowel_size, bars.vertical_spacing, bars.grade_ksi)
    return (
        f"dowels #{bars.dowel_size} @ {bars.vertical_spacing.inch:g} in hold {holds:,.0f} lb per ft across the foot, "
        f"the earth puts up to {push:,.0f} there ({FRICTION})"
    )


def _in(length: Length) -> str:
    return format_length(length, "in")
