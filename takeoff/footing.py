"""Footings as they are bought and poured: concrete of the continuous ones and of the pads in one order, form boards,
key strip, capillary break.

Where the lines run is :mod:`takeoff.footing_runs`; what the code says :mod:`takeoff.footing_code`; what an inspector
measures :mod:`takeoff.footing_criteria`.
"""

from __future__ import annotations

from takeoff import footing_code, pads
from takeoff.capillary import capillary, coating_gallons
from takeoff.footing_code import LEAST_PROJECTION_IN, LEAST_THICKNESS_IN, LEAST_WIDTH_IN
from takeoff.footing_criteria import concrete_criteria, footing_criteria
from takeoff.footing_runs import (
    FootingRun,
    Riser,
    key_text,
    key_volume_yd3,
    loop_volume_yd3,
    projection,
    riser_volume_yd3,
    risers,
    runs,
    treads,
    width,
)
from takeoff.geometry import Placement
from takeoff.overdig import over_the_hole
from takeoff.plan import Leg, Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Buy, Part, Unit
from takeoff.site import BaseJoint, FootingPlacement
from takeoff.sources import GEOMETRY
from takeoff.tally import Tally, feet_inches, inch_text
from takeoff.units import Length

__all__ = [
    "LEAST_PROJECTION_IN",
    "LEAST_THICKNESS_IN",
    "LEAST_WIDTH_IN",
    "FootingRun",
    "Riser",
    "coating_gallons",
    "footings",
    "key_text",
    "key_volume_yd3",
    "loop_volume_yd3",
    "projection",
    "riser_volume_yd3",
    "risers",
    "runs",
    "treads",
    "width",
]

#: Most a footing may step in one rise, and least distance between two rises: 600 mm (National Building Code of Canada,
#: 2023 Alberta edition, 9.15.3.9).
MOST_STEP_IN = 600 / 25.4
LEAST_TREAD_IN = 600 / 25.4
#: Waste of concrete placed against earth is at least this; common practice, 5 to 10 percent.
TRENCH_WASTE = 0.10


def footings(plan: Plan, placement: Placement) -> Part:
    """Footing concrete, key strip, form boards and capillary break, with what is measured and what looks wrong."""
    every = runs(plan, placement)
    concrete = _concrete(plan, every, risers(plan, placement))
    quantities = concrete.quantities() + _forms(plan, every).quantities() + _key_strip(plan, every).quantities()
    quantities += capillary(plan.spec.envelope, every)
    on_posts, code = pads.part(plan), footing_code.check(plan, placement)
    return Part(
        quantities + on_posts.quantities,
        (*footing_criteria(plan, placement, every, code), *concrete_criteria(plan, concrete)),
        (*_problems(plan, placement), *code.problems, *on_posts.problems),
        on_posts.bars,
    )


def _concrete(plan: Plan, every: tuple[FootingRun, ...], steps: tuple[Riser, ...]) -> Tally:
    spec, thick = plan.spec.footing, plan.spec.footing.thickness.inch
    trench = spec.placement is FootingPlacement.TRENCH
    waste = max(plan.spec.concrete.waste_footing, TRENCH_WASTE) if trench else plan.spec.concrete.waste_footing
    tally = Tally(
        "footing.concrete",
        "Footing concrete",
        Unit.YD3,
        "continuous footing under the walls, and pads" if plan.pads else "continuous footing under the walls",
        GEOMETRY,
        Buy("quarter yard", plan.spec.concrete.order_step_yd3, waste),
        note=" (lengths on the centre line, mitred at corners)",
    )
    for run in every:
        amount = loop_volume_yd3(run.length, run.width, thick) - key_volume_yd3(run.length, spec)
        text = f"{feet_inches(run.length)} x {inch_text(run.width)} x {inch_text(thick)}{key_text(spec, 'less')}"
        tally.add(run.band.section, Stage.FOOTING, run.band.name, amount, text)
    riser = spec.step_riser_thickness.inch
    for step in steps:
        text = f"step {inch_text(step.rise)} high x {inch_text(step.width)} x {inch_text(riser)}"
        amount = riser_volume_yd3(step.rise, step.width, riser)
        tally.add(step.leg.section, Stage.FOOTING, step.leg.name, amount, text)
    pads.add_concrete(tally, plan)
    return tally


def _forms(plan: Plan, every: tuple[FootingRun, ...]) -> Tally:
    tally = Tally(
        "footing.forms",
        "Footing form boards",
        Unit.FT,
        "both edges of the footing",
        GEOMETRY,
        Buy("board 16 ft", 16.0),
    )
    if plan.spec.footing.placement is FootingPlacement.FORMED:
        for run in every:
            on = run.to_walls * run.projection
            outer = max(run.band.out_length(run.projection) + on, 0.0)
            inner = max(run.band.in_length(run.projection) + on, 0.0)
            text = f"{feet_inches(outer)} outside + {feet_inches(inner)} inside"
            tally.add(run.band.section, Stage.FOOTING, run.band.name, (outer + inner) / 12, text)
    pads.add_forms(tally, plan)
    return tally


def _key_strip(plan: Plan, every: tuple[FootingRun, ...]) -> Tally:
    spec = plan.spec.footing
    tally = Tally(
        "footing.key_strip",
        f"Key strip {spec.key_width.inch:g} x {spec.key_depth.inch:g} in",
        Unit.FT,
        "forms the keyway in the footing top",
        GEOMETRY,
        Buy("strip 16 ft", 16.0),
    )
    if spec.base_joint is BaseJoint.KEY_AND_DOWELS:
        for run in every:
            section, leg = run.band.section, run.band.name
            tally.add(section, Stage.FOOTING, leg, run.length / 12, feet_inches(run.length))
    return tally


def _problems(plan: Plan, placement: Placement) -> tuple[Problem, ...]:
    out: list[Problem] = []
    seen: set[tuple[str, Length]] = set()
    for leg in plan.legs():
        if (leg.form, leg.core) not in seen:
            seen.add((leg.form, leg.core))
            out += _warn_if(leg, footing_code.shape_complaints(plan.spec.footing, plan.form(leg.form), leg.core))
    pockets = [leg.name for leg in plan.legs() if leg.beam_pockets]
    if pockets and not plan.pads:
        sentence = (
            f"Beams rest on {', '.join(pockets)}: footings for the posts under them are not in the plan; "
            "add their concrete and bars to the order."
        )
        out.append(Problem(Severity.NOTE, sentence, leg=pockets[0]))
    for step in risers(plan, placement):
        if step.rise > MOST_STEP_IN:
            sentence = (
                f"Leg {step.leg.name}: the footing steps {inch_text(step.rise)} at once, more than 600 mm (23.6 in); "
                "make two steps or ask the building official."
            )
            out.append(Problem(Severity.WARNING, sentence, leg=step.leg.name))
    for tread in treads(placement):
        if tread.length < LEAST_TREAD_IN:
            sentence = (
                f"Leg {tread.leg.name}: two steps of the footing are {inch_text(tread.length)} apart, less than 600 mm "
                "(23.6 in); move them apart or ask the building official."
            )
            out.append(Problem(Severity.WARNING, sentence, leg=tread.leg.name))
    return (*out, *over_the_hole(plan, placement, plan.spec.footing.projection.inch))


def _warn_if(leg: Leg, complaints: list[str]) -> list[Problem]:
    return [Problem(Severity.WARNING, f"Leg {leg.name}: {text}", leg=leg.name) for text in complaints]
