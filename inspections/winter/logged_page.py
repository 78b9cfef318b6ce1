"""The page of warmth and strength of a wall that is poured: what its log says, carried on with the weather."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from django.urls import reverse

from inspections import queries
from inspections.ahead import expected
from inspections.page_queries import words
from inspections.pours.as_poured import AsPoured, told
from inspections.pours.estimate import Estimate, estimated
from inspections.pours.outlook import STAYS_ON, reaches
from inspections.strength import MARGIN, known
from inspections.winter.asked import Asked
from inspections.winter.by_log import FOLLOW, POUR, TYPED, Followed, OnRecord, Seen, around_of, begin_of, seen
from inspections.winter.conditions import Conditions
from inspections.winter.fills import FillNeed, fill_needs, labelled
from inspections.winter.helps_table import helps_after
from inspections.winter.rows import HOUR_S, AnswerRow, row_of
from inspections.winter.second_opinion import opinion_of
from inspections.winter.strength_parts import (
    DESK,
    PHONE,
    ByLog,
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
from takeoff.heat.answers import Answer, protection_may_end
from takeoff.plan import Plan
from takeoff.weather.hours import spoken

#: Inputs of the model that the log says better, in its own words.
SAID_BY_LOG = ("placed at", "cement", "covers", "curve", "readings")
NOW_ON = (
    "The log answers what the pour was. Covers and heat typed here count from now on, besides what is on record: what "
    "would they change?"
)
STRENGTH_NOW = "How strong is it by the log?"
PROTECTION = "When may protection end?"


def read(about: Asked, plan: Plan, asked: Conditions, found: Followed) -> StrengthPage:
    """The page of the pour followed."""
    pour = found.pour
    assert pour is not None and pour.poured is not None
    poured, needs = pour.poured, fill_needs(plan, about.kind, pour.legs)
    weather = around_of(about, plan, pour)
    sight = (
        seen(poured, weather, asked)
        if weather and _known_on(poured, weather.told_h, reaches(poured, weather))
        else None
    )
    if sight is None:
        return _without_weather(about, pour, poured, needs, estimated(poured, weather))
    return _page(about, asked, pour, sight, needs)


def _known_on(poured: AsPoured, told_h: int, does_reach: bool) -> bool:
    """Whether the weather carries it on past now, or past its last reading."""
    return does_reach if poured.last_h is not None else poured.now_h < told_h


def ways(about: Asked, found: Followed) -> tuple[Way, ...]:
    """Links to the other pours of the stage: to their logs, or to conditions typed for those still to come."""
    return tuple(_way(about, pour) for pour in found.others)


def _way(about: Asked, pour: OnRecord) -> Way:
    on = words.where(pour.legs)
    if pour.poured is not None:
        at = words.moment(about.house, pour.poured.placed)
        return Way(f"{on}: as poured {at}", page_url(about, {POUR: pour.legs[0], FOLLOW: ""}))
    return Way(f"{on}: not poured yet", page_url(about, {POUR: pour.legs[0], FOLLOW: TYPED}))


def page_url(about: Asked, change: dict[str, str]) -> str:
    """This page, asked otherwise."""
    query = about.query.copy()
    for name, value in change.items():
        query[name] = value
        if not value:
            del query[name]
    address = reverse("inspections:weather_strength", args=[about.house.pk, about.stage.pk])
    return f"{address}?{query.urlencode()}".rstrip("?")


def by_log(about: Asked, pour: OnRecord, poured: AsPoured, notes: tuple[str, ...]) -> ByLog:
    """That the page follows the log, in a sentence, and the ways from there."""
    at = words.moment(about.house, poured.placed)
    said = f"As poured {at}, by the pour log: {words.where(pour.legs)}, {poured.placed_f:.0f} °F ({poured.placed_by})."
    return ByLog(said, pour.url, page_url(about, {FOLLOW: TYPED}), notes)


# -- with weather -------------------------------------------------------------------------------------------
def _page(about: Asked, asked: Conditions, pour: OnRecord, found: Seen, needs: tuple[FillNeed, ...]) -> StrengthPage:
    begin = begin_of(about, found.poured)
    ahead = found.ahead(begin)
    sight = Sight(found.told, ahead, needs, asked, begin, about.now)
    answers = [freeze(sight), braces(sight)]
    if found.poured.still_kept or found.what_if:
        answers.insert(1, protection_may_end(found.kept, from_h=found.now_h))
    rest = {k: v for k, v in inputs_of(answers).items() if k not in SAID_BY_LOG}
    return StrengthPage(
        by_log=by_log(about, pour, found.poured, (*_cylinders(about, pour), *_notes(found))),
        answers=tuple(_rows(sight, found, answers)),
        helps=helps_after(
            found.told, found.kept.wall, asked, lacking(sight, found.now_h), begin, found.now_h, found.poured.still_kept
        ),
        desk=charts(sight, answers, DESK, "desk"),
        phone=charts(sight, answers, PHONE, "phone"),
        guide=guide_words(asked),
        needed=labelled(needs),
        opinion=opinion_of(found.told),
        inputs=(("Last concrete", words.moment(about.house, begin)), *told(found.poured), *rest.items()),
        sources=sources_of(answers),
        limits=limits_of(answers),
        weather=_weather_words(found, begin),
        shows="strength_logged",
        asked_note=NOW_ON,
    )


def lacking(sight: Sight, now_h: float) -> tuple[float, ...]:
    """Strengths that the late course does not have yet: only towards those does anything help."""
    late = ((psi, sight.outlook.cold.hour_of(psi)) for psi in sight.psis)
    return tuple(psi for psi, hour in late if hour is None or hour > now_h)


def _rows(sight: Sight, found: Seen, answers: list[Answer]) -> Iterator[AnswerRow]:
    if isinstance(found.estimate, Estimate):
        yield strength_row(found.estimate, found.poured, sight.begin)
    yield sight.row(answers[0])
    yield _protection(sight, answers[1]) if len(answers) == 3 else _no_protection(found.poured, sight.begin)
    yield braces_row(sight, answers[-1])
    yield from fill_rows(sight)


def strength_row(estimate: Estimate, poured: AsPoured, begin: datetime) -> AnswerRow:
    """The strength as the page of the pour tells it."""
    at = spoken(estimate.until.astimezone(begin.tzinfo))
    by = "by the last reading" if poured.last_h is not None else "modelled, no probe"
    return AnswerRow(
        STRENGTH_NOW,
        "",
        f"{estimate.likely_psi:,.0f} psi",
        f"{estimate.low_psi:,.0f} psi at worst, {estimate.high_psi:,.0f} psi at best; {at}, {by}",
        notes=(estimate.ahead.words,),
    )


def _protection(sight: Sight, answer: Answer) -> AnswerRow:
    """Looked for from now on: where it is found at once it may end now."""
    now_h = (sight.now.timestamp() - sight.begin.timestamp()) / HOUR_S
    is_now = answer.high is not None and answer.high <= now_h
    notes = ("It may end now, once readings or cylinders show the strength.",) if is_now else ()
    return guided(sight, row_of(answer, sight.begin, sight.now, notes, may_be_past=False))


def _no_protection(poured: AsPoured, begin: datetime) -> AnswerRow:
    if not poured.kept:
        said = "Nothing that keeps it warm is on record, only the forms: write covers and heat down on the pour's page."
    else:
        off = max(kept.until_h for kept in poured.kept)
        said = f"It is off since {spoken(begin + timedelta(hours=off))}, by the log."
    return AnswerRow(PROTECTION, said, "", "")


def _cylinders(about: Asked, pour: OnRecord) -> Iterator[str]:
    """What was measured, before anything that a model says."""
    ledger = queries.ledger(about.house)
    broke = [psi for leg in pour.legs if (psi := known(ledger, about.kind, leg).cylinders) is not None]
    if len(broke) == len(pour.legs):
        yield (
            f"Cylinders cured beside it broke at {min(broke):,.0f} psi, the weakest of those broken last: measured, so "
            "it comes before what the model says below."
        )


def _notes(found: Seen) -> Iterator[str]:
    if found.what_if:
        yield f"What if: {found.what_if} from now on, what is on now left on. The page of the pour tells it without."
    elif found.poured.still_kept:
        yield STAYS_ON
    yield from found.poured.lost
    yield from found.look.warnings


def _weather_words(found: Seen, begin: datetime) -> str:
    end, told_h = begin + timedelta(hours=found.told.wall.hours), found.around.told_h
    said = f"{found.around.source}. Known until {spoken(end)}"
    if told_h < found.told.wall.hours:
        said += f", after {spoken(begin + timedelta(hours=max(told_h - 1, 0)))} as in a typical year"
    return f"{said}."


# -- without ------------------------------------------------------------------------------------------------
def _without_weather(
    about: Asked, pour: OnRecord, poured: AsPoured, needs: tuple[FillNeed, ...], found: Estimate | str
) -> StrengthPage:  # fmt: skip
    """What the readings say alone, and what is missing for more."""
    begin = begin_of(about, poured)
    rows: tuple[AnswerRow, ...] = ()
    if isinstance(found, Estimate):
        days = (
            f"{need.psi:,} psi, {need.held}: with a tenth to spare expected {expected(found.ahead, need.psi / MARGIN)}."
            for need in needs
            if need.psi is not None
        )
        row = strength_row(found, poured, begin)
        rows = (replace(row, notes=(*row.notes, *days)),)
    return StrengthPage(
        "The weather is not known from the pour until past now: how warm the wall stays cannot be worked out."
        if isinstance(found, Estimate)
        else found,
        lacks_weather=True,
        by_log=by_log(about, pour, poured, (*_cylinders(about, pour), *poured.lost)),
        answers=rows,
        needed=labelled(needs),
        inputs=(("Last concrete", words.moment(about.house, begin)), *told(poured)),
        shows="strength_logged",
        asked_note=NOW_ON,
    )
