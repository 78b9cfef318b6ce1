"""The difficult house counted by those who dig, drain and brace it, and held against the printed tables.

Pencil and shapely, from the coordinates of the outline: working space 24 in, slope 1 to 1, footing 20 x 10 in standing
out 3 5/8 in, stone 12 in beyond it and 6 in over it, pipe 4 1/2 in outside. Conventions that belong to the count: the
face of an opening is dressed like the wall beside it; each coil of pipe has one coupler, ordered once for all of them;
the ground before digging is the finished grade beside each leg. Geometry; common practice.
"""

from __future__ import annotations

import math

import pytest

from takeoff.orders import order_lines
from takeoff.plan import Stage
from takeoff.results import SteelCheck, Verdict, WallState
from tests.takeoff.difficult import difficult_taken_off
from tests.takeoff.examples import amount
from tests.takeoff.validation.test_difficult_house_concrete import moved
from tests.takeoff.validation.test_difficult_house_forms import SLANT, WALL

YARD, SHELF, TOE = 46656.0, 3.625, 27.625
FLARE = math.tan(math.radians(22.5))


def term(key: str, stage: Stage, leg: str, word: str = "") -> float:
    """One leg's figure out of the sum of a quantity, as written."""
    [quantity] = [q for q in difficult_taken_off().of(stage, ("main",)) if q.key == key]
    parts = quantity.basis.split("; in all")[0].split("; ")
    [part] = [p for p in parts if p.startswith(f"{leg}: {word}")]
    return float(part.rsplit(" = ", 1)[1].split()[0].replace(",", ""))


def strip(long: float, spread: float, near: float, far: float) -> float:
    """Area between two offsets of a leg mitred at its ends: the sum of L + k d."""
    return long * (far - near) + spread * (far * far - near * near) / 2


def cut(long: float, spread: float, low: float, high: float) -> float:
    """Fill beside a leg between two heights over the footing's bottom, where the cut is TOE + h wide: the sum of
    L d + k d2 / 2 over h, integrated by pencil."""
    a, b = TOE + low, TOE + high
    return long * (b * b - a * a) / 2 + spread * (b**3 - a**3) / 6


def test_final_backfill_of_s7() -> None:
    """18 ft between two outside corners, from 90'-0" to 97'-0" over a footing bottom at 85'-2": 58 to 142 in up."""
    assert term("backfill.volume", Stage.FINAL_BACKFILL, "S7") == pytest.approx(cut(216, 2, 58, 142) / YARD, abs=0.005)


def test_frost_backfill_of_s7_on_both_sides() -> None:
    """Outside to 90'-0", less the footing's edge and the stone beside and over it; inside to the bed of the slab at
    89'-8", on 190 1/2 in, less the footing's edge."""
    outside = cut(216, 2, 0, 58) - strip(216, 2, 0, SHELF) * 16 - strip(216, 2, SHELF, SHELF + 12) * 16
    inside = cut(216 - 2 * WALL, -2, 0, 54) - strip(216 - 2 * WALL, -2, 0, SHELF) * 10
    assert term("backfill.volume", Stage.FROST_BACKFILL, "S7", "outside") == pytest.approx(outside / YARD, abs=0.005)
    assert term("backfill.volume", Stage.FROST_BACKFILL, "S7", "inside") == pytest.approx(inside / YARD, abs=0.005)


def test_the_hole_outside_s3_and_s7() -> None:
    """S3 between a 45 degree corner and a bend in line, ground at 90'-0": 58 in deep; S7 142 in."""
    [hole] = [q for q in difficult_taken_off().of(Stage.FOOTING, ("main",)) if q.key == "excavation.bank"]
    for leg, long, spread, deep in (("S3", 240, FLARE, 58), ("S7", 216, 2, 142)):
        [part] = [p for p in hole.basis.split("; ") if p.startswith(f"{leg}: ")]
        outside = float(part.split("deep: ")[1].split(" outside")[0])
        assert outside == pytest.approx(cut(long, spread, 0, deep) / YARD, abs=0.005)


