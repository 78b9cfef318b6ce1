"""Bars: laps, levels, places and counts, looked at on samples and random plans by code of the tests' own."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from takeoff import blocks, geometry, laps, rebar
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.plan import Plan, Stage
from takeoff.problems import Severity
from takeoff.results import Bar, BarRole, Part
from takeoff.units import Length
from takeoff.vertical_bars import grid_places
from tests.takeoff.layout_checker import cells_of
from tests.takeoff.layout_counts import pack
from tests.takeoff.plans import SAMPLES, at, garage, l_shape, openings, rectangle, stepped, tee, walkout
from tests.takeoff.random_plans import square_plans

UPRIGHT = (BarRole.VERTICAL, BarRole.PROJECTING)
EPS = 1e-6


def steel(made: Plan) -> tuple[Placement, Part]:
    placed = geometry.place(made)
    return placed, rebar.schedule(made, placed, blocks.lay(made, placed))


def of(part: Part, *roles: BarRole, stage: Stage | None = None, leg: str = "") -> list[Bar]:
    return [
        b for b in part.bars if b.role in roles and (stage is None or b.stage is stage) and (not leg or b.leg == leg)
    ]


# -- a run and its laps ----------------------------------------------------------------------------
RUNS = st.integers(1, 3000).map(lambda n: Length.inches(n))


@given(RUNS, st.sampled_from((4, 5, 6)), st.sampled_from((40, 60)), st.booleans())
def test_pieces_of_a_run_add_up_with_their_laps(run: Length, bar: int, grade: int, turned: bool) -> None:
    lap, stock = laps.lap_splice(bar, grade).length, Length.feet(20)
    pieces = laps.lapped_pieces(run, stock, lap, turned)
    assert sum(p.nm for p in pieces) == run.nm + (len(pieces) - 1) * lap.nm
    assert all(p <= stock for p in pieces)
    if len(pieces) > 1:
        assert all(p >= lap + lap for p in pieces)
    needed = 1 if run <= stock else math.ceil((run.inch - lap.inch) / (stock.inch - lap.inch) - 1e-9)
    assert len(pieces) in ((needed, needed + 1) if turned else (needed,))


@given(st.integers(241, 3000).map(lambda n: Length.inches(n)), st.sampled_from((4, 5, 6)))
def test_laps_move_from_level_to_level(run: Length, bar: int) -> None:
    """Centres of laps of two neighbouring levels are a lap or more apart, so that no two laps lie side by side."""
    lap, stock = laps.lap_splice(bar, 60).length, Length.feet(20)
    centres = []
    for turned in (False, True):
        at_, here = 0.0, []
        for piece in laps.lapped_pieces(run, stock, lap, turned)[:-1]:
            at_ += piece.inch - lap.inch
            here.append(at_ + lap.inch / 2)
        centres.append(here)
    assert centres[0] and centres[1]
    assert min(abs(a - b) for a in centres[0] for b in centres[1]) >= lap.inch - EPS


def test_stock_too_short_to_lap_is_the_callers_mistake() -> None:
    with pytest.raises(ValueError, match="too short for laps"):
        laps.lapped_pieces(at("40-0"), at("100"), at("30"))


@given(st.integers(1, 1000), st.integers(6, 48))
def test_a_closed_loop_has_one_bar_a_spacing_and_none_twice(length: int, spacing: int) -> None:
    places = grid_places(Length.inches(length), Length.inches(spacing))
    assert len(places) == math.ceil(length / spacing)
    assert all(b - a == Length.inches(spacing) for a, b in pairwise(places))
    assert Length.inches(length) - places[-1] <= Length.inches(spacing)


# -- whole schedules -------------------------------------------------------------------------------
def check_steel(made: Plan) -> None:
    placed, part = steel(made)
    for name, leg in placed.legs.items():
        bars = [b for b in part.bars if b.leg == name]
        check_clear_of_openings(leg, bars)
        check_levels(made, leg, bars)
        check_uprights(made, leg, bars)
        check_dowels(made, leg, bars)
    check_quantities(made, part)


def holes(leg: LegGeometry) -> list[tuple[float, float, float, float]]:
    spans = ((leg.opening_span(o), o) for o in leg.leg.openings)
    return [(low.inch, o.sill.inch, high.inch, (o.sill + o.height).inch) for (low, high), o in spans]


def check_clear_of_openings(leg: LegGeometry, bars: list[Bar]) -> None:
    for bar in bars:
        for x0, y0, x1, y1 in bar.places:
            for a, sill, b, head in holes(leg):
                apart = x1 <= a + EPS or x0 >= b - EPS or y1 <= sill + EPS or y0 >= head - EPS
                assert apart, f"{bar.role} of {bar.leg} runs through an opening"


def zones(cell: object) -> list[tuple[Stage, float, float]]:
    foot, frost, top = cell.foot, cell.frost, cell.top  # type: ignore[attr-defined]
    if frost is None or frost <= foot:  # a footing stepped up to the cold joint carries no frost wall
        return [(Stage.FULL_WALL, foot / 25.4e6, top / 25.4e6)]
    out = [(Stage.FROST_WALL, foot / 25.4e6, frost / 25.4e6)]
    return out + ([(Stage.FULL_WALL, frost / 25.4e6, top / 25.4e6)] if top > frost else [])


def check_levels(made: Plan, leg: LegGeometry, bars: list[Bar]) -> None:
    """Where no opening is in the way, every pour has a bar within 12 in of its top and of its bottom."""
    lines = [(b.stage, line) for b in bars if b.role is BarRole.HORIZONTAL for line in b.places]
    for cell in cells_of(made, leg):
        middle = (cell.start + cell.end) / 2 / 25.4e6
        if cell.openings or cell.end - cell.start < 20 * 25_400_000:
            continue
        for stage, bottom, top in zones(cell):
            over = [y for s, (x0, y, x1, _) in lines if s is stage and x0 <= middle <= x1 and bottom < y < top]
            assert over and min(over) - bottom <= 12 + EPS and top - max(over) <= 12 + EPS
            # a row moved at a buck elsewhere in the leg leaves up to half a course more on either side
            most = 24 if not leg.leg.openings else 2 * made.form(leg.leg.form).face_height.inch
            assert all(b - a <= most for a, b in pairwise(sorted(over)))


def check_uprights(made: Plan, leg: LegGeometry, bars: list[Bar]) -> None:
    """Spacing kept, a bar near each opening edge, bars of the full-height wall standing on bars of the frost wall."""
    spec, length = made.spec.bars, leg.outside.length.inch
    xs = sorted({line[0] for b in bars if b.role in UPRIGHT for line in b.places} | {0.0, length})
    reach = max(spec.vertical_spacing.inch, 0) + made.form(leg.leg.form).thickness(leg.leg.core).inch
    for a, b in pairwise(xs):
        wide = any(low < b and high > a for low, _, high, _ in holes(leg))
        assert wide or b - a <= reach + EPS
    for low, _, high, _ in holes(leg):
        for edge, side in ((low, -1), (high, 1)):
            near = [x for x in xs if 0 <= side * (x - edge) <= spec.opening_edge_within.inch + EPS]
            assert near or not 3 < edge + side * 3 < length - 3
    standing = {round(line[0], 6): line for b in bars if b.role is BarRole.PROJECTING for line in b.places}
    lap = laps.lap_splice(spec.vertical_size, spec.grade_ksi).length.inch
    for x, line in standing.items():
        frost = leg.leg.frost_top
        assert frost is not None
        pierced = any(low < x < high for low, _, high, _ in holes(leg))
        assert line[3] - frost.inch == pytest.approx(lap) or pierced


def check_dowels(made: Plan, leg: LegGeometry, bars: list[Bar]) -> None:
    """One dowel under every bar that starts on the footing, at the same place, and none elsewhere."""
    dowels = Counter(round(line[0], 6) for b in bars if b.role is BarRole.DOWEL for line in b.places)
    starts = Counter(
        round(line[0], 6)
        for b in bars
        if b.role in UPRIGHT
        for line in b.places
        if any(c.start <= line[0] * 25.4e6 <= c.end and c.foot == line[1] * 25.4e6 for c in cells_of(made, leg))
    )
    assert set(starts) == set(dowels) and set(dowels.values()) <= {1}
    assert all(b.count == len(b.places) for b in bars if b.role in (BarRole.DOWEL, *UPRIGHT, BarRole.HORIZONTAL))


def check_quantities(made: Plan, part: Part) -> None:
    """Feet, pounds and stock bars added up again from the bars themselves."""
    feet: Counter[tuple[str, Stage, int]] = Counter()
    pieces: dict[tuple[str, Stage, int], list[int]] = defaultdict(list)
    for bar in part.bars:
        assert bar.cut_length > Length(0) and bar.count > 0 and bar.mark and bar.basis
        feet[bar.section, bar.stage, bar.size] += bar.cut_length.foot * bar.count
        quarters = math.ceil(bar.cut_length.inch * 4 - 1 / 16)
        pieces[bar.section, bar.stage, bar.size] += [quarters * 6_350_000] * bar.count
    for (section, stage, size), total in feet.items():
        said = {
            q.key: q.amount
            for q in part.quantities
            if (q.section, q.stage) == (section, stage) and f".#{size}" in q.key
        }
        assert said[f"bars.weight.#{size}"] == pytest.approx(total * laps.bar_size(size).weight)
        stock = made.spec.bars.stock_length.nm
        first_fit = pack(pieces[section, stage, size], stock, 0, 0)
        assert sum(pieces[section, stage, size]) / stock <= said[f"bars.stock.#{size}"] <= first_fit


STRAIGHT = ("rectangle", "l_shape", "tee", "garage", "openings", "stepped", "second_ring", "two_cores")


@pytest.mark.parametrize("name", STRAIGHT)
def test_a_second_look_at_the_samples(name: str) -> None:
    check_steel(SAMPLES[name]())


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(square_plans())
def test_a_second_look_at_random_plans(made: Plan) -> None:
    assume(len(geometry.place(made).legs) == len(made.legs()))
    check_steel(made)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_is_scheduled(name: str) -> None:
    made = SAMPLES[name]()
    _, part = steel(made)
    check_quantities(made, part)


# -- corners ---------------------------------------------------------------------------------------
def test_corner_bars_one_at_an_outside_corner_two_straight_ones_at_an_inside_one() -> None:
    placed, part = steel(l_shape())
    lap, core = at("30"), at("8")
    for name, leg in placed.legs.items():
        bars = of(part, BarRole.CORNER, leg=name)
        levels = 9
        if leg.end.kind is CornerKind.INSIDE:
            assert sum(b.count for b in bars) == 2 * levels
            assert {b.cut_length for b in bars} == {lap + core - at("2")}
        else:
            assert sum(b.count for b in bars) == levels
            assert {round(b.cut_length.inch, 3) for b in bars} == {round(60 - 2.502 * 0.5, 3)}


def test_no_corner_bar_where_the_next_wall_is_too_low() -> None:
    """Leg A of the stepped house begins a course lower than B ends: B's lowest courses meet nothing."""
    _, part = steel(stepped())
    levels = {line[1] for b in of(part, BarRole.CORNER, leg="D") for line in b.places}
    assert max(levels) < at("95-4").inch


