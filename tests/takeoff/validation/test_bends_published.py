"""Bends of the bar list against the standard hooks of the PCI Design Handbook, 7th ed., Design Aid 15.4.1 (p. 15-34):
values read in the source, in inches."""

from __future__ import annotations

import pytest

from takeoff.bar_list import bar_list
from takeoff.compute import compute
from takeoff.footing_bars import TAIL
from takeoff.laps import MAIN_BEND, bar_size
from takeoff.plan import Stage
from takeoff.results import BarRole
from tests.takeoff.plans import rectangle

#: bar, inside diameter of the bend, out-to-out length of a 90 degree hook
HOOKS = [(3, 2.25, 6), (4, 3.0, 8), (6, 4.5, 12), (7, 5.25, 14)]


@pytest.mark.parametrize(("bar", "inside", "hook"), HOOKS, ids=[f"PCI 15.4.1 #{bar}" for bar, _, _ in HOOKS])
def test_inside_diameter_and_hook_length(bar: int, inside: float, hook: float) -> None:
    """The printed hook is 12 bar diameters and half the bend and the bar itself, rounded up to whole inches."""
    diameter = bar_size(bar).diameter
    assert MAIN_BEND * diameter == pytest.approx(inside)
    assert 0 <= hook - (TAIL * diameter + inside / 2 + diameter) <= 0.6


def test_the_list_prints_that_diameter() -> None:
    """#5 at 6 diameters: 3 3/4 in (by hand, the same rule)."""
    lines = [line for line in bar_list(compute(rectangle()), Stage.FOOTING) if line.roles == (BarRole.DOWEL,)]
    assert [line.inside_bend.inch for line in lines if line.inside_bend] == [3.75]
