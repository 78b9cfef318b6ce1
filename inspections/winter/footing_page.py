"""A footing after its pour: whether its edge freezes too young, and whether the ground under it freezes while it is
bare. Soil and deep ground are asked, never guessed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from inspections.winter.asked import Asked
from inspections.winter.conditions import Conditions
from inspections.winter.strength_page import (
    LEAST_HOURS,
    AnswerRow,
    StrengthPage,
    clock_of,
    guide_words,
    known_hours,
    mix_of,
)
from takeoff.heat.answers import CAUTION, spoken_range
from takeoff.heat.footings import Footing, FootingCourse, footing_course
from takeoff.heat.frost_under import GroundAnswer, ground_freezes
from takeoff.heat.ground import Soil
from takeoff.heat.layers import M_PER_IN, R_US, SHELTERED_M_S, Cover, HeatError, Side
from takeoff.heat.maturity import FREEZING_C
from takeoff.heat.outlook import Spread, first_hour
from takeoff.heat.strength import usual_curve
from takeoff.plan import Plan
from takeoff.weather.hours import WeatherError, celsius, spoken
from takeoff.weather.rules_306r import FREEZE_ONCE_PSI

#: What must be typed, and how it is asked for.
GROUND = (
    ("soil_dry_pcf", "the soil's dry weight"),
    ("soil_water", "its water"),
    ("ground_f", "the ground 8 ft below"),
    ("concrete_f", "the concrete at discharge"),
)
MODEL = "one-dimensional conduction with heat of hydration and freezing soil; the upper edge by the product of two runs"


def read(about: Asked) -> StrengthPage:
    """The page of a footing for the pour hour asked."""
    asked, plan = about.conditions, about.plan
    if asked is None:
        return StrengthPage()
    if plan is None:
        return StrengthPage("No plan is locked yet: thickness and width of the footing come from it.")
    if about.series is None:
        return StrengthPage("No weather is here yet: give it on the first page.")
    missing = [words for name, words in GROUND if asked[name] is None]
    if missing:
        return StrengthPage(f"Type {', '.join(missing)}: nothing is taken for them.")
    try:
        hours = known_hours(about)
        if len(hours) - 1 < LEAST_HOURS:
            known = max(len(hours) - 1, 0)
            return StrengthPage(
                f"The weather is known for {known} h from that pour; {LEAST_HOURS} h or more are needed."
            )
        air = np.array([h.air_c for h in hours])
        wind = np.array([SHELTERED_M_S if h.wind_m_s is None else h.wind_m_s for h in hours])
        covers = (Cover(asked["blanket_r"] * R_US, 0.0, asked["blanket_days"] * 24),) if asked["blanket_r"] else ()
        pour = footing_of(plan, asked, air, wind, covers)
        ground = ground_freezes(pour.soil, pour.depth_m, Side(air, wind, covers), pour.ground_c)
        runs = [footing_course(shifted(pour, part)) for part in (1, 0, -1)]
    except (WeatherError, HeatError, ValueError) as wrong:
        return StrengthPage(str(wrong))
    return _page(about, asked, pour, runs, ground)


def footing_of(plan: Plan, asked: Conditions, air: object, wind: object, covers: tuple[Cover, ...]) -> Footing:
    """The footing as the heat model takes it. Raises HeatError for soil that cannot be."""
    spec = plan.spec.footing
    soil = Soil(asked["soil_dry_pcf"], asked["soil_water"], asked["soil_fine"], _soil_name(asked))
    return Footing(
        spec.thickness.inch * M_PER_IN, spec.width.inch * M_PER_IN, soil, np.asarray(air), celsius(asked["concrete_f"]),
        celsius(asked["ground_f"]), usual_curve(float(asked["strength_psi"])), wind_m_s=np.asarray(wind), top=covers,
        sides=covers, mix=mix_of(asked),
    )  # fmt: skip


def _soil_name(asked: Conditions) -> str:
    return "silt or clay" if asked["soil_fine"] else "sand or gravel"


def shifted(pour: Footing, part: int) -> Footing:
    """The same footing as warm (1) or as cold (-1) as it may turn out."""
    spread = Spread()
    return replace(pour, air_c=pour.air_c + part * spread.air_c, placed_c=pour.placed_c + part * spread.placed_c)


def _page(
    about: Asked, asked: Conditions, pour: Footing, runs: list[FootingCourse], ground: GroundAnswer
) -> StrengthPage:
    answer = ground.answer
    when = clock_of(asked)
    frost = AnswerRow(
        answer.question, answer.words, when(answer.likely), f"{when(answer.low)} if colder, {when(answer.high)} if "
        "warmer than told", tuple(p.sentence for p in answer.problems),
    )  # fmt: skip
    known = len(pour.air_c) - 1
    assert about.series is not None
    inputs = (
        ("First concrete", spoken(asked.pour_at)),
        ("Footing", f"{pour.depth_m / M_PER_IN:g} in thick, {pour.width_m / M_PER_IN:g} in wide"),
        ("Placed at", f"{asked['concrete_f']:g} °F"),
        ("Curve", pour.curve.name),
        ("Covers", f"R {asked['blanket_r']:g} for {asked['blanket_days']:g} days" if asked["blanket_r"] else "none"),
        *((label, value) for label, value in answer.inputs),
    )
    return StrengthPage(
        answers=(_edge(asked, runs, known), frost),
        guide=guide_words(asked),
        inputs=inputs,
        sources=tuple(dict.fromkeys(str(s) for s in (*answer.sources, pour.curve.source))),
        limits=(*answer.limits, "The ground's answer takes the footing as cold as the ground, without its own heat."),
        weather=f"{about.series.source}. Known for {known} h from the pour.",
        model=MODEL,
        caution=CAUTION,
    )


def _edge(asked: Conditions, runs: list[FootingCourse], known: int) -> AnswerRow:
    """When the coldest edge may freeze once, warm run first; and whether it freezes before."""
    low, likely, high = (first_hour(run.history.hours, run.psi, FREEZE_ONCE_PSI) for run in runs)
    when = clock_of(asked)
    words = f"{FREEZE_ONCE_PSI:.0f} psi at the upper edge {spoken_range(low, likely, high, known)}."
    between = f"{when(low)} at best, {when(high)} at worst"
    return AnswerRow("When does its edge survive a freeze?", words, when(likely), between, tuple(_green(runs)))


def _green(runs: list[FootingCourse]) -> Iterable[str]:
    for run, how in ((runs[1], "likely freezes"), (runs[2], "freezes, if it gets as cold as it may,")):
        green = np.flatnonzero((run.edge_c < FREEZING_C) & (run.psi < FREEZE_ONCE_PSI))
        if len(green):
            hour = float(run.history.hours[green[0]])
            yield f"The edge {how} after {hour:.0f} h, before it has {FREEZE_ONCE_PSI:.0f} psi: protect it better."
            return
