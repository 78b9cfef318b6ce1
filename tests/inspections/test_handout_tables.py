"""Tables of the hand-outs: each adds up to what the engine counted and to what is ordered."""

from __future__ import annotations

import json
import re

import pytest

from inspections.handouts import cutting, document, orders, steel, tables
from inspections.handouts.crew import crew
from takeoff.orders import order_lines
from takeoff.plan import Stage
from takeoff.results import WallState
from tests.inspections.printed import ADDRESS, example, locked, subject, words

pytestmark = pytest.mark.look


# -- crew sheet ------------------------------------------------------------------------------------
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


def test_how_strong_each_wall_must_be_before_it_is_filled_against_is_told_with_how_it_is_shown(juniper):
    printed = subject(juniper, Stage.FINAL_BACKFILL)
    table = crew(printed).needed
    assert table is not None and table.heads == ("Filled before the slab is in", "Filled with the slab in")
    needed = [leg.strength for leg in printed.facts.legs if WallState.FINISHED in leg.strength]
    asked = {
        tuple(f"{states[state]:,} psi" for state in (WallState.BEFORE_SLAB, WallState.FINISHED)) for states in needed
    }
    assert {cells for _, cells in table.rows} == asked
    assert crew(subject(juniper, Stage.FULL_WALL)).needed == table
    assert crew(subject(juniper, Stage.WATERPROOFING)).needed is None
    for part, psi in (
        ("crew", table.rows[0][1][0]),
        ("request", f"{table.rows[0][1][0]} needed, filled before the slab"),
    ):
        said = words(document.page(printed, ADDRESS, part).html)
        assert psi in said and "cylinders cured beside the wall" in said and "less a tenth" in said
    assert "the builder's release does not count there" in words(document.page(printed, ADDRESS, "crew").html)


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


# -- order sheet -----------------------------------------------------------------------------------
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


def test_what_a_ledge_or_a_bent_wall_takes_is_said_with_its_pieces(juniper):
    full = dict(orders.orders(subject(juniper, Stage.FULL_WALL)).special)
    ledge = next(basis for label, basis in full.items() if label.startswith("Ledge units"))
    assert "on corner units" in ledge and ledge.startswith("A ")
    frost = dict(orders.orders(subject(juniper, Stage.FROST_WALL)).special)
    assert "4 courses x 37 in the inside panel" in frost["Slots in the hollow panel"]
    assert orders.orders(subject(juniper, Stage.FOOTING)).special == ()
