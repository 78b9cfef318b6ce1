"""Earth put back: volumes per stage and side, compacted, in the bank and loose, with truck loads.

The hole is taken as dug to the footing's bottom, ``working_space`` beyond the footing's edge, with sides that lie
back ``slope_run`` to 1 from there. Beside one stretch the fill at a height h above the bottom is the mitred strip
from the foam to d(h) = projection + working space + slope x h; its area L d + k d2/2 is summed over the height, which
is exact for mitred corners and arcs. Footing and drain stone standing in the strip are taken off.

* Frost backfill: both sides; outside to the frost wall's top or the grade, inside to the bed of the slab (or the
  inside grade), never above the frost wall.
* Final backfill: outside, from where the frost backfill ended to the outside grade.
* An inner T wall has the floor on both sides: frost backfill on both, no final backfill.

Where a wall is hung on another, what lies in both holes is counted with the wall met (:mod:`takeoff.met_holes`).

Limits: the fill inside a ring is never more than the ring holds; where a wide cut swallows a short leg between two
inside corners a little is counted twice (told as a note). Thickness of membrane and board is ignored.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import ceil

from takeoff.bands import Band, bands, has_ground_outside
from takeoff.drain import projection_of, stone_over_in
from takeoff.geometry import Placement
from takeoff.met_holes import Hole, inside_limits, met_holes, shared_in3
from takeoff.plan import Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Buy, Criterion, Part, Quantity, Unit
from takeoff.site import EarthSpec
from takeoff.sources import COMMON_PRACTICE, GEOMETRY, IRC_R401_3, IRC_R404_1_7
from takeoff.tally import Tally, feet_inches, inch_text, number, yards
from takeoff.unbalanced import frost_fill_inside, frost_fill_outside, heights

#: Fall of the finished ground away from the wall. IRC R401.3.
GRADE_FALL_IN = 6.0


# -- rules ------------------------------------------------------------------------------------------
def annulus_in3(
    length_in: float, spread: float, offset_in: float, slope: float, bottom_in: float, top_in: float
) -> float:
    """Volume [in3] of the strip from a face to ``offset + slope x h`` outside it, between two heights.

    ``length_in`` is the face's length and ``spread`` what a line gains per inch moved outward (2K for a whole loop,
    K the sum of tan(half the turn)): the sum over h of L d + spread d2/2. Simpson's rule is exact here.
    """
    if top_in <= bottom_in:
        return 0.0

    def area(height: float) -> float:
        d = offset_in + slope * height
        return length_in * d + spread * d * d / 2

    middle = (bottom_in + top_in) / 2
    return (top_in - bottom_in) / 6 * (area(bottom_in) + 4 * area(middle) + area(top_in))


def limited_annulus_in3(
    length_in: float, spread: float, offset_in: float, slope: float, bottom_in: float, top_in: float, most_in: float
) -> float:
    """The same where the strip cannot be wider than ``most_in``: inside a ring it stops at the middle."""
    if offset_in + slope * top_in <= most_in:
        return annulus_in3(length_in, spread, offset_in, slope, bottom_in, top_in)
    turning = bottom_in if slope == 0 else min(max((most_in - offset_in) / slope, bottom_in), top_in)
    rising = annulus_in3(length_in, spread, offset_in, slope, bottom_in, turning)
    return rising + annulus_in3(length_in, spread, most_in, 0.0, turning, top_in)


def bank_yd3(compacted_yd3: float, shrink: float) -> float:
    """Earth in the bank [yd3] that makes this much in place: compacted / (1 - shrink)."""
    return compacted_yd3 / (1 - shrink)


def loose_yd3(bank: float, swell: float) -> float:
    """The same earth loose in a truck or pile [yd3]: bank x (1 + swell)."""
    return bank * (1 + swell)


def compacted_lift_in(lift_in: float, swell: float, shrink: float) -> float:
    """Height [in] a loose lift has once compacted: the same earth, lift x (1 - shrink) / (1 + swell)."""
    return lift_in * (1 - shrink) / (1 + swell)


def lifts(high_in: float, lift_in: float, swell: float, shrink: float) -> int:
    """Lifts that bring a fill up to a height."""
    return ceil(high_in / compacted_lift_in(lift_in, swell, shrink) - 1e-9)


def loads(loose: float, truck_yd3: float) -> int:
    """Truck loads of loose earth, the last one part full."""
    return ceil(loose / truck_yd3 - 1e-9)


# -- the fill beside one stretch --------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Fill:
    """Fill of one stage on one side of a stretch: ``volume`` [in3] in place, ``high`` [in] from its foot to its top,
    and how it was worked out. It may all lie in the hole of a wall met, and is filled with that."""

    stage: Stage
    volume: float
    text: str
    high: float
    side: str  # 'outside' or 'inside'


def fills(plan: Plan, band: Band, limit_in: float, met: tuple[Hole, ...], *, outer: bool) -> tuple[Fill, ...]:
    """What is filled beside one stretch, stage by stage. ``met``: holes of other walls its ends stand in. ``outer``: it
    has ground (and a drain) outside; an inner T wall has the floor on both sides and is filled to its bed on both, with
    nothing left for the final backfill."""
    levels, section = band.levels, plan.section(band.section)
    bottom = (levels.footing_top - plan.spec.footing.thickness).inch
    out: list[Fill | None] = []
    ended, inside = bottom, frost_fill_inside(levels, section).inch
    if levels.frost_top is not None:
        ended = max(frost_fill_outside(levels).inch, bottom) if outer else inside
        out.append(_outside(plan, band, met, Stage.FROST_BACKFILL, bottom, ended, outer))
        out.append(_inside(plan, band, met, bottom, inside, limit_in))
    if levels.wall_top is not None and outer:
        out.append(_outside(plan, band, met, Stage.FINAL_BACKFILL, ended, levels.grade_outside.inch, outer))
    return tuple(fill for fill in out if fill is not None)


def _outside(
    plan: Plan, band: Band, met: tuple[Hole, ...], stage: Stage, start: float, end: float, stone: bool
) -> Fill | None:
    """Outside fill between two levels, less what footing and stone take of it, and what lies in the hole of a wall met,
    where the wall itself takes its room out of the fill."""
    earth, thick = plan.spec.earth, plan.spec.footing.thickness.inch
    shelf = projection_of(plan, band)
    bottom = (band.levels.footing_top - plan.spec.footing.thickness).inch
    toe = shelf + earth.working_space.inch
    low, high = start - bottom, end - bottom
    prism = annulus_in3(band.outside, band.spread + len(met), toe, earth.slope_run, low, high)
    wall = plan.form(band.geometry.leg.form).thickness(band.geometry.leg.core).inch
    both = sum(shared_in3(Hole(bottom, toe, earth.slope_run), hole, start, end) for hole in met)
    both += sum(shared_in3(Hole(bottom, wall), hole, start, end) for hole in met)
    taken = band.out_area(0.0, shelf) * _overlap(0.0, thick, low, high)
    if stone:
        taken += _stone_between(plan, band, low, high)
    top_width = toe + earth.slope_run * high
    text = (
        f"outside {feet_inches(start)} to {feet_inches(end)}: {feet_inches(band.outside)} long, cut "
        f"{feet_inches(toe + earth.slope_run * low)} to {feet_inches(top_width)} wide, {number(yards(prism))} yd3"
    )
    text += f" less {number(yards(taken))} yd3 footing and stone" if taken else ""
    text += _in_both(both, ", with its own wall there")
    return Fill(stage, max(prism - taken - both, 0.0), text, high - low, "outside") if prism > taken else None


def _in_both(volume: float, more: str = "") -> str:
    """What is taken off for the hole of a wall met, in words; nothing where none is."""
    return f" less {number(yards(volume))} yd3 in the hole of the wall it meets{more}" if volume > 0 else ""


def _stone_between(plan: Plan, band: Band, low: float, high: float) -> float:
    """Drain stone and pipe [in3] between two heights over the footing's bottom."""
    thick, shelf = plan.spec.footing.thickness.inch, projection_of(plan, band)
    beyond, over = plan.spec.envelope.stone_beyond_footing.inch, stone_over_in(plan.spec.envelope, thick)
    box = band.out_area(shelf, shelf + beyond) * _overlap(0.0, thick + over, low, high)
    return box + band.out_area(0.0, shelf) * _overlap(thick, thick + over, low, high)


