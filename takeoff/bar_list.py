"""The bars of a stage as a fabricator wants them: a list of marks with shapes to bend, and a plan to cut them by."""

from __future__ import annotations

import string
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from takeoff.bar_stock import BarCuts, cut_together, pieces_of
from takeoff.bending import SQUARE, ShapeKind, as_cut, deduction, kind_of
from takeoff.cutting import CuttingMethod
from takeoff.laps import bar_size
from takeoff.plan import Stage
from takeoff.results import Bar, BarRole, BarShape, Takeoff
from takeoff.units import Length, ceil_div, format_length

#: Bars are cut and bent to the quarter inch. Common practice, no source.
QUARTERS = 4


def quarter(length: Length) -> str:
    """A length as a fabricator reads it, to the nearest quarter inch."""
    return format_length(length, denominator=QUARTERS)


# -- the list --------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class BarLine:
    """All bars of one mark in one stage.

    ``dimensions`` are the legs out to out by letter (A the cut length of a straight bar); ``inside_bend`` the inside
    diameter of the bends; ``deduction`` what they save: cut length = sum of the legs - deduction. Lengths are exact;
    legs are printed to the nearest quarter inch, the cut length to the next. Bars of one mark may differ by less than
    that: the longest stands here, and the weight is that of all of them.
    """

    mark: str
    size: int
    grade_ksi: int
    kind: ShapeKind
    shape: BarShape | None
    dimensions: tuple[tuple[str, Length], ...]
    inside_bend: Length | None
    cut_length: Length
    deduction: Length
    count: int
    weight_lb: float
    stage: Stage
    roles: tuple[BarRole, ...]
    legs: tuple[tuple[str, int], ...]  # where used, and how many there

    def legs_said(self) -> str:
        """'A 3'-9", B 0'-10"', with the turns where they are not square: 'A 3'-2", B 3'-2", bent 45 degrees'."""
        turns = [abs(turn) for turn in self.shape.turns_deg] if self.shape else []
        bent = [f"{turn:.0f}" for turn in turns] if any(abs(turn - 90) > SQUARE for turn in turns) else []
        said = [f"{letter} {quarter(length)}" for letter, length in self.dimensions]
        return ", ".join([*said, f"bent {' and '.join(bent)} degrees"] if bent else said)

    def cut_said(self) -> str:
        """The length as cut: '4'-5 1/2"'."""
        return quarter(as_cut(self.cut_length))

    def bend_said(self) -> str:
        """'inside 3 3/4", deduct 1 1/2"'; '' for a straight bar."""
        if self.inside_bend is None:
            return ""
        return (
            f"inside {format_length(self.inside_bend, 'in', 8)}, deduct {format_length(self.deduction, 'in', QUARTERS)}"
        )

    def where_said(self) -> str:
        """'North 12, East 8'."""
        return ", ".join(f"{leg} {count}" for leg, count in self.legs)


def bar_list(takeoff: Takeoff, stage: Stage, sections: tuple[str, ...] | None = None) -> tuple[BarLine, ...]:
    """The bars of one stage, of all sections or the named ones, a line for each mark, heaviest size first."""
    by_mark: dict[str, list[Bar]] = {}
    for bar in takeoff.bars:
        if bar.stage is stage and (sections is None or bar.section in sections):
            by_mark.setdefault(bar.mark, []).append(bar)
    lines = [_line(bars, takeoff.plan.spec.bars.grade_ksi) for bars in by_mark.values()]
    return tuple(sorted(lines, key=_order))


def _order(line: BarLine) -> tuple[int, str, int]:
    letters = line.mark.strip(string.digits)
    return -line.size, letters, int(line.mark.rpartition(letters)[2])


