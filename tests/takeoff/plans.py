"""Sample plans for the engine's tests, invented, each as small as the thing it shows.

All are walked counter-clockwise (left turns), so that the building is on the left hand and the outside on the right.
Levels are on a datum where the main floor deck is near 100'-0": footing top 86'-0", top of frost wall 90'-0" (three
courses of 16 in), top of wall 98'-0" (six courses of 16 in), slab top 90'-4", grade 97'-0" outside.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from takeoff.forms import GENERIC_SYSTEMS
from takeoff.plan import (
    Arc,
    Attachment,
    BeamPocket,
    End,
    Face,
    Ledge,
    Leg,
    Opening,
    OpeningKind,
    Plan,
    Section,
    Step,
    Straight,
    Walk,
    WalkKind,
)
from takeoff.site import Site
from takeoff.units import Length, parse_length


def at(text: str) -> Length:
    """A length or level as it is spoken: ``at('28-4 1/2')``; a bare number is inches."""
    return parse_length(text)


MAIN = Section("main", "Main basement", slab_top=at("90-4"))
GARAGE = Section("garage", "Garage frost wall")
PORCH = Section("porch", "Porch frost wall")
SITE = Site(frost_depth=at("4-0"), exterior_grade=at("97-0"))


def leg(name: str, length: str, turn: float = 90, **changes: Any) -> Leg:
    """A straight leg with the usual levels: frost wall and full-height wall, 8 in core, generic sixteen."""
    usual = Leg(
        name=name,
        path=Straight(at(length)),
        turn_deg=turn,
        section="main",
        form="generic-16",
        core=at("8"),
        footing_top=at("86-0"),
        grade_outside=at("97-0"),
        grade_inside=at("90-0"),
        frost_top=at("90-0"),
        wall_top=at("98-0"),
    )
    return replace(usual, **changes)


def arc(name: str, radius: str, sweep: float, turn: float = 0, **changes: Any) -> Leg:
    """A leg bent to a radius; positive sweep bends left."""
    return replace(leg(name, "1", turn), path=Arc(at(radius), sweep), **changes)


def frost(name: str, length: str, turn: float = 90, **changes: Any) -> Leg:
    """A leg with only a frost wall, footing 4 ft below a grade of 97'-0", its top 8 in above grade."""
    levels = {
        "section": "garage",
        "footing_top": at("93-0"),
        "frost_top": at("97-8"),
        "wall_top": None,
        "grade_inside": at("97-0"),
    }
    return leg(name, length, turn, **(levels | changes))


def ring(*legs: Leg, name: str = "house", **changes: Any) -> Walk:
    """A closed walk."""
    return replace(Walk(name=name, kind=WalkKind.RING, legs=legs), **changes)


def spur(name: str, start: tuple[str, str], *legs: Leg, end: tuple[str, str] | None = None, heading: float = 0) -> Walk:
    """A walk that starts (and may end) on named legs: ``spur('garage', ('A', '10-0'), ...)``."""
    return Walk(
        name=name,
        kind=WalkKind.SPUR,
        legs=legs,
        heading_deg=heading,
        starts_on=Attachment(start[0], at(start[1])),
        ends_on=Attachment(end[0], at(end[1])) if end else None,
    )


def plan(*walks: Walk, **changes: Any) -> Plan:
    """A plan of these walks, dimensioned to the outside of foam."""
    usual = Plan(
        title="Sample",
        drawing="S-1 A",
        dimensions_to=Face.OUTSIDE_OF_FOAM,
        sections=tuple(s for s in (MAIN, GARAGE, PORCH) if any(g.section == s.key for w in walks for g in w.legs)),
        walks=walks,
        forms=GENERIC_SYSTEMS,
        site=SITE,
    )
    return replace(usual, **changes)


def rectangle(length: str = "40-0", width: str = "28-0", **changes: Any) -> Plan:
    """Four legs A (south), B (east), C (north), D (west); ``changes`` go to every leg."""
    legs = [leg(n, x, **changes) for n, x in zip("ABCD", (length, width, length, width), strict=True)]
    return plan(ring(*legs))


def l_shape(**changes: Any) -> Plan:
    """40 x 28 ft less a 16 x 12 ft bite out of the north-east: inside corner between C and D."""
    sides = (("A", "40-0", 90), ("B", "16-0", 90), ("C", "16-0", -90), ("D", "12-0", 90), ("E", "24-0", 90))
    return plan(ring(*(leg(n, x, t, **changes) for n, x, t in sides), leg("F", "28-0", 90, **changes)))