def _inside(plan: Plan, band: Band, met: tuple[Hole, ...], bottom: float, end: float, limit: float) -> Fill | None:
    """Frost backfill inside, less the footing's projection and what lies in the hole of a wall met."""
    earth, shelf = plan.spec.earth, projection_of(plan, band)
    toe, high = shelf + earth.working_space.inch, end - bottom
    prism = limited_annulus_in3(band.inside, band.inward + len(met), toe, earth.slope_run, 0.0, high, limit)
    both = sum(shared_in3(Hole(bottom, toe, earth.slope_run, most=limit), hole, bottom, end) for hole in met)
    taken = band.in_area(0.0, shelf) * _overlap(0.0, plan.spec.footing.thickness.inch, 0.0, high)
    text = (
        f"inside to {feet_inches(end)}: {feet_inches(band.inside)} long, cut {feet_inches(min(toe, limit))} to "
        f"{feet_inches(min(toe + earth.slope_run * high, limit))} wide, {number(yards(prism))} yd3 "
        f"less {number(yards(taken))} yd3 footing{_in_both(both)}"
    )
    left = max(prism - taken - both, 0.0)
    return Fill(Stage.FROST_BACKFILL, left, text, high, "inside") if prism > taken else None


def _overlap(a0: float, a1: float, b0: float, b1: float) -> float:
    """Length two intervals share."""
    return max(min(a1, b1) - max(a0, b0), 0.0)


