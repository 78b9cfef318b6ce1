"""Whether the upright bars of each wall are enough, and where the engineer is asked instead."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from takeoff import unbalanced
from takeoff.compute import compute
from takeoff.geometry import place
from takeoff.plan import Opening, OpeningKind, Plan, Stage, Straight
from takeoff.problems import Problem, Severity
from takeoff.results import SteelCheck, Verdict, WallState
from takeoff.site import AboveGrade, BarPlace, BaseJoint, TopHeld
from takeoff.strength.checks import DEFER, bar_depth_in
from takeoff.strength.joints import dowel_shear_lb
from takeoff.strength.situations import situations
from takeoff.strength.walls import steel
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.plans import at


def with_bars(plan: Plan, **bars: Any) -> Plan:
    return replace(plan, spec=replace(plan.spec, bars=replace(plan.spec.bars, **bars)))


def with_site(plan: Plan, **site: Any) -> Plan:
    return replace(plan, site=replace(plan.site, **site))


def with_psi(plan: Plan, psi: int) -> Plan:
    return replace(plan, spec=replace(plan.spec, concrete=replace(plan.spec.concrete, strength_psi=psi)))


def checked(plan: Plan, leg: str = "A") -> dict[WallState, SteelCheck]:
    """The checks of the first stretch of a leg, by state."""
    out: dict[WallState, SteelCheck] = {}
    for check in steel(plan, place(plan)).checks:
        if check.leg == leg:
            out.setdefault(check.state, check)
    return out


def told(plan: Plan) -> tuple[Problem, ...]:
    return steel(plan, place(plan)).problems


# -- the usual basement ----------------------------------------------------------------------------
def test_before_the_slab_the_wall_is_higher_and_carries_more() -> None:
    """8'-4" over the bed of the slab with 7'-4" of fill: the row of 9 ft and 8 ft; after it 7'-8" and 6'-8"."""
    found = checked(plans.rectangle())
    before, after = found[WallState.BEFORE_SLAB], found[WallState.FINISHED]
    assert (before.height, before.fill) == (at("8-4"), at("7-4")) and (after.height, after.fill) == (
        at("7-8"),
        at("6-8"),
    )
    assert before.row == "8 in wall, 9 ft high, 8 ft of fill, 45 psf per ft"
    assert after.row == "8 in wall, 8 ft high, 7 ft of fill, 45 psf per ft"
    assert before.required == "#6 @ 32 in, or #5 Grade 60 @ 23 in" and before.provided == "#5 @ 18 in"
    assert before.verdict is after.verdict is Verdict.ENOUGH
    assert before.moment_lb_ft > after.moment_lb_ft and 0 < after.ratio < before.ratio < 1
    assert before.basis[-1] == DEFER and "engineer of record" in DEFER


def test_checks_are_part_of_the_takeoff() -> None:
    plan = plans.garage()
    takeoff = compute(plan)
    assert takeoff.checks == steel(plan, place(plan)).checks
    assert {c.state for c in takeoff.checks if c.leg == "G1"} == {WallState.FROST_FILL}
    assert {c.stage for c in takeoff.checks} == {Stage.FROST_BACKFILL, Stage.FINAL_BACKFILL}


@pytest.mark.parametrize("make", [plans.rectangle, plans.garage, plans.stepped, plans.tee, plans.openings])
def test_fills_are_those_of_the_unbalanced_heights(make: Any) -> None:
    plan = make()
    placement = place(plan)
    found = situations(plan, placement)
    for height in unbalanced.heights(plan, placement):
        of = [s for s in found if s.leg.name == height.leg and s.stage is height.stage]
        before = [s for s in of if s.state is not WallState.FINISHED]
        assert max((s.fill for s in before), default=height.before_slab) == height.before_slab
        if height.stage is Stage.FINAL_BACKFILL:
            finished = [s.fill for s in of if s.state is WallState.FINISHED]
            assert max(finished, default=height.after_slab) == height.after_slab


def test_each_stretch_between_steps_is_checked() -> None:
    lower, upper = [c for c in steel(plans.stepped(), place(plans.stepped())).checks if c.leg == "B"][1::3]
    assert lower.state is upper.state is WallState.BEFORE_SLAB
    assert (lower.start, lower.end, upper.start) == (Length(0), at("20-0"), at("20-0"))
    assert (lower.height, upper.height) == (at("8-4"), at("5-8"))


# -- not enough ------------------------------------------------------------------------------------
def test_too_little_steel_is_told_once_for_all_legs() -> None:
    plan = with_bars(plans.rectangle(), vertical_size=4, vertical_spacing=at("24"))
    before = checked(plan)[WallState.BEFORE_SLAB]
    assert before.verdict is Verdict.NOT_ENOUGH and before.required == "#6 @ 32 in, or #4 Grade 60 @ 15 in"
    problem = next(p for p in told(plan) if "before the slab" in p.sentence and p.severity is Severity.WARNING)
    assert problem.sentence.startswith("A, B, C, D, filled before the slab is placed, 8 in wall")
    assert "#4 @ 24 in is not enough" in problem.sentence and "R404.1.2(3)" in problem.sentence


