"""One house's footing, from nothing to released and poured, as three people do it: with a rejection, its correction,
and an attempt to pour while the gate is held."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from inspections.models import CorrectionClosed, SignOff, WorkDone
from inspections.process import EvidenceKind, Point
from inspections.stages import BY_KIND
from takeoff.plan import Stage
from tests.browser.helpers import PHONE, assert_accessible, assert_fits, log_in, shot
from tests.cast import make_cast
from tests.inspections.real import RealSite
from tests.inspections.world import PHOTO

pytestmark = pytest.mark.look

FOOTING = BY_KIND[Stage.FOOTING]
READINGS = {"depth": "5-0", "dowel_spacing": "16", "width": "24", "thickness": "12", "lap": "40", "cover": "3"}
PICTURE = {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": PHOTO}


@pytest.fixture
def site(transactional_db) -> RealSite:
    return RealSite(make_cast())


@pytest.fixture
def lead(site, window) -> Page:
    """The field lead's phone."""
    page = window(PHONE, touch=True)
    log_in(page, site.cast.field_lead)
    return page


@pytest.fixture
def inspector(site, window) -> Page:
    """The inspector's phone."""
    page = window(PHONE, touch=True)
    log_in(page, site.cast.inspector)
    return page


def fill(page: Page, point: Point) -> None:
    """All the evidence a point asks for, as a thumb gives it."""
    for asked in point.evidence:
        box = page.locator(f'#present [name="{asked.key}"], form [name="{asked.key}"]').first
        if not asked.required:
            continue
        if asked.kind is EvidenceKind.CHECK:
            box.check()
        elif asked.kind is EvidenceKind.PHOTO:
            box.set_input_files(PICTURE)
        elif asked.kind is EvidenceKind.MEASUREMENT:
            box.fill(READINGS[asked.key])
        else:
            box.fill("2026-0117")


def present(page: Page, point: Point) -> None:
    """From today's list to the receipt."""
    page.goto("/today/")
    page.get_by_role("link", name=re.compile(f"^Check it ?: {re.escape(point.title)}")).tap()
    expect(page.get_by_role("heading", level=1)).to_have_text(point.title)
    fill(page, point)
    page.get_by_role("button", name="Present it").tap()
    expect(page.locator(".receipt")).to_contain_text("Field lead Person")


def decide(page: Page, title: str, button: str, reason: str = "") -> None:
    """From the list of what is asked to the receipt."""
    page.goto("/")
    page.get_by_role("link", name=re.compile(f"^Look and decide ?: {re.escape(title)}")).tap()
    if reason:
        page.get_by_label("Reason").first.fill(reason)
    page.get_by_role("button", name=button, exact=True).tap()
    expect(page.locator(".receipt")).to_contain_text("Inspector Person")


def test_a_footing_from_nothing_to_poured(site, desk, lead, inspector, ears):
    ears(lead).allow("409")
    builder = desk
    log_in(builder, site.cast.builder)

    # The builder sees the house held, and opens the footing by its drawing.
    builder.goto("/")
    expect(builder.get_by_role("heading", name="Lot 12")).to_be_visible()
    expect(builder.locator(".move-held")).to_contain_text("Place footing concrete")
    builder.get_by_role("link", name="Lot 12").click()
    builder.get_by_role("link", name=re.compile("^Footing, ")).locator("text", has_text="held").click()
    expect(builder.locator(".gate-word")).to_have_text("Held")
    expect(builder.get_by_role("button", name=re.compile("^Record"))).to_have_count(0)

    # The field lead presents all that comes before the pour, from the phone.
    lead.goto("/")
    assert_fits(lead)
    before = [point for point in FOOTING.points if point.before]
    for point in before:
        present(lead, point)
    shot(lead, "journey-presented")

    # The inspector rejects the steel with a reason, and releases everything else.
    decide(inspector, "Footing forms and steel", "Reject", "Lap at the north corner is 24 in.")
    for point in before:
        if point.key not in ("footing_steel", "footing_dowels"):
            decide(inspector, point.title, "Release")
    inspector.goto("/")
    expect(inspector.locator("main")).to_contain_text("Nothing waits for you.")

    # It comes back to the field lead, who puts it right and presents it again.
    lead.goto("/")
    expect(lead.locator(".rejected")).to_contain_text("Lap at the north corner is 24 in.")
    assert_accessible(lead)
    lead.get_by_role("link", name=re.compile("^Say what was put right")).tap()
    lead.get_by_label("What was put right, and how").fill("Bars added, lap is 40 in now.")
    lead.get_by_role("button", name="It is put right").tap()
    expect(lead.locator(".receipt")).to_contain_text("Put right")
    present(lead, next(p for p in before if p.key == "footing_steel"))
    decide(inspector, "Footing forms and steel", "Release")
    assert CorrectionClosed.objects.count() == 1

    # The gate is open on the field lead's phone; then the inspector finds water and rejects the hole after all.
    lead.goto("/")
    record = lead.get_by_role("button", name="Record: footing concrete placed")
    expect(record).to_be_visible()
    stage = site.stage(Stage.FOOTING)
    lead.goto(f"/houses/{site.house.pk}/stages/{stage.pk}/")
    expect(record).to_be_visible()
    inspector.goto(f"/houses/{site.house.pk}/stages/{stage.pk}/points/hole/")
    inspector.get_by_text("Reject it after all").tap()
    inspector.get_by_label("Reason").fill("Water in the north corner.")
    inspector.get_by_role("button", name="Reject", exact=True).tap()
    expect(inspector.locator(".receipt")).to_contain_text("Rejected")

    # The old page still has its button; nothing is recorded, and every reason is said.
    record.tap()
    expect(lead.get_by_role("heading", name="Held: not recorded")).to_be_visible()
    expect(lead.locator("#gates .errors")).to_contain_text("its correction is open")
    expect(record).to_have_count(0)
    expect(lead.locator("#stage-state")).to_have_text("Rejected")
    assert not WorkDone.objects.exists()
    shot(lead, "journey-held")

    # Pumped out, presented again, released; now it is poured.
    lead.goto("/")
    lead.get_by_role("link", name=re.compile("^Say what was put right")).tap()
    lead.get_by_label("What was put right, and how").fill("Pumped dry, pump stays on.")
    lead.get_by_role("button", name="It is put right").tap()
    expect(lead.locator(".receipt")).to_be_visible()
    present(lead, next(p for p in before if p.key == "hole"))
    decide(inspector, "Hole dry, unfrozen, on undisturbed ground", "Release")
    lead.goto("/")
    record.tap()
    expect(lead.locator("#messages")).to_contain_text("Recorded: Footing concrete placed")
    assert tuple(WorkDone.objects.get().legs) == site.legs
    assert SignOff.objects.filter(decision="rejected").count() == 2

    # And the builder sees it: next is the footing top, shot again.
    builder.goto("/")
    expect(builder.locator(".house-moves")).to_contain_text("Footing top shot again after the pour")
    builder.goto(f"/houses/{site.house.pk}/log/")
    expect(builder.locator(".events")).to_contain_text("Footing concrete placed on legs")
    assert_accessible(builder)