# -- assembly ---------------------------------------------------------------------------------------
def backfill(plan: Plan, placement: Placement) -> Part:
    """Backfill of both kinds with the numbers that are watched while it goes in."""
    every = bands(placement)
    limits = inside_limits(placement, every)
    placed, high = _placed(), _Highest()
    for band in every:
        limit = limits.get(band.geometry.walk.name, float("inf"))
        outer = has_ground_outside(placement, band.geometry)
        for fill in fills(plan, band, limit, met_holes(plan, placement, band, limits), outer=outer):
            placed.add(band.section, fill.stage, band.name, yards(fill.volume), fill.text)
            high.add(band, fill)
    in_place = placed.quantities()
    moved = tuple(quantity for each in in_place for quantity in _as_moved(plan.spec.earth, each))
    return Part(
        quantities=in_place + moved,
        criteria=_criteria(plan, placement, high),
        problems=_problems(plan, tuple(b for b in every if has_ground_outside(placement, b.geometry))),
    )


@dataclass(slots=True)
class _Highest:
    """The highest fill of each side, by section and stage."""

    found: dict[tuple[str, Stage], dict[str, tuple[float, str]]] = field(default_factory=dict)
    legs: dict[tuple[str, Stage], dict[str, None]] = field(default_factory=dict)

    def add(self, band: Band, fill: Fill) -> None:
        """Enter one fill."""
        self.legs.setdefault((band.section, fill.stage), {})[band.name] = None
        sides = self.found.setdefault((band.section, fill.stage), {})
        if fill.high > sides.get(fill.side, (0.0, ""))[0]:
            sides[fill.side] = fill.high, band.name

    def text(self, spec: EarthSpec, section: str, stage: Stage) -> str:
        """Lifts of each side as said on site: '7 outside, 6 inside, by turns, where it is filled highest'."""
        sides = self.found.get((section, stage), {})
        counts = [f"{lifts(high, spec.lift.inch, spec.swell, spec.shrink)} {side}" for side, (high, _) in sides.items()]
        turns = ", by turns" if len(counts) > 1 else ""
        return f"{', '.join(counts)}{turns}, where it is filled highest" if counts else ""


def _placed() -> Tally:
    return Tally(
        "backfill.volume", "Backfill in place", Unit.YD3, "compacted, in the cut beside the walls", GEOMETRY,
        note=" (corners mitred; cut as specified, check the hole as dug)",
    )  # fmt: skip


def _as_moved(spec: EarthSpec, placed: Quantity) -> tuple[Quantity, Quantity]:
    """The same earth in the bank and loose."""
    kept = bank_yd3(placed.amount, spec.shrink)
    moved = loose_yd3(kept, spec.swell)
    basis = f"{number(placed.amount)} yd3 in place / (1 - {spec.shrink:g}) = {number(kept)} yd3"
    bank = replace(
        placed, key="backfill.bank", label="Backfill, in the bank", amount=kept, purpose="earth to keep on the lot",
        basis=basis, source=COMMON_PRACTICE,
    )  # fmt: skip
    loose = replace(
        bank, key="backfill.loose", label="Backfill, loose", amount=moved, purpose="earth to bring back to the walls",
        basis=f"{number(kept)} yd3 in the bank x (1 + {spec.swell:g}) = {number(moved)} yd3",
        buy=Buy(f"load of {spec.truck_loose_yd3:g} yd3 loose", spec.truck_loose_yd3),
    )  # fmt: skip
    return bank, loose


