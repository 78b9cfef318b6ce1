"""What a release depends on: each input moves the hashes of exactly the stages it matters to, on the legs concerned."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from enum import Enum
from typing import Any

import pytest

from takeoff.compute import compute
from takeoff.fingerprint import all_inputs, house_inputs, leg_inputs
from takeoff.forms import CornerLegs
from takeoff.plan import (
    Arc,
    BeamPocket,
    Ledge,
    Leg,
    OddCourse,
    Pad,
    Plan,
    RestWay,
    Section,
    Stage,
    Step,
    Straight,
    with_sections,
)
from takeoff.results import Takeoff
from takeoff.site import BarPlace, Chemistry, LapsFrom, MembraneWay, TopHeld
from takeoff.stage_inputs import STAGE_INPUTS
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.plans import WINDOW, at

F, W, FB, U, P, B = Stage
ALL, WALLS, FILLS = set(Stage), {W, U}, {FB, B}


def with_leg(walls: Plan, name: str, **changes: Any) -> Plan:
    """The plan with one leg changed."""
    walks = tuple(
        replace(w, legs=tuple(replace(g, **changes) if g.name == name else g for g in w.legs)) for w in walls.walks
    )
    return replace(walls, walks=walks)


def with_spec(walls: Plan, part: str, /, **changes: Any) -> Plan:
    return replace(walls, spec=replace(walls.spec, **{part: replace(getattr(walls.spec, part), **changes)}))


def with_form(walls: Plan, **changes: Any) -> Plan:
    return replace(walls, forms=(replace(walls.forms[0], **changes), *walls.forms[1:]))


def with_section(walls: Plan, **changes: Any) -> Plan:
    return replace(walls, sections=(replace(walls.sections[0], **changes), *walls.sections[1:]))


def moved(before: Plan, after: Plan) -> dict[str, set[Stage]]:
    """Stages whose hash moved, by leg."""
    old, new = all_inputs(before), all_inputs(after)
    out: dict[str, set[Stage]] = {}
    for leg, stage in old:
        if new.get((leg, stage)) != old[leg, stage]:
            out.setdefault(leg, set()).add(stage)
    return out


BASE = plans.rectangle()


# -- a leg's own inputs ----------------------------------------------------------------------------
OWN: list[tuple[str, dict[str, Any], set[Stage]]] = [
    ("footing top, a pair of courses down", {"footing_top": at("83-4")}, {F, W, FB, U, P, B}),
    ("frost top", {"frost_top": at("89-8")}, {W, FB, U, P, B}),
    ("wall top", {"wall_top": at("99-4")}, {U, P}),
    ("outside grade", {"grade_outside": at("96-0")}, {F, FB, P, B}),
    ("inside grade", {"grade_inside": at("89-0")}, {FB, B}),
    ("window above the frost wall", {"openings": (WINDOW,)}, {U}),
    ("hole in the frost wall", {"openings": (replace(WINDOW, sill=at("87-0"), height=at("24")),)}, {F, W}),
    ("beam pocket", {"beam_pockets": (BeamPocket("P", at("10-0"), at("8"), at("10")),)}, {U}),
    ("brick ledge", {"ledges": (Ledge(at("97-0"), at("6"), at("0")),)}, {U}),
    ("step of the wall top", {"steps": (Step(at("10-0"), wall_top=at("97-4")),)}, {U, P}),
    ("step of the inside grade", {"steps": (Step(at("10-0"), grade_inside=at("89-0")),)}, {FB, B}),
]


@pytest.mark.parametrize(("changes", "stages"), [(c, s) for _, c, s in OWN], ids=[n for n, _, _ in OWN])
def test_a_change_on_one_leg_moves_its_own_stages(changes: dict[str, Any], stages: set[Stage]) -> None:
    assert moved(BASE, with_leg(BASE, "A", **changes))["A"] == stages


def test_the_far_side_of_the_house_is_left_alone() -> None:
    """Only the legs that share a corner with a changed one can be concerned."""
    for _, changes, _ in OWN:
        assert "C" not in moved(BASE, with_leg(BASE, "A", **changes))


NEIGHBOUR: list[tuple[str, dict[str, Any], set[Stage]]] = [
    ("thickness", {"core": at("10")}, ALL),
    ("footing top: riser and corner units", {"footing_top": at("84-8")}, {F, W, U}),
    ("wall top: corner units and bars", {"wall_top": at("99-4")}, {U}),
    ("grade", {"grade_outside": at("96-0")}, set()),
    ("window", {"openings": (WINDOW,)}, set()),
]


@pytest.mark.parametrize(("changes", "stages"), [(c, s) for _, c, s in NEIGHBOUR], ids=[n for n, _, _ in NEIGHBOUR])
def test_what_a_leg_feels_of_its_neighbour(changes: dict[str, Any], stages: set[Stage]) -> None:
    assert moved(BASE, with_leg(BASE, "A", **changes)).get("B", set()) == stages


def test_a_longer_house_concerns_the_legs_that_grew() -> None:
    walls = with_leg(with_leg(BASE, "A", path=Straight(at("42-0"))), "C", path=Straight(at("42-0")))
    assert moved(BASE, walls) == {"A": ALL, "C": ALL}


def test_an_absorbed_rounding_concerns_the_leg_that_takes_it() -> None:
    walls = with_leg(BASE, "A", path=Straight(at("40-0 1/8")))
    assert moved(BASE, walls) == {"A": ALL, "C": ALL}


def test_an_arc_is_an_input_of_both_its_neighbours() -> None:
    base = plans.porch_arc()
    path = base.leg("B").path
    assert isinstance(path, Arc)
    again = with_leg(base, "B", path=replace(path, sweep_deg=179.9999999))
    assert moved(base, again)["B"] == ALL and moved(base, again)["A"] == ALL


def test_a_wall_hung_on_a_leg_concerns_that_leg() -> None:
    base = plans.tee()
    nearer = replace(base.walks[1], starts_on=replace(base.walks[1].starts_on, at=at("18-0 1/4")))
    found = moved(base, replace(base, walks=(base.walks[0], nearer)))
    assert found["A"] == ALL and "B" not in found and "D" not in found


# -- sections and the course grid ------------------------------------------------------------------
def test_a_split_section_voids_nothing() -> None:
    halves = (Section("south", "South", slab_top=at("90-4")), Section("rest", "The rest", slab_top=at("90-4")))
    split = with_sections(BASE, {"A": "south", "B": "rest", "C": "rest", "D": "rest"}, halves)
    assert moved(BASE, split) == {}


def test_legs_on_a_higher_footing_may_be_split_off_with_the_old_datum() -> None:
    """D's footing stands one course higher; alone it would count from there and turn its courses over."""
    base = with_leg(BASE, "D", footing_top=at("87-4"))
    main, north = (Section(k, k, datum=at("86-0"), slab_top=at("90-4")) for k in ("main", "north"))
    split = with_sections(base, {"D": "north"}, (main, north))
    assert moved(base, split) == {}
    alone = with_sections(base, {"D": "north"}, (main, replace(north, datum=None)))
    assert moved(base, alone)["D"] >= WALLS


