"""The example houses counted again with pencil, tape and shapely, and nothing of the engine's own arithmetic.

Outlines are walked here anew; strips around them are differences of shapely's mitred buffers, whole house at once, so
that corners cannot be counted twice. Sizes are those of the invented form systems and the usual specification, written
out as numbers. Geometry; counts by hand; laps from IRC 2021 Table R608.5.4(1).
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

import pytest
from shapely.geometry import Polygon

from takeoff.orders import order_lines
from takeoff.plan import Stage
from takeoff.results import UnitKind
from tests.takeoff.examples import amount, taken_off

YARD, FOOT2 = 46656.0, 144.0
KEY = 3.5 * 1.5
CORE, FOOTING_WIDE, FOOTING_THICK = 8.0, 20.0, 10.0
LAP4, LAP5 = 30.0, 38.0  # IRC 2021 Table R608.5.4(1), Grade 60


def walked(*legs: tuple[float, float]) -> Polygon:
    """A ring of (length [in], turn [degrees]) legs, first one to the right."""
    x = y = heading = 0.0
    points = []
    for length, turn in legs:
        points.append((x, y))
        x += length * math.cos(math.radians(heading))
        y += length * math.sin(math.radians(heading))
        heading += turn
    assert math.hypot(x, y) < 0.05
    return Polygon(points)


def moved(outline: Polygon, distance: float) -> Polygon:
    """The outline moved outward (inward if negative), corners mitred."""
    return outline.buffer(distance, join_style="mitre", mitre_limit=20)


@dataclass(frozen=True)
class Ring:
    """A ring as drawn on the outside of foam, with its foam."""

    outside: Polygon
    foam: float

    @property
    def thick(self) -> float:
        return self.foam + CORE + self.foam

    @property
    def shelf(self) -> float:
        return (FOOTING_WIDE - self.thick) / 2

    @property
    def core(self) -> float:
        """Area of the core in plan [in2]."""
        return moved(self.outside, -self.foam).area - moved(self.outside, -self.foam - CORE).area

    @property
    def footing(self) -> float:
        """Area of the footing in plan [in2]."""
        return moved(self.outside, self.shelf).area - moved(self.outside, -self.thick - self.shelf).area

    @property
    def centre(self) -> float:
        return moved(self.outside, -self.thick / 2).exterior.length

    @property
    def key(self) -> float:
        return self.centre * KEY

    def outside_strip(self, near: float, far: float) -> float:
        return moved(self.outside, far).area - moved(self.outside, near).area

    def pipe(self) -> float:
        """Loop in the middle of 12 in of stone beside the footing [in]."""
        return moved(self.outside, self.shelf + 6).exterior.length

    def stone(self) -> float:
        """12 x 16 in beside the footing, 6 in over its shelf, less a 4 1/2 in pipe [in3]."""
        box = self.outside_strip(self.shelf, self.shelf + 12) * (FOOTING_THICK + 6)
        return box + self.outside_strip(0, self.shelf) * 6 - math.pi / 4 * 4.5**2 * self.pipe()


KETTLE = Ring(moved(walked((504, 90), (336, 90), (504, 90), (336, 90)), 2.875), 2.875)  # drawn to outside of concrete
SALTLICK = Ring(walked((432, 90), (360, 90), (432, 90), (360, 90)), 2.375)
JUNIPER = Ring(  # the bay's slants are typed as 5'-7 7/8", 7/1000 in short of 48 in x sqrt(2)
    walked(
        *((192, -45), (48 * math.sqrt(2), 45), (72, 45), (48 * math.sqrt(2), -45), (288, 90)),
        *((336, 90), (288, -90), (144, 90), (360, 90), (480, 90)),
    ),
    2.375,
)


# -- concrete ---------------------------------------------------------------------------------------
def test_footing_concrete_of_kettle_road_is_the_strip_less_the_key() -> None:
    by_hand = (KETTLE.footing * FOOTING_THICK - KETTLE.key) / YARD
    assert by_hand == pytest.approx(6.879, abs=0.001)
    assert amount(taken_off("kettle-road"), "footing.concrete") == pytest.approx(by_hand)


def test_footing_concrete_of_saltlick_lane_with_its_garage() -> None:
    """The garage is three sides hung on B: 22 ft, 24 ft and 22 ft outside, centre lines 22' - 6 3/8" and 24' - 12 3/4".
    Its footing lies 7 ft over B's and runs to B's foam."""
    side, front = 264 - 6.375, 288 - 12.75
    garage = (2 * side + front) * (FOOTING_WIDE * FOOTING_THICK - KEY) / YARD
    main = (SALTLICK.footing * FOOTING_THICK - SALTLICK.key) / YARD
    takeoff = taken_off("saltlick-lane")
    assert amount(takeoff, "footing.concrete", section="garage") == pytest.approx(garage)
    assert amount(takeoff, "footing.concrete", section="main") == pytest.approx(main)


def test_footing_concrete_of_juniper_bend_has_four_risers_and_a_round_porch() -> None:
    """Steps of 16 in, 8 in thick, twice in F and twice in J. The porch is half a circle of 6 ft to the outside of foam:
    its centre line has 72 - 6 3/8 in; its footing lies over E's and runs to E's foam at both ends. Two pads of 3 ft and
    12 in, one of 4 ft and 14 in come with the main footing."""
    pads = 2 * 36 * 36 * 12 + 48 * 48 * 14
    main = (JUNIPER.footing * FOOTING_THICK - JUNIPER.key + 4 * 16 * FOOTING_WIDE * 8 + pads) / YARD
    porch = math.pi * (72 - 6.375) * (FOOTING_WIDE * FOOTING_THICK - KEY) / YARD
    takeoff = taken_off("juniper-bend")
    assert amount(takeoff, "footing.concrete", section="main") == pytest.approx(main, rel=1e-4)
    assert amount(takeoff, "footing.concrete", section="porch") == pytest.approx(porch, rel=1e-3)


def test_wall_concrete_of_kettle_road_net_of_three_windows() -> None:
    by_hand = (KETTLE.core * 108 - (36 + 36 + 60) * 48 * CORE + KETTLE.key) / YARD
    assert amount(taken_off("kettle-road"), "wall.concrete") == pytest.approx(by_hand)


def test_wall_concrete_of_saltlick_lane_poured_twice() -> None:
    """Frost wall 4 ft on the key, full wall 8 ft less windows; garage 4'-8" with two throats through 2 3/8" of foam."""
    takeoff = taken_off("saltlick-lane")
    side, front = 264 - 6.375, 288 - 12.75
    garage = (2 * side + front) * (CORE * 56 + KEY) + 2 * 2.375 * CORE * 56
    frost = SALTLICK.core * 48 + SALTLICK.key
    full = SALTLICK.core * 96 - (36 + 36 + 60) * 48 * CORE
    assert amount(takeoff, "wall.concrete", Stage.FROST_WALL, "main") == pytest.approx(frost / YARD)
    assert amount(takeoff, "wall.concrete", Stage.FROST_WALL, "garage") == pytest.approx(garage / YARD)
    assert amount(takeoff, "wall.concrete", Stage.FULL_WALL) == pytest.approx(full / YARD)


