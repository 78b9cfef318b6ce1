"""Full-size cutting template of a unit bent to a radius: a strip of its panel, tiled over sheets of paper.

One inch of drawing is one inch of foam. Printed at full size, cut out and joined at the match marks, the strip is laid
along the panel and the slots are marked through it. The bar of six inches on every sheet tells whether the printer
has kept the size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from takeoff.drawings.scene import Line, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.drawings.scene import Mark as Sign
from takeoff.radius import ArcLeg, Bend, BendWay
from takeoff.radius_orders import sixteenths

#: Points on paper for an inch of foam: full size.
FULL_SIZE = 72.0

#: Height of the strip, of the words above it and below it, and what two tiles share [in].
STRIP = 1.75
ABOVE, BELOW = 0.45, 0.4
SHARED = 1.0

#: Clear paper at the edge of a sheet no printer reaches [in], and the head of a sheet [in].
EDGE = 0.5
HEAD = 1.45

#: Room the words above a slot take [in].
LETTERING = 1.4

#: The bar that is measured before anything is cut [in].
BAR = 6


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet laid level [in]."""

    name: str
    width: float
    height: float

    @property
    def wide(self) -> float:
        """What can be printed across [in]."""
        return self.width - 2 * EDGE

    @property
    def high(self) -> float:
        """What can be printed up and down [in]."""
        return self.height - 2 * EDGE


LETTER = Paper("Letter", 11.0, 8.5)
A4 = Paper("A4", 297 / 25.4, 210 / 25.4)


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot of a unit: its middle and width along the panel from the unit's end [in]; at the ends of the unit only
    the half inside it is cut."""

    number: int
    middle: float
    width: float

    def edges(self, unit: float) -> tuple[float, float]:
        """Where it is cut, within the unit [in]."""
        return max(self.middle - self.width / 2, 0.0), min(self.middle + self.width / 2, unit)


@dataclass(frozen=True, slots=True)
class Tile:
    """A part of the strip on one row of a sheet: from and to along the panel [in]."""

    start: float
    end: float


# -- where things are ------------------------------------------------------------------------------
def slots(bend: Bend) -> tuple[Slot, ...]:
    """The slots of a unit: half ones at both its ends, and one midway between each two webs."""
    count = bend.cells
    return tuple(Slot(k, k * bend.web, bend.slot) for k in range(count + 1))


def webs(bend: Bend) -> tuple[float, ...]:
    """Webs of a unit: in the middle of each cell [in from its end]."""
    return tuple((k + 0.5) * bend.web for k in range(bend.cells))


def tiles(unit: float, wide: float) -> tuple[Tile, ...]:
    """The strip of a unit cut into tiles no wider than a sheet, each sharing an inch with the next."""
    count = max(math.ceil((unit - SHARED) / (wide - SHARED) - 1e-9), 1)
    step = (unit - SHARED) / count
    return tuple(Tile(k * step, min(k * step + step + SHARED, unit)) for k in range(count))


def rows_on(paper: Paper) -> int:
    """How many tiles fit above each other on a sheet."""
    return max(int((paper.high - HEAD) / (ABOVE + STRIP + BELOW) + 1e-9), 1)


# -- drawing ----------------------------------------------------------------------------------------
def pages(arc: ArcLeg, paper: Paper = LETTER) -> tuple[Scene, ...]:
    """The template of a bent leg as drawings, one for each sheet, each to be printed at full size."""
    parts, each = tiles(arc.bend.unit, paper.wide), rows_on(paper)
    sheets = [parts[k : k + each] for k in range(0, len(parts), each)]
    return tuple(_page(arc, paper, sheet, k * each, (k + 1, len(sheets)), parts) for k, sheet in enumerate(sheets))


def _page(
    arc: ArcLeg, paper: Paper, own: Sequence[Tile], first: int, number: tuple[int, int], parts: Sequence[Tile]
) -> Scene:
    shapes: list[Shape] = _head(arc, paper, number)
    top = paper.high - HEAD
    for k, tile in enumerate(own):
        base = top - k * (ABOVE + STRIP + BELOW) - ABOVE - STRIP
        shapes += _tile(arc.bend, tile, base)
        shapes += _matches(tile, base, first + k, len(parts))
    bend, (sheet, of) = arc.bend, number
    said = f"slots of {sixteenths(bend.slot)} at every {bend.web:g} in of a unit {bend.unit:g} in long"
    return Scene(
        title=f"Slot template for {arc.name}, sheet {sheet} of {of}",
        description=f"Full-size strip of the {arc.slotted} panel: {said}. Print at full size, {paper.name} laid level.",
        shapes=tuple(shapes),
        scale_pt_per_in=FULL_SIZE,
        key=f"slots-{arc.name}-{sheet}",
        margin_pt=0.0,
    )


def _head(arc: ArcLeg, paper: Paper, number: tuple[int, int]) -> list[Shape]:
    """The frame that keeps the size of the sheet, what this is, and the bar to be measured first."""
    bend, high, wide = arc.bend, paper.high, paper.wide
    what = f"{arc.name}: slots in the {arc.slotted} panel, sheet {number[0]} of {number[1]}"
    other = (
        "The other panel is left whole."
        if bend.way is BendWay.SKIN_KEPT
        else "Cut the other panel through opposite each slot."
    )
    cut = f"{sixteenths(bend.slot)} wide ({bend.slot:.3f} in), through the foam, clear of the webs"
    words = [
        (high - 0.2, what, 11.0, True),
        (high - 0.42, f"{cut}; at the ends of a unit half of one.", 8.5, False),
        (high - 0.6, f"{other} Check the webs of one unit against the strip before the first cut.", 8.5, False),
        (
            high - 0.95,
            f"Measure this bar: {BAR} inches. Cut the strips out, join them at the letters, lay them along the panel.",
            8.5,
            True,
        ),
    ]
    bar, base = [], high - 1.25
    for inch in range(BAR + 1):
        bar.append(Line(0.1 + inch, base, 0.1 + inch, base + (0.14 if inch in (0, 1, BAR) else 0.08)))
    return [
        Path(((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), closed=True, stroke=Stroke.THIN),
        *(Text(0.1, y, text, size, anchor="start", bold=bold) for y, text, size, bold in words),
        Line(0.1, base, 0.1 + BAR, base, Stroke.HEAVY),
        *bar,
        Text(0.6, base - 0.09, "1 in", 7.0),
        Text(0.1 + BAR, base - 0.09, f"{BAR} in", 7.0),
    ]


def _tile(bend: Bend, tile: Tile, base: float) -> list[Shape]:
    """One row: the outline of the strip, slots, webs and the distances from the unit's end."""
    top, long = base + STRIP, tile.end - tile.start
    out: list[Shape] = [Line(0.0, base, long, base), Line(0.0, top, long, top)]
    for at, stroke in ((0.0, tile.start <= 0), (long, tile.end >= bend.unit)):
        out.append(Line(at, base, at, top, Stroke.VISIBLE if stroke else Stroke.HIDDEN))
    for slot in slots(bend):
        out += _slot(bend, slot, tile, base)
    for web in webs(bend):
        if tile.start < web < tile.end:
            x = web - tile.start
            out.append(Line(x, base, x, top, Stroke.CENTRE))
            out.append(Text(x, base + STRIP / 2, "web", 6.5, rotate=90.0, dx_pt=6.0))
    return out


