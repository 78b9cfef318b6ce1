"""What keeps water off the outside face: membrane, drainage board, drain pipe, stone and filter fabric.

All of it belongs, once, to the stage that buries it. Where a frost wall stands below, its membrane, the drain, the
stone and the fabric go in before the frost backfill; what rises above is put on later and laps onto the membrane
left turned up. A leg with a full-height wall only gets everything at waterproofing. A T wall inside a ring has
earth on neither side that is to be kept dry, and gets nothing.
"""

from __future__ import annotations

from math import ceil, floor, pi

from takeoff.bands import Band, bands, has_ground_outside
from takeoff.facings import Facing, board_facings, burying_stage, membrane_facings
from takeoff.footing import projection
from takeoff.geometry import CornerKind, Placement
from takeoff.plan import Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Buy, Criterion, Part, Unit
from takeoff.site import EnvelopeSpec
from takeoff.sources import COMMON_PRACTICE, GEOMETRY, IRC_R405_1, PLAN
from takeoff.tally import Tally, feet_inches, inch_text, number, square_feet, yards

#: Corrugated pipe is about this much larger outside than its name says [in]. Common practice.
PIPE_WALL_IN = 0.5
#: Stone over the top of the pipe, least [in]. IRC R405.1.
PIPE_COVER_IN = 6.0
#: Lap of the filter fabric over the stone [in]. Common practice.
FABRIC_LAP_IN = 12.0
#: Two cleanouts and one outlet for each loop of drain. Common practice.
CLEANOUTS_PER_LOOP = 2


# -- rules ------------------------------------------------------------------------------------------
def usable_lap_in(lap_in: float, roll_in: float) -> float:
    """A lap, but never more than half the roll: wider ones would lay roll on roll without end (told as a warning)."""
    return min(lap_in, roll_in / 2)


def strips(length_in: float, roll_width_in: float, side_lap_in: float) -> int:
    """Upright strips of a roll that cover a length with side laps: ceil((L - lap) / (width - lap)), at least one."""
    if length_in <= 0:
        return 0
    lap = usable_lap_in(side_lap_in, roll_width_in)
    return max(ceil((length_in - lap) / (roll_width_in - lap) - 1e-9), 1)


def strip_length_in(reach_in: float, roll_length_in: float, end_lap_in: float) -> float:
    """Membrane used by one strip [in]: its reach, and an end lap for each join where it outruns the roll."""
    joins = 0
    while reach_in + joins * end_lap_in > (joins + 1) * roll_length_in:
        joins += 1
    return reach_in + joins * end_lap_in


def roll_end_waste(strip_in: float, roll_length_in: float) -> float:
    """Part to add for what is left of each roll when only whole strips are cut from it."""
    whole = floor(roll_length_in / strip_in + 1e-9) if strip_in > 0 else 0
    return roll_length_in / (whole * strip_in) - 1 if whole else 0.0


def board_rolls(length_in: float, roll_length_in: float, lap_in: float) -> int:
    """Rolls of drainage board laid along a wall, each lapping the one before: ceil(L / (roll - lap))."""
    return ceil(length_in / (roll_length_in - lap_in) - 1e-9)


def board_width_waste(height_in: float, roll_width_in: float, lap_in: float) -> float:
    """Part to add because board comes in one width: it is ripped into equal pieces that are high enough, or where
    the wall is higher than the roll, hung in lapped rows."""
    if height_in <= 0:
        return 0.0
    if height_in <= roll_width_in:
        pieces = floor(roll_width_in / height_in + 1e-9)
        return roll_width_in / (pieces * height_in) - 1
    lap = usable_lap_in(lap_in, roll_width_in)
    rows = ceil((height_in - lap) / (roll_width_in - lap) - 1e-9)
    return rows * roll_width_in / height_in - 1


def pipe_offset_in(spec: EnvelopeSpec, beyond_foam_in: float) -> float:
    """Distance [in] of the pipe's centre from the foam: in the middle of the stone beside the footing."""
    return beyond_foam_in + spec.stone_beyond_footing.inch / 2


