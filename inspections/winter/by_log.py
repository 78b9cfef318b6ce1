"""A wall that is poured, as its log says it: which pour is asked about, what follows from its records and what is asked
of it from now on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from inspections import queries
from inspections.ahead import Ahead
from inspections.pours.air import Around, around
from inspections.pours.as_poured import AsPoured, as_poured
from inspections.pours.estimate import Estimate, estimated
from inspections.pours.models import TruckLoad
from inspections.pours.outlook import Look, look
from inspections.pours.page import url
from inspections.pours.queries import Records, pours_of, records
from inspections.winter.asked import Asked
from inspections.winter.conditions import Conditions
from inspections.winter.rows import ahead_of
from takeoff.heat.layers import R_US, Cover
from takeoff.heat.outlook import Known, Outlook, Warming, going_on_from, look_ahead
from takeoff.plan import Plan
from takeoff.weather.hours import celsius

DAY_H: Final = 24.0
#: In the address: the leg of a pour, and whether its log is followed.
POUR, FOLLOW, TYPED = "pour", "follow", "typed"


@dataclass(frozen=True, slots=True)
class OnRecord:
    """One pour of the stage. ``poured`` is None until its last truck is empty."""

    legs: tuple[str, ...]
    own: Records
    poured: AsPoured | None
    url: str


@dataclass(frozen=True, slots=True)
class Followed:
    """The pour that is followed, None where none is, and the other pours of the stage."""

    pour: OnRecord | None
    others: tuple[OnRecord, ...]


def followed(about: Asked) -> Followed:
    """The pour that the page follows: the one asked for, else that of the legs asked if all of them are poured, the
    latest of several. None where conditions are typed instead; the address says so, nothing that was kept."""
    pours = tuple(on_record(about))
    wanted, own = about.query.get(POUR, ""), set(about.legs)
    asked = [p for p in pours if (wanted in p.legs if wanted else own & set(p.legs))]
    found = [p for p in asked if p.poured is not None]
    is_typed = about.query.get(FOLLOW) == TYPED
    if is_typed or not found or len(found) < len(asked):
        return Followed(None, pours)
    latest = max(found, key=lambda p: p.poured.placed if p.poured else about.now)
    return Followed(latest, tuple(p for p in pours if p is not latest))


def on_record(about: Asked) -> Iterator[OnRecord]:
    """The pours of the stage, by its records; none where no truck ever came."""
    if about.plan is None or not TruckLoad.objects.filter(stage=about.stage.pk).exists():
        return
    ledger, found = queries.ledger(about.house), records(about.stage.pk)
    row = ledger.stage(about.stage.pk)
    if row is None:
        return
    for legs in pours_of(ledger, row, found):
        own = found.of(legs)
        poured = as_poured(own, about.plan.spec.concrete, about.now)
        yield OnRecord(legs, own, poured, url(about.house.pk, about.stage.pk, legs[0]))


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """A poured wall in its weather. ``told`` is what is told, late course without what keeps it warm now; ``kept`` the
    same with that left on; ``estimate`` is the strength as the page of the pour tells it."""

    poured: AsPoured
    around: Around
    told: Outlook
    kept: Outlook
    look: Look
    estimate: Estimate | str
    what_if: str

    @property
    def now_h(self) -> float:
        """Whole hours since the last concrete."""
        return self.poured.now_h

    def ahead(self, begin: datetime) -> Ahead:
        """How its strength goes on: as the page of the pour has it, unless something else is asked of it."""
        if self.what_if or isinstance(self.estimate, str):
            return ahead_of(self.told, begin, self.told.known.hour if self.told.known else self.now_h)
        return self.estimate.ahead


def around_of(about: Asked, plan: Plan, pour: OnRecord) -> Around | None:
    """The weather of the pour, from all records of the house."""
    return around(about.house, plan, pour.legs, pour.poured.placed if pour.poured else None)


def seen(poured: AsPoured, weather: Around, asked: Conditions) -> Seen | None:
    """The wall as on record, with covers and heat asked from now on besides; None where the model cannot be run."""
    found = look(poured, weather)
    if found is None:
        return None
    estimate = estimated(poured, weather)
    known = known_of(poured, estimate)
    told, kept = (going_on_from(each, known) if known else each for each in (found.told, found.outlook))
    extra = what_if(asked)
    if extra:
        told = kept = _with(kept, asked, poured.now_h)
    return Seen(poured, weather, told, kept, found, estimate, extra)


def known_of(poured: AsPoured, estimate: Estimate | str) -> Known | None:
    """The strength that readings have shown, for the model to go on from; None without readings."""
    if isinstance(estimate, str) or poured.last_h is None:
        return None
    ahead = estimate.ahead
    return Known(poured.last_h, (ahead.low[0], ahead.likely[0], ahead.high[0]))


def what_if(asked: Conditions) -> str:
    """Covers and heat typed for from now on, in words; '' where none is."""
    parts = []
    if asked["blanket_r"]:
        parts.append(f"covers of R {asked['blanket_r']:g} on both sides for {asked['blanket_days']:g} days")
    if asked["heat_f"]:
        parts.append(f"air heated to {asked['heat_f']:g} °F for {asked['heat_days']:g} days")
    return " and ".join(parts)


def _with(outlook: Outlook, asked: Conditions, now_h: float) -> Outlook:
    wall = outlook.wall
    covers: tuple[Cover, ...] = ()
    warming: tuple[Warming, ...] = ()
    if asked["blanket_r"]:
        covers = (Cover(asked["blanket_r"] * R_US, now_h, now_h + asked["blanket_days"] * DAY_H),)
    if asked["heat_f"]:
        warming = (Warming(celsius(asked["heat_f"]), now_h, now_h + asked["heat_days"] * DAY_H),)
    changed = replace(wall, covers=(*wall.covers, *covers), warming=(*wall.warming, *warming))
    found = look_ahead(changed, outlook.spread, outlook.readings)
    return going_on_from(found, outlook.known) if outlook.known else found


def begin_of(about: Asked, poured: AsPoured) -> datetime:
    """When the last concrete was placed, by the clock of the site."""
    return poured.placed.astimezone(about.now.tzinfo)