def _line(bars: list[Bar], grade_ksi: int) -> BarLine:
    longest = max(bars, key=lambda bar: bar.cut_length)
    size, shape = longest.size, longest.shape
    feet = sum(bar.count * bar.cut_length.foot for bar in bars)
    places: Counter[str] = Counter()
    for bar in bars:
        places[bar.leg] += bar.count
    legs = shape.legs if shape else (longest.cut_length,)
    bend = Length.from_inches(shape.inside_diameters * bar_size(size).diameter) if shape else None
    return BarLine(
        mark=longest.mark,
        size=size,
        grade_ksi=grade_ksi,
        kind=kind_of(shape),
        shape=shape,
        dimensions=tuple(zip(string.ascii_uppercase, legs, strict=False)),
        inside_bend=bend,
        cut_length=longest.cut_length,
        deduction=deduction(size, shape),
        count=places.total(),
        weight_lb=feet * bar_size(size).weight,
        stage=longest.stage,
        roles=tuple(dict.fromkeys(bar.role for bar in bars)),
        legs=tuple(places.items()),
    )


# -- the cutting plan ------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class CutLine:
    """``count`` stock bars cut the same way: pieces as (length, how many, marks), and what is left of each."""

    size: int
    stock: Length
    count: int
    pieces: tuple[tuple[Length, int, tuple[str, ...]], ...]
    left: Length
    sections: tuple[str, ...]  # that share the heap they are cut from

    def said(self) -> str:
        """'3 x 6'-2" (5D1) + 1 x 1'-4 1/4" (5C2)'."""
        return " + ".join(f"{n} x {quarter(length)} ({', '.join(marks)})" for length, n, marks in self.pieces)


@dataclass(frozen=True, slots=True)
class SizeCuts:
    """How one size is cut: its lines, and in words how many bars that takes and how few there could be."""

    size: int
    sections: tuple[str, ...]
    lines: tuple[CutLine, ...]
    cuts: BarCuts
    said: str


def cutting_plan(
    takeoff: Takeoff,
    stage: Stage,
    sections: tuple[str, ...] | None = None,
    cutting: CuttingMethod = CuttingMethod.PROVEN,
) -> tuple[SizeCuts, ...]:
    """How the bars of a stage are cut from stock, heaviest size first; the same cuts as are ordered."""
    own = tuple(bar for bar in takeoff.bars if sections is None or bar.section in sections)
    out = []
    for size, by_section in sorted(pieces_of(own, stage).items(), reverse=True):
        for heap, cuts in cut_together(by_section, takeoff.plan.spec.bars, cutting).items():
            marks = _marks(bar for bar in own if (bar.stage, bar.size) == (stage, size) and bar.section in heap)
            lines = (*_lines(size, cuts, marks, heap), *_pieced(size, cuts, by_section, marks, heap))
            out.append(SizeCuts(size, heap, lines, cuts, cuts.said()))
    return tuple(out)


def _marks(bars: Iterable[Bar]) -> dict[Length, tuple[str, ...]]:
    """Marks by length as cut."""
    out: dict[Length, dict[str, None]] = {}
    for bar in bars:
        out.setdefault(as_cut(bar.cut_length), {})[bar.mark] = None
    return {length: tuple(marks) for length, marks in out.items()}


def _lines(size: int, cuts: BarCuts, marks: dict[Length, tuple[str, ...]], heap: tuple[str, ...]) -> list[CutLine]:
    """A line for each way of cutting."""
    return [
        CutLine(
            size,
            pattern.stock,
            pattern.count,
            tuple((length, n, marks[length]) for length, n in pattern.pieces),
            pattern.left,
            heap,
        )
        for pattern in cuts.plan.patterns
    ]


def _pieced(
    size: int,
    cuts: BarCuts,
    by_section: dict[str, Counter[Length]],
    marks: dict[Length, tuple[str, ...]],
    heap: tuple[str, ...],
) -> list[CutLine]:
    """Bars longer than any stock: whole stock bars for each, nothing left that is counted on."""
    out = []
    for length in cuts.plan.too_long:
        stock = cuts.plan.lengths[-1]
        count = sum(by_section[section][length] for section in heap) * ceil_div(length, stock)
        out.append(CutLine(size, stock, count, ((stock, 1, marks[length]),), Length(0), heap))
    return out