def stone_over_in(spec: EnvelopeSpec, footing_thickness_in: float) -> float:
    """Height [in] of stone over the footing top: as specified, or more where the pipe would have less than 6 in.

    The pipe lies on its bed of stone at the footing's bottom. IRC R405.1: stone at least 6 in over the footing top
    and over the pipe.
    """
    pipe_top = spec.stone_under_pipe.inch + spec.pipe_diameter.inch + PIPE_WALL_IN
    return max(spec.stone_over_footing.inch, pipe_top + PIPE_COVER_IN - footing_thickness_in)


def stone_section_in2(beyond_in: float, thickness_in: float, over_in: float, on_top_in: float, pipe_in: float) -> float:
    """Section [in2] of drain stone: a box beside the footing from its bottom to ``over_in`` above its top, the layer
    on the footing's projection ``on_top_in`` wide, less the pipe."""
    return beyond_in * (thickness_in + over_in) + on_top_in * over_in - pi / 4 * pipe_in * pipe_in


def fabric_width_in(beyond_in: float, thickness_in: float, over_in: float, lap_in: float = FABRIC_LAP_IN) -> float:
    """Filter fabric around the box of stone and a lap [in]: 2 x (width + height) + lap."""
    return 2 * (beyond_in + thickness_in + over_in) + lap_in


# -- assembly ---------------------------------------------------------------------------------------
def envelope(plan: Plan, placement: Placement) -> Part:
    """Membrane, board, drain, stone and fabric of every face that has ground outside."""
    outer = tuple(band for band in bands(placement) if has_ground_outside(placement, band.geometry))
    tallies = (*_membrane(plan, outer), _board(plan, outer), *_drain(plan, outer), *_fittings(plan, placement, outer))
    quantities = tuple(quantity for tally in tallies for quantity in tally.quantities())
    return Part(quantities=quantities, criteria=_criteria(plan, outer), problems=_notes(plan.spec.envelope, outer))


def _notes(spec: EnvelopeSpec, outer: tuple[Band, ...]) -> tuple[Problem, ...]:
    """Laps wider than half a roll; and frost walls with no full-height wall on them, where the code may ask for
    nothing and the builder decides."""
    out = []
    for what, lap, roll in (
        ("side lap of the membrane", spec.membrane_side_lap, spec.membrane_roll_width),
        ("lap of the drainage board", spec.board_lap, spec.board_roll_width),
    ):
        if usable_lap_in(lap.inch, roll.inch) < lap.inch:
            sentence = f"The {what} ({lap}) is more than half its roll ({roll}); half the roll is counted."
            out.append(Problem(Severity.WARNING, sentence))
    names = tuple(dict.fromkeys(band.name for band in outer if band.levels.wall_top is None))
    if names:
        sentence = (
            f"{', '.join(names)}: membrane, board and drain are counted on these frost walls too; where they enclose "
            f"no usable space below grade the code may ask for none ({IRC_R405_1})."
        )
        out.append(Problem(Severity.NOTE, sentence, leg=names[0]))
    return tuple(out)


def _membrane(plan: Plan, outer: tuple[Band, ...]) -> tuple[Tally, Tally]:
    spec = plan.spec.envelope
    roll = Buy(_roll_text(spec), square_feet(spec.membrane_roll_width.inch * spec.membrane_roll_length.inch))
    face = Tally(
        "membrane.area",
        "Membrane",
        Unit.FT2,
        "upright strips on the outside face, detail strips at the footing and at corners",
        GEOMETRY,
        roll,
        note=f" (with side laps {spec.membrane_side_lap.inch:g} in, end laps {spec.membrane_end_lap.inch:g} in and "
        f"{spec.membrane_onto_footing.inch:g} in turned down onto the footing)",
    )
    bar = Tally(
        "membrane.termination", "Termination bar", Unit.FT, "holds the top edge of the membrane", COMMON_PRACTICE,
        Buy("bar 10 ft", 10.0),
    )  # fmt: skip
    for band in outer:
        for facing in membrane_facings(band.levels, spec):
            _add_strips(face, spec, band, facing)
            if facing.foot:
                _add_joint_strip(face, spec, band, facing)
            if facing.finished:
                bar.add(band.section, facing.stage, band.name, band.outside / 12, feet_inches(band.outside))
    _add_corner_strips(face, spec, outer)
    return face, bar


