"""Where bars lie: rows clear of bucks, bars through steps and into Ts, bars beside rows, nothing counted twice."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff import geometry, laps, rebar
from takeoff.bar_levels import level_runs
from takeoff.bar_runs import LegSteel, legs_for_steel
from takeoff.bending import cut_length
from takeoff.courses import grids
from takeoff.footing_bars import TAIL, Path, pieces_of, shape_between, stretched
from takeoff.plan import Opening, OpeningKind, Plan, Stage
from takeoff.problems import Severity
from takeoff.results import Bar, BarRole, Part
from takeoff.units import ZERO, Length
from tests.takeoff import plans
from tests.takeoff.plans import at


def steel(made: Plan) -> Part:
    return rebar.schedule(made, geometry.place(made))


def leg_of(made: Plan, name: str) -> LegSteel:
    (leg,) = [x for x in legs_for_steel(made, geometry.place(made), grids(made)) if x.name == name]
    return leg


def of(part: Part, role: BarRole, leg: str) -> list[Bar]:
    return [b for b in part.bars if b.role is role and b.leg == leg]


def with_window(sill: str, height: str = "36", **layout: Length) -> Plan:
    window = Opening("W1", OpeningKind.WINDOW, at("36"), at(height), at(sill), at("10-0"))
    made = plans.plan(plans.ring(plans.leg("A", "40-0", openings=(window,)), *plans.rectangle().walks[0].legs[1:]))
    return replace(made, spec=replace(made.spec, layout=replace(made.spec.layout, **layout)))


# -- rows and bucks --------------------------------------------------------------------------------
def test_a_row_that_would_meet_the_head_of_a_buck_moves_to_the_next_seat() -> None:
    """Rows at mid-course: 90'-0" + 8 in + 16 k. A head at 94'-7" lies 1 in under the row at 94'-8", which moves up a
    quarter of 16 in; with the head at 94'-4" it stays (by hand)."""
    for sill, height, level in (("92-0", "31", "95-0"), ("92-0", "28", "94-8")):
        rows = level_runs(leg_of(with_window(sill, height), "A"))
        full = [lv for stage, lv in rows if stage is Stage.FULL_WALL]
        assert at(level) in full and len(full) == 6
        assert rows[Stage.FULL_WALL, at(level)] == [(ZERO, at("40-0"))]  # not cut by the window


def test_a_row_that_would_meet_the_sill_moves_down() -> None:
    """A sill at 93'-5" lies 1 in over the row at 93'-4": 4 in down is clear, 4 in up is in the window."""
    rows = level_runs(leg_of(with_window("93-5"), "A"))
    assert at("93-0") in [level for _, level in rows] and at("93-4") not in [level for _, level in rows]


def test_a_row_without_a_clear_seat_stays_and_is_told() -> None:
    """One window ends 1 in under the row at 94'-8", another begins 1 in over it: every seat lies in one of them."""
    low = Opening("W1", OpeningKind.WINDOW, at("36"), at("31"), at("92-0"), at("4-0"))
    high = Opening("W2", OpeningKind.WINDOW, at("36"), at("30"), at("94-9"), at("16-0"))
    made = plans.plan(plans.ring(plans.leg("A", "40-0", openings=(low, high)), *plans.rectangle().walks[0].legs[1:]))
    assert len(level_runs(leg_of(made, "A"))[Stage.FULL_WALL, at("94-8")]) == 3
    told = [p for p in steel(made).problems if "no seat near it is clear" in p.sentence]
    assert [p.leg for p in told] == ["A"] and "94'-8\"" in told[0].sentence
    assert not any("no seat" in p.sentence for p in steel(with_window("92-0", "31")).problems)


def test_a_row_within_the_opening_is_cut_there() -> None:
    rows = level_runs(leg_of(with_window("92-0", "40"), "A"))
    assert rows[Stage.FULL_WALL, at("94-8")] == [(ZERO, at("10-0")), (at("13-0"), at("40-0"))]


def test_bars_go_round_the_opening_as_formed() -> None:
    """A buck of 1 1/2 in makes the hole 39 in wide: rows are cut at its boards, sides stand beyond them."""
    rows = level_runs(leg_of(with_window("92-0", "40", buck=at("1.5")), "A"))
    assert rows[Stage.FULL_WALL, at("94-8")] == [(ZERO, at("9-10.5")), (at("13-1.5"), at("40-0"))]


