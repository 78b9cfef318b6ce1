"""The page of a pour: a truck from its ticket until it is empty, the numbers of the pour, and who may write what."""

from __future__ import annotations

import html
import json
import re
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inspections.pours import actions
from inspections.pours.models import (
    AlignmentReading,
    CylinderBreak,
    LevelReading,
    MixAgreed,
    TemperatureReading,
    TruckLoad,
)
from inspections.pours.theory import Theory, of_pour
from jobs import plans
from jobs.frozen import frozen_from_json
from jobs.models import Role
from takeoff.plan import Stage
from takeoff.planfile import read_plan
from takeoff.units import Length, format_length
from tests.inspections.real import RealSite, document

ZONE = ZoneInfo("America/Chicago")


@pytest.fixture
def site(cast) -> RealSite:
    """Kettle Road: four legs, one section, 29.6 yd3 of full-height wall."""
    return RealSite(cast, "kettle-road")


def page_url(site: RealSite, kind: Stage = Stage.FULL_WALL) -> str:
    return reverse("inspections:pour", args=[site.house.pk, site.stage(kind).pk])


def send(client: Client, site: RealSite, record: str, kind: Stage = Stage.FULL_WALL, **said: Any) -> Any:
    url = reverse("inspections:pour_write", args=[site.house.pk, site.stage(kind).pk, record])
    usual = {"revision": site.revision.number, "leg": site.legs[0], "day": f"{today():%Y-%m-%d}"}
    return client.post(url, {**usual, **said}, follow=True)


def today() -> datetime:
    return timezone.now().astimezone(ZONE)


def ago(minutes: float) -> str:
    return f"{today() - timedelta(minutes=minutes):%H:%M}"


def agree(client: Client, site: RealSite, **said: Any) -> Any:
    usual = {
        "slump_in": "6", "approved_by": "Edda Marchlow, PE", "least_f": "55", "most_f": "75", "limit_min": "90",
        "legs": list(site.legs),
    }  # fmt: skip
    return send(client, site, "mix", **{**usual, **said})


def truck(client: Client, site: RealSite, **said: Any) -> Any:
    day = today() - timedelta(minutes=50)
    usual = {
        "ticket": "20417", "yd3": "9", "batched": ago(50), "arrived": ago(20), "concrete_f": "62", "slump_in": "6",
        "day": f"{day:%Y-%m-%d}",
    }  # fmt: skip
    return send(client, site, "truck", **{**usual, **said})


