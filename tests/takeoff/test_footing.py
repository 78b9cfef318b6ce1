"""Footings of whole plans: concrete against shapely, steps, T walls, what is measured, what is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff import footing
from takeoff.forms import GENERIC_16, GENERIC_18
from takeoff.plan import Plan, Stage, Step
from takeoff.problems import Severity
from takeoff.results import Part, Quantity
from takeoff.site import BaseJoint, BuildingSpec, FootingPlacement, FootingSpec
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import outside_polygon, placed, ring_between

WALL = 12.75  # foam 2 3/8, core 8, foam 2 3/8


#: What the code's tables ask of the building above, said so that they have an answer.
HOUSE = BuildingSpec(stories=1, width=Length.feet(28), snow_psf=20)


def part(plan: Plan) -> Part:
    said = replace(plan, spec=replace(plan.spec, building=HOUSE))
    return footing.footings(said, placed(said))


def amount(plan: Plan, key: str, section: str = "main") -> float:
    return quantity(plan, key, section).amount


def quantity(plan: Plan, key: str, section: str = "main") -> Quantity:
    (found,) = [q for q in part(plan).quantities if q.key == key and q.section == section]
    return found


def with_footing(plan: Plan, **changes: object) -> Plan:
    return replace(plan, spec=replace(plan.spec, footing=replace(plan.spec.footing, **changes)))  # type: ignore[arg-type]


def plain(plan: Plan) -> Plan:
    return with_footing(plan, base_joint=BaseJoint.DOWELS)


@pytest.mark.parametrize("name", ["rectangle", "l_shape", "bay", "openings", "round_corner"])
def test_concrete_is_the_ring_between_the_two_edges(name: str) -> None:
    plan = plain(plans.SAMPLES[name]())
    beyond = (20 - WALL) / 2
    area = ring_between(outside_polygon(placed(plan)), -(WALL + beyond), beyond)
    assert amount(plan, "footing.concrete") == pytest.approx(area * 10 / 46656, rel=2e-5)


def test_key_leaves_the_footing_and_comes_back_in_the_wall() -> None:
    from takeoff import concrete

    keyed, smooth = plans.l_shape(), plain(plans.l_shape())
    lost = amount(smooth, "footing.concrete") - amount(keyed, "footing.concrete")

    def wall(plan: Plan) -> float:
        return sum(q.amount for q in concrete.walls(plan, placed(plan)).quantities)

    assert lost > 0.1
    assert wall(keyed) - wall(smooth) == pytest.approx(lost, rel=1e-9)


def test_width_carries_the_whole_block_or_what_is_specified() -> None:
    spec = FootingSpec()
    assert footing.width(spec, GENERIC_16, Length.inches(8)) == Length.inches(20)
    assert footing.width(spec, GENERIC_18, Length.inches(12)) == Length.inches("23.75")  # 17 3/4 and 3 each side
    assert footing.projection(spec, GENERIC_18, Length.inches(12)) == Length.inches(3)


def test_steps_add_their_risers_at_corners_too() -> None:
    """A steps up at 14 ft, C down at 26 ft, and B and D meet them at their own levels: two risers of 16 in."""
    level, stepped = plain(plans.rectangle()), plain(plans.stepped())
    risers = footing.risers(stepped, placed(stepped))
    assert [(r.leg.name, r.rise) for r in risers] == [("A", 16.0), ("C", 16.0)]
    more = amount(stepped, "footing.concrete") - amount(level, "footing.concrete")
    assert more == pytest.approx(2 * 16 * 20 * 8 / 46656, rel=1e-9)


def test_a_step_between_two_legs_is_found() -> None:
    legs = [plans.leg(n, x) for n, x in zip("ABCD", ("40-0", "28-0", "40-0", "28-0"), strict=True)]
    legs[1] = replace(legs[1], footing_top=plans.at("87-4"))
    plan = plans.plan(plans.ring(*legs))
    assert [(r.leg.name, r.rise) for r in footing.risers(plan, placed(plan))] == [("B", 16.0), ("C", 16.0)]


def test_a_t_wall_stops_at_the_edge_of_the_other_footing() -> None:
    plan = plain(plans.tee())
    run = next(r for r in footing.runs(plan, placed(plan)) if r.band.name == "T1")
    clear = 28 * 12 - 2 * WALL
    assert run.length == pytest.approx(clear - 2 * (20 - WALL) / 2)


def test_a_step_over_600_mm_is_told_with_its_height() -> None:
    legs = [plans.leg(n, x) for n, x in zip("ABCD", ("40-0", "28-0", "40-0", "28-0"), strict=True)]
    legs[1] = replace(legs[1], footing_top=plans.at("88-0"))
    problems = part(plans.plan(plans.ring(*legs))).problems
    assert {p.leg for p in problems} == {"B", "C"}
    assert all(p.severity is Severity.WARNING and '24"' in p.sentence and "600 mm" in p.sentence for p in problems)
    allowed = replace(legs[1], footing_top=plans.at("86-0") + Length.mm(600))
    assert part(plans.plan(plans.ring(legs[0], allowed, *legs[2:]))).problems == ()


def test_two_steps_closer_than_600_mm_are_told() -> None:
    """Leg A steps up 8 in at 14'-0" and again 20 in on; legs B to D go on at that level and come back at A."""
    steps = (
        Step(plans.at("14-0"), footing_top=plans.at("86-8")),
        Step(plans.at("15-8"), footing_top=plans.at("87-4")),
    )
    rest = [plans.leg(n, x, footing_top=plans.at("87-4")) for n, x in (("B", "28-0"), ("C", "40-0"), ("D", "28-0"))]
    plan = plans.plan(plans.ring(plans.leg("A", "40-0", steps=steps), *rest))
    (told,) = part(plan).problems
    assert told.severity is Severity.WARNING and told.leg == "A" and '20" apart' in told.sentence
    apart = replace(steps[1], at=plans.at("16-0"))
    assert part(plans.plan(plans.ring(plans.leg("A", "40-0", steps=(steps[0], apart)), *rest))).problems == ()
    lengths = [round(t.length, 6) for t in footing.treads(placed(plan))]
    assert lengths[0] == pytest.approx(14 * 12 - 6.375) and lengths[1] == pytest.approx(20.0) and len(lengths) == 3


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"thickness": Length.inches("5.5")}, "thick"),
        ({"width": Length.inches(40)}, "no more projection than thickness"),
        ({"width": Length.inches(12), "projection": Length.inches(1)}, "2 in or more"),
    ],
    ids=["IRC R403.1 thickness", "IRC R403.1 most projection", "IRC R403.1 least projection"],
)
def test_shapes_the_code_does_not_allow_are_told(changes: dict[str, Length], words: str) -> None:
    problems = part(with_footing(plans.rectangle(), **changes)).problems
    assert any(words in p.sentence and "IRC 2021 R403.1" in p.sentence and p.leg == "A" for p in problems)


