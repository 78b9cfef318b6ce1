"""Continuous footings: how wide, how much concrete, what stands on them and what an inspector measures.

The concrete is taken on the mitred centre line of the wall, which gives the corners exactly; the outside perimeter
would count each outside corner twice. Spread footings for posts are not part of a plan yet.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from takeoff.bands import Band, bands, has_ground_outside
from takeoff.forms import FormSystem
from takeoff.geometry import CornerKind, Placement
from takeoff.overdig import over_the_hole
from takeoff.plan import Attachment, Leg, Plan, Stage, WalkKind, levels_at
from takeoff.problems import Problem, Severity
from takeoff.readymix import mix_criteria, volume_criterion
from takeoff.results import Buy, Criterion, Part, Quantity, Unit
from takeoff.site import BaseJoint, FootingPlacement, FootingSpec
from takeoff.sources import COMMON_PRACTICE, GEOMETRY, IRC_R403_1, PLAN
from takeoff.tally import Tally, feet_inches, inch_text, number, square_feet, yards
from takeoff.units import Length

#: Least width and thickness of a concrete footing, and least projection beyond the wall [in]. IRC R403.1.
LEAST_WIDTH_IN = 12.0
LEAST_THICKNESS_IN = 6.0
LEAST_PROJECTION_IN = 2.0
#: Most a footing may step in one rise: 600 mm, quoted from the National Building Code of Canada by a contractor.
MOST_STEP_IN = 600 / 25.4
#: Waste of concrete placed against earth is at least this; common practice, 5 to 10 percent.
TRENCH_WASTE = 0.10
#: Wet film of a brushed or sprayed capillary break; common practice, see the product's label.
COATING_MILS = 60.0
#: A gallon is 231 cubic inches: one spread a thousandth of an inch thick covers this much [ft2].
MIL_FEET_PER_GALLON = 231 / 144 * 1000


# -- rules ------------------------------------------------------------------------------------------
def width(spec: FootingSpec, form: FormSystem, core: Length) -> Length:
    """Width of the footing: as specified, or the whole block and the projection on each side if that is more.

    The block stands on its foam as well as on its core, so the footing carries all of it. Common practice.
    """
    return max(spec.width, form.thickness(core) + 2 * spec.projection)


def projection(spec: FootingSpec, form: FormSystem, core: Length) -> Length:
    """How far the footing stands out beyond the foam on each side."""
    return (width(spec, form, core) - form.thickness(core)).half()


def loop_volume_yd3(centre_line_in: float, width_in: float, thickness_in: float) -> float:
    """Concrete [yd3] of a footing of this length on its mitred centre line."""
    return yards(centre_line_in * width_in * thickness_in)


def riser_volume_yd3(rise_in: float, width_in: float, riser_thickness_in: float) -> float:
    """Concrete [yd3] of the upright part that joins two levels of a stepped footing: rise x width x thickness.

    The runs themselves are already counted once, in plan. Common practice.
    """
    return yards(rise_in * width_in * riser_thickness_in)


def key_volume_yd3(centre_line_in: float, spec: FootingSpec) -> float:
    """Concrete [yd3] that a keyway takes out of the footing; the wall poured on it puts it back."""
    if spec.base_joint is not BaseJoint.KEY_AND_DOWELS:
        return 0.0
    return yards(centre_line_in * spec.key_width.inch * spec.key_depth.inch)


def key_text(spec: FootingSpec, sign: str) -> str:
    """How the keyway is told in a sum: ' less keyway 3.5" x 1.5"', or nothing where there is none."""
    if spec.base_joint is not BaseJoint.KEY_AND_DOWELS:
        return ""
    return f' {sign} keyway {spec.key_width.inch:g}" x {spec.key_depth.inch:g}"'


def coating_gallons(area_ft2: float, mils: float) -> float:
    """Gallons [US] of coating for an area at a wet film thickness [mil]: one gallon covers 1604/mil ft2."""
    return area_ft2 * mils / MIL_FEET_PER_GALLON


# -- the lines of one plan --------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class FootingRun:
    """The footing under one stretch [in]: ``length`` on its centre line, with what is added at a free end and
    taken off where another wall's footing already lies. ``to_walls`` counts the Ts at which none lies at its level."""

    band: Band
    length: float
    width: float
    projection: float
    to_walls: int = 0


@dataclass(frozen=True, slots=True)
class Riser:
    """A step of the footing: on which leg, how high [in] and how wide [in]."""

    leg: Leg
    rise: float
    width: float