@pytest.mark.parametrize(
    ("grade", "spacing", "verdict"),
    [
        (60, "23", Verdict.ENOUGH),
        (60, "23.5", Verdict.NOT_ENOUGH),
        (40, "15", Verdict.ENOUGH),
        (40, "16", Verdict.NOT_ENOUGH),
        (50, "15", Verdict.ENOUGH),
        (50, "16", Verdict.NOT_ENOUGH),
        (75, "23", Verdict.ENOUGH),
    ],
)
def test_other_sizes_and_grades_by_the_table_of_alternates(grade: int, spacing: str, verdict: Verdict) -> None:
    """#6 @ 32 in of Grade 60 is #5 @ 23 in, of Grade 40 (and 50) @ 15 in: IRC 2021 Table R404.1.2(9)."""
    plan = with_bars(plans.rectangle(), grade_ksi=grade, vertical_spacing=at(spacing))
    assert checked(plan)[WallState.BEFORE_SLAB].verdict is verdict


def test_a_bar_the_alternates_do_not_print_stands_for_equal_steel() -> None:
    """#7 has 0.60 / 0.44 of the area of #6: 32 in becomes 43 in."""
    found = checked(with_bars(plans.rectangle(), vertical_size=7, vertical_spacing=at("43")))
    assert found[WallState.BEFORE_SLAB].verdict is Verdict.ENOUGH
    assert "#7 Grade 60 @ 43 in" in found[WallState.BEFORE_SLAB].required


def test_bars_closer_than_half_the_wall_are_not_a_way_out() -> None:
    plan = with_bars(plans.rectangle(), vertical_size=4, vertical_spacing=at("3.5"))
    assert checked(plan)[WallState.BEFORE_SLAB].verdict is Verdict.NOT_ENOUGH


# -- tables never mixed ----------------------------------------------------------------------------
def test_inside_face_asks_its_own_table() -> None:
    """8 in, 9 ft, 8 ft of fill, 45 psf: #6 @ 32 in at the middle, #6 @ 38 in with 1-1/4 in of cover inside."""
    middle = checked(plans.rectangle())[WallState.BEFORE_SLAB]
    inside = checked(with_bars(plans.rectangle(), vertical_place=BarPlace.INSIDE_FACE))[WallState.BEFORE_SLAB]
    assert middle.table == "IRC 2021 Table R404.1.2(3)" and inside.table == "IRC 2021 Table R404.1.2(8)"
    assert middle.required.startswith("#6 @ 32 in") and inside.required.startswith("#6 @ 38 in")
    assert inside.capacity_lb_ft > middle.capacity_lb_ft


def test_deeper_cover_than_the_tables_is_for_the_engineer() -> None:
    plan = with_bars(plans.rectangle(), vertical_place=BarPlace.INSIDE_FACE, inside_cover=at("2"))
    before = checked(plan)[WallState.BEFORE_SLAB]
    assert before.verdict is Verdict.ENGINEER and before.required == ""


def test_twelve_inches_is_only_in_the_table_for_the_inside() -> None:
    plan = plans.rectangle(core=at("12"), form="generic-18")
    assert checked(plan)[WallState.BEFORE_SLAB].verdict is Verdict.ENGINEER
    inside = with_bars(plan, vertical_place=BarPlace.INSIDE_FACE)
    before = checked(inside)[WallState.BEFORE_SLAB]
    assert before.verdict is Verdict.ENOUGH and before.required == "no upright bars are required"


def test_a_6_in_stay_in_place_form_keeps_its_bars_where_none_are_required() -> None:
    """3'-8" of fill: 'NR', which in 6 in still means #4 at 48 in."""
    low = {"core": at("6"), "grade_outside": at("94-0")}
    found = checked(with_bars(plans.rectangle(**low), vertical_size=4, vertical_spacing=at("48")))
    assert found[WallState.FINISHED].required == "#4 @ 48 in" and found[WallState.FINISHED].verdict is Verdict.ENOUGH
    wide = checked(with_bars(plans.rectangle(**low), vertical_size=4, vertical_spacing=at("49")))
    assert wide[WallState.FINISHED].verdict is Verdict.NOT_ENOUGH


