"""What changes, item by item, when the job is not as planned: other blocks came, or the plan was revised.

Every answer is a list of :class:`Difference`, each with both numbers and a sentence a person can act on. A short
delivery is in :mod:`takeoff.short_delivery`, a footing poured at the wrong height in :mod:`takeoff.footing_as_poured`.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from takeoff.bar_marks import look_of
from takeoff.compute import compute
from takeoff.courses import grids
from takeoff.cutting import CuttingMethod
from takeoff.openings_forms import formed_openings
from takeoff.orders import order_lines
from takeoff.plan import Plan, Stage
from takeoff.results import Bar, BarRole, OrderLine, Takeoff
from takeoff.tally import inch_text, number
from takeoff.units import Length


class Topic(StrEnum):
    """What a difference is about, for pages that show each kind in a table of its own."""

    UNITS = "units"
    COURSES = "courses"
    BAR_LEVELS = "bar levels"
    ORDER = "order"
    BARS = "bars"
    BUCKS = "bucks"
    BUILD_UP = "build up"
    RIP_HIGH = "rip high legs"
    RIP_REST = "rip the rest"
    LAPS = "laps"


@dataclass(frozen=True, slots=True)
class Difference:
    """One item before and after, in its unit, and what to do about it in a sentence. ``key``: of the quantity it is
    ordered by; ``where``: the legs or section it is about; ``stage``: when it is needed."""

    item: str
    unit: str
    before: float
    after: float
    say: str
    topic: Topic = Topic.UNITS
    key: str = ""
    where: str = ""
    stage: Stage | None = None

    @property
    def change(self) -> float:
        """After less before."""
        return self.after - self.before

    @property
    def less(self) -> float:
        """Before less after: how many to return, how many are missing."""
        return self.before - self.after


def plural(count: float, one: str) -> str:
    """'1 unit', '2 units', '3.50 units'."""
    return f"{number(count)} {one}{'' if count == 1 else 's'}"


# -- blocks of another face height ------------------------------------------------------------------
UNIT_NAMES: Mapping[str, str] = {
    "blocks.straight": "Straight units",
    "blocks.half_height": "Low straight units",
    "blocks.corner": "Corner units, either hand",
    "blocks.corner_right": "Right-hand corner units",
    "blocks.corner_left": "Left-hand corner units",
    "blocks.corner_45": "45 degree corner units, either hand",
    "blocks.corner_45_right": "Right-hand 45 degree corner units",
    "blocks.corner_45_left": "Left-hand 45 degree corner units",
    "blocks.mitre": "Straight units cut to a mitre",
    "blocks.ledge": "Ledge units",
    "blocks.end_caps": "End caps",
    "forms.straps": "Form straps",
    "forms.ties": "Zip ties",
}


def with_face_height(plan: Plan, form: str, height: Length) -> Plan:
    """The plan built of units of one system with another face height; KeyError where there is no such system."""
    found = plan.form(form)
    other = replace(found, face_height=height, half_height=height.half() if found.half_height is not None else None)
    return replace(plan, forms=tuple(other if each.key == form else each for each in plan.forms))


def with_form(plan: Plan, instead: Mapping[str, str]) -> Plan:
    """The plan with form systems traded (key -> key of another in the plan); KeyError where there is none."""
    for key in instead.values():
        plan.form(key)
    walks = tuple(
        replace(walk, legs=tuple(replace(leg, form=instead.get(leg.form, leg.form)) for leg in walk.legs))
        for walk in plan.walks
    )
    return replace(plan, walks=walks)


def face_height(takeoff: Takeoff, form: str, height: Length) -> tuple[Difference, ...]:
    """The ordered blocks have one face height and those that came another: units by kind, course lines, bar levels."""
    return forms_between(takeoff, compute(with_face_height(takeoff.plan, form, height), CuttingMethod.FIRST_FIT))


def other_form(takeoff: Takeoff, instead: Mapping[str, str]) -> tuple[Difference, ...]:
    """The same for blocks of another system of the plan: key of the one planned -> key of the one that came."""
    return forms_between(takeoff, compute(with_form(takeoff.plan, instead), CuttingMethod.FIRST_FIT))


def forms_between(before: Takeoff, after: Takeoff) -> tuple[Difference, ...]:
    """Units by kind over the whole house, course lines and bar levels of two takeoffs of the same walls.

    Where the second cannot be built there is one difference that says so, with the first thing in the way.
    """
    if not after.units:
        why = after.problems[0].sentence if after.problems else "It has no walls."
        return (Difference("Walls with these units", "each", 1.0, 0.0, f"It cannot be built with these units. {why}"),)
    return (*_units(before, after), *_course_lines(before.plan, after.plan), *_bar_levels(before, after))


def _units(before: Takeoff, after: Takeoff) -> list[Difference]:
    was, now = _by_kind(before), _by_kind(after)
    out = []
    for key, name in UNIT_NAMES.items():
        change = now[key] - was[key]
        if change:
            what = "more to order" if change > 0 else "too many: return them"
            say = f"{name}: {number(abs(change))} {what} ({number(was[key])} planned, {number(now[key])} with these)."
            out.append(Difference(name, "each", was[key], now[key], say, key=key))
    return out


def _by_kind(takeoff: Takeoff) -> dict[str, float]:
    """Quantities by what they are, whichever system and section."""
    out: dict[str, float] = defaultdict(float)
    for quantity in takeoff.quantities:
        out[quantity.key.split("[")[0]] += quantity.amount
    return out


def _course_lines(before: Plan, after: Plan) -> list[Difference]:
    """Where the tops of courses lie above the footing of each section's lowest leg; the legs share one grid."""
    was, now = grids(before), grids(after)
    out = []
    for section in before.sections:
        legs = [leg for leg in before.legs_in(section.key) if leg.name in was and leg.name in now]
        moved = [leg for leg in legs if was[leg.name].height != now[leg.name].height]
        if not moved:
            continue
        lowest = min(moved, key=lambda leg: leg.footing_top)
        old, new = was[lowest.name], now[lowest.name]
        high, courses = lowest.levels.top, 1
        while max(old.bottom(courses), new.bottom(courses)) < high:
            line, other = (g.bottom(courses + 1) - lowest.footing_top for g in (old, new))
            say = f"{section.name}: course {courses} ends at {_in(other)} over the footing, not {_in(line)}."
            item = f"Top of course {courses}, {section.name}"
            out.append(Difference(item, "in", line.inch, other.inch, say, Topic.COURSES, where=section.name))
            courses += 1
    return out


