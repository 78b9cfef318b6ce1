"""Membrane, board, drain and stone of whole plans: what belongs to which stage, laps, loops and stone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takeoff import board, drain, envelope, facings, membrane
from takeoff.courses import Grid
from takeoff.forms import GENERIC_16
from takeoff.plan import Levels, Plan, Stage
from takeoff.problems import Severity
from takeoff.results import Part, Quantity
from takeoff.site import EnvelopeSpec, MembraneWay
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import grown, outside_polygon, placed, ring_between

SPEC = EnvelopeSpec()
SHELF = (20 - 12.75) / 2


def part(plan: Plan) -> Part:
    return envelope.envelope(plan, placed(plan))


def quantity(plan: Plan, key: str, stage: Stage, section: str = "main") -> Quantity:
    (found,) = [q for q in part(plan).quantities if (q.key, q.stage, q.section) == (key, stage, section)]
    return found


def levels(**changes: Length | None) -> Levels:
    usual = {
        "footing_top": "86-0",
        "frost_top": "90-0",
        "wall_top": "98-0",
        "grade_outside": "97-0",
        "grade_inside": "90-0",
    }
    return Levels(**({k: plans.at(v) for k, v in usual.items()} | changes))  # type: ignore[arg-type]


def full_only() -> Plan:
    return plans.rectangle(frost_top=None)


# -- rolls ------------------------------------------------------------------------------------------
@given(st.floats(1, 2000), st.floats(12, 80), st.floats(1, 6))
def test_strips_cover_the_wall_and_one_fewer_would_not(length: float, wide: float, lap: float) -> None:
    count = membrane.strips(length, wide, lap)
    covers = count * wide - (count - 1) * lap
    assert covers >= length - 1e-6
    assert count == 1 or covers - (wide - lap) < length


@pytest.mark.parametrize(("reach", "used"), [(100.0, 100.0), (780.0, 780.0), (781.0, 787.0), (1560.0, 1572.0)])
def test_a_strip_longer_than_the_roll_gets_end_laps(reach: float, used: float) -> None:
    """A roll of 65 ft is 780 in; two rolls joined reach 1554 in, three are needed for 1560."""
    assert membrane.strip_length_in(reach, 780.0, 6.0) == used


# -- which stage ------------------------------------------------------------------------------------
def test_the_frost_part_goes_first_and_the_rest_laps_onto_it() -> None:
    lower, upper = facings.membrane_facings(levels(), SPEC)
    assert (lower.stage, lower.bottom, lower.top, lower.finished) == (Stage.FROST_BACKFILL, 86 * 12, 90 * 12, False)
    assert (upper.stage, upper.bottom, upper.top, upper.foot) == (Stage.WATERPROOFING, 90 * 12, 97 * 12 + 4, False)
    assert upper.finished


def test_a_leg_without_frost_wall_is_dressed_at_once() -> None:
    (only,) = facings.membrane_facings(levels(frost_top=None), SPEC)
    assert (only.stage, only.foot, only.finished) == (Stage.WATERPROOFING, True, True)


def test_a_walk_out_is_dressed_over_its_grade_by_the_frost_stage() -> None:
    (only,) = facings.membrane_facings(levels(grade_outside=plans.at("88-0")), SPEC)
    assert (only.stage, only.top, only.finished) == (Stage.FROST_BACKFILL, 88 * 12 + 4, True)


def test_the_footing_joint_is_covered_however_low_the_ground() -> None:
    (only,) = facings.membrane_facings(levels(grade_outside=plans.at("85-0")), SPEC)
    assert only.top == 86 * 12 + 6
    assert facings.board_facings(levels(grade_outside=plans.at("85-0"))) == ()


def test_membrane_never_rises_above_the_wall() -> None:
    facing = facings.membrane_facings(levels(grade_outside=plans.at("97-11")), SPEC)[-1]
    assert facing.top == 98 * 12


def test_membrane_of_a_rectangle_strip_by_strip() -> None:
    """A and C 14 strips (480 - 2.5)/36.5 = 13.1, B and D 10 (336 - 2.5)/36.5 = 9.1, 48 in up and 6 in onto the footing;
    details 12 in: along the foot and up each corner."""
    frost = quantity(plans.rectangle(), "membrane.area", Stage.FROST_BACKFILL)
    strips = 48 * 39 * (48 + 6) / 144
    details = (2 * (480 + 336) * 12 + 4 * 48 * 12) / 144
    assert frost.amount == pytest.approx(strips + details)
    upper = quantity(plans.rectangle(), "membrane.area", Stage.WATERPROOFING)
    assert upper.amount == pytest.approx((48 * 39 * (88 + 6) + 4 * 88 * 12) / 144)


def laid(way: MembraneWay, plan: Plan | None = None) -> Plan:
    """A plan with its membrane laid one way."""
    made = plan or plans.rectangle()
    return replace(made, spec=replace(made.spec, envelope=replace(made.spec.envelope, membrane_laid=way)))


def test_rolls_of_a_rectangle_strip_by_strip() -> None:
    """Upper part: 48 strips of 94 in, eight to a roll of 780 in; the corner strips, four of 88 in 12 in wide, three
    side by side, come out of a seventh roll. Lower part: 48 of 54 in, 14 to a roll: three rolls and six strips of a
    fourth, whose 456 in and the fifth roll hold 1632 in of joint in three lanes and four corners of 48 in."""
    upper = quantity(laid(MembraneWay.UPRIGHT), "membrane.rolls", Stage.WATERPROOFING)
    assert (upper.amount, upper.buy and upper.buy.unit) == (7, "roll 39 in x 65 ft")
    assert upper.basis.startswith("48 strips of 7'-10\"")
    lower = quantity(laid(MembraneWay.UPRIGHT), "membrane.rolls", Stage.FROST_BACKFILL)
    assert lower.amount == 5


def test_level_rows_go_round_the_corners_and_lap_at_the_end() -> None:
    """94 in high: 39 and 39 (lapped 2 1/2 in) and 21 in, each 1632 in round and 6 in over its start."""
    upper = quantity(laid(MembraneWay.LEVEL), "membrane.area", Stage.WATERPROOFING)
    assert upper.amount == pytest.approx((1632 * (39 + 39 + 21) + 4 * 88 * 12) / 144)
    rolls = quantity(laid(MembraneWay.LEVEL), "membrane.rolls", Stage.WATERPROOFING)
    assert 'rows 39" + 39" + 21" wide on A, B, C, D' in rolls.basis
    assert rolls.amount >= (3 * 1638 + 2 * 3 * 6) / 780


@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
def test_the_way_with_fewer_rolls_is_taken_unless_one_was_chosen(name: str) -> None:
    plan = plans.SAMPLES[name]()

    def rolls(way: MembraneWay) -> dict[tuple[str, Stage], float]:
        found = part(laid(way, plan)).quantities
        return {(q.section, q.stage): q.amount for q in found if q.key == "membrane.rolls"}

    up, level, fewer = (rolls(way) for way in (MembraneWay.UPRIGHT, MembraneWay.LEVEL, MembraneWay.FEWER))
    assert fewer == {group: min(up[group], level[group]) for group in up}
    if name == "walkout":
        assert up != level


def test_rolls_hold_what_is_laid() -> None:
    """No way of laying takes less than the area on the wall."""
    for name in sorted(plans.SAMPLES):
        for way in (MembraneWay.UPRIGHT, MembraneWay.LEVEL):
            found = part(laid(way, plans.SAMPLES[name]())).quantities
            area = {(q.section, q.stage): q.amount for q in found if q.key == "membrane.area"}
            for q in found:
                if q.key == "membrane.rolls":
                    assert q.amount * 39 / 12 * 65 >= area[q.section, q.stage] - 1e-6


def test_primer_covers_the_face_and_the_turn_down() -> None:
    """136 ft round: 4'-0" and 6 in onto the footing, then 7'-4", at 250 ft2 a gallon."""
    lower = quantity(plans.rectangle(), "membrane.primer", Stage.FROST_BACKFILL)
    upper = quantity(plans.rectangle(), "membrane.primer", Stage.WATERPROOFING)
    assert lower.amount == pytest.approx(136 * 4.5 / 250)
    assert upper.amount == pytest.approx(136 * 88 / 12 / 250)
    assert "solvent eats foam" in upper.purpose


