"""A leg or a ring called otherwise keeps what leans on it."""

from __future__ import annotations

import pytest

from jobs.plan_names import carry


def document(*names: str | None) -> dict:
    """A ring of two legs, a spur that hangs on A and ends on B, and a closing choice; the legs named anew."""
    return {
        "walks": [
            {"name": "house", "legs": [{"name": name} if name else {} for name in names]},
            {"name": "t", "kind": "spur", "starts_on": {"leg": "A"}, "ends_on": {"leg": "B"}, "legs": [{"name": "C"}]},
        ],
        "closure": [{"walk": "house", "legs": ["A", "B"]}],
    }


#: What the page says its names were.
WAS = {
    "walks.0._was": "house",
    "walks.0.legs.0._was": "A",
    "walks.0.legs.1._was": "B",
    "walks.1._was": "t",
    "walks.1.legs.0._was": "C",
}


@pytest.mark.parametrize(
    ("names", "leaned_on"),
    [
        (("A", "B"), ["A", "B"]),
        (("North", "B"), ["North", "B"]),
        (("B", "A"), ["B", "A"]),  # the two change names
        ((None, "B"), ["A", "B"]),  # wiped out, not yet typed anew
    ],
)
def test_spurs_and_closing_choices_go_along(names, leaned_on):
    carried = carry(document(*names), WAS)
    assert carried["closure"][0]["legs"] == leaned_on
    spur = carried["walks"][1]
    assert [spur["starts_on"]["leg"], spur["ends_on"]["leg"]] == leaned_on


def test_a_closing_choice_goes_along_with_its_ring():
    typed = document("A", "B")
    typed["walks"][0]["name"] = "main house"
    assert carry(typed, WAS)["closure"][0]["walk"] == "main house"


def test_of_two_legs_with_one_name_nobody_knows_which_was_meant():
    carried = carry(document("A", "North"), WAS | {"walks.0.legs.1._was": "A"})
    assert carried["closure"][0]["legs"] == ["A", "B"]


def test_a_form_without_former_names_carries_nothing():
    assert carry(document("North", "B"), {})["closure"][0]["legs"] == ["A", "B"]
