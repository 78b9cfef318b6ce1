"""The whole job in a browser: a builder at a desk, a field lead with a phone, an inspector with a phone on site and at
a desk in the office. The footing and the frost wall are worked through the pages; what follows is set up by the same
actions until the last backfill, which is worked through the pages again.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from inspections import queries, states
from inspections.models import CorrectionClosed, Presentation, SignOff, WorkDone
from inspections.process import EvidenceKind, Point
from inspections.stages import BY_KIND
from jobs.models import Role
from takeoff.drawings.tracker import PartState
from takeoff.plan import Stage
from takeoff.planfile import write_plan
from tests.browser.helpers import PHONE, assert_fits, barriers, log_in, shot
from tests.cast import Cast, make_cast
from tests.factories import PASSWORD
from tests.inspections.crew import as_the_plan_asks
from tests.inspections.real import RealSite
from tests.inspections.world import PHOTO
from tests.takeoff.plans import rectangle

PICTURE = {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": PHOTO}
STEEL = "Footing forms and steel"


class SmallHouse(RealSite):
    """The cast's house with a rectangle of 24 by 16 ft, locked by whoever walks it through the pages."""

    def __init__(self, cast: Cast) -> None:
        self.cast, self.house = cast, cast.house

    def locked(self) -> None:
        """From here on the plan is in force."""
        self.revision = self.house.revisions.get()

    def url(self, kind: Stage) -> str:
        """Address of a stage."""
        return f"/houses/{self.house.pk}/stages/{self.stage(kind).pk}/"


class Eyes:
    """Looks at every kind of page once at each width: it fits, and axe finds nothing."""

    def __init__(self) -> None:
        self.seen: set[str] = set()

    def look(self, page: Page) -> None:
        """At the page as it stands."""
        kind = f"{re.sub('[0-9]+', 'n', page.url)} {page.viewport_size['width']}"
        if kind not in self.seen:
            self.seen.add(kind)
            assert_fits(page)
            assert not barriers(page), page.url


@pytest.fixture
def site(transactional_db) -> SmallHouse:
    return SmallHouse(make_cast())


@pytest.fixture
def eyes() -> Eyes:
    return Eyes()


# -- what people do -----------------------------------------------------------------------------------------
def to(page: Page, name: str, tries: int = 60) -> None:
    """Press Tab until something with this name has the focus."""
    for _ in range(tries):
        page.keyboard.press("Tab")
        said = page.evaluate("(document.activeElement.labels?.[0] ?? document.activeElement).innerText ?? ''")
        if re.search(name, " ".join(said.split())):
            return
    raise AssertionError(f"Tab never came to “{name}” on {page.url}")


def log_in_by_keyboard(page: Page, email: str) -> None:
    """From the address bar to the first screen, with Tab and Enter."""
    page.goto("/")
    to(page, "^Email|^E-mail")
    page.keyboard.type(email)
    to(page, "^Password")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Houses")


def bring_plan(page: Page, site: SmallHouse, folder: Path, eyes: Eyes) -> None:
    """A plan file is read in, looked at, and locked."""
    file = folder / "plan.json"
    file.write_text(json.dumps(write_plan(rectangle("24-0", "16-0"))))
    page.get_by_role("link", name="Walk the plan").click()
    page.get_by_role("navigation", name="Plan").get_by_role("link", name="Files").click()
    eyes.look(page)
    page.locator('input[type="file"]').set_input_files(file)
    page.get_by_role("button", name="Look at the file").click()
    expect(page.locator(".closure-word")).to_have_text("Closed")
    eyes.look(page)
    page.get_by_role("button", name="Lock revision A").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Plan revision A")
    eyes.look(page)
    site.locked()


def show_evidence(page: Page, site: SmallHouse, kind: Stage, point: Point) -> None:
    """All that a point asks for."""
    for asked in point.evidence:
        box = page.locator(f'#point [name="{asked.key}"]').first
        if asked.kind is EvidenceKind.LEVELS:
            for level in page.locator(f'#point [name^="{asked.key}-at-"]').all():
                level.fill("86-0")
        elif not asked.required:
            continue
        elif asked.kind is EvidenceKind.CHECK:
            box.check()
        elif asked.kind is EvidenceKind.PHOTO:
            box.set_input_files(PICTURE)
        elif asked.kind is EvidenceKind.MEASUREMENT:
            box.fill(as_the_plan_asks(site.revision, kind, asked))
        else:
            box.fill("Ticket 4410")