def test_full_wall_concrete_of_juniper_bend_with_seven_openings_and_a_ledge() -> None:
    """Openings 36x48 (W1 W2 W6), 60x48 (W3 W4 W5), 40x82 (D1); ledge on A: a triangle 6 x 12 in along the outside of
    the concrete, 192 - 2 3/8 + 2 3/8 tan 22.5 in, less the 36 in of W1, at whose jambs it stops."""
    ledge = (192 - 36 - 2.375 + 2.375 * math.tan(math.radians(22.5))) * 6 * 12 / 2
    openings = (3 * 36 * 48 + 3 * 60 * 48 + 40 * 82) * CORE
    by_hand = (JUNIPER.core * 96 - openings + ledge) / YARD
    assert amount(taken_off("juniper-bend"), "wall.concrete", Stage.FULL_WALL) == pytest.approx(by_hand, rel=1e-4)


def test_frost_wall_concrete_of_juniper_bend_stretch_by_stretch() -> None:
    """Whole ring 16 in high, and what the deeper footings add: 16 in more from 8'-0" of F to 18'-0" of J, and 16 in
    more again from 14'-0" of F to 10'-0" of J, on centre lines."""
    half = 6.375
    deeper = (336 - 96 - half) + 288 + 144 + (360 - 12.75) + (216 - half)
    deepest = (336 - 168 - half) + 288 + 144 + (360 - 12.75) + (120 - half)
    by_hand = (JUNIPER.core * 16 + (deeper + deepest) * CORE * 16 + JUNIPER.key) / YARD
    found = amount(taken_off("juniper-bend"), "wall.concrete", Stage.FROST_WALL, "main")
    assert found == pytest.approx(by_hand, rel=1e-4)