def test_corner_bars_still_meet_where_one_wall_has_its_row_moved() -> None:
    """The moved row of A is met by the row of B a seat away: as many corner bars as without a window, all whole."""
    plain, moved = (steel(made) for made in (plans.rectangle(), with_window("92-0", "31")))
    for part in (plain, moved):
        assert all(b.lap == at("30") for leg in "ABCD" for b in of(part, BarRole.CORNER, leg))
    counts = [[sum(b.count for b in of(part, BarRole.CORNER, leg)) for leg in "ABCD"] for part in (plain, moved)]
    assert counts[0] == counts[1] == [9, 9, 9, 9]


def test_a_bar_at_a_sill_beside_a_row_is_counted_with_it_and_says_so() -> None:
    """A sill bar lies 3 in under its sill: at 93'-7" beside the row at 93'-4"."""
    part = steel(with_window("93-7"))
    beside = [b for b in of(part, BarRole.OPENING, "A") if "beside the row" in b.basis]
    assert sum(b.count for b in beside) == 1
    clear = of(steel(with_window("94-0", "28")), BarRole.OPENING, "A")
    assert clear and not any("beside the row" in b.basis for b in clear)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 60), st.integers(24, 60))
def test_no_row_ever_meets_a_buck_that_a_seat_would_clear(sill: int, height: int) -> None:
    """Every row is clear of head and sill by 1 1/2 in or more, or inside the opening; rows stay in order."""
    low = at("90-6") + Length.inches(sill)
    window = Opening("W1", OpeningKind.WINDOW, at("36"), Length.inches(height), low, at("10-0"))
    if window.head > at("97-6"):
        return
    made = plans.plan(plans.ring(plans.leg("A", "40-0", openings=(window,)), *plans.rectangle().walks[0].legs[1:]))
    levels = [level for stage, level in level_runs(leg_of(made, "A")) if stage is Stage.FULL_WALL]
    assert len(levels) == 6 and levels == sorted(levels)
    for level in levels:
        inside = low < level < window.head
        assert inside or level <= low - at("1.5") or level >= window.head + at("1.5")


# -- through steps ---------------------------------------------------------------------------------
@settings(max_examples=60)
@given(st.integers(200, 900), st.data())
def test_bends_of_footing_bars_have_their_tails(length: int, data: st.DataObject) -> None:
    place = data.draw(st.integers(40, length - 80))
    path = Path(Length.inches(length), ((Length.inches(place), 90.0), (Length.inches(place + 16), -90.0)), "")
    made, lap = plans.rectangle(), at("38")
    for turned in (False, True):
        pieces = pieces_of(path, made, lap, turned)
        assert sum(p.nm for p in pieces) == path.length.nm + (len(pieces) - 1) * lap.nm
        spans = list(stretched(pieces, lap))
        bent = [shape for start, end in spans if (shape := shape_between(path, start, end, 5))]
        assert bent
        for shape in bent:
            assert min(shape.legs[0], shape.legs[-1]).inch >= TAIL * 0.625
        for (_, end), (start, _) in pairwise(spans):
            assert end - start == lap


def test_a_lap_that_would_fall_on_a_step_is_moved() -> None:
    """A run of 460 in: whole bars would lap from 202 to 240 in, over a step at 220 in; bars of 219 in from 181 in do
    not, nor does the other bar beside it, which laps elsewhere (by hand)."""
    path = Path(at("460"), ((at("220"), 90.0), (at("236"), -90.0)), "")
    for turned in (False, True):
        spans = list(stretched(pieces_of(path, plans.rectangle(), at("38"), turned), at("38")))
        assert len(spans) > 1
        for bend in (at("220"), at("236")):
            assert sum(start < bend < end for start, end in spans) == 1


def test_a_bar_over_a_step_by_hand() -> None:
    """16 in up in the middle of 180 in, #5: middle line 90 + 16 + 74 in; out to out a half bar more at each bend, and
    the bends save 2 x 2.502 x 5/8: 180 - 2 x 1.502 x 5/8 = 178.12 in."""
    path = Path(at("180"), ((at("90"), 90.0), (at("106"), -90.0)), "")
    shape = shape_between(path, ZERO, at("180"), 5)
    assert shape is not None and [leg.inch for leg in shape.legs] == [90.3125, 16.625, 74.3125]
    assert cut_length(5, shape).inch == pytest.approx(180 - 2 * 1.502 * 0.625, abs=2e-3)


def test_a_step_beside_a_free_end_is_for_the_engineer_to_say() -> None:
    made = plans.tee()
    inner = made.walks[1]
    step = plans.Step(at("0-6"), footing_top=at("87-4"))
    stepped = replace(made, walks=(made.walks[0], replace(inner, legs=(replace(inner.legs[0], steps=(step,)),))))
    told = [p for p in steel(stepped).problems if "bends" in p.sentence and "from its end" in p.sentence]
    assert [p.leg for p in told] == ["T1"] and told[0].severity is Severity.WARNING


