"""A house to time the engine with, and many of it: 250 ft round, nine courses, all that makes a wall hard."""

from dataclasses import replace
from typing import Any

from takeoff.forms import GENERIC_SYSTEMS
from takeoff.plan import (
    Arc,
    Attachment,
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
from takeoff.site import Site, Specification
from takeoff.units import Length, parse_length

#: Houses stand this far apart, so many in a row.
APART, IN_A_ROW = Length.feet(120), 10


def at(text: str) -> Length:
    """A length or level as it is spoken."""
    return parse_length(text)


WINDOW = Opening("W", OpeningKind.WINDOW, at("36"), at("48"), at("93-4"), at("6-0"))
DOOR = Opening("D", OpeningKind.DOOR, at("40"), at("82"), at("90-4"), at("8-0"), End.END)
BRICK = Ledge(at("92-8"), at("6"), at("0"))
DOWN = (
    Step(at("16-0"), footing_top=at("87-4")),
    Step(at("22-0"), footing_top=at("86-0"), grade_outside=at("93-0")),
    Step(at("30-0"), grade_outside=at("90-0")),
)
UP = (
    Step(at("18-0"), footing_top=at("87-4"), grade_outside=at("93-0")),
    Step(at("26-0"), footing_top=at("88-8"), grade_outside=at("97-0")),
)
HIGH, LOW = {"footing_top": at("88-8")}, {"grade_outside": at("90-0")}


def houses(count: int = 1, **bars: Any) -> Plan:
    """A plan of ``count`` such houses, each a section of its own. ``bars`` change the bar specification."""
    walks: list[Walk] = []
    sections: list[Section] = []
    for n in range(count):
        key = f"house{n + 1}"
        sections.append(Section(key, f"House {n + 1}", slab_top=at("90-4")))
        walks += _walks(key, "" if count == 1 else str(n + 1), (n % IN_A_ROW) * APART, (n // IN_A_ROW) * APART)
    spec = Specification()
    return Plan(
        title="Measured",
        drawing="S-1 A",
        dimensions_to=Face.OUTSIDE_OF_FOAM,
        sections=tuple(sections),
        walks=tuple(walks),
        forms=GENERIC_SYSTEMS,
        site=Site(frost_depth=at("4-0"), exterior_grade=at("97-0")),
        spec=replace(spec, bars=replace(spec.bars, **bars)),
    )


def _walks(section: str, number: str, x: Length, y: Length) -> tuple[Walk, Walk]:
    """72 x 48 ft: a bay of 45 degree legs in the south, footings that step down on both sides, a half-round in the
    north, and an inner wall across."""
    door = replace(DOOR, name=f"D1-{number}")

    def named(name: str, offset: str, **changes: Any) -> Opening:
        return replace(WINDOW, name=f"{name}-{number}", offset=at(offset), **changes)

    def leg(name: str, length: str, turn: float, **changes: Any) -> Leg:
        usual = Leg(
            name=name + number, path=Straight(at(length)), turn_deg=turn, section=section, form="generic-16",
            core=at("8"), footing_top=at("86-0"), grade_outside=at("97-0"), grade_inside=at("90-0"),
            frost_top=at("90-0"), wall_top=at("98-0"),
        )  # fmt: skip
        return replace(usual, **changes)

    slant = "5'-7 57/64\""  # 4 ft x sqrt(2), to the nearest 1/64 in
    ring = Walk(
        name=f"house{number}",
        kind=WalkKind.RING,
        origin_x=x,
        origin_y=y,
        legs=(
            leg("A", "24-0", -45, openings=(named("W1", "16-6"),), ledges=(BRICK,), **HIGH),
            leg("B", slant, 45, **HIGH),
            leg("C", "6-0", 45, **HIGH),
            leg("D", slant, -45, **HIGH),
            leg("E", "34-0", 90, openings=(named("W2", "10-0"),), ledges=(BRICK,), **HIGH),
            leg("F", "48-0", 90, steps=DOWN, **HIGH),
            leg("G", "28-0", -90, openings=(door, named("W3", "4-0")), **LOW),
            replace(leg("H", "1", -90, **LOW), path=Arc(at("6-0"), 180)),
            leg("I", "32-0", 90, openings=(named("W4", "6-0", width=at("60")),), **LOW),
            leg("J", "48-0", 90, steps=UP, **LOW),
        ),
    )
    clear = at("48-0") - at("25 1/2")  # between the inside faces of two walls 12 3/4 in thick
    inner = replace(leg("T", "1", 0, frost_top=None, grade_outside=at("90-0"), **HIGH), path=Straight(clear))
    tee = Walk(
        name=f"inner{number}",
        kind=WalkKind.SPUR,
        legs=(inner,),
        starts_on=Attachment(f"A{number}", at("12-0")),
        ends_on=Attachment(f"I{number}", at("20-0")),
    )
    return ring, tee