# -- forms ------------------------------------------------------------------------------------------
def test_corner_units_of_the_three_houses_by_hand() -> None:
    """Kettle Road: 4 corners x 6 courses, one unit for both hands. Saltlick Lane: courses 1-3 frost (2 odd, 1 even),
    4-9 full (3 and 3), 4 outside corners; garage courses 1-4, 2 outside corners. Juniper Bend: right in odd courses at
    outside corners E-F, F-G, H-I, I-J, J-A, left at the inside one G-H; frost courses 1-3, only 3 at E-F and J-A."""
    kettle, saltlick, juniper = (taken_off(n) for n in ("kettle-road", "saltlick-lane", "juniper-bend"))
    assert amount(kettle, "blocks.corner") == 24
    hands = {
        (section, stage): tuple(amount(saltlick, f"blocks.corner_{hand}", stage, section) for hand in ("right", "left"))
        for section, stage in (("main", Stage.FROST_WALL), ("main", Stage.FULL_WALL), ("garage", Stage.FROST_WALL))
    }
    assert list(hands.values()) == [(8, 4), (12, 12), (4, 4)]
    right, left = 2 * 1 + 3 * 2 + 1, 3 * 1 + 2
    assert amount(juniper, "blocks.corner_right", Stage.FROST_WALL) == right == 9
    assert amount(juniper, "blocks.corner_left", Stage.FROST_WALL) == left == 5
    assert amount(juniper, "blocks.corner_right", Stage.FULL_WALL) == 6 * 3
    assert amount(juniper, "blocks.corner_left", Stage.FULL_WALL) == 6 * 3


def row(name: str, leg: str, course: int) -> list[tuple[str, float]]:
    """What lies in one course of a leg, left to right: kind and length [in]."""
    units = sorted((u for u in taken_off(name).units if u.leg == leg and u.course == course), key=lambda u: u.start)
    return [("S" if u.kind is UnitKind.STRAIGHT else "C", (u.end - u.start).inch) for u in units]


def test_courses_of_kettle_road_south_counted_off_the_elevation() -> None:
    """42'-5 3/4" less corner legs of 41 and 25 leaves 443 3/4 in: nine units and a piece of 11 3/4 in. Windows of 36 in
    begin 8'-0" in from the concrete's corners, 98 7/8 in from the foam's, and go through courses 4 and 5 whole."""
    for course in (1, 2, 3, 6):
        assert Counter(row("kettle-road", "South", course)) == {
            ("S", 48.0): 9, ("S", 11.75): 1, ("C", 41.0): 1, ("C", 25.0): 1
        }  # fmt: skip
    for course in (4, 5):
        pieces = row("kettle-road", "South", course)
        assert sum(length for _, length in pieces) == pytest.approx(509.75 - 72)
        assert sum(length == 48.0 for _, length in pieces) == 5 and len(pieces) == 14 - 2
    whole = sum(length == 48.0 for c in range(1, 7) for _, length in row("kettle-road", "South", c))
    assert whole == 4 * 9 + 2 * 5


