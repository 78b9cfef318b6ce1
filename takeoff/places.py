"""Every leg of a plan with its walk and its address in the plan document, for checks that speak of fields."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from takeoff.plan import Leg, Plan, Straight, Stretch, Walk, stretches
from takeoff.problems import Problem, Severity
from takeoff.units import Length


@dataclass(frozen=True, slots=True)
class Place:
    """A leg with its walk and its address in the document."""

    walk: Walk
    leg: Leg
    path: str

    @property
    def length(self) -> Length:
        """Length along the dimensioned face, as typed."""
        return typed_length(self.leg)

    def stretches(self) -> tuple[Stretch, ...]:
        """The leg cut at its steps, along the dimensioned face."""
        return stretches(self.leg, self.length)

    def problem(self, sentence: str, field: str = "", severity: Severity = Severity.BLOCKER) -> Problem:
        """A problem of this leg, beside one of its fields."""
        address = f"{self.path}.{field}" if field else self.path
        return Problem(severity, f"Leg {self.leg.name}: {sentence}", address, self.leg.name)


def typed_length(leg: Leg) -> Length:
    """Length of a leg along its dimensioned face, before any closing adjustment."""
    if isinstance(leg.path, Straight):
        return leg.path.length
    return Length.from_inches(leg.path.radius.inch * math.radians(abs(leg.path.sweep_deg)))


def places(plan: Plan) -> Iterator[Place]:
    """Every leg with its address."""
    for w, walk in enumerate(plan.walks):
        for k, leg in enumerate(walk.legs):
            yield Place(walk, leg, f"walks.{w}.legs.{k}")
