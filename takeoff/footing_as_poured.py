"""A footing poured too low or too high: what brings the first course back to its line, and what is left of the lap.

Two ways where it is low: build the low legs up (a bed of non-shrink grout or foam shims under the block, the wall's
concrete filling the rest), or rip the first course of every other leg down to it. Where it is high the first course is
ripped on the high legs. Bars that stand in the footing keep their place, so a low footing lowers them with it and the
lap gets shorter by as much: that is for the engineer. Common practice, no source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from takeoff.differences import Difference, Topic
from takeoff.geometry import place
from takeoff.plan import Leg, Plan
from takeoff.results import BarRole, Takeoff
from takeoff.tally import inch_text, number, yards
from takeoff.units import ZERO, Length, ceil_div

CUBIC_INCHES_PER_FOOT = 1728.0
#: A foam shim is not cut thinner than this; a lower gap is grouted. Common practice, no source.
LEAST_SHIM = Length.inches("0.5")


# -- rules ------------------------------------------------------------------------------------------
def built_up_yd3(length_in: float, core_in: float, low_in: float) -> float:
    """Concrete the wall takes more [yd3] where its first course is built up: length x core x height."""
    return yards(length_in * core_in * low_in)


def grout_ft3(length_in: float, wall_in: float, low_in: float) -> float:
    """Grout of a bed under the whole block [ft3]: length x thickness of the block x height."""
    return length_in * wall_in * low_in / CUBIC_INCHES_PER_FOOT


def units_to_rip(length: Length, unit: Length) -> int:
    """Units of a first course to be ripped: length / unit, the last one counted whole."""
    return ceil_div(length, unit)


def lap_left(lap: Length, low: Length) -> Length:
    """Lap left above a footing that is low by so much (high: less than nothing), the bars standing where they are."""
    return lap - low


# -- one plan ---------------------------------------------------------------------------------------
def footing_as_poured(takeoff: Takeoff, low: Mapping[str, Length]) -> tuple[Difference, ...]:
    """What legs whose footing was measured off its level need: ``low`` is how much too low by leg, negative too high.

    The measured footing is taken as off by that much over the whole leg. Raises KeyError for a leg that is not in the
    plan; legs measured right (zero) count among the rest.
    """
    plan = takeoff.plan
    for name in low:
        plan.leg(name)
    off = {name: amount for name, amount in low.items() if amount}
    out: list[Difference] = []
    placed = place(plan).legs
    for name, amount in off.items():
        if name in placed:
            leg = plan.leg(name)
            along, outside = placed[name].centre.length.inch, placed[name].outside.length
            out += (
                _low(plan, leg, along, outside, amount) if amount > ZERO else _high(plan, leg, along, outside, -amount)
            )
            out += _lap(takeoff, leg, amount)
    return (*out, *_rest(plan, {n: placed[n].outside.length for n in placed}, off))


def _low(plan: Plan, leg: Leg, along: float, outside: Length, low: Length) -> list[Difference]:
    wall = plan.form(leg.form).thickness(leg.core).inch
    concrete = built_up_yd3(along, leg.core.inch, low.inch)
    grout = grout_ft3(outside.inch, wall, low.inch)
    name, gap = f"leg {leg.name}", inch_text(low.inch)
    bed = "grout" if low < LEAST_SHIM else "grout or foam shims"
    return [
        Difference(
            f"Wall concrete, {name}", "yd3", 0.0, concrete,
            f"{leg.name} is {gap} low: built up, its wall takes {number(concrete)} yd3 more "
            f"({number(along / 12)} ft x {inch_text(leg.core.inch)} x {gap}).", Topic.BUILD_UP, where=leg.name,
        ),
        Difference(
            f"Bed under the first course, {name}", "ft3", 0.0, grout,
            f"{leg.name}: a bed of {bed} {gap} high under the whole block is {number(grout)} ft3; the first course "
            "then stands at its line.", Topic.BUILD_UP, where=leg.name,
        ),
    ]  # fmt: skip


def _high(plan: Plan, leg: Leg, along: float, outside: Length, high: Length) -> list[Difference]:
    form, gap = plan.form(leg.form), inch_text(high.inch)
    count, left = units_to_rip(outside, form.length), form.face_height - high
    concrete = built_up_yd3(along, leg.core.inch, high.inch)
    least = plan.spec.layout.minimum_rip
    warn = "" if left >= least else f"; that is under the least rip of {inch_text(least.inch)}, ask before cutting"
    return [
        Difference(
            f"Units to rip, leg {leg.name}", "each", 0.0, count,
            f"{leg.name} is {gap} high: rip its first course to {inch_text(left.inch)}, {count} units{warn}.",
            Topic.RIP_HIGH, where=leg.name,
        ),
        Difference(
            f"Wall concrete, leg {leg.name}", "yd3", 0.0, -concrete,
            f"{leg.name}: the wall takes {number(concrete)} yd3 less.", Topic.RIP_HIGH, where=leg.name,
        ),
    ]  # fmt: skip


def _lap(takeoff: Takeoff, leg: Leg, low: Length) -> list[Difference]:
    """The lap of dowels against what it must be; nothing where the leg has none."""
    laps = {
        bar.lap for bar in takeoff.bars if bar.leg == leg.name and bar.role is BarRole.DOWEL and bar.lap is not None
    }
    out = []
    for lap in sorted(laps):
        left = lap_left(lap, low)
        if low > ZERO:
            say = (
                f"{leg.name}: dowels set to the footing top lap {inch_text(left.inch)}, {inch_text(low.inch)} short of "
                f"{inch_text(lap.inch)}: ask the engineer before the first course, or re-set the bars."
            )
        else:
            say = f"{leg.name}: dowels lap {inch_text(left.inch)}, {inch_text(lap.inch)} needed."
        item = f"Lap of dowels, leg {leg.name}"
        out.append(Difference(item, "in", lap.inch, left.inch, say, Topic.LAPS, where=leg.name))
    return out


def _rest(plan: Plan, lengths: Mapping[str, Length], off: Mapping[str, Length]) -> list[Difference]:
    """The other way where legs are low: the first course of the rest of each section ripped by the lowest of them."""
    out = []
    for section in plan.sections:
        legs = [leg for leg in plan.legs_in(section.key) if leg.name in lengths]
        lows = [off[leg.name] for leg in legs if off.get(leg.name, ZERO) > ZERO]
        rest = [leg for leg in legs if leg.name not in off]
        if not lows or not rest:
            continue
        low, around = max(lows), defaultdict[str, int](int)
        for leg in rest:
            around[leg.form] += lengths[leg.name].nm
        forms = {key: plan.form(key) for key in around}
        count = sum(units_to_rip(Length(nm), forms[key].length) for key, nm in around.items())
        left = ", ".join(dict.fromkeys(inch_text((form.face_height - low).inch) for form in forms.values()))
        say = (
            f"{section.name}: instead of building up, rip the first course of {', '.join(leg.name for leg in rest)} to "
            f"{left}: {count} units; the wall's top then comes {inch_text(low.inch)} lower too."
        )
        item = f"Units to rip instead, {section.name}"
        out.append(Difference(item, "each", 0.0, count, say, Topic.RIP_REST, where=section.name))
    return out
