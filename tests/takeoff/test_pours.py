"""How walls fill: the curve against shapely prisms with openings cut out, lifts, what to call from the deck."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff import concrete, pours
from takeoff.ledges import ledge_volume
from takeoff.plan import Opening, OpeningKind, Plan, Stage
from takeoff.site import BaseJoint
from takeoff.solids import solids
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import outside_polygon, placed, ring_between
from tests.takeoff.test_ground_random import houses

YARD = 46656.0
WALLS = (Stage.FROST_WALL, Stage.FULL_WALL)


def pour(plan: Plan, stage: Stage = Stage.FULL_WALL, *legs: str) -> pours.WallPour:
    return pours.wall_pour(plan, placed(plan), stage, legs or [leg.name for leg in plan.legs()])


def ordered(plan: Plan, stage: Stage) -> float:
    return sum(q.amount for q in concrete.walls(plan, placed(plan)).quantities if q.stage is stage)


@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
@pytest.mark.parametrize("stage", WALLS)
def test_curve_lifts_and_balance_all_end_at_the_volume_of_the_pour(name: str, stage: Stage) -> None:
    plan = plans.SAMPLES[name]()
    filling, whole = pour(plan, stage), ordered(plan, stage)
    curve = filling.curve()
    assert curve.total_yd3 == pytest.approx(whole)
    levels, filled = zip(*curve.knots, strict=True)
    assert list(levels) == sorted(set(levels)) and list(filled) == sorted(filled) and filled[0] == 0.0
    for height in (None, Length.inches(17)):
        lifts = filling.lifts(height)
        assert lifts[-1].up_to_yd3 == pytest.approx(whole)
        assert [lift.number for lift in lifts] == list(range(1, len(lifts) + 1))
        assert sum(lift.yd3 for lift in lifts) == pytest.approx(whole)
    without_key = replace(
        plan, spec=replace(plan.spec, footing=replace(plan.spec.footing, base_joint=BaseJoint.DOWELS))
    )
    rows = pour(without_key, stage).balance()
    assert rows[-1].to_fill_yd3 == pytest.approx(ordered(without_key, stage))


@given(houses(), st.integers(0, 100), st.integers(20, 60), st.integers(12, 70))
@settings(max_examples=25, deadline=None)
def test_curve_against_prisms_with_a_window_cut_out(plan: Plan, percent: int, wide: int, tall: int) -> None:
    """Concrete up to a level is the area between the concrete faces times the height, less the window's part below."""
    window = Opening(
        "W", OpeningKind.WINDOW, Length.inches(wide), Length.inches(tall), plans.at("91-0"), plans.at("60")
    )
    walk = plan.walks[0]
    first = replace(walk.legs[0], openings=(window,))
    plan = replace(plan, walks=(replace(walk, legs=(first, *walk.legs[1:])),))
    form, leg = plan.form(first.form), first
    placement = placed(plan)
    core = ring_between(outside_polygon(placement), -(form.foam + leg.core).inch, -form.foam.inch)
    curve = pours.fill_curve(plan, placement, Stage.FULL_WALL, [g.name for g in plan.legs()])
    level = plans.at("90-0").inch + 96 * percent / 100
    below = min(max(level - window.sill.inch, 0), tall)
    expected = (core * (level - plans.at("90-0").inch) - wide * below * leg.core.inch) / YARD
    got = curve.yards_at(Length.from_inches(level))
    assert got == pytest.approx(expected, rel=1e-5, abs=1e-6)
    assert curve.yards_at(curve.level_at(got)) == pytest.approx(got, abs=1e-6)


def test_area_seen_from_above_is_the_core_less_openings_there() -> None:
    """40 x 28 ft of 8 in core: (2 x 480 + 2 x 336 - 8 x 6.375) in x 8 in; the window takes 36 in, the door 40."""
    curve = pour(plans.openings()).curve()
    core = (2 * (480 + 336) - 8 * 6.375) * 8 / 144
    assert curve.area_ft2(plans.at("90-0")) == pytest.approx(core)
    assert curve.area_ft2(plans.at("94-0")) == pytest.approx(core - (36 + 40) * 8 / 144)
    assert curve.area_ft2(plans.at("97-6")) == pytest.approx(core)
    assert curve.area_ft2(plans.at("98-0")) == 0.0 and curve.area_ft2(plans.at("80-0")) == 0.0


def test_a_buck_takes_more_out_than_the_rough_opening() -> None:
    """1 1/2 in boards: the window is 39 x 51 as formed, the door 43 x 83 1/2 (it has no sill)."""
    plan = plans.openings()
    boarded = replace(plan, spec=replace(plan.spec, layout=replace(plan.spec.layout, buck=Length.inches("1.5"))))
    more = (39 * 51 - 36 * 48 + 43 * 83.5 - 40 * 82) * 8 / YARD
    assert ordered(plan, Stage.FULL_WALL) - ordered(boarded, Stage.FULL_WALL) == pytest.approx(more)


