"""Lintels over openings: bars above and below in the beam that the wall is over an opening, and its stirrups.

What a table gives is looked up in :mod:`takeoff.lintel_tables`; this module says which table may be asked, where the
bars end, and what is for the engineer. A lintel takes the place of the single bar otherwise set over the opening.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from takeoff.bar_runs import END_COVER, Line, Zone, inset, zones_at
from takeoff.bending import cut_length, tie_diameters
from takeoff.geometry import Corner, CornerKind, LegGeometry, Placement
from takeoff.laps import MAIN_BEND, bar_size, printed_length
from takeoff.lintel_tables import COVER, NARROWEST, WIDEST, LintelBars, lintel, snow_column
from takeoff.openings_forms import formed_openings
from takeoff.plan import Opening, Plan, Stage
from takeoff.problems import About, Problem, Severity
from takeoff.results import Bar, BarRole, BarShape, Part
from takeoff.site import AboveGrade
from takeoff.strength.development import Bond, development_in
from takeoff.strength.prescriptive import LEAST_STRENGTH_PSI, nominal_thickness
from takeoff.units import ZERO, Length, format_length

UNSAID: Final = "the plan does not say"

#: Roofs span no more than this in the tables.
ROOF_SPAN: Final = Length.feet(40)

STIRRUP_SIZE: Final = 3

#: Hooks of stirrups: bend and straight part beyond it in bar diameters (ACI 318 standard hooks, WSDOT bridge library
#: as read for stirrups #3 to #5).
HOOK_TURN: Final = 135.0
HOOK_EXTENSION: Final = 6

#: Straight part of a 90 degree hook of a main bar beyond its bend, in bar diameters.
MAIN_HOOK_EXTENSION: Final = 12

#: Cover of a two-legged stirrup to the faces in a stay-in-place form. IRC 2021 R404.1.3.3.7.4.
SIDE_COVER: Final = Length.inches("0.75")

#: The bar over an opening that a lintel replaces lies this far above its head.
TRIM_ABOVE: Final = Length.inches(3)


@dataclass(frozen=True, slots=True)
class Lintel:
    """The lintel of one opening as formed: its ``jambs`` along the outside face, the pour it is in, what the table
    gives, the size used (never under that of the bars around openings), and its stirrups."""

    geometry: LegGeometry
    opening: Opening
    jambs: tuple[Length, Length]
    zone: Zone
    bars: LintelBars
    size: int
    stirrups_each_side: int
    stirrup_spacing: Length

    @property
    def span(self) -> Length:
        """Clear span."""
        return self.jambs[1] - self.jambs[0]

    @property
    def levels(self) -> tuple[Length, Length]:
        """Middle of the bottom and of the top bars."""
        half = Length.from_inches(bar_size(self.size).diameter / 2)
        bottom = self.opening.head + COVER + half
        return bottom, self.opening.head + Length.inches(self.bars.depth) - COVER - half


def lintel_bars(plan: Plan, placement: Placement) -> Part:
    """Bars of every lintel a table gives, and a sentence for each opening whose lintel is for the engineer."""
    bars: list[Bar] = []
    problems: list[Problem] = []
    refused: dict[tuple[str, Stage], list[tuple[str, str]]] = {}
    for geometry in placement.legs.values():
        for opening in formed_openings(plan, geometry.leg):
            found = lintel_over(plan, geometry, opening)
            if isinstance(found, str):
                zone = _zone(geometry, geometry.opening_span(opening), opening)
                if found and zone is not None:
                    refused.setdefault((found, zone.stage), []).append((geometry.leg.name, opening.name))
                continue
            made, told = _bars(plan, found)
            bars += made
            problems += told
    problems += [_for_engineer(reason, stage, where) for (reason, stage), where in refused.items()]
    return Part(bars=tuple(bars), problems=tuple(problems))


def lintel_over(plan: Plan, geometry: LegGeometry, opening: Opening) -> Lintel | str:
    """The lintel of an opening as formed; why there is none by a table, or '' where none is needed."""
    jambs = geometry.opening_span(opening)
    span = jambs[1] - jambs[0]
    zone = _zone(geometry, jambs, opening)
    if span < NARROWEST or zone is None:
        return ""
    thickness = nominal_thickness(geometry.leg.core)
    if reason := _refused(plan, geometry, jambs, zone, thickness):
        return reason
    snow = snow_column(plan.spec.building.snow_psf)
    assert thickness is not None and snow is not None  # else refused above
    found = lintel(thickness, zone.top - opening.head, span, snow, plan.spec.bars.grade_ksi)
    if isinstance(found, str):
        return found
    size = found.size if found.number > 1 else max(found.size, plan.spec.bars.opening_bar_size)
    spacing = stirrup_spacing(found.depth, size)
    each = 0 if found.centre is None else stirrups_each_side(span, found.centre, spacing)
    return Lintel(geometry, opening, jambs, zone, found, size, each, spacing)


def _refused(plan: Plan, geometry: LegGeometry, jambs: tuple[Length, Length], zone: Zone, thickness: int | None) -> str:
    """Why no table may be asked: what stands above is not said or not listed."""
    building, span = plan.spec.building, jambs[1] - jambs[0]
    unsaid = [
        words
        for missing, words in (
            (building.stories == 0, "how many stories stand above"),
            (not building.width, "how wide the building is"),
            (building.snow_psf < 0, "the ground snow load"),
        )
        if missing
    ]
    if unsaid:
        return f"{UNSAID} {', '.join(unsaid)}"
    pockets = (geometry.along_outside(p.offset) for p in geometry.leg.beam_pockets)
    for applies, words in (
        (thickness not in (6, 8, 10), f"no lintel table is for a core of {_in(geometry.leg.core)}"),
        (plan.spec.concrete.strength_psi < LEAST_STRENGTH_PSI, "the lintel tables want concrete of 2,500 psi"),
        (span > WIDEST, f"a span of {span} is over the {WIDEST} the tables go to"),
        (building.walls is AboveGrade.BRICK_VENEER, "brick above weighs more than the light-frame walls of the tables"),
        (
            building.walls is AboveGrade.CONCRETE_OR_MASONRY,
            "under concrete walls its load follows from their openings and ledgers, which no plan here holds",
        ),
        (building.stories > 1, "two stories of light frame over a foundation wall are in no load condition listed"),
        (building.width > ROOF_SPAN, f"a roof over {building.width} is wider than the {ROOF_SPAN} of the tables"),
        (snow_column(building.snow_psf) is None, f"snow of {building.snow_psf:g} psf is over the 70 of the tables"),
        (any(jambs[0] <= at <= jambs[1] for at in pockets), "a beam bears on it"),
    ):
        if applies:
            return words
    return ""


def _zone(geometry: LegGeometry, jambs: tuple[Length, Length], opening: Opening) -> Zone | None:
    """The pour over the head, the lowest of those across the opening; None where the opening is open at the top."""
    over = [
        zone
        for stretch in geometry.outside_stretches()
        if stretch.start < jambs[1] and stretch.end > jambs[0]
        for zone in zones_at(stretch)
        if zone.bottom <= opening.head < zone.top
    ]
    return min(over, key=lambda zone: zone.top, default=None)


# -- stirrups --------------------------------------------------------------------------------------
def stirrup_spacing(depth: int, size: int) -> Length:
    """Half of d, the lintel's depth less cover and half a bar. IRC 2021 R608.8.2.1."""
    return Length.from_inches((depth - COVER.inch - bar_size(size).diameter / 2) / 2)


