"""Drain at the footing: pipe loop with its fittings, stone and filter fabric, measured along the true offset line.

All of it belongs, once, to the stage that buries it: the frost backfill where there is one, else waterproofing.
"""

from __future__ import annotations

from math import pi

from takeoff.bands import Band
from takeoff.facings import burying_stage
from takeoff.footing import projection
from takeoff.geometry import CornerKind
from takeoff.plan import Plan
from takeoff.results import Buy, Quantity, Unit
from takeoff.site import EnvelopeSpec
from takeoff.sources import COMMON_PRACTICE, GEOMETRY, IRC_R405_1
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
def drain(plan: Plan, outer: tuple[Band, ...]) -> tuple[Quantity, ...]:
    """Pipe, stone, fabric and fittings of every face with ground outside."""
    tallies = (*_drain(plan, outer), *_fittings(plan, outer))
    return tuple(quantity for tally in tallies for quantity in tally.quantities())


def _drain(plan: Plan, outer: tuple[Band, ...]) -> tuple[Tally, Tally, Tally]:
    spec, thick = plan.spec.envelope, plan.spec.footing.thickness.inch
    beyond, over = spec.stone_beyond_footing.inch, stone_over_in(spec, thick)
    wrap = fabric_width_in(beyond, thick, over)
    pipe = Tally(
        "drain.pipe", f"Drain pipe {spec.pipe_diameter.inch:g} in", Unit.FT, "loop outside the footing",
        GEOMETRY, Buy(f"coil {spec.pipe_coil.foot:g} ft", spec.pipe_coil.foot),
        note="" if spec.drain_outlet else " (the run to daylight or sump is not in the plan)",
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
        if band is outer[0]:
            pipe.add(*at, spec.drain_outlet.foot, f"outlet {feet_inches(spec.drain_outlet.inch)}")
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


def _fittings(plan: Plan, outer: tuple[Band, ...]) -> tuple[Tally, ...]:
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
        if band is outer[0]:
            out = plan.spec.envelope.drain_outlet.inch
            coupler.add(*at, out / plan.spec.envelope.pipe_coil.inch, f"outlet {feet_inches(out)} / coil")
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
