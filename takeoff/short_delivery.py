"""A delivery that came short: what is missing, how far the crew can go meanwhile, and what may stand in.

Counted on the layout, not on the order: spare units count as received. Walls are looked at in walking order, and a
wall may go on when all of its own units and the corner units at both of its ends are there beside those of the walls
before it. Cut pieces are packed wall by wall or course by course, so that a little more is asked for than the whole
house needs at once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from takeoff.block_orders import SAW_CUT
from takeoff.cutting import first_fit
from takeoff.differences import UNIT_NAMES, Difference, plural
from takeoff.field_corners import FieldCorners, field_corners
from takeoff.forms import CornerLegs, FormSystem
from takeoff.geometry import Placement, place
from takeoff.leg_layout import minimum_piece
from takeoff.plan import Leg, Plan, Stage
from takeoff.results import PlacedUnit, Takeoff, UnitKind
from takeoff.tally import number
from takeoff.unit_marks import ledge_mark
from takeoff.units import Length, format_length

#: Units that have no key of their own: a mitred piece comes out of a straight unit.
STRAIGHT_KINDS = (UnitKind.STRAIGHT, UnitKind.MITRE)
#: Units that carry a brick ledge are counted apart; the elevation marks them so.
LEDGE_MARK = ledge_mark("S48")[0]
ANGLED = (UnitKind.CORNER_45, UnitKind.CORNER_45_LEFT, UnitKind.CORNER_45_RIGHT)


@dataclass(frozen=True, slots=True)
class Substitute:
    """Corners made in the field for corner units of one key that did not come."""

    key: str
    corners: FieldCorners


@dataclass(frozen=True, slots=True)
class ShortDelivery:
    """``items``: what is missing, and what standing in for it takes. ``full_courses``: how many courses can be laid
    all round, of ``courses``. ``may_go_on`` and ``must_wait``: legs, in walking order. ``refused``: why a substitute
    cannot be made. ``say``: the same in sentences."""

    items: tuple[Difference, ...]
    full_courses: int
    courses: int
    may_go_on: tuple[str, ...]
    must_wait: tuple[str, ...]
    substitutes: tuple[Substitute, ...]
    refused: tuple[str, ...]
    say: tuple[str, ...]


def short_delivery(takeoff: Takeoff, stage: Stage, received: Mapping[str, int]) -> ShortDelivery:
    """What to do with a short delivery of blocks for one wall stage.

    ``received`` counts pieces by the key of their quantity (``blocks.straight``); what is not in it is taken as
    complete. Raises KeyError for a key the stage has no quantity of, ValueError for a count below zero.
    """
    needed: Counter[str] = Counter()
    for quantity in takeoff.of(stage):
        if quantity.key.startswith("blocks.") and quantity.key.split("[")[0] != "blocks.mitre":
            needed[quantity.key] += round(quantity.amount)
    for key, count in received.items():
        if key not in needed:
            raise KeyError(key)
        if count < 0:
            raise ValueError(f"{key}: {count} received")
    here = {key: received.get(key, count) for key, count in needed.items()}
    missing = {key: count - here[key] for key, count in needed.items() if here[key] < count}
    stand_ins, refused = _substitutes(takeoff.plan, missing)
    units = [unit for unit in takeoff.units if unit.stage is stage]
    lot = _Lot(takeoff.plan, any("[" in key for key in needed), here)
    courses = sorted({unit.course for unit in units})
    full = _courses(lot, units, courses)
    on, wait = _walls(lot, place(takeoff.plan), units)
    items = (*_missing(needed, here, missing), *_taken(stand_ins, needed, here))
    return ShortDelivery(
        items, full, len(courses), on, wait, stand_ins, refused,
        (*_say(full, len(courses), on, wait, missing), *_advice(stand_ins), *refused),
    )  # fmt: skip


# -- what there is against what a set of units needs ------------------------------------------------
@dataclass(frozen=True, slots=True)
class _Lot:
    """A plan and what was received, complete keys as needed."""

    plan: Plan
    several: bool  # form systems: keys name them
    here: Mapping[str, int]

    def key(self, unit: PlacedUnit) -> str:
        """The key of the quantity a unit was counted in."""
        leg = self.plan.leg(unit.leg)
        kind = "straight" if unit.kind in STRAIGHT_KINDS else unit.kind.value
        name = "half_height" if unit.part_height else kind
        suffix = f"[{leg.form}/{format_length(leg.core, 'in')}]" if self.several else ""
        return f"blocks.{name}{suffix}"

    def enough_for(self, units: Iterable[PlacedUnit]) -> bool:
        """True where everything these units are made of has come. Keys of things counted elsewhere are not asked."""
        return all(count <= self.here.get(key, count) for key, count in self._asked(units).items())

    def _asked(self, units: Iterable[PlacedUnit]) -> Counter[str]:
        out: Counter[str] = Counter()
        cuts: dict[tuple[str, str, Length], Counter[Length]] = {}
        for unit in units:
            if unit.mark.startswith(LEDGE_MARK):
                continue
            key, form = self.key(unit), self.plan.form(self.plan.leg(unit.leg).form)
            whole = unit.kind not in STRAIGHT_KINDS or unit.end - unit.start >= form.length
            if whole:
                out[key] += 1
            else:
                height = unit.top - unit.bottom
                cuts.setdefault((key, form.key, height), Counter())[unit.end - unit.start] += 1
        for (key, form_key, _), pieces in cuts.items():
            form = self.plan.form(form_key)
            out[key] += first_fit(pieces, form.length, SAW_CUT, minimum_piece(form, self.plan.spec.layout)).stock
        return out


def _courses(lot: _Lot, units: Sequence[PlacedUnit], courses: Sequence[int]) -> int:
    """Courses that can be laid all round from the lowest up."""
    full = 0
    for course in courses:
        if not lot.enough_for(u for u in units if u.counted and u.course <= course):
            break
        full += 1
    return full


def _walls(lot: _Lot, placement: Placement, units: Sequence[PlacedUnit]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Legs that may go on to their full height, and those that must wait."""
    by_leg: dict[str, list[PlacedUnit]] = {}
    for unit in units:
        by_leg.setdefault(unit.leg, []).append(unit)
    on: list[str] = []
    wait = []
    for leg in (name for name in placement.legs if name in by_leg):
        tried = [*on, leg]
        if lot.enough_for(_of_walls(placement, by_leg, tried)):
            on = tried
        else:
            wait.append(leg)
    return tuple(on), tuple(wait)


