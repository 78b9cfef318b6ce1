"""A document's walks as far as they can be read, for drawing while a person is still typing. Never raises."""

from __future__ import annotations

from dataclasses import replace

from takeoff.curves import Point
from takeoff.fields import Fields, each
from takeoff.placement import FaceLine
from takeoff.planread import MOST_LEGS, MOST_WALKS, bare_unit, read_turn
from takeoff.problems import Problem
from takeoff.trace import Trace, TypedLeg, trace
from takeoff.units import Length


def trace_walks(document: object) -> tuple[tuple[str, Trace], ...]:
    """Every walk of a document with what can be drawn of it, by name, in order.

    A spur is drawn from its through leg where that leg could be drawn (from its dimensioned face, the thickness of the
    wall left out) and has no closing line.
    """
    found: list[Problem] = []
    doc = Fields(document, "", "Plan document", found, bare_unit(document))
    drawn: dict[str, FaceLine] = {}
    headings: dict[str, float] = {}
    out = []
    for k, item in enumerate(each(doc, "walks", MOST_WALKS, "walks", "Walk")):
        legs = [_typed(part, n) for n, part in enumerate(each(item, "legs", MOST_LEGS, "legs", "Leg"))]
        name = item.text("name") or str(k + 1)
        origin, heading = _start(item, drawn, headings)
        result = trace(legs, heading, origin, name)
        drawn |= {leg.name: leg.line for leg in result.legs}
        headings |= {leg.name: leg.heading_deg for leg in result.legs}
        out.append((name, replace(result, closure=None) if item.values.get("kind") == "spur" else result))
    return tuple(out)


def _typed(part: Fields, number: int) -> TypedLeg:
    return TypedLeg(
        name=part.text("name") or str(number + 1),
        length=part.length("length", required=False),
        turn_deg=read_turn(part, last_of_spur=True),
        radius=part.length("radius", required=False),
        sweep_deg=part.number("sweep", -360, 360, 0.0) or None,
    )


def _start(item: Fields, drawn: dict[str, FaceLine], headings: dict[str, float]) -> tuple[Point, float]:
    """Where a walk begins on paper, and its heading."""
    heading = item.number("heading", -360, 360, 0.0) or 0.0
    place = item.child("starts_on", "start")
    through = place.text("leg") if place is not None else None
    if item.values.get("kind") == "spur" and place is not None and through in drawn:
        at = place.length("at", required=False) or Length(0)
        line = drawn[through]
        turned = line.curve.sweep_deg * at.inch / line.length.inch if line.curve and line.length else 0.0
        return line.at(at.inch), headings[through] + turned + (heading or 90.0)
    x, y = item.length("origin_x", required=False), item.length("origin_y", required=False)
    return ((x or Length(0)).inch, (y or Length(0)).inch), heading
