"""The page of a stage, and work tried while its gate is held or open: by page, by htmx, sent again."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.http import HttpResponse
from django.urls import reverse

from inspections.models import WorkDone
from jobs import plans
from jobs.models import Event
from takeoff.plan import Stage
from tests.inspections.real import RealSite

POUR = "pour_footing"
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def site(cast) -> RealSite:
    return RealSite(cast, "saltlick-lane")


def stage_url(site: RealSite, kind: Stage = Stage.FOOTING) -> str:
    return reverse("inspections:stage", args=[site.house.pk, site.stage(kind).pk])


def work_url(site: RealSite, operation: str = POUR, kind: Stage = Stage.FOOTING) -> str:
    return reverse("inspections:work", args=[site.house.pk, site.stage(kind).pk, operation])


def work(site: RealSite, *legs: str, **more: Any) -> dict[str, Any]:
    usual = {
        "client_id": str(uuid.uuid4()),
        "device_at": "",
        "revision": site.revision.number,
        "legs": list(legs),
        "note": "Truck is here.",
    }
    return {**usual, **more}


def text(answer: HttpResponse) -> str:
    return answer.content.decode()


def nothing_recorded() -> bool:
    return not WorkDone.objects.exists() and not Event.objects.filter(verb="do_work").exists()


# -- held --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("headers", [{}, HTMX], ids=["page", "htmx"])
def test_work_tried_while_held_is_answered_with_every_reason(site, clients, headers):
    site.reject(site.present(Stage.FOOTING, "footing_steel", *site.legs), "Lap is 24 in.")
    answer = clients["field_lead"].post(work_url(site), work(site, *site.legs), **headers)
    shown = text(answer)
    assert answer.status_code == 409 and nothing_recorded()
    assert "Held: not recorded" in shown and "Truck is here." in shown
    for point in ("Stakes and setbacks", "Hole dry", "Concrete-encased electrode", "Footing forms and steel"):
        assert point in shown
    assert "its correction is open" in shown
    assert ("<html" in shown) is not bool(headers)


def test_sent_again_while_held_still_records_nothing(site, clients):
    data = work(site, *site.legs)
    answers = [clients["builder"].post(work_url(site), data) for _ in range(3)]
    assert [a.status_code for a in answers] == [409, 409, 409] and nothing_recorded()


def test_one_leg_that_is_held_holds_all_that_are_named(site, clients):
    garage = site.legs_in("garage")
    site.through(Stage.FOOTING, *garage, until=POUR)
    answer = clients["field_lead"].post(work_url(site), work(site, *garage, site.legs_in("main")[0]))
    assert answer.status_code == 409 and nothing_recorded()


def test_a_later_stage_cannot_be_worked_around_the_first(site, clients):
    answer = clients["field_lead"].post(work_url(site, "stack_frost_wall", Stage.FROST_WALL), work(site, *site.legs))
    assert answer.status_code == 409 and nothing_recorded()


@pytest.mark.parametrize("part", ["inspector", "engineer", "surveyor"])
def test_whoever_does_not_do_the_work_cannot_record_it(site, clients, part):
    site.through(Stage.FOOTING, *site.legs, until=POUR)
    answer = clients[part].post(work_url(site), work(site, *site.legs))
    assert answer.status_code == 403 and nothing_recorded()
    assert "Only the field lead or the builder may record" in text(answer)


def test_work_seen_on_an_older_plan_that_says_the_same_is_recorded(site, clients):
    garage = site.legs_in("garage")
    site.through(Stage.FOOTING, *garage, until=POUR)
    site.revision = plans.split_section(by=site.cast.builder, house=site.house, legs=garage[:1], name="Garage front")
    assert clients["field_lead"].post(work_url(site), work(site, *garage, revision=1)).status_code == 302
    assert WorkDone.objects.get().revision == site.revision


def test_held_work_has_no_button(site, clients):
    shown = text(clients["field_lead"].get(stage_url(site)))
    assert "gate-held" in shown and "Record: footing concrete placed" not in shown


# -- open --------------------------------------------------------------------------------------------------
def test_open_work_is_recorded_once_however_often_it_is_sent(site, clients):
    garage = site.legs_in("garage")
    site.through(Stage.FOOTING, *garage, until=POUR)
    shown = text(clients["field_lead"].get(stage_url(site)))
    assert "Record: footing concrete placed" in shown and "gate-open" in shown
    data = work(site, *garage)
    answers = [clients["field_lead"].post(work_url(site), data) for _ in range(2)]
    assert [a.status_code for a in answers] == [302, 302]
    assert tuple(WorkDone.objects.get().legs) == garage
    after = text(clients["field_lead"].get(stage_url(site)))
    assert "Footing concrete placed" in after and "Truck is here." in after


def test_htmx_swaps_the_gates_and_says_so(site, clients):
    garage = site.legs_in("garage")
    site.through(Stage.FOOTING, *garage, until=POUR)
    answer = clients["field_lead"].post(work_url(site), work(site, *garage), **HTMX)
    shown = text(answer)
    assert answer.status_code == 200 and shown.lstrip().startswith('<div id="gates"')
    assert 'hx-swap-oob="true"' in shown and "Recorded: Footing concrete placed on legs" in shown


def test_from_today_it_leads_back_to_today(site, clients):
    garage = site.legs_in("garage")
    site.through(Stage.FOOTING, *garage, until=POUR)
    answer = clients["field_lead"].post(work_url(site), {**work(site, *garage), "from": "today"})
    assert answer.url == f"{reverse('inspections:today')}?house={site.house.pk}"


@pytest.mark.parametrize("legs", [[], ["No such leg"]])
def test_legs_that_are_none_are_refused_in_a_sentence(site, clients, legs):
    site.through(Stage.FOOTING, *site.legs, until=POUR)
    answer = clients["field_lead"].post(work_url(site), work(site, *legs))
    assert answer.status_code == 422 and nothing_recorded()
    assert "Tick at least one leg." in text(answer) or "is not among those" in text(answer)


def test_work_that_is_not_of_the_stage_is_not_found(site, clients):
    answer = clients["field_lead"].post(work_url(site, "stack_frost_wall"), work(site, *site.legs))
    assert answer.status_code == 404


# -- what the page shows -----------------------------------------------------------------------------------
@pytest.mark.parametrize("kind", list(Stage))
@pytest.mark.parametrize("part", ["builder", "inspector"])
def test_every_stage_has_its_page_for_everybody(site, clients, kind, part):
    shown = text(clients[part].get(stage_url(site, kind)))
    for point in ("hold point", "Numbers to meet", "Quantities", "Crew sheet", "section through leg"):
        assert point in shown


def test_a_release_that_outlived_a_revision_says_so(site, clients):
    site.passed(Stage.FOOTING, "stakes", *site.legs)
    garage = site.legs_in("garage")
    site.revision = plans.split_section(by=site.cast.builder, house=site.house, legs=garage[:1], name="Garage front")
    assert "given on A, unchanged in B" in text(clients["builder"].get(stage_url(site)))
    house = text(clients["builder"].get(reverse("inspections:house", args=[site.house.pk])))
    assert "Footing: 1 release given on A, unchanged in B" in house


def test_without_a_plan_the_page_says_so(cast, clients):
    stage = cast.house.stages.get(kind=Stage.FOOTING)
    answer = clients["builder"].get(reverse("inspections:stage", args=[cast.house.pk, stage.pk]))
    assert answer.status_code == 200 and "No leg of the plan goes through this stage." in text(answer)
    data = {"client_id": str(uuid.uuid4()), "revision": 1, "legs": ["A"]}
    where = reverse("inspections:work", args=[cast.house.pk, stage.pk, POUR])
    assert clients["builder"].post(where, data).status_code == 422 and nothing_recorded()


# -- sent again after the plan changed ---------------------------------------------------------------------
def test_what_was_recorded_is_answered_as_it_was_though_its_legs_left_the_plan(site, clients):
    """A phone that heard no answer sends again days later, when a new revision has no such legs any more."""
    garage = site.legs_in("garage")
    site.through(Stage.FOOTING, *garage, until=POUR)
    data = work(site, *garage)
    assert clients["field_lead"].post(work_url(site), data).status_code == 302
    without = {**site.revision.document}
    without["walks"] = [w for w in without["walks"] if w["name"] != "garage"]
    without["sections"] = [s for s in without["sections"] if s["key"] != "garage"]
    plans.lock(by=site.cast.builder, house=site.house, document=without)
    assert clients["field_lead"].post(work_url(site), data).status_code == 302
    assert WorkDone.objects.count() == 1
    other = {**data, "legs": list(garage[:1])}
    assert clients["field_lead"].post(work_url(site), other).status_code == 422
    assert clients["builder"].post(work_url(site), data).status_code == 422
    assert WorkDone.objects.count() == 1
