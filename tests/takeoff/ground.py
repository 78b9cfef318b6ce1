"""Independent geometry for the tests of concrete, envelope and earth: shapely polygons of what a plan encloses."""

from __future__ import annotations

from shapely.geometry import Polygon

from takeoff.bands import Band, bands
from takeoff.curves import flatten
from takeoff.geometry import Placement, place
from takeoff.plan import Face, Plan

MITRE = 2
NO_LIMIT = 1e6


def placed(plan: Plan) -> Placement:
    """The plan on paper, refusing one that was not placed whole."""
    placement = place(plan)
    assert len(placement.legs) == len(plan.legs()), [p.sentence for p in placement.problems]
    return placement


def walk_bands(placement: Placement, walk: str = "house") -> list[Band]:
    """Stretches of one walk."""
    return [band for band in bands(placement) if band.geometry.walk.name == walk]


def outside_polygon(placement: Placement, walk: str = "house") -> Polygon:
    """What a ring's outside of foam encloses, arcs in fine chords."""
    points: list[tuple[float, float]] = []
    for geometry in placement.of_walk(walk):
        line = geometry.faces[Face.OUTSIDE_OF_FOAM]
        if line.curve is None:
            points.append(line.start)
        else:
            centre = (line.curve.cx, line.curve.cy)
            points += flatten(line.start, line.end, centre, line.curve.sweep_deg, 0.5)[:-1]
    return Polygon(points)


def grown(polygon: Polygon, distance: float) -> Polygon:
    """The polygon grown (or shrunk) with mitred corners."""
    return polygon.buffer(distance, join_style=MITRE, mitre_limit=NO_LIMIT)


def ring_between(polygon: Polygon, near: float, far: float) -> float:
    """Area between two mitred offsets."""
    return float(grown(polygon, far).area - grown(polygon, near).area)
