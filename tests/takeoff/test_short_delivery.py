"""A delivery that came short: what is missing, how far the crew can go, what stands in."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.compute import compute
from takeoff.plan import Stage
from takeoff.results import Takeoff
from takeoff.short_delivery import ShortDelivery, short_delivery
from tests.takeoff import plans


@cache
def taken(name: str = "rectangle") -> Takeoff:
    return compute(plans.SAMPLES[name]())


def short(received: dict[str, int], name: str = "rectangle", stage: Stage = Stage.FULL_WALL) -> ShortDelivery:
    return short_delivery(taken(name), stage, received)


def test_nothing_missing_holds_nothing() -> None:
    """Six courses; twelve corner units of each hand."""
    got = short({"blocks.corner_right": 12, "blocks.corner_left": 12, "blocks.straight": 180})
    assert (got.items, got.full_courses, got.courses, got.must_wait) == ((), 6, 6, ())
    assert got.say == ("Everything this stage needs is here.",)


def test_half_the_corners_of_one_hand_lay_half_the_courses() -> None:
    """Four corners a course, the hands by turns: of six right-hand units four go into one course, and the second course
    that wants them does not get its four."""
    got = short({"blocks.corner_right": 6})
    assert got.full_courses == 3
    assert got.may_go_on == ("A",) and got.must_wait == ("B", "C", "D")
    assert got.say[1] == "A may go up to the full height; B, C, D must wait."


def test_a_wall_needs_the_corner_units_of_both_its_ends() -> None:
    """Six courses: three right-hand units at each corner. Leg A alone wants six, three of them counted with leg B."""
    assert short({"blocks.corner_right": 5}).may_go_on == ()
    assert short({"blocks.corner_right": 6}).may_go_on == ("A",)
    assert short({"blocks.corner_right": 9}).may_go_on == ("A", "B")
    assert short({"blocks.corner_right": 12}).may_go_on == ("A", "B", "C", "D")


def test_missing_corners_are_made_of_straight_units() -> None:
    got = short({"blocks.corner_right": 6})
    items = {d.item: d for d in got.items}
    assert items["Right-hand corner units"].change == -6
    assert items["Straight units for 6 field-made corners"].change == 9
    assert "call 9 more straight units" in items["Straight units for 6 field-made corners"].say
    assert items["Plywood for 6 field-made corners"].after == pytest.approx(24 * 16 * 16 / 144)
    assert "lowest courses" in got.say[-1]


def test_straight_units_to_spare_are_used_first() -> None:
    items = {d.item: d for d in short({"blocks.corner_right": 6, "blocks.straight": 190}).items}
    assert items["Straight units for 6 field-made corners"].say.endswith("they are here.")


def test_missing_straight_units_let_the_first_walls_go_on() -> None:
    got = short({"blocks.straight": 120})
    assert got.may_go_on == ("A", "B") and got.must_wait == ("C", "D")
    assert 0 < got.full_courses < 6 and got.substitutes == ()
    assert [d.say for d in got.items] == ["Straight units: 120 of 180 came, 60 missing."]


def test_nothing_at_all_lays_nothing() -> None:
    got = short({"blocks.straight": 0, "blocks.corner_right": 0, "blocks.corner_left": 0})
    assert (got.full_courses, got.may_go_on) == (0, ())
    assert "No wall can go up to its full height." in got.say


def test_a_key_the_stage_has_not_and_a_count_below_nothing_are_errors() -> None:
    with pytest.raises(KeyError):
        short({"blocks.corner": 5})
    with pytest.raises(ValueError, match="-1 received"):
        short({"blocks.straight": -1})


def test_two_systems_are_told_apart() -> None:
    """Legs of 8 and of 10 in core: corner units of the one do not serve the other."""
    keys = [q.key for q in taken("two_cores").of(Stage.FULL_WALL) if q.key.startswith("blocks.corner")]
    assert len({key.split("[")[1] for key in keys}) == 2
    lacking = next(key for key in keys if "10" in key)
    got = short({lacking: 0}, "two_cores")
    assert got.must_wait and got.may_go_on
    assert "10" in got.items[0].item


@pytest.mark.parametrize("name", ["rectangle", "l_shape", "bay", "stepped", "openings", "two_cores", "ledge"])
def test_the_whole_order_lets_every_wall_go_on(name: str) -> None:
    for stage in (Stage.FROST_WALL, Stage.FULL_WALL):
        needed: Counter[str] = Counter()
        for q in taken(name).of(stage):
            if q.key.startswith("blocks.") and not q.key.startswith("blocks.mitre"):
                needed[q.key] += round(q.amount)
        got = short_delivery(taken(name), stage, {key: 2 * count for key, count in needed.items()})
        assert (got.must_wait, got.items, got.full_courses) == ((), (), got.courses)


@given(st.integers(0, 12), st.integers(0, 12), st.integers(0, 190))
@settings(max_examples=40, deadline=None)
def test_more_never_holds_more(right: int, left: int, straight: int) -> None:
    some = short({"blocks.corner_right": right, "blocks.corner_left": left, "blocks.straight": straight})
    more = short({"blocks.corner_right": right + 1, "blocks.corner_left": left, "blocks.straight": straight + 10})
    assert more.full_courses >= some.full_courses
    assert len(more.may_go_on) >= len(some.may_go_on)
    assert set(some.may_go_on) | set(some.must_wait) == set("ABCD")
