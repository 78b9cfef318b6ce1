"""What a bent wall takes beside straight units, counted on the units as laid, and what it has to tell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from fractions import Fraction

from takeoff.block_orders import SAW_CUT
from takeoff.blocks import Layout
from takeoff.cutting import first_fit
from takeoff.geometry import Placement
from takeoff.laps import SIZES
from takeoff.leg_layout import minimum_piece
from takeoff.plan import Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.radius import LEAST_BETWEEN_SLOTS, ArcLeg, BendWay, arc_legs, spring_radius_in
from takeoff.results import Buy, Criterion, Part, PlacedUnit, Unit, UnitKind
from takeoff.sources import COMMON_PRACTICE, GEOMETRY
from takeoff.tally import Tally, feet_inches, number
from takeoff.units import ZERO, Length, format_length

#: Strips of lath across the bulging face of each course: at its top, middle and bottom. Common practice, no source.
LATHS = 3

#: Rows of filament tape along the bulging face of each course. Common practice, no source.
TAPES = 2

#: A lath is sold 8 ft long, filament tape in rolls of 60 yd. Common practice, no source.
LATH_FT = 8.0
TAPE_ROLL_FT = 180.0

Run = tuple[Length, Length]


# -- rules ------------------------------------------------------------------------------------------
def sixteenths(width_in: float) -> str:
    """A width as it is set on a saw, to the nearest 1/16 in: 9/16"."""
    return format_length(Length.from_inches(width_in), "in", 16)


def rounding_in(width_in: float) -> float:
    """By how much [in] the nearest 1/16 in is wider than a width; negative where it is narrower."""
    return float(Fraction(round(width_in * 16), 16)) - width_in


def course_runs(units: Iterable[PlacedUnit]) -> dict[tuple[Stage, int], list[Run]]:
    """Where units of one leg stand side by side without a break, by stage and course."""
    rows: dict[tuple[Stage, int], list[Run]] = {}
    for unit in sorted(units, key=lambda u: (u.course, u.start)):
        runs = rows.setdefault((unit.stage, unit.course), [])
        if runs and runs[-1][1] >= unit.start:
            runs[-1] = (runs[-1][0], max(runs[-1][1], unit.end))
        else:
            runs.append((unit.start, unit.end))
    return rows


# -- the bent walls of a plan -----------------------------------------------------------------------
def radius_part(plan: Plan, placement: Placement, layout: Layout) -> Part:
    """Slots, relief cuts, tape, lath, further units and troubles of all bent legs of a plan."""
    arcs = arc_legs(plan, placement)
    if not arcs:
        return Part()
    tallies = _tallies()
    more = Tally(
        "blocks.radius_more", "Straight units more, for walls bent inward", Unit.EACH, "wall forms", GEOMETRY,
        Buy("unit", 1.0),
    )  # fmt: skip
    laid: dict[str, list[PlacedUnit]] = {arc.name: [] for arc in arcs}
    for unit in layout.units:
        if unit.leg in laid:
            laid[unit.leg].append(unit)
    for arc in arcs:
        _count(tallies, more, plan, arc, laid[arc.name])
    quantities = tuple(q for tally in (*tallies.values(), more) for q in tally.quantities())
    return Part(quantities, _criteria(plan, arcs), tuple(_problems(plan, arcs, laid)))


def _tallies() -> dict[str, Tally]:
    practice = COMMON_PRACTICE
    return {
        "slots": Tally("radius.slots", "Slots in the hollow panel", Unit.EACH, "bent walls", GEOMETRY),
        "relief": Tally("radius.relief_cuts", "Cuts through the bulging panel", Unit.EACH, "bent walls", GEOMETRY),
        "tape": Tally(
            "radius.tape", "Filament tape", Unit.FT, "bent walls", practice, Buy("roll 180 ft", TAPE_ROLL_FT)
        ),
        "lath": Tally("radius.lath", "Lath straps", Unit.FT, "bent walls", practice, Buy("lath 8 ft", LATH_FT)),
    }


