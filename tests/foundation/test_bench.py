"""The benchmark's table, and what it measures where there is something to measure."""

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from foundation import measures
from foundation.measures import Measure, Timing, table, time
from jobs.models import House, PlanRevision
from takeoff.compute import compute
from takeoff.planfile import write_plan
from tests.factories import HouseFactory, PersonFactory
from tests.takeoff import plans


def test_a_measure_is_run_once_to_warm_up_and_then_timed():
    runs = []
    timing = time(Measure("counting", 1.0, lambda: runs.append(1)), times=3)
    assert len(runs) == 4
    assert 0 < timing.best_s <= timing.worst_s < 1.0
    assert timing.within


def test_the_table_is_in_milliseconds_and_marks_what_is_over_its_limit():
    timings = [
        Timing(Measure("Takeoff", 0.2, int), 0.0512, 0.0701),
        Timing(Measure("Stage 1 as PDF", 2.0, int), 2.5, 3.0),
    ]
    assert table(timings).splitlines() == [
        "                    best     worst     limit",
        "Takeoff            51 ms     70 ms    200 ms",
        "Stage 1 as PDF   2500 ms   3000 ms   2000 ms  over",
    ]


@pytest.mark.django_db
def test_without_a_house_it_says_what_to_run():
    with pytest.raises(CommandError, match=r"Run: python3 manage\.py demo"):
        call_command("bench")


def lock(house: House, number: int, plan) -> None:
    legs = [{"name": leg.name} for walk in plan.walks for leg in walk.legs]
    PlanRevision.objects.create(
        house=house,
        number=number,
        document=write_plan(plan),
        facts={"legs": legs},
        frozen={},
        locked_by=PersonFactory(),
    )


@pytest.mark.django_db
def test_the_latest_plan_of_the_largest_house_is_measured(capsys):
    small, large = HouseFactory(name="Lot 3"), HouseFactory(name="Lot 9")
    lock(small, 1, plans.rectangle())
    lock(large, 1, plans.rectangle())
    lock(large, 2, plans.walkout())
    found = {measure.name: measure for measure in measures.measures()}
    assert list(found) == ["Plan file read, Lot 9", "Takeoff, Lot 9"]
    assert found["Plan file read, Lot 9"].run().plan == plans.walkout()
    assert found["Takeoff, Lot 9"].run() == compute(plans.walkout())
    call_command("bench", times=1)
    assert capsys.readouterr().out.count("Lot 9") == 2
