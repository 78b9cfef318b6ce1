"""Reading one object of a plan document field by field, saying in sentences what cannot be read.

A :class:`Fields` never raises on any JSON value: a field that is missing or wrong becomes a problem and reads as None.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from fractions import Fraction
from typing import Any, TypeVar

from takeoff.problems import Problem, Severity
from takeoff.units import NM_PER_FOOT, NM_PER_INCH, NM_PER_M, NM_PER_MM, BareUnit, Length, LengthError, parse_length

E = TypeVar("E", bound=StrEnum)

#: A length may also be a number where the field's name says the unit: ``length_mm``.
UNIT_SUFFIXES: dict[str, int] = {"in": NM_PER_INCH, "ft": NM_PER_FOOT, "mm": NM_PER_MM, "m": NM_PER_M}
NAME_LONGEST = 60
TEXT_LONGEST = 500
LENGTH_LONGEST = Length(10_000 * NM_PER_FOOT)

_CONTROL = re.compile(r"[\x00-\x1f\x7f]")


class Fields:
    """One object: its values, its address in the document, what to call it in a sentence, and where problems go.

    ``fallbacks`` are other objects (defaults) looked into when a field is not there.
    """

    def __init__(
        self,
        value: object,
        path: str,
        label: str,
        problems: list[Problem],
        bare: BareUnit = "in",
        fallbacks: Sequence[Fields] = (),
    ) -> None:
        self.path, self.label, self.problems, self.bare, self.fallbacks = path, label, problems, bare, fallbacks
        self.leg = ""
        self.asked: set[str] = set()
        self.values: dict[str, Any] = {}
        if isinstance(value, dict):
            self.values = {k: v for k, v in value.items() if v is not None}
        elif value is not None:
            self.complain("", f"{label} must be an object with named fields, not {kind_of(value)}.")

    # -- saying what is wrong ----------------------------------------------------------------------
    def address(self, name: str) -> str:
        """Dotted address of a field in the document."""
        return ".".join(part for part in (self.path, name) if part)

    def complain(self, name: str, sentence: str, severity: Severity = Severity.BLOCKER) -> None:
        """Note a problem beside a field."""
        problem = Problem(severity, sentence, self.address(name), self.leg)
        if problem not in self.problems:
            self.problems.append(problem)

    def needed(self, name: str, accepted: str) -> None:
        """Note that a field is missing."""
        self.complain(name, f"{self.label}: {words(name)} is missing; {accepted} is needed.")

    def unknown(self) -> None:
        """Note fields nobody asked for: a misspelt name must not be lost silently. ``_...`` and ``note`` are free."""
        for name in self.values:
            if name not in self.asked and not name.startswith("_") and name != "note":
                shown = _CONTROL.sub(" ", name)[:40]
                self.complain("", f"{self.label}: “{shown}” is not a field known here; mend its name or take it out.")

    # -- looking up --------------------------------------------------------------------------------
    def holder(self, names: Iterable[str]) -> tuple[Fields, str] | None:
        """Which object holds one of the named fields: this one, or the first of its fallbacks."""
        names = tuple(names)
        for fields in (self, *self.fallbacks):
            fields.asked.update(names)
            for name in names:
                if name in fields.values:
                    return fields, name
        return None

    def has(self, *names: str) -> bool:
        """Whether any of the fields is there."""
        return self.holder(names) is not None

    # -- reading -----------------------------------------------------------------------------------
    def text(self, name: str, default: str | None = None, longest: int = NAME_LONGEST) -> str | None:
        """A line of text; None and a problem where it is missing (without a default), too long or no text."""
        found = self.holder((name,))
        if found is None:
            if default is None:
                self.needed(name, "text")
            return default
        fields, _ = found
        value = fields.values[name]
        if not isinstance(value, str):
            fields.complain(name, f"{fields.label}: {words(name)} must be text, not {kind_of(value)}.")
            return None
        cleaned = _CONTROL.sub(" ", value).strip()
        if len(cleaned) > longest:
            fields.complain(name, f"{fields.label}: {words(name)} is {len(cleaned)} characters; at most {longest} fit.")
            return None
        if not cleaned and default is None:
            self.needed(name, "text")
            return None
        return cleaned

    def length(
        self,
        name: str,
        required: bool = True,
        least: Length | None = None,
        most: Length = LENGTH_LONGEST,
        default: Length | None = None,
    ) -> Length | None:
        """A length or level: text as spoken, or a number in a field whose name ends in its unit. ``none`` reads as
        not there, so that a default can be taken back."""
        spellings = (name, *(f"{name}_{suffix}" for suffix in UNIT_SUFFIXES))
        found = self.holder(spellings)
        if found is None:
            if required:
                self.needed(name, "a length like 28-4 1/2 or 8.65 m")
            return default
        fields, spelling = found
        if sum(s in fields.values for s in spellings) > 1:
            fields.complain(name, f"{fields.label}: {words(name)} is given twice, in different units; give it once.")
            return None
        value = fields.values[spelling]
        if isinstance(value, str) and value.strip().lower() == "none" and not required:
            return None
        length = fields._read_length(name, spelling, value)
        if length is not None and not fields._within(name, length, least, most):
            return None
        return length

    def lengths(self, name: str, most_many: int, least: Length, most: Length) -> tuple[Length, ...] | None:
        """Several lengths: a list of texts, or one text with commas between them (``20', 30', 40'``). None and a
        problem where one of them cannot be read."""
        found = self.holder((name,))
        if found is None:
            return ()
        fields, _ = found
        value = fields.values[name]
        typed = [part for part in value.split(",") if part.strip()] if isinstance(value, str) else value
        if not isinstance(typed, list):
            sentence = f"{words(name)} must be lengths with commas between them, like 20', 30', not {kind_of(value)}"
            fields.complain(name, f"{fields.label}: {sentence}.")
            return None
        if len(typed) > most_many:
            fields.complain(name, f"{fields.label}: {words(name)} has {len(typed)} lengths; at most {most_many} fit.")
            return None
        read = [fields._read_length(name, name, part) for part in typed]
        good = tuple(x for x in read if x is not None and fields._within(name, x, least, most))
        return good if len(good) == len(typed) else None

    def _read_length(self, name: str, spelling: str, value: object) -> Length | None:
        if spelling != name:
            number = self._finite(spelling, value)
            if number is None:
                return None
            return Length(round(number * UNIT_SUFFIXES[spelling.removeprefix(f"{name}_")]))
        if not isinstance(value, str):
            sentence = (
                f"{self.label}: {words(name)} must be text as spoken, like 28-4 1/2 or 8.65 m, not {kind_of(value)}"
            )
            instead = f"a plain number may stand in “{name}_in”, “{name}_ft”, “{name}_mm” or “{name}_m”"
            self.complain(name, f"{sentence}; {instead}.")
            return None
        try:
            return parse_length(value, self.bare)
        except LengthError as trouble:
            self.complain(name, f"{self.label}, {words(name)}: {trouble}")
            return None

    def _within(self, name: str, length: Length, least: Length | None, most: Length) -> bool:
        if least is not None and length < least:
            self.complain(name, f"{self.label}: {words(name)} {length} is too small; {least} or more is accepted.")
            return False
        if abs(length) > most:
            self.complain(name, f"{self.label}: {words(name)} {length} is too large; at most {most} is accepted.")
            return False
        return True

    def _finite(self, name: str, value: object) -> Fraction | None:
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.complain(name, f"{self.label}: {words(name)} must be a number, not {kind_of(value)}.")
            return None
        if isinstance(value, float) and not math.isfinite(value):
            self.complain(name, f"{self.label}: {words(name)} must be a finite number.")
            return None
        if abs(value) > 10**9:
            self.complain(name, f"{self.label}: {words(name)} is far too large a number.")
            return None
        return Fraction(repr(value))

    def number(
        self, name: str, least: float, most: float, default: float | None = None, unit: str = ""
    ) -> float | None:
        """A plain number between two limits."""
        found = self.holder((name,))
        if found is None:
            if default is None:
                self.needed(name, f"a number from {least:g} to {most:g}{unit}")
            return default
        fields, _ = found
        number = fields._finite(name, fields.values[name])
        if number is None:
            return None
        if not least <= number <= most:
            given = f"{float(number):g}"
            limits = f"{least:g} to {most:g}{unit} is accepted"
            fields.complain(name, f"{fields.label}: {words(name)} is {given}; {limits}.")
            return None
        return float(number)

    def whole(self, name: str, least: int, most: int, default: int | None = None) -> int | None:
        """A whole number between two limits."""
        number = self.number(name, least, most, default)
        if number is not None and number != int(number):
            self.complain(name, f"{self.label}: {words(name)} must be a whole number, not {number:g}.")
            return None
        return None if number is None else int(number)

    def flag(self, name: str, default: bool) -> bool:
        """true or false."""
        found = self.holder((name,))
        if found is None:
            return default
        value = found[0].values[name]
        if not isinstance(value, bool):
            found[0].complain(name, f"{found[0].label}: {words(name)} must be true or false, not {kind_of(value)}.")
            return default
        return value

    def choice(self, name: str, kinds: type[E], default: E | None = None, among: Sequence[E] | None = None) -> E | None:
        """One of a set of words."""
        allowed = tuple(among or kinds)
        found = self.holder((name,))
        if found is None:
            if default is None:
                self.needed(name, f"one of {', '.join(allowed)}")
            return default
        fields, _ = found
        value = fields.values[name]
        if isinstance(value, str) and value in [str(k) for k in allowed]:
            return kinds(value)
        shown = f"“{value[:40]}”" if isinstance(value, str) else kind_of(value)
        accepted = ", ".join(allowed)
        fields.complain(name, f"{fields.label}: {words(name)} is {shown}; it must be one of {accepted}.")
        return None

    def items(self, name: str, most: int, what: str) -> list[object]:
        """A list of at most so many things; empty where it is missing or no list."""
        self.asked.add(name)
        value = self.values.get(name)
        if value is None:
            return []
        if not isinstance(value, list):
            self.complain(name, f"{self.label}: {words(name)} must be a list of {what}, not {kind_of(value)}.")
            return []
        if len(value) > most:
            self.complain(name, f"{self.label}: {len(value)} {what} are more than the {most} that are accepted.")
            return []
        return value

    def child(self, name: str, label: str) -> Fields | None:
        """An object within this one, None where it is missing."""
        self.asked.add(name)
        if name not in self.values:
            return None
        return Fields(self.values[name], self.address(name), label, self.problems, self.bare)


def each(parent: Fields, name: str, most: int, what: str, label: str) -> Iterator[Fields]:
    """The objects of a list, labelled by their name where they have one, else by their number."""
    for k, value in enumerate(parent.items(name, most, what)):
        named = value.get("name") if isinstance(value, dict) else None
        shown = named.strip()[:40] if isinstance(named, str) and named.strip() else str(k + 1)
        yield Fields(value, f"{parent.address(name)}.{k}", f"{label} {shown}", parent.problems, parent.bare)


def words(name: str) -> str:
    """A field's name as words: 'footing_top' reads 'footing top'."""
    return name.replace("_", " ")


def kind_of(value: object) -> str:
    """What a JSON value is, in words."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, int | float):
        return "a bare number"
    if isinstance(value, str):
        return "text"
    return "a list" if isinstance(value, list) else "an object"
