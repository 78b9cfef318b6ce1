"""The mix: temperatures there and back, what may be ordered, stone that fits."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.pour.mix import (
    Batch,
    arriving_f,
    balance,
    batched_f,
    fresh_temperature_f,
    haul_loss_f,
    largest_stone,
    mix_temperatures,
    stone_problem,
    water_needed,
)

BATCH = Batch(564, 3100, 270, 40, 35, 140)
BATCHES = st.builds(
    Batch,
    cement_lb=st.floats(300, 900),
    aggregate_lb=st.floats(2500, 3500),
    water_lb=st.floats(100, 350),
    cement_f=st.floats(0, 120),
    aggregate_f=st.floats(0, 100),
    water_f=st.floats(33, 180),
    moisture_lb=st.floats(0, 150),
    ice_lb=st.floats(0, 100),
)


@given(BATCHES)
@settings(max_examples=60)
def test_the_water_needed_gives_the_temperature_back(batch) -> None:
    target = fresh_temperature_f(batch)
    assert water_needed(batch, target).water_f == pytest.approx(batch.water_f, abs=1e-6)


@given(BATCHES)
@settings(max_examples=60)
def test_without_ice_concrete_lies_between_its_ingredients(batch) -> None:
    dry = replace(batch, ice_lb=0.0)
    temperatures = (dry.cement_f, dry.aggregate_f, dry.water_f)
    assert min(temperatures) - 1e-9 <= fresh_temperature_f(dry) <= max(temperatures) + 1e-9


def test_ice_cools_more_than_water_at_freezing() -> None:
    """112 lb-degrees a pound: 144 of melting less 32, ACI 305 form of the same balance (from memory)."""
    iced = replace(BATCH, water_lb=220, ice_lb=50)
    cold = 0.22 * (564 * 40 + 3100 * 35) + 220 * 140 - 112 * 50
    assert fresh_temperature_f(iced) == pytest.approx(cold / (0.22 * 3664 + 270))


@pytest.mark.parametrize(("target", "said"), [(50, ""), (65, "heated too"), (30, "use ice")])
def test_water_too_hot_or_under_freezing_is_told(target, said) -> None:
    found = water_needed(BATCH, target)
    assert (found.problem is None) == (said == "")
    if found.problem is not None:
        assert said in found.problem.sentence


def test_nothing_mixed_is_an_error() -> None:
    with pytest.raises(ValueError, match="Nothing is mixed"):
        balance([])
    with pytest.raises(ValueError, match="no mixing water"):
        water_needed(replace(BATCH, water_lb=0.0), 60)


@given(st.floats(40, 90), st.floats(-20, 100), st.floats(0, 2))
@settings(max_examples=50)
def test_the_haul_there_and_back(arrives, air, hours) -> None:
    assert arriving_f(batched_f(arrives, air, hours), air, hours) == pytest.approx(arrives)
    assert batched_f(arrives, air, hours) - arrives == pytest.approx(haul_loss_f(arrives, air, hours))


def test_warm_air_takes_nothing() -> None:
    assert haul_loss_f(60, 80, 1) == 0 and arriving_f(60, 80, 1) == 60


def test_temperatures_of_an_order_in_the_cold() -> None:
    found = mix_temperatures(8, 20, 0.5, BATCH)
    assert (found.discharge_least_f, found.discharge_most_f) == (55, 75)
    assert found.batched_f == 65  # the guide's mixing temperature; the haul alone would ask 59.4
    assert found.water is not None and "mixing water about 152 °F" in found.words


def test_a_long_haul_asks_more_than_the_guide() -> None:
    assert mix_temperatures(8, -10, 2.0).batched_f == 55 + 0.25 * 65 * 2


def test_temperatures_of_an_order_in_mild_weather() -> None:
    found = mix_temperatures(8, 60, 0.5, cold=False)
    assert (found.discharge_least_f, found.discharge_most_f, found.batched_f, found.water) == (50, 95, 50, None)


@pytest.mark.parametrize(
    ("core", "bars", "limit", "size"),
    [(8, None, 1.6, 1.5), (6, None, 1.2, 1.0), (4, None, 0.8, 0.75), (8, 1.0, 0.75, 0.75), (6, 0.4, 0.3, None)],
)
def test_largest_stone(core, bars, limit, size) -> None:
    """1/5 between forms and 3/4 between bars, ACI 318 (from memory) and a paraphrase of a residential code."""
    found = largest_stone(core, bars)
    assert found.limit_in == pytest.approx(limit) and found.size_in == size


def test_stone_too_large_is_told_and_nothing_is_no_core() -> None:
    assert stone_problem(0.375, 6) is None
    told = stone_problem(1.5, 6)
    assert told is not None and "1/5 of the 6 in" in told.sentence
    with pytest.raises(ValueError, match="more than nothing"):
        largest_stone(0)
