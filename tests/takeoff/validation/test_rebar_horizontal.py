"""IRC 2021, Table R404.1.2(1), least horizontal reinforcement of concrete basement walls.

Read in a public copy of the code as adopted in Arkansas: up to 8 ft one No. 4 bar within 12 in of the top of the wall
story and one near mid-height; above 8 ft one within 12 in of the top and one near third points.
"""

from __future__ import annotations

import pytest

from takeoff.code_bars import missing_levels, wanted_levels
from takeoff.tables import read_table
from tests.takeoff.plans import at


def test_the_table_as_carried() -> None:
    low, high = read_table("irc_r404_1_2_1_horizontal").rows
    assert (
        low["height"] == "<= 8" and "near mid-height" in low["location"] and "12 inches of the top" in low["location"]
    )
    assert high["height"] == "> 8" and "near third points" in high["location"]


@pytest.mark.parametrize(
    ("height", "wanted"),
    [("7-0", ["3-6"]), ("8-0", ["4-0"]), ("9-0", ["3-0", "6-0"]), ("10-0", ["3-4", "6-8"])],
)
def test_where_bars_are_wanted(height: str, wanted: list[str]) -> None:
    assert list(wanted_levels(at("0"), at(height))) == [at(level) for level in wanted]


@pytest.mark.parametrize(
    ("height", "bars", "missing"),
    [
        ("8-0", ["7-0", "4-0"], []),
        ("8-0", ["6-11", "4-0"], ["7-0"]),  # an inch too far below the top
        ("8-0", ["7-6", "2-11"], ["4-0"]),
        ("9-0", ["8-6", "3-0"], ["6-0"]),
        ("9-0", ["8-6", "3-0", "6-0"], []),
    ],
)
def test_what_is_missing(height: str, bars: list[str], missing: list[str]) -> None:
    got = missing_levels(at("0"), at(height), [at(level) for level in bars])
    assert list(got) == [at(level) for level in missing]
