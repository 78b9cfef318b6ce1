"""A plan document looked at while it is typed: drawn, closed like a surveyor would, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from jobs.plan_forms import value_at
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
        problems += placement.problems
        closures = list(placement.closures)
        if not blockers(placement.problems) or all(p.path.endswith("length") for p in blockers(placement.problems)):
            scene = plan_view(plan, placement) if placement.legs and _all_close(closures) else None
    traces = trace_walks(document)
    if not closures:
        closures = [t.closure for _, t in traces if t.closure is not None and len(t.legs) > 1]
    if scene is None:
        scene = _together([walk_preview(t, f"walk-{k}") for k, (_, t) in enumerate(traces)])
    wrong, missing, remarks = _sorted(document, problems)
    return Look(
        svg=render(replace(scene, key=key, legend=()), _DRAWN_PX, height=_DRAWN_PX * 0.9),
        caption="The plan as typed" if plan is not None else "The walk so far",
        closures=tuple(closures),
        wrong=wrong,
        missing=missing,
        remarks=remarks,
        plan=plan,
    )


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
    document: Document, problems: Iterable[Problem]
) -> tuple[tuple[Problem, ...], tuple[Problem, ...], tuple[Problem, ...]]:
    """What is wrong, what is still to be typed, and what is only told. Each once."""
    wrong, missing, remarks = [], [], []
    for problem in dict.fromkeys(problems):
        if problem.severity is not Severity.BLOCKER:
            remarks.append(problem)
        elif problem.path and " is missing; " in problem.sentence and value_at(document, problem.path) is None:
            missing.append(problem)
        else:
            wrong.append(problem)
    return tuple(wrong), tuple(missing), tuple(remarks)
