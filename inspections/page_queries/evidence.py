"""Evidence of a presentation or a correction, label by label, for those who judge it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inspections.models import EvidenceItem
from inspections.page_queries import words
from inspections.process import Evidence, EvidenceKind
from takeoff.units import Length, format_length


@dataclass(frozen=True, slots=True)
class Shown:
    """One piece of evidence. ``within`` None: nothing to compare it with."""

    label: str
    kind: str
    leg: str
    said: str
    within: bool | None
    required: str
    file: int | None  # row id of the item whose file is shown
    is_pdf: bool
    camera: str


def shown(asked: Sequence[Evidence], items: Iterable[EvidenceItem]) -> list[Shown]:
    """Items in the order in which they are asked for; readings off the plan first."""
    order = [e.key for e in asked]
    found = [_shown({e.key: e for e in asked}.get(item.key), item) for item in sorted(
        items, key=lambda i: (order.index(i.key) if i.key in order else len(order), i.pk)
    )]  # fmt: skip
    return sorted(found, key=lambda s: s.within is not False)


def _shown(asked: Evidence | None, item: EvidenceItem) -> Shown:
    name = item.file.name if item.file else ""
    return Shown(
        asked.label if asked else item.key,
        item.kind,
        item.leg,
        _said(asked, item),
        item.within,
        item.required,
        item.pk if name else None,
        name.endswith(".pdf"),
        item.camera_time.replace(":", "-", 2),
    )


def _said(asked: Evidence | None, item: EvidenceItem) -> str:
    if item.kind == EvidenceKind.CHECK:
        return "yes"
    if item.kind == EvidenceKind.CHOICE and asked:
        return dict(asked.choices).get(item.text, item.text)
    if item.number is None:
        return item.text
    if item.kind == EvidenceKind.LEVELS:
        return format_length(Length.from_inches(item.number))
    return words.amount(item.number, item.unit)


def photos(found: Iterable[Shown]) -> list[Shown]:
    """Those with a file."""
    return [each for each in found if each.file is not None]


def readings(found: Iterable[Shown]) -> list[Shown]:
    """Those with words or figures."""
    return [each for each in found if each.said]