def test_two_corner_bars_each_level_of_a_t() -> None:
    _, part = steel(tee())
    assert sum(b.count for b in of(part, BarRole.CORNER, leg="T1")) == 2 * 2 * 9


# -- the frost wall under a wall -------------------------------------------------------------------
def test_frost_wall_bars_stand_a_lap_above_the_cold_joint() -> None:
    _, part = steel(rectangle())
    (bar, *_) = of(part, BarRole.PROJECTING, leg="A")
    assert bar.cut_length == at("48") + at("38") and bar.stage is Stage.FROST_WALL and bar.lap == at("38")
    assert not of(part, BarRole.VERTICAL, stage=Stage.FROST_WALL)


def test_a_frost_wall_alone_ends_under_its_cover() -> None:
    _, part = steel(garage())
    assert {b.cut_length for b in of(part, BarRole.VERTICAL, leg="G2")} == {at("56") - at("2")}


def test_no_bar_stands_up_into_a_door() -> None:
    _, part = steel(openings())
    under = of(part, BarRole.VERTICAL, stage=Stage.FROST_WALL, leg="C")
    assert sum(b.count for b in under) == 2 and {b.cut_length for b in under} == {at("46")}


# -- around openings -------------------------------------------------------------------------------
def test_bars_around_a_window_and_a_door() -> None:
    _, part = steel(openings())
    window, door = of(part, BarRole.OPENING, leg="A"), of(part, BarRole.OPENING, leg="C")
    assert sum(b.count for b in window) == 4
    assert {b.cut_length for b in window} >= {at("36") + at("48")}
    assert sum(b.count for b in door) == 3  # no room under the sill of a door


