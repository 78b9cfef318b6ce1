"""Tells a house's story through the actions: present with fitting evidence, sign, do the work."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from pathlib import Path
from typing import Any

from django.utils import timezone

from inspections import actions, asbuilt, queries
from inspections.demo.pictures import picture
from inspections.models import Presentation, SignOff
from inspections.pours import actions as pours
from inspections.pours.models import PourRecord
from inspections.process import Evidence, EvidenceKind, Point, Scope
from inspections.readings import Given
from inspections.standing import Ledger, StageRow
from jobs.frozen import Frozen, frozen_from_json
from jobs.models import House, HouseStage, Person, PlanRevision, Role
from takeoff.plan import Stage

EXAMPLES = Path(__file__).resolve().parents[2] / "jobs" / "examples"


def example(name: str) -> dict[str, Any]:
    """One of the example plans as a plan document."""
    document: dict[str, Any] = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return document


@dataclass(frozen=True)
class People:
    """The demo's cast."""

    builder: Person
    field_lead: Person
    inspector: Person
    engineer: Person
    surveyor: Person

    def of(self, role: Role) -> Person:
        """Who holds a role."""
        return {
            Role.BUILDER: self.builder,
            Role.FIELD_LEAD: self.field_lead,
            Role.INSPECTOR: self.inspector,
            Role.ENGINEER: self.engineer,
            Role.SURVEYOR: self.surveyor,
        }[role]


