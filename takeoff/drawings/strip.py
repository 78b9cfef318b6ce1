"""The strip below a drawing: caption, arrow to the top of the paper plan, bar scale, key to lines and hatches."""

from __future__ import annotations

from dataclasses import dataclass, replace

from takeoff.drawings.lettering import width_of
from takeoff.drawings.marks import Ink, Lettering, Segment, polyline
from takeoff.drawings.scene import Hatch, Legend, Scene, Stroke
from takeoff.drawings.signs import sign

CAPTION_HEIGHT = 9.0
KEY_HEIGHT = 6.6
SAMPLE = 20.0
ROW = 13.0

#: Bar scales [ft]: the largest not longer than a third of the strip is drawn.
BAR_FEET = (50, 20, 10, 5, 2, 1)


@dataclass(frozen=True, slots=True)
class Strip:
    """Marks from (0, 0) down and to the right, and how high they are [pt]."""

    marks: tuple[Ink | Lettering, ...]
    height: float


def strip(scene: Scene, scale: float, width: float) -> Strip:
    """Everything the scene asks for below its drawing, wrapped to ``width`` [pt]."""
    marks: list[Ink | Lettering] = []
    y = 0.0
    x = 0.0
    if scene.up_arrow:
        marks += _up_arrow(9, 11, scene.up_arrow)
        x = 24.0
    if scene.caption:
        marks.append(Lettering(x, 6, scene.caption, CAPTION_HEIGHT, anchor="start", bold=True))
        y = 16.0
    if scene.scale_bar:
        beside = x + width_of(scene.caption, CAPTION_HEIGHT, True) + 20
        room = min(width / 3, 150.0)
        at = (beside, 9.0) if beside + room + 20 < width else (x, y + 10)
        marks += _bar(at[0], at[1], scale, room)
        y = max(y, at[1] + 8)
    if scene.up_arrow:
        y = max(y, 32.0)
    if scene.legend:
        y += 4
        entries, y = _key(scene.legend, y, width)
        marks += entries
    return Strip(tuple(marks), y if marks else 0.0)


def _up_arrow(x: float, y: float, word: str) -> list[Ink | Lettering]:
    return [
        polyline(((x, y + 10), (x, y - 9)), Stroke.VISIBLE),
        polyline(((x, y - 11), (x - 3.4, y - 2), (x + 3.4, y - 2)), None, True, solid=True),
        Lettering(x, y + 15, word, 6.0),
    ]


def _bar(x: float, y: float, scale: float, room: float) -> list[Ink | Lettering]:
    feet = next((f for f in BAR_FEET if f * 12 * scale <= room), BAR_FEET[-1])
    length = feet * 12 * scale
    half = length / 2
    out: list[Ink | Lettering] = [
        polyline(((x, y), (x + half, y), (x + half, y + 3), (x, y + 3)), None, True, solid=True),
        polyline(((x + half, y), (x + length, y), (x + length, y + 3), (x + half, y + 3)), Stroke.VISIBLE, True),
    ]
    middle = f"{feet // 2}" if feet % 2 == 0 else f"{feet // 2}'-6\""
    labels = ((0.0, "0"), (half, middle if feet % 2 else f"{middle}'"), (length, f"{feet}'"))
    out += [Lettering(x + at, y - 5, text, 6.0) for at, text in labels]
    return out


def _key(legend: tuple[Legend, ...], y: float, width: float) -> tuple[list[Ink | Lettering], float]:
    out: list[Ink | Lettering] = []
    x, top = 0.0, y
    for entry in legend:
        need = SAMPLE + 4 + width_of(entry.label, KEY_HEIGHT) + 12
        if x and x + need - 12 > width:
            x, top = 0.0, top + ROW
        out += _sample(entry, x, top)
        out.append(Lettering(x + SAMPLE + 4, top + 4, entry.label, KEY_HEIGHT, anchor="start"))
        x += need
    return out, top + ROW - 2


def _sample(entry: Legend, x: float, y: float) -> list[Ink | Lettering]:
    if entry.mark is not None:
        return list(sign(entry.mark, x + SAMPLE / 2, y + 4, 5.5, entry.text, 0.0, entry.warn))
    if entry.hatch is Hatch.NONE and not entry.wash:
        return [polyline(((x, y + 4), (x + SAMPLE, y + 4)), entry.stroke, warn=entry.warn)]
    start, *rest = ((x, y), (x + SAMPLE, y), (x + SAMPLE, y + 8), (x, y + 8))
    box = Ink(start, tuple(Segment(p) for p in rest), True, entry.stroke, entry.hatch, extent=(start, *rest))
    return [replace(box, warn=entry.warn, wash=entry.wash)]
