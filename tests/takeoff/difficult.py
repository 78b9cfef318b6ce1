"""A difficult house, invented: whatever makes a count go wrong stands in it at least once.

Walked counter-clockwise on the outside of foam, 157 ft round: S1 with a window and a brick ledge on both sides of it,
S2 between two 45 degree corners, S3 with a door, S4 a tangent quarter circle, an inside corner between S5 and S6, S8
with a footing that climbs 20 in twice (no whole course), T1 a wall inside it with a free end, G1 to G3 a garage's frost
wall of three courses and a half, lower where its door is. Openings are typed as rough openings, bucks are 1 1/2 in.
Nine courses of 16 in at the deepest: footing 86'-0", frost wall to 90'-0", wall to 98'-0".

Coordinates of the outline, in inches: (0,0) (360,0) (432,72) (432,312) arc to (336,408) (216,408) (216,552) (0,552).
"""

from __future__ import annotations

from functools import cache
from typing import Any

from takeoff.compute import compute
from takeoff.plan import Plan
from takeoff.planfile import read_plan
from takeoff.results import Takeoff

WINDOW = {"name": "W1", "kind": "window", "width": "4-0", "height": "4-0", "sill": "92-8", "offset": "12-0"}
DOOR = {"name": "D1", "kind": "door", "width": "3-4", "height": "6-8", "sill": "90-4", "offset": "6-0"}
SMALL = {"name": "W2", "kind": "window", "width": "2-6", "height": "3-0", "sill": "93-4", "offset": "5-0"}
LEDGES = [
    {"level": "96-8", "projection": '6"', "until": "11-10.5"},
    {"level": "96-8", "projection": '6"', "start": "16-1.5"},
]
GARAGE = {"section": "garage", "footing_top": "93-0", "frost_top": "97-8", "wall_top": "none", "grade_inside": "97-0"}


def _legs() -> list[dict[str, Any]]:
    down = [{"at": "10-0", "footing_top": "87-8"}, {"at": "20-0", "footing_top": "86-0"}]
    up = [{"at": "15-0", "footing_top": "87-8"}, {"at": "30-0", "footing_top": "89-4"}]
    return [
        {"name": "S1", "length": "30-0", "turn": 45, "footing_top": "89-4", "steps": down, "openings": [WINDOW],
         "ledges": LEDGES},
        {"name": "S2", "length": "8-5 53/64", "turn": 45, "grade_outside": "93-6"},
        {"name": "S3", "length": "20-0", "turn": 0, "grade_outside": "90-0", "openings": [DOOR]},
        {"name": "S4", "radius": "8-0", "sweep": 90, "turn": 0, "grade_outside": "92-0"},
        {"name": "S5", "length": "10-0", "turn": -90, "grade_outside": "94-0"},
        {"name": "S6", "length": "12-0", "turn": 90, "openings": [SMALL]},
        {"name": "S7", "length": "18-0", "turn": 90,
         "beam_pockets": [{"name": "P1", "offset": "9-0", "width": "8\"", "depth": "10\""}]},
        {"name": "S8", "length": "46-0", "turn": 90, "steps": up},
    ]  # fmt: skip


def document() -> dict[str, Any]:
    """The house as a plan file."""
    lower = [
        {"at": "6-0", "frost_top": "96-4", "grade_outside": "96-2", "grade_inside": "96-2"},
        {"at": "16-0", "frost_top": "97-8", "grade_outside": "97-0", "grade_inside": "97-0"},
    ]
    garage = [
        {"name": "G1", "length": "24-0", "turn": 90},
        {"name": "G2", "length": "22-0", "turn": 90, "steps": lower},
        {"name": "G3", "length": "24-0", "turn": 0},
    ]
    return {
        "schema": "wall-walk",
        "version": 1,
        "title": "Difficult house",
        "drawing": "S-1 A",
        "dimensions_to": "outside_of_foam",
        "leg_defaults": {
            "section": "main", "form": "generic-16", "core": "8\"", "footing_top": "86-0", "frost_top": "90-0",
            "wall_top": "98-0", "grade_outside": "97-0", "grade_inside": "90-0",
        },
        "sections": [
            {"key": "main", "name": "Main basement", "slab_top": "90-4", "slab_thickness": "4\""},
            {"key": "garage", "name": "Garage"},
        ],
        "pads": [
            {"name": "F1", "section": "main", "count": 2, "length": "3-0", "width": "3-0", "thickness": "12\"",
             "top": "89-8", "bars_each_way": 4, "bar_size": 4},
        ],
        "site": {"soil_class": "SM", "equivalent_fluid_pcf": 45, "bearing_psf": 1500, "frost_depth": "4-0",
                 "code_edition": "IRC 2021"},
        "spec": {
            "layout": {"buck": "1.5\""},
            "concrete": {"slump_in": 6, "slump_approved_by": "the plant's technician", "strength_psi": 3000},
            "building": {"stories": 1, "walls": "brick_veneer", "foundation": "basement", "width": "36-0",
                         "snow_psf": 50},
            "assembly": {"climate_zone": 6},
            "bars": {"also_stock": ["30-0"]},
            "envelope": {"drain_outlet": "40-0"},
        },
        "walks": [
            {"name": "house", "kind": "ring", "legs": _legs()},
            {"name": "inner", "kind": "spur", "starts_on": {"leg": "S8", "at": "26-0"}, "heading": 90,
             "legs": [{"name": "T1", "length": "14-0", "turn": 0, "footing_top": "87-8", "grade_outside": "90-0"}]},
            {"name": "garage", "kind": "spur", "starts_on": {"leg": "S8", "at": "1-0"},
             "ends_on": {"leg": "S8", "at": "23-0"}, "heading": -90, "legs": [{**g, **GARAGE} for g in garage]},
        ],
    }  # fmt: skip


@cache
def difficult() -> Plan:
    """The plan as read."""
    reading = read_plan(document())
    assert reading.plan is not None, reading.problems
    return reading.plan


@cache
def difficult_taken_off() -> Takeoff:
    """Its takeoff."""
    return compute(difficult())
