"""Where the job is not as planned: four questions, each answered on the page of a revision."""

from __future__ import annotations

import copy
import html
import re
from dataclasses import replace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.readings import Given
from jobs import form_data, plans
from jobs.models import Event, FormSystemRecord, PlanRevision
from takeoff import differences as engine
from takeoff.differences import Topic
from takeoff.footing_as_poured import footing_as_poured
from takeoff.forms import GENERIC_16, GENERIC_18
from takeoff.orders import order_lines
from takeoff.plan import Stage
from takeoff.planfile import write_plan
from takeoff.short_delivery import short_delivery
from takeoff.units import Length, parse_length
from tests.cast import STRANGER
from tests.inspections.real import RealSite, document
from tests.inspections.visitor import read
from tests.inspections.world import evidence_for
from tests.takeoff.plans import garage

pytestmark = pytest.mark.look  # what is worked out and shown does not depend on the database


@pytest.fixture
def site(cast) -> RealSite:
    return RealSite(cast)


def ask(client, site, number=1, status=200, **asked):
    """The page as text after asking."""
    got = client.get(reverse("inspections:differences", args=[site.house.pk, number]), asked)
    assert got.status_code == status, got.status_code
    return re.sub(r"\s+", " ", html.unescape(got.content.decode()))


def shorter(site) -> PlanRevision:
    """Revision B: South and North two feet longer, the beam pockets of North where they were."""
    changed = copy.deepcopy(document())
    for leg in changed["walks"][0]["legs"]:
        if leg["name"] in ("South", "North"):
            feet, _, rest = leg["length"].partition("-")
            leg["length"] = f"{int(feet) + 2}-{rest}"
    return plans.lock(by=site.cast.builder, house=site.house, document=changed)


# -- the page ----------------------------------------------------------------------------------------
def test_nothing_is_answered_before_it_is_asked_and_nothing_is_written(site, clients):
    events = Event.objects.count()
    shown = ask(clients["field_lead"], site)
    assert all(part in shown for part in ('id="blocks"', 'id="short"', 'id="footing"', 'id="revised"'))
    assert 'class="answer"' not in shown and "Revision A is the first" in shown
    ask(clients["field_lead"], site, ask="footing", off_0="1/2", way_0="low")
    assert Event.objects.count() == events


def test_who_is_not_on_the_house_and_a_revision_that_is_not_there(site, clients):
    ask(clients[STRANGER], site, status=404)
    ask(clients["builder"], site, number=9, status=404)


def test_an_unknown_question_is_no_question(site, clients):
    assert 'class="answer"' not in ask(clients["builder"], site, ask="nonsense", stage="nowhere")


def test_a_house_of_another_plan_costs_no_more_queries(site, clients, cast):
    url = reverse("inspections:differences", args=[site.house.pk, 1])
    with CaptureQueriesContext(
        connection,
    ) as few:
        clients["builder"].get(url)
    shorter(site)
    with CaptureQueriesContext(connection) as more:
        clients["builder"].get(url)
    assert len(more) <= len(few)


@pytest.mark.parametrize("name", ["juniper-bend", "saltlick-lane"])
def test_every_question_is_answered_of_houses_with_several_sections(cast, clients, name):
    """Bent walls, ledges, 45 degree corners, a porch or a garage: whatever is asked has an answer."""
    site = RealSite(cast, name)
    plan = plans.takeoff_of(site.revision).plan
    last = {f"off_{len(plan.legs()) - 1}": "1 1/4", f"way_{len(plan.legs()) - 1}": "high"}
    asked: list[dict[str, str]] = [
        {"ask": "blocks", "planned": "generic-16", "came": "generic-18"},
        {"ask": "blocks", "planned": "generic-16", "came": "same", "height": "18"},
        {"ask": "short", "stage": "frost_wall", "came_0": "0", "came_1": "1"},
        {"ask": "short", "stage": "full_wall", "came_0": "20"},
        {"ask": "footing", "off_0": "0-0 3/4", "way_0": "low", **last},
    ]
    for question in asked:
        shown = ask(clients["builder"], site, **question)
        assert shown.count('class="answer"') == 1 and "It cannot be built" not in shown, question


def test_of_a_plan_with_two_systems_it_is_asked_which_was_planned(cast, clients):
    """The garage, a section of its own, is built of the others: each system may be traded for the other."""
    plan = garage()
    walks = tuple(
        replace(
            walk,
            legs=tuple(replace(leg, form="generic-18" if leg.section == "garage" else leg.form) for leg in walk.legs),
        )
        for walk in plan.walks
    )
    both = replace(plan, walks=walks, forms=(GENERIC_16, GENERIC_18))
    revision = plans.lock(by=cast.builder, house=cast.house, document=write_plan(both))
    url = reverse("inspections:differences", args=[cast.house.pk, revision.number])
    page = read(url, 200, clients["builder"].get(url).content.decode())
    form = page.form("What changes")
    assert form and form.choices("planned") == ["generic-16", "generic-18"]
    assert {"generic-16", "generic-18"} <= set(form.choices("came"))
    said = clients["builder"].get(url, {"ask": "blocks", "planned": "generic-18", "came": "generic-16"})
    assert said.status_code == 200 and b'class="answer"' in said.content
    same = clients["builder"].get(url, {"ask": "blocks", "planned": "generic-18", "came": "generic-18"})
    assert same.status_code == 422 and "choose what came instead" in same.content.decode()
    short = clients["builder"].get(url, {"ask": "short", "stage": "frost_wall", "came_0": "0"})
    assert short.status_code == 200 and "generic-1" in short.content.decode()


