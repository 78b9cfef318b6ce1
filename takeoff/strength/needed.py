"""How strong young concrete must be before a wall may carry earth with the bars it has.

The strip of the check is tried in weaker and weaker concrete. Weaker concrete presses a deeper stress block, carries
less shear, and bonds less: bars lapped for full-strength concrete bring out only part of their yield. The same lap is
taken to stand where the moment is greatest.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from takeoff.geometry import Placement
from takeoff.laps import bar_size, wall_lap
from takeoff.plan import Plan
from takeoff.results import Verdict, WallState
from takeoff.sources import Source
from takeoff.strength.capacity import MODEL
from takeoff.strength.checks import check, strip_of, table_wants
from takeoff.strength.development import Bond, lap_in
from takeoff.strength.joints import FRICTION, dowel_words, overcomes_dowels_lb
from takeoff.strength.prescriptive import (
    LEAST_STRENGTH_PSI,
    PLAIN_TWELVE_STRENGTH_PSI,
    THINNER_STRENGTH_PSI,
    Wanted,
)
from takeoff.strength.situations import STATE_WORDS, Situation, one_sided, situations
from takeoff.units import Length

#: The model is not used below this [psi]: concrete this young is only guarded against frost. Common practice.
LEAST_PSI: Final = 500.0

#: Above this the least steel grows with strength [psi]; the search ends there.
MOST_PSI: Final = 4400.0

#: Answers are rounded up to this [psi]; tests of concrete tell no finer.
STEP_PSI: Final = 50


@dataclass(frozen=True, slots=True)
class StrengthNeeded:
    """Least compressive strength [psi] for a leg in a state; None where no strength answers, with the reason."""

    psi: int | None
    basis: str
    source: Source
    reason: str = ""


def strength_needed(plan: Plan, placement: Placement, leg: str, state: WallState) -> StrengthNeeded:
    """The strength a leg needs in a state, of its stretches the one that needs most.

    Raises KeyError for a leg that has no such state.
    """
    found = [s for s in _every(plan, placement) if s.leg.name == leg and s.state is state]
    if not found:
        raise KeyError(f"{leg} is never {STATE_WORDS[state]}")
    return _most(situation_needs(plan, situation) for situation in found)


def needed_by_leg(plan: Plan, placement: Placement) -> dict[str, dict[WallState, StrengthNeeded]]:
    """What every leg needs in each state it is ever in, by name; legs that never carry earth are left out."""
    found: dict[tuple[str, WallState], list[StrengthNeeded]] = {}
    for situation in _every(plan, placement):
        key = situation.leg.name, situation.state
        found.setdefault(key, []).append(situation_needs(plan, situation))
    out: dict[str, dict[WallState, StrengthNeeded]] = {}
    for (leg, state), answers in found.items():
        out.setdefault(leg, {})[state] = _most(answers)
    return out


def _every(plan: Plan, placement: Placement) -> tuple[Situation, ...]:
    """The states a leg goes through, and a frost wall filled on one side first, which it may."""
    return (*situations(plan, placement), *one_sided(plan, placement))


def _most(answers: Iterable[StrengthNeeded]) -> StrengthNeeded:
    """The stretch that has no answer, else the one that needs most."""
    every = tuple(answers)
    without = [answer for answer in every if answer.psi is None]
    return without[0] if without else max(every, key=lambda answer: answer.psi or 0)


def situation_needs(plan: Plan, situation: Situation) -> StrengthNeeded:
    """The least f'c at which the check passes: by the strip where its bars carry the earth, else the strength the
    table that lets it stand is printed for; None where the check itself does not pass."""
    checked, specified = check(plan, situation), float(plan.spec.concrete.strength_psi)
    where = f"{situation.leg.name}, {STATE_WORDS[situation.state]}"
    if checked.verdict is not Verdict.ENOUGH:
        reason = checked.reason or checked.verdict.value
        return StrengthNeeded(None, "; ".join(checked.basis), checked.source, f"{where}: {reason}")
    if situation.state is WallState.FROST_ONE_SIDE and (push := overcomes_dowels_lb(plan, situation)):
        reason = dowel_words(plan, push)  # told nowhere else: the warnings of a plan are of the states it goes through
        return StrengthNeeded(None, "; ".join(checked.basis), FRICTION, f"{where}: {reason}")
    most = min(specified, MOST_PSI)
    if carries(plan, situation, most):
        psi = _least(plan, situation, most)
        return StrengthNeeded(psi, f"{where}: {_words(plan, situation, psi)}", MODEL)
    psi = table_strength(table_wants(plan, situation))
    basis = f"{where}: its bars alone do not carry the earth; {checked.table} lets it stand in concrete of {psi:,} psi"
    return StrengthNeeded(psi, basis, checked.source)


def table_strength(want: Wanted) -> int:
    """Concrete a table's answer is printed for [psi]: 2,500, or what its note l or m asks."""
    notes = " ".join(want.notes)
    if "note l" in notes:
        return THINNER_STRENGTH_PSI
    return PLAIN_TWELVE_STRENGTH_PSI if "note m" in notes else LEAST_STRENGTH_PSI


def carries(plan: Plan, situation: Situation, psi: float) -> bool:
    """Whether the strip holds in concrete of a strength, moment and shear, with what its laps bring out."""
    return strip_of(plan, situation, psi, bond_share(plan, situation.leg.core, psi)).ratio <= 1


def bond_share(plan: Plan, core: Length, psi: float) -> float:
    """Part of the yield that the upright bars' laps bring out in concrete of a strength: lap in the plan over the lap
    the equations of the concrete code ask there, 1 at most."""
    bars = plan.spec.bars
    size = bar_size(bars.vertical_size)
    asked = Bond(size.number, size.diameter, bars.grade_ksi * 1000.0, psi)
    return min(1.0, wall_lap(plan.spec, core, size.number).length.inch / lap_in(asked))


def _least(plan: Plan, situation: Situation, most: float) -> int:
    """By halving between 500 psi and a strength that holds; rounded up to 50 psi."""
    if carries(plan, situation, LEAST_PSI):
        return int(LEAST_PSI)
    low, high = LEAST_PSI, most
    while high - low > 1:
        middle = (low + high) / 2
        low, high = (low, middle) if carries(plan, situation, middle) else (middle, high)
    return min(math.ceil(high / STEP_PSI) * STEP_PSI, math.ceil(most))


def _words(plan: Plan, situation: Situation, psi: int) -> str:
    share = bond_share(plan, situation.leg.core, psi)
    strip = strip_of(plan, situation, float(psi), share)
    least = ", the least this model goes down to" if psi == LEAST_PSI else ""
    return f"{psi:,} psi{least}, laps bring out {share:.0%} of the yield: {strip.words}; ratio {strip.ratio:.2f}"
