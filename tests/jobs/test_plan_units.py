"""Changing the unit of bare numbers changes no length that stands in the plan."""

from __future__ import annotations

import copy

import pytest

from jobs.plan_look import look
from jobs.plan_units import keep_meaning
from takeoff.planfile import write_plan
from tests.takeoff.plans import l_shape


def document() -> dict:
    """An L-shape typed in inches, its lengths as bare numbers."""
    plan = l_shape()
    out = write_plan(plan) | {"bare_numbers_are": "in"}
    for leg, said in zip(plan.legs(), out["walks"][0]["legs"], strict=True):
        said["length"] = f"{leg.path.length.inch:g}"
    return out


@pytest.mark.parametrize("unit", ["ft", "m", "mm"])
def test_the_house_stays_as_large_as_it_was(unit):
    stored, typed = document(), document() | {"bare_numbers_are": unit}
    assert keep_meaning(typed, stored) == 6
    assert typed["walks"][0]["legs"][0]["length"].endswith(" in")
    before, after = look(stored).plan, look(typed).plan
    assert before is not None and after is not None
    assert [leg.path for leg in after.legs()] == [leg.path for leg in before.legs()]


def test_what_is_typed_after_the_change_is_in_the_new_unit():
    stored = document()
    typed = copy.deepcopy(stored) | {"bare_numbers_are": "m"}
    typed["walks"][0]["legs"][0]["length"] = "12.2"
    keep_meaning(typed, stored)
    assert typed["walks"][0]["legs"][0]["length"] == "12.2"


def test_nothing_is_touched_while_the_unit_stays():
    stored, typed = document(), document()
    assert keep_meaning(typed, stored) == 0 and typed == stored
