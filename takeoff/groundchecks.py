"""What the ground says about a plan: frost, slab and ground water."""

from __future__ import annotations

import math
from collections.abc import Iterator

from takeoff.places import Place, places
from takeoff.plan import Arc, Plan, Walk, WalkKind
from takeoff.problems import Problem, Severity


def frost(plan: Plan, place: Place) -> Iterator[Problem]:
    """Bottom of footing at least the frost depth below the ground outside (IRC R403.1.4.1); inner walls are let off."""
    if _is_inner(plan, place.walk):
        return
    for stretch in place.stretches():
        bottom = stretch.levels.footing_top - plan.spec.footing.thickness
        depth = stretch.levels.grade_outside - bottom
        if depth < plan.site.frost_depth:
            where = f" from {stretch.start} on" if stretch.start else ""
            sentence = (
                f"bottom of footing {bottom} is {depth} below the outside grade {stretch.levels.grade_outside}{where}; "
                f"frost goes {plan.site.frost_depth} deep."
            )
            yield place.problem(sentence, "footing_top", Severity.WARNING)


def _is_inner(plan: Plan, walk: Walk) -> bool:
    """Whether a spur stands inside the ring it hangs on."""
    if walk.kind is not WalkKind.SPUR or walk.starts_on is None:
        return False
    host = next((w for w in plan.walks if any(leg.name == walk.starts_on.leg for leg in w.legs)), None)
    if host is None or not walk.heading_deg:
        return host is not None
    counted = host.legs if host.kind is WalkKind.RING else host.legs[:-1]  # a spur's last turn leads nowhere
    turns = math.fsum(leg.turn_deg for leg in counted)
    bends = math.fsum(leg.path.sweep_deg for leg in host.legs if isinstance(leg.path, Arc))
    return (walk.heading_deg > 0) == (turns + bends > 0)


def slabs(plan: Plan, place: Place) -> Iterator[Problem]:
    """The slab inside lies between the footing and the top of the wall, on the ground inside."""
    section = next((s for s in plan.sections if s.key == place.leg.section), None)
    if section is None or section.slab_top is None:
        return
    top, bottom = section.slab_top, section.slab_top - section.slab_thickness
    for stretch in place.stretches():
        levels = stretch.levels
        said = ""
        if top > levels.top:
            said = f"slab top {top} is above the top of the wall {levels.top}"
        elif bottom < levels.footing_top < top:
            said = f"the slab, {bottom} to {top}, would cut into the footing, whose top is {levels.footing_top}"
        elif levels.grade_inside > top:
            said = f"inside grade {levels.grade_inside} is above the slab top {top}"
        if said:
            yield place.problem(f"{said}.", "section", Severity.WARNING)
            return


def ground_water(plan: Plan) -> Iterator[Problem]:
    water = plan.site.ground_water
    if water is None:
        return
    wet = [p.leg for p in places(plan) if any(s.levels.footing_top <= water for s in p.stretches())]
    if wet:
        lowest = min(leg.footing_top for leg in wet)
        names = ", ".join(leg.name for leg in wet)
        sentence = f"Ground water at {water} stands above the footing top ({lowest} at its lowest) of legs {names}."
        yield Problem(Severity.WARNING, sentence, "site.ground_water")
