"""A plan and a takeoff of the drawings' own, written out: a golden drawing changes only with its drawing code."""

from __future__ import annotations

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
    Stage,
    Step,
    Straight,
    Walk,
    WalkKind,
)
from takeoff.results import Bar, BarRole, PlacedUnit, StackSeam, Takeoff, UnitKind
from takeoff.units import Length, parse_length


def at(text: str) -> Length:
    """A length or level as spoken."""
    return parse_length(text)


def _leg(name: str, length: str, turn: float, section: str = "main", **changes: object) -> Leg:
    main = section == "main"
    usual: dict[str, object] = {
        "path": Straight(at(length)),
        "footing_top": at("86-0" if main else "92-8"),
        "frost_top": at("90-0" if main else "97-4"),
        "wall_top": at("98-0") if main else None,
        "grade_outside": at("96-8"),
        "grade_inside": at("90-0" if main else "96-8"),
    }
    return Leg(name=name, turn_deg=turn, section=section, form="generic-16", core=at("8"), **(usual | changes))


def house() -> Plan:
    """A small house with round corner, chamfer, window, door, ledge, step, and a garage on its own footing."""
    window = Opening("W1", OpeningKind.WINDOW, at("3-0"), at("4-0"), at("92-8"), at("5-0"))
    door = Opening("D1", OpeningKind.DOOR, at("3-4"), at("6-10"), at("90-4"), at("4-0"), End.END)
    ledge = Ledge(at("96-8"), at("6"), at("1-0"), at("11-0"))
    step = Step(at("10-0"), footing_top=at("87-4"), grade_outside=at("93-0"))
    legs = (
        _leg("A", "20-0", 45, openings=(window,), beam_pockets=(BeamPocket("P1", at("14-0"), at("8"), at("10")),)),
        _leg("B", "6-0", 45),
        _leg("C", "14-0", 0, steps=(step,)),
        _leg("D", "0-1", 0, path=Arc(at("4-0"), 90.0), footing_top=at("87-4"), grade_outside=at("93-0")),
        _leg("E", "20-2 29/32", 90, footing_top=at("87-4"), grade_outside=at("90-0"), openings=(door,)),
        _leg("F", "22-2 29/32", 90, ledges=(ledge,)),
    )
    ring = Walk("house", WalkKind.RING, legs)
    garage = Walk(
        "garage",
        WalkKind.SPUR,
        (_leg("G1", "12-0", 90, "garage"), _leg("G2", "14-0", 90, "garage"), _leg("G3", "12-0", 0, "garage")),
        heading_deg=-90,
        starts_on=Attachment("F", at("4-0")),
        ends_on=Attachment("F", at("18-0")),
    )
    sections = (Section("main", "Main basement", slab_top=at("90-4")), Section("garage", "Garage"))
    return Plan("Sample house", "S-2 A", Face.OUTSIDE_OF_FOAM, sections, (ring, garage), GENERIC_SYSTEMS)


def square(**changes: object) -> Plan:
    """Four equal square corners, legs A to D."""
    legs = tuple(_leg(name, "16-0", 90, **changes) for name in "ABCD")
    sections = (Section("main", "Main basement", slab_top=at("90-4")),)
    return Plan("Square", "S-1 A", Face.OUTSIDE_OF_FOAM, sections, (Walk("w", WalkKind.RING, legs),), GENERIC_SYSTEMS)


def laid(plan: Plan, leg: str = "A", length: str = "20-0") -> Takeoff:
    """Nine courses of 48 in units on one leg, cut at the end, the last course ripped, two joints too close, and bars
    as a schedule would have them."""
    units = tuple(unit for course in range(1, 10) for unit in _course(leg, course, at(length)))
    seam = StackSeam(leg, 3, at("8-0"), Length.inches(2))
    return Takeoff(plan, (), units, (seam,), _bars(leg), (), (), ())


def _course(leg: str, course: int, length: Length) -> list[PlacedUnit]:
    bottom = at("86-0") + Length.inches(16) * (course - 1)
    top = bottom + Length.inches(16 if course < 9 else 10)
    stage = Stage.FROST_WALL if course <= 3 else Stage.FULL_WALL
    corner, hand = (
        (Length.inches(38), UnitKind.CORNER_RIGHT) if course % 2 else (Length.inches(22), UnitKind.CORNER_LEFT)
    )
    out = [PlacedUnit(leg, course, hand, Length(0), corner, bottom, top, stage, mark="CR" if course % 2 else "CL")]
    start = corner
    while start < length:
        end = min(start + Length.inches(48), length)
        cut = end - start < Length.inches(48)
        mark = f"C {(end - start).inch:g}" if cut else "S48"
        kind = UnitKind.STRAIGHT
        out.append(
            PlacedUnit(leg, course, kind, start, end, bottom, top, stage, cut_end=cut, ripped=course == 9, mark=mark)
        )
        start = end
    return out


def _bars(leg: str) -> tuple[Bar, ...]:
    xs = [12.0 + 18 * n for n in range(13)]
    foot, joint, top = at("86-0").inch, at("90-0").inch, at("98-0").inch
    upright = (
        ("D1", BarRole.DOWEL, Stage.FOOTING, foot - 7, foot + 38),
        ("P1", BarRole.PROJECTING, Stage.FROST_WALL, foot, joint + 38),
        ("V1", BarRole.VERTICAL, Stage.FULL_WALL, joint, top - 2),
    )
    bars = [
        Bar(mark, 5, role, stage, "main", leg, 13, at("4-0"), None, "", tuple((x, low, x, high) for x in xs))
        for mark, role, stage, low, high in upright
    ]
    levels = tuple((4.0, foot + 8 + 16 * n, 236.0, foot + 8 + 16 * n) for n in range(9))
    bars.append(Bar("H1", 4, BarRole.HORIZONTAL, Stage.FULL_WALL, "main", leg, 9, at("19-4"), None, "", levels))
    return tuple(bars)
