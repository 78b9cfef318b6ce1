"""From a plan to the whole answer: every part of the engine called once, in order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from takeoff import (
    assembly,
    blocks,
    bracing,
    concrete,
    envelope,
    excavation,
    footing,
    ledge_orders,
    lintels,
    radius_orders,
    rebar,
    unbalanced,
)
from takeoff.cutting import CuttingMethod
from takeoff.geometry import place
from takeoff.plan import Plan
from takeoff.planchecks import check
from takeoff.problems import Problem, blockers
from takeoff.results import Part, Takeoff
from takeoff.strength import walls


def compute(plan: Plan, cutting: CuttingMethod = CuttingMethod.PROVEN) -> Takeoff:
    """The takeoff of a plan.

    A pure function. Where the plan cannot be built (a blocker among its checks or in its geometry) the answer holds
    no quantities, only the problems that say why; see :attr:`Takeoff.problems`. Checks of the plan itself are among
    them, so a caller need not ask for them again. ``cutting`` says how hard cutting plans are looked for.
    """
    problems = list(check(plan))
    if blockers(tuple(problems)):
        return _refused(plan, problems)
    placement = place(plan)
    problems += placement.problems
    if blockers(tuple(problems)):
        return _refused(plan, problems)
    layout = blocks.lay(plan, placement)
    others: tuple[Part, ...] = (
        footing.footings(plan, placement),
        concrete.walls(plan, placement),
        bracing.braces(plan, placement),
        envelope.envelope(plan, placement),
        excavation.earthwork(plan, placement),
        walls.steel(plan, placement),
        lintels.lintel_bars(plan, placement),
        assembly.part(plan),
        ledge_orders.ledge_part(plan, placement, layout),
        radius_orders.radius_part(plan, placement, layout),
    )
    more = tuple(bar for part in others for bar in part.bars)
    steel = rebar.schedule(plan, placement, layout, cutting, more)
    parts = (others[0], steel, *others[1:])
    return Takeoff(
        plan=plan,
        quantities=(*layout.quantities, *(q for part in parts for q in part.quantities)),
        units=layout.units,
        seams=layout.seams,
        bars=steel.bars,
        criteria=(*layout.criteria, *(c for part in parts for c in part.criteria)),
        unbalanced=unbalanced.heights(plan, placement),
        problems=_once((*problems, *layout.problems, *(p for part in parts for p in part.problems))),
        checks=tuple(c for part in parts for c in part.checks),
    )


def _refused(plan: Plan, problems: Sequence[Problem]) -> Takeoff:
    return Takeoff(plan, (), (), (), (), (), (), _once(problems))


def _once(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Each problem told once, in the order found."""
    return tuple(dict.fromkeys(problems))
