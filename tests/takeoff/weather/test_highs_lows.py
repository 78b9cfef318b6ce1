"""Hours from typed highs and lows."""

from __future__ import annotations

from datetime import UTC, date, timedelta
from itertools import pairwise
from math import cos, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.weather.highs_lows import MODEL, Day, from_highs_and_lows
from takeoff.weather.hours import WeatherError, mph
from tests.takeoff.weather.given import CHICAGO


def days(*pairs, start=date(2027, 1, 5)):
    return [Day(start + timedelta(days=n), high, low, 10.0) for n, (high, low) in enumerate(pairs)]


def test_low_at_six_and_high_at_three_and_the_model_is_said() -> None:
    found = from_highs_and_lows(days((30, 10), (20, 0)), CHICAGO)
    air = {(h.at.day, h.at.hour): h.air_f for h in found.hours}
    assert air[5, 6] == pytest.approx(10) and air[5, 15] == pytest.approx(30)
    assert air[6, 6] == pytest.approx(0) and air[6, 15] == pytest.approx(20)
    assert air[5, 0] == pytest.approx(10) and air[6, 23] == pytest.approx(20)
    assert found.source == MODEL and mph(found.hours[0].wind_m_s) == pytest.approx(10)


def test_halfway_between_is_the_mean() -> None:
    found = from_highs_and_lows(days((30, 10), (20, 0)), CHICAGO)
    night = next(h for h in found.hours if (h.at.day, h.at.hour) == (5, 22))
    assert night.air_f == pytest.approx(15 + 15 * cos(pi * 7 / 15))


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(-30, 0)), min_size=1, max_size=10))
@settings(max_examples=30)
def test_never_beyond_what_was_typed_and_every_hour_is_there(pairs) -> None:
    found = from_highs_and_lows(days(*pairs), CHICAGO)
    assert len(found.hours) == 24 * len(pairs) and found.gaps() == ()
    assert min(h.air_f for h in found.hours) == pytest.approx(min(low for _, low in pairs))
    assert max(h.air_f for h in found.hours) == pytest.approx(max(high for high, _ in pairs))


@pytest.mark.parametrize(("start", "hours"), [(date(2027, 3, 14), 23), (date(2027, 11, 7), 25), (date(2027, 6, 1), 24)])
def test_days_when_the_clocks_change_have_23_and_25_hours(start, hours) -> None:
    found = from_highs_and_lows(days((60, 40), start=start), CHICAGO)
    assert len(found.hours) == hours
    stamps = [h.at.astimezone(UTC) for h in found.hours]
    assert all(b - a == timedelta(hours=1) for a, b in pairwise(stamps))
    assert max(found.hours, key=lambda h: h.air_c).at.hour == 15


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ([], "at least one day"),
        (days((10, 20)), "is above the high"),
        ([*days((20, 10)), *days((20, 10))], "typed twice"),
        ([days((20, 10))[0], days((20, 10), (20, 10), (20, 10))[2]], "Wed Jan 6 is missing"),
    ],
)
def test_what_cannot_be_is_refused(typed, said) -> None:
    with pytest.raises(WeatherError, match=said):
        from_highs_and_lows(typed, CHICAGO)
