"""Plans as JSON: a documented, versioned schema (PLAN_FORMAT.md beside this file), read without ever raising.

>>> reading = read_plan({"schema": "wall-walk", "version": 1, "dimensions_to": "centre_line"})
>>> reading.plan is None
True
>>> reading.problems[0].sentence
'The plan has no walks; at least one ring of legs is needed.'
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.fields import Fields, kind_of
from takeoff.plan import Plan
from takeoff.planchecks import check
from takeoff.planread import SCHEMA, VERSION, bare_unit, read_document
from takeoff.plantrace import trace_walks
from takeoff.planwrite import write_plan
from takeoff.problems import Problem, Severity, blockers

__all__ = ["SCHEMA", "VERSION", "PlanReading", "read_plan", "trace_walks", "write_plan"]


@dataclass(frozen=True, slots=True)
class PlanReading:
    """What a document says: the plan, or None where a blocker stands in its way, and all problems."""

    plan: Plan | None
    problems: tuple[Problem, ...]


def read_plan(document: object) -> PlanReading:
    """Read any JSON value as a plan. Every problem is one sentence naming leg and field, with the field's dotted
    address as ``path``; nothing is guessed and nothing is raised."""
    if not isinstance(document, dict):
        sentence = f"A plan document must be an object, not {kind_of(document)}."
        return PlanReading(None, (Problem(Severity.BLOCKER, sentence),))
    found: list[Problem] = []
    plan = read_document(Fields(document, "", "Plan document", found, bare_unit(document)))
    if blockers(tuple(found)):
        return PlanReading(None, tuple(found))
    problems = (*found, *check(plan))
    return PlanReading(None if blockers(problems) else plan, problems)
