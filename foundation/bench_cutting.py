"""Published cutting problems, to measure cutting plans with: read from `foundation/data/`."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from takeoff.units import Length

FILE = Path(__file__).parent / "data" / "orlib_binpack1.txt"


@dataclass(frozen=True)
class Problem:
    """Pieces to cut from stock of one length (the file's numbers taken as inches), and the fewest stock pieces known
    when it was published."""

    name: str
    stock: Length
    pieces: Counter[Length]
    known: int


@cache
def problems() -> tuple[Problem, ...]:
    """The problems of the file, in its order."""
    lines = FILE.read_text(encoding="utf-8").splitlines()
    words = iter(" ".join(line for line in lines if not line.startswith("#")).split())
    return tuple(_problem(next(words), [int(next(words)) for _ in range(3)], words) for _ in range(int(next(words))))


def _problem(name: str, head: list[int], words: Iterator[str]) -> Problem:
    stock, count, known = head
    return Problem(name, Length.inches(stock), Counter(Length.inches(next(words)) for _ in range(count)), known)
