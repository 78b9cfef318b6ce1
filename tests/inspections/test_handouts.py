"""Hand-outs: what stands on each part, on how many pages, for whom; every stage of every sample plan prints."""

from __future__ import annotations

import io
import json
import logging
import re
import shutil
import subprocess
import threading
from html import unescape
from pathlib import Path

import pikepdf
import pytest
from django.conf import settings
from django.urls import reverse
from django.utils.timezone import now

from inspections.exceptions import NotOnThisStage
from inspections.handouts import document, orders, tables
from inspections.handouts.crew import crew
from inspections.handouts.numbers import amount, to_meet, tolerances
from inspections.handouts.request import request as request_of
from inspections.handouts.subject import subject_of
from inspections.legs import in_runs
from inspections.models import Presentation
from jobs import pdf, plans
from jobs.models import House, HouseStage
from jobs.suppliers import supplier_of
from takeoff.orders import order_lines
from takeoff.plan import Stage
from takeoff.planfile import write_plan
from takeoff.site import ConcreteSpec
from tests.cast import Cast
from tests.inspections.printed import ADDRESS, example, locked, subject, words
from tests.inspections.world import Site
from tests.takeoff import plans as sample_plans

pytestmark = pytest.mark.look

EXAMPLES = sorted((Path(settings.BASE_DIR) / "jobs" / "examples").glob("*.json"))


@pytest.fixture(autouse=True)
def _no_words_from_the_engine(caplog):
    """Every test here fails on a warning of the PDF engine."""
    caplog.set_level(logging.WARNING, logger="weasyprint")
    yield
    assert [r.getMessage() for r in caplog.records if r.name.startswith("weasyprint")] == []


def pages(content: bytes) -> int:
    with pikepdf.open(io.BytesIO(content)) as opened:
        return len(opened.pages)


# -- every stage of every plan ---------------------------------------------------------------------
@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_stage_of_every_example_prints(cast, path):
    revision = locked(cast, json.loads(path.read_text()))
    for stage in revision.house.stages.all():
        printed = subject_of(revision.house, stage, revision, now())
        made = document.page(printed, ADDRESS)
        assert not re.search(r"<table[^>]*>\s*<tr", made.html), "a table without a body is styled otherwise"
        assert pages(pdf.render_pdf(made.html, made.drawings)) >= 3
        said = words(made.html)
        for part in document.PARTS.values():
            assert part in said
        assert set(re.findall(r'src="drawing:([^"]+)"', made.html)) == set(made.drawings)


SAMPLES = (
    *("rectangle", "l_shape", "bay", "porch_arc", "round_corner", "tee", "garage"),
    *("stepped", "openings", "ledge", "two_cores", "second_ring", "walkout"),
)


@pytest.mark.slow
@pytest.mark.parametrize(("turn", "name"), list(enumerate(SAMPLES)), ids=SAMPLES)
def test_every_stage_of_every_sample_plan_has_its_tables_and_one_goes_to_paper(cast, turn, name):
    """Of the first plan the first stage, of the next plan the next: drawing and printing take their time."""
    revision = locked(cast, write_plan(getattr(sample_plans, name)()))
    for stage in revision.house.stages.all():
        printed = subject_of(revision.house, stage, revision, now())
        if stage.position == turn % 6 + 1:
            made = document.page(printed, ADDRESS)
            assert set(re.findall(r'src="drawing:([^"]+)"', made.html)) == set(made.drawings)
            assert pages(pdf.render_pdf(made.html, made.drawings)) >= 3
        elif printed.legs:
            assert to_meet(printed)
            assert orders.orders(printed).groups
            assert request_of(printed).asked
            on_walls = stage.stage_kind in (Stage.FROST_WALL, Stage.FULL_WALL)
            assert bool(tables.course_rows(printed, printed.takeoff)) == on_walls


def test_a_stage_that_no_leg_goes_through_says_so(cast):
    revision = locked(cast, example("kettle-road"))
    said = words(document.page(subject(revision, Stage.FROST_WALL), ADDRESS).html)
    assert said.count("No leg goes through this stage on revision A") == 3


# -- one document ----------------------------------------------------------------------------------
@pytest.mark.slow
def test_pages_are_counted_through_all_parts(juniper):
    whole = document.pdf(subject(juniper, Stage.WATERPROOFING), ADDRESS)
    parts = [document.pdf(subject(juniper, Stage.WATERPROOFING), ADDRESS, part) for part in document.PARTS]
    assert pages(whole) == sum(pages(part) for part in parts)
    assert all(pages(part) < pages(whole) for part in parts)


