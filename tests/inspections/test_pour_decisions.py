"""A decision to pour: worked out by the server, written down by the builder, told where it no longer holds."""

from __future__ import annotations

import json
import re
import uuid
from datetime import date, datetime, timedelta
from html import unescape
from types import SimpleNamespace
from typing import Any
from urllib.parse import parse_qs, unquote, urlencode, urlsplit

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections import queries
from inspections.page_queries.mine import Mine
from inspections.pours import decisions
from inspections.pours.decisions import Look, look, plain, standing
from inspections.pours.kinds import DECISION, is_against
from inspections.pours.models import PourDecision
from inspections.winter.conditions import USUAL, Conditions
from inspections.winter.guide import KEYS, answer
from jobs import plans
from jobs.models import Event, Role
from jobs.weather import actions as weather
from jobs.weather.records import WeatherSource
from takeoff.closed_days import closed_day, next_working_day
from takeoff.plan import Stage
from takeoff.weather.decide import Verdict
from takeoff.weather.highs_lows import Day, from_highs_and_lows
from tests.factories import HouseFactory
from tests.inspections.real import RealSite, document
from tests.inspections.test_winter_window import CHICAGO, Bare, today, url, words

WARM, COLD, BITTER = (60, 50), (39, 28), (39, 2)


@pytest.fixture
def site(cast) -> RealSite:
    """Kettle Road: one section, four legs."""
    return RealSite(cast, "kettle-road")


def hours(ahead: int = 2, hour: int = 9, **more: Any) -> dict[str, str]:
    """A pour of four hours so many days ahead, in the address."""
    day = today() + timedelta(days=ahead)
    return {"pour_day": f"{day}", "pour_hour": f"{hour}", "need_h": "4", "asked": "1", "pump": "on", **more}


def keep(site, pair: tuple[float, float], by: str = "builder") -> None:
    """Typed days, kept without the page that asks for them."""
    typed = [Day(today() + timedelta(days=n), *pair, None) for n in range(13)]
    weather.add_days(by=site.cast.person(by), house=site.house, days=typed)


def decide(client, site, verdict: str, query: dict[str, str], note: str = "", **more: str):
    """Sent to the address that the form would have, without looking at the page before."""
    where = url(site, "weather_decide", Stage.FULL_WALL)
    data = {"verdict": verdict, "note": note, "revision": "1", "client_id": str(uuid.uuid4()), **more}
    return client.post(f"{where}?{urlencode(query)}", data)


def see(client, site, name: str = "weather_decide", query: str = "") -> str:
    return words(client.get(url(site, name, Stage.FULL_WALL) + query))


# -- writing it down -----------------------------------------------------------------------------------
def test_the_server_works_out_the_answer_and_keeps_all_it_rests_on(site, clients, cast):
    keep(site, COLD)
    asked_so = hours(covers="on", base_warm="on", wind_mph="20")
    page = clients["builder"].get(url(site, "weather_decide", Stage.FULL_WALL), asked_so).content.decode()
    action = unescape(re.search(r'<form method="post" action="([^"]+decide[^"]+)"', page)[1])
    hidden = dict(re.findall(r'name="(revision|client_id)" value="([^"]+)"', page))
    said = clients["builder"].post(action, hidden | {"verdict": "protect", "note": "Ask at 5."}, follow=True)
    row = PourDecision.objects.get()
    assert said.status_code == 200 and "Decided: go with protection, first concrete" in words(said)
    assert (row.verdict, row.answer, row.by, list(row.legs)) == ("protect", "protect", cast.builder, list(site.legs))
    first = row.first_at.astimezone(CHICAGO)
    assert (first.date(), first.hour, row.until - row.first_at) == (today() + timedelta(days=2), 9, timedelta(hours=4))
    assert row.source == WeatherSource.objects.get() and row.weather and row.note == "Ask at 5."
    kept = row.conditions
    assert (kept["covers"], kept["heat"], kept["wind_mph"], kept["guide"]) == (True, False, 20.0, "306r")
    assert any("keep the concrete at 55 °F or more" in reason for reason in row.reasons)
    assert Event.objects.filter(verb="log_pour", subject_id=row.pk).count() == 1


