"""A house and its ground: added, edited, edited at the same time by two people."""

from datetime import date
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.http import Http404

from jobs import actions
from jobs.details import HouseDetails
from jobs.exceptions import DatesOutOfOrder, ReusedRecordId, StalePage, UnknownSoil
from jobs.models import Event, House, Role
from takeoff.plan import Stage
from takeoff.site import Site
from takeoff.units import Length

LOT_7 = HouseDetails(name="Lot 7", lot="7", address="7 Ridge Road", jurisdiction="Invented Township")


def test_new_house_has_ground_and_the_six_stages_in_order(cast):
    house = actions.add_house(by=cast.builder, firm=cast.firm, house=LOT_7, site=Site(frost_depth=Length.feet(5)))

    assert house.site.frost_depth == Length.feet(5)
    assert [(s.position, s.stage_kind) for s in house.stages.all()] == list(enumerate(Stage, start=1))
    event = Event.objects.get(house=house)
    assert (event.verb, event.by, event.role) == ("add_house", cast.builder, Role.BUILDER)


def test_a_house_may_leave_out_a_stage(cast):
    house = actions.add_house(by=cast.builder, firm=cast.firm, house=LOT_7, kinds=[Stage.FOOTING, Stage.FULL_WALL])

    assert [s.title for s in house.stages.all()] == ["Footing", "Full-height wall"]


def test_adding_for_another_firm_finds_nothing(cast):
    with pytest.raises(Http404):
        actions.add_house(by=cast.stranger, firm=cast.firm, house=LOT_7)


def test_house_sent_twice_counts_once(cast):
    client_id = uuid4()
    first = actions.add_house(by=cast.builder, firm=cast.firm, house=LOT_7, client_id=client_id)
    again = actions.add_house(by=cast.builder, firm=cast.firm, house=LOT_7, client_id=client_id)

    assert again == first
    assert House.objects.filter(name="Lot 7").count() == 1
    assert Event.objects.filter(client_id=client_id).count() == 1


def test_an_id_used_for_something_else_is_no_replay(cast):
    client_id = uuid4()
    actions.add_house(by=cast.builder, firm=cast.firm, house=LOT_7, client_id=client_id)

    with pytest.raises(ReusedRecordId):
        actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=LOT_7, client_id=client_id)
    with pytest.raises(ReusedRecordId):
        actions.add_house(by=cast.stranger, firm=cast.strange_firm, house=LOT_7, client_id=client_id)


def test_edit_is_told_field_by_field(cast):
    changed = HouseDetails(name="Lot 12", address="12 Ridge Road", dig_date=date(2026, 11, 3))
    house = actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=changed)

    assert (house.version, house.address) == (2, "12 Ridge Road")
    told = Event.objects.get(verb="edit_house").summary
    assert told == "Changed address: nothing → 12 Ridge Road; dig date: nothing → Nov 3, 2026"


def test_saving_nothing_new_writes_nothing(cast):
    house = actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=HouseDetails(name="Lot 12"))

    assert house.version == 1
    assert not Event.objects.filter(verb="edit_house").exists()


def test_stale_page_says_who_changed_what_and_saves_nothing(cast):
    site = Site(frost_depth=Length.feet(5))
    actions.edit_site(by=cast.builder, house=cast.house, version=1, changed=site)

    with pytest.raises(StalePage) as stale:
        actions.edit_site(by=cast.builder, house=cast.house, version=1, changed=Site(bearing_psf=1500.0))

    assert stale.value.version == 2
    assert [(c.by, c.summary) for c in stale.value.changes] == [
        ("Bodil Builder", "Changed frost depth: 4'-0\" → 5'-0\"")
    ]
    cast.house.site.refresh_from_db()
    assert cast.house.site.bearing_psf == 2000.0


def test_edit_sent_twice_is_not_taken_for_a_stale_page(cast):
    client_id = uuid4()
    for _ in range(2):
        house = actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=LOT_7, client_id=client_id)
    assert house.version == 2


@pytest.mark.parametrize("part", ["field_lead", "inspector", "engineer", "surveyor", "stranger"])
def test_only_the_builder_edits(cast, part):
    with pytest.raises(Http404):
        actions.edit_house(by=cast.person(part), house=cast.house, version=1, changed=LOT_7)
    with pytest.raises(Http404):
        actions.edit_site(by=cast.person(part), house=cast.house, version=1, changed=Site(bearing_psf=1.0))


def test_buried_before_the_dig_is_refused_in_a_sentence(cast):
    wrong = HouseDetails(name="Lot 12", dig_date=date(2026, 11, 9), buried_by_date=date(2026, 11, 3))
    with pytest.raises(DatesOutOfOrder) as refused:
        actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=wrong)
    assert "“Buried by” (Nov 3, 2026) is before the dig date (Nov 9, 2026)" in str(refused.value)


def test_the_database_refuses_it_too(cast):
    with pytest.raises(IntegrityError), transaction.atomic():
        House.objects.filter(pk=cast.house.pk).update(dig_date=date(2026, 11, 9), buried_by_date=date(2026, 11, 3))


def test_soil_outside_the_code_table_is_refused(cast):
    with pytest.raises(UnknownSoil) as refused:
        actions.edit_site(by=cast.builder, house=cast.house, version=1, changed=Site(soil_class="XX"))
    assert "IRC Table R405.1" in str(refused.value)
