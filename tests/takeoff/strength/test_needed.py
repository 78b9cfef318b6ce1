"""How strong young concrete must be before earth may come."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from takeoff.geometry import place
from takeoff.plan import Plan
from takeoff.results import WallState
from takeoff.site import BarPlace, BaseJoint, LapsFrom, TopHeld
from takeoff.strength.needed import bond_share, carries, needed_by_leg, strength_needed
from takeoff.strength.situations import situations
from takeoff.strength.walls import steel
from tests.takeoff import plans
from tests.takeoff.plans import at
from tests.takeoff.strength.test_checks import with_bars, with_site

BEFORE = WallState.BEFORE_SLAB


def needed(plan: Plan, leg: str = "A", state: WallState = BEFORE) -> int | None:
    return strength_needed(plan, place(plan), leg, state).psi


def test_the_answer_is_the_least_that_carries() -> None:
    plan = plans.rectangle()
    found = strength_needed(plan, place(plan), "A", BEFORE)
    situation = next(s for s in situations(plan, place(plan)) if s.leg.name == "A" and s.state is BEFORE)
    assert found.psi is not None and 500 < found.psi < 2500 and found.psi % 50 == 0
    assert carries(plan, situation, found.psi) and not carries(plan, situation, found.psi - 50)
    assert f"{found.psi:,} psi" in found.basis and "of the yield" in found.basis and found.reason == ""


def test_more_load_needs_more_and_the_finished_house_less() -> None:
    plan = plans.rectangle()
    light = needed(with_site(plan, soil_class="GW", equivalent_fluid_pcf=30))
    usual = needed(plan)
    assert light is not None and usual is not None
    finished = needed(plan, state=WallState.FINISHED)
    assert light < usual and finished is not None and finished < usual
    heavy = needed(with_bars(with_site(plan, equivalent_fluid_pcf=60), vertical_spacing=at("16")))
    assert heavy is not None and heavy > usual


def test_bars_nearer_the_inside_need_less() -> None:
    usual, inside = needed(plans.rectangle()), needed(with_bars(plans.rectangle(), vertical_place=BarPlace.INSIDE_FACE))
    assert usual is not None and inside is not None and inside < usual


def test_shorter_laps_need_stronger_concrete() -> None:
    plan = plans.rectangle()
    short = with_bars(plan, laps_from=LapsFrom.EQUATIONS)
    assert bond_share(short, at("8"), 1000) < bond_share(plan, at("8"), 1000) < 1 == bond_share(plan, at("8"), 4000)
    long_laps, short_laps = needed(plan), needed(short)
    assert long_laps is not None and short_laps is not None and short_laps > long_laps


def test_a_filled_frost_wall_needs_the_least_the_model_knows() -> None:
    assert needed(plans.garage(), "G1", WallState.FROST_FILL) == 500


def test_where_the_bars_alone_do_not_carry_the_table_says() -> None:
    """8 ft, 6 ft of fill, 45 psf in 8 in: no upright bars required; #4 at 48 in alone would not carry it."""
    plan = with_bars(plans.rectangle(grade_outside=at("95-4")), vertical_size=4, vertical_spacing=at("48"))
    found = strength_needed(plan, place(plan), "A", WallState.FINISHED)
    assert found.psi == 2500 and "R404.1.2(3)" in str(found.source)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (lambda plan: with_bars(plan, vertical_spacing=at("40")), "asks for #6 @ 32 in"),
        (lambda plan: with_bars(plan, top_held=TopHeld.NOT_HELD), "R404.1.7"),
        (lambda plan: with_site(plan, soil_class="MH"), "not listed"),
    ],
    ids=["too little steel", "not held", "soil"],
)
def test_where_no_strength_helps_the_reason_is_said(change: Any, reason: str) -> None:
    plan = change(plans.rectangle())
    found = strength_needed(plan, place(plan), "A", BEFORE)
    assert found.psi is None and reason in found.reason and found.reason.startswith("A, filled before")


def test_the_worst_stretch_decides() -> None:
    """B's wall drops at 20 ft; with its lower part alone it needs less."""
    plan = plans.stepped()
    low = replace(plan, walks=tuple(replace(w, legs=tuple(_lowered(g) for g in w.legs)) for w in plan.walks))
    whole, part = needed(plan, "B"), needed(low, "B")
    assert whole is not None and part is not None and whole > part


def _lowered(leg: Any) -> Any:
    return replace(leg, wall_top=at("95-4"), grade_outside=at("94-8"))


def test_a_state_a_leg_never_has() -> None:
    with pytest.raises(KeyError, match="G1"):
        needed(plans.garage(), "G1", BEFORE)


# -- one side of a frost wall filled first, its top braced
ONE_SIDE = WallState.FROST_ONE_SIDE


def frost_wall(high: str = "8-0", **bars: Any) -> Plan:
    """A basement on frost walls so high, filled to their tops outside."""
    return with_bars(plans.rectangle(footing_top=at("90-0") - at(high)), **bars)


def test_a_frost_wall_filled_on_one_side_is_a_beam_between_its_foot_and_its_braces() -> None:
    """A load that grows evenly from nothing to one end of a simple beam, W in all: W/3 and 2W/3 at its ends, 0.1283 W l
    at most 0.577 l from where it is nothing (tables of simple beams; from memory). 45 psf per ft over 8 ft, W =
    1,440 lb: 480, 960 and 1,478 lb ft."""
    plan = frost_wall()
    found = strength_needed(plan, place(plan), "A", ONE_SIDE)
    assert "moment 1,478 lb ft per ft 3.4 ft up" in found.basis
    assert "top pushes 480 and foot 960 lb per ft" in found.basis
    both = needed(plan, state=WallState.FROST_FILL)
    assert found.psi is not None and both is not None and found.psi > both > 500


def test_one_side_filled_first_is_no_check_of_the_plan_and_warns_of_nothing() -> None:
    plan = frost_wall("11-0")
    assert needed(plan, state=ONE_SIDE) is None
    assert ONE_SIDE not in {c.state for c in steel(plan, place(plan)).checks}


def test_every_frost_wall_is_answered_for_and_no_other() -> None:
    plan = plans.garage()
    found = needed_by_leg(plan, place(plan))
    assert {leg for leg, states in found.items() if ONE_SIDE in states} == {
        leg for leg, states in found.items() if WallState.FROST_FILL in states
    }
    alone = plans.rectangle(frost_top=None)
    assert all(ONE_SIDE not in states for states in needed_by_leg(alone, place(alone)).values())


def _on_dowels(plan: Plan) -> Plan:
    footing = replace(plan.spec.footing, base_joint=BaseJoint.DOWELS)
    return replace(plan, spec=replace(plan.spec, footing=footing))


@pytest.mark.parametrize(
    ("plan", "reason"),
    [
        (frost_wall("11-0"), "over the 10 ft"),
        (with_site(frost_wall("4-0"), soil_class="MH"), "not listed"),
        (frost_wall("4-0", vertical_place=BarPlace.INSIDE_FACE), "earth from the inside pulls the outside"),
        (_on_dowels(frost_wall(vertical_spacing=at("24"), dowel_size=3)), "hold 1,485 lb per ft across the foot"),
    ],
    ids=["too high", "soil", "bars at the other face", "dowels"],
)
def test_where_one_side_may_not_come_first_the_reason_is_said(plan: Plan, reason: str) -> None:
    found = strength_needed(plan, place(plan), "A", ONE_SIDE)
    assert found.psi is None and reason in found.reason and found.reason.startswith("A, braced while one side")
