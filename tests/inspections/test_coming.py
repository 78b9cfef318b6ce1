"""Pours of the next ten days that lack weather or an agreed mix."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from inspections.page_queries import coming
from inspections.page_queries.mine import mine
from jobs.models import HouseStage
from jobs.weather.records import WeatherKind, WeatherSource
from takeoff.plan import Stage
from tests.inspections.real import RealSite


def told(site: RealSite) -> list[str]:
    planned = {stage.pk: stage for stage in HouseStage.objects.filter(house=site.house)}
    rows = coming.told(mine(site.cast.builder), planned, timezone.now())[site.house.pk]
    return [row.text for row in rows]


def test_a_pour_of_the_next_ten_days_says_what_it_lacks_until_it_has_it(cast):
    site, today = RealSite(cast, "kettle-road"), timezone.localdate()
    stages = site.house.stages
    stages.update(planned_start_date=None, planned_end_date=None)
    stages.filter(kind=Stage.FOOTING).update(planned_start_date=today - timedelta(days=1))
    stages.filter(kind=Stage.FULL_WALL).update(planned_end_date=today + timedelta(days=11))
    assert told(site) == [], "past days are told as late elsewhere, days further off not at all"
    stages.filter(kind=Stage.FOOTING).update(planned_end_date=today + timedelta(days=3))
    (said,) = told(site)
    assert said.startswith("Footing, pour by") and said.endswith("no weather is given, no mix is agreed")
    WeatherSource.objects.create(
        house=site.house, kind=WeatherKind.TYPED, text="", source="typed", by=cast.builder,
        at=timezone.now() - timedelta(days=2),
    )  # fmt: skip
    assert "weather looked at 2 days ago, no mix" in told(site)[0]
    site.through(Stage.FOOTING, *site.legs)
    assert told(site) == []
