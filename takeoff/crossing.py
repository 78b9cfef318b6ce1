"""Walls that run through each other: found by their faces crossing, said with both legs' names."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from takeoff.curves import Point, flatten, segments_cross
from takeoff.placement import LegGeometry, Tee
from takeoff.plan import Face
from takeoff.problems import Problem, Severity

_BODY = (Face.OUTSIDE_OF_FOAM, Face.CENTRE_LINE, Face.INSIDE_OF_FOAM)


Box = tuple[float, float, float, float]  # left, bottom, right, top


@dataclass(frozen=True, slots=True)
class _Body:
    """Both faces and the centre line of a leg as short segments, and the box they lie in."""

    lines: tuple[tuple[Point, ...], ...]
    boxes: tuple[tuple[Box, ...], ...]  # of every segment of each line
    box: Box


def _body(leg: LegGeometry) -> _Body:
    lines = []
    for face in _BODY:
        line = leg.faces[face]
        centre = (line.curve.cx, line.curve.cy) if line.curve else None
        lines.append(tuple(flatten(line.start, line.end, centre, line.curve.sweep_deg if line.curve else 0.0)))
    boxes = tuple(tuple(_box(a, b) for a, b in pairwise(line)) for line in lines)
    left, bottom, right, top = zip(*(box for of_line in boxes for box in of_line), strict=True)
    return _Body(tuple(lines), boxes, (min(left), min(bottom), max(right), max(top)))


def _box(a: Point, b: Point) -> Box:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


def crossings(legs: dict[str, LegGeometry], tees: tuple[Tee, ...], paths: dict[str, str]) -> tuple[Problem, ...]:
    """A blocker for each pair of legs whose walls touch without being joined there.

    Neighbours in a walk share a corner and a spur stands on its through leg; these pairs are let off at that place.
    """
    names = list(legs)
    bodies = {name: _body(leg) for name, leg in legs.items()}
    joined = {frozenset((t.through, t.spur)) for t in tees}
    problems = []
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            if frozenset((a, b)) in joined or not _near(bodies[a].box, bodies[b].box):
                continue
            if _touch(bodies[a], bodies[b], _shared(legs[a], legs[b])):
                sentence = f"Legs {a} and {b} run into each other; look at their lengths, turns and where they start."
                problems.append(Problem(Severity.BLOCKER, sentence, f"{paths[b]}.length" if b in paths else "", b))
    return tuple(problems)


def _near(a: Box, b: Box) -> bool:
    slack = 1e-2  # beyond what counts as touching
    return a[0] <= b[2] + slack and b[0] <= a[2] + slack and a[1] <= b[3] + slack and b[1] <= a[3] + slack


def _shared(a: LegGeometry, b: LegGeometry) -> tuple[bool, bool]:
    """Whether a's end is b's start, and b's end a's start."""
    if a.walk.name != b.walk.name:
        return (False, False)
    legs = [leg.name for leg in a.walk.legs]
    i, j, ring = legs.index(a.leg.name), legs.index(b.leg.name), a.walk.kind == "ring"
    after = (i + 1) % len(legs) == j if ring else i + 1 == j
    before = (j + 1) % len(legs) == i if ring else j + 1 == i
    return (after, before)


def _touch(a: _Body, b: _Body, shared: tuple[bool, bool]) -> bool:
    """Whether any lines of two walls touch, the segments at a shared corner left out."""
    in_reach = [_in_reach(boxes, a.box) for boxes in b.boxes]
    for line_a, boxes in zip(a.lines, a.boxes, strict=True):
        last_a, near_b = len(line_a) - 2, _in_reach(boxes, b.box)
        for line_b, near_a in zip(b.lines, in_reach, strict=True):
            last_b = len(line_b) - 2
            for i in near_b:
                for j in near_a:
                    at_corner = (shared[0] and i == last_a and j == 0) or (shared[1] and i == 0 and j == last_b)
                    if not at_corner and segments_cross(line_a[i], line_a[i + 1], line_b[j], line_b[j + 1]):
                        return True
    return False


def _in_reach(segments: tuple[Box, ...], box: Box) -> list[int]:
    """Which segments of a line come near a box: most chords of an arc are far from the legs beside it."""
    return [k for k, segment in enumerate(segments) if _near(segment, box)]
