"""A person walks an L-shaped house: sees it miss its start, mends it, gives it a window, locks it."""

from __future__ import annotations

import json
import re

import pytest
from django.conf import settings
from django.urls import reverse
from playwright.sync_api import Page, expect

from jobs import plans
from jobs.models import PlanDraft, PlanRevision
from tests.browser.helpers import PHONE, assert_accessible, assert_fits, log_in, shot
from tests.cast import Cast, make_cast

#: Name, length and turn; C is a foot too long at first.
WALK = (
    ("A", "40-0", "left 90"),
    ("B", "16-0", "left 90"),
    ("C", "17-0", "right 90"),
    ("D", "12-0", "left 90"),
    ("E", "24-0", "left 90"),
    ("F", "28-0", "left 90"),
)
LEVELS = {
    "footing_top": "86-0",
    "frost_top": "none",
    "wall_top": "95-4",
    "grade_outside": "94-0",
    "grade_inside": "86-0",
}


@pytest.fixture(params=["phone", "desk"])
def page(request: pytest.FixtureRequest) -> Page:
    """The same journey in a gloved hand and at a desk."""
    return request.getfixturevalue(request.param)


def field(page: Page, path: str):
    """A field by its address in the document."""
    return page.locator(f'[name="{path}"]')


@pytest.mark.look
def test_an_l_shaped_house_is_walked_mended_and_locked(page: Page):
    cast = make_cast()
    log_in(page, cast.builder)
    page.goto(reverse("jobs:plan_edit", args=[cast.house.pk]))
    _head(page)
    for number, (_, length, turn) in enumerate(WALK):
        _leg(page, number, length, turn)
    expect(page.locator(".closure")).to_contain_text("1'-0\"")
    expect(page.locator(".closure-word")).to_have_text("Open")
    shot(page, f"plan-open-{page.viewport_size['width']}")

    page.locator("#at-walks-0-legs-2 > summary").click()
    field(page, "walks.0.legs.2.length").fill("16-0")
    expect(page.locator(".closure-word")).to_have_text("Closed")
    _window(page)
    _stays_after_reload(page, cast)
    assert_fits(page)
    assert_accessible(page)
    shot(page, f"plan-closed-{page.viewport_size['width']}")
    _lock(page, cast)


def _head(page: Page) -> None:
    field(page, "drawing").fill("S-2 rev A")
    field(page, "dimensions_to").select_option("outside_of_foam")
    for name, level in LEVELS.items():
        field(page, f"leg_defaults.{name}").fill(level)


def _leg(page: Page, number: int, length: str, turn: str) -> None:
    if number:
        page.get_by_role("button", name="Add a leg to Ring house").click()
    leg = page.locator(f"#at-walks-0-legs-{number}")
    expect(leg).to_have_attribute("open", "")
    if number:
        expect(field(page, f"walks.0.legs.{number}.length")).to_be_focused()
    field(page, f"walks.0.legs.{number}.length").fill(length)
    leg.get_by_text(turn, exact=True).click()
    expect(leg.locator("summary").first).to_contain_text(turn)


def _window(page: Page) -> None:
    leg = page.locator("#at-walks-0-legs-2")
    leg.get_by_role("button", name="Add a window or door").click()
    at = "walks.0.legs.2.openings.0"
    expect(field(page, f"{at}.width")).to_be_focused()
    field(page, f"{at}.width").fill("3-14")
    expect(page.locator(f"#{'at-walks-0-legs-2-openings-0-width'}-error")).to_contain_text("12 in or more")
    expect(field(page, f"{at}.width")).to_have_value("3-14")
    for name, text in {"width": "3-0", "height": "4-0", "sill": "90-0", "offset": "6-0"}.items():
        field(page, f"{at}.{name}").fill(text)
    expect(page.locator("#at-walks-0-legs-2-openings-0-width-error")).to_be_empty()
    expect(leg.locator("summary").first).to_contain_text("1 opening")
    expect(page.locator("#wrong")).to_have_count(0)


def _stays_after_reload(page: Page, cast: Cast) -> None:
    expect(page.locator("#plan-told")).to_contain_text("Kept as typed")
    page.reload()
    expect(field(page, "walks.0.legs.2.openings.0.sill")).to_have_value("90-0")
    assert PlanDraft.objects.get(house=cast.house).document["walks"][0]["legs"][2]["length"] == "16-0"


