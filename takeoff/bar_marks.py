"""Marks of bars: size, a letter for what the bar does, and a running number (5D1, 4H3).

Bars that a fabricator cannot tell apart share a mark: the same size, role and shape, dimensions the same to the quarter
inch they are printed to. Numbers run over the whole house in the order of its stages, so that a mark never means two
bars and a change in the walls leaves the marks of the footing as they were.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from takeoff.bending import as_cut
from takeoff.plan import Stage
from takeoff.results import Bar, BarRole, BarShape
from takeoff.units import NM_PER_INCH, Length

LETTERS = {
    BarRole.FOOTING: "F",
    BarRole.FOOTING_CORNER: "FC",
    BarRole.DOWEL: "D",
    BarRole.HORIZONTAL: "H",
    BarRole.CORNER: "C",
    BarRole.VERTICAL: "V",
    BarRole.PROJECTING: "P",
    BarRole.OPENING: "T",
    BarRole.LINTEL: "L",
    BarRole.STIRRUP: "S",
    BarRole.LEDGE: "E",
    BarRole.PAD: "PD",
}

_ORDER = {stage: place for place, stage in enumerate(Stage)}

#: Stands for the shape of a bar that has none.
STRAIGHT = BarShape((), (), 0)

Look = tuple[int, str, int, tuple[int, ...], tuple[int, ...], int]


def marked(bars: Iterable[Bar]) -> tuple[Bar, ...]:
    """The same bars in the same order, each with its mark."""
    found = [(bar, look_of(bar)) for bar in bars]
    marks: dict[Look, str] = {}
    running: Counter[tuple[int, str]] = Counter()
    for bar, look in sorted(found, key=lambda item: _ORDER[item[0].stage]):
        if look not in marks:
            kind = (bar.size, LETTERS[bar.role])
            running[kind] += 1
            marks[look] = f"{bar.size}{LETTERS[bar.role]}{running[kind]}"
    return tuple(replace(bar, mark=marks[look]) for bar, look in found)


def look_of(bar: Bar) -> Look:
    """What a fabricator sees of a bar: size, role, length as cut and legs in quarter inches, turns in degrees, bend.

    A bar turned end for end or over is the same bar.
    """
    shape = bar.shape or STRAIGHT
    legs, turns = [_quarters(leg) for leg in shape.legs], [round(turn) for turn in shape.turns_deg]
    ways = ((tuple(legs), _first_left(turns)), (tuple(legs[::-1]), _first_left(turns[::-1])))
    return bar.size, LETTERS[bar.role], _quarters(as_cut(bar.cut_length)), *max(ways), shape.inside_diameters


def _first_left(turns: list[int]) -> tuple[int, ...]:
    """The turns of a bar laid so that its first goes to the left."""
    return tuple(-turn for turn in turns) if turns and turns[0] < 0 else tuple(turns)


def _quarters(length: Length) -> int:
    return round(length.nm * 4 / NM_PER_INCH)