def bay(**changes: Any) -> Plan:
    """40 x 28 ft with a bay of three legs (45 degree turns) on the south side; C is its front.

    The slanting legs are typed to the nearest 1/64 in, so this plan closes only by absorbing a rounding.
    """
    slant = "5'-7 57/64\""  # 4 ft x sqrt(2), to the nearest 1/64 in
    south = (("A", "14-0", -45), ("B", slant, 45), ("C", "4-0", 45), ("D", slant, -45), ("E", "14-0", 90))
    rest = (("F", "28-0", 90), ("G", "40-0", 90), ("H", "28-0", 90))
    return plan(ring(*(leg(n, x, t, **changes) for n, x, t in (*south, *rest))))


def porch_arc(**changes: Any) -> Plan:
    """40 x 28 ft with a half-round of 8 ft radius (leg B) standing out of the south side, joined at square corners."""
    south = (leg("A", "12-0", -90, **changes), arc("B", "8-0", 180, -90, **changes), leg("C", "12-0", 90, **changes))
    rest = (leg("D", "28-0", **changes), leg("E", "40-0", **changes), leg("F", "28-0", **changes))
    return plan(ring(*south, *rest))


def round_corner(**changes: Any) -> Plan:
    """40 x 28 ft whose south-east corner is a tangent quarter circle of 6 ft radius (leg B)."""
    legs = (
        leg("A", "34-0", 0, **changes),
        arc("B", "6-0", 90, 0, **changes),
        leg("C", "22-0", 90, **changes),
        leg("D", "40-0", 90, **changes),
        leg("E", "28-0", 90, **changes),
    )
    return plan(ring(*legs))


def tee(**changes: Any) -> Plan:
    """The rectangle with an inner wall T1 across it: from leg A, 18'-0" from its start, to leg C."""
    base = rectangle(**changes)
    thick = base.forms[0].thickness(base.walks[0].legs[0].core)
    clear = at("28-0") - thick - thick
    inner = replace(leg("T1", "1", 0, **changes), path=Straight(clear))
    return replace(base, walks=(*base.walks, spur("inner", ("A", "18-0"), inner, end=("C", "22-0"))))


def garage(**changes: Any) -> Plan:
    """The rectangle with a garage frost wall (its own footing) hung on leg B: out 24 ft, along 22 ft, and back."""
    base = rectangle(**changes)
    walls = (frost("G1", "24-0"), frost("G2", "22-0"), frost("G3", "24-0", 0))
    hung = spur("garage", ("B", "3-0"), *walls, end=("B", "25-0"), heading=-90)
    return plan(*base.walks, hung)


def stepped() -> Plan:
    """The rectangle with footings that step up 16 in, and a wall top that steps down, along legs A and C.

    A: footing 86'-0" to 14'-0", then 87'-4"; C comes back down at 26'-0". The wall top of B drops 32 in at 20'-0".
    """
    up, down = Step(at("14-0"), footing_top=at("87-4")), Step(at("26-0"), footing_top=at("86-0"))
    drop = Step(at("20-0"), wall_top=at("95-4"), grade_outside=at("94-8"))
    legs = (
        leg("A", "40-0", steps=(up,)),
        leg("B", "28-0", footing_top=at("87-4"), steps=(drop,)),
        leg("C", "40-0", footing_top=at("87-4"), wall_top=at("95-4"), grade_outside=at("94-8"), steps=(down,)),
        leg("D", "28-0", wall_top=at("95-4"), grade_outside=at("94-8")),
    )
    return plan(ring(*legs))


WINDOW = Opening("W1", OpeningKind.WINDOW, at("36"), at("48"), at("93-4"), at("6-0"))
DOOR = Opening("D1", OpeningKind.DOOR, at("40"), at("82"), at("90-4"), at("8-0"), End.END)


def openings(**changes: Any) -> Plan:
    """The rectangle with a window and a beam pocket in leg A and a door in leg C, which is a walk-out."""
    legs = (
        leg(
            "A", "40-0", openings=(WINDOW,), beam_pockets=(BeamPocket("P1", at("20-0"), at("8"), at("10")),), **changes
        ),
        leg("B", "28-0", **changes),
        leg("C", "40-0", **({"openings": (DOOR,), "grade_outside": at("90-0")} | changes)),
        leg("D", "28-0", **changes),
    )
    return plan(ring(*legs))


