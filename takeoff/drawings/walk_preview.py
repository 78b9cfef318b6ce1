"""The walk as far as it has been typed: legs, where it began, where it is heading, and what is missing to close."""

from __future__ import annotations

import math

from takeoff.drawings.dimension import beside, feet_inches
from takeoff.drawings.scene import Dimension, Line, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.geometry import Trace, TracedLeg

#: A gap smaller than this is not drawn [in]: 1/64 in.
CLOSED = 1 / 64


def walk_preview(trace: Trace, key: str = "walk") -> Scene:
    """Draw a trace: each readable leg with its name and length on its dimensioned face, the start, an arrow where
    the next leg would go, and the closing line with its length and direction."""
    shapes: list[Shape] = []
    right = _outside_right(trace)
    for leg in trace.legs:
        shapes += _leg(leg, right)
    shapes += _gap(trace)
    if trace.legs:
        first = trace.legs[0].line
        shapes.append(Symbol(first.x0, first.y0, Mark.START, size_pt=8.0))
        if not _turned_about(trace):
            shapes += _heading(trace)
    else:
        shapes.append(Symbol(0.0, 0.0, Mark.START, size_pt=8.0))
        shapes.append(Text(0.0, 0.0, "type a first leg", 8.0, dy_pt=12))
    return Scene(
        title="The walk so far",
        description=describe(trace),
        shapes=tuple(shapes),
        key=key,
        scale_pt_per_in=3.0,
        scale_bar=bool(trace.legs),
        up_arrow="up" if trace.legs else "",
        margin_pt=12.0,
    )


def describe(trace: Trace) -> str:
    """The walk in words: legs, those left out, and the closing error."""
    if not trace.legs:
        return "No leg can be drawn yet."
    legs = ", ".join(f"{leg.name} {leg.line.length}" for leg in trace.legs)
    left_out = f" Left out because they cannot be read: {', '.join(trace.skipped)}." if trace.skipped else ""
    closing = f" {trace.closure.sentence}" if trace.closure is not None else ""
    return f"Legs: {legs}.{left_out}{closing}"


def _turned_about(trace: Trace) -> bool:
    """Whether the turns add up to a full circle, so that no leg is expected any more."""
    return trace.closure is not None and abs(abs(trace.closure.turned_deg) - 360) < 0.01


def _outside_right(trace: Trace) -> bool:
    """On which side the outside lies so far: right of the walk where the turns go left on balance."""
    return trace.closure is None or trace.closure.turned_deg >= 0


def _leg(leg: TracedLeg, right: bool) -> list[Shape]:
    line = leg.line
    middle = line.at(line.length.inch / 2)
    heading = leg.heading_deg + (line.curve.sweep_deg / 2 if line.curve else 0.0)
    turn = math.radians(heading + (90 if right else -90))
    inward = (math.cos(turn), math.sin(turn))
    out: list[Shape] = [
        Path((line.start, line.end), (line.bulge,), False, Stroke.HEAVY),
        Symbol(*middle, Mark.ROUND, leg.name, 8.0, dx_pt=inward[0] * 14, dy_pt=inward[1] * 14, avoid=True),
    ]
    if line.curve is not None:
        words = f"R {feet_inches(line.curve.radius, 64)}, {abs(line.curve.sweep_deg):g}°"
        away = -inward[0] * 9, -inward[1] * 9
        out.append(
            Text(*middle, words, 7.0, anchor=beside(away[0]), dx_pt=away[0], dy_pt=away[1], avoid=True, halo=True)
        )
        return out
    words = feet_inches(line.length.inch, 64)
    a, b = (line.end, line.start) if right else (line.start, line.end)
    return [*out, Dimension(*a, *b, words, 14.0)]


def _heading(trace: Trace) -> list[Shape]:
    """A short arrow from where the walk stands, along its heading."""
    turn = math.radians(trace.heading_deg)
    reach = _size(trace) * 0.09
    tip = trace.x + reach * math.cos(turn), trace.y + reach * math.sin(turn)
    return [
        Line(trace.x, trace.y, *tip, Stroke.VISIBLE),
        Symbol(*tip, Mark.ARROW, rotate=trace.heading_deg, size_pt=7.0),
    ]


def _gap(trace: Trace) -> list[Shape]:
    """The closing line: from where the walk stands to where it began, with its length and direction."""
    if len(trace.legs) < 3 or trace.closure is None or trace.closure.error.inch < CLOSED:
        return []
    first, closure = trace.legs[0].line, trace.closure
    x, y = (trace.x + first.x0) / 2, (trace.y + first.y0) / 2
    words = f"open {feet_inches(closure.error.inch, 64)} to the {compass(closure.bearing_deg)}"
    return [
        Line(trace.x, trace.y, first.x0, first.y0, Stroke.GAP, warn=True),
        Text(x, y, words, 8.0, bold=True, dx_pt=0.0, dy_pt=-11.0, avoid=True, halo=True, warn=True),
    ]


def compass(bearing_deg: float) -> str:
    """A direction on paper in words, north being up: bearings count clockwise from there."""
    names = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
    return names[round(bearing_deg % 360 / 45) % 8]


def _size(trace: Trace) -> float:
    x0, y0, x1, y1 = trace.bounds
    return max(x1 - x0, y1 - y0, 12.0)
