"""Five hundred houses drawn by lot, laid, and looked at by checkers that share no code with the layout.

Every course of every leg: no gap, no overlap, joints offset or marked, the hand and the legs of every corner, a cap on
every end in the open, no piece shorter than allowed unless told; and the order counted again on the units and on the
drawn elevations.
"""

from __future__ import annotations

import pytest

from takeoff import blocks, geometry
from takeoff.blocks import Layout
from takeoff.drawings.elevation import elevation
from takeoff.plan import Plan
from takeoff.results import Takeoff
from tests.takeoff import layout_checker, layout_counts
from tests.takeoff.random_houses import house

HOUSES = 500
AT_A_TIME = 25
#: Every so many houses are drawn as well.
DRAWN = 20


def drawn(made: Plan, placed: geometry.Placement, layout: Layout) -> None:
    takeoff = Takeoff(made, (), layout.units, layout.seams, (), (), (), ())
    scenes = {name: elevation(takeoff, name, placed) for name in placed.legs}
    layout_counts.check_drawn(made, placed, layout, scenes)


@pytest.mark.parametrize("first", range(0, HOUSES, AT_A_TIME))
def test_houses_drawn_by_lot(first: int) -> None:
    for seed in range(first, first + AT_A_TIME):
        made = house(seed)
        placed = geometry.place(made)
        assert len(placed.legs) == len(made.legs()), [p.sentence for p in placed.problems]
        layout = blocks.lay(made, placed)
        layout_checker.check(made, placed, layout)
        layout_counts.check_counts(made, layout)
        layout_counts.check_tees(placed, layout)
        if seed % DRAWN == 0:
            drawn(made, placed, layout)
