"""A scene written as one canonical SVG string, the same for the screen and for paper.

Presentation attributes only, every id prefixed with the drawing's key, attributes sorted, numbers trimmed: equal
drawings are equal strings. The sheet is an opaque rectangle of paper, so it reads on light and dark pages alike.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from itertools import groupby
from typing import Literal
from xml.etree import ElementTree as ET

from takeoff.drawings.compose import Sheet, fit
from takeoff.drawings.lettering import width_of
from takeoff.drawings.marks import Group, Ink, Lettering, Marking, extent_of
from takeoff.drawings.scene import Hatch, Scene
from takeoff.drawings.style import ACCENT, FONT, INK, PAPER, PATTERNS, PENS, TONE, TONES, Pattern

#: What a page gives to turn a link's key into an address; None leaves that link plain.
Resolver = Callable[[str], str | None]

POINTS_PER_PIXEL = 0.75
#: A thumb needs 44 px.
TOUCH = 44 * POINTS_PER_PIXEL


def render(
    scene: Scene,
    width: float,
    unit: Literal["px", "pt"] = "px",
    link: Resolver | None = None,
    height: float | None = None,
) -> str:
    """Write a scene ``width`` wide (and at most ``height`` high), in screen pixels or in points on paper.

    With ``link``, parts that lead somewhere become links with a touch area of 44 px or more; without, they are
    plain groups, as on paper.
    """
    to_pt = POINTS_PER_PIXEL if unit == "px" else 1.0
    sheet = fit(scene, width * to_pt, None if height is None else height * to_pt)
    return _Writer(scene, sheet, link).write(to_pt, unit, width)


def number(value: float) -> str:
    """Two decimals at most, no trailing zeros, no negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def safe_id(key: str) -> str:
    """A key fit for an id and for use inside url(#...)."""
    cleaned = re.sub(r"[^A-Za-z0-9_-]+", "-", key).strip("-") or "drawing"
    return cleaned if cleaned[0].isalpha() else f"d-{cleaned}"


