"""Cutting pieces from stock, as few stock pieces as possible, and what is known of how few they can be.

Two ways. *First fit*: longest first, each into the first opened stock piece that still has room; quick, easily followed
with a tape, at worst about two ninths over the optimum. *Proven*: first fit is held against lower bounds of the number
needed; where they differ, better plans are looked for (:mod:`takeoff.cutting_exact`). A plan carries the bound, so that
it can say whether fewer are possible. Equal pieces are handled in groups: hundreds of bars cost little.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from itertools import chain

from takeoff.sources import Source
from takeoff.units import ZERO, Length, ceil_div

FIRST_FIT = Source("common practice: longest first, first fit")

#: Multiples tried in the rounding functions of the lower bound.
MULTIPLES = range(1, 13)

#: Most sums of stock lengths tried, in steps of their common measure.
MOST_STEPS = 200_000


class CuttingMethod(StrEnum):
    """How hard a cutting plan is looked for."""

    FIRST_FIT = "first_fit"  # at once: while a person types
    PROVEN = "proven"  # where the plan is kept and bars are ordered by it


@dataclass(frozen=True, slots=True)
class Pattern:
    """``count`` stock pieces of length ``stock`` all cut the same way: (length, pieces of it) pairs, longest first, and
    what is left of each."""

    count: int
    pieces: tuple[tuple[Length, int], ...]
    left: Length
    stock: Length = ZERO


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Stock needed and how it is cut; ``too_long`` lists lengths no stock piece can give.

    ``least`` is a length of stock below which no plan can stay, None where none was looked for; ``lengths`` are the
    stock lengths that could be had.
    """

    patterns: tuple[Pattern, ...]
    too_long: tuple[Length, ...] = ()
    least: Length | None = None
    lengths: tuple[Length, ...] = ()

    @property
    def stock(self) -> int:
        """Stock pieces needed."""
        return sum(p.count for p in self.patterns)

    @property
    def bought(self) -> Length:
        """Their lengths together."""
        return sum((p.count * p.stock for p in self.patterns), ZERO)

    @property
    def by_stock(self) -> dict[Length, int]:
        """Stock pieces needed by their length, shortest first."""
        out: dict[Length, int] = {}
        for pattern in sorted(self.patterns, key=lambda p: p.stock):
            out[pattern.stock] = out.get(pattern.stock, 0) + pattern.count
        return out

    @property
    def proven(self) -> bool:
        """True where no plan buys less length of stock (with one stock length: fewer pieces)."""
        return self.least is not None and self.bought <= self.least

    def said(self) -> str:
        """How good the plan is, in words: 'fewest possible', 'at most 1 more than the least possible 45'."""
        if self.least is None:
            return "longest first, first fit"
        one = self.lengths[0] if len(self.lengths) == 1 else None
        if self.proven:
            return "fewest possible" if one else "least length possible"
        if one:
            least = self.least // one
            return f"at most {self.stock - least} more than the least possible {least}"
        return f"at most {self.bought - self.least} more than the least possible {self.least}"


# -- asking for a plan -----------------------------------------------------------------------------
def fewest(
    pieces: Mapping[Length, int],
    stock: Length | tuple[Length, ...],
    kerf: Length = ZERO,
    smallest_offcut: Length = ZERO,
    method: CuttingMethod = CuttingMethod.PROVEN,
) -> CutPlan:
    """Cut ``pieces`` (length -> how many) from stock of one length or of several, any number of each.

    One stock length: as few stock pieces as found. Several: as little length bought as found, then as few pieces. A saw
    cut between two pieces loses ``kerf``. An offcut shorter than ``smallest_offcut`` is not cut again. Lengths over the
    longest stock are returned in ``too_long`` and not cut. The same question gets the same answer.
    """
    lengths = (stock,) if isinstance(stock, Length) else tuple(sorted(set(stock)))
    asked = tuple(sorted((size.nm, count) for size, count in pieces.items() if count > 0))
    return _fewest(asked, lengths, kerf, smallest_offcut, method)


@lru_cache(maxsize=512)
def _fewest(
    asked: tuple[tuple[int, int], ...],
    lengths: tuple[Length, ...],
    kerf: Length,
    smallest: Length,
    method: CuttingMethod,
) -> CutPlan:
    pieces = {Length(nm): count for nm, count in asked}
    plan = first_fit_of_several(pieces, lengths, kerf, smallest)
    if method is CuttingMethod.FIRST_FIT:
        return plan
    cut = {size: count for size, count in pieces.items() if size <= lengths[-1]}
    least = least_stock(cut, lengths, kerf, plan.bought)
    plan = replace(plan, least=least)
    if plan.proven:
        return plan
    from takeoff.cutting_exact import improved  # numeric libraries take a third of a second to load

    return improved(plan, cut, lengths, kerf, smallest)


def forget() -> None:
    """Drops the plans that are kept, so that the next is made anew: for measuring."""
    _fewest.cache_clear()


# -- first fit -------------------------------------------------------------------------------------
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
    return CutPlan(tuple(patterns), tuple(sorted(size for size in pieces if size > stock)), lengths=(stock,))


def first_fit_of_several(
    pieces: Mapping[Length, int], lengths: tuple[Length, ...], kerf: Length, smallest: Length
) -> CutPlan:
    """First fit from each stock length in turn (what it cannot give from the longest), every stock piece then made as
    short as holds its pieces; the plan that buys least length, then fewest pieces."""
    longest = lengths[-1]
    plans = []
    for stock in lengths:
        own = {size: count for size, count in pieces.items() if size <= stock}
        rest = {size: count for size, count in pieces.items() if size > stock}
        long = first_fit(rest, longest, kerf, smallest)
        patterns = (*first_fit(own, stock, kerf, smallest).patterns, *long.patterns)
        if len(lengths) > 1:
            patterns = tuple(_shortened(p, lengths, kerf, smallest) for p in patterns)
        plans.append(CutPlan(patterns, long.too_long, lengths=lengths))
    return min(plans, key=lambda plan: (plan.bought, plan.stock))


