"""The benchmark's table, what it measures, and that nothing is left of the houses made for it."""

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from foundation import measures
from foundation.bench_houses import builder_of, taken_back
from foundation.bench_plans import houses
from foundation.measures import Measure, Timing, table, time
from inspections import states
from inspections.queries import ledgers
from jobs import pdf
from jobs.exceptions import PdfUnavailable
from jobs.models import Firm, House, Person
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.geometry import place
from takeoff.plan import Arc
from takeoff.problems import blockers


def test_a_measure_is_run_once_to_warm_up_and_then_timed(db):
    runs = []
    timing = time(Measure("counting", 1.0, lambda: (runs.append(1), Firm.objects.count())), times=3)
    assert len(runs) == 4
    assert 0 < timing.best_s <= timing.median_s < 1.0
    assert timing.queries == 1
    assert timing.within


def test_what_is_slow_is_run_once_and_says_what_it_found(db):
    runs = []
    timing = time(Measure("finding", None, lambda: runs.append(1) or "48 bars", slow=True), times=3)
    assert len(runs) == 1 and timing.best_s == timing.median_s
    assert table([timing]).endswith("none  48 bars")


def test_the_hard_house_has_all_that_is_said_of_it():
    plan = houses()
    placed, takeoff = place(plan), compute(plan, CuttingMethod.FIRST_FIT)
    ring = [leg for leg in plan.legs() if leg.name != "T"]
    assert 249 < sum(placed.legs[leg.name].outside.length.foot for leg in ring) < 251
    assert {unit.course for unit in takeoff.units} == set(range(1, 10))
    assert any(leg.steps for leg in ring) and any(leg.openings for leg in ring) and any(leg.ledges for leg in ring)
    assert any(isinstance(leg.path, Arc) for leg in ring) and {abs(leg.turn_deg) for leg in ring} == {45, 90}
    assert placed.tees and not blockers(takeoff.problems)


def test_ten_hard_houses_stand_apart():
    takeoff = compute(houses(10), CuttingMethod.FIRST_FIT)
    assert not blockers(takeoff.problems)
    one = compute(houses(), CuttingMethod.FIRST_FIT)
    assert sum(bar.count for bar in takeoff.bars) == 10 * sum(bar.count for bar in one.bars)


def test_cutting_problems_are_measured_one_by_one():
    found = list(measures._cutting())
    assert [m.name for m in found[:2]] == ["Cutting, u120_00", "Cutting, u120_01"] and len(found) == 21
    assert found[1].run() == "49 bars, fewest possible; longest first 49"


def test_the_table_is_in_milliseconds_and_marks_what_is_over_its_limit():
    timings = [
        Timing(Measure("Takeoff", 0.2, int), 0.0512, 0.0701, 0),
        Timing(Measure("Stage 1 as PDF", 2.0, int), 2.5, 3.0, 9),
        Timing(Measure("Board", None, int), 0.1, 0.2, 13),
    ]
    assert table(timings).splitlines() == [
        "                    best    median     limit  queries",
        "Takeoff            51 ms     70 ms    200 ms     none",
        "Stage 1 as PDF   2500 ms   3000 ms   2000 ms        9  over",
        "Board             100 ms    200 ms      none       13",
    ]


@pytest.mark.django_db
def test_the_houses_it_measures_are_in_the_middle_of_their_footings():
    builder = builder_of(3)
    found = ledgers(builder.houses)
    assert len(found) == 3
    for ledger in found.values():
        row = states.current_stage(ledger)
        assert row is not None
        assert row.title == "Footing"
        assert ledger.done


@pytest.mark.django_db
def test_it_measures_the_engine_every_hand_out_and_both_boards(capsys, monkeypatch):
    monkeypatch.setattr(measures, "BOARDS", (1, 2))
    with taken_back():
        found = list(measures.measures())
        assert [m.name for m in found[:2]] == ["Plan file read, juniper-bend", "Takeoff, juniper-bend"]
        assert [m.name for m in found if m.name.startswith("Hand-out")] == [
            *("Hand-out, footing", "Hand-out, frost wall", "Hand-out, backfill of frost wall"),
            *("Hand-out, full-height wall", "Hand-out, waterproofing", "Hand-out, final backfill"),
        ]
        assert all(m.limit_s == 2.0 for m in found if m.name.startswith("Hand-out"))
        boards = [time(m, 1) for m in found if m.name.startswith("Board")]
    assert [b.measure.name for b in boards] == ["Board, 1 houses", "Board, 2 houses"]
    assert boards[0].queries == boards[1].queries > 0
    assert not House.objects.exists()
    assert not Person.objects.exists()


@pytest.mark.django_db
def test_the_command_prints_the_table_and_leaves_nothing(capsys, monkeypatch):
    monkeypatch.setattr("foundation.management.commands.bench.measures", lambda: [Measure("Nothing", 1.0, int)])
    call_command("bench", times=1)
    assert "Nothing" in capsys.readouterr().out
    assert not Firm.objects.exists()


@pytest.mark.django_db
def test_where_no_pdf_can_be_made_it_says_what_to_run(monkeypatch):
    def refuse() -> None:
        raise PdfUnavailable(f"Run: {pdf.INSTALL_LINE}")

    monkeypatch.setattr("foundation.management.commands.bench.measures", lambda: [Measure("Hand-out", 2.0, refuse)])
    with pytest.raises(CommandError, match="apt-get install"):
        call_command("bench", times=1)
