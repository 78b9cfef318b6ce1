"""Better cutting plans than first fit, and proofs that there is no better one: column generation.

A *column* is one way of cutting one stock piece. The linear programme over the columns known so far gives each length a
price; a knapsack filled at those prices gives the next column, or shows that none is missing. Any prices give a lower
bound of the stock needed (Farley 1990, Operations Research 38:6, from memory): all the pieces at their prices, divided
by the most that one stock piece can hold. The bound is worked out in whole numbers, so that no rounding of the
programme's solver can make a proof of what is not one. Whole plans are then looked for among the columns.

Everything is bounded by counts, nothing by time: the same pieces get the same plan on every machine.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations
from operator import add

import numpy as np

from takeoff.cutting import CutPlan, Pattern, can_be_cut, reachable
from takeoff.knapsack import Filled, filled
from takeoff.units import ZERO, Length, ceil_div

Column = tuple[int, tuple[int, ...]]  # (which stock length, pieces of each size)

#: Cells of the knapsack's room where lengths have no common measure as coarse; finer costs time, coarser bounds.
MOST_CELLS = 10_000

#: Different lengths in one task; with more the plan stays as it is, with its bound.
MOST_SIZES = 250

#: Rounds of the linear programme, of diving into what is left, and nodes of the whole-number search.
MOST_ROUNDS = 400
MOST_DIVES = 4
MOST_NODES = 100
MOST_NODES_FEWER = 20

#: Prices are whole numbers of this part of a stock unit.
PRICE = 1_000_000


def improved(
    plan: CutPlan, pieces: Mapping[Length, int], lengths: tuple[Length, ...], kerf: Length, smallest: Length
) -> CutPlan:
    """A plan that buys no more than ``plan``, with the best lower bound found.

    ``pieces`` all fit into the longest of ``lengths``; ``plan.least`` is a valid bound to begin with.
    """
    if len(pieces) > MOST_SIZES:
        return plan
    task = Task.of(pieces, lengths, kerf)
    search = Search(task, plan, smallest)
    search.run()
    return replace(search.best, too_long=plan.too_long, least=search.least, lengths=lengths)


# -- the task in whole numbers ---------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Task:
    """Pieces and stock with the saw cut added to both, in cells for the knapsack.

    ``up`` are sizes rounded up and ``down`` rounded down to cells (the same where lengths have a common measure): what
    fits by ``up`` fits, and what fits, fits by ``down``. ``costs`` are stock lengths in their common measure.
    """

    lengths: tuple[Length, ...]  # of the pieces, longest first
    demand: tuple[int, ...]
    stocks: tuple[Length, ...]
    kerf: Length
    unit: Length
    costs: tuple[int, ...]
    rooms: tuple[int, ...]  # in cells
    up: tuple[int, ...]
    down: tuple[int, ...]

    @classmethod
    def of(cls, pieces: Mapping[Length, int], stocks: tuple[Length, ...], kerf: Length) -> Task:
        """The task of cutting pieces from stock lengths (shortest first)."""
        lengths = tuple(sorted(pieces, reverse=True))
        sizes = [(size + kerf).nm for size in lengths]
        rooms = [(stock + kerf).nm for stock in stocks]
        cell = _cell([*sizes, *rooms], rooms[-1])
        unit = Length(math.gcd(*(stock.nm for stock in stocks)))
        return cls(
            lengths=lengths,
            demand=tuple(pieces[size] for size in lengths),
            stocks=stocks,
            kerf=kerf,
            unit=unit,
            costs=tuple(stock // unit for stock in stocks),
            rooms=tuple(room // cell for room in rooms),
            up=tuple(-(-size // cell) for size in sizes),
            down=tuple(size // cell for size in sizes),
        )

    def cost(self, column: Column) -> int:
        """What the column's stock piece costs."""
        return self.costs[column[0]]


