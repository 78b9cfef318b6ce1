"""Random closed plans for property tests: a skyline of square corners, some of them cut off or rounded."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from hypothesis import strategies as st

from takeoff.plan import Arc, Face, Leg, Plan, Straight
from takeoff.units import Length
from tests.takeoff.plans import leg, plan, ring

Point = tuple[float, float]


@dataclass(frozen=True)
class Drawn:
    """A plan and, drawn apart from it, the line it was walked on: dense points, arcs in chords of half a degree."""

    plan: Plan
    line: tuple[Point, ...]
    bent: bool


@st.composite
def skylines(draw: st.DrawFn, treatments: tuple[str, ...] = ("square", "clip", "round")) -> list[tuple[Point, str]]:
    """Corners, counter-clockwise, of columns of different heights side by side, and what is done to each."""
    count = draw(st.integers(1, 4))
    widths = draw(st.lists(st.integers(10, 40), min_size=count, max_size=count))
    heights = draw(st.lists(st.integers(2, 8), min_size=count, max_size=count, unique=True))
    corners: list[Point] = [(0.0, 0.0), (12.0 * sum(widths), 0.0)]
    x = 12.0 * sum(widths)
    for width, height in zip(reversed(widths), reversed(heights), strict=True):
        corners += [(x, 96.0 * height), (x - 12.0 * width, 96.0 * height)]
        x -= 12.0 * width
    kinds = draw(st.lists(st.sampled_from(treatments), min_size=len(corners), max_size=len(corners)))
    return list(zip(corners, kinds, strict=True))


@st.composite
def drawn_plans(draw: st.DrawFn, face: Face = Face.OUTSIDE_OF_FOAM, **kinds: tuple[str, ...]) -> Drawn:
    """A plan from a skyline, walked round either way and starting in any direction, lengths on ``face``."""
    corners = draw(skylines(**kinds))
    cut = float(draw(st.integers(20, 36)))
    mirrored = draw(st.booleans())
    heading = draw(st.sampled_from([0.0, 90.0, 37.5]))
    if mirrored:
        corners = [((-x, y), kind) for (x, y), kind in corners]
    legs, line = _walk(corners, cut)
    start = 180.0 if mirrored else 0.0
    turned = math.radians(heading - start)
    spun = tuple(_spin((x - line[0][0], y - line[0][1]), (0.0, 0.0), turned) for x, y in line)
    walls = plan(ring(*legs, heading_deg=heading), dimensions_to=face)
    return Drawn(walls, spun, any(kind == "round" for _, kind in corners))


def _walk(corners: list[tuple[Point, str]], cut: float) -> tuple[list[Leg], list[Point]]:
    """Legs and dense points from the corner after the first one on; the first corner is the last one turned."""
    count = len(corners)
    legs: list[Leg] = []
    line: list[Point] = []
    for k in range(count):
        (here, kind), (there, next_kind) = corners[k], corners[(k + 1) % count]
        whole = math.dist(here, there)
        u = ((there[0] - here[0]) / whole, (there[1] - here[1]) / whole)
        after = corners[(k + 2) % count][0]
        turn = _turn(u, (after[0] - there[0], after[1] - there[1]))
        trimmed = whole - (0 if kind == "square" else cut) - (0 if next_kind == "square" else cut)
        start = _along(here, u, 0 if kind == "square" else cut)
        end = _along(start, u, trimmed)
        line += [start, end]
        at_end = turn if next_kind == "square" else (turn / 2 if next_kind == "clip" else 0)
        legs.append(_straight(f"S{k}", trimmed, at_end))
        if next_kind == "clip":
            legs.append(_straight(f"C{k}", cut * math.sqrt(2), turn / 2))
        elif next_kind == "round":
            legs.append(replace(leg(f"R{k}", "1", 0), path=Arc(Length.from_inches(cut), turn)))
            line += _arc(end, u, cut, turn)
    return legs, line


def _straight(name: str, inches: float, turn: float) -> Leg:
    return replace(leg(name, "1", turn), path=Straight(Length.from_inches(inches)))


def _turn(u: Point, v: Point) -> float:
    return 90.0 if u[0] * v[1] - u[1] * v[0] > 0 else -90.0


def _along(p: Point, u: Point, distance: float) -> Point:
    return (p[0] + u[0] * distance, p[1] + u[1] * distance)


def _arc(start: Point, u: Point, radius: float, sweep: float) -> list[Point]:
    """Points on an arc that leaves a point in a direction; half a degree apart."""
    side = math.copysign(1.0, sweep)
    centre = (start[0] - u[1] * radius * side, start[1] + u[0] * radius * side)
    return [_spin(start, centre, math.radians(side * k / 2)) for k in range(1, int(abs(sweep) * 2))]


def _spin(p: Point, about: Point, angle: float) -> Point:
    dx, dy = p[0] - about[0], p[1] - about[1]
    c, s = math.cos(angle), math.sin(angle)
    return (about[0] + c * dx - s * dy, about[1] + s * dx + c * dy)
