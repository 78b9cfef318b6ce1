"""Wall concrete of whole plans against shapely prisms, openings, ledges and T walls; loads of trucks."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takeoff import concrete
from takeoff.plan import BeamPocket, End, Opening, OpeningKind, Plan, Stage, Step
from takeoff.results import Part
from takeoff.site import BaseJoint
from tests.takeoff import plans
from tests.takeoff.ground import outside_polygon, placed, ring_between

FOAM, CORE = 2.375, 8.0
YARD = 46656.0


def smooth(plan: Plan) -> Plan:
    """Without a keyway, so that a wall is its core and nothing else."""
    footing = replace(plan.spec.footing, base_joint=BaseJoint.DOWELS)
    return replace(plan, spec=replace(plan.spec, footing=footing))


def part(plan: Plan) -> Part:
    return concrete.walls(plan, placed(plan))


def volume(plan: Plan, stage: Stage, section: str = "main") -> float:
    return sum(q.amount for q in part(plan).quantities if q.stage is stage and q.section == section)


@pytest.mark.parametrize("name", ["rectangle", "l_shape", "bay", "round_corner"])
def test_core_is_the_prism_between_the_concrete_faces(name: str) -> None:
    plan = smooth(plans.SAMPLES[name]())
    core = ring_between(outside_polygon(placed(plan)), -(FOAM + CORE), -FOAM)
    assert volume(plan, Stage.FROST_WALL) == pytest.approx(core * 48 / YARD, rel=2e-5)
    assert volume(plan, Stage.FULL_WALL) == pytest.approx(core * 96 / YARD, rel=2e-5)


def test_two_cores_keep_the_outside_in_line() -> None:
    """A1 and A2 in line outside, 8 and 10 in: the core is 24 ft and 16 ft of them less what the corners share."""
    plan = smooth(plans.two_cores())
    a1 = (24 * 12 - FOAM - CORE / 2) * 8
    a2 = (16 * 12 - FOAM - CORE / 2) * 10
    b = (28 * 12 - (FOAM + 5) - (FOAM + 4)) * 8
    c = (40 * 12 - 2 * (FOAM + 4)) * 8
    d = (28 * 12 - 2 * (FOAM + 4)) * 8
    assert volume(plan, Stage.FULL_WALL) == pytest.approx((a1 + a2 + b + c + d) * 96 / YARD, rel=1e-9)


def test_openings_come_out_at_their_rough_size_on_the_wall_they_are_in() -> None:
    with_holes, without = smooth(plans.openings()), smooth(plans.rectangle())
    gone = volume(without, Stage.FULL_WALL) - volume(with_holes, Stage.FULL_WALL)
    assert gone == pytest.approx((36 * 48 + 40 * 82) * 8 / YARD, rel=1e-9)
    assert volume(without, Stage.FROST_WALL) == volume(with_holes, Stage.FROST_WALL)
    basis = " ".join(q.basis for q in part(with_holes).quantities)
    assert 'less W1 3\'-0" x 4\'-0" x 8"' in basis


def test_an_opening_across_the_cold_joint_is_shared_by_both_walls() -> None:
    door = Opening("D9", OpeningKind.DOOR, plans.at("36"), plans.at("80"), plans.at("89-0"), plans.at("5-0"))
    plan = smooth(plans.rectangle(openings=(door,)))
    base = smooth(plans.rectangle())
    frost = volume(base, Stage.FROST_WALL) - volume(plan, Stage.FROST_WALL)
    full = volume(base, Stage.FULL_WALL) - volume(plan, Stage.FULL_WALL)
    assert frost == pytest.approx(4 * 36 * 12 * 8 / YARD)
    assert full == pytest.approx(4 * 36 * 68 * 8 / YARD)


def test_an_opening_over_a_step_of_the_wall_top_is_cut_by_it() -> None:
    """30 in wide from 20'-0" less 10 in: 10 in lie before the step down and reach above the lower top beyond it."""
    hole = Opening("W9", OpeningKind.WINDOW, plans.at("30"), plans.at("60"), plans.at("92-0"), plans.at("19-2"))
    drop = Step(plans.at("20-0"), wall_top=plans.at("96-0"))
    stepped = smooth(plans.rectangle(steps=(drop,)))
    holed = smooth(plans.rectangle(steps=(drop,), openings=(hole,)))
    gone = volume(stepped, Stage.FULL_WALL) - volume(holed, Stage.FULL_WALL)
    assert gone == pytest.approx(4 * (10 * 60 + 20 * 48) * 8 / YARD)


