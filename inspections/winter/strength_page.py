"""How warm a wall stays after its pour and how strong it is by when: by the log of the pour once it is on record, else
as asked; three runs of the heat model, inputs in sight."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
from django.urls import reverse

from inspections import queries
from inspections.pours.air import known_hours as without_gap
from inspections.states import bare_footing
from inspections.winter import logged_page
from inspections.winter.asked import Asked
from inspections.winter.by_log import followed
from inspections.winter.conditions import Conditions
from inspections.winter.fills import fill_needs, labelled
from inspections.winter.helps_table import helps_before
from inspections.winter.rows import ahead_of
from inspections.winter.second_opinion import opinion_of
from inspections.winter.strength_parts import (
    DESK,
    PHONE,
    Sight,
    StrengthPage,
    Way,
    braces,
    braces_row,
    charts,
    fill_rows,
    freeze,
    guide_words,
    guided,
    inputs_of,
    limits_of,
    sources_of,
)
from takeoff.heat.answers import protection_may_end
from takeoff.heat.hydration import KG_M3_PER_LB_YD3, Mix
from takeoff.heat.layers import M_PER_IN, R_US, SHELTERED_M_S, Cover, HeatError
from takeoff.heat.outlook import Outlook, Wall, Warming, look_ahead
from takeoff.heat.strength import usual_curve
from takeoff.plan import Plan, Stage
from takeoff.weather.hours import Hour, WeatherError, celsius, spoken

LEAST_HOURS = 48
DAY_H = 24


def read(about: Asked) -> StrengthPage:
    """The page of a stage: of its pour on record, else for the pour hour asked."""
    if about.conditions is None:
        return StrengthPage()
    if about.plan is None or not about.legs:
        return StrengthPage("No plan is locked yet, or no wall is chosen: core and foam come from it.")
    found = followed(about)
    if found.pour is not None:
        page = logged_page.read(about, about.plan, about.conditions, found)
    else:
        page = _typed(about, about.plan, about.conditions)
    return replace(page, others=(*logged_page.ways(about, found), *_to_bare_footing(about)))


def _to_bare_footing(about: Asked) -> Iterable[Way]:
    """From the page of a frost wall to that of its footing, while frost may get under it."""
    footing = bare_footing(queries.ledger(about.house)) if about.kind is Stage.FROST_WALL else None
    if footing is not None:
        url = reverse("inspections:weather_strength", args=[about.house.pk, footing.pk])
        yield Way("Does frost get under the bare footing?", url)


def _typed(about: Asked, plan: Plan, asked: Conditions) -> StrengthPage:
    needs = fill_needs(plan, about.kind, about.legs)
    try:
        wall = wall_of(about, plan, asked)
        outlook = wall if isinstance(wall, StrengthPage) else look_ahead(wall)
    except (WeatherError, HeatError, ValueError) as wrong:
        return StrengthPage(str(wrong))
    if isinstance(outlook, StrengthPage):
        return replace(outlook, needed=labelled(needs))
    return _page(Sight(outlook, ahead_of(outlook, asked.pour_at), needs, asked, asked.pour_at, about.now))


def wall_of(about: Asked, plan: Plan, asked: Conditions) -> Wall | StrengthPage:
    """The thinnest wall of the pour, which cools soonest, as the heat model takes it; or the page that says why not.

    Raises WeatherError for an hour that the clocks skip, ValueError for a mix that cannot be.
    """
    missing = too_little(about)
    if missing is not None:
        return missing
    if asked["concrete_f"] is None:
        return StrengthPage("Type the temperature of the concrete at discharge.")
    assert about.series is not None
    leg = min((plan.leg(name) for name in about.legs), key=lambda each: each.core.inch)
    hours = known_hours(about)
    covers = (Cover(asked["blanket_r"] * R_US, 0.0, asked["blanket_days"] * DAY_H),) if asked["blanket_r"] else ()
    warming = (Warming(celsius(asked["heat_f"]), 0.0, asked["heat_days"] * DAY_H),) if asked["heat_f"] else ()
    return Wall(
        leg.core.inch * M_PER_IN, plan.form(leg.form).foam.inch * M_PER_IN, np.array([h.air_c for h in hours]),
        celsius(asked["concrete_f"]), usual_curve(float(asked["strength_psi"])),
        mix=mix_of(asked),
        wind_m_s=np.array([SHELTERED_M_S if h.wind_m_s is None else h.wind_m_s for h in hours]),
        covers=covers, warming=warming, air_source=about.series.source,
    )  # fmt: skip


def too_little(about: Asked) -> StrengthPage | None:
    """The page that says the weather is not known, or not for long enough; None where it is."""
    if about.series is None or about.source is None:
        return StrengthPage("No weather is here yet.", lacks_weather=True)
    known = max(len(known_hours(about)) - 1, 0)
    if known >= LEAST_HOURS:
        return None
    said = f"The weather is known for {known} h from that pour; {LEAST_HOURS} h or more are needed."
    return StrengthPage(said, lacks_weather=True)


def mix_of(asked: Conditions) -> Mix:
    """The mix typed, for its heat. Raises ValueError for one that cannot be."""
    cement = asked["cement_lb"] * KG_M3_PER_LB_YD3
    return Mix(cement_kg=cement, water_kg=cement * asked["water_ratio"])


def known_hours(about: Asked) -> list[Hour]:
    """Hours from the pour on that follow each other without a gap, 28 days at most."""
    assert about.conditions is not None and about.series is not None
    return without_gap([about.series], about.conditions.pour_at)


def _page(sight: Sight) -> StrengthPage:
    outlook, asked = sight.outlook, sight.asked
    answers = [freeze(sight), protection_may_end(outlook), braces(sight)]
    inputs = {**inputs_of(answers), **dict(_stay(asked))}
    return StrengthPage(
        answers=(
            sight.row(answers[0]),
            guided(sight, sight.row(answers[1])),
            braces_row(sight, answers[2]),
            *fill_rows(sight),
        ),
        helps=helps_before(outlook, asked, sight.psis, sight.begin),
        desk=charts(sight, answers, DESK, "desk"),
        phone=charts(sight, answers, PHONE, "phone"),
        guide=guide_words(asked),
        needed=labelled(sight.needs),
        opinion=opinion_of(outlook),
        inputs=(("First concrete", spoken(asked.pour_at)), *inputs.items()),
        sources=sources_of(answers),
        limits=limits_of(answers),
        weather=weather_words(outlook, sight.begin),
    )


def weather_words(outlook: Outlook, begin: datetime) -> str:
    """Where the air is from and how far it goes."""
    return f"{outlook.wall.air_source}. Known until {spoken(begin + timedelta(hours=outlook.wall.hours))}."


def _stay(asked: Conditions) -> Iterable[tuple[str, str]]:
    if asked["blanket_r"]:
        yield "Covers stay", f"{asked['blanket_days']:g} days, R {asked['blanket_r']:g} on both sides"
    if asked["heat_f"]:
        yield "Heated air", f"{asked['heat_f']:g} °F for {asked['heat_days']:g} days"
    yield "Wind", "as the weather says, else 1 m/s in the shelter of the hole"