def _count(tallies: dict[str, Tally], more: Tally, plan: Plan, arc: ArcLeg, units: list[PlacedUnit]) -> None:
    rows, section = course_runs(units), arc.geometry.leg.section
    for stage in dict.fromkeys(stage for stage, _ in rows):
        own = [runs for (of, _), runs in rows.items() if of is stage]
        slots = [sum(arc.bend.slots(_neutral(arc, run)) for run in runs) for runs in own]
        text = " + ".join(f"{n} courses x {each}" for each, n in Counter(slots).items())
        width = f"{sixteenths(arc.bend.slot)} ({arc.bend.slot:.3f} in) wide"
        tallies["slots"].add(section, stage, arc.name, sum(slots), f"{text} in the {arc.slotted} panel, {width}")
        if arc.bend.way is BendWay.CUT_THROUGH:
            opens = f"open {arc.bend.relief:.3f} in"
            tallies["relief"].add(section, stage, arc.name, sum(slots), f"{text}, beside the slots; they {opens}")
        long = sum((b - a).inch for runs in own for a, b in runs) * arc.bend.convex / arc.outside / 12
        for key, rows_each in (("tape", TAPES), ("lath", LATHS)):
            said = f"{rows_each} rows x {number(long)} ft of bulging face in {len(own)} courses"
            tallies[key].add(section, stage, arc.name, rows_each * long, said)
        _add_more(more, plan, arc, stage, [run for runs in own for run in runs])


def _neutral(arc: ArcLeg, run: Run) -> float:
    return (run[1] - run[0]).inch * arc.neutral_per_outside


def _add_more(more: Tally, plan: Plan, arc: ArcLeg, stage: Stage, runs: list[Run]) -> None:
    """Units laid to the outside length are too few where the kept length is longer: the rest, piece by piece."""
    pieces: Counter[Length] = Counter()
    for run in runs:
        extra = Length.from_inches(_neutral(arc, run) - (run[1] - run[0]).inch)
        while extra > ZERO:
            pieces[min(extra, arc.form.length)] += 1
            extra -= arc.form.length
    if not pieces:
        return
    stock = first_fit(pieces, arc.form.length, SAW_CUT, minimum_piece(arc.form, plan.spec.layout)).stock
    said = ", ".join(f"{n} x {_in(piece)}" for piece, n in sorted(pieces.items(), reverse=True))
    text = f"{said} beyond the outside length, cut longest first, first fit, from {stock}"
    more.add(arc.geometry.leg.section, stage, arc.name, stock, text)


def _criteria(plan: Plan, arcs: tuple[ArcLeg, ...]) -> tuple[Criterion, ...]:
    """What is measured on a unit slotted for a radius."""
    out = []
    for arc in arcs:
        width, names = arc.bend.slot, (arc.name,)
        text = f"slots {sixteenths(width)} wide in the {arc.slotted} panel, one between each pair of webs"
        for stage in (Stage.FROST_WALL, Stage.FULL_WALL):
            if stage in plan.stages_of(arc.geometry.leg):
                row = ("radius.slot", "Slots for the radius", width, "in", "is", stage, GEOMETRY, 1 / 16, names, text)
                out.append(Criterion(*row))
    return tuple(out)


# -- what is told -----------------------------------------------------------------------------------
def _problems(plan: Plan, arcs: tuple[ArcLeg, ...], laid: dict[str, list[PlacedUnit]]) -> Iterator[Problem]:
    for arc in arcs:
        yield from _too_tight(arc)
        yield _how(arc)
        yield from _joints(arc, laid[arc.name])
        yield from _bars(plan, arc)


def _problem(arc: ArcLeg, sentence: str, severity: Severity = Severity.WARNING) -> Problem:
    return Problem(severity, f"{arc.name}: {sentence}", leg=arc.name)


def _too_tight(arc: ArcLeg) -> Iterator[Problem]:
    """A radius the supplier does not allow, or slots that leave the webs too little foam. One less than the wall is
    thick is refused with the plan's geometry."""
    bend, least = arc.bend, arc.form.least_radius
    if least is not None and bend.convex < least.inch - 1e-6:
        has = f"the bulging face of this wall has a radius of {feet_inches(bend.convex)}"
        yield _problem(arc, f"{arc.form.name} is bent to {least} at least; {has}.")
    if bend.slot > bend.web - LEAST_BETWEEN_SLOTS:
        yield _problem(
            arc,
            f"slots {bend.slot:.2f} in wide leave less than {LEAST_BETWEEN_SLOTS:g} in of foam beside webs "
            f"{number(bend.web)} in apart: form this wall another way.",
        )


