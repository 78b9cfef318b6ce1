"""The declared process: read as a sheet, complete, and asking only for numbers the takeoff has."""

from dataclasses import replace
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from inspections.process import EvidenceKind, PointKind
from inspections.sheet import process_sheet
from inspections.stages import BY_KIND, DEFAULT_ORDER, STAGES, WAIVED_WHEN_LOW
from inspections.strength import FILLS
from jobs.frozen import Facts, facts_from_json, facts_to_json
from jobs.plans import facts_of
from takeoff.compute import compute
from takeoff.plan import Opening, OpeningKind, RestWay, Stage
from takeoff.results import Criterion
from tests.inspections.world import FROST_ONLY, leg
from tests.takeoff import plans

SIDES = (("B", "28-0"), ("C", "40-0"), ("D", "28-0"))
GOLDEN = Path(__file__).parent.parent / "golden" / "process.txt"
POINTS = [(stage, point) for stage in STAGES for point in stage.points]
EVIDENCE = [(stage, point, evidence) for stage, point in POINTS for evidence in point.evidence]


def test_the_process_reads_as_the_committed_sheet():
    """After a wanted change: python manage.py process_sheet > tests/golden/process.txt, and read the difference."""
    assert process_sheet() == GOLDEN.read_text()


def test_the_command_prints_the_sheet():
    out = StringIO()
    call_command("process_sheet", stdout=out)
    assert out.getvalue() == process_sheet()


def test_every_kind_of_stage_is_declared_in_the_default_order():
    assert tuple(Stage) == DEFAULT_ORDER and set(BY_KIND) == set(Stage)


def test_keys_name_one_thing():
    points = [point.key for _, point in POINTS]
    operations = [operation.key for stage in STAGES for operation in stage.operations]
    assert len(points + operations) == len(set(points + operations))
    for _, point in POINTS:
        assert len({e.key for e in point.evidence}) == len(point.evidence), point.key


def test_every_stage_has_work_hold_points_before_it_and_a_caution():
    for stage in STAGES:
        assert stage.operations and stage.cautions
        for operation in stage.operations:
            assert any(p.kind is PointKind.HOLD for p in stage.points_before(operation.key)), operation.key


def test_every_point_belongs_to_an_operation_or_closes_its_stage():
    for stage, point in POINTS:
        assert point.before in {"", *(o.key for o in stage.operations)}, point.key


def test_every_point_says_who_what_and_why():
    for _, point in POINTS:
        assert point.releases and point.presents and point.evidence, point.key
        assert point.looks_at.endswith(".") and point.source, point.key


def test_choices_are_offered_where_asked_and_units_where_measured():
    for _, point, evidence in EVIDENCE:
        assert bool(evidence.choices) is (evidence.kind is EvidenceKind.CHOICE), (point.key, evidence.key)
        assert bool(evidence.unit) is (evidence.kind in (EvidenceKind.MEASUREMENT, EvidenceKind.LEVELS)), evidence.key


def test_what_is_waived_under_low_fill_is_bracing_never_strength():
    """IRC R404.1.7: bracing is not required under 4 ft of unbalanced fill; strength always is."""
    assert {"held_foot", "held_top"} == WAIVED_WHEN_LOW


def test_a_fill_and_nothing_else_says_that_it_waits_for_strength():
    told = {operation.key for stage in STAGES for operation in stage.operations if operation.waits}
    assert told == {fill.operation for fill in FILLS.values()}


def test_only_later_stages_bury():
    for stage in STAGES:
        assert all(DEFAULT_ORDER.index(kind) < DEFAULT_ORDER.index(stage.kind) for kind in stage.buries)
    assert set(BY_KIND[Stage.FINAL_BACKFILL].buries) == set(DEFAULT_ORDER[:-1])


@pytest.fixture(scope="module")
def criteria() -> list[Criterion]:
    """The numbers of a walk-out with everything, of a garage, of a frost wall with a vent in it, and of walls whose
    concrete stops inside a course."""
    at = plans.at
    vent = Opening("V1", OpeningKind.WINDOW, at("2-0"), at("1-4"), sill=at("87-4"), offset=at("5-0"))
    lengths = (("A", "40-0", (vent,)), ("B", "28-0", ()), ("C", "40-0", ()), ("D", "28-0", ()))
    vented = plans.plan(plans.ring(*(plans.leg(name, length, openings=has) for name, length, has in lengths)))
    lined = plans.rectangle(frost_top=at("89-8"), wall_top=at("97-8"))
    lined = replace(lined, sections=tuple(replace(s, rest_way=RestWay.POUR_LINE) for s in lined.sections))
    some = (plans.walkout(), plans.garage(), vented, lined)
    return [c for plan in some for c in compute(plan).criteria]


def test_every_reading_has_a_number_in_the_takeoff_in_its_unit(criteria):
    units = {(c.stage, c.key): c.unit.split()[0] for c in criteria}
    for stage, point, evidence in EVIDENCE:
        if evidence.criterion:
            assert units.get((stage.kind, evidence.criterion)) == evidence.unit.split()[0], (
                point.key,
                evidence.criterion,
            )


def test_every_number_shown_with_a_point_is_in_the_takeoff(criteria):
    """Drains and turn-downs belong to whichever stage buries them; the slump is only given where it was agreed."""
    known = {(c.stage, c.key) for c in criteria}
    elsewhere = ("drain.", "membrane.onto_footing", "concrete.slump")
    missing = {
        (point.key, key)
        for stage, point in POINTS
        for key in point.criteria
        if (stage.kind, key) not in known and not key.startswith(elsewhere)
    }
    assert missing == set()


@pytest.mark.parametrize(
    ("changes", "frost", "full"),
    [
        ({}, False, False),
        ({"openings": 1}, False, True),
        ({"openings": 1, "frost_openings": 1}, True, True),
        ({"beam_pockets": 1}, False, False),
        ({"beam_pockets": 1, "stages": FROST_ONLY}, True, False),
    ],
)
def test_a_leg_has_the_points_of_openings_where_its_openings_are(changes, frost, full):
    found = leg("A", **changes)
    assert BY_KIND[Stage.FROST_WALL].point("frost_openings").applies(found) is frost
    assert BY_KIND[Stage.FULL_WALL].point("openings").applies(found) is full


def test_facts_of_a_plan_count_the_openings_in_the_frost_wall():
    """A vent below the top of the frost wall and a window above it, in one leg."""
    at = plans.at
    vent = Opening("V1", OpeningKind.WINDOW, at("2-0"), at("1-4"), sill=at("87-4"), offset=at("5-0"))
    legs = (plans.leg("A", "40-0", openings=(vent, plans.WINDOW)), *(plans.leg(n, x) for n, x in SIDES))
    made = plans.plan(plans.ring(*legs))
    found = facts_of(compute(made)).leg("A")
    assert (found.openings, found.frost_openings) == (2, 1)
    low = replace(plans.WINDOW, name="W2", sill=at("90-0"), offset=at("20-0"))  # stands on the cold joint
    legs = (plans.leg("A", "40-0", openings=(vent, low)), *legs[1:])
    for buck, count in (("0", 1), ("1.5", 2)):  # the board below its sill stands in the frost wall
        layout = replace(made.spec.layout, buck=at(buck))
        bucked = plans.plan(plans.ring(*legs), spec=replace(made.spec, layout=layout))
        assert facts_of(compute(bucked)).leg("A").frost_openings == count
    assert facts_from_json(facts_to_json(Facts((found,), (), ""))).leg("A") == found
