"""Form units to order: counted on the layout, cuts packed into whole units, corners exact.

Straight units are counted per section, stage and form system: whole ones, ripped ones (one unit for each place), and
cut pieces out of as few whole units as can be found. Offcuts of ripped courses stay in ripped courses.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace

from takeoff.cutting import fewest
from takeoff.forms import FormSystem
from takeoff.ledges import LedgePlace, straight_parts
from takeoff.leg_layout import minimum_piece
from takeoff.plan import Plan, Stage
from takeoff.results import Buy, PlacedUnit, Quantity, Unit, UnitKind
from takeoff.sources import FORM_SYSTEM, Source
from takeoff.units import ZERO, Length, format_length

#: What a saw takes between two pieces cut from one unit. Common practice, no source.
SAW_CUT = Length.inches("0.25")

LAYOUT = Source("course-by-course layout of the plan")

CORNER_NAMES = {
    UnitKind.CORNER_RIGHT: "right-hand corner",
    UnitKind.CORNER_LEFT: "left-hand corner",
    UnitKind.CORNER: "corner, either hand",
    UnitKind.CORNER_45_RIGHT: "right-hand 45 degree corner",
    UnitKind.CORNER_45_LEFT: "left-hand 45 degree corner",
    UnitKind.CORNER_45: "45 degree corner, either hand",
}

Group = tuple[str, Stage, str, Length]  # section, stage, form key, core
Place = tuple[str, int, Length]  # leg, course, end of the unit


@dataclass(slots=True)
class Pool:
    """Straight units of one height: whole ones and cut pieces, by the height they are ripped to (the unit's own where
    they are not). ``where``: leg and course of every cut piece by height and length."""

    whole: Counter[Length] = field(default_factory=Counter)
    cut: dict[Length, Counter[Length]] = field(default_factory=dict)
    where: dict[tuple[Length, Length], list[tuple[str, int]]] = field(default_factory=dict)


@dataclass(slots=True)
class Tally:
    """What one group of legs uses. ``low``: units made lower than the others, whose offcuts serve only each other."""

    straight: Pool = field(default_factory=Pool)
    low: Pool = field(default_factory=Pool)
    corners: Counter[UnitKind] = field(default_factory=Counter)
    mitres: int = 0
    by_leg: dict[str, Counter[str]] = field(default_factory=dict)


def layout_quantities(
    plan: Plan,
    units: tuple[PlacedUnit, ...],
    mitre_extras: dict[tuple[str, str], Length],
    across: set[Place],
    ledges: tuple[LedgePlace, ...] = (),
) -> tuple[Quantity, ...]:
    """Quantities of every section and stage, by kind of unit.

    ``mitre_extras``: what a mitred piece at (leg, end) takes beyond its outside length; ``across``: the straight
    units that run on into the next leg, whole though only a part of them lies in this one; ``ledges``: where ledge
    units, counted elsewhere, stand instead of straight ones.
    """
    tallies = tallies_of(plan, units, mitre_extras, across, ledges)
    several = len({(form, core) for _, _, form, core in tallies}) > 1
    out: list[Quantity] = []
    for group, tally in tallies.items():
        suffix = f"[{group[2]}/{format_length(group[3], 'in')}]" if several else ""
        out += _quantities(plan, group, tally, suffix)
    return tuple(out)


def tallies_of(
    plan: Plan,
    units: tuple[PlacedUnit, ...],
    mitre_extras: dict[tuple[str, str], Length],
    across: set[Place],
    ledges: tuple[LedgePlace, ...],
) -> dict[Group, Tally]:
    """What each section, stage, form system and core uses; arguments as in :func:`layout_quantities`."""
    legs = {leg.name: leg for leg in plan.legs()}
    forms = {form.key: form for form in plan.forms}
    out: dict[Group, Tally] = {}
    of_leg: dict[tuple[str, Stage], Tally] = {}
    carried: dict[tuple[str, int], list[LedgePlace]] = {}
    for place in ledges:
        carried.setdefault((place.leg, place.course), []).append(place)
    for unit in units:
        if not unit.counted:
            continue
        leg = legs[unit.leg]
        tally = of_leg.get((unit.leg, unit.stage))
        if tally is None:
            tally = out.setdefault((leg.section, unit.stage, leg.form, leg.core), Tally())
            of_leg[unit.leg, unit.stage] = tally
        end = "end" if unit.start else "start"
        extra = mitre_extras.get((unit.leg, end), ZERO) if unit.kind is UnitKind.MITRE else ZERO
        whole = bool(across) and (unit.leg, unit.course, unit.end) in across
        over = carried.get((unit.leg, unit.course))
        if over is None:
            _count(tally, unit, forms[leg.form], extra, whole)
            continue
        for low, high in straight_parts(unit, over):
            part = replace(unit, start=low, end=high)
            _count(tally, part, forms[leg.form], extra, whole and (low, high) == (unit.start, unit.end))
    return out


def _count(tally: Tally, unit: PlacedUnit, form: FormSystem, extra: Length, across: bool) -> None:
    of_leg = tally.by_leg.get(unit.leg)
    if of_leg is None:
        of_leg = tally.by_leg[unit.leg] = Counter()
    if unit.kind in CORNER_NAMES:
        tally.corners[unit.kind] += 1
        of_leg[unit.kind.value] += 1
        return
    pool, full, word = (tally.low, _low(form), "low ") if unit.part_height else (tally.straight, form.face_height, "")
    height = unit.top - unit.bottom if unit.ripped else full
    nm = unit.end.nm - unit.start.nm + extra.nm
    if across or nm >= form.length.nm:
        pool.whole[height] += 1
        of_leg[word + "whole"] += 1
    else:
        length = Length(nm)
        pool.cut.setdefault(height, Counter())[length] += 1
        pool.where.setdefault((height, length), []).append((unit.leg, unit.course))
        of_leg[word + "cut"] += 1
    if unit.kind is UnitKind.MITRE:
        tally.mitres += 1
        of_leg["mitred"] += 1


def _low(form: FormSystem) -> Length:
    """Height of the units made lower."""
    assert form.half_height is not None  # only laid where the system has them
    return form.half_height


def _quantities(plan: Plan, group: Group, tally: Tally, suffix: str) -> list[Quantity]:
    _, _, key, core = group
    form = plan.form(key)
    system = f"{form.name}, {format_length(core, 'in')} core"
    out = []
    least, spare = minimum_piece(form, plan.spec.layout), plan.spec.layout.spare_fraction
    bundle = Buy(f"bundle of {form.units_per_bundle}", form.units_per_bundle, spare)
    for pool, name, label, full, words, buy in (
        (tally.straight, "straight", "Straight units", form.face_height, ("whole", "cut"), bundle),
        (tally.low, "half_height", f"Units {_height(form)} high", form.half_height, ("low whole", "low cut"), None),
    ):
        if full is not None and (pool.whole or pool.cut):
            amount, sum_text = straight_units(pool, form, full, least)
            basis = f"course by course: {_by_leg(tally, words)}; {sum_text}"
            each = buy or Buy("unit", 1, spare)
            out.append(_quantity(f"blocks.{name}{suffix}", f"{label}, {system}", amount, group, basis, each, tally))
    for kind, count in sorted(tally.corners.items()):
        basis = f"one a corner and course: {_by_leg(tally, (kind.value,))}"
        buy = Buy("unit", 1, 0.0, 1.0)
        label = f"Corner units, {CORNER_NAMES[kind]}, {system}"
        out.append(_quantity(f"blocks.{kind.value}{suffix}", label, count, group, basis, buy, tally))
    if tally.mitres:
        basis = f"two a corner and course, stock counted with the straight units: {_by_leg(tally, ('mitred',))}"
        label = f"Straight units cut to a mitre, {system}"
        out.append(_quantity("blocks.mitre" + suffix, label, tally.mitres, group, basis, None, tally))
    return out


def straight_units(pool: Pool, form: FormSystem, full: Length, smallest: Length) -> tuple[int, str]:
    """Straight units of one height a pool needs, and the sum in words."""
    total, parts = 0, []
    for height in sorted({*pool.whole, *pool.cut}, reverse=True):
        whole, cuts = pool.whole[height], pool.cut.get(height, Counter())
        plan = fewest(cuts, form.length, SAW_CUT, smallest)
        total += whole + plan.stock
        ripped = f" ripped to {format_length(height, 'in')}" if height < full else ""
        text = f"{whole} whole{ripped}"
        if cuts:
            text += f' + {cuts.total()} cut pieces{ripped} out of {plan.stock} units ({plan.said()}, 1/4" saw cut)'
        parts.append(text)
    return total, " + ".join(parts) + f" = {total}"


def _height(form: FormSystem) -> str:
    return format_length(form.half_height, "in") if form.half_height is not None else ""


def _by_leg(tally: Tally, kinds: tuple[str, ...]) -> str:
    """'A 56 whole + 9 cut, B 40 whole'; the units made lower are called low only where both are told."""
    parts = []
    for leg, counts in tally.by_leg.items():
        shown = [f"{counts[kind]} {kind}" if len(kinds) > 1 else f"{counts[kind]}" for kind in kinds if counts[kind]]
        if shown:
            parts.append(f"{leg} {' + '.join(shown)}")
    return ", ".join(parts)


def _quantity(key: str, label: str, amount: float, group: Group, basis: str, buy: Buy | None, tally: Tally) -> Quantity:
    section, stage, _, _ = group
    source = FORM_SYSTEM if key.startswith("blocks.corner") else LAYOUT
    return Quantity(
        key, label, amount, Unit.EACH, stage, section, "wall forms", basis, source, buy, tuple(tally.by_leg)
    )