def runs(plan: Plan, placement: Placement) -> tuple[FootingRun, ...]:
    """Footing of every stretch, in walking order."""
    out = []
    for band in bands(placement):
        leg, walk = band.geometry.leg, band.geometry.walk
        ends = [(band.geometry.start, walk.starts_on)] * band.first + [(band.geometry.end, walk.ends_on)] * band.last
        tees = [met for corner, met in ends if corner.kind is CornerKind.TEE and met is not None]
        free = sum(corner.kind is CornerKind.END for corner, _ in ends)
        beyond, met = _projection_of(plan, leg).inch, [at for at in tees if _footings_meet(plan, band, at)]
        extra = free * beyond - sum(_projection_of(plan, plan.leg(at.leg)).inch for at in met)
        long, wide = max(band.centre + extra, 0.0), _width_of(plan, leg).inch
        out.append(FootingRun(band, long, wide, beyond, len(tees) - len(met)))
    return tuple(out)


def _footings_meet(plan: Plan, band: Band, at: Attachment) -> bool:
    """True where the footing of the wall met in a T lies at the level of this one, which then stops at its edge; a
    higher or lower one is passed, and this one runs to the wall."""
    other = levels_at(plan.leg(at.leg), at.at).footing_top
    return abs(other - band.levels.footing_top) < plan.spec.footing.thickness


def risers(plan: Plan, placement: Placement) -> tuple[Riser, ...]:
    """Every change of the footing's level, along a leg and at its start."""
    every = bands(placement)
    by_walk: dict[str, list[Band]] = {}
    for band in every:
        by_walk.setdefault(band.geometry.walk.name, []).append(band)
    out: list[Riser] = []
    for chain in by_walk.values():
        closed = chain[0].geometry.walk.kind is WalkKind.RING
        before = [chain[-1] if closed else chain[0], *chain[:-1]]
        for earlier, later in zip(before, chain, strict=True):
            rise = abs((later.levels.footing_top - earlier.levels.footing_top).inch)
            if rise:
                leg = later.geometry.leg
                out.append(Riser(leg, rise, _width_of(plan, leg).inch))
    return tuple(out)


def _width_of(plan: Plan, leg: Leg) -> Length:
    return width(plan.spec.footing, plan.form(leg.form), leg.core)


def _projection_of(plan: Plan, leg: Leg) -> Length:
    return projection(plan.spec.footing, plan.form(leg.form), leg.core)


# -- quantities, criteria, problems -----------------------------------------------------------------
def footings(plan: Plan, placement: Placement) -> Part:
    """Footing concrete, key strip, form boards and capillary break, with what is measured and what looks wrong."""
    every = runs(plan, placement)
    concrete = _concrete(plan, every, risers(plan, placement))
    quantities = concrete.quantities() + _forms(plan, every).quantities() + _key_strip(plan, every).quantities()
    quantities += _capillary(every)
    return Part(
        quantities,
        (*_criteria(plan, placement, every), *_concrete_criteria(plan, concrete)),
        _problems(plan, placement),
    )


def _concrete(plan: Plan, every: tuple[FootingRun, ...], steps: tuple[Riser, ...]) -> Tally:
    spec, thick = plan.spec.footing, plan.spec.footing.thickness.inch
    trench = spec.placement is FootingPlacement.TRENCH
    waste = max(plan.spec.concrete.waste_footing, TRENCH_WASTE) if trench else plan.spec.concrete.waste_footing
    tally = Tally(
        "footing.concrete",
        "Footing concrete",
        Unit.YD3,
        "continuous footing under the walls",
        GEOMETRY,
        Buy("quarter yard", plan.spec.concrete.order_step_yd3, waste),
        note=" (lengths on the centre line, mitred at corners)",
    )
    for run in every:
        amount = loop_volume_yd3(run.length, run.width, thick) - key_volume_yd3(run.length, spec)
        text = f"{feet_inches(run.length)} x {inch_text(run.width)} x {inch_text(thick)}{key_text(spec, 'less')}"
        tally.add(run.band.section, Stage.FOOTING, run.band.name, amount, text)
    riser = spec.step_riser_thickness.inch
    for step in steps:
        text = f"step {inch_text(step.rise)} high x {inch_text(step.width)} x {inch_text(riser)}"
        amount = riser_volume_yd3(step.rise, step.width, riser)
        tally.add(step.leg.section, Stage.FOOTING, step.leg.name, amount, text)
    return tally


