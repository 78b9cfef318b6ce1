"""Cutting sheets from rolls: everything wanted is cut, nothing twice, and roll ends serve again."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff import rolls
from takeoff.rolls import Pieces, pack

WIDE, LONG, LAP = 39.0, 780.0, 6.0


def area(wanted: list[Pieces]) -> float:
    return sum(p.width * sum(p.lengths) for p in wanted)


def roll_area(count: int) -> float:
    return count * WIDE * LONG


@given(st.floats(1, 500), st.floats(20, 80), st.floats(0, 6))
def test_rows_reach_the_height_and_lap(high: float, wide: float, lap: float) -> None:
    widths = rolls.rows(high, wide, lap)
    assert sum(widths) - lap * (len(widths) - 1) == pytest.approx(high)
    assert all(w == wide for w in widths[:-1]) and 0 < widths[-1] <= wide + 1e-5


def test_eight_strips_to_a_roll() -> None:
    """780 / 94 = 8.3: 48 strips take six rolls and leave 28 in of each."""
    laid = pack([Pieces(WIDE, (94.0,) * 48)], WIDE, LONG, LAP)
    assert laid.rolls == 6
    assert laid.ends == (28.0,) * 6


def test_roll_ends_serve_the_detail_strips() -> None:
    """Seven strips of 100 leave 80 in: three corner strips side by side, nothing new is opened."""
    strips = Pieces(WIDE, (100.0,) * 7)
    assert pack([strips, Pieces(12.0, (76.0,) * 3)], WIDE, LONG, LAP).rolls == 1
    assert pack([strips, Pieces(12.0, (76.0,) * 4)], WIDE, LONG, LAP).rolls == 2


def test_a_joined_run_uses_short_ends_and_laps_them() -> None:
    """Two ends of 80 in, three lanes each 12 in wide: 480 in less five laps of 6 in."""
    strips = Pieces(WIDE, (100.0,) * 14)
    run = Pieces(12.0, (480.0 - 5 * LAP,), joined=True)
    laid = pack([strips, run], WIDE, LONG, LAP)
    assert (laid.rolls, laid.joins, laid.ends) == (2, 5, ())


def test_a_strip_longer_than_the_roll_is_lapped() -> None:
    """800 in: a roll, and 26 in with the lap."""
    laid = pack([Pieces(WIDE, (800.0,))], WIDE, LONG, LAP)
    assert (laid.rolls, laid.ends) == (2, (754.0,))


def test_what_is_wider_than_half_a_roll_has_it_to_itself() -> None:
    assert rolls.side_by_side(39.0, 39.0) == 1
    assert rolls.side_by_side(19.5, 39.0) == 2
    assert rolls.side_by_side(13.0, 39.0) == 3
    assert rolls.side_by_side(13.01, 39.0) == 2


def test_nothing_wanted_takes_nothing() -> None:
    assert pack([Pieces(12.0, ())], WIDE, LONG, LAP).rolls == 0


wanted = st.lists(
    st.builds(
        Pieces,
        st.sampled_from([8.0, 12.0, 19.5, 27.0, 39.0]),
        st.lists(st.floats(20, 1700), max_size=12).map(tuple),
        st.booleans(),
    ),
    max_size=4,
)


@given(wanted)
@settings(max_examples=60)
def test_rolls_hold_all_pieces_and_their_laps(pieces: list[Pieces]) -> None:
    """Not fewer rolls than the area of the pieces; not more than each piece cut for itself would take, two half-used
    rolls for every kind."""
    laid = pack(pieces, WIDE, LONG, LAP)
    left = WIDE * sum(laid.ends)
    assert roll_area(laid.rolls) >= area(pieces) + left - 1e-3
    alone = sum(len(rolls.in_pieces(x, LONG, LAP)) for p in pieces for x in p.lengths)
    assert laid.rolls <= alone + len(pieces)