def check_today(page: Page, site: SmallHouse, kind: Stage, eyes: Eyes) -> int:
    """The field lead presents everything on today's list of a stage; how much it was."""
    done = 0
    while True:
        page.goto("/today/")
        eyes.look(page)
        link = page.get_by_role("link", name=re.compile("^Check it"))
        if not link.count():
            return done
        href = link.first.get_attribute("href") or ""
        link.first.tap()
        page.wait_for_url(f"**{href}")
        point = BY_KIND[kind].point(href.rstrip("/").rpartition("/")[2])
        assert point
        eyes.look(page)
        show_evidence(page, site, kind, point)
        page.get_by_role("button", name="Present it").tap()
        expect(page.locator(".receipt")).to_contain_text("Presented")
        done += 1


def decide(page: Page, eyes: Eyes, but: str = "") -> int:
    """Whoever it is looks at all that is asked of them and releases it, one point excepted."""
    done = 0
    while True:
        page.goto("/asked/")
        eyes.look(page)
        link = page.get_by_role("link", name=re.compile(f"^Look and decide ?: (?!{but or '!'})"))
        if not link.count():
            return done
        link.first.click()
        page.get_by_role("button", name="Release", exact=True).click()
        expect(page.locator(".receipt")).to_contain_text("Released")
        done += 1


def reject(page: Page, title: str, reason: str) -> None:
    """From the list of what is asked; without a reason first, which is refused and says so."""
    page.goto("/asked/")
    page.get_by_role("link", name=re.compile(f"^Look and decide ?: {title}")).click()
    page.get_by_role("button", name="Reject", exact=True).click()
    expect(page.locator(".errors")).to_contain_text("Say why it is rejected")
    page.get_by_label("Reason").first.fill(reason)
    page.get_by_role("button", name="Reject", exact=True).click()
    expect(page.locator(".receipt")).to_contain_text("Rejected")


def put_right(page: Page, done: str, eyes: Eyes) -> None:
    """The field lead says what was done, with a picture."""
    page.goto("/today/")
    page.get_by_role("link", name=re.compile("^Say what was put right")).tap()
    page.get_by_label("What was put right, and how").fill(done)
    eyes.look(page)
    page.get_by_label("Photo of what was put right").set_input_files(PICTURE)
    page.get_by_role("button", name="It is put right").tap()
    expect(page.locator(".receipt")).to_contain_text("Put right")


def record(page: Page, words: str) -> None:
    """The work, from today's list."""
    page.goto("/today/")
    page.get_by_role("button", name=f"Record: {words}").tap()
    expect(page.locator("#messages")).to_contain_text(f"Recorded: {words.capitalize()}")


# -- chapters -------------------------------------------------------------------------------------------------
def footing(site: SmallHouse, lead: Page, inspector: Page, eyes: Eyes) -> None:
    """With a rejection and its correction, and a pour that is tried while held."""
    assert check_today(lead, site, Stage.FOOTING, eyes) == 7
    reject(inspector, STEEL, "Lap at the north corner is 24 in.")
    decide(inspector, eyes)
    put_right(lead, "Bars added, lap is 40 in now.", eyes)
    assert check_today(lead, site, Stage.FOOTING, eyes) == 1
    decide(inspector, eyes)
    lead.goto(site.url(Stage.FOOTING))
    eyes.look(lead)
    pour = lead.get_by_role("button", name="Record: footing concrete placed")
    expect(pour).to_be_visible()
    inspector.goto(f"{site.url(Stage.FOOTING)}points/hole/")
    inspector.get_by_text("Reject it after all").tap()
    inspector.get_by_label("Reason").fill("Water in the north corner.")
    inspector.get_by_role("button", name="Reject", exact=True).tap()
    expect(inspector.locator(".receipt")).to_contain_text("Rejected")
    pour.tap()
    expect(lead.get_by_role("heading", name="Held: not recorded")).to_be_visible()
    expect(lead.locator("#gates .errors")).to_contain_text("its correction is open")
    assert not WorkDone.objects.exists()
    assert not barriers(lead)
    assert_fits(lead)
    shot(lead, "whole-job-held")
    put_right(lead, "Pumped dry, pump stays on.", eyes)
    assert check_today(lead, site, Stage.FOOTING, eyes) == 1
    decide(inspector, eyes)
    record(lead, "footing concrete placed")
    assert check_today(lead, site, Stage.FOOTING, eyes) == 1
    assert CorrectionClosed.objects.count() == 2


