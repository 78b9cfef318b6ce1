"""Membrane, board, drain and stone of whole plans: what belongs to which stage, laps, loops and stone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takeoff import envelope
from takeoff.plan import Levels, Plan, Stage
from takeoff.problems import Severity
from takeoff.results import Part, Quantity
from takeoff.site import EnvelopeSpec
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
    count = envelope.strips(length, wide, lap)
    covers = count * wide - (count - 1) * lap
    assert covers >= length - 1e-6
    assert count == 1 or covers - (wide - lap) < length


@pytest.mark.parametrize(("reach", "used"), [(100.0, 100.0), (780.0, 780.0), (781.0, 787.0), (1560.0, 1572.0)])
def test_a_strip_longer_than_the_roll_gets_end_laps(reach: float, used: float) -> None:
    """A roll of 65 ft is 780 in; two rolls joined reach 1554 in, three are needed for 1560."""
    assert envelope.strip_length_in(reach, 780.0, 6.0) == used


def test_waste_of_roll_ends_is_what_whole_strips_leave() -> None:
    """Strips of 9'-6" from 65 ft: six, and 8 ft are left."""
    assert envelope.roll_end_waste(114.0, 780.0) == pytest.approx(780 / 684 - 1)


@pytest.mark.parametrize(
    ("high", "rolls_of_height"),
    [(96.0, 1.0), (48.0, 0.5), (49.0, 1.0), (32.0, 1 / 3), (97.0, 2.0), (186.0, 2.0), (187.0, 3.0)],
)
def test_board_is_ripped_in_equal_pieces_or_hung_in_rows(high: float, rolls_of_height: float) -> None:
    waste = envelope.board_width_waste(high, 96.0, 6.0)
    assert high * (1 + waste) == pytest.approx(96.0 * rolls_of_height)


# -- which stage ------------------------------------------------------------------------------------
def test_the_frost_part_goes_first_and_the_rest_laps_onto_it() -> None:
    lower, upper = envelope.membrane_facings(levels(), SPEC)
    assert (lower.stage, lower.bottom, lower.top, lower.finished) == (Stage.FROST_BACKFILL, 86 * 12, 90 * 12, False)
    assert (upper.stage, upper.bottom, upper.top, upper.foot) == (Stage.WATERPROOFING, 90 * 12, 97 * 12 + 4, False)
    assert upper.finished


def test_a_leg_without_frost_wall_is_dressed_at_once() -> None:
    (only,) = envelope.membrane_facings(levels(frost_top=None), SPEC)
    assert (only.stage, only.foot, only.finished) == (Stage.WATERPROOFING, True, True)


def test_a_walk_out_is_dressed_over_its_grade_by_the_frost_stage() -> None:
    (only,) = envelope.membrane_facings(levels(grade_outside=plans.at("88-0")), SPEC)
    assert (only.stage, only.top, only.finished) == (Stage.FROST_BACKFILL, 88 * 12 + 4, True)


def test_the_footing_joint_is_covered_however_low_the_ground() -> None:
    (only,) = envelope.membrane_facings(levels(grade_outside=plans.at("85-0")), SPEC)
    assert only.top == 86 * 12 + 6
    assert envelope.board_facings(levels(grade_outside=plans.at("85-0"))) == ()


def test_membrane_never_rises_above_the_wall() -> None:
    facing = envelope.membrane_facings(levels(grade_outside=plans.at("97-11")), SPEC)[-1]
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
    assert upper.buy is not None and upper.buy.step == pytest.approx(39 / 12 * 65)


def test_board_reaches_from_footing_to_grade_with_laps() -> None:
    frost = quantity(plans.rectangle(), "board.area", Stage.FROST_BACKFILL)
    upper = quantity(plans.rectangle(), "board.area", Stage.WATERPROOFING)
    assert frost.amount == pytest.approx(136 * 4 * 50 / 49.5)
    assert upper.amount == pytest.approx(136 * 7.5 * 50 / 49.5)


def test_nothing_of_a_face_belongs_to_two_stages() -> None:
    """With or without the split the same height is dressed, but for the lap of one on the other."""
    split = sum(f.top - f.bottom for f in envelope.membrane_facings(levels(), SPEC))
    whole = sum(f.top - f.bottom for f in envelope.membrane_facings(levels(frost_top=None), SPEC))
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


def test_bends_are_named_by_their_angle() -> None:
    found = {q.key: q.amount for q in part(plans.bay()).quantities if q.key.startswith("drain.bend")}
    assert found == {"drain.bend_90": 4.0, "drain.bend_45": 4.0}


def test_stone_rises_with_a_thin_footing_so_that_the_pipe_keeps_six_inches() -> None:
    assert envelope.stone_over_in(SPEC, 10.0) == 6.0
    assert envelope.stone_over_in(SPEC, 6.0) == 2 + 4.5 + 6 - 6
    thin = replace(SPEC, pipe_diameter=Length.inches(6))
    assert envelope.stone_over_in(thin, 6.0) == 2 + 6.5 + 6 - 6


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
    (note,) = part(plans.garage()).problems
    assert note.sentence.startswith("G1, G2, G3:") and note.severity is Severity.NOTE
    assert part(plans.rectangle()).problems == ()


def test_a_lap_wider_than_half_the_roll_is_told_and_ends() -> None:
    plan = plans.rectangle()
    spec = replace(plan.spec.envelope, membrane_roll_width=Length.inches(6), membrane_side_lap=Length.inches(30))
    (told,) = part(replace(plan, spec=replace(plan.spec, envelope=spec))).problems
    assert told.severity is Severity.WARNING and "2'-6\"" in told.sentence and "0'-6\"" in told.sentence
    assert envelope.strips(60.0, 6.0, 30.0) == 19  # (60 - 3) / 3
