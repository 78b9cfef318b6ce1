"""The whole answer: every sample is taken off, sums add up, refusals hold no quantities."""

from __future__ import annotations

import json
import math
import random
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.compute import compute
from takeoff.geometry import place
from takeoff.plan import Face, Plan, Section, Stage, with_sections
from takeoff.planfile import read_plan, write_plan
from takeoff.problems import Severity, blockers
from takeoff.results import Takeoff
from takeoff.units import LengthError, exact_text, parse_length
from tests.takeoff import plans
from tests.takeoff.plans import at, leg


@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
def test_every_sample_is_taken_off_for_all_its_stages(name: str) -> None:
    walls = plans.SAMPLES[name]()
    result = compute(walls)
    assert blockers(result.problems) == ()
    wanted = {(leg.section, stage) for leg in walls.legs() for stage in walls.stages_of(leg)}
    assert {(q.section, q.stage) for q in result.quantities} == wanted
    for quantity in result.quantities:
        assert quantity.basis and quantity.purpose and str(quantity.source)
        assert math.isfinite(quantity.amount) and quantity.amount >= 0
    assert {u.leg for u in result.units} == {leg.name for leg in walls.legs()}


def test_computing_twice_gives_the_same_answer() -> None:
    assert compute(plans.walkout()) == compute(plans.walkout())


def test_a_plan_read_from_a_file_gives_the_same_answer() -> None:
    reading = read_plan(json.loads(json.dumps(write_plan(plans.walkout()))))
    assert reading.plan is not None
    assert compute(reading.plan) == compute(plans.walkout())


def test_a_plan_that_does_not_close_has_no_quantities() -> None:
    walls = plans.rectangle()
    longer = (leg("A", "41-0"), *walls.walks[0].legs[1:])
    result = compute(replace(walls, walks=(replace(walls.walks[0], legs=longer),)))
    assert (result.quantities, result.units, result.bars, result.criteria) == ((), (), (), ())
    [problem] = blockers(result.problems)
    assert "must be corrected" in problem.sentence


def test_a_plan_built_by_hand_is_checked_like_one_from_a_file() -> None:
    result = compute(plans.rectangle(core=at("7")))
    assert 'is not made with a 7" core' in blockers(result.problems)[0].sentence
    assert result.quantities == ()


def test_warnings_travel_with_the_answer_once() -> None:
    result = compute(plans.rectangle(core=at("4")))
    engineer = [p for p in result.problems if p.severity is Severity.ENGINEER and "core below grade" in p.sentence]
    assert len(engineer) == 4 and result.quantities
    assert len(result.problems) == len(set(result.problems))


def _amounts(result: Takeoff, *keys: str) -> dict[str, float]:
    return {key: sum(q.amount for q in result.quantities if q.key == key) for key in keys}


def test_splitting_a_section_moves_amounts_but_keeps_their_sum() -> None:
    """Quantities measured in the ground do not care in which section a leg is counted."""
    whole = plans.rectangle()
    halves = (Section("main", "Main", slab_top=at("90-4")), Section("north", "North", slab_top=at("90-4")))
    split = compute(with_sections(whole, {"C": "north", "D": "north"}, halves))
    keys = ("footing.concrete", "wall.concrete", "backfill.volume", "drain.pipe")
    assert _amounts(split, *keys) == pytest.approx(_amounts(compute(whole), *keys))
    assert {q.section for q in split.quantities} == {"main", "north"}


def test_the_same_house_dimensioned_to_another_face_needs_the_same() -> None:
    """The rectangle typed to its core's centre line: every length less one wall thickness."""
    walls = plans.rectangle()
    thick = walls.forms[0].thickness(at("8"))
    lengths = zip("ABCD", ("40-0", "28-0") * 2, strict=True)
    legs = (leg(n, exact_text(at(x) - thick)) for n, x in lengths)
    centred = plans.plan(plans.ring(*legs), dimensions_to=Face.CENTRE_LINE)
    keys = ("footing.concrete", "wall.concrete", "membrane.area", "drain.pipe", "backfill.volume", "dowels")
    assert _amounts(compute(centred), *keys) == pytest.approx(_amounts(compute(walls), *keys))


def test_wall_concrete_of_a_plain_rectangle_by_hand() -> None:
    """Centre line 2 (480 + 336) - 4 x 12.75 = 1,581 in; core 8 in; frost wall 48 in and full wall 96 in high; the
    keyway 3 1/2 x 1 1/2 in along it is filled by the frost wall (arithmetic, no source)."""
    result = compute(plans.rectangle())
    key = 1581 * 3.5 * 1.5
    volumes = {
        s: sum(q.amount for q in result.of(s) if q.key == "wall.concrete") for s in (Stage.FROST_WALL, Stage.FULL_WALL)
    }
    assert volumes[Stage.FROST_WALL] == pytest.approx((1581 * 8 * 48 + key) / 46656)
    assert volumes[Stage.FULL_WALL] == pytest.approx(1581 * 8 * 96 / 46656)


def test_footing_concrete_of_a_plain_rectangle_by_hand() -> None:
    """Same centre line, 20 x 10 in less the keyway."""
    [footing] = [q for q in compute(plans.rectangle()).quantities if q.key == "footing.concrete"]
    assert footing.amount == pytest.approx(1581 * (20 * 10 - 3.5 * 1.5) / 46656)


def test_every_unit_stands_within_its_leg() -> None:
    walls = plans.walkout()
    placed, result = place(walls), compute(walls)
    for unit in result.units:
        assert 0 <= unit.start.nm < unit.end.nm <= placed.legs[unit.leg].outside.length.nm
        assert unit.bottom < unit.top


def test_the_engine_needs_no_web_framework() -> None:
    check = "import sys, takeoff.cli, takeoff.orders; assert not any(m.split('.')[0] == 'django' for m in sys.modules)"
    subprocess.run([sys.executable, "-c", check], check=True)


# -- a good plan with numbers moved ----------------------------------------------------------------
DOCUMENTS = [write_plan(make()) for make in plans.SAMPLES.values()]


def _lengths(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Addresses of all texts that are lengths."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        if isinstance(inner, str) and key not in ("name", "key", "section", "leg", "kind", "title", "drawing", "note"):
            try:
                parse_length(inner)
            except LengthError:
                continue
            yield (*path, key)
        yield from _lengths(inner, (*path, key))


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(range(len(DOCUMENTS))), st.integers(0, 10**6), st.integers(1, 4))
def test_a_plan_with_numbers_moved_is_taken_off_or_refused_in_words(which: int, seed: int, count: int) -> None:
    document = json.loads(json.dumps(DOCUMENTS[which]))
    dice = random.Random(seed)
    for way in dice.sample(list(_lengths(document)), count):
        here = document
        for part in way[:-1]:
            here = here[part]
        moved = parse_length(here[way[-1]]) + parse_length(
            dice.choice(["-4-0", "-16", "-7", "-1/2", "1", "3 3/8", "16"])
        )
        here[way[-1]] = exact_text(moved)
    reading = read_plan(document)
    if reading.plan is None:
        assert blockers(reading.problems)
        return
    _is_whole(reading.plan)


def _is_whole(plan: Plan) -> None:
    result = compute(plan)
    assert bool(blockers(result.problems)) != bool(result.quantities)
    assert all(math.isfinite(q.amount) and q.amount >= -1e-9 for q in result.quantities)
