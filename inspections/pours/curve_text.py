"""A supplier's strength curve as somebody types it: one line an age, like ``3 days 1800 psi``."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, Final

from django import forms

#: Days and psi.
Points = list[list[float]]
PSI_PER_MPA: Final = 145.0377
MOST_LINES, OLDEST_DAYS, MOST_PSI = 20, 365.0, 20000.0
_LINE: Final = re.compile(
    r"(?P<age>\d+(?:\.\d+)?)\s*(?P<unit>days?|d|hours?|hrs?|h)?[\s:,;=]+"
    r"(?P<strength>\d{1,3}(?:,\d{3})+|\d+(?:\.\d+)?)\s*(?P<in>psi|mpa)?\.?",
    re.IGNORECASE,
)
_HELP: Final = (
    "From the supplier's own tests, one line an age: 3 days 1800 psi. Two lines or more; ages in days or h as the "
    "cylinders lay in the laboratory, strength in psi or MPa. Left empty, a usual curve is taken."
)


class CurveField(forms.CharField):
    """Lines in, points [days, psi] out; each line that cannot be read is named."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.Textarea(attrs={"rows": 4, "spellcheck": "false"})
        super().__init__(required=False, max_length=2000, widget=widget, help_text=_HELP, **kwargs)

    def to_python(self, value: Any) -> Any:
        """None where nothing is typed."""
        text = super().to_python(value)
        return read_curve(text) if text else None

    def run_validators(self, value: Any) -> None:
        """Length and null characters are of the text, which is gone; its lines were read one by one."""

    def prepare_value(self, value: Any) -> Any:
        return curve_text(value) if isinstance(value, (list, tuple)) else value


def read_curve(text: str) -> Points:
    """Points by age. Raises ValidationError with a sentence for every line that cannot be."""
    lines = [(n, line.strip()) for n, line in enumerate(text.splitlines(), 1) if line.strip()]
    if len(lines) > MOST_LINES:
        raise forms.ValidationError(f"{len(lines)} lines are typed; at most {MOST_LINES} are taken.")
    points: Points = []
    wrong = []
    for number, line in lines:
        found = _point(line)
        if isinstance(found, str):
            wrong.append(f"Line {number}, “{line[:40]}”: {found}")
        else:
            points.append(found)
    if wrong:
        raise forms.ValidationError(wrong)
    return sorted(points)


def _point(line: str) -> list[float] | str:
    """Days and psi, or what is wrong."""
    found = _LINE.fullmatch(line)
    if found is None:
        return "write an age and a strength, like 7 days 2600 psi."
    days = float(found["age"]) / (24 if (found["unit"] or "d").lower().startswith("h") else 1)
    psi = float(found["strength"].replace(",", "")) * (PSI_PER_MPA if (found["in"] or "").lower() == "mpa" else 1)
    if not 0 < days <= OLDEST_DAYS:
        return f"the age is over 0 and at most {OLDEST_DAYS:.0f} days."
    if not 1 <= psi <= MOST_PSI:
        return f"the strength is from 1 to {MOST_PSI:,.0f} psi."
    return [round(days, 4), round(psi, 1)]


def curve_text(points: Iterable[Iterable[float]]) -> str:
    """As it would be typed."""
    return "\n".join(f"{days:g} day{'' if days == 1 else 's'} {psi:g} psi" for days, psi in points)


def curve_words(points: Iterable[Iterable[float]]) -> str:
    """'1,800 psi at 3 days, 2,600 psi at 7 days'."""
    return ", ".join(f"{psi:,.0f} psi at {days:g} day{'' if days == 1 else 's'}" for days, psi in points)
