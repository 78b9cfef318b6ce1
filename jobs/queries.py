"""Reads that feed pages, each with a fixed number of queries however many houses there are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.db.models import Aggregate, Count, Max, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from jobs import access, form_data
from jobs.models import (
    Event,
    Firm,
    FirmInvitation,
    FirmMember,
    FormSystemRecord,
    House,
    HouseMember,
    HouseStage,
    Invitation,
    Person,
    PlanDraft,
    PlanRevision,
    Role,
)
from jobs.stages import TITLES
from takeoff.drawings.form_unit import form_unit
from takeoff.drawings.svg import render
from takeoff.forms import ENGINEER_REQUIRED_CORE, FormSystem
from takeoff.units import Length


@dataclass(frozen=True, slots=True)
class HouseRow:
    """One house in a list."""

    pk: int
    name: str
    lot: str
    address: str
    jurisdiction: str
    firm: str
    dig_date: date | None
    buried_by_date: date | None
    roles: tuple[Role, ...]
    stages: int
    people: int
    open_invitations: int
    revision: int  # number of the latest, 0 where no plan is locked yet


def houses_list(person: Person) -> list[HouseRow]:
    """Every house the person belongs to, with counts. Three queries."""
    firms = set(access.firms_of(person).values_list("pk", flat=True))
    roles: dict[int, set[Role]] = defaultdict(set)
    for house, role in HouseMember.objects.filter(person=person, ended_at=None).values_list("house", "role"):
        roles[house].add(Role(role))
    people = HouseMember.objects.filter(ended_at=None)
    waiting = Invitation.objects.open()
    houses = (
        House.objects.filter(Q(firm__in=firms) | Q(pk__in=roles))
        .select_related("firm")
        .annotate(
            stage_count=_counted(HouseStage.objects.all()),
            people_count=_counted(people, "person"),
            invitation_count=_counted(waiting),
            latest_revision=_counted(PlanRevision.objects.all(), "number", Max),
        )
    )
    return [
        _house_row(house, roles[house.pk] | ({Role.BUILDER} if house.firm_id in firms else set())) for house in houses
    ]


def _counted(rows: QuerySet[Any, Any], of: str = "pk", how: type[Aggregate] = Count) -> Coalesce:
    """How many of ``rows`` a house has (or their largest ``of``), each by a query of its own inside the one: joined
    together they would multiply."""
    mine = rows.filter(house=OuterRef("pk")).order_by().values("house")
    distinct = {"distinct": True} if how is Count else {}
    return Coalesce(Subquery(mine.annotate(found=how(of, **distinct)).values("found")), 0)


def _house_row(house: House, roles: set[Role]) -> HouseRow:
    return HouseRow(
        house.pk,
        house.name,
        house.lot,
        house.address,
        house.jurisdiction,
        house.firm.name,
        house.dig_date,
        house.buried_by_date,
        tuple(role for role in Role if role in roles),
        house.stage_count,  # type: ignore[attr-defined]
        house.people_count,  # type: ignore[attr-defined]
        house.invitation_count,  # type: ignore[attr-defined]
        house.latest_revision,  # type: ignore[attr-defined]
    )


@dataclass(frozen=True, slots=True)
class PersonRow:
    """Somebody on a house, as something."""

    pk: int  # of the membership, 0 for the builder's own people
    name: str
    email: str
    phone: str
    role: Role
    since_at: datetime | None = None
    ended_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class People:
    """Everybody on a house: who is there, who was, who is asked."""

    present: tuple[PersonRow, ...]
    past: tuple[PersonRow, ...]
    invitations: tuple[Invitation, ...] = field(default=())


def people_on(house: House) -> People:
    """The builder's people, everybody with a role, and unanswered invitations, expired ones too. Three queries."""
    rows = [PersonRow(0, p.name, p.email, p.phone, Role.BUILDER) for p in house.firm.members.order_by("name", "pk")]
    order = list(Role)
    members = HouseMember.objects.filter(house=house).select_related("person").order_by("since_at", "pk")
    rows += [
        PersonRow(m.pk, m.person.name, m.person.email, m.person.phone, Role(m.role), m.since_at, m.ended_at)
        for m in members
    ]
    rows.sort(key=lambda row: order.index(row.role))
    waiting = Invitation.objects.filter(house=house).unanswered().select_related("invited_by")
    return People(
        tuple(row for row in rows if row.ended_at is None),
        tuple(row for row in rows if row.ended_at is not None),
        tuple(waiting),
    )


@dataclass(frozen=True, slots=True)
class Colleagues:
    """Everybody who builds for a firm or did, who is asked, and what was done there lately."""

    present: tuple[FirmMember, ...]
    past: tuple[FirmMember, ...]
    invitations: tuple[FirmInvitation, ...]
    latest: tuple[Event, ...]


