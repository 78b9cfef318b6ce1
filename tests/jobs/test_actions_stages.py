"""Stages as data: added, left out, moved and dated; one with records on it stays."""

from datetime import date
from uuid import uuid4

import pytest
from django.http import Http404

from jobs import actions, events
from jobs.exceptions import DatesOutOfOrder, Refused, StageInUse
from jobs.models import HouseStage, Role
from takeoff.plan import Stage


def titles(house):
    return [s.title for s in house.stages.order_by("position")]


def places(house):
    return list(house.stages.order_by("position").values_list("position", flat=True))


def test_second_pour_of_a_long_wall_goes_after_the_first(cast):
    stage = actions.add_stage(
        by=cast.builder, house=cast.house, kind=Stage.FULL_WALL, title="Full-height wall, second pour", after=4
    )
    assert stage.position == 5
    assert titles(cast.house)[3:6] == ["Full-height wall", "Full-height wall, second pour", "Waterproofing"]
    assert places(cast.house) == [1, 2, 3, 4, 5, 6, 7]


@pytest.mark.parametrize(("after", "place"), [(None, 7), (0, 1), (6, 7)])
def test_added_at_either_end(cast, after, place):
    stage = actions.add_stage(by=cast.builder, house=cast.house, kind=Stage.FOOTING, after=after)
    assert stage.position == place
    assert stage.title == "Footing"


def test_added_twice_counts_once(cast):
    client_id = uuid4()
    for _ in range(2):
        actions.add_stage(by=cast.builder, house=cast.house, kind=Stage.FOOTING, client_id=client_id)
    assert places(cast.house) == [1, 2, 3, 4, 5, 6, 7]


def test_house_without_frost_wall(cast):
    for kind in (Stage.FROST_WALL, Stage.FROST_BACKFILL):
        actions.remove_stage(by=cast.builder, house=cast.house, stage=cast.house.stages.get(kind=kind))
    assert titles(cast.house) == ["Footing", "Full-height wall", "Waterproofing", "Final backfill"]
    assert places(cast.house) == [1, 2, 3, 4]


def test_removed_twice_counts_once(cast):
    client_id, stage = uuid4(), cast.house.stages.get(kind=Stage.FROST_WALL)
    for _ in range(2):
        actions.remove_stage(by=cast.builder, house=cast.house, stage=HouseStage(pk=stage.pk), client_id=client_id)
    assert places(cast.house) == [1, 2, 3, 4, 5]


def test_stage_with_records_on_it_stays(cast):
    stage = cast.house.stages.get(kind=Stage.FOOTING)
    events.record(
        client_id=uuid4(),
        verb="work",
        by=cast.field_lead,
        role=Role.FIELD_LEAD,
        house=cast.house,
        stage=stage,
        summary="Footing poured",
    )
    with pytest.raises(StageInUse, match="“Footing” has records on it and stays"):
        actions.remove_stage(by=cast.builder, house=cast.house, stage=stage)
    assert "Footing" in titles(cast.house)


def test_planning_a_stage_is_no_record_on_it(cast):
    stage = cast.house.stages.get(kind=Stage.FROST_WALL)
    actions.date_stage(by=cast.builder, house=cast.house, stage=stage, start=date(2026, 11, 3), end=None)
    actions.remove_stage(by=cast.builder, house=cast.house, stage=stage)
    assert "Frost wall" not in titles(cast.house)


@pytest.mark.parametrize(("by_places", "place"), [(-1, 1), (1, 3), (-9, 1), (9, 6), (0, 2)])
def test_moved_and_stopped_at_the_ends(cast, by_places, place):
    stage = cast.house.stages.get(kind=Stage.FROST_WALL)
    moved = actions.move_stage(by=cast.builder, house=cast.house, stage=stage, by_places=by_places)
    assert moved.position == place
    assert places(cast.house) == [1, 2, 3, 4, 5, 6]


def test_dates_in_order(cast):
    stage = cast.house.stages.get(kind=Stage.FOOTING)
    with pytest.raises(DatesOutOfOrder, match=r"The end of Footing \(Nov 3, 2026\) is before the start of Footing"):
        actions.date_stage(
            by=cast.builder, house=cast.house, stage=stage, start=date(2026, 11, 4), end=date(2026, 11, 3)
        )


def test_stage_of_another_house_is_not_touched(cast):
    other = cast.strange_house.stages.first()
    with pytest.raises(Refused, match="no longer on this house"):
        actions.remove_stage(by=cast.builder, house=cast.house, stage=other)


@pytest.mark.parametrize("part", ["field_lead", "inspector", "engineer", "surveyor", "stranger"])
def test_only_the_builder_changes_stages(cast, part):
    stage, by = cast.house.stages.first(), cast.person(part)
    with pytest.raises(Http404):
        actions.add_stage(by=by, house=cast.house, kind=Stage.FOOTING)
    with pytest.raises(Http404):
        actions.remove_stage(by=by, house=cast.house, stage=stage)
    with pytest.raises(Http404):
        actions.move_stage(by=by, house=cast.house, stage=stage, by_places=1)
    with pytest.raises(Http404):
        actions.date_stage(by=by, house=cast.house, stage=stage, start=None, end=None)
