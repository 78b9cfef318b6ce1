"""Excavation of whole plans against shapely: areas of offset polygons added up layer by layer, and the balance of what
is dug with what goes back."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from takeoff import earth, excavation
from takeoff.plan import Plan, Stage
from takeoff.results import Part, Quantity
from takeoff.site import EarthSpec
from tests.takeoff import plans
from tests.takeoff.ground import grown, outside_polygon, placed, ring_between, walk_bands
from tests.takeoff.test_ground_random import houses

WALL, SHELF, THICK, YARD = 12.75, (20 - 12.75) / 2, 10.0, 46656.0


def part(plan: Plan) -> Part:
    return excavation.earthwork(plan, placed(plan))


def amount(found: Part, key: str, stage: Stage | None = None) -> float:
    return sum(q.amount for q in found.quantities if q.key == key and stage in (None, q.stage))


def only(found: Part, key: str) -> Quantity:
    (quantity,) = [q for q in found.quantities if q.key == key]
    return quantity


def with_earth(plan: Plan, **changes: float) -> Plan:
    return replace(plan, spec=replace(plan.spec, earth=replace(plan.spec.earth, **changes)))  # type: ignore[arg-type]


def hole(house: Polygon, wall: float, slope: float, bed: float, ground: float) -> float:
    """A house dug out whole [in3], heights over the footing's bottom: below the bed a trench sloped on both sides,
    above it everything inside, in 400 layers."""
    total, count = 0.0, 400
    step = ground / count
    inner = grown(house, -wall)
    for k in range(count):
        h = (k + 0.5) * step
        reach = SHELF + 24 + slope * h
        area = grown(house, reach).area
        area -= grown(inner, -reach).area if h < bed else 0.0
        total += area * step
    return total


@pytest.mark.parametrize("slope", [0.5, 1.0])
@pytest.mark.parametrize("name", ["rectangle", "l_shape", "round_corner"])
def test_a_basement_is_dug_out_to_the_bed_of_its_slab(name: str, slope: float) -> None:
    """Footing bottom 85'-2", bed 89'-8", ground 97'-0"."""
    plan = with_earth(plans.SAMPLES[name](), slope_run=slope)
    expected = hole(outside_polygon(placed(plan)), WALL, slope, 54.0, 142.0)
    assert amount(part(plan), "excavation.bank") * YARD == pytest.approx(expected, rel=2e-3)


@given(houses())
@settings(max_examples=10, deadline=None)
def test_random_houses_dug_out(plan: Plan) -> None:
    """Cores of 6 to 10 in: the footing grows with the wall, never less than 3 in beyond it."""
    plan = with_earth(plan, slope_run=0.25)
    if any(band.out_length(SHELF + 24 + 0.25 * 142) < 0 for band in walk_bands(placed(plan))):
        return
    leg = plan.legs()[0]
    wall = plan.form(leg.form).thickness(leg.core).inch
    shelf = max((20 - wall) / 2, 3.0)
    house = outside_polygon(placed(plan))
    inner, total = grown(house, -wall), 0.0
    for low, high, dug_inside in ((0.0, 54.0, False), (54.0, 142.0, True)):
        for h, weight in ((low, 1), ((low + high) / 2, 4), (high, 1)):
            reach = shelf + 24 + 0.25 * h
            area = grown(house, reach).area - (0.0 if dug_inside else grown(inner, -reach).area)
            total += (high - low) / 6 * weight * area
    assert amount(part(plan), "excavation.bank") * YARD == pytest.approx(total, rel=1e-6)


def test_a_frost_wall_alone_is_a_trench_on_both_sides() -> None:
    """Second ring 12 x 10 ft, footing bottom 4'-10" down, whose inside strips meet in the middle."""
    plan = plans.second_ring()
    house = outside_polygon(placed(plan), "shed")
    inner, total, count = grown(house, -WALL), 0.0, 400
    for k in range(count):
        h = (k + 0.5) * 58 / count
        reach = SHELF + 24 + h
        total += (grown(house, reach).area - grown(inner, -reach).area) * 58 / count
    garage = [q for q in part(plan).quantities if q.key == "excavation.bank" and q.section == "garage"]
    assert garage[0].amount * YARD == pytest.approx(total, rel=2e-3)


def test_an_inner_wall_is_dug_from_the_bed_down() -> None:
    more = amount(part(plans.tee()), "excavation.bank") - amount(part(plans.rectangle()), "excavation.bank")
    clear, total, count = 28 * 12 - 2 * WALL, 0.0, 400
    for k in range(count):
        wide = SHELF + 24 + (k + 0.5) * 54 / count
        total += (clear - 2 * wide) * (2 * wide + WALL) * 54 / count  # both ends lie in the hole of the walls it meets
    assert more * YARD == pytest.approx(total, rel=1e-3)