def _forms(plan: Plan, every: tuple[FootingRun, ...]) -> Tally:
    tally = Tally(
        "footing.forms",
        "Footing form boards",
        Unit.FT,
        "both edges of the footing",
        GEOMETRY,
        Buy("board 16 ft", 16.0),
    )
    if plan.spec.footing.placement is FootingPlacement.FORMED:
        for run in every:
            on = run.to_walls * run.projection
            outer = max(run.band.out_length(run.projection) + on, 0.0)
            inner = max(run.band.in_length(run.projection) + on, 0.0)
            text = f"{feet_inches(outer)} outside + {feet_inches(inner)} inside"
            tally.add(run.band.section, Stage.FOOTING, run.band.name, (outer + inner) / 12, text)
    return tally


def _key_strip(plan: Plan, every: tuple[FootingRun, ...]) -> Tally:
    spec = plan.spec.footing
    tally = Tally(
        "footing.key_strip",
        f"Key strip {spec.key_width.inch:g} x {spec.key_depth.inch:g} in",
        Unit.FT,
        "forms the keyway in the footing top",
        GEOMETRY,
        Buy("strip 16 ft", 16.0),
    )
    if spec.base_joint is BaseJoint.KEY_AND_DOWELS:
        for run in every:
            section, leg = run.band.section, run.band.name
            tally.add(section, Stage.FOOTING, leg, run.length / 12, feet_inches(run.length))
    return tally


def _capillary(every: tuple[FootingRun, ...]) -> tuple[Quantity, ...]:
    """The area of the break, and the coating it takes if a coating is used."""
    area = Tally(
        "footing.capillary_break",
        "Capillary break",
        Unit.FT2,
        "whole top of the footing, before the first course",
        GEOMETRY,
        note=" (laps of a sheet not included)",
    )
    for run in every:
        text = f"{feet_inches(run.length)} x {inch_text(run.width)}"
        area.add(run.band.section, Stage.FOOTING, run.band.name, square_feet(run.length * run.width), text)
    return area.quantities() + tuple(_coating(quantity) for quantity in area.quantities())


def _coating(area: Quantity) -> Quantity:
    gallons = coating_gallons(area.amount, COATING_MILS)
    return replace(
        area,
        key="footing.capillary_coating",
        label="Capillary break as a coating",
        amount=gallons,
        unit=Unit.GAL,
        purpose=f"the same area at {COATING_MILS:g} mil wet, if a coating is used",
        basis=f"{number(area.amount)} ft2 x {COATING_MILS:g} mil / {MIL_FEET_PER_GALLON:.0f} = {number(gallons)} gal",
        source=COMMON_PRACTICE,
        buy=Buy("pail 5 gal", 5.0),
    )


def _criteria(plan: Plan, placement: Placement, every: tuple[FootingRun, ...]) -> tuple[Criterion, ...]:
    out: list[Criterion] = []
    for section in plan.sections:
        here = [run for run in every if run.band.section == section.key]
        if not here:
            continue
        legs = tuple(dict.fromkeys(run.band.name for run in here))
        for wide in sorted({run.width for run in here}):
            names = tuple(dict.fromkeys(run.band.name for run in here if run.width == wide))
            out.append(_at_least("footing.width", "Footing width", wide, names, f"{inch_text(wide)} wide or more"))
        out += _section_criteria(plan, legs)
        out += _frost_criteria(plan, [r for r in here if has_ground_outside(placement, r.band.geometry)])
    return tuple(out)


def _concrete_criteria(plan: Plan, concrete: Tally) -> tuple[Criterion, ...]:
    """Volume as ordered and what is asked of the mix, per section."""
    out: list[Criterion] = []
    assert concrete.buy is not None
    for section, stage in concrete.terms:
        legs = concrete.legs(section, stage)
        total = concrete.total(section, stage)
        out.append(volume_criterion("footing.concrete_volume", stage, total, concrete.buy, legs))
        out += mix_criteria(plan.spec.concrete, stage, legs)
    return tuple(out)


def _section_criteria(plan: Plan, legs: tuple[str, ...]) -> list[Criterion]:
    spec = plan.spec.footing
    thick, cover = spec.thickness.inch, spec.cover.inch
    out = [
        _at_least("footing.thickness", "Footing thickness", thick, legs, f"{inch_text(thick)} thick or more"),
        _at_least("footing.cover", "Cover to earth", cover, legs, f"{inch_text(cover)} or more under and beside bars"),
        Criterion(
            "footing.top_spread", "Footing top, highest to lowest", 0.25, "in", "at most", Stage.FOOTING,
            COMMON_PRACTICE, legs=legs, text='top within 1/4" overall, shot every 4 ft and at corners',
        ),
        Criterion(
            "corner.diagonal", "Diagonals", 0.375, "in per 50 ft", "at most", Stage.FOOTING, COMMON_PRACTICE,
            legs=legs, text='diagonals agree within 3/8" in 50 ft',
        ),
    ]  # fmt: skip
    if spec.base_joint is BaseJoint.KEY_AND_DOWELS:
        text = f'keyway {spec.key_width.inch:g}" wide, {spec.key_depth.inch:g}" deep, on the centre line'
        out.append(_at_least("footing.key_depth", "Keyway depth", spec.key_depth.inch, legs, text))
    return out