def test_an_edge_without_a_bar_near_it_gets_one() -> None:
    made = openings()
    wide = replace(made, spec=replace(made.spec, bars=replace(made.spec.bars, vertical_spacing=at("48"))))
    placed, part = steel(wide)
    (low, high) = (x.inch for x in placed.legs["A"].opening_span(made.leg("A").openings[0]))
    xs = {line[0] for b in of(part, *UPRIGHT, leg="A") for line in b.places}
    assert any(0 <= low - x <= 12 for x in xs) and any(0 <= x - high <= 12 for x in xs)


# -- footings --------------------------------------------------------------------------------------
def test_footing_bars_run_on_through_steps() -> None:
    placed, part = steel(stepped())
    bars = of(part, BarRole.FOOTING, leg="A")
    lap, spec = laps.lap_splice(5, 60).length, stepped().spec
    centre = placed.legs["A"].centre.length
    total = sum(b.cut_length.inch * b.count for b in bars)
    count = sum(b.count for b in bars)
    # on the middle line each bend saves (2 - pi/2) of its radius of 3.5 diameters
    bends = sum(len(b.shape.turns_deg) * b.count for b in bars if b.shape)
    saved = bends * (2 - math.pi / 2) * 3.5 * 0.625
    along = spec.footing.bars_along * (centre + at("16")).inch + (count - 2) * lap.inch
    assert total == pytest.approx(along - saved, abs=1e-3) and bends >= 4
    assert any("run on through steps" in p.sentence for p in part.problems)


