"""Names of legs in a sentence."""

from __future__ import annotations

import pytest

from inspections.legs import leg_words


@pytest.mark.parametrize(
    ("legs", "said"),
    [
        ("", ""),
        ("F", "leg F"),
        ("A B", "legs A and B"),
        ("A B C D", "legs A, B, C and D"),
        ("A B C D E", "legs A to E"),
        ("A B C D E F G H I J", "legs A to J"),
        ("A B C D E G H I", "legs A to E, G, H and I"),
        ("A B C D E G H I J K", "legs A to E and G to K"),
        ("South East North West G1 G2", "legs South, East, North, West, G1 and G2"),
        ("G1 G2 G3 G4 G5 K", "legs G1 to G5 and K"),
    ],
)
def test_a_long_run_of_legs_is_said_by_its_ends_and_a_short_one_spelled_out(legs, said):
    assert leg_words(tuple(legs.split())) == said


def test_a_leg_left_out_ends_the_run():
    assert "F" not in leg_words(tuple("ABCDEGHIJK")).replace("legs", "")
