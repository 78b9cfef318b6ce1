"""A firm's form systems: typed in from the supplier's sheet, edited, retired. Never deleted: plans carry copies."""

from __future__ import annotations

from uuid import UUID

from django.utils import timezone

from jobs import access, events, form_data
from jobs.exceptions import Change, FormSystemRefused, StalePage
from jobs.models import Event, Firm, FormSystemRecord, Person, Role
from takeoff.forms import FormSystem


@events.once("add_form_system")
def add_form_system(*, by: Person, firm: Firm, system: FormSystem, client_id: UUID | None = None) -> FormSystemRecord:
    """One more form system of a firm; its key must be new there."""
    access.require_firm(by, firm)
    if FormSystemRecord.objects.filter(firm=firm, key=system.key).exists():
        raise FormSystemRefused(f"There already is a form system “{system.key}”; give this one another short name.")
    row = FormSystemRecord.objects.create(firm=firm, key=system.key, data=form_data.to_data(system))
    _told(client_id, "add_form_system", by, row, f"Added form system {system.name}")
    return row


@events.once("edit_form_system")
def edit_form_system(
    *, by: Person, record: FormSystemRecord, version: int, system: FormSystem, client_id: UUID | None = None
) -> FormSystemRecord:
    """Save what was typed. Plans already locked keep the dimensions they were locked with."""
    row = _lock(by, record)
    _check_version(row, version)
    told = form_data.differences(form_data.from_data(row.data), system)
    if not told:
        return row
    row.data = form_data.to_data(system)
    row.version += 1
    row.save()
    _told(client_id, "edit_form_system", by, row, f"Changed {system.name}: " + "; ".join(told.values()))
    return row


@events.once("retire_form_system")
def retire_form_system(*, by: Person, record: FormSystemRecord, client_id: UUID | None = None) -> FormSystemRecord:
    """Offer it for new plans no longer."""
    return _set_retired(by, record, True, client_id)


@events.once("restore_form_system")
def restore_form_system(*, by: Person, record: FormSystemRecord, client_id: UUID | None = None) -> FormSystemRecord:
    """Offer it for new plans again."""
    return _set_retired(by, record, False, client_id)


def _set_retired(by: Person, record: FormSystemRecord, retired: bool, client_id: UUID | None) -> FormSystemRecord:
    row = _lock(by, record)
    if (row.retired_at is not None) == retired:
        raise FormSystemRefused(f"{row} already is {'retired' if retired else 'in use'}.")
    row.retired_at = timezone.now() if retired else None
    row.save()
    verb, word = ("retire_form_system", "Retired") if retired else ("restore_form_system", "Took back into use")
    _told(client_id, verb, by, row, f"{word} form system {row}")
    return row


def _lock(by: Person, record: FormSystemRecord) -> FormSystemRecord:
    row = FormSystemRecord.objects.select_for_update(of=("self",)).select_related("firm").get(pk=record.pk)
    access.require_firm(by, row.firm)
    return row


def _check_version(row: FormSystemRecord, version: int) -> None:
    if row.version == version:
        return
    edits = Event.objects.filter(firm=row.firm, verb="edit_form_system", subject_id=row.pk).select_related("by")
    newer = edits[: max(row.version - version, 1)]
    raise StalePage(tuple(Change(str(event.by), event.at, event.summary) for event in newer), row.version)


def _told(client_id: UUID | None, verb: str, by: Person, row: FormSystemRecord, summary: str) -> None:
    events.record(client_id=client_id, verb=verb, by=by, role=Role.BUILDER, firm=row.firm, summary=summary, subject=row)
