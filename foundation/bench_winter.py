"""What winter's questions cost: a wall's month by the heat model beside a general solver, and ten days decided."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import numpy as np

from takeoff.heat.bench_case import standard_run, winter_air_c
from takeoff.weather.decide import rules_306r
from takeoff.weather.hours import Hour, series
from takeoff.weather.windows import Readiness, decide_ten_days

START = datetime(2026, 1, 5, tzinfo=UTC)
CORE_IN = 6.0


def month_of_a_wall() -> str:
    """28 days by the hour; says the warmest and the coldest the core was."""
    core = standard_run().core_c
    return f"core {core.min() * 1.8 + 32:.0f} to {core.max() * 1.8 + 32:.0f} °F"


def month_by_general_solver() -> str:
    """The same wall by scipy's ODE solver; says the greatest difference of the two cores."""
    from foundation.bench_heat import core_by_ode

    apart = float(np.max(np.abs(core_by_ode() - standard_run().core_c)))
    return f"greatest difference of the cores {apart:.3f} °C ({apart * 1.8:.3f} °F)"


def ten_days() -> Callable[[], str]:
    """Ten days of the same invented winter, decided hour by hour; says how the hours fell."""
    hours = [
        Hour(START + timedelta(hours=n), float(air), wind_m_s=4.0, gust_m_s=8.0) for n, air in enumerate(winter_air_c())
    ]
    weather = series(hours, UTC, "invented winter")
    ready = Readiness(covers=True, heat=True, concrete_f=65.0, base_kept_warm=True)

    def run() -> str:
        found = decide_ten_days(weather, ready, rules_306r(CORE_IN), START + timedelta(days=3))
        fell = [decision.verdict.value for decision in found.decisions]
        return ", ".join(f"{fell.count(verdict)} h {verdict}" for verdict in dict.fromkeys(fell))

    return run
