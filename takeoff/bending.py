"""Bent bars: their cut length out of out-to-out legs, and what a fabricator calls their shape."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from takeoff.laps import MAIN_BEND, TIE_BEND, bend_deduction
from takeoff.results import BarShape
from takeoff.units import ZERO, Length

#: Stirrups and ties up to this size are bent to 4 bar diameters inside, larger ones like main bars (ACI 318, from
#: memory).
LARGEST_TIE = 5

#: Bars are cut to the quarter inch, rounded up so that no lap is short; a 64th is lost in the cutting. Common practice,
#: no source.
CUT_TO, NO_MATTER = Length.inches("0.25"), Length.inches(Fraction(1, 64))

#: Turns this close to a right angle are one [degrees].
SQUARE = 0.5


class ShapeKind(StrEnum):
    """What a bar looks like on the bender's table."""

    STRAIGHT = "straight"
    L = "L"  # one bend
    U = "U"  # two bends the same way
    CLOSED_TIE = "closed tie"  # comes back round on itself
    OTHER = "other"


def kind_of(shape: BarShape | None) -> ShapeKind:
    """The shape's kind, by its turns."""
    if shape is None or not shape.turns_deg:
        return ShapeKind.STRAIGHT
    turns = shape.turns_deg
    if len(turns) == 1:
        return ShapeKind.L
    if not (all(t > 0 for t in turns) or all(t < 0 for t in turns)):
        return ShapeKind.OTHER
    if len(turns) == 2:
        return ShapeKind.U
    return ShapeKind.CLOSED_TIE if abs(sum(turns)) >= 360 - SQUARE else ShapeKind.OTHER


def deduction(size: int, shape: BarShape | None) -> Length:
    """What the bends save against the sum of the out-to-out legs; nothing for a straight bar."""
    if shape is None:
        return ZERO
    return sum((bend_deduction(size, abs(turn), shape.inside_diameters) for turn in shape.turns_deg), ZERO)


def cut_length(size: int, shape: BarShape) -> Length:
    """Cut length: out-to-out legs less what each bend saves."""
    return sum(shape.legs, ZERO) - deduction(size, shape)


def as_cut(length: Length) -> Length:
    """A cut length as the shear is set: the next quarter inch."""
    return Length(-((NO_MATTER.nm - length.nm) // CUT_TO.nm) * CUT_TO.nm)


def bent(first: Length, second: Length, turn_deg: float = 90.0) -> BarShape:
    """A main bar of two legs."""
    return BarShape((first, second), (turn_deg,), MAIN_BEND)


def tie_diameters(size: int) -> int:
    """Inside diameter of the bends of a stirrup or tie, in bar diameters."""
    return TIE_BEND if size <= LARGEST_TIE else MAIN_BEND