@pytest.mark.slow
def test_every_page_names_house_lot_stage_revision_date_and_page(juniper):
    printed = subject(juniper, Stage.WATERPROOFING)
    made = document.page(printed, ADDRESS)
    sheets = texts(pdf.render_pdf(made.html, made.drawings), made.html)
    for number, said in enumerate(sheets, 1):
        for word in ("Juniper Bend", "lot 14", "Waterproofing", "Plan revision A", "S-1 rev. 3"):
            assert word in said, (number, word)
        assert f"Printed {document.printed(printed)}" in said
        assert len(sheets) == 1 or f"Page {number} of {len(sheets)}" in said


def texts(content: bytes, html: str) -> list[str]:
    """What stands on each page, where pdftotext is there to read it; else what the page was made from."""
    if not shutil.which("pdftotext"):
        return [words(html)]
    command = ["pdftotext", "-layout", "-", "-"]
    text = subprocess.run(command, input=content, capture_output=True, check=True).stdout.decode()
    return [" ".join(sheet.split()) for sheet in text.split("\f")[:-1]]


def test_the_code_leads_to_the_stage(juniper):
    made = document.page(subject(juniper, Stage.FOOTING), ADDRESS)
    assert document.qr(ADDRESS) in made.html
    assert f"Code that leads to this stage: {ADDRESS}" in unescape(made.html)
    assert document.qr(ADDRESS) != document.qr(ADDRESS + "x")


def test_long_names_are_wrapped_not_cut(cast):
    name = "Unternehmerischgrundstuecksverwaltungsgesellschaft " * 2
    revision = locked(cast, example("kettle-road"), name=name.strip()[:120], address="x" * 180)
    assert pages(document.pdf(subject(revision, Stage.FOOTING), ADDRESS, "order")) >= 1


def test_what_people_typed_stays_text(cast):
    revision = locked(cast, example("kettle-road"), name='<img src="file:///etc/hostname">')
    html = document.page(subject(revision, Stage.FOOTING), ADDRESS).html
    assert "<img src=&quot;file" not in html
    assert "&lt;img src=" in html


# -- crew sheet ------------------------------------------------------------------------------------
def test_the_crew_sheet_prints_the_numbers_of_the_locked_revision(juniper):
    printed = subject(juniper, Stage.FULL_WALL)
    said = words(document.page(printed, ADDRESS, "crew").html)
    asked = {c.key for c in printed.frozen.criteria if c.stage is Stage.FULL_WALL and "K" not in c.legs[:1]}
    shown = {f.key for f in (*to_meet(printed), *tolerances(printed))}
    assert shown == asked
    for criterion in printed.frozen.criteria:
        if criterion.stage is Stage.FULL_WALL and printed.about(criterion.legs):
            assert words(criterion.text.replace("yd3", "yd³")) in said


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (38.0, "in", '38"'),
        (0.25, "in", '1/4"'),
        (72.0, "in", "6'-0\""),
        (5.0, "#", "#5"),
        (55.0, "F", "55 °F"),
        (3000.0, "psi", "3,000 psi"),
        (36.25, "yd3", "36.25 yd³"),
        (0.375, "in per 50 ft", '3/8" per 50 ft'),
        (6.0, "rows", "6 rows"),
    ],
)
def test_numbers_are_said_as_on_site(value, unit, said):
    assert amount(value, unit) == said


def test_every_point_of_the_stage_is_a_check_with_who_releases_it(juniper):
    printed = subject(juniper, Stage.FULL_WALL)
    said = words(document.page(printed, ADDRESS, "crew").html)
    lines = [line for group in crew(printed).groups for line in group.points]
    own = [leg for leg in printed.facts.legs if leg.name in printed.legs]
    assert len(lines) == len([p for p in printed.row.process.points if any(p.applies(leg) for leg in own)])
    for line in lines:
        assert line.title in said
        assert line.released_by in said
    assert "nobody releases what they presented" in said
    assert "Local code, the engineer of record and licensed practice come before this sheet" in said


