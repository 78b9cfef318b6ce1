"""What a revision was held against: a table each for steel, footings, warmth and the order by area, and their page."""

from __future__ import annotations

import copy
import json
from dataclasses import replace

import pytest
from django.urls import reverse

from jobs import plans
from jobs.frozen import checks_of, frozen_from_json
from jobs.models import PlanRevision
from jobs.revision_checks import Table, tables_of
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.plan import Plan
from takeoff.planfile import write_plan
from takeoff.site import AssemblySpec, BuildingSpec, Foundation
from takeoff.units import Length
from tests.takeoff.plans import garage, ledge, porch_arc, rectangle, walkout

BUILDING = BuildingSpec(stories=3, width=Length.feet(32), foundation=Foundation.BASEMENT, snow_psf=50)


def tables(plan: Plan) -> dict[str, Table]:
    """The tables of a plan by key."""
    takeoff = compute(plan, CuttingMethod.FIRST_FIT)
    return {table.key: table for table in tables_of(checks_of(takeoff), plans.facts_of(takeoff), plan)}


def with_spec(plan: Plan, **changes) -> Plan:
    return replace(plan, spec=replace(plan.spec, **changes))


# -- steel -------------------------------------------------------------------------------------------
def test_steel_is_one_line_a_state_where_it_is_enough_and_names_every_leg():
    plan = walkout()
    steel = tables(plan)["steel"]
    assert steel.told == "enough everywhere"
    assert len(steel.rows) == len({row.name for row in steel.rows}) == 3
    checked = {c.leg for c in compute(plan, CuttingMethod.FIRST_FIT).checks}
    assert {leg for row in steel.rows for leg in row.legs.split(", ")} == checked
    assert all(row.verdict == "enough" and not row.bad for row in steel.rows)


def test_what_is_not_enough_or_for_the_engineer_comes_first_with_its_reason():
    plan = walkout()
    few = with_spec(plan, bars=replace(plan.spec.bars, vertical_size=4, vertical_spacing=Length.inches(48)))
    steel = tables(few)["steel"]
    bad = [row for row in steel.rows if row.bad]
    assert bad and list(steel.rows[: len(bad)]) == bad
    assert steel.told == f"{len(bad)} of {len(steel.rows)} not settled"
    assert {row.verdict for row in bad} <= {"not enough", "engineer required"}
    assert all(row.sums[0].endswith(".") for row in bad)
    asked = next(row for row in bad if row.verdict == "not enough")
    assert "asks for" in asked.sums[0] and asked.cells[1].replace("\u00a0", " ") in asked.sums[0]


def test_the_line_of_a_state_shows_where_the_steel_is_used_most():
    plan = walkout()
    steel = tables(plan)["steel"]
    for row in steel.rows:
        used = [int(sum_.rpartition("strip ")[2].split("%")[0]) for sum_ in row.sums if sum_.endswith("% used.")]
        assert used == sorted(used, reverse=True)
        assert not used or row.cells[3] == f"{used[0]}% used"


# -- footings, warmth --------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("width", "verdict", "told"),
    [("30", "large enough", "large enough everywhere"), ("12", "too small", "1 of 1 too small")],
)
def test_footings_say_what_is_asked_and_whether_they_are_large_enough(width, verdict, told):
    plan = with_spec(rectangle(), building=BUILDING)
    table = tables(with_spec(plan, footing=replace(plan.spec.footing, width=Length.inches(width))))["footings"]
    (row,) = table.rows
    assert (row.legs, row.verdict, table.told) == ("A, B, C, D", verdict, told)
    assert row.cells[1].startswith("IRC 2021 Table R403.1")


def test_where_nothing_could_be_asked_the_table_says_where_to_look():
    footings = tables(rectangle())["footings"]
    assert footings.rows == ()
    assert footings.told == ""
    assert "told with the takeoff" in footings.empty


@pytest.mark.parametrize(("zone", "verdict"), [(0, "not judged"), (6, "holds")])
def test_walls_against_the_energy_code_or_not_judged(zone, verdict):
    warmth = tables(with_spec(rectangle(), assembly=AssemblySpec(climate_zone=zone)))["warmth"]
    (row,) = warmth.rows
    assert row.verdict == verdict
    assert row.cells[0].startswith("R-2")
    assert len(row.sums) > 5
    if zone:
        assert row.cells[2] == "R-15 continuous, or U 0.050 at most"


# -- area --------------------------------------------------------------------------------------------
@pytest.mark.parametrize("make", [walkout, garage, porch_arc, ledge])
def test_the_reasons_of_a_line_add_up_to_its_difference(make):
    """Within what the words round to."""
    area = tables(make())["area"]
    for row in area.rows:
        by_area, by_layout = int(row.cells[0]), int(row.cells[1].split()[0])
        reasons = [float(s.split()[0].replace("−", "-").replace(",", "")) for s in row.sums[1:]]
        assert sum(reasons) == pytest.approx(by_layout - by_area, abs=0.01 * len(reasons) + 0.01)
    laid = sum(int(row.cells[1].split()[0]) for row in area.rows)
    assert area.told.startswith(f"{laid} units laid")


@pytest.mark.parametrize("make", [walkout, garage, porch_arc])
def test_every_row_has_a_cell_under_every_head(make):
    for table in tables(make()).values():
        for row, cells in table.lines:
            assert [head for head, _ in cells] == list(table.heads)
            assert row.name and row.verdict


# -- the page ----------------------------------------------------------------------------------------
@pytest.fixture
def locked(cast, house) -> PlanRevision:
    """A walk-out basement as revision A."""
    return plans.lock(by=cast.builder, house=house, document=write_plan(walkout()))


def page(client, revision: PlanRevision) -> str:
    return client.get(reverse("jobs:revision", args=[revision.house_id, revision.number])).content.decode()


def test_the_page_shows_all_four(clients, locked):
    shown = page(clients["inspector"], locked)
    for words in ("Is the upright steel enough?", "Are the footings large enough?", "against the cold?", "wall area?"):
        assert words in shown
    assert "the local code and the engineer of record decide" in shown
    assert "Locked with version" not in shown


def test_verdicts_stay_as_they_were_when_the_engine_changes(clients, locked, monkeypatch):
    """What is shown is what was kept, not what an engine works out today."""
    kept = frozen_from_json(locked.frozen).checks
    takeoff = plans.takeoff_of(locked)
    assert takeoff.checks == kept.steel
    later = replace(takeoff, checks=tuple(replace(c, provided="#9 @ 1 in") for c in takeoff.checks))
    monkeypatch.setattr(plans, "takeoff_of", lambda revision: later)
    shown = page(clients["builder"], locked)
    assert "#9 @ 1 in" not in shown
    assert kept.steel[0].provided in shown


def test_one_locked_by_an_older_engine_says_so(clients, locked):
    frozen = {key: value for key, value in copy.deepcopy(locked.frozen).items() if key != "checks"}
    older = PlanRevision.objects.create(
        house=locked.house, number=2, document=locked.document, digest="older", facts=locked.facts,
        frozen=json.loads(json.dumps(frozen)), engine_version="0.1.0", locked_by=locked.locked_by,
    )  # fmt: skip
    shown = page(clients["builder"], older)
    assert "Revision B was locked before steel" in shown
    assert "Locked with version 0.1.0 of the reckoning" in shown and plans.ENGINE_VERSION in shown