def test_notes_l_and_m_of_the_inside_table() -> None:
    """l: 8 in needs nothing at 8 ft, 6 ft, 30 psf, so 6 in of 4,000 psi keeps only #4 at 48 in. m: a plain 12 in wall
    of 3,500 psi where #4 @ 48 in is printed."""
    thin = plans.rectangle(core=at("6"), grade_outside=at("96-4"))
    thin = with_site(with_bars(thin, vertical_place=BarPlace.INSIDE_FACE), soil_class="GW", equivalent_fluid_pcf=30)
    assert checked(thin)[WallState.FINISHED].required.startswith("#4 @ 37 in")
    strong = checked(with_psi(thin, 4000))[WallState.FINISHED]
    assert strong.required.startswith("#4 @ 48 in") and any("note l" in line for line in strong.basis)
    thick = with_bars(plans.rectangle(core=at("12"), form="generic-18"), vertical_place=BarPlace.INSIDE_FACE)
    thick = with_site(thick, soil_class="SC", equivalent_fluid_pcf=60)
    assert checked(thick)[WallState.BEFORE_SLAB].required.startswith("#4 @ 48 in")
    plain = checked(with_psi(thick, 3500))[WallState.BEFORE_SLAB]
    assert plain.required == "no upright bars are required" and any("note m" in line for line in plain.basis)


# -- engineer required -----------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("plan", "reason"),
    [
        pytest.param(with_site(plans.rectangle(), soil_class="CH"), "soil CH is not listed", id="soil"),
        pytest.param(with_site(plans.rectangle(), equivalent_fluid_pcf=70), "over the 60", id="load"),
        pytest.param(with_site(plans.rectangle(), ground_water=at("91-0")), "ground water", id="water"),
        pytest.param(plans.rectangle(core=at("4")), "4\" below grade is in no table", id="4 in core"),
        pytest.param(plans.rectangle(wall_top=at("100-8")), "over the 10 ft", id="height"),
        pytest.param(plans.rectangle(grade_outside=at("98-6")), "above the wall's top", id="grade"),
        pytest.param(with_psi(plans.rectangle(), 2000), "2,500 psi", id="strength"),
        pytest.param(
            with_site(plans.rectangle(core=at("6"), wall_top=at("99-0"), grade_outside=at("98-6")),
                      soil_class="SC", equivalent_fluid_pcf=60),
            "design required", id="DR",
        ),
    ],
)  # fmt: skip
def test_outside_the_tables(plan: Plan, reason: str) -> None:
    before = checked(plan)[WallState.BEFORE_SLAB]
    assert before.verdict is Verdict.ENGINEER and reason in before.reason
    assert before.required == ""
    assert any(p.severity is Severity.ENGINEER and reason in p.sentence for p in told(plan))


def test_a_design_load_over_its_soils_column_takes_the_next() -> None:
    heavier = checked(with_site(plans.rectangle(), equivalent_fluid_pcf=50))[WallState.BEFORE_SLAB]
    assert heavier.row.endswith("60 psf per ft")
    lighter = checked(with_site(plans.rectangle(), soil_class="SC"))[WallState.BEFORE_SLAB]
    assert lighter.row.endswith("60 psf per ft") and "60 taken" in lighter.basis[1]


def test_concrete_walls_above_want_their_own_bars() -> None:
    plan = plans.rectangle()
    building = replace(plan.spec.building, walls=AboveGrade.CONCRETE_OR_MASONRY)
    plan = replace(plan, spec=replace(plan.spec, building=building))
    assert any("R608.6" in p.sentence and p.severity is Severity.ENGINEER for p in told(plan))


def test_a_wall_on_a_frost_wall_leans_on_the_ground_until_the_slab_comes() -> None:
    notes = [p for p in told(plans.rectangle()) if p.severity is Severity.NOTE]
    assert len(notes) == 1 and notes[0].sentence.startswith("A, B, C, D: until the slab is placed")
    assert "855 lb per ft" in notes[0].sentence


@pytest.mark.parametrize(
    ("widths", "words"),
    [
        (("47",), ""),
        (("48",), "W0 is wider than"),
        (("40", "40", "40"), "openings take 28% of its length, more than 25%"),
    ],
)
def test_where_openings_take_away_what_holds_the_top(widths: tuple[str, ...], words: str) -> None:
    """Ontario Building Code 9.15.4: 1.2 m (47.2 in) and a quarter of the length; the leg here is 40 ft."""
    plan = plans.rectangle()
    legs = plan.walks[0].legs
    holes = tuple(
        Opening(f"W{k}", OpeningKind.WINDOW, at(width), at("36"), at("94-0"), at("4-0") + k * at("6-0"))
        for k, width in enumerate(widths)
    )
    length = at("40-0") if len(widths) == 1 else at("36-0")
    first = replace(legs[0], openings=holes, path=Straight(length))
    third = replace(legs[2], path=Straight(length))
    plan = replace(plan, walks=(replace(plan.walks[0], legs=(first, legs[1], third, legs[3])),))
    found = [p.sentence for p in told(plan) if "is not taken to hold the wall under" in p.sentence]
    assert len(found) == bool(words) and all(words in sentence for sentence in found)