def _shortened(pattern: Pattern, lengths: tuple[Length, ...], kerf: Length, smallest: Length) -> Pattern:
    """The pattern on the shortest stock that holds it."""
    for stock in lengths:
        left = stock - pattern.stock + pattern.left
        if left >= ZERO and can_be_cut(pattern.pieces, stock, kerf, smallest):
            return replace(pattern, stock=stock, left=left)
    return pattern


def _place(
    opened: list[Pattern], length: Length, count: int, stock: Length, kerf: Length, smallest: Length
) -> list[Pattern]:
    """Put ``count`` pieces of one length into the opened stock in order, then into fresh stock."""
    out: list[Pattern] = []
    least = max(length.nm, smallest.nm) + kerf.nm
    for pattern in opened:
        if not count or pattern.left.nm < least:
            out.append(pattern)
            continue
        each = _fits(pattern.left - kerf, length, kerf, smallest)
        taken = min(count, each * pattern.count)
        count -= taken
        out += _filled(pattern, length, each, taken, kerf)
    each = _fits(stock, length, kerf, smallest)
    if count:
        fresh = Pattern(-(-count // each), (), stock + kerf, stock)
        out += _filled(fresh, length, each, count, kerf)
    return out


def _fits(room: Length, length: Length, kerf: Length, smallest: Length) -> int:
    """How many pieces of one length come out of ``room``, without cutting an offcut below the smallest."""
    if room < length:
        return 0
    each, least = length.nm + kerf.nm, max(length.nm, smallest.nm)
    left = room.nm - each
    return 1 if left < least else 2 + (left - least) // each


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
            left = Length(pattern.left.nm - share * (length.nm + kerf.nm))
            out.append(Pattern(count, pieces, left, pattern.stock))
    return out


def can_be_cut(pieces: tuple[tuple[Length, int], ...], stock: Length, kerf: Length, smallest: Length) -> bool:
    """True where a stock piece gives these pieces, and in some order of cutting no offcut shorter than the smallest is
    cut again: the last offcut cut into holds the last piece and what is left over, so the longest piece comes last."""
    cuts = sum(count for _, count in pieces)
    used = sum((count * size for size, count in pieces), ZERO) + max(0, cuts - 1) * kerf
    if used > stock:
        return False
    return cuts < 2 or max(size for size, _ in pieces) + (stock - used) >= smallest


# -- lower bounds ----------------------------------------------------------------------------------
def least_stock(
    pieces: Mapping[Length, int], lengths: tuple[Length, ...], kerf: Length, enough: Length | None = None
) -> Length:
    """A length of stock no cutting plan can stay below, whatever it does.

    One stock length: the largest of the bounds of :func:`_bounds` times that length. Several: the pieces' own length
    with their saw cuts, rounded up to a length that stock pieces add up to. Stops where ``enough`` is reached.
    """
    if not pieces:
        return ZERO
    if len(lengths) == 1:
        stock, best = lengths[0], 1
        most = None if enough is None else enough // stock
        sizes = {(size + kerf).nm: count for size, count in pieces.items()}
        for bound in _bounds(sizes, (stock + kerf).nm):
            best = max(best, bound)
            if most is not None and best >= most:
                break
        return best * stock
    needed = sum((count * size for size, count in pieces.items()), ZERO)
    return reachable(needed, lengths)


def _bounds(sizes: Mapping[int, int], room: int) -> Iterator[int]:
    """Lower bounds of the stock pieces needed, each valid by itself, for sizes (-> how many) and room with the saw cut
    added to both.

    A function u of a size is dual feasible where the u of pieces that fit into one stock piece never add up to more
    than 1; the sum of u over all pieces is then a bound. Used: pieces over room - e count 1, pieces under e count
    nothing (Martello and Toth 1990, Knapsack Problems, 8.3), and of the rest for each k u(x) = floor((k + 1) x) / k, or
    x where (k + 1) x is whole (Fekete and Schepers 2001, Mathematical Programming 91). Both from memory.
    """
    thresholds = [0, *sorted(size for size in sizes if 2 * size <= room)]
    for k in chain((0,), MULTIPLES):
        for threshold in thresholds:
            whole, parts = 0, 0
            for size, count in sizes.items():
                if size > room - threshold:
                    whole += count
                elif size >= threshold:
                    parts += count * _share(size, room, k)
            yield whole - (-parts // (max(k, 1) * room))


def _share(size: int, room: int, k: int) -> int:
    """u(size / room) in parts of k x room; k = 0 is the size itself in parts of room."""
    if not k:
        return size
    times, rest = divmod((k + 1) * size, room)
    return k * size if not rest else times * room


def reachable(needed: Length, lengths: tuple[Length, ...]) -> Length:
    """The least sum of any number of stock lengths that is ``needed`` or more (``needed`` itself where the lengths have
    too small a common measure to try all sums)."""
    unit = math.gcd(*(stock.nm for stock in lengths))
    steps = [stock.nm // unit for stock in lengths]
    first = ceil_div(needed, Length(unit))
    if first > MOST_STEPS:
        return needed
    sums = [True] + [False] * (first + steps[-1])
    for total in range(1, len(sums)):
        sums[total] = any(total >= step and sums[total - step] for step in steps)
    return Length(next(total for total in range(first, len(sums)) if sums[total]) * unit)
