"""The published tables the program carries can be read, and say where they come from."""

from __future__ import annotations

from importlib.resources import files

import pytest

from takeoff.tables import read_table

NAMES = sorted(
    entry.name.removesuffix(".csv") for entry in files("takeoff.tables").iterdir() if entry.name.endswith(".csv")
)


@pytest.mark.parametrize("name", NAMES)
def test_every_table_names_document_edition_units_and_where_it_was_read(name: str) -> None:
    table = read_table(name)
    assert table.rows and all(None not in row.values() for row in table.rows)
    for key in ("document", "table", "units", "read in"):
        assert table.about(key), f"{name} does not say '{key}'"
    assert table.about("price") == ""


def test_rows_are_found_by_their_text() -> None:
    rows = list(read_table("irc_r608_5_4_1_laps").where(use="lap splice in tension", bar="5"))
    assert [row["grade_60"] for row in rows] == ["38"]


def test_a_table_that_is_not_there_is_refused() -> None:
    with pytest.raises(FileNotFoundError):
        read_table("nothing")