@pytest.mark.parametrize(("size", "spacing", "told_of"), [(5, "24", False), (5, "25", True), (3, "12", True)])
def test_a_cold_joint_is_crossed_by_a_bar_every_24_in(size: int, spacing: str, told_of: bool) -> None:
    """IRC 2021 R404.1.3.3.7.8: one #4 or more at 24 in or closer."""
    plan = with_bars(plans.rectangle(), vertical_size=size, vertical_spacing=at(spacing))
    assert any("cold joint" in p.sentence for p in told(plan)) is told_of
    assert not any("cold joint" in p.sentence for p in told(replace(plan, walks=_on_footing(plan))))


def _on_footing(plan: Plan) -> tuple[Any, ...]:
    legs = tuple(replace(g, frost_top=None, footing_top=at("90-0")) for g in plan.walks[0].legs)
    return (replace(plan.walks[0], legs=legs),)


def test_dowels_alone_hold_a_foot_by_friction() -> None:
    """0.75 x 0.6 x 0.05 in2 x 60,000 psi = 1,350 lb per ft for #4 at 48 in, from memory of ACI 318 22.9; 60 psf per
    ft of earth puts more on the foot."""
    assert dowel_shear_lb(4, at("48"), 60) == pytest.approx(1350)
    assert dowel_shear_lb(4, at("48"), 75) == dowel_shear_lb(4, at("48"), 60)
    plan = with_bars(plans.rectangle(), dowel_size=4, vertical_spacing=at("48"))
    plan = replace(plan, walks=_on_footing(plan))
    keyed = with_site(plan, soil_class="SC", equivalent_fluid_pcf=60)
    footing = replace(plan.spec.footing, base_joint=BaseJoint.DOWELS)
    plain = replace(keyed, spec=replace(keyed.spec, footing=footing))
    assert not any("across the foot" in p.sentence for p in told(keyed))
    assert any("#4 @ 48 in hold 1,350" in p.sentence for p in told(plain))
    closer = with_bars(plain, vertical_spacing=at("24"))
    assert not any("across the foot" in p.sentence for p in told(closer))


# -- free at the top -------------------------------------------------------------------------------
def test_four_feet_of_fill_wants_the_top_held() -> None:
    plan = with_bars(plans.rectangle(), top_held=TopHeld.NOT_HELD)
    found = checked(plan)
    assert found[WallState.BEFORE_SLAB].verdict is Verdict.ENGINEER
    assert "R404.1.7" in found[WallState.BEFORE_SLAB].reason
    assert found[WallState.FINISHED].verdict is Verdict.ENOUGH
    braced = checked(with_bars(plans.rectangle(), top_held=TopHeld.BRACED))
    assert braced[WallState.BEFORE_SLAB].verdict is Verdict.ENOUGH
    assert "braces" in braced[WallState.BEFORE_SLAB].basis[0]


def test_under_four_feet_a_wall_free_at_its_top_stands_by_its_bars() -> None:
    plan = with_bars(plans.rectangle(grade_outside=at("93-0")), top_held=TopHeld.NOT_HELD)
    before = checked(plan)[WallState.BEFORE_SLAB]
    assert before.fill == at("3-4") and before.verdict is Verdict.ENOUGH and before.table == ""
    assert before.moment_lb_ft == pytest.approx(1.6 * 45 * (10 / 3) ** 3 / 6)
    thin = with_bars(plan, vertical_size=3, vertical_spacing=at("96"))
    assert checked(thin)[WallState.BEFORE_SLAB].verdict is Verdict.ENGINEER


def test_free_at_its_top_a_wall_is_pulled_on_its_outside() -> None:
    """Bars near the inside face stand in the compressed part then."""
    spec = with_bars(plans.rectangle(), vertical_place=BarPlace.INSIDE_FACE).spec
    assert bar_depth_in(spec, at("8"), 5, outside_pulled=False) == pytest.approx(7.5 - 1.25 - 0.3125)
    assert bar_depth_in(spec, at("8"), 5, outside_pulled=True) == pytest.approx(1.25 + 0.3125)
    assert bar_depth_in(plans.rectangle().spec, at("8"), 5, True) == 3.75


def test_a_frost_wall_is_free_at_its_top_and_its_dowels_carry() -> None:
    plan = with_bars(plans.garage(), dowel_size=4)
    found = checked(plan, "G1")[WallState.FROST_FILL]
    assert found.verdict is Verdict.ENOUGH and found.provided == "#4 @ 18 in"
    assert found.fill == plan.spec.earth.balance_within


def test_an_inner_wall_has_no_earth_to_carry_when_the_house_stands() -> None:
    assert {c.state for c in steel(plans.tee(), place(plans.tee())).checks if c.leg == "T1"} == {WallState.FROST_FILL}
