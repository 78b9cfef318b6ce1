"""The wall as heat meets it: layers add up, and what is said of basement walls."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takeoff import assembly
from takeoff.compute import compute
from takeoff.forms import GENERIC_16, GENERIC_18
from takeoff.plan import Plan
from takeoff.problems import Severity
from takeoff.site import AssemblySpec
from takeoff.units import Length
from tests.takeoff import plans

EIGHT = Length.inches(8)


def zoned(plan: Plan, edition: str = "IRC 2021", foam: str = "2.375", **spec: object) -> Plan:
    wall = replace(AssemblySpec(climate_zone=6), **spec)  # type: ignore[arg-type]
    forms = tuple(replace(form, foam=Length.inches(foam)) for form in plan.forms)
    site = replace(plan.site, code_edition=edition)
    return replace(plan, forms=forms, site=site, spec=replace(plan.spec, assembly=wall))


def only(plan: Plan) -> assembly.Assembly:
    (wall,) = assembly.assemblies(plan)
    return wall


def test_layers_from_the_room_to_the_open_air() -> None:
    """0.68 + 0.45 + 2 x 9.5 + 8 x 0.0625 + 0.17 = 20.8."""
    wall = only(zoned(plans.rectangle()))
    assert [layer.name for layer in wall.layers] == [
        "inside air", "inside lining", "inside foam", "concrete", "outside foam", "outside air",
    ]  # fmt: skip
    assert wall.r == pytest.approx(20.8) and wall.u == pytest.approx(1 / 20.8)
    assert wall.foam_r == pytest.approx(19.0) and wall.label_u == pytest.approx(wall.u)
    assert wall.legs == ("A", "B", "C", "D") and wall.core == EIGHT


@given(st.floats(0, 5), st.floats(0, 5), st.sampled_from([GENERIC_16, GENERIC_18]), st.integers(20, 110))
def test_more_of_anything_never_lets_more_heat_through(lining: float, cladding: float, form: object, mean: int) -> None:
    assert form in (GENERIC_16, GENERIC_18)
    system = GENERIC_16 if form is GENERIC_16 else GENERIC_18
    bare = AssemblySpec(inside_lining_r=0.0, outside_cladding_r=0.0, mean_temperature_f=float(mean))
    clad = replace(bare, inside_lining_r=lining, outside_cladding_r=cladding)
    total = [sum(layer.r for layer in assembly.layers_of(system, EIGHT, spec)) for spec in (bare, clad)]
    assert total[1] == pytest.approx(total[0] + lining + cladding)
    thicker = sum(layer.r for layer in assembly.layers_of(system, Length.inches(10), bare))
    assert thicker - total[0] == pytest.approx(2 * assembly.CONCRETE_R_PER_IN)


def test_cold_foam_is_told_but_the_code_counts_the_label() -> None:
    cold, label = only(zoned(plans.rectangle(), mean_temperature_f=40.0)), only(zoned(plans.rectangle()))
    assert cold.r > label.r and cold.label_u == label.label_u and cold.foam_r == label.foam_r
    foam = next(layer for layer in cold.layers if layer.name == "inside foam")
    assert "x 1.098 at 40 °F" in foam.basis and foam.label_r == pytest.approx(9.5)


def test_a_wall_that_holds_says_so_and_is_no_problem() -> None:
    plan = zoned(plans.rectangle())
    wall = only(plan)
    assert wall.holds is True and "the wall holds" in wall.words and "IRC 2021" in wall.words
    assert assembly.part(plan).problems == ()


def test_a_wall_that_falls_short_is_a_warning_in_the_takeoff() -> None:
    """Two panels of 1 1/2 in are R-12, and U 0.072: short of R-15 and 0.050 in zone 6."""
    plan = zoned(plans.rectangle(), foam="1.5")
    (told,) = assembly.part(plan).problems
    assert told.severity is Severity.WARNING and told.path == "spec.assembly" and told.leg == "A"
    assert "R-12.0" in told.sentence and "R-15 continuous" in told.sentence and "falls short" in told.sentence
    assert told in compute(plan).problems


def test_a_low_u_factor_is_enough_by_itself() -> None:
    """R-14 of foam is under R-15; with R 6 of cladding the U-factor is under 0.050."""
    wall = only(zoned(plans.rectangle(), foam="1.75", outside_cladding_r=6.0))
    assert wall.foam_r < 15 and wall.label_u < 0.050 and wall.holds is True
    assert "too little against R-15" in wall.words and "low enough" in wall.words


@pytest.mark.parametrize(
    ("edition", "zone", "words"),
    [("NBC 2020", 6, "is not carried"), ("IRC 2021", 0, "climate zone is not said"), ("IRC 2015", 6, "not carried")],
)
def test_where_no_table_answers_the_reason_is_said(edition: str, zone: int, words: str) -> None:
    wall = only(zoned(plans.rectangle(), edition, climate_zone=zone))
    assert wall.holds is None and wall.least is None and words in wall.words
    assert assembly.part(zoned(plans.rectangle(), edition, climate_zone=zone)).problems == ()


def test_frost_walls_alone_are_not_asked() -> None:
    walls = plans.plan(plans.ring(*(plans.frost(n, x) for n, x in zip("ABCD", ("24-0", "22-0") * 2, strict=True))))
    wall = only(zoned(walls, foam="1.5"))
    assert wall.holds is None and "Frost walls alone" in wall.words


def test_each_form_and_core_is_its_own_wall() -> None:
    walls = assembly.assemblies(zoned(plans.two_cores()))
    assert [(w.core, w.legs) for w in walls] == [(EIGHT, ("A1", "B", "C", "D")), (Length.inches(10), ("A2",))]
    assert walls[1].r - walls[0].r == pytest.approx(2 * 0.0625)
