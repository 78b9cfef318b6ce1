"""Footing concrete, capillary break and keyway against worked examples (derived step by step, see the data file)."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from takeoff import footing
from takeoff.forms import GENERIC_16
from takeoff.plan import Face, Plan
from takeoff.readymix import buying_units
from takeoff.results import Buy
from takeoff.site import FootingSpec
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import placed, walk_bands
from tests.takeoff.validation.worked_cases import case


def clipped_l_plan() -> Plan:
    """The plan of T21: 13 in wall (8 in core, 2 1/2 in foam), L-shape with one corner clipped at 45 degrees."""
    given, _ = case("T21")
    form = replace(GENERIC_16, key="thirteen", foam=Length.inches("2.5"))
    corners = [*given.polygon_ft, given.polygon_ft[0]]
    headings = [math.degrees(math.atan2(y1 - y0, x1 - x0)) for (x0, y0), (x1, y1) in pairwise(corners)]
    legs = []
    for index, ((x0, y0), (x1, y1)) in enumerate(pairwise(corners)):
        turn = round((headings[(index + 1) % len(headings)] - headings[index] + 180) % 360 - 180)
        length = Length.from_inches(math.hypot(x1 - x0, y1 - y0) * 12)
        base = plans.leg("ABCDEFG"[index], "1", turn, form=form.key)
        legs.append(replace(base, path=replace(base.path, length=length)))
    plan = plans.plan(plans.ring(*legs), forms=(form,))
    spec = FootingSpec(width=Length.inches(24), thickness=Length.inches(10))
    return replace(plan, spec=replace(plan.spec, footing=spec))


def test_t21_footing_on_the_centre_line_of_a_clipped_l() -> None:
    given, result = case("T21")
    plan = clipped_l_plan()
    placement = placed(plan)
    bands = walk_bands(placement)
    assert sum(b.spread for b in bands) / 2 == pytest.approx(result.k, abs=5e-4)
    assert sum(b.outside for b in bands) / 12 == pytest.approx(result.perimeter_ft, abs=5e-4)
    centre = sum(g.faces[Face.CENTRE_LINE].length.inch for g in placement.legs.values())
    assert centre / 12 == pytest.approx(result.centre_line_ft, abs=5e-4)
    volume = footing.loop_volume_yd3(centre, given.width_in, given.thickness_in)
    assert volume == pytest.approx(result.volume_yd3, abs=5e-4)
    assert volume < result.outside_perimeter_yd3
    ordered = [q for q in footing.footings(plan, placement).quantities if q.key == "footing.concrete"]
    key = footing.key_volume_yd3(centre, plan.spec.footing)
    assert ordered[0].amount + key == pytest.approx(result.volume_yd3, abs=5e-4)


def test_t22_steps_add_rise_times_width_times_riser() -> None:
    given, result = case("T22")
    runs = footing.loop_volume_yd3(given.run_ft * 12, given.width_in, given.thickness_in)
    risers = given.steps * footing.riser_volume_yd3(given.rise_in, given.width_in, given.riser_in)
    assert (runs + risers) * 27 == pytest.approx(result.volume_ft3, abs=5e-4)


@pytest.mark.parametrize(
    ("wide", "gallons", "pails"),
    [("strip_in", "strip_gal", "strip_pails"), ("whole_top_in", "whole_gal", "whole_pails")],
)
def test_t42_coating_gallons(wide: str, gallons: str, pails: str) -> None:
    given, result = case("T42")
    area = given.centre_line_ft * getattr(given, wide) / 12
    got = footing.coating_gallons(area, given.mils)
    assert got == pytest.approx(getattr(result, gallons), abs=5e-4)
    assert buying_units(got, Buy("pail 5 gal", 5.0)) == getattr(result, pails)
    assert area / got == pytest.approx(result.ft2_per_gallon, abs=5e-4)


def test_t54_key_volume_and_strips() -> None:
    given, result = case("T54")
    spec = FootingSpec(key_width=Length.inches("3.5"), key_depth=Length.inches("1.5"))
    assert footing.key_volume_yd3(given.centre_line_ft * 12, spec) == pytest.approx(result.yd3, abs=5e-4)
    assert buying_units(given.centre_line_ft, Buy("strip 16 ft", 16.0)) == result.strips_16_ft


@pytest.mark.parametrize(
    ("rule", "value"),
    [("LEAST_WIDTH_IN", 12.0), ("LEAST_THICKNESS_IN", 6.0), ("LEAST_PROJECTION_IN", 2.0)],
    ids=["IRC R403.1 width 12 in", "IRC R403.1 thickness 6 in", "IRC R403.1 projection 2 in"],
)
def test_printed_limits(rule: str, value: float) -> None:
    assert getattr(footing, rule) == value


def test_step_limit_600_mm_is_under_24_in() -> None:
    """600 mm (National Building Code of Canada, 2023 Alberta edition, 9.15.3.9, read): 24 in is 9.6 mm too much."""
    limit = footing.MOST_STEP_IN
    assert limit == pytest.approx(23.622, abs=5e-4)
    assert (24 - limit) * 25.4 == pytest.approx(9.6)