def text(answer: Any) -> str:
    return html.unescape(" ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split()))


# -- the truck's way -------------------------------------------------------------------------------------
def theory_of(site: RealSite) -> Theory:
    plan, frozen = read_plan(site.revision.document).plan, frozen_from_json(site.revision.frozen)
    return of_pour(plan, frozen, Stage.FULL_WALL, site.legs, None, [])


def test_a_truck_goes_from_its_ticket_to_empty_and_the_level_rises_by_the_fill_curve_of_these_walls(site, clients):
    lead = clients["field_lead"]
    agree(clients["builder"], site)
    answer = truck(lead, site)
    assert answer.status_code == 200 and re.search(r"Accept; (39|40) min left to discharge\.", text(answer))
    assert "Held Pour the full-height wall" in text(answer)
    first = TruckLoad.objects.get()
    kept = {
        "ticket": "20417", "yd3": "9", "batched": ago(50), "arrived": ago(20), "concrete_f": "62", "replaces": first.pk,
        "day": f"{first.batched.astimezone(ZONE):%Y-%m-%d}", "decision": "accepted", "started": ago(15),
    }  # fmt: skip
    send(lead, site, "truck", **kept)
    second = TruckLoad.objects.get(replaces=first)
    answer = send(lead, site, "truck", **{**kept, "replaces": second.pk, "ended": ago(1), "water_gal": "2"})
    assert answer.status_code == 422 and "Say who had the water added." in text(answer)
    watered = {**kept, "replaces": second.pk, "ended": ago(1), "water_gal": "2", "water_by": "Maren"}
    answer = send(lead, site, "truck", **watered)
    assert TruckLoad.objects.get(replaced_by=None).water_gal == 2.0
    # 9 yd3 on 29.6175 yd3: knots (1080, 0.18544) and (1128, 13.74923) of the fill curve.
    level = 1080 + 48 * (9 - 0.18544238683127573) / (13.74922839506173 - 0.18544238683127573)
    assert format_length(Length.from_inches(level), "ft-in", 1) in text(answer)
    data = json.loads(re.search(r'id="pour-data"[^>]*>(.*?)</script>', answer.content.decode())[1])  # type: ignore[index]
    assert data["knots"][-1][1] == pytest.approx(29.6175, abs=1e-3) and len(data["loads"]) == 1
    assert "20.6 yd³" in text(answer) and "Held, and concrete is placed:" in text(answer)


def pour(site: RealSite, *loads: tuple[str, float, float, float], **more: Any) -> None:
    """Trucks already taken: ticket, yd3, minutes ago that placing began and that it was empty."""
    for ticket, yd3, began, empty in loads:
        said = {
            "ticket": ticket, "yd3": yd3, "batched": since(began + 30), "arrived": since(began + 5),
            "started": since(began), "ended": since(empty) if empty >= 0 else None, "concrete_f": 62.0,
            "decision": "accepted", **more,
        }  # fmt: skip
        actions.log(
            by=site.cast.field_lead, role=Role.FIELD_LEAD, kind="truck", house=site.house,
            stage=site.stage(Stage.FULL_WALL), legs=site.legs, revision=site.revision.number, said=said,
        )  # fmt: skip


def since(minutes: float) -> datetime:
    return timezone.now() - timedelta(minutes=minutes)


def read_level(client: Client, site: RealSite, leg: str, down: str, minutes: float, **said: Any) -> Any:
    return send(client, site, "level", on_leg=leg, down_in=down, taken=ago(minutes), **said)


# -- levels read on the wall -----------------------------------------------------------------------------
def test_levels_read_on_every_leg_are_held_against_what_was_placed(site, clients):
    """9 yd3 stand, read to a tenth of an inch; 10 were placed: one yard is looked for."""
    agree(clients["builder"], site)
    pour(site, ("1", 10.0, 50.0, 20.0))
    level = 1080 + 48 * (9 - 0.18544238683127573) / (13.74922839506173 - 0.18544238683127573)
    tops = {curve.leg: curve.top_in for curve in theory_of(site).curves}
    down = {leg: f"{top - level:.1f}" for leg, top in tops.items()}
    one = text(read_level(clients["field_lead"], site, "South", down["South"], 15))
    assert "This does not count yet: legs East, North and West not read in that round" in one
    assert "19.6 yd³ 10.0 placed of 29.6 drawn" in one  # what is not on one leg may lie on another
    for leg in site.legs[1:]:
        answer = read_level(clients["field_lead"], site, leg, down[leg], 14)
    assert "1.0 yd³ more placed than stands in the wall: look for a bulge, a leak, a blow-out." in text(answer)
    assert "10.0 yd³ placed, 9.0 yd³ stand in the wall" in text(answer)
    assert "What is called counts on 10% more than drawn: first find where the rest went." in text(answer)
    assert LevelReading.objects.count() == 4 and f"{theory_of(site).yd3 - 9:.1f} yd³" in text(answer)


def test_a_leg_that_rose_too_fast_is_told_how_long_to_wait(site, clients):
    agree(clients["builder"], site)
    pour(site, ("1", 9.0, 50.0, 20.0))
    read_level(clients["field_lead"], site, "East", "8'", 40)
    answer = read_level(clients["field_lead"], site, "East", "5-6", 30)
    assert re.search(r"Leg East rose 2'-6\" at 15\.0 ft/h; at most \d\.\d\. Place nothing more there for", text(answer))


def test_a_reading_deeper_than_the_wall_is_refused_and_keeps_what_was_typed(site, clients):
    answer = read_level(clients["field_lead"], site, "East", "11'-2", 3)
    assert answer.status_code == 422 and "is deeper than the wall of leg East, which is" in text(answer)
    assert "11&#x27;-2" in answer.content.decode() and not LevelReading.objects.exists()
    answer = read_level(clients["field_lead"], site, "East", "-3", 3)
    assert answer.status_code == 422 and "0 where it is at the top" in text(answer)


def test_a_level_is_corrected_and_the_corrected_one_counts(site, clients):
    pour(site, ("1", 9.0, 50.0, 20.0))
    read_level(clients["field_lead"], site, "East", "5'", 15)
    first = LevelReading.objects.get()
    page = clients["field_lead"].get(f"{page_url(site)}?leg=East&correct=level&record={first.pk}")
    assert f'name="replaces" value="{first.pk}"' in page.content.decode()
    answer = read_level(clients["field_lead"], site, "East", "6'", 15, replaces=first.pk)
    assert "Levels read: 1" in text(answer) and "6'-0\" down" in text(answer)


def test_the_script_gets_the_same_plain_numbers(site, clients):
    pour(site, ("1", 9.0, 50.0, 20.0))
    answer = read_level(clients["field_lead"], site, "East", "5'", 15)
    data = json.loads(re.search(r'id="pour-data"[^>]*>(.*?)</script>', answer.content.decode())[1])  # type: ignore[index]
    assert sum(leg["knots"][-1][1] for leg in data["legs"]) == pytest.approx(data["yd3"])
    assert data["levels"][0]["down_in"] == 60 and data["cold_joint_min"] == 60 and data["call"]["least_yd3"] > 0


# -- water ---------------------------------------------------------------------------------------------------
def test_water_written_down_after_placing_began_is_told(site, clients):
    pour(site, ("1", 9.0, 20.0, -1))
    load = TruckLoad.objects.get()
    kept = {
        "ticket": "1", "yd3": "9", "batched": ago(50), "arrived": ago(25), "started": ago(20), "concrete_f": "62",
        "replaces": load.pk, "day": f"{load.batched.astimezone(ZONE):%Y-%m-%d}", "decision": "accepted",
    }  # fmt: skip
    added = {"water_gal": "3", "water_by": "Tobias", "water_allowed_gal": "5", "slump_in": "6", "revolutions": "310"}
    told = text(send(clients["field_lead"], site, "truck", **kept, **added))
    assert "Water was written down after placing began" in told and "310 turns of the drum, over 300" in told
    assert "Measure the slump again" not in told and "The ticket allows 5 gal on site." in told


# -- a truck that goes back --------------------------------------------------------------------------------
def test_a_truck_sent_back_with_the_wall_part_full_says_what_to_do_until_the_next_is_placed(site, clients):
    lead = clients["field_lead"]
    agree(clients["builder"], site)
    pour(site, ("1", 9.0, 50.0, 20.0))
    assert "went back and the wall is part full" not in text(lead.get(page_url(site)))
    pour(site, ("2", 9.0, 3.0, -1), decision="rejected", reason="44 °F.", started=None)
    told = text(lead.get(page_url(site)))
    assert "Truck 2 went back and the wall is part full. 44 °F." in told
    assert re.search(r"until \d+:\d\d [ap]m \( (39|40) min \)", told) and "55 to 75 °F" in told
    assert "Write down where it stopped" in told and "set dowels in the fresh concrete" in told
    for leg in site.legs:
        answer = read_level(lead, site, leg, "5'", 0)
    assert "Where it stopped is written down on every leg." in text(answer)
    pour(site, ("3", 9.0, 0.0, -1))
    assert "part full" not in text(lead.get(page_url(site)))


def test_a_cold_truck_is_told_to_go_and_sent_back_with_a_reason(site, clients):
    agree(clients["builder"], site)
    assert "Too cold: 48 °F, at least 55 °F was agreed." in text(truck(clients["field_lead"], site, concrete_f="48"))
    load = TruckLoad.objects.get()
    kept = {
        "ticket": "20417", "yd3": "9", "batched": ago(50), "arrived": ago(20), "replaces": load.pk, "started": ago(1),
        "day": f"{load.batched.astimezone(ZONE):%Y-%m-%d}", "decision": "rejected",
    }  # fmt: skip
    answer = send(clients["field_lead"], site, "truck", **kept)
    assert answer.status_code == 422 and "Say why the truck is sent back." in text(answer)
    answer = send(clients["field_lead"], site, "truck", **kept, reason="48 F on the thermometer.")
    latest = TruckLoad.objects.get(replaced_by=None)
    assert latest.decision == "rejected" and latest.started is None and "Sent back" in text(answer)
    assert "No concrete is placed yet" in text(answer)


def test_a_time_before_the_one_before_it_is_one_clear_sentence(site, clients):
    answer = truck(clients["field_lead"], site, arrived=ago(60))
    assert answer.status_code == 422 and not TruckLoad.objects.exists()
    assert text(answer).count("is before “Batched”") == 2  # above the form and beside the field


def test_a_pour_runs_past_midnight(site, clients):
    yesterday = today() - timedelta(days=1)
    answer = truck(
        clients["field_lead"], site, batched="23:40", arrived="00:05", day=f"{yesterday - timedelta(days=1):%Y-%m-%d}"
    )
    load = TruckLoad.objects.get()
    assert answer.status_code == 200 and load.arrived - load.batched == timedelta(minutes=25)


def test_the_same_ticket_is_written_down_once_and_the_same_post_counts_once(site, clients):
    client_id = "3c7a7e5a-58a3-4a61-8f0a-1f4c6a9b1f77"
    for _ in range(2):
        assert truck(clients["field_lead"], site, client_id=client_id).status_code == 200
    answer = truck(clients["builder"], site)
    assert answer.status_code == 422 and "Ticket 20417 is written down already" in text(answer)
    assert TruckLoad.objects.count() == 1


def test_a_correction_names_the_earlier_record_and_two_of_the_same_one_do_not_stand(site, clients):
    truck(clients["field_lead"], site)
    first = TruckLoad.objects.get()
    assert truck(clients["field_lead"], site, yd3="8.5", replaces=first.pk, correct="yes").status_code == 200
    answer = truck(clients["builder"], site, yd3="8", replaces=first.pk, correct="yes")
    assert answer.status_code == 409 and "written down again meanwhile" in text(answer)
    assert TruckLoad.objects.get(replaced_by=None).yd3 == 8.5 and TruckLoad.objects.count() == 2


# -- what is said of the pour ------------------------------------------------------------------------------
def test_without_a_slump_no_pace_is_given_and_it_says_why(site, clients):
    plain = document("kettle-road")
    plain["spec"]["concrete"] = {k: v for k, v in plain["spec"].get("concrete", {}).items() if "slump" not in k}
    site.revision = plans.lock(by=site.cast.builder, house=site.house, document=plain)
    told = text(clients["field_lead"].get(page_url(site)))
    assert "No slump is given, nor who approved it" in told and "ft/h set by" not in told
    agree(clients["engineer"], site)
    told = text(clients["field_lead"].get(page_url(site)))
    assert "6 in, approved by Edda Marchlow, PE" in told and "ft/h" in told and "No pace is given" not in told


def test_cold_concrete_that_was_taken_slows_the_pour(site, clients):
    plan, frozen = read_plan(site.revision.document).plan, frozen_from_json(site.revision.frozen)
    mix = MixAgreed(slump_in=6.0, approved_by="E", least_f=55.0, most_f=75.0)
    cold = [TruckLoad(decision="accepted", concrete_f=45.0)]
    warm = of_pour(plan, frozen, Stage.FULL_WALL, site.legs, mix, [])
    slow = of_pour(plan, frozen, Stage.FULL_WALL, site.legs, mix, cold)
    assert slow.limit_ft_h / warm.limit_ft_h == pytest.approx(45 / 55)  # p = 150 + 9000 R/T: R goes with T


def test_the_footing_has_yards_and_no_level(site, clients):
    answer = clients["field_lead"].get(page_url(site, Stage.FOOTING))
    assert "6.9 yd³ are drawn" in text(answer) and "Level reached" not in text(answer)


def test_legs_agreed_apart_are_pours_of_their_own_until_a_truck_came_for_them(site, clients):
    agree(clients["builder"], site, legs=["South", "East"])
    assert clients["field_lead"].get(page_url(site)).content.decode().count("?leg=") >= 2
    truck(clients["field_lead"], site)
    assert TruckLoad.objects.get().legs == ["South", "East"]
    answer = agree(clients["builder"], site, legs=["South"])
    assert answer.status_code == 409 and "came for legs South and East together" in text(answer)


def test_a_stage_that_is_not_poured_has_no_such_page(site, clients):
    assert clients["builder"].get(page_url(site, Stage.WATERPROOFING)).status_code == 404


# -- after the pour ------------------------------------------------------------------------------------------
def test_a_leg_out_of_plumb_is_told_against_the_published_tolerance(site, clients):
    answer = send(
        clients["field_lead"], site, "alignment", on_leg="East", plumb_in="1 1/4", line_in="-1/8", taken=ago(1)
    )
    assert AlignmentReading.objects.get().legs == ["East"]
    assert 'Plumb +1 1/4"; allowed -1" to +1": outside. Record it and ask the engineer.' in text(answer)
    assert 'Line -1/8"; allowed -1" to +1": good.' in text(answer)


def test_forms_that_opened_are_written_down_with_place_yards_and_cause(site, clients):
    pour(site, ("1", 9.0, 50.0, 20.0))
    assert "If the forms open (blow-out)" in text(clients["field_lead"].get(page_url(site)))
    answer = send(clients["field_lead"], site, "moment", what="opened", when=ago(2))
    assert answer.status_code == 422 and "about how many yards were lost" in text(answer)
    said = "East, under the second window: 0.4 yd3, a seam."
    answer = send(clients["field_lead"], site, "moment", what="opened", when=ago(2), note=said)
    assert said in text(answer) and "Forms opened (blow-out)" in text(answer)


def test_freezing_concrete_is_told_and_freezing_air_is_not(site, clients):
    answer = send(clients["field_lead"], site, "temperature", place="air", value_f="19", taken=ago(2))
    assert "Freezing: protect it now" not in text(answer)
    answer = send(clients["field_lead"], site, "temperature", place="north_corner", value_f="31", taken=ago(1))
    assert "Freezing: protect it now" in text(answer) and TemperatureReading.objects.count() == 2


def test_a_cylinder_stands_beside_the_strength_that_is_needed(site, clients):
    cast, broken = today() - timedelta(days=7), today() - timedelta(hours=1)
    said = {"specimen": "1A", "psi": "2640", "cured": "field"}
    said |= {"cast": f"{cast:%Y-%m-%dT%H:%M}", "broken": f"{broken:%Y-%m-%dT%H:%M}"}
    answer = send(clients["engineer"], site, "cylinder", **said)
    assert CylinderBreak.objects.get().psi == 2640
    assert "2,640 psi at 7 days: 1A, cured beside the wall" in text(answer)
    assert "filled before the slab is in: 1,400 psi needed." in text(answer)


# -- who -------------------------------------------------------------------------------------------------------
LOG, VOUCH = {"builder", "field_lead"}, {"builder", "engineer"}


@pytest.mark.parametrize(
    ("kind", "writers"),
    [
        ("truck", LOG),
        ("level", LOG),
        ("temperature", LOG),
        ("alignment", LOG),
        ("moment", LOG),
        ("mix", VOUCH),
        ("cylinder", VOUCH),
    ],
)
def test_who_may_write_what(kind, writers, site, clients):
    for part in ("builder", "field_lead", "inspector", "engineer", "surveyor"):
        assert send(clients[part], site, kind).status_code == (422 if part in writers else 403), part
    assert send(clients["stranger"], site, kind).status_code == 404


@pytest.mark.parametrize("part", ["inspector", "surveyor"])
def test_who_only_reads_gets_no_form(part, site, clients):
    assert b"data-unsaved" not in clients[part].get(page_url(site)).content
