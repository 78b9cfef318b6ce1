"""Form units to order: counted on the layout, cuts packed into whole units, corners exact.

Straight units are counted per section, stage and form system: whole ones, ripped ones (one unit for each place), and
cut pieces packed longest first into whole units. Offcuts of ripped courses stay in ripped courses.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from takeoff.cutting import first_fit
from takeoff.forms import FormSystem
from takeoff.leg_layout import minimum_piece
from takeoff.plan import Plan, Stage
from takeoff.results import Buy, PlacedUnit, Quantity, Unit, UnitKind
from takeoff.sources import FORM_SYSTEM, Source
from takeoff.units import Length, format_length

#: What a saw takes between two pieces cut from one unit. Common practice, no source.
SAW_CUT = Length.inches("0.25")

LAYOUT = Source("course-by-course layout of the plan")

CORNER_NAMES = {
    UnitKind.CORNER_RIGHT: "right-hand corner",
    UnitKind.CORNER_LEFT: "left-hand corner",
    UnitKind.CORNER: "corner, either hand",
}

Group = tuple[str, Stage, str, Length]  # section, stage, form key, core
Place = tuple[str, int, Length]  # leg, course, end of the unit


@dataclass(slots=True)
class Tally:
    """What one group of legs uses: pieces by height they are ripped to (the face height where they are not)."""

    whole: Counter[Length] = field(default_factory=Counter)
    cut: dict[Length, Counter[Length]] = field(default_factory=dict)
    corners: Counter[UnitKind] = field(default_factory=Counter)
    mitres: int = 0
    by_leg: dict[str, Counter[str]] = field(default_factory=dict)


def layout_quantities(
    plan: Plan, units: tuple[PlacedUnit, ...], mitre_extras: dict[tuple[str, str], Length], across: set[Place]
) -> tuple[Quantity, ...]:
    """Quantities of every section and stage, by kind of unit.

    ``mitre_extras``: what a mitred piece at (leg, end) takes beyond its outside length; ``across``: the straight
    units that run on into the next leg, whole though only a part of them lies in this one.
    """
    tallies = _tallies(plan, units, mitre_extras, across)
    several = len({(form, core) for _, _, form, core in tallies}) > 1
    out: list[Quantity] = []
    for group, tally in tallies.items():
        suffix = f"[{group[2]}/{format_length(group[3], 'in')}]" if several else ""
        out += _quantities(plan, group, tally, suffix)
    return tuple(out)


def _tallies(
    plan: Plan, units: tuple[PlacedUnit, ...], mitre_extras: dict[tuple[str, str], Length], across: set[Place]
) -> dict[Group, Tally]:
    legs = {leg.name: leg for leg in plan.legs()}
    forms = {form.key: form for form in plan.forms}
    out: dict[Group, Tally] = {}
    for unit in units:
        if not unit.counted:
            continue
        leg = legs[unit.leg]
        tally = out.setdefault((leg.section, unit.stage, leg.form, leg.core), Tally())
        end = "end" if unit.start else "start"
        extra = mitre_extras.get((unit.leg, end), Length(0)) if unit.kind is UnitKind.MITRE else Length(0)
        _count(tally, unit, forms[leg.form], extra, (unit.leg, unit.course, unit.end) in across)
    return out


def _count(tally: Tally, unit: PlacedUnit, form: FormSystem, extra: Length, across: bool) -> None:
    of_leg = tally.by_leg.setdefault(unit.leg, Counter())
    if unit.kind in CORNER_NAMES:
        tally.corners[unit.kind] += 1
        of_leg[unit.kind.value] += 1
        return
    height = unit.top - unit.bottom if unit.ripped else form.face_height
    length = min(unit.end - unit.start + extra, form.length)
    if length == form.length or across:
        tally.whole[height] += 1
        of_leg["whole"] += 1
    else:
        tally.cut.setdefault(height, Counter())[length] += 1
        of_leg["cut"] += 1
    if unit.kind is UnitKind.MITRE:
        tally.mitres += 1
        of_leg["mitred"] += 1


def _quantities(plan: Plan, group: Group, tally: Tally, suffix: str) -> list[Quantity]:
    _, _, key, core = group
    form = plan.form(key)
    system = f"{form.name}, {format_length(core, 'in')} core"
    out = []
    if tally.whole or tally.cut:
        amount, sum_text = straight_units(tally, form, minimum_piece(form, plan.spec.layout))
        buy = Buy(f"bundle of {form.units_per_bundle}", form.units_per_bundle, plan.spec.layout.spare_fraction)
        basis = f"course by course: {_by_leg(tally, ('whole', 'cut'))}; {sum_text}"
        out.append(_quantity("blocks.straight" + suffix, f"Straight units, {system}", amount, group, basis, buy, tally))
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


def straight_units(tally: Tally, form: FormSystem, smallest: Length) -> tuple[int, str]:
    """Straight units a tally needs, and the sum in words."""
    total, parts = 0, []
    for height in sorted({*tally.whole, *tally.cut}, reverse=True):
        whole, cuts = tally.whole[height], tally.cut.get(height, Counter())
        stock = first_fit(cuts, form.length, SAW_CUT, smallest).stock
        total += whole + stock
        ripped = f" ripped to {format_length(height, 'in')}" if height < form.face_height else ""
        text = f"{whole} whole{ripped}"
        if cuts:
            text += (
                f' + {cuts.total()} cut pieces{ripped} out of {stock} units (longest first, first fit, 1/4" saw cut)'
            )
        parts.append(text)
    return total, " + ".join(parts) + f" = {total}"


def _by_leg(tally: Tally, kinds: tuple[str, ...]) -> str:
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
