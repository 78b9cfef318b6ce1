"""Bars along the footings: lapped, a corner bar for each at every corner, running on through steps."""

from __future__ import annotations

from itertools import pairwise

from takeoff.bar_runs import Gathered, LegSteel, Line
from takeoff.geometry import CornerKind
from takeoff.laps import bent_length, lap_splice, lapped_pieces
from takeoff.plan import Stage
from takeoff.results import BarRole
from takeoff.units import ZERO, Length, format_length


def add_footing_bars(bars: Gathered, leg: LegSteel) -> None:
    """The bars along one leg's footing, on the wall's centre line, every other one with its laps moved."""
    spec = leg.plan.spec.footing
    lap = lap_splice(spec.bar_size, leg.plan.spec.bars.grade_ksi).length
    run, basis = _run(leg)
    for index in range(spec.bars_along):
        pieces = lapped_pieces(run, leg.plan.spec.bars.stock_length, lap, turned=index % 2 == 1)
        used = lap if len(pieces) > 1 else None
        text = f"{basis}, in {len(pieces)} bars" + (f", lap {_in(lap)}" if used else "")
        lines = _lines(leg) if index == 0 else []
        for i, piece in enumerate(pieces):
            bars.add(
                leg.name, Stage.FOOTING, BarRole.FOOTING, spec.bar_size, piece, text, 1, used, lines if i == 0 else ()
            )
    _add_corners(bars, leg, lap)


def _run(leg: LegSteel) -> tuple[Length, str]:
    """Length of one bar along a leg: the centre line, less cover at free ends, and the rise of each step."""
    run = leg.geometry.centre.length
    text = f"centre line {run}"
    free = sum(1 for corner in (leg.geometry.start, leg.geometry.end) if corner.kind is CornerKind.END)
    if free:
        run -= free * leg.plan.spec.footing.cover
        text += f" less {free} x {_in(leg.plan.spec.footing.cover)} cover"
    rises = [abs(b.levels.footing_top - a.levels.footing_top) for a, b in pairwise(leg.stretches)]
    if any(rises):
        run += sum(rises, ZERO)
        text += f" + {_in(sum(rises, ZERO))} of steps it runs through"
    return run, text


def _lines(leg: LegSteel) -> list[Line]:
    spec = leg.plan.spec.footing
    out = []
    for stretch in leg.stretches:
        y = (stretch.levels.footing_top - spec.thickness + spec.cover).inch
        out.append((stretch.start.inch, y, stretch.end.inch, y))
    return out


def _add_corners(bars: Gathered, leg: LegSteel, lap: Length) -> None:
    """A corner bar for each bar along, at the leg's end, and at Ts where the footing runs into another."""
    spec = leg.plan.spec.footing
    corner = leg.geometry.end
    if leg.after is not None and corner.kind is CornerKind.STRAIGHT:
        text = f"legs in line: {_in(lap)} each way"
        bars.add(leg.name, Stage.FOOTING, BarRole.FOOTING_CORNER, spec.bar_size, lap + lap, text, spec.bars_along, lap)
    elif leg.after is not None:
        cut = bent_length(spec.bar_size, lap, lap, corner.deflection_deg)
        text = f"legs {_in(lap)} x {_in(lap)}, {corner.deflection_deg:g} degrees, bend inside 6 bar diameters"
        bars.add(leg.name, Stage.FOOTING, BarRole.FOOTING_CORNER, spec.bar_size, cut, text, spec.bars_along, lap)
    tees = sum(1 for end in (leg.geometry.start, leg.geometry.end) if end.kind is CornerKind.TEE)
    if tees:
        cut = bent_length(spec.bar_size, lap, lap)
        text = f"into the footing met in a T (the wall where that lies at another level), legs {_in(lap)} x {_in(lap)}"
        count = tees * spec.bars_along
        bars.add(leg.name, Stage.FOOTING, BarRole.FOOTING_CORNER, spec.bar_size, cut, text, count, lap)


def _in(length: Length) -> str:
    return format_length(length, "in")