def test_wall_stages_have_an_elevation_for_every_leg(juniper):
    made = document.page(subject(juniper, Stage.FULL_WALL), ADDRESS, "crew")
    assert {name for name in made.drawings if name.startswith("elevation-")} == {f"elevation-{x}" for x in "ABCDEFGHIJ"}
    assert "plan" in made.drawings
    assert "section-A" in made.drawings


def test_fill_against_each_leg_is_told_with_its_bracing(juniper):
    said = words(document.page(subject(juniper, Stage.FINAL_BACKFILL), ADDRESS, "crew").html)
    assert "held at top and foot before filling" in said
    assert "waived: under 4.0 ft; strength is not" in said


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("A B C E", "A to C, E"),
        ("A B", "A, B"),
        ("C D G1 G2 G3", "C, D, G1 to G3"),
        ("G9 G10 G11", "G9 to G11"),
        ("South East North", "South, East, North"),
        ("Z Ä 1 2", "Z, Ä, 1, 2"),
    ],
)
def test_names_spelled_one_after_the_other_are_written_as_a_run(names, said):
    assert in_runs(names.split()) == said


# -- some legs only --------------------------------------------------------------------------------
def test_a_section_prints_its_own_legs(juniper):
    printed = subject(juniper, Stage.FROST_WALL, sections=["porch"])
    assert printed.legs == ("K",)
    made = document.page(printed, ADDRESS)
    assert {name for name in made.drawings if name.startswith("elevation-")} == {"elevation-K"}
    assert "Frost wall, leg K" in words(made.html)


def test_named_legs_print_alone_and_the_order_says_what_it_counts(juniper):
    printed = subject(juniper, Stage.FULL_WALL, legs=["C", "A"])
    assert printed.legs == ("A", "C")
    said = words(document.page(printed, ADDRESS, "order").html)
    assert "this order covers the whole of Main basement" in said


@pytest.mark.parametrize("chosen", [{"sections": ["attic"]}, {"legs": ["Z"]}, {"legs": ["K"]}])
def test_a_leg_or_section_the_stage_lacks_is_refused_by_name(juniper, chosen):
    with pytest.raises(NotOnThisStage, match=next(iter(chosen.values()))[0]):
        subject(juniper, Stage.WATERPROOFING, **chosen)


# -- order sheet -----------------------------------------------------------------------------------
@pytest.mark.parametrize("kind", list(Stage))
def test_every_order_line_stands_once_with_its_rounding_shown(juniper, kind):
    printed = subject(juniper, kind)
    sheet = orders.orders(printed)
    wanted = order_lines(printed.takeoff, kind)
    shown = [line for group in sheet.groups for line in group.lines]
    assert sorted(line.label for line in shown) == sorted(line.label for line in wanted)
    assert sorted(line.basis for line in shown) == sorted(line.basis for line in wanted)
    assert all(line.amount and line.order and line.arrives for line in shown)


@pytest.mark.parametrize(
    ("key", "supplier"),
    [
        ("blocks.corner_left", "Block yard"),
        ("bars.stock.#5", "Reinforcing steel"),
        ("footing.concrete", "Ready-mix"),
        ("wall.concrete", "Ready-mix"),
        ("footing.forms", "Lumber, braces and the rest"),
        ("membrane.area", "Membrane and drain"),
        ("drain.pipe", "Membrane and drain"),
        ("drain.bend_90", "Membrane and drain"),
        ("drain.stone", "Stone and earth"),
        ("backfill.loose", "Stone and earth"),
        ("excavation.haul", "Stone and earth"),
        ("membrane.rolls", "Membrane and drain"),
        ("board.rolls", "Membrane and drain"),
        ("forms.straps", "Block yard"),
        ("blocks.end_caps", "Block yard"),
        ("radius.lath", "Lumber, braces and the rest"),
        ("something.new", "Lumber, braces and the rest"),
    ],
)
def test_each_key_has_its_supplier(key, supplier):
    assert supplier_of(key).title == supplier


@pytest.mark.parametrize(
    ("spec", "said"),
    [
        (ConcreteSpec(), "not decided"),
        (ConcreteSpec(slump_in=6.0), "6 in, not approved by anybody yet"),
        (ConcreteSpec(slump_in=5.5, slump_approved_by="E. Larsen, P.E."), "5.5 in, approved by E. Larsen, P.E."),
    ],
)
def test_slump_is_never_said_without_who_approved_it(spec, said):
    assert orders.slump(spec) == said