def test_a_leg_dug_deeper_does_not_turn_over_the_courses_of_others() -> None:
    base = with_section(BASE, datum=at("86-0"))
    assert set(moved(base, with_leg(base, "A", footing_top=at("84-8")))) == {"A", "B", "D"}


def test_renaming_voids_nothing() -> None:
    names = with_form(with_section(BASE, name="Basement"), name="Other words", note="new", units_per_bundle=10)
    titled = replace(names, title="Other", drawing="S-1 B")
    assert moved(BASE, titled) == {}


GRID: list[tuple[str, dict[str, Any], set[Stage]]] = [
    ("datum a whole pair of courses away", {"datum": at("83-4")}, set()),
    ("datum off the old lines", {"datum": at("86-4")}, WALLS),
    ("odd course at the bottom of a whole number", {"odd_course": OddCourse.BOTTOM}, set()),
    ("slab top", {"slab_top": at("90-6")}, FILLS),
    ("slab thickness", {"slab_thickness": at("5")}, FILLS),
    ("the way to make an odd course where there is none", {"rest_way": RestWay.POUR_LINE}, set()),
]


@pytest.mark.parametrize(("changes", "stages"), [(c, s) for _, c, s in GRID], ids=[n for n, _, _ in GRID])
def test_the_section_matters_by_its_grid_and_its_slab(changes: dict[str, Any], stages: set[Stage]) -> None:
    found = moved(BASE, with_section(BASE, **changes))
    assert found == (dict.fromkeys("ABCD", stages) if stages else {})