def _roll_text(spec: EnvelopeSpec) -> str:
    return f"roll {spec.membrane_roll_width.inch:g} in x {spec.membrane_roll_length.foot:g} ft"


def _add_strips(tally: Tally, spec: EnvelopeSpec, band: Band, facing: Facing) -> None:
    """Whole strips on one stretch; the foot of each turns down onto the footing or laps the membrane below."""
    below = spec.membrane_onto_footing.inch if facing.foot else spec.membrane_end_lap.inch
    wide = spec.membrane_roll_width.inch
    count = strips(band.outside, wide, spec.membrane_side_lap.inch)
    long = strip_length_in(
        facing.top - facing.bottom + below, spec.membrane_roll_length.inch, spec.membrane_end_lap.inch
    )
    text = f'{count} strip{"s" if count > 1 else ""} for {feet_inches(band.outside)} x {wide:g}" x {feet_inches(long)}'
    waste = roll_end_waste(long, spec.membrane_roll_length.inch)
    tally.add(band.section, facing.stage, band.name, square_feet(count * wide * long), text, waste)


def _add_joint_strip(tally: Tally, spec: EnvelopeSpec, band: Band, facing: Facing) -> None:
    """A detail strip along the joint on the footing."""
    wide = spec.membrane_detail_strip.inch
    text = f'{feet_inches(band.outside)} x {wide:g}" at the footing'
    tally.add(band.section, facing.stage, band.name, square_feet(band.outside * wide), text)


def _add_corner_strips(tally: Tally, spec: EnvelopeSpec, outer: tuple[Band, ...]) -> None:
    """A detail strip up every corner and every T, as high as the higher of the faces that meet there and counted with
    it (with the leg that starts there where they are alike)."""
    wide = spec.membrane_detail_strip.inch
    for meeting in _corners(outer):
        highest: dict[Stage, tuple[float, Band]] = {}
        for band in meeting:
            for facing in membrane_facings(band.levels, spec):
                high = facing.top - facing.bottom
                if high > highest.get(facing.stage, (0.0, band))[0]:
                    highest[facing.stage] = high, band
        for stage, (high, band) in highest.items():
            text = f'corner {feet_inches(high)} x {wide:g}"'
            tally.add(band.section, stage, band.name, square_feet(high * wide), text)


def _corners(outer: tuple[Band, ...]) -> list[tuple[Band, ...]]:
    """The stretches that meet at each corner, the departing one first; at a T there is only the wall that ends."""
    chains: dict[str, list[Band]] = {}
    for band in outer:
        chains.setdefault(band.geometry.walk.name, []).append(band)
    out: list[tuple[Band, ...]] = []
    for chain in chains.values():
        for earlier, later in zip([chain[-1], *chain[:-1]], chain, strict=True):
            if later.first and later.geometry.start.kind in (CornerKind.OUTSIDE, CornerKind.INSIDE):
                out.append((later, earlier))
            if later.first and later.geometry.start.kind is CornerKind.TEE:
                out.append((later,))
            if later.last and later.geometry.end.kind is CornerKind.TEE:
                out.append((later,))
    return out


def _board(plan: Plan, outer: tuple[Band, ...]) -> Tally:
    spec = plan.spec.envelope
    wide, roll, lap = spec.board_roll_width.inch, spec.board_roll_length.inch, spec.board_lap.inch
    tally = Tally(
        "board.area", "Drainage board", Unit.FT2, "footing to grade, laps included", GEOMETRY,
        Buy(f"roll {wide / 12:g} x {roll / 12:g} ft", square_feet(wide * roll)),
    )  # fmt: skip
    for band in outer:
        for facing in board_facings(band.levels):
            high = facing.top - facing.bottom + (0.0 if facing.foot else lap)
            with_laps = band.outside * roll / (roll - lap)
            text = f"{feet_inches(band.outside)} x {feet_inches(high)} x {roll / 12:g}/{(roll - lap) / 12:g} for laps"
            amount = square_feet(with_laps * high)
            tally.add(band.section, facing.stage, band.name, amount, text, board_width_waste(high, wide, lap))
    return tally


