"""What differs between two plans: what was typed, and between two revisions what it comes to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from jobs.frozen import Facts, Frozen, facts_from_json, frozen_from_json
from jobs.models import PlanRevision
from jobs.plan_forms import SPEC, WALKED, Document, Shape, to_fields
from jobs.stages import TITLES
from takeoff.fields import words
from takeoff.plan import Stage
from takeoff.results import Unit


@dataclass(frozen=True, slots=True)
class Row:
    """One field that differs, in words."""

    label: str
    old: str
    new: str


# -- what was typed --------------------------------------------------------------------------------
def of_documents(old: Document, new: Document) -> list[Row]:
    """Every field of the plan and its specification that says something else; legs and openings by their names."""
    before, after = _said(old), _said(new)
    labels = list(dict.fromkeys([*before, *after]))
    return [
        Row(label, before.get(label, ""), after.get(label, ""))
        for label in labels
        if before.get(label, "") != after.get(label, "")
    ]


def _said(document: Document) -> dict[str, str]:
    out: dict[str, str] = {}
    for shape in (WALKED, SPEC):
        for path, text in to_fields(document, shape).items():
            if text and not path.endswith("_rest"):
                out[_label(document, path, shape)] = text
    return out


def _label(document: Document, path: str, shape: Shape) -> str:
    """'leg C, length' for 'walks.0.legs.2.length'."""
    parts: list[str] = []
    node: Any = document
    steps = path.split(".")
    for k, step in enumerate(steps):
        node = _into(node, step)
        if step.isdecimal():
            name = node.get("name") if isinstance(node, dict) else None
            parts[-1] = f"{_one(steps[k - 1])} {name or int(step) + 1}"
        elif step not in ("spec", "leg_defaults"):
            parts.append(words(step))
        else:
            parts.append("specification" if step == "spec" else "all legs")
    if len(parts) > 2 and parts[0].startswith("walk "):
        parts = parts[1:]
    return ", ".join(parts)


def _one(plural: str) -> str:
    return {"legs": "leg", "walks": "walk", "closure": "closing choice"}.get(plural, words(plural.removesuffix("s")))


def _into(node: Any, step: str) -> Any:
    if isinstance(node, dict):
        return node.get(step)
    if isinstance(node, list) and step.isdecimal() and int(step) < len(node):
        return node[int(step)]
    return None


# -- what it comes to ------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Change:
    """One quantity in two revisions; None where a revision does not have it."""

    label: str
    section: str
    unit: Unit
    old: float | None
    new: float | None

    @property
    def more(self) -> float:
        """How much more the newer has."""
        return (self.new or 0.0) - (self.old or 0.0)


@dataclass(frozen=True, slots=True)
class StageChange:
    """What a newer revision does to one stage: legs whose inputs changed, legs new and gone, quantities."""

    stage: Stage
    title: str
    changed: tuple[str, ...]
    added: tuple[str, ...]
    gone: tuple[str, ...]
    quantities: tuple[Change, ...]

    @property
    def any(self) -> bool:
        """Whether the stage is touched at all."""
        return bool(self.changed or self.added or self.gone or self.quantities)


def by_stage(old: PlanRevision, new: PlanRevision) -> list[StageChange]:
    """Stage by stage, what the newer revision changes."""
    facts, frozen = _both(old, new, "facts"), _both(old, new, "frozen")
    return [_stage(stage, *facts, *frozen) for stage in Stage]


def _both(old: PlanRevision, new: PlanRevision, what: str) -> tuple[Any, Any]:
    read = facts_from_json if what == "facts" else frozen_from_json
    return read(getattr(old, what)), read(getattr(new, what))  # type: ignore[operator]


def _stage(stage: Stage, old: Facts, new: Facts, was: Frozen, now: Frozen) -> StageChange:
    before = {leg.name: leg.fingerprints[stage] for leg in old.legs if stage in leg.fingerprints}
    after = {leg.name: leg.fingerprints[stage] for leg in new.legs if stage in leg.fingerprints}
    names = dict(new.sections) | {k: v for k, v in old.sections if k not in dict(new.sections)}
    return StageChange(
        stage,
        TITLES[stage],
        changed=tuple(name for name in after if name in before and before[name] != after[name]),
        added=tuple(name for name in after if name not in before),
        gone=tuple(name for name in before if name not in after),
        quantities=tuple(_changes(was.quantities_of(stage), now.quantities_of(stage), names)),
    )


def _changes(old: Iterable[Any], new: Iterable[Any], names: dict[str, str]) -> Iterator[Change]:
    """Quantities that are not the same to a millionth, by kind and section."""
    amounts: dict[tuple[str, str, str, Unit], list[float | None]] = defaultdict(lambda: [None, None])
    for side, quantities in enumerate((old, new)):
        for q in quantities:
            entry = amounts[q.key, q.label, q.section, q.unit]
            entry[side] = (entry[side] or 0.0) + q.amount
    for (_, label, section, unit), (was, now) in amounts.items():
        change = Change(label, names.get(section, section), unit, was, now)
        if was is None or now is None or abs(change.more) > 1e-6 * max(abs(was), abs(now), 1.0):
            yield change
