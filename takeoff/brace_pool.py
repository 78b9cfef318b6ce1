"""One set of braces for several houses: how many are out on the worst day, and what wait brings them back in time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, permutations

_Moved = dict[int, int]  # days of wait by the need's place in the list


@dataclass(frozen=True, slots=True)
class Need:
    """Braces one house ties up, from and to a day, both included. Days are numbers (of a calendar, of a job). What is
    ``standing`` already cannot wait."""

    house: str
    braces: int
    from_day: int
    to_day: int
    standing: bool = False

    def later(self, days: int) -> Need:
        """The same, this many days later."""
        return replace(self, from_day=self.from_day + days, to_day=self.to_day + days)


@dataclass(frozen=True, slots=True)
class Slip:
    """One house that waits, in days."""

    house: str
    days: int


@dataclass(frozen=True, slots=True)
class Pool:
    """What sharing comes to. ``peak`` braces are out on ``peak_day`` (None with no need), held by ``together``;
    ``short`` is what is missing then. ``slips`` is the least wait that resolves it: the fewest days in all, of one
    house where one is enough. Empty where nothing is short or where no wait helps (a house needs more than are
    owned, or what stands already does)."""

    owned: int
    peak: int
    peak_day: int | None
    together: tuple[str, ...]
    slips: tuple[Slip, ...]
    say: str

    @property
    def short(self) -> int:
        """Braces missing on the worst day."""
        return max(self.peak - self.owned, 0)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days, both included, on which the same braces are out: ``held`` by whom and how many, ``out`` in all."""

    from_day: int
    to_day: int
    held: tuple[tuple[str, int], ...]

    @property
    def out(self) -> int:
        """Braces out on each of these days."""
        return sum(count for _, count in self.held)


def stretches(needs: Sequence[Need]) -> tuple[Stretch, ...]:
    """Every day on which braces are out, days alike together, in order; days with none are left out."""
    needs = [need for need in needs if need.braces and need.to_day >= need.from_day]
    turns = sorted({need.from_day for need in needs} | {need.to_day + 1 for need in needs})
    out = []
    for first, after in pairwise(turns):
        held: dict[str, int] = {}
        for need in needs:
            if need.from_day <= first <= need.to_day:
                held[need.house] = held.get(need.house, 0) + need.braces
        if held:
            out.append(Stretch(first, after - 1, tuple(held.items())))
    return tuple(out)


def pool(needs: Sequence[Need], owned: int) -> Pool:
    """Braces out by day against those owned, and the least wait that makes them enough.

    A house may only wait, not start sooner. ValueError where a need ends before it begins or is less than nothing.
    """
    for need in needs:
        if need.to_day < need.from_day or need.braces < 0:
            raise ValueError(f"{need.house}: {need.braces} braces from day {need.from_day} to day {need.to_day}")
    peak, day = _peak(needs)
    out = tuple(n.house for n in needs if day is not None and n.from_day <= day <= n.to_day and n.braces)
    slips: tuple[Slip, ...] = ()
    if peak > owned and all(need.braces <= owned for need in needs):
        slips = _least_wait(needs, owned)
    return Pool(owned, peak, day, out, slips, _say(needs, owned, peak, day, slips))


def _peak(needs: Sequence[Need]) -> tuple[int, int | None]:
    """The most out on one day, and the first such day. It can only rise on a day a house begins."""
    days = sorted({need.from_day for need in needs})
    totals = [(sum(n.braces for n in needs if n.from_day <= day <= n.to_day), -day) for day in days]
    if not totals:
        return 0, None
    most, first = max(totals)
    return most, -first


def _least_wait(needs: Sequence[Need], owned: int) -> tuple[Slip, ...]:
    """Fewest days in all: one house, or two; of equal waits that of the house that begins last. Where two are not
    enough all are put in a row in the order they begin, each as soon as it fits."""
    order = sorted((k for k, need in enumerate(needs) if not need.standing), key=lambda k: (-needs[k].from_day, k))
    ways: tuple[Iterable[_Moved], ...] = (
        ({k: days} for k in order if _rest_fits(needs, owned, k) for days in _waits(needs, k)),
        (
            moved
            for first, second in permutations(order, 2)
            if _rest_fits(needs, owned, first, second)
            for moved in _both(needs, first, second)
        ),
    )
    for tried in ways:
        best: _Moved = {}
        for moved in tried:
            if best and sum(moved.values()) >= sum(best.values()):
                continue
            if _peak([need.later(moved.get(k, 0)) for k, need in enumerate(needs)])[0] <= owned:
                best = moved
        if best:
            return tuple(Slip(needs[k].house, days) for k, days in sorted(best.items()))
    return _in_a_row(needs, owned)


def _rest_fits(needs: Sequence[Need], owned: int, *waiting: int) -> bool:
    """False where the others are too many by themselves, so that no wait of these helps."""
    return _peak([need for k, need in enumerate(needs) if k not in waiting])[0] <= owned


def _waits(needs: Sequence[Need], which: int) -> list[int]:
    """Waits worth trying: those that let a house begin the day after another one ends."""
    return sorted(_after([need for k, need in enumerate(needs) if k != which], needs[which]))


def _both(needs: Sequence[Need], first: int, second: int) -> Iterator[_Moved]:
    """Two houses that wait, the second also for the first as moved."""
    for days in _waits(needs, first):
        others = [need for k, need in enumerate(needs) if k not in (first, second)]
        for more in sorted(_after([*others, needs[first].later(days)], needs[second])):
            yield {first: days, second: more}


def _in_a_row(needs: Sequence[Need], owned: int) -> tuple[Slip, ...]:
    placed: list[Need] = []
    out = []
    for need in sorted(needs, key=lambda n: (not n.standing, n.from_day)):
        tried = (0,) if need.standing else (0, *sorted(_after(placed, need)))
        days = next((d for d in tried if _peak([*placed, need.later(d)])[0] <= owned), None)
        if days is None:  # what stands already is more than are owned
            return ()
        placed.append(need.later(days))
        out += [Slip(need.house, days)] if days else []
    return tuple(out)


def _after(placed: Sequence[Need], need: Need) -> set[int]:
    return {d for n in placed if (d := n.to_day + 1 - need.from_day) > 0}


def _say(needs: Sequence[Need], owned: int, peak: int, day: int | None, slips: tuple[Slip, ...]) -> str:
    if day is None:
        return "No house needs braces."
    if peak <= owned:
        return f"At most {peak} of {owned} braces are out, on day {day}."
    short = f"{peak - owned} braces short on day {day} ({peak} needed, {owned} owned)"
    if slips:
        waits = " and ".join(f"{s.house} by {s.days} day{'' if s.days == 1 else 's'}" for s in slips)
        return f"{short}: move {waits}, or rent {peak - owned}."
    over = ", ".join(need.house for need in needs if need.braces > owned)
    return f"{short}: {f'{over} alone needs more than are owned; ' if over else ''}rent {peak - owned}."