def test_bar_and_mastic_only_where_the_membrane_ends() -> None:
    found = part(plans.rectangle()).quantities
    ends = {q.key: (q.stage, q.amount) for q in found if q.key in ("membrane.termination", "membrane.mastic")}
    assert ends == {
        "membrane.termination": (Stage.WATERPROOFING, 136.0),
        "membrane.mastic": (Stage.WATERPROOFING, 136.0),
    }


def test_board_reaches_from_footing_to_grade_with_laps() -> None:
    frost = quantity(plans.rectangle(), "board.area", Stage.FROST_BACKFILL)
    upper = quantity(plans.rectangle(), "board.area", Stage.WATERPROOFING)
    assert frost.amount == pytest.approx(136 * 4 * 50 / 49.5)
    assert upper.amount == pytest.approx(136 * 7.5 * 50 / 49.5)


def test_board_is_ripped_where_that_saves_and_runs_round_corners() -> None:
    """4 ft of board, two from a roll 8 ft wide: 136 ft and the closing lap from three lanes of 50 ft, two rolls. 7'-6"
    takes the whole width: 136.5 ft and two laps from three rolls."""
    assert quantity(plans.rectangle(), "board.rolls", Stage.FROST_BACKFILL).amount == 2
    upper = quantity(plans.rectangle(), "board.rolls", Stage.WATERPROOFING)
    assert upper.amount == 3 and '136\'-0" of 90" board, 2 laps of 6"' in upper.basis


