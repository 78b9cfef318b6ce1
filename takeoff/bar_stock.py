"""Stock bars: the lengths a yard sells, cut into the bars of the schedule, and how many of each are bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from takeoff.bending import as_cut
from takeoff.cutting import CutPlan, CuttingMethod, fewest
from takeoff.plan import Stage
from takeoff.results import Bar, Buy, Quantity, Unit
from takeoff.site import WallBarSpec
from takeoff.sources import Source
from takeoff.units import ZERO, Length, ceil_div, format_length

SCHEDULE = Source("bar schedule of the plan")

#: Keys of stock bars, followed by their size; where several lengths are on hand also by the length: '#5.40ft'.
STOCK_BARS = "bars.stock.#"


@dataclass(frozen=True, slots=True)
class BarCuts:
    """Bars cut from stock. ``pieced`` stock bars make up bars longer than any stock, whole ones for each such bar."""

    plan: CutPlan
    pieces: int
    cut: Length
    pieced: int

    @property
    def by_stock(self) -> dict[Length, int]:
        """Stock bars by length, shortest first; pieced ones are of the longest."""
        out = self.plan.by_stock
        if self.pieced:
            out[self.plan.lengths[-1]] = out.get(self.plan.lengths[-1], 0) + self.pieced
        return out

    @property
    def count(self) -> int:
        """Stock bars of all lengths."""
        return self.plan.stock + self.pieced

    @property
    def bought(self) -> Length:
        """Their lengths together."""
        return sum((count * stock for stock, count in self.by_stock.items()), ZERO)

    def said(self) -> str:
        """'45 bars, fewest possible, 68 ft left over'."""
        by_length = self.by_stock
        many = " + ".join(f"{count} of {stock}" for stock, count in by_length.items())
        count = "1 bar" if self.count == 1 else f"{self.count} bars"
        bars = f"{many} = {count}" if len(by_length) > 1 else count
        pieced = f", {self.pieced} of them for bars longer than stock" if self.pieced else ""
        return f"{bars}{pieced}, {self.plan.said()}, {(self.bought - self.cut).foot:.0f} ft left over"


def stock_lengths(bars: WallBarSpec) -> tuple[Length, ...]:
    """The stock lengths that can be had, shortest first: the one laps are laid out for, and others on hand."""
    return tuple(sorted({bars.stock_length, *bars.also_stock}))


def cut_bars(pieces: Mapping[Length, int], bars: WallBarSpec, cutting: CuttingMethod) -> BarCuts:
    """Stock bars that give all pieces (length as cut -> how many); a shear loses nothing. Longer ones are pieced
    together out of the longest stock."""
    lengths = stock_lengths(bars)
    plan = fewest(pieces, lengths, method=cutting)
    pieced = sum(pieces[long] * ceil_div(long, lengths[-1]) for long in plan.too_long)
    total = sum((count * length for length, count in pieces.items()), ZERO)
    return BarCuts(plan, sum(pieces.values()), total, pieced)


def cut_together(
    by_section: Mapping[str, Mapping[Length, int]], bars: WallBarSpec, cutting: CuttingMethod
) -> dict[tuple[str, ...], BarCuts]:
    """Bars of several sections cut from one heap where that buys less than cutting each from its own, or stock comes in
    several lengths; otherwise each from its own. By the sections that share a heap."""
    apart: dict[tuple[str, ...], BarCuts] = {
        (section,): cut_bars(pieces, bars, cutting) for section, pieces in by_section.items()
    }
    if len(apart) < 2:
        return apart
    heap: Counter[Length] = Counter()
    for pieces in by_section.values():
        heap.update(pieces)
    together = cut_bars(heap, bars, cutting)
    own = sum((cuts.bought for cuts in apart.values()), ZERO)
    several = len(stock_lengths(bars)) > 1
    if together.bought < own or (several and together.bought == own):
        return {tuple(by_section): together}
    return apart


def pieces_of(
    bars: Iterable[Bar], stage: Stage, sections: Collection[str] | None = None
) -> dict[int, dict[str, Counter[Length]]]:
    """Lengths as cut (-> how many) of a stage's bars by size and section, sections in the order met."""
    out: dict[int, dict[str, Counter[Length]]] = {}
    for bar in bars:
        if bar.stage is stage and (sections is None or bar.section in sections):
            own = out.setdefault(bar.size, {}).setdefault(bar.section, Counter())
            own[as_cut(bar.cut_length)] += bar.count
    return out


def stock_key(size: int, stock: Length, bars: WallBarSpec) -> str:
    """Key of the quantity of one size and stock length: 'bars.stock.#5', 'bars.stock.#5.40ft' where there are more."""
    several = len(stock_lengths(bars)) > 1
    return f"{STOCK_BARS}{size}" + (f".{stock.foot:g}ft" if several else "")


def size_of(key: str) -> int:
    """The bar size in a key of stock bars."""
    return int(key.removeprefix(STOCK_BARS).split(".")[0])


def stock_quantities(
    bars: WallBarSpec,
    key: tuple[str, Stage, int],
    pieces: Mapping[Length, int],
    parts: str,
    legs: tuple[str, ...],
    cutting: CuttingMethod,
) -> list[Quantity]:
    """Stock bars to buy for one (section, stage, size), a quantity for each stock length; ``parts`` says what they are
    cut into."""
    section, stage, size = key
    cuts = cut_bars(pieces, bars, cutting)
    lengths = " and ".join(str(stock) for stock in stock_lengths(bars))
    basis = (
        f"{cuts.pieces} pieces, {parts} = {cuts.cut.foot:.1f} ft, cut from {lengths} stock: {cuts.said()}; bent bars "
        "are counted as cut straight"
    )
    return [
        Quantity(
            stock_key(size, stock, bars), f"Bars #{size}, {format_length(stock)} stock", count, Unit.EACH, stage,
            section, "reinforcement", basis, SCHEDULE, Buy(f"bar {stock.foot:g} ft", 1.0), legs,
        )
        for stock, count in cuts.by_stock.items()
    ]  # fmt: skip
