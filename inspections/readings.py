"""Is the evidence complete, and is each reading what the plan asks? All problems are told at once.

A reading that misses its number may still be presented with a word on why; whoever releases sees it flagged.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from inspections.evidence import Upload, check_upload
from inspections.exceptions import EvidenceProblem, EvidenceRefused, OutsideTolerance, UploadRefused
from inspections.handouts.numbers import amount
from inspections.process import Evidence, EvidenceKind
from takeoff.results import Criterion
from takeoff.units import Length, format_length

#: A reading typed in inches is exact; floats are not quite [the reading's unit].
_HAIR = 1e-6
MOST_PHOTOS = 8
_WITH_FILE = (EvidenceKind.PHOTO, EvidenceKind.TICKET)
_TICKED = ("yes", "on", "true", "1")
_PER_LEG = (EvidenceKind.LEVELS, EvidenceKind.MEASUREMENT)


@dataclass(frozen=True, slots=True)
class Given:
    """One piece of evidence as sent. ``number`` is in the unit the process names; ``text`` as typed; ``file`` raw."""

    key: str
    leg: str = ""
    number: float | None = None
    text: str = ""
    file: bytes | None = None

    @property
    def is_empty(self) -> bool:
        """Nothing was filled in."""
        return self.number is None and not self.text.strip() and self.file is None


@dataclass(frozen=True, slots=True)
class Item:
    """One piece of evidence fit to be kept. ``within`` None: there is no number to compare it with."""

    key: str
    kind: EvidenceKind
    leg: str
    number: float | None
    unit: str
    text: str
    within: bool | None = None
    required: str = ""
    upload: Upload | None = None


def check(
    asked: Sequence[Evidence],
    given: Iterable[Given],
    *,
    legs: tuple[str, ...],
    criteria: Sequence[Criterion] = (),
    planned: Mapping[str, Length] | None = None,
    deviation: str = "",
) -> tuple[Item, ...]:
    """Everything given, checked against everything asked, for the legs presented (none for a point of the house).
    ``planned`` are the levels that shot levels are compared with.

    Raises :class:`EvidenceRefused` with all problems, or :class:`OutsideTolerance` where readings miss their number
    and ``deviation`` says nothing.
    """
    filled = [g for g in given if not g.is_empty]
    by_key = {e.key: e for e in asked}
    problems = [
        EvidenceProblem(g.key, g.leg, f"“{g.key}” is not asked for here.") for g in filled if g.key not in by_key
    ]
    items: list[Item] = []
    for evidence in asked:
        own = [g for g in filled if g.key == evidence.key]
        problems += _missing(evidence, own, legs)
        problems += _too_many(evidence, own)
        for each in own:
            try:
                items.append(_item(evidence, each, legs))
            except EvidenceRefused as refused:
                problems += refused.problems
    if problems:
        raise EvidenceRefused(tuple(problems))
    items = [_compared(by_key[item.key], item, legs, criteria) for item in items]
    items = _levels_compared(items, by_key, criteria, planned or {})
    outside = tuple(_outside(by_key[item.key], item) for item in items if item.within is False)
    if outside and not deviation.strip():
        raise OutsideTolerance(outside)
    return tuple(items)


# -- complete? ---------------------------------------------------------------------------------------
def _missing(evidence: Evidence, given: Sequence[Given], legs: tuple[str, ...]) -> Iterator[EvidenceProblem]:
    if not evidence.required:
        return
    have = {g.leg for g in given}
    if evidence.kind is EvidenceKind.LEVELS or (evidence.kind is EvidenceKind.MEASUREMENT and have - {""}):
        for leg in legs:
            if leg not in have and (evidence.kind is EvidenceKind.LEVELS or "" not in have):
                yield EvidenceProblem(evidence.key, leg, f"Leg {leg}: “{evidence.label}” is missing.")
    elif not given:
        yield EvidenceProblem(evidence.key, "", f"“{evidence.label}” is missing.")


def _too_many(evidence: Evidence, given: Sequence[Given]) -> Iterator[EvidenceProblem]:
    if evidence.kind in _WITH_FILE:
        if len(given) > MOST_PHOTOS:
            yield EvidenceProblem(evidence.key, "", f"“{evidence.label}”: at most {MOST_PHOTOS} files are kept.")
        return
    seen: set[str] = set()
    for each in given:
        if each.leg in seen:
            on = f"Leg {each.leg}: " if each.leg else ""
            yield EvidenceProblem(evidence.key, each.leg, f"{on}“{evidence.label}” is given twice.")
        seen.add(each.leg)


# -- of the right kind? ------------------------------------------------------------------------------
def _item(evidence: Evidence, given: Given, legs: tuple[str, ...]) -> Item:
    """One piece of evidence, or EvidenceRefused."""

    def refuse(sentence: str) -> EvidenceRefused:
        on = f"Leg {given.leg}: " if given.leg else ""
        return EvidenceRefused((EvidenceProblem(evidence.key, given.leg, f"{on}“{evidence.label}”: {sentence}"),))

    text = given.text.strip()
    item = Item(evidence.key, evidence.kind, given.leg, None, "", text)
    if given.leg and given.leg not in legs:
        raise refuse("this leg is not among those presented.")
    if given.file is not None and evidence.kind not in _WITH_FILE:
        raise refuse("no file is asked for here.")
    if evidence.kind in _PER_LEG:
        if given.number is None or not math.isfinite(given.number):
            typed = f"“{text}” is not a number" if text else "a number is missing"
            raise refuse(f"{typed}; give it in {_unit_words(evidence)}.")
        if evidence.kind is EvidenceKind.LEVELS and not given.leg:
            raise refuse("a level belongs to one leg; give it leg by leg.")
        return replace(item, number=given.number, unit=_unit(evidence))
    if evidence.kind in _WITH_FILE:
        if given.file is None and evidence.kind is EvidenceKind.PHOTO:
            raise refuse("a photo is asked for, not words.")
        if given.file is None:
            return item
        try:
            return replace(item, upload=check_upload(given.file, evidence.kind))
        except UploadRefused as refused:
            raise refuse(str(refused)) from None
    if evidence.kind is EvidenceKind.CHOICE and text not in {value for value, _ in evidence.choices}:
        raise refuse("choose one of " + ", ".join(label for _, label in evidence.choices) + ".")
    if evidence.kind is EvidenceKind.CHECK:
        if text.lower() not in _TICKED:
            raise refuse("tick it once it is so.")
        return replace(item, text="yes")
    if not text:
        raise refuse("words are asked for, not a number.")
    return item


def _unit(evidence: Evidence) -> str:
    return evidence.unit or ("in" if evidence.kind is EvidenceKind.LEVELS else "")


def _unit_words(evidence: Evidence) -> str:
    return {"in": "inches", "F": "degrees Fahrenheit"}.get(_unit(evidence), _unit(evidence) or "figures")


# -- as the plan asks? -------------------------------------------------------------------------------
def within(criterion: Criterion, number: float) -> bool:
    """Whether a reading is what the criterion asks."""
    if criterion.sense == "at least":
        return number >= criterion.value - _HAIR
    if criterion.sense == "at most":
        return number <= criterion.value + _HAIR
    return abs(number - criterion.value) <= criterion.tolerance + _HAIR


def in_words(criterion: Criterion) -> str:
    """'at least 30"', '± 1/4"'."""
    tolerance = f"± {amount(criterion.tolerance, criterion.unit)}" if criterion.tolerance else ""
    if criterion.sense == "is" and not criterion.value and tolerance:
        return tolerance
    sense = "" if criterion.sense == "is" else criterion.sense
    return f"{sense} {amount(criterion.value, criterion.unit)} {tolerance}".strip()


def _compared(evidence: Evidence, item: Item, legs: tuple[str, ...], criteria: Sequence[Criterion]) -> Item:
    """The item with every number of the plan it must meet: of its leg, or of every leg presented."""
    if item.number is None or not evidence.criterion or item.kind is EvidenceKind.LEVELS:
        return item
    concerned = {item.leg} if item.leg else set(legs)
    own = [c for c in criteria if c.key == evidence.criterion and (not c.legs or concerned & set(c.legs))]
    if not own:
        return item
    required = "; ".join(dict.fromkeys(in_words(c) for c in own))
    return replace(item, within=all(within(c, item.number) for c in own), required=required)


def _levels_compared(
    items: list[Item], asked: Mapping[str, Evidence], criteria: Sequence[Criterion], planned: Mapping[str, Length]
) -> list[Item]:
    """Shot levels: each near its own planned level, and all of them together, within the plan's spread."""
    shot = [i for i in items if i.kind is EvidenceKind.LEVELS and i.leg in planned and i.number is not None]
    off = {i.leg: (i.number or 0.0) - planned[i.leg].inch for i in shot}
    allowed = [c.value for c in criteria if c.key in {asked[i.key].criterion for i in shot}]
    if not off or not allowed:
        return items
    most = min(allowed)
    missed = _levels_missed(off, most)
    words = format_length(Length.from_inches(most), "in")
    return [
        replace(
            item,
            within=item.leg not in missed,
            required=f"{planned[item.leg]} ± {words}, all legs within {words} of each other",
        )
        if item in shot
        else item
        for item in items
    ]


def _levels_missed(off: Mapping[str, float], most: float) -> set[str]:
    """Legs whose level is wrong: farther than ``most`` [in] off the plan; and, where those left differ among
    themselves by more, the highest and the lowest of them. One leg poured low does not accuse the others."""
    missed = {leg for leg, inches in off.items() if abs(inches) > most + _HAIR}
    left = {leg: inches for leg, inches in off.items() if leg not in missed}
    if left and max(left.values()) - min(left.values()) > most + _HAIR:
        missed |= {leg for leg, inches in left.items() if inches in (max(left.values()), min(left.values()))}
    return missed


def _outside(evidence: Evidence, item: Item) -> EvidenceProblem:
    on = f"Leg {item.leg}: " if item.leg else ""
    said = amount(item.number or 0.0, item.unit)
    if item.kind is EvidenceKind.LEVELS:
        said = format_length(Length.from_inches(item.number or 0.0))
        said = f"{item.text}, taken as {said}" if item.text and item.text != said else said
    read = said if item.kind is EvidenceKind.LEVELS else item.text or said
    sentence = f"{on}“{evidence.label}” reads {read}, the plan asks {item.required}. Say why it is presented so."
    return EvidenceProblem(evidence.key, item.leg, sentence)