def test_sent_twice_it_counts_once_even_where_other_weather_came_between(site, clients):
    keep(site, WARM)
    record = str(uuid.uuid4())
    decide(clients["builder"], site, "go", hours(), client_id=record)
    keep(site, COLD)
    assert decide(clients["builder"], site, "go", hours(), client_id=record).status_code == 302
    assert PourDecision.objects.get().answer == "go"


@pytest.mark.parametrize(
    ("answer_", "verdict", "against"),
    [("go", "go", False), ("go", "protect", False), ("go", "no", False), ("protect", "go", True),
     ("protect", "protect", False), ("no", "go", True), ("no", "protect", True), ("no", "no", False)],
)  # fmt: skip
def test_against_the_guide_only_with_a_reason(answer_, verdict, against):
    first = datetime(2026, 11, 3, 9, tzinfo=CHICAGO)
    said = {"verdict": verdict, "answer": answer_, "first_at": first, "until": first + timedelta(hours=4)}
    assert is_against(verdict, answer_) is against
    assert [name for name, _ in DECISION.problems(said | {"note": "  "})] == (["note"] if against else [])
    assert DECISION.problems(said | {"note": "Enclosed and heated."}) == []
    assert ("against the guide" in DECISION.says(said)) is against


def test_against_the_guide_is_asked_why_and_marked(site, clients):
    """Cold without covers is a no of the guide: ACI 306R as restated by UFGS 03311."""
    keep(site, COLD)
    assert decide(clients["builder"], site, "", hours()).status_code == 422
    said = decide(clients["builder"], site, "go", hours())
    assert said.status_code == 422 and "The guide says “no”: say why you decide against it." in words(said)
    assert not PourDecision.objects.exists()
    decide(clients["builder"], site, "go", hours(), "Enclosed and heated by the plant.")
    told = see(clients["inspector"], site, "pour")
    assert "Go against the guide" in told and "“Enclosed and heated by the plant.”" in told


def test_others_see_it_and_cannot_write_it(site, clients):
    keep(site, WARM)
    decide(clients["builder"], site, "go", hours(), "Pump booked.")
    for part in ("field_lead", "inspector"):
        page = see(clients[part], site)
        assert "“Pump booked.”" in page and "The builder decides." in page and "Write the decision down" not in page
        said = decide(clients[part], site, "no", hours())
        assert said.status_code == 403 and "Only the builder may decide" in words(said)
    assert PourDecision.objects.count() == 1


def test_hours_past_and_hours_without_weather_are_not_decided_blindly(site, clients):
    keep(site, WARM)
    assert "is past: choose hours to come" in see(clients["builder"], site, query=f"?pour_day={today() - timedelta(1)}")
    later = see(clients["builder"], site, query=f"?pour_day={today() + timedelta(days=40)}")
    assert "No weather is kept that has these hours" in later and "No The guide’s answer" in later


def test_without_a_plan_nothing_is_decided(cast, clients):
    assert "No plan is locked yet" in see(clients["builder"], Bare(cast.house))


# -- the worst hour, and only what changed ----------------------------------------------------------------
def asked(**more: Any) -> Conditions:
    usual = {"thickness_in": 8.0, "concrete_f": 62.0, "covers": True, "base_warm": True}
    return Conditions(usual | more, USUAL, "America/Chicago")


def of(*highs_lows: tuple[float, float], wind: float | None = None, **more: Any) -> str:
    first = datetime(2026, 11, 3, 9, tzinfo=CHICAGO)
    rows = [Day(date(2026, 11, 2) + timedelta(days=n), *each, wind) for n, each in enumerate(highs_lows)]
    series = from_highs_and_lows(rows, CHICAGO)
    return KEYS[answer(series, asked(**more), first, first + timedelta(hours=4)).verdict]


def test_only_the_input_that_changed_changes_the_answer():
    """Cold weather is under 40 F in the time ahead (ACI 306R-10 as quoted); winds as typed, common practice."""
    warm, cold = [WARM] * 8, [COLD] * 8
    assert of(*warm) == "go" and of(*cold) == "protect"
    assert of(*cold, covers=False) == "no" and of(*cold, ground="frozen") == "no"
    assert of(*warm, wind=26) == "no" and of(*warm, wind=26, wind_mph=27) == "go"
    # one night after the pour decides the afternoon of it
    assert of(WARM, WARM, (60, 30), *[WARM] * 5) == "protect"
    assert of(WARM, WARM, WARM, WARM, WARM, (60, 30), WARM, WARM) == "go"


