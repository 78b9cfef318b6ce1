"""Which stages a leg goes through: by its walls, and by whether there is ground outside it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from jobs.plans import facts_of
from takeoff import fingerprint
from takeoff.compute import compute
from takeoff.geometry import place
from takeoff.plan import Plan, Stage
from takeoff.stages import OUTSIDE_ONLY, leg_stages
from tests.takeoff import plans
from tests.takeoff.plans import at, leg, spur

BURIED = set(OUTSIDE_ONLY)


def outward_and_inward() -> Plan:
    """A wall hung inside the rectangle on leg A, and one outside it on leg B, with the same levels."""
    base = plans.rectangle()
    inner = spur("inner", ("A", "18-0"), leg("T1", "10-0", 0))
    outer = spur("outer", ("B", "12-0"), leg("T2", "10-0", 0), heading=-90)
    return plans.plan(*base.walks, inner, outer)


def test_an_inner_wall_is_asked_for_no_waterproofing_and_no_final_backfill() -> None:
    found = leg_stages(outward_and_inward())
    assert set(Stage) - set(found["T1"]) == BURIED
    assert set(found["T2"]) == set(found["A"]) == set(Stage)


def test_an_inner_wall_on_an_inner_wall_is_inner_too() -> None:
    plan = outward_and_inward()
    second = spur("second", ("T1", "5-0"), leg("T3", "6-0", 0))
    assert BURIED.isdisjoint(leg_stages(replace(plan, walks=(*plan.walks, second)))["T3"])


def test_an_inner_wall_without_a_frost_wall_is_finished_when_it_is_poured() -> None:
    plan = plans.rectangle()
    inner = spur("inner", ("A", "18-0"), leg("T1", "10-0", 0, frost_top=None, footing_top=at("89-8")))
    found = leg_stages(replace(plan, walks=(*plan.walks, inner)))["T1"]
    assert found == (Stage.FOOTING, Stage.FULL_WALL)


@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
def test_gates_bracing_and_hashes_agree_on_the_stages_of_every_leg(name: str) -> None:
    """The facts gates read, the unbalanced fill and the hashes of a revision name the same stages for every leg."""
    plan = plans.SAMPLES[name]()
    takeoff, stages, prints = compute(plan), leg_stages(plan), fingerprint.all_inputs(plan)
    nothing = fingerprint._digest({})
    for facts in facts_of(takeoff).legs:
        assert tuple(facts.fingerprints) == stages[facts.name]
        filled = {s for s in stages[facts.name] if s in (Stage.FROST_BACKFILL, Stage.FINAL_BACKFILL)}
        assert {u.stage for u in takeoff.unbalanced if u.leg == facts.name} == filled
        assert {s for s in Stage if prints[facts.name, s] != nothing} == set(stages[facts.name])


def test_quantities_of_an_inner_wall_belong_to_the_stages_it_goes_through() -> None:
    plan = outward_and_inward()
    stages = leg_stages(plan)
    for quantity in compute(plan).quantities:
        for name in quantity.legs:
            assert quantity.stage in stages[name], f"{quantity.key} at {quantity.stage} names {name}"


def test_criteria_name_only_legs_that_go_through_their_stage() -> None:
    for make in plans.SAMPLES.values():
        plan = make()
        stages = leg_stages(plan)
        for criterion in compute(plan).criteria:
            for name in criterion.legs:
                assert criterion.stage in stages[name], f"{criterion.key} at {criterion.stage} names {name}"


def test_a_leg_that_could_not_be_placed_keeps_all_its_stages() -> None:
    plan = plans.rectangle()
    lost = spur("lost", ("nowhere", "1-0"), leg("T1", "10-0", 0))
    broken = replace(plan, walks=(*plan.walks, lost))
    assert "T1" not in place(broken).legs
    assert leg_stages(broken)["T1"] == tuple(Stage)