def test_drain_round_the_house() -> None:
    """Pipe in the middle of the stone, 3 5/8 + 6 in from the foam, and 40 ft of outlet; stone in a box of 12 x 16 in
    and 6 in on the footing's edge, less the pipe; fabric 2 x (12 + 16) + 12 in wide; a bend at every corner."""
    takeoff = difficult_taken_off()
    loop = moved(SHELF + 6).exterior.length
    assert amount(takeoff, "drain.pipe", section="main") * 12 == pytest.approx(loop + 480, rel=1e-5)
    box = (moved(SHELF + 12).area - moved(SHELF).area) * 16 + (moved(SHELF).area - moved(0).area) * 6
    stone = (box - math.pi / 4 * 4.5**2 * loop) / YARD
    assert amount(takeoff, "drain.stone", section="main") == pytest.approx(stone, rel=1e-4)
    assert amount(takeoff, "drain.fabric", section="main") == pytest.approx(loop * 68 / 144, rel=1e-5)
    assert amount(takeoff, "drain.bend_90", section="main") == 4  # S5/S6, S6/S7, S7/S8, S8/S1
    assert amount(takeoff, "drain.bend_45", section="main") == 2
    assert amount(takeoff, "drain.bend_90", section="garage") == 2


def test_as_many_couplers_as_coils_are_ordered() -> None:
    """Counted as parts of a coil leg by leg, rounded up once: 202.8 ft and 71.6 ft are three coils of 100 ft together,
    three and one if the sections are ordered apart; a coupler joins each coil to the next."""
    takeoff = difficult_taken_off()
    for sections in (("main", "garage"), ("main",), ("garage",)):
        lines = {line.key: line for line in order_lines(takeoff, Stage.FROST_BACKFILL, sections)}
        feet = sum(amount(takeoff, "drain.pipe", section=s) for s in sections)
        assert lines["drain.pipe"].count == lines["drain.coupler"].count == math.ceil(feet / 100)


@pytest.mark.parametrize(("leg", "long"), [("S7", 216), ("S6", 144), ("S1", 120)])
def test_strips_of_membrane_on_a_leg(leg: str, long: float) -> None:
    """Rolls 39 in wide lapped 2 1/2 in: 1 + ceil((L - 39) / 36 1/2) strips; in the frost wall's stage 48 in of wall and
    6 in onto the footing on S6 and S7; S1 in three pieces, the last 10 ft as high."""
    strips = 1 + math.ceil((long - 39) / 36.5)
    [area] = [q for q in difficult_taken_off().of(Stage.FROST_BACKFILL, ("main",)) if q.key == "membrane.area"]
    said = [p for p in area.basis.split("; ") if p.startswith(f"{leg}: ") and "strips" in p]
    assert f"{leg}: {strips} strips for" in said[-1] and 'x 39" x 4\'-6"' in said[-1]
    assert float(said[-1].rsplit(" = ", 1)[1]) == pytest.approx(strips * 39 * 54 / 144, abs=0.06)


def test_board_round_the_house() -> None:
    """From the footing to the cold joint in the first stage, 50 ft laid for every 49 1/2 ft of wall: 48 in on most of
    it, 8 in over 10 ft of S1 and 16 ft of S8, 28 in over 10 and 15 ft."""
    round_it = moved(0).exterior.length
    low, middle = 120 + 192, 120 + 180
    face = low * 8 + middle * 28 + (round_it - low - middle) * 48
    got = amount(difficult_taken_off(), "board.area", Stage.FROST_BACKFILL, "main")
    assert got == pytest.approx(face / 144 * 50 / 49.5, rel=1e-5)


def test_braces_by_pencil() -> None:
    """ceil((inside face - 48) / 72) + 1 a wall, 48 in apart on the bend, two more at an opening and at a T. Inside
    faces: S1 360 - 12 3/4 (1 + tan 22.5), S2 101.82 - 2 x 12 3/4 tan 22.5, S3 240 - 12 3/4 tan 22.5, S4 83 1/4 pi/2,
    S5 120 + 12 3/4, S6 144, S7 and S8 less 25 1/2, T1 168 in. Common practice."""
    faces = [360 - WALL * (1 + FLARE), SLANT - 2 * WALL * FLARE, 240 - WALL * FLARE, 120 + WALL, 144.0]
    faces += [216 - 2 * WALL, 552 - 2 * WALL, 168.0]
    field = (
        sum(math.ceil((face - 48) / 72) + 1 for face in faces) + math.ceil(((96 - WALL) * math.pi / 2 - 48) / 48) + 1
    )
    assert amount(difficult_taken_off(), "braces", Stage.FROST_WALL, "main") == field + 2
    assert amount(difficult_taken_off(), "braces", Stage.FULL_WALL, "main") == field + 2 + 3 * 2
    garage = sum(math.ceil((face - 48) / 72) + 1 for face in (288 - WALL, 264 - 2 * WALL, 288 - WALL))
    assert amount(difficult_taken_off(), "braces", Stage.FROST_WALL, "garage") == garage + 2 * 2