def test_an_opening_measured_from_the_far_end_takes_the_same_concrete() -> None:
    near = Opening("W", OpeningKind.WINDOW, plans.at("36"), plans.at("48"), plans.at("93-4"), plans.at("6-0"))
    far = replace(near, measured_from=End.END)
    amounts = [volume(plans.rectangle(openings=(o,)), Stage.FULL_WALL) for o in (near, far)]
    assert amounts[0] == pytest.approx(amounts[1], rel=1e-12)


def test_an_opening_in_an_arc_shrinks_with_the_radius() -> None:
    """A 36 in opening typed on the outside of an 8 ft radius is narrower on the centre line of the core."""
    hole = Opening("W", OpeningKind.WINDOW, plans.at("36"), plans.at("48"), plans.at("93-4"), plans.at("6-0"))
    base = smooth(plans.porch_arc())
    legs = tuple(replace(g, openings=(hole,)) if g.name == "B" else g for g in base.walks[0].legs)
    plan = replace(base, walks=(replace(base.walks[0], legs=legs),))
    gone = volume(base, Stage.FULL_WALL) - volume(plan, Stage.FULL_WALL)
    assert gone == pytest.approx(36 * (96 - FOAM - 4) / 96 * 48 * 8 / YARD, rel=1e-9)


def test_a_half_round_is_measured_on_the_radius_of_its_centre_line() -> None:
    plan = smooth(plans.porch_arc())
    (text,) = [q.basis for q in part(plan).quantities if q.stage is Stage.FULL_WALL]
    centre = placed(plan).legs["B"].centre
    assert centre.curve is not None and centre.curve.radius == pytest.approx(96 - FOAM - 4)
    assert centre.length.inch == pytest.approx(math.radians(abs(centre.curve.sweep_deg)) * centre.curve.radius)
    assert f"B: {centre.length}" in text


def test_webs_take_their_part_where_the_form_says_so() -> None:
    base = smooth(plans.rectangle())
    webs = replace(base, forms=tuple(replace(f, web_displacement=0.02) for f in base.forms))
    assert volume(webs, Stage.FULL_WALL) == pytest.approx(0.98 * volume(base, Stage.FULL_WALL))


def test_ledges_add_their_haunch() -> None:
    """6 in out and 12 in tall, all of A (outside of concrete) and 10 ft of B."""
    more = volume(smooth(plans.ledge()), Stage.FULL_WALL) - volume(smooth(plans.rectangle()), Stage.FULL_WALL)
    assert more == pytest.approx((480 - 2 * FOAM + 120) * 6 * 12 / 2 / YARD, rel=1e-9)


def test_a_t_wall_goes_on_through_the_foam_of_the_wall_it_meets() -> None:
    plan = smooth(plans.tee())
    (frost,) = [q for q in part(plan).quantities if q.stage is Stage.FROST_WALL]
    assert frost.basis.count("T at ") == 2
    clear = 28 * 12 - 2 * (2 * FOAM + CORE)
    alone = volume(plan, Stage.FROST_WALL) - volume(smooth(plans.rectangle()), Stage.FROST_WALL)
    assert alone == pytest.approx((clear + 2 * FOAM) * 8 * 48 / YARD)