def _of_walls(placement: Placement, by_leg: Mapping[str, list[PlacedUnit]], legs: Sequence[str]) -> list[PlacedUnit]:
    """Units of some legs: those counted with them, and the corner units of their ends counted with a leg that is not
    among them."""
    out = []
    for name in legs:
        length = placement.legs[name].outside.length
        for unit in by_leg[name]:
            if unit.counted:
                out.append(unit)
                continue
            beside = None
            if not unit.start.nm:
                beside = placement.previous_leg(name)
            elif unit.end == length:
                beside = placement.next_leg(name)
            if beside is None or beside.leg.name not in legs:
                out.append(unit)
    return out


# -- missing and standing in ------------------------------------------------------------------------
def _missing(needed: Mapping[str, int], here: Mapping[str, int], missing: Mapping[str, int]) -> list[Difference]:
    return [
        Difference(
            _name(key), "each", needed[key], here[key],
            f"{_name(key)}: {number(here[key])} of {number(needed[key])} came, {number(count)} missing.",
        )
        for key, count in missing.items()
    ]  # fmt: skip


def _name(key: str) -> str:
    kind, _, system = key.partition("[")
    return UNIT_NAMES.get(kind, kind.removeprefix("blocks.").replace("_", " ")) + (
        f" ({system.rstrip(']')})" if system else ""
    )


def _substitutes(plan: Plan, missing: Mapping[str, int]) -> tuple[tuple[Substitute, ...], tuple[str, ...]]:
    """Corners made of straight units in the place of corner units that did not come."""
    out, refused = [], []
    for key, count in missing.items():
        found = _corner_of(plan, key)
        if found is None:
            continue
        form, legs = found
        try:
            out.append(Substitute(key, field_corners(form, legs, count)))
        except ValueError as problem:
            refused.append(f"{_name(key)}: {problem}")
    return tuple(out), tuple(refused)


def _corner_of(plan: Plan, key: str) -> tuple[FormSystem, CornerLegs] | None:
    """System and legs of a missing corner unit; None for what is not a corner."""
    kind, _, system = key.partition("[")
    name = kind.removeprefix("blocks.")
    if name not in {k.value for k in UnitKind} or name in {k.value for k in STRAIGHT_KINDS}:
        return None
    leg = _leg_of(plan, system.rstrip("]"))
    form = plan.form(leg.form)
    if name in {k.value for k in ANGLED}:
        legs = form.legs_45_for(leg.core)
        return (form, legs) if legs is not None else None
    return form, form.legs_for(leg.core)


def _leg_of(plan: Plan, system: str) -> Leg:
    """A leg of the system and core a key names ('generic-16/8"'), the first leg where it names none."""
    for leg in plan.legs():
        if not system or system == f"{leg.form}/{format_length(leg.core, 'in')}":
            return leg
    raise KeyError(system)


def _taken(stand_ins: Sequence[Substitute], needed: Mapping[str, int], here: Mapping[str, int]) -> list[Difference]:
    """Straight units and plywood that field-made corners take; straight ones beyond those that came are told."""
    out = []
    spare = {key: max(here[key] - count, 0) for key, count in needed.items()}
    for each in stand_ins:
        made = each.corners
        straight = "blocks.straight" + each.key[each.key.find("[") :] if "[" in each.key else "blocks.straight"
        more = max(made.straight_units - spare.get(straight, 0), 0)
        spare[straight] = max(spare.get(straight, 0) - made.straight_units, 0)
        call = f"call {plural(more, 'more straight unit')}" if more else "they are here"
        name = _name(each.key)
        out += [
            Difference(
                f"Straight units for {made.count} field-made corners", "each", needed.get(straight, 0),
                needed.get(straight, 0) + made.straight_units,
                f"{name}: {plural(made.count, 'corner')} made in the field take {made.straight_units} straight units "
                f"({made.basis}); {call}.",
            ),
            Difference(
                f"Plywood for {made.count} field-made corners", "ft2", 0.0, made.plywood_ft2,
                f"{name}: {made.straps} plywood straps, {number(made.plywood_ft2)} ft2; brace both walls close to each "
                "corner and ask the form's supplier first.",
            ),
        ]  # fmt: skip
    return out


def _say(
    full: int, courses: int, on: Sequence[str], wait: Sequence[str], missing: Mapping[str, int]
) -> tuple[str, ...]:
    """How far the crew can go."""
    if not missing:
        return ("Everything this stage needs is here.",)
    if not wait:
        return (f"All walls may be stacked; missing: {', '.join(_name(key) for key in missing)}.",)
    said = f"{full} of {plural(courses, 'course')} can be laid all round."
    if not on:
        return said, "No wall can go up to its full height."
    return said, f"{', '.join(on)} may go up to the full height; {', '.join(wait)} must wait."


def _advice(stand_ins: Sequence[Substitute]) -> tuple[str, ...]:
    if not stand_ins:
        return ()
    return ("Put the corner units that came in the lowest courses, where the pressure is, field-made ones above.",)
