"""The log of what was done, and the promise that sending a thing twice counts once.

An action that a person sets off is wrapped in :func:`once` and calls :func:`record` in the same transaction as its
rows. The second arrival of a ``client_id`` is answered with what the first one made, and writes nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import wraps
from typing import ParamSpec, TypeVar, cast
from uuid import UUID, uuid4

from django.apps import apps
from django.db import IntegrityError, models, transaction

from jobs.exceptions import Refused, ReusedRecordId
from jobs.models import Event, Firm, House, HouseStage, Person, Role

P = ParamSpec("P")
R = TypeVar("R")


def find(client_id: UUID) -> Event | None:
    """The event that already carries this id, if one does."""
    return Event.objects.select_related("by", "house").filter(client_id=client_id).first()


def record(
    *,
    client_id: UUID | None,
    verb: str,
    by: Person,
    role: Role,
    summary: str,
    house: House | None = None,
    firm: Firm | None = None,
    stage: HouseStage | None = None,
    reason: str = "",
    subject: models.Model | None = None,
    device_at: datetime | None = None,
) -> Event:
    """Write down what was done to a house (or to a firm's own data). Call it inside the action's transaction.

    ``stage`` is set only for work on a stage: a stage with such events can no longer be removed. ``subject`` is the
    row the action made; a replay gives it back.
    """
    return Event.objects.create(
        house=house,
        firm=firm,
        client_id=client_id or uuid4(),
        verb=verb,
        by=by,
        role=role,
        stage=stage,
        summary=summary[:300],
        reason=reason,
        subject_type=subject._meta.label if subject is not None else "",
        subject_id=subject.pk if subject is not None else None,
        device_at=device_at,
    )


def subject_of(event: Event) -> models.Model | None:
    """The row an event made, or None where it made none."""
    if not event.subject_type:
        return None
    rows: models.Manager[models.Model] = apps.get_model(event.subject_type)._default_manager
    return rows.filter(pk=event.subject_id).first()


def once(verb: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Make an action atomic and safe to send twice. The action takes ``by`` and ``client_id``, keyword-only.

    A ``client_id`` of None gets a fresh one. Two arrivals at the same moment meet at the unique constraint: the
    loser's work is rolled back, and it is answered with the winner's row.
    """

    def wrap(action: Callable[P, R]) -> Callable[P, R]:
        @wraps(action)
        def wrapper(*args: P.args, **kwargs: P.kwargs) -> R:
            kwargs["client_id"] = kwargs.get("client_id") or uuid4()
            client_id, by = cast(UUID, kwargs["client_id"]), cast(Person, kwargs["by"])
            earlier = find(client_id)
            if earlier is None:
                try:
                    with transaction.atomic():
                        return action(*args, **kwargs)
                except (IntegrityError, Refused):
                    earlier = find(client_id)
                    if earlier is None:
                        raise
            return cast(R, _answer(earlier, verb, by))

        return wrapper

    return wrap


def _answer(earlier: Event, verb: str, by: Person) -> models.Model | None:
    if earlier.verb != verb or earlier.by_id != by.pk:
        raise ReusedRecordId("This record's id was already used for something else; reload the page and try again.")
    return subject_of(earlier)


def lock(house: House) -> House:
    """The house as it is now, with everybody else's writes on it waiting until this transaction ends."""
    return House.objects.select_for_update(of=("self",)).select_related("firm").get(pk=house.pk)