def test_a_beam_pocket_is_not_taken_out() -> None:
    pocket = BeamPocket("P", plans.at("10-0"), plans.at("8"), plans.at("10"))
    assert volume(plans.rectangle(beam_pockets=(pocket,)), Stage.FULL_WALL) == pytest.approx(
        volume(plans.rectangle(), Stage.FULL_WALL)
    )


def test_volume_is_said_as_ordered() -> None:
    criteria = [c for c in part(plans.rectangle()).criteria if c.key == "wall.concrete_volume"]
    assert {c.stage for c in criteria} == {Stage.FROST_WALL, Stage.FULL_WALL}
    for c in criteria:
        amount = volume(plans.rectangle(), c.stage)
        assert c.value == math.ceil((amount * 1.05 + 0.25) * 4) / 4
        assert c.text.startswith(f"{c.value:g} yd3 ordered") and c.legs == ("A", "B", "C", "D")


def test_slump_has_no_default_and_names_who_approved_it() -> None:
    plan = plans.rectangle()
    assert not [c for c in part(plan).criteria if c.key == "concrete.slump"]
    spec = replace(plan.spec.concrete, slump_in=6.0, slump_approved_by="A. Norling, P.E.")
    slump = [
        c for c in part(replace(plan, spec=replace(plan.spec, concrete=spec))).criteria if c.key == "concrete.slump"
    ]
    assert slump and all("A. Norling" in c.text and c.value == 6.0 for c in slump)


@pytest.mark.parametrize(
    ("order", "loads", "flagged"),
    [
        (9.0, (9.0,), False),
        (11.0, (9.0, 2.0), False),
        (9.25, (7.25, 2.0), True),
        (10.75, (8.75, 2.0), True),
        (18.0, (9.0, 9.0), False),
        (18.25, (9.0, 7.25, 2.0), True),
        (1.0, (1.0,), True),
        (9.5, (7.5, 2.0), True),
        (0.0, (), False),
    ],
)
def test_last_load_is_never_under_the_minimum_unsaid(order: float, loads: tuple[float, ...], flagged: bool) -> None:
    got = concrete.trucks(order, 9.0, 2.0)
    assert got.loads == loads
    assert bool(got.complaint) is flagged


@given(
    quarters=st.integers(1, 400), truck=st.sampled_from([7.0, 8.0, 9.0, 10.0]), minimum=st.sampled_from([1.0, 2.0, 3.0])
)
def test_loads_add_up_and_fit(quarters: int, truck: float, minimum: float) -> None:
    order = quarters / 4
    split = concrete.trucks(order, truck, minimum)
    assert sum(split.loads) == pytest.approx(order)
    assert max(split.loads) <= truck
    assert len(split.loads) == math.ceil(order / truck)
    assert min(split.loads) >= minimum or order < minimum


def test_a_minimum_over_half_a_truck_is_shared_evenly_and_told() -> None:
    got = concrete.trucks(10.0, 9.0, 6.0)
    assert got.loads == (5.0, 5.0)
    assert "shared evenly" in got.complaint


@pytest.mark.parametrize(
    ("location", "weathering", "psi"),
    [
        (False, "negligible", 2500), (False, "moderate", 2500), (False, "severe", 2500),
        (True, "negligible", 2500), (True, "moderate", 3000), (True, "severe", 3000),
    ],
    ids=lambda value: f"IRC 2021 Table R402.2 {value}",
)  # fmt: skip
def test_least_strength_of_foundation_walls(location: bool, weathering: str, psi: int) -> None:
    assert concrete.least_strength_psi(location, weathering) == psi


@pytest.mark.parametrize(("psi", "words"), [(2400, "asks for 2,500 psi"), (2500, "need 3,000 psi"), (3000, "")])
def test_strength_under_the_code_is_told(psi: int, words: str) -> None:
    plan = plans.rectangle()
    weak = replace(plan, spec=replace(plan.spec, concrete=replace(plan.spec.concrete, strength_psi=psi)))
    told = [p.sentence for p in part(weak).problems]
    assert len(told) == bool(words) and all(words in sentence for sentence in told)
