"""The order by wall area, as it is reckoned at a yard's counter, against the order by layout, and where they part.

By area: the face of the walls less their openings, over the face of one straight unit. By layout: the units laid one by
one. Every reason for the difference is counted on the layout, in units; together they are the difference exactly.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import groupby

from takeoff.bands import Band, leg_bands, opening_span
from takeoff.block_orders import SAW_CUT
from takeoff.cutting import fewest
from takeoff.forms import FormSystem
from takeoff.geometry import LegGeometry, place
from takeoff.ledges import LedgePlace, ledge_places, straight_parts
from takeoff.leg_layout import minimum_piece
from takeoff.openings_forms import formed_openings
from takeoff.plan import Leg, Opening, Plan, Stage
from takeoff.results import PlacedUnit, Takeoff, UnitKind
from takeoff.tally import number, square_feet
from takeoff.units import ZERO, Length

#: Quantities that are form units, by how their key begins. Mitred units are among the straight ones.
STRAIGHT, LOW, CORNER, LEDGE, BENT = (
    "blocks.straight", "blocks.half_height", "blocks.corner", "blocks.ledge", "blocks.radius_more",
)  # fmt: skip

#: A reason smaller than this many units is not told.
LEAST_TOLD = 0.005

Ledges = dict[tuple[str, int], list[LedgePlace]]  # by leg and course
Group = tuple[str, Stage, str]  # section, stage, form key


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a layout takes more units than the area (or fewer, negative), and how that was counted."""

    name: str
    units: float
    text: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """Both orders for the walls of one section, stage and form system.

    ``net_ft2`` is ``wall_ft2`` less ``openings_ft2``; ``by_area`` is that over ``face_ft2``, unrounded. The units of
    ``reasons`` add up to ``difference``.
    """

    section: str
    stage: Stage
    form: str
    wall_ft2: float
    openings_ft2: float
    face_ft2: float
    straight: int  # by layout: straight, low and ledge units
    corners: int
    reasons: tuple[Reason, ...]

    @property
    def net_ft2(self) -> float:
        """Face of the walls less openings [ft2]."""
        return self.wall_ft2 - self.openings_ft2

    @property
    def by_area(self) -> float:
        """Units by area, unrounded."""
        return self.net_ft2 / self.face_ft2

    @property
    def ordered_by_area(self) -> int:
        """Units by area, rounded up."""
        return math.ceil(self.by_area - 1e-9)

    @property
    def by_layout(self) -> int:
        """Units by layout, of every kind."""
        return self.straight + self.corners

    @property
    def difference(self) -> int:
        """How many more the layout takes; negative where it takes fewer."""
        return self.by_layout - self.ordered_by_area

    @property
    def basis(self) -> str:
        """The sum by area written out."""
        return (
            f"({number(self.wall_ft2)} - {number(self.openings_ft2)}) ft2 / {number(self.face_ft2)} ft2 a unit = "
            f"{number(self.by_area)}, ordered {self.ordered_by_area}; by layout {self.straight} straight and "
            f"{self.corners} corner units"
        )


def compare(takeoff: Takeoff) -> tuple[Comparison, ...]:
    """One comparison for each section, stage and form system of a takeoff; none where it holds no units."""
    if not takeoff.units:
        return ()
    plan = takeoff.plan
    placement = place(plan)
    ledges: Ledges = {}
    for over in ledge_places(plan, placement):
        ledges.setdefault((over.leg, over.course), []).append(over)
    legs = {leg.name: leg for leg in plan.legs()}
    groups: dict[Group, list[PlacedUnit]] = {}
    for unit in takeoff.units:
        leg = legs[unit.leg]
        groups.setdefault((leg.section, unit.stage, leg.form), []).append(unit)
    ordered = _ordered(takeoff, legs)
    standing: dict[tuple[str, str], list[LegGeometry]] = {}
    for geometry in placement.legs.values():
        standing.setdefault((geometry.leg.section, geometry.leg.form), []).append(geometry)
    return tuple(
        _compare(plan, standing[group[0], group[2]], group, units, ordered.get(group, Counter()), ledges)
        for group, units in groups.items()
    )


