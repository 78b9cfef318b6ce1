"""The three first screens: each role's own, what needs the person first, and what waits for their word."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inspections.page_queries.board import board
from jobs import plans
from jobs.models import HouseMember, Role
from takeoff.plan import Stage
from tests.cast import STRANGER
from tests.factories import HouseFactory, PersonFactory
from tests.inspections.real import RealSite, document


@pytest.fixture
def site(cast) -> RealSite:
    return RealSite(cast, "saltlick-lane")


def page(client: Client, name: str, **query: object) -> str:
    return client.get(reverse(f"inspections:{name}"), query).content.decode()


# -- home ----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("part", "screen"),
    [
        ("builder", "board"),
        ("field_lead", "today"),
        ("inspector", "asked"),
        ("engineer", "asked"),
        ("surveyor", "asked"),
        (STRANGER, "board"),
    ],
)
def test_each_role_starts_on_its_own_screen(clients, part, screen):
    answer = clients[part].get(reverse("inspections:home"))
    assert answer.url == reverse(f"inspections:{screen}")


def test_somebody_without_a_house_is_told_how_to_get_to_one(db):
    client = Client()
    client.force_login(PersonFactory())
    shown = client.get(reverse("inspections:home"), follow=True).content.decode()
    assert "You belong to no house yet." in shown and reverse("jobs:firm_new") in shown
    assert "You belong to no house yet." in page(client, "today")
    assert "Nothing waits for you." in page(client, "asked")


# -- the board -----------------------------------------------------------------------------------------------
def test_the_board_draws_each_house_and_says_what_holds_it(site, clients):
    site.through(Stage.FOOTING, *site.legs_in("garage"))
    site.present(Stage.FOOTING, "footing_steel", *site.legs_in("main"))
    shown = page(clients["builder"], "board")
    assert f'id="ground-{site.house.pk}"' in shown and "main basement" in shown.lower()
    assert "Place footing concrete" in shown and "more reasons" in shown and "Next move:" in shown
    assert "“Footing forms and steel” waits for the inspector since today" in shown
    assert "Lot 99" not in shown


def test_a_strangers_board_shows_only_his_own(site, clients):
    shown = page(clients[STRANGER], "board")
    assert "Lot 99" in shown and site.house.name not in shown


def test_what_needs_the_person_comes_first(site, cast):
    HouseFactory(name="Aaa, no plan", firm=cast.firm)
    names = [row.mine.house.name for row in board(cast.builder, None)[1]]
    assert names == ["Aaa, no plan", "Lot 12"]  # a plan to walk before a house that waits for others
    site.reject(site.present(Stage.FOOTING, "footing_steel", *site.legs))
    rows = board(cast.builder, None)[1]
    assert [row.mine.house.name for row in rows] == ["Lot 12", "Aaa, no plan"]
    assert rows[0].needs.sentences == ["1 correction to close"]


def test_more_houses_than_fit_a_screen_are_listed_in_a_line_each(site, cast, clients):
    site.present(Stage.FOOTING, "footing_steel", *site.legs_in("main"))
    HouseFactory.create_batch(2, firm=cast.firm, lot="31")
    assert "at a glance" not in page(clients["builder"], "board")
    HouseFactory(firm=cast.firm, lot="32")
    glance = page(clients["builder"], "board").split("at a glance")[1].split("</table>")[0]
    assert f'href="#house-{site.house.pk}"' in glance and "32" in glance
    assert "Place footing concrete" in glance and "waits for the inspector" in glance and "no plan yet" in glance


def test_what_the_builder_may_release_is_counted_and_their_own_is_not(site, cast):
    site.present(Stage.FOOTING, "permit")
    assert board(cast.builder, None)[1][0].needs.asks == 1
    site.present(Stage.FOOTING, "permit", by=cast.builder, role=Role.BUILDER)
    assert board(cast.builder, None)[1][0].needs.asks == 0


@pytest.mark.parametrize(
    ("days", "said", "late"),
    [
        (-2, "2 days past", True),
        (-1, "1 day past", True),
        (0, "today", False),
        (1, "tomorrow", False),
        (3, "in 3 days", False),
        (4, None, False),
    ],
)
def test_planned_days_that_are_past_or_near_are_due(site, cast, days, said, late):
    stage = site.stage(Stage.FOOTING)
    stage.planned_end_date = timezone.localdate() + timedelta(days=days)
    stage.save()
    dues = board(cast.builder, None)[1][0].dues
    lacking = [due for due in dues if due.text.endswith("no weather is given, no mix is agreed")]
    dated = [(due.text.rsplit(", ", 1)[-1], due.late) for due in dues if due not in lacking]
    assert dated == ([(said, late)] if said else [])
    assert len(lacking) == (days >= 0)


def test_days_of_a_stage_that_is_done_are_no_longer_due(site, cast):
    stage = site.stage(Stage.FOOTING)
    stage.planned_start_date = stage.planned_end_date = timezone.localdate() - timedelta(days=2)
    stage.save()
    assert len(board(cast.builder, None)[1][0].dues) == 2
    site.through(Stage.FOOTING, *site.legs)
    assert board(cast.builder, None)[1][0].dues == []


def test_what_waits_long_for_an_inspector_is_late(site, cast):
    site.present(Stage.FOOTING, "footing_steel", *site.legs)
    later = timezone.now() + timedelta(days=5)
    dues = board(cast.builder, None, later)[1][0].dues
    assert [due.late for due in dues] == [True] and "for 5 days" in dues[0].text


def test_a_long_board_has_pages(cast, clients, monkeypatch):
    monkeypatch.setattr("inspections.page_queries.board.PAGE", 2)
    for number in range(3):
        HouseFactory(name=f"Extra {number}", firm=cast.firm)
    assert "Page 1 of 2" in page(clients["builder"], "board")
    assert "Page 2 of 2" in page(clients["builder"], "board", page="2")
    assert "Page 2 of 2" in page(clients["builder"], "board", page="99")


# -- today ---------------------------------------------------------------------------------------------------
def test_today_says_the_number_it_must_be_and_what_is_missing(site, clients):
    shown = page(clients["field_lead"], "today")
    assert "Footing width" in shown and "20&quot; or more" in shown
    assert "Still missing:" in shown and "Narrowest width between forms" in shown
    assert "gate-held" in shown and "Record: footing concrete placed" not in shown
    assert "A cut bank can fall without warning" in shown


def test_today_puts_what_is_to_be_put_right_first(site, clients):
    site.reject(site.present(Stage.FOOTING, "footing_steel", *site.legs), "Lap is 24 in.")
    shown = page(clients["field_lead"], "today")
    assert shown.index("Lap is 24 in.") < shown.index("Check now")


def test_today_offers_the_work_once_its_gate_is_open(site, clients):
    site.through(Stage.FOOTING, *site.legs_in("garage"), until="pour_footing")
    shown = page(clients["field_lead"], "today")
    assert shown.count("Record: footing concrete placed") == 1 and "gate-open" in shown


def test_today_shows_the_house_asked_for(site, cast, clients):
    other = HouseFactory(name="Lot 13", firm=cast.firm)
    HouseMember.objects.create(house=other, person=cast.field_lead, role=Role.FIELD_LEAD)
    client = clients["field_lead"]
    assert "<h1>Lot 12</h1>" in page(client, "today")  # the one with something to check
    assert "<h1>Lot 13</h1>" in page(client, "today", house=other.pk)
    assert "<h1>Lot 12</h1>" in page(client, "today", house=cast.strange_house.pk)
    assert "Another house" in page(client, "today")


# -- asked of me ---------------------------------------------------------------------------------------------
def test_an_inspector_sees_what_waits_with_its_evidence_and_what_came_before(site, clients):
    steel = site.present(Stage.FOOTING, "footing_steel", *site.legs)
    site.close(site.reject(steel, "Lap is 24 in."), "Bars added.")
    site.present(Stage.FOOTING, "footing_steel", *site.legs, note="Laps are 38 in now.")
    shown = page(clients["inspector"], "asked")
    assert "Footing forms and steel" in shown and "Laps are 38 in now." in shown and "off the plan" in shown
    assert "Rejected on A by Inspector Person" in shown and "Put right: “Bars added.”" in shown
    assert "?size=small" in shown and "What I signed" in shown and "Look and decide" in shown


def test_what_others_release_is_not_asked_of_the_inspector(site, clients):
    site.present(Stage.FOOTING, "footing_dowels", *site.legs)
    assert "Nothing waits for you." in page(clients["inspector"], "asked")
    assert "Dowel layout" in page(clients["engineer"], "asked")
    assert "Nothing waits for you." in page(clients["surveyor"], "asked")


def test_what_somebody_presented_themselves_waits_for_another(site, cast, clients):
    site.present(Stage.FOOTING, "permit", by=cast.builder, role=Role.BUILDER)
    shown = page(clients["builder"], "asked")
    assert "Nothing waits for you." in shown and "somebody else releases what you present" in shown
    assert "Permit number" in page(clients["inspector"], "asked")


def test_the_oldest_comes_first(site, clients):
    site.present(Stage.FOOTING, "hole", *site.legs)
    site.present(Stage.FOOTING, "electrode")
    shown = page(clients["inspector"], "asked")
    assert shown.index("Hole dry") < shown.index("Concrete-encased electrode")


def test_nobody_of_the_firm_is_asked_as_inspector(site, cast, clients):
    HouseMember.objects.create(house=site.house, person=cast.builder, role=Role.INSPECTOR)
    site.present(Stage.FOOTING, "footing_steel", *site.legs)
    assert "Nothing waits for you." in page(clients["builder"], "asked")


def test_after_a_new_revision_the_inspector_can_see_what_changed_in_the_plan(site, cast, clients):
    site.passed(Stage.FOOTING, "footing_steel", *site.legs)
    changed = document("saltlick-lane")
    changed["walks"][0]["legs"][0]["footing_top"] = "85-6"
    site.revision = plans.lock(by=cast.builder, house=site.house, document=changed)
    leg = site.revision.document["walks"][0]["legs"][0]["name"]
    site.present(Stage.FOOTING, "footing_steel", leg)
    shown = page(clients["inspector"], "asked")
    assert "the plan changed since" in shown
    assert reverse("jobs:revision_compare", args=[site.house.pk, 2, 1]) in shown


def test_a_long_list_of_what_is_asked_has_pages(site, clients, monkeypatch):
    monkeypatch.setattr("inspections.page_queries.asked.PAGE", 1)
    site.present(Stage.FOOTING, "hole", *site.legs)
    site.present(Stage.FOOTING, "electrode")
    first, second = page(clients["inspector"], "asked"), page(clients["inspector"], "asked", page=2)
    assert "Hole dry" in first and "Page 1 of 2" in first and "Concrete-encased electrode" not in first
    assert "Concrete-encased electrode" in second


def test_a_caution_of_two_sections_at_the_same_work_is_read_once(site, clients):
    shown = page(clients["field_lead"], "today", house=site.house.pk)
    assert shown.count("Place footing concrete") >= 2
    assert shown.count("Cap or bend over every bar that stands up.") == 1
