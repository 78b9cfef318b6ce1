"""The shape of one bent bar: its legs with their letters and lengths, out to out, as a fabricator draws them."""

from __future__ import annotations

import math
from itertools import pairwise

from takeoff.bar_list import BarLine, quarter
from takeoff.bending import ShapeKind
from takeoff.drawings.scene import Dimension, Path, Scene, Shape, Stroke
from takeoff.units import format_length

#: Legs are drawn in proportion, but none shorter than this part of the longest, so that its length can be read.
SHORTEST = 0.4

#: The longest leg as drawn [in].
LONGEST = 10.0

#: A bend as drawn: radius over the longest leg, and degrees of an arc between two of its points.
BEND = 0.06
ARC_STEP = 15.0

Point = tuple[float, float]


def bar_shape(line: BarLine) -> Scene:
    """A bar of the list, not to scale. Straight bars are a line with their length."""
    lengths = [length.inch for _, length in line.dimensions]
    drawn = [LONGEST * max(SHORTEST, length / max(lengths)) for length in lengths]
    turns = line.shape.turns_deg if line.shape else ()
    corners = _corners(drawn, turns)
    outside_right = sum(turns) >= 0  # the bar winds to the left: its outside is on the right hand
    shapes: list[Shape] = [Path(tuple(_rounded(corners)), stroke=Stroke.BAR)]
    for (letter, length), (a, b) in zip(line.dimensions, pairwise(corners), strict=False):
        start, end = (b, a) if outside_right else (a, b)
        shapes.append(Dimension(*start, *end, f"{letter} {quarter(length)}"))
    return Scene(
        title=f"Bar {line.mark}",
        description=_description(line),
        shapes=tuple(shapes),
        key=f"bar-{line.mark}",
    )


def _description(line: BarLine) -> str:
    bend = f", bends {format_length(line.inside_bend, 'in', 8)} inside" if line.inside_bend else ""
    kind = "Straight bar" if line.kind is ShapeKind.STRAIGHT else f"Bent bar ({line.kind.value})"
    return f"{kind} #{line.size}, mark {line.mark}: {line.legs_said()} out to out{bend}; cut {line.cut_said()}."


def _corners(legs: list[float], turns: tuple[float, ...]) -> list[Point]:
    """Ends and corners of the legs, the first leg to the right."""
    x = y = heading = 0.0
    out = [(x, y)]
    for k, leg in enumerate(legs):
        x, y = x + leg * math.cos(math.radians(heading)), y + leg * math.sin(math.radians(heading))
        out.append((x, y))
        heading += turns[k] if k < len(turns) else 0.0
    return out


def _rounded(corners: list[Point]) -> list[Point]:
    """The same line with an arc in each corner."""
    out = [corners[0]]
    for before, corner, after in zip(corners, corners[1:], corners[2:], strict=False):
        out += _bend(before, corner, after)
    return [*out, corners[-1]]


def _bend(before: Point, corner: Point, after: Point) -> list[Point]:
    heading_in = math.atan2(corner[1] - before[1], corner[0] - before[0])
    heading_out = math.atan2(after[1] - corner[1], after[0] - corner[0])
    turn = (heading_out - heading_in + math.pi) % (2 * math.pi) - math.pi
    radius = LONGEST * BEND
    back = min(radius * abs(math.tan(turn / 2)), LONGEST * SHORTEST / 2)
    radius = back / abs(math.tan(turn / 2)) if turn else 0.0
    steps = max(1, math.ceil(abs(math.degrees(turn)) / ARC_STEP))
    x, y = corner[0] - back * math.cos(heading_in), corner[1] - back * math.sin(heading_in)
    points, heading = [(x, y)], heading_in
    chord = 2 * radius * math.sin(abs(turn) / steps / 2)
    for _ in range(steps):
        heading += turn / steps / 2
        x, y = x + chord * math.cos(heading), y + chord * math.sin(heading)
        heading += turn / steps / 2
        points.append((x, y))
    return points
