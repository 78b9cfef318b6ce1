"""Bent walls against worked examples. Each is derived step by step by plane geometry; no published source.

T17: 10 ft to the outside of foam, 2 1/2 + 6 + 2 1/2 in, webs 6 in apart, skin kept, half circle; beside it webs 8 in
apart. T19: the four faces a radius may be given to, and the outer panel cut through. The radius a bar springs to is
computed here from its formula.
"""

from __future__ import annotations

import math

import pytest

from takeoff.radius import Bend, BendWay, spring_radius_in
from takeoff.radius_orders import sixteenths

T17 = Bend(convex=120.0, foam=2.5, core=6.0, web=6.0, unit=48.0)
T19 = Bend(convex=120.0, foam=2.5, core=6.0, web=6.0, unit=48.0, way=BendWay.CUT_THROUGH)


@pytest.mark.parametrize(
    ("what", "got", "printed", "within"),
    [
        ("cells per unit", T17.cells, 8, 0),
        ("angle per cell", T17.cell_deg, 2.865, 5e-4),
        ("angle per unit", T17.cells * T17.cell_deg, 22.918, 5e-4),
        ("slot at the inside face", T17.slot, 0.55, 1e-9),
        ("width needed at the core side", T17.slot_at_core, 0.425, 1e-9),
        ("wedge left at the core side", T17.wedge, 0.125, 1e-9),
        ("inner panel removed per unit", T17.removed, 4.4, 1e-9),
        ("inner panel left", 48 - T17.removed, 43.6, 1e-9),
        ("units per course", T17.units(180), 7.854, 5e-4),
        ("units per course, order", math.ceil(T17.units(180)), 8, 0),
        ("slots per course", T17.slots(math.pi * 120), 63, 0),
        ("facet error", T17.facet, 0.037, 6e-4),
    ],
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_t17_half_circle_of_10_ft(what, got, printed, within):
    assert got == pytest.approx(printed, abs=within), what


def test_t17_ratios_of_lengths_and_radii():
    """What is left of the inner panel to the outer one is as the radii; all slots are outer less inner arc."""
    assert (48 - T17.removed) / 48 == pytest.approx(T17.concave / T17.convex)
    assert T17.slot * math.pi * 120 / 6 == pytest.approx(math.pi * (T17.convex - T17.concave))


def test_t17_webs_at_8_in_take_as_much_out_of_a_unit():
    wide = Bend(120.0, 2.5, 6.0, 8.0, 48.0)
    assert wide.slot == pytest.approx(0.733, abs=5e-4)
    assert wide.removed == pytest.approx(T17.removed)
    assert wide.removed == pytest.approx(4.4)


@pytest.mark.parametrize(
    ("face", "inward", "slot"),
    [
        ("outside of foam", 0.0, 0.5500),
        ("outside of concrete", 2.5, 0.5388),
        ("core centre-line", 5.5, 0.5259),
        ("inside of foam", 11.0, 0.5038),
    ],
)
def test_t19_slot_by_the_face_the_radius_is_given_to(face, inward, slot):
    bend = Bend(120.0 + inward, 2.5, 6.0, 6.0, 48.0)
    assert bend.slot == pytest.approx(slot, abs=5e-5), face


def test_t19_outer_panel_cut_through():
    assert T19.neutral == 117.5
    assert T19.slot == pytest.approx(0.434, abs=5e-4)
    assert T19.relief == pytest.approx(0.128, abs=5e-4)
    assert T19.units(180) == pytest.approx(7.69, abs=5e-3)
    assert T19.slot + T19.relief == pytest.approx(6 * 11 / 117.5)


@pytest.mark.parametrize(("size", "feet"), [(4, 10.07), (5, 12.59), (6, 15.10)])
def test_radius_a_grade_60_bar_springs_to(size, feet):
    """(db / 2) E / fy with E = 29,000 ksi (ACI 318, from memory)."""
    assert spring_radius_in(size, 60) / 12 == pytest.approx(feet, abs=6e-3)


def test_slot_on_a_saw():
    assert sixteenths(T17.slot) == '9/16"'
    assert sixteenths(T19.slot) == '7/16"'