def test_the_way_to_make_an_odd_course_matters_to_the_wall_that_has_one() -> None:
    """All walls 8 in over a course line: the frost walls, which end on one, are made as they were."""
    base = replace(BASE, walks=tuple(replace(w, legs=tuple(_higher(g) for g in w.legs)) for w in BASE.walks))
    assert moved(base, with_section(base, rest_way=RestWay.TWO_RIPPED)) == {leg: {U} for leg in "ABCD"}


def _higher(leg: Leg) -> Leg:
    assert leg.wall_top is not None
    return replace(leg, wall_top=leg.wall_top + at("8"))


# -- pads ------------------------------------------------------------------------------------------
PAD = Pad("P1", "main", at("36"), at("36"), at("12"), at("89-8"))


def test_a_pad_is_asked_for_again_with_the_footing_of_its_sections_first_leg() -> None:
    base = replace(BASE, pads=(PAD,))
    for pads in ((), (replace(PAD, length=at("42")),), (PAD, replace(PAD, name="P2"))):
        assert moved(base, replace(base, pads=pads)) == {"A": {F}}
    assert moved(base, replace(base, pads=(replace(PAD, name="Other"),))) == {}


def test_pads_that_go_with_the_first_leg_void_nothing_when_a_section_is_split() -> None:
    base = replace(BASE, pads=(PAD,))
    halves = (Section("south", "South", slab_top=at("90-4")), Section("main", "Main", slab_top=at("90-4")))
    split = with_sections(base, {"A": "south"}, halves)
    assert moved(base, replace(split, pads=(replace(PAD, section="south"),))) == {}
    assert set(moved(base, split)) == {"A", "B"}


# -- specification, site, form system --------------------------------------------------------------
HOUSE: list[tuple[str, Callable[[Plan], Plan], set[Stage]]] = [
    ("footing width", lambda p: with_spec(p, "footing", width=at("24")), {F, FB, P, B}),
    ("footing cover", lambda p: with_spec(p, "footing", cover=at("2")), {F}),
    ("keyway", lambda p: with_spec(p, "footing", key_depth=at("2")), {F, W}),
    ("vertical spacing", lambda p: with_spec(p, "bars", vertical_spacing=at("24")), {F, W, U}),
    ("dowel foot", lambda p: with_spec(p, "bars", dowel_foot=at("12")), {F}),
    ("horizontal bars", lambda p: with_spec(p, "bars", horizontal_size=5), WALLS),
    ("minimum joint offset", lambda p: with_spec(p, "layout", minimum_offset=at("10")), WALLS),
    ("brace spacing", lambda p: with_spec(p, "braces", spacing=at("5-0")), WALLS),
    ("concrete strength", lambda p: with_spec(p, "concrete", strength_psi=3500), {F, W, U}),
    ("footing waste", lambda p: with_spec(p, "concrete", waste_footing=0.08), {F}),
    ("truck size", lambda p: with_spec(p, "concrete", truck_yd3=10.0), set()),
    ("membrane lap", lambda p: with_spec(p, "envelope", membrane_side_lap=at("4")), {FB, P}),
    ("stone", lambda p: with_spec(p, "envelope", stone_over_footing=at("8")), {FB, P, B}),
    ("lift", lambda p: with_spec(p, "earth", lift=at("8")), FILLS),
    ("soil", lambda p: replace(p, site=replace(p.site, soil_class="ML")), FILLS),
    ("frost depth", lambda p: replace(p, site=replace(p.site, frost_depth=at("5-0"))), {F}),
    ("ground water", lambda p: replace(p, site=replace(p.site, ground_water=at("80-0"))), {F, P}),
    ("web spacing", lambda p: with_form(p, web_spacing=at("8")), WALLS),
    ("rated pressure", lambda p: with_form(p, rated_pressure_psf=650.0), WALLS),
    ("foam", lambda p: with_form(p, foam=at("2.5")), ALL),
    ("45 degree corner", lambda p: with_form(p, corners_45=(CornerLegs(at("8"), at("33"), at("21")),)), WALLS),
    ("least radius", lambda p: with_form(p, least_radius=at("8-0")), WALLS),
    ("height of the ledge unit", lambda p: with_form(p, ledge_height=at("10")), WALLS),
    ("buck", lambda p: with_spec(p, "layout", buck=at("1.5")), WALLS),
    ("place of uprights", lambda p: with_spec(p, "bars", vertical_place=BarPlace.INSIDE_FACE), {F, W, U}),
    ("rule of laps", lambda p: with_spec(p, "bars", laps_from=LapsFrom.LARGER), {F, W, U}),
    ("how the top is held", lambda p: with_spec(p, "bars", top_held=TopHeld.BRACED), FILLS),
    ("other stock lengths", lambda p: with_spec(p, "bars", also_stock=(at("30-0"),)), set()),
    ("height of a lift", lambda p: with_spec(p, "concrete", lift_height=at("3-0")), WALLS),
    ("cement and admixtures", lambda p: with_spec(p, "concrete", chemistry=Chemistry.RETARDED), WALLS),
    ("planks", lambda p: with_spec(p, "braces", plank_length=at("12-0")), WALLS),
    ("braces in the yard", lambda p: with_spec(p, "braces", owned=40), set()),
    ("liquid capillary break", lambda p: with_spec(p, "envelope", capillary_mil=60.0), {F}),
    ("fasteners of the board", lambda p: with_spec(p, "envelope", board_top_fasteners=at("8")), {FB, P}),
    ("membrane laid level", lambda p: with_spec(p, "envelope", membrane_laid=MembraneWay.LEVEL), {FB, P}),
    ("building above", lambda p: with_spec(p, "building", stories=2), {F}),
    ("wall as heat meets it", lambda p: with_spec(p, "assembly", climate_zone=6), set()),
]


