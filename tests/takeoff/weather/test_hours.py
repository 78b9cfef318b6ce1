"""Hours, their zone, and what is refused."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.weather.hours import (
    MPH_PER_M_S,
    Hour,
    WeatherError,
    celsius,
    clock_spans,
    fahrenheit,
    local_time,
    mph,
    series,
    spoken,
    zone_named,
)
from tests.takeoff.weather.given import CHICAGO, NOON, steady


@given(st.floats(-100, 150))
@settings(max_examples=30)
def test_fahrenheit_and_back(f) -> None:
    assert fahrenheit(celsius(f)) == pytest.approx(f, abs=1e-9)


def test_fixed_points_of_the_units() -> None:
    """Freezing and boiling water by definition; 1 mph is 0.44704 m/s exactly (NIST SP 811)."""
    assert (celsius(32), celsius(212), fahrenheit(-40)) == (0, 100, -40)
    assert mph(0.44704) == pytest.approx(1)


def test_hours_are_sorted_and_shown_in_the_site_s_zone() -> None:
    late, early = (Hour(datetime(2027, 1, 5, h, tzinfo=UTC), 0.0) for h in (12, 6))
    found = series([late, early], CHICAGO, "made up")
    assert [h.at.hour for h in found.hours] == [0, 6]
    assert found.local_dates() == (datetime(2027, 1, 5, tzinfo=CHICAGO).date(),)


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ([], "no hour"),
        ([Hour(datetime(2027, 1, 5), 0.0)], "no time zone"),  # noqa: DTZ001
        ([Hour(NOON, 0.0), Hour(NOON.astimezone(UTC), 1.0)], "twice"),
        ([Hour(NOON, 80.0)], "check the unit"),
        ([Hour(NOON, float("nan"))], "check the unit"),
        ([Hour(NOON, 0.0, -1.0)], "check the unit"),
        ([Hour(NOON, 0.0, 5.0, 300.0)], "check the unit"),
    ],
)
def test_what_cannot_be_weather_is_refused(hours, said) -> None:
    with pytest.raises(WeatherError, match=said):
        series(hours, CHICAGO, "made up")


def test_the_hour_that_holds_at_a_time() -> None:
    weather = steady([10, 20, 30])
    assert weather.at(NOON + timedelta(minutes=90)).air_f == pytest.approx(20)
    assert weather.at(NOON).air_f == pytest.approx(10)
    assert weather.at(NOON - timedelta(seconds=1)) is None
    assert weather.at(NOON + timedelta(hours=3)) is None


def test_hours_between_two_times_leave_the_end_out() -> None:
    weather = steady([10, 20, 30])
    assert [round(h.air_f) for h in weather.between(NOON, NOON + timedelta(hours=2))] == [10, 20]


def test_gaps_are_told_and_changing_clocks_are_none() -> None:
    spring = steady([40] * 48, datetime(2027, 3, 13, 12, tzinfo=CHICAGO))
    autumn = steady([40] * 48, datetime(2027, 11, 6, 12, tzinfo=CHICAGO))
    assert spring.gaps() == autumn.gaps() == ()
    holed = series([h for h in spring.hours if h.at.hour != 20], CHICAGO, "made up")
    assert [(a.hour, b.hour) for a, b in holed.gaps()] == [(19, 21), (19, 21)]


def test_an_hour_that_comes_twice_is_the_second_after_the_first() -> None:
    twice = datetime(2027, 11, 7, 1, 30)  # noqa: DTZ001
    first = local_time(twice, CHICAGO)
    second = local_time(twice, CHICAGO, first)
    assert second.astimezone(UTC) - first.astimezone(UTC) == timedelta(hours=1)


def test_an_hour_the_clocks_skip_does_not_exist() -> None:
    with pytest.raises(WeatherError, match="does not exist"):
        local_time(datetime(2027, 3, 14, 2, 30), CHICAGO)  # noqa: DTZ001


def test_zones_by_name() -> None:
    assert zone_named("America/Chicago") == CHICAGO
    for wrong in ("Chicago time", "../etc", ""):
        with pytest.raises(WeatherError, match="no time zone"):
            zone_named(wrong)


def test_times_are_said_shortly() -> None:
    assert spoken(NOON) == "Tue Jan 5, 12:00 pm"


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ([], ""),
        ([0], "midnight to 1 am"),
        ([7, 8, 9], "7 am to 10 am"),
        ([7, 11, 22, 23], "7 am to 8 am, 11 am to noon, 10 pm to midnight"),
        (range(24), "all day"),
    ],
)
def test_hours_on_end_are_told_as_one(hours, said) -> None:
    assert clock_spans([NOON.replace(hour=hour) for hour in hours]) == said


def test_whole_degrees_and_miles_are_the_same_after_reading() -> None:
    whole = list(range(-40, 120))
    assert [Hour(NOON, celsius(f)).air_f for f in whole] == whole
    assert [Hour(NOON, 0.0, wind_m_s=n / MPH_PER_M_S).wind_mph for n in whole[40:]] == whole[40:]
