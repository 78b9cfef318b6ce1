"""The hourly forecast as the US National Weather Service writes it; values made up, shape as answered publicly."""

from __future__ import annotations

import json
from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.weather.forecast import read_forecast
from takeoff.weather.hours import WeatherError, celsius, mph
from tests.takeoff.weather.given import CHICAGO


def period(**changes):
    usual = {
        "number": 1,
        "startTime": "2027-01-05T06:00:00-06:00",
        "endTime": "2027-01-05T07:00:00-06:00",
        "temperature": 14,
        "temperatureUnit": "F",
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": -12.5},
        "windSpeed": "10 mph",
        "windDirection": "NW",
        "shortForecast": "Mostly Cloudy",
    }
    return {k: v for k, v in (usual | changes).items() if v != "left out"}


def text(*periods, **properties):
    return json.dumps({"type": "Feature", "properties": {"periods": list(periods), **properties}})


def test_a_period_as_answered() -> None:
    found = read_forecast(text(period(), updateTime="2027-01-05T10:00:00+00:00"), CHICAGO)
    hour = found.hours[0]
    assert hour.at == datetime(2027, 1, 5, 6, tzinfo=CHICAGO)
    assert (hour.air_f, hour.dew_c) == (pytest.approx(14), -12.5)
    assert mph(hour.wind_m_s) == pytest.approx(10)
    assert "2027-01-05T10:00" in found.source


@pytest.mark.parametrize(
    ("changes", "air_c"),
    [
        ({"temperature": -3, "temperatureUnit": "C"}, -3),
        ({"temperature": {"unitCode": "wmoUnit:degC", "value": -3.2}, "temperatureUnit": "left out"}, -3.2),
        ({"temperature": {"unitCode": "wmoUnit:degF", "value": 14}, "temperatureUnit": "left out"}, celsius(14)),
    ],
)
def test_temperatures_in_either_shape(changes, air_c) -> None:
    assert read_forecast(text(period(**changes)), CHICAGO).hours[0].air_c == pytest.approx(air_c)


@pytest.mark.parametrize(
    ("wind", "expected_mph"),
    [
        ("5 to 10 mph", 10),
        ("0 mph", 0),
        ("16.09344 km/h", 10),
        ({"unitCode": "wmoUnit:km_h-1", "value": 16.09344}, 10),
        ({"unitCode": "wmoUnit:km_h-1", "value": None}, None),
        (None, None),
        ("left out", None),
    ],
)
def test_winds_as_they_are_said(wind, expected_mph) -> None:
    hour = read_forecast(text(period(windSpeed=wind, windGust=wind)), CHICAGO).hours[0]
    for speed in (hour.wind_m_s, hour.gust_m_s):
        assert (None if speed is None else mph(speed)) == (
            None if expected_mph is None else pytest.approx(expected_mph)
        )


@pytest.mark.parametrize(
    ("given_text", "said"),
    [
        ("<html>busy</html>", "not JSON"),
        ("[]", "no periods"),
        ("{}", "no periods"),
        (text(), "no periods"),
        (text(period(), "late"), "Period 2 of the forecast: it is no record"),
        (text(period(startTime="soon")), "Period 1 of the forecast: startTime"),
        (text(period(startTime="2027-01-05T06:00:00")), "says no offset"),
        (text(period(startTime="0001-01-01T00:00:00+14:00")), "The year 1 "),
        (text(period(temperature=None)), "temperature is missing"),
        (text(period(temperature=10**400)), "temperature is missing"),
        ("[" * 100_000, "not JSON"),
        (text(period(temperatureUnit="K")), "neither F nor C"),
        (text(period(windSpeed="breezy")), "windSpeed “breezy” cannot be read"),
        (text(period(), period()), "twice"),
    ],
)
def test_what_cannot_be_read_is_named(given_text, said) -> None:
    with pytest.raises(WeatherError, match=said):
        read_forecast(given_text, CHICAGO)


JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(list(period())), inner, max_size=4),
    max_leaves=8,
)


@given(JSON)
@settings(max_examples=60)
def test_any_json_is_read_or_refused_with_a_sentence(value) -> None:
    for document in (
        value,
        {"properties": value},
        {"properties": {"periods": value}},
        {"properties": {"periods": [value]}},
    ):
        with pytest.raises(WeatherError):
            read_forecast(json.dumps(document), CHICAGO)
