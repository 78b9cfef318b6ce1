"""What a hand-out is about: a stage of a house on the plan revision in force, for some or all of its legs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from zoneinfo import ZoneInfo

from inspections import queries
from inspections.exceptions import NotOnThisStage
from inspections.legs import in_runs
from inspections.standing import Ledger, StageRow
from jobs import plans
from jobs.frozen import Facts, Frozen, facts_from_json, frozen_from_json
from jobs.models import House, HouseStage, Person, PlanRevision
from jobs.queries import PersonRow, people_on
from takeoff.area_method import Comparison, compare
from takeoff.geometry import Placement, place
from takeoff.plan import Stage
from takeoff.results import SteelCheck, Takeoff


@dataclass(frozen=True)
class Subject:
    """House, stage, revision and legs of a hand-out; ``printed_at`` in the house's own time."""

    house: House
    stage: HouseStage
    revision: PlanRevision
    facts: Facts
    legs: tuple[str, ...]
    printed_at: datetime

    @property
    def kind(self) -> Stage:
        """Kind of the stage."""
        return self.stage.stage_kind

    @cached_property
    def ledger(self) -> Ledger:
        """Everything recorded for the house."""
        return queries.ledger(self.house)

    @cached_property
    def row(self) -> StageRow:
        """The stage as the ledger knows it."""
        found = self.ledger.stage(self.stage.pk)
        assert found is not None
        return found

    @cached_property
    def names(self) -> dict[int, str]:
        """Names of everybody who presented or signed something, by row id; one query."""
        by = {p.by for p in self.ledger.presented} | {s.by for s in self.ledger.signed}
        return dict(Person.objects.filter(pk__in=by).values_list("pk", "name"))

    @cached_property
    def present(self) -> tuple[PersonRow, ...]:
        """Everybody who is on the house today."""
        return people_on(self.house).present

    def name_of(self, person: int) -> str:
        """A person's name by row id."""
        return self.names.get(person, "somebody")

    @cached_property
    def frozen(self) -> Frozen:
        """What was worked out when the revision was locked."""
        return frozen_from_json(self.revision.frozen)

    @cached_property
    def takeoff(self) -> Takeoff:
        """Units and bars for drawings and tables; amounts and numbers as they were when the revision was locked."""
        frozen = self.frozen
        return replace(
            plans.takeoff_of(self.revision),
            quantities=frozen.quantities,
            criteria=frozen.criteria,
            unbalanced=frozen.unbalanced,
        )

    @cached_property
    def placement(self) -> Placement:
        """Where the walls of the plan stand."""
        return place(self.takeoff.plan)

    @cached_property
    def steel(self) -> tuple[SteelCheck, ...]:
        """Checks of the upright bars as they came out when the revision was locked, or today where none were kept."""
        kept = self.frozen.checks
        return kept.steel if kept is not None else self.takeoff.checks

    @cached_property
    def areas(self) -> tuple[Comparison, ...]:
        """The orders by layout against those by area, kept in the same way."""
        kept = self.frozen.checks
        return kept.areas if kept is not None else compare(self.takeoff)

    @cached_property
    def sections(self) -> tuple[str, ...]:
        """Keys of the sections the legs belong to, in the plan's order."""
        own = {leg.section for leg in self.facts.legs if leg.name in self.legs}
        return tuple(key for key, _ in self.facts.sections if key in own)

    @cached_property
    def is_whole(self) -> bool:
        """Whether all legs of the stage are on it."""
        return set(self.legs) >= set(self.facts.legs_of(self.kind))

    def about(self, legs: Iterable[str]) -> bool:
        """Whether something that names these legs (none: the whole house) belongs on the sheet."""
        named = [leg for leg in legs if leg]
        return not named or bool(set(named) & set(self.legs))

    def leg_words(self, legs: Iterable[str]) -> str:
        """'all legs', 'leg C', 'legs A to E, K': the sheet's own among the legs, in walking order; '' for none."""
        wanted = set(legs)
        found = [leg for leg in self.legs if leg in wanted]
        if not found:
            return ""
        if len(found) == len(self.legs) and self.is_whole and len(found) > 1:
            return "all legs"
        return f"leg{'s' if len(found) > 1 else ''} {in_runs(found)}"

    def local(self, moment: datetime) -> datetime:
        """A moment by the house's own clock."""
        return moment.astimezone(ZoneInfo(self.house.timezone))


def subject_of(
    house: House,
    stage: HouseStage,
    revision: PlanRevision,
    now: datetime,
    *,
    sections: Sequence[str] = (),
    legs: Sequence[str] = (),
) -> Subject:
    """The subject: all legs of the stage, or those of the named sections, or the named ones.

    Raises :class:`NotOnThisStage` for a name the stage does not have.
    """
    facts = facts_from_json(revision.facts)
    own = facts.legs_of(stage.stage_kind)
    keys = [key for key, _ in facts.sections]
    for name in sections:
        if name not in keys:
            raise NotOnThisStage(f"There is no section “{name}” in revision {revision.letter}; it has {_list(keys)}.")
    for name in legs:
        if name not in own:
            raise NotOnThisStage(f"Leg “{name}” is not part of “{stage.title}”; its legs are {_list(own)}.")
    chosen = tuple(
        leg.name
        for leg in facts.legs
        if leg.name in own and (not sections or leg.section in sections) and (not legs or leg.name in legs)
    )
    return Subject(house, stage, revision, facts, chosen, now.astimezone(ZoneInfo(house.timezone)))


def _list(names: Iterable[str]) -> str:
    return ", ".join(names) or "none"
