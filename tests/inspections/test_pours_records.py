"""Records of a pour: written once, guarded by the database, refused where they cannot be; which legs are one pour."""

from __future__ import annotations

import importlib
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.db.models import F
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.exceptions import NoSuchThing, NotYours
from inspections.models import POUR_RECORDS
from inspections.pours import actions
from inspections.pours.checks import WrongSaid
from inspections.pours.forms import at_site
from inspections.pours.kinds import KINDS, TRUCK, out_of_order
from inspections.pours.models import TruckLoad
from inspections.pours.queries import pours_of, records
from inspections.queries import ledger
from jobs.exceptions import ReusedRecordId
from jobs.models import Event, Role
from takeoff.plan import Stage
from tests.inspections.world import Site

TABLES = tuple(
    table
    for name in ("0003_pours", "0004_strength_estimate", "0006_pour_more")
    for table in importlib.import_module(f"inspections.migrations.{name}").TABLES
)


def load(site: Site, *legs: str, **said):
    """A truck written down by the field lead."""
    more = {k: said.pop(k) for k in ("by", "role", "client_id", "replaces", "stage", "kind") if k in said}
    usual = {"ticket": "1", "yd3": 9.0, "batched": timezone.now() - timedelta(minutes=40), "decision": ""}
    stage = more.pop("stage", Stage.FROST_WALL)
    return actions.log(
        **{"by": site.cast.field_lead, "role": Role.FIELD_LEAD, "kind": "truck", **more},
        house=site.house, stage=site.stage(stage), legs=legs, revision=site.revision.number, said={**usual, **said},
    )  # fmt: skip


def test_every_kind_of_record_has_a_model_and_a_guard():
    assert {kind.model for kind in KINDS.values()} == set(POUR_RECORDS)
    assert {model._meta.db_table for model in POUR_RECORDS} == set(TABLES)


def test_a_record_is_written_once_and_the_database_holds_to_it(site):
    row = load(site, "A")
    with pytest.raises(ValidationError, match="cannot be changed"):
        row.save()
    with pytest.raises(IntegrityError, match="cannot be changed"), transaction.atomic():
        TruckLoad.objects.update(house=F("house"))


@pytest.mark.django_db
def test_every_table_has_its_guard():
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal")
        found = {name for (name,) in cursor.fetchall()}
    assert {f"{table}_no_update" for table in TABLES} <= found


def test_sent_twice_it_counts_once_and_another_content_under_its_id_is_refused(site):
    client_id = "0b0e9f8e-7a43-4c58-9a3a-8a3d3f5b2c11"
    said = {"batched": datetime(2026, 11, 3, 14, 5, tzinfo=UTC)}
    first = load(site, "A", client_id=client_id, **said)
    assert load(site, "A", client_id=client_id, **said).pk == first.pk
    with pytest.raises(ReusedRecordId):
        load(site, "A", client_id=client_id, batched=datetime(2026, 11, 3, 14, 6, tzinfo=UTC))
    assert TruckLoad.objects.count() == 1 and Event.objects.filter(verb="log_pour").count() == 1


def test_who_may_not_and_what_is_not_there_is_refused(site):
    with pytest.raises(NotYours, match="Only the field lead or the builder may write down “Truck”"):
        load(site, "A", by=site.cast.inspector, role=Role.INSPECTOR)
    with pytest.raises(NoSuchThing, match="Nothing is poured"):
        load(site, "A", stage=Stage.WATERPROOFING)
    with pytest.raises(NoSuchThing, match="Leg Q is not part"):
        load(site, "Q")
    with pytest.raises(NoSuchThing, match="no record “song”"):
        load(site, "A", kind="song")


def test_what_is_still_to_come_is_not_on_record(site):
    with pytest.raises(WrongSaid, match="still to come"):
        load(site, "A", arrived=timezone.now() + timedelta(hours=1))


@given(st.lists(st.integers(0, 300), min_size=4, max_size=4), st.sets(st.integers(0, 3)))
@settings(max_examples=60)
def test_times_are_refused_exactly_where_one_is_before_the_last_that_is_known(minutes, unknown):
    begin = datetime(2026, 11, 3, 8, 0, tzinfo=UTC)
    names = [name for name, _ in TRUCK.times]
    said = {n: None if k in unknown else begin + timedelta(minutes=minutes[k]) for k, n in enumerate(names)}
    known = [at for at in said.values() if at is not None]
    assert bool(out_of_order(TRUCK.times, said)) == (known != sorted(known))


def test_an_hour_that_clocks_leave_out_is_refused():
    chicago = ZoneInfo("America/Chicago")
    day = datetime(2026, 3, 8).date()  # noqa: DTZ001
    with pytest.raises(ValidationError, match="clocks went forward"):
        at_site(day, datetime(2026, 3, 8, 2, 30).time(), chicago)  # noqa: DTZ001
    assert at_site(day, datetime(2026, 3, 8, 3, 30).time(), chicago).utcoffset() == timedelta(hours=-5)  # noqa: DTZ001


def test_a_section_is_one_pour_unless_a_truck_came_for_more(site):
    def pours():
        now = ledger(site.house)
        row = now.stage(site.stage(Stage.FROST_WALL).pk)
        return pours_of(now, row, records(row.pk))

    assert pours() == (("A", "B"), ("G",), ("P",))
    load(site, "G", "P")
    assert pours() == (("A", "B"), ("G", "P"))