def _in(length: Length) -> str:
    return inch_text(length.inch)


def _bar_levels(before: Takeoff, after: Takeoff) -> list[Difference]:
    """Levels of horizontal bars over the footing, legs with the same ones told together."""
    was, now = _levels(before), _levels(after)
    alike: dict[tuple[tuple[float, ...], tuple[float, ...]], list[str]] = {}
    for leg in was:
        if was[leg] != now.get(leg, ()):
            alike.setdefault((was[leg], now.get(leg, ())), []).append(leg)
    out = []
    for (old, new), legs in alike.items():
        where = ", ".join(legs)
        for place, (level, other) in enumerate(zip(old, new, strict=False), start=1):
            if level != other:
                say = (
                    f"{where}: bar level {place} moves from {inch_text(level)} to {inch_text(other)} over the footing."
                )
                item = f"Bar level {place}, {where}"
                out.append(Difference(item, "in", level, other, say, Topic.BAR_LEVELS, where=where))
        if len(old) != len(new):
            say = f"{where}: {len(new)} levels of horizontal bars, not {len(old)}."
            item = f"Levels of horizontal bars, {where}"
            out.append(Difference(item, "each", len(old), len(new), say, Topic.BAR_LEVELS, where=where))
    return out


def _levels(takeoff: Takeoff) -> dict[str, tuple[float, ...]]:
    """Heights of horizontal bars over each leg's own footing [in], lowest first."""
    footing = {leg.name: leg.footing_top.inch for leg in takeoff.plan.legs()}
    found: dict[str, set[float]] = {}
    for bar in takeoff.bars:
        if bar.role is BarRole.HORIZONTAL:
            found.setdefault(bar.leg, set()).update(round(y - footing[bar.leg], 4) for _, y, _, _ in bar.places)
    return {leg: tuple(sorted(levels)) for leg, levels in found.items()}


# -- a revised plan after ordering ------------------------------------------------------------------
def revised(before: Takeoff, after: Takeoff, stages: Iterable[Stage] = tuple(Stage)) -> tuple[Difference, ...]:
    """What a revision changes in orders already placed: lines to add and to return, bars to cut, add or put aside,
    bucks to move or rebuild. Which releases become void is told by the fingerprints of legs, not here."""
    wanted = tuple(stages)
    lines = [difference for stage in wanted for difference in _lines(before, after, stage)]
    return (*lines, *bars_between(before.bars, after.bars, wanted), *bucks_between(before.plan, after.plan))


def _lines(before: Takeoff, after: Takeoff, stage: Stage) -> list[Difference]:
    was, now = ({(x.key, x.buy_unit): x for x in order_lines(t, stage)} for t in (before, after))
    out = []
    for at in dict.fromkeys([*was, *now]):
        old, new = was.get(at), now.get(at)
        line = new or old
        assert line is not None  # one of the two has it
        difference = _line(line, stage, old.count if old else 0, new.count if new else 0)
        if difference.change:
            out.append(difference)
    return out


def _line(line: OrderLine, stage: Stage, old: int, new: int) -> Difference:
    more = new - old
    units = f"{abs(more):,} x {line.buy_unit}" if line.buy_unit != "each" else f"{abs(more):,}"
    said = f"add {units}" if more > 0 else f"return {units}, or do not call them" if new else f"return all, {units}"
    say = f"{line.label}, {stage.value.replace('_', ' ')}: {said} ({old:,} ordered, {new:,} needed)."
    item = f"{line.label}, {stage.value.replace('_', ' ')}"
    return Difference(item, line.buy_unit, old, new, say, Topic.ORDER, line.key, stage=stage)


