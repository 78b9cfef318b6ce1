"""The demo: three houses at three points of the job, made through the same actions a page uses."""

from __future__ import annotations

import pytest
from django.core.management import call_command

from inspections import gates, queries, states
from inspections.management.commands.demo import CAST, PASSWORD
from jobs.models import House, Person
from takeoff.drawings.tracker import PartState
from takeoff.plan import Stage

pytestmark = [pytest.mark.django_db, pytest.mark.slow]


def test_the_command_fills_once_tells_the_logins_and_leaves_three_houses_at_three_points_of_the_job(capsys):
    """One filling, because it takes many seconds, looked at from every side."""
    call_command("demo", "--no-serve")
    call_command("demo", "--no-serve")
    houses = {house.name: house for house in House.objects.all()}
    assert len(houses) == 3
    _logins_are_told(capsys.readouterr().out)
    _three_points({name: states.part_states(queries.ledger(house)) for name, house in houses.items()})
    for house in houses.values():
        _nothing_may_be_covered(house)


def _logins_are_told(said: str) -> None:
    for key in ("builder", "field_lead", "inspector"):
        email, _, _ = CAST[key]
        assert email in said
        assert Person.objects.get(email=email).check_password(PASSWORD)


def _three_points(part: dict[str, dict[tuple[str, Stage], PartState]]) -> None:
    juniper, kettle, saltlick = part["Juniper Bend"], part["Kettle Road"], part["Saltlick Lane"]
    assert juniper["main", Stage.FOOTING] is PartState.RELEASED
    assert juniper["main", Stage.FROST_WALL] is PartState.REJECTED
    assert juniper["porch", Stage.FROST_WALL] is PartState.RELEASED
    assert juniper["porch", Stage.FROST_BACKFILL] is PartState.PRESENTED
    assert kettle["main", Stage.WATERPROOFING] is PartState.RELEASED
    assert kettle["main", Stage.FINAL_BACKFILL] is PartState.PRESENTED
    assert saltlick["main", Stage.FOOTING] is PartState.PRESENTED


def _nothing_may_be_covered(house: House) -> None:
    ledger = queries.ledger(house)
    for stage in ledger.stages:
        if stage.kind in (Stage.FROST_BACKFILL, Stage.FINAL_BACKFILL):
            assert not gates.gate(ledger, stage, stage.process.operations[-1]).is_open