def stirrups_each_side(span: Length, centre: Length, spacing: Length) -> int:
    """Stirrups from a jamb to the middle part that needs none: the first half a spacing in, then at the spacing until
    one stands in the middle part or at the middle of the span."""
    side = (span - centre).half()
    return 1 + max(0, math.ceil((side - spacing.half()) / spacing))


def stirrup_shape(core: Length, bars: LintelBars) -> BarShape:
    """One upright leg hooked over a single bar above and below; two legs and a foot around two bars.

    Legs run to where the lines of their outer faces meet, so that hooks of 135 degrees keep six diameters straight.
    """
    diameter = bar_size(STIRRUP_SIZE).diameter
    bend = diameter * (tie_diameters(STIRRUP_SIZE) / 2 + 1)  # outer radius
    beyond = bend * math.tan(math.radians(HOOK_TURN / 2))
    hook = Length.from_inches(HOOK_EXTENSION * diameter + beyond)
    height = Length.inches(bars.depth) - COVER - COVER + Length.from_inches(2 * diameter)
    at_hook = Length.from_inches(beyond - bend)
    if bars.number == 1:
        return BarShape((hook, height + at_hook + at_hook, hook), (HOOK_TURN, HOOK_TURN), tie_diameters(STIRRUP_SIZE))
    width = core - SIDE_COVER - SIDE_COVER
    legs = (hook, height + at_hook, width, height + at_hook, hook)
    return BarShape(legs, (HOOK_TURN, 90.0, 90.0, HOOK_TURN), tie_diameters(STIRRUP_SIZE))


