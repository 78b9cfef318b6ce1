"""From a weather file to answers, and that nobody pays for the heat model who does not ask for it."""

from __future__ import annotations

import subprocess
import sys

import numpy as np

from takeoff.heat.answers import backfill_strength, protection_may_end, survives_a_freeze
from takeoff.heat.bench_case import standard_run, standard_wall
from takeoff.heat.layers import R_US, Cover
from takeoff.heat.outlook import Wall, look_ahead
from takeoff.heat.strength import Break, corrected, own_curve
from takeoff.weather.epw import read_epw
from tests.takeoff.weather.given import CHICAGO, DATA


def test_four_days_of_a_typical_year_to_answers() -> None:
    """Chicago O'Hare, TMY3, US Department of Energy / NREL, public domain: 5 to 8 January."""
    hours = read_epw((DATA / "ohare_tmy3_january.epw").read_text(encoding="utf-8"), CHICAGO, 2027).hours
    air, wind = np.array([h.air_c for h in hours]), np.array([h.wind_m_s or 0.0 for h in hours])
    curve = corrected(own_curve([(1, 1000), (3, 2300), (7, 3200), (28, 4300)]), [Break(24, 950), Break(72, 2250)]).curve
    top = (Cover(6 * R_US),)
    outlook = look_ahead(Wall(0.1524, 0.0635, air, 17.0, curve, wind_m_s=wind, top_covers=top))
    freeze, fill, off = survives_a_freeze(outlook), backfill_strength(outlook, 2000), protection_may_end(outlook)
    assert 8 < freeze.likely < 30 and freeze.likely < fill.likely < 95
    assert off.likely >= freeze.likely and not freeze.problems
    assert all(course.history.balance.closes for course in outlook.courses)
    assert "the mix's own curve" in dict(fill.inputs)["curve"] and any("breaks" in x for x in fill.limits)


def test_the_wall_to_measure_with_is_an_ordinary_one() -> None:
    found = standard_run()
    assert len(found.hours) == 28 * 24 + 1 and found.balance.closes
    assert 20 < found.core_c.max() < 50 and found.core_c[-24:].max() < 10
    assert standard_wall().hours == 672


def test_the_takeoff_does_not_load_the_heat_model() -> None:
    code = "import sys, takeoff.compute; print(sorted(set(sys.modules) & {'takeoff.heat', 'scipy', 'django'}))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
