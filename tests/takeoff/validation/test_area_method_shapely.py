"""Face of the walls as the area method takes it, against shapely's length of the outline times the height."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import Polygon

from takeoff.area_method import compare
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.geometry import outline, place
from takeoff.plan import Face, Stage
from tests.takeoff import plans

HEIGHTS_FT = {Stage.FROST_WALL: 4.0, Stage.FULL_WALL: 8.0}


@pytest.mark.parametrize("name", ["rectangle", "l_shape", "bay"])
def test_shapely_length_of_the_outline_times_height(name):
    plan = plans.SAMPLES[name]()
    around = Polygon(outline(place(plan), "house", Face.OUTSIDE_OF_FOAM).points).length / 12
    for comparison in compare(compute(plan, CuttingMethod.FIRST_FIT)):
        assert comparison.wall_ft2 == pytest.approx(around * HEIGHTS_FT[comparison.stage], rel=1e-6)
        # common practice, no source: net face over the face of a unit
        assert comparison.by_area == pytest.approx(comparison.wall_ft2 / (4 * 16 / 12))


def test_a_half_round_counts_its_arc():
    """Half a circle of 8 ft radius instead of 16 ft of straight wall (closed form)."""
    both = (plans.rectangle(), plans.porch_arc())
    straight, round_ = (compare(compute(plan, CuttingMethod.FIRST_FIT)) for plan in both)
    for one, other in zip(straight, round_, strict=True):
        more = (math.pi * 8 - 16) * HEIGHTS_FT[one.stage]
        assert other.wall_ft2 - one.wall_ft2 == pytest.approx(more, rel=1e-5)