def test_a_haunch_is_in_the_curve_between_its_foot_and_its_bearing() -> None:
    plan = plans.ledge()
    (first, second) = ledge_volume(plan, placed(plan))
    smooth = pour(plans.rectangle()).curve()
    curve = pour(plan).curve()
    assert curve.total_yd3 - smooth.total_yd3 == pytest.approx(first.yd3 + second.yd3)
    assert curve.yards_at(first.bottom) == pytest.approx(smooth.yards_at(first.bottom))
    half = Length.from_inches((first.bottom.inch + first.bearing.inch) / 2)
    beyond = curve.yards_at(half) - smooth.yards_at(half)
    assert beyond == pytest.approx((first.yd3 + second.yd3) / 4)  # a triangle half way up


def test_legs_fill_on_their_own_and_together() -> None:
    plan = plans.rectangle()
    parts = [pour(plan, Stage.FULL_WALL, name).curve().total_yd3 for name in "ABCD"]
    assert sum(parts) == pytest.approx(ordered(plan, Stage.FULL_WALL))
    nothing = pour(plans.garage(), Stage.FULL_WALL, "G1")
    assert nothing.curve().knots == () and nothing.lifts() == () and nothing.balance() == ()
    assert nothing.curve().yards_at(plans.at("90-0")) == 0.0
    with pytest.raises(ValueError, match="no concrete"):
        nothing.curve().level_at(1.0)


def test_lifts_follow_a_stepped_footing() -> None:
    """Leg A stands on 86'-0" for 14 ft and on 87'-4" beyond: its first lift of 2 ft ends at two levels."""
    lifts = pour(plans.stepped(), Stage.FROST_WALL, "A").lifts(Length.feet(2))
    assert [(s.bottom, s.top) for s in lifts[0].spans] == [
        (plans.at("86-0"), plans.at("88-0")),
        (plans.at("87-4"), plans.at("89-4")),
    ]
    assert [(s.bottom, s.top) for s in lifts[1].spans] == [
        (plans.at("88-0"), plans.at("90-0")),
        (plans.at("89-4"), plans.at("90-0")),
    ]
    assert len(lifts) == 2


def test_lifts_of_a_level_wall_are_equal_and_name_their_legs() -> None:
    first, second = pour(plans.rectangle()).lifts()
    assert first.yd3 == pytest.approx(second.yd3)
    assert first.spans == (pours.LiftSpan(("A", "B", "C", "D"), plans.at("90-0"), plans.at("94-0")),)
    assert second.spans[0].top == plans.at("98-0")


def test_the_key_is_poured_with_the_first_lift() -> None:
    plan = plans.rectangle()
    smooth = replace(plan, spec=replace(plan.spec, footing=replace(plan.spec.footing, base_joint=BaseJoint.DOWELS)))
    keyed, flat = (pour(p, Stage.FROST_WALL).lifts(Length.feet(2)) for p in (plan, smooth))
    assert keyed[0].yd3 - flat[0].yd3 == pytest.approx(
        ordered(plan, Stage.FROST_WALL) - ordered(smooth, Stage.FROST_WALL)
    )
    assert keyed[1].yd3 == pytest.approx(flat[1].yd3)


def test_balance_rows_come_every_three_inches_and_never_call_less_for_more() -> None:
    rows = pour(plans.walkout()).balance()
    assert [row.remaining for row in rows[:3]] == [Length.inches(3), Length.inches(6), Length.inches(9)]
    fill = [row.to_fill_yd3 for row in rows]
    calls = [row.call_yd3 for row in rows]
    assert fill == sorted(fill) and calls == sorted(calls)
    assert all((call * 4).is_integer() and call >= 2.0 for call in calls)
    with_truck = pour(plans.walkout()).balance(on_truck_yd3=9.0)
    assert with_truck[0].call_yd3 == 0.0


def test_open_tops_at_two_levels_are_measured_from_their_own() -> None:
    """Wall top of leg B drops 32 in at 20'-0": 12 in open everywhere is 12 in of the whole centre line."""
    plan = plans.stepped()
    filling = pour(plan, Stage.FULL_WALL, "B")
    centre = placed(plan).legs["B"].centre.length.inch
    assert filling.left_yd3(Length.inches(12)) == pytest.approx(centre * 8 * 12 / YARD)


def test_a_throat_ends_where_the_wall_it_meets_ends() -> None:
    """The garage wall G1 stands from 93'-0" to 97'-8" against leg B, which reaches 98'-0": its throat is 56 in tall."""
    plan = plans.garage()
    (body,) = [b for b in solids(plan, placed(plan)) if b.leg == "G1" and "T at" in b.text]
    assert body.top - body.bottom == pytest.approx(56)
    low = plans.garage(wall_top=plans.at("96-0"))
    (cut,) = [b for b in solids(low, placed(low)) if b.leg == "G1" and "T at" in b.text]
    assert cut.top - cut.bottom == pytest.approx(36)
