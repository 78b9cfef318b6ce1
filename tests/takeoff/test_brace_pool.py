"""Braces shared by several houses: the worst day and the least wait, against every day and every wait tried."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.brace_pool import Need, Slip, pool, stretches

needs = st.lists(
    st.builds(
        lambda n, start, days: (n, start, start + days), st.integers(1, 40), st.integers(1, 12), st.integers(0, 6)
    ),
    min_size=1,
    max_size=3,
).map(lambda rows: [Need(name, *row) for name, row in zip("ABC", rows, strict=False)])


def out_on(wanted: list[Need], day: int) -> int:
    return sum(n.braces for n in wanted if n.from_day <= day <= n.to_day)


@given(needs, st.integers(20, 60))
@settings(max_examples=80)
def test_the_peak_is_the_worst_of_all_days(wanted: list[Need], owned: int) -> None:
    got = pool(wanted, owned)
    assert got.peak == max(out_on(wanted, day) for day in range(30))
    assert got.peak_day is not None and out_on(wanted, got.peak_day) == got.peak
    assert got.short == max(got.peak - owned, 0)


@given(needs, st.integers(20, 60))
@settings(max_examples=40)
def test_no_shorter_wait_of_as_few_houses_would_do(wanted: list[Need], owned: int) -> None:
    got = pool(wanted, owned)
    if not got.short:
        assert got.slips == ()
        return
    if any(n.braces > owned for n in wanted):
        assert got.slips == () and "alone needs more" in got.say
        return
    moved = {s.house: s.days for s in got.slips}
    slipped = [n.later(moved.get(n.house, 0)) for n in wanted]
    assert max(out_on(slipped, day) for day in range(60)) <= owned
    total, houses = sum(moved.values()), len(moved)
    if houses <= 2:
        for waits in product(range(min(total, 14)), repeat=len(wanted)):
            if sum(waits) < total and 0 < sum(w > 0 for w in waits) <= houses:
                tried = [n.later(w) for n, w in zip(wanted, waits, strict=True)]
                assert max(out_on(tried, day) for day in range(60)) > owned


def test_three_houses_in_a_row_with_one_set() -> None:
    """All three begin on day 1 for 5 days and there are braces for one: the second waits 5 days, the third 10."""
    got = pool([Need(name, 30, 1, 5) for name in "ABC"], 40)
    assert sorted(s.days for s in got.slips) == [5, 10]
    assert got.say.startswith("50 braces short on day 1")


def test_enough_is_said_plainly() -> None:
    got = pool([Need("A", 30, 1, 5), Need("B", 30, 6, 9)], 30)
    assert (got.short, got.slips) == (0, ())
    assert got.say == "At most 30 of 30 braces are out, on day 1."
    assert pool([], 30).peak_day is None


def test_a_need_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(ValueError, match="B: 5 braces from day 4 to day 2"):
        pool([Need("B", 5, 4, 2)], 10)


def test_the_house_that_begins_last_waits_where_it_makes_no_difference() -> None:
    got = pool([Need("A", 30, 1, 4), Need("B", 30, 3, 6)], 40)
    assert got.slips == (Slip("B", 2),)


@given(needs)
@settings(max_examples=60)
def test_the_stretches_tell_every_day_as_it_is(wanted: list[Need]) -> None:
    told = {day: s for s in stretches(wanted) for day in range(s.from_day, s.to_day + 1)}
    for day in range(30):
        assert (told[day].out if day in told else 0) == out_on(wanted, day)


def test_what_stands_already_does_not_wait() -> None:
    """Two houses need 30 each of 40: the one that stands stays, the other waits until it is down."""
    stands, comes = Need("A", 30, 1, 9, standing=True), Need("B", 30, 5, 8)
    assert pool([stands, comes], 40).slips == (Slip("B", 5),)
    both = pool([stands, Need("B", 30, 1, 9, standing=True), Need("C", 5, 3, 4)], 40)
    assert both.slips == () and both.say.endswith("owned): rent 25.")
