"""Drawings on paper: the same SVG string the screen shows, set into a PDF page directly.

The PDF engine sets every letter of an SVG text on its own and reads every pen anew, which takes seconds for a house
with a dozen elevations. What :mod:`takeoff.drawings.svg` writes is a small, fixed part of SVG: one group of paths,
rectangles and lines of lettering, hatches as tiles. That part is drawn here and nothing else is understood.
Importing this module needs Pango.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree as ET

from weasyprint.css.properties import INITIAL_VALUES
from weasyprint.draw.text import draw_first_line
from weasyprint.matrix import Matrix
from weasyprint.svg.text import Style, TextBox
from weasyprint.svg.utils import color
from weasyprint.text.fonts import FontConfiguration
from weasyprint.text.line_break import split_first_line

from takeoff.drawings.style import PAPER

#: The face of the drawings that is shipped; all faces they name are drawn to the same widths.
FACE = "Arimo"
MOST_LINES = 5_000
#: CSS pixels in a point.
PX = 96 / 72
_JOINS = {"miter": 0, "round": 1, "bevel": 2}
_COMMANDS = re.compile(r"([MLCAZ])([^MLCAZ]*)")
_WRITTEN = {"M": "m", "L": "l", "C": "c", "Z": "h"}
_NUMBERS = re.compile(r"-?[\d.]+")

Stream = Any
Attributes = dict[str, str]


class Lettering:
    """Lines of text laid out once each: many units carry the same mark. At most :data:`MOST_LINES` are kept."""

    def __init__(self, fonts: FontConfiguration) -> None:
        self._fonts = fonts
        self._kept: dict[tuple[str, float, int], tuple[TextBox, float]] = {}

    def line(self, text: str, size: float, weight: int) -> tuple[TextBox, float]:
        """The text ready to be drawn, and its width."""
        key = text, size, weight
        if key not in self._kept:
            if len(self._kept) >= MOST_LINES:
                self._kept.clear()
            style = Style(INITIAL_VALUES)
            style.font_config = self._fonts
            style.update(font_family=[FACE], font_weight=weight, font_size=size)
            layout, _, _, width, _, baseline = split_first_line(text, style, None, math.inf, 0)
            layout.reactivate(style)
            box = TextBox(layout, style)
            box.baseline = baseline
            self._kept[key] = box, width
        return self._kept[key]


#: What was written into a document for a line of text: text, size and weight -> its operators.
Written = dict[tuple[str, float, int], list[Any]]


class Drawing:
    """One of our drawings as an image of the page; its size is its own, in points. Drawings of one document share
    what was ``written`` for their lettering, which is the same however often it stands there."""

    def __init__(self, svg: str, lettering: Lettering, written: Written) -> None:
        self._root = ET.fromstring(svg)
        self._lettering, self._written = lettering, written
        self._width, self._height = (float(n) for n in self._root.attrib["viewBox"].split()[2:])

    def get_intrinsic_size(self, *_: object) -> tuple[float, float, float]:
        """Width and height in CSS pixels, and their ratio: what the PDF engine asks of an image."""
        return self._width * PX, self._height * PX, self._width / self._height

    def draw(self, stream: Stream, width: float, height: float, _style: object) -> None:
        """Draws it ``width`` by ``height`` pixels at the stream's origin."""
        stream.push_state()
        stream.transform(a=width / self._width, d=height / self._height)
        tiles = {tile.attrib["id"]: tile for tile in self._root.iter("{http://www.w3.org/2000/svg}pattern")}
        _Pen(stream, tiles, self._lettering, self._written).all_of(self._root)
        stream.pop_state()


class Stamp:
    """A page laid out before, set into the pages of a document as one object: drawn once, however often it is shown."""

    def __init__(self, page: Any) -> None:
        self._page = page
        self._drawn = ""  # its name in the document

    def get_intrinsic_size(self, *_: object) -> tuple[float, float, float]:
        """Width and height in CSS pixels, and their ratio."""
        return self._page.width, self._page.height, self._page.width / self._page.height

    def draw(self, stream: Stream, width: float, height: float, _style: object) -> None:
        """Sets it at the stream's origin, at its own size."""
        if not self._drawn:
            group = stream.add_group(0, 0, width, height)
            del group.extra["Group"]  # nothing of it shows through
            group._tags = None  # what is on every page is no part of the text that is read out
            self._page.paint(group)
            self._drawn = group.id
        stream.draw_x_object(self._drawn)