# -- bars ------------------------------------------------------------------------------------------
def _bars(plan: Plan, found: Lintel) -> tuple[list[Bar], list[Problem]]:
    """Bottom and top bars, and the stirrups, of one lintel."""
    leg, table = found.geometry.leg, found.bars
    where = (
        f"{found.opening.name} {_in(found.span)} wide, {table.depth} in deep, {table.source}, load {table.condition}"
    )
    out, short = [], False
    for place, level in zip(("bottom", "top"), found.levels, strict=True):
        low, high, shape, cut, anchored = _ends(plan, found, level)
        short |= not anchored
        basis = f"{place} of the lintel over {where}, {table.number}-#{found.size}, spans {table.allowed}"
        line = (low.inch, level.inch, high.inch, level.inch)
        out.append(
            Bar("", found.size, BarRole.LINTEL, found.zone.stage, leg.section, leg.name, table.number, cut, None,
                "; ".join((basis, *table.notes)), (line,), shape)
        )  # fmt: skip
    if found.stirrups_each_side:
        out.append(_stirrups(found, where))
    if not short:
        return out, []
    reach = _in(development(plan, found.size))
    sentence = (
        f"{leg.name}: the lintel over {found.opening.name} stands so near a corner, a step or another opening that its "
        f"bars cannot reach {reach} past the jamb, nor a hook; the engineer says how they are held."
    )
    return out, [Problem(Severity.ENGINEER, sentence, "", leg.name, About.LINTELS, found.zone.stage)]


def _stirrups(found: Lintel, where: str) -> Bar:
    leg, shape = found.geometry.leg, stirrup_shape(found.geometry.leg.core, found.bars)
    places: list[Line] = []
    bottom, top = (level.inch for level in found.levels)
    for k in range(found.stirrups_each_side):
        step = found.stirrup_spacing.inch * (k + 0.5)
        for x in (found.jambs[0].inch + step, found.jambs[1].inch - step):
            places.append((x, bottom, x, top))
    basis = (
        f"stirrups of the lintel over {where}, longer than {found.bars.plain_span} without; d/2 = "
        f"{found.stirrup_spacing.inch:.2f} in, {found.stirrups_each_side} from each jamb, none in the middle "
        f"{found.bars.centre}"
    )
    count, cut = 2 * found.stirrups_each_side, cut_length(STIRRUP_SIZE, shape)
    stage, role = found.zone.stage, BarRole.STIRRUP
    return Bar("", STIRRUP_SIZE, role, stage, leg.section, leg.name, count, cut, None, basis, tuple(places), shape)


def development(plan: Plan, size: int, hooked: bool = False) -> Length:
    """How far past the jamb a lintel bar must reach to be held: IRC 2021 Table R608.5.4(1), straight or with a standard
    hook (the longer one printed for less than 2-1/2 in of cover beside it); by the equation of the concrete code,
    straight, for what it does not print."""
    bars = plan.spec.bars
    use = "development of a standard hook with less cover" if hooked else "development of a straight bar in tension"
    printed = printed_length(use, size, bars.grade_ksi)
    if printed is not None:
        return printed
    bond = Bond(size, bar_size(size).diameter, bars.grade_ksi * 1000.0, float(plan.spec.concrete.strength_psi))
    return Length.inches(math.ceil(development_in(replace(bond, top_bar=True)) - 1e-9))


def _ends(plan: Plan, found: Lintel, level: Length) -> tuple[Length, Length, BarShape | None, Length, bool]:
    """Where a lintel bar begins and ends along the outside face, its shape and cut length, and whether both its ends
    are held: straight past the jamb where there is room, else turned down in a hook."""
    wanted = max(plan.spec.bars.opening_bar_reach, development(plan, found.size))
    straight, hooked = development(plan, found.size), development(plan, found.size, hooked=True)
    low, high = _room(plan, found, level)
    start, end = max(low, found.jambs[0] - wanted), min(high, found.jambs[1] + wanted)
    reaches = (found.jambs[0] - start, end - found.jambs[1])
    hooks = tuple(straight > reach >= hooked for reach in reaches)
    anchored = all(reach >= straight or hook for reach, hook in zip(reaches, hooks, strict=True))
    body = _along(found.geometry, end - start)
    turn = Length.from_inches(bar_size(found.size).diameter * (MAIN_HOOK_EXTENSION + MAIN_BEND / 2 + 1))
    legs = (*((turn,) if hooks[0] else ()), body, *((turn,) if hooks[1] else ()))
    if len(legs) == 1:
        return start, end, None, body, anchored
    shape = BarShape(legs, (90.0,) * (len(legs) - 1), MAIN_BEND)
    return start, end, shape, cut_length(found.size, shape), anchored


