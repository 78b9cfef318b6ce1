"""Form systems between the engine's dataclass and the stored JSON, and their difference in words.

The stored form is the form-system part of the plan file, so that a plan may carry it as it stands.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from takeoff.fields import Fields
from takeoff.forms import FormSystem
from takeoff.plan import Face, Plan
from takeoff.planfile import write_plan
from takeoff.planparts import read_forms
from takeoff.problems import Problem
from takeoff.units import Length, format_length

LABELS: dict[str, str] = {
    "name": "name",
    "face_height": "face height",
    "length": "length",
    "foam": "foam each side",
    "web_spacing": "web spacing",
    "corners": "cores and corner legs",
    "corners_45": "45 degree corner legs",
    "handed": "corners",
    "half_height": "half-height unit",
    "ledge_projection": "ledge projection",
    "ledge_height": "height of the ledge unit",
    "least_radius": "least radius",
    "units_per_bundle": "units per bundle",
    "corners_per_bundle": "corners per bundle",
    "rated_pressure_psf": "rated pressure",
    "web_displacement": "web displacement",
    "foam_r_per_in": "R of an inch of foam",
    "note": "note",
}


def to_data(system: FormSystem) -> dict[str, Any]:
    """The form system as the plan file writes it."""
    document = write_plan(
        Plan(title="", drawing="", dimensions_to=Face.OUTSIDE_OF_FOAM, sections=(), walks=(), forms=(system,))
    )
    return dict(document["forms"][0])


def from_data(data: dict[str, Any]) -> FormSystem:
    """The form system that :func:`to_data` wrote. Raises ValueError with the reader's sentences for anything else."""
    problems: list[Problem] = []
    (system,) = read_forms(Fields({"forms": [data]}, "", "Form system", problems))
    if problems:
        raise ValueError(" ".join(problem.sentence for problem in problems))
    return system


def in_words(name: str, value: Any) -> str:
    """A field of a form system as a person would write it."""
    if value is None or value in ("", ()):
        return "none"
    if isinstance(value, Length):
        return format_length(value, "in", denominator=64)
    if name == "handed":
        return "left and right pieces" if value else "one reversible piece"
    if name in ("corners", "corners_45"):
        return ", ".join(
            f"{in_words('', c.core)} core {in_words('', c.long)} by {in_words('', c.short)}" for c in value
        )
    if name == "foam_r_per_in":
        return f"{value:g}"
    if name == "rated_pressure_psf":
        return f"{value:g} psf"
    if name == "web_displacement":
        return f"{value:.1%}"
    return str(value)


def differences(old: FormSystem, new: FormSystem) -> dict[str, str]:
    """Field -> 'label old → new' for every field in which two form systems differ."""
    return {
        name: f"{label}: {in_words(name, getattr(old, name))} → {in_words(name, getattr(new, name))}"
        for name, label in LABELS.items()
        if getattr(old, name) != getattr(new, name)
    }


def forms_named(document: Any) -> frozenset[str]:
    """Keys of the form systems that the legs of a plan document name, as typed, whatever else is wrong with it."""
    if isinstance(document, dict):
        own = {document["form"]} if isinstance(document.get("form"), str) else set()
        parts = (document[name] for name in ("walks", "legs", "leg_defaults", "sections") if name in document)
        return frozenset(own.union(*(forms_named(part) for part in parts)))
    if isinstance(document, list):
        return frozenset().union(*(forms_named(item) for item in document))
    return frozenset()


def carried(document: Any) -> list[FormSystem]:
    """The form systems a plan document carries itself, as a locked plan does; unreadable ones left out."""
    forms = document.get("forms") if isinstance(document, dict) else None
    found = []
    for data in forms if isinstance(forms, list) else []:
        try:
            found.append(from_data(data))
        except ValueError:
            continue
    return found


def mixed_heights(document: Any, systems: Iterable[FormSystem]) -> str:
    """A sentence where the legs of one house name form systems of different face heights, else ''.

    A form system is taken as the document carries it: what was locked keeps its dimensions when the firm edits its own.
    """
    named = forms_named(document)
    known = {s.key: s for s in systems} | {s.key: s for s in carried(document)}
    used = sorted((s for s in known.values() if s.key in named), key=lambda s: (s.face_height, s.name))
    if len({s.face_height for s in used}) < 2:
        return ""
    listed = " and ".join(f"{in_words('', s.face_height)} ({s.name})" for s in used)
    return f"units of {listed} are used on one house; they do not course together and get mixed up on site."