def test_a_corner_bar_for_each_footing_bar_at_each_corner() -> None:
    _, part = steel(rectangle())
    corners = of(part, BarRole.FOOTING_CORNER)
    assert sum(b.count for b in corners) == 4 * 2
    assert {round(b.cut_length.inch, 2) for b in corners} == {round(76 - 2.502 * 0.625, 2)}


# -- sentences and criteria ------------------------------------------------------------------------
def test_a_bar_the_lap_table_does_not_print_takes_the_equations_and_says_so() -> None:
    made = rectangle()
    heavy = replace(made, spec=replace(made.spec, bars=replace(made.spec.bars, vertical_size=7)))
    _, part = steel(heavy)
    told = [p for p in part.problems if p.severity is Severity.NOTE and "is in no table" in p.sentence]
    assert len(told) == 1 and "vertical bars (#7, Grade 60)" in told[0].sentence


def with_bars(made: Plan, **changes: Any) -> Plan:
    return replace(made, spec=replace(made.spec, bars=replace(made.spec.bars, **changes)))


def test_a_bar_longer_than_the_stock_is_told_and_counted() -> None:
    made = with_bars(rectangle(frost_top=None, wall_top=at("100-0")), stock_length=at("13-0"))
    _, part = steel(made)
    assert any("longer than the 13'-0\" stock" in p.sentence for p in part.problems)
    stock = next(q for q in part.quantities if (q.key, q.stage) == ("bars.stock.#5", Stage.FULL_WALL))
    assert stock.amount == 2 * 88


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"vertical_size": 11}, "#11; #3 to #8"),
        ({"vertical_spacing": at("0")}, "closer than 3"),
        ({"stock_length": at("8-0")}, "too short to lap"),
    ],
)
def test_bars_that_cannot_be_scheduled_are_refused_in_a_sentence(changes: dict[str, Any], words: str) -> None:
    _, part = steel(with_bars(rectangle(), **changes))
    assert not part.bars and [p.severity for p in part.problems] == [Severity.BLOCKER]
    assert words in part.problems[0].sentence


