"""How warm a poured wall was kept, what was read in it by logger, how well the model follows it: for a page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache

from inspections.pours.air import Around
from inspections.pours.as_poured import (
    FOREVER,
    AsPoured,
    Logged,
    as_poured,
    correction_is_far,
    correction_words,
    off_at,
    told,
    top_told,
)
from inspections.pours.kinds import clock_words, protection_words
from inspections.pours.models import LoggerFile, PourMoment, ProtectionSet, TemperatureReading
from inspections.pours.outlook import Look, fit_words, look, reaches
from inspections.pours.queries import Records
from takeoff.site import ConcreteSpec

#: Widths a picture is drawn for [px], and the hours it goes on after the last reading.
PHONE, DESK = 340, 620
MORE_H, LEAST_H = 24.0, 48.0


@dataclass(frozen=True, slots=True)
class LoggerRow:
    """One file: where it lay and what of it counts."""

    record: LoggerFile
    where: str
    counts: str


@dataclass(frozen=True, slots=True)
class ProtectionRow:
    """What kept the wall warm, from when to when."""

    record: ProtectionSet
    words: str
    until: datetime | None


@dataclass(frozen=True, slots=True)
class Charts:
    """Read against expected, for a desk and a phone."""

    desk: str
    phone: str


@dataclass(frozen=True, slots=True)
class Warmth:
    """What the page says of it."""

    protections: list[ProtectionRow]
    loggers: list[LoggerRow]
    facts: tuple[tuple[str, str], ...]  # what the answers rest on
    fit: str  # how the model follows the readings, '' without any of the core
    warnings: tuple[str, ...]
    notes: tuple[str, ...]
    charts: Charts | None

    @property
    def caution(self) -> str:
        """Who decides, beside every answer of the model."""
        from takeoff.heat.answers import CAUTION

        return CAUTION


def read(own: Records, spec: ConcreteSpec, around: Around | None, now: datetime) -> Warmth:
    """All of it from what stands on record; ``now`` by the clock of the site."""
    poured = as_poured(own, spec, now)
    seen = look(poured, around) if poured is not None and around is not None and reaches(poured, around) else None
    protections = [ProtectionRow(p, protection_words(vars(p)), off_at(own, p)) for p in reversed(own.protections)]
    loggers = [LoggerRow(record, place_words(record.place), counts) for record, counts in _counted(own, poured, now)]
    return Warmth(
        protections,
        loggers[::-1],
        tuple(told(poured)) if poured is not None else (),
        fit_words(seen.fit) if seen is not None and seen.fit is not None else "",
        tuple(_warnings(poured, seen)),
        tuple(_notes(own, poured, seen)),
        _drawn(replace(poured, now_h=FOREVER), around) if poured and around and seen and seen.fit else None,
    )


def place_words(place: str) -> str:
    """'core, mid height'."""
    return str(TemperatureReading.Place(place).label)


def _counted(own: Records, poured: AsPoured | None, now: datetime) -> Iterator[tuple[LoggerFile, str]]:
    """Each file and how many of its readings count."""
    for record in own.loggers:
        if poured is None:
            yield record, "counted once the last truck is empty"
            continue
        found = next((each for each in poured.loggers if each.record == record.pk), None)
        yield record, _count_words(found, poured, now) if found else "nothing in it was read after the last concrete"


def _count_words(found: Logged, poured: AsPoured, now: datetime) -> str:
    first, last = ((poured.placed + timedelta(hours=h)).astimezone(now.tzinfo) for h in (found.first_h, found.last_h))
    return f"{found.count:,} readings after placing, {clock_words(first)} to {clock_words(last)}"


def _warnings(poured: AsPoured | None, seen: Look | None) -> Iterator[str]:
    if poured is None:
        return
    if correction_is_far(poured):
        yield correction_words(poured)
    yield from poured.lost
    if seen is not None:
        yield from seen.warnings


def _notes(own: Records, poured: AsPoured | None, seen: Look | None) -> Iterator[str]:
    """What is missing for a better answer."""
    kept = {PourMoment.What.COVERED, PourMoment.What.PROTECTED} & {PourMoment.What(m.what) for m in own.moments}
    if kept and not own.protections:
        yield "Protection is written down as in place, but no R: until one is, nothing is counted for it."
    elif not top_told(own):
        yield "The top is written down as covered, but not its R: the model says nothing of the top."
    if poured is not None and poured.core and seen is None:
        yield (
            "The model cannot follow the readings: the weather is not known from the pour to half a day past the last "
            "of them. Give it under “Weather”."
        )


@lru_cache(maxsize=16)
def _drawn(poured: AsPoured, around: Around) -> Charts | None:
    """Temperatures read in the core against what the model makes of them."""
    from takeoff.drawings.heat_chart import Limit, temperature_chart
    from takeoff.drawings.svg import render

    seen = look(poured, around)
    if seen is None:
        return None
    until = max((poured.last_h or 0.0) + MORE_H, LEAST_H)
    placed = Limit(poured.placed_f, "as placed")
    desk, phone = (
        render(temperature_chart(seen.outlook, width, (placed,), until, key=f"read-{name}"), width)
        for width, name in ((DESK, "desk"), (PHONE, "phone"))
    )
    return Charts(desk, phone)
