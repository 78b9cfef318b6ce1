"""Who gets what at every address: one entry per named address, for every part of the cast.

``jobs``, ``inspections`` and ``foundation`` each hold the entries of their addresses as ``ENTRIES``; a test walks all
addresses and fails on one that has none.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from tests.cast import ANONYMOUS, EVERYBODY, STRANGER, Cast

MEMBERS = tuple(part for part in EVERYBODY if part not in (STRANGER, ANONYMOUS))
LOGGED_IN = tuple(part for part in EVERYBODY if part != ANONYMOUS)
#: Those who build for a firm: the stranger does too, for his own.
FIRM_PEOPLE = ("builder", STRANGER)
TO_LOGIN, NOT_FOUND, WRONG_METHOD = 302, 404, 405

Answers = Mapping[str, int]


def _nothing(cast: Cast) -> dict[str, Any]:
    return {}


@dataclass(frozen=True)
class Entry:
    """Status by part for GET and for POST; ``args`` are the address's own, ``data`` what is posted."""

    get: Answers
    post: Answers
    args: Callable[[Cast], dict[str, Any]] = _nothing
    data: Callable[[Cast], dict[str, Any]] = _nothing


def only(*parts: str, status: int = 200, others: int = NOT_FOUND, anonymous: int = TO_LOGIN) -> Answers:
    """These parts get ``status``, others logged in ``others``, and who is not logged in is sent to log in."""
    return {part: anonymous if part == ANONYMOUS else status if part in parts else others for part in EVERYBODY}


#: An address that takes no such method, whoever asks.
NO_SUCH_METHOD = only(*LOGGED_IN, status=WRONG_METHOD)


def of_house(cast: Cast) -> dict[str, Any]:
    """Address of the cast's house."""
    return {"pk": cast.house.pk}
