"""The event log: one event per deed, whoever sends it twice, even at the same moment."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction

from jobs import actions, events
from jobs.details import HouseDetails
from jobs.exceptions import StalePage
from jobs.models import Event, House, Role
from takeoff.plan import Stage
from tests.cast import make_cast


def test_two_arrivals_at_the_same_moment_count_once(cast, monkeypatch):
    """The second arrival looked before the first was written: the unique id decides, its own work is rolled back."""
    client_id = uuid4()
    details = HouseDetails(name="Lot 7")
    first = actions.add_house(by=cast.builder, firm=cast.firm, house=details, client_id=client_id)

    answers, real = [None], events.find
    monkeypatch.setattr(events, "find", lambda i: answers.pop() if answers else real(i))
    again = actions.add_house(by=cast.builder, firm=cast.firm, house=details, client_id=client_id)

    assert again == first
    assert House.objects.filter(name="Lot 7").count() == 1


def test_arrival_that_finds_the_page_stale_through_its_own_twin_is_answered(cast, monkeypatch):
    client_id, changed = uuid4(), HouseDetails(name="Lot 12 b")
    actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=changed, client_id=client_id)

    answers, real = [None], events.find
    monkeypatch.setattr(events, "find", lambda i: answers.pop() if answers else real(i))
    house = actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=changed, client_id=client_id)
    assert house.version == 2


def test_events_are_never_changed_or_deleted(cast):
    event = events.record(
        client_id=None, verb="note", by=cast.builder, role=Role.BUILDER, house=cast.house, summary="Noted"
    )
    event.summary = "Something else"
    with pytest.raises(ValidationError):
        event.save()
    with pytest.raises(ValidationError):
        event.delete()


def test_event_belongs_to_a_house_or_to_a_firm(cast):
    with pytest.raises(IntegrityError), transaction.atomic():
        events.record(client_id=None, verb="note", by=cast.builder, role=Role.BUILDER, summary="Nowhere")
    assert not Event.objects.filter(verb="note").exists()


def test_long_summaries_are_cut_to_the_column(cast):
    event = events.record(
        client_id=None, verb="note", by=cast.builder, role=Role.BUILDER, house=cast.house, summary="x" * 400
    )
    assert len(event.summary) == 300


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_four_phones_sending_the_same_record_at_once_make_one():
    """Real connections racing each other, on whichever database the run is on."""
    cast, client_id, start = make_cast(), uuid4(), Barrier(4)

    def send() -> int:
        start.wait()
        try:
            return actions.add_stage(by=cast.builder, house=cast.house, kind=Stage.FOOTING, client_id=client_id).pk
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as phones:
        made = {future.result() for future in [phones.submit(send) for _ in range(4)]}
    assert len(made) == 1
    assert cast.house.stages.count() == 7


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_four_people_editing_at_once_lose_nothing():
    """One edit is saved, the others are told that their page is stale."""
    cast, start = make_cast(), Barrier(4)

    def edit(number: int) -> bool:
        start.wait()
        try:
            changed = HouseDetails(name=f"Lot 12, edit {number}")
            actions.edit_house(by=cast.builder, house=cast.house, version=1, changed=changed)
            return True
        except StalePage:
            return False
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as people:
        saved = [future.result() for future in [people.submit(edit, n) for n in range(4)]]
    assert saved.count(True) == 1
    assert Event.objects.filter(verb="edit_house").count() == 1
