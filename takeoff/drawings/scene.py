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
    PAPER = "paper"  # blanks out what lies beneath
    RIPPED = "ripped"  # a course sawn lower than its unit
    BOARD = "board"  # drainage board
    # states of a part in the tracker (drafting hatches stand for released and buried)
    READY = "ready"
    HELD = "held"
    PRESENTED = "presented"
    REJECTED = "rejected"


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
    JOINT = "joint"  # between units
    COLD_JOINT = "cold_joint"  # between two pours
    GAP = "gap"  # heavy dashes: what does not close
    # outlines of a part's state in the tracker
    READY = "ready"
    HELD = "held"
    PRESENTED = "presented"
    REJECTED = "rejected"
    BURIED = "buried"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line [in]. ``warn`` draws it in the one accent colour."""

    x0: float
    y0: float
    x1: float
    y1: float
    stroke: Stroke = Stroke.VISIBLE
    warn: bool = False


@dataclass(frozen=True, slots=True)
class Path:
    """Polyline or polygon; a bulge (tan of a quarter of the sweep, + to the left) bends the segment after a point.

    ``wash`` lays a grey tone under the hatch (what is out of sight for good).
    """

    points: tuple[tuple[float, float], ...]
    bulges: tuple[float, ...] = ()
    closed: bool = False
    stroke: Stroke | None = Stroke.VISIBLE
    hatch: Hatch = Hatch.NONE
    warn: bool = False
    wash: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """Text centred in height on a point; ``height_pt`` on paper, rotation in degrees (+ to the left).

    ``dx_pt``, ``dy_pt`` set it off on paper (y up). ``room`` [in]: the width it may take; it shrinks to fit and is
    left out where it cannot be read. ``from_scale`` [pt per in]: it is left out on smaller drawings, where a larger
    one of the same thing says it. ``halo`` blanks the paper behind it. ``avoid`` lets it move further along its offset
    until it lies on nothing else.
    """

    x: float
    y: float
    text: str
    height_pt: float = 7.0
    rotate: float = 0.0
    anchor: str = "middle"  # start | middle | end
    bold: bool = False
    dx_pt: float = 0.0
    dy_pt: float = 0.0
    room: float = 0.0
    halo: bool = False
    avoid: bool = False
    warn: bool = False
    from_scale: float = 0.0


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension line between two points, set off by ``offset_pt`` to the left of the direction, with its text."""

    x0: float
    y0: float
    x1: float
    y1: float
    text: str
    offset_pt: float = 14.0


class Mark(StrEnum):
    """Small signs of a fixed size on paper."""

    ROUND = "round"  # bubbles, with a name in them
    BOX = "box"
    HEXAGON = "hexagon"
    DIAMOND = "diamond"
    LEVEL = "level"  # triangle standing on a level line
    ARROW = "arrow"  # heading, pointing along ``rotate``
    START = "start"  # where a walk begins
    SEAM = "seam"  # joints above each other, to be strapped
    DOT = "dot"  # a bar seen end on


@dataclass(frozen=True, slots=True)
class Symbol:
    """A sign at a point, of a fixed size on paper, set off by ``dx_pt``, ``dy_pt`` (y up); ``leader`` draws a line
    back to the point."""

    x: float
    y: float
    mark: Mark
    text: str = ""
    size_pt: float = 8.0
    rotate: float = 0.0
    dx_pt: float = 0.0
    dy_pt: float = 0.0
    avoid: bool = False
    warn: bool = False
    leader: bool = False


@dataclass(frozen=True, slots=True)
class Callout:
    """A label in a column beside the drawing with a leader to the point it speaks of; on a narrow sheet a number in a
    bubble, explained below."""

    x: float
    y: float
    text: str
    side: str = "right"  # left | right
    warn: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """Shapes that lead somewhere when tapped (screen only; inert on paper). ``key`` is resolved by the page."""

    key: str
    title: str
    shapes: tuple[Line | Path | Text | Dimension | Symbol, ...]


Shape = Line | Path | Text | Dimension | Symbol | Callout | Link


@dataclass(frozen=True, slots=True)
class Legend:
    """One entry of the drawing's key: a sample of line, hatch or sign, and what it means."""

    label: str
    stroke: Stroke | None = Stroke.THIN
    hatch: Hatch = Hatch.NONE
    mark: Mark | None = None
    warn: bool = False
    wash: bool = False
    text: str = ""  # within the sign


@dataclass(frozen=True, slots=True)
class Scene:
    """A drawing: its shapes, what it shows in words (for those who cannot see it), and its preferred scale."""

    title: str
    description: str
    shapes: tuple[Shape, ...]
    #: points on paper per inch of building; None lets the page fit it to its width
    scale_pt_per_in: float | None = None
    key: str = field(default="drawing")
    #: the strip below the drawing: caption, bar scale, arrow to the top of the paper plan, key to lines and hatches
    caption: str = ""
    scale_bar: bool = False
    up_arrow: str = ""
    legend: tuple[Legend, ...] = ()
    margin_pt: float = 8.0
