"""When to place concrete: ten days decided hour by hour, drawn, as a table, with the best windows and what they ask."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import groupby
from math import ceil

from inspections.winter.asked import Asked, age_of, closed_words
from inspections.winter.conditions import CANADA, FROZEN, SERVICES, SNOW, UNKNOWN, Conditions
from inspections.winter.guide import NO_THICKNESS, by_rule, ready_of, rules_of
from jobs.weather.records import WeatherKind
from takeoff.drawings.svg import render
from takeoff.drawings.ten_days import ten_days
from takeoff.weather.decide import CAUTION, Rules, Verdict
from takeoff.weather.hours import clock, clock_hour, clock_spans, spoken, spoken_day
from takeoff.weather.windows import TenDays, Window, WorkingHours, decide_ten_days

#: Widths of the picture on a phone and at a desk [px].
PHONE, DESK = 340, 720
WORK = WorkingHours()
STALE_AFTER = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class DayRow:
    """One day: its air, its hours by answer, and the rules that decided its working hours."""

    name: str
    air: str
    go: str
    protect: str
    no: str
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WindowRow:
    """One of the best windows and what it takes."""

    number: int
    when: str
    words: str
    needs: str
    closed: str  # a Sunday or a holiday
    query: str  # of the page that decides on it


@dataclass(frozen=True, slots=True)
class WindowPage:
    """The page, or the sentence why there is no answer."""

    problem: str = ""
    desk: str = ""
    phone: str = ""
    days: tuple[DayRow, ...] = ()
    windows: tuple[WindowRow, ...] = ()
    inputs: tuple[tuple[str, str], ...] = ()
    none: str = ""  # why no window is told
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    weather: str = ""
    caution: str = CAUTION


def read(about: Asked) -> WindowPage:
    """The page of a stage under the conditions asked."""
    asked = about.conditions
    if asked is None:
        return WindowPage()
    if about.source is None or about.series is None:
        return WindowPage("No weather is here yet: type highs and lows, bring a file, or fetch the forecast below.")
    rules = rules_of(asked)
    if rules is None:
        return WindowPage(NO_THICKNESS)
    found = decide_ten_days(about.series, ready_of(asked), rules, asked.start, need_h=ceil(asked["need_h"]), work=WORK)
    weather = f"{about.series.source}. Given by {about.source.by}, {age_of(about.source, about.now)}."
    if not found.decisions:
        last = about.series.hours[-1].at
        return WindowPage(
            f"This weather has no hour from {spoken(asked.start)} on: its last is {spoken(last)} {last.year}.",
            weather=weather,
        )
    return WindowPage(
        desk=render(ten_days(found, DESK, WORK, "ten-days-desk"), DESK),
        phone=render(ten_days(found, PHONE, WORK, "ten-days-phone"), PHONE),
        days=tuple(_days(found)),
        windows=tuple(_window(n, w, found, about) for n, w in enumerate(found.windows, 1)),
        inputs=inputs_of(asked, rules),
        none=no_window(about, asked, found),
        notes=(*stale_words(about), *_notes(asked, found)),
        sources=_sources(found),
        weather=weather,
    )


def inputs_of(asked: Conditions, rules: Rules) -> tuple[tuple[str, str], ...]:
    """Everything the answer rests on, for the page and for paper."""
    warm = "not known" if asked["concrete_f"] is None else f"{asked['concrete_f']:g} °F"
    ready = [word for word, name in (("covers", "covers"), ("heat", "heat")) if asked[name]]
    ground = {UNKNOWN: "nobody has looked yet", FROZEN: "seen frozen", SNOW: "ice or snow seen"}
    rows = [
        ("Guide", rules.name),
        ("Concrete at discharge", f"{warm}; {rules.least_f:.0f} to {rules.most_f:.0f} °F in cold weather"),
        ("On site", " and ".join(ready) or "neither covers nor heat"),
        ("Base and forms", "kept warm" if asked["base_warm"] else "taken at the mean air of the day before"),
        ("Ground, forms, steel", ground.get(asked["ground"], "seen free of frost, ice and snow")),
        ("Wind", f"mean up to {rules.wind_mph:g} mph, gusts up to {rules.gust_mph:g} mph"),
        ("Placed by", "pump" if asked["pump"] else "chute or bucket"),
        ("Looked ahead", _ahead(rules)),
        ("Working hours", f"{_working()}, Monday to Saturday; {asked['need_h']:g} h in one run"),
    ]
    if asked["guide"] != CANADA:
        rows.insert(1, ("Load and frost", {int(s): w for s, w in SERVICES}[asked["service"]]))
        rows.insert(2, ("Mix", "accelerated" if asked["accelerator"] else "not accelerated"))
    return tuple(rows)


def _working() -> str:
    return f"{clock_hour(WORK.start)} to {clock_hour(WORK.end)}"


def _ahead(rules: Rules) -> str:
    """How far the air of the hours after is looked at."""
    longer = f", and as far as it is known to {rules.watched_h:g} h, the time of protection"
    return f"{rules.look_ahead_h:g} h from every hour{longer if rules.watched_h > rules.look_ahead_h else ''}"


# -- days ---------------------------------------------------------------------------------------------
def _days(found: TenDays) -> Iterable[DayRow]:
    for on, group in groupby(found.decisions, key=lambda d: d.at.astimezone(found.zone).date()):
        own = list(group)
        air = [d.inputs.air_f for d in own]
        work = [d for d in own if WORK.start <= d.at.hour < WORK.end] or own
        go, protect, no = (clock_spans([d.at for d in own if d.verdict is v]) for v in Verdict)
        rules = tuple(by_rule(work, first_only=True))
        yield DayRow(spoken_day(on), f"{min(air):.0f} to {max(air):.0f} °F", go, protect, no, rules)


def _window(number: int, window: Window, found: TenDays, about: Asked) -> WindowRow:
    start, end = window.start.astimezone(found.zone), window.end.astimezone(found.zone)
    inside = [d for d in found.decisions if window.start <= d.at < window.end and d.protection is not None]
    needs = max((d.protection for d in inside if d.protection), key=lambda p: p.heat, default=None)
    when = f"{spoken(window.start)} to {clock(end)}"
    query = about.query.copy()
    query["pour_day"], query["pour_hour"] = start.date().isoformat(), str(start.hour)
    said = needs.words if needs else "No protection asked by the guide."
    return WindowRow(number, when, window.words, said, closed_words(about, start.date()), query.urlencode())


def stale_words(about: Asked) -> Iterable[str]:
    """A forecast of yesterday is no forecast of today; a typical year does not grow old. Nor is a past day a plan."""
    source, asked = about.source, about.conditions
    if asked is not None and asked["from_day"] < about.now.date():
        yield "Looked at from a day that is past: windows of past days are told too."
    if source is not None and source.kind != WeatherKind.EPW and about.now - source.at > STALE_AFTER:
        yield f"This weather is {age_of(source, about.now)}: type or fetch it anew before a truck is ordered by it."


def _notes(asked: Conditions, found: TenDays) -> tuple[str, ...]:
    said = [note for d in found.decisions for note in d.notes] if found.windows else []
    said += unseen(asked)
    return tuple(dict.fromkeys(said))


def no_window(about: Asked, asked: Conditions, found: TenDays) -> str:
    """That nothing fits, and the first window there would be with all that protects on site; '' where one fits."""
    if found.windows or about.series is None:
        return ""
    need = asked["need_h"]
    said = f"No run of {need:g} working hours may be poured in these days, as it is asked."
    ready = replace(ready_of(asked), covers=True, heat=True, base_kept_warm=True)
    with_all = decide_ten_days(about.series, ready, found.rules, asked.start, need_h=ceil(need), work=WORK)
    first = min((window.start for window in with_all.windows), default=None)
    if first is None:
        return f"{said} Covers, heat and a base kept warm would not change that."
    return f"{said} With covers, heat and a base kept warm one would begin {spoken(first)}: tick what can be had."


def unseen(asked: Conditions) -> list[str]:
    """That the ground is still to be looked at."""
    if asked["ground"] != UNKNOWN:
        return []
    return ["Nobody has said yet that ground, forms and steel are free of frost, ice and snow: look first."]


def _sources(found: TenDays) -> tuple[str, ...]:
    rules = [str(r.source) for d in found.decisions for r in d.reasons]
    return tuple(dict.fromkeys([str(found.rules.source), *rules]))
