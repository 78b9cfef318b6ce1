"""The closing error of a ring: said like a surveyor, absorbed, put on two legs, or refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.geometry import Closure, Placement, place
from takeoff.plan import ClosureChoice, Plan, Straight
from takeoff.problems import Severity
from takeoff.units import Length, parse_length
from tests.takeoff.plans import arc, at, leg, plan, rectangle, ring
from tests.takeoff.rings import Drawn, drawn_plans


def sides(*legs: tuple[str, str, float]) -> Plan:
    """A ring of straight legs."""
    return plan(ring(*(leg(name, length, turn) for name, length, turn in legs)))


def off_by(**lengths: str) -> Plan:
    """The 40 x 28 ft rectangle with some sides another length."""
    return sides(*((n, lengths.get(n, x), 90) for n, x in zip("ABCD", ("40-0", "28-0", "40-0", "28-0"), strict=True)))


def closing(walls: Plan, *choice: str) -> tuple[Closure, Placement]:
    """The first ring's closure, with the legs a person named to take it."""
    if choice:
        walls = replace(walls, closure=(ClosureChoice("house", (choice[0], choice[1])),))
    placement = place(walls)
    return placement.closures[0], placement


def test_a_ring_that_closes_says_so_and_nothing_else() -> None:
    closure, placement = closing(rectangle())
    assert (closure.verdict, closure.error, closure.turned_deg) == ("closed", Length(0), 360)
    assert placement.problems == () and closure.sentence == "Ring house closes."


DIRECTIONS = [
    ({"A": "39-11 5/8"}, 90.0, "east"),
    ({"A": "40-0 3/8"}, 270.0, "west"),
    ({"B": "27-11 5/8"}, 0.0, "north"),
    ({"B": "28-0 3/8"}, 180.0, "south"),
    ({"A": "39-11 3/4", "B": "27-11 3/4"}, 45.0, "north-east"),
    ({"C": "39-11 3/4", "D": "27-11 3/4"}, 225.0, "south-west"),
]


@pytest.mark.parametrize(("lengths", "bearing", "wind"), DIRECTIONS, ids=[wind + str(x) for x, _, wind in DIRECTIONS])
def test_the_error_has_a_size_and_a_compass_direction(lengths: dict[str, str], bearing: float, wind: str) -> None:
    """Bearings run clockwise from north, as in surveying (common practice, no source)."""
    closure, _ = closing(off_by(**lengths))
    assert closure.bearing_deg == pytest.approx(bearing)
    assert f"to the {wind}" in closure.sentence
    short = math.hypot(*(0.25,) * 2) if len(lengths) == 2 else 0.375
    assert closure.error.inch == pytest.approx(short, abs=1e-6)


def test_rounding_is_absorbed_by_least_squares_and_listed() -> None:
    """1/8 in east to west: 1/16 in on each of the two legs that run that way, nothing on the others."""
    closure, placement = closing(off_by(A="39-11 7/8"))
    assert closure.verdict == "absorbed"
    assert dict(closure.adjustments) == {"A": at("1/16"), "C": -at("1/16")}
    assert placement.legs["A"].adjustment == at("1/16")
    assert placement.legs["A"].outside.length == placement.legs["C"].outside.length == at("39-11 15/16")
    assert [p.severity for p in placement.problems] == [Severity.NOTE]
    assert "A +0'-0 1/16\"" in placement.problems[0].sentence


def test_slanting_legs_take_a_rounding_before_square_ones() -> None:
    """4 ft x root 2 is typed to the nearest 1/64 in; the blocks are counted on the square legs."""
    slant = "5'-7 57/64\""
    closure, placement = closing(
        sides(
            *(("A", "36-0", 45), ("B", slant, 45), ("C", "20-0", 45), ("D", slant, 45)),
            *(("E", "36-0", 90), ("F", "28-0", 90)),
        )
    )
    assert closure.verdict == "absorbed"
    assert {name for name, _ in closure.adjustments} <= {"B", "D"}
    assert placement.legs["A"].adjustment == Length(0)


def test_more_than_rounding_needs_two_legs_named() -> None:
    closure, placement = closing(off_by(A="39-11 5/8"))
    assert closure.verdict == "choose_legs"
    assert closure.sentence.endswith("name the two legs, not parallel to each other, that take it.")
    assert placement.legs == {} and placement.problems[0].severity is Severity.BLOCKER


def test_the_two_legs_named_take_it_all() -> None:
    closure, placement = closing(off_by(A="39-11 3/4", B="27-11 5/8"), "C", "D")
    assert closure.verdict == "absorbed"
    assert dict(closure.adjustments) == {"C": -at("1/4"), "D": -at("3/8")}
    assert placement.legs["C"].outside.length == at("39-11 3/4")


