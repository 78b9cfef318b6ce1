"""The difficult house counted by the ready-mix plant: footing, walls and pours, with pencil and shapely.

The outline is drawn here anew from the coordinates; strips are differences of mitred buffers of the whole outline, so
that no corner can be counted twice. Sizes: foam 2 3/8 in, core 8 in, wall 12 3/4 in, footing 20 x 10 in standing out
3 5/8 in, keyway 3 1/2 x 1 1/2 in. Geometry. Conventions that belong to the count: the concrete a beam pocket displaces
is not taken out (0.02 yd3); a riser stands 8 in thick in the width of the footing (common practice, no source).
"""

from __future__ import annotations

import math

import pytest
from shapely.geometry import Polygon, box

from takeoff.geometry import place
from takeoff.plan import Stage
from takeoff.pours import WallPour, wall_pour
from tests.takeoff.difficult import difficult, difficult_taken_off
from tests.takeoff.examples import amount

YARD = 46656.0
FOAM, CORE, WALL, SHELF = 2.375, 8.0, 12.75, 3.625
KEY = 3.5 * 1.5
#: The quarter circle in so many chords; its area is then exact to a few parts in a million.
CHORDS = 720


def outline() -> Polygon:
    """The outside of foam of the house [in]."""
    bend = [
        (336 + 96 * math.cos(k * math.pi / 2 / CHORDS), 312 + 96 * math.sin(k * math.pi / 2 / CHORDS))
        for k in range(CHORDS + 1)
    ]
    return Polygon([(0, 0), (360, 0), (432, 72), *bend, (216, 408), (216, 552), (0, 552)])


def moved(distance: float) -> Polygon:
    return outline().buffer(distance, join_style="mitre", mitre_limit=20)


def garage_band(near: float, far: float) -> float:
    """Area between two lines so far inside the garage's outside of foam, out from the foam of S8 [in2]."""
    outer, inner = (box(-288 + d, 276 + d, 0, 540 - d) for d in (near, far))
    return float(outer.area - inner.area)


RING_CORE = moved(-FOAM).area - moved(-FOAM - CORE).area
RING_LINE = moved(-WALL / 2).exterior.length
GARAGE_LINE = 2 * (288 - WALL / 2) + 264 - WALL
T1 = 168.0  # from the inner foam of S8 to its free end


def test_the_centre_line_is_that_of_a_hundred_and_fifty_feet() -> None:
    """Pencil: 360 + 72 sqrt 2 + 240 + 48 pi + 120 + 144 + 216 + 552 on the foam, less 6 3/8 in x 2 x (3 square corners
    less 1, two of tan 22.5 deg, pi/4 of the bend)."""
    foam = 360 + 72 * math.sqrt(2) + 240 + 48 * math.pi + 120 + 144 + 216 + 552
    assert outline().exterior.length == pytest.approx(foam, rel=1e-6)
    by_pencil = foam - 6.375 * 2 * (3 - 1 + 2 * math.tan(math.pi / 8) + math.pi / 4)
    assert pytest.approx(by_pencil, rel=1e-6) == RING_LINE


def test_footing_of_the_house() -> None:
    """Ring and T1 (14 ft: 3 5/8 in less at the footing of S8, 3 5/8 in more at its free end), four risers of 20 in, two
    pads of 3 x 3 ft x 12 in; less the keyway."""
    ring = moved(SHELF).area - moved(-WALL - SHELF).area
    concrete = (ring + T1 * 20) * 10 - (RING_LINE + T1) * KEY + 4 * 20 * 20 * 8 + 2 * 36 * 36 * 12
    assert amount(difficult_taken_off(), "footing.concrete", section="main") == pytest.approx(concrete / YARD, rel=1e-5)
    assert amount(difficult_taken_off(), "footing.key_strip", section="main") * 12 == pytest.approx(RING_LINE + T1)


def test_footing_of_the_garage() -> None:
    """It passes over the footing of S8, six feet lower, to the wall."""
    concrete = garage_band(-SHELF, WALL + SHELF) * 10 - GARAGE_LINE * KEY
    got = amount(difficult_taken_off(), "footing.concrete", section="garage")
    assert got == pytest.approx(concrete / YARD, rel=1e-6)


def test_form_boards_of_the_garage_footing() -> None:
    """Two edges of a U, out to the foam of S8: 288 + 3 5/8 + 264 + 7 1/4 ... on each."""
    outer = 2 * (288 + SHELF) + 264 + 2 * SHELF
    inner = 2 * (288 - WALL - SHELF) + 264 - 2 * (WALL + SHELF)
    got = amount(difficult_taken_off(), "footing.forms", section="garage") * 12
    assert got == pytest.approx(outer + inner)