def _cell(lengths: list[int], room: int) -> int:
    """The common measure of all lengths [nm]; where that is too fine, the finest whole part of an inch that is not."""
    common = math.gcd(*lengths)
    parts = (common, *(Length.inches(1).nm // part for part in (64, 32, 16, 8, 4, 2, 1)))
    return next((cell for cell in parts if room // cell <= MOST_CELLS), -(-room // MOST_CELLS))


# -- the search ------------------------------------------------------------------------------------
@dataclass(slots=True)
class Search:
    """The best plan so far, the best bound so far, and every column met."""

    task: Task
    best: CutPlan
    smallest: Length
    least: Length = ZERO
    columns: dict[Column, None] = field(default_factory=dict)

    def run(self) -> None:
        """Look for less length, then for fewer pieces of stock."""
        self.least = self.best.least or ZERO
        for pattern in self.best.patterns:
            self._know(self._column_of(pattern))
        self._know_one_size()
        self._offer(self._fill_up(self.task.demand))
        if not self.done:
            self._search()
        if self._perhaps_fewer:
            self._offer(self._joined())
        if self._perhaps_fewer:
            self._search_fewer()

    def _search(self) -> None:
        """Columns, then whole plans among them, until the bound is met or the counts run out."""
        solution = self._generate(self.task.demand, whole=True)
        if not self.done:
            self._search_whole()
        for _ in range(MOST_DIVES):
            if self.done or not self._dive(solution):
                break
        if not self.done:
            self._search_whole()

    @property
    def _perhaps_fewer(self) -> bool:
        """True where the longest stock, whole, would be fewer pieces of the same length."""
        return self.best.stock > ceil_div(self.best.bought, self.task.stocks[-1])

    def _joined(self) -> list[tuple[Column, int]]:
        """The best plan with two stock pieces cut out of one as long as both, as often as there are such two."""
        costs = self.task.costs
        pieces = [self._column_of(p) for p in self.best.patterns for _ in range(p.count)]
        joined = True
        while joined:
            joined = False
            for a, b in combinations(sorted(pieces), 2):
                if (both := costs[a[0]] + costs[b[0]]) in costs:
                    pieces.remove(a)
                    pieces.remove(b)
                    pieces.append((costs.index(both), tuple(map(add, a[1], b[1]))))
                    joined = True
                    break
        return [(column, 1) for column in pieces]

    @property
    def done(self) -> bool:
        """True where the best plan meets the bound."""
        return self.best.bought <= self.least

    # -- columns -----------------------------------------------------------------------------------
    def _know(self, column: Column) -> bool:
        """Keep a column; False where it was known."""
        known = column in self.columns
        self.columns[column] = None
        return not known

    def _know_one_size(self) -> None:
        """From every stock length as many pieces of one size as go into it."""
        task = self.task
        for i, (size, count) in enumerate(zip(task.up, task.demand, strict=True)):
            for k, room in enumerate(task.rooms):
                if room >= size:
                    self._know((k, tuple(min(count, room // size) if j == i else 0 for j in range(len(task.up)))))

    def _column_of(self, pattern: Pattern) -> Column:
        counts = dict(pattern.pieces)
        return self.task.stocks.index(pattern.stock), tuple(counts.get(size, 0) for size in self.task.lengths)

    def _fill_up(self, demand: tuple[int, ...]) -> list[tuple[Column, int]]:
        """A whole plan: for the longest piece left, the stock piece filled best with it, as often as pieces last."""
        task, left, out = self.task, list(demand), []
        while any(left):
            first = next(i for i, count in enumerate(left) if count)
            left[first] -= 1
            fill = filled(task.up, task.up, left, task.rooms[-1] - task.up[first])
            choices = []
            for k, room in enumerate(task.rooms):
                if room >= task.up[first]:
                    rest = fill.most(room - task.up[first])
                    choices.append(((room - task.up[first] - rest) / room, -k))
            k = -min(choices)[1]
            taken = list(fill.pieces(task.rooms[k] - task.up[first]))
            left[first] += 1
            taken[first] += 1
            times = min(left[i] // n for i, n in enumerate(taken) if n)
            left = [have - times * n for have, n in zip(left, taken, strict=True)]
            column = (k, tuple(taken))
            self._know(column)
            out.append((column, times))
        return out

    # -- the linear programme ----------------------------------------------------------------------
    def _generate(self, demand: tuple[int, ...], whole: bool) -> list[tuple[Column, float]]:
        """Solve the linear programme over columns, adding columns until none is missing; returns how much of each.

        ``whole`` is True for the whole demand: only then do its prices bound the plan.
        """
        task, solution = self.task, []
        for turn in range(MOST_ROUNDS):
            columns = _within(list(self.columns), demand)
            solved = _solved([task.cost(c) for c in columns], [c[1] for c in columns], demand)
            if solved is None:
                break
            amounts, prices = solved
            solution = [(c, x) for c, x in zip(columns, amounts, strict=True) if x > 1e-9]
            fill = filled(task.up, prices, demand, task.rooms[-1])
            fresh = False
            for k, room in enumerate(task.rooms):
                if fill.most(room) > task.costs[k] * PRICE:
                    fresh |= self._know((k, fill.pieces(room)))
            if whole and (not fresh or turn % 5 == 4):
                self._bound(prices, fill)
                if self.done or self._settled(amounts, columns):
                    break
            if not fresh:
                break
        return solution

    def _bound(self, prices: tuple[int, ...], fill: Filled) -> None:
        """Raise the bound to what these prices prove."""
        task = self.task
        if task.up != task.down:
            fill = filled(task.down, prices, task.demand, task.rooms[-1])
        worth = sum(price * count for price, count in zip(prices, task.demand, strict=True))
        needed = min(-(-worth * cost // fill.most(room)) for cost, room in zip(task.costs, task.rooms, strict=True)
                     if fill.most(room))  # fmt: skip
        self.least = max(self.least, reachable(needed * task.unit, task.stocks))

    def _settled(self, amounts: list[float], columns: list[Column]) -> bool:
        """True where more columns cannot raise the bound: it is the programme's own value, rounded up."""
        value = sum(x * self.task.cost(c) for x, c in zip(amounts, columns, strict=True))
        return reachable(math.ceil(value - 1e-6) * self.task.unit, self.task.stocks) <= self.least

    # -- whole plans -------------------------------------------------------------------------------
    def _search_whole(self) -> None:
        """The plan of least length over the columns known, by branch and bound."""
        columns, task = list(self.columns), self.task
        costs = [task.cost(c) for c in columns]
        pieces = [c[1] for c in columns]
        least = self.least // task.unit
        self._offer(_times(columns, _solved_whole(costs, pieces, task.demand, (costs, least, math.inf), MOST_NODES)))

    def _search_fewer(self) -> None:
        """A plan of no more length with fewer pieces of stock, over the columns known; for several stock lengths."""
        columns, task = list(self.columns), self.task
        costs, bought = [task.cost(c) for c in columns], self.best.bought // task.unit
        pieces = [c[1] for c in columns]
        fewer = _solved_whole([1] * len(columns), pieces, task.demand, (costs, 0, bought), MOST_NODES_FEWER)
        self._offer(_times(columns, fewer))

    def _dive(self, solution: list[tuple[Column, float]]) -> bool:
        """Keep the whole parts of a solution (or its largest part, rounded up), solve what is left in the same way, and
        so on; True where a column was met that was not known."""
        known, left = len(self.columns), list(self.task.demand)
        chosen: Counter[Column] = Counter()
        while any(left) and solution:
            whole = [(c, int(x + 1e-6)) for c, x in solution if x >= 1 - 1e-6]
            if not whole:
                whole = [(max(solution, key=lambda item: (item[1], item[0]))[0], 1)]
            for column, times in whole:
                times = min([times, *(left[i] // n for i, n in enumerate(column[1]) if n)])
                chosen[column] += times
                left = [have - times * n for have, n in zip(left, column[1], strict=True)]
            if any(left):
                for column, _ in self._fill_up(tuple(left)):
                    self._know(column)
                solution = self._generate(tuple(left), whole=False)
        self._offer(list(chosen.items()))
        return len(self.columns) > known

    def _offer(self, chosen: list[tuple[Column, int]]) -> None:
        """Take a plan if it is a plan and better: pieces counted again, stock measured again."""
        plan = self._plan_of(chosen)
        if plan is not None and (plan.bought, plan.stock) < (self.best.bought, self.best.stock):
            self.best = plan

    def _plan_of(self, chosen: list[tuple[Column, int]]) -> CutPlan | None:
        """Patterns of chosen columns without the pieces that are too many; None where a piece is missing or a stock
        piece cannot give what is asked of it."""
        task = self.task
        spare = [-need for need in task.demand]
        for (_, pieces), times in chosen:
            spare = [have + times * n for have, n in zip(spare, pieces, strict=True)]
        if min(spare) < 0:
            return None
        cut: Counter[Column] = Counter()
        for (k, pieces), times in chosen:
            for _ in range(times):
                less = [min(n, have) for n, have in zip(pieces, spare, strict=True)]
                spare = [have - n for have, n in zip(spare, less, strict=True)]
                kept = tuple(n - m for n, m in zip(pieces, less, strict=True))
                if any(kept):
                    cut[k, kept] += 1
        patterns = tuple(self._pattern(column, times) for column, times in sorted(cut.items(), reverse=True))
        if all(can_be_cut(p.pieces, p.stock, task.kerf, self.smallest) for p in patterns):
            return CutPlan(patterns)
        return None

    def _pattern(self, column: Column, times: int) -> Pattern:
        task, stock = self.task, self.task.stocks[column[0]]
        pieces = tuple((size, n) for size, n in zip(task.lengths, column[1], strict=True) if n)
        used = sum((n * (size + task.kerf) for size, n in pieces), ZERO)
        return Pattern(times, pieces, stock + task.kerf - used, stock)


def _within(columns: list[Column], demand: tuple[int, ...]) -> list[Column]:
    """The columns that cut no more of any size than is asked for."""
    fits = np.all(np.array([pieces for _, pieces in columns]) <= np.array(demand), axis=1).tolist()
    return [column for column, fit in zip(columns, fits, strict=True) if fit]


# -- the solvers -----------------------------------------------------------------------------------
def _solved(
    costs: list[int], columns: list[tuple[int, ...]], demand: tuple[int, ...]
) -> tuple[list[float], tuple[int, ...]] | None:
    """Least cost of columns that cover the demand: how much of each column, and each size's price in parts of
    :data:`PRICE`. None where the solver gives up."""
    from scipy.optimize import linprog

    matrix = -np.array(columns, dtype=float).T
    found = linprog(costs, A_ub=matrix, b_ub=[-count for count in demand], method="highs-ds")
    if found.x is None:
        return None
    prices = tuple(max(0, round(-price * PRICE)) for price in found.ineqlin.marginals)
    return [float(x) for x in found.x], prices


def _solved_whole(
    aims: list[int],
    columns: list[tuple[int, ...]],
    demand: tuple[int, ...],
    between: tuple[list[int], float, float],
    nodes: int,
) -> list[int]:
    """Whole numbers of columns that cover the demand with the least sum of ``aims``, as found within ``nodes``, the sum
    of another row kept between two values; zeros where none was found."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    row, least, most = between
    covers = LinearConstraint(np.array(columns, dtype=float).T, lb=np.array(demand, dtype=float))
    kept = LinearConstraint(np.array([row], dtype=float), lb=least, ub=most)
    found = milp(
        aims, constraints=(covers, kept), integrality=np.ones(len(aims)), bounds=Bounds(0, max(demand) + 0.0),
        options={"node_limit": nodes},
    )  # fmt: skip
    return [0] * len(aims) if found.x is None else [round(x) for x in found.x]


def _times(columns: list[Column], amounts: list[int]) -> list[tuple[Column, int]]:
    return [(column, times) for column, times in zip(columns, amounts, strict=True) if times]