@pytest.mark.parametrize(
    ("stage", "key", "value", "sense"),
    [
        (Stage.FOOTING, "footing.bar_lap", 38.0, "at least"),
        (Stage.FOOTING, "dowel.spacing", 18.0, "at most"),
        (Stage.FOOTING, "dowel.projection", 38.0, "at least"),
        (Stage.FROST_WALL, "wall.projection", 38.0, "at least"),
        (Stage.FROST_WALL, "wall.horizontal_rows", 3.0, "at least"),
        (Stage.FULL_WALL, "wall.horizontal_rows", 6.0, "at least"),
        (Stage.FULL_WALL, "wall.vertical_spacing", 18.0, "at most"),
        (Stage.FULL_WALL, "wall.vertical_lap", 38.0, "at least"),
        (Stage.FULL_WALL, "wall.horizontal_lap", 30.0, "at least"),
        (Stage.FULL_WALL, "wall.bar_size", 5.0, "at least"),
    ],
)
def test_criteria_a_person_finds_on_site(stage: Stage, key: str, value: float, sense: str) -> None:
    _, part = steel(rectangle())
    (found,) = [c for c in part.criteria if (c.stage, c.key) == (stage, key)]
    assert (found.value, found.sense, found.legs) == (value, sense, ("A", "B", "C", "D"))
    assert found.text


def test_bars_are_bought_as_stock_bars_once() -> None:
    _, part = steel(walkout())
    bought = {q.key for q in part.quantities if q.buy is not None}
    assert bought == {"bars.stock.#4", "bars.stock.#5"}
    stock = next(q for q in part.quantities if q.key == "bars.stock.#5")
    assert "fewest possible" in stock.basis and stock.buy is not None and stock.buy.unit == "bar 20 ft"


def test_the_same_bar_has_the_same_mark_everywhere() -> None:
    _, part = steel(walkout())
    marks = defaultdict(set)
    for bar in part.bars:
        shape = bar.shape and sorted(round(leg.inch * 4) for leg in bar.shape.legs)
        marks[bar.mark].add(f"{bar.size} {bar.role} {math.ceil(bar.cut_length.inch * 4 - 1 / 16)} {shape}")
    assert all(len(kinds) == 1 for kinds in marks.values())
    assert len({kind for kinds in marks.values() for kind in kinds}) == len(marks)


def test_a_t_spur_has_bars_at_both_ends() -> None:
    placed, part = steel(tee())
    xs = sorted({line[0] for b in of(part, *UPRIGHT, leg="T1") for line in b.places})
    assert xs[0] == 3.0 and xs[-1] == pytest.approx(placed.legs["T1"].outside.length.inch - 3)


def test_rows_of_bars_too_far_apart_for_the_code_are_told() -> None:
    """Only the first and the last course carry a bar: none near mid-height of an 8 ft wall."""
    _, part = steel(with_bars(rectangle(), horizontal_every_courses=9))
    (told,) = [p for p in part.problems if "R404.1.2(1)" in p.sentence]
    assert (
        told.severity is Severity.WARNING
        and told.sentence.startswith("A, B, C, D: no row")
        and "4'-0\" up" in told.sentence
    )
    assert not any("R404.1.2(1)" in p.sentence for p in steel(rectangle())[1].problems)


def test_horizontal_bars_thinner_than_the_code_asks_are_told() -> None:
    _, part = steel(with_bars(rectangle(), horizontal_size=3))
    assert any("#4 at least" in p.sentence for p in part.problems)
