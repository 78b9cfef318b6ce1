"""What lists read, with a number of queries that does not grow with the houses."""

import dataclasses

import pytest
from django.utils import timezone

from jobs import form_data, queries
from jobs.models import Event, FirmMember, HouseMember, Offer, PlanDraft, PlanRevision, Role
from takeoff.forms import GENERIC_SYSTEMS
from takeoff.plan import Stage
from takeoff.units import Length
from tests.factories import (
    FirmFactory,
    FirmInvitationFactory,
    HouseFactory,
    HouseMemberFactory,
    InvitationFactory,
    PersonFactory,
)


def test_each_person_sees_the_houses_he_belongs_to(cast):
    theirs = {
        part: [row.name for row in queries.houses_list(cast.person(part))]
        for part in ("builder", "inspector", "stranger")
    }
    assert theirs == {"builder": ["Lot 12"], "inspector": ["Lot 12"], "stranger": ["Lot 99"]}


def test_house_row_counts(cast):
    HouseMemberFactory(house=cast.house, person=cast.surveyor, role=Role.ENGINEER)
    HouseMember.objects.filter(house=cast.house, person=cast.inspector).update(ended_at="2026-11-03T12:00Z")
    InvitationFactory(house=cast.house)
    InvitationFactory(house=cast.house, withdrawn_at="2026-11-03T12:00Z")
    InvitationFactory(house=cast.house, invited_at=timezone.now() - Offer.LIFE)

    (row,) = queries.houses_list(cast.builder)
    assert (row.stages, row.people, row.open_invitations, row.revision) == (6, 3, 1, 0)
    assert row.roles == (Role.BUILDER,)


def test_roles_of_one_person_on_one_house_are_listed_together(cast):
    HouseMemberFactory(house=cast.house, person=cast.builder, role=Role.FIELD_LEAD)
    (row,) = queries.houses_list(cast.builder)
    assert row.roles == (Role.BUILDER, Role.FIELD_LEAD)


def test_ended_roles_show_no_house(cast):
    HouseMember.objects.filter(person=cast.inspector).update(ended_at="2026-11-03T12:00Z")
    assert queries.houses_list(cast.inspector) == []


@pytest.mark.look
@pytest.mark.slow
@pytest.mark.parametrize("count", [3, 300])
def test_houses_list_takes_three_queries(db, count, django_assert_num_queries):
    builder = PersonFactory()
    firm = FirmFactory(members=[builder])
    HouseFactory.create_batch(count, firm=firm, stages=[Stage.FOOTING])
    with django_assert_num_queries(3):
        assert len(queries.houses_list(builder)) == count


def test_people_by_role_with_those_who_left(cast, django_assert_num_queries):
    HouseMember.objects.filter(person=cast.engineer).update(ended_at="2026-11-03T12:00Z")
    InvitationFactory(house=cast.house, email="a@example.org")
    InvitationFactory(house=cast.house, withdrawn_at="2026-11-03T12:00Z")
    with django_assert_num_queries(3):
        people = queries.people_on(cast.house)
        assert [i.invited_by.name for i in people.invitations] != []
    assert [row.role for row in people.present] == [Role.BUILDER, Role.FIELD_LEAD, Role.INSPECTOR, Role.SURVEYOR]
    assert [row.role for row in people.past] == [Role.ENGINEER]
    assert [i.email for i in people.invitations] == ["a@example.org"]


def test_stage_rows_count_the_records_on_each(cast, django_assert_num_queries):
    stage = cast.house.stages.get(kind=Stage.FOOTING)
    Event.objects.create(
        house=cast.house, verb="work", by=cast.field_lead, role=Role.FIELD_LEAD, stage=stage, summary="Poured"
    )
    with django_assert_num_queries(1):
        rows = queries.stage_rows(cast.house)
    assert [row.records for row in rows] == [1, 0, 0, 0, 0, 0]
    assert [(row.first, row.last) for row in rows][::5] == [(True, False), (False, True)]


