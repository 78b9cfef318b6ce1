"""Blocks of another face height, and a plan revised after ordering: each difference by item, with its sentence."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest

from takeoff import differences
from takeoff.compute import compute
from takeoff.differences import Difference
from takeoff.orders import order_lines
from takeoff.plan import Plan, Stage
from takeoff.results import Takeoff, UnitKind
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.plans import at


@cache
def taken(name: str) -> Takeoff:
    return compute(plans.SAMPLES[name]())


def by_item(found: tuple[Difference, ...]) -> dict[str, Difference]:
    return {difference.item: difference for difference in found}


# -- another face height ----------------------------------------------------------------------------
def test_units_by_kind_are_those_of_the_house_built_of_the_others() -> None:
    """12 ft: nine courses of 16 in, eight of 18 in; four corners less and a course of straight units."""
    takeoff = taken("rectangle")
    found = by_item(differences.face_height(takeoff, "generic-16", Length.inches(18)))
    other = compute(differences.with_face_height(takeoff.plan, "generic-16", Length.inches(18)))

    def corners(made: Takeoff) -> int:
        return sum(1 for u in made.units if u.counted and u.kind in (UnitKind.CORNER_LEFT, UnitKind.CORNER_RIGHT))

    assert corners(takeoff) - corners(other) == 4
    assert -sum(d.change for item, d in found.items() if "corner units" in item) == 4
    straight = found["Straight units"]
    assert straight.change < 0 and "too many: return them" in straight.say
    assert straight.after == sum(q.amount for q in other.quantities if q.key == "blocks.straight")


def test_every_course_line_and_bar_level_says_where_it_goes() -> None:
    found = by_item(differences.face_height(taken("rectangle"), "generic-16", Length.inches(18)))
    lines = [(d.before, d.after) for item, d in found.items() if item.startswith("Top of course")]
    assert lines[:3] == [(16.0, 18.0), (32.0, 36.0), (48.0, 54.0)]
    high = taken("rectangle").plan.legs()[0].levels
    assert all(after - 18 < (high.top - high.footing_top).inch for _, after in lines)
    levels = [(d.before, d.after) for item, d in found.items() if item.startswith("Bar level")]
    assert levels[:3] == [(8.0, 9.0), (24.0, 27.0), (40.0, 45.0)]
    assert found["Bar level 2, A, B, C, D"].say == 'A, B, C, D: bar level 2 moves from 24" to 27" over the footing.'


def test_another_system_of_the_plan_brings_its_own_corners() -> None:
    found = by_item(differences.other_form(taken("rectangle"), {"generic-16": "generic-18"}))
    assert found["Right-hand corner units"].after == 0
    assert found["Corner units, either hand"].before == 0 and found["Corner units, either hand"].after == 32
    assert "more to order" in found["Corner units, either hand"].say


def test_the_same_units_differ_in_nothing() -> None:
    assert differences.face_height(taken("rectangle"), "generic-16", Length.inches(16)) == ()


def test_units_the_walls_cannot_be_built_of_are_refused_in_a_sentence() -> None:
    plan = taken("rectangle").plan
    thin = replace(plan.form("generic-18"), corners=plan.form("generic-18").corners[:1])
    takeoff = compute(replace(plan, forms=(plan.form("generic-16"), thin)))
    found = differences.other_form(takeoff, {"generic-16": "generic-18"})
    assert len(found) == 1 and found[0].say.startswith("It cannot be built with these units.")


def test_a_system_that_is_not_in_the_plan_is_an_error() -> None:
    with pytest.raises(KeyError):
        differences.other_form(taken("rectangle"), {"generic-16": "nowhere"})


# -- a revised plan ---------------------------------------------------------------------------------
def moved(plan: Plan, by: Length) -> Plan:
    """All openings moved along their legs."""
    walks = tuple(
        replace(
            walk,
            legs=tuple(
                replace(leg, openings=tuple(replace(o, offset=o.offset + by) for o in leg.openings))
                for leg in walk.legs
            ),
        )
        for walk in plan.walks
    )
    return replace(plan, walks=walks)


def longer() -> Takeoff:
    return compute(plans.rectangle("42-0"))


def test_order_lines_change_by_what_is_ordered_anew_less_what_was() -> None:
    before, after = taken("rectangle"), longer()
    found = by_item(differences.revised(before, after))
    for stage in Stage:
        was = {(x.label, x.buy_unit): x.count for x in order_lines(before, stage)}
        now = {(x.label, x.buy_unit): x.count for x in order_lines(after, stage)}
        for line in {*was, *now}:
            item = f"{line[0]}, {stage.value.replace('_', ' ')}"
            change = now.get(line, 0) - was.get(line, 0)
            assert found[item].change == change if change else item not in found
    assert "add 1 x quarter yard (28 ordered, 29 needed)" in found["Footing concrete, footing"].say


def test_what_is_taken_back_is_the_opposite_of_what_is_added() -> None:
    one = by_item(differences.revised(taken("rectangle"), longer()))
    other = by_item(differences.revised(longer(), taken("rectangle")))
    lines = [item for item in one if " bars " not in item]
    assert lines and {i: -one[i].change for i in lines} == {i: other[i].change for i in lines}
    assert any("return" in other[i].say for i in lines)


def test_only_the_stages_asked_for() -> None:
    found = differences.revised(taken("rectangle"), longer(), (Stage.FOOTING,))
    assert found and all("footing" in d.item for d in found)


def test_bars_no_longer_there_and_new_ones_balance() -> None:
    """What was, less what is put aside and cut, and what is added, is what the revised plan wants."""
    before, after = taken("openings"), compute(moved(taken("openings").plan, at("14")))
    found = differences.bars_between(before.bars, after.bars)
    added = sum(int(d.say.split()[1]) for d in found if d.say.startswith("Add"))
    aside = sum(int(d.say.split()[2]) for d in found if d.say.startswith("Put aside"))
    count = [sum(bar.count for bar in t.bars) for t in (before, after)]
    assert count[0] - aside + added == count[1]
    assert any(d.say.startswith("Cut") for d in found)


def test_a_shorter_bar_is_cut_from_one_left_over_of_its_size_and_not_of_a_later_stage() -> None:
    [straight, *_] = [b for b in taken("rectangle").bars if b.shape is None and b.stage is Stage.FULL_WALL]
    long = replace(straight, cut_length=at("10-0"), count=4)
    short = replace(straight, cut_length=at("9-0"), count=3)
    cut, aside = differences.bars_between([long], [short])
    assert cut.say.startswith("Cut 3 of #") and "to 9'-0\" for" in cut.say
    assert aside.say.startswith("Put aside 1 of")
    early = replace(short, stage=Stage.FROST_WALL)
    assert [d.say.split()[0] for d in differences.bars_between([long], [early])] == ["Add", "Put"]
    thicker = replace(short, size=long.size + 1)
    assert [d.say.split()[0] for d in differences.bars_between([long], [thicker])] == ["Add", "Put"]


def test_the_same_bars_differ_in_nothing() -> None:
    assert differences.bars_between(taken("openings").bars, taken("openings").bars) == []


def test_a_window_moved_14_in_moves_its_buck() -> None:
    plan = taken("openings").plan
    found = differences.bucks_between(plan, moved(plan, at("14")))
    assert Counter(d.change for d in found) == {14.0: 2}
    assert found[0].say == "Buck W1, leg A: distance 7'-2\", not 6'-0\"; move it."


def test_bucks_made_larger_left_out_or_new_are_told() -> None:
    plan = taken("openings").plan
    leg = plan.leg("A")
    [window] = leg.openings

    def with_openings(*openings: object) -> Plan:
        legs = tuple(replace(x, openings=openings) if x.name == "A" else x for x in plan.walks[0].legs)
        return replace(plan, walks=(replace(plan.walks[0], legs=legs), *plan.walks[1:]))

    wider = replace(window, width=window.width + at("6"))
    assert [d.say for d in differences.bucks_between(plan, with_openings(wider))] == [
        f"Buck W1, leg A: width {wider.width}, not {window.width}; rebuild it."
    ]
    [gone] = differences.bucks_between(plan, with_openings())
    assert (gone.before, gone.after) == (1, 0) and "not needed" in gone.say
    [new] = differences.bucks_between(with_openings(), plan)
    assert "build it" in new.say


def test_a_plan_not_revised_changes_no_order() -> None:
    assert differences.revised(taken("walkout"), taken("walkout")) == ()
