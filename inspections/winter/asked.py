"""What a page of a pour is about: a poured stage of a house, the plan in force, its weather, the conditions asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

from django.http import QueryDict
from django.utils import timezone

from inspections.handouts.subject import Subject, subject_of
from inspections.page_queries import pictures
from inspections.pours import decisions
from inspections.pours.models import MixAgreed, PourDecision
from inspections.pours.queries import agreed_mixes
from inspections.pours.theory import with_mix
from inspections.winter.conditions import ASKED, CLEAR, USUAL, Conditions, ConditionsForm, asked_form
from jobs import plans
from jobs.frozen import Facts, facts_from_json
from jobs.models import House, HouseStage, PlanRevision
from jobs.weather import reading
from jobs.weather.records import WeatherKind, WeatherSource
from takeoff.closed_days import closed_day, next_working_day
from takeoff.footing_nbc import is_meant
from takeoff.geometry import place
from takeoff.plan import Plan, Stage
from takeoff.pours import WallPour, wall_pour
from takeoff.results import WallState
from takeoff.strength.needed import StrengthNeeded, strength_needed
from takeoff.weather.hours import Series, WeatherError, spoken_day

POURED = (Stage.FOOTING, Stage.FROST_WALL, Stage.FULL_WALL)
#: In which state a wall is first loaded by earth.
FILLED = {Stage.FROST_WALL: WallState.FROST_FILL, Stage.FULL_WALL: WallState.BEFORE_SLAB}


#: Conditions that the plan says where nobody typed them.
PLANNED = ("thickness_in", "concrete_f")


@dataclass(frozen=True)
class Asked:
    """A stage that is poured, with everything a page of it may need; worked out where it is used."""

    house: House
    stage: HouseStage
    revision: PlanRevision | None
    plan: Plan | None
    query: QueryDict
    now: datetime

    @cached_property
    def facts(self) -> Facts | None:
        """Legs and sections of the revision in force."""
        return facts_from_json(self.revision.facts) if self.revision else None

    @cached_property
    def sections(self) -> list[tuple[str, str]]:
        """Key and name of the sections that go through the stage."""
        if self.facts is None:
            return []
        return [(key, name) for key, name in self.facts.sections if self.facts.legs_in(key, self.kind)]

    @property
    def kind(self) -> Stage:
        """Kind of the stage."""
        return self.stage.stage_kind

    @cached_property
    def sources(self) -> list[WeatherSource]:
        """Weather of the house, latest first."""
        return reading.of_house(self.house)

    @cached_property
    def decisions(self) -> list[PourDecision]:
        """Decisions on pours of the stage, latest first."""
        return decisions.of_stage(self.stage.pk)

    @cached_property
    def decided(self) -> PourDecision | None:
        """The latest decision that lets a pour of the sections in the address go and whose hours are still to come."""
        wanted = set(self.query.getlist("sections"))
        legs = {leg.name for leg in self.facts.legs if leg.section in wanted} if self.facts and wanted else set()
        own = next((row for row in self.decisions if not legs or legs & set(row.legs)), None)
        return own if own is not None and own.verdict != decisions.NO and own.until > self.now else None

    def decided_not(self, at: datetime) -> PourDecision | None:
        """The latest word on an hour to come, where it was not to pour then."""
        latest = next((row for row in self.decisions if row.first_at <= at < row.until), None)
        return latest if latest is not None and latest.verdict == decisions.NO and latest.until > self.now else None

    @cached_property
    def remembered(self) -> Mapping[str, Any]:
        """Conditions of the latest decision. What the plan says is taken from the plan where it was revised since; that
        the ground was seen free of frost is forgotten, because it freezes overnight and is looked at anew."""
        if not self.decisions:
            return {}
        latest = self.decisions[0]
        by_plan = PLANNED if self.revision is None or latest.revision_id != self.revision.pk else ()
        kept = {name: value for name, value in latest.conditions.items() if name not in by_plan}
        if kept.get("ground") == CLEAR:
            del kept["ground"]
        return {name: value for name, value in kept.items() if value not in (None, "")}

    @property
    def is_canadian(self) -> bool:
        """Whether the house is built by the Canadian code."""
        return self.plan is not None and is_meant(self.plan.site.code_edition)

    def _pour_from(self) -> dict[str, Any]:
        """Day and hour of the pour: as decided, else the planned day, else the next day on which work goes on."""
        if self.decided is not None:
            first = self.decided.first_at.astimezone(self.now.tzinfo)
            return {"pour_day": first.date(), "pour_hour": first.hour}
        today, planned = self.now.date(), self.stage.planned_start_date
        return {"pour_day": planned if planned and planned >= today else next_working_day(today, self.is_canadian)}

    def _bare_until(self) -> dict[str, Any]:
        """Until when a footing lies bare: the day its frost backfill is planned for, where that is still to come."""
        if self.kind is not Stage.FOOTING:
            return {}
        days = self.house.stages.filter(kind=Stage.FROST_BACKFILL).values_list("planned_start_date", flat=True)
        return {"bare_until": min((day for day in days if day and day > self.now.date()), default=None)}

    @property
    def _sections_decided(self) -> list[str]:
        """Sections of the pour that is decided and still to come, else all."""
        legs = set(self.decided.legs) if self.decided else set()
        own = {leg.section for leg in self.facts.legs if leg.name in legs} if self.facts else set()
        return [key for key, _ in self.sections if not own or key in own]

    @cached_property
    def usual(self) -> Mapping[str, Any]:
        """What is asked where nobody typed anything: as at the latest decision, else of the plan where it says so."""
        concrete = self.plan.spec.concrete if self.plan else None
        return {
            **USUAL,
            "now": self.now,
            "from_day": self.now.date(),
            "weather": str(self.sources[0].pk) if self.sources else "",
            "thickness_in": self.thickness_in,
            "concrete_f": self._least_f(),
            "strength_psi": concrete.strength_psi if concrete else 3000,
            **dict.fromkeys(("wanted_psi", "soil_dry_pcf", "soil_water", "ground_f", "aggregate_f")),
            **self.remembered,
            **self._pour_from(),
            **self._bare_until(),
            "sections": self._sections_decided,
        }

    def _least_f(self) -> float | None:
        """The least the concrete must have at discharge: as agreed last, else by the plan."""
        if self.mixes:
            return self.mixes[-1].least_f
        return self.plan.spec.concrete.minimum_temperature_f if self.plan else None

    @cached_property
    def form(self) -> ConditionsForm:
        """The conditions as typed in the address."""
        return asked_form(self.query, self.usual, [(str(s.pk), source_name(s)) for s in self.sources], self.sections)

    @cached_property
    def conditions(self) -> Conditions | None:
        """The conditions, None where something typed cannot be."""
        form = self.form
        return Conditions(form.cleaned_data, self.usual, self.house.timezone) if form.is_valid() else None

    @cached_property
    def thickness_in(self) -> float | None:
        """Least dimension of what is poured [in], by the plan: the footing's thickness, the narrowest core."""
        if self.plan is None or self.facts is None:
            return None
        if self.kind is Stage.FOOTING:
            footing = self.plan.spec.footing
            return min(footing.thickness.inch, footing.width.inch)
        legs = self.facts.legs_of(self.kind)
        return min((self.plan.leg(leg).core.inch for leg in legs), default=None)

    @property
    def legs(self) -> tuple[str, ...]:
        """Legs of the sections asked, in walking order."""
        asked = self.conditions
        if asked is None or self.facts is None:
            return ()
        wanted = set(asked["sections"])
        own = self.facts.legs_of(self.kind)
        return tuple(leg.name for leg in self.facts.legs if leg.name in own and leg.section in wanted)

    @cached_property
    def mixes(self) -> tuple[MixAgreed, ...]:
        """What stands agreed of the mix of pours of the stage, oldest first."""
        return agreed_mixes(self.stage.pk)

    @property
    def mix(self) -> MixAgreed | None:
        """What was agreed last for a pour of those legs."""
        return next((row for row in reversed(self.mixes) if set(row.legs) & set(self.legs)), None)

    @cached_property
    def as_agreed(self) -> Plan | None:
        """The plan, its concrete as agreed on the page of the pour where it was."""
        return with_mix(self.plan, self.mix) if self.plan is not None else None

    @cached_property
    def wall(self) -> WallPour | None:
        """The wall that is poured on those legs; None for a footing or without a plan."""
        if self.as_agreed is None or self.kind is Stage.FOOTING or not self.legs:
            return None
        return wall_pour(self.as_agreed, place(self.as_agreed), self.kind, self.legs)

    @cached_property
    def subject(self) -> Subject | None:
        """The same as a hand-out sees it, for what is ordered."""
        asked = self.conditions
        if self.revision is None or self.plan is None or asked is None:
            return None
        return subject_of(self.house, self.stage, self.revision, self.now, sections=asked["sections"])

    @cached_property
    def source(self) -> WeatherSource | None:
        """The weather asked for, else the latest."""
        wanted = self.conditions["weather"] if self.conditions else ""
        return next((s for s in self.sources if str(s.pk) == wanted), None)

    @cached_property
    def series(self) -> Series | None:
        """Its hours."""
        asked = self.conditions
        if asked is None or self.source is None:
            return None
        try:
            first = min(asked.start, asked.pour_at)
        except WeatherError:
            first = asked.start
        return reading.series_of(self.source, first)

    @cached_property
    def needed(self) -> list[tuple[str, StrengthNeeded]]:
        """Strength that earth against the wall asks for, leg by leg."""
        state = FILLED.get(self.kind)
        if self.plan is None or state is None:
            return []
        placement, out = place(self.plan), []
        for leg in self.legs:
            try:
                out.append((leg, strength_needed(self.plan, placement, leg, state)))
            except KeyError:
                continue
        return out

    @property
    def carried(self) -> str:
        """What was typed, for the address of the next page."""
        return self.query.urlencode()

    @property
    def spelled_out(self) -> str:
        """Everything asked, for an address that must mean the same tomorrow, when the usual may be another."""
        asked = self.conditions
        if asked is None:
            return self.carried
        out = QueryDict(mutable=True)
        out[ASKED] = "1"
        for name in ConditionsForm.base_fields:
            value = asked[name]
            if isinstance(value, list):
                out.setlist(name, value)
            elif value is not False:
                out[name] = _typed(value)
        return out.urlencode()


