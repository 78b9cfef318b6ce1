"""How warm a wall stays after its pour and how strong it is by when: three runs of the heat model, inputs in sight."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta
from math import ceil

import numpy as np

from inspections.legs import in_runs
from inspections.winter.asked import Asked
from inspections.winter.conditions import Conditions
from inspections.winter.guide import rules_of
from takeoff.drawings.heat_chart import Limit, strength_chart, temperature_chart
from takeoff.drawings.svg import render
from takeoff.heat.answers import CAUTION, MODEL, Answer, backfill_strength, protection_may_end, survives_a_freeze
from takeoff.heat.hydration import KG_M3_PER_LB_YD3, Mix
from takeoff.heat.layers import M_PER_IN, R_US, SHELTERED_M_S, Cover, HeatError
from takeoff.heat.outlook import Outlook, Wall, Warming, look_ahead
from takeoff.heat.strength import usual_curve
from takeoff.plan import Plan
from takeoff.weather.hours import Hour, WeatherError, celsius, spoken
from takeoff.weather.rules_306r import FREEZE_ONCE_PSI

PHONE, DESK = 340, 720
LEAST_HOURS, MOST_HOURS = 48, 28 * 24
DAY_H = 24


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer with its days by the clock of the site."""

    question: str
    words: str
    likely: str
    between: str
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Charts:
    """The two pictures for one width."""

    temperature: str
    strength: str


@dataclass(frozen=True, slots=True)
class StrengthPage:
    """The page, or the sentence why there is no answer."""

    problem: str = ""
    answers: tuple[AnswerRow, ...] = ()
    desk: Charts | None = None
    phone: Charts | None = None
    guide: str = ""
    needed: tuple[tuple[str, str], ...] = ()
    inputs: tuple[tuple[str, str], ...] = ()
    sources: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    weather: str = ""
    model: str = MODEL
    caution: str = CAUTION


def read(about: Asked) -> StrengthPage:
    """The page of a stage for the pour hour asked."""
    if about.conditions is None:
        return StrengthPage()
    if about.plan is None or not about.legs:
        return StrengthPage("No plan is locked yet, or no wall is chosen: core and foam come from it.")
    try:
        wall = wall_of(about, about.plan, about.conditions)
        outlook = wall if isinstance(wall, str) else look_ahead(wall)
    except (WeatherError, HeatError, ValueError) as wrong:
        return StrengthPage(str(wrong))
    if isinstance(outlook, str):
        return StrengthPage(outlook, needed=needed_rows(about))
    return _page(about, about.conditions, outlook)


def wall_of(about: Asked, plan: Plan, asked: Conditions) -> Wall | str:
    """The thinnest wall of the pour, which cools soonest, as the heat model takes it; or the sentence why not.

    Raises WeatherError for an hour that the clocks skip, ValueError for a mix that cannot be.
    """
    if about.series is None or about.source is None:
        return "No weather is here yet: give it on the first page."
    if asked["concrete_f"] is None:
        return "Type the temperature of the concrete at discharge."
    leg = min((plan.leg(name) for name in about.legs), key=lambda each: each.core.inch)
    hours = known_hours(about)
    if len(hours) - 1 < LEAST_HOURS:
        known = max(len(hours) - 1, 0)
        return f"The weather is known for {known} h from that pour; {LEAST_HOURS} h or more are needed."
    covers = (Cover(asked["blanket_r"] * R_US, 0.0, asked["blanket_days"] * DAY_H),) if asked["blanket_r"] else ()
    warming = (Warming(celsius(asked["heat_f"]), 0.0, asked["heat_days"] * DAY_H),) if asked["heat_f"] else ()
    return Wall(
        leg.core.inch * M_PER_IN, plan.form(leg.form).foam.inch * M_PER_IN, np.array([h.air_c for h in hours]),
        celsius(asked["concrete_f"]), usual_curve(float(asked["strength_psi"])),
        mix=mix_of(asked),
        wind_m_s=np.array([SHELTERED_M_S if h.wind_m_s is None else h.wind_m_s for h in hours]),
        covers=covers, warming=warming, air_source=about.series.source,
    )  # fmt: skip


def mix_of(asked: Conditions) -> Mix:
    """The mix typed, for its heat. Raises ValueError for one that cannot be."""
    cement = asked["cement_lb"] * KG_M3_PER_LB_YD3
    return Mix(cement_kg=cement, water_kg=cement * asked["water_ratio"])


