"""How fast forms may be filled, and the concrete order: pages of a pour, from the plan in force and what is typed."""

from __future__ import annotations

import io
import logging
import re
from dataclasses import replace
from datetime import timedelta
from html import unescape
from urllib.parse import parse_qs, unquote, urlsplit

import pikepdf
import pytest
from django.urls import reverse

from inspections.pours import actions as pours
from inspections.winter.order_page import clear_bars_in
from jobs import plans
from jobs.frozen import facts_from_json
from jobs.models import Role
from takeoff.plan import Stage
from takeoff.units import Length
from tests.factories import HouseFactory
from tests.inspections.real import document
from tests.inspections.test_winter_window import Bare, days, give, today, url, words
from tests.takeoff.plans import rectangle

pytestmark = pytest.mark.look  # what is worked out and shown does not depend on the database


@pytest.fixture
def house(cast) -> Bare:
    """A house of the firm with the smallest plan and a slump that somebody approved."""
    return locked(cast, slump_in=6, slump_approved_by="E. Grade, P.E.")


def locked(cast, name="kettle-road", **concrete) -> Bare:
    """A house of the firm with an example plan in force, its concrete specified so and not otherwise."""
    plan = document(name)
    plan.setdefault("spec", {})["concrete"] = concrete
    row = HouseFactory(firm=cast.firm, name="Lot 31", address="31 Ridge Road")
    plans.lock(by=cast.builder, house=row, document=plan)
    return Bare(row)


def shown(client, about, name, query="", kind=Stage.FULL_WALL):
    return words(client.get(url(about, name, kind) + query))


# -- forms and lifts ---------------------------------------------------------------------------------------
def test_no_slump_and_nothing_is_worked_out(cast, clients):
    said = shown(clients["builder"], locked(cast), "weather_forms", "?concrete_f=60")
    assert "No slump is decided, and nobody has approved one" in said
    assert "pressure on the forms cannot be worked out without it" in said and "Planned rise" not in said


def test_slump_rating_rate_lifts_trucks_and_a_colder_truck(house, clients):
    said = shown(clients["builder"], house, "weather_forms", "?concrete_f=60")
    for each in ("6 in, approved by E. Grade, P.E.", "Rated pressure of the form", "Highest rise",
                 "Circuits of the wall", "governs", "Truck 1 first", "At 50 °F instead of 60 °F",
                 "A form that gives way hurts people",
                 "ACI 347R", "DIN 18218", "CIRIA Report 108"):  # fmt: skip
        assert each in said, each


def test_the_rise_by_temperature_is_that_of_the_published_equation(house, clients):
    """ACI 347-04 2.2.2.1 as printed by M. K. Hurd: p = Cw Cc (150 + 9000 R/T), R under 7 ft/h, not over 14 ft high:
    R = (rating/(Cw Cc) - 150) T / 9000 at the page's own rating."""
    said = shown(clients["builder"], house, "weather_forms", "?concrete_f=60")
    rating = float(re.search(r"Rated pressure of the form ([\d,]+) psf", said)[1].replace(",", ""))
    rate = float(re.search(r"Highest rise ([\d.]+) ft/h", said)[1])
    assert rate == pytest.approx((rating - 150) * 60 / 9000, abs=0.006)


def test_a_slower_pump_sets_the_pace(house, clients):
    said = shown(clients["builder"], house, "weather_forms", "?concrete_f=60&pump_yd3_h=4")
    assert "set by the pump" in said


def test_concrete_of_unknown_temperature_is_not_guessed(house, clients):
    assert "Type the temperature" in shown(clients["builder"], house, "weather_forms", "?concrete_f=")


def test_a_footing_has_no_wall_form(house, clients):
    assert "A footing's forms are low" in shown(clients["builder"], house, "weather_forms", kind=Stage.FOOTING)


def test_over_seven_inches_the_forms_hold_a_liquid(cast, clients):
    said = shown(clients["builder"], locked(cast, slump_in=8), "weather_forms", "?concrete_f=60")
    assert "the forms must hold the concrete as a liquid" in said and "not approved by anybody yet" in said
    assert "slump 8 in is over 7 in" in said