def test_board_higher_than_its_roll_hangs_in_lapped_rows() -> None:
    """11 ft to grade on one wall of the whole ring: 96 in and 42 in, lapped 6 in."""
    (rolls,) = [q for q in part(full_only()).quantities if q.key == "board.rolls"]
    assert '96" and 42" board' in rolls.basis
    assert rolls.amount == 3 + 2


def test_top_fasteners_stand_at_both_ends_of_a_leg() -> None:
    upper = quantity(plans.rectangle(), "board.top_fasteners", Stage.WATERPROOFING)
    assert upper.amount == 2 * (41 + 29)


@given(st.floats(30, 900), st.floats(6, 150), st.sampled_from([(6, 16), (8, 18), (12, 12), (24, 24)]))
def test_field_fasteners_stand_on_webs_and_hold_no_more_than_16_ft2(
    length: float, high: float, sizes: tuple[int, int]
) -> None:
    form = replace(GENERIC_16, web_spacing=Length.inches(sizes[0]), face_height=Length.inches(sizes[1]))
    grid = Grid(Length(0), form.face_height)
    lines, levels = board.field_places(length, 0.0, high, form, grid)
    assert all(0 < x < length for x in lines) and all(0 < y < high for y in levels)
    assert length * high / (len(lines) * len(levels)) <= 16 * 144 + 1e-6
    if length > 2 * sizes[0] and high > sizes[1]:
        assert all((x - sizes[0] / 2) % sizes[0] == pytest.approx(0, abs=1e-6) for x in lines)
        assert all(y % sizes[1] == pytest.approx(sizes[1] / 2) for y in levels)


def test_fasteners_through_the_membrane_are_told() -> None:
    (note,) = part(plans.rectangle()).problems
    assert "leak paths" in note.sentence and note.severity is Severity.NOTE
    (field,) = [
        q
        for q in part(plans.rectangle()).quantities
        if q.key == "board.field_fasteners" and q.stage is Stage.WATERPROOFING
    ]
    assert field.buy is None


def test_nothing_of_a_face_belongs_to_two_stages() -> None:
    """With or without the split the same height is dressed, but for the lap of one on the other."""
    split = sum(f.top - f.bottom for f in facings.membrane_facings(levels(), SPEC))
    whole = sum(f.top - f.bottom for f in facings.membrane_facings(levels(frost_top=None), SPEC))
    assert split == whole
    assert not [q for q in part(full_only()).quantities if q.stage is Stage.FROST_BACKFILL]
    assert not [q for q in part(plans.rectangle()).quantities if q.stage is Stage.WATERPROOFING and "drain" in q.key]