def known_hours(about: Asked) -> list[Hour]:
    """Hours from the pour on that follow each other without a gap, 28 days at most."""
    assert about.conditions is not None and about.series is not None
    at = about.conditions.pour_at
    out: list[Hour] = []
    for hour in about.series.between(at - timedelta(minutes=59), at + timedelta(hours=MOST_HOURS)):
        if out and hour.at.timestamp() - out[-1].at.timestamp() > 3600:
            break
        out.append(hour)
    return out if out and out[0].at <= at + timedelta(minutes=59) else []


def _page(about: Asked, asked: Conditions, outlook: Outlook) -> StrengthPage:
    wanted = asked["wanted_psi"] or most_needed(about)
    answers = [survives_a_freeze(outlook), protection_may_end(outlook)]
    asks: list[tuple[float, Answer]] = [(FREEZE_ONCE_PSI, answers[0])]
    if wanted:
        answers.append(backfill_strength(outlook, float(wanted)))
        asks.append((float(wanted), answers[-1]))
    assert about.source is not None
    inputs = dict.fromkeys(pair for answer in answers for pair in answer.inputs)
    stay = _stay(asked)
    return StrengthPage(
        answers=tuple(_row(answer, asked) for answer in answers),
        desk=_charts(outlook, asks, DESK, "desk"),
        phone=_charts(outlook, asks, PHONE, "phone"),
        guide=guide_words(asked),
        needed=needed_rows(about),
        inputs=(("First concrete", spoken(asked.pour_at)), *inputs, *stay),
        sources=tuple(dict.fromkeys(str(s) for answer in answers for s in answer.sources)),
        limits=tuple(dict.fromkeys(limit for answer in answers for limit in answer.limits)),
        weather=f"{outlook.wall.air_source}. Known for {outlook.wall.hours} h from the pour.",
    )


def _stay(asked: Conditions) -> Iterable[tuple[str, str]]:
    if asked["blanket_r"]:
        yield "Covers stay", f"{asked['blanket_days']:g} days, R {asked['blanket_r']:g} on both sides"
    if asked["heat_f"]:
        yield "Heated air", f"{asked['heat_f']:g} °F for {asked['heat_days']:g} days"
    yield "Wind", "as the weather says, else 1 m/s in the shelter of the hole"


def _charts(outlook: Outlook, asks: list[tuple[float, Answer]], width: int, name: str) -> Charts:
    placed = Limit(outlook.wall.placed_c * 1.8 + 32, "as placed")
    return Charts(
        render(temperature_chart(outlook, width, (placed,), key=f"heat-{name}"), width),
        render(strength_chart(outlook, width, asks, key=f"strength-{name}"), width),
    )


def clock_of(asked: Conditions) -> Callable[[float | None], str]:
    """Hours from the pour as a day and the next full hour of the site's clocks: no model knows the minute."""

    def when(hours: float | None) -> str:
        return "not in these days" if hours is None else spoken(asked.pour_at + timedelta(hours=ceil(hours)))

    return when


def _row(answer: Answer, asked: Conditions) -> AnswerRow:
    when = clock_of(asked)
    return AnswerRow(
        answer.question,
        answer.words,
        when(answer.likely),
        f"{when(answer.low)} at best, {when(answer.high)} at worst",
        tuple(problem.sentence for problem in answer.problems),
    )


def guide_words(asked: Conditions) -> str:
    """What the cold-weather guide asks beside the model: of the two the longer holds."""
    rules = rules_of(asked)
    if rules is None:
        return ""
    until = "until the strength asked for is reached" if rules.hold_h is None else f"for {rules.hold_h:g} h"
    return (
        f"{rules.name} asks, in cold weather, to keep the concrete at {rules.hold_f:.0f} °F or more {until}. The "
        "longer of guide and model holds, unless the engineer of record says otherwise."
    )


# -- what backfill needs --------------------------------------------------------------------------------
def most_needed(about: Asked) -> int | None:
    """The strength that all legs are filled at [psi]; None where no strength answers for one of them."""
    found = [need.psi for _, need in about.needed]
    known = [psi for psi in found if psi is not None]
    return max(known) if known and len(known) == len(found) else None


def needed_rows(about: Asked) -> tuple[tuple[str, str], ...]:
    """Legs alike and what earth against them asks for, or why no strength answers."""
    rows: dict[str, list[str]] = {}
    for leg, need in about.needed:
        basis = need.basis.removeprefix(f"{leg}, ")
        why = need.reason.removeprefix(f"{leg}, ") or basis
        said = f"{need.psi:,} psi: {basis}" if need.psi is not None else why
        rows.setdefault(said, []).append(leg)
    return tuple((f"Leg{'s' if len(legs) > 1 else ''} {in_runs(legs)}", said) for said, legs in rows.items())
