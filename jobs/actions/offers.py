"""What every offer has in common, of a role on a house or of a place in a firm: a secret link, sent by mail, taken up
once, by the right person, within its time."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable
from functools import partial
from typing import TypeVar

from django.contrib.auth import get_user_model
from django.core.mail import send_mail
from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.template.loader import render_to_string
from django.utils import timezone

from jobs.exceptions import AddressTaken, InvitationRefused, InvitationSpent
from jobs.models import Offer, Person

log = logging.getLogger(__name__)

AnyOffer = TypeVar("AnyOffer", bound=Offer)


def new_token() -> str:
    """The secret in a link."""
    return secrets.token_urlsafe(32)


def still_open(offer: AnyOffer) -> AnyOffer:
    """The offer as it is now, if its link may still be used; otherwise :class:`InvitationSpent`."""
    now = unanswered(offer)
    if now.is_expired:
        days = now.LIFE.days
        raise InvitationSpent(f"This invitation has expired; a link works for {days} days. Ask for a new one.")
    return now


def unanswered(offer: AnyOffer) -> AnyOffer:
    """The offer as it is now, if nobody took it up or withdrew it; otherwise :class:`InvitationSpent`."""
    rows: QuerySet[AnyOffer] = type(offer)._default_manager.all()
    now = rows.get(pk=offer.pk)
    if now.accepted_at is not None:
        raise InvitationSpent("This invitation has already been taken up; it works once.")
    if now.withdrawn_at is not None:
        raise InvitationSpent("This invitation was withdrawn; ask the builder for a new one.")
    return now


def check_address(offer: Offer, by: Person, confirmed: bool) -> None:
    """Raises :class:`InvitationRefused` for another address than the invited one, unless it was confirmed."""
    if by.email != offer.email and not confirmed:
        raise InvitationRefused(
            f"This invitation was sent to {offer.email} and you are logged in as {by.email}. "
            "Confirm that it is meant for you, or log in with the other address."
        )


def take_up(offer: Offer, by: Person) -> str:
    """Mark the offer as taken up; what to add to the event where it was sent to another address."""
    offer.accepted_by, offer.accepted_at = by, timezone.now()
    offer.save()
    return "" if by.email == offer.email else f" (invited at {offer.email}, confirmed it is theirs)"


def mail(offer: AnyOffer, link_to: Callable[[AnyOffer], str] | None, *, subject: str, template: str) -> None:
    """Mail the link once the offer stands. Mail that fails is logged: the link stays on the page to be copied."""
    if link_to is not None:
        transaction.on_commit(partial(_send, offer, link_to(offer), subject, template))


def _send(offer: Offer, link: str, subject: str, template: str) -> None:
    try:
        send_mail(subject, render_to_string(template, {"invitation": offer, "link": link}), None, [offer.email])
    except OSError:
        log.exception("The invitation of %s could not be mailed", offer.email)


def new_person(*, email: str, name: str, password: str, phone: str = "") -> Person:
    """A login; raises :class:`AddressTaken` where the address has one."""
    address = email.strip().lower()
    taken = AddressTaken(f"{address} already has a login here; log in with it instead.")
    if Person.objects.filter(email=address).exists():
        raise taken
    try:
        with transaction.atomic():
            return get_user_model().objects.create_user(address, password, name=name.strip(), phone=phone.strip())
    except IntegrityError:
        raise taken from None