def test_usual_footing_has_nothing_to_say() -> None:
    assert part(plans.rectangle()).problems == ()


def test_a_trench_swallows_more_and_needs_no_boards() -> None:
    trench = with_footing(plans.rectangle(), placement=FootingPlacement.TRENCH)
    concrete = quantity(trench, "footing.concrete")
    assert concrete.buy is not None and concrete.buy.waste == pytest.approx(0.10)
    assert not [q for q in part(trench).quantities if q.key == "footing.forms"]


def test_form_boards_run_along_both_edges() -> None:
    beyond = (20 - WALL) / 2
    outer, inner = 2 * (480 + 336) + 8 * beyond, 2 * (480 + 336) - 8 * (WALL + beyond)
    assert amount(plans.rectangle(), "footing.forms") == pytest.approx((outer + inner) / 12)


def test_depth_criterion_names_the_shallowest_leg_and_depth() -> None:
    found = {c.key: c for c in part(plans.openings()).criteria}
    frost = found["footing.frost_depth"]
    assert (frost.value, frost.unit, frost.sense) == (48.0, "in", "at least")
    assert "4'-10\" at leg C" in frost.text
    assert found["footing.width"].value == 20.0
    assert found["footing.top_spread"].value == 0.25
    assert found["footing.concrete_volume"].text.endswith("in the forms)")


def test_sections_keep_their_own_quantities_and_widths() -> None:
    plan = plans.garage()
    got = part(plan)
    assert {q.section for q in got.quantities if q.key == "footing.concrete"} == {"main", "garage"}
    (garage,) = [q for q in got.quantities if q.key == "footing.concrete" and q.section == "garage"]
    assert garage.legs == ("G1", "G2", "G3") and garage.stage is Stage.FOOTING
    assert "G2:" in garage.basis and "in all" in garage.basis and garage.basis.count("yd3") == 1


def test_posts_under_beams_are_said_to_be_missing() -> None:
    (note,) = part(plans.openings()).problems
    assert note.severity is Severity.NOTE and "posts" in note.sentence and note.leg == "A"


def test_a_keyway_that_does_not_fit_is_told() -> None:
    (told,) = part(with_footing(plans.rectangle(), key_depth=Length.inches(10))).problems
    assert told.severity is Severity.WARNING and "does not fit" in told.sentence and told.leg == "A"
