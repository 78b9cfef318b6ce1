"""What a brick ledge takes beside the wall: ledge units, closed ends, steel; counted on the units as laid.

A ledge unit stands where a straight one would (:func:`takeoff.ledges.straight_parts` says what is left of that). Corner
units have no ledge of their own: the lip along each of their legs is cut from a further ledge unit and fixed on.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from takeoff.block_orders import SAW_CUT
from takeoff.blocks import Layout
from takeoff.cutting import first_fit
from takeoff.forms import FormSystem
from takeoff.geometry import CornerKind, Placement
from takeoff.ledge_bars import ledge_bars
from takeoff.ledge_checks import ledge_problems
from takeoff.ledges import STEEPEST_FLARE_DEG, LedgeRun, UnitsByCourse, by_course, ledge_runs, ledge_volume
from takeoff.leg_layout import minimum_piece
from takeoff.plan import Plan, Stage
from takeoff.rebar import unusable
from takeoff.results import Buy, Criterion, Part, PlacedUnit, Quantity, Unit, UnitKind
from takeoff.sources import COMMON_PRACTICE, FORM_SYSTEM, GEOMETRY, Source
from takeoff.tally import Tally
from takeoff.units import ZERO, Length, format_length

LEDGES = Source("course-by-course layout of the plan, ledge course")

Group = tuple[str, Stage, str, Length]  # section, stage, form key, core


# -- rules ------------------------------------------------------------------------------------------
@dataclass(slots=True)
class LedgeCount:
    """Ledge units one group of legs uses: whole ones, cut pieces by length, lips of corner units by length."""

    whole: int = 0
    cut: Counter[Length] = field(default_factory=Counter)
    lips: Counter[Length] = field(default_factory=Counter)
    by_leg: dict[str, Counter[str]] = field(default_factory=dict)

    def add(self, leg: str, length: Length, form: FormSystem, lip: bool) -> None:
        """Enter one piece; a lip longer than a unit is made of two."""
        kind = "lip" if lip else "whole" if length == form.length else "cut"
        self.by_leg.setdefault(leg, Counter())[kind] += 1
        while lip and length > form.length:
            self.lips[form.length] += 1
            length -= form.length
        if lip:
            self.lips[length] += 1
        elif kind == "whole":
            self.whole += 1
        else:
            self.cut[length] += 1

    def units(self, form: FormSystem, smallest: Length) -> int:
        """Units to order: whole ones, and those all cut pieces and lips are cut from, longest first."""
        return self.whole + first_fit(self.cut + self.lips, form.length, SAW_CUT, smallest).stock

    def basis(self, form: FormSystem, smallest: Length) -> str:
        """The sum in words."""
        words = {"whole": "whole", "cut": "cut", "lip": "on corner units"}
        legs = ", ".join(
            f"{leg} " + " + ".join(f"{counts[kind]} {words[kind]}" for kind in words if counts[kind])
            for leg, counts in self.by_leg.items()
        )
        pieces = ", ".join(f"{n} x {_in(length)}" for length, n in sorted((self.cut + self.lips).items(), reverse=True))
        stock = self.units(form, smallest) - self.whole
        cut = f' + {stock} for pieces of {pieces} (longest first, first fit, 1/4" saw cut)' if pieces else ""
        return f"{legs}: {self.whole} whole{cut} = {self.whole + stock}"


def lip_length(leg: Length, projection: Length, deflection_deg: float, kind: CornerKind) -> Length:
    """Length of lip along one leg of a corner unit, on the outer edge: longer by projection x tan(theta/2) where the
    ledge goes round an outside corner, shorter by as much at an inside one."""
    sign = {CornerKind.OUTSIDE: 1.0, CornerKind.INSIDE: -1.0}.get(kind, 0.0)
    more = sign * projection.inch * math.tan(math.radians(deflection_deg) / 2)
    return max(leg + Length.from_inches(more), ZERO)


# -- the ledges of a plan ---------------------------------------------------------------------------
def ledge_part(plan: Plan, placement: Placement, layout: Layout) -> Part:
    """Units, closed ends, bars, numbers to check and troubles of all brick ledges of a plan."""
    runs = ledge_runs(plan, placement)
    if not runs:
        return Part()
    bars = () if unusable(plan) else ledge_bars(plan, placement)
    laid = by_course(layout.units, runs)
    within = _concrete(plan, placement).quantities()
    quantities = (*_unit_quantities(plan, runs, laid), *_ends(runs).quantities(), *within)
    return Part(quantities, _criteria(plan, runs), ledge_problems(plan, runs, laid), bars)


def pieces_of(run: LedgeRun, laid: UnitsByCourse) -> Iterator[tuple[PlacedUnit, Length, bool]]:
    """(placed unit, length of ledge on it, whether that is the lip of a corner or mitred unit) along a run.

    A straight unit that runs across a joint of legs in line is one piece, on the leg it is counted on.
    """
    for unit in laid[run.leg, run.course]:
        length = min(unit.end, run.end) - max(unit.start, run.start)
        if length <= ZERO:
            continue
        if unit.kind is not UnitKind.STRAIGHT:
            yield unit, _lip(run, unit, length), True
        elif unit.counted:
            yield unit, length + _beyond(run, unit, laid), False
        elif not (run.round_start if not unit.start else run.round_end):
            yield unit, length, False


def _lip(run: LedgeRun, unit: PlacedUnit, length: Length) -> Length:
    corner, goes_round = (run.geometry.start, run.round_start) if not unit.start else (run.geometry.end, run.round_end)
    if not goes_round:
        return length
    return lip_length(length, run.haunch.top, corner.deflection_deg, corner.kind)


def _beyond(run: LedgeRun, unit: PlacedUnit, laid: UnitsByCourse) -> Length:
    """The part on the leg in line of a straight unit that runs across the joint, where the ledge goes on there."""
    at_end = unit.end == run.geometry.outside.length
    if not ((at_end and run.round_end) or (not unit.start and run.round_start)):
        return ZERO
    for other in (other for row in laid.values() for other in row):
        if other.kind is UnitKind.STRAIGHT and not other.counted and other.leg != unit.leg:
            halves = other.end - other.start + unit.end - unit.start
            if other.bottom == unit.bottom and halves == run.form.length and (not other.start) == at_end:
                return other.end - other.start
    return ZERO


def _unit_quantities(plan: Plan, runs: tuple[LedgeRun, ...], laid: UnitsByCourse) -> list[Quantity]:
    counts: dict[Group, LedgeCount] = {}
    for run in runs:
        if run.form.ledge_projection is None:
            continue
        leg = run.geometry.leg
        for unit, length, lip in pieces_of(run, laid):
            count = counts.setdefault((leg.section, unit.stage, leg.form, leg.core), LedgeCount())
            count.add(leg.name, length, run.form, lip)
    several = len({(form, core) for _, _, form, core in counts}) > 1
    out = []
    for (section, stage, key, core), count in counts.items():
        form = plan.form(key)
        smallest = minimum_piece(form, plan.spec.layout)
        suffix = f"[{key}/{_in(core)}]" if several else ""
        out.append(
            Quantity(
                "blocks.ledge" + suffix, f"Ledge units, {form.name}, {_in(core)} core",
                count.units(form, smallest), Unit.EACH, stage, section, "wall forms",
                count.basis(form, smallest), LEDGES, Buy("unit", 1, 0.0, 1.0), tuple(count.by_leg),
            )
        )  # fmt: skip
    return out


def _concrete(plan: Plan, placement: Placement) -> Tally:
    """What of the wall concrete goes into ledges, told apart for its lift; it is ordered with the wall."""
    tally = Tally("ledge.concrete", "Of the wall concrete, in brick ledges", Unit.YD3, "wall concrete", GEOMETRY)
    for volume in ledge_volume(plan, placement):
        tally.add(volume.section, volume.stage, volume.leg, volume.yd3, volume.text)
    return tally


def _ends(runs: tuple[LedgeRun, ...]) -> Tally:
    """Ends of ledges to be closed with plywood: each that neither goes round a corner nor meets another wall."""
    tally = Tally("ledge.ends", "Closed ends of brick ledges", Unit.EACH, "wall forms", COMMON_PRACTICE)
    for run in runs:
        for corner, reached, goes_round, which in (
            (run.geometry.start, run.to_corner[0], run.round_start, "start"),
            (run.geometry.end, run.to_corner[1], run.round_end, "end"),
        ):
            meets_wall = reached and corner.kind in (CornerKind.INSIDE, CornerKind.TEE)
            if not goes_round and not meets_wall:
                at = run.start if which == "start" else run.end
                tally.add(run.section, run.stage, run.leg, 1.0, f"{which} at {run.typed(at)}")
    return tally


def _criteria(plan: Plan, runs: tuple[LedgeRun, ...]) -> tuple[Criterion, ...]:
    """What a person finds on a ledge course: its level, its steel, its flare."""
    out: list[Criterion] = []
    size = plan.spec.bars.horizontal_size
    for stage, level in dict.fromkeys((run.stage, run.bearing) for run in runs):
        own = [run for run in runs if (run.stage, run.bearing) == (stage, level)]
        names = tuple(dict.fromkeys(run.leg for run in own))
        courses = ", ".join(dict.fromkeys(str(run.course) for run in own))
        web, flare = min(run.form.web_spacing for run in own), max(run.haunch.flare_deg for run in own)
        rows = [
            ("ledge.level", "Bearing of the brick ledge off its level", 0.0, "in", "is", COMMON_PRACTICE, 0.25,
             f"brick ledge bears at {level}, on course {courses}, 1/4\" up or down"),
            ("ledge.stirrups", "Stirrups of the brick ledge", web.inch, "in", "at most", COMMON_PRACTICE, 0.0,
             f"a stirrup #{size} at every web, {_in(web)} apart, a bar in the lip and one in the core"),
            ("ledge.flare", "Flare of the brick ledge", STEEPEST_FLARE_DEG, "degrees", "at most", FORM_SYSTEM, 0.0,
             f"underside of the ledge {flare:.0f} degrees from upright"),
        ]  # fmt: skip
        out += [
            Criterion(key, label, value, unit, sense, stage, source, tolerance, names, text)
            for key, label, value, unit, sense, source, tolerance, text in rows
        ]
    return tuple(out)


def _in(length: Length) -> str:
    return format_length(length, "in")
