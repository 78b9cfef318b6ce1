"""Placing walks: corners, faces, spurs, arcs, changes of core, crossing walls, and the live trace."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.geometry import CornerKind, TypedLeg, enclosed_area_in2, free_span, outline, place, trace
from takeoff.plan import Arc, Face, Plan, Section, Step, Straight
from takeoff.problems import Severity
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.plans import DOOR, WINDOW, arc, at, frost, leg, plan, rectangle, ring, spur

THICK = at("12 3/4")  # generic sixteen with an 8 in core


def blockers(walls: Plan) -> list[str]:
    return [p.sentence for p in place(walls).problems if p.severity is Severity.BLOCKER]


# -- corners and faces -----------------------------------------------------------------------------
@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
def test_every_sample_can_be_placed(name: str) -> None:
    walls = plans.SAMPLES[name]()
    assert blockers(walls) == []
    assert list(place(walls).legs) == [g.name for g in walls.legs()]


def test_square_corners_are_exact_to_the_nanometre() -> None:
    placement = place(plans.l_shape())
    assert [g.outside.length for g in placement.legs.values()] == [
        at(x) for x in ("40-0", "16-0", "16-0", "12-0", "24-0", "28-0")
    ]
    inside = placement.legs["C"].faces[Face.INSIDE_OF_FOAM].length
    assert inside == at("16-0")  # one corner outside, one inside: what one takes the other gives
    assert placement.legs["A"].faces[Face.INSIDE_OF_FOAM].length == at("40-0") - 2 * THICK
    assert enclosed_area_in2(placement, "house", Face.OUTSIDE_OF_FOAM) == (40 * 28 - 16 * 12) * 144


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.integers(2_000_000_000, 20_000_000_000), min_size=4, max_size=4),
    st.sampled_from([0.0, 90.0, 180.0, 270.0]),
)
def test_any_square_plan_is_exact_to_the_nanometre(nm: list[int], heading: float) -> None:
    """An L of any lengths, walked in any of the four directions."""
    a, b, c, d = (Length(x) for x in nm)
    sides = (("A", a + c, 90), ("B", b, 90), ("C", c, -90), ("D", d, 90), ("E", a, 90), ("F", b + d, 90))
    legs = tuple(replace(leg(n, "1", t), path=Straight(x)) for n, x, t in sides)
    placement = place(plan(ring(*legs, heading_deg=heading)))
    assert placement.closures[0].verdict == "closed"
    assert [g.outside.length for g in placement.legs.values()] == [x for _, x, _ in sides]
    assert placement.legs["A"].centre.length == a + c - THICK
    assert placement.legs["C"].centre.length == c


def test_corners_know_what_they_are() -> None:
    placement = place(plans.l_shape())
    kinds = {name: g.end.kind for name, g in placement.legs.items()}
    assert kinds.pop("C") is CornerKind.INSIDE
    assert set(kinds.values()) == {CornerKind.OUTSIDE}
    assert placement.legs["D"].start == placement.legs["C"].end
    assert (placement.legs["C"].end.x, placement.legs["C"].end.y) == (24 * 12, 16 * 12)


def test_walked_to_the_right_the_outside_is_on_the_left() -> None:
    right = plan(ring(*(leg(n, x, -90) for n, x in zip("ABCD", ("40-0", "28-0", "40-0", "28-0"), strict=True))))
    placement = place(right)
    assert all(g.outside_left for g in placement.legs.values())
    assert {g.end.kind for g in placement.legs.values()} == {CornerKind.OUTSIDE}
    assert placement.legs["A"].faces[Face.INSIDE_OF_FOAM].y0 == pytest.approx(-12.75)


def test_neighbours_wrap_round_a_ring_and_end_with_a_spur() -> None:
    placement = place(plans.garage())
    after, before = placement.next_leg("D"), placement.previous_leg("A")
    assert after is not None and after.leg.name == "A" and before is not None and before.leg.name == "D"
    assert placement.previous_leg("G1") is None and placement.next_leg("G3") is None


def test_a_face_that_vanishes_between_corners_is_refused() -> None:
    walls = plan(
        ring(*(leg(n, x, t) for n, x, t in (("A", "20-0", 90), ("B", "2-0", 90), ("C", "20-0", 90), ("D", "2-0", 90))))
    )
    [sentence] = blockers(walls)
    assert sentence == "Leg B is too short: between its corners nothing is left of its inside of foam."


# -- dimensioned faces -----------------------------------------------------------------------------
def test_distances_typed_on_the_centre_line_become_distances_on_the_outside() -> None:
    legs = (
        leg(n, x, openings=(WINDOW,) if n == "A" else ()) for n, x in zip("ABCD", ("40-0", "28-0") * 2, strict=True)
    )
    placed = place(plan(ring(*legs), dimensions_to=Face.CENTRE_LINE)).legs["A"]
    half = THICK.half()
    assert placed.outside.length == at("40-0") + THICK
    assert placed.dimension_offset == half and placed.dimension_length == at("40-0")
    assert placed.opening_span(WINDOW) == (at("6-0") + half, at("9-0") + half)


def test_an_opening_measured_from_the_end() -> None:
    placed = place(plans.openings()).legs["C"]
    assert placed.opening_span(DOOR) == (at("40-0") - at("8-0") - at("40"), at("40-0") - at("8-0"))


def test_at_an_inside_corner_the_dimensioned_face_starts_first() -> None:
    turned = (90, 90, -90, 90, 90, 90)
    lengths = ("40-0", "16-0", "16-0", "12-0", "24-0", "28-0")
    walls = plan(
        ring(*(leg(*x) for x in zip("ABCDEF", lengths, turned, strict=True))), dimensions_to=Face.OUTSIDE_OF_CONCRETE
    )
    placement = place(walls)
    foam = at("2 3/8")
    assert placement.legs["A"].dimension_offset == foam
    assert placement.legs["D"].dimension_offset == -foam
    assert placement.legs["D"].outside.length == at("12-0")


def test_stretches_reach_from_corner_to_corner_of_the_outside() -> None:
    step = Step(at("10-0"), footing_top=at("87-4"))
    legs = [leg("A", "40-0", steps=(step,)), *(leg(n, x) for n, x in zip("BCD", ("28-0", "40-0", "28-0"), strict=True))]
    placed = place(plan(ring(*legs), dimensions_to=Face.CENTRE_LINE)).legs["A"]
    first, second = placed.outside_stretches()
    assert (first.start, second.end) == (Length(0), placed.outside.length)
    assert first.end == second.start == at("10-0") + THICK.half()
    assert second.levels.footing_top == at("87-4")


# -- arcs ------------------------------------------------------------------------------------------
def test_a_tangent_arc_runs_on_smoothly() -> None:
    placed = place(plans.round_corner()).legs
    assert placed["B"].start.kind is placed["B"].end.kind is CornerKind.STRAIGHT
    assert placed["B"].outside.length.inch == pytest.approx(math.pi / 2 * 72)
    inner = placed["B"].faces[Face.INSIDE_OF_FOAM]
    assert inner.curve is not None and inner.curve.radius == 72 - 12.75
    assert inner.length.inch == pytest.approx(math.pi / 2 * (72 - 12.75))


def test_a_half_round_joined_at_corners_is_trimmed_where_circle_and_line_meet() -> None:
    """Inside foam: circle of radius 96 - 12.75 meets the line 12.75 above the outside; by Pythagoras."""
    placed = place(plans.porch_arc()).legs
    radius, up = 96 - 12.75, 12.75
    inner = placed["B"].faces[Face.INSIDE_OF_FOAM]
    half_chord = math.sqrt(radius**2 - up**2)
    assert (inner.x0, inner.y0) == pytest.approx((12 * 12 + 96 - half_chord, 12.75))
    sweep = math.pi + 2 * math.asin(up / radius)
    assert inner.length.inch == pytest.approx(radius * sweep)
    assert placed["A"].faces[Face.INSIDE_OF_FOAM].end == pytest.approx((inner.x0, inner.y0))


def test_arcs_that_turn_away_from_the_building_have_the_longer_inside() -> None:
    legs = (
        *(leg("A", "12-0", 90), arc("B", "8-0", -180, 90), leg("C", "12-0", 90)),
        *(leg("D", "28-0"), leg("E", "40-0"), leg("F", "28-0")),
    )
    placed = place(plan(ring(*legs))).legs["B"]
    assert placed.faces[Face.CENTRE_LINE].curve is not None
    assert placed.faces[Face.CENTRE_LINE].curve.radius == 96 + 6.375
    assert placed.outside.length.inch == pytest.approx(math.pi * 96)
    assert placed.outside.bulge == pytest.approx(-1.0)


def test_two_arcs_meeting_at_an_angle() -> None:
    """A lens of two equal arcs: faces meet on the axis of symmetry."""
    walls = plan(ring(arc("A", "20-0", 120, 60), arc("B", "20-0", 120, 60)))
    placement = place(walls)
    assert placement.problems == ()
    inner = placement.legs["A"].faces[Face.INSIDE_OF_FOAM]
    chord = 2 * 240 * math.sin(math.radians(60))
    reach = math.sqrt((240 - 12.75) ** 2 - (240 * math.cos(math.radians(60))) ** 2)
    assert math.dist(inner.start, inner.end) == pytest.approx(2 * reach)
    assert math.dist(placement.legs["A"].outside.start, placement.legs["A"].outside.end) == pytest.approx(chord)


def test_distances_along_an_arc_follow_its_radius() -> None:
    """10 ft along the centre line of an arc is further along its outside, by the ratio of the radii."""
    walls = plan(ring(arc("A", "20-0", 180), arc("B", "20-0", 180)), dimensions_to=Face.CENTRE_LINE)
    placed = place(walls).legs["A"]
    assert placed.along_outside(at("10-0")).inch == pytest.approx(120 * (240 + 6.375) / 240, abs=1e-6)


def test_a_radius_tighter_than_the_wall_is_refused() -> None:
    walls = plan(ring(*(x for n in "ABCD" for x in (leg(n, "20-0", 0), arc(f"{n}r", "10", 90)))))
    assert "radius 0'-10\" is less than the wall is thick" in blockers(walls)[0]


# -- change of core --------------------------------------------------------------------------------
@pytest.mark.parametrize("flush", list(Face))
def test_the_flush_face_stays_in_line_where_the_core_changes(flush: Face) -> None:
    """Whichever face is kept in line, that face has no jog and the one across has one of 2 in."""
    legs = list(plans.two_cores().walks[0].legs)
    legs[1] = replace(legs[1], flush=flush)
    jog = {Face.OUTSIDE_OF_FOAM: 0, Face.OUTSIDE_OF_CONCRETE: 0, Face.CENTRE_LINE: 1}.get(flush, 2)
    legs[2] = replace(legs[2], path=Straight(at("28-0") + Length.inches(jog)))
    placed = place(plan(ring(*legs))).legs
    ends = {f: (placed["A1"].faces[f].end, placed["A2"].faces[f].start) for f in Face}
    assert ends[flush][0] == pytest.approx(ends[flush][1])
    jogs = {f: a[1] - b[1] for f, (a, b) in ends.items()}
    assert abs(jogs[Face.INSIDE_OF_FOAM] - jogs[Face.OUTSIDE_OF_FOAM]) == pytest.approx(2)
    assert placed["A1"].end.kind is CornerKind.STRAIGHT


def test_a_jog_is_a_segment_of_the_outline() -> None:
    placement = place(plans.two_cores())
    assert len(outline(placement, "house", Face.OUTSIDE_OF_FOAM).points) == 5
    assert len(outline(placement, "house", Face.INSIDE_OF_FOAM).points) == 6
    area = enclosed_area_in2(placement, "house", Face.INSIDE_OF_FOAM)
    whole = (480 - 25.5) * (336 - 25.5)
    assert area == pytest.approx(whole - 2 * (16 * 12 - 12.75))


def test_a_square_corner_between_two_cores_is_mitred_to_both() -> None:
    legs = (leg("A", "40-0"), leg("B", "28-0", core=at("10")), leg("C", "40-0"), leg("D", "28-0"))
    placed = place(plan(ring(*legs))).legs
    assert placed["A"].faces[Face.INSIDE_OF_FOAM].end == pytest.approx((480 - 14.75, 12.75))
    assert placed["A"].faces[Face.INSIDE_OF_FOAM].length == at("40-0") - at("12 3/4") - at("14 3/4")


def test_a_slight_bend_between_two_cores_is_butted_not_mitred() -> None:
    """20 ft east, 2 degrees up for 20 ft in a thicker wall, then a rectangle; closing sides from sine and cosine."""
    up, over = 240 * math.sin(math.radians(2)), 240 * (1 + math.cos(math.radians(2)))
    sides = {"C": Length.from_inches(336 - up), "D": Length.from_inches(over)}
    legs = (
        *(leg("A", "20-0", 2), leg("B", "20-0", 88, core=at("10"))),
        *(replace(leg(n, "1", 90), path=Straight(x)) for n, x in sides.items()),
        leg("E", "28-0", 90),
    )
    placed = place(plan(ring(*legs))).legs
    inner = (placed["A"].faces[Face.INSIDE_OF_FOAM].end, placed["B"].faces[Face.INSIDE_OF_FOAM].start)
    assert math.dist(*inner) == pytest.approx(2, abs=0.1)


# -- spurs -----------------------------------------------------------------------------------------
def test_an_inner_wall_runs_from_inside_to_inside_of_foam() -> None:
    placement = place(plans.tee())
    wall = placement.legs["T1"]
    assert wall.start.kind is wall.end.kind is CornerKind.TEE
    assert {line.length for line in wall.faces.values()} == {at("28-0") - 2 * THICK}
    assert wall.outside.x0 == 18 * 12  # its outside faces the start of A
    assert wall.faces[Face.INSIDE_OF_FOAM].x0 == 18 * 12 + 12.75
    at_a, at_c = placement.tees
    assert (at_a.through, at_a.inward, at_a.at) == ("A", True, at("18-0") + THICK.half())
    assert (at_c.through, at_c.at) == ("C", at("22-0") - THICK.half())


def test_a_garage_stands_outside_the_leg_it_hangs_on() -> None:
    placement = place(plans.garage())
    first, side = placement.legs["G1"], placement.legs["G2"]
    assert first.outside.start == (480, 36) and first.outside.length == at("24-0")
    assert first.faces[Face.INSIDE_OF_FOAM].length == at("24-0") - THICK
    assert side.outside.length == at("22-0") and side.start.kind is CornerKind.OUTSIDE
    assert [t.inward for t in placement.tees] == [False, False]


@pytest.mark.parametrize(
    ("face", "length"),
    [(Face.OUTSIDE_OF_CONCRETE, "27-0 3/8"), (Face.CENTRE_LINE, "28-0")],
    ids=["concrete to concrete", "centre to centre"],
)
def test_a_spur_is_typed_between_the_matching_faces(face: Face, length: str) -> None:
    """A 28 ft wide house to centre: the inner wall is 28 ft centre to centre; its foam stops at the foam."""
    inner = leg("T1", length, 0)
    inside = at("28-0") + (THICK if face is Face.CENTRE_LINE else 2 * at("2 3/8")) - 2 * THICK
    walls = replace(rectangle(), dimensions_to=face)
    typed = at("28-0") if face is Face.CENTRE_LINE else inside + 2 * at("2 3/8")
    inner = replace(inner, path=Straight(typed))
    placement = place(replace(walls, walks=(*walls.walks, spur("inner", ("A", "18-0"), inner, end=("C", "22-0")))))
    assert [p.sentence for p in placement.problems] == []
    assert placement.legs["T1"].outside.length == inside
    assert placement.legs["T1"].dimension_offset < Length(0)


def test_a_free_end_is_square() -> None:
    base = rectangle()
    stub = spur("stub", ("A", "10-0"), leg("T1", "6-0", 0))
    wall = place(replace(base, walks=(*base.walks, stub))).legs["T1"]
    assert wall.end.kind is CornerKind.END
    assert {line.length for line in wall.faces.values()} == {at("6-0")}
    assert {line.y1 for line in wall.faces.values()} == {72 + 12.75}


def test_a_small_miss_at_the_far_end_is_taken_up_and_noted() -> None:
    base = plans.tee()
    short = replace(base.walks[1].legs[0], path=Straight(at("28-0") - 2 * THICK - at("3/8")))
    placement = place(replace(base, walks=(base.walks[0], replace(base.walks[1], legs=(short,)))))
    [note] = placement.problems
    assert note.severity is Severity.NOTE and "run 0'-0 3/8\" on to the face of leg C" in note.sentence
    assert placement.legs["T1"].outside.length == at("28-0") - 2 * THICK
    assert placement.legs["T1"].adjustment == at("3/8")


def test_a_large_miss_is_refused_with_both_distances() -> None:
    base = plans.tee()
    short = replace(base.walks[1].legs[0], path=Straight(at("25-0")))
    [sentence] = blockers(replace(base, walks=(base.walks[0], replace(base.walks[1], legs=(short,)))))
    assert "misses its place on leg C by 0'-10 1/2\" off the face and 0'-0\" along it" in sentence


def test_a_spur_past_the_end_of_its_leg_is_refused() -> None:
    base = rectangle()
    [sentence] = blockers(
        replace(base, walks=(*base.walks, spur("out", ("A", "39-6"), leg("T1", "6-0", 0), heading=-90)))
    )
    assert "runs past the end of leg A" in sentence


def test_spurs_may_hang_on_spurs_but_not_on_nothing() -> None:
    base = plans.garage()
    store = spur("store", ("G2", "8-0"), frost("T1", "6-0", 0))
    lost = spur("lost", ("T9", "8-0"), frost("T2", "6-0", 0))
    placement = place(replace(base, walks=(store, lost, *base.walks)))
    assert "T1" in placement.legs and next(iter(placement.legs)) == "T1"
    assert [p.sentence for p in placement.problems] == ["Spur lost stands on leg T9, which could not be placed."]


def test_a_spur_on_an_arc_starts_on_the_circle() -> None:
    base = plan(ring(arc("A", "20-0", 180), arc("B", "20-0", 180)))
    stub = spur("stub", ("A", "31-5"), leg("T1", "6-0", 0))
    placement = place(replace(base, walks=(*base.walks, stub)))
    assert placement.problems == ()
    wall = placement.legs["T1"]
    for line in wall.faces.values():
        assert math.dist(line.start, (0, 240)) == pytest.approx(240 - 12.75)
    assert wall.heading_deg == pytest.approx(180, abs=0.2)


# -- walls that cross ------------------------------------------------------------------------------
def test_a_ring_that_crosses_itself_names_both_legs() -> None:
    """One loop to the left and one to the right: the turns add up to 360 and the ring closes, but A runs through D
    and E through H."""
    loops = (
        *(("A", "20-0", 90), ("B", "10-0", 90), ("C", "10-0", 90), ("D", "20-0", 90)),
        *(("E", "20-0", -90), ("F", "10-0", -90), ("G", "6-0", -90), ("H", "30-0", -90)),
        *(("I", "16-0", 90), ("J", "20-0", 90), ("K", "40-0", 90), ("L", "30-0", 90)),
    )
    placement = place(plan(ring(*(leg(*x) for x in loops))))
    assert placement.closures[0].verdict == "closed"
    found = [p.sentence for p in placement.problems]
    assert found == [
        "Legs A and D run into each other; look at their lengths, turns and where they start.",
        "Legs E and H run into each other; look at their lengths, turns and where they start.",
    ]


def test_arms_of_a_u_may_not_share_a_wall() -> None:
    """A slot 8 in wide between D and F is allowed; one so deep that its end E stands in wall A is not."""
    shape = (
        *(("A", "30-0", 90), ("B", "20-0", 90), ("C", "10-0", 90), ("D", "10-0", -90)),
        *(("E", "0-8", -90), ("F", "10-0", 90), ("G", "19-4", 90), ("H", "20-0", 90)),
    )
    assert blockers(plan(ring(*(leg(*x) for x in shape)))) == []
    crossed = [leg(*x) for x in shape]
    crossed[3], crossed[5] = leg("D", "19-0", -90), leg("F", "19-0", 90)
    found = blockers(plan(ring(*crossed)))
    assert [x.split(" run")[0] for x in found] == ["Legs A and D", "Legs A and F"]


def test_two_rings_may_stand_apart_but_not_across_each_other() -> None:
    walls = plans.second_ring()
    assert blockers(walls) == []
    moved = replace(walls, walks=(walls.walks[0], replace(walls.walks[1], origin_x=at("35-0"))))
    found = blockers(moved)
    assert "Legs B and S1 run into each other; look at their lengths, turns and where they start." in found
    assert place(moved).problems[0].path == "walks.1.legs.0.length"


# -- openings and other walls ----------------------------------------------------------------------
def with_window(offset: str, walls: Plan | None = None, **changes: object) -> Plan:
    """The plan with a window 3 ft wide in leg A."""
    walls = walls or rectangle()
    window = replace(WINDOW, offset=at(offset), **changes)  # type: ignore[arg-type]
    first = replace(walls.walks[0].legs[0], openings=(window,))
    return replace(walls, walks=(replace(walls.walks[0], legs=(first, *walls.walks[0].legs[1:])), *walls.walks[1:]))


@pytest.mark.parametrize(
    ("offset", "said"),
    [
        ("12", "runs 0'-0 3/4\" into the corner at the leg's start"),
        ("12 3/4", ""),
        ("35-11 1/4", ""),
        ("36-6", "runs 0'-6 3/4\" into the corner at the leg's end"),
    ],
)
def test_an_opening_may_not_reach_into_the_corner(offset: str, said: str) -> None:
    """At an outside corner the next wall takes its thickness of 12 3/4 in."""
    found = place(with_window(offset)).problems
    assert [said in p.sentence and p.severity is Severity.BLOCKER for p in found] == ([True] if said else [])
    assert all((p.path, p.leg) == ("walks.0.legs.0.openings.0.offset", "A") for p in found)


def test_at_an_inside_corner_an_opening_may_start_where_the_outside_does() -> None:
    placement = place(plans.l_shape())
    assert free_span(placement.legs["D"]) == (Length(0), at("12-0") - THICK)


@pytest.mark.parametrize(
    ("offset", "clash"), [("16-0", True), ("15-0", False), ("19-0 3/4", False), ("19-0 1/2", True)]
)
def test_an_opening_behind_an_inner_wall_is_pointed_out(offset: str, clash: bool) -> None:
    """T1 stands from 18'-0" to 19'-0 3/4" along A."""
    found = [p.sentence for p in place(with_window(offset, plans.tee())).problems]
    assert found == (["Leg A: wall T1 meets it at opening W1; one of them has to move."] if clash else [])


