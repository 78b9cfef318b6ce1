"""Form systems between the engine's dataclass and the stored JSON, and their difference in words.

The stored form is the form-system part of the plan file: lengths as text that reads back to the nanometre.
"""

from __future__ import annotations

from typing import Any

from takeoff.forms import CornerLegs, FormSystem
from takeoff.units import Length, format_length, parse_length

LABELS: dict[str, str] = {
    "name": "name",
    "face_height": "face height",
    "length": "length",
    "foam": "foam each side",
    "web_spacing": "web spacing",
    "corners": "cores and corner legs",
    "handed": "corners",
    "half_height": "half-height unit",
    "ledge_projection": "ledge projection",
    "units_per_bundle": "units per bundle",
    "corners_per_bundle": "corners per bundle",
    "rated_pressure_psf": "rated pressure",
    "web_displacement": "web displacement",
    "note": "note",
}

_LENGTHS = ("face_height", "length", "foam", "web_spacing", "half_height", "ledge_projection")
_PLAIN = ("handed", "units_per_bundle", "corners_per_bundle", "rated_pressure_psf", "web_displacement", "note")


def exact(length: Length) -> str:
    """A length as text that reads back to the nanometre: inches to 1/64 where that is exact, else millimetres."""
    text = format_length(length, "in", denominator=64)
    if parse_length(text) == length:
        return text
    whole, part = divmod(abs(length.nm), 1_000_000)
    return f"{'-' if length.nm < 0 else ''}{whole}.{part:06d} mm"


def to_data(system: FormSystem) -> dict[str, Any]:
    """The stored form of a form system."""
    lengths = {name: getattr(system, name) for name in _LENGTHS}
    return {
        "key": system.key,
        "name": system.name,
        **{name: None if value is None else exact(value) for name, value in lengths.items()},
        "corners": [{"core": exact(c.core), "long": exact(c.long), "short": exact(c.short)} for c in system.corners],
        **{name: getattr(system, name) for name in _PLAIN},
    }


def from_data(data: dict[str, Any]) -> FormSystem:
    """The form system that :func:`to_data` wrote."""
    lengths = {name: data.get(name) for name in _LENGTHS}
    return FormSystem(
        key=data["key"],
        name=data["name"],
        **{name: None if text is None else parse_length(text) for name, text in lengths.items()},  # type: ignore[arg-type]
        corners=tuple(
            CornerLegs(parse_length(c["core"]), parse_length(c["long"]), parse_length(c["short"]))
            for c in data["corners"]
        ),
        **{name: data[name] for name in _PLAIN},
    )


def in_words(name: str, value: Any) -> str:
    """A field of a form system as a person would write it."""
    if value is None or value == "":
        return "none"
    if isinstance(value, Length):
        return format_length(value, "in", denominator=64)
    if name == "handed":
        return "left and right pieces" if value else "one reversible piece"
    if name == "corners":
        return ", ".join(
            f"{in_words('', c.core)} core {in_words('', c.long)} by {in_words('', c.short)}" for c in value
        )
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