@pytest.mark.parametrize(("change", "stages"), [(c, s) for _, c, s in HOUSE], ids=[n for n, _, _ in HOUSE])
def test_a_choice_for_the_whole_house_moves_its_stages_on_every_leg(
    change: Callable[[Plan], Plan], stages: set[Stage]
) -> None:
    found = moved(BASE, change(BASE))
    assert found == (dict.fromkeys("ABCD", stages) if stages else {})


def test_what_stands_on_the_wall_matters_where_an_opening_carries_it() -> None:
    base = with_leg(BASE, "A", openings=(WINDOW,))
    found = moved(base, with_spec(base, "building", stories=2))
    assert found == {"A": {F, U}, "B": {F}, "C": {F}, "D": {F}}


@pytest.mark.parametrize(("buck", "stages"), [("0", {U}), ("1.5", {F, W, U})])
def test_a_window_on_the_cold_joint_is_in_the_frost_wall_where_its_buck_reaches_into_it(
    buck: str, stages: set[Stage]
) -> None:
    base = with_spec(BASE, "layout", buck=at(buck))
    on_joint = replace(WINDOW, sill=at("90-0"))
    there, moved_on = (with_leg(base, "A", openings=(replace(on_joint, offset=at(x)),)) for x in ("6-0", "8-0"))
    assert moved(there, moved_on) == {"A": stages}


def test_a_stage_a_leg_does_not_go_through_never_moves() -> None:
    base = plans.second_ring()
    deeper = with_leg(base, "S1", footing_top=at("92-0"))
    assert moved(base, deeper)["S1"] == {F, W, FB}


def test_the_house_has_a_hash_of_its_own() -> None:
    assert house_inputs(BASE) == house_inputs(plans.l_shape())
    assert house_inputs(BASE) != house_inputs(with_spec(BASE, "concrete", truck_yd3=10.0))


def test_hashes_are_the_same_on_every_machine() -> None:
    """Canonical text, sha256: nothing of this process (addresses, hash seeds) is in it."""
    digest = leg_inputs(BASE, "A", Stage.FOOTING)
    assert len(digest) == 64 and digest == leg_inputs(plans.rectangle(), "A", Stage.FOOTING)
    with pytest.raises(KeyError):
        leg_inputs(BASE, "Z", Stage.FOOTING)


