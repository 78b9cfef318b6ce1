"""What two holes share where a wall is hung on another: against shapely, slice by slice."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from takeoff.met_holes import Hole, shared_in3
from takeoff.plan import Stage
from tests.takeoff.difficult import difficult_taken_off
from tests.takeoff.examples import amount

YARD = 46656.0
WALL, TOE, FAR = 12.75, 3.625 + 24.0, 2000.0
#: Footing bottoms of leg S8 from its start, of the garage, and the ground [in].
HOST = ((552, 372, 1022.0), (372, 192, 1042.0), (192, 0, 1062.0))
GARAGE, GROUND = 1106.0, 1164.0


@given(st.floats(-40, 40), st.floats(5, 60), st.floats(0, 1.5), st.floats(10, 90), st.floats(20, 120))
@settings(max_examples=40, deadline=None)
def test_shared_earth_is_the_sum_of_width_times_width(
    bottom: float, toe: float, slope: float, most: float, high: float
) -> None:
    own, met = Hole(0.0, 28.0, 1.0, most=80.0), Hole(bottom, toe, slope, top=90.0, most=most)
    count, low, top = 2000, max(0.0, bottom), min(high, 90.0)
    thin = max(top - low, 0.0) / count
    levels = (low + (k + 0.5) * thin for k in range(count))
    summed = sum(own.width(level) * met.width(level) for level in levels) * thin
    assert shared_in3(own, met, 0.0, high) == pytest.approx(summed, rel=1e-3, abs=1e-6)


def dug_by_s8(level: float) -> Polygon:
    """The hole beside S8 in plan at a level; at its start it goes on round the corner."""
    parts = [
        box(-(TOE + level - bottom), low, 0, high + (TOE + level - bottom if high == 552 else 0))
        for high, low, bottom in HOST
        if level >= bottom
    ]
    return unary_union(parts)


def slices(count: int = 116) -> list[tuple[float, float]]:
    step = (GROUND - GARAGE) / count
    return [(GARAGE + (k + 0.5) * step, step) for k in range(count)]


def test_a_garage_is_dug_beyond_the_hole_of_the_house_only() -> None:
    """The garage of the difficult house: 24 ft out, from 1 ft to 23 ft along S8 (y 540 to 276). Beside its door (y 468
    to 348) the ground is 10 in lower."""
    outside = box(-288, 276, 0, 540)
    room = box(-288 + WALL, 276 + WALL, 0, 540 - WALL)
    total = 0.0
    for level, step in slices():
        wide = TOE + level - GARAGE
        hole = outside.buffer(wide, join_style="mitre").intersection(box(-FAR, -FAR, 0, FAR))
        left = box(-288 + WALL + wide, 276 + WALL + wide, 0, 540 - WALL - wide)
        hole = hole.difference(left.intersection(room)).difference(dug_by_s8(level))
        if level > GROUND - 10:
            hole = hole.difference(box(-288 - wide, 348, -288 + WALL + wide, 468))
        total += hole.area * step
    assert amount(difficult_taken_off(), "excavation.bank", section="garage") == pytest.approx(total / YARD, rel=5e-3)


def test_the_house_s_own_hole_knows_nothing_of_the_garage() -> None:
    """Both ends of the garage take off the same, and the house's final backfill is that of its own strip."""
    takeoff = difficult_taken_off()
    [filled] = [q for q in takeoff.of(Stage.FROST_BACKFILL, ("garage",)) if q.key == "backfill.volume"]
    assert filled.basis.count("in the hole of the wall it meets, with its own wall there") == 2
    [final] = [q for q in takeoff.of(Stage.FINAL_BACKFILL) if q.key == "backfill.volume"]
    assert "in the hole of the wall" not in final.basis