def _drain(plan: Plan, outer: tuple[Band, ...]) -> tuple[Tally, Tally, Tally]:
    spec, thick = plan.spec.envelope, plan.spec.footing.thickness.inch
    beyond, over = spec.stone_beyond_footing.inch, stone_over_in(spec, thick)
    wrap = fabric_width_in(beyond, thick, over)
    pipe = Tally(
        "drain.pipe", f"Drain pipe {spec.pipe_diameter.inch:g} in", Unit.FT, "loop outside the footing",
        GEOMETRY, Buy(f"coil {spec.pipe_coil.foot:g} ft", spec.pipe_coil.foot),
        note=" (the run to daylight or sump is not in the plan)",
    )  # fmt: skip
    stone = Tally(
        "drain.stone", "Drain stone", Unit.YD3, "around the pipe and on the footing's projection", IRC_R405_1,
        Buy("half yard", 0.5),
    )  # fmt: skip
    fabric = Tally("drain.fabric", "Filter fabric", Unit.FT2, "around the stone", IRC_R405_1, Buy("100 ft2", 100.0))
    for band in outer:
        shelf = projection_of(plan, band)
        at = band.section, burying_stage(band.levels), band.name
        loop = max(band.out_length(pipe_offset_in(spec, shelf)), 0.0)
        pipe.add(*at, loop / 12, feet_inches(loop))
        stone.add(*at, yards(stone_in3(plan, band)), _stone_text(band, shelf, beyond, thick, over))
        fabric.add(*at, square_feet(loop * wrap), f'{feet_inches(loop)} x {wrap:g}"')
    return pipe, stone, fabric


def _stone_text(band: Band, shelf: float, beyond: float, thick: float, over: float) -> str:
    box = f'{feet_inches(band.out_length(shelf + beyond / 2))} x {beyond:g}" x {inch_text(thick + over)}'
    layer = f"{feet_inches(band.out_length(shelf / 2))} x {inch_text(shelf)} x {inch_text(over)}"
    return f"{box} + {layer} on the footing - pipe"


def projection_of(plan: Plan, band: Band) -> float:
    """How far the footing under a stretch stands out beyond the foam [in]."""
    leg = band.geometry.leg
    return projection(plan.spec.footing, plan.form(leg.form), leg.core).inch


def stone_in3(plan: Plan, band: Band) -> float:
    """Drain stone beside one stretch [in3], corners exact, less the pipe."""
    spec, thick, shelf = plan.spec.envelope, plan.spec.footing.thickness.inch, projection_of(plan, band)
    beyond, over = spec.stone_beyond_footing.inch, stone_over_in(spec, thick)
    pipe = spec.pipe_diameter.inch + PIPE_WALL_IN
    loop = max(band.out_length(pipe_offset_in(spec, shelf)), 0.0)
    box = band.out_area(shelf, shelf + beyond) * (thick + over)
    layer = band.out_area(0.0, shelf) * over
    return max(box + layer - pi / 4 * pipe * pipe * loop, 0.0)


def _fittings(plan: Plan, placement: Placement, outer: tuple[Band, ...]) -> tuple[Tally, ...]:
    """Bends at the corners (named by their angle), and an outlet tee and cleanouts for each loop or branch."""
    bends: dict[str, Tally] = {}
    tee = Tally("drain.tee", "Drain tee", Unit.EACH, "outlet of the loop", COMMON_PRACTICE, Buy("each", 1.0))
    cleanout = Tally("drain.cleanout", "Cleanout", Unit.EACH, "at two corners", COMMON_PRACTICE, Buy("each", 1.0))
    coupler = Tally(
        "drain.coupler", "Coupler", Unit.EACH, "one at the end of each coil", COMMON_PRACTICE, Buy("each", 1.0)
    )
    seen: set[str] = set()
    for band in outer:
        at = band.section, burying_stage(band.levels), band.name
        loop = max(band.out_length(pipe_offset_in(plan.spec.envelope, projection_of(plan, band))), 0.0)
        coupler.add(*at, loop / plan.spec.envelope.pipe_coil.inch, f"{feet_inches(loop)} / coil")
        if band.first and band.geometry.start.kind in (CornerKind.OUTSIDE, CornerKind.INSIDE):
            angle = number(round(band.geometry.start.deflection_deg, 1))
            made = bends.setdefault(angle, _bend(angle))
            made.add(*at, 1.0, "corner at its start")
        if band.geometry.walk.name not in seen:
            seen.add(band.geometry.walk.name)
            tee.add(*at, 1.0, f"loop {band.geometry.walk.name}")
            cleanout.add(*at, float(CLEANOUTS_PER_LOOP), f"loop {band.geometry.walk.name}")
    return (*bends.values(), tee, cleanout, coupler)


