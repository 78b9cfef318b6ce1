"""Bars on a drawing: laps drawn side by side, and what steel it is in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from takeoff.results import Bar, BarRole

#: Bars that lap are drawn this far apart [in].
ASIDE = 1.75

ROLE_WORDS = {
    BarRole.FOOTING: "along the footing",
    BarRole.FOOTING_CORNER: "footing corners",
    BarRole.DOWEL: "dowels",
    BarRole.PROJECTING: "frost wall verticals, projecting",
    BarRole.VERTICAL: "verticals",
    BarRole.HORIZONTAL: "horizontals",
    BarRole.CORNER: "corner bars",
    BarRole.OPENING: "around openings",
    BarRole.LINTEL: "lintels",
    BarRole.STIRRUP: "stirrups",
    BarRole.LEDGE: "along brick ledges",
    BarRole.PAD: "in pads",
}


def bar_words(bars: Sequence[Bar]) -> list[str]:
    """What steel is drawn: size, role, number of bars, marks; a line for each role and size."""
    kinds = dict.fromkeys((bar.role, bar.size) for bar in bars)
    out = []
    for role, size in kinds:
        own = [bar for bar in bars if (bar.role, bar.size) == (role, size)]
        marks = ", ".join(dict.fromkeys(bar.mark for bar in own))
        out.append(f"{sum(bar.count for bar in own)} #{size} {ROLE_WORDS[role]} ({marks})")
    return out


def beside_laps(places: Iterable[tuple[float, float, float, float]]) -> list[tuple[float, float, float, float]]:
    """Upright and level lines [in], each moved aside until it lies on none before it."""
    taken: dict[tuple[bool, float], list[tuple[float, float]]] = {}
    out = []
    for x0, y0, x1, y1 in places:
        upright = x0 == x1
        at, low, high = (x0, *sorted((y0, y1))) if upright else (y0, *sorted((x0, x1)))
        shift = 0.0
        while any(a < high and low < b for a, b in taken.get((upright, at + shift), ())):
            shift += ASIDE
        taken.setdefault((upright, at + shift), []).append((low, high))
        out.append((x0 + shift, y0, x1 + shift, y1) if upright else (x0, y0 + shift, x1, y1 + shift))
    return out