def asked(house: House, stage: HouseStage, query: QueryDict) -> Asked:
    """A stage and what is asked of it, at this moment by the clock of the site."""
    kept = pictures.plans([house]).get(house.pk)
    now = timezone.now().astimezone(ZoneInfo(house.timezone))
    return Asked(house, stage, plans.latest(house), kept.plan if kept else None, query, now)


def _typed(value: Any) -> str:
    """A value as somebody would type it."""
    if value is True:
        return "on"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return "" if value is None else str(value)


def closed_words(about: Asked, on: date) -> str:
    """A warning where nobody may be at work on the day, else ''."""
    name = closed_day(on, about.is_canadian)
    return f"{spoken_day(on)} is {name}: ask plant, pump and inspector whether they work." if name else ""


def source_name(source: WeatherSource) -> str:
    """'Nov 25, 3:05 pm: typed highs and lows (Bodil Builder)'."""
    at = source.at.astimezone(ZoneInfo(source.house.timezone))
    clock = f"{at:%I:%M}".lstrip("0") + (" am" if at.hour < 12 else " pm")
    what = source.name or source.get_kind_display()
    if source.kind == WeatherKind.TYPED:
        what += f" from {spoken_day(reading.days_of(source.text)[0].on)} on"
    return f"{at:%b} {at.day}, {clock}: {what} ({source.by})"


def age_of(source: WeatherSource, now: datetime) -> str:
    """'2 hours old', '3 days old'."""
    hours = (now - source.at).total_seconds() / 3600
    if hours < 1:
        return "less than an hour old"
    if hours < 48:
        return f"{hours:.0f} hours old"
    return f"{hours / 24:.0f} days old"
