"""Cutting from stock: nothing lost, no stock overfilled, and the same count as the rule done the long way."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from takeoff.cutting import first_fit
from takeoff.units import Length
from tests.takeoff.layout_checker import pack
from tests.takeoff.plans import at

PIECES = st.dictionaries(st.integers(1, 240).map(lambda n: Length.inches(n)), st.integers(1, 40), max_size=12)


@given(PIECES, st.sampled_from(("0", "0.25")), st.sampled_from(("0", "6", "30")))
def test_the_same_count_as_one_piece_at_a_time(pieces: dict[Length, int], kerf: str, smallest: str) -> None:
    plan = first_fit(pieces, at("240"), at(kerf), at(smallest))
    one_by_one = [size.nm for size, count in pieces.items() for _ in range(count)]
    assert plan.stock == pack(one_by_one, at("240").nm, at(kerf).nm, at(smallest).nm)


@given(PIECES)
def test_every_piece_is_cut_once_and_no_stock_gives_more_than_it_has(pieces: dict[Length, int]) -> None:
    plan = first_fit(pieces, at("240"), at("0.25"))
    got: dict[Length, int] = {}
    for pattern in plan.patterns:
        cuts = sum(share for _, share in pattern.pieces)
        used = sum(size.nm * share for size, share in pattern.pieces) + (cuts - 1) * at("0.25").nm
        assert used <= at("240").nm
        for size, share in pattern.pieces:
            got[size] = got.get(size, 0) + share * pattern.count
    assert got == pieces


def test_a_piece_longer_than_the_stock_is_named() -> None:
    plan = first_fit({at("300"): 2, at("100"): 2}, at("240"))
    assert plan.too_long == (at("300"),) and plan.stock == 1
