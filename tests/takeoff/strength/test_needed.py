"""How strong young concrete must be before earth may come."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from takeoff.geometry import place
from takeoff.plan import Plan
from takeoff.results import WallState
from takeoff.site import BarPlace, LapsFrom, TopHeld
from takeoff.strength.needed import bond_share, carries, strength_needed
from takeoff.strength.situations import situations
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
