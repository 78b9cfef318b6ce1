"""What the benchmark says of winter: the model's wall and the general solver's agree, ten days are all decided."""

import re

from foundation.bench_winter import month_by_general_solver, month_of_a_wall, ten_days


def test_a_month_of_a_wall_says_how_warm_it_was():
    coldest, warmest = map(int, re.findall(r"-?\d+", month_of_a_wall()))
    assert coldest < 32 < 60 < warmest


def test_the_general_solver_finds_the_same_core_within_a_degree_fahrenheit():
    said = re.search(r"([\d.]+) F", month_by_general_solver())
    assert said and float(said[1]) < 1.0


def test_every_hour_of_ten_days_is_decided():
    assert sum(int(n) for n in re.findall(r"(\d+) h", ten_days()())) == 240