def release_by_keyboard(page: Page, title: str) -> None:
    """A release without a mouse: from the list to the receipt with Tab and Enter."""
    page.goto("/")
    to(page, "^Asked of me$")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Asked of me")
    to(page, f"^Look and decide ?: {title}")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text(title)
    to(page, "^Release$")
    page.keyboard.press("Enter")
    expect(page.locator(".receipt")).to_contain_text("Released")


def frost_wall(site: SmallHouse, lead: Page, office: Page, builder: Page, eyes: Eyes) -> None:
    """The builder and the inspector each release their own, at their desks."""
    check_today(lead, site, Stage.FROST_WALL, eyes)
    assert decide(builder, eyes) == 1
    record(lead, "frost wall stacking begun")
    check_today(lead, site, Stage.FROST_WALL, eyes)
    assert decide(office, eyes) >= 2
    decide(builder, eyes)
    lead.goto(site.url(Stage.FROST_WALL))
    eyes.look(lead)
    record(lead, "frost wall poured")
    check_today(lead, site, Stage.FROST_WALL, eyes)
    builder.goto(site.url(Stage.FROST_WALL))
    eyes.look(builder)
    assert decide(builder, eyes) == 1


def what_follows(site: SmallHouse) -> None:
    """The stages between by actions, up to the last look before the last backfill."""
    for kind in (Stage.FROST_BACKFILL, Stage.FULL_WALL, Stage.WATERPROOFING):
        site.through(kind, *site.legs)
    for key in ("strength", "held_foot", "held_top"):
        site.passed(Stage.FINAL_BACKFILL, key, *site.legs)
    site.show_strength(Stage.FULL_WALL, *site.legs, psi=3100)


def final_backfill(site: SmallHouse, lead: Page, office: Page, builder: Page, eyes: Eyes) -> None:
    """The last look, the fill, the ground that falls away; then nothing is left."""
    assert check_today(lead, site, Stage.FINAL_BACKFILL, eyes) == 1
    assert decide(office, eyes) == 1
    record(lead, "full-height wall backfilled")
    assert check_today(lead, site, Stage.FINAL_BACKFILL, eyes) == 1
    assert decide(builder, eyes) == 1
    expect(builder.locator("main")).to_contain_text("Nothing waits for you.")
    lead.goto("/today/")
    expect(lead.locator("main")).to_contain_text("Nothing is left to check on this house.")
    builder.goto(f"/houses/{site.house.pk}/")
    expect(builder.locator("main")).to_contain_text("All stages are done: signed and buried.")
    eyes.look(builder)
    shot(builder, "whole-job-buried")
    builder.goto(f"/houses/{site.house.pk}/log/")
    expect(builder.locator(".events")).to_contain_text("Full-height wall backfilled on legs A, B, C and D")
    eyes.look(builder)


@pytest.mark.slow
@pytest.mark.look  # through its pages without a browser a whole house goes on both databases
def test_three_people_take_a_house_from_plan_to_buried_walls(
    site: SmallHouse, desk: Page, window: Callable[..., Page], ears, eyes: Eyes, tmp_path: Path
):
    lead, inspector, office = (
        window(PHONE, touch=True),
        window(PHONE, touch=True),
        window({"width": 1440, "height": 900}),
    )
    ears(lead).allow("409")
    ears(inspector).allow("422")
    for page, role in ((lead, Role.FIELD_LEAD), (inspector, Role.INSPECTOR), (office, Role.INSPECTOR)):
        log_in(page, site.cast.person(role.value))
    log_in_by_keyboard(desk, site.cast.builder.email)
    eyes.look(desk)
    bring_plan(desk, site, tmp_path, eyes)
    footing(site, lead, inspector, eyes)
    release_by_keyboard(desk, "Footing top shot again after the pour")
    frost_wall(site, lead, office, desk, eyes)
    what_follows(site)
    final_backfill(site, lead, office, desk, eyes)
    through = set(states.part_states(queries.ledger(site.house)).values())
    assert through == {PartState.RELEASED, PartState.BURIED}
    assert SignOff.objects.filter(decision="rejected").count() == 2
    assert not Presentation.objects.exclude(by=site.cast.field_lead).exists()