def test_straight_units_of_the_plain_legs_and_what_is_ordered() -> None:
    """Saltlick Lane, frost wall, three courses: A and C 372 in between corner legs of 38 and 22, seven whole and 36 in;
    B and D 300 in, six whole and 12 in. 78 whole; a 36 in piece leaves 11 3/4 in after the saw, so the twelves come
    three from a unit: 6 + 2. 86 and 3 percent are 88.6, garage 64 and 3 percent 65.9: 13 bundles of twelve."""
    takeoff = taken_off("saltlick-lane")
    assert Counter(length for c in (1, 2, 3) for kind, length in row("saltlick-lane", "A", c) if kind == "S") == {
        48.0: 21, 36.0: 3
    }  # fmt: skip
    assert amount(takeoff, "blocks.straight", Stage.FROST_WALL, "main") == 2 * 21 + 2 * 18 + 6 + 2
    [line] = [x for x in order_lines(takeoff, Stage.FROST_WALL) if x.key == "blocks.straight"]
    assert line.count == math.ceil((86 + 64) * 1.03 / 12) == 13


def test_juniper_bend_leg_f_counted_off_the_elevation() -> None:
    """Footing steps at 8'-0" and 14'-0"; 28'-0" of wall, corner legs 38 and 22: five whole and a piece of 36 in from
    course 3 up. Course 2: 240 in to the corner leg of 38, four whole and 10 in. Course 1: 168 in less 22, 146 in:
    two whole and 50 in shared in two."""
    lengths = {c: Counter(length for kind, length in row("juniper-bend", "F", c) if kind == "S") for c in range(1, 10)}
    assert lengths[1] == {48.0: 2, 25.0: 2}
    assert lengths[2] == {48.0: 4, 10.0: 1}
    assert all(lengths[c] == {48.0: 5, 36.0: 1} for c in range(3, 10))


# -- bars -------------------------------------------------------------------------------------------
def pieces(run: float, lap: float, stock: float = 240.0) -> float:
    """Length of a lapped run [in]."""
    count = 1 if run <= stock else math.ceil((run - lap) / (stock - lap))
    return run + (count - 1) * lap


def bent(lap: float, diameter: float) -> float:
    """A corner bar of two laps: the bend of 6 diameters saves 2.502 of them."""
    return 2 * lap - 2.502 * diameter


def test_footing_bars_of_kettle_road() -> None:
    """Two bars on centre lines of 496 and 328 in, and two corner bars at each corner."""
    by_hand = 2 * 2 * (pieces(496, LAP5) + pieces(328, LAP5)) + 4 * 2 * bent(LAP5, 0.625)
    assert amount(taken_off("kettle-road"), "footing.bars") * 12 == pytest.approx(by_hand, abs=0.05)


def test_horizontal_and_corner_bars_of_kettle_road() -> None:
    """Six levels. Long sides 504 - 2 x 2 in, short ones 336 - 4. Courses 4 and 5 are cut by windows 48 in high on a
    sill of 48 in, bars ending 2 in short of the jambs."""
    long, short = pieces(500, LAP4), pieces(332, LAP4)
    south = 4 * long + 2 * (92 + pieces(504 - 2 * 132 - 4, LAP4) + 92)
    east = 4 * short + 2 * (120 - 4 + 336 - 180 - 4)
    by_hand = south + east + 6 * long + 6 * short
    takeoff = taken_off("kettle-road")
    assert amount(takeoff, "bars.horizontal.#4") * 12 == pytest.approx(by_hand)
    assert amount(takeoff, "bars.corner.#4") * 12 == pytest.approx(6 * 4 * bent(LAP4, 0.5), abs=0.05)


def test_verticals_and_dowels_of_kettle_road() -> None:
    """Centre lines 496 and 328 in at 18 in: 28 and 19 bars. Seen from outside, South's bars stand at 6 7/8 + 18 k from
    the left; W1 (98 7/8 to 134 7/8) has 96 7/8 before and only 150 7/8 after it, 16 in off: one more bar. Bars of 106
    in; those under windows (2, 2 and 3) of 46 in, and nothing in the 12 in over them less cover."""
    takeoff = taken_off("kettle-road")
    assert amount(takeoff, "dowels") == 28 + 1 + 19 + 28 + 19
    by_hand = (95 - 7) * 106 + 7 * 46
    assert amount(takeoff, "bars.vertical.#5") * 12 == pytest.approx(by_hand)