def _lock(page: Page, cast: Cast) -> None:
    field(page, "note").fill("First issue")
    page.get_by_role("button", name="Lock revision A").click()
    expect(page).to_have_url(re.compile(r"/revisions/1/$"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Plan revision A")
    assert PlanRevision.objects.get(house=cast.house).note == "First issue"
    assert_fits(page)
    assert_accessible(page)
    shot(page, f"revision-{page.viewport_size['width']}")
    page.get_by_role("link", name=re.compile(r"^C\s*: elevation")).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Leg C")
    assert_fits(page)
    assert_accessible(page)


def test_two_people_on_one_plan_lose_nothing(window, ears, desk: Page):
    cast = make_cast()
    other = window(PHONE, touch=True)
    ears(other).allow("409")  # the browser tells of every answer that is a refusal
    url = reverse("jobs:plan_edit", args=[cast.house.pk])
    log_in(desk, cast.builder)
    log_in(other, cast.field_lead)
    desk.goto(url)
    other.goto(url)
    field(desk, "walks.0.legs.0.length").fill("40-0")
    expect(desk.locator("#plan-told")).to_contain_text("Kept as typed")
    field(other, "walks.0.legs.0.length").fill("41-0")
    expect(other.get_by_role("heading", name="Somebody was quicker")).to_be_visible()
    expect(other.locator("#plan-told")).to_contain_text("Bodil Builder")
    expect(other.locator("#plan-told tbody")).to_contain_text("40'-0\"")
    assert_accessible(other)
    shot(other, "plan-stale")
    other.get_by_role("button", name="Keep mine").click()
    expect(other.get_by_role("heading", name="Set aside")).to_be_visible()
    draft = PlanDraft.objects.get(house=cast.house).document
    assert draft["walks"][0]["legs"][0]["length"] == "41-0"
    assert draft["_set_aside"][0]["document"]["walks"][0]["legs"][0]["length"] == "40-0"
    field(other, "walks.0.legs.0.length").fill("41-6")
    expect(other.locator("#plan-told")).to_contain_text("Kept as typed")


@pytest.mark.look
def test_a_leg_taken_out_is_put_back(desk: Page):
    cast = make_cast()
    log_in(desk, cast.builder)
    desk.goto(reverse("jobs:plan_edit", args=[cast.house.pk]))
    field(desk, "walks.0.legs.0.length").fill("40-0")
    desk.get_by_role("button", name="Take out leg A").click()
    expect(desk.locator(".leg-line", has_text="A · 40'-0\"")).to_have_count(0)
    desk.get_by_role("button", name="Put back leg A").click()
    expect(field(desk, "walks.0.legs.0.length")).to_have_value("40-0")


@pytest.mark.look
def test_a_pad_is_added_typed_and_taken_out(page: Page):
    cast = make_cast()
    log_in(page, cast.builder)
    page.goto(reverse("jobs:plan_edit", args=[cast.house.pk]))
    page.get_by_role("button", name="Add a pad").click()
    expect(field(page, "pads.0.name")).to_have_value("F1")
    expect(field(page, "pads.0.length")).to_be_focused()
    for name, text in (("length", "3-0"), ("width", "3-0"), ("thickness", "6"), ("top", "85-0")):
        field(page, f"pads.0.{name}").fill(text)
    expect(page.locator("#plan-told")).to_contain_text("Kept as typed")
    assert PlanDraft.objects.get(house=cast.house).document["pads"][0]["thickness"] == "6"
    page.locator("#at-pads-0").get_by_role("button", name="Copy").click()
    expect(field(page, "pads.1.name")).to_have_value("F2")
    assert_fits(page)
    assert_accessible(page)
    shot(page, f"plan-pads-{page.viewport_size['width']}")
    page.get_by_role("button", name="Take out Pad F1").click()
    expect(field(page, "pads.0.name")).to_have_value("F2")
    expect(page.get_by_role("button", name="Put back pad F1")).to_be_visible()


@pytest.mark.look
def test_every_page_of_a_plan_is_open_to_everybody_and_fits(page: Page):
    cast = make_cast()
    example = settings.BASE_DIR / "jobs" / "examples" / "juniper-bend.json"
    document = json.loads(example.read_text())
    document["closure"] = [{"walk": "house", "legs": ["A", "J"], "note": "as agreed"}]
    plans.replace_draft(by=cast.builder, house=cast.house, document={"title": "begun"}, why="before the example")
    plans.replace_draft(by=cast.builder, house=cast.house, document=document, why="before the second try")
    plans.lock(by=cast.builder, house=cast.house, note="First issue")
    plans.split_section(by=cast.builder, house=cast.house, legs=("F", "G"), name="East wing")
    log_in(page, cast.builder)
    for name, more in (
        ("plan_edit", []),
        ("plan_spec", []),
        ("plan_import", []),
        ("revisions", []),
        ("revision", [1]),
        ("revision_compare", [2, 1]),
    ):
        page.goto(reverse(f"jobs:{name}", args=[cast.house.pk, *more]) + "?open=walks.0.legs.6")
        page.evaluate("document.querySelectorAll('main details:not([name])').forEach((fold) => { fold.open = true })")
        assert_fits(page)
        assert_accessible(page)
