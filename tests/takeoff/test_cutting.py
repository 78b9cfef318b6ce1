"""Cutting from stock: nothing lost, no stock overfilled, the same count as the rule done the long way, and no claim of
fewest that an exhaustive search would contradict."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from takeoff.cutting import CutPlan, CuttingMethod, Pattern, fewest, first_fit, least_stock, reachable
from takeoff.units import Length
from tests.takeoff.layout_counts import pack
from tests.takeoff.plans import at

PIECES = st.dictionaries(st.integers(1, 240).map(lambda n: Length.inches(n)), st.integers(1, 40), max_size=12)
STOCKS = st.sampled_from(((240,), (240, 360), (240, 480, 720)))
FEW = st.lists(st.integers(3, 24), min_size=1, max_size=8)


def check(plan: CutPlan, pieces: dict[Length, int], kerf: Length) -> None:
    """Every piece is cut once, no stock piece gives more than it has, what is left is what is left."""
    got: Counter[Length] = Counter()
    for pattern in plan.patterns:
        cuts = sum(share for _, share in pattern.pieces)
        used = sum(size.nm * share for size, share in pattern.pieces) + (cuts - 1) * kerf.nm
        assert used + pattern.left.nm == pattern.stock.nm and used <= pattern.stock.nm
        assert pattern.count > 0 and pattern.stock in plan.lengths
        for size, share in pattern.pieces:
            got[size] += share * pattern.count
    for size in plan.too_long:
        assert size > max(plan.lengths)
        got[size] = pieces[size]
    assert got == Counter(pieces)
    assert plan.stock == sum(plan.by_stock.values())
    assert plan.bought.nm == sum(stock.nm * count for stock, count in plan.by_stock.items())


# -- first fit -------------------------------------------------------------------------------------
@given(PIECES, st.sampled_from(("0", "0.25")), st.sampled_from(("0", "6", "30")))
def test_the_same_count_as_one_piece_at_a_time(pieces: dict[Length, int], kerf: str, smallest: str) -> None:
    plan = first_fit(pieces, at("240"), at(kerf), at(smallest))
    one_by_one = [size.nm for size, count in pieces.items() for _ in range(count)]
    assert plan.stock == pack(one_by_one, at("240").nm, at(kerf).nm, at(smallest).nm)
    check(plan, pieces, at(kerf))


def test_a_piece_longer_than_the_stock_is_named() -> None:
    for cut in (first_fit, fewest):
        plan = cut({at("300"): 2, at("100"): 2}, at("240"))
        assert plan.too_long == (at("300"),) and plan.stock == 1


def test_first_fit_claims_nothing() -> None:
    plan = fewest({at("80"): 3}, at("240"), method=CuttingMethod.FIRST_FIT)
    assert (plan.stock, plan.proven, plan.said()) == (1, False, "longest first, first fit")


def test_what_is_not_proven_says_how_far_it_may_be_from_the_least() -> None:
    two = Pattern(2, ((at("130"), 1),), at("110"), at("240"))
    one = CutPlan((two,), least=at("240"), lengths=(at("240"),))
    assert one.said() == "at most 1 more than the least possible 1" and not one.proven
    several = replace(one, least=at("360"), lengths=(at("240"), at("360")))
    assert several.said() == "at most 10'-0\" more than the least possible 30'-0\""


# -- as few as possible ----------------------------------------------------------------------------
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(PIECES, STOCKS, st.sampled_from(("0", "0.25")), st.sampled_from(CuttingMethod))
def test_every_piece_is_cut_once_and_no_stock_gives_more_than_it_has(
    pieces: dict[Length, int], stocks: tuple[int, ...], kerf: str, method: CuttingMethod
) -> None:
    lengths = tuple(Length.inches(n) for n in stocks)
    plan = fewest(pieces, lengths, at(kerf), method=method)
    check(plan, pieces, at(kerf))
    assert plan.least is None or plan.least <= plan.bought
    quick = fewest(pieces, lengths, at(kerf), method=CuttingMethod.FIRST_FIT)
    assert (plan.bought, plan.stock) <= (quick.bought, quick.stock)


@cache
def least_by_search(pieces: tuple[int, ...], stocks: tuple[int, ...]) -> int:
    """Least length of stock, every way of cutting the longest piece's stock tried (a few pieces only)."""
    if not pieces:
        return 0
    first, rest = pieces[0], pieces[1:]
    best = 10**9
    for chosen in range(1 << len(rest)):
        taken = [rest[i] for i in range(len(rest)) if chosen >> i & 1]
        stock = next((s for s in stocks if s >= first + sum(taken)), None)
        if stock is not None:
            left = tuple(rest[i] for i in range(len(rest)) if not chosen >> i & 1)
            best = min(best, stock + least_by_search(left, stocks))
    return best