def test_what_the_code_asks_of_the_footing() -> None:
    """IRC 2021 Table R403.1(2), brick veneer, one story over a basement, 50 psf snow, 1,500 psf bearing: 20 x 6 in for
    a house 32 ft wide (read in a state's copy); 36 ft is one step of 4 ft more, 2 in wider and 1 in thicker. The wall
    is 4 ft higher than the table's: 150 pcf x 8 in x 4 ft = 400 lb/ft over 1,500 psf, 3.2 in more (statics)."""
    [told] = [p.sentence for p in difficult_taken_off().problems if "Table R403.1(2)" in p.sentence]
    assert 'the footing is 20" x 10", asked 22" x 7"' in told
    assert pytest.approx(3.2) == 150 * (8 / 12) * 4 / 1500 * 12 and '3 1/4" more for 4 ft of wall' in told


def checked(leg: str, state: WallState) -> SteelCheck:
    [found] = [c for c in difficult_taken_off().checks if (c.leg, c.state) == (leg, state)]
    return found


@pytest.mark.parametrize(
    ("state", "high", "fill", "row"),
    [
        (WallState.BEFORE_SLAB, 100 / 12, 88 / 12, "9 ft high, 8 ft of fill"),
        (WallState.FINISHED, 92 / 12, 80 / 12, "8 ft high, 7 ft of fill"),
    ],
)
def test_steel_of_s7_by_the_printed_table_and_a_strip(state: WallState, high: float, fill: float, row: str) -> None:
    """IRC 2021 Table R404.1.2(3), 8 in wall, 45 psf per ft: #6 at 32 in for 9 ft of wall and 8 ft of fill, #6 at 36 in
    for 8 and 7 ft (read in a state's copy; next row up, none between). #5 at 18 in is more steel than either.

    A strip held at top and foot under a triangle of soil: the top holds w h3 / 6 L; the moment is largest where that is
    w x2 / 2. 1.6 times it against 0.9 As fy (d - a / 2), bars in the middle of 7 1/2 in, 3,000 psi (statics)."""
    found = checked("S7", state)
    asked = {"9 ft": (0.44, 32), "8 ft": (0.44, 36)}[row[:4]]
    assert row in found.row and f"#6 @ {asked[1]} in" in found.required
    assert asked[0] / asked[1] < 0.31 / 18 and found.verdict is Verdict.ENOUGH
    top = 45 * fill**3 / (6 * high)
    deep = math.sqrt(2 * top / 45)
    moment = 1.6 * (top * (high - fill + deep) - 45 * deep**3 / 6)
    assert found.moment_lb_ft == pytest.approx(moment, rel=2e-3)
    steel = 0.31 * 12 / 18
    block = steel * 60000 / (0.85 * 3000 * 12)
    carries = 0.9 * steel * 60000 * (3.75 - block / 2) / 12
    assert found.capacity_lb_ft == pytest.approx(carries, rel=5e-3)
    assert found.ratio == pytest.approx(moment / carries, rel=6e-3)


def test_unbalanced_fill_told_for_s3_and_s7() -> None:
    """S3 is a walk-out, 90'-0" outside against 89'-8" and 90'-4" inside: 4 in and none; S7 7'-4" and 6'-8"."""
    found = {u.leg: u for u in difficult_taken_off().unbalanced if u.stage is Stage.FINAL_BACKFILL}
    assert (found["S7"].before_slab.inch, found["S7"].after_slab.inch) == (88, 80)
    assert (found["S3"].before_slab.inch, found["S3"].after_slab.inch) == (4, 0)
    assert found["S3"].bracing_waived_before_slab and not found["S7"].bracing_waived_after_slab
