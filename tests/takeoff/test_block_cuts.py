"""The saw's list: the same cuts as are ordered, every piece once, each with its place; one list counted by hand."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from takeoff.block_cuts import BlockCuts, block_cuts
from takeoff.block_orders import SAW_CUT
from takeoff.compute import compute
from takeoff.geometry import place
from takeoff.plan import Stage
from takeoff.planfile import read_plan
from takeoff.results import Takeoff
from takeoff.units import ZERO, Length
from tests.takeoff import plans

EXAMPLES = Path(__file__).parents[2] / "jobs" / "examples"
SAMPLES = ("rectangle", "bay", "round_corner", "stepped", "openings", "ledge", "two_cores", "walkout")


def cuts_of(takeoff: Takeoff) -> tuple[BlockCuts, ...]:
    return block_cuts(takeoff.plan, place(takeoff.plan), takeoff.units)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_piece_is_cut_once_and_no_unit_is_longer_than_it_is(name: str) -> None:
    takeoff = compute(getattr(plans, name)())
    found = cuts_of(takeoff)
    assert found
    for cuts in found:
        wanted = {piece.length: piece.count for piece in cuts.pieces}
        cut: Counter[Length] = Counter()
        for pattern in cuts.patterns:
            count = sum(n for _, n in pattern.pieces)
            long = sum((length * n for length, n in pattern.pieces), ZERO)
            assert long + SAW_CUT * (count - 1) <= pattern.stock
            for length, n in pattern.pieces:
                cut[length] += n * pattern.count
        assert cut == wanted
        assert cuts.reused == cuts.count - cuts.units >= 0
        assert all(piece.count == sum(n for *_, n in piece.where) for piece in cuts.pieces)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_list_and_the_order_take_the_same_units(name: str) -> None:
    takeoff = compute(getattr(plans, name)())
    for cuts in cuts_of(takeoff):
        said = f"{cuts.count} cut pieces"
        orders = [
            q.basis
            for q in takeoff.of(cuts.stage, (cuts.section,))
            if q.key.startswith(("blocks.straight", "blocks.half_height"))
        ]
        assert any(said in basis and f"out of {cuts.units} units" in basis for basis in orders)


def test_pieces_of_the_garage_house_by_hand() -> None:
    """Saltlick Lane, frost wall under the basement: walls of 36 and 28 ft, courses of 16 in. By hand: six pieces of
    36 in leave 12 in less a saw cut of 1/4 in, too short for another 12 in piece; six of those come three from a unit
    (3 x 12 + 2 x 1/4 = 36 1/2 in). Eight units."""
    document = json.loads((EXAMPLES / "saltlick-lane.json").read_text())
    takeoff = compute(read_plan(document).plan)
    (cuts,) = [c for c in cuts_of(takeoff) if (c.section, c.stage) == ("main", Stage.FROST_WALL)]
    assert [(str(piece.length), piece.count) for piece in cuts.pieces] == [("3'-0\"", 6), ("1'-0\"", 6)]
    assert (cuts.count, cuts.units, cuts.reused) == (12, 8, 4)
    assert cuts.pieces[0].where == tuple((leg, course, 1) for leg in "AC" for course in (1, 2, 3))