@dataclass
class Story:
    """One house told from here on. ``days_ago`` dates what the devices say; it runs down as the story goes on."""

    house: House
    revision: PlanRevision
    people: People
    days_ago: float = 0.0

    # -- what the story is told with --------------------------------------------------------------
    @cached_property
    def plan(self) -> Ledger:
        """The house's stages and legs, which do not change while the story is told; its records are not looked at."""
        return queries.ledger(self.house)

    def stage(self, kind: Stage) -> tuple[HouseStage, StageRow]:
        """The house's stage of a kind, as a row and as the ledger has it."""
        return self._stages[kind]

    @cached_property
    def _stages(self) -> dict[Stage, tuple[HouseStage, StageRow]]:
        rows = {s.pk: s for s in self.house.stages.all()}
        return {s.kind: (rows[s.pk], s) for s in self.plan.stages}

    def at(self) -> datetime:
        """When the device says it was; each record a little later than the one before."""
        self.days_ago = max(0.0, self.days_ago - 0.02)
        return timezone.now() - timedelta(days=self.days_ago)

    @cached_property
    def frozen(self) -> Frozen:
        """The numbers of the revision."""
        return frozen_from_json(self.revision.frozen)

    # -- moves -------------------------------------------------------------------------------------
    def present(self, kind: Stage, key: str, legs: Sequence[str], *, note: str = "", **evidence: Any) -> Presentation:
        """Present a point with evidence that meets every number; ``evidence`` overrides pieces by key."""
        stage, row = self.stage(kind)
        point = row.process.point(key)
        assert point is not None
        role = Role.FIELD_LEAD if Role.FIELD_LEAD in point.presents else point.presents[0]
        names = () if point.scope is Scope.HOUSE else self._having(row, point, legs)
        given = [g for e in point.evidence for g in self._fitting(e, kind, names, evidence)]
        return actions.present(
            by=self.people.of(role), role=role, house=self.house, stage=stage, point=key, legs=names,
            revision=self.revision.number, evidence=given, note=note, device_at=self.at(),
        )  # fmt: skip

    def release(self, presentation: Presentation, reason: str = "", legs: Sequence[str] | None = None) -> SignOff:
        """Release it by the first role that may and did not present it."""
        return actions.release(
            **self._signing(presentation), legs=legs, reason=reason, device_at=self.at()
        )  # fmt: skip

    def reject(self, presentation: Presentation, reason: str, legs: Sequence[str] | None = None) -> SignOff:
        """Reject it, with the reason."""
        return actions.reject(**self._signing(presentation), legs=legs, reason=reason, device_at=self.at())

    def correct(self, sign_off: SignOff, done: str) -> None:
        """Put a rejection right."""
        actions.close_correction(
            by=self.people.field_lead, role=Role.FIELD_LEAD, house=self.house, sign_off=sign_off, done=done,
            evidence=[Given("photo", file=picture("Put right", shade=2))], device_at=self.at(),
        )  # fmt: skip

    def cylinder(self, kind: Stage, legs: Sequence[str], specimen: str, psi: float, days: float) -> None:
        """The engineer writes down a cylinder that lay beside the wall and was broken so many days old."""
        at = self.at()
        said = {"specimen": specimen, "psi": psi, "cured": "field", "note": ""}
        self.log("cylinder", kind, legs, Role.ENGINEER, said | {"cast": at - timedelta(days=days), "broken": at})

    def log(self, what: str, kind: Stage, legs: Sequence[str], role: Role, said: dict[str, Any]) -> PourRecord:
        """One record of a pour."""
        stage, _ = self.stage(kind)
        return pours.log(
            by=self.people.of(role), role=role, house=self.house, stage=stage, kind=what, legs=tuple(legs), said=said,
            revision=self.revision.number, device_at=self.at(),
        )  # fmt: skip

    def do(self, kind: Stage, operation: str, legs: Sequence[str], note: str = "") -> None:
        """Record that the work was done."""
        stage, _ = self.stage(kind)
        actions.do_work(
            by=self.people.field_lead, role=Role.FIELD_LEAD, house=self.house, stage=stage, operation=operation,
            legs=tuple(legs), revision=self.revision.number, note=note, device_at=self.at(),
        )  # fmt: skip

    def pass_points(self, kind: Stage, keys: Sequence[str], legs: Sequence[str]) -> None:
        """Present and release points one after the other; witness points are told only."""
        _, row = self.stage(kind)
        for key in keys:
            point = row.process.point(key)
            assert point is not None
            if point.scope is not Scope.HOUSE and not self._having(row, point, legs):
                continue
            if self._already(row, point):
                continue
            presentation = self.present(kind, key, legs)
            if point.kind.value == "hold":
                self.release(presentation)

    def through(self, kind: Stage, legs: Sequence[str]) -> None:
        """A whole stage: every point before each operation, the operation, then the closing points."""
        _, row = self.stage(kind)
        for operation in row.process.operations:
            self.pass_points(kind, [p.key for p in row.process.points if p.before == operation.key], legs)
            self.do(kind, operation.key, legs)
        self.pass_points(kind, [p.key for p in row.process.points if not p.before], legs)

    # -- how -----------------------------------------------------------------------------------------
    def _already(self, row: StageRow, point: Point) -> bool:
        """A point of the whole house is passed once, however many sections come by."""
        told = Presentation.objects.filter(house=self.house, stage=row.pk, point=point.key)
        return point.scope is Scope.HOUSE and told.exists()

    def _having(self, row: StageRow, point: Point, legs: Sequence[str]) -> tuple[str, ...]:
        return tuple(x.name for x in self.plan.legs_of(row) if x.name in legs and point.applies(x))

    def _signing(self, presentation: Presentation) -> dict[str, Any]:
        _, row = self.stage(presentation.stage.stage_kind)
        point = row.process.point(presentation.point)
        assert point is not None
        role = next(r for r in point.releases if self.people.of(r) != presentation.by)
        return {
            "by": self.people.of(role),
            "role": role,
            "house": self.house,
            "presentation": presentation,
            "revision": self.revision.number,
        }

    def _fitting(self, asked: Evidence, kind: Stage, legs: Sequence[str], given: dict[str, Any]) -> list[Given]:
        """Evidence that meets the plan's numbers."""
        if asked.kind is EvidenceKind.MEASUREMENT:
            return [Given(asked.key, number=given.get(asked.key, self._meets(asked, kind, legs)))]
        if asked.kind is EvidenceKind.LEVELS:
            tops = asbuilt.planned_tops(self.revision.document)
            off = given.get(asked.key, {})
            return [Given(asked.key, leg=x, number=tops[x].inch + off.get(x, 0.0)) for x in legs]
        if asked.kind is EvidenceKind.PHOTO:
            where = f"legs {', '.join(legs)}" if legs else self.house.name
            return [Given(asked.key, file=picture(f"{asked.label}: {where}"[:52], shade=len(legs) % 4))]
        text = {
            EvidenceKind.CHECK: "yes",
            EvidenceKind.CHOICE: asked.choices[0][0] if asked.choices else "",
            EvidenceKind.TICKET: self.house.permit_number if asked.key == "permit_number" else "Ticket 20417",
            EvidenceKind.TEXT: "6 in, agreed with the plant and the engineer of record",
        }[asked.kind]
        return [Given(asked.key, text=given.get(asked.key, text))]

    def _meets(self, asked: Evidence, kind: Stage, legs: Sequence[str]) -> float:
        criteria = self.frozen.criteria_of(kind, (asked.criterion,), tuple(legs) or None)
        if not criteria:
            return 0.0
        if criteria[0].sense == "at most":
            most = min(c.value for c in criteria)
            return most if most > 1 else round(most / 2, 4)  # spacings as drawn, errors half of what is allowed
        return max(c.value for c in criteria)