@pytest.mark.parametrize(
    ("choice", "why"),
    [
        (("A", "C"), "parallel"),
        (("A", "A"), "two different legs"),
        (("A", "Z"), "Z is not a straight leg of this ring"),
    ],
)
def test_legs_that_cannot_take_it_are_refused(choice: tuple[str, str], why: str) -> None:
    closure, placement = closing(off_by(A="39-11 5/8"), *choice)
    assert closure.verdict == "choose_legs" and why in closure.sentence
    assert placement.problems[0].severity is Severity.BLOCKER


def test_an_arc_cannot_take_a_closing_error() -> None:
    walls = plan(ring(leg("A", "20-0 3/8", 0), arc("B", "8-0", 180), leg("C", "20-0", 0), arc("D", "8-0", 180)))
    closure, _ = closing(walls, "A", "B")
    assert "B is not a straight leg" in closure.sentence


@pytest.mark.parametrize(
    ("lengths", "suspects"),
    [
        ({"A": "39-0"}, "1'-0\" short: A, or a leg running east-west is 1'-0\" long: C"),
        ({"B": "30-0"}, "2'-0\" short: D, or a leg running north-south is 2'-0\" long: B"),
    ],
)
def test_more_than_half_an_inch_must_be_corrected_and_the_likely_legs_are_named(
    lengths: dict[str, str], suspects: str
) -> None:
    closure, placement = closing(off_by(**lengths), "A", "B")
    assert closure.verdict == "correct" and "must be corrected" in closure.sentence
    assert suspects in closure.sentence
    assert placement.legs == {}


def test_an_error_along_no_leg_is_not_blamed_on_one() -> None:
    closure, _ = closing(off_by(A="39-0", B="26-0"))
    assert "No single leg runs that way" in closure.sentence


@pytest.mark.parametrize(
    ("turns", "said"),
    [
        ((90, 90, 90, 80), "add up to 350 degrees; they must make 360"),
        ((90, 90, 90, 80), "10 degrees are missing"),
        ((90, 90, 90, 100), "10 degrees are too many"),
        ((90, -90, 90, 90), "The turn at the end of B may be to the wrong side"),
    ],
)
def test_turns_that_do_not_go_round_are_said_in_degrees(turns: tuple[float, ...], said: str) -> None:
    lengths = ("40-0", "28-0", "40-0", "28-0")
    closure, placement = closing(sides(*zip("ABCD", lengths, turns, strict=True)))
    assert closure.verdict == "correct" and said in closure.sentence
    assert placement.problems[0].severity is Severity.BLOCKER


def test_an_l_with_one_wrong_turn_names_every_turn_it_could_be() -> None:
    turns = (90, 90, 90, 90, 90, 90)
    lengths = ("40-0", "16-0", "16-0", "12-0", "24-0", "28-0")
    closure, _ = closing(sides(*zip("ABCDEF", lengths, turns, strict=True)))
    assert closure.turned_deg == 540
    assert "A, B, C, D, E or F may be to the wrong side" in closure.sentence


def test_walking_round_to_the_right_is_as_good() -> None:
    lengths = ("40-0", "28-0", "40-0", "28-0")
    closure, placement = closing(sides(*zip("ABCD", lengths, (-90,) * 4, strict=True)))
    assert closure.verdict == "closed" and placement.legs["A"].outside_left


ERRORS = st.tuples(st.integers(-40, 40), st.integers(-40, 40))


@settings(max_examples=60, deadline=None)
@given(drawn_plans(), ERRORS)
def test_whatever_is_absorbed_is_small_and_closes(drawn: Drawn, error: tuple[int, int]) -> None:
    """Two legs typed wrong by 64ths: either the ring closes with at most 1/16 in a leg, or a person is asked."""
    walk = drawn.plan.walks[0]
    straight = [k for k, g in enumerate(walk.legs) if isinstance(g.path, Straight)][:2]
    legs = list(walk.legs)
    for k, amount in zip(straight, error, strict=True):
        path = legs[k].path
        assert isinstance(path, Straight)
        legs[k] = replace(legs[k], path=Straight(path.length + amount * parse_length('1/64"')))
    closure, placement = closing(replace(drawn.plan, walks=(replace(walk, legs=tuple(legs)),)))
    if closure.verdict in ("closed", "absorbed"):
        assert closure.error <= parse_length('1/2"') + Length(50)
        assert all(abs(x) <= parse_length('1/16"') + Length(50) for _, x in closure.adjustments)
        ends = [(g.outside.end, n.outside.start) for g, n in _pairs(placement)]
        assert all(math.dist(a, b) < 1e-6 for a, b in ends)
    else:
        assert closure.error > parse_length('1/16"') and placement.legs == {}


def _pairs(placement: Placement):  # type: ignore[no-untyped-def]
    legs = placement.of_walk("house")
    return zip(legs, (*legs[1:], legs[0]), strict=True)
