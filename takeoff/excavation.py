"""Earth dug out, and what is left over or missing once the backfill is kept.

The hole is the one :mod:`takeoff.earth` fills again: to the footing's bottom, ``working_space`` beyond the footing's
edge, sides back ``slope_run`` to 1 from there up to the ground. The ground is taken as level with the finished grade
outside each leg, because a plan does not say how it lay before.

* A ring with full-height walls is dug out whole, down to the bed of its slab; below that its footing trench. Inside
  a frost wall the trench has working space and a slope like outside; without one it is cut to the footing's edge.
* A ring or a hung wall with frost walls only is a trench, sloped on both sides.
* An inner T wall is a trench below the bed of the slab.
* Where a wall is hung on another, what lies in both holes is dug with the wall met (:mod:`takeoff.met_holes`).

Planes of neighbouring banks meet in a line at a corner (a mitre), as a drawing has it; a machine leaves it rounded, a
quarter of a cone less at a square corner. Both are said. Limits: as for the backfill, and the inside of a hung walk
with full-height walls is not dug out here (told).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan

from takeoff import earth
from takeoff.bands import Band, bands, has_ground_outside, strip_area
from takeoff.drain import projection_of
from takeoff.earth import annulus_in3, bank_yd3, limited_annulus_in3, loose_yd3
from takeoff.geometry import CornerKind, Placement, enclosed_area_in2
from takeoff.met_holes import Hole, inside_limits, met_holes, shared_in3
from takeoff.plan import Face, Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Buy, Part, Quantity, Unit
from takeoff.sources import COMMON_PRACTICE, GEOMETRY
from takeoff.tally import Tally, feet_inches, number, yards
from takeoff.unbalanced import inside_before_slab


# -- rules ------------------------------------------------------------------------------------------
def rounded_corner_in3(turn_deg: float, slope: float, low_in: float, high_in: float) -> float:
    """What an outside corner of a bank holds less [in3] where it is rounded (part of a cone about the toe's corner)
    than where its planes meet: (tan(theta/2) - theta/2) x slope2 x (h2^3 - h1^3) / 3. At 90 degrees 1 - pi/4."""
    half = radians(turn_deg) / 2
    return (tan(half) - half) * slope * slope * (high_in**3 - low_in**3) / 3


def hauled_yd3(dug_bank: float, placed: float, shrink: float) -> float:
    """Earth in the bank [yd3] left over once the backfill is kept (less than nothing: to be brought):
    dug - placed / (1 - shrink)."""
    return dug_bank - bank_yd3(placed, shrink)


# -- the hole beside one stretch --------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Dug:
    """The hole of one stretch [in3]: outside, under the wall, trench inside, its share of the ring's inside; what
    rounded corners hold less; and the depth outside [in]."""

    outside: float
    wall: float
    inside: float
    floor: float
    rounded: float
    depth: float

    @property
    def volume(self) -> float:
        """All of it [in3]."""
        return self.outside + self.wall + self.inside + self.floor


def dug_beside(
    plan: Plan, band: Band, limit_in: float, floor_in2: float, met: tuple[Hole, ...], *, outer: bool, dug_out: bool
) -> Dug:
    """The hole of one stretch. ``limit_in`` as for the backfill inside; ``floor_in2`` its share of the ring's inside;
    ``met``: holes of other walls its ends stand in, dug with those; ``outer``: it has ground outside; ``dug_out``: the
    inside of its walk is dug out to the bed of the slab."""
    spec, levels, slope = plan.spec.earth, band.levels, plan.spec.earth.slope_run
    bottom, ground = (levels.footing_top - plan.spec.footing.thickness).inch, levels.grade_outside.inch
    bed = inside_before_slab(levels, plan.section(band.section)).inch
    outside_top = ground if outer else bed
    inside_top = min(bed, outside_top) if dug_out or not outer else ground
    shelf = projection_of(plan, band)
    toe = shelf + spec.working_space.inch
    deep, inner = max(outside_top - bottom, 0.0), max(inside_top - bottom, 0.0)
    frost = levels.frost_top is not None or not dug_out
    inside_toe, inside_slope = (toe, slope) if frost else (shelf, 0.0)
    inside = limited_annulus_in3(band.inside, band.inward + len(met), inside_toe, inside_slope, 0.0, inner, limit_in)
    thick = plan.form(band.geometry.leg.form).thickness(band.geometry.leg.core).inch

    def shared(own: Hole, high: float) -> float:
        return sum(shared_in3(own, hole, bottom, bottom + high) for hole in met)

    outside = annulus_in3(band.outside, band.spread + len(met), toe, slope, 0.0, deep)
    wall = strip_area(band.outside, band.spread + len(met), -thick, 0.0) * deep
    return Dug(
        outside=max(outside - shared(Hole(bottom, toe, slope), deep), 0.0),
        wall=max(wall - shared(Hole(bottom, thick), deep), 0.0),
        inside=max(inside - shared(Hole(bottom, inside_toe, inside_slope, most=limit_in), inner), 0.0),
        floor=floor_in2 * max(deep - inner, 0.0) if dug_out and outer else 0.0,
        rounded=_rounded(band, slope, deep) if outer else 0.0,
        depth=deep,
    )


def _rounded(band: Band, slope: float, deep: float) -> float:
    """Half of each outside corner at the stretch's ends: the other half belongs to the neighbour."""
    corners = [band.geometry.start] * band.first + [band.geometry.end] * band.last
    turns = [corner.deflection_deg for corner in corners if corner.kind is CornerKind.OUTSIDE]
    return sum(rounded_corner_in3(turn, slope, 0.0, deep) / 2 for turn in turns)


# -- assembly ---------------------------------------------------------------------------------------
def earthwork(plan: Plan, placement: Placement) -> Part:
    """Excavation, backfill, and what is hauled away or brought."""
    filled = earth.backfill(plan, placement)
    dug = _dug(plan, placement)
    quantities = dug.quantities()
    return Part(
        (*quantities, *_balance(plan, quantities, filled.quantities), *filled.quantities),
        filled.criteria,
        (*filled.problems, *_problems(plan, placement)),
    )


def _dug(plan: Plan, placement: Placement) -> Tally:
    tally = Tally("excavation.bank", "Excavation, in the bank", Unit.YD3, "hole for footings and walls", GEOMETRY)
    every, rounded = bands(placement), 0.0
    limits, shares = inside_limits(placement, every), _floor_shares(placement, every)
    whole = _dug_out(plan)
    for band in every:
        walk = band.geometry.walk.name
        hole = dug_beside(
            plan, band, limits.get(walk, float("inf")), shares.get((band.name, band.start), 0.0),
            met_holes(plan, placement, band, limits),
            outer=has_ground_outside(placement, band.geometry), dug_out=walk in whole,
        )  # fmt: skip
        rounded += hole.rounded
        tally.add(band.section, Stage.FOOTING, band.name, yards(hole.volume), _text(hole))
    tally.note = (
        f" (ground taken as the outside grade, banks meeting at a line at corners: rounded they hold "
        f"{number(yards(rounded))} yd3 less over the whole house; slopes as specified, the competent person on site "
        "and the local excavation rules decide them)"
    )
    return tally


def _text(hole: Dug) -> str:
    parts = (("outside", hole.outside), ("wall", hole.wall), ("inside", hole.inside), ("floor", hole.floor))
    said = " + ".join(f"{number(yards(volume))} {name}" for name, volume in parts if volume > 0)
    return f"{feet_inches(hole.depth)} deep: {said}"


def _dug_out(plan: Plan) -> set[str]:
    """Walks whose inside is dug out: those with a full-height wall."""
    return {walk.name for walk in plan.walks if any(leg.wall_top is not None for leg in walk.legs)}


def _floor_shares(placement: Placement, every: tuple[Band, ...]) -> dict[tuple[str, float], float]:
    """The inside of each ring [in2] shared among its stretches by their length inside; with one grade all round the
    sum is exact, else each stretch's ground reaches as far as its share."""
    out: dict[tuple[str, float], float] = {}
    for walk in placement.rings():
        chain = [band for band in every if band.geometry.walk.name == walk]
        around = sum(band.inside for band in chain)
        area = enclosed_area_in2(placement, walk, Face.INSIDE_OF_FOAM)
        out |= {(band.name, band.start): area * band.inside / around for band in chain if around > 0}
    return out


def _balance(plan: Plan, dug: tuple[Quantity, ...], filled: tuple[Quantity, ...]) -> tuple[Quantity, ...]:
    """One line for the whole house, with its first section: what is hauled away, or brought where the hole gives
    less than the backfill takes."""
    if not dug:
        return ()
    spec = plan.spec.earth
    bank = sum(quantity.amount for quantity in dug)
    placed = sum(quantity.amount for quantity in filled if quantity.key == "backfill.volume")
    over = hauled_yd3(bank, placed, spec.shrink)
    loose = loose_yd3(abs(over), spec.swell)
    kept = f"{number(bank)} yd3 dug - {number(placed)} in place / (1 - {spec.shrink:g})"
    basis = f"{kept} = {number(over)} yd3 in the bank; x (1 + {spec.swell:g}) = {number(loose)} yd3 loose"
    hauled = over >= 0
    legs = tuple(leg for quantity in dug for leg in quantity.legs)
    made = Quantity(
        "excavation.haul" if hauled else "excavation.bring",
        "Earth to haul away, loose" if hauled else "Earth to bring, loose",
        loose, Unit.YD3, Stage.FOOTING, dug[0].section,
        "left over in the whole house once the backfill is kept on the lot" if hauled
        else "missing in the whole house for the backfill",
        basis, COMMON_PRACTICE, Buy(f"load of {spec.truck_loose_yd3:g} yd3 loose", spec.truck_loose_yd3), legs,
    )  # fmt: skip
    return (made,) if loose > 0 else ()


def _problems(plan: Plan, placement: Placement) -> tuple[Problem, ...]:
    whole, rings = _dug_out(plan), placement.rings()
    out = []
    for walk in plan.walks:
        placed = placement.of_walk(walk.name)
        if walk.name in whole and walk.name not in rings and any(has_ground_outside(placement, leg) for leg in placed):
            sentence = (
                f"{walk.name}: only the strips beside its walls are in the excavation, not the ground between them; "
                "add what is dug out there."
            )
            out.append(Problem(Severity.NOTE, sentence, leg=walk.legs[0].name))
    return tuple(out)
