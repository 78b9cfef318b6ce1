"""Pour day of walls of whole plans: areas, ratings and lifts taken from the plan."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.plan import Plan, Stage
from takeoff.pour.from_plan import lifts_of, narrowest_core_in, pour_of, rated_psf
from takeoff.pour.lifts import LiftPlan, Pour
from takeoff.pours import WallPour, wall_pour
from takeoff.problems import Problem
from tests.takeoff import plans
from tests.takeoff.ground import placed


def wall(plan: Plan, stage: Stage = Stage.FULL_WALL, *legs: str) -> WallPour:
    return wall_pour(plan, placed(plan), stage, legs or [leg.name for leg in plan.legs()])


def wet(plan: Plan) -> Plan:
    concrete = replace(plan.spec.concrete, slump_in=6.0, slump_approved_by="R. Vance, P.E.")
    return replace(plan, spec=replace(plan.spec, concrete=concrete))


@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
@pytest.mark.parametrize("stage", [Stage.FROST_WALL, Stage.FULL_WALL])
def test_lifts_of_sample_plans_add_up_to_their_concrete(name: str, stage: Stage) -> None:
    plan = wet(plans.SAMPLES[name]())
    filling = wall(plan, stage)
    pour = pour_of(plan, filling)
    if not filling.bodies:
        assert isinstance(pour, Problem) and "None of the chosen walls" in pour.sentence
        return
    assert isinstance(pour, Pour)
    lifts = lifts_of(filling, pour)
    assert isinstance(lifts, LiftPlan)
    assert lifts.yd3 == pytest.approx(filling.curve().total_yd3)
    assert pour.area_ft2 * pour.placing.height_ft / 27 == pytest.approx(lifts.yd3)
    assert all(lift.yd3_h <= pour.pump_yd3_h + 1e-9 for lift in lifts.lifts)
    if lifts.limit.ft_h is not None:
        paces = [(lift.to_ft - lift.from_ft) / lift.minutes * 60 for lift in lifts.lifts]
        assert max(paces) <= lifts.limit.ft_h + 1e-9
    assert lifts.pump_hours == pytest.approx(0.5 + sum(lift.minutes for lift in lifts.lifts) / 60)


def test_the_weakest_form_and_the_thinnest_core_rule_the_pour() -> None:
    plan = wet(plans.SAMPLES[min(plans.SAMPLES)]())
    filling = wall(plan)
    first = filling.legs[0]
    key = plan.leg(first).form
    weak = replace(plan, forms=tuple(replace(f, rated_pressure_psf=400.0) if f.key == key else f for f in plan.forms))
    assert rated_psf(weak, filling) == 400
    assert narrowest_core_in(plan, filling) == min(plan.leg(leg).core.inch for leg in filling.legs)


def test_concrete_is_taken_at_its_coldest_and_without_slump_nothing_is_planned() -> None:
    plan = plans.SAMPLES[min(plans.SAMPLES)]()
    filling = wall(plan)
    pour = pour_of(plan, filling)
    assert isinstance(pour, Pour) and pour.placing.concrete_f == plan.spec.concrete.minimum_temperature_f
    refused = lifts_of(filling, pour)
    assert isinstance(refused, Problem) and "No slump" in refused.sentence
    warm = pour_of(plan, filling, concrete_f=65.0)
    assert isinstance(warm, Pour) and warm.placing.concrete_f == 65