def test_bars_around_the_windows_of_kettle_road() -> None:
    """Beside each 24 in below the sill (24 in over the footing) to 2 in under the top: 82 in; the sill bar 24 in
    beyond both jambs. The bar over the head is the lintel's."""
    by_hand = 3 * 2 * 82 + 2 * (36 + 48) + (60 + 48)
    assert amount(taken_off("kettle-road"), "bars.opening.#5") * 12 == pytest.approx(by_hand)


def test_frost_wall_bars_of_saltlick_lane() -> None:
    """Three levels all round, 427 1/4 - 4 and 355 1/4 - 4 in outside the concrete. On A and C two bars of 240 in leave
    a second of 213 1/4 in, too long to trade places with the first and move the lap by 30 in: the middle level takes
    three bars, a lap more. Verticals 48 in and a lap of 38 in above the cold joint, 24 + 20 + 24 + 20 of them and two
    more beside A's windows, which start in the wall above."""
    takeoff = taken_off("saltlick-lane")
    level = 2 * pieces(423.25, LAP4) + 2 * pieces(351.25, LAP4)
    assert amount(takeoff, "bars.horizontal.#4", Stage.FROST_WALL, "main") * 12 == pytest.approx(3 * level + 2 * LAP4)
    assert amount(takeoff, "bars.vertical.#5", Stage.FROST_WALL, "main") * 12 == pytest.approx(90 * (48 + LAP5))
    assert amount(takeoff, "dowels", section="main") == 24 + 20 + 24 + 20 + 2


# -- braces, envelope, earth ------------------------------------------------------------------------
def test_braces_of_the_three_houses() -> None:
    """ceil((inside face - 4 ft) / 6 ft) + 1 a wall, two more at an opening and at a T (common practice)."""

    def wall(inside: float) -> int:
        return math.ceil((inside - 48) / 72 - 1e-9) + 1

    kettle = 2 * (wall(504 - 21.75) + wall(336 - 21.75)) + 3 * 2
    saltlick = 2 * (wall(432 - 25.5) + wall(360 - 25.5))
    garage = 2 * (wall(264 - 12.75) + 2) + wall(288 - 25.5)
    assert amount(taken_off("kettle-road"), "braces") == kettle == 32
    assert amount(taken_off("saltlick-lane"), "braces", Stage.FULL_WALL) == saltlick + 3 * 2 == 28
    assert amount(taken_off("saltlick-lane"), "braces", Stage.FROST_WALL) == saltlick + garage == 38


def strips(length: float) -> int:
    """39 in strips side by side, lapped 2 1/2 in."""
    return math.ceil((length - 2.5) / 36.5 - 1e-9)


def test_membrane_of_kettle_road_strip_by_strip() -> None:
    """7'-6" of ground, 4 in above it and 6 in onto the footing: strips of 100 in; 12 in along the footing joint and up
    four corners 94 in high."""
    count = 2 * strips(509.75) + 2 * strips(341.75)
    by_hand = count * 39 * 100 + KETTLE.outside.exterior.length * 12 + 4 * 94 * 12
    assert count == 48
    assert amount(taken_off("kettle-road"), "membrane.area") == pytest.approx(by_hand / FOOT2)


def test_membrane_of_saltlick_lane_in_two_stages() -> None:
    """Up to the cold joint 48 in and 6 in onto the footing; from there 88 in and a lap of 6 in. Garage walls 52 in
    (4 in over grade) and 6 in, their corners and both Ts."""
    takeoff = taken_off("saltlick-lane")
    count = 2 * (strips(432) + strips(360))
    frost = count * 39 * 54 + 1584 * 12 + 4 * 48 * 12
    later = count * 39 * 94 + 4 * 88 * 12
    garage = (2 * strips(264) + strips(288)) * 39 * 58 + (264 + 288 + 264) * 12 + 4 * 52 * 12
    assert amount(takeoff, "membrane.area", Stage.FROST_BACKFILL, "main") == pytest.approx(frost / FOOT2)
    assert amount(takeoff, "membrane.area", Stage.WATERPROOFING) == pytest.approx(later / FOOT2)
    assert amount(takeoff, "membrane.area", Stage.FROST_BACKFILL, "garage") == pytest.approx(garage / FOOT2)


