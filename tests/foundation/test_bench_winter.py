"""What the benchmark says of winter: the model's wall and the general solver's agree, ten days are all decided."""

import re

from foundation import bench_heat, bench_winter
from foundation.bench_winter import month_by_general_solver, month_of_a_wall, ten_days
from takeoff.heat.bench_case import standard_wall
from takeoff.heat.outlook import run


def test_a_month_of_a_wall_says_how_warm_it_was():
    coldest, warmest = map(int, re.findall(r"-?\d+", month_of_a_wall()))
    assert coldest < 32 < 60 < warmest


def test_the_general_solver_finds_the_same_core_within_a_degree_fahrenheit(monkeypatch):
    """Two days of the month; a week of it is held against the solver where the model is validated."""
    solve = bench_heat.core_by_ode
    monkeypatch.setattr(bench_heat, "core_by_ode", lambda: solve(standard_wall(2)))
    monkeypatch.setattr(bench_winter, "standard_run", lambda: run(standard_wall(2)))
    said = re.search(r"([\d.]+) °F", month_by_general_solver())
    assert said and float(said[1]) < 1.0


def test_every_hour_of_ten_days_is_decided():
    assert sum(int(n) for n in re.findall(r"(\d+) h", ten_days()())) == 240
