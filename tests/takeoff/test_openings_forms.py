"""Openings as formed and the lumber of their bucks, counted by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff import blocks, geometry
from takeoff.bucks import buck_of
from takeoff.openings_forms import as_formed
from takeoff.plan import End, Opening, OpeningKind, Plan, Stage
from takeoff.results import Quantity
from takeoff.units import Length
from tests.takeoff.plans import at, openings

WINDOW = Opening("W", OpeningKind.WINDOW, at("36"), at("48"), at("93-4"), at("6-0"))
DOOR = replace(WINDOW, name="D", kind=OpeningKind.DOOR, measured_from=End.END)


def with_buck(made: Plan, buck: str) -> Plan:
    return replace(made, spec=replace(made.spec, layout=replace(made.spec.layout, buck=at(buck))))


def quantities(made: Plan, key: str) -> list[Quantity]:
    return [q for q in blocks.lay(made, geometry.place(made)).quantities if q.key == key]


def test_without_a_board_the_opening_is_formed_as_typed() -> None:
    assert as_formed(WINDOW, Length(0)) is WINDOW


@pytest.mark.parametrize("rough", [WINDOW, DOOR])
def test_boards_stand_outside_the_rough_opening(rough: Opening) -> None:
    formed = as_formed(rough, at("1.5"))
    assert (formed.width, formed.offset) == (at("39"), at("70.5"))
    assert formed.head == rough.head + at("1.5")
    assert formed.sill == rough.sill - (at("1.5") if rough.kind is OpeningKind.WINDOW else at("0"))
    made = openings()
    leg = geometry.place(made).legs["A"]
    low, high = leg.opening_span(rough)
    assert leg.opening_span(formed) == (low - at("1.5"), high + at("1.5"))


def test_a_buck_board_by_board() -> None:
    """39 x 51 in as formed: two jambs, a head, two sill strips; two braces across (51 in), one upright (39 in)."""
    buck = buck_of(as_formed(WINDOW, at("1.5")), at("98-0"))
    assert (buck.jambs, buck.head, buck.sill) == ((2, at("51")), (1, at("39")), (2, at("39")))
    assert (buck.across, buck.upright) == ((2, at("39")), (1, at("51")))
    assert (buck.frame, buck.braces) == (at("141"), at("129"))


def test_an_opening_to_the_top_of_the_wall_has_no_head_and_a_door_no_sill() -> None:
    buck = buck_of(replace(DOOR, height=at("90")), at("98-0"))
    assert (buck.head[0], buck.sill[0], buck.jambs) == (0, 0, (2, at("56")))


def test_lumber_is_told_by_stage_with_its_sum() -> None:
    made = with_buck(openings(), "1.5")
    [frame] = quantities(made, "bucks.frame")
    assert (frame.stage, frame.legs) == (Stage.FULL_WALL, ("A", "C"))
    # window 39 x 51, door 43 wide and 83 1/2 high, in inches
    assert frame.amount * 12 == pytest.approx(2 * 51 + 39 + 2 * 83.5 + 43)
    assert "2 x 4'-3\"" in frame.basis and '12 3/4" wide' in frame.basis
    [count] = quantities(made, "bucks.count")
    assert count.amount == 2


def test_units_are_cut_at_the_buck_not_at_the_rough_opening() -> None:
    made = with_buck(openings(), "1.5")
    layout = blocks.lay(made, geometry.place(made))
    row = [u for u in layout.units if (u.leg, u.course) == ("A", 7)]
    assert any(u.end == at("6-0") - at("1.5") for u in row) and any(u.start == at("9-0") + at("1.5") for u in row)
    assert any('1 1/2" larger than typed' in p.sentence for p in layout.problems)


def test_an_opening_is_taken_out_only_of_courses_it_covers_over_their_whole_height() -> None:
    """Window 36 in wide from 93'-4" to 97'-4": courses 7 and 8 are cut through, 6 and 9 are notched and go on."""
    made = openings()
    units = [u for u in blocks.lay(made, geometry.place(made)).units if u.leg == "A"]
    for course, gap in ((5, 0), (6, 0), (7, 36), (8, 36), (9, 0)):
        assert sum((u.end - u.start).inch for u in units if u.course == course) == 40 * 12 - gap


def test_a_strip_of_a_course_too_thin_to_hold_is_told() -> None:
    """A head at 97'-11" leaves one inch of course 9; one at 97'-4" leaves eight."""
    low = replace(WINDOW, height=at("55"))
    leg_a = replace(openings().walks[0].legs[0], openings=(low,), beam_pockets=())
    made = replace(openings(), walks=(replace(openings().walks[0], legs=(leg_a, *openings().walks[0].legs[1:])),))
    told = [p.sentence for p in blocks.lay(made, geometry.place(made)).problems if "too thin" in p.sentence]
    assert told == [
        "A: 1\" of course 9 is left above W, too thin to hold; put the opening's edge at a course line or form that "
        "strip with lumber."
    ]
    assert not [p for p in blocks.lay(openings(), geometry.place(openings())).problems if "too thin" in p.sentence]


def test_a_buck_must_clear_the_corner_too() -> None:
    """The wall is 12 3/4 in thick: a jamb 13 in from the corner clears it, its buck of 1 1/2 in does not."""
    near = replace(WINDOW, offset=at("13"))
    base = openings().walks[0]
    leg_a = replace(base.legs[0], openings=(near,), beam_pockets=())
    made = replace(openings(), walks=(replace(base, legs=(leg_a, *base.legs[1:])),))
    assert not geometry.place(made).problems
    [told] = geometry.place(with_buck(made, "1.5")).problems
    assert "runs 0'-1 1/4\" into the corner" in told.sentence
