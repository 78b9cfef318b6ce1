"""Exact lengths, and the only place where feet-inch text is read or written.

A layout length is a whole number of nanometres, like money in cents: 1/64 in is 396,875 nm and 1 mm is
1,000,000 nm, both whole, so drawings in either system are held without error and ``//``, ``%`` and
comparison are exact. Counting 16 in courses in floating feet is wrong about half the time.

Lengths that are irrational by nature (diagonals, arcs) are rounded once, where they arise
(:meth:`Length.from_inches`).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

NM_PER_INCH: Final = 25_400_000
NM_PER_FOOT: Final = 12 * NM_PER_INCH
NM_PER_MM: Final = 1_000_000
NM_PER_M: Final = 1_000 * NM_PER_MM

#: The unit a bare number is read in; a field always names one.
BareUnit = Literal["in", "ft", "mm", "m"]

_NM_PER_UNIT: Final[dict[str, int]] = {
    "in": NM_PER_INCH,
    "ft": NM_PER_FOOT,
    "mm": NM_PER_MM,
    "cm": 10 * NM_PER_MM,
    "m": NM_PER_M,
}

#: Longest length accepted anywhere; longer is a slip of the finger.
LONGEST: Final = 10_000 * NM_PER_FOOT
#: Characters; nobody says a length in more.
_LONGEST_TEXT: Final = 60


class LengthError(ValueError):
    """Text that is not a length; its message is a sentence fit for the person who typed it."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length in whole nanometres. Build it with the class methods, read it with the properties.

    A takeoff makes and compares tens of thousands of them, so both are written out here: what a dataclass writes for
    several fields takes half as long again for one.
    """

    nm: int

    def __init__(self, nm: int) -> None:
        _set_nm(self, nm)

    # -- building ---------------------------------------------------------------------------------
    @classmethod
    def inches(cls, value: int | Fraction | Decimal | str) -> Length:
        """Exact inches: ``Length.inches('2.5')``, ``Length.inches(Fraction(1, 16))``."""
        return cls(value * NM_PER_INCH if isinstance(value, int) else _whole(Fraction(value) * NM_PER_INCH))

    @classmethod
    def feet(cls, feet: int | Fraction | Decimal | str, inches: int | Fraction | Decimal | str = 0) -> Length:
        """Exact feet and inches: ``Length.feet(28, '4.5')``."""
        return cls(_whole(Fraction(feet) * NM_PER_FOOT + Fraction(inches) * NM_PER_INCH))

    @classmethod
    def mm(cls, value: int | Fraction | Decimal | str) -> Length:
        """Exact millimetres."""
        return cls(_whole(Fraction(value) * NM_PER_MM))

    @classmethod
    def from_inches(cls, inches: float) -> Length:
        """The nearest nanometre to a computed (irrational) length [in]: diagonals and arcs, rounded once here."""
        return cls(round(inches * NM_PER_INCH))

    # -- reading ----------------------------------------------------------------------------------
    @property
    def inch(self) -> float:
        """Inches as a float, for geometry and drawings."""
        return self.nm / NM_PER_INCH

    @property
    def foot(self) -> float:
        """Feet as a float, for volumes and areas."""
        return self.nm / NM_PER_FOOT

    @property
    def metre(self) -> float:
        """Metres as a float, for physics."""
        return self.nm / NM_PER_M

    # -- arithmetic -------------------------------------------------------------------------------
    def __add__(self, other: Length) -> Length:
        return Length(self.nm + other.nm)

    def __sub__(self, other: Length) -> Length:
        return Length(self.nm - other.nm)

    def __neg__(self) -> Length:
        return Length(-self.nm)

    def __abs__(self) -> Length:
        return Length(abs(self.nm))

    def __mul__(self, times: int) -> Length:
        return Length(self.nm * times)

    __rmul__ = __mul__

    def __floordiv__(self, other: Length) -> int:
        return self.nm // other.nm

    def __mod__(self, other: Length) -> Length:
        return Length(self.nm % other.nm)

    def __truediv__(self, other: Length) -> Fraction:
        """The exact ratio of two lengths."""
        return Fraction(self.nm, other.nm)

    def half(self) -> Length:
        """Half of it, to the nanometre (rounded down)."""
        return Length(self.nm // 2)

    # -- comparison -------------------------------------------------------------------------------
    def __eq__(self, other: object) -> bool:
        return self.nm == other.nm if isinstance(other, Length) else NotImplemented

    def __lt__(self, other: Length) -> bool:
        return self.nm < other.nm

    def __le__(self, other: Length) -> bool:
        return self.nm <= other.nm

    def __gt__(self, other: Length) -> bool:
        return self.nm > other.nm

    def __ge__(self, other: Length) -> bool:
        return self.nm >= other.nm

    def __hash__(self) -> int:
        return self.nm

    def __bool__(self) -> bool:
        return self.nm != 0

    def __str__(self) -> str:
        return format_length(self)


#: Sets the one field of a new length past the guard that keeps lengths from being changed.
_set_nm = Length.__dict__["nm"].__set__

ZERO: Final = Length(0)


def _whole(value: Fraction) -> int:
    return round(value)


def ceil_div(length: Length, unit: Length) -> int:
    """How many whole units cover the length: the one place where a length is rounded up to stock."""
    return -((-length.nm) // unit.nm)


# -- text in ---------------------------------------------------------------------------------------
_VULGAR: Final = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_MARKS: Final = {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "\xa0": " "}
_NUM = r"(?:\d+(?:\.\d*)?|\.\d+)"
_MIXED = rf"(?:\d+[ -]+\d+/\d+|\d+/\d+|{_NUM})"
_FT = r"(?:'|ft\.?|feet|foot)"
_IN = r"(?:\"|''|in\.?|inch(?:es)?)"

_METRIC = re.compile(rf"^(?P<n>{_NUM})\s*(?P<u>mm|cm|m)$")
_FEET_INCHES = re.compile(rf"^(?P<ft>{_NUM})\s*{_FT}[\s-]*(?:(?P<in>{_MIXED})\s*{_IN}?)?$")
_DASHED = re.compile(rf"^(?P<ft>\d+)\s*-\s*(?P<in>\d+ +\d+/\d+|\d+/\d+|{_NUM})\s*(?P<mark>{_IN})?$")
_INCHES = re.compile(rf"^(?P<in>{_MIXED})\s*{_IN}$")
_BARE = re.compile(rf"^(?P<n>\d+ +\d+/\d+|\d+/\d+|{_NUM})$")


def parse_length(text: str, bare: BareUnit = "in") -> Length:
    """Read a length as it is spoken on site.

    Accepted: ``28-4 1/2``, ``28'-4 1/2"``, ``28' 4.5"``, ``28 ft 4 in``, ``340 1/2"``, ``8.65 m``, ``865 cm``,
    ``8650 mm``, typographic primes and vulgar fractions, and a leading minus for levels below the datum. A bare
    number is read in ``bare``, the unit the field names.

    Raises :class:`LengthError` with a sentence for anything else; it never guesses.
    """
    if len(text) > _LONGEST_TEXT:
        raise LengthError(f"“{text.strip()[:20]}…” is too long to be a length; write it like 28-4 1/2 or 8.65 m.")
    cleaned = _clean(text)
    if not cleaned:
        raise LengthError("Nothing is typed here; a length like 28-4 1/2 is needed.")
    negative = cleaned.startswith("-")
    magnitude = _parse_magnitude(cleaned[1:].strip() if cleaned[0] in "+-" else cleaned, text, bare)
    if abs(magnitude) > LONGEST:
        raise LengthError(f"“{text.strip()}” is longer than 10,000 ft; check the unit.")
    return Length(-magnitude if negative else magnitude)


def _clean(text: str) -> str:
    out = text.strip().lower()
    for mark, plain in (*_MARKS.items(), *_VULGAR.items()):
        out = out.replace(mark, plain)
    if "," in out:
        raise LengthError(f"“{text.strip()}” has a comma; write a point for decimals, like 28-4.5 or 8.65 m.")
    return re.sub(r"\s+", " ", out).replace("- ", "-").replace(" -", "-").strip()


def _parse_magnitude(cleaned: str, typed: str, bare: BareUnit) -> int:
    if match := _METRIC.match(cleaned):
        return _whole(Fraction(match["n"]) * _NM_PER_UNIT[match["u"]])
    if match := _FEET_INCHES.match(cleaned):
        inches = _number(match["in"], typed) if match["in"] else Fraction(0)
        return _feet_inches(Fraction(match["ft"]), inches, typed)
    if match := _INCHES.match(cleaned):
        if re.match(r"^\d+-\d+/\d+", match["in"]):
            whole, part = match["in"].split("-", 1)
            ways = f'write {whole} {part}" for inches or {whole}\' {part}" for feet and inches'
            raise LengthError(f"“{typed.strip()}” can be read two ways; {ways}.")
        return _whole(_number(match["in"], typed) * NM_PER_INCH)
    if match := _DASHED.match(cleaned):
        return _feet_inches(Fraction(match["ft"]), _number(match["in"], typed), typed)
    if match := _BARE.match(cleaned):
        return _whole(_number(match["n"], typed) * _NM_PER_UNIT[bare])
    raise LengthError(f'“{typed.strip()}” is not a length; write it like 28-4 1/2, 28\' 4.5", 340 1/2" or 8.65 m.')


def _feet_inches(feet: Fraction, inches: Fraction, typed: str) -> int:
    if inches >= 12:
        raise LengthError(
            f"“{typed.strip()}” has 12 in or more after the feet; write the whole length in inches, or carry the foot."
        )
    return _whole(feet * NM_PER_FOOT + inches * NM_PER_INCH)


def _number(text: str, typed: str) -> Fraction:
    try:
        return sum((Fraction(part) for part in text.replace("-", " ").split()), Fraction(0))
    except (ValueError, ZeroDivisionError, InvalidOperation):
        raise LengthError(f"“{typed.strip()}” has a fraction that makes no sense.") from None


# -- text out --------------------------------------------------------------------------------------
Style = Literal["ft-in", "in", "mm", "m"]


def format_length(length: Length, style: Style = "ft-in", denominator: int = 16) -> str:
    """Write a length to the nearest 1/``denominator`` in (or mm, or cm for metres): ``28'-4 1/2"``, ``-0'-8"``.

    Rounds half away from zero, once, and carries: 11 31/32 in to sixteenths is ``1'-0"``.
    """
    return _formatted(length.nm, style, denominator)


@lru_cache(maxsize=8192)
def _formatted(nm: int, style: Style, denominator: int) -> str:
    """The same few lengths are written thousands of times in one takeoff."""
    if style == "mm":
        return f"{_half_away(Fraction(nm, NM_PER_MM))} mm"
    if style == "m":
        return f"{Decimal(_half_away(Fraction(nm, NM_PER_MM))) / 1000:.3f} m"
    parts = abs(_half_away(Fraction(nm * denominator, NM_PER_INCH)))
    sign = "-" if nm < 0 and parts else ""
    whole, part = divmod(parts, denominator)
    fraction = f" {Fraction(part, denominator)}" if part else ""
    if style == "in":
        return f'{sign}{whole}{fraction}"' if whole or not part else f'{sign}{fraction.strip()}"'
    feet, inches = divmod(whole, 12)
    return f"{sign}{feet}'-{inches}{fraction}\""


def exact_text(length: Length) -> str:
    """Text that :func:`parse_length` reads back to the same nanometre: feet and inches where it is a whole number of
    64ths (``28'-4 1/2"``), else millimetres with all their decimals (``8650.003 mm``)."""
    if length.nm * 64 % NM_PER_INCH == 0:
        return format_length(length, "ft-in", 64)
    whole, part = divmod(abs(length.nm), NM_PER_MM)
    decimals = f".{part:06d}".rstrip("0") if part else ""
    return f"{'-' if length.nm < 0 else ''}{whole}{decimals} mm"


def _half_away(value: Fraction) -> int:
    sign = -1 if value < 0 else 1
    return sign * ((2 * abs(value.numerator) + value.denominator) // (2 * value.denominator))


def format_feet(length: Length) -> str:
    """Decimal feet to hundredths, as levels are read from a rod: ``98.33 ft``."""
    return f"{length.foot:.2f} ft"


def short_text(length: Length) -> str:
    """Less than two feet in inches (12"), whole feet as 10', anything else in feet and inches."""
    foot = Length.feet(1)
    if length < foot + foot:
        return format_length(length, "in")
    return format_length(length) if length % foot else f"{length // foot}'"


def steps_text(length: Length, step: Length) -> str:
    """How many steps cover a length, as a person writes the sum: ``62'-0" at 6': 10.3, so 11``; a whole number is said
    alone. So many decimals that the figure does not look like the number below it."""
    count, parts = ceil_div(length, step), length.nm / step.nm
    said = f"{format_length(length)} at {short_text(step)}: "
    if not length % step:
        return f"{said}{count}"
    figures = (f"{parts:.{decimals}f}" for decimals in range(1, 9))
    figure = next((text for text in figures if math.ceil(float(text)) == count), f"{parts}")
    return f"{said}{figure}, so {count}"