# -- the order ---------------------------------------------------------------------------------------------
def test_the_order_says_everything_and_its_text_is_short_lines(house, clients):
    give(clients["builder"], house, *[(30, 15)] * 13)
    answer = clients["builder"].get(url(house, "weather_order", Stage.FULL_WALL) + f"?pour_day={today()}&pour_hour=9")
    said = words(answer)
    for each in ("First concrete", "yd3".replace("3", "³"), "psi at 28 days", "IRC 2021 Table R402.2", "Air 6 %",
                 "6 in, approved by E. Grade", "largest that fits", "55 to 75 °F at discharge", "lowest 15 °F",
                 "no accelerator", "discharge within 90 min", "booked for", "cylinders", "31 Ridge Road"):  # fmt: skip
        assert each in said, each
    text = message(answer)
    assert all(len(line) <= 40 for line in text.splitlines()) and "slump 6 in" in text


def message(answer) -> str:
    return unescape(re.search(r"<textarea[^>]*>(.*?)</textarea>", answer.content.decode(), re.S)[1])


def test_the_text_message_is_addressed_and_whole(house, clients):
    answer = clients["builder"].get(url(house, "weather_order", Stage.FULL_WALL) + "?plant_phone=%2B1 (218) 555-0142")
    link = unescape(re.search(r'href="(sms:[^"]+)"', answer.content.decode())[1])
    assert urlsplit(link).path == "+12185550142"
    assert unquote(link.split("?body=")[1]) == message(answer)
    assert parse_qs(urlsplit(link).query, keep_blank_values=True)["body"]


def test_the_volume_is_what_the_order_sheet_orders(house, clients):
    """The same concrete as on the stage's hand-out: rounded once, up to the order step."""
    said = shown(clients["builder"], house, "weather_order")
    ordered = float(re.search(r"Volume ([\d.]+) yd³ as ordered", said)[1])
    loads = re.search(r"Loads ([\d. +]+) yd³", said)[1]
    assert sum(float(load) for load in loads.split("+")) == pytest.approx(ordered)
    assert f"= {ordered:g}" in said


def test_without_a_slump_it_is_not_to_be_sent(cast, clients):
    about = locked(cast)
    answer = clients["builder"].get(url(about, "weather_order", Stage.FULL_WALL))
    assert "Not to be sent: no slump" in words(answer) and "sms:" not in answer.content.decode()
    assert "NOT SET, DO NOT SEND" in message(answer)


def test_stone_that_does_not_fit_the_core_is_told(cast, clients):
    """ACI 318: largest stone a fifth of the narrowest dimension between forms (from memory)."""
    about = locked(cast, slump_in=6, slump_approved_by="E. Grade", aggregate_in=2.0)
    assert "Stone of 2 in is too large" in shown(clients["builder"], about, "weather_order")


@pytest.mark.parametrize(("spacing", "every", "clear"), [("18", 1, 15.375), ("12", 1, 11.375), ("48", 2, 31.375)])
def test_the_closer_of_uprights_and_rows_leaves_the_room_for_stone(spacing, every, clear):
    """Rows come a course of 16 in apart; #5 is 0.625 in thick (ASTM A615)."""
    plan = rectangle()
    bars = replace(
        plan.spec.bars, vertical_size=5, vertical_spacing=Length.inches(spacing), horizontal_every_courses=every
    )
    plan = replace(plan, spec=replace(plan.spec, bars=bars))
    assert plan.form(plan.legs()[0].form).face_height == Length.inches(16)
    assert clear_bars_in(plan, [leg.name for leg in plan.legs()]) == pytest.approx(clear)


def test_a_footing_is_ordered_without_lifts(house, clients):
    said = shown(clients["builder"], house, "weather_order", kind=Stage.FOOTING)
    assert "First concrete" in said and "A truck every" not in said


def test_without_weather_of_that_hour_the_temperatures_are_left_out_and_said(house, clients):
    answer = clients["builder"].get(url(house, "weather_order", Stage.FULL_WALL))
    assert "No weather is here yet" in words(answer) and "at discharge" not in message(answer)
    give(clients["builder"], house, *[(30, 15)] * 3)
    later = today() + timedelta(days=9)
    assert "has no hour of the pour" in shown(clients["builder"], house, "weather_order", f"?pour_day={later}")


def test_the_mixing_water_follows_from_the_aggregate(house, clients):
    """Heat balance, The Concrete Society nugget 935: solids count 0.22 of water. 564 + 3,100 lb at 45 F and 253.8 lb of
    water must come out at what is asked as batched."""
    give(clients["builder"], house, *[(30, 15)] * 13)
    answer = clients["builder"].get(
        url(house, "weather_order", Stage.FULL_WALL) + f"?pour_day={today()}&pour_hour=9&aggregate_f=45"
    )
    said = message(answer)
    water, target = (float(re.search(p, said)[1]) for p in (r"water about (\d+) F", r"batch at (\d+) F"))
    solids, mixed = 0.22 * (564 + 3100), 564 * 0.45
    assert (solids * 45 + mixed * water) / (solids + mixed) == pytest.approx(target, abs=0.7)


