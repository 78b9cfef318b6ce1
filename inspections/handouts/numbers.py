"""Numbers to meet, as they are said on site: a figure large enough to read, what it is, where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from inspections.handouts.subject import Subject
from takeoff.results import Criterion
from takeoff.tally import number
from takeoff.units import Length, format_length

#: How far work may be off; printed as a table of its own.
TOLERANCES = (
    "footing.top_spread",
    "corner.diagonal",
    "wall.core",
    "wall.plumb",
    "wall.line",
    "wall.top",
    "opening.size",
)
#: Printed leg by leg in a table of its own.
UNBALANCED = ("backfill.unbalanced_before", "backfill.unbalanced_after")

_SENSES = {"at least": "or more", "at most": "or less", "is": ""}
#: Numbers that are what they are: nobody says 'bar #5 or more'.
_PLAIN = ("dowel.size", "wall.bar_size", "footing.bars", "wall.horizontal_rows")
#: From here on a number of inches is said in feet and inches.
LONG_IN = 48.0


@dataclass(frozen=True, slots=True)
class Figure:
    """One number to meet. ``figure`` and ``sense`` are printed large: '38"', 'or more'."""

    key: str
    label: str
    figure: str
    sense: str
    text: str
    legs: str
    source: str


def figures(subject: Subject, wanted: Callable[[Criterion], bool]) -> list[Figure]:
    """The wanted numbers of the stage for the legs of the sheet; the same number said of several legs once."""
    groups: dict[tuple[str, str, float], list[Criterion]] = {}
    for criterion in subject.frozen.criteria:
        if criterion.stage is subject.kind and subject.about(criterion.legs) and wanted(criterion):
            groups.setdefault((criterion.key, criterion.text, criterion.value), []).append(criterion)
    return [_figure(subject, group) for group in groups.values()]


def to_meet(subject: Subject) -> list[Figure]:
    """Numbers that work must reach."""
    return figures(subject, lambda c: c.key not in TOLERANCES and c.key not in UNBALANCED)


def tolerances(subject: Subject) -> list[Figure]:
    """How far work may be off."""
    return figures(subject, lambda c: c.key in TOLERANCES)


def texts_of(subject: Subject, keys: Iterable[str]) -> list[str]:
    """What is said on site for the named criteria, once each."""
    wanted = tuple(keys)
    found = figures(subject, lambda c: c.key in wanted)
    found.sort(key=lambda f: wanted.index(f.key))
    return list(dict.fromkeys(f.text or f"{f.label}: {f.figure} {f.sense}".strip() for f in found))


def _figure(subject: Subject, group: list[Criterion]) -> Figure:
    first = group[0]
    legs = [leg for criterion in group for leg in criterion.legs]
    words = subject.leg_words(legs) if legs else ""
    return Figure(
        first.key,
        first.label,
        _said(first),
        "" if first.key in _PLAIN else _sense(first),
        first.text,
        words if words != subject.leg_words(subject.legs) else "",
        str(first.source),
    )


def _said(criterion: Criterion) -> str:
    value, unit = criterion.value, criterion.unit
    if criterion.sense == "is" and not value and criterion.tolerance:
        return f"± {amount(criterion.tolerance, unit)}"
    return amount(value, unit)


def _sense(criterion: Criterion) -> str:
    if criterion.sense == "is" and criterion.value and criterion.tolerance and criterion.unit != "yd3":
        return f"± {amount(criterion.tolerance, criterion.unit)}"
    return _SENSES.get(criterion.sense, criterion.sense)


def amount(value: float, unit: str) -> str:
    """A value with its unit as said on site: '38"', "6'-0\"", '#5', '55 °F', '3,000 psi', '36.25 yd³'."""
    if unit == "in" or unit.startswith("in "):
        said = format_length(Length.from_inches(value), "ft-in" if abs(value) >= LONG_IN else "in")
        return said if unit == "in" else f"{said} {unit.removeprefix('in ')}"
    if unit == "#":
        return f"#{value:g}"
    if unit == "F":
        return f"{value:g} °F"
    if unit == "yd3":
        return f"{value:g} yd³"
    if unit == "rows" and value == 1:
        return "1 row"
    return f"{number(value)} {unit}".strip()