def bars_between(old: Sequence[Bar], new: Sequence[Bar], stages: tuple[Stage, ...] = tuple(Stage)) -> list[Difference]:
    """Bars a fabricator would tell apart: those not needed any more, those needed now, and straight ones that are cut
    out of longer ones of the same size that are left over."""
    looks: dict[tuple[object, ...], Bar] = {}
    counts: list[Counter[tuple[object, ...]]] = []
    for bars in (old, new):
        count: Counter[tuple[object, ...]] = Counter()
        for bar in bars:
            if bar.stage in stages:
                at = (bar.stage, *look_of(bar))
                looks.setdefault(at, bar)
                count[at] += bar.count
        counts.append(count)
    was, now = counts
    spare, wanted = was - now, now - was
    return [*_cut_down(looks, spare, wanted, was, now), *_whole_bars(looks, spare, wanted, was, now)]


def _cut_down(
    looks: Mapping[tuple[object, ...], Bar],
    spare: Counter[tuple[object, ...]],
    wanted: Counter[tuple[object, ...]],
    was: Counter[tuple[object, ...]],
    now: Counter[tuple[object, ...]],
) -> list[Difference]:
    """Pair straight bars wanted with the shortest spare one that is long enough, longest first; a bar may come from the
    same stage or an earlier one, later ones are not there yet. Both counters lose what is paired."""
    order = tuple(Stage)
    out = []
    for at in sorted((a for a in wanted if looks[a].shape is None), key=lambda a: looks[a].cut_length, reverse=True):
        bar = looks[at]
        longer = [
            a for a in spare
            if looks[a].shape is None and looks[a].size == bar.size and looks[a].cut_length > bar.cut_length
            and order.index(looks[a].stage) <= order.index(bar.stage)
        ]  # fmt: skip
        for other in sorted(longer, key=lambda a: looks[a].cut_length):
            taken = min(spare[other], wanted[at])
            if taken:
                spare[other] -= taken
                wanted[at] -= taken
                say = f"Cut {taken} of {_bar(looks[other])} to {bar.cut_length} for {_bar(bar)}."
                item = f"{_bar(bar)}, cut from {looks[other].cut_length}"
                out.append(Difference(item, "each", was[at], now[at], say, Topic.BARS, stage=bar.stage))
    return out


def _whole_bars(
    looks: Mapping[tuple[object, ...], Bar],
    spare: Counter[tuple[object, ...]],
    wanted: Counter[tuple[object, ...]],
    was: Counter[tuple[object, ...]],
    now: Counter[tuple[object, ...]],
) -> list[Difference]:
    out = []
    for at, count in (*(+wanted).items(), *((at, -n) for at, n in (+spare).items())):
        say = f"Add {count} of {_bar(looks[at])}." if count > 0 else f"Put aside {-count} of {_bar(looks[at])}."
        out.append(Difference(_bar(looks[at]), "each", was[at], now[at], say, Topic.BARS, stage=looks[at].stage))
    return out


def _bar(bar: Bar) -> str:
    bent = "bent " if bar.shape is not None else ""
    role, stage = (each.value.replace("_", " ") for each in (bar.role, bar.stage))
    return f"#{bar.size} {bent}{role} bars {bar.cut_length}, {stage}"


def bucks_between(old: Plan, new: Plan) -> list[Difference]:
    """Bucks moved along or up the wall, made another size, not needed, or new; by leg and name of the opening."""
    was, now = (
        {(leg.name, o.name): o for leg in plan.legs() for o in formed_openings(plan, leg)} for plan in (old, new)
    )
    out = []
    for at in dict.fromkeys([*was, *now]):
        before, after = was.get(at), now.get(at)
        name = f"Buck {at[1]}, leg {at[0]}"
        if before is None or after is None:
            say = f"{name}: {'not needed any more' if after is None else 'new, build it'}."
            there = float(before is not None), float(after is not None)
            out.append(Difference(name, "each", *there, say, Topic.BUCKS, where=at[0]))
            continue
        for what, one, other in (
            ("width", before.width, after.width),
            ("height", before.height, after.height),
            ("distance", before.offset, after.offset),
            ("sill level", before.sill, after.sill),
        ):
            if one != other:
                verb = "rebuild it" if what in ("width", "height") else "move it"
                say = f"{name}: {what} {other}, not {one}; {verb}."
                item = f"{name}, {what}"
                out.append(Difference(item, "in", one.inch, other.inch, say, Topic.BUCKS, where=at[0]))
        if before.measured_from is not after.measured_from:
            say = f"{name}: now measured from the leg's {after.measured_from.value}; mark its place anew."
            out.append(Difference(f"{name}, place", "each", 0.0, 1.0, say, Topic.BUCKS, where=at[0]))
    return out