def test_an_opening_above_a_low_wall_is_no_clash() -> None:
    walls = plans.tee()
    low = replace(walls.walks[1].legs[0], wall_top=None, frost_top=at("93-0"))
    walls = replace(walls, walks=(walls.walks[0], replace(walls.walks[1], legs=(low,))))
    assert place(with_window("17-0", walls)).problems == ()


# -- the live trace --------------------------------------------------------------------------------
def test_an_unfinished_ring_is_drawn_as_far_as_it_goes() -> None:
    drawn = trace([TypedLeg("A", at("40-0"), 90), TypedLeg("B", at("28-0"), 90)])
    assert [g.name for g in drawn.legs] == ["A", "B"]
    assert (drawn.x, drawn.y, drawn.heading_deg) == (480, 336, 180)
    assert drawn.bounds == (0, 0, 480, 336)
    assert drawn.closure is not None and drawn.closure.error.inch == pytest.approx(math.hypot(480, 336))


def test_unreadable_legs_are_left_out_but_still_turn() -> None:
    drawn = trace([TypedLeg("A", at("40-0"), 90), TypedLeg("B", None, 90), TypedLeg("C", at("10-0"), None)])
    assert [g.name for g in drawn.legs] == ["A", "C"] and drawn.skipped == ("B",)
    assert drawn.legs[1].heading_deg == 180


