"""Typical-year files. The data is four days of Chicago O'Hare, TMY3, US Department of Energy / NREL, public domain."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from takeoff.weather.epw import read_epw
from takeoff.weather.hours import WeatherError
from tests.takeoff.weather.given import CHICAGO, DATA

TEXT = (DATA / "ohare_tmy3_january.epw").read_text(encoding="utf-8")


def test_hours_of_the_file() -> None:
    found = read_epw(TEXT, CHICAGO, 2027)
    assert len(found.hours) == 96 and found.gaps() == ()
    assert "Chicago Ohare" in found.source and "not a forecast" in found.source


def test_hours_end_when_the_format_says_and_are_standard_time() -> None:
    first, last = read_epw(TEXT, CHICAGO, 2027).hours[0], read_epw(TEXT, CHICAGO, 2027).hours[-1]
    assert first.at.astimezone(UTC) == datetime(2027, 1, 5, 7, tzinfo=UTC)
    assert last.at == datetime(2027, 1, 9, 0, tzinfo=CHICAGO)


def test_values_of_one_line_against_its_columns() -> None:
    row = TEXT.splitlines()[8 + 50].split(",")
    hour = read_epw(TEXT, CHICAGO, 2027).hours[50]
    assert (hour.air_c, hour.dew_c, hour.wind_m_s) == (float(row[6]), float(row[7]), float(row[21]))
    assert (hour.cloud, hour.sun_w_m2, hour.snow_cm) == (float(row[22]) / 10, float(row[13]), float(row[30]))


def test_months_keep_their_own_year_unless_one_is_asked() -> None:
    assert read_epw(TEXT).hours[0].at.year == int(TEXT.splitlines()[8].split(",")[0])


def test_summer_hours_are_shown_on_daylight_time() -> None:
    summer = "\n".join([*TEXT.splitlines()[:8], TEXT.splitlines()[8].replace(",1,5,", ",7,5,", 1)])
    assert read_epw(summer, CHICAGO, 2027).hours[0].at.hour == 2


def test_a_leap_day_of_the_file_is_left_out_of_a_year_without_one() -> None:
    lines = TEXT.splitlines()
    leap = lines[8].replace(",1,5,", ",2,29,", 1)
    text = "\n".join([*lines[:10], leap])
    assert len(read_epw(text, CHICAGO, 2027).hours) == 2
    assert len(read_epw(text, CHICAGO, 2028).hours) == 3


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda t: "", "no EPW file"),
        (lambda t: t.replace("LOCATION", "PLACE", 1), "no EPW file"),
        (lambda t: t.replace("-6.0", "six", 1), "Line 1: “six”"),
        (lambda t: t + "1986,1,9,1\n", "Line 105"),
        (lambda t: "\n".join(t.splitlines()[:8]), "no EPW file"),
    ],
)
def test_what_cannot_be_read_is_named(change, said) -> None:
    with pytest.raises(WeatherError, match=said):
        read_epw(change(TEXT), CHICAGO, 2027)


def test_missing_air_is_named_and_a_missing_wind_is_none() -> None:
    lines = TEXT.splitlines()
    row = lines[8].split(",")
    row[21] = "999"
    text = "\n".join([*lines[:8], ",".join(row), *lines[9:]])
    assert read_epw(text, CHICAGO, 2027).hours[0].wind_m_s is None
    row[6] = "99.9"
    with pytest.raises(WeatherError, match="Line 9: the air temperature is missing"):
        read_epw("\n".join([*lines[:8], ",".join(row)]), CHICAGO, 2027)


@pytest.mark.parametrize("offset", ["nan", "99", "1e400"])
def test_an_offset_that_is_none_is_named(offset) -> None:
    with pytest.raises(WeatherError, match="Line 1"):
        read_epw(TEXT.replace("-6.0", offset, 1), CHICAGO, 2027)


@pytest.mark.parametrize("year", ["9" * 30, "0001", "9999"])
def test_years_out_of_reach_are_named(year) -> None:
    lines = TEXT.splitlines()
    with pytest.raises(WeatherError, match=r"Line 9|The year"):
        read_epw("\n".join([*lines[:8], lines[8].replace(lines[8].split(",")[0], year, 1)]), CHICAGO)
