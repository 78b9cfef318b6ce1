"""Unbalanced fill per leg and stage, before and after the slab; when bracing is waived (IRC R404.1.7)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff import unbalanced
from takeoff.plan import Plan, Stage, Step
from takeoff.results import Unbalanced
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import placed

FOUR_FEET = Length.feet(4)


def of(plan: Plan, leg: str, stage: Stage) -> Unbalanced:
    (found,) = [u for u in unbalanced.heights(plan, placed(plan)) if u.leg == leg and u.stage is stage]
    return found


@pytest.mark.parametrize(
    ("height", "waived"),
    [("4-0", False), ("3-11 15/16", True), ("4-0 1/16", False), ("0", True)],
    ids=["exactly 4.0 ft needs bracing", "just under is waived", "just over", "none"],
)
def test_r404_1_7_waiver_is_strict(height: str, waived: bool) -> None:
    assert unbalanced.bracing_waived(plans.at(height), FOUR_FEET) is waived


def test_final_fill_is_higher_before_the_slab() -> None:
    """Grade 97'-0"; bed of the slab 90'-4" less 4 in slab and 4 in stone; top of slab 90'-4"."""
    got = of(plans.rectangle(), "A", Stage.FINAL_BACKFILL)
    assert (got.before_slab, got.after_slab) == (plans.at("7-4"), plans.at("6-8"))
    assert not got.bracing_waived_before_slab and not got.bracing_waived_after_slab
    assert "97'-0\" - ground inside 89'-8\"" in got.basis


def test_the_slab_can_make_the_difference() -> None:
    """8 in of slab and stone: 4'-4" before, 3'-8" after."""
    got = of(plans.rectangle(grade_outside=plans.at("94-0")), "A", Stage.FINAL_BACKFILL)
    assert (got.before_slab, got.bracing_waived_before_slab) == (plans.at("4-4"), False)
    assert (got.after_slab, got.bracing_waived_after_slab) == (plans.at("3-8"), True)


def test_the_footing_holds_the_foot_where_the_slab_lies_low() -> None:
    """Without a frost wall, slab 4 in over the footing: ground inside is the footing top, not below it."""
    plan = plans.rectangle(frost_top=None, footing_top=plans.at("90-0"))
    got = of(plan, "A", Stage.FINAL_BACKFILL)
    assert got.before_slab == plans.at("7-0") and got.after_slab == plans.at("6-8")


def test_without_a_slab_the_inside_grade_counts() -> None:
    plan = plans.rectangle(grade_inside=plans.at("92-0"))
    plan = replace(plan, sections=tuple(replace(s, slab_top=None) for s in plan.sections))
    got = of(plan, "A", Stage.FINAL_BACKFILL)
    assert got.before_slab == got.after_slab == plans.at("5-0")
    assert "after it" not in got.basis


def test_the_worst_stretch_counts() -> None:
    low = Step(plans.at("10-0"), grade_outside=plans.at("91-0"))
    plan = plans.rectangle(steps=(low,))
    assert of(plan, "A", Stage.FINAL_BACKFILL).before_slab == plans.at("7-4")


def test_a_walk_out_has_none() -> None:
    got = of(plans.openings(), "C", Stage.FINAL_BACKFILL)
    assert (got.before_slab, got.after_slab) == (plans.at("0-4"), Length(0))
    assert got.bracing_waived_before_slab


def test_frost_fill_on_both_sides_is_within_a_foot_and_says_what_one_side_would_be() -> None:
    got = of(plans.rectangle(), "A", Stage.FROST_BACKFILL)
    assert got.before_slab == plans.at("1-0") and got.bracing_waived_before_slab
    assert "one side filled alone would be 4'-0\"" in got.basis


def test_frost_fill_that_ends_uneven_carries_the_difference() -> None:
    """Garage: outside grade 97'-0", inside left at 94'-0": 3 ft remain when all is filled."""
    low = plans.at("94-0")
    base = plans.garage()
    legs = tuple(replace(g, grade_inside=low) for g in base.walks[1].legs)
    plan = replace(base, walks=(base.walks[0], replace(base.walks[1], legs=legs)))
    got = of(plan, "G2", Stage.FROST_BACKFILL)
    assert got.before_slab == got.after_slab == plans.at("3-0")


def test_a_low_frost_wall_never_carries_more_than_its_fill() -> None:
    plan = plans.rectangle(footing_top=plans.at("89-4"))
    assert of(plan, "A", Stage.FROST_BACKFILL).before_slab == plans.at("0-8")


def test_each_leg_has_the_stages_it_goes_through() -> None:
    plan = plans.garage()
    found = [(u.leg, u.stage) for u in unbalanced.heights(plan, placed(plan))]
    assert (("G1", Stage.FROST_BACKFILL) in found) and (("G1", Stage.FINAL_BACKFILL) not in found)
    assert (("A", Stage.FROST_BACKFILL) in found) and (("A", Stage.FINAL_BACKFILL) in found)


def test_an_inner_wall_carries_nothing_whatever_grade_was_typed() -> None:
    """It has the floor on both sides: filled with the frost walls, and nothing left for a final backfill."""
    plan = plans.tee()
    frost = of(plan, "T1", Stage.FROST_BACKFILL)
    assert frost.before_slab == plans.at("1-0")
    assert not any(u.leg == "T1" and u.stage is Stage.FINAL_BACKFILL for u in unbalanced.heights(plan, placed(plan)))