class _Writer:
    """Builds the element tree of one drawing."""

    def __init__(self, scene: Scene, sheet: Sheet, link: Resolver | None) -> None:
        self.scene, self.sheet, self.link = scene, sheet, link
        self.key = safe_id(scene.key)
        self.used: set[Hatch] = set()

    def write(self, to_pt: float, unit: str, asked: float) -> str:
        sheet = self.sheet
        width, height = max(sheet.right - sheet.left, asked * to_pt), sheet.bottom - sheet.top
        shift = (width - (sheet.right - sheet.left)) / 2
        suffix = "" if unit == "px" else unit
        root = ET.Element("svg", self._root(width, height, to_pt, suffix))
        _child(root, "title", id=f"{self.key}-title").text = self.scene.title
        _child(root, "desc", id=f"{self.key}-desc").text = self.scene.description
        defs = _child(root, "defs")
        _child(root, "rect", x=0, y=0, width=width, height=height, fill=PAPER)
        body = _child(root, "g", transform=f"translate({number(shift - sheet.left)} {number(-sheet.top)})", fill="none")
        self._marks(body, sheet.marks)
        for hatch in sorted(self.used):
            self._pattern(defs, hatch)
        if not len(defs):
            root.remove(defs)
        return ET.tostring(root, encoding="unicode")

    def _root(self, width: float, height: float, to_pt: float, suffix: str) -> dict[str, str]:
        # Links inside an image would be hidden from those who listen to the page, so it is a group then.
        return dict(
            sorted(
                {
                    "xmlns": "http://www.w3.org/2000/svg",
                    "viewBox": f"0 0 {number(width)} {number(height)}",
                    "width": number(width / to_pt) + suffix,
                    "height": number(height / to_pt) + suffix,
                    "role": "group" if self.link and self._has_links() else "img",
                    "aria-labelledby": f"{self.key}-title {self.key}-desc",
                    "id": self.key,
                    "font-family": FONT,
                }.items()
            )
        )

    def _has_links(self) -> bool:
        return any(isinstance(mark, Group) for mark in self.sheet.marks)

    def _marks(self, parent: ET.Element, marks: Iterable[Marking]) -> None:
        """Neighbouring plain inks of one pen share a path."""

        def pen(mark: Marking) -> object:
            return (mark.stroke, mark.warn) if isinstance(mark, Ink) and mark.plain else id(mark)

        for _, run in groupby(marks, key=pen):
            first, *rest = run
            if isinstance(first, Ink):
                self._ink(parent, first, [m for m in rest if isinstance(m, Ink)])
            elif isinstance(first, Lettering):
                self._lettering(parent, first)
            else:
                self._group(parent, first)

    def _ink(self, parent: ET.Element, ink: Ink, rest: list[Ink]) -> None:
        if ink.stroke is None and ink.hatch is Hatch.NONE and not ink.solid:
            return  # only there to be tapped
        d = "".join(_path_data(each) for each in (ink, *rest))
        ground = TONE if ink.wash else PATTERNS[ink.hatch].ground if ink.hatch in PATTERNS else ""
        if ground:
            _child(parent, "path", d=d, fill=ground)
        attributes: dict[str, str | float] = {"d": d, **self._fill(ink)}
        if ink.stroke is not None:
            pen = PENS[ink.stroke]
            attributes |= {"stroke": ACCENT if ink.warn else pen.colour, "stroke-width": pen.width}
            attributes |= {"stroke-dasharray": pen.dash} if pen.dash else {}
            attributes |= {"stroke-linejoin": "round"}
        _child(parent, "path", **attributes)

    def _fill(self, ink: Ink) -> dict[str, str | float]:
        if ink.solid:
            return {"fill": ACCENT if ink.warn else INK}
        if ink.hatch in TONES:
            return {"fill": TONES[ink.hatch]}
        if ink.hatch in PATTERNS:
            self.used.add(ink.hatch)
            return {"fill": f"url(#{self.key}-{ink.hatch.value})"}
        return {}

    def _lettering(self, parent: ET.Element, text: Lettering) -> None:
        turn = f"rotate({number(text.angle)} {number(text.x)} {number(text.y)})" if number(text.angle) != "0" else ""
        if text.halo:
            self._halo(parent, text, turn)
        attributes: dict[str, str | float] = {
            "x": text.x,
            "y": text.y + text.height * 0.35,
            "font-size": text.height,
            "fill": ACCENT if text.warn else INK,
            "text-anchor": text.anchor,
        }
        attributes |= {"font-weight": "bold"} if text.bold else {}
        attributes |= {"transform": turn} if turn else {}
        _child(parent, "text", **attributes).text = text.text

    def _halo(self, parent: ET.Element, text: Lettering, turn: str) -> None:
        width = width_of(text.text, text.height, text.bold)
        left = text.x - {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
        box: dict[str, str | float] = {
            "x": left - 0.6, "y": text.y - text.height * 0.5, "width": width + 1.2,
            "height": text.height, "fill": PAPER,
        }  # fmt: skip
        _child(parent, "rect", **(box | ({"transform": turn} if turn else {})))

    def _group(self, parent: ET.Element, group: Group) -> None:
        address = self.link(group.key) if self.link else None
        if address is None:
            holder = _child(parent, "g")
        else:
            holder = _child(parent, "a", **{"href": address, "aria-label": group.title})
        _child(holder, "title").text = group.title
        self._marks(holder, group.marks)
        if address is not None:
            self._touch(holder, group)

    def _touch(self, holder: ET.Element, group: Group) -> None:
        """What a thumb may hit: each closed outline itself; where none is big enough, 44 px around the largest."""
        outlines = [m for m in group.marks if isinstance(m, Ink) and m.closed and not m.solid]
        boxes = [extent_of([m]) for m in outlines] or [extent_of(group.marks)]
        for outline in outlines:
            if outline.hatch is Hatch.NONE:
                _child(holder, "path", d=_path_data(outline), fill="#fff", **{"fill-opacity": "0"})
        if any(right - left >= TOUCH - 0.1 and bottom - top >= TOUCH - 0.1 for left, top, right, bottom in boxes):
            return
        left, top, right, bottom = max(boxes, key=lambda b: (b[2] - b[0]) * (b[3] - b[1]))
        wide, high = max(TOUCH, right - left), max(TOUCH, bottom - top)
        _child(
            holder, "rect", x=(left + right - wide) / 2, y=(top + bottom - high) / 2, width=wide, height=high,
            fill="#fff", **{"fill-opacity": "0"},
        )  # fmt: skip

    def _pattern(self, defs: ET.Element, hatch: Hatch) -> None:
        tile: Pattern = PATTERNS[hatch]
        holder = _child(
            defs, "pattern", id=f"{self.key}-{hatch.value}", patternUnits="userSpaceOnUse", x=0, y=0,
            width=tile.width, height=tile.height,
        )  # fmt: skip
        if tile.lines:
            _child(holder, "path", d=tile.lines, fill="none", stroke=tile.colour, **{"stroke-width": tile.weight})
        for x, y, radius, filled in tile.dots:
            look = (
                {"fill": tile.colour}
                if filled
                else {"fill": "none", "stroke": tile.colour, "stroke-width": number(tile.weight)}
            )
            _child(holder, "circle", cx=x, cy=y, r=radius, **look)


def _path_data(ink: Ink) -> str:
    out = [f"M{_point(ink.start)}"]
    for segment in ink.segments:
        if segment.radius is None:
            out.append(f"L{_point(segment.to)}")
        else:
            r = number(segment.radius)
            out.append(f"A{r} {r} 0 {int(segment.large)} {int(segment.clockwise)} {_point(segment.to)}")
    return "".join(out) + ("Z" if ink.closed else "")


def _point(point: tuple[float, float]) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _child(parent: ET.Element, tag: str, **attributes: str | float) -> ET.Element:
    texts = {name: value if isinstance(value, str) else number(value) for name, value in attributes.items()}
    return ET.SubElement(parent, tag, dict(sorted(texts.items())))
