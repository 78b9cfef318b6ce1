"""Odd courses: what stands in each, in every way a section may choose, and what is proposed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff import blocks, geometry
from takeoff.courses import Grid
from takeoff.forms import GENERIC_16, FormSystem
from takeoff.plan import Levels, RestWay
from takeoff.problems import Severity
from takeoff.rests import lay_heights, proposal, rule_of
from takeoff.units import Length
from tests.takeoff.plans import at, rectangle

FACE = Length.inches(16)
LEAST = Length.inches(6)


def inches(value: float) -> Length:
    return Length.from_inches(value)


def lines(foot: float, top: float, way: RestWay) -> tuple[list[tuple[float, float, float]], list[str]]:
    """(bottom, top, unit) of the courses of a wall on a grid from 0 in, and what fell back."""
    levels = Levels(inches(foot), None, inches(top), inches(0), inches(0))
    found, rests = lay_heights(levels, Grid(Length(0), FACE), rule_of(GENERIC_16, way, LEAST))
    return [(x.bottom.inch, x.top.inch, x.unit.inch) for x in found.values()], [r.fell_back for r in rests]


@pytest.mark.parametrize(
    ("way", "top", "course", "said"),
    [
        (RestWay.RIP, 36, (32, 36, 16), ""),
        (RestWay.TWO_RIPPED, 36, (26, 36, 16), ""),
        (RestWay.PART_HEIGHT, 36, (32, 36, 8), ""),
        (RestWay.PART_HEIGHT, 42, (32, 42, 16), 'the 8" units do not reach'),
        (RestWay.POUR_LINE, 36, (32, 48, 16), ""),
    ],
)
def test_the_odd_course_at_the_top(way: RestWay, top: float, course: tuple[float, float, float], said: str) -> None:
    found, told = lines(0, top, way)
    assert (found[-1], told) == (course, [said])
    assert found[0] == (0, 16, 16)


@pytest.mark.parametrize(
    ("way", "course", "said"),
    [
        (RestWay.RIP, (-4, 0, 16), ""),
        (RestWay.TWO_RIPPED, (-4, 6, 16), ""),
        (RestWay.PART_HEIGHT, (-4, 0, 8), ""),
        (RestWay.POUR_LINE, (-4, 0, 16), "a rest at the foot has no pour line"),
    ],
)
def test_the_odd_course_at_the_foot(way: RestWay, course: tuple[float, float, float], said: str) -> None:
    found, told = lines(-4, 48, way)
    assert (found[0], told) == (course, [said])
    assert found[-1] == (32, 48, 16)


def test_a_wall_lower_than_two_courses_has_nothing_to_share() -> None:
    assert lines(0, 10, RestWay.TWO_RIPPED) == ([(0, 10, 16)], ["there is no whole course beside it to share with"])


def test_whole_courses_leave_nothing_to_do() -> None:
    for way in RestWay:
        assert lines(0, 48, way) == ([(0, 16, 16), (16, 32, 16), (32, 48, 16)], [])


@settings(max_examples=150, deadline=None)
@given(st.integers(-60, 60), st.integers(1, 200), st.sampled_from(RestWay))
def test_courses_stand_on_each_other_from_foot_to_top(foot: int, height: int, way: RestWay) -> None:
    found, _ = lines(foot, foot + height, way)
    assert found[0][0] == foot
    assert found[-1][1] == foot + height if way is not RestWay.POUR_LINE else found[-1][1] >= foot + height
    for (_, top, unit), (bottom, _, _) in zip(found, found[1:] + [(found[-1][1], 0, 0)], strict=True):
        assert top == bottom and unit <= 16
    assert all(0 < top - bottom <= unit for bottom, top, unit in found)


@pytest.mark.parametrize(
    ("rest", "full", "at_top", "way"),
    [
        (8, 5, True, RestWay.PART_HEIGHT),
        (12, 5, True, RestWay.RIP),
        (4, 5, True, RestWay.TWO_RIPPED),
        (4, 0, True, RestWay.POUR_LINE),
        (4, 0, False, None),
    ],
)
def test_what_is_proposed(rest: float, full: int, at_top: bool, way: RestWay | None) -> None:
    found, why = proposal(inches(rest), full, GENERIC_16, LEAST, at_top)
    assert found is way and why


# -- what is told ----------------------------------------------------------------------------------
def told(height: str, way: RestWay, form: FormSystem = GENERIC_16) -> tuple[Severity, str]:
    """The one sentence about the odd course of a rectangle."""
    made = rectangle(wall_top=at("86-0") + at(height), frost_top=None)
    made = replace(made, sections=tuple(replace(s, rest_way=way) for s in made.sections), forms=(form,))
    [found] = [p for p in blocks.lay(made, geometry.place(made)).problems if "course" in p.sentence]
    return found.severity, found.sentence


def test_a_rip_that_holds_is_a_note_and_says_what_would_be_simpler() -> None:
    assert told("108", RestWay.RIP) == (Severity.NOTE, 'A, B, C, D: the top course is ripped to 12".')
    severity, sentence = told("104", RestWay.RIP)
    assert severity is Severity.NOTE and 'Simpler: 8" units fit without a cut' in sentence


def test_ways_chosen_are_said_with_their_numbers() -> None:
    assert 'the two top courses are ripped to 10" each.' in told("100", RestWay.TWO_RIPPED)[1]
    assert 'concrete stops at a line 12" below its top' in told("100", RestWay.POUR_LINE)[1]
    assert told("104", RestWay.PART_HEIGHT)[1].endswith('laid with 8" units; corner units are ripped to it.')


def test_a_way_that_breaks_the_least_rip_is_a_warning_with_the_others() -> None:
    severity, sentence = told("100", RestWay.PART_HEIGHT)
    assert severity is Severity.WARNING
    assert '8" units, ripped to 4"' in sentence and 'below the least rip of 6"' in sentence
    assert 'a pour line 12" below' in sentence and 'Proposed: two courses ripped to 10"' in sentence


def test_a_way_that_cannot_be_had_says_why() -> None:
    without = replace(GENERIC_16, half_height=None)
    severity, sentence = told("108", RestWay.PART_HEIGHT, without)
    assert severity is Severity.NOTE and "(the form system has no lower units)" in sentence
