"""Random houses with jogs, bays and unequal cores: concrete and strips against shapely."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box

from takeoff import concrete, earth, envelope, footing
from takeoff.plan import Plan, Stage
from takeoff.site import BaseJoint
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import NO_LIMIT, grown, outside_polygon, placed, ring_between, walk_bands
from tests.takeoff.rings import Drawn, drawn_plans

YARD = 46656.0


def inches(low: int, high: int) -> st.SearchStrategy[Length]:
    """Lengths to a sixteenth."""
    return st.integers(low * 16, high * 16).map(lambda n: Length(n * 25_400_000 // 16))


@st.composite
def houses(draw: st.DrawFn) -> Plan:
    """A rectangle with a jog in or out on its south side and, sometimes, a bite out of its north-east corner."""
    before, jog, after = draw(inches(240, 400)), draw(inches(240, 400)), draw(inches(240, 400))
    depth, side = draw(inches(30, 100)), draw(inches(360, 500))
    turn = draw(st.sampled_from([90, -90]))
    core = draw(st.sampled_from(["6", "8", "10"]))
    south = [("A", before, turn), ("B", depth, -turn), ("C", jog, -turn), ("D", depth, turn), ("E", after, 90)]
    wide = before + jog + after
    if draw(st.booleans()):
        bite, deep = draw(inches(120, 200)), draw(inches(100, 180))
        north = [("F", side - deep, 90), ("G", bite, -90), ("H", deep, 90), ("I", wide - bite, 90), ("J", side, 90)]
    else:
        north = [("F", side, 90), ("G", wide, 90), ("H", side, 90)]
    legs = []
    for name, length, angle in (*south, *north):
        leg = plans.leg(name, "1", angle, core=plans.at(core))
        legs.append(replace(leg, path=replace(leg.path, length=length)))
    plan = plans.plan(plans.ring(*legs))
    smooth = replace(plan.spec.footing, base_joint=BaseJoint.DOWELS)
    return replace(plan, spec=replace(plan.spec, footing=smooth))


def amount(part_quantities: object, key: str, stage: Stage) -> float:
    return sum(q.amount for q in part_quantities if q.key == key and q.stage is stage)  # type: ignore[attr-defined]


@given(houses())
@settings(max_examples=25, deadline=None)
def test_concrete_of_footing_and_walls(plan: Plan) -> None:
    placement = placed(plan)
    house = outside_polygon(placement)
    leg = plan.legs()[0]
    wall = plan.form(leg.form).thickness(leg.core).inch
    wide = footing.width(plan.spec.footing, plan.form(leg.form), leg.core).inch
    beyond = (wide - wall) / 2
    base = ring_between(house, -(wall + beyond), beyond) * 10 / YARD
    got = amount(footing.footings(plan, placement).quantities, "footing.concrete", Stage.FOOTING)
    assert got == pytest.approx(base, rel=1e-6)
    foam = plan.form(leg.form).foam.inch
    core = ring_between(house, -(wall - foam), -foam) * 96 / YARD
    assert amount(concrete.walls(plan, placement).quantities, "wall.concrete", Stage.FULL_WALL) == pytest.approx(
        core, rel=1e-6
    )


@given(houses())
@settings(max_examples=25, deadline=None)
def test_drain_and_final_backfill(plan: Plan) -> None:
    placement = placed(plan)
    house, leg = outside_polygon(placement), plan.legs()[0]
    form = plan.form(leg.form)
    shelf = footing.projection(plan.spec.footing, form, leg.core).inch
    pipe = amount(envelope.envelope(plan, placement).quantities, "drain.pipe", Stage.FROST_BACKFILL) * 12
    assert pipe == pytest.approx(grown(house, shelf + 6).length, rel=1e-6)
    steep = replace(plan, spec=replace(plan.spec, earth=replace(plan.spec.earth, slope_run=0.25)))
    reach = shelf + 24 + 0.25 * 142
    swallowed = any(band.out_length(reach) < 0 for band in walk_bands(placement))
    part = earth.backfill(steep, placement)
    assert bool(part.problems) is swallowed
    final = sum(ring_between(house, 0.0, shelf + 24 + 0.25 * (58 + (k + 0.5) * 84 / 40)) * 84 / 40 for k in range(40))
    got = amount(part.quantities, "backfill.volume", Stage.FINAL_BACKFILL) * YARD
    assert got == pytest.approx(final, rel=0.05 if swallowed else 1e-4)


FOAM, CORE, WALL, WIDE, BEYOND = 2.375, 8.0, 12.75, 20.0, (20.0 - 12.75) / 2


def without_key(plan: Plan) -> Plan:
    smooth = replace(plan.spec.footing, base_joint=BaseJoint.DOWELS)
    return replace(plan, spec=replace(plan.spec, footing=smooth))


@given(drawn_plans())
@settings(max_examples=25, deadline=None)
def test_concrete_of_clipped_and_rounded_houses(drawn: Drawn) -> None:
    """The line the plan was walked on, drawn apart from our geometry with its arcs in chords of half a degree."""
    plan = without_key(drawn.plan)
    placement, house = placed(plan), Polygon(drawn.line)
    near = 3e-4 if drawn.bent else 1e-9
    base = ring_between(house, -(WALL + BEYOND), BEYOND) * 10 / YARD
    got = amount(footing.footings(plan, placement).quantities, "footing.concrete", Stage.FOOTING)
    assert got == pytest.approx(base, rel=near)
    core = ring_between(house, -(FOAM + CORE), -FOAM)
    poured = concrete.walls(plan, placement).quantities
    assert amount(poured, "wall.concrete", Stage.FULL_WALL) == pytest.approx(core * 96 / YARD, rel=near)
    assert amount(poured, "wall.concrete", Stage.FROST_WALL) == pytest.approx(core * 48 / YARD, rel=near)


@given(inches(30, 60), inches(100, 220), inches(80, 400), st.booleans())
@settings(max_examples=25, deadline=None)
def test_concrete_of_a_hung_garage(start: Length, along: Length, out: Length, level: bool) -> None:
    """A garage hung on the east wall of 40 x 28 ft, its footing at the level of the house's (it stops at that one's
    edge) or above it (it runs to the wall). Its core goes on through 2 3/8 in of the house's foam."""
    foot = plans.at("86-0") if level else plans.at("93-0")
    sides = [plans.frost(name, "1", turn, footing_top=foot) for name, turn in (("G1", 90), ("G2", 90), ("G3", 0))]
    walls = [replace(leg, path=replace(leg.path, length=x)) for leg, x in zip(sides, (out, along, out), strict=True)]
    hung = plans.spur("garage", ("B", "1"), *walls, end=("B", "1"), heading=-90)
    assert hung.starts_on is not None and hung.ends_on is not None
    hung = replace(hung, starts_on=replace(hung.starts_on, at=start), ends_on=replace(hung.ends_on, at=start + along))
    plan = without_key(plans.plan(*plans.rectangle().walks, hung))
    placement = placed(plan)
    house, near, far, end = 480.0, start.inch + WALL / 2, start.inch + along.inch - WALL / 2, out.inch - WALL / 2

    def strip(begin: float, wide: float) -> Polygon:
        line = LineString([(begin, near), (house + end, near), (house + end, far), (begin, far)])
        return line.buffer(wide / 2, cap_style="flat", join_style="mitre", mitre_limit=NO_LIMIT)

    core, footings = strip(house - FOAM, CORE), strip(house, WIDE)
    under = box(-BEYOND, -BEYOND, house + BEYOND, 336 + BEYOND)
    base = (footings.difference(under) if level else footings).area * 10
    of_garage = [q for q in footing.footings(plan, placement).quantities if q.section == "garage"]
    assert amount(of_garage, "footing.concrete", Stage.FOOTING) * YARD == pytest.approx(base, rel=1e-9)
    poured = [q for q in concrete.walls(plan, placement).quantities if q.section == "garage"]
    tall = (plans.at("97-8") - foot).inch
    assert amount(poured, "wall.concrete", Stage.FROST_WALL) * YARD == pytest.approx(core.area * tall, rel=1e-9)
