"""What differs between two plans: what was typed, and between two revisions what it comes to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from jobs.frozen import Facts, Frozen, facts_from_json, frozen_from_json
from jobs.models import PlanRevision
from jobs.plan_fields import LENGTHS, SPEC, WALKED, Entry, Kind, entries_of
from jobs.plan_forms import Document, to_fields
from jobs.stages import TITLES
from takeoff.fields import words
from takeoff.plan import Stage
from takeoff.planread import bare_unit
from takeoff.results import Unit
from takeoff.units import LengthError, exact_text, parse_length


@dataclass(frozen=True, slots=True)
class Row:
    """One field that differs, in words."""

    label: str
    old: str
    new: str


# -- what was typed --------------------------------------------------------------------------------
def of_documents(old: Document, new: Document) -> list[Row]:
    """Every field of the plan and its specification that says something else; legs and openings by their names. What
    one of the two does not have at all is one row."""
    before, after = _said(old), _said(new)
    rows: dict[str, tuple[list[str], list[str]]] = {}
    for thing, field in dict.fromkeys([*before, *after]):
        was, now = before.get((thing, field), ""), after.get((thing, field), "")
        if was == now:
            continue
        alone = thing and (_lacks(before, thing) or _lacks(after, thing))
        label = thing if alone else f"{thing}, {field}" if thing else field
        sides = rows.setdefault(label, ([], []))
        for side, text in zip(sides, (was, now), strict=True):
            if text:
                side.append(f"{field} {text}" if alone else text)
    return [Row(label, ", ".join(was), ", ".join(now)) for label, (was, now) in rows.items()]


def _lacks(said: dict[tuple[str, str], str], thing: str) -> bool:
    return not any(of == thing for of, _ in said)


#: Fields that mean nothing to a person.
_UNSEEN = ("_rest", "key", "kind")


def _said(document: Document) -> dict[tuple[str, str], str]:
    """Text by thing ('leg C, opening W1') and field."""
    out: dict[tuple[str, str], str] = {}
    for shape in (WALKED, SPEC):
        for path, text in to_fields(document, shape).items():
            holder, _, name = path.rpartition(".")
            if text and name not in _UNSEEN:
                field = _SPEC_LABELS.get(path) or _LABELS.get(name) or words(name)
                out[_label(document, holder) if holder else "", field] = _in_words(document, name, text)
    return out


#: What a field is called where its name does not say it.
_LABELS = {"rest_way": "an odd course is made of"}


def _spec_label(entry: Entry) -> str:
    said = entry.label[0].lower() + entry.label[1:]
    return f"{said} ({entry.unit})" if entry.unit else said


_SPEC_LABELS = {
    f"spec.{part}.{entry.name}": _spec_label(entry)
    for part, shape in SPEC.parts["spec"].parts.items()
    for entry in shape.entries
}
_SPEC_LENGTHS = frozenset(e.name for e in entries_of(SPEC) if e.kind is Kind.LENGTH)
_CHOICES = {e.name: dict(e.choices) for shape in (WALKED, SPEC) for e in entries_of(shape) if e.choices}


def _in_words(document: Document, name: str, text: str) -> str:
    """What a field says, however it was typed: a length as feet and inches, a choice by its name."""
    if name in LENGTHS or name in _SPEC_LENGTHS:
        return _length_in_words(document, text)
    if name == "also_stock":
        return ", ".join(_length_in_words(document, part) for part in text.split(","))
    return _CHOICES.get(name, {}).get(text, text)


def _length_in_words(document: Document, text: str) -> str:
    try:
        return exact_text(parse_length(text, bare_unit(document)))
    except LengthError:
        return text.strip()


def _label(document: Document, path: str) -> str:
    """'leg C' for 'walks.0.legs.2'."""
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
    if len(parts) > 1 and parts[0].startswith("walk "):
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
    """One quantity, all sections together, in two revisions; None where a revision does not have it. ``sections``
    says where it moved, in words."""

    label: str
    sections: str
    unit: Unit
    old: float | None
    new: float | None

    @property
    def more(self) -> float:
        """How much more the newer has."""
        return (self.new or 0.0) - (self.old or 0.0)

    @property
    def moved(self) -> bool:
        """Whether it only went from one section to another."""
        return not _differ(self.old, self.new)


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
    def differing(self) -> tuple[Change, ...]:
        """Quantities of which there is more or less in all."""
        return tuple(change for change in self.quantities if not change.moved)

    @property
    def moved(self) -> int:
        """How many quantities only go from one section to another."""
        return sum(change.moved for change in self.quantities)

    @property
    def any(self) -> bool:
        """Whether the stage is touched at all."""
        return bool(self.changed or self.added or self.gone or self.quantities)


def by_stage(old: PlanRevision, new: PlanRevision) -> list[StageChange]:
    """Stage by stage, what the newer revision changes."""
    facts = facts_from_json(old.facts), facts_from_json(new.facts)
    frozen = frozen_from_json(old.frozen), frozen_from_json(new.frozen)
    return [_stage(stage, *facts, *frozen) for stage in Stage]


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
    """Quantities that are not the same to a millionth in any section, by kind."""
    amounts: dict[tuple[str, str, Unit], dict[str, list[float | None]]] = defaultdict(dict)
    for side, quantities in enumerate((old, new)):
        for q in quantities:
            entry = amounts[q.key, q.label, q.unit].setdefault(q.section, [None, None])
            entry[side] = (entry[side] or 0.0) + q.amount
    for (_, label, unit), by_section in amounts.items():
        moved = [names.get(key, key) for key, (was, now) in by_section.items() if _differ(was, now)]
        if moved:
            totals = [_total(pair[side] for pair in by_section.values()) for side in (0, 1)]
            yield Change(label, ", ".join(moved), unit, *totals)


def _total(amounts: Iterable[float | None]) -> float | None:
    found = [amount for amount in amounts if amount is not None]
    return sum(found) if found else None


def _differ(was: float | None, now: float | None) -> bool:
    return was is None or now is None or abs(now - was) > 1e-6 * max(abs(was), abs(now), 1.0)
