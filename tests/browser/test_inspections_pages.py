"""Every page of the job, on a phone and at a desk: it fits, axe finds nothing, pictures are kept where asked for."""

from __future__ import annotations

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from takeoff.plan import Stage
from tests.browser.helpers import assert_accessible, assert_fits, log_in, shot
from tests.cast import make_cast
from tests.factories import HouseFactory
from tests.inspections.real import RealSite

pytestmark = pytest.mark.look

LONG = "The long walk-out house at the end of Upper Saltlick Meadow Lane"


@pytest.fixture
def site(transactional_db) -> RealSite:
    """A house under way: a rejection open, something presented, something released; a second one without a plan."""
    cast = make_cast()
    cast.house.name, cast.house.address = LONG, "1480 Upper Saltlick Meadow Lane, Township of Coldwater"
    cast.house.save()
    HouseFactory(name="Lot 3", firm=cast.firm)
    site = RealSite(cast, "saltlick-lane")
    main, garage = site.legs_in("main"), site.legs_in("garage")
    site.through(Stage.FOOTING, *garage)
    site.release(site.present(Stage.FROST_WALL, "frost_layout", *garage))
    site.passed(Stage.FOOTING, "stakes", *main)
    steel = site.present(Stage.FOOTING, "footing_steel", *main)
    site.reject(steel, "Laps at the corner are 24 in, 30 in are drawn.", legs=main[:2])
    hole = site.reject(site.present(Stage.FOOTING, "hole", *main), "Water in the corner.")
    site.close(hole, "Pumped dry and scraped.")
    site.present(Stage.FOOTING, "hole", *main, note="Dry since noon.")
    return site


def _pages(site: RealSite) -> list[tuple[str, str, str]]:
    """(who, name of the picture, address)."""
    house, footing, frost = site.house.pk, site.stage(Stage.FOOTING).pk, site.stage(Stage.FROST_WALL).pk

    def point(who: str, key: str, stage: int = footing) -> tuple[str, str, str]:
        return who, f"point-{key}-{who}", reverse("inspections:point", args=[house, stage, key])

    return [
        ("builder", "board", reverse("inspections:board")),
        ("field_lead", "today", reverse("inspections:today")),
        ("inspector", "asked", reverse("inspections:asked")),
        ("surveyor", "asked-nothing", reverse("inspections:asked")),
        ("builder", "house", reverse("inspections:house", args=[house])),
        ("builder", "stage-footing", reverse("inspections:stage", args=[house, footing])),
        ("field_lead", "stage-frost", reverse("inspections:stage", args=[house, frost])),
        ("builder", "log", reverse("inspections:log", args=[house])),
        ("builder", "sections", reverse("inspections:sections", args=[house])),
        point("field_lead", "footing_steel"),
        point("inspector", "hole"),
        point("inspector", "footing_steel"),
        point("field_lead", "footing_top"),
        point("field_lead", "permit"),
        point("field_lead", "frost_steel", frost),
    ]


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_every_page_fits_and_has_no_barrier(size, site, request):
    page = request.getfixturevalue(size)
    for who, name, url in _pages(site):
        log_in(page, site.cast.person(who))
        page.goto(url)
        for scheme in ("dark", "light"):
            page.emulate_media(color_scheme=scheme)
            shot(page, f"{size}-{name}-{scheme}")
        assert_fits(page)
        assert_accessible(page)


def test_a_form_that_comes_back_says_so_beside_its_fields(site, phone, ears):
    ears(phone).allow("422")
    log_in(phone, site.cast.field_lead)
    stage = site.stage(Stage.FOOTING)
    phone.goto(reverse("inspections:point", args=[site.house.pk, stage.pk, "under_footing"]))
    note = phone.get_by_label("Anything whoever looks at it should know")
    note.fill("Two sleeves at the north wall.")
    phone.get_by_role("button", name="Present it").tap()
    errors = phone.locator("[data-errors]")
    expect(errors).to_be_focused()
    expect(errors).to_contain_text("“Sump or outlet in place” is missing.")
    expect(note).to_have_value("Two sleeves at the north wall.")
    assert_fits(phone)
    assert_accessible(phone)