def test_one_hour_is_enough_for_a_no_and_what_is_missing_is_named():
    first = datetime(2026, 11, 3, 9, tzinfo=CHICAGO)
    rows = [Day(date(2026, 11, 2) + timedelta(days=n), 39, 2, 5) for n in range(8)]
    series = from_highs_and_lows(rows, CHICAGO)
    bare = answer(series, asked(covers=False, base_warm=True), first, first + timedelta(hours=4))
    assert bare.verdict is Verdict.NO and bare.missing == ("covers", "heat") and bare.enough
    assert [reason.split(" on site")[0] for reason in bare.reasons] == ["Covers are not", "Heat is not"]
    covered = answer(series, asked(), first, first + timedelta(hours=4))
    assert covered.verdict is Verdict.NO and covered.missing == ("heat",)
    # bringing covers does not help where the ground is frozen
    frozen = answer(series, asked(ground="frozen"), first, first + timedelta(hours=4))
    assert frozen.missing == ("heat",) and not frozen.enough and "other reasons say no" in frozen.lacking


# -- a forecast that flips --------------------------------------------------------------------------------
def test_a_forecast_that_flips_is_told_first_with_whom_to_tell(site, clients):
    keep(site, COLD)
    decide(clients["builder"], site, "protect", hours(covers="on", base_warm="on"))
    holds = see(clients["field_lead"], site, "pour")
    assert "No newer weather is kept than it was decided by." in holds and "Decide again." not in holds
    keep(site, BITTER, "field_lead")
    ready = reverse("inspections:point", args=[site.house.pk, site.stage(Stage.FULL_WALL).pk, "pour_go"])
    assert "says no. Decide again." in words(clients["field_lead"].get(ready))
    for who, name in (("field_lead", "pour"), ("inspector", "stage"), ("builder", "weather_decide")):
        said = see(clients[who], site, name)
        told = said.index("says no. Decide again. Tell plant, pump and inspector.")
        assert told < said.index("Go with protection ") and "Missing on site: heat." in said, name
        assert "Heat is not on site" in said
    page = clients["builder"].get(url(site, "pour", Stage.FULL_WALL)).content.decode()
    text = parse_qs(urlsplit(re.search(r'href="(sms:[^"]+)"', page)[1]).query)["body"][0]
    assert "Lot 12, Full-height wall" in text and "the newest weather says no." in text and "Heat is not on" in text
    assert text.isascii() and "Bodil Builder" in unquote(text)


def test_the_same_weather_again_holds_and_warmer_weather_too(site, clients):
    keep(site, COLD)
    decide(clients["builder"], site, "protect", hours(covers="on", base_warm="on"))
    keep(site, COLD)
    assert "It holds: the newest weather" in see(clients["builder"], site, "pour")
    keep(site, WARM)
    said = see(clients["builder"], site, "pour")
    assert "It holds" in said and "says go." in said and "Tell plant" not in said


def test_after_a_no_better_weather_is_told_without_alarm(site, clients):
    keep(site, COLD)
    decide(clients["builder"], site, "no", hours())
    keep(site, WARM)
    said = see(clients["builder"], site, "pour")
    assert "now says go: decide again if you want to pour" in said and "Tell plant" not in said


def test_old_weather_is_said_to_be_old(site, clients, cast):
    typed = [{"on": f"{today() + timedelta(days=n)}", "high_f": 60, "low_f": 50, "wind_mph": 5} for n in range(9)]
    first, last = (timezone.now() + timedelta(days=n) for n in (-1, 8))
    WeatherSource.objects.create(
        house=site.house, kind="typed", text=json.dumps(typed), source="typed", by=cast.builder, first_at=first,
        last_at=last, at=timezone.now() - timedelta(hours=30),
    )  # fmt: skip
    decide(clients["builder"], site, "go", hours())
    assert "This weather is 30 hours old: type or fetch it anew." in see(clients["builder"], site, "pour")


