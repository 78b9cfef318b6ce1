"""Brick ledges: which course, from where to where, how they go round corners, and their concrete."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.blocks import lay
from takeoff.courses import Grid
from takeoff.geometry import place
from takeoff.ledges import (
    bearing_line,
    flare_deg,
    haunch_height,
    haunch_volume_in3,
    ledge_places,
    ledge_runs,
    ledge_volume,
    straight_parts,
)
from takeoff.plan import Arc, Ledge, Plan, Stage
from takeoff.results import UnitKind
from tests.takeoff import plans
from tests.takeoff.plans import at


def ledge_at(level: str = "96-8", start: str = "0", until: str | None = None, projection: str = "6") -> Ledge:
    return Ledge(at(level), at(projection), at(start), at(until) if until else None)


def around(*names: str, base: Plan | None = None, **changes: str) -> Plan:
    """A plan with a ledge along the whole of the named legs."""
    base = base or plans.rectangle()
    return on_legs(base, {name: (ledge_at(**changes),) for name in names})


def on_legs(base: Plan, ledges: dict[str, tuple[Ledge, ...]]) -> Plan:
    walks = tuple(
        replace(walk, legs=tuple(replace(leg, ledges=ledges.get(leg.name, leg.ledges)) for leg in walk.legs))
        for walk in base.walks
    )
    return replace(base, walks=walks)


# -- which course ------------------------------------------------------------------------------------
GRID = Grid(at("86-0"), at("16"))


@pytest.mark.parametrize(
    ("level", "line", "course"),
    [("96-8", "96-8", 8), ("97-0", "96-8", 8), ("97-4", "96-8", 8), ("97-6", "98-0", 9), ("86-4", "87-4", 1)],
)
def test_the_bearing_is_the_nearest_course_line(level, line, course):
    assert bearing_line(at(level), GRID, at("98-0")) == (at(line), course)


def test_no_bearing_above_the_top_of_the_wall():
    assert bearing_line(at("97-6"), GRID, at("97-8")) == (at("96-8"), 8)


def test_a_ledge_belongs_to_the_wall_its_bearing_is_on():
    plan = on_legs(plans.rectangle(), {"A": (ledge_at("90-0"), ledge_at("91-4"))})
    assert [run.stage for run in ledge_runs(plan, place(plan))] == [Stage.FROST_WALL, Stage.FULL_WALL]


# -- round corners -----------------------------------------------------------------------------------
def test_a_ledge_goes_round_a_corner_where_the_next_leg_has_it_at_the_same_level():
    plan = around("A", "B")
    a, b = ledge_runs(plan, place(plan))
    assert (a.round_start, a.round_end, b.round_start, b.round_end) == (False, True, True, False)
    plan = on_legs(plans.rectangle(), {"A": (ledge_at(),), "B": (ledge_at("95-4"),)})
    assert not any(run.round_start or run.round_end for run in ledge_runs(plan, place(plan)))


def volume_in3(plan: Plan) -> float:
    return sum(v.yd3 for v in ledge_volume(plan, place(plan))) * 46_656


def test_all_round_a_rectangle_it_is_the_ring_outside_the_core():
    """Level slices are rings w wide round the rectangle of the concrete; integrated by a fine sum."""
    plan = around(*"ABCD")
    long, wide = 480 - 2 * 2.375, 336 - 2 * 2.375
    slices = [(k + 0.5) / 2000 * 6 for k in range(2000)]
    rings = [(long + 2 * w) * (wide + 2 * w) - long * wide for w in slices]
    assert volume_in3(plan) == pytest.approx(sum(rings) / 2000 * 12, rel=1e-6)


def test_round_an_inside_corner_it_is_shorter():
    """On C and D of the L the ledge turns inward: the mitre takes away what it adds at an outside corner."""
    plan = around("C", "D", base=plans.l_shape())
    base = [(192 + 144 - 2 * 2.375 + 2 * 2.375) * 36.0]  # one outside corner each shortens, the inside one lengthens
    assert volume_in3(plan) == pytest.approx(base[0] - 2 * 12 * 36 / 6)


def test_at_an_inside_corner_it_does_not_go_round_it_ends_on_the_other_foam():
    plan = around("C", base=plans.l_shape())
    (run,) = ledge_runs(plan, place(plan))
    assert run.on_core() == pytest.approx(192 - 2.375)


def test_round_a_bend_it_is_the_ring_sector():
    """Half-round of 8 ft: a full-width ledge on a sector of rings from the core outward."""
    plan = around("B", base=plans.porch_arc())
    (run,) = ledge_runs(plan, place(plan))
    curve = run.geometry.faces[next(f for f in run.geometry.faces if f.value == "outside_of_concrete")].curve
    radius, angle = curve.radius, run.on_core() / curve.radius
    slices = [(k + 0.5) / 2000 * 6 for k in range(2000)]
    sectors = [angle / 2 * ((radius + w) ** 2 - radius**2) for w in slices]
    assert volume_in3(plan) == pytest.approx(sum(sectors) / 2000 * 12, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.floats(1, 500), st.floats(0, 10), st.floats(0, 10), st.floats(1, 40), st.floats(-0.9, 0.9))
def test_the_haunch_is_the_integral_of_its_slices(length, top, bottom, height, spread):
    slices = [bottom + (top - bottom) * (k + 0.5) / 400 for k in range(400)]
    total = sum(length * w + spread * w * w / 2 for w in slices) / 400 * height
    assert haunch_volume_in3(length, top, bottom, height, spread) == pytest.approx(total, rel=1e-4, abs=1e-3)


# -- section of the haunch ---------------------------------------------------------------------------
def test_the_unit_gives_the_section_where_it_fits():
    plan = around("A", base=plans.rectangle(form="generic-18"), projection="5.5")
    (run,) = ledge_runs(plan, place(plan))
    assert (run.haunch.unit, run.haunch.height) == (True, at("14"))
    (run,) = ledge_runs(around("A", projection="5"), place(plan))
    assert (run.haunch.unit, run.haunch.height) == (False, at("12"))


def test_a_haunch_no_unit_gives_is_never_flatter_than_30_degrees():
    assert haunch_height(at("6")) == at("12")
    assert flare_deg(at("9"), haunch_height(at("9"))) == pytest.approx(30, abs=1e-6)
    assert haunch_height(at("9")).inch == pytest.approx(9 / math.tan(math.radians(30)))


# -- which units -------------------------------------------------------------------------------------
def test_places_are_told_only_where_the_system_has_a_ledge_unit():
    plan = around("A", "B")
    assert [(p.leg, p.course) for p in ledge_places(plan, place(plan))] == [("A", 8), ("B", 8)]
    bare = replace(plan, forms=tuple(replace(form, ledge_projection=None) for form in plan.forms))
    assert ledge_places(bare, place(bare)) == ()
    assert len(ledge_runs(bare, place(bare))) == 2


def test_what_a_ledge_leaves_of_the_straight_units_of_its_course():
    plan = on_legs(plans.rectangle(), {"A": (ledge_at(start="10-0", until="20-6"),)})
    placement = place(plan)
    places = ledge_places(plan, placement)
    course = [u for u in lay(plan, placement).units if u.leg == "A" and u.course == 8]
    straight = [u for u in course if u.kind is UnitKind.STRAIGHT]
    left = [part for unit in straight for part in straight_parts(unit, places)]
    assert all(b <= at("10-0") or a >= at("20-6") for a, b in left)
    covered = sum((u.end - u.start).inch for u in straight) - sum((b - a).inch for a, b in left)
    assert covered == pytest.approx(126)
    corner = next(u for u in course if u.kind is not UnitKind.STRAIGHT)
    assert straight_parts(corner, places) == ((corner.start, corner.end),)


def test_an_arc_bent_inward_is_shorter_further_out():
    base = plans.porch_arc()
    inward = replace(
        base,
        walks=tuple(
            replace(
                w,
                legs=tuple(
                    replace(g, path=Arc(at("8-0"), -180), turn_deg=90)
                    if g.name == "B"
                    else replace(g, turn_deg=90)
                    if g.name == "A"
                    else g
                    for g in w.legs
                ),
            )
            for w in base.walks
        ),
    )
    plan = around("B", base=inward)
    (run,) = ledge_runs(plan, place(plan))
    assert run.spread() == pytest.approx(-run.on_core() / run.geometry.faces[plan.dimensions_to].curve.radius, rel=0.1)
    assert run.spread() < 0
