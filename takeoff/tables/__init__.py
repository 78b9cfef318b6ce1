"""Published tables as printed, one file each, and their reader.

A file opens with lines ``# key: value`` that say document, table, edition, units and where it was read; then comes a
CSV with a header row. Nothing is interpolated: a value that is not printed is not there.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

Row = dict[str, str]


@dataclass(frozen=True, slots=True)
class Table:
    """One printed table: what its head lines say, by their key, and its rows as text."""

    name: str
    head: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]

    def about(self, key: str) -> str:
        """A head line ('document', 'table', 'units', 'read in'), or '' where it is missing."""
        return dict(self.head).get(key, "")

    def where(self, **wanted: str) -> Iterator[Row]:
        """Rows whose columns equal the wanted text."""
        return (row for row in self.rows if all(row[column] == text for column, text in wanted.items()))


@cache
def read_table(name: str) -> Table:
    """Read ``<name>.csv`` of this folder, once. Raises FileNotFoundError for a name that is none."""
    lines = (files(__package__) / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    head = [line[1:].strip() for line in lines if line.startswith("#")]
    rows = csv.DictReader(line for line in lines if line and not line.startswith("#"))
    return Table(name, tuple(_key_value(line) for line in head), tuple(dict(row) for row in rows))


def _key_value(line: str) -> tuple[str, str]:
    key, _, value = line.partition(":")
    return key.strip(), value.strip()