def test_aggregate_too_cold_for_hot_water_is_told(house, clients):
    give(clients["builder"], house, *[(30, 15)] * 13)
    said = shown(clients["builder"], house, "weather_order", f"?pour_day={today()}&aggregate_f=10")
    assert "the aggregate must be heated too" in said


def test_an_accelerator_is_never_chloride(house, clients):
    said = shown(clients["builder"], house, "weather_order", "?accelerator=on&asked=1")
    assert "non-chloride accelerator; no chloride" in said and "no pump" in said


def test_an_hour_the_clocks_skip_is_told(house, clients):
    """US daylight time begins on 14 March 2027 at 2:00 (Energy Policy Act of 2005: second Sunday in March)."""
    said = shown(clients["builder"], house, "weather_order", "?pour_day=2027-03-14&pour_hour=2")
    assert "the clocks go forward over it" in said


def test_the_order_on_paper_is_one_page(house, clients, caplog):
    caplog.set_level(logging.WARNING, logger="weasyprint")
    give(clients["builder"], house, *[(30, 15)] * 13)
    answer = clients["builder"].get(url(house, "weather_order_pdf", Stage.FULL_WALL) + f"?pour_day={today()}")
    assert answer.status_code == 200 and answer["Content-Type"] == "application/pdf"
    assert "lot-31" in answer["Content-Disposition"]
    with pikepdf.open(io.BytesIO(answer.content)) as opened:
        assert len(opened.pages) == 1
    assert [r for r in caplog.records if r.name.startswith("weasyprint")] == []


def test_what_was_typed_goes_along_to_the_next_page(house, clients):
    page = (
        clients["builder"]
        .get(url(house, "weather_forms", Stage.FULL_WALL) + "?concrete_f=63&wind_mph=20")
        .content.decode()
    )
    order = reverse("inspections:weather_order", args=[house.house.pk, house.house.stages.get(kind="full_wall").pk])
    assert f'href="{order}?concrete_f=63&amp;wind_mph=20"' in page
    assert 'type="hidden" name="wind_mph" value="20"' in page
    assert 'name="pour_day"' not in page and 'name="covers"' in page


def test_days_are_for_the_house_alone(house, clients):
    assert clients["stranger"].post(url(house, "weather_typed"), days((50, 40))).status_code == 404


# -- as agreed ---------------------------------------------------------------------------------------------
def test_a_mix_that_is_agreed_stands_on_the_tabs_as_on_the_page_of_the_pour(house, cast, clients):
    """Slump, air, temperature and time to discharge: of the legs agreed on, and of no other."""
    stage, revision = house.house.stages.get(kind=Stage.FULL_WALL), plans.latest(house.house)
    legs = facts_from_json(revision.facts).legs_of(Stage.FULL_WALL)
    before = shown(clients["builder"], house, "weather_forms", "?concrete_f=60")
    assert "6 in, approved by E. Grade, P.E.: from the plan's specification" in before
    said = {"slump_in": 7.0, "approved_by": "Edda Marchlow, PE", "least_f": 62.0, "most_f": 80.0, "limit_min": 75.0,
            "air_percent": 5.5, "mix": "W-35"}  # fmt: skip
    pours.log(
        by=cast.builder, role=Role.BUILDER, house=house.house, stage=stage, kind="mix", legs=legs, said=said,
        revision=revision.number,
    )  # fmt: skip
    forms = shown(clients["builder"], house, "weather_forms")
    assert "7 in, approved by Edda Marchlow, PE: as agreed on the page of the pour" in forms
    assert "Highest rise" in forms  # at 62 °F, the least agreed, though no temperature is in the address
    order = shown(clients["builder"], house, "weather_order")
    for each in (
        "7 in, approved by Edda Marchlow, PE",
        "W-35, as agreed",
        "5.5 % as agreed",
        "within 75 min of batching",
    ):
        assert each in order, each
    frost = shown(clients["builder"], house, "weather_forms", "?concrete_f=60", Stage.FROST_WALL)
    assert "Edda Marchlow" not in frost