MIXED = {"walks": [{"legs": [{"form": "generic-16"}, {"form": "generic-18"}]}]}


def lock(house, number, document):
    """A revision with a document, as far as lists read it."""
    return PlanRevision.objects.create(
        house=house,
        number=number,
        document=document,
        digest="",
        facts={},
        frozen={},
        engine_version="",
        locked_by=PersonFactory(),
    )


@pytest.mark.parametrize("count", [1, 5])
def test_mixed_heights_takes_two_queries(cast, count, django_assert_num_queries):
    for house in HouseFactory.create_batch(count, firm=cast.firm, stages=[]):
        PlanDraft.objects.create(house=house, document=MIXED)
        lock(house, 1, MIXED)
    rows = queries.form_systems_of(cast.firm)
    with django_assert_num_queries(2):
        assert len(queries.mixed_heights(cast.firm, rows)) == count


def test_mixed_heights_are_told_for_the_revision_in_force_only(cast):
    lock(cast.house, 1, MIXED)
    rows = queries.form_systems_of(cast.firm)
    assert queries.mixed_heights(cast.firm, rows)[0].startswith('Lot 12, rev. A: units of 16" (')
    PlanDraft.objects.create(house=cast.house, document=MIXED)
    (both,) = queries.mixed_heights(cast.firm, rows)
    assert both.startswith("Lot 12, rev. A and the plan being walked: units of")
    lock(cast.house, 2, {"walks": [{"legs": [{"form": "generic-16"}]}]})
    assert queries.mixed_heights(cast.firm, rows)[0].startswith("Lot 12, the plan being walked: units of")


def test_a_locked_plan_is_read_with_the_form_systems_it_carries(cast):
    """The firm has since edited its 18 in system to 16 in; the wall that is locked is still mixed."""
    firms_own = [dataclasses.replace(system, face_height=Length.inches(16)) for system in GENERIC_SYSTEMS]
    for system in firms_own:
        cast.firm.form_systems.filter(key=system.key).update(data=form_data.to_data(system))
    rows = queries.form_systems_of(cast.firm)
    lock(cast.house, 1, MIXED)
    assert queries.mixed_heights(cast.firm, rows) == []
    lock(cast.house, 2, {**MIXED, "forms": [form_data.to_data(system) for system in GENERIC_SYSTEMS]})
    assert queries.mixed_heights(cast.firm, rows)[0].startswith('Lot 12, rev. B: units of 16" (')


def test_plans_of_another_firm_are_not_told(cast):
    lock(cast.strange_house, 1, MIXED)
    PlanDraft.objects.create(house=cast.strange_house, document=MIXED)
    assert queries.mixed_heights(cast.firm, queries.form_systems_of(cast.firm)) == []


def test_a_firms_people_take_three_queries(cast, django_assert_num_queries):
    for _ in range(3):
        FirmInvitationFactory(firm=cast.firm)
        FirmMember.objects.create(firm=cast.firm, person=PersonFactory(), ended_at="2026-11-03T12:00Z")
    with django_assert_num_queries(3):
        people = queries.colleagues_of(cast.firm)
        assert [(m.person.name, m.ended_at) for m in people.present] == [("Bodil Builder", None)]
        assert [i.invited_by.name for i in people.invitations] != []
    assert len(people.past) == len(people.invitations) == 3


def test_houses_go_with_the_membership(cast):
    FirmMember.objects.filter(person=cast.builder).update(ended_at="2026-11-03T12:00Z")
    assert queries.houses_list(cast.builder) == []
    assert cast.builder not in cast.firm.members


def test_retired_form_systems_can_be_left_out(cast):
    cast.firm.form_systems.filter(key="generic-16").update(retired_at="2026-11-03T12:00Z")
    assert [r.system.key for r in queries.form_systems_of(cast.firm, retired=False)] == ["generic-18"]
    assert len(queries.form_systems_of(cast.firm)) == 2
