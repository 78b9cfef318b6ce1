"""A new firm and its form systems."""

import dataclasses
from uuid import uuid4

import pytest
from django.http import Http404

from jobs import access, actions, form_data
from jobs.exceptions import AddressTaken, AlreadyInAFirm, FormSystemRefused, StalePage
from jobs.models import Event, Firm, FormSystemRecord, Person
from takeoff.forms import GENERIC_16, GENERIC_SYSTEMS
from takeoff.units import Length
from tests.factories import PASSWORD, PersonFactory


def record_of(firm, key="generic-16"):
    return FormSystemRecord.objects.get(firm=firm, key=key)


def test_new_firm_has_its_builder_and_the_two_generic_systems(db):
    firm = actions.start_firm(firm_name="Coldframe", name="Cora", email="Cora@Example.org", password=PASSWORD)

    cora = Person.objects.get(email="cora@example.org")
    assert access.firm_of(cora) == firm
    assert tuple(form_data.from_data(r.data) for r in firm.form_systems.all()) == GENERIC_SYSTEMS
    assert Event.objects.get(firm=firm).verb == "add_firm"


def test_known_address_starts_no_second_login(cast):
    with pytest.raises(AddressTaken):
        actions.start_firm(firm_name="X", name="Y", email=cast.builder.email.upper(), password=PASSWORD)
    assert not Firm.objects.filter(name="X").exists()


def test_a_person_builds_for_one_firm(cast):
    with pytest.raises(AlreadyInAFirm, match="Northfoot Builders"):
        actions.add_firm(by=cast.builder, name="Second")


def test_a_field_lead_may_start_a_firm_once(cast):
    client_id = uuid4()
    firms = {actions.add_firm(by=cast.field_lead, name="Own firm", client_id=client_id).pk for _ in range(2)}
    assert len(firms) == 1


def test_added_form_system_reads_back_exactly(cast):
    system = dataclasses.replace(GENERIC_16, key="yard", name="Yard block", foam=Length.mm("60.325001"))
    row = actions.add_form_system(by=cast.builder, firm=cast.firm, system=system)
    assert form_data.from_data(FormSystemRecord.objects.get(pk=row.pk).data) == system


def test_key_is_used_once_in_a_firm(cast):
    with pytest.raises(FormSystemRefused, match="another short name"):
        actions.add_form_system(by=cast.builder, firm=cast.firm, system=GENERIC_16)


def test_edit_is_told_and_counted(cast):
    system = dataclasses.replace(GENERIC_16, face_height=Length.inches(18), handed=False)
    row = actions.edit_form_system(by=cast.builder, record=record_of(cast.firm), version=1, system=system)
    assert row.version == 2
    assert Event.objects.get(verb="edit_form_system").summary == (
        'Changed Generic sixteen (invented): face height: 16" → 18"; '
        "corners: left and right pieces → one reversible piece"
    )


def test_stale_form_system_page(cast):
    record = record_of(cast.firm)
    actions.edit_form_system(
        by=cast.builder, record=record, version=1, system=dataclasses.replace(GENERIC_16, units_per_bundle=10)
    )
    with pytest.raises(StalePage) as stale:
        actions.edit_form_system(
            by=cast.builder, record=record, version=1, system=dataclasses.replace(GENERIC_16, units_per_bundle=9)
        )
    assert "units per bundle: 12 → 10" in stale.value.changes[0].summary
    assert record_of(cast.firm).data["units_per_bundle"] == 10


def test_retired_and_taken_back(cast):
    record = record_of(cast.firm)
    assert actions.retire_form_system(by=cast.builder, record=record).retired_at is not None
    with pytest.raises(FormSystemRefused, match="already is retired"):
        actions.retire_form_system(by=cast.builder, record=record)
    assert actions.restore_form_system(by=cast.builder, record=record).retired_at is None


def test_another_firms_form_systems_are_not_there(cast):
    record = record_of(cast.strange_firm)
    with pytest.raises(Http404):
        actions.edit_form_system(by=cast.builder, record=record, version=1, system=GENERIC_16)
    with pytest.raises(Http404):
        actions.retire_form_system(by=cast.builder, record=record)
    with pytest.raises(Http404):
        actions.add_form_system(by=PersonFactory(), firm=cast.firm, system=GENERIC_16)