def _how(arc: ArcLeg) -> Problem:
    """How the units are bent, with every number a saw and an eye need."""
    bend = arc.bend
    panel = (
        "the other panel is left whole"
        if bend.way is BendWay.SKIN_KEPT
        else f"the other panel is cut through beside each slot, where it opens {bend.relief:.3f} in"
    )
    off = rounding_in(bend.slot)
    turned = abs(off) * bend.slots(arc.geometry.outside.length.inch * arc.neutral_per_outside)
    cells = f"{bend.cells} to a unit, one of them half at each end"
    sentence = (
        f"units are bent by slots of {bend.slot:.3f} in ({sixteenths(bend.slot)}) in the {arc.slotted} panel, {cells}; "
        f"{panel}. A whole course takes {number(bend.units(arc.sweep_deg))} units. A wedge of {bend.wedge:.3f} in "
        f"stays open toward the core; flats of {number(bend.web)} in lie {bend.facet:.3f} in inside the true circle. "
        f"Cut to the 1/16 in, all slots of a course together are "
        f"{turned:.2f} in too {'wide' if off > 0 else 'narrow'}: check the curve with a template as it closes."
    )
    return _problem(arc, sentence, Severity.NOTE)


def _joints(arc: ArcLeg, on_arc: list[PlacedUnit]) -> Iterator[Problem]:
    """Joints that fall on no slot: the arc is no whole number of webs long, or a piece on it is not."""
    bend = arc.bend
    long = arc.geometry.outside.length.inch * arc.neutral_per_outside
    if _off_web(long, bend.web):
        better = feet_inches(bend.whole_webs(arc.sweep_deg))
        yield _problem(
            arc,
            f"the arc is {long / bend.web:.2f} webs long where the units keep their length, so that one slot of each "
            f"course is narrower; it is a whole number with a radius of {better} at its bulging face.",
            Severity.NOTE,
        )
    cut = [u for u in on_arc if u.kind is UnitKind.STRAIGHT and _off_web((u.end - u.start).inch, bend.web)]
    if cut and arc.neutral_per_outside == 1.0:
        yield _problem(
            arc,
            f"{len(cut)} pieces on the arc are no whole number of webs long: the slots beside their joints are "
            "narrower or wider by the difference.",
            Severity.NOTE,
        )
    if any(u.kind is not UnitKind.STRAIGHT for u in on_arc):
        yield _problem(
            arc, "the legs of corner units that lie on the arc are slotted like straight ones.", Severity.NOTE
        )


def _off_web(length_in: float, web_in: float) -> bool:
    """Whether a length is off a whole number of webs by more than a saw cut is true to, 1/32 in."""
    return abs(length_in - round(length_in / web_in) * web_in) > 1 / 32


def _bars(plan: Plan, arc: ArcLeg) -> Iterator[Problem]:
    """Bars that do not spring to the radius must come rolled."""
    curve, spec = arc.geometry.centre.curve, plan.spec
    radius = curve.radius if curve else 0.0
    rolled = []
    for words, size in (
        ("horizontal bars", spec.bars.horizontal_size),
        ("footing bars", spec.footing.bar_size if spec.footing.bars_along else 0),
    ):
        if size in SIZES and radius < spring_radius_in(size, spec.bars.grade_ksi):
            rolled.append(f"{words} #{size} (spring to {feet_inches(spring_radius_in(size, spec.bars.grade_ksi))})")
    if rolled:
        yield _problem(
            arc,
            f"order {' and '.join(rolled)} rolled to a radius of {feet_inches(radius)}; straight bars of Grade "
            f"{spec.bars.grade_ksi} do not spring so far.",
        )


def _in(length: Length) -> str:
    return format_length(length, "in")