def frost_in3() -> float:
    """4 ft of the ring, less what the footing's steps take: 40 in over the first 10 ft of S1 and the last 16 ft of S8
    (each less a corner's 6 3/8 in), 20 in over 10 ft of S1 and 15 ft of S8; T1 28 in high and through the foam."""
    steps = 40 * (120 - 6.375) + 20 * 120 + 20 * 180 + 40 * (192 - 6.375)
    return RING_CORE * 48 - steps * CORE + (RING_LINE + T1) * KEY + (T1 + FOAM) * CORE * 28


LEDGE = (142.5 - FOAM) + (360 - 193.5 - FOAM * math.tan(math.pi / 8))
HOLES = {"W1": 51 * 51.0, "D1": 43 * 81.5, "W2": 33 * 39.0}


def full_in3() -> float:
    """8 ft of ring and T1, three openings as formed, a ledge of 6 x 12 / 2 in on the core up to the bucks of W1."""
    return (RING_CORE + (T1 + FOAM) * CORE) * 96 - sum(HOLES.values()) * CORE + LEDGE * 6 * 12 / 2


def garage_in3() -> float:
    """56 in, 40 in over the 10 ft of the door; two Ts through the foam of S8."""
    core = garage_band(FOAM, FOAM + CORE) * 56 - 120 * CORE * 16
    return core + GARAGE_LINE * KEY + 2 * CORE * FOAM * 56


def test_walls_of_each_stage() -> None:
    takeoff = difficult_taken_off()
    assert amount(takeoff, "wall.concrete", Stage.FROST_WALL, "main") == pytest.approx(frost_in3() / YARD, rel=1e-5)
    assert amount(takeoff, "wall.concrete", Stage.FULL_WALL, "main") == pytest.approx(full_in3() / YARD, rel=1e-5)
    assert amount(takeoff, "wall.concrete", Stage.FROST_WALL, "garage") == pytest.approx(garage_in3() / YARD, rel=1e-6)
    assert amount(takeoff, "ledge.concrete") == pytest.approx(LEDGE * 36 / YARD, rel=1e-5)


def full_pour() -> WallPour:
    plan = difficult()
    return wall_pour(plan, place(plan), Stage.FULL_WALL, [leg.name for leg in plan.legs_in("main")])


def test_lifts_of_the_full_wall() -> None:
    """Two of 4 ft from 90'-0": below 94'-0" lie 17 1/2 in of W1, 44 in of D1, 9 1/2 in of W2."""
    lower = (RING_CORE + (T1 + FOAM) * CORE) * 48 - (51 * 17.5 + 43 * 44 + 33 * 9.5) * CORE
    one, two = full_pour().lifts()
    assert one.yd3 == pytest.approx(lower / YARD, rel=1e-5)
    assert (one.yd3 + two.yd3, two.up_to_yd3) == pytest.approx((full_in3() / YARD,) * 2, rel=1e-5)


def test_what_is_called_from_the_deck() -> None:
    """With 3 in open nothing but core is left; with 12 in also 1 1/2 in of the head of D1 as formed.
    The call: 5 percent and a hopper of 0.25 yd3 more, less what is on the truck, in quarters, 2 yd3 at least."""
    rows = full_pour().balance(on_truck_yd3=0.5)
    plain = (RING_CORE + (T1 + FOAM) * CORE) / YARD
    assert rows[0].to_fill_yd3 == pytest.approx(plain * 3, rel=1e-5)
    head = 43 * (97 * 12 + 1.5 - 97 * 12) * CORE / YARD
    assert rows[3].to_fill_yd3 == pytest.approx(plain * 12 - head, rel=1e-5)
    wanted = (plain * 12 - head) * 1.05 + 0.25 - 0.5
    assert rows[3].call_yd3 == pytest.approx(math.ceil(wanted / 0.25) * 0.25)


def test_ordered_in_quarters_once() -> None:
    """(sum x 1.05 + hopper) up to the next quarter: what the inspector reads is what the plant is told."""
    takeoff = difficult_taken_off()
    said = takeoff.criterion(Stage.FULL_WALL, "wall.concrete_volume")
    assert said is not None
    assert said.value == pytest.approx(math.ceil((full_in3() / YARD * 1.05 + 0.25) / 0.25) * 0.25)