# -- other blocks ------------------------------------------------------------------------------------
def test_other_blocks_of_the_plan_are_told_item_by_item(site, clients):
    shown = ask(clients["inspector"], site, ask="blocks", planned="generic-18", came="generic-16")
    made = plans.takeoff_of(site.revision)
    wanted = engine.other_form(_knows_both(made), {"generic-18": "generic-16"})
    assert 'Generic sixteen (invented), 16" high, instead of Generic eighteen (invented), 18" high.' in shown
    units = [d for d in wanted if d.topic is Topic.UNITS]
    assert units and all(f'<th scope="row">{d.item}</th>' in shown for d in units)
    assert 'course 1: 18" → 16"' in shown and "South, East, North, West" in shown
    assert "7 levels of horizontal bars, not 6." in shown
    assert 'are 12 3/4" thick, not 13 3/4"' in shown


def _knows_both(made):
    """A takeoff whose plan carries both invented systems."""
    return replace(made, plan=replace(made.plan, forms=(GENERIC_16, GENERIC_18)))


def test_the_same_blocks_of_another_height(site, clients):
    shown = ask(clients["builder"], site, ask="blocks", planned="generic-18", came="same", height="16")
    assert 'course 1: 18" → 16"' in shown and "thick, not" not in shown


def test_blocks_of_the_firm_that_the_walls_cannot_be_built_of(site, clients):
    thin = replace(GENERIC_18, key="thin", name="Thin ones", corners=GENERIC_18.corners[:1], corners_45=())
    FormSystemRecord.objects.create(firm=site.cast.firm, key="thin", data=form_data.to_data(thin))
    shown = ask(clients["builder"], site, ask="blocks", planned="generic-18", came="thin")
    assert "It cannot be built with these units." in shown and "To order and to return" not in shown


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"came": ""}, "Choose what came."),
        ({"came": "nowhere"}, "Choose what came from the list."),
        ({"came": "same"}, "Say how high the blocks are that came"),
        ({"came": "same", "height": "3"}, 'face height of what came is between 6" and 48"'),
        ({"came": "same", "height": "<b>high"}, "“<b>high” is not a length"),
    ],
)
def test_what_cannot_be_read_is_told_and_stays_typed(site, clients, asked, sentence):
    got = ask(clients["builder"], site, status=422, ask="blocks", planned="generic-18", **asked)
    assert sentence in got and "Not worked out yet" in got and 'class="answer"' not in got
    if "height" in asked and "<" not in asked["height"]:
        assert f'value="{asked["height"]}"' in got


# -- a short delivery --------------------------------------------------------------------------------
def counted(site, stage=Stage.FULL_WALL) -> dict[str, int]:
    """Key -> its place on the form."""
    lines = [x for x in order_lines(plans.takeoff_of(site.revision), stage) if not x.key.endswith("concrete")]
    return {line.key: place for place, line in enumerate(lines)}


def test_a_short_delivery_says_how_far_the_crew_gets(site, clients):
    at = counted(site)
    asked = {f"came_{at['blocks.corner']}": "12", f"came_{at['bars.stock.#5.40ft']}": "20"}
    shown = ask(clients["field_lead"], site, ask="short", stage="full_wall", **asked)
    found = short_delivery(plans.takeoff_of(site.revision), Stage.FULL_WALL, {"blocks.corner": 12})
    assert found.say[0] in shown and ", ".join(found.must_wait) in shown
    assert all(d.item in shown for d in found.items if d.change < 0)
    assert "corners made in the field take" in shown and "brace both walls" in shown
    assert "Bars #5, 40'-0\" stock: 20 of 24 x bar 40 ft came, 4 x bar 40 ft missing." in shown


def test_everything_that_came_is_enough(site, clients):
    at = counted(site)
    shown = ask(clients["field_lead"], site, ask="short", stage="full_wall", **{f"came_{at['blocks.corner']}": "25"})
    assert "Everything this stage needs is here." in shown and "<caption>Missing</caption>" not in shown


def test_a_stage_without_blocks_is_counted_too(site, clients):
    at = counted(site, Stage.WATERPROOFING)
    shown = ask(
        clients["field_lead"], site, ask="short", stage="waterproofing", **{f"came_{at['membrane.rolls']}": "6"}
    )
    assert "6 of 8 x roll 39 in x 65 ft came, 2 x roll 39 in x 65 ft missing." in shown


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("-1", "That is too small; give a number from 0 to 100,000."),
        ("many", "That is not a number; give a number from 0 to 100,000."),
        ("", "Say of at least one item how many came"),
    ],
)
def test_a_count_that_is_none_is_told(site, clients, typed, sentence):
    shown = ask(clients["field_lead"], site, status=422, ask="short", stage="full_wall", came_0=typed)
    assert sentence in shown
    assert not typed or f'value="{typed}"' in shown


