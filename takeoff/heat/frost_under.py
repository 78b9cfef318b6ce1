"""Whether the ground under a bare footing freezes before it is backfilled: the transient model and, beside it, the
modified Berggren equation, each with its depth and why they differ."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from takeoff.heat.answers import Answer, spoken_days
from takeoff.heat.conduction import State, simulate
from takeoff.heat.ground import (
    BERGGREN,
    M_PER_FT,
    Berggren,
    Soil,
    berggren,
    days_of_hours,
    freezing_index,
    frost_depth_m,
)
from takeoff.heat.history import History
from takeoff.heat.layers import FILM, M_PER_IN, Array, Side, footing
from takeoff.heat.maturity import FREEZING_C
from takeoff.problems import Problem, Severity


@dataclass(frozen=True, slots=True, eq=False)
class GroundAnswer:
    """Whether the ground under a bare footing freezes before backfill: hours until it does (cold, likely, warm), how
    deep below the footing it gets [m] likewise, and the formula's depth from the open surface beside it.

    ``from_top_m`` is how deep the likely run is at freezing below the top of the footing, which the formula's depth is
    told against; ``index_f_days`` the freezing index of the air.
    """

    answer: Answer
    depth_m: tuple[float, float, float]
    formula: Berggren
    likely: History
    from_top_m: float
    footing_m: float
    index_f_days: float

    @property
    def differ(self) -> str:
        """Both depths, how far they are apart and why."""
        model, formula, thick = (m / M_PER_IN for m in (self.from_top_m, self.formula.depth_m, self.footing_m))
        off = model - formula
        apart = (
            "They agree"
            if abs(off) < 0.5
            else f"The model goes {abs(off):.0f} in {'deeper' if off > 0 else 'less deep'}"
        )
        return (
            f"{apart}. The formula takes bare open soil from the top down and the frost of all these days as one sum; "
            f"the model takes {thick:.0f} in of concrete first, which holds no water to freeze and lets frost through "
            "sooner, the covers and the wind hour by hour, and the warmth that the ground gives back between."
        )


def ground_freezes(
    soil: Soil,
    footing_m: float,
    above: Side,
    ground_c: float,
    begin_c: float | None = None,
    spread_c: float = 3.0,
    n: float = 0.7,
    deep_m: float = 2.5,
) -> GroundAnswer:
    """Ground under a bare footing (no heat of hydration left) until its backfill: air and covers of ``above``.

    ``ground_c`` is the ground ``deep_m`` below the footing, ``begin_c`` footing and ground at the first hour (by
    default as deep). Low is the cold run, because frost comes soonest there. Beside it the modified Berggren depth
    for bare open ground by the freezing index of the same air.
    """
    begin_c = ground_c if begin_c is None else begin_c
    runs = [_footing_run(soil, footing_m, above, ground_c, begin_c, shift) for shift in (-spread_c, 0.0, spread_c)]
    found = [_first_frost(h) for h in runs]
    depth = [_deepest_below(h, footing_m) for h in runs]
    days = (len(above.air_c) - 1) / 24
    index = freezing_index(days_of_hours(above.air_c))
    formula = berggren(soil, index, days, ground_c * 1.8 + 32, n)
    from_top = _deepest(runs[1])
    words = _ground_words((found[0], found[1], found[2]), depth, formula, days)
    problems: tuple[Problem, ...] = ()
    if found[1] is not None:
        said = "The ground under the footing is likely to freeze before backfill: cover or heat it, or fill sooner."
        problems = (Problem(Severity.ENGINEER, said),)
    elif found[0] is not None:
        said = (
            f"In air {spread_c * 1.8:.0f} °F colder than told the ground under the footing freezes: have covers there."
        )
        problems = (Problem(Severity.WARNING, said),)
    answer = Answer(
        "Does the ground under the bare footing freeze before backfill?", found[0], found[1], found[2], "h", words,
        (
            ("soil", f"{soil.name}: {soil.dry_pcf:g} pcf dry, {soil.water_pct:g} % water"),
            ("air", f"{_f(above.air_c.min()):.0f} to {_f(above.air_c.max()):.0f} °F over {days:.1f} days"),
            ("ground at depth", f"{_f(ground_c):.0f} °F, {deep_m / M_PER_FT:.0f} ft below the footing"),
            ("footing and ground at first", f"{_f(begin_c):.0f} °F"),
            ("spread", f"air ±{spread_c * 1.8:.1f} °F"),
            ("freezing index", f"{index:,.0f} °F days, at the surface x {n:g}"),
        ),
        "one-dimensional conduction with freezing soil, beside the modified Berggren equation", (BERGGREN, FILM),
        (
            "Along the middle of a footing: at its edges and corners frost comes sooner and from the side.",
            "No snow, no water moving, no sun; all water taken to freeze between 32 and 31 °F.",
        ),
        problems,
    )  # fmt: skip
    return GroundAnswer(answer, (depth[0], depth[1], depth[2]), formula, runs[1], from_top, footing_m, index)


def _footing_run(soil: Soil, footing_m: float, above: Side, ground_c: float, begin_c: float, shift_c: float) -> History:
    body = footing(footing_m, soil.material(), replace(above, air_c=above.air_c + shift_c), ground_c, None)
    hours = len(above.air_c) - 1
    cells = sum(layer.cells for layer in body.layers)
    times = np.arange(hours + 1, dtype=np.float64)
    return simulate(body, State(np.full(cells, float(begin_c)), np.zeros(0)), hours, times)


def _first_frost(history: History) -> float | None:
    below = np.flatnonzero(history.inside_face_c < FREEZING_C)
    return float(history.hours[below[0]]) if len(below) else None


def _deepest(history: History) -> float:
    """Deepest place at or below freezing, from the top of the footing [m], in all hours."""
    return max(frost_depth_m(history.depth_m, row) for row in history.temperature_c[::6])


def _deepest_below(history: History, footing_m: float) -> float:
    """Deepest frost below the footing [m] in all hours."""
    soil = slice(history.concrete.stop, None)
    depth: Array = history.depth_m[soil]
    return max(max(frost_depth_m(depth, row[soil]) - footing_m, 0.0) for row in history.temperature_c[::6])


def _ground_words(
    found: tuple[float | None, float | None, float | None], depth: list[float], formula: Berggren, days: float
) -> str:
    low, likely, _ = found
    if likely is not None:
        said = f"Yes, likely {spoken_days(likely)}, up to {depth[1] / M_PER_IN:.0f} in deep under the footing"
    elif low is not None:
        deep = depth[0] / M_PER_IN
        said = f"Only if it is colder than told: then {spoken_days(low)}, {deep:.0f} in deep under the footing"
    else:
        said = f"No, not within {days:.0f} days, even in air colder than told"
    return f"{said}. Bare open ground by the formula: {formula.depth_ft * 12:.0f} in."


def _f(celsius: float) -> float:
    return celsius * 1.8 + 32
