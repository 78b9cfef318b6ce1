"""Order lines: quantities of one key added up, wasted and rounded once, at the buying unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from takeoff.bar_stock import STOCK_BARS, cut_together, pieces_of, size_of, stock_key
from takeoff.cutting import CuttingMethod
from takeoff.plan import Stage
from takeoff.readymix import buying_units, load_text
from takeoff.results import Buy, OrderLine, Quantity, Takeoff, Unit
from takeoff.site import ConcreteSpec
from takeoff.tally import number
from takeoff.units import format_length

#: Keys of quantities that come in a mixer truck.
READY_MIX = ("footing.concrete", "wall.concrete")


def order_lines(takeoff: Takeoff, stage: Stage, sections: tuple[str, ...] | None = None) -> tuple[OrderLine, ...]:
    """What to order for one stage, for all sections or the named ones: one line per kind of thing and buying unit.

    Waste is added to the sum of all sections and the extra (a pump's hopper) once, then it is rounded up once.
    """
    groups: dict[tuple[str, str, float, Unit], list[Quantity]] = {}
    for quantity in _bars_together(takeoff, takeoff.of(stage, sections)):
        if quantity.buy is not None:
            kind = quantity.key, quantity.buy.unit, quantity.buy.step, quantity.unit
            groups.setdefault(kind, []).append(quantity)
    spec = takeoff.plan.spec.concrete
    names = {section.key: section.name for section in takeoff.plan.sections}
    lines = (_line(group, spec, names) for group in groups.values())
    return tuple(line for line in lines if line is not None)


def _bars_together(takeoff: Takeoff, quantities: tuple[Quantity, ...]) -> list[Quantity]:
    """Stock bars of several sections ordered together are cut from one heap: what one section leaves over serves the
    next. Everything else, and bars of a single section, stay as they are."""
    apart: dict[int, list[Quantity]] = {}
    for quantity in quantities:
        if quantity.key.startswith(STOCK_BARS):
            apart.setdefault(size_of(quantity.key), []).append(quantity)
    heaps = {size: heap for size, own in apart.items() if (heap := _heap(takeoff, size, own)) is not None}
    out, told = [], set()
    for quantity in quantities:
        size = size_of(quantity.key) if quantity.key.startswith(STOCK_BARS) else None
        if size not in heaps:
            out.append(quantity)
        elif size not in told:
            told.add(size)
            out += heaps[size]
    return out


def _heap(takeoff: Takeoff, size: int, apart: list[Quantity]) -> list[Quantity] | None:
    """The stock bars of one size cut for several sections at once, one quantity a stock length; None where each section
    cuts its own, and where the bars are not at hand."""
    first, bars = apart[0], takeoff.plan.spec.bars
    sections = {quantity.section for quantity in apart}
    by_section = pieces_of(takeoff.bars, first.stage, sections).get(size, {})
    for heap, cuts in cut_together(by_section, bars, CuttingMethod.PROVEN).items():
        if len(heap) > 1:
            names = {section.key: section.name for section in takeoff.plan.sections}
            said = " and ".join(names.get(key, key) for key in heap) + f" cut together ({cuts.plan.said()})"
            return [
                replace(
                    first, key=stock_key(size, length, bars), amount=count, section=said,
                    buy=Buy(f"bar {length.foot:g} ft", 1.0), label=f"Bars #{size}, {format_length(length)} stock",
                )
                for length, count in cuts.by_stock.items()
            ]  # fmt: skip
    return None


def together(group: list[Quantity]) -> Buy:
    """One way of buying for a group: waste weighted by amount, the largest extra, the same step."""
    buys = [quantity.buy for quantity in group if quantity.buy is not None]
    amount = sum(quantity.amount for quantity in group)
    wasted = sum(quantity.amount * quantity.buy.waste for quantity in group if quantity.buy is not None)
    return Buy(buys[0].unit, buys[0].step, wasted / amount if amount else 0.0, max(buy.extra for buy in buys))


def _line(group: list[Quantity], spec: ConcreteSpec, names: Mapping[str, str]) -> OrderLine | None:
    amount = sum(quantity.amount for quantity in group)
    if amount <= 0:
        return None
    first, buy = group[0], together(group)
    count = buying_units(amount, buy)
    arrives = count * buy.step
    return OrderLine(
        key=first.key,
        label=first.label,
        amount=amount,
        unit=first.unit,
        with_waste=amount * (1 + buy.waste) + buy.extra,
        count=count,
        buy_unit=buy.unit,
        ordered=arrives,
        basis=_basis(group, buy, count, names) + _loads(first.key, arrives, spec),
    )


def _basis(group: list[Quantity], buy: Buy, count: int, names: Mapping[str, str]) -> str:
    """'Main 12.3 + Porch 4.5 = 16.8 yd3; + 5% waste = 17.6; rounded up to 72 x quarter yard = 18 yd3'.

    Nothing is said of rounding where nothing was rounded.
    """
    unit = "" if group[0].unit == "each" else f" {group[0].unit}"
    amount = sum(quantity.amount for quantity in group)
    parts = [f"{names.get(quantity.section, quantity.section)} {number(quantity.amount)}" for quantity in group]
    said = " + ".join(parts) + (f" = {number(amount)}" if len(parts) > 1 else "") + unit
    if buy.waste:
        said += f"; + {buy.waste:.1%} waste = {number(amount * (1 + buy.waste))}"
    if buy.extra:
        said += f"; + {buy.extra:g} once = {number(amount * (1 + buy.waste) + buy.extra)}"
    arrives = count * buy.step
    if buy.step == 1 and not unit:
        return said if arrives == amount * (1 + buy.waste) + buy.extra else f"{said}; rounded up to {count:,}"
    return f"{said}; rounded up to {count:,} x {buy.unit} = {number(arrives)}{unit}"


def _loads(key: str, arrives: float, spec: ConcreteSpec) -> str:
    return f"; {load_text(arrives, spec)}" if key in READY_MIX else ""
