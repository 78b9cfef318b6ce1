"""What a revision adds to orders and takes from them, by supplier; no database is asked."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

import jobs
from jobs import order_changes, plans
from jobs.frozen import frozen_to_json
from jobs.models import PlanRevision
from jobs.order_changes import between, buying
from jobs.suppliers import SUPPLIERS, supplier_of
from takeoff.orders import order_lines
from takeoff.plan import Stage


@cache
def revision(letter: str) -> PlanRevision:
    """A: an example house. B: two of its walls two feet longer, a window moved. Neither is stored."""
    document = json.loads((Path(jobs.__file__).parent / "examples" / "kettle-road.json").read_text())
    if letter == "B":
        for leg in document["walks"][0]["legs"]:
            if leg["name"] in ("South", "North"):
                leg["length"] = "44-0"
        document["walks"][0]["legs"][0]["openings"][0]["offset"] = "9-0"
    row = PlanRevision(number=1 if letter == "A" else 2, document=document)
    row.frozen = json.loads(json.dumps(frozen_to_json(plans.takeoff_of(row))))
    return row


def test_a_revision_changes_nothing_against_itself() -> None:
    assert not between(revision("A"), revision("A")).any


def test_every_line_that_differs_is_told_to_the_one_who_delivers_it() -> None:
    """Counted again on the order lines of both revisions themselves."""
    told = {
        (supplier.title, line.label, line.stage): (line.ordered, line.needed)
        for supplier in between(revision("A"), revision("B")).suppliers
        for line in supplier.lines
    }
    expected = {}
    for stage in Stage:
        was, now = (
            {(x.key, x.buy_unit): x for x in order_lines(order_changes.as_locked(revision(letter)), stage)}
            for letter in "AB"
        )
        for at in {*was, *now}:
            old, new = (side[at].count if at in side else 0 for side in (was, now))
            if old != new:
                line = now.get(at) or was[at]
                where = supplier_of(line.key).title, line.label, order_changes.TITLES[stage]
                expected[where] = buying(old, at[1]), buying(new, at[1])
    assert told == expected and len(expected) > 8


def test_suppliers_come_in_the_order_of_the_order_sheet_and_bars_stand_with_the_steel() -> None:
    found = between(revision("A"), revision("B"))
    titles = [supplier.title for supplier in found.suppliers]
    assert titles == [each.title for each in SUPPLIERS if each.title in titles]
    assert {supplier.title for supplier in found.suppliers if supplier.pieces} == {"Reinforcing steel"}
    assert found.bucks == ("Buck W1, leg South: distance 9'-0\", not 8'-0\"; move it.",)


def test_only_stages_that_were_ordered_are_told() -> None:
    found = between(revision("A"), revision("B"), (Stage.FOOTING,))
    assert {line.stage for supplier in found.suppliers for line in supplier.lines} == {"Footing"}
    assert found.bucks == ()


@pytest.mark.parametrize(
    ("count", "unit", "said"),
    [
        (0, "unit", "none"),
        (6, "unit", "6"),
        (1240, "each", "1,240"),
        (10, "bundle of 12", "10 x bundle of 12"),
        (126, "quarter yard", "31.50 yd3"),
        (15, "half yard", "7.50 yd3"),
        (98, "ft", "98 ft"),
    ],
)
def test_what_is_bought_is_said_as_on_the_telephone(count: int, unit: str, said: str) -> None:
    assert buying(count, unit) == said
