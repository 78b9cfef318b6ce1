"""Footings of hung walls (garage, porch) that would stand over the hole dug for a deeper wall."""

from __future__ import annotations

from typing import Final

from takeoff.placement import Placement
from takeoff.plan import Attachment, Leg, Plan, levels_at
from takeoff.problems import Problem, Severity
from takeoff.units import LONGEST, Length, format_length

#: Past the last step of any leg.
_BEYOND: Final = Length(LONGEST)


def cut_reach_in(projection_in: float, working_space_in: float, slope_run: float, above_bottom_in: float) -> float:
    """How far the edge of the cut stands from the wall's outside face [in], ``above_bottom_in`` over the hole's bottom.

    The cut rises ``slope_run`` horizontal to one from the end of the working space beyond the footing. Geometry.
    """
    return projection_in + working_space_in + slope_run * above_bottom_in


def over_the_hole(plan: Plan, placement: Placement, projection_in: float) -> tuple[Problem, ...]:
    """A warning for each end of a wall hung on the outside of another whose footing is higher than the hole dug beside
    that wall: there it bears on fill, not on undisturbed ground. Common practice, no source: step it down, or let the
    engineer release the fill. ``projection_in`` is that of the deeper footing beyond the foam [in]."""
    outward = {placement.legs[tee.spur].walk.name for tee in placement.tees if not tee.inward}
    found = []
    for walk in plan.walks:
        if walk.name not in outward:
            continue
        first, last = walk.legs[0], walk.legs[-1]
        for leg, met, footing_top in (
            (first, walk.starts_on, first.footing_top),
            (last, walk.ends_on, levels_at(last, _BEYOND).footing_top),
        ):
            if met is not None:
                found.append(_warning(plan, leg, met, footing_top, projection_in))
    return tuple(problem for problem in found if problem is not None)


def _warning(plan: Plan, leg: Leg, met: Attachment, footing_top: Length, projection_in: float) -> Problem | None:
    thickness, earth = plan.spec.footing.thickness, plan.spec.earth
    bottom, hole = footing_top - thickness, levels_at(plan.leg(met.leg), met.at).footing_top - thickness
    if bottom - hole <= thickness:
        return None
    reach = cut_reach_in(projection_in, earth.working_space.inch, earth.slope_run, (bottom - hole).inch)
    sentence = (
        f"Leg {leg.name}: its footing bottom at {format_length(bottom)} lies over the hole dug for {met.leg} (bottom "
        f"{format_length(hole)}) for about {format_length(Length.from_inches(reach), denominator=1)} from that wall; "
        "step it down to undisturbed ground, or have the fill under it compacted and released by the engineer."
    )
    return Problem(Severity.WARNING, sentence, leg=leg.name)
