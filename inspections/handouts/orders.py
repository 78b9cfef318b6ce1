"""Order sheet: one block per supplier, every line with the unrounded amount, the waste, and what is bought."""

from __future__ import annotations

from dataclasses import dataclass

from inspections.handouts import cutting, steel
from inspections.handouts.subject import Subject
from jobs.suppliers import READY_MIX, SUPPLIERS, Supplier, supplier_of
from takeoff.orders import order_lines
from takeoff.readymix import trucks
from takeoff.results import OrderLine, Quantity
from takeoff.site import ConcreteSpec
from takeoff.tally import number


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an order. ``amount`` as in the plan, unrounded; ``order`` is what is asked for."""

    label: str
    amount: str
    with_waste: str
    order: str
    arrives: str
    basis: str


@dataclass(frozen=True, slots=True)
class Mix:
    """What the plant must know."""

    strength: str
    temperature: str
    slump: str
    loads: tuple[str, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """What one supplier is asked for; ``also`` are amounts worth knowing that are not bought by themselves."""

    title: str
    lines: tuple[Line, ...]
    also: tuple[str, ...]
    mix: Mix | None = None


@dataclass(frozen=True, slots=True)
class Orders:
    """All that stands on an order sheet. ``sections`` names the sections counted; after the suppliers come the bars as
    cut and bent, the form units as cut, and what an order by area would have been."""

    groups: tuple[Group, ...]
    sections: tuple[str, ...]
    by_section: bool  # legs were named, but amounts are known by section
    bars: steel.BarList | None = None
    saw: tuple[cutting.SawList, ...] = ()
    special: tuple[tuple[str, str], ...] = ()  # brick ledges and bent walls: what, and how it was counted
    area: tuple[cutting.AreaTable, ...] = ()
    pads: tuple[cutting.PadRow, ...] = ()
    strips: tuple[cutting.StripTable, ...] = ()


def orders(subject: Subject) -> Orders:
    """The order sheet of a stage, for the sections of the sheet's legs."""
    keys = subject.sections
    found: dict[str, list[OrderLine]] = {}
    for line in order_lines(subject.takeoff, subject.kind, keys):
        found.setdefault(supplier_of(line.key).title, []).append(line)
    known: dict[str, list[Quantity]] = {}
    for quantity in subject.takeoff.of(subject.kind, keys):
        if quantity.buy is None:
            known.setdefault(supplier_of(quantity.key).title, []).append(quantity)
    groups = tuple(
        _group(subject, supplier, found.get(supplier.title, []), known.get(supplier.title, []))
        for supplier in SUPPLIERS
        if supplier.title in found
    )
    names = dict(subject.facts.sections)
    whole = {leg for key in keys for leg in subject.facts.legs_in(key, subject.kind)}
    return Orders(
        groups,
        tuple(names[key] for key in keys),
        whole != set(subject.legs),
        bars=steel.fabrication(subject),
        saw=tuple(cutting.saw_lists(subject)),
        special=tuple(cutting.special_units(subject)),
        area=tuple(cutting.area_tables(subject)),
        pads=tuple(cutting.pad_rows(subject)),
        strips=tuple(cutting.strip_tables(subject)),
    )


def _group(subject: Subject, supplier: Supplier, lines: list[OrderLine], known: list[Quantity]) -> Group:
    spec = subject.takeoff.plan.spec.concrete
    mix = _mix(spec, lines) if supplier is READY_MIX else None
    return Group(supplier.title, tuple(_line(line) for line in lines), tuple(_also(known)), mix)


def _line(line: OrderLine) -> Line:
    unit = "" if line.unit == "each" else f" {line.unit}"
    wasted = line.with_waste > line.amount
    return Line(
        label=line.label,
        amount=f"{number(line.amount)}{unit}",
        with_waste=f"{number(line.with_waste)}{unit}" if wasted else "no waste",
        order=_asked(line, unit),
        arrives=f"{number(line.ordered)}{unit}",
        basis=line.basis,
    )


def _asked(line: OrderLine, unit: str) -> str:
    """What is said on the telephone: '6', '10 × bundle of 12', and '15.75 yd3' of what is sold by the yard."""
    if line.buy_unit in ("each", "unit", "bar", "brace", "plank"):
        return f"{line.count:,}"
    if line.buy_unit.endswith(" yard"):
        return f"{number(line.ordered)}{unit}"
    return f"{line.count:,} × {line.buy_unit}"


def _also(known: list[Quantity]) -> list[str]:
    """'Weight of bars #5: 1,180 lb', sections added up."""
    sums: dict[tuple[str, str], float] = {}
    for quantity in known:
        key = quantity.label, "" if quantity.unit == "each" else f" {quantity.unit}"
        sums[key] = sums.get(key, 0.0) + quantity.amount
    return [f"{label}: {number(amount)}{unit}" for (label, unit), amount in sums.items()]


def _mix(spec: ConcreteSpec, lines: list[OrderLine]) -> Mix:
    splits = [trucks(line.ordered, spec.truck_yd3, spec.minimum_load_yd3, spec.order_step_yd3) for line in lines]
    return Mix(
        strength=f"{spec.strength_psi:,} psi or more",
        temperature=f"{spec.minimum_temperature_f:g} °F or more at discharge",
        slump=slump(spec),
        loads=tuple(split.text for split in splits if split.loads),
        warnings=tuple(split.complaint for split in splits if split.complaint),
    )


def slump(spec: ConcreteSpec) -> str:
    """The slump and who approved it, or that nobody has."""
    if spec.slump_in is None:
        return "not decided"
    if not spec.slump_approved_by.strip():
        return f"{spec.slump_in:g} in, not approved by anybody yet"
    return f"{spec.slump_in:g} in, approved by {spec.slump_approved_by.strip()}"