def _bend(angle: str) -> Tally:
    key = f"drain.bend_{angle}"
    return Tally(key, f"Drain bend {angle} degrees", Unit.EACH, "at corners", COMMON_PRACTICE, Buy("each", 1.0))


# -- criteria ---------------------------------------------------------------------------------------
def _criteria(plan: Plan, outer: tuple[Band, ...]) -> tuple[Criterion, ...]:
    """What is measured before the face is buried, per section and stage."""
    dressed: dict[tuple[str, Stage], list[tuple[Band, Facing]]] = {}
    drained: dict[tuple[str, Stage], list[str]] = {}
    for band in outer:
        for facing in membrane_facings(band.levels, plan.spec.envelope):
            dressed.setdefault((band.section, facing.stage), []).append((band, facing))
        drained.setdefault((band.section, burying_stage(band.levels)), []).append(band.name)
    out: list[Criterion] = []
    for (_, stage), parts in dressed.items():
        out += _membrane_criteria(plan.spec.envelope, stage, parts)
    for (_, stage), names in drained.items():
        out += _drain_criteria(plan, stage, tuple(dict.fromkeys(names)))
    return tuple(out)


def _membrane_criteria(spec: EnvelopeSpec, stage: Stage, parts: list[tuple[Band, Facing]]) -> list[Criterion]:
    every = tuple(dict.fromkeys(band.name for band, _ in parts))
    at_foot = tuple(dict.fromkeys(band.name for band, facing in parts if facing.foot))
    side, end, turned = spec.membrane_side_lap.inch, spec.membrane_end_lap.inch, spec.membrane_onto_footing.inch
    out = [
        _least("membrane.side_lap", "Side laps of the membrane", side, stage, every, "side laps {} or more"),
        _least("membrane.end_lap", "End laps of the membrane", end, stage, every, "end laps {} or more"),
    ]
    if at_foot:
        text = "turned down {} or more onto the footing"
        out.append(_least("membrane.onto_footing", "Membrane on the footing", turned, stage, at_foot, text))
    for height, names in _tops(parts).items():
        text = "membrane {} or more above finished grade"
        out.append(_least("membrane.above_grade", "Membrane above grade", height, stage, names, text))
    return out


def _tops(parts: list[tuple[Band, Facing]]) -> dict[float, tuple[str, ...]]:
    """How far the finished top stands above grade [in], the least of each leg, and the legs that share it."""
    least: dict[str, float] = {}
    for band, facing in parts:
        if facing.finished:
            above = facing.top - band.levels.grade_outside.inch
            least[band.name] = min(above, least.get(band.name, above))
    return {height: tuple(n for n, h in least.items() if h == height) for height in sorted(set(least.values()))}


def _least(key: str, label: str, value: float, stage: Stage, legs: tuple[str, ...], text: str) -> Criterion:
    return Criterion(key, label, value, "in", "at least", stage, PLAN, legs=legs, text=text.format(inch_text(value)))


def _drain_criteria(plan: Plan, stage: Stage, legs: tuple[str, ...]) -> list[Criterion]:
    spec = plan.spec.envelope
    beyond, over = spec.stone_beyond_footing.inch, stone_over_in(spec, plan.spec.footing.thickness.inch)
    rows = (
        ("drain.stone_beyond", "Stone beyond the footing", beyond, "stone {} or more past the footing edge"),
        ("drain.stone_over", "Stone over the footing", over, "stone {} or more over the footing top"),
        ("drain.stone_under", "Stone under the pipe", spec.stone_under_pipe.inch, "pipe on {} or more of stone"),
        ("drain.pipe_cover", "Stone over the pipe", PIPE_COVER_IN, "{} or more of stone over the pipe"),
    )
    return [
        Criterion(key, label, value, "in", "at least", stage, IRC_R405_1, legs=legs, text=text.format(inch_text(value)))
        for key, label, value, text in rows
    ]
