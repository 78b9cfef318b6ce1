"""Backfill of whole plans against shapely: areas of offset polygons added up slice by slice."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from takeoff import earth
from takeoff.plan import Plan, Stage
from takeoff.results import Part
from takeoff.site import EarthSpec
from tests.takeoff import plans
from tests.takeoff.ground import grown, outside_polygon, placed, ring_between

WALL, SHELF, THICK = 12.75, (20 - 12.75) / 2, 10.0
YARD = 46656.0
SLICES = 60


def part(plan: Plan) -> Part:
    return earth.backfill(plan, placed(plan))


def placed_yd3(plan: Plan, stage: Stage, key: str = "backfill.volume") -> float:
    return sum(q.amount for q in part(plan).quantities if q.stage is stage and q.key == key)


def with_earth(plan: Plan, **changes: float) -> Plan:
    return replace(plan, spec=replace(plan.spec, earth=replace(plan.spec.earth, **changes)))  # type: ignore[arg-type]


def slices(low: float, high: float) -> list[tuple[float, float]]:
    """Middles and thickness of thin layers."""
    step = (high - low) / SLICES
    return [(low + (k + 0.5) * step, step) for k in range(SLICES)]


def outside_by_slices(house: Polygon, slope: float, low: float, high: float) -> float:
    """Fill outside between two heights over the footing bottom, footing and stone taken off, layer by layer."""
    total = 0.0
    for height, step in slices(low, high):
        cut = ring_between(house, 0.0, SHELF + 24 + slope * height)
        if height < THICK:
            cut -= ring_between(house, 0.0, SHELF)
        if height < THICK + 6:
            cut -= ring_between(house, SHELF, SHELF + 12)
        if THICK < height < THICK + 6:
            cut -= ring_between(house, 0.0, SHELF)
        total += cut * step
    return total


def inside_by_slices(house: Polygon, slope: float, high: float) -> float:
    """Fill inside up to a height, the footing taken off; the hole cannot be wider than the house."""
    inner = grown(house, -WALL)
    total = 0.0
    for height, step in slices(0.0, high):
        cut = inner.area - grown(inner, -(SHELF + 24 + slope * height)).area
        if height < THICK:
            cut -= inner.area - grown(inner, -SHELF).area
        total += cut * step
    return total


@pytest.mark.parametrize("slope", [0.5, 1.0])
@pytest.mark.parametrize("name", ["rectangle", "l_shape", "round_corner"])
def test_both_backfills_against_layers_of_offset_polygons(name: str, slope: float) -> None:
    """Frost backfill: 10 in of footing and 48 in of wall outside, 44 in inside (bed of the slab 89'-8");
    final backfill from there to 97'-0". The layers of 1 to 2 in meet the steps of footing and stone within 1/2 %."""
    plan = with_earth(plans.SAMPLES[name](), slope_run=slope)
    house = outside_polygon(placed(plan))
    frost = outside_by_slices(house, slope, 0.0, 58.0) + inside_by_slices(house, slope, 54.0)
    assert placed_yd3(plan, Stage.FROST_BACKFILL) == pytest.approx(frost / YARD, rel=5e-3)
    final = outside_by_slices(house, slope, 58.0, 142.0)
    assert placed_yd3(plan, Stage.FINAL_BACKFILL) == pytest.approx(final / YARD, rel=1e-4)


def test_a_small_ring_is_never_filled_more_than_full() -> None:
    """10 x 8 ft inside a 1:1 cut: the two sides meet in the middle; measured like the whole inside."""
    plan = plans.rectangle("10-0", "8-0")
    house = outside_polygon(placed(plan))
    got = placed_yd3(plan, Stage.FROST_BACKFILL)
    expected = outside_by_slices(house, 1.0, 0.0, 58.0) + inside_by_slices(house, 1.0, 54.0)
    assert got == pytest.approx(expected / YARD, rel=5e-3)


def test_a_leg_without_frost_wall_is_filled_outside_from_the_bottom() -> None:
    plan = plans.rectangle(frost_top=None)
    house = outside_polygon(placed(plan))
    assert placed_yd3(plan, Stage.FROST_BACKFILL) == 0
    expected = outside_by_slices(house, 1.0, 0.0, 142.0)
    assert placed_yd3(plan, Stage.FINAL_BACKFILL) == pytest.approx(expected / YARD, rel=5e-3)


def test_a_walk_out_has_no_final_backfill_on_its_low_side() -> None:
    final = [
        q for q in part(plans.openings()).quantities if q.stage is Stage.FINAL_BACKFILL and q.key == "backfill.volume"
    ]
    assert [q.legs for q in final] == [("A", "B", "D")]


@given(
    length=st.floats(50, 5000), spread=st.floats(-2, 8), offset=st.floats(0, 60), slope=st.floats(0, 2),
    low=st.floats(0, 50), rise=st.floats(0.1, 150),
)  # fmt: skip
@settings(max_examples=60)
def test_annulus_is_the_sum_of_its_layers(
    length: float, spread: float, offset: float, slope: float, low: float, rise: float
) -> None:
    def layer(height: float) -> float:
        d = offset + slope * height
        return length * d + spread * d * d / 2

    count = 2000
    by_hand = sum(layer(low + (k + 0.5) * rise / count) for k in range(count)) * rise / count
    got = earth.annulus_in3(length, spread, offset, slope, low, low + rise)
    assert got == pytest.approx(by_hand, rel=1e-4, abs=1e-3)


@given(split=st.floats(1, 99))
def test_stages_meet_without_gap_or_overlap(split: float) -> None:
    whole = earth.annulus_in3(1000.0, 8.0, 30.0, 1.0, 0.0, 100.0)
    parts = earth.annulus_in3(1000.0, 8.0, 30.0, 1.0, 0.0, split) + earth.annulus_in3(
        1000.0, 8.0, 30.0, 1.0, split, 100.0
    )
    assert parts == pytest.approx(whole)


def test_bank_and_loose_follow_from_what_is_placed() -> None:
    plan = plans.rectangle()
    placed_, bank, loose = (
        placed_yd3(plan, Stage.FINAL_BACKFILL, key) for key in ("backfill.volume", "backfill.bank", "backfill.loose")
    )
    spec = EarthSpec()
    assert bank == pytest.approx(placed_ / (1 - spec.shrink))
    assert loose == pytest.approx(bank * (1 + spec.swell))
    (line,) = [q for q in part(plan).quantities if q.key == "backfill.loose" and q.stage is Stage.FINAL_BACKFILL]
    assert line.buy is not None and line.buy.step == spec.truck_loose_yd3


def test_criteria_watched_while_filling() -> None:
    found = {(c.stage, c.key): c for c in part(plans.rectangle()).criteria if c.legs in (("A",), ("A", "B", "C", "D"))}
    assert found[Stage.FROST_BACKFILL, "backfill.balance"].value == 12.0
    assert (Stage.FINAL_BACKFILL, "backfill.balance") not in found
    assert found[Stage.FINAL_BACKFILL, "grade.fall"].value == 6.0
    assert found[Stage.FINAL_BACKFILL, "backfill.unbalanced_before"].value == 88.0
    assert "hold the wall at top and foot" in found[Stage.FINAL_BACKFILL, "backfill.unbalanced_before"].text
    assert "still needs strength" in found[Stage.FROST_BACKFILL, "backfill.unbalanced_before"].text


def test_a_leg_swallowed_by_the_cut_is_told() -> None:
    """A recess 4 ft wide between two inside corners, under a cut 12 ft wide."""
    sides = (("A", "40-0", 90), ("B", "28-0", 90), ("C", "18-0", 90), ("D", "8-0", -90), ("E", "4-0", -90))
    rest = (("F", "8-0", 90), ("G", "18-0", 90), ("H", "28-0", 90))
    plan = plans.plan(plans.ring(*(plans.leg(n, x, t) for n, x, t in (*sides, *rest))))
    assert [p.leg for p in part(plan).problems] == ["E"]
    assert part(plans.l_shape()).problems == ()


def test_an_inner_wall_is_filled_to_the_floor_bed_on_both_sides_and_no_more() -> None:
    """T1 has a grade of 97'-0" typed for it, as defaults do; its trench is filled to 89'-8" on both sides. At both ends
    it stands in the trench of the wall it meets, which is filled with that wall; T1 itself takes its room out of it."""
    plan = plans.tee()
    with_wall, without = part(plan), part(plans.rectangle())

    def amount(found: Part, stage: Stage) -> float:
        return sum(q.amount for q in found.quantities if q.key == "backfill.volume" and q.stage is stage)

    assert amount(with_wall, Stage.FINAL_BACKFILL) == pytest.approx(amount(without, Stage.FINAL_BACKFILL))
    clear, total = 28 * 12 - 2 * WALL, 0.0
    for height, step in slices(0.0, 54.0):
        wide = SHELF + 24 + height
        total += (clear * wide - 2 * wide * wide - WALL * wide) * step  # half of T1 on either side
        total -= (clear * SHELF - SHELF * SHELF) * step if height < THICK else 0.0
    extra = amount(with_wall, Stage.FROST_BACKFILL) - amount(without, Stage.FROST_BACKFILL)
    assert extra == pytest.approx(2 * total / YARD, rel=5e-3)
    assert with_wall.problems == ()


def test_ground_falls_away_after_the_last_fill_of_each_leg() -> None:
    falls = {(c.stage, c.legs) for c in part(plans.garage()).criteria if c.key == "grade.fall"}
    assert falls == {(Stage.FINAL_BACKFILL, ("A", "B", "C", "D")), (Stage.FROST_BACKFILL, ("G1", "G2", "G3"))}
