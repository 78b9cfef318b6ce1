"""Primitives of a drawing, in inches at full size, y up.

Line weights and text heights are in points on the printed sheet, so that they do not scale with the drawing;
the writer knows the scale.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class Hatch(StrEnum):
    """Drafting hatches; each is drawn as a pattern, never told by colour alone."""

    NONE = "none"
    CONCRETE = "concrete"
    EARTH = "earth"
    BACKFILL = "backfill"
    FOAM = "foam"
    GRAVEL = "gravel"
    INSULATION = "insulation"
    PLAIN = "plain"


class Stroke(StrEnum):
    """Line types by meaning."""

    VISIBLE = "visible"
    HEAVY = "heavy"
    THIN = "thin"
    HIDDEN = "hidden"  # short dashes
    PLANNED = "planned"  # long dashes: not built yet
    CENTRE = "centre"  # dash-dot
    BAR = "bar"  # reinforcement
    MEMBRANE = "membrane"
    GRADE = "grade"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line [in]."""

    x0: float
    y0: float
    x1: float
    y1: float
    stroke: Stroke = Stroke.VISIBLE


@dataclass(frozen=True, slots=True)
class Path:
    """Polyline or polygon; a bulge (tan of a quarter of the sweep, + to the left) bends the segment after a point."""

    points: tuple[tuple[float, float], ...]
    bulges: tuple[float, ...] = ()
    closed: bool = False
    stroke: Stroke | None = Stroke.VISIBLE
    hatch: Hatch = Hatch.NONE


@dataclass(frozen=True, slots=True)
class Text:
    """Text at a point; ``height_pt`` on paper, rotation in degrees."""

    x: float
    y: float
    text: str
    height_pt: float = 7.0
    rotate: float = 0.0
    anchor: str = "middle"  # start | middle | end
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension line between two points, set off by ``offset_pt`` to the left of the direction, with its text."""

    x0: float
    y0: float
    x1: float
    y1: float
    text: str
    offset_pt: float = 14.0


@dataclass(frozen=True, slots=True)
class Link:
    """Shapes that lead somewhere when tapped (screen only; inert on paper). ``key`` is resolved by the page."""

    key: str
    title: str
    shapes: tuple[Line | Path | Text | Dimension, ...]


Shape = Line | Path | Text | Dimension | Link


@dataclass(frozen=True, slots=True)
class Scene:
    """A drawing: its shapes, what it shows in words (for those who cannot see it), and its preferred scale."""

    title: str
    description: str
    shapes: tuple[Shape, ...]
    #: points on paper per inch of building; None lets the page fit it to its width
    scale_pt_per_in: float | None = None
    key: str = field(default="drawing")
