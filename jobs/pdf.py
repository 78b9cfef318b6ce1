"""HTML to PDF for hand-outs. WeasyPrint is imported when first asked, so that the program runs without Pango.

Pages come from our own templates, yet names and notes in them were typed by people: nothing is fetched but ``data:``
addresses and files of our static folder.
"""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree as ET

from cssselect2 import ElementWrapper
from django.conf import settings
from lxml import etree

from jobs.exceptions import AddressRefused, PdfUnavailable

STATIC = Path(settings.BASE_DIR) / "static"
STYLE = STATIC / "print.css"
#: What a Debian or Ubuntu machine lacks where WeasyPrint cannot start.
INSTALL_LINE = "sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0"
#: Address of a drawing in a page: ``drawing:`` and its name.
DRAWING = "drawing:"
DATA = "data:"
#: What runs through a document, the head on sheets that stand and on those that lie, and the foot: name of its drawing
#: and of its page in the style -> element of the page that is taken.
RUNNING = {"head-upright": "header", "head-across": "header", "foot": "footer"}
NOTHING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1" />'
_KEPT = threading.local()


def render_pdf(html: str, drawings: Mapping[str, str] | None = None, *, full_size: bool = False) -> bytes:
    """One PDF (tagged, PDF/UA-1) from a page, in the dress of ``print.css``. ``<img src="drawing:NAME">`` shows
    ``drawings[NAME]``, an SVG of ours. ``full_size`` asks whoever prints it not to fit the pages to the paper.

    Raises :class:`PdfUnavailable` where the machine lacks what WeasyPrint needs.
    """
    kit = _kit()
    root = _read(html)
    written: dict[Any, Any] = {}
    images = {DRAWING + name: kit.paper.Drawing(svg, kit.lettering, written) for name, svg in (drawings or {}).items()}
    with collecting_later():
        images |= {DRAWING + name: part for name, part in _running(kit, root).items()}
        made = kit.sheet(root, kit.fetcher).write_pdf(
            finisher=_keep_size if full_size else None,
            font_config=kit.fonts,
            stylesheets=[kit.style],
            cache=images,
            pdf_variant="pdf/ua-1",
        )
    return bytes(made)


def _keep_size(_document: Any, pdf: Any) -> None:
    """Asks for printing at full size, on the paper the pages are made for."""
    pdf.catalog["ViewerPreferences"] |= {"PrintScaling": "/None", "PickTrayByPDFSize": "true"}


def _running(kit: _Kit, root: ET.Element) -> dict[str, Any]:
    """Running head and foot, taken out of the page and laid out by themselves, once for each way that sheets lie and
    not for every sheet. A page without a head has nothing there, and does with its foot what it likes."""
    body = root.find("body")
    made = dict.fromkeys(RUNNING, kit.paper.Drawing(NOTHING, kit.lettering, {}))
    if body is None or body.find("header") is None:
        return made
    parts = {element.tag: element for element in body if element.tag in RUNNING.values()}
    for part in parts.values():
        body.remove(part)
    for name, tag in RUNNING.items():
        if tag in parts:
            alone = ET.Element("html", root.attrib)
            ET.SubElement(alone, "body", {"class": name}).append(parts[tag])
            laid = kit.sheet(alone, kit.fetcher).render(font_config=kit.fonts, stylesheets=[kit.style], cache={})
            made[name] = kit.paper.Stamp(laid.pages[0])
    return made


def own_file(url: str) -> Path:
    """The file of our static folder that an address names. Raises :class:`AddressRefused` for anything else."""
    parts = urlsplit(url)
    path = Path(unquote(parts.path)).resolve()
    if parts.scheme != "file" or parts.netloc or not path.is_relative_to(STATIC.resolve()):
        raise AddressRefused(f"A hand-out fetches nothing but its own files: {url[:80]}")
    return path


@contextmanager
def collecting_later() -> Iterator[None]:
    """No garbage is looked for while a document is made: it is all boxes that live to its end, and looking through
    them again and again takes a fifth of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@dataclass(frozen=True)
class _Kit:
    """What is the same for every hand-out: the engine, the fonts, the style read once, lettering laid out before.

    ``stamp`` is the time of the style sheet it was made from.
    """

    weasyprint: Any
    paper: Any
    sheet: Any
    fetcher: Any
    fonts: Any
    style: Any
    lettering: Any
    stamp: int


def _kit() -> _Kit:
    """This thread's kit: fonts and lettering must not be shared between threads."""
    stamp = STYLE.stat().st_mtime_ns
    kept: _Kit | None = getattr(_KEPT, "kit", None)
    if kept is None or kept.stamp != stamp:
        kept = _KEPT.kit = _new_kit(stamp)
    return kept


def _new_kit(stamp: int) -> _Kit:
    try:
        weasyprint, paper = import_module("weasyprint"), import_module("jobs.paper")
    except OSError as missing:  # a shared library that is not there
        raise PdfUnavailable(
            f"This machine cannot make PDFs yet: a library for setting type is missing. Run: {INSTALL_LINE}"
        ) from missing
    fetcher, fonts = _fetcher(weasyprint), weasyprint.text.fonts.FontConfiguration()
    style = weasyprint.CSS(url=STYLE.as_uri(), url_fetcher=fetcher, font_config=fonts)
    return _Kit(weasyprint, paper, _sheet(weasyprint), fetcher, fonts, style, paper.Lettering(fonts), stamp)


def _sheet(weasyprint: Any) -> Any:
    class Sheet(weasyprint.HTML):
        """A page that is read already."""

        def __init__(self, root: ET.Element, fetcher: Any) -> None:
            self.base_url, self.url_fetcher, self.media_type = STATIC.as_uri() + "/", fetcher, "print"
            self.wrapper_element = ElementWrapper.from_html_root(root, content_language=None)
            self.etree_element = root

    return Sheet


def _read(html: str) -> ET.Element:
    """The elements of a page, by a parser written in C: the PDF engine's own takes thirty times as long. It adds no
    ``tbody`` where a table has none."""
    root: ET.Element = etree.fromstring(html, etree.HTMLParser(target=_Tree(), remove_comments=True))
    return root


class _Tree(ET.TreeBuilder):
    """Elements of the standard library, which the PDF engine works on."""

    def start(self, tag: str, attributes: Mapping[str, str], /) -> ET.Element:
        """Opens an element; the parser's attributes are no plain dictionary."""
        return super().start(tag, dict(attributes))


def _fetcher(weasyprint: Any) -> Any:
    class OwnFiles(weasyprint.URLFetcher):
        """Opens data: addresses and our own files, and refuses the rest before anything is opened."""

        def fetch(self, url: str, headers: Any = None) -> Any:
            if not url.lower().startswith(DATA):
                own_file(url)
            return super().fetch(url, headers)

    return OwnFiles(allowed_protocols=("data", "file"), allow_redirects=False)
