"""Running bond: where the joints of each course fall, so that none lies over a joint of the course below.

Corner units flip their long and short legs from course to course. With one cut at the same place in every course the
joints of two courses land on each other when the remainder of a run equals the difference of the legs, so the
arrangement is searched for, not assumed: for every course a few ways to place its cuts, and through all
courses of a leg the cheapest chain of them. Cost, in this order: pieces that are too short, joints that are too close,
cuts, narrow pieces, cuts off the web lines.

All lengths here are whole nanometres along the outside of foam.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, reduce
from itertools import pairwise
from operator import or_
from typing import Literal, NamedTuple

Role = Literal["fill", "start_leg", "end_leg"]


@dataclass(frozen=True, slots=True)
class BondRules:
    """Unit length, web spacing, the least offset of joints, the shortest piece, and the shortest corner leg, at the end
    of the leg another one where the turns differ."""

    length: int
    web: int
    minimum_offset: int
    minimum_piece: int
    minimum_leg: int
    minimum_end_leg: int | None = None

    def shortest(self, role: Role) -> int:
        """The shortest a piece may be cut."""
        if role == "fill":
            return self.minimum_piece
        return self.minimum_leg if role == "start_leg" or self.minimum_end_leg is None else self.minimum_end_leg


class Piece(NamedTuple):
    """One piece of a course; a leg piece belongs to the corner unit at that end of the leg."""

    start: int
    end: int
    role: Role = "fill"

    @property
    def length(self) -> int:
        """Length along the leg."""
        return self.end - self.start


class Interval(NamedTuple):
    """Where a course stands without a break, and the lengths of the corner legs at its ends (0: none)."""

    start: int
    end: int
    start_leg: int = 0
    end_leg: int = 0


class CourseSpec(NamedTuple):
    """What a course must fill: its intervals, less the openings it is cut through by."""

    intervals: tuple[Interval, ...]
    removed: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Course:
    """One way to lay a course: its pieces, the joints between touching pieces, and what it costs by itself."""

    pieces: tuple[Piece, ...]
    joints: tuple[int, ...]
    cost: int


SHORT_PIECE = 2_000_000
CLOSE_JOINT = 1_000_000
CUT_CORNER = 3_000
CUT = 1_000
NARROW = 100  # a piece of less than two webs
OFF_WEB = 1


# -- ways to fill a run ----------------------------------------------------------------------------
@cache
def fills(run: int, rules: BondRules) -> tuple[tuple[int, ...], ...]:
    """Lengths of the pieces of a run, in the usual arrangements, simplest first.

    One cut at the end, at the start (either of them beside the long leg of the corner), in the middle; a pair of
    equal cuts at the end, at the start, or one at each end. A remainder below the minimum piece is always shared by a
    pair. Common practice, no source.
    """
    if run <= 0:
        return ((),)
    unit, least = rules.length, rules.minimum_piece
    n, rest = divmod(run, unit)
    full = (unit,) * n
    out: list[tuple[int, ...]] = []
    if rest == 0:
        out += [full, (unit // 2, *full[1:], unit - unit // 2)]
    elif rest >= least or n == 0:
        out += [(*full, rest), (rest, *full)]
        out += [(*full[: n // 2], rest, *full[n // 2 :])] if n > 1 else []
    if rest and n:
        one = (unit + rest) // 2
        other = unit + rest - one
        most = full[1:]
        out += [(*most, one, other), (one, other, *most), (one, *most, other)]
    elif rest and run >= 2 * least:
        out.append((run // 2, run - run // 2))
    return tuple(dict.fromkeys(out))


@cache
def shifted_fills(run: int, rules: BondRules) -> tuple[tuple[int, ...], ...]:
    """More arrangements, for runs the usual ones cannot bond: a first (or last) piece on every web line in turn."""
    out: list[tuple[int, ...]] = []
    for first in range(rules.web, rules.length, rules.web):
        if first < rules.minimum_piece or first >= run:
            continue
        n, rest = divmod(run - first, rules.length)
        full = (rules.length,) * n
        if rest == 0:
            found: tuple[int, ...] = (first, *full)
        elif rest >= rules.minimum_piece:
            found = (first, *full, rest)
        elif n:
            one = (rules.length + rest) // 2
            found = (first, *full[1:], one, rules.length + rest - one)
        else:
            continue
        out += [found, found[::-1]]
    return tuple(dict.fromkeys(out))


# -- corner legs that do not fit -------------------------------------------------------------------
def fit_legs(interval: Interval, rules: BondRules) -> Interval:
    """Cut the corner legs of an interval too short for both, or that would leave a sliver between them.

    A sliver is widened to the minimum piece by cutting the longer leg. Legs that overlap meet in proportion to their
    lengths, so that the joint still moves from course to course.
    """
    room = interval.end - interval.start
    a, b = interval.start_leg, interval.end_leg
    gap = room - a - b
    if gap == 0 or gap >= rules.minimum_piece or not (a or b):
        return interval
    if gap > 0:
        need = rules.minimum_piece - gap
        if a >= b:
            a -= need
        else:
            b -= need
        return interval._replace(start_leg=a, end_leg=b)
    if not a or not b:
        return interval._replace(start_leg=min(a, room), end_leg=min(b, room))
    at_start, at_end = min(rules.shortest("start_leg"), room // 2), min(rules.shortest("end_leg"), room // 2)
    share = max(at_start, min(room - at_end, room * a // (a + b)))
    share = max(room - b, min(a, share))  # a leg is cut, never made longer
    return interval._replace(start_leg=share, end_leg=room - share)


# -- one course ------------------------------------------------------------------------------------
def _pieces(interval: Interval, lengths: Iterable[int]) -> list[Piece]:
    out, x = [], interval.start
    if interval.start_leg:
        out.append(Piece(x, x + interval.start_leg, "start_leg"))
        x += interval.start_leg
    for length in lengths:
        out.append(Piece(x, x + length))
        x += length
    if interval.end_leg:
        out.append(Piece(x, interval.end, "end_leg"))
    return out


def carve(pieces: list[Piece], removed: Sequence[tuple[int, int]]) -> list[Piece]:
    """Take openings out of a course laid as if there were none: the grid of joints stays."""
    for low, high in removed:
        out = []
        for piece in pieces:
            if piece.end <= low or piece.start >= high:
                out.append(piece)
                continue
            if piece.start < low:
                out.append(Piece(piece.start, low, piece.role if piece.role == "start_leg" else "fill"))
            if piece.end > high:
                out.append(Piece(high, piece.end, piece.role if piece.role == "end_leg" else "fill"))
        pieces = out
    return pieces


def mend(
    pieces: list[Piece], rules: BondRules, even: bool = False, breaks: frozenset[int] = frozenset()
) -> list[Piece]:
    """Join pieces below the minimum with their neighbour, but not across ``breaks``. Where that is longer than a unit,
    the neighbour gives up just enough for a minimum piece, so that the joint moves as little as possible; or,
    ``even``, both become about equal."""
    i = 0
    while i < len(pieces):
        count = len(pieces)
        if pieces[i].role == "fill" and pieces[i].length < rules.minimum_piece:
            at = _neighbour(pieces, i, breaks)
            if at is not None:
                pieces[at : at + 2] = _share(pieces[at], pieces[at + 1], rules, even)
        if len(pieces) == count:
            i += 1
    return pieces


def _neighbour(pieces: list[Piece], i: int, breaks: frozenset[int]) -> int | None:
    """Index of the left one of the pair a short piece makes with a touching neighbour; a corner unit is asked last."""
    start, end = pieces[i].start, pieces[i].end
    before = i > 0 and pieces[i - 1].end == start and start not in breaks
    after = i + 1 < len(pieces) and pieces[i + 1].start == end and end not in breaks
    if before and after:
        return i if pieces[i - 1].role != "fill" else i - 1
    return i - 1 if before else i if after else None


def _share(left: Piece, right: Piece, rules: BondRules, even: bool) -> list[Piece]:
    both_fill, total = left.role == right.role == "fill", right.end - left.start
    if both_fill and total <= rules.length:
        return [Piece(left.start, right.end)]
    if both_fill and even and total // 2 - rules.web >= rules.minimum_piece:
        joint = left.start + total // 2 // rules.web * rules.web
        return [left._replace(end=joint), right._replace(start=joint)]
    short_is_left = left.length < right.length
    need = rules.minimum_piece - min(left.length, right.length)
    giver = right if short_is_left else left
    if giver.length - need < rules.shortest(giver.role):
        return [left, right]
    joint = left.end + need if short_is_left else left.end - need
    return [left._replace(end=joint), right._replace(start=joint)]


def joints_of(pieces: Sequence[Piece]) -> tuple[int, ...]:
    """Where two pieces of a course touch; free ends and opening edges are no joints."""
    return tuple([end for (_, end, _), (start, _, _) in pairwise(pieces) if end == start])


def _laid(spec: CourseSpec, lengths: Sequence[Sequence[int]]) -> list[Piece]:
    """A course with its openings taken out, not mended yet."""
    laid: list[Piece] = []
    for interval, run in zip(spec.intervals, lengths, strict=True):
        laid += _pieces(interval, run)
    return carve(laid, spec.removed)


def _course(spec: CourseSpec, laid: list[Piece], rules: BondRules, even: bool) -> Course:
    if spec.removed:
        laid = mend(list(laid), rules, even, frozenset(interval.start for interval in spec.intervals))
    legs = {leg for _, _, *both in spec.intervals for leg in both}
    cost = sum([_piece_cost(end - start, role, legs, rules) for start, end, role in laid])
    return Course(tuple(laid), joints_of(laid), cost)


def _piece_cost(length: int, role: Role, legs: set[int], rules: BondRules) -> int:
    cost = SHORT_PIECE if length < rules.minimum_piece else 0
    if role != "fill":
        return cost if length in legs else cost + CUT_CORNER
    if length == rules.length:
        return cost
    narrow = NARROW if length < 2 * rules.web else 0
    return cost + CUT + narrow + (OFF_WEB if length % rules.web else 0)


def _ways(spec: CourseSpec, rules: BondRules, wide: bool) -> tuple[Course, ...]:
    """All ways tried for one course; where it stands in several intervals, their first few ways combined."""
    chains: list[list[tuple[int, ...]]] = [[]]
    limit = {1: 999, 2: 8, 3: 4}.get(len(spec.intervals), 2)
    for interval in spec.intervals:
        run = interval.end - interval.start - interval.start_leg - interval.end_leg
        choices = fills(run, rules) + (shifted_fills(run, rules) if wide else ())
        chains = [[*chain, way] for chain in chains for way in choices[:limit]]
    modes = (False, True) if spec.removed else (False,)
    laid = [_laid(spec, chain) for chain in chains]
    return tuple(_course(spec, pieces, rules, even) for even in modes for pieces in laid)


# -- all courses of a leg --------------------------------------------------------------------------
def close_joints(lower: Sequence[int], upper: Sequence[int], minimum: int) -> list[tuple[int, int]]:
    """Joints of the upper course that lie closer than ``minimum`` to one of the lower: (joint, offset) pairs."""
    out, i, last = [], 0, len(lower) - 1
    if last < 0:
        return []
    for joint in upper:
        while i < last and lower[i + 1] <= joint:
            i += 1
        offset = abs(joint - lower[i])
        if i < last:
            offset = min(offset, abs(lower[i + 1] - joint))
        if offset < minimum:
            out.append((joint, offset))
    return out


def bond(specs: Sequence[CourseSpec], rules: BondRules) -> list[Course]:
    """Choose a way for every course of a leg, bottom to top, with the least total cost.

    The usual arrangements first; only where they leave a close joint or a short piece, all web lines are tried as well.
    """
    return list(_bonded(tuple(specs), rules))


@lru_cache(maxsize=512)  # a plan is laid again at every change, and most of its walls did not change
def _bonded(specs: tuple[CourseSpec, ...], rules: BondRules) -> tuple[Course, ...]:
    fitted = [spec._replace(intervals=tuple(fit_legs(i, rules) for i in spec.intervals)) for spec in specs]
    total, chosen = _cheapest(fitted, rules, wide=False)
    if total >= CLOSE_JOINT:
        wide_total, wide_chosen = _cheapest(fitted, rules, wide=True)
        if wide_total < total:
            return tuple(wide_chosen)
    return tuple(chosen)


def _cheapest(specs: Sequence[CourseSpec], rules: BondRules, wide: bool) -> tuple[int, list[Course]]:
    """Dynamic programming from the top course down: the best cost of each way of a course, given the best above it.
    Among equals the lower course gets the simpler way."""
    ways = {spec: _ways(spec, rules, wide) for spec in dict.fromkeys(specs)}
    near = _Near(ways.values(), rules.minimum_offset)
    pairs: dict[tuple[CourseSpec, CourseSpec], list[list[int]]] = {}
    totals = [way.cost for way in ways[specs[-1]]]
    goes_to: list[list[int]] = []
    for upper, lower in pairwise(reversed(specs)):
        if (lower, upper) not in pairs:
            pairs[lower, upper] = near.costs(ways[lower], ways[upper])
        onward = [[cost + total for cost, total in zip(row, totals, strict=True)] for row in pairs[lower, upper]]
        best = [row.index(min(row)) for row in onward]
        totals = [row[b] + way.cost for row, b, way in zip(onward, best, ways[lower], strict=True)]
        goes_to.append(best)
    at = totals.index(min(totals))
    total, order = totals[at], [at]
    for best in reversed(goes_to):
        order.append(best[order[-1]])
    return total, [ways[spec][i] for spec, i in zip(specs, order, strict=True)]


class _Near:
    """Which joints lie too close over each other: every place any course may have a joint at is one bit, so that two
    courses are held against each other at once, as :func:`close_joints` holds them joint by joint."""

    def __init__(self, ways: Iterable[tuple[Course, ...]], minimum: int) -> None:
        rows = {course.joints for courses in ways for course in courses}
        places = sorted({joint for row in rows for joint in row})
        bit = {place: 1 << i for i, place in enumerate(places)}
        # Places closer than the minimum to a place are a run of neighbours in the sorted list.
        close = {
            place: (1 << bisect_left(places, place + minimum)) - (1 << bisect_right(places, place - minimum))
            for place in places
        }
        self._own = {row: reduce(or_, [bit[joint] for joint in row], 0) for row in rows}
        self._close = {row: reduce(or_, [close[joint] for joint in row], 0) for row in rows}

    def costs(self, lower: Sequence[Course], upper: Sequence[Course]) -> list[list[int]]:
        """Cost of the close joints of every way of one course under every way of the next."""
        above = [self._own[course.joints] for course in upper]
        below = [self._close[course.joints] for course in lower]
        return [[CLOSE_JOINT * (close & own).bit_count() for own in above] for close in below]