def _slot(bend: Bend, slot: Slot, tile: Tile, base: float) -> list[Shape]:
    """The cut lines of a slot that lie on a tile, and above it its number, width and place where all of it does."""
    low, high = slot.edges(bend.unit)
    out: list[Shape] = [
        Line(x - tile.start, base, x - tile.start, base + STRIP, Stroke.HEAVY)
        for x in (low, high)
        if tile.start <= x <= tile.end
    ]
    if not (tile.start <= low and high <= tile.end):
        return out
    half = slot.number in (0, bend.cells) and high - low < slot.width - 1e-9
    width = f"half of {sixteenths(slot.width)}" if half else sixteenths(slot.width)
    long, x = tile.end - tile.start, (low + high) / 2 - tile.start
    anchor = "start" if x < LETTERING / 2 else "end" if x > long - LETTERING / 2 else "middle"
    x = {"start": 0.03, "middle": x, "end": long - 0.03}[anchor]
    return [
        *out,
        Line(low - tile.start, base, high - tile.start, base + STRIP, Stroke.THIN),
        Text(x, base + STRIP + 0.27, f"slot {slot.number}: {width}", 7.5, anchor=anchor, bold=True),
        Text(x, base + STRIP + 0.12, f"middle at {_at(slot.middle)}", 7.0, anchor=anchor),
    ]


def _matches(tile: Tile, base: float, index: int, count: int) -> list[Shape]:
    """Letters in the middle of what two tiles share: the same letter and the same line on both."""
    out: list[Shape] = []
    for k, here in ((index - 1, SHARED / 2), (index, tile.end - tile.start - SHARED / 2)):
        if 0 <= k < count - 1:
            out.append(Line(here, base - 0.3, here, base + 0.15, Stroke.THIN))
            out.append(Symbol(here, base - 0.2, Sign.ROUND, _letter(k), 9.0))
    return out


def _letter(index: int) -> str:
    return chr(ord("A") + index) if index < 26 else str(index + 1)


def _at(inches: float) -> str:
    return sixteenths(inches)