@pytest.mark.parametrize(
    "bad", [TypedLeg("B", radius=at("0"), sweep_deg=90), TypedLeg("B", radius=at("6"), sweep_deg=None)]
)
def test_half_typed_arcs_are_left_out(bad: TypedLeg) -> None:
    assert trace([bad]).legs == () and trace([bad]).closure is None


def test_an_arc_is_traced_on_its_radius() -> None:
    drawn = trace([TypedLeg("A", radius=at("10-0"), sweep_deg=-90.0)], heading_deg=90)
    [traced] = drawn.legs
    assert traced.line.end == pytest.approx((120, 120)) and drawn.heading_deg == pytest.approx(0)
    assert traced.line.curve is not None and traced.line.length.inch == pytest.approx(math.pi * 60)


def test_a_complete_trace_closes_like_the_ring() -> None:
    walls = plans.l_shape().walks[0]
    typed = [TypedLeg(g.name, g.path.length, g.turn_deg) for g in walls.legs if isinstance(g.path, Straight)]
    closure = trace(typed).closure
    assert closure is not None and closure.verdict == "closed"


def test_sections_do_not_move_walls() -> None:
    walls = plans.l_shape()
    other = replace(walls, sections=(Section("x", "X"),))
    assert place(walls).legs.keys() == place(other).legs.keys()


def test_an_arc_of_almost_nothing_still_has_faces() -> None:
    legs = (leg("A", "34-0", 0), replace(arc("B", "6-0", 90, 0), path=Arc(at("20"), 90)))
    more = (leg("C", "26-4", 90), leg("D", "35-8", 90), leg("E", "28-0", 90))
    placed = place(plan(ring(*legs, *more))).legs
    inner = placed["B"].faces[Face.INSIDE_OF_FOAM]
    assert inner.curve is not None and inner.curve.radius == 20 - 12.75
