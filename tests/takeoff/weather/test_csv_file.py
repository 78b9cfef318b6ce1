"""Weather as a table of text, the way loggers and spreadsheets write it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.weather.csv_file import read_csv
from takeoff.weather.hours import WeatherError, mph
from tests.takeoff.weather.given import CHICAGO


@pytest.mark.parametrize(
    ("head", "row"),
    [
        ("time,temp (F),wind (mph)", "2027-01-05 06:00,14,10"),
        ("Date Time;Air Temperature [°C];Wind Speed [m/s]", "2027-01-05 06:00;-10;4.4704"),
        ("timestamp\tair_c\twind_kmh", "2027-01-05T06:00:00-06:00\t-10\t16.09344"),
        ("valid,tmpf,sknt", "1/5/2027 6:00,14,8.6897624"),
        ("Timestamp,Air Temp F,Wind kn", "01/05/2027 06:00 AM,14,8.6897624"),
        ("time,temperature_2m (°C),wind_speed_10m (mph)", "2027-01-05T12:00Z,-10,10"),
    ],
)
def test_heads_and_units_as_they_are_written(head, row) -> None:
    hour = read_csv(f"{head}\n{row}\n", CHICAGO).hours[0]
    assert hour.at == datetime(2027, 1, 5, 6, tzinfo=CHICAGO)
    assert hour.air_f == pytest.approx(14)
    assert mph(hour.wind_m_s) == pytest.approx(10, rel=1e-6)


def test_comments_blank_lines_and_a_byte_order_mark_are_passed_over() -> None:
    text = "\ufeff# from the logger\ntime,temp_f\n\n2027-01-05 06:00,14\n# end\n"
    hours = read_csv(text, CHICAGO).hours
    assert [round(h.air_f) for h in hours] == [14] and hours[0].wind_m_s is None


def test_the_hour_that_comes_twice_in_autumn() -> None:
    rows = "\n".join(f"2027-11-07 {h},40" for h in ("00:00", "01:00", "01:00", "02:00"))
    found = read_csv(f"time,temp_f\n{rows}", CHICAGO)
    assert found.gaps() == ()
    assert found.hours[-1].at.astimezone(UTC) - found.hours[0].at.astimezone(UTC) == timedelta(hours=3)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "head line"),
        ("time,temp_f", "head line"),
        ("when,temp_f\n1,2", "Line 1: no column of times"),
        ("time,humidity\n2027-01-05 06:00,80", "Line 1: no column of air temperature"),
        ("time,temp\n2027-01-05 06:00,14", "Line 1: column “temp” does not say its unit"),
        ("time,temp_f,wind\n2027-01-05 06:00,14,3", "Line 1: column “wind” does not say its unit"),
        ("time,temp_f\n2027-01-05 06:00,14\n2027-01-05 07:00,cold", "Line 3: “cold” is no number"),
        ("time,temp_f\n2027-01-05 06:00,", "Line 2: the air temperature is missing"),
        ("time,temp_f\nyesterday,14", "Line 2: “yesterday” is no time"),
        ("time,temp_f\n2027-03-14 02:30,40", "Line 2: .* does not exist"),
        ("# x\n\ntime,temp_f\n2027-01-05 06:00,14\n\nlate,14", "Line 6"),
        ("time,temp_c\n2027-01-05 06:00,90", "check the unit"),
        ("time,temp_c\n0001-01-01 00:00,9", "Line 2: The year 1 "),
        ("time,temp_c\n9999-12-31 23:00Z,9", "The year 9999"),
    ],
)
def test_errors_name_the_line(text, said) -> None:
    with pytest.raises(WeatherError, match=said):
        read_csv(text, CHICAGO)


@given(st.text(max_size=80))
@settings(max_examples=60)
def test_any_text_is_read_or_refused_with_a_sentence(text) -> None:
    for each in (text, "time,temp_f\n" + text):
        try:
            assert read_csv(each, CHICAGO).hours
        except WeatherError as error:
            assert str(error)


@given(st.lists(st.floats(-30, 60), min_size=1, max_size=40))
@settings(max_examples=20)
def test_what_is_written_is_read_again(air) -> None:
    start = datetime(2027, 1, 1, 6, tzinfo=UTC)
    rows = "\n".join(f"{(start + timedelta(hours=n)).isoformat()},{a!r}" for n, a in enumerate(air))
    found = read_csv(f"time,temp (F)\n{rows}\n", CHICAGO)
    assert [h.air_f for h in found.hours] == pytest.approx(air, abs=1e-8)
