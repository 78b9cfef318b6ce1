"""Pad footings under posts: concrete and boards go into the footing's order, bars each way, the area on the ground.

A pad is sized for the load that comes down its post; that load is not in a plan, so what is told here is how much the
ground under it may carry. The engineer of record sizes pads. Where they stand is on the drawing.
"""

from __future__ import annotations

from typing import Final

from takeoff.plan import Pad, Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Bar, BarRole, Part, Quantity, Unit
from takeoff.site import FootingPlacement
from takeoff.sources import GEOMETRY
from takeoff.tally import Tally, feet_inches, inch_text, number, square_feet, yards
from takeoff.units import Length, format_length

#: Bars lie this far apart at most: 18 in (ACI 318 24.4.3.3 and 7.7.2.3, from memory).
MOST_SPACING: Final = Length.inches(18)
#: Least thickness of a concrete footing [in]. IRC R403.1.1.
LEAST_THICKNESS_IN: Final = 6.0


# -- rules ------------------------------------------------------------------------------------------
def pad_volume_yd3(length_in: float, width_in: float, thickness_in: float, count: int) -> float:
    """Concrete [yd3] of ``count`` pads alike: length x width x thickness each."""
    return yards(length_in * width_in * thickness_in * count)


def ground_load_lb(area_ft2: float, thickness_in: float, bearing_psf: float, unit_weight_pcf: float) -> float:
    """What may come down on one pad [lb]: its area times the bearing value, less the pad's own weight. Statics.

    IRC R403.1.1: footings of piers and columns follow the tributary load and the allowable soil pressure.
    """
    return area_ft2 * (bearing_psf - thickness_in / 12 * unit_weight_pcf)


def bar_spacing(across: Length, cover: Length, bars: int) -> Length:
    """Distance between bars spread evenly over a pad, the outer ones in their cover; 0 for a single bar."""
    return Length((across - 2 * cover).nm // (bars - 1)) if bars > 1 else Length(0)


# -- into the footing's order -----------------------------------------------------------------------
def add_concrete(tally: Tally, plan: Plan) -> None:
    """Each kind of pad as a term of the footing concrete of its section: one truck, rounded once."""
    for pad in plan.pads:
        amount = pad_volume_yd3(pad.length.inch, pad.width.inch, pad.thickness.inch, pad.count)
        text = f"{_times(pad)}{_size(pad)} x {inch_text(pad.thickness.inch)}"
        tally.add(pad.section, Stage.FOOTING, _name(pad), amount, text, on_leg=False)


def add_forms(tally: Tally, plan: Plan) -> None:
    """Boards round each pad; none where the footings are placed against earth."""
    if plan.spec.footing.placement is not FootingPlacement.FORMED:
        return
    for pad in plan.pads:
        around = 2 * (pad.length.inch + pad.width.inch)
        text = f"{_times(pad)}{feet_inches(around)} round"
        tally.add(pad.section, Stage.FOOTING, _name(pad), around * pad.count / 12, text, on_leg=False)


def pad_areas(plan: Plan) -> tuple[Quantity, ...]:
    """Area of the pads on the ground, per section, with the load each may bring down."""
    tally = Tally(
        "pad.area", "Pads on the ground", Unit.FT2, "bearing of pad footings; loads are for the engineer", GEOMETRY
    )
    bearing, weight = plan.site.bearing_psf, plan.spec.concrete.unit_weight_pcf
    for pad in plan.pads:
        area = square_feet(pad.length.inch * pad.width.inch)
        load = ground_load_lb(area, pad.thickness.inch, bearing, weight)
        text = (
            f"{_times(pad)}{_size(pad)}, each up to {load:,.0f} lb at {bearing:,.0f} psf less its own weight at "
            f"{weight:g} pcf"
        )
        tally.add(pad.section, Stage.FOOTING, _name(pad), area * pad.count, text, on_leg=False)
    return tally.quantities()


# -- bars and problems ------------------------------------------------------------------------------
def pad_bars(plan: Plan) -> tuple[Bar, ...]:
    """Bars both ways in every pad, straight, ending in the footing's cover; marked by size and cut length."""
    cover, out = plan.spec.footing.cover, []
    marks: dict[tuple[int, Length], str] = {}
    for pad in plan.pads:
        each = pad.bars_each_way * pad.count
        ways = {pad.length - 2 * cover: "both ways"} if pad.length == pad.width else {
            pad.length - 2 * cover: "the long way" if pad.length > pad.width else "the short way",
            pad.width - 2 * cover: "the short way" if pad.length > pad.width else "the long way",
        }  # fmt: skip
        for cut, way in ways.items():
            if cut.nm <= 0 or not each:
                continue
            mark = marks.setdefault((pad.bar_size, cut), f"PD{len(marks) + 1}")
            number_of = each * (3 - len(ways))
            text = (
                f"{_times(pad)}{pad.bars_each_way} {way}, {format_length(cut + 2 * cover)} less 2 x {_in(cover)} cover"
            )
            out.append(
                Bar(mark, pad.bar_size, BarRole.PAD, Stage.FOOTING, pad.section, _name(pad), number_of, cut, None, text)
            )
    return tuple(out)


def problems(plan: Plan) -> tuple[Problem, ...]:
    """Pads too thin, with bars too far apart, or that carry nothing but themselves; and what a plan cannot know."""
    out = []
    for k, pad in enumerate(plan.pads):
        out += [Problem(Severity.WARNING, f"Pad {pad.name}: {said}.", f"pads.{k}.{f}") for f, said in _wrong(plan, pad)]
    if plan.pads:
        names = ", ".join(pad.name for pad in plan.pads)
        sentence = f"Pads {names}: the loads on them are not in the plan; their size and bars are the engineer's."
        out.append(Problem(Severity.NOTE, sentence, "pads"))
    return tuple(out)


def _wrong(plan: Plan, pad: Pad) -> list[tuple[str, str]]:
    cover, out = plan.spec.footing.cover, []
    if pad.thickness.inch < LEAST_THICKNESS_IN:
        out.append(("thickness", f"{_in(pad.thickness)} thick; the code asks for 6 in or more (IRC R403.1.1)"))
    across = max(pad.length, pad.width)
    spacing = bar_spacing(across, cover, pad.bars_each_way)
    if pad.bars_each_way and (spacing > MOST_SPACING or (pad.bars_each_way == 1 and across > MOST_SPACING)):
        said = f"bars {_in(spacing)} apart" if spacing else "one bar each way"
        out.append(("bars_each_way", f"{said} over {format_length(across)}; {_in(MOST_SPACING)} is the most"))
    load = ground_load_lb(1.0, pad.thickness.inch, plan.site.bearing_psf, plan.spec.concrete.unit_weight_pcf)
    if load <= 0:
        out.append(("thickness", f"it weighs more than the {number(plan.site.bearing_psf)} psf the ground may carry"))
    return out


def part(plan: Plan) -> Part:
    """What pads add beside the footing's concrete and boards; the bars are weighed and bought with all others."""
    return Part(quantities=pad_areas(plan), problems=problems(plan), bars=pad_bars(plan))


def _name(pad: Pad) -> str:
    return f"pad {pad.name}"


def _times(pad: Pad) -> str:
    return f"{pad.count} x " if pad.count != 1 else ""


def _size(pad: Pad) -> str:
    return f"{format_length(pad.length)} x {format_length(pad.width)}"


def _in(length: Length) -> str:
    return format_length(length, "in")
