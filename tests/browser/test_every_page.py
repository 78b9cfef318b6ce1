"""Every page there is, with the demo's houses, for the role that sees most of it, at 390 and at 1440 px: it has a
heading, fits its window, axe finds no barrier (light on the phone, dark at the desk), and the browser reports nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.urls import get_resolver, reverse
from django.utils.timezone import now
from playwright.sync_api import Page

from inspections.demo.story import example
from inspections.management.commands import demo
from jobs import plans
from jobs.models import House, Person
from jobs.weather import actions as weather
from takeoff.plan import Stage
from takeoff.weather.highs_lows import Day
from tests.browser.helpers import DESK, PHONE, assert_fits, barriers, log_in, shot
from tests.factories import FirmInvitationFactory, InvitationFactory
from tests.test_access_table import names

NOBODY = ""
#: Addresses that are no page to look at: sent on, only posted to, or a file; what they answer is tried elsewhere.
NO_PAGES = {
    "health",
    "logout",
    "inspections:home",
    "inspections:present",
    "inspections:sign",
    "inspections:close_correction",
    "inspections:work",
    "inspections:evidence",
    "inspections:handout",
    "inspections:pour_write",
    "inspections:weather_typed",
    "inspections:weather_file",
    "inspections:weather_place",
    "inspections:weather_fetch",
    "inspections:weather_order_pdf",
    "jobs:plan_preview",
    "jobs:plan_lock",
    "jobs:plan_export",
    "jobs:revision_start",
    "jobs:revision_json",
    "jobs:revision_template",
}


_OF_HOUSE = (
    *("inspections:house", "inspections:log", "inspections:sections"),
    *("jobs:house_edit", "jobs:site_edit", "jobs:people", "jobs:stages_edit"),
    *("jobs:plan_edit", "jobs:plan_spec", "jobs:plan_import", "jobs:revisions"),
)
_OF_POUR = tuple(f"inspections:weather{page}" for page in ("", "_decide", "_forms", "_order", "_strength"))
_OWN = (
    *("inspections:board", "inspections:braces", "jobs:firm", "jobs:house_new"),
    *("jobs:form_systems", "jobs:form_system_new"),
)
#: Who looks, name of the address, its arguments: those of `Told.args` by name, others as written.
PAGES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    (NOBODY, "login", ()),
    (NOBODY, "jobs:firm_new", ()),
    (NOBODY, "jobs:invitation", ("invitation",)),
    (NOBODY, "jobs:firm_invitation", ("colleague",)),
    *(("builder", name, ()) for name in _OWN),
    ("builder", "jobs:form_system_edit", ("generic-16",)),
    *(("builder", name, ("house",)) for name in _OF_HOUSE),
    *(("builder", "inspections:stage", ("house", kind.value)) for kind in Stage),
    *(("builder", name, ("house", "frost_wall")) for name in _OF_POUR),
    ("builder", "jobs:revision", ("house", "2")),
    ("builder", "jobs:revision_elevation", ("house", "2", "A")),
    ("builder", "jobs:revision_compare", ("house", "2", "1")),
    ("builder", "inspections:differences", ("house", "2")),
    ("builder", "password_change", ()),
    ("builder", "password_change_done", ()),
    ("field_lead", "inspections:today", ()),
    ("field_lead", "inspections:stage", ("house", "frost_wall")),
    ("field_lead", "inspections:pour", ("house", "frost_wall")),
    ("builder", "inspections:pour", ("house", "footing")),
    ("field_lead", "inspections:point", ("house", "frost_wall", "frost_steel")),
    ("field_lead", "inspections:point", ("house", "frost_wall", "frost_go")),
    ("field_lead", "inspections:point", ("house", "footing", "footing_top")),
    ("inspector", "inspections:asked", ()),
    ("inspector", "inspections:point", ("house", "frost_wall", "frost_steel")),
    ("inspector", "inspections:point", ("house", "footing", "hole")),
    ("engineer", "inspections:asked", ()),
    ("surveyor", "inspections:house", ("house",)),
)


class Told:
    """The demo's houses, and what is added so that every page has something to show."""

    def __init__(self) -> None:
        firm = demo.fill()
        house = House.objects.get(name="Juniper Bend")
        builder = self.person("builder")
        raised = example("juniper-bend") | {"title": "Juniper Bend, with its drive"}
        concrete = {"slump_in": 6, "slump_approved_by": "Ilse Marrow, P.E."}
        raised["spec"] = {**raised.get("spec", {}), "concrete": concrete}
        plans.lock(by=builder, house=house, document=raised, note="The drive is drawn in")
        today = now().date()
        winter = [Day(today + timedelta(days=n - 1), 40.0 - n, 20.0 + n, 12.0) for n in range(10)]
        weather.add_days(by=builder, house=house, days=winter)
        offer = {"email": "new@example.org", "invited_by": builder}
        self.args: dict[str, Any] = {stage.kind: stage.pk for stage in house.stages.all()} | {
            "house": house.pk,
            "invitation": InvitationFactory(house=house, **offer).token,
            "colleague": FirmInvitationFactory(firm=firm, **offer).token,
        }

    def person(self, role: str) -> Person:
        """One of the demo's people."""
        return Person.objects.get(email=demo.CAST[role][0])

    def url(self, name: str, args: tuple[str, ...]) -> str:
        """Address of a page of the list."""
        return reverse(name, args=[self.args.get(arg, arg) for arg in args])


@pytest.fixture
def told(transactional_db) -> Told:
    return Told()


def test_every_page_of_the_project_is_in_the_list():
    listed = {name for _, name, _ in PAGES}
    assert not listed & NO_PAGES
    assert listed | NO_PAGES == set(names(get_resolver().url_patterns))


@pytest.mark.look
@pytest.mark.slow
@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (DESK, "dark")], ids=["phone", "desk"])
def test_every_page_is_whole_fits_and_has_no_barrier(size, scheme, told: Told, window: Callable[..., Page]):
    wrong = []
    open_pages: dict[str, Page] = {}
    for who, name, args in PAGES:
        if who not in open_pages:
            page = open_pages[who] = window(size, touch=size is PHONE)
            page.emulate_media(color_scheme=scheme)
            if who:
                log_in(page, told.person(who))
        wrong += looked_at(open_pages[who], who, name, told.url(name, args), scheme)
    assert not wrong, "\n".join(wrong)


def looked_at(page: Page, who: str, name: str, url: str, scheme: str) -> list[str]:
    """What is wrong with one page."""
    answer = page.goto(url)
    at = f"{name} as {who or 'nobody'} at {page.viewport_size['width']} px ({url})"
    shot(page, re.sub(r"\W+", "-", f"every-{name}-{who}-{page.viewport_size['width']}{url}"))
    out = [f"{at}: {answer.status}"] if answer is None or answer.status != 200 else []
    headings = page.locator("h1")
    if headings.count() != 1 or not (headings.first.inner_text()).strip():
        out.append(f"{at}: has {headings.count()} first headings")
    try:
        assert_fits(page)
    except AssertionError as wide:
        out.append(f"{at}: {wide}")
    return out + [f"{at}: {barrier}" for barrier in barriers(page)]
