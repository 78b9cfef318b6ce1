"""Sentences of several legs that say the same, told once and where the mistake was made.

What all legs have is typed once. Where it is wrong, every leg that takes it over is wrong in the same words; a person
should find one sentence, beside the field they typed into.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from jobs.plan_fields import LEG_DEFAULTS
from jobs.plan_forms import Document, value_at
from takeoff.problems import Problem, Severity


def gathered(document: Document, problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems in their order, those of several legs with one cause as one."""
    heaps: dict[tuple[str, ...], list[Problem]] = {}
    for problem in problems:
        heaps.setdefault(_key(document, problem), []).append(problem)
    parted = ((key[-1], each) for key, heap in heaps.items() for each in _heaps(document, key, heap))
    return tuple(_one(document, shared, heap) for shared, heap in parted)


def _heaps(document: Document, key: tuple[str, ...], heap: list[Problem]) -> list[list[Problem]]:
    """The heap as it is, or one for each problem where the shared field is not what is wrong: fewer than half of the
    legs that take it over are."""
    shared = key[-1]
    if not shared or (len(heap) > 1 and 2 * len(heap) >= len(_takers(document, shared))):
        return [heap]
    return [[problem] for problem in heap]


def _key(document: Document, problem: Problem) -> tuple[str, ...]:
    said = problem.sentence.removeprefix(f"Leg {problem.leg}: ")
    if not problem.leg or said == problem.sentence:
        return (problem.severity, problem.sentence, problem.path, "")
    if problem.severity is not Severity.BLOCKER:
        return (problem.severity, said, "", "")
    shared = source_of(document, problem.path)
    return (problem.severity, said, shared or problem.path, shared)


def _one(document: Document, shared: str, heap: list[Problem]) -> Problem:
    first = heap[0]
    if len(heap) == 1:
        return first
    names = list(dict.fromkeys(problem.leg for problem in heap))
    said = first.sentence.removeprefix(f"Leg {first.leg}: ")
    every = len(names) == len(_legs(document))
    who = "All legs" if every else f"Legs {', '.join(names[:-1])} and {names[-1]}" if names[1:] else f"Leg {names[0]}"
    return replace(first, sentence=f"{who}: {said}", path=shared or first.path, leg="")


def source_of(document: Document, path: str) -> str:
    """Address of the field from which a leg's empty field takes (or would take) its value; '' where it has its own."""
    steps = path.split(".")
    if len(steps) != 5 or steps[0] != "walks" or steps[2] != "legs" or value_at(document, path) is not None:
        return ""
    section = value_at(document, ".".join([*steps[:4], "section"])) or value_at(document, "leg_defaults.section")
    sections = _dicts(document.get("sections"))
    for k, each in enumerate(sections):
        at = f"sections.{k}.leg_defaults.{steps[4]}"
        if (each.get("key") == section or len(sections) == 1) and value_at(document, at) is not None:
            return at
    return f"leg_defaults.{steps[4]}" if any(e.name == steps[4] for e in LEG_DEFAULTS.entries) else ""


def _takers(document: Document, shared: str) -> list[str]:
    field = shared.rpartition(".")[2]
    return [at for at in _legs(document) if source_of(document, f"{at}.{field}") == shared]


def _legs(document: Document) -> list[str]:
    walks = enumerate(_dicts(document.get("walks")))
    return [f"walks.{k}.legs.{n}" for k, walk in walks for n, _ in enumerate(_dicts(walk.get("legs")))]


def _dicts(value: Any) -> list[Document]:
    return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []
