"""A plan document looked at while it is typed: drawn, closed like a surveyor would, and what is wrong with it."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Final

from jobs.plan_forms import value_at
from takeoff.closure import TURN_SLACK_DEG
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.scene import Scene
from takeoff.drawings.svg import render
from takeoff.drawings.walk_preview import walk_preview
from takeoff.geometry import place
from takeoff.placement import Closure
from takeoff.plan import Plan
from takeoff.planfile import read_plan, trace_walks
from takeoff.problems import Problem, Severity, blockers

Document = dict[str, Any]
_DRAWN_PX = 620.0
_LOG: Final = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Look:
    """The plan as typed, looked at: its drawing, how it closes, what is wrong and what is still to be typed."""

    svg: str
    caption: str
    closures: tuple[Closure, ...]
    wrong: tuple[Problem, ...]
    missing: tuple[Problem, ...]
    remarks: tuple[Problem, ...]
    plan: Plan | None

    @property
    def ready(self) -> bool:
        """Whether nothing stands in the way of a takeoff as far as the walk tells."""
        return self.plan is not None and not self.wrong and not self.missing

    @property
    def choose_legs(self) -> bool:
        """Whether a ring waits for two legs to be named."""
        return any(c.verdict == "choose_legs" for c in self.closures)


# -- looking at a document ------------------------------------------------------------------------------
def look(document: Document, key: str = "plan-as-typed") -> Look:
    """Read, place and draw a completed document; ``key`` differs between drawings on one page. Never raises on
    anything typed."""
    reading = read_plan(document)
    problems, closures = list(reading.problems), []
    plan, scene = reading.plan, None
    if plan is not None:
        placement = place(plan)
        problems += [*placement.problems, *found_by_takeoff(plan)]
        closures = list(placement.closures)
        if not blockers(placement.problems) or all(p.path.endswith("length") for p in blockers(placement.problems)):
            scene = plan_view(plan, placement) if placement.legs and _all_close(closures) else None
    traces = trace_walks(document)
    if not closures:
        closures = [t.closure for _, t in traces if t.closure is not None and len(t.legs) > 1]
    if scene is None:
        scene = _together([walk_preview(t, f"walk-{k}") for k, (_, t) in enumerate(traces)])
    wrong, missing, remarks = _sorted(document, problems, _still_turning(closures))
    return Look(
        svg=render(replace(scene, key=key, legend=()), _DRAWN_PX, height=_DRAWN_PX * 0.9),
        caption="The plan as typed" if plan is not None else "The walk so far",
        closures=tuple(closures),
        wrong=wrong,
        missing=missing,
        remarks=remarks,
        plan=plan,
    )


@lru_cache(maxsize=16)
def found_by_takeoff(plan: Plan) -> tuple[Problem, ...]:
    """What the takeoff finds: the same that stands in the way of locking, and what a revision would tell.

    A takeoff that breaks must not take the page away on which its plan is mended: it is logged, and told as one thing
    to be mended."""
    try:
        return compute(plan, CuttingMethod.FIRST_FIT).problems
    except (ArithmeticError, LookupError, ValueError):
        _LOG.exception("The takeoff of a plan being walked broke")
        said = "The takeoff of this plan breaks; take back the last change, or hand its file to who runs the server."
        return (Problem(Severity.BLOCKER, said),)


def _still_turning(closures: Iterable[Closure]) -> frozenset[str]:
    """Sentences of rings that have not come round yet: more legs are still to be walked, nothing is wrong with them."""
    open_rings = (c for c in closures if c.verdict == "correct")
    return frozenset(c.sentence for c in open_rings if abs(c.turned_deg) < 360 - TURN_SLACK_DEG)


def _all_close(closures: Sequence[Closure]) -> bool:
    return all(c.verdict in ("closed", "absorbed") for c in closures)


def _together(scenes: Sequence[Scene]) -> Scene:
    """Several walks on one sheet."""
    if not scenes:
        scenes = [walk_preview(trace_walks({"walks": [{"name": "house", "legs": [{}]}]})[0][1])]
    first = scenes[0]
    words = " ".join(s.description for s in scenes)
    return replace(first, shapes=tuple(shape for s in scenes for shape in s.shapes), description=words)


def _sorted(
    document: Document, problems: Iterable[Problem], still_turning: frozenset[str]
) -> tuple[tuple[Problem, ...], tuple[Problem, ...], tuple[Problem, ...]]:
    """What is wrong, what is still to be typed, and what is only told, the gravest first. Each once."""
    wrong, missing, remarks = [], [], []
    for problem in dict.fromkeys(problems):
        if problem.severity is not Severity.BLOCKER:
            remarks.append(problem)
        elif problem.sentence in still_turning or _is_missing(document, problem):
            missing.append(problem)
        else:
            wrong.append(problem)
    return tuple(wrong), tuple(missing), tuple(sorted(remarks, key=lambda p: _GRAVEST.index(p.severity)))


_GRAVEST: Final = (Severity.ENGINEER, Severity.WARNING, Severity.NOTE)


def _is_missing(document: Document, problem: Problem) -> bool:
    return bool(problem.path) and " is missing; " in problem.sentence and value_at(document, problem.path) is None
