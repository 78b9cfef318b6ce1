"""The braces of a firm over its houses: counted from the plans, placed by days planned and recorded."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.page_queries import braces
from jobs.models import Event, Firm
from takeoff.plan import Stage
from tests.cast import STRANGER
from tests.factories import HouseFactory
from tests.inspections.real import RealSite

NOW = datetime(2026, 11, 16, 18, tzinfo=UTC)
URL = "/braces/"


@pytest.fixture
def site(cast) -> RealSite:
    return RealSite(cast, "saltlick-lane")


def plan_days(site: RealSite, kind: Stage, start: date | None, end: date | None = None) -> None:
    site.house.stages.filter(kind=kind).update(planned_start_date=start, planned_end_date=end)


def read(site: RealSite, after: int | None = None, owned: int | None = None, now: datetime = NOW) -> braces.BracesPage:
    Firm.objects.update(braces_owned=owned)
    return braces.read(site.cast.builder, Firm.objects.get(pk=site.cast.firm.pk), after, now)


def counted(site: RealSite, kind: Stage) -> float:
    frozen = site.house.revisions.get().frozen["quantities"]
    return sum(q["amount"] for q in frozen if q["key"] == "braces" and q["stage"] == kind)


def test_a_wall_ties_its_braces_up_from_its_first_day_until_its_backfill_begins(site):
    plan_days(site, Stage.FROST_WALL, date(2026, 11, 23), date(2026, 11, 27))
    plan_days(site, Stage.FROST_BACKFILL, date(2026, 12, 3))
    (wall,) = (w for w in read(site).walls if "frost wall" in w.name)
    assert (wall.first, wall.last, wall.standing) == (date(2026, 11, 23), date(2026, 12, 2), False)
    assert wall.braces == counted(site, Stage.FROST_WALL) > 0
    (sooner,) = (w for w in read(site, after=2).walls if "frost wall" in w.name)
    assert sooner.last == date(2026, 11, 29)
    plan_days(site, Stage.FROST_WALL, date(2026, 11, 9), date(2026, 11, 13))
    plan_days(site, Stage.FROST_BACKFILL, None)
    (late,) = (w for w in read(site).walls if "frost wall" in w.name)
    assert (late.first, late.last) == (date(2026, 11, 16), date(2026, 11, 20)), "what should have begun begins today"
    assert late.note == "planned for Mon Nov 9, not begun: counted from today"


def test_days_that_nobody_planned_are_asked_for_and_not_guessed(site):
    site.house.stages.update(planned_start_date=None, planned_end_date=None)
    page = read(site, owned=40)
    assert not page.walls and page.say == "No wall with a planned day needs braces."
    assert {row.why for row in page.missing} == {"no day is planned to begin on"}
    bare = HouseFactory(name="Bare lot", firm=site.cast.firm)
    assert ("Bare lot", "Walk the plan") in {(m.name, m.action) for m in read(site).missing}
    assert bare.firm == site.cast.firm


def test_the_day_they_run_short_and_what_would_help(site):
    plan_days(site, Stage.FROST_WALL, date(2026, 11, 23), date(2026, 12, 10))
    plan_days(site, Stage.FROST_BACKFILL, None)
    plan_days(site, Stage.FULL_WALL, date(2026, 12, 7), date(2026, 12, 18))
    plan_days(site, Stage.FINAL_BACKFILL, None)
    frost, full = counted(site, Stage.FROST_WALL), counted(site, Stage.FULL_WALL)
    owned = int(max(frost, full))
    page = read(site, owned=owned)
    short = int(frost + full) - owned
    assert page.say == f"Short from Mon Dec 7 on, by {short}."
    assert "full-height wall” waits 4 days" in page.advice and page.advice.endswith(f"else rent {short}.")
    assert [row.short for row in page.rows] == [0, short, 0]
    assert read(site, owned=owned + short).say.startswith("Enough")


def test_begun_walls_have_them_until_they_are_filled_against(site):
    plan_days(site, Stage.FROST_WALL, date(2026, 11, 23), date(2026, 11, 27))
    plan_days(site, Stage.FROST_BACKFILL, date(2026, 12, 3))
    garage = site.legs_in("garage")
    for kind in (Stage.FOOTING, Stage.FROST_WALL):
        site.through(kind, *garage)
    begun = read(site).standing
    assert [wall.name for wall in begun] == ["Lot 12, frost wall (Garage)"]
    assert not read(site, after=1, now=timezone.now() + timedelta(days=3)).standing
    site.through(Stage.FROST_BACKFILL, *garage)
    assert not read(site).standing


def test_the_number_owned_is_typed_kept_and_told_in_the_log(clients, site):
    shown = clients["builder"].get(URL).content.decode()
    assert "Say how many you own" in shown
    refused = clients["builder"].post(URL, {"owned": "some"})
    assert refused.status_code == 422 and "Give a whole number of braces" in refused.content.decode()
    assert 'value="some"' in refused.content.decode()
    for owned in (60, 72):
        assert clients["builder"].post(URL, {"owned": owned}).status_code == 302
    assert Firm.objects.get(pk=site.cast.firm.pk).braces_owned == 72
    assert Event.objects.filter(firm=site.cast.firm).latest("pk").summary == "72 braces owned, 60 before"


def test_a_builder_comes_from_the_board_and_sees_the_firms_own_houses_only(clients, site):
    other = clients[STRANGER].get(URL).content.decode()
    assert site.house.name not in other and "Lot 99" in other
    assert [clients[part].get(URL).status_code for part in ("field_lead", "inspector", "engineer")] == [404] * 3
    wrong = clients["builder"].get(URL, {"after": "-3"}).content.decode()
    assert "Give whole days from 0 to 60." in wrong and "until its backfill begins" in wrong
    assert URL in clients["builder"].get(reverse("inspections:board")).content.decode()
