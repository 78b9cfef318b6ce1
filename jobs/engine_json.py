"""Frozen dataclasses of the engine as plain JSON and back, by the types of their fields.

Lengths become whole nanometres, enumerations their values, tuples lists. What an older program wrote is read as long
as the fields it did not know have defaults; a field this program no longer knows is passed over.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Hashable, Mapping
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from takeoff.units import Length

T = TypeVar("T", bound=Hashable)
Reader = Callable[[Any], Any]


def to_plain(value: Any) -> Any:
    """A dataclass, a tuple of them, or what their fields hold, as JSON can say it."""
    if isinstance(value, Length):
        return value.nm
    if dataclasses.is_dataclass(value):
        return {f.name: to_plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, tuple):
        return [to_plain(each) for each in value]
    return value.value if isinstance(value, Enum) else value


def from_plain(kind: type[T], rows: Any) -> tuple[T, ...]:
    """Read back a tuple of dataclasses that :func:`to_plain` wrote.

    Raises TypeError where a row lacks a field that has no default."""
    read = _reader(kind)
    return tuple(read(row) for row in rows)


@cache
def _reader(kind: Any) -> Reader:
    """What makes a value of a type out of plain JSON."""
    if kind is Length:
        return Length
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind
    if isinstance(kind, type) and dataclasses.is_dataclass(kind):
        return _record(kind)
    if get_origin(kind) is tuple:
        each = _reader(get_args(kind)[0])
        return tuple if each is _as_it_is else lambda rows: tuple(each(row) for row in rows)
    if get_origin(kind) is UnionType:
        (some,) = (_reader(each) for each in get_args(kind) if each is not NoneType)
        return some if some is _as_it_is else lambda row: None if row is None else some(row)
    return _as_it_is


def _as_it_is(value: Any) -> Any:
    return value


def _record(kind: type) -> Reader:
    hints = get_type_hints(kind)
    readers = {f.name: _reader(hints[f.name]) for f in dataclasses.fields(kind)}
    changed = [(name, read) for name, read in readers.items() if read is not _as_it_is]

    def read_record(row: Mapping[str, Any]) -> Any:
        known = row.keys() <= readers.keys()
        values = dict(row) if known else {name: value for name, value in row.items() if name in readers}
        for name, read in changed:
            if name in values:
                values[name] = read(values[name])
        return kind(**values)

    return read_record