def test_inner_walls_get_nothing_and_a_garage_its_own() -> None:
    def legs(plan: Plan) -> set[str]:
        return {leg for q in part(plan).quantities for leg in q.legs}

    assert "T1" not in legs(plans.tee())
    assert {"G1", "G2", "G3"} <= legs(plans.garage())


# -- drain ------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ["rectangle", "l_shape", "bay", "round_corner"])
def test_pipe_and_stone_against_offset_polygons(name: str) -> None:
    plan = plans.SAMPLES[name]()
    ground = outside_polygon(placed(plan))
    loop = grown(ground, SHELF + 6).length
    assert quantity(plan, "drain.pipe", Stage.FROST_BACKFILL).amount * 12 == pytest.approx(loop, rel=2e-5)
    box = ring_between(ground, SHELF, SHELF + 12) * 16 + ring_between(ground, 0, SHELF) * 6
    pipe = loop * 3.141592653589793 / 4 * 4.5**2
    assert quantity(plan, "drain.stone", Stage.FROST_BACKFILL).amount * 46656 == pytest.approx(box - pipe, rel=1e-4)


def test_the_outlet_is_ordered_once_where_it_is_known() -> None:
    plan = plans.rectangle()
    longer = replace(plan, spec=replace(plan.spec, envelope=replace(plan.spec.envelope, drain_outlet=plans.at("30-0"))))
    without, with_outlet = (quantity(p, "drain.pipe", Stage.FROST_BACKFILL) for p in (plan, longer))
    assert with_outlet.amount == pytest.approx(without.amount + 30)
    assert "outlet 30'-0\"" in with_outlet.basis and "not in the plan" in without.basis


def test_bends_are_named_by_their_angle() -> None:
    found = {q.key: q.amount for q in part(plans.bay()).quantities if q.key.startswith("drain.bend")}
    assert found == {"drain.bend_90": 4.0, "drain.bend_45": 4.0}


def test_stone_rises_with_a_thin_footing_so_that_the_pipe_keeps_six_inches() -> None:
    assert drain.stone_over_in(SPEC, 10.0) == 6.0
    assert drain.stone_over_in(SPEC, 6.0) == 2 + 4.5 + 6 - 6
    thin = replace(SPEC, pipe_diameter=Length.inches(6))
    assert drain.stone_over_in(thin, 6.0) == 2 + 6.5 + 6 - 6


# -- criteria ---------------------------------------------------------------------------------------
def test_height_above_grade_is_asked_only_where_the_membrane_ends() -> None:
    asked = {(c.stage, c.legs): c.value for c in part(plans.rectangle()).criteria if c.key == "membrane.above_grade"}
    assert asked == {(Stage.WATERPROOFING, ("A", "B", "C", "D")): 4.0}


def test_height_above_grade_is_what_the_wall_allows() -> None:
    plan = plans.rectangle(wall_top=plans.at("97-3"))
    (asked,) = [c for c in part(plan).criteria if c.key == "membrane.above_grade"]
    assert asked.value == 3.0 and '3" or more' in asked.text


def test_drain_criteria_are_the_printed_minima() -> None:
    """IRC R405.1: stone 1 ft beyond and 6 in above the footing, pipe on 2 in and under 6 in."""
    found = {c.key: c.value for c in part(plans.rectangle()).criteria if c.key.startswith("drain")}
    assert found == {"drain.stone_beyond": 12, "drain.stone_over": 6, "drain.stone_under": 2, "drain.pipe_cover": 6}


def test_frost_walls_alone_are_told_apart() -> None:
    note, _ = part(plans.garage()).problems
    assert note.sentence.startswith("G1, G2, G3:") and note.severity is Severity.NOTE
    assert not any(p.leg for p in part(plans.rectangle()).problems)


def test_a_lap_wider_than_half_the_roll_is_told_and_ends() -> None:
    plan = plans.rectangle()
    spec = replace(plan.spec.envelope, membrane_roll_width=Length.inches(6), membrane_side_lap=Length.inches(30))
    told, _ = part(replace(plan, spec=replace(plan.spec, envelope=spec))).problems
    assert told.severity is Severity.WARNING and "2'-6\"" in told.sentence and "0'-6\"" in told.sentence
    assert membrane.strips(60.0, 6.0, 30.0) == 19  # (60 - 3) / 3