# -- Ts --------------------------------------------------------------------------------------------
def test_bars_of_a_footing_at_the_same_level_are_bent_into_the_other() -> None:
    bars = of(steel(plans.tee()), BarRole.FOOTING_CORNER, "T1")
    assert sum(b.count for b in bars) == 2 * 2 and all(b.shape and b.shape.turns_deg == (90.0,) for b in bars)


def test_bars_of_a_footing_that_meets_a_wall_go_straight_into_its_core() -> None:
    """Garage footing 7 ft over the house's: 38 in of lap, 2 3/8 in of foam, 8 in of core less 2 in (by hand)."""
    part = steel(plans.garage())
    met = [b for leg in ("G1", "G3") for b in of(part, BarRole.FOOTING_CORNER, leg) if "into the wall" in b.basis]
    assert sum(b.count for b in met) == 2 * 2
    assert {b.cut_length for b in met} == {at("46 3/8")} and not any(b.shape for b in met)
    told = [p for p in part.problems if "meets the wall of B above" in p.sentence]
    assert {p.leg for p in told} == {"G1", "G3"}


def test_a_footing_lower_than_the_one_it_meets_gets_no_bars_into_it_and_a_warning() -> None:
    made = plans.garage()
    deep = tuple(replace(leg, footing_top=at("84-0")) for leg in made.walks[1].legs)
    part = steel(replace(made, walks=(made.walks[0], replace(made.walks[1], legs=deep))))
    assert not [b for b in of(part, BarRole.FOOTING_CORNER, "G3") if "met" in b.basis or "into" in b.basis]
    assert any("lies lower than that of B" in p.sentence for p in part.problems)


# -- nothing twice ---------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ["rectangle", "l_shape", "openings", "bay", "second_ring"])
def test_uprights_of_a_ring_are_one_a_spacing_of_its_centre_line_and_those_beside_openings(name: str) -> None:
    """ceil(L / s) on each leg of a ring, the corner's bar belonging to one leg; more only beside openings."""
    made = plans.SAMPLES[name]()
    placed, part = geometry.place(made), steel(made)
    spacing = made.spec.bars.vertical_spacing
    for leg, found in placed.legs.items():
        dowels = sorted(line[0] for b in of(part, BarRole.DOWEL, leg) for line in b.places)
        assert len(dowels) == len(set(dowels))
        plain = -(-found.centre.length.nm // spacing.nm)
        beside = 2 * len(found.leg.openings)
        assert plain <= len(dowels) <= plain + beside


def test_two_straight_bars_at_an_inside_corner_reach_the_far_face() -> None:
    """Lap of 30 in and the core less 2 in of cover, both ways, in every row (ACI 315 practice, from memory)."""
    bars = of(steel(plans.l_shape()), BarRole.CORNER, "C")
    assert {b.cut_length for b in bars} == {at("36")} and not any(b.shape for b in bars)
    assert sum(b.count for b in bars) == 2 * 9


def test_rows_over_each_other_have_their_laps_a_lap_apart() -> None:
    """30 in for #4 of Grade 60, IRC 2021 Table R608.5.4(1)."""
    part = steel(plans.rectangle("60-0", "44-0"))
    laps_at: dict[float, list[float]] = {}
    for leg in "AB":
        rows: dict[float, list[tuple[float, float]]] = {}
        for b in of(part, BarRole.HORIZONTAL, leg):
            for x0, y, x1, _ in b.places:
                rows.setdefault(y, []).append((x0, x1))
        for y, spans in rows.items():
            spans.sort()
            laps_at[y] = [(start + end) / 2 for (_, end), (start, _) in pairwise(spans)]
            assert all(end - start == pytest.approx(30) for (_, end), (start, _) in pairwise(spans))
        levels = sorted(rows)
        for a, b in pairwise(levels):
            assert all(abs(x - y) >= 30 - 1e-6 for x in laps_at[a] for y in laps_at[b])
        laps_at.clear()


def test_hook_rules_of_the_tail() -> None:
    """90 degrees: 12 bar diameters beyond the bend; bends of 6 diameters for #3 to #8, of 4 for stirrups to #5 (WSDOT
    bridge library, LRFD/Rebar.cpp, and McCormac and Brown, 9th ed., 7.5, both read)."""
    assert (TAIL, laps.MAIN_BEND, laps.TIE_BEND) == (12, 6, 4)
