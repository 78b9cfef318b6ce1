"""The page of a point: presented, released, rejected, put right; what is refused loses nothing and records nothing."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from inspections.models import CorrectionClosed, EvidenceItem, Presentation, SignOff
from jobs.models import HouseMember, Role
from jobs.plans import takeoff_of
from takeoff.plan import Stage
from takeoff.units import Length
from tests.inspections.real import RealSite
from tests.inspections.world import PHOTO, changed, facts


@pytest.fixture
def site(cast) -> RealSite:
    return RealSite(cast)


def url(site: RealSite, key: str, name: str = "point", kind: Stage = Stage.FOOTING) -> str:
    return reverse(f"inspections:{name}", args=[site.house.pk, site.stage(kind).pk, key])


def photo(name: str = "photo.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, PHOTO, "image/jpeg")


def hole(site: RealSite, **more: Any) -> dict[str, Any]:
    """Everything the point 'hole' asks for, as the form sends it."""
    usual = {
        "client_id": str(uuid.uuid4()),
        "device_at": "2026-11-03T14:05:00Z",
        "revision": site.revision.number,
        "legs": list(site.legs),
        "pumped_dry": "on",
        "unfrozen": "on",
        "undisturbed": "on",
        "depth": "5-0",
        "photo": photo(),
        "note": "Dry since noon.",
    }
    return {**usual, **more}


def said(site: RealSite, presentation: Presentation, decision: str, **more: Any) -> dict[str, Any]:
    usual = {
        "client_id": str(uuid.uuid4()),
        "revision": site.revision.number,
        "presentation": presentation.pk,
        "legs": list(presentation.legs),
        "decision": decision,
        "reason": "",
    }
    return {**usual, **more}


def text(answer: HttpResponse) -> str:
    return answer.content.decode()


# -- presenting ------------------------------------------------------------------------------------------
def test_a_field_lead_presents_and_gets_a_receipt(site, clients):
    answer = clients["field_lead"].post(url(site, "hole", "present"), hole(site), follow=True)
    made = Presentation.objects.get()
    assert (made.by, made.role, tuple(made.legs)) == (site.cast.field_lead, Role.FIELD_LEAD, site.legs)
    depth = made.evidence.get(key="depth")
    assert (depth.number, depth.text, depth.within) == (60.0, "5-0", True)
    assert "receipt-word" in text(answer) and "Field lead Person, field lead" in text(answer)


def test_sent_twice_counts_once_and_gets_the_same_receipt(site, clients):
    client_id = str(uuid.uuid4())
    answers = [
        clients["field_lead"].post(url(site, "hole", "present"), hole(site, client_id=client_id)) for _ in range(2)
    ]
    assert Presentation.objects.count() == 1
    assert answers[0].url == answers[1].url


def test_what_is_missing_is_said_beside_its_field_and_nothing_typed_is_lost(site, clients):
    data = hole(site, depth="five feet")
    del data["unfrozen"]
    answer = clients["field_lead"].post(url(site, "hole", "present"), data)
    shown = text(answer)
    assert answer.status_code == 422 and not Presentation.objects.exists()
    assert "“No frost or ice in the ground” is missing." in shown
    assert "“five feet” is not a length" in shown and 'value="five feet"' in shown
    assert "Dry since noon." in shown and data["client_id"] in shown
    assert "The photo must be chosen again" in shown


def test_a_picture_that_is_none_is_refused_beside_its_field(site, clients):
    bad = SimpleUploadedFile("photo.jpg", b"<html>", "image/jpeg")
    answer = clients["field_lead"].post(url(site, "hole", "present"), hole(site, photo=bad))
    assert answer.status_code == 422 and not Presentation.objects.exists()
    assert "not a picture that can be read" in text(answer) and "must be chosen again" not in text(answer)


def test_a_reading_off_the_plan_needs_a_word_why(site, clients):
    client, where = clients["field_lead"], url(site, "hole", "present")
    answer = client.post(where, hole(site, depth="24"))
    assert answer.status_code == 422 and "the plan asks at least" in text(answer)
    assert "Say here why" in text(answer)
    client.post(where, hole(site, depth="24", deviation="Rock at leg A, engineer told."))
    assert Presentation.objects.get().deviation == "Rock at leg A, engineer told."
    judged = text(clients["inspector"].get(url(site, "hole")))
    assert "off the plan" in judged and "Rock at leg A" in judged


def poured(site: RealSite) -> None:
    site.through(Stage.FOOTING, *site.legs, until="pour_footing")
    site.work(Stage.FOOTING, "pour_footing", *site.legs)


def test_levels_are_typed_leg_by_leg_in_feet_and_feed_the_course_plan(site, clients):
    poured(site)
    client, where = clients["field_lead"], url(site, "footing_top", "present")
    planned = {leg.name: leg.footing_top for leg in takeoff_of(site.revision).plan.legs()}
    first, *others = site.legs
    page = text(client.get(url(site, "footing_top")))
    assert f"planned {planned[first]}".replace("'", "&#x27;").replace('"', "&quot;") in page
    levels = {f"levels-at-{leg.lower()}": f"{planned[leg].foot:.4f}" for leg in others}
    high = planned[first] + Length.inches("0.25")
    data = {"revision": 1, "legs": list(site.legs), **levels, f"levels-at-{first.lower()}": str(high)}
    answer = client.post(where, {**data, "client_id": str(uuid.uuid4())})
    assert answer.status_code == 302, text(answer)
    kept = dict(EvidenceItem.objects.filter(kind="levels").values_list("leg", "number"))
    assert kept[first] == pytest.approx(planned[first].inch + 0.25)
    assert kept[others[0]] == pytest.approx(planned[others[0]].inch, abs=0.001)
    stage = text(client.get(reverse("inspections:stage", args=[site.house.pk, site.stage(Stage.FOOTING).pk])))
    assert f"Leg {first} poured 1/4&quot; high: rip 1/4&quot; off the foot of the first course." in stage


def test_a_level_that_is_missing_or_no_length_is_said_at_its_leg(site, clients):
    poured(site)
    first, *others = site.legs
    data = {"revision": 1, "legs": list(site.legs), f"levels-at-{first.lower()}": "high"}
    answer = clients["field_lead"].post(url(site, "footing_top", "present"), data)
    assert answer.status_code == 422 and "“high” is not a length" in text(answer)
    data[f"levels-at-{first.lower()}"] = "86-0"
    answer = clients["field_lead"].post(url(site, "footing_top", "present"), data)
    assert f"Leg {others[0]}: “Level of the footing top, at the start of the leg” is missing." in text(answer)


def test_what_waits_can_be_presented_anew_with_other_evidence(site, clients):
    client = clients["field_lead"]
    client.post(url(site, "hole", "present"), hole(site, depth="4-6"))
    assert "Present it again in place of what waits" in text(client.get(url(site, "hole")))
    assert client.post(url(site, "hole", "present"), hole(site, depth="5-0")).status_code == 302
    older, newer = Presentation.objects.order_by("pk")
    answer = clients["inspector"].post(url(site, "hole", "sign"), said(site, older, "released"))
    assert answer.status_code == 409 and "was presented again" in text(answer) and not SignOff.objects.exists()
    assert clients["inspector"].post(url(site, "hole", "sign"), said(site, newer, "released")).status_code == 302


def test_who_may_not_present_is_told_who_may(site, clients):
    page = text(clients["inspector"].get(url(site, "hole")))
    assert "The field lead or the builder presents it." in page and "present-legs" not in page
    answer = clients["inspector"].post(url(site, "hole", "present"), hole(site))
    assert answer.status_code == 403 and not Presentation.objects.exists()


def test_a_point_after_the_work_is_not_offered_before_it(site, clients):
    page = text(clients["field_lead"].get(url(site, "footing_top")))
    assert "It is looked at after the work." in page and "Present it" not in page


# -- releasing and rejecting --------------------------------------------------------------------------------
def test_an_inspector_releases_some_legs_and_the_rest_still_waits(site, clients):
    presented = site.present(Stage.FOOTING, "footing_steel", *site.legs)
    answer = clients["inspector"].post(
        url(site, "footing_steel", "sign"), said(site, presented, "released", legs=list(site.legs[:2])), follow=True
    )
    signed = SignOff.objects.get()
    assert signed.decision == "released" and tuple(signed.legs) == site.legs[:2]
    assert "Inspector Person, inspector" in text(answer) and "receipt-word" in text(answer)
    assert "Release or reject" in text(answer)


def test_a_rejection_says_why_or_is_not_recorded(site, clients):
    presented = site.present(Stage.FOOTING, "footing_steel", *site.legs)
    where = url(site, "footing_steel", "sign")
    answer = clients["inspector"].post(where, said(site, presented, "rejected"))
    assert answer.status_code == 422 and "Say why it is rejected" in text(answer)
    assert not SignOff.objects.exists()
    clients["inspector"].post(where, said(site, presented, "rejected", reason="Lap is 24 in."))
    assert SignOff.objects.get().reason == "Lap is 24 in."


def test_a_sign_off_sent_twice_counts_once(site, clients):
    presented = site.present(Stage.FOOTING, "footing_steel", *site.legs)
    data = said(site, presented, "released")
    answers = [clients["inspector"].post(url(site, "footing_steel", "sign"), data) for _ in range(2)]
    assert SignOff.objects.count() == 1
    assert [a.status_code for a in answers] == [302, 302] and answers[0].url == answers[1].url


def test_nobody_releases_what_they_presented(site, clients):
    HouseMember.objects.create(house=site.house, person=site.cast.inspector, role=Role.FIELD_LEAD)
    presented = site.present(Stage.FOOTING, "footing_steel", *site.legs, by=site.cast.inspector)
    client = clients["inspector"]
    page = text(client.get(url(site, "footing_steel")))
    assert "You presented it yourself" in page and 'value="released"' not in page and 'value="rejected"' in page
    answer = client.post(url(site, "footing_steel", "sign"), said(site, presented, "released"))
    assert answer.status_code == 403 and not SignOff.objects.exists()


def test_who_has_no_say_is_offered_none(site, clients):
    presented = site.present(Stage.FOOTING, "footing_steel", *site.legs)
    page = text(clients["field_lead"].get(url(site, "footing_steel")))
    assert "The inspector releases or rejects it." in page and 'name="decision"' not in page
    answer = clients["field_lead"].post(url(site, "footing_steel", "sign"), said(site, presented, "released"))
    assert answer.status_code == 403 and not SignOff.objects.exists()


def test_an_older_plan_is_said_and_the_reason_is_kept(site, clients):
    presented = site.present(Stage.FOOTING, "footing_steel", *site.legs)
    site.lock(changed(facts(), "A"))
    data = said(site, presented, "rejected", reason="Lap is 24 in.", revision=1)
    answer = clients["inspector"].post(url(site, "footing_steel", "sign"), data)
    assert answer.status_code in (409, 422) and not SignOff.objects.exists()
    assert "Lap is 24 in." in text(answer)


def test_a_presentation_of_another_house_is_not_found(site, cast, clients):
    presented = site.present(Stage.FOOTING, "footing_steel", *site.legs)
    other = cast.strange_house.stages.get(kind=Stage.FOOTING)
    where = reverse("inspections:sign", args=[cast.strange_house.pk, other.pk, "footing_steel"])
    assert clients["inspector"].post(where, said(site, presented, "released")).status_code == 404
    assert clients["stranger"].post(where, said(site, presented, "released")).status_code in (403, 404)
    assert not SignOff.objects.exists()


# -- putting right ------------------------------------------------------------------------------------------
def test_a_rejection_is_put_right_and_presented_again(site, clients):
    rejected = site.reject(site.present(Stage.FOOTING, "footing_steel", *site.legs), "Lap is 24 in.")
    client = clients["field_lead"]
    page = text(client.get(url(site, "footing_steel")))
    assert "To be put right" in page and "Lap is 24 in." in page and "Present it" not in page
    data = {
        "client_id": str(uuid.uuid4()),
        "sign_off": rejected.pk,
        "legs": list(site.legs),
        "done": "Bars added, lap now 38 in.",
        "photo": photo(),
    }
    answer = client.post(url(site, "footing_steel", "close_correction"), data, follow=True)
    assert CorrectionClosed.objects.get().done == "Bars added, lap now 38 in."
    assert "receipt-word" in text(answer) and "Present it" in text(answer)
    judged = text(clients["inspector"].get(reverse("inspections:asked")))
    assert "Nothing waits for you." in judged


def test_a_correction_without_a_word_is_not_recorded(site, clients):
    rejected = site.reject(site.present(Stage.FOOTING, "footing_steel", *site.legs))
    data = {"client_id": str(uuid.uuid4()), "sign_off": rejected.pk, "legs": list(site.legs), "done": " "}
    answer = clients["field_lead"].post(url(site, "footing_steel", "close_correction"), data)
    assert answer.status_code == 422 and "Say what was done" in text(answer)
    assert not CorrectionClosed.objects.exists()


# -- htmx, and addresses -----------------------------------------------------------------------------------
def test_htmx_gets_the_point_alone_with_its_receipt(site, clients):
    htmx = {"HTTP_HX_REQUEST": "true"}
    answer = clients["field_lead"].post(url(site, "hole", "present"), hole(site), **htmx)
    assert answer.status_code == 200 and text(answer).lstrip().startswith('<div id="point"')
    assert "receipt-word" in text(answer)
    wrong = clients["field_lead"].post(url(site, "hole", "present"), hole(site, depth=""), **htmx)
    assert wrong.status_code == 422 and "<html" not in text(wrong)


@pytest.mark.parametrize("key", ["no_such_point", "frost_steel"])
def test_a_point_that_is_not_of_the_stage_is_not_found(site, clients, key):
    assert clients["builder"].get(url(site, key)).status_code == 404


def test_a_receipt_is_only_for_whoever_made_the_record(site, clients: dict[str, Client]):
    presented = site.present(Stage.FOOTING, "hole", *site.legs)
    where = f"{url(site, 'hole')}?receipt=presented-{presented.pk}"
    assert "receipt-word" in text(clients["field_lead"].get(where))
    assert "receipt-word" not in text(clients["inspector"].get(where))
    assert "receipt-word" not in text(clients["field_lead"].get(f"{url(site, 'hole')}?receipt=nothing-1"))
