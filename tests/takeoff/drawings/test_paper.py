"""The same string on paper: the PDF engine takes every attribute, says nothing, and fits a page."""

from __future__ import annotations

import io
import logging

import pikepdf
import pytest

from takeoff.drawings.elevation import elevation
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.section import section
from takeoff.drawings.svg import render
from takeoff.drawings.tracker import tracker
from tests.takeoff.drawings.samples import house, laid

PAGE = "<style>@page { size: letter; margin: 36pt }</style>"


@pytest.mark.slow
def test_all_kinds_of_drawing_print_without_a_word_from_the_pdf_engine(caplog) -> None:
    import weasyprint

    takeoff = laid(house())
    scenes = [plan_view(house()), elevation(takeoff, "A"), section(takeoff, "A"), tracker(house(), {}, 720, True)]
    html = "".join(f"<div>{render(scene, 540, 'pt', height=340)}</div>" for scene in scenes)
    with caplog.at_level(logging.WARNING):
        pdf = weasyprint.HTML(string=PAGE + html).write_pdf()
    assert [record.getMessage() for record in caplog.records] == []
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert len(document.pages) == 2
