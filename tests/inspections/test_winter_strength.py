"""How warm and how strong a wall is after its pour: the page of the heat model, its inputs in sight, its refusals."""

from __future__ import annotations

import re

import pytest

from inspections.winter.fills import needed_rows
from takeoff.plan import Stage
from takeoff.sources import COMMON_PRACTICE
from takeoff.strength.needed import StrengthNeeded
from tests.inspections.test_winter_pour import locked
from tests.inspections.test_winter_window import Bare, give, today, url, words

pytestmark = pytest.mark.look  # what is worked out and shown does not depend on the database


@pytest.fixture
def house(cast, clients) -> Bare:
    """The smallest plan, and thirteen days that go down to 10 F."""
    about = locked(cast, slump_in=6, slump_approved_by="E. Grade")
    give(clients["builder"], about, *[(34, 10)] * 13, wind=5)
    return about


def shown(client, about, query="", kind=Stage.FULL_WALL):
    return words(client.get(url(about, "weather_strength", kind) + f"?pour_day={today()}&pour_hour=10{query}"))


def test_the_answers_carry_their_range_inputs_model_and_limits(house, clients):
    said = shown(clients["builder"], house, "&concrete_f=65")
    for each in (
        "When does it survive a freeze?", "When may protection end?", "likely", "at best", "at worst",
        "placed at 65 °F", "core", "foam", "one-dimensional conduction", "A usual curve, not this mix's.",
        "ready-mix supplier decide",
        "Typed highs and lows", "ACI 209R", "covers none",
    ):  # fmt: skip
        assert each.lower() in said.lower(), each


def test_the_number_backfill_needs_is_the_plans_unless_typed(cast, clients):
    house = locked(cast, "juniper-bend", slump_in=6, slump_approved_by="E. Grade")
    give(clients["builder"], house, *[(34, 10)] * 13, wind=5)
    said = shown(clients["builder"], house, "&concrete_f=65")
    part = said[said.index("What backfill asks for") :]
    held = "Before the slab is in, top held by the floor: Legs?"
    needed = [int(each.replace(",", "")) for each in re.findall(rf"{held} [A-Z, to]+ ([\d,]+) psi", part)]
    assert needed and f"{max(needed):,} psi likely after" in said
    typed = shown(clients["builder"], house, "&concrete_f=65&wanted_psi=1850")
    assert "The strength typed." in typed and "1,850 psi likely after" in typed
    assert "held at top and foot as the engineer asks" in typed


def test_where_no_strength_answers_for_a_leg_the_engineer_says():
    none = StrengthNeeded(None, "", COMMON_PRACTICE, "the engineer must say")
    strip = StrengthNeeded(1500, "B, filled: 1,500 psi, by the strip", COMMON_PRACTICE)
    table = StrengthNeeded(2500, "C, filled: by a table", COMMON_PRACTICE)
    assert dict(needed_rows([("A", none), ("B", strip), ("C", table)])) == {
        "Leg A": "No strength answers: the engineer must say",
        "Leg B": "1,500 psi, by the strip",
        "Leg C": "2,500 psi: by a table",
    }


def test_the_guide_stands_beside_the_model(house, clients):
    """ACI 306R Tables 5.1 and 3.1 (from memory and as restated by UFGS 03311): 3 days at 55 F under 12 in."""
    said = shown(clients["builder"], house, "&concrete_f=65")
    assert "keep the concrete at 55 °F or more for 72 h. The longer of guide and model holds" in said
    card = said[said.index("When may protection end?") : said.index("When may the bracing go")]
    assert re.search(r"In cold weather not before \w{3} \w{3} \d+, \d+:00 [ap]m by ACI 306R, 8 in section", card)


def hours_of(said: str) -> float:
    """Likely time to 500 psi [h]."""
    found = re.search(r"500 psi likely after ([\d.]+) (h|days)", said)
    return float(found[1]) * (24 if found[2] == "days" else 1)


