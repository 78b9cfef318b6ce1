"""The pages of a house: itself, its log, its sections, its photos."""

from __future__ import annotations

import uuid

import pytest
from django.urls import reverse

from jobs.models import PlanRevision
from takeoff.plan import Stage
from tests.cast import STRANGER
from tests.inspections.real import RealSite


@pytest.fixture
def site(cast) -> RealSite:
    return RealSite(cast, "saltlick-lane")


def get(client, name, *args):
    return client.get(reverse(f"inspections:{name}", args=args)).content.decode()


def test_every_part_of_the_drawing_opens_its_stage(site, clients):
    shown = get(clients["builder"], "house", site.house.pk)
    for stage in site.house.stages.all():
        assert shown.count(f'href="{reverse("inspections:stage", args=[site.house.pk, stage.pk])}"') >= 3
    assert f'id="ground-{site.house.pk}-phone"' in shown and f'id="ground-{site.house.pk}-desk"' in shown


def test_the_house_says_what_holds_it_and_who_is_on_it(site, clients):
    site.reject(site.present(Stage.FOOTING, "footing_steel", *site.legs), "Lap is 24 in.")
    shown = get(clients["field_lead"], "house", site.house.pk)
    assert "Open corrections" in shown and "Lap is 24 in." in shown
    assert "Place footing concrete" in shown and "Inspector Person" in shown and "4&#x27;-0&quot;" in shown
    assert "Change the ground" not in shown and "Change the ground" in get(clients["builder"], "house", site.house.pk)


def test_a_house_without_a_plan_says_what_is_next(cast, clients):
    shown = get(clients["builder"], "house", cast.house.pk)
    assert "drawn here once its plan is locked" in shown and "No plan revision is locked yet." in shown


def test_the_log_is_paged_latest_first(site, clients, monkeypatch):
    monkeypatch.setattr("inspections.views.house.LOG_PAGE", 2)
    site.passed(Stage.FOOTING, "stakes", *site.legs)
    shown = get(clients["inspector"], "log", site.house.pk)
    assert shown.index("Released “Stakes and setbacks”") < shown.index("Presented “Stakes and setbacks”")
    assert "Page 1 of 2" in shown and "Locked plan revision A" not in shown
    last = clients["inspector"].get(reverse("inspections:log", args=[site.house.pk]), {"page": "2"})
    assert "Locked plan revision A" in last.content.decode()


def test_legs_are_split_off_and_no_release_is_void(site, clients):
    site.passed(Stage.FOOTING, "stakes", *site.legs)
    main = site.legs_in("main")
    data = {"client_id": str(uuid.uuid4()), "legs": list(main[:1]), "name": "North wall"}
    where = reverse("inspections:sections", args=[site.house.pk])
    answers = [clients["builder"].post(where, data) for _ in range(2)]
    assert [a.status_code for a in answers] == [302, 302]
    assert PlanRevision.objects.filter(house=site.house).count() == 2
    shown = get(clients["builder"], "sections", site.house.pk)
    assert "North wall" in shown
    stakes = reverse("inspections:point", args=[site.house.pk, site.stage(Stage.FOOTING).pk, "stakes"])
    assert "Release void" not in clients["builder"].get(stakes).content.decode()


def test_a_split_that_makes_no_sense_is_told_in_a_sentence(site, clients):
    where = reverse("inspections:sections", args=[site.house.pk])
    data = {"legs": list(site.legs_in("main")), "name": "All of it"}
    answer = clients["builder"].post(where, data)
    assert answer.status_code in (409, 422) and "leave at least one" in answer.content.decode()
    assert 'value="All of it"' in answer.content.decode()
    assert clients["builder"].post(where, {"name": "Porch"}).status_code == 422
    assert PlanRevision.objects.filter(house=site.house).count() == 1


def test_a_photo_is_served_so_that_it_cannot_act(site, clients):
    presented = site.present(Stage.FOOTING, "hole", *site.legs)
    item = presented.evidence.exclude(file="").get()
    where = reverse("inspections:evidence", args=[item.pk])
    answer = clients["inspector"].get(where)
    assert answer["Content-Type"] == "image/jpeg" and answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert answer["Content-Disposition"] == f'inline; filename="evidence-{item.pk}.jpg"'
    assert "private" in answer["Cache-Control"] and answer.content.startswith(b"\xff\xd8")
    small = clients["inspector"].get(where, {"size": "small"})
    assert small.content.startswith(b"\xff\xd8") and small["Content-Type"] == "image/jpeg"
    assert clients[STRANGER].get(where).status_code == 404