def test_the_pages_of_house_and_day_tell_it_until_the_legs_are_poured(site, clients, monkeypatch):
    keep(site, WARM)
    decide(clients["builder"], site, "go", hours())
    house = reverse("inspections:house", args=[site.house.pk])
    day = f"{reverse('inspections:today')}?house={site.house.pk}"
    assert all("Decision to pour" in words(clients["field_lead"].get(where)) for where in (house, day))
    monkeypatch.setattr(decisions, "poured_in", lambda ledger: lambda stage, leg: True)
    assert not any("Decision to pour" in words(clients["field_lead"].get(where)) for where in (house, day))


def test_of_each_leg_the_latest_decision_counts():
    old = PourDecision(pk=1, stage_id=7, legs=["A", "B", "C"])
    new = PourDecision(pk=2, stage_id=7, legs=["B"])
    found = standing([new, old], lambda stage, leg: leg == "C")
    assert [(row.pk, legs) for row, legs in found] == [(2, ("B",)), (1, ("A",))]


@pytest.mark.parametrize(
    ("decided_h", "now_h", "hours_before", "due"),
    [(100, 60, 48, False), (100, 47, 48, True), (47, 46, 24, False), (47, 23, 24, True), (100, 1, 2, True),
     (1.5, 1, None, False)],
)  # fmt: skip
def test_looks_at_48_24_and_2_hours_before(decided_h, now_h, hours_before, due):
    """Common practice, no source; hours are counted back from the first concrete."""
    first = datetime(2026, 11, 5, 9, tzinfo=CHICAGO)
    at = first - timedelta(hours=hours_before) if hours_before else None
    found = look(first, first - timedelta(hours=decided_h), first - timedelta(hours=now_h))
    assert found == Look(hours_before, at, due)


# -- what the next page takes over ---------------------------------------------------------------------
def test_conditions_are_as_at_the_last_decision_and_the_address_comes_first(site, clients):
    keep(site, COLD)
    asked_so = hours(covers="on", base_warm="on", concrete_f="63", ground="clear", wind_mph="18")
    decide(clients["builder"], site, "protect", asked_so)
    where = url(site, "weather", Stage.FULL_WALL)
    page = clients["builder"].get(where).content.decode()
    assert "As at the last decision (Bodil Builder" in page
    assert 'value="63"' in page and 'value="18"' in page and re.search(r'name="covers"[^>]*checked', page)
    # the ground freezes overnight: it is looked at anew
    assert "Nobody has said yet that ground" in page
    assert 'value="61"' in clients["builder"].get(where + "?concrete_f=61").content.decode()


def test_a_revised_plan_says_its_own_thickness_again(site, clients, cast):
    keep(site, WARM)
    decide(clients["builder"], site, "go", hours(thickness_in="14"))
    shown = 'name="thickness_in" value="14"'
    assert shown in clients["builder"].get(url(site, "weather", Stage.FULL_WALL)).content.decode()
    plan = document("kettle-road") | {"title": "Kettle Road, drawn again"}
    plans.lock(by=cast.builder, house=site.house, document=plan)
    assert shown not in clients["builder"].get(url(site, "weather", Stage.FULL_WALL)).content.decode()


def test_the_order_takes_the_hour_decided_and_warns_of_a_sunday(site, clients):
    keep(site, WARM)
    decide(clients["builder"], site, "go", hours(3, hour=11))
    day = today() + timedelta(days=3)
    said = see(clients["builder"], site, "weather_order")
    assert f"First concrete {day:%a %b} {day.day}, 11:00 am" in said
    sunday = today() + timedelta(days=6 - today().weekday() + 7)
    assert "is a Sunday: ask plant, pump and inspector" in see(
        clients["builder"], site, "weather_order", f"?pour_day={sunday}"
    )


def test_nobody_is_proposed_a_sunday_or_a_holiday():
    """Thanksgiving 2026 is on 26 November, Labor Day on 7 September, Memorial Day on 25 May; Canada's Thanksgiving on
    12 October, Victoria Day on 18 May (5 U.S.C. 6103(a) and Canada Labour Code s. 166; from memory)."""
    assert closed_day(date(2026, 11, 26)) == "Thanksgiving Day" and not closed_day(date(2026, 11, 26), canada=True)
    assert closed_day(date(2026, 9, 7)) == "Labor Day" and closed_day(date(2026, 5, 25)) == "Memorial Day"
    assert closed_day(date(2026, 10, 12), canada=True) and closed_day(date(2026, 5, 18), canada=True) == "Victoria Day"
    assert next_working_day(date(2026, 11, 25)) == date(2026, 11, 27)
    # Friday, Saturday is Independence Day, then a Sunday
    assert next_working_day(date(2026, 7, 3)) == date(2026, 7, 6)


