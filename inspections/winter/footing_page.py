"""A footing after its pour: whether its edge freezes too young, and whether the ground under it freezes while it is
bare. Soil and deep ground are asked, never guessed; what the pour log answers is taken from it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from inspections.pours.air import known_hours as without_gap
from inspections.winter import logged_page
from inspections.winter.asked import Asked
from inspections.winter.bare import Bare, Lying, bare_of
from inspections.winter.by_log import Followed, OnRecord, around_of, begin_of, followed
from inspections.winter.conditions import FROM_NOW, Conditions
from inspections.winter.rows import AnswerRow, clock_of
from inspections.winter.strength_page import DAY_H, known_hours, mix_of, too_little
from inspections.winter.strength_parts import SideBySide, StrengthPage, guide_words
from takeoff.heat.answers import CAUTION, spoken_range
from takeoff.heat.footings import Footing, FootingCourse, footing_course
from takeoff.heat.frost_under import GroundAnswer, ground_freezes
from takeoff.heat.ground import Soil
from takeoff.heat.layers import M_PER_IN, R_US, SHELTERED_M_S, Array, Cover, HeatError, Side
from takeoff.heat.maturity import FREEZING_C
from takeoff.heat.outlook import Spread, first_hour, warmed
from takeoff.heat.strength import usual_curve
from takeoff.plan import Plan
from takeoff.weather.hours import Hour, WeatherError, celsius, spoken
from takeoff.weather.rules_306r import FREEZE_ONCE_PSI

#: What must be typed, and how it is asked for.
GROUND = (
    ("soil_dry_pcf", "the soil's dry weight"),
    ("soil_water", "its water"),
    ("ground_f", "the ground 8 ft below"),
)
CONCRETE = ("concrete_f", "the concrete at discharge")
MODEL = "one-dimensional conduction with heat of hydration and freezing soil; the upper edge by the product of two runs"


def read(about: Asked) -> StrengthPage:
    """The page of a footing: of its pour on record, else for the pour hour asked."""
    asked, plan = about.conditions, about.plan
    if asked is None:
        return StrengthPage(shows="footing")
    if plan is None:
        return StrengthPage("No plan is locked yet: thickness and width of the footing come from it.", shows="footing")
    found = followed(about)
    page = _logged(about, plan, asked, found) if found.pour else _typed(about, plan, asked)
    shows = "footing_logged" if found.pour else "footing"
    return replace(page, others=logged_page.ways(about, found), shows=shows)


def _missing(asked: Conditions, *names: tuple[str, str]) -> StrengthPage | None:
    missing = [words for name, words in names if asked[name] is None]
    return StrengthPage(f"Type {', '.join(missing)}: nothing is taken for them.") if missing else None


# -- as asked ---------------------------------------------------------------------------------------------
def _typed(about: Asked, plan: Plan, asked: Conditions) -> StrengthPage:
    if about.series is None:
        return StrengthPage("No weather is here yet.", lacks_weather=True)
    missing = _missing(asked, *GROUND, CONCRETE)
    if missing is not None:
        return missing
    try:
        lacks = too_little(about)
        if lacks is not None:
            return lacks
        air, wind = _air_of(known_hours(about))
        covers = (Cover(asked["blanket_r"] * R_US, 0.0, asked["blanket_days"] * DAY_H),) if asked["blanket_r"] else ()
        spec = plan.spec.footing
        pour = Footing(
            spec.thickness.inch * M_PER_IN, spec.width.inch * M_PER_IN, soil_of(asked), air,
            celsius(asked["concrete_f"]), celsius(asked["ground_f"]), usual_curve(float(asked["strength_psi"])),
            wind_m_s=wind, top=covers, sides=covers, mix=mix_of(asked),
        )  # fmt: skip
        inputs = (
            ("First concrete", spoken(asked.pour_at)),
            ("Placed at", f"{asked['concrete_f']:g} °F"),
            (
                "Covers",
                f"R {asked['blanket_r']:g} for {asked['blanket_days']:g} days" if asked["blanket_r"] else "none",
            ),
        )
        lying = Lying(asked.pour_at, about.now, len(air) - 1)
        if asked["bare_from"] != FROM_NOW:
            return _page(pour, asked, lying, about.series.source, inputs)
        # it lies there already, whichever day another pour is asked for
        air, wind = _air_of(without_gap([about.series], about.now))
        there = replace(pour, air_c=air, wind_m_s=wind), Lying(about.now, about.now, len(air) - 1)
        return _page(pour, asked, lying, about.series.source, inputs, there)
    except (WeatherError, HeatError, ValueError) as wrong:
        return StrengthPage(str(wrong))


def _air_of(hours: list[Hour]) -> tuple[Array, Array]:
    """Air [C] and wind [m/s]."""
    wind = [SHELTERED_M_S if h.wind_m_s is None else h.wind_m_s for h in hours]
    return np.array([h.air_c for h in hours]), np.array(wind)


def soil_of(asked: Conditions) -> Soil:
    """The soil typed. Raises HeatError for one that cannot be."""
    name = "silt or clay" if asked["soil_fine"] else "sand or gravel"
    return Soil(asked["soil_dry_pcf"], asked["soil_water"], asked["soil_fine"], name)


# -- by the log -------------------------------------------------------------------------------------------
def _logged(about: Asked, plan: Plan, asked: Conditions, found: Followed) -> StrengthPage:
    from inspections.pours import as_poured as log

    pour = found.pour
    assert pour is not None and pour.poured is not None
    poured, weather = pour.poured, around_of(about, plan, pour)
    begin, by_log = begin_of(about, poured), logged_page.by_log(about, pour, poured, poured.lost)
    if weather is None or len(weather.air_c) - 1 < DAY_H:
        said = "The weather is not known from the pour on: how the footing does cannot be worked out."
        return StrengthPage(said, lacks_weather=True, by_log=by_log)
    missing = _missing(asked, *GROUND)
    if missing is not None:
        return replace(missing, by_log=by_log)
    spec = plan.spec.footing
    wall = log.wall_of(poured, weather)
    try:
        footing = Footing(
            spec.thickness.inch * M_PER_IN, spec.width.inch * M_PER_IN, soil_of(asked),
            warmed(wall.air_c, wall.warming), wall.placed_c, celsius(asked["ground_f"]), wall.curve,
            wind_m_s=wall.wind_m_s, top=wall.top_covers or (), sides=wall.covers, mix=wall.mix,
        )  # fmt: skip
        lying = Lying(begin, about.now, len(weather.air_c) - 1, _ground_read(pour))
        inputs = (("Last concrete", spoken(begin)), *log.told(poured))
        return replace(_page(footing, asked, lying, weather.source, inputs), by_log=by_log)
    except (HeatError, ValueError) as wrong:
        return StrengthPage(str(wrong), by_log=by_log)


def _ground_read(pour: OnRecord) -> float | None:
    """The ground under the footing as last read [F]."""
    read = pour.poured.places.get("ground", ()) if pour.poured else ()
    return read[-1][1] if read else None


# -- the answers ------------------------------------------------------------------------------------------
def _page(
    pour: Footing, asked: Conditions, lying: Lying, source: str, inputs: tuple[tuple[str, str], ...],
    there: tuple[Footing, Lying] | None = None,
) -> StrengthPage:  # fmt: skip
    """Edge and ground; ``there`` is the footing the ground is asked of, where it is another than the pour."""
    under, lies = there or (pour, lying)
    bare = bare_of(asked, lies)
    ground = None if isinstance(bare, str) else _ground(under, bare)
    runs = [footing_course(shifted(pour, part)) for part in (1, 0, -1)]
    found = ground.answer if ground else None
    frost = _frost_row(ground, bare)
    return StrengthPage(
        answers=(_edge(lying, runs), frost),
        guide=guide_words(asked),
        side=_side(ground) if ground else None,
        inputs=(
            *inputs,
            ("Footing", f"{pour.depth_m / M_PER_IN:g} in thick, {pour.width_m / M_PER_IN:g} in wide"),
            *((("Curve", pour.curve.name),) if not any(label == "Curve" for label, _ in inputs) else ()),
            *(found.inputs if found else ()),
        ),
        sources=tuple(dict.fromkeys(str(s) for s in (*(found.sources if found else ()), pour.curve.source))),
        limits=(
            *(found.limits if found else ()),
            "The ground's answer takes the footing as cold as the ground, without its own heat.",
        ),
        weather=f"{source}. Known until {clock_of(lying.poured)(lying.known_h)}.",
        model=MODEL,
        caution=CAUTION,
    )


def _ground(pour: Footing, bare: Bare) -> GroundAnswer:
    """The ground from the first hour it lies bare to the last."""
    first, last = bare.from_h, bare.until_h
    wind = pour.wind_m_s if np.ndim(pour.wind_m_s) == 0 else np.asarray(pour.wind_m_s)[first : last + 1]
    covers = tuple(
        replace(c, from_h=c.from_h - first, until_h=c.until_h - first) for c in pour.top if c.until_h > first
    )
    above = Side(pour.air_c[first : last + 1], wind, covers)
    begin = None if bare.begin_f is None else celsius(bare.begin_f)
    return ground_freezes(pour.soil, pour.depth_m, above, pour.ground_c, begin)


def _frost_row(ground: GroundAnswer | None, bare: Bare | str) -> AnswerRow:
    if ground is None or isinstance(bare, str):
        question = "Does the ground under the bare footing freeze before backfill?"
        return AnswerRow(question, bare if isinstance(bare, str) else "", "", "")
    answer = ground.answer
    when = clock_of(bare.start)
    return AnswerRow(
        answer.question, answer.words, when(answer.likely) if answer.likely is not None else "",
        f"{when(answer.low)} if colder, {when(answer.high)} if warmer than told" if answer.low is not None else "",
        tuple(p.sentence for p in answer.problems), bare.notes,
    )  # fmt: skip


def _side(ground: GroundAnswer) -> SideBySide:
    """Frost by the model and by the formula, from the top of the footing and under its sole [in]."""
    model, formula, thick = (m / M_PER_IN for m in (ground.from_top_m, ground.formula.depth_m, ground.footing_m))
    return SideBySide(
        (
            ("Down from the top", f"{model:.0f} in", f"{formula:.0f} in"),
            ("Under the footing's sole", f"{max(model - thick, 0):.0f} in", f"{max(formula - thick, 0):.0f} in"),
            ("Freezing index of the air", "hour by hour", f"{ground.index_f_days:,.0f} °F days"),
        ),
        ground.differ,
        ground.formula.basis,
    )


def shifted(pour: Footing, part: int) -> Footing:
    """The same footing as warm (1) or as cold (-1) as it may turn out."""
    spread = Spread()
    return replace(pour, air_c=pour.air_c + part * spread.air_c, placed_c=pour.placed_c + part * spread.placed_c)


def _edge(lying: Lying, runs: list[FootingCourse]) -> AnswerRow:
    """When the coldest edge may freeze once, warm run first; and whether it freezes before."""
    low, likely, high = (first_hour(run.history.hours, run.psi, FREEZE_ONCE_PSI) for run in runs)
    when = clock_of(lying.poured)
    words = f"{FREEZE_ONCE_PSI:.0f} psi at the upper edge {spoken_range(low, likely, high, lying.known_h)}."
    never = low is None and high is None  # the words say so
    between = "" if never else f"{when(low)} at best, {when(high)} at worst"
    told = tuple(_green(runs))
    return AnswerRow(
        "When does its edge survive a freeze?", words, when(likely) if likely is not None else "", between, told
    )


def _green(runs: list[FootingCourse]) -> Iterator[str]:
    for run, how in ((runs[1], "likely freezes"), (runs[2], "freezes, if it gets as cold as it may,")):
        green = np.flatnonzero((run.edge_c < FREEZING_C) & (run.psi < FREEZE_ONCE_PSI))
        if len(green):
            hour = float(run.history.hours[green[0]])
            yield f"The edge {how} after {hour:.0f} h, before it has {FREEZE_ONCE_PSI:.0f} psi: protect it better."
            return