def _ordered(takeoff: Takeoff, legs: dict[str, Leg]) -> dict[Group, Counter[str]]:
    """Units of every kind in the takeoff, by section, stage and form system."""
    out: dict[Group, Counter[str]] = {}
    for q in takeoff.quantities:
        kind = next((k for k in (STRAIGHT, LOW, CORNER, LEDGE, BENT) if q.key.startswith(k)), None)
        if kind is not None and q.legs:
            group = (q.section, q.stage, legs[q.legs[0]].form)
            out.setdefault(group, Counter())[kind] += round(q.amount)
    return out


# -- areas ------------------------------------------------------------------------------------------
@dataclass(slots=True)
class _Area:
    """Face of walls, the rough openings in it, and the openings as formed, with their bucks [in2]."""

    wall: float = 0.0
    openings: float = 0.0
    formed: float = 0.0


def _face(plan: Plan, standing: list[LegGeometry], stage: Stage) -> _Area:
    """Face of walls of one stage, measured outside, and the openings in it."""
    area = _Area()
    for geometry in standing:
        leg = geometry.leg
        for band in leg_bands(geometry):
            bottom, top = _heights(stage, band.levels.footing_top, band.levels.frost_top, band.levels.wall_top)
            area.wall += band.outside * max((top - bottom).inch, 0.0)
            area.openings += sum(_in_band(opening, band, bottom, top) for opening in leg.openings)
            area.formed += sum(_in_band(opening, band, bottom, top) for opening in formed_openings(plan, leg))
    return area


def _in_band(opening: Opening, band: Band, bottom: Length, top: Length) -> float:
    """Face of an opening [in2] within one stretch of a wall."""
    geometry = band.geometry
    near, far = opening_span(opening, geometry.dimension_length.inch)
    wide = (min(far, band.end) - max(near, band.start)) * geometry.outside_per_dimension
    high = (min(opening.head, top) - max(opening.sill, bottom)).inch
    return max(wide, 0.0) * max(high, 0.0)


def _heights(stage: Stage, foot: Length, frost: Length | None, top: Length | None) -> tuple[Length, Length]:
    """Foot and top of the wall of one stage; equal where there is none."""
    if stage is Stage.FROST_WALL:
        return (foot, frost) if frost is not None else (foot, foot)
    if top is None:
        return foot, foot
    return (frost if frost is not None else foot), top


# -- reasons ----------------------------------------------------------------------------------------
def _compare(
    plan: Plan,
    standing: list[LegGeometry],
    group: Group,
    units: list[PlacedUnit],
    ordered: Counter[str],
    ledges: Ledges,
) -> Comparison:
    form = plan.form(group[2])
    area, face = _face(plan, standing, group[1]), form.length.inch * form.face_height.inch
    laid = _Laid(form, face, units, ledges)
    by_area = (area.wall - area.openings) / face
    formed = {g.leg.name: (g, formed_openings(plan, g.leg)) for g in standing}
    cut_out = sum(_cut_out(unit, *formed[unit.leg]) for unit in units)
    bucks = (area.formed - area.openings) / face
    fewest = laid.fewest(minimum_piece(form, plan.spec.layout))
    left = laid.total - cut_out / face - by_area + bucks
    reasons = (
        _corners(laid, ordered[CORNER]),
        Reason("ripped courses", laid.ripped, f"{laid.ripped_count} units ripped, {_ft2(laid.ripped * face)} cut off"),
        Reason(
            "cut pieces",
            fewest - laid.straight,
            f"runs end in pieces, at the least {fewest} units for {number(laid.straight * form.length.foot)} ft",
        ),
        Reason("bond", ordered[STRAIGHT] - fewest, "further pieces cut so that no joint stands over a joint"),
        Reason("low units", ordered[LOW] - laid.low, f"{ordered[LOW]} units made lower than the others"),
        Reason("brick ledge", ordered[LEDGE] - laid.ledge, "cut pieces of ledge units and lips on corner units"),
        Reason("walls bent inward", float(ordered[BENT]), "units keep their length on the longer, inside face"),
        Reason("openings", cut_out / face, f"{laid.notched_count} units notched, {_ft2(cut_out)} of openings in them"),
        Reason("bucks", -bucks, f"{_ft2(bucks * face)} of face taken by bucks beside openings"),
        Reason("steps, corners, cold joint", left, f"{_ft2(left * face)} of units outside the face as measured"),
        Reason("rounding of the area", by_area - math.ceil(by_area - 1e-9), "the area is rounded up to whole units"),
    )
    return Comparison(
        *group[:2], form.name, square_feet(area.wall), square_feet(area.openings), square_feet(face),
        ordered[STRAIGHT] + ordered[LOW] + ordered[LEDGE] + ordered[BENT], ordered[CORNER],
        tuple(reason for reason in reasons if abs(reason.units) >= LEAST_TOLD),
    )  # fmt: skip