def test_the_order_says_what_the_plant_and_the_yard_must_know(juniper):
    said = words(document.page(subject(juniper, Stage.FULL_WALL), ADDRESS, "order").html)
    assert re.search(r"[Ss]lump\s*not decided", said)
    assert re.search(r"[\d.]+ yd³ Main basement [\d.]+", said) and "× quarter yard" not in said
    assert "55 °F or more at discharge" in said
    assert "trucks: 9 + 9" in said
    assert "Counted on plan revision A" in said
    assert "Anything ordered on an older revision is held" in said


def test_amounts_are_those_of_the_day_the_revision_was_locked(juniper):
    """A better engine must not change what people ordered against."""
    frozen = json.loads(json.dumps(juniper.frozen))
    for quantity in frozen["quantities"]:
        if quantity["key"] == "wall.concrete" and quantity["stage"] == "full_wall" and quantity["section"] == "main":
            quantity["amount"] = 99.0
    juniper.frozen = frozen
    printed = subject(juniper, Stage.FULL_WALL)
    assert "99 yd3" in next(
        line.amount for group in orders.orders(printed).groups for line in group.lines if line.label == "Wall concrete"
    )


# -- inspection request ----------------------------------------------------------------------------
@pytest.fixture
def worked(cast: Cast) -> Site:
    """The cast's house with a locked example, and short verbs over the real actions."""
    site = Site.__new__(Site)
    site.cast, site.house = cast, cast.house
    site.revision = plans.lock(by=cast.builder, house=cast.house, document=example("saltlick-lane"))
    return site


def request_for(site: Site, kind: Stage):
    return request_of(subject_of(site.house, site.stage(kind), site.revision, now()))


def test_a_first_request_says_that_nothing_was_decided(worked):
    sheet = request_for(worked, Stage.FOOTING)
    assert sheet.since == ""
    assert sheet.corrections == []
    assert [a.title for a in sheet.asked] == [p.title for p in worked_points(worked, Stage.FOOTING)]


def worked_points(site: Site, kind: Stage):
    from inspections.stages import BY_KIND

    legs = plans.facts_of(plans.takeoff_of(site.revision)).legs
    return [p for p in BY_KIND[kind].points if any(p.applies(leg) for leg in legs)]


def test_evidence_readings_and_deviations_are_shown_with_their_numbers(worked):
    worked.present(Stage.FOOTING, "footing_steel", "A", "B", deviation="The engineer was told on the phone.")
    asked = next(a for a in request_for(worked, Stage.FOOTING).asked if a.title == "Footing forms and steel")
    assert asked.standings[0].startswith("Presented on legs A, B")
    assert asked.standings[1] == "Not presented yet on legs C, D, G1 to G3."
    width = next(r for r in asked.readings if r.label.startswith("Narrowest width"))
    assert (width.found, width.verdict) == ('0"', "OUTSIDE")
    assert "20" in width.required
    assert any("1 file" in r.found for r in asked.readings)
    assert asked.deviations == ("The engineer was told on the phone.",)


def test_what_is_released_asks_for_nothing_more(worked):
    legs = [leg.name for leg in plans.facts_of(plans.takeoff_of(worked.revision)).legs]
    worked.present(Stage.FOOTING, "footing_steel", "A", deviation="told")
    worked.present(Stage.FOOTING, "footing_steel", "B", deviation="told")
    steel = next(a for a in request_for(worked, Stage.FOOTING).asked if a.title == "Footing forms and steel")
    assert not steel.settled
    assert {r.label.rpartition(", ")[2] for r in steel.readings} == {"leg A", "leg B"}
    worked.release(worked.present(Stage.FOOTING, "footing_steel", *legs, deviation="told"))
    steel = next(a for a in request_for(worked, Stage.FOOTING).asked if a.title == "Footing forms and steel")
    assert steel.settled
    assert steel.readings == ()
    assert steel.standings[0].startswith("Released by Inspector Person (inspector)")


def test_a_rejection_is_an_open_correction_and_what_came_after_is_told(worked):
    rejected = worked.reject(worked.present(Stage.FOOTING, "footing_steel", "A", deviation="told"), "Lap is short.")
    sheet = request_for(worked, Stage.FOOTING)
    assert [(c.title, c.legs, c.reason) for c in sheet.corrections] == [
        ("Footing forms and steel", "leg A", "Lap is short.")
    ]
    assert sheet.since
    worked.close(rejected)
    worked.present(Stage.FOOTING, "footing_steel", "A", deviation="told")
    sheet = request_for(worked, Stage.FOOTING)
    assert sheet.corrections == []
    assert sheet.changes[0] == "Correction of “Footing forms and steel” on leg A closed."
    assert sheet.changes[1].startswith("“Footing forms and steel” presented on leg A by Field lead Person")


