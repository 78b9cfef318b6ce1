"""Maturity and readings by behaviour: any logger's file is read or refused with its line, the model goes on after."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.heat.layers import HeatError
from takeoff.heat.maturity import (
    equivalent_age,
    history_with,
    logger_begins,
    model_code_age,
    nurse_saul,
    read_logger,
    stepped,
    typed_readings,
)

PLACED = datetime(2027, 1, 5, 10, tzinfo=ZoneInfo("America/Chicago"))
courses = st.lists(st.tuples(st.floats(1, 45), st.floats(0.5, 40)), min_size=1, max_size=6)


@settings(max_examples=40, deadline=None)
@given(courses)
def test_all_three_grow_and_a_warmer_course_is_older(parts) -> None:
    hours, temps = stepped(parts)
    for age in (nurse_saul, equivalent_age, model_code_age):
        found, warmer = age(hours, temps), age(hours, temps + 5)
        assert np.all(np.diff(found) >= 0) and warmer[-1] > found[-1]


def test_the_two_ages_agree_about_20_c_and_part_in_the_cold() -> None:
    """Arrhenius with 5000 K and the Model Code's 4000 K: the colder, the less the first counts."""
    for t, close in ((20, 0.01), (15, 0.1), (5, 0.3)):
        hours, temps = stepped([(float(t), 24.0)])
        a, b = equivalent_age(hours, temps)[-1], model_code_age(hours, temps)[-1]
        assert a == pytest.approx(b, rel=close)
    assert a < b


def test_hours_below_freezing_count_only_where_the_formula_is_asked_alone() -> None:
    hours, temps = stepped([(10.0, 10.0), (-5.0, 10.0)])
    assert equivalent_age(hours, temps)[-1] > equivalent_age(hours, temps, counted_above_c=0.0)[-1] > 0
    assert nurse_saul(hours, temps, -10.0)[-1] == pytest.approx(250)
    assert nurse_saul(hours, temps, -10.0, counted_above_c=0.0)[-1] == pytest.approx(200)
    assert nurse_saul(hours, temps, 0.0)[-1] == pytest.approx(100)


FILES = [
    "time,temp (F)\n2027-01-05 10:00,60\n2027-01-05 12:30,68\n",
    "# logger 7\nDate Time;Concrete_C\n01/05/2027 10:00;15.5556\n\n01/05/2027 12:30;20\n",
    "hours\tprobe 1 °F\n0\t60\n2.5\t68\n",
    "\ufefftimestamp,core [degC]\n2027-01-05T16:00:00+00:00,15.5556\n2027-01-05T18:30:00+00:00,20\n",
]


@pytest.mark.parametrize("text", FILES)
def test_loggers_files(text) -> None:
    found = read_logger(text, PLACED)
    assert list(found.hours) == pytest.approx([0.0, 2.5])
    assert list(found.temperature_c) == pytest.approx([15.5556, 20.0], abs=1e-3)


def test_readings_before_placing_are_left_out() -> None:
    text = "hours,temp F\n-1,40\n0.5,60\n1,61\n"
    assert list(read_logger(text, PLACED).hours) == [0.5, 1.0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "head line"),
        ("time,temp (F)\n2027-01-05 10:00,60\n", "at least two"),
        ("time,temp\n2027-01-05 10:00,60\n2027-01-05 11:00,61\n", "F or C"),
        ("when,warmth F\n1,60\n2,61\n", "columns named"),
        ("time,temp (F)\n2027-01-05 10:00,60\nyesterday,61\n", "Line 3"),
        ("time,temp (F)\n2027-01-05 10:00,60\n2027-01-05 11:00\n", "Line 3"),
        ("time,temp (C)\n2027-01-05 10:00,60\n2027-01-05 11:00,161\n", "Line 3: concrete of 161 °C cannot be"),
        ("hours,temp (F)\n2,60\n1,61\n", "not later"),
        ("hours,temp (F)\n2,60\nnan,61\n", "cannot be"),
    ],
)
def test_what_is_no_logger_file_is_said(text, said) -> None:
    with pytest.raises(HeatError, match=said):
        read_logger(text, PLACED)


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=120))
def test_any_text_is_read_or_refused(text) -> None:
    try:
        found = read_logger(text, PLACED)
    except HeatError:
        return
    assert len(found.hours) >= 2


