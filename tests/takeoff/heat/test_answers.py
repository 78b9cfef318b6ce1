"""Answers by behaviour: ranges in order, measures that help, dangers told, everything they rest on in sight."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.heat.answers import (
    CAUTION,
    backfill_strength,
    bracing_may_go,
    drop_after,
    protection_may_end,
    spoken_range,
    survives_a_freeze,
)
from takeoff.heat.conduction import simulate, start
from takeoff.heat.edges import mean_air_c
from takeoff.heat.footings import Footing, footing_course
from takeoff.heat.frost_under import ground_freezes
from takeoff.heat.ground import Soil
from takeoff.heat.helps import what_helps, what_it_buys, with_blanket, with_heat
from takeoff.heat.layers import R_US, Cover, HeatError, Material, Side, corner_factor, film_w_m2k
from takeoff.heat.layers import wall as wall_body
from takeoff.heat.outlook import Known, Spread, Wall, Warming, cornered_c, going_on_from, look_ahead, run, warmed
from takeoff.heat.strength import eurocode_curve, usual_curve
from takeoff.problems import Severity
from tests.takeoff.heat.corner_grid import DX, corner_and_core
from tests.takeoff.heat.given import CORE, FOAM, steady_wall, winter_air, winter_wind

SILT = Soil(100, 15, name="silt")


@pytest.fixture(scope="module")
def january():
    """Two weeks of a real January behind foam."""
    air = winter_air(65, 14)
    return look_ahead(
        Wall(CORE, FOAM, air, 16.0, usual_curve(4000), wind_m_s=winter_wind(65, 14), air_source="typical year, O'Hare")
    )


@pytest.mark.parametrize("ask", [survives_a_freeze, lambda o: bracing_may_go(o, 1500), protection_may_end])
def test_ranges_are_in_order_and_everything_is_in_sight(january, ask) -> None:
    answer = ask(january)
    assert answer.low <= answer.likely <= answer.high
    assert answer.caution == CAUTION and "engineer" in CAUTION and "supplier" in CAUTION
    said = dict(answer.inputs)
    assert said["placed at"] == "61 °F" and said["curve"].startswith("ACI 209") and "typical year" in said["air"]
    assert "air ±5.4 °F" in said["spread"] and "curve ±10%" in said["spread"]
    assert any("1.11" in limit for limit in answer.limits) and any("Schindler" in str(s) for s in answer.sources)


def test_strength_is_never_counted_ahead_of_more_strength(january) -> None:
    a, b = bracing_may_go(january, 1500), backfill_strength(january, 2500)
    assert a.likely < b.likely and any("held at top and foot" in limit for limit in b.limits)


def test_bracing_goes_by_the_usual_number_unless_another_is_asked_and_never_within_a_day(january) -> None:
    warm = look_ahead(steady_wall(15.0, 4, placed_c=24.0))
    usual, asked = bracing_may_go(warm), bracing_may_go(warm, 500)
    assert usual.likely == 24 and asked.likely < 24 and "500 psi and 24 h or more likely after 24 h" in usual.words
    slow = bracing_may_go(january)
    assert slow.low <= slow.likely <= slow.high and slow.high >= bracing_may_go(january, 500).high
    assert all(any("until the deck is on" in limit for limit in each.limits) for each in (usual, asked))


def test_in_the_cold_the_two_rules_of_age_differ_and_each_curve_takes_its_own() -> None:
    wall = steady_wall(-4.0, 10)
    by_code = bracing_may_go(look_ahead(replace(wall, curve=eurocode_curve(4000))), 2000)
    arrhenius = replace(eurocode_curve(4000), age_rule=usual_curve(4000).age_rule)
    by_practice = bracing_may_go(look_ahead(replace(wall, curve=arrhenius)), 2000)
    assert by_practice.likely != by_code.likely
    assert any("C1074" in str(s) for s in by_practice.sources) and not any("C1074" in str(s) for s in by_code.sources)


def test_without_spread_the_three_are_one() -> None:
    wall = steady_wall(curve=replace(usual_curve(4000), spread=0.0))
    answer = bracing_may_go(look_ahead(wall, Spread(0, 0, 0)), 1500)
    assert answer.low == answer.likely == answer.high


def test_a_strength_never_reached_is_none_and_said() -> None:
    answer = backfill_strength(look_ahead(steady_wall(days=3)), 9000)
    assert (answer.low, answer.likely, answer.high) == (None, None, None)
    assert "not within the 3 days" in answer.words


def test_thin_bare_concrete_in_hard_frost_is_told_as_lost() -> None:
    wall = steady_wall(-25.0, 3, foam=0.0, wind_m_s=6.0)
    answer = survives_a_freeze(look_ahead(wall))
    assert answer.problems[0].severity is Severity.ENGINEER
    assert "before it has 500 psi" in answer.problems[0].sentence


def test_only_the_cold_run_freezing_is_a_warning() -> None:
    wall = steady_wall(-4.0, 3, foam=0.0, covers=(Cover(0.02),), placed_c=13.0)
    found = {}
    for shift in np.arange(-26.0, 12.0, 2.0):
        answer = survives_a_freeze(look_ahead(replace(wall, air_c=wall.air_c + shift)))
        found[answer.problems[0].severity if answer.problems else None] = answer
    assert set(found) == {Severity.ENGINEER, Severity.WARNING, None}
    assert "if it gets as cold as it may" in found[Severity.WARNING].problems[0].sentence


def test_a_bare_top_freezes_where_a_covered_one_does_not() -> None:
    cold = steady_wall(-18.0, 3)
    bare, covered, untold = (
        survives_a_freeze(look_ahead(replace(cold, top_covers=top))) for top in ((), (Cover(4 * R_US),), None)
    )
    assert bare.problems and bare.problems[0].sentence.startswith("The top")
    assert not covered.problems and not untold.problems
    assert any("nothing was said of its covers" in limit for limit in untold.limits)


def test_the_corner_is_colder_than_the_face_and_the_face_than_the_core(january) -> None:
    course = january.likely
    late = slice(24, None)
    assert np.all(course.corner_c[late] <= course.history.coldest_face_c()[late] + 1e-9)
    assert np.all(course.history.coldest_face_c()[24:72] < course.history.core_c[24:72])


@pytest.mark.parametrize(
    ("core", "foam", "over", "under"), [(12, 5, 0.1, 3.5), (16, 0, 0.6, 2.5)], ids=["foam", "bare"]
)
def test_the_corner_against_a_two_dimensional_grid(core, foam, over, under) -> None:
    """First day and a half of plain cooling in a swinging frost: hardly ever told warmer than the grid finds it, and
    colder by no more than the heat of the walls that is left out."""
    air = -10 + 5 * np.sin(2 * np.pi * np.arange(37) / 24)
    films = (float(film_w_m2k(3.0)), float(film_w_m2k(1.0)))
    grid, grid_core = corner_and_core(core, foam, films, air, 20.0)
    concrete = Material("concrete", 1.7, 2.4e6, hydrates=True)
    body = wall_body(core * DX, foam * DX, Side(air, 3.0), Side(air, 1.0), None, concrete)
    history = simulate(body, start(body, 20.0, 20.0), 36)
    found = cornered_c(history, air, mean_air_c(air), corner_factor(foam * DX, core * DX))
    assert history.core_c == pytest.approx(grid_core, abs=0.35)
    told = (found - grid)[1:]
    assert -under < told.min() and told.max() < over


def test_protection_waits_for_the_drop_where_concrete_is_hot_and_the_air_is_not() -> None:
    """A bare wall under thick blankets is far warmer than the air: strength comes long before covers may go."""
    wall = Wall(0.33, 0.0, np.full(12 * 24 + 1, -8.0), 18.0, usual_curve(5000), wind_m_s=5.0, covers=(Cover(0.9),))
    outlook = look_ahead(wall)
    strong, free = survives_a_freeze(outlook), protection_may_end(outlook)
    assert free.likely > strong.likely + 24 and free.low <= free.likely <= free.high
    assert drop_after(wall, outlook.likely.history, int(free.likely)) <= 40 / 1.8 + 0.2
    assert drop_after(wall, outlook.likely.history, int(free.likely) - 24) > 40 / 1.8
    assert "40 °F" in free.words


def test_a_drop_is_that_of_a_run_whose_covers_end_then() -> None:
    wall = steady_wall(-15.0, 5, foam=0.0, covers=(Cover(1.5),), warming=(Warming(5.0, 0, 60),))
    history = run(wall)
    ended = run(replace(wall, covers=(Cover(1.5, 0, 48),), warming=(Warming(5.0, 0, 48),)))
    fall = history.coldest_face_c()[48] - ended.coldest_face_c()[48:73].min()
    assert fall - 0.5 < drop_after(wall, history, 48) < fall + 6


@pytest.mark.parametrize(
    "better",
    [lambda w: with_blanket(w, 4 * R_US), lambda w: with_heat(w, 10.0, 72.0), lambda w: replace(w, placed_c=24.0)],
    ids=["blanket", "heat", "warmer concrete"],
)
def test_what_helps_gains_time_and_how_much_is_said(better) -> None:
    wall = steady_wall(-12.0, 10)
    found = what_it_buys(look_ahead(wall), better(wall), 2500, "It")
    assert all(gain is None or gain > 0 for gain in found.gained_h) and found.gained_h[1] is not None
    assert f"{found.gained_h[1] / 24:.1f} days" in found.words


def test_what_is_only_reached_with_help_is_said() -> None:
    wall = steady_wall(-20.0, 8, foam=0.0)
    found = what_it_buys(look_ahead(wall), with_heat(with_blanket(wall, 1.0), 12.0, 190.0), 2500, "heat under blankets")
    assert found.gained_h[1] is None and "without it, not in the hours" in found.words
    nothing = what_it_buys(look_ahead(wall), wall, 3900, "nothing at all")
    assert "not reached" in nothing.words


def test_a_table_of_what_helps_agrees_with_each_alone() -> None:
    wall = steady_wall(-12.0, 10)
    outlook = look_ahead(wall)
    measures = [("covers", with_blanket(wall, 4 * R_US)), ("heat", with_heat(wall, 10.0, 72.0))]
    for (what, changed), found in zip(measures, what_helps(outlook, measures, (500, 2500)), strict=True):
        alone = what_it_buys(outlook, changed, 2500, what)
        assert found.what == what and [each.psi for each in found.reached] == [500, 2500]
        assert found.reached[1].gained_h == pytest.approx(alone.gained_h)
        assert f"likely {alone.gained_h[1] / 24:.1f} days (" in found.reached[1].gained_words
        assert re.match(r"likely \d+ h \(\d+ to \d+\)$", found.reached[0].gained_words)


@settings(max_examples=6, deadline=None)
@given(st.floats(-20, 2), st.floats(1, 8), st.floats(0, 8), st.floats(8, 18), st.floats(0, 8))
def test_more_covers_and_warmer_concrete_are_never_later(air_c, r, more, placed_c, warmer) -> None:
    wall = steady_wall(air_c, 7, placed_c=placed_c)
    covered, better, hotter = (
        with_blanket(wall, r * R_US),
        with_blanket(wall, (r + more) * R_US),
        replace(wall, placed_c=placed_c + warmer),
    )
    measures = [("r", covered), ("more r", better), ("warmer", hotter)]
    found = [each.reached[0].hours for each in what_helps(look_ahead(wall), measures, (500,))]
    asked = bracing_may_go(look_ahead(wall), 500)
    never = float("inf")
    for sooner, later in ((found[1], found[0]), (found[2], (asked.low, asked.likely, asked.high))):
        assert all((a or never) <= (b or never) + 0.01 for a, b in zip(sooner, later, strict=True))
    for low, likely, high in found:
        assert (low or never) <= (likely or never) <= (high or never)


def test_what_is_gained_in_words() -> None:
    wall = steady_wall(-20.0, 8, foam=0.0)
    (found,) = what_helps(look_ahead(wall), [("both", with_heat(with_blanket(wall, 1.0), 12.0, 190.0))], (2500,))
    assert found.reached[0].gained_words == "reached only with it"
    (none,) = what_helps(look_ahead(wall), [("nothing", wall)], (3900,))
    assert "still not reached" in none.reached[0].gained_words
    mild = steady_wall(5.0, 8)
    (same,) = what_helps(look_ahead(mild), [("nothing", mild)], (1500,))
    assert same.reached[0].gained_words == "nothing to speak of"


def test_strength_known_by_readings_is_where_the_model_goes_on_from(january) -> None:
    curve = january.wall.curve
    known = Known(50.0, (900.0, 1100.0, 1300.0))
    found = going_on_from(january, known)
    for course, own, part, psi in zip(
        (found.cold, found.likely, found.warm), (january.cold, january.likely, january.warm),
        (1 - curve.spread, 1.0, 1 + curve.spread), known.psi, strict=True,
    ):  # fmt: skip
        assert np.interp(50.0, course.hours, course.psi) == pytest.approx(psi, rel=0.01)
        added = own.age_h[200] - np.interp(50.0, own.hours, own.age_h)
        assert course.psi[200] == pytest.approx(part * curve.psi(curve.age_of(psi / part) + added), rel=1e-6)
        assert np.all(np.diff(course.psi) >= 0)
    answer = backfill_strength(found, 1500)
    assert answer.low <= answer.likely <= answer.high
    # nothing known yet moves nothing
    assert going_on_from(january, Known(2.0, (0.0, 0.0, 0.0))).likely is january.likely


def test_protection_is_not_taken_off_before_the_hour_asked(january) -> None:
    assert protection_may_end(january, from_h=100).low >= 100


def test_heated_air_is_never_colder_than_told() -> None:
    air = warmed(np.array([-5.0, 8.0, -5.0, -5.0]), (Warming(4.0, 0, 3),))
    assert list(air) == [4, 8, 4, -5]


def test_ground_under_a_bare_footing_in_a_real_january() -> None:
    air, wind = winter_air(65, 14), winter_wind(65, 14)
    bare = ground_freezes(SILT, 0.25, Side(air, wind), 8.0)
    covered = ground_freezes(SILT, 0.25, Side(air, wind, (Cover(8 * R_US),)), 8.0)
    assert bare.answer.likely is not None and bare.answer.problems[0].severity is Severity.ENGINEER
    assert bare.answer.low <= bare.answer.likely
    assert bare.depth_m[0] >= bare.depth_m[1] >= bare.depth_m[2] and bare.depth_m[1] > 0
    assert covered.answer.low is None and not covered.answer.problems and covered.depth_m == (0, 0, 0)
    assert "even in air colder" in covered.answer.words and bare.likely.balance.closes
    assert bare.formula.depth_ft > 0 and "by the formula" in bare.answer.words
    assert bare.from_top_m == pytest.approx(0.25 + bare.depth_m[1], abs=0.02)
    assert bare.formula.surface_index_f_days == pytest.approx(0.7 * bare.index_f_days)
    off = (bare.from_top_m - bare.formula.depth_m) / 0.0254
    assert (
        f"{abs(off):.0f} in {'deeper' if off > 0 else 'less deep'}" in bare.differ
        and "10 in of concrete" in bare.differ
    )


def test_ground_that_freezes_only_if_it_is_colder_is_a_warning() -> None:
    found = ground_freezes(SILT, 0.25, Side(np.full(15 * 24 + 1, 0.5), 3.0), 4.0)
    assert found.answer.likely is None and found.answer.low is not None
    assert found.answer.problems[0].severity is Severity.WARNING and "Only if it is colder" in found.answer.words


def test_transient_frost_and_the_formula_agree_on_bare_ground() -> None:
    """A thin slab on silt for 40 days of steady cold, surface at the air: Berggren with n = 1 within a fifth."""
    hours = 40 * 24
    found = ground_freezes(SILT, 0.02, Side(np.full(hours + 1, -8.0), 8.0), 6.0, n=1.0, deep_m=2.5)
    assert found.depth_m[1] == pytest.approx(found.formula.depth_m, rel=0.2)


def test_a_footings_edge_is_colder_than_its_top_and_its_soil_is_warmed_first() -> None:
    air = winter_air(65, 7)
    covers = {"top": (Cover(0.5),), "sides": (Cover(0.2),)}
    pour = Footing(0.25, 0.5, SILT, air, 16.0, 8.0, usual_curve(4000), soil_c=4.0, **covers)
    found = footing_course(pour)
    assert np.all(found.edge_c[24:] <= found.top_c[24:] + 1e-9) and found.soil_c[1:48].max() > 8
    assert found.psi[-1] > 500 and np.all(found.frost_m >= 0)
    bare = footing_course(replace(pour, air_c=np.full(21 * 24 + 1, -15.0), top=(), sides=()))
    assert bare.soil_freezes_at is not None and bare.frost_m[-1] > 0
    assert found.soil_freezes_at is None


@pytest.mark.parametrize(
    ("three", "said"),
    [
        ((10, 20, 60), "likely after 20 h (at best after 10 h, at worst after 2.5 days)"),
        ((10, 20, None), "at worst not within the 7 days"),
        ((10, None, None), "is likely not within the 7 days of weather looked at; at best after 10 h"),
        ((None, None, None), "is not within the 7 days of weather looked at, even if all goes well"),
    ],
)
def test_ranges_in_words(three, said) -> None:
    assert said in spoken_range(*three, known_h=168)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"air_c": np.array([-5.0])}, "hour by hour"),
        ({"air_c": np.array([-5.0, np.nan, -5.0])}, "without a number"),
        ({"placed_c": 60.0}, "Concrete of 140 °F is not placed"),
        ({"placed_c": float("nan")}, "not placed"),
        ({"covers": (Cover(-1.0),)}, "less than nothing"),
        ({"core_m": 0.0}, "needs a thickness"),
        ({"wind_m_s": np.zeros(5)}, "wind outside is known for 4 h"),
    ],
)
def test_a_wall_that_cannot_be_is_refused(change, said) -> None:
    with pytest.raises(HeatError, match=said):
        look_ahead(replace(steady_wall(), **change))
