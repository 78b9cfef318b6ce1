"""The most value that goes into a room, for every room up to a largest: whole numbers, exact."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Cells = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Filled:
    """The most value for every room up to the largest, and how to get it."""

    weights: tuple[int, ...]
    values: tuple[int, ...]
    layers: tuple[Cells, ...]  # after 0, 1, 2... sizes

    def most(self, room: int) -> int:
        """Most value that goes into a room."""
        return int(self.layers[-1][room])

    def pieces(self, room: int) -> tuple[int, ...]:
        """Pieces of each size that give it."""
        out = []
        for weight, value, before, after in zip(
            reversed(self.weights), reversed(self.values), self.layers[-2::-1], self.layers[:0:-1], strict=True
        ):
            count = 0
            while after[room] != before[room - count * weight] + count * value:
                count += 1
            out.append(count)
            room -= count * weight
        return tuple(reversed(out))


def filled(weights: tuple[int, ...], values: tuple[int, ...], limits: Iterable[int], room: int) -> Filled:
    """Fill rooms up to ``room`` with at most ``limits`` pieces of each weight, for the most value. Exact."""
    layers: list[Cells] = [np.zeros(room + 1, dtype=np.int64)]
    for weight, value, limit in zip(weights, values, limits, strict=True):
        before = layers[-1]
        copies = min(limit, room // weight) if value > 0 else 0
        after = before.copy() if copies else before
        for count in range(1, copies + 1):
            shift = count * weight
            np.maximum(after[shift:], before[: room + 1 - shift] + count * value, out=after[shift:])
        layers.append(after)
    return Filled(weights, values, tuple(layers))
