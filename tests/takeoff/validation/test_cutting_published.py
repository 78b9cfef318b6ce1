"""Cutting plans against published problems whose least number of stock pieces is known.

OR-Library (J. E. Beasley), one-dimensional bin packing, problems u120_00 to u120_19 of E. Falkenauer, 1996, "A hybrid
grouping genetic algorithm for bin packing", Journal of Heuristics 2. The file gives the best then known; for two of
them (u120_08, u120_19) one less was found later (I. P. Gent, 1998, "Heuristic solution of open bin packing problems",
Journal of Heuristics 3; from memory). Every plan is counted again here.
"""

from __future__ import annotations

import math
from collections import Counter

import pytest

from foundation.bench_cutting import Problem, problems
from takeoff.cutting import fewest, first_fit

FOUND_LATER = {"u120_08": 50, "u120_19": 49}


def test_the_file_as_published() -> None:
    assert [p.name for p in problems()] == [f"u120_{n:02}" for n in range(20)]
    assert all(p.pieces.total() == 120 and p.stock.inch == 150 for p in problems())
    assert all(20 <= size.inch <= 100 for p in problems() for size in p.pieces)


@pytest.mark.slow
@pytest.mark.parametrize("problem", problems(), ids=lambda p: f"{p.name} OR-Library")
def test_as_few_stock_pieces_as_are_known_and_proven_fewest(problem: Problem) -> None:
    plan = fewest(problem.pieces, problem.stock)
    got: Counter[float] = Counter()
    for pattern in plan.patterns:
        assert sum(size.inch * share for size, share in pattern.pieces) <= 150
        for size, share in pattern.pieces:
            got[size.inch] += share * pattern.count
    assert got == {size.inch: count for size, count in problem.pieces.items()}
    assert plan.proven and plan.stock == FOUND_LATER.get(problem.name, problem.known)
    assert plan.stock >= math.ceil(sum(size.inch * n for size, n in problem.pieces.items()) / 150)
    assert plan.stock <= first_fit(problem.pieces, problem.stock).stock
