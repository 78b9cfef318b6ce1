"""Filling a room for the most value, against every choice tried."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.knapsack import filled

ITEMS = st.lists(st.tuples(st.integers(1, 12), st.integers(0, 30), st.integers(0, 3)), min_size=1, max_size=4)


@settings(max_examples=80, deadline=None)
@given(ITEMS, st.integers(0, 30))
def test_every_room_is_filled_for_the_most_value(items: list[tuple[int, int, int]], room: int) -> None:
    """Exhaustive search over all numbers of pieces."""
    weights, values, limits = (tuple(column) for column in zip(*items, strict=True))
    fill = filled(weights, values, limits, room)
    for space in range(room + 1):
        best = max(
            sum(n * v for n, v in zip(chosen, values, strict=True))
            for chosen in product(*(range(limit + 1) for limit in limits))
            if sum(n * w for n, w in zip(chosen, weights, strict=True)) <= space
        )
        pieces = fill.pieces(space)
        assert fill.most(space) == best == sum(n * v for n, v in zip(pieces, values, strict=True))
        assert sum(n * w for n, w in zip(pieces, weights, strict=True)) <= space
        assert all(n <= limit for n, limit in zip(pieces, limits, strict=True))