class _Pen:
    """Draws the elements of one drawing in order."""

    def __init__(self, stream: Stream, tiles: dict[str, ET.Element], lettering: Lettering, written: Written) -> None:
        self.stream, self.tiles, self.lettering, self.written = stream, tiles, lettering, written
        self.hatches: dict[str, str] = {}  # id of a tile -> name of the pattern in the page

    def all_of(self, parent: ET.Element) -> None:
        """Everything drawn in a group."""
        for element in parent:
            own, tag = element.attrib, element.tag.rpartition("}")[2]
            if tag == "path":
                self.path(path_data(own["d"]), own)
            elif tag == "rect":
                x, y, wide, high = own["x"], own["y"], own["width"], own["height"]
                self.path(f"{x} {y} {wide} {high} re", own)
            elif tag == "text":
                self.text(element.text or "", own)
            elif tag == "g":
                self.group(element)

    def group(self, element: ET.Element) -> None:
        """A group, moved where it says."""
        self.stream.push_state()
        _move(self.stream, element.attrib.get("transform", ""))
        kept, self.hatches = self.hatches, {}
        self.all_of(element)
        self.hatches = kept
        self.stream.pop_state()

    def path(self, data: str, own: Attributes) -> None:
        """Fills and strokes one path."""
        fill, stroke = own.get("fill", "none"), own.get("stroke")
        if own.get("fill-opacity") == "0" or (fill == "none" and stroke is None):
            return
        hatched, turned = fill.startswith("url(#"), "transform" in own
        if hatched or turned:
            self.stream.push_state()
            _move(self.stream, own.get("transform", ""))
        if hatched:
            name = self.hatch(fill[5:-1])
            self.stream.set_color_space("Pattern")
            self.stream.set_color_special(name)
        elif fill != "none":
            self.stream.set_color(_ink(fill))
        if stroke is not None:
            _set_pen(self.stream, stroke, own)
        self.stream.stream.append(data.encode())
        {(True, True): self.stream.fill_and_stroke, (True, False): self.stream.fill}.get(
            (fill != "none", stroke is not None), self.stream.stroke
        )()
        if hatched or turned:
            self.stream.pop_state()

    def hatch(self, tile_id: str) -> str:
        """Name of a hatch in the page; its tile is made once for a drawing."""
        if tile_id not in self.hatches:
            tile = self.tiles[tile_id]
            wide, high = float(tile.attrib["width"]), float(tile.attrib["height"])
            pattern = self.stream.add_pattern(0, 0, wide, high, wide, high, self.stream.ctm)
            for element in tile:
                own = element.attrib
                data = path_data(own["d"]) if "d" in own else _circle(own)
                _Pen(pattern, {}, self.lettering, self.written).path(data, own)
            self.hatches[tile_id] = pattern.id
        return self.hatches[tile_id]

    def text(self, text: str, own: Attributes) -> None:
        """One line of lettering; runs of spaces are one, as on the screen."""
        text = " ".join(text.split())
        if not text:
            return
        key = text, float(own["font-size"]), 700 if "font-weight" in own else 400
        box, width = self.lettering.line(*key)
        shift = {"middle": width / 2, "end": width}.get(own.get("text-anchor", ""), 0.0)
        self.stream.push_state()
        _move(self.stream, own.get("transform", ""))
        self.stream.set_color(_ink(own["fill"]))
        self.stream.begin_text()
        self.stream.set_text_rendering(0)
        matrix = Matrix(d=-1, e=float(own["x"]) - shift, f=float(own["y"]))
        if key in self.written:
            self.stream.set_text_matrix(*matrix.values)
            self.stream.stream.extend(self.written[key])
        else:
            before = len(self.stream.stream)
            self.stream._current_font = None  # so that the font is named
            draw_first_line(self.stream, box, "none", "none", matrix)
            self.written[key] = self.stream.stream[before + 1 :]  # all but where it stands
        self.stream.end_text()
        self.stream.pop_state()


