"""Running bond rule by rule: ways to fill a run, legs that do not fit, short pieces, joints of two courses."""

from __future__ import annotations

from itertools import pairwise

from takeoff import bond
from takeoff.bond import BondRules, CourseSpec, Interval

IN = 25_400_000
RULES = BondRules(48 * IN, 6 * IN, 8 * IN, 6 * IN, 13 * IN)


def test_a_sliver_is_shared_by_two_equal_cuts() -> None:
    assert bond.fills(48 * 3 * IN + 4 * IN, RULES)[0] == (48 * IN, 48 * IN, 26 * IN, 26 * IN)


def test_every_usual_arrangement_fills_its_run() -> None:
    for run in range(6 * IN, 300 * IN, 7 * IN // 2):
        for way in (*bond.fills(run, RULES), *bond.shifted_fills(run, RULES)):
            assert sum(way) == run and max(way) <= 48 * IN


def test_where_the_usual_arrangements_fail_a_piece_on_a_web_line_bonds_the_courses() -> None:
    """The same corner leg in every course and no remainder: whole units alone would stack all joints."""
    spec = CourseSpec((Interval(0, 240 * IN, 0, 0),))
    courses_laid = bond.bond([spec] * 4, RULES)
    for lower, upper in pairwise(courses_laid):
        assert not bond.close_joints(lower.joints, upper.joints, 8 * IN)


def test_corner_legs_are_cut_to_fit_and_never_made_longer() -> None:
    """Legs of 36 and 8 in on 40 in of wall: no least leg of 13 in stretches the one of 8 in."""
    fitted = bond.fit_legs(Interval(0, 40 * IN, 36 * IN, 8 * IN), RULES)
    assert fitted.start_leg <= 36 * IN and fitted.end_leg <= 8 * IN
    assert fitted.start_leg + fitted.end_leg == 40 * IN


def test_a_short_piece_is_not_joined_across_a_break() -> None:
    """Where the line of a course is moved at a step, no unit lies on both sides of it."""
    pieces = [bond.Piece(0, 20 * IN), bond.Piece(20 * IN, 23 * IN)]
    assert bond.mend(list(pieces), RULES) == [bond.Piece(0, 23 * IN)]
    assert bond.mend(list(pieces), RULES, breaks=frozenset((20 * IN,))) == pieces
