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
from inspections.handouts import cutting, document, orders, steel, tables
from inspections.handouts.crew import crew
from inspections.handouts.numbers import amount, to_meet, tolerances
from inspections.handouts.request import request as request_of
from inspections.handouts.subject import Subject, subject_of
from inspections.legs import in_runs
from inspections.models import Presentation
from jobs import pdf, plans
from jobs.models import House, HouseStage, PlanRevision
from jobs.suppliers import supplier_of
from takeoff.orders import order_lines
from takeoff.plan import Stage
from takeoff.planfile import write_plan
from takeoff.site import ConcreteSpec
from tests.cast import Cast
from tests.factories import HouseFactory
from tests.inspections.world import Site
from tests.takeoff import plans as sample_plans

EXAMPLES = sorted((Path(settings.BASE_DIR) / "jobs" / "examples").glob("*.json"))
ADDRESS = "http://site.example/houses/1/stages/2/"


@pytest.fixture(autouse=True)
def _no_words_from_the_engine(caplog):
    """Every test here fails on a warning of the PDF engine."""
    caplog.set_level(logging.WARNING, logger="weasyprint")
    yield
    assert [r.getMessage() for r in caplog.records if r.name.startswith("weasyprint")] == []


def locked(cast: Cast, plan: dict, **house: str) -> PlanRevision:
    """A plan locked on a house of its own."""
    return plans.lock(by=cast.builder, house=HouseFactory(firm=cast.firm, **house), document=plan)


def example(name: str) -> dict:
    return json.loads((Path(settings.BASE_DIR) / "jobs" / "examples" / f"{name}.json").read_text())


def subject(revision: PlanRevision, kind: Stage, **chosen: list[str]) -> Subject:
    stage = revision.house.stages.get(kind=kind)
    return subject_of(revision.house, stage, revision, now(), **chosen)