def test_typed_readings_in_f_and_before_placing() -> None:
    assert list(typed_readings([(0, 32), (1, 50)]).temperature_c) == pytest.approx([0, 10])
    with pytest.raises(HeatError, match="before placing"):
        typed_readings([(-1, 50), (1, 50)])


def test_readings_stand_where_they_are_and_the_model_around_them() -> None:
    readings = typed_readings([(2, 20), (4, 22)], fahrenheit=False)
    hours, temps = history_with(readings, np.arange(7.0), np.full(7, 10.0))
    assert list(hours) == [0, 1, 2, 4, 5, 6] and list(temps) == [10, 10, 20, 22, 10, 10]


def test_a_history_that_is_none() -> None:
    for hours, temps in (([0.0], [1.0]), ([0.0, 0.0], [1.0, 1.0]), ([0.0, 1.0], [1.0, np.nan])):
        with pytest.raises(HeatError, match=r"history needs|follow each other"):
            equivalent_age(np.array(hours), np.array(temps))
    with pytest.raises(HeatError, match="needs hours"):
        stepped([(10.0, 0.0)])


def test_clock_times_across_a_change_of_clocks_are_elapsed_hours() -> None:
    placed = datetime(2027, 3, 13, 20, tzinfo=ZoneInfo("America/Chicago"))
    text = "time,temp F\n2027-03-13 20:00,60\n2027-03-14 08:00,70\n"
    assert list(read_logger(text, placed).hours) == [0.0, 11.0]
    assert placed + timedelta(hours=12) == datetime(2027, 3, 14, 8, tzinfo=ZoneInfo("America/Chicago"))


#: By the calendar of America/Chicago: clocks went back on 2026-11-01 at 2:00, forward on 2027-03-14 at 2:00.
@pytest.mark.parametrize(
    ("clocks", "hours"),
    [
        (["11-01 00:30", "11-01 01:00", "11-01 01:30", "11-01 01:00", "11-01 01:30", "11-01 02:00"], 2.5),
        (["11-01 00:30", "11-01 01:00", "11-01 01:30", "11-01 02:00"], 1.5),
        (["10-31 23:00", "11-01 03:00"], 4.0),
    ],
    ids=["an hour twice: it followed", "no hour twice: it stayed", "not shown: the shorter span"],
)
def test_the_night_the_clocks_go_back(clocks, hours) -> None:
    text = "time,temp F\n" + "\n".join(f"2026-{clock},60" for clock in clocks)
    found = read_logger(text, datetime(2026, 10, 31, 12, tzinfo=PLACED.tzinfo)).hours
    assert found[-1] - found[0] == pytest.approx(hours) and np.all(np.diff(found) > 0)


@pytest.mark.parametrize(
    ("clocks", "hours"),
    [(["01:30", "03:00", "03:30"], 1.0), (["01:30", "02:00", "02:30", "03:00"], 1.5), (["00:00", "04:00"], 3.0)],
    ids=["no hour left out read: it followed", "a time that never was: it stayed", "not shown: the shorter span"],
)
def test_the_night_the_clocks_go_forward(clocks, hours) -> None:
    text = "time,temp F\n" + "\n".join(f"2027-03-14 {clock},60" for clock in clocks)
    found = read_logger(text, datetime(2027, 3, 13, 12, tzinfo=PLACED.tzinfo)).hours
    assert found[-1] - found[0] == pytest.approx(hours)


def test_two_lines_of_one_minute_are_one_reading() -> None:
    found = read_logger("hours,temp F\n0,60\n1,62\n1,64\n2,66\n", PLACED)
    assert list(found.hours) == [0, 1, 2] and found.temperature_c[1] == pytest.approx((64 - 32) / 1.8)


def test_when_a_file_begins_is_read_in_it_or_has_to_be_told() -> None:
    assert logger_begins("time,temp F\n2027-01-04 09:30,60\n2027-01-04 10:00,60\n", PLACED) == PLACED - timedelta(
        hours=24.5
    )
    assert logger_begins("hours,temp F\n0,60\n1,60\n", PLACED) is None
