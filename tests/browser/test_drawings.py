"""Drawings in a real browser: nothing runs off the sheet, lettering is as wide as reckoned, thumbs hit."""

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from takeoff.drawings.elevation import elevation
from takeoff.drawings.lettering import width_of
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.section import section
from takeoff.drawings.svg import render
from takeoff.drawings.tracker import tracker
from tests.takeoff.drawings.samples import house, laid

pytestmark = pytest.mark.look

TEXTS = """() => [...document.querySelectorAll('text')].map(t =>
    [t.textContent, +t.getAttribute('font-size'), t.getAttribute('font-weight') === 'bold', t.getBBox().width])"""

OUTSIDE = """() => [...document.querySelectorAll('svg')].map(svg => {
    const sheet = svg.getBoundingClientRect();
    return [...svg.querySelectorAll('text, path')].filter(e => !e.closest('defs')).filter(e => {
        const r = e.getBoundingClientRect();
        return r.left < sheet.left - 1 || r.right > sheet.right + 1
            || r.top < sheet.top - 1 || r.bottom > sheet.bottom + 1;
    }).map(e => e.textContent || e.getAttribute('d'));
}).flat()"""


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Iterator[Page]:
    """All kinds of drawing on one page, the same plan twice."""
    takeoff = laid(house())
    scenes = [
        plan_view(house()),
        plan_view(house(), key="again"),
        elevation(takeoff, "A"),
        section(takeoff, "A"),
        tracker(house(), {}, 390, detail=True),
    ]
    drawn = "".join(f"<div>{render(scene, 390, link=lambda key: f'#{key}')}</div>" for scene in scenes)
    wide = render(section(takeoff, "A", key="wide"), 760)
    page = chromium.new_page(viewport={"width": 900, "height": 900})
    page.set_content(
        f"<!doctype html><html lang=en><title>Drawings</title><main><h1>Drawings</h1>{drawn}{wide}</main></html>"
    )
    yield page
    page.close()


def test_everything_lies_on_the_sheet(page: Page) -> None:
    assert page.evaluate(OUTSIDE) == []


def test_lettering_is_about_as_wide_as_reckoned(page: Page) -> None:
    """Within a quarter, so that a substitute face of usual width still fits where it was placed."""
    texts = [t for t in page.evaluate(TEXTS) if len(t[0]) > 3]
    assert len(texts) > 100
    assert [t for t in texts if not 0.75 < t[3] / width_of(t[0], t[1], t[2]) < 1.25] == []


def test_no_id_is_used_twice(page: Page) -> None:
    ids = page.evaluate("() => [...document.querySelectorAll('[id]')].map(e => e.id)")
    assert len(ids) == len(set(ids)) > 10


def test_every_part_can_be_hit_with_a_thumb(page: Page) -> None:
    boxes = page.evaluate("() => [...document.querySelectorAll('a')].map(a => a.getBoundingClientRect().toJSON())")
    sizes = [(box["width"], box["height"]) for box in boxes]
    assert len(sizes) == 9
    assert all(width >= 43.9 and height >= 43.9 for width, height in sizes)


def test_axe_finds_nothing(page: Page) -> None:
    results = Axe().run(page)
    assert results.violations_count == 0, results.generate_report()