def ledge(**changes: Any) -> Plan:
    """The rectangle with a brick ledge along all of leg A and over part of leg B."""
    whole = Ledge(level=at("97-0"), projection=at("6"), start=at("0"))
    part = Ledge(level=at("97-0"), projection=at("6"), start=at("2-0"), until=at("12-0"))
    legs = (leg("A", "40-0", ledges=(whole,), **changes), leg("B", "28-0", ledges=(part,), **changes))
    return plan(ring(*legs, leg("C", "40-0", **changes), leg("D", "28-0", **changes)))


def two_cores() -> Plan:
    """The rectangle whose south side changes from an 8 in core (A1) to a 10 in core (A2), outside faces in line."""
    legs = (
        leg("A1", "24-0", 0),
        leg("A2", "16-0", core=at("10")),
        leg("B", "28-0"),
        leg("C", "40-0"),
        leg("D", "28-0"),
    )
    return plan(ring(*legs))


def second_ring() -> Plan:
    """The rectangle and, apart from it, a shed on its own frost wall."""
    walls = (frost("S1", "12-0"), frost("S2", "10-0"), frost("S3", "12-0"), frost("S4", "10-0"))
    shed = ring(*walls, name="shed", origin_x=at("60-0"), origin_y=at("4-0"))
    return plan(*rectangle().walks, shed)


def walkout() -> Plan:
    """A whole house: L-shaped walk-out basement with a bay, a half-round, a ledge, openings and stepped frost walls,
    a garage frost wall on the west side and an inner wall. The largest of the samples."""
    high = {"footing_top": at("88-8")}
    low = {"grade_outside": at("90-0")}
    slant = "5'-7 57/64\""
    window = replace(WINDOW, offset=at("3-6"))
    brick = Ledge(at("97-0"), at("6"), at("0"))
    down = (
        Step(at("10-0"), footing_top=at("87-4")),
        Step(at("16-0"), footing_top=at("86-0")),
        Step(at("18-0"), grade_outside=at("93-0")),
        Step(at("24-0"), grade_outside=at("90-0")),
    )
    up = (
        Step(at("10-0"), footing_top=at("87-4"), grade_outside=at("93-0")),
        Step(at("14-0"), footing_top=at("88-8"), grade_outside=at("97-0")),
    )
    house = ring(
        leg("A", "14-0", -45, openings=(replace(window, offset=at("9-6")),), ledges=(brick,), **high),
        leg("B", slant, 45, **high),
        leg("C", "4-0", 45, **high),
        leg("D", slant, -45, **high),
        leg("E", "22-0", 90, openings=(replace(window, name="W2"),), ledges=(brick,), **high),
        leg("F", "30-0", 90, steps=down, footing_top=at("88-8")),
        leg("G", "16-0", -90, openings=(replace(DOOR, offset=at("4-0")),), **low),
        leg("H", "10-0", 90, **low),
        leg("I", "10-0", -90, openings=(replace(window, name="W3"),), **low),
        arc("J", "6-0", 180, -90, **low),
        leg("K", "10-0", 90, openings=(replace(DOOR, name="D2", offset=at("2-0"), width=at("36")),), **low),
        leg("L", "40-0", 90, steps=up, **low),
    )
    inner_length = at("40-0") - at("2-1 1/2")  # clear between the inside faces of A and K, each 12 3/4 in thick
    inner = leg("T1", "1", 0, frost_top=None, footing_top=at("88-8"), grade_outside=at("90-0"))
    walls = (frost("G1", "24-0"), frost("G2", "22-0"), frost("G3", "24-0", 0))
    return plan(
        house,
        spur("garage", ("L", "16-0"), *walls, end=("L", "38-0"), heading=-90),
        spur("inner", ("A", "8-0"), replace(inner, path=Straight(inner_length)), end=("K", "2-0")),
    )


#: Every sample, for tests that run over all of them.
SAMPLES = {
    "rectangle": rectangle,
    "l_shape": l_shape,
    "bay": bay,
    "porch_arc": porch_arc,
    "round_corner": round_corner,
    "tee": tee,
    "garage": garage,
    "stepped": stepped,
    "openings": openings,
    "ledge": ledge,
    "two_cores": two_cores,
    "second_ring": second_ring,
    "walkout": walkout,
}
