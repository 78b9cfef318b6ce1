"""The same record sent twice counts once; another record under the same id is refused."""

from __future__ import annotations

import hashlib
import inspect
import json
from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from functools import wraps
from typing import Any, ParamSpec, TypeVar, cast

from django.db.models import Model

from inspections.readings import Given
from jobs import events
from jobs.exceptions import ReusedRecordId

P = ParamSpec("P")
R = TypeVar("R")
#: Not part of what is said: who sends and under which id is checked apart, and a phone may stamp each try anew.
_NOT_SAID = ("by", "client_id", "device_at", "digest")


def once(verb: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """As :func:`jobs.events.once`, for a record that keeps the digest of what was sent, passed to the action."""

    def wrap(action: Callable[P, R]) -> Callable[P, R]:
        inner, signature = events.once(verb)(action), inspect.signature(action)

        @wraps(action)
        def wrapper(*args: P.args, **kwargs: P.kwargs) -> R:
            if kwargs.get("evidence") is not None:
                kwargs["evidence"] = tuple(cast(Any, kwargs["evidence"]))
            said = signature.bind(*args, **kwargs)
            said.apply_defaults()
            kwargs["digest"] = digest(said.arguments)
            row = inner(*args, **kwargs)
            if cast(Any, row).digest != kwargs["digest"]:
                raise ReusedRecordId("This record's id was already used for a record that says something else.")
            return row

        return wrapper

    return wrap


def digest(said: Mapping[str, Any]) -> str:
    """Of everything said in a record."""
    plain = {key: _plain(value) for key, value in said.items() if key not in _NOT_SAID}
    return hashlib.sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, Model):
        return value.pk
    if isinstance(value, Given):
        return _plain(asdict(value))
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, bytes):
        return hashlib.sha256(value).hexdigest()
    if isinstance(value, dict):
        return {key: _plain(v) for key, v in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(v) for v in value]
    return str(value) if isinstance(value, float) else value
