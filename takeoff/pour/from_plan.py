"""Pour day of a wall of the plan: its height, area, form rating and concrete put together, and each lift's own volume.

The form that holds least of those in the pour rules all of it, and so does the thinnest core. The concrete is taken at
the coldest temperature a truck may have, because cold concrete pushes hardest.
"""

from __future__ import annotations

from takeoff.plan import Plan
from takeoff.pour.lifts import FT3_PER_YD3, LiftPlan, Pour, plan_lifts, with_volumes
from takeoff.pour.pressure import Placing
from takeoff.pours import WallPour
from takeoff.problems import Problem, Severity
from takeoff.units import Length


def rated_psf(plan: Plan, wall: WallPour) -> float:
    """Lowest rated pressure [psf] of the forms in the pour. Raises ValueError where nothing is poured."""
    return min(plan.form(plan.leg(leg).form).rated_pressure_psf for leg in wall.legs)


def narrowest_core_in(plan: Plan, wall: WallPour) -> float:
    """Thinnest core [in] in the pour: what stone has to fit. Raises ValueError where nothing is poured."""
    return min(plan.leg(leg).core.inch for leg in wall.legs)


def pour_of(
    plan: Plan,
    wall: WallPour,
    *,
    concrete_f: float | None = None,
    pump_yd3_h: float = 30.0,
    haul_min: float = 30.0,
    cold_joint_min: float = 60.0,
) -> Pour | Problem:
    """The pour as pressure and lifts see it; a sentence where the chosen legs have no such wall.

    ``concrete_f`` None: the least the specification allows at discharge. The area is the mean over the height.
    """
    if not wall.bodies or wall.foot_to_top_in <= 0:
        return Problem(Severity.NOTE, "None of the chosen walls has concrete to place in this stage.")
    spec, height_ft = wall.spec, wall.foot_to_top_in / 12
    placing = Placing(
        height_ft, 0.0, spec.minimum_temperature_f if concrete_f is None else concrete_f, spec.slump_in,
        spec.unit_weight_pcf, spec.chemistry, slump_approved_by=spec.slump_approved_by,
    )  # fmt: skip
    area = wall.curve().total_yd3 * FT3_PER_YD3 / height_ft
    return Pour(
        placing, area, rated_psf(plan, wall), spec.truck_yd3, spec.minimum_load_yd3, pump_yd3_h, haul_min,
        lift_ft=spec.lift_height.foot, cold_joint_min=cold_joint_min,
    )  # fmt: skip


def lifts_of(wall: WallPour, pour: Pour) -> LiftPlan | Problem:
    """Lifts of the pour with the concrete that each of them really takes, counted from each wall's own foot."""
    plan = plan_lifts(pour)
    if isinstance(plan, Problem):
        return plan
    depth = Length.from_inches((plan.lifts[0].to_ft - plan.lifts[0].from_ft) * 12)
    volumes = [lift.yd3 for lift in wall.lifts(depth)]
    return with_volumes(plan, pour, volumes)
