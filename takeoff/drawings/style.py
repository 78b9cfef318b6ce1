"""How ink lies on the paper: colours, line weights, dashes, hatch patterns. Everything in points on paper.

The drawings are on paper: warm off-white with black ink and one accent for what needs attention. The same opaque
sheet is shown on light and dark pages, so one set of colours serves both.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from takeoff.drawings.scene import Hatch, Stroke

PAPER: Final = "#fbf8f1"
INK: Final = "#1c1a17"
PALE_INK: Final = "#6f6a60"
TONE: Final = "#ddd6c6"
LIGHT_TONE: Final = "#efeadd"
ACCENT: Final = "#a8320a"
FONT: Final = "Liberation Sans, Arimo, Helvetica, Arial, sans-serif"

#: Tick of a dimension line: half length of the slash, and how far extension lines run past the line and stay off
#: the thing measured.
TICK: Final = 2.6
PAST: Final = 3.0
CLEAR: Final = 2.5
TIER: Final = 12.0


@dataclass(frozen=True, slots=True)
class Pen:
    """Width [pt], dash pattern and colour of a line type."""

    width: float
    dash: str = ""
    colour: str = INK
    cap: str = "butt"


PENS: Final[dict[Stroke, Pen]] = {
    Stroke.VISIBLE: Pen(0.7),
    Stroke.HEAVY: Pen(1.4),
    Stroke.THIN: Pen(0.35),
    Stroke.HIDDEN: Pen(0.5, "3 2"),
    Stroke.PLANNED: Pen(0.6, "7 3"),
    Stroke.CENTRE: Pen(0.4, "10 2 2 2"),
    Stroke.BAR: Pen(0.75),
    Stroke.MEMBRANE: Pen(1.9),
    Stroke.GRADE: Pen(1.2),
    Stroke.JOINT: Pen(0.45, colour=PALE_INK),
    Stroke.COLD_JOINT: Pen(1.0, "6 2 1.5 2"),
    Stroke.GAP: Pen(1.8, "5 3"),
    Stroke.READY: Pen(1.1),
    Stroke.HELD: Pen(1.3, "1.6 2.2"),
    Stroke.PRESENTED: Pen(1.1, "8 2 2 2 2 2"),
    Stroke.REJECTED: Pen(2.0),
    Stroke.BURIED: Pen(0.45),
}


@dataclass(frozen=True, slots=True)
class Pattern:
    """A hatch tile: its size [pt], the tone under it ('' leaves the paper; a wash takes its place), and its marks.

    ``lines`` are path data; ``dots`` are (x, y, radius, filled).
    """

    width: float
    height: float
    lines: str = ""
    dots: tuple[tuple[float, float, float, bool], ...] = ()
    weight: float = 0.35
    colour: str = INK
    ground: str = ""


PATTERNS: Final[dict[Hatch, Pattern]] = {
    Hatch.CONCRETE: Pattern(
        17,
        15,
        "M2.2 4.4L4.4 1.6L5.2 4.8Z M11 11.6L13.6 10.2L13.2 13.2Z",
        (
            (8.5, 2.2, 0.4, True),
            (12.6, 4.6, 0.35, True),
            (15.4, 7.8, 0.4, True),
            (6.6, 8.0, 0.35, True),
            (2.4, 10.2, 0.4, True),
            (8.2, 13.4, 0.35, True),
            (10.2, 7.2, 0.3, True),
            (4.8, 13.2, 0.3, True),
        ),
        0.32,
        INK,
        "#f3eee2",
    ),
    Hatch.EARTH: Pattern(24, 24, "M1 11L11 1M4 12L12 4M7 13L13 7M13 13L23 23M16 12L24 20M12 16L20 24", weight=0.4),
    Hatch.BACKFILL: Pattern(
        20,
        16,
        "M2 5L6 1M11 13L15 9M12.6 14L16 10.6",
        (
            (9, 3, 0.4, True),
            (14.5, 5.2, 0.35, True),
            (18.2, 2, 0.4, True),
            (3.4, 9.6, 0.4, True),
            (7.2, 12.8, 0.35, True),
            (18, 14.2, 0.35, True),
            (9.4, 8, 0.3, True),
        ),
        0.35,
        PALE_INK,
    ),
    Hatch.FOAM: Pattern(4, 4, "M0 4L4 0M-1 1L1 -1M3 5L5 3", weight=0.25, colour=PALE_INK),
    Hatch.GRAVEL: Pattern(
        12,
        11,
        "",
        (
            (2.4, 2.4, 1.7, False),
            (7.6, 2.6, 2.1, False),
            (4.8, 7.2, 2.2, False),
            (10, 7.4, 1.6, False),
            (1.2, 8.2, 0.9, False),
        ),
        0.35,
    ),
    Hatch.INSULATION: Pattern(8, 8, "M0 4C2 0 2 0 4 4C6 8 6 8 8 4", weight=0.35),
    Hatch.RIPPED: Pattern(5, 5, "M0 0L5 5M-1 4L1 6M4 -1L6 1", weight=0.3, colour=PALE_INK, ground=LIGHT_TONE),
    Hatch.BOARD: Pattern(2.4, 2.4, "", ((1.2, 1.2, 0.55, True),), 0.3),
    Hatch.READY: Pattern(6, 6, "", ((1.5, 1.5, 0.5, True), (4.5, 4.5, 0.5, True)), 0.3),
    Hatch.HELD: Pattern(9, 9, "M0 9L9 0M-1 1L1 -1M8 10L10 8", weight=1.5, colour=PALE_INK),
    Hatch.PRESENTED: Pattern(4, 4, "M2 0L2 4", weight=0.5),
    Hatch.REJECTED: Pattern(7, 7, "M0 0L7 7M0 7L7 0", weight=0.8, colour=ACCENT),
}

#: Hatches that are one even tone.
TONES: Final[dict[Hatch, str]] = {Hatch.PLAIN: LIGHT_TONE, Hatch.PAPER: PAPER}
