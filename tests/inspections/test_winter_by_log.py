"""The tab of warmth and strength of a pour on record: it follows the log and tells the same as the page of the pour."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.pours import actions
from inspections.pours.as_poured import AsPoured, Kept
from inspections.pours.estimate import Estimate
from inspections.winter.bare import Bare, Lying, bare_of
from inspections.winter.by_log import seen
from inspections.winter.conditions import FROM_NOW, USUAL, Conditions, ConditionsForm
from inspections.winter.fills import fill_needs, planned_psi
from inspections.winter.rows import past_words, relied_on
from jobs.models import Role
from takeoff.geometry import place
from takeoff.heat.answers import when_strong
from takeoff.plan import Plan, Stage
from takeoff.planfile import read_plan
from takeoff.results import WallState
from takeoff.strength.needed import strength_needed
from tests.inspections.real import RealSite, document
from tests.inspections.test_as_poured import air
from tests.inspections.test_pours_strength import give_weather
from tests.inspections.test_winter_window import TYPED, words

ZONE = ZoneInfo("America/Chicago")
PLACED = datetime(2026, 11, 10, 12, tzinfo=ZONE)
READ = ((12.0, 78.0), (24.0, 74.0), (36.0, 68.0), (48.0, 62.0))
CORNER = tuple((hour, f - 9.0) for hour, f in READ)


def asked(**said: Any) -> Conditions:
    return Conditions(said, USUAL, "America/Chicago")


def pour(*read: tuple[str, tuple[tuple[float, float], ...]], now_h: float = 50.0, **more: Any) -> AsPoured:
    return AsPoured(PLACED, 62.0, 3000, read=read, now_h=now_h, **more)


ON = {"kept": (Kept(2.0, float("inf"), 4.0, 4.0, None),)}


# -- the same as the page of the pour tells -----------------------------------------------------------------
@pytest.mark.parametrize("more", [{}, ON], ids=["forms alone", "covers that are still on"])
@pytest.mark.parametrize(
    "read",
    [(("core_middle", READ),), (("core_middle", READ), ("north_corner", CORNER)), ()],
    ids=["core", "both", "none"],
)
def test_strength_is_that_of_the_pours_page_at_every_hour_it_tells(read, more):
    found = seen(pour(*read, **more), air(-3.0), asked())
    assert found is not None and isinstance(found.estimate, Estimate)
    ahead = found.estimate.ahead
    first = (ahead.start - PLACED).total_seconds() / 3600
    hours = first + ahead.step_h * np.arange(len(ahead.likely))
    for run, told in ((found.told.cold, ahead.low), (found.told.likely, ahead.likely), (found.told.warm, ahead.high)):
        assert np.interp(hours, run.hours, run.psi) == pytest.approx(told, abs=1.5)
    answer = when_strong(found.told, 2000, "When?")
    for hour, course in ((answer.low, ahead.high), (answer.likely, ahead.likely), (answer.high, ahead.low)):
        at = ahead.when(course, 2000)
        assert (hour is None) == (at is None)
        # reached before the page's course begins, that says no more than that it is there
        assert at in (None, ahead.start) or abs((at - PLACED).total_seconds() / 3600 - hour) < 1


def test_what_is_on_now_is_not_relied_on_in_the_late_course():
    bare, on = (seen(pour(("core_middle", READ), **more), air(-8.0), asked()) for more in ({}, ON))
    assert on.kept.cold.psi[-1] > on.told.cold.psi[-1] and on.kept.likely.psi[-1] == on.told.likely.psi[-1]
    assert bare.kept is bare.told or np.all(bare.kept.cold.psi == bare.told.cold.psi)


@settings(max_examples=6, deadline=None)
@given(st.floats(1, 6), st.floats(0, 6))
def test_what_if_covers_change_nothing_before_now_and_more_are_never_later(r, more):
    own = pour(("core_middle", READ))
    plain, some, thick = (seen(own, air(-10.0), asked(blanket_r=each, blanket_days=9)) for each in (0, r, r + more))
    assert some.what_if and not plain.what_if
    for name in ("cold", "likely", "warm"):
        runs = [getattr(each.told, name) for each in (plain, some, thick)]
        assert runs[1].psi[:50] == pytest.approx(runs[0].psi[:50]) and runs[2].psi[:50] == pytest.approx(
            runs[0].psi[:50]
        )
        assert runs[0].psi[-1] <= runs[1].psi[-1] + 1e-6 <= runs[2].psi[-1] + 2e-6
    for each in (plain, some, thick):
        assert np.all(each.told.cold.psi <= each.told.likely.psi + 1e-6)
        assert np.all(each.told.likely.psi <= each.told.warm.psi + 1e-6)


def test_past_days_are_said_to_be_no_proof():
    answer = when_strong(seen(pour(("core_middle", READ)), air(-3.0), asked()).told, 500, "When?")
    assert "Past, even at worst" in past_words(answer, 400) and "may be there by now" in past_words(answer, answer.low)
    assert past_words(answer, answer.low - 1) == ""


def test_what_the_gate_relies_on_has_its_tenth_to_spare():
    ahead = seen(pour(("core_middle", READ)), air(-3.0), asked()).estimate.ahead
    least = ahead.low[0]
    assert "there already" in relied_on(ahead, least * 0.89) and "expected" in relied_on(ahead, least * 0.91)


# -- how it may be filled ------------------------------------------------------------------------------------
def planned(name: str) -> tuple[Plan, tuple[str, ...]]:
    plan = read_plan(document(name)).plan
    assert plan is not None
    return plan, tuple(place(plan).legs)


@pytest.mark.parametrize("name", ["kettle-road", "juniper-bend"])
def test_every_way_of_filling_asks_what_the_strip_model_asks(name):
    plan, legs = planned(name)
    free, held, finished = fill_needs(plan, Stage.FULL_WALL, legs)
    assert (
        free.psi is None and "wants the wall held at its top" in free.refusal and "engineer of record" in free.refusal
    )
    placement = place(plan)
    for need, state in ((held, WallState.BEFORE_SLAB), (finished, WallState.FINISHED)):
        every = []
        for leg in legs:
            try:
                every.append(strength_needed(plan, placement, leg, state).psi)
            except KeyError:
                continue
        assert need.psi == max(every)
    assert held.planned and planned_psi((free, held, finished)) == held.psi and held.psi > finished.psi


def test_a_frost_wall_is_filled_on_both_sides_or_braced_on_one():
    plan, legs = planned("juniper-bend")
    both, one = fill_needs(plan, Stage.FROST_WALL, legs)
    assert both.planned and "both sides rise together" in both.besides
    assert not one.planned and "braces hold its top" in one.besides
    assert fill_needs(plan, Stage.FROST_WALL, ()) == ()


# -- how long a footing lies bare ----------------------------------------------------------------------------
NOON = datetime(2026, 11, 27, 12, tzinfo=ZONE)


@pytest.mark.parametrize(
    ("said", "ground", "first", "last", "begin", "word"),
    [
        ({}, 50.0, 0, 240, None, "Bare from Fri Nov 27, 12:00 pm to Mon Dec 7, 12:00 pm"),
        ({"bare_from": FROM_NOW}, None, 48, 240, None, "Looked at from now on"),
        ({"bare_from": FROM_NOW}, 41.0, 48, 240, 41.0, "as it was read last, 41 °F"),
        ({"bare_until": date(2026, 12, 2)}, None, 0, 132, None, "to Thu Dec 3, 12:00 am"),
        ({"bare_until": date(2026, 12, 20)}, None, 0, 240, None, "the weather is known only until Mon Dec 7"),
    ],
    ids=["from the pour", "from now", "from a reading", "until a day", "longer than the weather"],
)
def test_a_footing_lies_bare_from_and_until(said, ground, first, last, begin, word):
    found = bare_of(asked(**said), Lying(NOON, NOON + timedelta(hours=48), 240, ground))
    assert isinstance(found, Bare) and (found.from_h, found.until_h, found.begin_f) == (first, last, begin)
    assert word in " ".join(found.notes)


@pytest.mark.parametrize(
    ("said", "known", "word"),
    [
        ({"bare_until": date(2026, 11, 26)}, 240, "give a later “Bare until”"),
        ({"bare_from": FROM_NOW}, 60, "24 h of it or more"),
    ],
)
def test_too_short_a_time_is_told(said, known, word):
    found = bare_of(asked(**said), Lying(NOON, NOON + timedelta(hours=48), known))
    assert isinstance(found, str) and word in found


# -- the pages -----------------------------------------------------------------------------------------------
def log(
    site: RealSite, record: str, said: dict[str, Any], kind: Stage = Stage.FULL_WALL, legs: int = 4,
    by: str = "field_lead",
) -> None:  # fmt: skip
    actions.log(
        by=site.cast.person(by), role=Role(by), house=site.house, stage=site.stage(kind), kind=record,
        legs=site.legs[:legs], said=said, revision=site.revision.number,
    )  # fmt: skip


def filled(site: RealSite, hours_ago: float, kind: Stage = Stage.FULL_WALL, legs: int = 4) -> datetime:
    """Some legs filled in one go so many hours ago; when the truck was empty."""
    end = timezone.now() - timedelta(hours=hours_ago)
    times = {"batched": end - timedelta(minutes=70), "started": end - timedelta(minutes=30), "ended": end}
    truck = {"ticket": "1", "yd3": 30.0, "decision": "accepted", "concrete_f": 62.0, **times}
    log(site, "truck", truck, kind, legs)
    return end


def temperature(value_f: float, hours_ago: float, place: str = "core_middle") -> dict[str, Any]:
    return {"place": place, "value_f": value_f, "taken": timezone.now() - timedelta(hours=hours_ago)}


@pytest.fixture
def site(cast) -> RealSite:
    """Kettle Road, poured two days ago, read once, in weather that goes on."""
    site = RealSite(cast, "kettle-road")
    filled(site, 48)
    log(site, "temperature", temperature(62.0, 24))
    give_weather(site, 34.0, 20.0)
    return site


def tab(site: RealSite, kind: Stage = Stage.FULL_WALL) -> str:
    return reverse("inspections:weather_strength", args=[site.house.pk, site.stage(kind).pk])


def test_a_pour_on_record_is_followed_and_both_pages_tell_the_same(site, clients):
    answer = clients["inspector"].get(tab(site))
    said, page = words(answer), answer.content.decode()
    pour_url = reverse("inspections:pour", args=[site.house.pk, site.stage(Stage.FULL_WALL).pk])
    assert re.search(r"As poured \w+ \w+ \d+, \d+:\d\d [ap]m, by the pour log: Legs .* the coldest truck taken", said)
    assert f'href="{pour_url}?leg={site.legs[0]}"' in page and "follow=typed" in page
    assert 'id="id_concrete_f"' not in page and 'id="id_pour_day"' not in page and 'id="id_blanket_r"' in page
    other = words(clients["inspector"].get(pour_url))
    told = re.search(r"log\? ([\d,]+) psi likely; ([\d,]+) psi at worst, ([\d,]+) psi at best", said)
    assert all(psi in other for psi in told.groups())
    day = re.search(r"1,400 psi with its margin: expected ([^.]*?)\.", other)[1]
    assert f"With the tenth to spare that the gate asks for: expected {day}." in said
    assert "Cylinders cured beside it" not in said
    now = timezone.now()
    for mark, psi in (("1", 910.0), ("2", 890.0)):
        broke = {"specimen": mark, "psi": psi, "cured": "field", "cast": now - timedelta(hours=48), "broken": now}
        log(site, "cylinder", broke, by="engineer")
    assert "Cylinders cured beside it broke at 890 psi" in words(clients["inspector"].get(tab(site)))


def test_asked_as_if_not_poured_conditions_are_typed_as_before(site, clients):
    answer = clients["builder"].get(f"{tab(site)}?follow=typed&concrete_f=60")
    page = answer.content.decode()
    assert "By the pour log" not in page and 'id="id_concrete_f"' in page and 'name="follow" value="typed"' in page
    assert re.search(r"as poured \w+ \w+ \d+", words(answer))


def test_what_if_is_said_and_counts_from_now_on(site, clients):
    said = words(clients["builder"].get(f"{tab(site)}?blanket_r=6&blanket_days=5"))
    assert "What if: covers of R 6 on both sides for 5 days from now on" in said
    assert "What would help" in said and "Covers of R 5 on both sides for 5 days" in said and "Concrete 10" not in said


def test_readings_without_weather_tell_what_they_can_and_where_to_give_it(cast, clients):
    site = RealSite(cast, "kettle-road")
    filled(site, 48)
    assert "nothing can be said of its strength" in words(clients["builder"].get(tab(site)))
    log(site, "temperature", temperature(62.0, 9))
    answer = clients["builder"].get(tab(site))
    assert "The weather is not known from the pour until past now" in words(answer)
    assert "1,400 psi, before the slab is in, top held by the floor" in words(answer)
    assert re.search(r'href="[^"]*/weather/[^"]*#forecast">Give weather on the first page', answer.content.decode())


def test_only_when_all_legs_asked_are_poured_is_the_log_followed_unasked(cast, clients):
    site = RealSite(cast, "kettle-road")
    give_weather(site, 40.0, 30.0)
    mix = {"slump_in": 6.0, "approved_by": "E. Grade", "limit_min": 90.0, "least_f": 55.0, "most_f": 75.0}
    log(site, "mix", mix, legs=2, by="builder")
    filled(site, 30, legs=2)
    both = words(clients["builder"].get(tab(site)))
    assert "By the pour log" not in both and "as poured" in both and "not poured yet" in both
    assert "By the pour log" in words(clients["builder"].get(f"{tab(site)}?pour={site.legs[0]}"))
    assert "By the pour log" not in words(clients["builder"].get(f"{tab(site)}?pour={site.legs[-1]}"))


def test_a_footing_on_record_is_followed_and_its_ground_begins_as_read(cast, clients):
    site = RealSite(cast, "kettle-road")
    filled(site, 48, Stage.FOOTING)
    give_weather(site, 30.0, 10.0)
    log(site, "temperature", temperature(39.0, 1, "ground"), Stage.FOOTING)
    soil = "?soil_dry_pcf=100&soil_water=15&ground_f=48&bare_from=now"
    answer = words(clients["builder"].get(tab(site, Stage.FOOTING) + soil))
    for each in (
        "As poured", "The ground begins as it was read last, 39 °F", "Frost by the model and by the formula",
        "Down from the top", "°F days", "Modified Berggren, for bare open ground",
    ):  # fmt: skip
        assert each in answer, each


def test_from_the_stages_that_cover_a_bare_footing_one_comes_to_its_frost(cast, clients):
    site = RealSite(cast, "juniper-bend")
    footing = f'href="{tab(site, Stage.FOOTING)}"'
    pages = [
        reverse("inspections:stage", args=[site.house.pk, site.stage(Stage.FROST_BACKFILL).pk]),
        tab(site, Stage.FROST_WALL),
    ]
    assert not any(footing in clients["builder"].get(page).content.decode() for page in pages)
    footings = reverse("inspections:weather", args=[site.house.pk, site.stage(Stage.FOOTING).pk])
    assert "All of it is poured." not in words(clients["builder"].get(footings))
    site.through(Stage.FOOTING, *site.legs)
    assert all(footing in clients["builder"].get(page).content.decode() for page in pages)
    assert "All of it is poured." in words(clients["builder"].get(footings))


@pytest.mark.look
def test_nothing_typed_breaks_the_page_of_a_pour_on_record(site, clients):
    @settings(max_examples=10, deadline=None)
    @given(st.dictionaries(st.sampled_from(list(ConditionsForm.base_fields)), TYPED, max_size=4))
    def holds(typed):
        answer = clients["builder"].get(tab(site), {**typed, "asked": "1"})
        assert answer.status_code in (200, 422), typed

    holds()