def test_an_order_for_hours_that_turned_says_so_before_it_is_sent(site, clients):
    keep(site, COLD)
    decide(clients["builder"], site, "protect", hours(covers="on", base_warm="on"))
    turned = "The newest weather says no for the hours decided: decide again before this is sent."
    assert turned not in see(clients["builder"], site, "weather_order")
    keep(site, BITTER)
    assert turned in see(clients["builder"], site, "weather_order")
    decide(clients["builder"], site, "no", hours(covers="on", base_warm="on"))
    said = see(clients["builder"], site, "weather_order", f"?{urlencode(hours())}")
    assert "decided not to pour at that hour" in said and turned not in said
    told = see(clients["builder"], site, "weather_decide")
    assert (
        "Do not batch, do not set up: we do not pour." in told and "Decided before" in told and ", legs South" in told
    )


def test_the_board_puts_a_house_whose_weather_turned_first(site, clients):
    keep(site, COLD)
    decide(clients["builder"], site, "protect", hours(covers="on", base_warm="on"))
    board = reverse("inspections:board")
    due = "Full-height wall: decided go with protection, "
    assert due in words(clients["builder"].get(board)) and "decide again" not in words(clients["builder"].get(board))
    keep(site, BITTER)
    page = clients["builder"].get(board)
    assert ": the newest weather says no, decide again" in words(page) and page.context["rows"][0].needs.late


def test_decisions_of_many_houses_take_three_queries(cast, django_assert_num_queries):
    houses = [cast.house, *(HouseFactory(firm=cast.firm, name=f"Lot {n}") for n in (40, 41))]
    sites = [(house, plans.lock(by=cast.builder, house=house, document=document("kettle-road"))) for house in houses]
    typed = [{"on": f"{today() + timedelta(days=n)}", "high_f": 60, "low_f": 50, "wind_mph": 5} for n in range(9)]
    first = timezone.now() + timedelta(days=2)
    for house, revision in sites:
        WeatherSource.objects.create(
            house=house, kind="typed", text=json.dumps(typed), source="typed", by=cast.builder,
            first_at=first - timedelta(days=3), last_at=first + timedelta(days=5),
        )  # fmt: skip
        PourDecision.objects.create(
            house=house, stage=house.stages.get(kind=Stage.FULL_WALL), revision=revision, legs=["South"],
            by=cast.builder, role="builder", verdict="go", answer="go", first_at=first,
            until=first + timedelta(hours=4), conditions={"thickness_in": 8.0, "concrete_f": 60.0},
        )  # fmt: skip
    mine = [Mine(cast.builder.pk, house, frozenset(), queries.ledger(house)) for house in houses]
    with django_assert_num_queries(3):
        found = decisions.told_of(mine, timezone.now())
    assert [len(rows) for rows in found.values()] == [1, 1, 1]
    assert {row.now.key for rows in found.values() for row in rows} == {"go"}


def test_other_pours_are_offered_where_the_builder_may_begin_them(cast, monkeypatch):
    """Open gates of pours only, not the one that was called off, and not where somebody else builds."""

    def move(stage: int, operation: str | None, is_open: bool) -> SimpleNamespace:
        work = SimpleNamespace(key=operation) if operation else None
        row = SimpleNamespace(pk=stage, title=f"Stage {stage}")
        return SimpleNamespace(stage=row, operation=work, is_open=is_open, section_name="Main")

    moves = [move(1, "pour_footing", True), move(2, "pour_frost_wall", True), move(3, "pour_full_wall", False),
             move(4, "frost_backfill", True), move(5, None, True)]  # fmt: skip
    monkeypatch.setattr(decisions.states, "next_moves", lambda ledger: moves)
    mine = [Mine(1, cast.house, frozenset({Role.BUILDER}), None), Mine(1, cast.strange_house, frozenset(), None)]
    assert [name for name, _ in decisions.other_pours(mine, cast.house, 1)] == ["Lot 12: Stage 2, Main"]


def test_a_text_is_plain():
    assert plain("Lowest 2 °F.") == "Lowest 2 F."
