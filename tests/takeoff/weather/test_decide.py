"""Go, go with protection or no: every hour of a real cold month, each decision flipped by the input it names."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.weather.decide import CANADIAN, Decision, Inputs, Rules, Verdict, decide, rules_306r
from takeoff.weather.rules_306r import Service
from takeoff.weather.windows import Readiness, inputs_for
from tests.takeoff.weather.given import NOON, winter

RULES = (rules_306r(8), rules_306r(24, Service.PARTIAL_LOAD_EXPOSED, accelerated=True), CANADIAN)
READY = {
    "nothing": Readiness(),
    "covers": Readiness(covers=True, concrete_f=62, base_kept_warm=True),
    "all": Readiness(covers=True, heat=True, concrete_f=62, base_kept_warm=True),
    "bare base": Readiness(covers=True, heat=True, concrete_f=62),
    "no pump": Readiness(covers=True, heat=True, concrete_f=62, base_kept_warm=True, pump=False),
    "cold concrete": Readiness(covers=True, heat=True, concrete_f=45, base_kept_warm=True),
    "hot concrete": Readiness(covers=True, heat=True, concrete_f=85, base_kept_warm=True),
    "frozen": Readiness(covers=True, heat=True, concrete_f=62, frozen=True, snow=True),
}


@cache
def coldest_days(count: int = 30) -> set:
    """The calendar days with the lowest mean air among those followed by three days of the data."""
    days: dict = {}
    for hour in winter().hours:
        days.setdefault(hour.at.date(), []).append(hour.air_c)
    last = max(days) - timedelta(days=4)
    means = {day: sum(air) / len(air) for day, air in days.items() if len(air) >= 24 and day <= last}
    return set(sorted(means, key=means.__getitem__)[:count])


@cache
def coldest_hours(ready: Readiness, rules: Rules) -> tuple[Inputs, ...]:
    weather = winter()
    chosen = coldest_days()
    every = inputs_for(weather, ready, rules, weather.hours[0].at, hours=len(weather.hours))
    return tuple(i for i in every if i.at.date() in chosen)


def across(reason, rules: Rules):
    """A value of the named input on the other side of its limit."""
    if isinstance(reason.limit, bool):
        return reason.limit
    if reason.value is None:
        return reason.limit
    return reason.limit + (0.01 if reason.value <= reason.limit else -0.01)


def answers(decision: Decision) -> tuple:
    return decision.verdict, [r.rule for r in decision.reasons]


@pytest.mark.parametrize("ready", READY.values(), ids=READY)
@pytest.mark.parametrize("rules", (RULES[0], CANADIAN), ids=lambda r: r.name)
def test_the_named_input_alone_flips_each_hour_of_the_coldest_30_days(ready, rules) -> None:
    hours = coldest_hours(ready, rules)
    assert len(hours) == 30 * 24
    for inputs in hours:
        decision = decide(inputs, rules)
        assert decision.verdict is not Verdict.GO
        for reason in decision.reasons:
            assert getattr(inputs, reason.input) == reason.value
            changed = decide(replace(inputs, **{reason.input: across(reason, rules)}), rules)
            assert reason.rule not in [r.rule for r in changed.reasons if r.limit == reason.limit]
            if len(decision.reasons) == 1:
                assert changed.verdict is not decision.verdict
        mended = replace(inputs, **{r.input: across(r, rules) for r in decision.reasons})
        assert decide(mended, rules).verdict is not decision.verdict


def test_a_change_in_one_hour_leaves_every_other_as_it_was() -> None:
    rules, hours = RULES[0], coldest_hours(READY["all"], RULES[0])
    before = [answers(decide(i, rules)) for i in hours]
    for n in range(0, len(hours), 24):
        reason = decide(hours[n], rules).reasons[0]
        changed = list(hours)
        changed[n] = replace(hours[n], **{reason.input: across(reason, rules)})
        after = [answers(decide(i, rules)) for i in changed]
        assert [k for k in range(len(hours)) if before[k] != after[k]] == [n]


def test_the_cold_month_meets_every_answer_it_can() -> None:
    met = {
        (d.verdict, r.rule)
        for ready in READY.values()
        for d in (decide(i, RULES[0]) for i in coldest_hours(ready, RULES[0]))
        for r in d.reasons
    }
    stops = {"frozen", "snow", "base", "wind", "line", "concrete", "covers", "heat"}
    assert met >= {(Verdict.NO, rule) for rule in stops} | {(Verdict.PROTECT, "cold")}


# -- another way of deciding, written from the prose ---------------------------------------------------
def oracle(i: Inputs, r: Rules) -> Verdict:
    cold = i.low_f < r.cold_below_f
    good_place = not i.frozen and not i.snow and (i.base_f is None or i.base_f > 32)
    good_air = (i.wind_mph or 0) <= r.wind_mph and (i.gust_mph or 0) <= r.gust_mph
    good_air = good_air and (not i.pump or i.air_f >= r.line_least_f)
    low, high = (r.least_f, r.most_f) if cold else (32, r.hottest_f)
    good_concrete = i.concrete_f is not None and low <= i.concrete_f <= high
    kept = i.low_f >= r.heat_good_to_f and i.covers and (i.heat or i.low_f >= r.covers_good_to_f)
    if not (i.known_h >= r.look_ahead_h and good_place and good_air and good_concrete and (kept or not cold)):
        return Verdict.NO
    return Verdict.PROTECT if cold else Verdict.GO


@pytest.mark.parametrize("ready", [READY[n] for n in ("covers", "bare base", "cold concrete")], ids=str)
def test_the_whole_winter_against_another_way_of_deciding(ready) -> None:
    weather, rules = winter(), RULES[0]
    for inputs in inputs_for(weather, ready, rules, weather.hours[0].at, hours=len(weather.hours)):
        assert decide(inputs, rules).verdict is oracle(inputs, rules)


TEMPERATURE = st.sampled_from(
    [-20.0, -15.0, 0.0, 9.9, 10.0, 32.0, 32.1, 39.9, 40.0, 41.0, 55.0, 60.0, 75.0, 75.1, 95.5]
)
INPUTS = st.builds(
    Inputs,
    at=st.just(NOON),
    low_at=st.just(NOON),
    air_f=TEMPERATURE,
    low_f=TEMPERATURE,
    known_h=st.sampled_from([0.0, 71.9, 72.0, 200.0]),
    wind_mph=st.sampled_from([None, 0.0, 25.0, 25.1]),
    gust_mph=st.sampled_from([None, 35.0, 35.1]),
    base_f=st.none() | TEMPERATURE,
    concrete_f=st.none() | TEMPERATURE,
    **{name: st.booleans() for name in ("frozen", "snow", "covers", "heat", "pump")},
)


@given(INPUTS, st.sampled_from(RULES))
@settings(max_examples=150)
def test_any_inputs_against_another_way_of_deciding(inputs, rules) -> None:
    found = decide(inputs, rules)
    assert found.verdict is oracle(inputs, rules)
    assert found.words and all(r.verdict is found.verdict for r in found.reasons)
    assert (found.protection is not None) == (found.verdict is Verdict.PROTECT)


# -- single rules ---------------------------------------------------------------------------------------
GOOD = Inputs(NOON, 50.0, 45.0, NOON, 72.0, 5.0, None, None, covers=True, heat=True, concrete_f=60.0)


@pytest.mark.parametrize(
    ("change", "rule", "said"),
    [
        ({"known_h": 71.0}, "forecast", "known for 71 h"),
        ({"frozen": True}, "frozen", "found frozen"),
        ({"snow": True}, "snow", "blow it out"),
        ({"base_f": 32.0}, "base", "maybe frozen"),
        ({"wind_mph": 25.1}, "wind", "no boom"),
        ({"gust_mph": 36.0}, "gust", "no boom"),
        ({"air_f": 9.0}, "line", "the pump line freezes"),
        ({"concrete_f": None}, "concrete", "Ask the plant"),
        ({"concrete_f": 96.0}, "concrete", "too warm"),
        ({"low_f": 30.0, "concrete_f": 54.0}, "concrete", "reject the truck"),
        ({"low_f": 30.0, "covers": False}, "covers", "Covers are not on site"),
        ({"low_f": 5.0, "heat": False}, "heat", "Heat is not on site"),
        ({"low_f": -16.0}, "beyond", "heat can hold"),
    ],
)
def test_each_rule_alone_stops_a_good_hour(change, rule, said) -> None:
    assert decide(GOOD, RULES[0]).verdict is Verdict.GO
    found = decide(replace(GOOD, **change), RULES[0])
    assert (found.verdict, found.rule, len(found.reasons)) == (Verdict.NO, rule, 1)
    assert said in found.words
    assert found.value == change.get(found.input, getattr(GOOD, found.input))


def test_protection_says_how_and_how_long() -> None:
    covered = decide(replace(GOOD, low_f=30.0), RULES[0])
    assert covered.protection is not None
    assert covered.protection.words.startswith("Covers: keep the concrete at 55 °F or more for 72 h")
    heated = decide(replace(GOOD, low_f=5.0), RULES[1])
    assert heated.protection is not None
    assert heated.protection.words.startswith("Covers and heat: keep the concrete at 50 °F or more for 96 h")


def test_full_load_is_protected_until_a_strength() -> None:
    rules = rules_306r(8, Service.FULL_LOAD)
    found = decide(replace(GOOD, low_f=30.0), rules)
    assert found.protection is not None and "until the strength" in found.protection.words


def test_an_unknown_wind_is_told() -> None:
    assert decide(replace(GOOD, wind_mph=None), RULES[0]).notes == ("The wind is not known: no boom over 25 mph.",)
