"""What lists read, with a number of queries that does not grow with the houses."""

import pytest

from jobs import queries
from jobs.models import Event, HouseMember, PlanDraft, Role
from takeoff.plan import Stage
from tests.factories import FirmFactory, HouseFactory, HouseMemberFactory, InvitationFactory, PersonFactory


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


@pytest.mark.parametrize("count", [1, 5])
def test_mixed_heights_takes_one_query(cast, count, django_assert_num_queries):
    legs = [{"form": "generic-16"}, {"form": "generic-18"}]
    for house in HouseFactory.create_batch(count, firm=cast.firm, stages=[]):
        PlanDraft.objects.create(house=house, document={"walks": [{"legs": legs}]})
    rows = queries.form_systems_of(cast.firm)
    with django_assert_num_queries(1):
        assert len(queries.mixed_heights(cast.firm, rows)) == count


def test_retired_form_systems_can_be_left_out(cast):
    cast.firm.form_systems.filter(key="generic-16").update(retired_at="2026-11-03T12:00Z")
    assert [r.system.key for r in queries.form_systems_of(cast.firm, retired=False)] == ["generic-18"]
    assert len(queries.form_systems_of(cast.firm)) == 2
