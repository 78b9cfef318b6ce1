"""Ten days from a series: what each hour is decided from, and the best windows."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.weather.decide import Verdict, decide, rules_306r
from takeoff.weather.hours import series
from takeoff.weather.windows import Readiness, WorkingHours, best_windows, decide_ten_days, inputs_for
from tests.takeoff.weather.given import CHICAGO, NOON, steady, winter

RULES = rules_306r(8)
ALL = Readiness(covers=True, heat=True, concrete_f=62, base_kept_warm=True)
ALWAYS = WorkingHours(0, 24, (0, 1, 2, 3, 4, 5, 6))


@given(st.lists(st.integers(-20, 60), min_size=80, max_size=130), st.integers(0, 60))
@settings(max_examples=25)
def test_lowest_of_the_72_hours_from_each_hour_counted_slowly(air, n) -> None:
    found = inputs_for(steady([float(a) for a in air]), ALL, RULES, NOON)[n]
    assert found.low_f == pytest.approx(min(air[n : n + 72]))
    assert found.low_at.timestamp() - NOON.timestamp() == 3600 * (n + air[n : n + 72].index(min(air[n : n + 72])))
    assert found.known_h == len(air) - n


def test_the_base_has_the_mean_of_the_day_before() -> None:
    air = [float(n) for n in range(100)]
    found = inputs_for(steady(air), replace(ALL, base_kept_warm=False), RULES, NOON)
    assert found[0].base_f == pytest.approx(0)
    assert found[30].base_f == pytest.approx(sum(range(6, 31)) / 25)
    assert inputs_for(steady(air), ALL, RULES, NOON)[30].base_f is None


def test_nothing_is_decided_where_the_forecast_ends_or_has_a_hole() -> None:
    weather = steady([50.0] * 150)
    found = decide_ten_days(weather, ALL, RULES, NOON).decisions
    assert [d.verdict for d in found[:79]] == [Verdict.GO] * 79
    assert {d.rule for d in found[79:]} == {"forecast"}
    holed = series([h for n, h in enumerate(weather.hours) if n != 60], CHICAGO, "made up")
    rules = {n: d.rule for n, d in enumerate(decide_ten_days(holed, ALL, RULES, NOON).decisions)}
    assert all(rules[n] == "forecast" for n in range(60)) and rules[60] == "warm"


def test_one_colder_hour_is_felt_by_the_72_hours_before_it_only() -> None:
    weather = winter()
    start = datetime(2026, 11, 3, 0, tzinfo=CHICAGO)
    mild = steady([50.0] * 240, start)
    cold = series([replace(h, air_c=-5.0) if n == 120 else h for n, h in enumerate(mild.hours)], CHICAGO, "made up")
    before, after = (decide_ten_days(w, ALL, RULES, start).decisions for w in (mild, cold))
    changed = [n for n in range(240) if before[n].verdict is not after[n].verdict]
    assert changed == list(range(49, 121))
    assert len(weather.hours) == 2880


def test_hours_are_those_of_the_series_from_the_start_for_ten_days() -> None:
    found = decide_ten_days(winter(), ALL, RULES, datetime(2027, 1, 4, tzinfo=CHICAGO))
    assert len(found.decisions) == 240 and found.decisions[0].at == datetime(2027, 1, 4, tzinfo=CHICAGO)
    assert found.source == winter().source


def test_ten_days_over_the_change_of_clocks_are_240_hours() -> None:
    weather = steady([50.0] * 330, datetime(2027, 11, 3, tzinfo=CHICAGO))
    found = decide_ten_days(weather, ALL, RULES, datetime(2027, 11, 3, tzinfo=CHICAGO), work=ALWAYS, best=20)
    assert len(found.decisions) == 240
    sunday = next(w for w in found.windows if w.start.date().isoformat() == "2027-11-07")
    assert sunday.hours == 25 and sunday.end - timedelta(0) == datetime(2027, 11, 8, tzinfo=CHICAGO)


def test_windows_lie_in_working_hours_of_one_day_and_are_long_enough() -> None:
    found = decide_ten_days(steady([50.0] * 330), ALL, RULES, NOON, need_h=4, best=20).windows
    for window in found:
        assert window.start.hour >= 7 and window.end.hour <= 17 and window.start.weekday() < 6
        assert window.start.date() == window.end.date() and window.hours >= 4
    assert {w.hours for w in found} == {10, 5}


def test_go_before_protection_then_longest_then_warmest() -> None:
    monday = datetime(2027, 1, 4, tzinfo=CHICAGO)
    mild, cold = [55.0] * 24, [30.0] * 24
    warmer, short = [35.0] * 24, [30.0] * 12 + [5.0] * 12  # line freezes after noon
    air = [*cold, *warmer, *short, *mild * 6]
    found = decide_ten_days(steady(air, monday), ALL, RULES, monday, best=10).windows
    assert [w.verdict for w in found][:2] == [Verdict.GO, Verdict.GO]
    protected = [w for w in found if w.verdict is Verdict.PROTECT]
    assert [(w.start.day, w.hours) for w in protected] == [(5, 10), (4, 10), (6, 5)]


def test_no_window_where_nothing_goes() -> None:
    decisions = [decide(i, RULES) for i in inputs_for(winter(), Readiness(), RULES, NOON)]
    assert best_windows(decisions, CHICAGO, 1, ALWAYS) == ()


def test_a_window_stops_where_an_hour_is_missing() -> None:
    decisions = [decide(i, RULES) for i in inputs_for(steady([50.0] * 200), ALL, RULES, NOON)]
    found = best_windows([d for d in decisions if d.at.hour != 14], CHICAGO, 1, WorkingHours(12, 17), best=50)
    assert {w.hours for w in found} == {2}
    assert all(w.end.astimezone(UTC) - w.start.astimezone(UTC) == timedelta(hours=2) for w in found)


def test_concrete_cools_on_the_way_by_the_air_of_the_hour() -> None:
    """What is batched at 65 F arrives after an hour as (65 + 0.25 air) / 1.25: ACI 306R-88, 3.8 (from memory)."""
    ready = replace(ALL, concrete_f=None, batched_f=65.0, haul_h=1.0)
    found = inputs_for(steady([45.0, 5.0, -15.0]), ready, RULES, NOON)
    assert [i.concrete_f for i in found] == pytest.approx([61.0, 53.0, 49.0])
    assert [i.concrete_f for i in inputs_for(steady([5.0]), replace(ALL, concrete_f=None), RULES, NOON)] == [None]