def _frost_criteria(plan: Plan, outer: list[FootingRun]) -> list[Criterion]:
    """Depth below grade, asked of walls with ground outside; an inner wall's footing lies under the floor."""
    if not outer:
        return []
    frost = plan.site.frost_depth.inch
    legs = tuple(dict.fromkeys(run.band.name for run in outer))
    shallow = min(outer, key=lambda run: _depth_below_grade(plan, run))
    text = (
        f"bottom of footing {feet_inches(frost)} or more below outside grade "
        f"(drawn: {feet_inches(_depth_below_grade(plan, shallow))} at leg {shallow.band.name}, the shallowest)"
    )
    return [_at_least("footing.frost_depth", "Depth of footing bottom below outside grade", frost, legs, text)]


def _at_least(key: str, label: str, value: float, legs: tuple[str, ...], text: str) -> Criterion:
    return Criterion(key, label, value, "in", "at least", Stage.FOOTING, PLAN, legs=legs, text=text)


def _depth_below_grade(plan: Plan, run: FootingRun) -> float:
    bottom = run.band.levels.footing_top - plan.spec.footing.thickness
    return (run.band.levels.grade_outside - bottom).inch


def _problems(plan: Plan, placement: Placement) -> tuple[Problem, ...]:
    out: list[Problem] = []
    seen: set[tuple[str, Length]] = set()
    for leg in plan.legs():
        if (leg.form, leg.core) not in seen:
            seen.add((leg.form, leg.core))
            out += _warn_if(leg, shape_complaints(plan.spec.footing, plan.form(leg.form), leg.core))
    pockets = [leg.name for leg in plan.legs() if leg.beam_pockets]
    if pockets:
        sentence = (
            f"Beams rest on {', '.join(pockets)}: footings for the posts under them are not in the plan; "
            "add their concrete and bars to the order."
        )
        out.append(Problem(Severity.NOTE, sentence, leg=pockets[0]))
    for step in risers(plan, placement):
        if step.rise > MOST_STEP_IN:
            sentence = (
                f"Leg {step.leg.name}: the footing steps {inch_text(step.rise)} at once, more than 600 mm (23.6 in); "
                "make two steps or ask the building official."
            )
            out.append(Problem(Severity.WARNING, sentence, leg=step.leg.name))
    return (*out, *over_the_hole(plan, placement, plan.spec.footing.projection.inch))


def _warn_if(leg: Leg, complaints: list[str]) -> list[Problem]:
    return [Problem(Severity.WARNING, f"Leg {leg.name}: {text}", leg=leg.name) for text in complaints]


def shape_complaints(spec: FootingSpec, form: FormSystem, core: Length) -> list[str]:
    """Sentences where a footing's shape misses the limits of IRC R403.1 for concrete footings.

    At least 12 in wide and 6 in thick; the projection at least 2 in and not more than the thickness. The code
    measures it from the wall. Here the least is asked beyond the foam and the most beyond the concrete core, the
    stricter reading of each, because foam carries nothing.
    """
    wide, thick = width(spec, form, core).inch, spec.thickness.inch
    beyond_foam, beyond_core = projection(spec, form, core).inch, (wide - core.inch) / 2
    out = []
    if wide < LEAST_WIDTH_IN:
        out.append(f"the footing is {inch_text(wide)} wide; {IRC_R403_1} asks for 12 in or more.")
    if thick < LEAST_THICKNESS_IN:
        out.append(f"the footing is {inch_text(thick)} thick; {IRC_R403_1} asks for 6 in or more.")
    if beyond_foam < LEAST_PROJECTION_IN:
        out.append(
            f"the footing stands out {inch_text(beyond_foam)} beyond the foam; {IRC_R403_1} asks for 2 in or more."
        )
    if beyond_core > thick:
        out.append(
            f"the footing stands out {inch_text(beyond_core)} beyond the concrete and is {inch_text(thick)} thick; "
            f"{IRC_R403_1} allows no more projection than thickness."
        )
    if spec.base_joint is BaseJoint.KEY_AND_DOWELS and (spec.key_depth >= spec.thickness or spec.key_width > core):
        out.append(
            f"the keyway, {inch_text(spec.key_width.inch)} wide and {inch_text(spec.key_depth.inch)} deep, does not "
            f"fit a footing {inch_text(thick)} thick under a {inch_text(core.inch)} core."
        )
    return out