@dataclass(slots=True)
class _Laid:
    """Units as they stand, in faces of a whole straight unit: corners, straight by length, low ones, ledge units."""

    form: FormSystem
    face: float
    units: list[PlacedUnit]
    ledges: Ledges
    corners: float = field(init=False, default=0.0)
    straight: float = field(init=False, default=0.0)
    ripped: float = field(init=False, default=0.0)
    ripped_count: int = field(init=False, default=0)
    notched_count: int = field(init=False, default=0)
    low: float = field(init=False, default=0.0)
    ledge: float = field(init=False, default=0.0)

    def __post_init__(self) -> None:
        for unit in self.units:
            area = _area(unit) / self.face
            self.notched_count += unit.notched
            if unit.kind not in (UnitKind.STRAIGHT, UnitKind.MITRE):
                self.corners += area
                continue
            if unit.part_height:
                self.low += area
                continue
            long = (unit.end - unit.start).inch / self.form.length.inch
            kept = (
                sum((b - a).inch for a, b in straight_parts(unit, self.ledges.get((unit.leg, unit.course), ())))
                / self.form.length.inch
            )
            self.straight += kept
            self.ledge += long - kept
            self.ripped += long - area
            self.ripped_count += unit.ripped

    @property
    def total(self) -> float:
        """All of them as they stand."""
        return self.corners + self.straight + self.ledge - self.ripped + self.low

    def fewest(self, smallest: Length) -> int:
        """Straight units if every run ended in one cut piece, those pieces cut together from whole units."""
        whole, rest = 0, Counter[tuple[Length, Length]]()
        for height, run in _runs(self.units, self.ledges):
            whole += run // self.form.length
            rest[height, run % self.form.length] += 1
        stock = 0
        for height in {height for height, _ in rest}:
            pieces = {long: n for (of, long), n in rest.items() if of == height and long > ZERO}
            stock += fewest(pieces, self.form.length, SAW_CUT, smallest).stock
        return whole + stock


def _corners(laid: _Laid, count: int) -> Reason:
    text = f"{count} corner units cover as much as {number(laid.corners)} straight ones"
    return Reason("corner units", count - laid.corners, text)


def _runs(units: Iterable[PlacedUnit], ledges: Ledges) -> Iterator[tuple[Length, Length]]:
    """(height, length) of every run of straight units side by side, ledge units left out."""
    straight = [u for u in units if u.kind in (UnitKind.STRAIGHT, UnitKind.MITRE) and not u.part_height]
    straight.sort(key=lambda u: (u.leg, u.course, u.start))
    for _, row in groupby(straight, key=lambda u: (u.leg, u.course)):
        end, height, run = ZERO, ZERO, ZERO
        for unit in row:
            for low, high in straight_parts(unit, ledges.get((unit.leg, unit.course), ())):
                if run and (low != end or unit.top - unit.bottom != height):
                    yield height, run
                    run = ZERO
                run, end, height = run + high - low, high, unit.top - unit.bottom
        if run:
            yield height, run


def _area(unit: PlacedUnit) -> float:
    return (unit.end - unit.start).inch * (unit.top - unit.bottom).inch


def _cut_out(unit: PlacedUnit, geometry: LegGeometry, openings: tuple[Opening, ...]) -> float:
    """Part of a unit that openings as formed take out of it [in2]."""
    out = 0.0
    for opening in openings:
        near, far = geometry.opening_span(opening)
        wide = min(far, unit.end) - max(near, unit.start)
        high = min(opening.head, unit.top) - max(opening.sill, unit.bottom)
        if wide > ZERO and high > ZERO:
            out += wide.inch * high.inch
    return out


def _ft2(square_inches: float) -> str:
    return f"{number(square_feet(square_inches))} ft2"