# -- a footing off its level -------------------------------------------------------------------------
def test_a_low_leg_is_built_up_or_the_rest_is_ripped(site, clients):
    shown = ask(clients["engineer"], site, ask="footing", off_0="3/4", way_0="low", off_1="1", way_1="high")
    low = {"South": Length.inches("0.75"), "East": -Length.inches(1)}
    said = [d.say.replace("yd3", "yd³").replace("ft3", "ft³") for d in footing_as_poured(_made(site), low)]
    assert said and all(sentence in shown for sentence in said)
    assert 'Leg South 3/4" low, leg East 1" high, the rest at its level.' in shown
    assert "A: Build the low legs up" in shown and "engineer of record before the first course is set" in shown


def _made(site):
    return plans.takeoff_of(site.revision)


def test_levels_on_record_are_filled_in_where_they_differ(site, clients):
    """South 3/4 in low, North 1/8 in high, the others at their level: two legs are filled in."""
    site.through(Stage.FOOTING, *site.legs, until="pour_footing")
    site.work(Stage.FOOTING, "pour_footing", *site.legs)
    off = {"South": -0.75, "North": 0.125}
    levels = {leg.name: leg.footing_top.inch + off.get(leg.name, 0.0) for leg in _made(site).plan.legs()}
    usual = [e for e in evidence_for(site.point(Stage.FOOTING, "footing_top"), site.legs) if e.key != "levels"]
    shot = [Given("levels", leg=leg, number=level, text=f"{level}") for leg, level in levels.items()]
    site.present(Stage.FOOTING, "footing_top", *site.legs, evidence=(*usual, *shot))
    url = reverse("inspections:differences", args=[site.house.pk, 1])
    page = read(url, 200, clients["surveyor"].get(url).content.decode())
    assert page.text.count("as shot</span>") == 2
    sent = next(form for form in page.forms if form.button("What to do")).fields
    amounts = [parse_length(each.value or "0").inch for each in sent if each.name.startswith("off_")]
    ways = [each.value for each in sent if each.name.startswith("way_") and each.sends]
    assert amounts == [0.75, 0, 0.125, 0] and ways == ["low", "low", "high", "low"]


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"off_0": ""}, "Say of at least one leg how far its footing is off"),
        ({"off_0": "-1/2"}, "Leg South: give the amount without a sign"),
        ({"off_0": "18"}, 'Leg South: 18" is a whole course of 18" or more'),
        ({"off_0": "low"}, "“low” is not a length"),
        ({"off_0": "1", "way_0": "sideways"}, "sideways"),
    ],
)
def test_an_amount_that_is_none_is_told(site, clients, asked, sentence):
    shown = ask(clients["field_lead"], site, status=422, ask="footing", **asked)
    assert sentence in shown
    assert not asked["off_0"] or f'value="{asked["off_0"]}"' in shown


# -- a plan revised after ordering -------------------------------------------------------------------
def test_a_revision_after_ordering_says_what_to_add_and_which_releases_are_void(site, clients):
    site.passed(Stage.FOOTING, "footing_steel", *site.legs)
    newer = shorter(site)
    shown = ask(clients["builder"], site, number=2, ask="revised", ordered="1")
    found = engine.revised(_made(site), plans.takeoff_of(newer))
    assert all(d.say in shown for d in found if d.topic in (Topic.BARS, Topic.BUCKS))
    assert shown.index("<h3>Block yard</h3>") < shown.index("<h3>Reinforcing steel</h3>") < shown.index("<h3>Ready-mix")
    more = next(d for d in found if d.key == "footing.concrete").change / 4
    assert f"Add {more:g} yd³" in shown
    assert "Releases that became void" in shown and "given on A, to be asked for again" in shown
    assert "Ordered on A for all stages, to be built to B" in shown


def test_only_what_was_ordered_so_far_is_told(site, clients):
    shorter(site)
    shown = ask(clients["builder"], site, number=2, ask="revised", ordered="1", stages="footing")
    assert "Footing concrete" in shown and "Wall concrete" not in shown and "None: every release" in shown


def test_of_a_revision_not_in_force_no_release_is_told(site, clients):
    shorter(site)
    plans.lock(by=site.cast.builder, house=site.house, document=document() | {"title": "Back again"})
    shown = ask(clients["builder"], site, number=2, ask="revised", ordered="1")
    assert "Revision C is in force; releases are told" in shown


def test_a_later_revision_cannot_have_been_ordered_on(site, clients):
    shorter(site)
    shown = ask(clients["builder"], site, number=2, status=422, ask="revised", ordered="2")
    assert "Choose one of the earlier revisions of the list." in shown


def test_two_revisions_compared_say_what_to_add_and_return(site, clients):
    newer = shorter(site)
    url = reverse("jobs:revision_compare", args=[site.house.pk, newer.number, 1])
    shown = html.unescape(clients["engineer"].get(url).content.decode())
    assert "Order: add, return" in shown and "<h3>Block yard</h3>" in shown and "Tell them" in shown