@lru_cache(maxsize=64)
def _ink(name: str) -> Any:
    """The colour of a name; the tone of the sheet on a screen is left to the paper that is printed on."""
    return color("#fff" if name == PAPER else name)


def _set_pen(stream: Stream, stroke: str, own: Attributes) -> None:
    stream.set_color(_ink(stroke), stroke=True)
    stream.set_line_width(float(own.get("stroke-width", "1")))
    stream.set_dash(tuple(float(each) for each in own.get("stroke-dasharray", "").split()), 0)
    stream.set_line_join(_JOINS[own.get("stroke-linejoin", "miter")])


def _move(stream: Stream, transform: str) -> None:
    """'translate(x y)' or 'rotate(angle x y)'."""
    numbers = [float(n) for n in _NUMBERS.findall(transform)]
    if transform.startswith("translate"):
        stream.transform(e=numbers[0], f=numbers[1])
    elif transform.startswith("rotate"):
        turn, x, y = math.radians(numbers[0]), numbers[1], numbers[2]
        cos, sin = math.cos(turn), math.sin(turn)
        stream.transform(cos, sin, -sin, cos, x - x * cos + y * sin, y - x * sin - y * cos)


# -- paths -------------------------------------------------------------------------------------------
def path_data(d: str) -> str:
    """SVG path data (absolute M, L, C, A, Z) as PDF path operators."""
    out: list[str] = []
    at = (0.0, 0.0)
    for command, rest in _COMMANDS.findall(d):
        if command == "A":
            radius, _, _, large, sweep, x, y = (float(n) for n in rest.split())
            out += arc_data(at, (x, y), radius, bool(large), bool(sweep))
            at = (x, y)
            continue
        out.append(f"{rest} {_WRITTEN[command]}" if rest else _WRITTEN[command])
        if command != "Z":
            *_, x_text, y_text = rest.split()
            at = (float(x_text), float(y_text))
    return " ".join(out)


def arc_data(
    start: tuple[float, float], end: tuple[float, float], radius: float, large: bool, sweep: bool
) -> Iterator[str]:
    """A circular arc as curves of at most a quarter turn, by SVG's rule for which of the four arcs is meant."""
    (x0, y0), (x1, y1) = start, end
    half = math.dist(start, end) / 2
    if half < 1e-9:
        return
    radius = max(radius, half)
    away = math.sqrt(max(radius * radius - half * half, 0.0)) * (-1 if large == sweep else 1)
    cx = (x0 + x1) / 2 - away * (y1 - y0) / (2 * half)
    cy = (y0 + y1) / 2 + away * (x1 - x0) / (2 * half)
    first = math.atan2(y0 - cy, x0 - cx)
    turn = (math.atan2(y1 - cy, x1 - cx) - first) % math.tau
    if not sweep:
        turn -= math.tau
    pieces = max(math.ceil(abs(turn) / (math.pi / 2) - 1e-9), 1)
    step = turn / pieces
    reach = 4 / 3 * math.tan(step / 4) * radius
    for n in range(pieces):
        a, b = first + n * step, first + (n + 1) * step
        points = (
            (cx + radius * math.cos(a) - reach * math.sin(a), cy + radius * math.sin(a) + reach * math.cos(a)),
            (cx + radius * math.cos(b) + reach * math.sin(b), cy + radius * math.sin(b) - reach * math.cos(b)),
            (cx + radius * math.cos(b), cy + radius * math.sin(b)),
        )
        yield " ".join(f"{x:.3f} {y:.3f}" for x, y in points) + " c"


def _circle(own: Attributes) -> str:
    x, y, r = float(own["cx"]), float(own["cy"]), float(own["r"])
    return path_data(f"M{x - r} {y}A{r} {r} 0 0 1 {x + r} {y}A{r} {r} 0 0 1 {x - r} {y}Z")
