"""Cutting pieces from stock: longest first, each into the first opened stock piece that still has room.

The rule is first-fit decreasing: quick, easily followed with a tape, at worst about two ninths over the optimum. Equal
pieces and equally filled stock are handled in groups, so that hundreds of bars cost little.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from takeoff.sources import Source
from takeoff.units import ZERO, Length

FIRST_FIT = Source("common practice: longest first, first fit")


@dataclass(frozen=True, slots=True)
class Pattern:
    """``count`` stock pieces all cut the same way: (length, pieces of it) pairs, and what is left of each."""

    count: int
    pieces: tuple[tuple[Length, int], ...]
    left: Length


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Stock needed and how it is cut; ``too_long`` lists lengths no stock piece can give."""

    patterns: tuple[Pattern, ...]
    too_long: tuple[Length, ...] = ()

    @property
    def stock(self) -> int:
        """Stock pieces needed."""
        return sum(p.count for p in self.patterns)


def first_fit(
    pieces: Mapping[Length, int], stock: Length, kerf: Length = ZERO, smallest_offcut: Length = ZERO
) -> CutPlan:
    """Cut ``pieces`` (length -> how many) from stock; a saw cut between two pieces loses ``kerf``.

    An offcut shorter than ``smallest_offcut`` is thrown away, not cut again. Lengths over the stock are returned
    in ``too_long`` and not cut.
    """
    patterns: list[Pattern] = []
    for length in sorted((size for size in pieces if size <= stock), reverse=True):
        patterns = _place(patterns, length, pieces[length], stock, kerf, smallest_offcut)
    return CutPlan(tuple(patterns), tuple(sorted(size for size in pieces if size > stock)))


def _place(
    opened: list[Pattern], length: Length, count: int, stock: Length, kerf: Length, smallest: Length
) -> list[Pattern]:
    """Put ``count`` pieces of one length into the opened stock in order, then into fresh stock."""
    out: list[Pattern] = []
    for pattern in opened:
        room = pattern.left - kerf
        each = 0 if room < smallest else _fits(room, length, kerf, smallest)
        taken = min(count, each * pattern.count)
        count -= taken
        out += _filled(pattern, length, each, taken, kerf)
    each = _fits(stock, length, kerf, smallest)
    if count:
        fresh = Pattern(-(-count // each), (), stock + kerf)
        out += _filled(fresh, length, each, count, kerf)
    return out


def _fits(room: Length, length: Length, kerf: Length, smallest: Length) -> int:
    """How many pieces of one length come out of ``room``, without cutting an offcut below the smallest."""
    if room < length:
        return 0
    fits = 1
    left = room - length - kerf
    while left >= length and left >= smallest:
        fits += 1
        left = left - length - kerf
    return fits


def _filled(pattern: Pattern, length: Length, each: int, taken: int, kerf: Length) -> list[Pattern]:
    """Split one group of stock pieces by how many of the new pieces each has received."""
    if not taken:
        return [pattern]
    whole, rest = divmod(taken, each)
    shares = [(whole, each), (1 if rest else 0, rest), (pattern.count - whole - (1 if rest else 0), 0)]
    out = []
    for count, share in shares:
        if count:
            pieces = (*pattern.pieces, (length, share)) if share else pattern.pieces
            out.append(replace(pattern, count=count, pieces=pieces, left=pattern.left - share * (length + kerf)))
    return out
