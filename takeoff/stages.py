"""Which stages a leg goes through: what walls it has, and whether there is ground outside it.

Waterproofing and final backfill are work on a face that is buried. An inner T wall has the building on both sides: it
is poured and, where it stands on a frost wall, filled under the floor on both sides; nothing of it is ever asked to be
waterproofed or backfilled from outside.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from takeoff.bands import has_ground_outside
from takeoff.geometry import Placement, place
from takeoff.plan import Leg, Plan, Stage

#: Stages that only a wall with ground outside goes through.
OUTSIDE_ONLY = (Stage.WATERPROOFING, Stage.FINAL_BACKFILL)


def stages_of(plan: Plan, placement: Placement, leg: Leg) -> tuple[Stage, ...]:
    """The stages one leg goes through, in order. A leg that could not be placed is taken to have ground outside."""
    geometry = placement.legs.get(leg.name)
    if geometry is None or has_ground_outside(placement, geometry):
        return plan.stages_of(leg)
    return tuple(stage for stage in plan.stages_of(leg) if stage not in OUTSIDE_ONLY)


@lru_cache(maxsize=16)
def leg_stages(plan: Plan) -> Mapping[str, tuple[Stage, ...]]:
    """The stages of every leg by its name, for callers that have no placement."""
    placement = place(plan)
    return MappingProxyType({leg.name: stages_of(plan, placement, leg) for leg in plan.legs()})