def _room(plan: Plan, found: Lintel, level: Length) -> tuple[Length, Length]:
    """How far a bar at a level may run to both sides: to the concrete's ends less cover, to a step under it, to the
    next opening in its way."""
    geometry, jambs = found.geometry, found.jambs
    low = inset_end(plan, geometry, geometry.start)
    high = geometry.outside.length - inset_end(plan, geometry, geometry.end)
    for stretch in geometry.outside_stretches():
        if any(zone.bottom <= level <= zone.top - END_COVER for zone in zones_at(stretch)):
            continue
        if stretch.end <= jambs[0]:
            low = max(low, stretch.end + END_COVER)
        elif stretch.start >= jambs[1]:
            high = min(high, stretch.start - END_COVER)
    for other in formed_openings(plan, geometry.leg):
        if not other.sill - END_COVER < level < other.head + END_COVER:
            continue
        a, b = geometry.opening_span(other)
        if b <= jambs[0]:
            low = max(low, b + END_COVER)
        elif a >= jambs[1]:
            high = min(high, a - END_COVER)
    return low, high


def inset_end(plan: Plan, geometry: LegGeometry, corner: Corner) -> Length:
    """How far from a leg's end on the outside face its bars stop: at the concrete's corner less cover, at the face of
    a through wall, or where the next leg goes on in line."""
    if corner.kind in (CornerKind.TEE, CornerKind.STRAIGHT):
        return ZERO
    return inset(corner, plan.form(geometry.leg.form).foam) + END_COVER


def _along(geometry: LegGeometry, distance: Length) -> Length:
    outside, centre = geometry.outside.curve, geometry.centre.curve
    if not outside or not centre:
        return distance
    return Length(round(distance.nm * centre.radius / outside.radius))


# -- what it replaces ------------------------------------------------------------------------------
def without_head_bars(plan: Plan, placement: Placement, bars: Iterable[Bar]) -> tuple[Bar, ...]:
    """The same bars less the single one over each opening that has a lintel: role opening, level, 3 in above the head,
    across both jambs."""
    heads: dict[str, list[Lintel]] = {}
    for geometry in placement.legs.values():
        for opening in formed_openings(plan, geometry.leg):
            if isinstance(found := lintel_over(plan, geometry, opening), Lintel):
                heads.setdefault(geometry.leg.name, []).append(found)
    out = []
    for bar in bars:
        over = heads.get(bar.leg, []) if bar.role is BarRole.OPENING else []
        left = tuple(line for line in bar.places if not any(_replaced(line, lintel) for lintel in over))
        count = bar.count - (len(bar.places) - len(left))
        if count > 0:
            out.append(bar if count == bar.count else replace(bar, count=count, places=left))
    return tuple(out)


def _replaced(line: Line, found: Lintel) -> bool:
    x0, y0, x1, y1 = line
    level = (found.opening.head + TRIM_ABOVE).inch
    across = x0 <= found.jambs[0].inch and x1 >= found.jambs[1].inch
    return across and abs(y0 - level) < 1e-6 and abs(y1 - level) < 1e-6


def _for_engineer(reason: str, stage: Stage, where: list[tuple[str, str]]) -> Problem:
    """One sentence for all openings of a pour with the same reason."""
    said = ", ".join(f"{opening} in {leg}" for leg, opening in where)
    until = " Say it, or take the lintels from the engineer; one bar is counted over each." if UNSAID in reason else ""
    needs = "The lintel over" if len(where) == 1 else "The lintels over"
    verb = "needs" if len(where) == 1 else "need"
    sentence = f"{needs} {said} {verb} the engineer: {reason}.{until}"
    legs = tuple(dict.fromkeys(leg for leg, _ in where))
    return Problem(Severity.ENGINEER, sentence, "spec.building", legs[0], About.LINTELS, stage, legs)


def _in(length: Length) -> str:
    return format_length(length, "in")
