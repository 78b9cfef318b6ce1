"""The section through a brick ledge: core, haunch, foam, the two bars along it and its stirrup, with their measures."""

from __future__ import annotations

import math

from takeoff.drawings.scene import Callout, Dimension, Hatch, Path, Scene, Shape, Stroke, Symbol
from takeoff.drawings.scene import Mark as Sign
from takeoff.ledge_bars import COVER, stirrup_shape
from takeoff.ledges import LedgeRun
from takeoff.units import Length, format_length

#: How much wall is drawn above the bearing and below the haunch [in].
ABOVE, BELOW = 12.0, 8.0

Points = tuple[tuple[float, float], ...]


def ledge_section(run: LedgeRun, size: int) -> Scene:
    """One ledge in section, outside on the left, its bearing at level 0; ``size`` is the bar number of its steel."""
    core, foam = run.geometry.leg.core.inch, run.form.foam.inch
    out, high = run.haunch.top.inch, run.haunch.height.inch
    foot = -high - BELOW
    shapes: list[Shape] = [
        _shape(_inner_panel(core, foam, foot), Hatch.FOAM),
        _shape(_concrete(core, out, high, foot), Hatch.CONCRETE),
        _shape(_outer_below(foam, out, high, foot), Hatch.FOAM),
        _shape(((-foam, 0.0), (0.0, 0.0), (0.0, ABOVE), (-foam, ABOVE)), Hatch.FOAM),
        *_steel(run, size),
        *_measures(run, core, foam, out, high),
    ]
    web = _in(run.form.web_spacing)
    return Scene(
        title=f"Brick ledge of {run.leg}",
        description=(
            f"Section of the brick ledge of {run.leg}: bearing {run.bearing}, concrete {_in(run.haunch.top)} beyond "
            f"the core, haunch {_in(run.haunch.height)} tall, stirrups #{size} at {web}, a bar in lip and core."
        ),
        shapes=tuple(shapes),
        key=f"ledge-{run.leg}-{run.course}",
        caption="Usual steel; the engineer's detail goes before it.",
        scale_bar=True,
    )


# -- outlines: x 0 on the outside of the core, outside to the left -----------------------------------
def _inner_panel(core: float, foam: float, foot: float) -> Points:
    return ((core, foot), (core + foam, foot), (core + foam, ABOVE), (core, ABOVE))


def _concrete(core: float, out: float, high: float, foot: float) -> Points:
    return ((0.0, foot), (core, foot), (core, ABOVE), (0.0, ABOVE), (0.0, 0.0), (-out, 0.0), (0.0, -high))


def _outer_below(foam: float, out: float, high: float, foot: float) -> Points:
    """The outer panel below the bearing: upright, then out along the flare, its thickness kept."""
    return (
        (0.0, foot), (0.0, -high), (-out, 0.0), (-out - foam, 0.0), (-foam, -high), (-foam, foot),
    )  # fmt: skip


def _shape(points: Points, hatch: Hatch) -> Path:
    return Path(points, closed=True, hatch=hatch)


# -- steel and measures ------------------------------------------------------------------------------
def _steel(run: LedgeRun, size: int) -> list[Shape]:
    """The stirrup along its three legs, and the bars in its two upper bends, seen end on."""
    bent = stirrup_shape(run.haunch, run.geometry.leg.core, size)
    up, across, back = (leg.inch for leg in bent.legs)
    flare = math.radians(run.haunch.flare_deg)
    inner, top = run.geometry.leg.core.inch - COVER.inch, -COVER.inch
    lip = inner - across
    line = ((inner, top - up), (inner, top), (lip, top), (lip + back * math.sin(flare), top - back * math.cos(flare)))
    return [
        Path(line, stroke=Stroke.BAR),
        Symbol(inner - 0.7, top - 0.7, Sign.DOT, size_pt=4.0),
        Symbol(lip + 1.0, top - 0.7, Sign.DOT, size_pt=4.0),
    ]


def _measures(run: LedgeRun, core: float, foam: float, out: float, high: float) -> list[Shape]:
    return [
        Dimension(0.0, 0.0, -out, 0.0, _in(run.haunch.top), -20.0),
        Dimension(core + foam, 0.0, core + foam, -high, _in(run.haunch.height), 12.0),
        Dimension(core, -high - BELOW, 0.0, -high - BELOW, _in(run.geometry.leg.core), 14.0),
        Callout(-out / 2, 0.0, f"bearing {run.bearing}, top of course {run.course}", "left"),
        Callout(core - COVER.inch - 0.7, -COVER.inch - 0.7, "bar along the core", "right"),
        Callout(core - COVER.inch, -high * 0.75, f"stirrup at every web, {_in(run.form.web_spacing)}", "right"),
        Callout(-out + COVER.inch + 1.0, -COVER.inch - 0.7, "bar along the lip", "left"),
        Callout(-out / 2, -high / 2, f"flare {run.haunch.flare_deg:.0f} degrees from upright", "left"),
    ]


def _in(length: Length) -> str:
    return format_length(length, "in")
