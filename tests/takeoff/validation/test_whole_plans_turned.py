"""A house needs the same whichever way its plan was walked, turned, begun or named (common sense, no source)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import cache

import pytest
from hypothesis import given, settings

from takeoff.compute import compute
from takeoff.geometry import place
from takeoff.plan import Plan
from takeoff.problems import blockers
from takeoff.results import Takeoff, UnitKind
from tests.takeoff import plans
from tests.takeoff.examples import NAMES, example
from tests.takeoff.random_plans import square_plans
from tests.takeoff.turned import begun_at, mirrored, renamed, sections_reversed, turned, walked_back

HOUSES = {**{name: make() for name, make in plans.SAMPLES.items()}, **{name: example(name) for name in NAMES}}

WAYS: dict[str, Callable[[Plan], Plan]] = {
    "walked the other way round": walked_back,
    "turned by 37 degrees": lambda plan: turned(plan, 37),
    "begun at the second corner": lambda plan: begun_at(plan, 1),
    "begun at the fourth corner": lambda plan: begun_at(plan, 3),
    "legs renamed": renamed,
    "sections listed backwards": sections_reversed,
}


@cache
def as_drawn(house: str) -> Takeoff:
    """The takeoff of a house as it was walked first."""
    return compute(HOUSES[house])


def totals(takeoff: Takeoff) -> dict[tuple[str, str, str], float]:
    """Amounts by section, stage and key."""
    out: dict[tuple[str, str, str], float] = {}
    for q in takeoff.quantities:
        at = q.section, q.stage.value, q.key
        out[at] = out.get(at, 0.0) + q.amount
    return out


#: Every house is walked back; the larger ones are also written down in the other ways.
LARGE = ("walkout", "juniper-bend", "saltlick-lane", "second_ring")
CASES = [(house, way) for house in HOUSES for way in WAYS if way == "walked the other way round" or house in LARGE]


@pytest.mark.parametrize(("house", "way"), CASES)
def test_the_same_house_needs_the_same(house: str, way: str) -> None:
    """To a unit where a brick ledge stops within a leg: what is cut there depends on where its joints fall."""
    plan = HOUSES[house]
    again = compute(WAYS[way](plan))
    assert blockers(again.problems) == ()
    mine, other = totals(as_drawn(house)), totals(again)
    cut = {at for at in mine if at[2].startswith(("blocks.straight", "blocks.ledge"))} if has_ledge_end(plan) else set()
    assert {at: n for at, n in other.items() if at not in cut} == pytest.approx(
        {at: n for at, n in mine.items() if at not in cut}
    )
    assert all(other[at] == pytest.approx(mine[at], abs=1) for at in cut)


def has_ledge_end(plan: Plan) -> bool:
    """Whether a brick ledge of a plan stops short of its leg's corners."""
    return any(ledge.start.nm or ledge.until is not None for leg in plan.legs() for ledge in leg.ledges)


@pytest.mark.parametrize("house", HOUSES)
def test_corner_units_of_a_plan_walked_back_stand_where_they_stood_with_the_same_hand(house: str) -> None:
    """Hands are told as seen from outside, so the walk cannot change them; in the elevation of a leg walked the other
    way left and right change places."""
    plan = HOUSES[house]
    lengths = {name: g.outside.length.nm for name, g in place(plan).legs.items()}

    def corners(takeoff: Takeoff, back: bool) -> Counter[tuple[object, ...]]:
        found: Counter[tuple[object, ...]] = Counter()
        for u in takeoff.units:
            if u.kind is not UnitKind.STRAIGHT:
                ends = sorted(lengths[u.leg] - x.nm if back else x.nm for x in (u.start, u.end))
                nearest = tuple(round(x, -3) for x in ends)
                found[u.leg, u.course, u.kind, u.stage, nearest, u.bottom, u.top] += 1
        return found

    assert corners(compute(walked_back(plan)), back=True) == corners(as_drawn(house), back=False)


@pytest.mark.parametrize("house", HOUSES)
def test_a_mirrored_house_needs_the_same_concrete_envelope_and_earth(house: str) -> None:
    """Bars are spaced from the left end of a wall and long corner legs point right in odd courses, both as seen from
    outside. So in a mirrored house bars and cuts beside openings and steps may fall out otherwise, by a few percent;
    everything else is the same, also the corner units of each hand."""
    plan = HOUSES[house]
    mine, mirror = totals(as_drawn(house)), totals(compute(mirrored(plan)))
    loose = ("dowels", "bars.vertical", "bars.stock", "bars.weight", "blocks.straight", "blocks.ledge", "forms.ties")
    exact = {at for at in mine if not at[2].startswith(loose)}
    assert set(mirror) == set(mine)
    assert {at: mirror[at] for at in exact} == pytest.approx({at: mine[at] for at in exact})
    for key in loose:
        ours, theirs = (sum(n for at, n in each.items() if at[2].startswith(key)) for each in (mine, mirror))
        assert theirs == pytest.approx(ours, rel=0.03, abs=1)


@settings(max_examples=25, deadline=None)
@given(square_plans())
def test_any_house_of_square_corners_walked_back_needs_the_same_in_the_ground(plan: Plan) -> None:
    """Where a course can be laid several ways at the same cost the walk may decide, so forms are compared in pieces of
    corner units only; concrete, bars up, envelope and earth to the last digit."""
    one, other = compute(plan), compute(walked_back(plan))
    assert bool(blockers(one.problems)) == bool(blockers(other.problems))
    keys = ("footing.", "wall.", "membrane.", "board.", "drain.", "backfill.", "braces", "dowels", "blocks.corner")
    picked = [{at: n for at, n in totals(t).items() if at[2].startswith(keys)} for t in (one, other)]
    assert picked[1] == pytest.approx(picked[0], rel=1e-6, abs=1e-6)
