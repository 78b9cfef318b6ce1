"""HTML to PDF for hand-outs. WeasyPrint is imported when first asked, so that the program runs without Pango.

Pages come from our own templates, yet names and notes in them were typed by people: nothing is fetched but ``data:``
addresses and files of our static folder.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from django.conf import settings

from jobs.exceptions import AddressRefused, PdfUnavailable

STATIC = Path(settings.BASE_DIR) / "static"
#: What a Debian or Ubuntu machine lacks where WeasyPrint cannot start.
INSTALL_LINE = "sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0"
#: Address of a drawing in a page: ``drawing:`` and its name.
DRAWING = "drawing:"
DATA = "data:"


def render_pdf(html: str, drawings: Mapping[str, str] | None = None) -> bytes:
    """One PDF (tagged, PDF/UA-1) from a page. ``<img src="drawing:NAME">`` shows ``drawings[NAME]``, an SVG of ours.

    Raises :class:`PdfUnavailable` where the machine lacks what WeasyPrint needs.
    """
    weasyprint, paper = _engine()
    fonts = weasyprint.text.fonts.FontConfiguration()
    lettering = paper.Lettering(fonts)
    images = {DRAWING + name: paper.Drawing(svg, lettering) for name, svg in (drawings or {}).items()}
    page = weasyprint.HTML(string=html, base_url=STATIC.as_uri() + "/", url_fetcher=_fetcher(weasyprint))
    with _collecting_later():
        return bytes(page.write_pdf(font_config=fonts, cache=images, pdf_variant="pdf/ua-1"))


def own_file(url: str) -> Path:
    """The file of our static folder that an address names. Raises :class:`AddressRefused` for anything else."""
    parts = urlsplit(url)
    path = Path(unquote(parts.path)).resolve()
    if parts.scheme != "file" or parts.netloc or not path.is_relative_to(STATIC.resolve()):
        raise AddressRefused(f"A hand-out fetches nothing but its own files: {url[:80]}")
    return path


@contextmanager
def _collecting_later() -> Iterator[None]:
    """No garbage is looked for while a document is made: it is all boxes that live to its end, and looking through
    them again and again takes a fifth of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _engine() -> tuple[Any, Any]:
    try:
        return import_module("weasyprint"), import_module("jobs.paper")
    except OSError as missing:  # a shared library that is not there
        raise PdfUnavailable(
            f"This machine cannot make PDFs yet: a library for setting type is missing. Run: {INSTALL_LINE}"
        ) from missing


def _fetcher(weasyprint: Any) -> Any:
    class OwnFiles(weasyprint.URLFetcher):
        """Opens data: addresses and our own files, and refuses the rest before anything is opened."""

        def fetch(self, url: str, headers: Any = None) -> Any:
            if not url.lower().startswith(DATA):
                own_file(url)
            return super().fetch(url, headers)

    return OwnFiles(allowed_protocols=("data", "file"), allow_redirects=False)