@settings(max_examples=120, deadline=None)
@given(FEW, st.sampled_from(((24,), (24, 30), (25, 31, 47))))
def test_proofs_hold_against_trying_everything(sizes: list[int], stocks: tuple[int, ...]) -> None:
    """Exhaustive search over all ways of cutting up to eight pieces."""
    least = least_by_search(tuple(sorted(sizes, reverse=True)), stocks)
    plan = fewest(Counter(Length.inches(n) for n in sizes), tuple(Length.inches(n) for n in stocks))
    assert plan.least is not None and plan.least <= Length.inches(least) <= plan.bought
    if plan.proven:
        assert plan.bought == Length.inches(least)


@given(st.dictionaries(st.integers(20, 240), st.integers(1, 40), max_size=10))
def test_one_stock_length_has_no_bound_above_first_fit(sizes: dict[int, int]) -> None:
    pieces = {Length.inches(n): count for n, count in sizes.items()}
    assert least_stock(pieces, (at("240"),), Length(0)) <= first_fit(pieces, at("240")).bought


def test_two_of_a_length_to_a_bar_is_proven_without_search() -> None:
    """90 bars of 86 in, two to a 20 ft bar: 45, though their length alone would fill 33 (by hand)."""
    plan = fewest({at("86"): 90}, at("240"))
    assert (plan.stock, plan.proven, plan.said()) == (45, True, "fewest possible")


def test_longest_first_is_bettered_where_it_can_be() -> None:
    """From 100 in, longest first cuts 44 + 44, 30 + 30 + 30, 26 + 26 + 26, then the 24s: 11. But 44 + 30 + 26 and
    26 + 26 + 24 + 24 fill it to the inch: 9 (by hand)."""
    pieces = {at("44"): 6, at("30"): 6, at("26"): 12, at("24"): 6}
    assert first_fit(pieces, at("100")).stock == 11
    plan = fewest(pieces, at("100"))
    assert (plan.stock, plan.proven) == (9, True)


def test_the_longer_stock_is_bought_where_it_leaves_less() -> None:
    """106 in bars: two from 20 ft leave 28 in each; nine from 80 ft leave 6 in (by hand)."""
    plan = fewest({at("106"): 18}, (at("20-0"), at("80-0")))
    assert plan.by_stock == {at("80-0"): 2} and plan.said() == "least length possible"


def test_an_offcut_too_short_is_not_cut_again() -> None:
    """Three of 3 in fill 9 in, but the last would be cut from an offcut of 3 in: with no offcut under 6 in cut again,
    two a stock piece (by hand)."""
    for smallest in ("0", "6"):
        plan = fewest({at("3"): 20}, at("9"), smallest_offcut=at(smallest))
        assert plan.stock == (7 if smallest == "0" else 10)


@pytest.mark.parametrize(
    ("needed", "stocks", "least"),
    [("41-0", ("20-0",), "60-0"), ("41-0", ("20-0", "30-0"), "50-0"), ("0", ("20-0",), "0"), ("7", ("3", "5"), "8")],
)
def test_lengths_that_stock_adds_up_to(needed: str, stocks: tuple[str, ...], least: str) -> None:
    assert reachable(at(needed), tuple(at(s) for s in stocks)) == at(least)


def test_the_same_pieces_get_the_same_plan_however_they_are_told() -> None:
    pieces = {at("44"): 6, at("30"): 6, at("26"): 12, at("24"): 6}
    assert fewest(pieces, at("100")) == fewest(dict(reversed(pieces.items())), (at("100"), at("100")))


def test_two_stock_pieces_are_cut_out_of_one_as_long_as_both() -> None:
    """Of plans that buy the same length the one with fewest pieces: 400 in of three lengths that fill 100 in twice."""
    plan = fewest({at("55"): 2, at("45"): 2, at("100"): 2}, (at("100"), at("200")))
    assert (plan.bought, plan.stock) == (at("400"), 2)