def _criteria(plan: Plan, placement: Placement, high: _Highest) -> tuple[Criterion, ...]:
    out: list[Criterion] = []
    for (section, stage), legs in high.legs.items():
        said = high.text(plan.spec.earth, section, stage)
        out += _section_criteria(plan, stage, tuple(legs), said)
    return (*out, *_grade_criteria(plan, placement), *_unbalanced_criteria(plan, placement))


def _section_criteria(plan: Plan, stage: Stage, legs: tuple[str, ...], said: str) -> list[Criterion]:
    spec = plan.spec.earth
    lift, balance = spec.lift.inch, spec.balance_within.inch
    after = compacted_lift_in(lift, spec.swell, spec.shrink)
    out = [
        Criterion(
            "backfill.lift", "Lift, loose", lift, "in", "at most", stage, COMMON_PRACTICE, legs=legs,
            text=f"lifts of {inch_text(lift)} or less before compacting, {number(after)} in after: {said}",
        )
    ]  # fmt: skip
    if stage is Stage.FROST_BACKFILL:
        text = f"fill inside and outside within {inch_text(balance)} of level at all times"
        out.append(
            Criterion(
                "backfill.balance", "Difference between the two sides", balance, "in", "at most", stage,
                COMMON_PRACTICE, legs=legs, text=text,
            )
        )  # fmt: skip
    return out


def _grade_criteria(plan: Plan, placement: Placement) -> list[Criterion]:
    """The fall of the finished ground, asked with the last backfill of every wall that has ground outside; also where
    that stage has nothing left to fill (a walk-out)."""
    finished: dict[tuple[str, Stage], list[str]] = {}
    for name, geometry in placement.legs.items():
        if has_ground_outside(placement, geometry):
            stage = Stage.FROST_BACKFILL if geometry.leg.wall_top is None else Stage.FINAL_BACKFILL
            finished.setdefault((geometry.leg.section, stage), []).append(name)
    text = f"ground falls {inch_text(GRADE_FALL_IN)} or more in the first 10 ft"
    return [
        Criterion(
            "grade.fall", "Fall of the ground in the first 10 ft", GRADE_FALL_IN, "in in 10 ft", "at least", stage,
            IRC_R401_3, legs=tuple(names), text=text,
        )
        for (_, stage), names in finished.items()
    ]  # fmt: skip


def _unbalanced_criteria(plan: Plan, placement: Placement) -> list[Criterion]:
    out = []
    for each in heights(plan, placement):
        for when, height, waived in (
            ("before", each.before_slab, each.bracing_waived_before_slab),
            ("after", each.after_slab, each.bracing_waived_after_slab),
        ):
            said = f"{height} of unbalanced fill" if height else "no unbalanced fill"
            text = f"{said} {when} the slab: {_held(plan.spec.earth, each.stage, waived)}"
            out.append(
                Criterion(
                    f"backfill.unbalanced_{when}", f"Unbalanced fill {when} the slab", height.inch, "in", "at most",
                    each.stage, IRC_R404_1_7, legs=(each.leg,), text=text,
                )
            )  # fmt: skip
    return out


def _held(spec: EarthSpec, stage: Stage, waived: bool) -> str:
    """What the number asks for, in words."""
    if not waived:
        return "hold the wall at top and foot before filling"
    together = "both sides filled together, " if stage is Stage.FROST_BACKFILL else ""
    return f"{together}under {spec.bracing_waived_below.foot:.1f} ft, bracing waived; the wall still needs strength"


def _problems(plan: Plan, every: tuple[Band, ...]) -> tuple[Problem, ...]:
    """A note for each leg that the top of the cut beside it swallows."""
    out = []
    for band in every:
        depth = (band.levels.grade_outside - band.levels.footing_top + plan.spec.footing.thickness).inch
        reach = projection_of(plan, band) + plan.spec.earth.working_space.inch + plan.spec.earth.slope_run * depth
        if depth > 0 and band.out_length(reach) < 0:
            sentence = (
                f"Leg {band.name}: the cut beside it is wider than the leg is long, so its backfill is measured "
                "roughly; check the volume against the hole as dug."
            )
            out.append(Problem(Severity.NOTE, sentence, leg=band.name))
    return tuple(out)
