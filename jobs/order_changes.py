"""What a newer plan revision changes in what was ordered on an older one: add, return, cut, by supplier."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from jobs import plans
from jobs.frozen import frozen_from_json
from jobs.models import PlanRevision
from jobs.stages import TITLES
from jobs.suppliers import SUPPLIERS, supplier_of
from takeoff.differences import Difference, Topic, revised
from takeoff.plan import Stage
from takeoff.results import Takeoff
from takeoff.tally import number

STEEL = supplier_of("bars")
#: Sold one by one: nobody says '4 x unit'.
_SINGLE = ("each", "unit", "cap", "strap", "brace", "plank")
#: Sold by the yard, in parts of one.
_YARDS = {"quarter yard": 0.25, "half yard": 0.5}


@dataclass(frozen=True, slots=True)
class Change:
    """One line of an order: what was ordered, what is needed now, and what to tell the supplier."""

    label: str
    stage: str
    ordered: str
    needed: str
    do: str


@dataclass(frozen=True, slots=True)
class SupplierChange:
    """What to tell one supplier. ``pieces``: bars that are cut out of others, added or put aside, in sentences."""

    title: str
    lines: tuple[Change, ...]
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OrderChanges:
    """All that changes in orders, and bucks to move, rebuild or add, in sentences."""

    suppliers: tuple[SupplierChange, ...]
    bucks: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Whether there is anything to tell anybody."""
        return bool(self.suppliers or self.bucks)


def as_locked(revision: PlanRevision) -> Takeoff:
    """Units and bars by today's engine, amounts and numbers as they were when the revision was locked."""
    kept, made = frozen_from_json(revision.frozen), plans.takeoff_of(revision)
    return replace(made, quantities=kept.quantities, criteria=kept.criteria, unbalanced=kept.unbalanced)


def between(older: PlanRevision, newer: PlanRevision, stages: Iterable[Stage] = tuple(Stage)) -> OrderChanges:
    """Add, return and cut, where the stages named were ordered on the older revision; amounts as they were locked."""
    wanted = tuple(stages)
    found = revised(as_locked(older), as_locked(newer), wanted)
    lines: dict[str, list[Change]] = {}
    for difference in found:
        if difference.topic is Topic.ORDER:
            lines.setdefault(supplier_of(difference.key).title, []).append(_change(difference))
    pieces = tuple(d.say for d in found if d.topic is Topic.BARS)
    suppliers = [
        SupplierChange(each.title, tuple(lines.get(each.title, ())), pieces if each is STEEL else ())
        for each in SUPPLIERS
        if each.title in lines or (each is STEEL and pieces)
    ]
    bucks = tuple(d.say for d in found if d.topic is Topic.BUCKS) if set(wanted) & set(_WALLS) else ()
    return OrderChanges(tuple(suppliers), bucks)


_WALLS = (Stage.FROST_WALL, Stage.FULL_WALL)


def _change(difference: Difference) -> Change:
    assert difference.stage is not None  # every line of an order is of a stage
    old, new, unit = round(difference.before), round(difference.after), difference.unit
    more = new - old
    all_of_it = "all of it, " if not new else ""
    do = f"add {buying(more, unit)}" if more > 0 else f"return {all_of_it}{buying(-more, unit)}, or do not call it"
    title = TITLES[difference.stage]
    label = difference.item.removesuffix(f", {difference.stage.value.replace('_', ' ')}")
    return Change(label, title, buying(old, unit), buying(new, unit), do)


def buying(count: int, unit: str) -> str:
    """A count of what is bought as said on the telephone: '6', '10 x bundle of 12', '31.50 yd3'."""
    if not count:
        return "none"
    if unit in _YARDS:
        return f"{number(count * _YARDS[unit])} yd3"
    if unit in ("ft", "gallon"):
        return f"{count:,} {unit}"
    return f"{count:,}" if unit in _SINGLE else f"{count:,} x {unit}"
