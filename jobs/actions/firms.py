"""A builder's firm, started by its first person."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from jobs import access, events, form_data
from jobs.actions.offers import new_person
from jobs.exceptions import AlreadyInAFirm
from jobs.models import Firm, FirmMember, FormSystemRecord, Person, Role
from takeoff.forms import GENERIC_SYSTEMS


@events.once("add_firm")
def add_firm(*, by: Person, name: str, phone: str = "", client_id: UUID | None = None) -> Firm:
    """A new firm with the person as its builder and the invented generic form systems to begin with."""
    Person.objects.select_for_update(no_key=True).get(pk=by.pk)  # nobody joins two firms at the same moment
    own = access.firm_of(by)
    if own is not None:
        raise AlreadyInAFirm(f"You already build for {own}; a person builds for one firm.")
    firm = Firm.objects.create(name=name.strip(), phone=phone.strip())
    FirmMember.objects.create(firm=firm, person=by)
    FormSystemRecord.objects.bulk_create(
        FormSystemRecord(firm=firm, key=system.key, data=form_data.to_data(system)) for system in GENERIC_SYSTEMS
    )
    events.record(
        client_id=client_id,
        verb="add_firm",
        by=by,
        role=Role.BUILDER,
        firm=firm,
        summary=f"Started {firm}",
        subject=firm,
    )
    return firm


@transaction.atomic
def start_firm(
    *, firm_name: str, name: str, email: str, password: str, phone: str = "", client_id: UUID | None = None
) -> Firm:
    """A new firm and the login of its first builder."""
    person = new_person(email=email, name=name, password=password, phone=phone)
    return add_firm(by=person, name=firm_name, phone=phone, client_id=client_id)


@events.once("count_braces")
def count_braces(*, by: Person, firm: Firm, braces: int, client_id: UUID | None = None) -> Firm:
    """How many alignment braces the firm has. The number before it stays in the log."""
    access.require_firm(by, firm)
    kept = Firm.objects.select_for_update(no_key=True).get(pk=firm.pk)
    before = kept.braces_owned
    kept.braces_owned = braces
    kept.save(update_fields=["braces_owned"])
    told = f"{braces} brace{'' if braces == 1 else 's'} owned"
    events.record(
        client_id=client_id,
        verb="count_braces",
        by=by,
        role=Role.BUILDER,
        firm=kept,
        summary=told if before in (None, braces) else f"{told}, {before} before",
        subject=kept,
    )
    return kept
