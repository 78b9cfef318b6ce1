"""Walls bent to a radius: slots, cuts, tape and lath of sample plans, bent outward and inward."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.blocks import lay
from takeoff.geometry import place
from takeoff.plan import Arc, Face, Plan, Stage, Straight
from takeoff.problems import Severity
from takeoff.radius import Bend, BendWay, arc_legs, spring_radius_in, way_for
from takeoff.radius_orders import course_runs, radius_part, rounding_in, sixteenths
from takeoff.results import Part
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.plans import at

WAYS = st.sampled_from(list(BendWay))
BENDS = st.builds(
    Bend,
    convex=st.floats(60, 600),
    foam=st.floats(2, 4),
    core=st.floats(4, 12),
    web=st.sampled_from([6.0, 8.0, 12.0]),
    unit=st.sampled_from([48.0, 96.0]),
    way=WAYS,
)


def part_of(plan: Plan) -> Part:
    placement = place(plan)
    return radius_part(plan, placement, lay(plan, placement))


def amount(part: Part, key: str, stage: Stage | None = None) -> float:
    return sum(q.amount for q in part.quantities if q.key == key and stage in (None, q.stage))


def said(part: Part, *words: str) -> list[str]:
    return [p.sentence for p in part.problems if all(word in p.sentence for word in words)]


def inward(radius: str = "8-0", **changes: object) -> Plan:
    """40 x 28 ft with a half-round of 8 ft radius (leg B) cut into the south side, joined at square corners."""
    south = (
        plans.leg("A", "12-0", 90, **changes),
        plans.arc("B", radius, -180, 90, **changes),
        plans.leg("C", "12-0", 90, **changes),
    )
    rest = (plans.leg("D", "28-0", **changes), plans.leg("E", "40-0", **changes), plans.leg("F", "28-0", **changes))
    return plans.plan(plans.ring(*south, *rest))


# -- geometry of a bent unit -------------------------------------------------------------------------
@settings(max_examples=60, deadline=None)
@given(BENDS)
def test_closing_the_slots_turns_the_panel_by_the_angle_of_its_cells(bend):
    """What is left of the hollow panel lies on its own, smaller circle: the angle is the same on both faces."""
    left = bend.cells * bend.web - bend.removed
    assert left / bend.concave == pytest.approx(bend.cells * math.radians(bend.cell_deg))


@settings(max_examples=60, deadline=None)
@given(BENDS)
def test_slots_are_the_difference_of_the_two_faces(bend):
    """Inner closing and outer opening of one cell together are s W / Rn, whichever way the panel is treated."""
    assert bend.slot + bend.relief == pytest.approx(bend.web * bend.thickness / bend.neutral)
    assert bend.wedge == pytest.approx(bend.web * bend.foam / bend.neutral)
    assert bend.slot > bend.slot_at_core > 0


@settings(max_examples=60, deadline=None)
@given(BENDS)
def test_a_flat_between_webs_lies_inside_the_circle_by_its_sagitta(bend):
    """R - sqrt(R^2 - s^2/4), to the first order s^2 / 8 R; s^4 / 128 R^3 is what comes after."""
    exact = bend.convex - math.sqrt(bend.convex**2 - bend.web**2 / 4)
    assert bend.facet == pytest.approx(exact, abs=1.2 * bend.web**4 / (128 * bend.convex**3))


@settings(max_examples=60, deadline=None)
@given(BENDS, st.floats(10, 300))
def test_units_and_slots_of_an_arc(bend, sweep):
    long = bend.neutral * math.radians(sweep)
    assert bend.units(sweep) * bend.unit == pytest.approx(long)
    assert bend.slots(long) - 1 <= long / bend.web <= bend.slots(long) + 1e-6


@settings(max_examples=60, deadline=None)
@given(BENDS, st.floats(10, 300))
def test_the_better_radius_has_whole_webs_and_is_near(bend, sweep):
    better = replace(bend, convex=bend.whole_webs(sweep))
    webs = better.neutral * math.radians(sweep) / better.web
    assert webs == pytest.approx(round(webs), abs=1e-6)
    assert abs(better.convex - bend.convex) * math.radians(sweep) <= bend.web / 2 + 1e-6 or round(webs) == 1


def test_cut_through_where_leaving_it_whole_would_crush_it():
    assert way_for(120, 2.5) is BendWay.SKIN_KEPT
    assert way_for(72, 2.5) is BendWay.CUT_THROUGH
    assert Bend(120, 2.5, 6, 6, 48).squeezed == pytest.approx(2.5 / 120)
    assert Bend(72, 2.5, 6, 6, 48, BendWay.CUT_THROUGH).squeezed == pytest.approx(0)


@pytest.mark.parametrize(("width", "text"), [(0.55, '9/16"'), (0.434, '7/16"'), (0.99, '1"'), (1.04, '1 1/16"')])
def test_widths_are_said_in_sixteenths(width, text):
    assert sixteenths(width) == text
    assert abs(rounding_in(width)) <= 1 / 32


# -- plans -------------------------------------------------------------------------------------------
def test_an_arc_that_bulges_out_is_slotted_inside():
    plan = plans.porch_arc()
    (arc,) = arc_legs(plan, place(plan))
    assert (arc.bulges_out, arc.slotted, arc.bend.convex) == (True, "inside", pytest.approx(96))
    assert arc.neutral_per_outside == 1.0


def test_an_arc_that_bends_in_is_slotted_outside_and_takes_more_units():
    plan = inward()
    (arc,) = arc_legs(plan, place(plan))
    thick = 8 + 2 * 2.375
    assert (arc.bulges_out, arc.slotted) == (False, "outside")
    assert arc.bend.convex == pytest.approx(96 + thick)
    assert arc.bend.concave == pytest.approx(96)
    part = part_of(plan)
    # each of 9 courses is longer by pi x 12.75 in = 40 in on the bulging face: a unit each
    assert amount(part, "blocks.radius_more") == 9
    assert not amount(part_of(plans.porch_arc()), "blocks.radius_more")


def test_the_other_way_round_the_walk_it_is_the_same():
    """Walked clockwise, with every turn and sweep mirrored, the same arcs bulge out."""
    for plan in (plans.porch_arc(), inward()):
        mirrored = replace(
            plan,
            walks=tuple(
                replace(
                    w,
                    legs=tuple(
                        replace(
                            g,
                            turn_deg=-g.turn_deg,
                            path=Arc(g.path.radius, -g.path.sweep_deg) if isinstance(g.path, Arc) else g.path,
                        )
                        for g in w.legs
                    ),
                )
                for w in plan.walks
            ),
        )
        (one,), (other,) = arc_legs(plan, place(plan)), arc_legs(mirrored, place(mirrored))
        assert other.bulges_out == one.bulges_out
        assert other.bend.slot == pytest.approx(one.bend.slot)


@pytest.mark.parametrize(
    ("face", "convex"),
    [(Face.OUTSIDE_OF_FOAM, 96), (Face.OUTSIDE_OF_CONCRETE, 96 + 2.375), (Face.CENTRE_LINE, 96 + 2.375 + 4)],
)
def test_the_radius_is_that_of_the_face_it_was_given_to(face, convex):
    plan = replace(plans.porch_arc(), dimensions_to=face)
    (arc,) = arc_legs(plan, place(plan))
    assert arc.bend.convex == pytest.approx(convex)


def test_slots_are_counted_course_by_course():
    """Half-round of 96 in: 301.6 in outside, 50.3 webs of 6 in, so 51 slots in each of 3 and 6 courses."""
    part = part_of(plans.porch_arc())
    assert amount(part, "radius.slots", Stage.FROST_WALL) == 3 * 51
    assert amount(part, "radius.slots", Stage.FULL_WALL) == 6 * 51
    assert amount(part, "radius.lath") == pytest.approx(9 * 3 * math.pi * 8)
    assert amount(part, "radius.tape") == pytest.approx(9 * 2 * math.pi * 8)
    assert amount(part, "radius.relief_cuts") == 0


def test_a_tight_bend_is_cut_through_beside_each_slot():
    part = part_of(plans.round_corner())
    assert amount(part, "radius.relief_cuts") == amount(part, "radius.slots") > 0
    assert said(part, "cut through beside each slot")


def test_an_opening_takes_its_slots_with_it():
    window = replace(plans.WINDOW, offset=at("8-0"))
    base = plans.porch_arc()
    walks = tuple(
        replace(w, legs=tuple(replace(g, openings=(window,)) if g.name == "B" else g for g in w.legs))
        for w in base.walks
    )
    fewer = amount(part_of(replace(base, walks=walks)), "radius.slots")
    assert fewer < amount(part_of(base), "radius.slots")


def test_units_side_by_side_are_one_run():
    plan = plans.porch_arc()
    runs = course_runs(unit for unit in lay(plan, place(plan)).units if unit.leg == "B")
    assert len(runs) == 9
    assert all(len(of) == 1 for of in runs.values())


def test_a_plan_without_an_arc_has_nothing_to_say():
    assert part_of(plans.rectangle()) == Part()


# -- what is told ------------------------------------------------------------------------------------
def test_below_the_suppliers_least_radius():
    plan = plans.porch_arc(form="generic-18")
    tight = replace(plan, forms=tuple(replace(form, least_radius=at("9-0")) for form in plan.forms))
    (sentence,) = said(part_of(tight), "is bent to 9'-0\" at least")
    assert "a radius of 8'-0\"" in sentence
    assert not said(part_of(plan), "at least;")


def rounded(inches: str) -> Plan:
    """40 x 28 ft whose south-east corner is a tangent quarter circle of a radius in inches (leg B)."""
    south, east = (replace(plans.leg(n, "1", t), path=Straight(x - at(inches))) for n, t, x in (
        ("A", 0, Length.feet(40)), ("C", 90, Length.feet(28))
    ))  # fmt: skip
    legs = (south, plans.arc("B", inches, 90, 0), east, plans.leg("D", "40-0"), plans.leg("E", "28-0"))
    return plans.plan(plans.ring(*legs))


def test_slots_that_leave_too_little_foam_at_the_webs():
    """Webs 2 in apart on a radius of 18 in, panel cut through: slots of 1.33 in leave 0.67 in."""
    plan = rounded("18")
    narrow = replace(plan, forms=tuple(replace(form, web_spacing=at("2")) for form in plan.forms))
    assert said(part_of(narrow), "in of foam beside webs")
    assert not said(part_of(plans.porch_arc()), "in of foam beside webs")


def test_a_radius_less_than_the_wall_is_thick_is_refused_with_the_geometry():
    assert place(rounded("12")).problems[0].severity is Severity.BLOCKER
    plan = rounded("13")
    (arc,) = arc_legs(plan, place(plan))
    assert arc.bend.concave == pytest.approx(0.25)


def test_bars_that_do_not_spring_to_the_radius_are_rolled():
    part = part_of(plans.porch_arc())
    (found,) = [p for p in part.problems if "rolled" in p.sentence]
    assert found.severity is Severity.WARNING
    assert "#4" in found.sentence
    wide = plans.rectangle()
    big = replace(
        wide,
        walks=(
            plans.ring(
                plans.leg("A", "10-0", 0), plans.arc("B", "30-0", 90, 0), plans.leg("C", "10-0", 90),
                plans.leg("D", "40-0", 90), plans.leg("E", "40-0", 90),
            ),
        ),
    )  # fmt: skip
    assert not said(part_of(big), "rolled")
    assert spring_radius_in(4, 60) == pytest.approx(120.8, abs=0.1)


def test_an_arc_of_no_whole_number_of_webs_names_a_better_radius():
    (sentence,) = said(part_of(plans.porch_arc()), "webs long where the units keep their length")
    assert "50.27 webs" in sentence
    assert "7'-11 1/2\"" in sentence
    assert said(part_of(plans.porch_arc()), "corner units that lie on the arc are slotted")


def test_the_slot_is_a_number_to_check():
    found = part_of(plans.porch_arc()).criteria
    assert {c.stage for c in found} == {Stage.FROST_WALL, Stage.FULL_WALL}
    assert all(c.value == pytest.approx(6 * 12.75 / 96) and c.tolerance == 1 / 16 for c in found)