@given(st.floats(20, 160), st.sampled_from([45.0, 60.0, 90.0]), st.floats(0.25, 1.5), st.floats(20, 150))
@settings(max_examples=40)
def test_rounded_corners_are_cones(side: float, turn: float, slope: float, high: float) -> None:
    """A polygon with equal turns: mitred and rounded offsets of its toe, by Simpson's rule (exact for squares)."""
    count = round(360 / turn)
    toe = Polygon([
        (side * math.cos(math.radians(turn * k)), side * math.sin(math.radians(turn * k))) for k in range(count)
    ])  # fmt: skip

    def less(h: float) -> float:
        return float(grown(toe, slope * h).area - toe.buffer(slope * h, quad_segs=128).area)

    by_layers = high / 6 * (less(1e-9) + 4 * less(high / 2) + less(high))
    got = count * excavation.rounded_corner_in3(turn, slope, 0.0, high)
    assert got == pytest.approx(by_layers, rel=2e-3)


def test_what_is_dug_is_what_goes_back_and_what_stands_there() -> None:
    """Rectangle: hole = both backfills + footing + stone + wall + the room inside, bed to grade."""
    found = part(plans.rectangle())
    house = outside_polygon(placed(plans.rectangle()))
    inner = grown(house, -WALL)
    footing = ring_between(house, -(WALL + SHELF), SHELF) * THICK
    stone = ring_between(house, SHELF, SHELF + 12) * 16 + ring_between(house, 0.0, SHELF) * 6
    wall = ring_between(house, -WALL, 0.0) * (142 - THICK)
    room = inner.area * (142 - 54)
    there = (footing + stone + wall + room) / YARD
    assert amount(found, "excavation.bank") == pytest.approx(amount(found, "backfill.volume") + there, rel=1e-6)


def test_earth_left_over_is_hauled_away_in_loads() -> None:
    found = part(plans.rectangle())
    haul, spec = only(found, "excavation.haul"), EarthSpec()
    over = amount(found, "excavation.bank") - amount(found, "backfill.volume") / (1 - spec.shrink)
    assert haul.amount == pytest.approx(over * (1 + spec.swell))
    assert haul.stage is Stage.FOOTING and haul.buy is not None and haul.buy.step == spec.truck_loose_yd3
    assert haul.amount == pytest.approx(
        earth.loose_yd3(amount(found, "excavation.bank"), spec.swell) - amount(found, "backfill.loose")
    )


def test_earth_that_is_missing_is_brought() -> None:
    """Earth that shrinks by half: the hole does not give the backfill."""
    found = part(with_earth(plans.rectangle(), shrink=0.5))
    assert only(found, "excavation.bring").amount > 0
    assert not [q for q in found.quantities if q.key == "excavation.haul"]


def test_lifts_are_counted_compacted() -> None:
    """12 in loose is 12 x 0.9 / 1.25 = 8.64 in: 58 in outside and 54 in inside take 7, 84 in takes 10."""
    said = {c.stage: c.text for c in part(plans.rectangle()).criteria if c.key == "backfill.lift"}
    assert "8.64 in after: 7 outside, 7 inside, by turns" in said[Stage.FROST_BACKFILL]
    assert "10 outside, where it is filled highest" in said[Stage.FINAL_BACKFILL]
    assert earth.lifts(86.4, 12.0, 0.25, 0.10) == 10 and earth.lifts(86.5, 12.0, 0.25, 0.10) == 11


def test_the_inside_of_a_hung_basement_is_told() -> None:
    plan = plans.garage()
    deep = {"frost_top": plans.at("90-0"), "wall_top": plans.at("98-0"), "footing_top": plans.at("86-0")}
    walks = tuple(
        replace(w, legs=tuple(replace(leg, **deep) for leg in w.legs)) if w.starts_on else w for w in plan.walks
    )
    assert any("add what is dug out there" in p.sentence for p in part(replace(plan, walks=walks)).problems)
    assert not any("dug out there" in p.sentence for p in part(plan).problems)


def test_a_deeper_hole_is_larger() -> None:
    shallow = amount(part(plans.rectangle()), "excavation.bank")
    deep = amount(part(plans.rectangle(footing_top=plans.at("85-0"))), "excavation.bank")
    assert deep > shallow