def test_a_new_revision_says_on_which_legs_the_stage_changed(worked):
    worked.release(worked.present(Stage.FOOTING, "footing_steel", "A", "G1", deviation="told"))
    changed = example("saltlick-lane")
    changed.setdefault("spec", {}).setdefault("footing", {})["thickness"] = "12"
    worked.revision = plans.lock(by=worked.cast.builder, house=worked.house, document=changed)
    sheet = request_for(worked, Stage.FOOTING)
    assert sheet.changes == ["Plan revision A became B: this stage changed on all legs."]
    asked = next(a for a in sheet.asked if a.title == "Footing forms and steel")
    assert "on revision A, before the plan changed there: present it again." in asked.standings[0]


def test_the_request_has_room_to_decide_and_says_that_paper_opens_no_gate(worked):
    printed = subject_of(worked.house, worked.stage(Stage.FOOTING), worked.revision, now())
    said = words(document.page(printed, ADDRESS, "request").html)
    for word in ("Conditions", "Reason, where rejected", "Signature", "Only the entry opens the gate"):
        assert word in said


# -- the address -----------------------------------------------------------------------------------
def address(house: House, stage: HouseStage) -> str:
    return reverse("inspections:handout", args=[house.pk, stage.pk])


@pytest.mark.parametrize("part", ["builder", "field_lead", "inspector", "engineer", "surveyor"])
def test_everybody_on_the_house_gets_the_pdf(worked, clients, part):
    found = clients[part].get(address(worked.house, worked.stage(Stage.WATERPROOFING)) + "?part=order")
    assert found.status_code == 200
    assert found["Content-Type"] == "application/pdf"
    assert found.content.startswith(b"%PDF-")
    assert 'filename="lot-12-waterproofing-rev-a-order.pdf"' in found["Content-Disposition"]
    assert "private" in found["Cache-Control"]


def test_others_get_nothing(worked, clients):
    where = address(worked.house, worked.stage(Stage.FOOTING))
    assert clients["stranger"].get(where).status_code == 404
    assert clients["anonymous"].get(where).status_code == 302
    strange = worked.cast.strange_house
    assert clients["builder"].get(address(worked.house, strange.stages.first())).status_code == 404
    assert clients["builder"].post(where).status_code == 405


def test_without_a_locked_plan_a_page_says_so(cast, clients):
    found = clients["field_lead"].get(address(cast.house, cast.house.stages.first()))
    assert found.status_code == 409
    assert "No plan revision is locked yet" in found.content.decode()


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("part=invoice", "There is no part “invoice”; a hand-out has crew, order, request."),
        ("section=attic", "There is no section “attic” in revision A"),
        ("legs=A,Q", "Leg “Q” is not part of “Footing”"),
    ],
)
def test_what_is_not_there_is_said_in_a_sentence(worked, clients, query, sentence):
    found = clients["builder"].get(f"{address(worked.house, worked.stage(Stage.FOOTING))}?{query}")
    assert found.status_code == 404
    assert sentence in unescape(found.content.decode())


def test_without_pango_a_page_says_which_line_to_run(worked, clients, monkeypatch):
    def missing(name: str) -> object:
        raise OSError("cannot load library")

    monkeypatch.setattr(pdf, "import_module", missing)
    monkeypatch.setattr(pdf, "_KEPT", threading.local())
    found = clients["builder"].get(address(worked.house, worked.stage(Stage.FOOTING)))
    assert found.status_code == 503
    assert pdf.INSTALL_LINE in found.content.decode()


def test_a_hand_out_asks_the_database_the_same_number_of_questions_however_much_is_recorded(
    worked, django_assert_max_num_queries
):
    for leg in "ABCD":
        worked.present(Stage.FOOTING, "footing_steel", leg, deviation="told")
    assert Presentation.objects.count() == 4
    with django_assert_max_num_queries(16):
        document.page(subject_of(worked.house, worked.stage(Stage.FOOTING), worked.revision, now()), ADDRESS)
