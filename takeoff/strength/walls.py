"""The steel of all walls of a plan: the checks of every stretch, and what the joints want."""

from __future__ import annotations

from takeoff.geometry import Placement
from takeoff.plan import Plan
from takeoff.results import Part
from takeoff.strength.checks import checks_of
from takeoff.strength.joints import joint_problems
from takeoff.strength.situations import situations


def steel(plan: Plan, placement: Placement) -> Part:
    """The checks of all legs in every state, and in words what is not enough or is for the engineer."""
    found = situations(plan, placement)
    part = checks_of(plan, found)
    return Part(checks=part.checks, problems=(*part.problems, *joint_problems(plan, found)))
