"""The days a strength is expected: read off three courses of strength, never past their end."""

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.ahead import FITTED, Ahead, ahead_from, expected

NOON = datetime(2026, 11, 26, 12, tzinfo=timezone(timedelta(hours=-6)))


def courses(low, likely, high, step_h: float = 24.0) -> Ahead:
    return Ahead(NOON, step_h, tuple(low), tuple(likely), tuple(high), FITTED, "by hand")


@pytest.mark.parametrize(
    ("psi", "said"),
    [
        (1150, "about Nov 28, between Nov 27 and Nov 29"),
        (1300, "about Nov 29, Nov 28 at the earliest, at the latest after Nov 29, as far as it is looked ahead"),
        (1400, "Nov 28 at the earliest, likely after Nov 29, as far as it is looked ahead"),
        (1700, "after Nov 29, as far as it is looked ahead"),
        (800, "on Nov 26"),
    ],
)
def test_in_words(psi, said):
    ahead = courses((900, 1000, 1100, 1200), (1000, 1050, 1200, 1300), (1000, 1200, 1350, 1500))
    assert expected(ahead, psi) == said


def test_between_steps_it_is_straight_by_the_clock_of_the_site():
    ahead = courses((0, 100), (0, 100), (0, 100))
    assert ahead.when(ahead.likely, 25) == NOON + timedelta(hours=6)
    assert ahead.when(ahead.likely, 0) == NOON and ahead.when(ahead.likely, 100.1) is None


GROWING = st.lists(st.floats(0, 500), min_size=2, max_size=12)


@given(GROWING, st.floats(0, 4000), st.floats(0, 500))
@settings(max_examples=60)
def test_more_strength_is_never_expected_sooner(steps, psi, more):
    values = [sum(steps[: n + 1]) for n in range(len(steps))]
    ahead = courses(values, values, values, 6.0)
    first, later = ahead.when(ahead.low, psi), ahead.when(ahead.low, psi + more)
    assert later is None or (first is not None and ahead.start <= first <= later <= ahead.end)


@given(GROWING)
@settings(max_examples=30)
def test_it_is_kept_and_read_again_as_it_was(steps):
    ahead = courses(steps, steps, steps)
    assert ahead_from(ahead.said()) == ahead


def test_an_estimate_from_before_it_was_looked_ahead_has_none():
    assert ahead_from(None) is None
