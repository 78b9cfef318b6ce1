"""What is typed about a house, and the difference between two typings in words."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from datetime import date
from typing import Any

from jobs.exceptions import DatesOutOfOrder
from takeoff.units import Length, exact_text


@dataclass(frozen=True, slots=True)
class HouseDetails:
    """A house as its papers name it; ``timezone`` is where its clock stands."""

    name: str
    lot: str = ""
    address: str = ""
    jurisdiction: str = ""
    permit_number: str = ""
    timezone: str = "America/Chicago"
    dig_date: date | None = None
    buried_by_date: date | None = None


HOUSE_LABELS: dict[str, str] = {
    "name": "name",
    "lot": "lot",
    "address": "address",
    "jurisdiction": "jurisdiction",
    "permit_number": "permit number",
    "timezone": "time zone",
    "dig_date": "dig date",
    "buried_by_date": "to be buried by",
}

SITE_LABELS: dict[str, str] = {
    "soil_class": "soil class",
    "equivalent_fluid_pcf": "equivalent fluid density",
    "bearing_psf": "bearing value",
    "frost_depth": "frost depth",
    "ground_water": "ground water",
    "exterior_grade": "exterior grade",
    "code_edition": "code edition",
}

_UNITS = {"equivalent_fluid_pcf": "psf per ft", "bearing_psf": "psf"}


def in_words(field: str, value: Any) -> str:
    """A stored value as a person would write it."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, date):
        return f"{value:%b} {value.day}, {value.year}"
    if isinstance(value, Length):
        return exact_text(value)
    if isinstance(value, float):
        return f"{value:,g} {_UNITS.get(field, '')}".strip()
    return str(value)


def differences(old: Any, new: Any, labels: dict[str, str]) -> dict[str, str]:
    """Field -> 'label old → new' for every field of ``labels`` in which two records differ."""
    return {
        field: f"{label}: {in_words(field, getattr(old, field))} → {in_words(field, getattr(new, field))}"
        for field, label in labels.items()
        if getattr(old, field) != getattr(new, field)
    }


def assign(row: Any, values: Any) -> None:
    """Copy every field of a dataclass onto a row."""
    for field in dataclasses.fields(values):
        setattr(row, field.name, getattr(values, field.name))


def check_dates(first: date | None, last: date | None, first_label: str, last_label: str) -> None:
    """Raises :class:`DatesOutOfOrder` where ``last`` is before ``first``."""
    if first and last and last < first:
        raise DatesOutOfOrder(
            f"{last_label} ({in_words('', last)}) is before {first_label} ({in_words('', first)}); "
            f"give a day on or after {in_words('', first)}."
        )