def test_every_stage_has_its_inputs_and_they_can_be_read() -> None:
    assert set(STAGE_INPUTS) == set(Stage)
    hashes = all_inputs(plans.walkout())
    assert len(hashes) == 16 * 6
    per_stage = {stage: {h for (_, s), h in hashes.items() if s is stage} for stage in Stage}
    assert len(per_stage[Stage.FOOTING]) > 10


# -- nothing the engine uses is forgotten ----------------------------------------------------------
def _answers(result: Takeoff, stage: Stage) -> list[Any]:
    """What stands on site at a stage, without wording, order units and the tolerance of openings, which are general.
    Earth dug and hauled is ordered, not released: how the banks are sloped voids no footing; nor do the stock bars that
    the bars are cut from."""
    general = {"opening.size", "wall.opening_edge"}
    standing = [q for q in result.of(stage) if not q.key.startswith(("excavation.", "bars.stock."))]
    return [
        sorted((q.key, q.section, round(q.amount, 6)) for q in standing),
        sorted((c.key, c.legs, round(c.value, 6)) for c in result.criteria_for(stage) if c.key not in general),
        sorted((u.leg, u.course, u.kind, u.start, u.end, u.bottom, u.top) for u in result.units if u.stage is stage),
        sorted((b.size, b.role, b.leg, b.count, b.cut_length) for b in result.bars if b.stage is stage),
        [(u.leg, u.before_slab, u.after_slab) for u in result.unbalanced if u.stage is stage],
    ]


def _nudged(value: Any) -> Any:
    """Another value of the same kind, None where there is none."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, Length):
        return value + at("3")
    if isinstance(value, Enum):
        return next(other for other in type(value) if other is not value)
    if isinstance(value, int):
        return value + 1
    return value * 1.07 + 0.01 if isinstance(value, float) else None


SPEC_FIELDS = [(part.name, f.name) for part in fields(BASE.spec) for f in fields(getattr(BASE.spec, part.name))]
LEDGED = plans.plan(
    plans.ring(
        plans.leg("A", "40-0", openings=(WINDOW,), ledges=(Ledge(at("97-0"), at("6"), at("0")),)),
        plans.leg("B", "28-0", frost_top=None, openings=(replace(WINDOW, name="W2"),)),
        plans.leg("C", "40-0", steps=(Step(at("14-0"), footing_top=at("87-4")),)),
        plans.leg("D", "28-0", footing_top=at("87-4")),
    )
)


@pytest.mark.parametrize(("part", "name"), SPEC_FIELDS, ids=[".".join(f) for f in SPEC_FIELDS])
def test_no_choice_changes_the_work_of_a_stage_without_moving_its_hash(part: str, name: str) -> None:
    value = _nudged(getattr(getattr(LEDGED.spec, part), name))
    if value is None:
        said = {"minimum_offset": at("10"), "minimum_piece": at("10"), "slump_in": 6.0, "slump_approved_by": "E"}
        value = (said | {"also_stock": (at("30-0"),)})[name]
    other = with_spec(LEDGED, part, **{name: value})
    _nothing_forgotten(LEDGED, other)


@pytest.mark.parametrize(
    "field",
    ["footing_top", "frost_top", "wall_top", "grade_outside", "grade_inside", "core", "form", "openings", "ledges"],
)
def test_no_field_of_a_leg_changes_the_work_of_a_stage_without_moving_its_hash(field: str) -> None:
    value = {"core": at("6"), "form": "generic-18", "openings": (), "ledges": ()}.get(field)
    changed = value if value is not None else getattr(LEDGED.leg("A"), field) - at("3")
    _nothing_forgotten(LEDGED, with_leg(LEDGED, "A", **{field: changed}))


def _nothing_forgotten(before: Plan, after: Plan) -> None:
    old, new = compute(before), compute(after)
    assert old.quantities and new.quantities
    changed = {stage for stage in Stage if _answers(old, stage) != _answers(new, stage)}
    assert changed <= set().union(*moved(before, after).values(), set())
