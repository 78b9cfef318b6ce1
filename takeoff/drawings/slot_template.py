"""Full-size cutting template of a unit bent to a radius: a strip of its panel, tiled over sheets of paper.

One inch of drawing is one inch of foam. Printed at full size, cut out and joined at the match marks, the strip is laid
along the panel and the slots are marked through it. The bar of six inches on every sheet tells whether the printer
has kept the size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

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

#: How far the strips stand off the frame of the sheet, so that their ends are seen [in].
INSET = 0.12

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

    @property
    def strip(self) -> float:
        """Longest strip that lies on it [in]."""
        return self.wide - 2 * INSET


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

    def on_sheet(self, at: float) -> float:
        """Where on a sheet a place along the panel lies [in from the frame]."""
        return INSET + at - self.start


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
    parts, each = tiles(arc.bend.unit, paper.strip), rows_on(paper)
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
        shapes.append(_name(arc, tile, base, f"{arc.name}, strip {first + k + 1} of {len(parts)}"))
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
        bar.append(Line(INSET + inch, base, INSET + inch, base + (0.14 if inch in (0, 1, BAR) else 0.08)))
    return [
        Path(((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), closed=True, stroke=Stroke.THIN),
        *(Text(INSET, y, text, size, anchor="start", bold=bold) for y, text, size, bold in words),
        Line(INSET, base, INSET + BAR, base, Stroke.HEAVY),
        *bar,
        Text(INSET + 1, base - 0.09, "1 in", 7.0),
        Text(INSET + BAR, base - 0.09, f"{BAR} in", 7.0),
    ]


def _tile(bend: Bend, tile: Tile, base: float) -> list[Shape]:
    """One row: the outline of the strip, slots, webs and the distances from the unit's end."""
    top, near, far = base + STRIP, tile.on_sheet(tile.start), tile.on_sheet(tile.end)
    out: list[Shape] = [Line(near, base, far, base), Line(near, top, far, top)]
    for x, ends in ((near, tile.start <= 0), (far, tile.end >= bend.unit)):
        out.append(Line(x, base, x, top, Stroke.VISIBLE if ends else Stroke.HIDDEN))
    for slot in slots(bend):
        out += _slot(bend, slot, tile, base)
    for web in webs(bend):
        if tile.start < web < tile.end:
            x = tile.on_sheet(web)
            out.append(Line(x, base, x, top, Stroke.CENTRE))
            out.append(Text(x, base + STRIP / 2, "web", 6.5, rotate=90.0, dx_pt=6.0))
    return out


def _slot(bend: Bend, slot: Slot, tile: Tile, base: float) -> list[Shape]:
    """The cut lines of a slot that lie on a tile, and above it its number, width and place where all of it does."""
    low, high = slot.edges(bend.unit)
    out: list[Shape] = [
        Line(tile.on_sheet(x), base, tile.on_sheet(x), base + STRIP, Stroke.HEAVY)
        for x in (low, high)
        if tile.start <= x <= tile.end
    ]
    if not (tile.start <= low and high <= tile.end):
        return out
    half = slot.number in (0, bend.cells) and high - low < slot.width - 1e-9
    width = f"half of {sixteenths(slot.width)}" if half else sixteenths(slot.width)
    near, x, far = tile.on_sheet(tile.start), tile.on_sheet((low + high) / 2), tile.on_sheet(tile.end)
    anchor = "start" if x < near + LETTERING / 2 else "end" if x > far - LETTERING / 2 else "middle"
    x = {"start": near, "middle": x, "end": far}[anchor]
    return [
        *out,
        Line(tile.on_sheet(low), base, tile.on_sheet(high), base + STRIP, Stroke.THIN),
        Text(x, base + STRIP + 0.27, f"slot {slot.number}: {width}", 7.5, anchor=anchor, bold=True),
        Text(x, base + STRIP + 0.12, f"middle at {_at(slot.middle)}", 7.0, anchor=anchor),
    ]


def _name(arc: ArcLeg, tile: Tile, base: float, words: str) -> Text:
    """What a strip is when it is cut out, where it is widest between slots and webs."""
    marks = [x for slot in slots(arc.bend) for x in slot.edges(arc.bend.unit)] + [*webs(arc.bend)]
    inside = sorted({tile.start, tile.end, *(x for x in marks if tile.start < x < tile.end)})
    low, high = max(pairwise(inside), key=lambda pair: pair[1] - pair[0])
    return Text(tile.on_sheet((low + high) / 2), base + STRIP - 0.2, words, 7.5)


def _matches(tile: Tile, base: float, index: int, count: int) -> list[Shape]:
    """Letters in the middle of what two tiles share: the same letter and the same line on both."""
    out: list[Shape] = []
    for k, at in ((index - 1, tile.start + SHARED / 2), (index, tile.end - SHARED / 2)):
        if 0 <= k < count - 1:
            here = tile.on_sheet(at)
            out.append(Line(here, base - 0.3, here, base + 0.15, Stroke.THIN))
            out.append(Symbol(here, base - 0.2, Sign.ROUND, _letter(k), 9.0))
    return out


def _letter(index: int) -> str:
    return chr(ord("A") + index) if index < 26 else str(index + 1)


def _at(inches: float) -> str:
    return sixteenths(inches)