@pytest.mark.parametrize(
    ("name", "ring"), [("kettle-road", KETTLE), ("saltlick-lane", SALTLICK), ("juniper-bend", JUNIPER)]
)
def test_drain_of_the_main_house_by_shapely(name: str, ring: Ring) -> None:
    """Pipe loop, stone and 68 in of fabric, all bought once, with the stage that buries them."""
    takeoff = taken_off(name)
    assert amount(takeoff, "drain.pipe", section="main") * 12 == pytest.approx(ring.pipe(), rel=1e-4)
    assert amount(takeoff, "drain.stone", section="main") * YARD == pytest.approx(ring.stone(), rel=1e-4)
    assert amount(takeoff, "drain.fabric", section="main") * FOOT2 == pytest.approx(ring.pipe() * 68, rel=1e-4)
    stages = {q.stage for q in takeoff.quantities if q.key == "drain.pipe" and q.section == "main"}
    assert len(stages) == 1


def sliced(ring: Ring, foot: float, low: float, high: float, *, outside: bool = True) -> float:
    """Fill between two heights over the footing's bottom [in3], in slices: cut 24 in beyond the footing and back 1 to
    1. Footing and drain stone stand in it outside; inside the footing's shelf and no stone."""
    total, thin = 0.0, 0.5
    for k in range(round((high - low) / thin)):
        h = low + (k + 0.5) * thin
        reach = ring.shelf + 24 + h
        if outside:
            area = ring.outside_strip(0, reach)
            area -= ring.outside_strip(0, ring.shelf + 12) if h < foot + 6 else 0.0
        else:
            inner = moved(ring.outside, -ring.thick)
            area = inner.area - moved(inner, -reach).area
            area -= inner.area - moved(inner, -ring.shelf).area if h < foot else 0.0
        total += area * thin
    return total


def test_final_backfill_of_kettle_road_slice_by_slice() -> None:
    found = amount(taken_off("kettle-road"), "backfill.volume")
    assert found == pytest.approx(sliced(KETTLE, 10, 0, 100) / YARD, rel=1e-4)


def test_backfill_of_saltlick_lane_slice_by_slice() -> None:
    """Frost backfill outside to 90'-0" and inside to the slab's bed 89'-8", then outside to 97'-0"."""
    takeoff = taken_off("saltlick-lane")
    frost = sliced(SALTLICK, 10, 0, 58) + sliced(SALTLICK, 10, 0, 54, outside=False)
    assert amount(takeoff, "backfill.volume", Stage.FROST_BACKFILL, "main") == pytest.approx(frost / YARD, rel=1e-3)
    final = sliced(SALTLICK, 10, 58, 142)
    assert amount(takeoff, "backfill.volume", Stage.FINAL_BACKFILL) == pytest.approx(final / YARD, rel=1e-4)


def test_unbalanced_fill_of_the_three_houses() -> None:
    """Before the slab the ground inside is the footing top (Kettle Road) or the bed of its stone, 8 in under its top;
    after it the slab. Walk-out legs G, H and I of Juniper Bend have 4 in and nothing."""
    heights = {
        (name, u.leg): (u.before_slab.inch, u.after_slab.inch, u.bracing_waived_before_slab)
        for name in ("kettle-road", "saltlick-lane", "juniper-bend")
        for u in taken_off(name).unbalanced
        if u.stage is Stage.FINAL_BACKFILL
    }
    assert heights["kettle-road", "North"] == (90, 86, False)
    assert heights["saltlick-lane", "D"] == (88, 80, False)
    assert {leg: heights["juniper-bend", leg] for leg in "FGHIJ"} == {
        "F": (88, 80, False), "G": (4, 0, True), "H": (4, 0, True), "I": (4, 0, True), "J": (88, 80, False)
    }  # fmt: skip
