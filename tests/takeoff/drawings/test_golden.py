"""Whole drawings compared as text with the ones looked at and kept in tests/golden.

After a wanted change: ``ACCEPT_DRAWINGS=1 python -m pytest tests/takeoff/drawings/test_golden.py``, then look at them.
"""

from __future__ import annotations

import difflib
import os
import pathlib

import pytest

from takeoff.drawings.elevation import elevation
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.section import section
from takeoff.drawings.svg import render
from takeoff.drawings.tracker import PartState, tracker
from takeoff.drawings.walk_preview import walk_preview
from takeoff.geometry import TypedLeg, trace
from takeoff.plan import Stage
from takeoff.units import parse_length
from tests.takeoff.drawings.samples import house, laid

GOLDEN = pathlib.Path(__file__).parents[2] / "golden"

STATES = dict(
    zip(
        [("main", stage) for stage in Stage] + [("garage", Stage.FOOTING)],
        [
            PartState.BURIED,
            PartState.RELEASED,
            PartState.REJECTED,
            PartState.HELD,
            PartState.PRESENTED,
            PartState.PLANNED,
            PartState.READY,
        ],
        strict=True,
    )
)

WALK = [TypedLeg(n, parse_length(x), 90.0) for n, x in (("A", "40-0"), ("B", "28-0"), ("C", "38-6"))]


DRAWINGS = {
    "plan": lambda: render(plan_view(house()), 540, "pt"),
    "elevation": lambda: render(elevation(laid(house()), "A"), 700, "pt"),
    "section": lambda: render(section(laid(house()), "A"), 540, "pt"),
    "section_garage": lambda: render(section(laid(house()), "G2"), 540, "pt"),
    "tracker_small": lambda: render(tracker(house(), STATES, 340), 340, link=lambda key: f"/parts/{key}"),
    "tracker_large": lambda: render(tracker(house(), STATES, 720, detail=True), 720, link=lambda key: f"/parts/{key}"),
    "walk_preview": lambda: render(walk_preview(trace(WALK)), 390),
}


def differences(kept: str, new: str) -> list[str]:
    """What changed, one element a line."""
    old_lines, new_lines = (text.replace("><", ">\n<").splitlines() for text in (kept, new))
    return list(difflib.unified_diff(old_lines, new_lines, "kept", "new", lineterm="", n=0))[:40]


@pytest.mark.parametrize("name", DRAWINGS)
def test_drawing_is_the_one_looked_at(name) -> None:
    path, new = GOLDEN / f"{name}.svg", DRAWINGS[name]()
    if os.environ.get("ACCEPT_DRAWINGS"):
        path.write_text(new + "\n", encoding="utf-8")
    assert differences(path.read_text(encoding="utf-8").rstrip("\n"), new) == []


def test_the_comparison_can_fail() -> None:
    kept = DRAWINGS["walk_preview"]()
    assert differences(kept, kept.replace("38'-6", "38'-7"))
