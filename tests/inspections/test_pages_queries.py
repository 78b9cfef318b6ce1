"""Lists cost the same for 3 houses and for 300: as many queries, whatever the number."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.models import Presentation, SignOff
from inspections.page_queries import pictures
from jobs.models import House, HouseMember, HouseStage, PlanRevision, Role, Site
from jobs.stages import DEFAULT_ORDER, TITLES
from takeoff.plan import Stage
from takeoff.units import Length
from tests.cast import Cast
from tests.inspections.real import RealSite


def grow(site: RealSite, number: int) -> None:
    """More houses with the same people and plan, each with something presented and something rejected."""
    cast = site.cast
    houses = House.objects.bulk_create(House(name=f"Row {n}", firm=cast.firm) for n in range(number))
    Site.objects.bulk_create(Site(house=house, frost_depth=Length.feet(4)) for house in houses)
    stages = HouseStage.objects.bulk_create(
        HouseStage(house=house, position=place, kind=kind, title=TITLES[kind])
        for house in houses
        for place, kind in enumerate(DEFAULT_ORDER, 1)
    )
    revisions = PlanRevision.objects.bulk_create(
        PlanRevision(
            house=house,
            number=1,
            document=site.revision.document,
            digest=site.revision.digest,
            facts=site.revision.facts,
            frozen=site.revision.frozen,
            engine_version="test",
            locked_by=cast.builder,
        )
        for house in houses
    )
    for role in (Role.FIELD_LEAD, Role.INSPECTOR):
        HouseMember.objects.bulk_create(
            HouseMember(house=house, person=cast.person(role.value), role=role) for house in houses
        )
    _records(site, houses, {s.house_id: s for s in stages if s.kind == Stage.FOOTING}, revisions)


def _records(site: RealSite, houses: list[House], stages: dict[int, HouseStage], revisions: list[PlanRevision]) -> None:
    prints = {leg["name"]: leg["fingerprints"][Stage.FOOTING] for leg in site.revision.facts["legs"]}

    def record(house: House, revision: PlanRevision, part: str) -> dict[str, object]:
        return {
            "house": house,
            "stage": stages[house.pk],
            "revision": revision,
            "legs": list(site.legs),
            "by": site.cast.person(part),
            "role": part,
            "fingerprints": prints,
            "digest": "",
        }

    made = {
        point: Presentation.objects.bulk_create(
            Presentation(point=point, **record(house, revision, "field_lead"))
            for house, revision in zip(houses, revisions, strict=True)
        )
        for point in ("footing_steel", "hole")
    }
    SignOff.objects.bulk_create(
        SignOff(
            point="hole", presentation=given, decision="rejected", reason="Wet.", **record(house, revision, "inspector")
        )
        for house, revision, given in zip(houses, revisions, made["hole"], strict=True)
    )


def queries(act: Callable[[], object]) -> int:
    with CaptureQueriesContext(connection) as seen:
        act()
    return len(seen)


@pytest.mark.look
@pytest.mark.parametrize(("part", "screen"), [("builder", "board"), ("field_lead", "today"), ("inspector", "asked")])
def test_a_list_costs_the_same_for_3_houses_and_for_300(cast: Cast, clients: dict[str, Client], part, screen):
    site = RealSite(cast)
    site.present(Stage.FOOTING, "footing_steel", *site.legs)
    site.reject(site.present(Stage.FOOTING, "hole", *site.legs), "Wet.")
    client, where = clients[part], reverse(f"inspections:{screen}")
    counts = []
    for more in (2, 297):
        grow(site, more)
        client.get(where)  # the session, content types
        pictures._kept.clear()
        answer = client.get(where)
        assert answer.status_code == 200
        pictures._kept.clear()
        counts.append(queries(lambda: client.get(where)))
    assert counts[0] == counts[1]
    assert counts[0] <= 24


def test_a_drawn_plan_is_not_read_again(cast: Cast, clients: dict[str, Client]):
    RealSite(cast)
    where = reverse("inspections:board")
    pictures._kept.clear()
    first = queries(lambda: clients["builder"].get(where))
    assert queries(lambda: clients["builder"].get(where)) == first - 1
