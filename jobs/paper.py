"""Drawings on paper: the same SVG string the screen shows, drawn into a PDF page without detours.

The PDF engine sets every letter of an SVG text on its own and reads every colour anew, which takes seconds for a house
with a dozen elevations. Our drawings need little of SVG (see :mod:`takeoff.drawings.svg`): whole lines of lettering
and plain pens are drawn here in one go, the rest is left to the engine. Importing this module needs Pango.
"""

from __future__ import annotations

from functools import lru_cache
from math import inf
from typing import Any
from xml.etree import ElementTree as ET

from weasyprint.css.properties import INITIAL_VALUES
from weasyprint.draw.text import draw_first_line
from weasyprint.images import SVGImage
from weasyprint.matrix import Matrix
from weasyprint.svg import SVG
from weasyprint.svg.text import Style, TextBox
from weasyprint.svg.utils import color
from weasyprint.text.fonts import FontConfiguration
from weasyprint.text.line_break import split_first_line

#: The face of the drawings that is shipped; all faces they name are drawn to the same widths.
FACE = "Arimo"
_WORDS = ("title", "desc")
_JOINS = {"miter": 0, "round": 1, "bevel": 2}


@lru_cache(maxsize=64)
def _ink(name: str) -> Any:
    return color(name)


class Drawing(SVGImage):  # type: ignore[misc]
    """One of our drawings as an image of the page; its size is the drawing's own, in points."""

    def __init__(self, svg: str, font_config: FontConfiguration) -> None:
        super().__init__(ET.fromstring(svg), None, None, None)
        self._svg = _OurSVG(ET.fromstring(svg), None, font_config, None)


class _OurSVG(SVG):  # type: ignore[misc]
    """An SVG of our own making: presentation attributes only, one line of text per element."""

    def draw_node(self, node: Any, font_size: float, fill_stroke: bool = True, context: Any = None) -> None:
        """Draws one element; words for the screen reader are not drawn."""
        if node.tag == "text":
            self._letter(node)
        elif node.tag not in _WORDS:
            super().draw_node(node, font_size, fill_stroke, context)

    def set_graphical_state(self, node: Any, font_size: float, context: Any = None) -> tuple[Any, Any]:
        """Pens and even tones at once; hatches by the engine."""
        own = node._etree_node.get
        fill, stroke = own("fill"), own("stroke")
        if fill is None or fill.startswith("url"):
            return super().set_graphical_state(node, font_size, context)  # type: ignore[no-any-return]
        if fill != "none":
            self.stream.set_color(_ink(fill))
        if stroke:
            self.stream.set_color(_ink(stroke), stroke=True)
            self.stream.set_line_width(float(own("stroke-width", 1)))
            self.stream.set_dash(tuple(float(each) for each in own("stroke-dasharray", "").split()), 0)
            self.stream.set_line_join(_JOINS[own("stroke-linejoin", "miter")])
        return (None if fill == "none" else fill), stroke

    def _letter(self, node: Any) -> None:
        own = node._etree_node.get
        style = _style(float(own("font-size")), 700 if own("font-weight") == "bold" else 400, self.font_config)
        layout, _, _, width, _, baseline = split_first_line(node.text, style, None, inf, 0)
        x = float(own("x")) - {"middle": width / 2, "end": width}.get(own("text-anchor"), 0.0)
        box = TextBox(layout, style)
        box.baseline = baseline
        stream = self.stream
        stream.push_state()
        self.transform(node, style["font_size"])
        stream.set_color(_ink(own("fill")))
        stream.begin_text()
        layout.reactivate(style)
        stream.set_text_rendering(0)
        draw_first_line(stream, box, "none", "none", Matrix(d=-1, e=x, f=float(own("y"))))
        stream.end_text()
        stream.pop_state()


def _style(size: float, weight: int, font_config: FontConfiguration) -> Style:
    style = Style(INITIAL_VALUES)
    style.font_config = font_config
    style.update(font_family=[FACE], font_weight=weight, font_size=size)
    return style