def words(html: str) -> str:
    """What a page says, in one line."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def pages(content: bytes) -> int:
    with pikepdf.open(io.BytesIO(content)) as opened:
        return len(opened.pages)


@pytest.fixture
def juniper(cast: Cast) -> PlanRevision:
    """The largest example, with everything a head can name."""
    return locked(
        cast,
        example("juniper-bend"),
        name="Juniper Bend",
        lot="14",
        address="14 Juniper Bend Road",
        jurisdiction="Township of Elder Falls",
        permit_number="EF-118",
    )


# -- every stage of every plan ---------------------------------------------------------------------
@pytest.mark.look
@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_stage_of_every_example_prints(cast, path):
    revision = locked(cast, json.loads(path.read_text()))
    for stage in revision.house.stages.all():
        printed = subject_of(revision.house, stage, revision, now())
        made = document.page(printed, ADDRESS)
        assert pages(pdf.render_pdf(made.html, made.drawings)) >= 3
        said = words(made.html)
        for part in document.PARTS.values():
            assert part in said
        assert set(re.findall(r'src="drawing:([^"]+)"', made.html)) == set(made.drawings)


SAMPLES = (
    *("rectangle", "l_shape", "bay", "porch_arc", "round_corner", "tee", "garage"),
    *("stepped", "openings", "ledge", "two_cores", "second_ring", "walkout"),
)


@pytest.mark.look
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


def test_the_course_table_adds_up_to_the_units_of_the_stage(juniper):
    printed = subject(juniper, Stage.FULL_WALL)
    rows = tables.course_rows(printed, printed.takeoff)
    taken = sum(
        len(row.courses.split(", ")) * int(count)
        for row in rows
        for count in re.findall(r"(\d+) (?:whole|cut|corner|mitred|brick ledge)", row.take)
    )
    own = [u for u in printed.takeoff.units if u.stage is Stage.FULL_WALL and u.leg in printed.legs]
    assert taken == sum(u.counted for u in own)


def test_the_bar_table_adds_up_to_the_bars_of_the_stage(juniper):
    printed = subject(juniper, Stage.FULL_WALL)
    rows = [row for group in steel.bar_groups(printed) for row in group.rows]
    own = [b for b in printed.takeoff.bars if b.stage is Stage.FULL_WALL and b.leg in printed.legs]
    assert sum(row.count for row in rows) == sum(b.count for b in own)
    assert {row.mark for row in rows} == {b.mark for b in own}
    for row in rows:
        if "each on" not in row.where:
            assert sum(int(count) for count in re.findall(r" (\d+)(?:,|$)", row.where)) == row.count


def test_cover_and_tolerance_stand_beside_the_bars(juniper):
    """IRC 2021 R404.1.3.3.7.2 and .4, as read in a public copy of the code: upright bars of an 8 in core lie within
    10% of it, 3/4 in to the eighth below, of the middle; 3/4 in cover to a stay-in-place form; 3 in to earth."""
    groups = {group.use: group for group in steel.bar_groups(subject(juniper, Stage.FULL_WALL))}
    assert groups["vertical"].tolerance == '± 3/4" across the wall'
    assert groups["vertical"].cover == 'middle of the bar 4" from each face of the concrete'
    assert groups["horizontal"].cover == '3/4" to the foam'
    footing = {group.use: group for group in steel.bar_groups(subject(juniper, Stage.FOOTING))}
    assert footing["along the footing"].cover == '3" to the earth below and beside'


def test_bars_of_pads_and_pads_stand_on_the_footings_sheets(juniper):
    printed = subject(juniper, Stage.FOOTING)
    pads = next(group for group in steel.bar_groups(printed) if group.use == "in a pad")
    assert [(row.count, row.where) for row in pads.rows] == [(10, "pad F2 10"), (16, "pad F1 16")]
    assert [(pad.name, pad.count) for pad in crew(printed).pads] == [("F1", 2), ("F2", 1)]
    assert cutting.pad_rows(subject(juniper, Stage.FULL_WALL)) == []


# -- strength, lintels, forms, the pour ------------------------------------------------------------
def test_every_check_of_the_steel_is_told_with_its_verdict_and_the_caution(juniper):
    printed = subject(juniper, Stage.FULL_WALL)
    found = crew(printed).steel
    assert found is not None
    for state in ("filled before the slab is placed", "in the finished house"):
        told = ", ".join(row.legs for row in found.rows if row.state == state)
        assert told.startswith("A to E, F from 0'-0\" to 12'-0\", J from 18'-0\" to 40'-0\"")
        assert "G to I" in told
    assert {row.verdict for row in found.rows} == {"ENOUGH"}
    said = words(document.page(printed, ADDRESS, "crew").html)
    assert "Is the steel enough?" in said
    assert "the local code and the engineer of record decide" in said
    assert crew(subject(juniper, Stage.WATERPROOFING)).steel is None


def test_a_wall_that_is_not_enough_says_so_on_paper(cast):
    document_ = example("kettle-road")
    document_["spec"] = {**document_.get("spec", {}), "bars": {"vertical_size": 4, "vertical_spacing": "48"}}
    printed = subject(locked(cast, document_), Stage.FULL_WALL)
    found = crew(printed).steel
    assert found is not None
    rows = [row for row in found.rows if row.verdict == "NOT ENOUGH"]
    assert rows and all(not row.enough and row.reason for row in rows)
    said = words(document.page(printed, ADDRESS, "crew").html)
    assert "NOT ENOUGH" in said and rows[0].reason in said


def test_the_footings_sheet_says_whether_the_footings_are_large_enough(juniper):
    """IRC 2021 Table R403.1(2), one story on a basement, 2,000 psf: 12 in, and 4 ft of wall more than its 8 ft adds
    4 ft x 8 in x 150 pcf / 2,000 psf = 2.4 in, told as 2 1/2 in (statics)."""
    printed = subject(juniper, Stage.FOOTING)
    rows = crew(printed).footings
    assert [(row.legs, row.there, row.verdict) for row in rows] == [
        ("A to J", '20" x 10"', "LARGE ENOUGH"),
        ("K", '20" x 10"', "LARGE ENOUGH"),
    ]
    assert rows[0].asked.endswith('asks 14 1/2"')
    said = words(document.page(printed, ADDRESS, "crew").html)
    assert "Are the footings large enough?" in said and "Is the steel enough?" not in said
    assert crew(subject(juniper, Stage.FULL_WALL)).footings == []


def test_lintels_are_listed_or_are_for_the_engineer(cast, juniper):
    kettle = crew(subject(locked(cast, example("kettle-road")), Stage.FULL_WALL))
    assert any("above and" in row.bars for row in kettle.lintels)
    (refused,) = crew(subject(juniper, Stage.FULL_WALL)).lintels
    assert "W1 in A" in refused.where and refused.engineer


def test_lifts_add_up_and_the_call_covers_what_goes_in(juniper):
    """What is called for an empty wall is what was ordered: the sum of lifts, 5% margin, the pump, up to 1/4 yd3."""
    printed = subject(juniper, Stage.FULL_WALL)
    poured = crew(printed).pour
    assert poured is not None
    ordered = next(line for line in order_lines(printed.takeoff, Stage.FULL_WALL) if line.key == "wall.concrete")
    assert sum(float(lift.yd3) for lift in poured.lifts) == pytest.approx(ordered.amount, abs=0.02)
    cells = [cell for row in poured.calls for cell in row if cell is not None]
    assert all(float(cell.call) >= float(cell.to_fill) for cell in cells)
    whole = next(cell for cell in cells if cell.remaining == "8'-0\"")
    assert float(whole.call) == pytest.approx(ordered.ordered)
    assert "No slump is given" in " ".join(poured.told)


def test_braces_and_bucks_add_up_to_the_order(juniper):
    printed = subject(juniper, Stage.FULL_WALL)
    sheet = crew(printed)
    amounts = {line.key: line.amount for line in order_lines(printed.takeoff, Stage.FULL_WALL)}
    assert sum(row.braces for row in sheet.braces) == amounts["braces"]
    assert sum(row.planks for row in sheet.braces) == amounts["braces.planks"]
    assert len(sheet.bucks) == 7
    door = next(row for row in sheet.bucks if row.opening == "D1")
    assert door.frame == "jambs 2 x 6'-10\", head 1 x 3'-4\""


def test_a_bent_wall_says_how_it_is_slotted_and_each_course_how_often(juniper):
    printed = subject(juniper, Stage.FROST_WALL)
    (arc,) = crew(printed).arcs
    assert (arc.leg, arc.panel, arc.slot) == ("K", "inside", '7/8" (0.894 in)')
    slotted = [row for row in tables.course_rows(printed, printed.takeoff) if row.leg == "K"]
    assert all(row.take.endswith("37 slots") for row in slotted)
    assert "A template at full size" in words(document.page(printed, ADDRESS, "crew").html)


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


def test_the_bar_list_and_the_cutting_plan_make_what_is_ordered(juniper):
    printed = subject(juniper, Stage.FULL_WALL)
    listed = orders.orders(printed).bars
    assert listed is not None
    rows = [row for size in listed.sizes for row in size.rows]
    own = [b for b in printed.takeoff.bars if b.stage is Stage.FULL_WALL]
    assert sum(row.count for row in rows) == sum(b.count for b in own)
    bars = [line for line in order_lines(printed.takeoff, Stage.FULL_WALL) if line.key.startswith("bars.stock")]
    cut = [int(row.bars.split(" of ")[0]) for table in listed.cuts for row in table.rows]
    assert sum(cut) == sum(line.count for line in bars)
    assert all("least length possible" in table.said for table in listed.cuts)
    assert {p.note.split(",")[0] for p in listed.sketches} == {b.mark for b in own if b.shape is not None}
    assert listed.notice == ""


def test_bars_ordered_on_another_day_are_told(juniper):
    frozen = json.loads(json.dumps(juniper.frozen))
    for quantity in frozen["quantities"]:
        if quantity["key"].startswith("bars.stock.#5") and quantity["stage"] == "full_wall":
            quantity["amount"] += 1
    juniper.frozen = frozen
    listed = orders.orders(subject(juniper, Stage.FULL_WALL)).bars
    assert listed is not None
    assert listed.notice.startswith("The stock bars of the order were counted when the revision was locked")


def test_the_saw_list_has_every_cut_piece_and_the_area_every_reason(juniper):
    printed = subject(juniper, Stage.FROST_WALL)
    sheet = orders.orders(printed)
    for saw in sheet.saw:
        said = re.match(r"(\d+) pieces out of (\d+) units", saw.said)
        assert said is not None
        assert sum(row.count for row in saw.pieces) == int(said[1])
        assert sum(row.count for row in saw.units) == int(said[2])
    assert [table.title for table in sheet.area] == [
        "Main basement, Generic sixteen (invented)",
        "Porch, Generic sixteen (invented)",
    ]
    for table in sheet.area:
        more = re.match(r"(\d+) units? (more|fewer) by layout", table.difference)
        assert more is not None
        sign = 1 if more[2] == "more" else -1
        assert sum(float(units) for _, units, _ in table.reasons) == pytest.approx(sign * int(more[1]), abs=0.03)


def test_membrane_is_listed_wall_by_wall(juniper):
    printed = subject(juniper, Stage.WATERPROOFING)
    (table,) = orders.orders(printed).strips
    assert "6 rolls" in table.said
    assert table.rows[0].legs == "A"
    assert table.rows[0].pieces == "6 strips of 7'-10\" on 16'-0\""
    assert orders.orders(subject(juniper, Stage.FULL_WALL)).strips == ()


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