def test_colder_concrete_takes_longer(house, clients):
    warm, cold = (shown(clients["builder"], house, f"&concrete_f={f}") for f in (75, 50))
    assert hours_of(cold) > hours_of(warm)


def test_covers_and_heat_are_said_and_do_not_slow_it(house, clients):
    bare = shown(clients["builder"], house, "&concrete_f=55")
    kept = shown(clients["builder"], house, "&concrete_f=55&blanket_r=4&blanket_days=5&heat_f=60&heat_days=4")
    assert "5 days, R 4 on both sides" in kept and "60 °F for 4 days" in kept
    assert hours_of(kept) <= hours_of(bare)


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("&concrete_f=", "Type the temperature of the concrete"),
        ("&pour_day=2031-01-01", "The weather is known for 0 h from that pour"),
        ("&pour_day=2027-03-14&pour_hour=2", "the clocks go forward over it"),
    ],
)
def test_what_cannot_be_worked_out_is_told(house, clients, query, said):
    answer = clients["builder"].get(url(house, "weather_strength", Stage.FULL_WALL) + "?pour_hour=10" + query)
    assert answer.status_code == 200 and said in words(answer)


@pytest.mark.parametrize("kind", [Stage.FOOTING, Stage.FULL_WALL])
def test_a_house_without_weather_is_told(cast, clients, kind):
    assert "No weather is here yet" in shown(clients["builder"], locked(cast), kind=kind)


# -- footings ----------------------------------------------------------------------------------------------
SOIL = "&concrete_f=60&soil_dry_pcf=100&soil_water=15&ground_f=48"


def footing(client, about, query=SOIL):
    return shown(client, about, query, Stage.FOOTING)


def test_soil_and_deep_ground_are_asked_and_never_guessed(house, clients):
    said = footing(clients["builder"], house, "")
    assert "Type the soil's dry weight, its water, the ground 8 ft below: nothing is taken for them." in said


def test_a_footing_has_its_edge_and_the_ground_under_it(house, clients):
    said = footing(clients["builder"], house)
    for each in (
        "When does its edge survive a freeze?", "Does the ground under the bare footing freeze before backfill?",
        "100 pcf dry, 15 % water", "Bare open ground by the formula", "freezing soil", "ready-mix supplier decide",
    ):  # fmt: skip
        assert each in said, each


def test_a_blanket_keeps_the_footing_from_freezing_young(house, clients):
    bare = footing(clients["builder"], house)
    kept = footing(clients["builder"], house, SOIL + "&blanket_r=8&blanket_days=12")
    assert "before it has 500 psi: protect it better" in bare
    assert "The edge likely freezes" not in kept


def test_a_footing_that_lies_there_already_is_looked_at_from_now_on(house, clients):
    said = footing(clients["builder"], house, SOIL + "&bare_from=now")
    assert "Looked at from now on." in said and "Frost by the model and by the formula" in said


def test_soil_that_cannot_be_is_told_beside_its_field(house, clients):
    answer = clients["builder"].get(url(house, "weather_strength", Stage.FOOTING) + "?soil_dry_pcf=10")
    assert answer.status_code == 422 and "give a number from 40 to 170 pcf" in words(answer)


def test_times_are_full_hours(house, clients):
    said = shown(clients["builder"], house, "&concrete_f=65")
    assert re.search(r"When does it survive a freeze\? \w{3} \w{3} \d+, \d+:00 [ap]m likely", said)


def test_both_pictures_are_drawn_for_a_phone_and_a_desk(house, clients):
    page = clients["builder"].get(url(house, "weather_strength", Stage.FULL_WALL) + f"?pour_day={today()}")
    ids = re.findall(r'<svg[^>]* id="([^"]+)"', page.content.decode())
    assert {"heat-desk", "heat-phone", "strength-desk", "strength-phone"} <= set(ids)