#: How many events a firm's page shows.
LATEST = 10


def colleagues_of(firm: Firm) -> Colleagues:
    """The people of a firm. Three queries."""
    members = list(FirmMember.objects.filter(firm=firm).select_related("person").order_by("person__name", "since_at"))
    waiting = FirmInvitation.objects.filter(firm=firm).unanswered().select_related("invited_by")
    return Colleagues(
        tuple(member for member in members if member.ended_at is None),
        tuple(member for member in members if member.ended_at is not None),
        tuple(waiting),
        tuple(Event.objects.filter(firm=firm).select_related("by")[:LATEST]),
    )


@dataclass(frozen=True, slots=True)
class StageRow:
    """One stage of a house on the page where stages are dealt."""

    stage: HouseStage
    first: bool
    last: bool
    kind: str
    records: int


def stage_rows(house: House) -> list[StageRow]:
    """The stages of a house in order, with how many records stand on each. One query."""
    stages = list(house.stages.annotate(records=Count("events")).order_by("position"))
    return [
        StageRow(stage, place == 0, place == len(stages) - 1, TITLES[stage.stage_kind], stage.records)
        for place, stage in enumerate(stages)
    ]


@dataclass(frozen=True, slots=True)
class CornerRow:
    """One core of a form system, its corner legs, and how thick the wall gets."""

    core: Length
    long: Length
    short: Length
    wall: Length


@dataclass(frozen=True, slots=True)
class FormSystemRow:
    """A form system and its record."""

    record: FormSystemRecord
    system: FormSystem

    @property
    def corners(self) -> tuple[CornerRow, ...]:
        """Its cores."""
        return tuple(CornerRow(c.core, c.long, c.short, self.system.thickness(c.core)) for c in self.system.corners)

    @property
    def flat_corners(self) -> str:
        """Legs of its 45 degree corner units, in words."""
        return form_data.in_words("corners_45", self.system.corners_45)

    @property
    def thin_core(self) -> bool:
        """Whether it is made in a core so thin that an engineer must decide below grade."""
        return ENGINEER_REQUIRED_CORE in self.system.cores()

    @property
    def drawing(self) -> str:
        """Its units to scale."""
        return render(form_unit(self.system), 300)

    @property
    def caption(self) -> str:
        """What the drawing shows."""
        return f"Units of {self.system.name}"


def form_systems_of(firm: Firm, *, retired: bool | None = None) -> list[FormSystemRow]:
    """A firm's form systems by key; ``retired`` False leaves out those no longer offered. One query."""
    records = FormSystemRecord.objects.filter(firm=firm)
    if retired is not None:
        records = records.filter(retired_at__isnull=not retired)
    return [FormSystemRow(record, form_data.from_data(record.data)) for record in records]


def mixed_heights(firm: Firm, rows: Iterable[FormSystemRow]) -> list[str]:
    """A sentence for each house whose plan, being walked or as locked, mixes face heights. Two queries."""
    systems = [row.system for row in rows]
    said: dict[tuple[str, int, str], list[str]] = {}
    for name, pk, where, document in (*_in_force(firm), *_being_walked(firm)):
        sentence = form_data.mixed_heights(document, systems)
        if sentence:
            said.setdefault((name, pk, sentence), []).append(where)
    return [f"{name}, {' and '.join(said[name, pk, sentence])}: {sentence}" for name, pk, sentence in sorted(said)]


def _in_force(firm: Firm) -> Iterator[tuple[str, int, str, Any]]:
    newest = PlanRevision.objects.filter(house=OuterRef("house")).order_by("-number").values("number")[:1]
    locked = PlanRevision.objects.filter(house__firm=firm, number=Subquery(newest)).select_related("house")
    for revision in locked.only("house", "house__name", "number", "document"):
        yield revision.house.name, revision.house_id, f"rev. {revision.letter}", revision.document


def _being_walked(firm: Firm) -> Iterator[tuple[str, int, str, Any]]:
    for name, pk, document in PlanDraft.objects.filter(house__firm=firm).values_list(
        "house__name", "house", "document"
    ):
        yield name, pk, "the plan being walked", document


def invitation_of(token: str) -> Invitation | None:
    """The offer of a role that a secret link stands for."""
    return Invitation.objects.select_related("house__firm", "invited_by").filter(token=token).first()


def firm_invitation_of(token: str) -> FirmInvitation | None:
    """The place in a firm that a secret link stands for."""
    return FirmInvitation.objects.select_related("firm", "invited_by").filter(token=token).first()


def has_login(email: str) -> bool:
    """Whether an address already has a login."""
    return Person.objects.filter(email=email).exists()


def house_for_builder(person: Person, pk: int) -> House:
    """The house where the person is its builder; 404 otherwise."""
    house = access.get_house(person, pk)
    access.require_role(person, house, Role.BUILDER)
    return house
