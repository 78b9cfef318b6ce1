"""The takeoff of a plan file at the command line: a table to read, or everything as JSON."""

from __future__ import annotations

import json
import textwrap
from collections import Counter
from dataclasses import fields
from enum import Enum
from pathlib import Path
from typing import Any, Final

from takeoff.compute import compute
from takeoff.plan import Plan, Stage
from takeoff.planfile import read_plan
from takeoff.problems import Problem, Severity, blockers
from takeoff.results import Criterion, Quantity, Takeoff
from takeoff.sources import Source
from takeoff.units import Length, exact_text

#: Larger files are no plans [bytes].
LARGEST_FILE: Final = 5_000_000

STAGE_TITLES: Final = {
    Stage.FOOTING: "1 Footing",
    Stage.FROST_WALL: "2 Frost wall",
    Stage.FROST_BACKFILL: "3 Backfill of frost wall",
    Stage.FULL_WALL: "4 Full-height wall",
    Stage.WATERPROOFING: "5 Waterproofing",
    Stage.FINAL_BACKFILL: "6 Final backfill",
}
_WORDS: Final = {
    Severity.BLOCKER: "Stops the takeoff",
    Severity.ENGINEER: "Engineer required",
    Severity.WARNING: "Look at this",
    Severity.NOTE: "Note",
}


def run(path: str, as_json: bool = False) -> tuple[str, int]:
    """Take off the plan in a file: the text to print, and 0, or 1 where a blocker stops it or it cannot be read."""
    document, trouble = _load(path)
    if trouble:
        problem = Problem(Severity.BLOCKER, trouble)
        return (_json(None, None, (problem,)) if as_json else _problem_lines((problem,))), 1
    reading = read_plan(document)
    result = compute(reading.plan) if reading.plan else None
    problems = result.problems if result else reading.problems
    code = 1 if blockers(problems) else 0
    if as_json:
        return _json(reading.plan, result, problems), code
    head = _problem_lines(problems)
    if code or result is None:
        return head, code
    return "\n\n".join(part for part in (_title(result.plan), head, *_stages(result), _units_line(result)) if part), 0


def _load(path: str) -> tuple[object, str]:
    """The JSON in a file, or a sentence why there is none."""
    file = Path(path)
    try:
        if file.stat().st_size > LARGEST_FILE:
            return None, f"{path} is larger than {LARGEST_FILE // 1_000_000} MB; a plan file is small."
        return json.loads(file.read_text(encoding="utf-8")), ""
    except OSError as trouble:
        return None, f"{path} cannot be read: {trouble.strerror or trouble}."
    except (ValueError, RecursionError) as trouble:
        where = f" (line {trouble.lineno})" if isinstance(trouble, json.JSONDecodeError) else ""
        return None, f"{path} is not a JSON file{where}; export the plan again, or look at it in a text editor."


# -- text ------------------------------------------------------------------------------------------
def _title(plan: Plan) -> str:
    return f"{plan.title or 'Plan'}, drawing {plan.drawing or 'without a number'}"


def _problem_lines(problems: tuple[Problem, ...]) -> str:
    lines = []
    for severity in Severity:
        lines += [f"{_WORDS[severity]}: {p.sentence}" for p in problems if p.severity is severity]
    return "\n".join(lines)


def _stages(result: Takeoff) -> list[str]:
    return [_stage(result, stage) for stage in Stage if result.of(stage)]


def _stage(result: Takeoff, stage: Stage) -> str:
    """One stage: its quantities by section with the sum of each, then the numbers to be found on site."""
    lines = [STAGE_TITLES[stage], "=" * len(STAGE_TITLES[stage])]
    for section in result.plan.sections:
        found = result.of(stage, (section.key,))
        if found:
            lines += ["", section.name, "-" * len(section.name)]
            width = max(len(q.label) for q in found)
            for quantity in found:
                lines += _quantity_lines(quantity, width)
    criteria = result.criteria_for(stage)
    if criteria:
        lines += ["", "To be found on site"]
        lines += [f"  {_criterion_text(c)}" for c in criteria]
    return "\n".join(lines)


def _quantity_lines(quantity: Quantity, width: int) -> list[str]:
    first = f"  {quantity.label:<{width}}  {quantity.amount:>10,.2f} {quantity.unit.value:<5} {quantity.purpose}"
    basis = textwrap.wrap(f"= {quantity.basis}  [{quantity.source}]", 112, subsequent_indent="  ")
    return [first.rstrip(), *(f"      {line}" for line in basis)]


def _criterion_text(criterion: Criterion) -> str:
    legs = f" ({', '.join(criterion.legs)})" if criterion.legs else ""
    said = criterion.text or f"{criterion.sense} {criterion.value:g} {criterion.unit}"
    return f"{criterion.label}: {said}{legs}  [{criterion.source}]"


def _units_line(result: Takeoff) -> str:
    """How many units of each kind stand, course by course."""
    counts = Counter(unit.kind.value for unit in result.units if unit.counted)
    listed = ", ".join(f"{count} {kind.replace('_', ' ')}" for kind, count in sorted(counts.items()))
    return f"Units placed: {listed}; {len(result.seams)} joints to be strapped." if counts else ""


# -- JSON ------------------------------------------------------------------------------------------
def _json(plan: Plan | None, result: Takeoff | None, problems: tuple[Problem, ...]) -> str:
    """Everything unrounded; lengths as text that reads back exactly."""
    out: dict[str, Any] = {
        "title": plan.title if plan else "",
        "drawing": plan.drawing if plan else "",
        "problems": [_plain(p) for p in problems],
    }
    if result is not None and not blockers(problems):
        out |= {
            "quantities": [_plain(q) for q in result.quantities],
            "criteria": [_plain(c) for c in result.criteria],
            "unbalanced": [_plain(u) for u in result.unbalanced],
            "units": _unit_counts(result),
            "bars": [_plain(b) | {"places": len(b.places)} for b in result.bars],
            "seams": len(result.seams),
        }
    return json.dumps(out, ensure_ascii=False, indent=2)


def _unit_counts(result: Takeoff) -> list[dict[str, Any]]:
    """Units counted by leg, stage and kind."""
    counts = Counter((u.leg, u.stage.value, u.kind.value) for u in result.units if u.counted)
    return [{"leg": leg, "stage": stage, "kind": kind, "count": n} for (leg, stage, kind), n in counts.items()]


def _plain(value: Any) -> Any:
    if isinstance(value, Length):
        return exact_text(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Source):
        return str(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if hasattr(value, "__dataclass_fields__"):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    return value
