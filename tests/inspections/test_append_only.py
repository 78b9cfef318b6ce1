"""Records are written once: the models refuse to change them, and so does the database behind the models' back."""

import importlib

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.db.models import F

from inspections.models import CorrectionClosed, EvidenceItem, Presentation, SignOff, WorkDone
from jobs.models import Event, PlanRevision
from takeoff.plan import Stage

guard = importlib.import_module("inspections.migrations.0002_append_only")
RECORDS = (Presentation, SignOff, CorrectionClosed, WorkDone, EvidenceItem, Event, PlanRevision)


@pytest.fixture
def records(site):
    """One of each."""
    site.through(Stage.FOOTING, "A", until="pour_footing")
    presentation = site.present(Stage.FOOTING, "hole", "B")
    site.close(site.reject(presentation))
    site.work(Stage.FOOTING, "pour_footing", "A")


def test_a_record_can_be_neither_saved_again_nor_deleted(records):
    for model in RECORDS:
        record = model.objects.order_by("pk").first()
        with pytest.raises(ValidationError, match="cannot be changed"):
            record.save()
        with pytest.raises(ValidationError, match="cannot be deleted"):
            record.delete()


def test_the_database_refuses_an_update(records):
    for model in RECORDS:
        with pytest.raises(IntegrityError, match="cannot be changed"), transaction.atomic():
            model.objects.update(house=F("house"))


def test_the_database_refuses_a_deletion(records):
    for model in RECORDS:
        with pytest.raises(IntegrityError, match="cannot be changed"), transaction.atomic():
            _guard_deletions()
            model.objects.all()._raw_delete("default")


def test_what_a_sign_off_supersedes_stays_named(records):
    with pytest.raises(IntegrityError, match="cannot be changed"), transaction.atomic():
        SignOff.supersedes.through.objects.create(
            from_signoff=SignOff.objects.first(), to_signoff=SignOff.objects.last()
        )
        SignOff.supersedes.through.objects.update(to_signoff=SignOff.objects.first())


@pytest.mark.django_db
def test_every_record_table_has_its_guard():
    tables = {m._meta.db_table for m in (*RECORDS, SignOff.supersedes.through)}
    assert tables == set(guard.TABLES)
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal")
        found = {name for (name,) in cursor.fetchall()}
    assert {f"{table}_no_update" for table in tables} <= found


def _guard_deletions():
    """Tests run without the guard against deleting on the embedded database (see tests/conftest.py): put it back."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            for table in guard.TABLES:
                cursor.execute(
                    f"CREATE TRIGGER {table}_no_delete BEFORE delete ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{guard.WORDS}'); END"
                )
