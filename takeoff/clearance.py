"""Openings that would stand in another wall: in the corner of the next leg, or behind a wall that meets this one."""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.curves import dot, minus, unit
from takeoff.openings_forms import as_formed
from takeoff.placement import LegGeometry, Tee
from takeoff.plan import Face, Opening
from takeoff.problems import Problem, Severity
from takeoff.units import ZERO, Length

_NOTHING = Length(1000)  # a thousandth of a millimetre: arithmetic, not a clash


def clearance(
    legs: dict[str, LegGeometry], tees: tuple[Tee, ...], paths: dict[str, str], buck: Length = ZERO
) -> tuple[Problem, ...]:
    """A blocker for each opening that reaches into a corner, a warning for each one behind a spur.

    ``paths`` gives each leg's address in the plan document; ``buck`` is the board that stands around each opening.
    """
    problems: list[Problem] = []
    for name, leg in legs.items():
        for k, rough in enumerate(leg.leg.openings):
            opening = as_formed(rough, buck)
            path = f"{paths.get(name, '')}.openings.{k}.offset"
            problems += [Problem(Severity.BLOCKER, said, path, name) for said in _in_corner(leg, opening)]
            found = (_behind(leg, opening, tee, legs) for tee in tees if tee.through == name)
            problems += [Problem(Severity.WARNING, said, path, name) for said in found if said]
    return tuple(problems)


def free_span(leg: LegGeometry) -> tuple[Length, Length]:
    """The part of a straight leg, along its outside face, that no corner takes: where all five faces run. The whole
    outside face of an arc."""
    if leg.outside.curve is not None:
        return (Length(0), leg.outside.length)
    along = unit(leg.heading_deg)
    starts = [dot(minus(face.start, leg.outside.start), along) for face in leg.faces.values()]
    ends = [dot(minus(face.end, leg.outside.start), along) for face in leg.faces.values()]
    return (Length.from_inches(max(starts)), Length.from_inches(min(ends)))


def _in_corner(leg: LegGeometry, opening: Opening) -> Iterator[str]:
    (start, end), (first, last) = leg.opening_span(opening), free_span(leg)
    for short, which in ((first - start, "start"), (end - last, "end")):
        if short > _NOTHING:
            yield (
                f"Leg {leg.leg.name}: opening {opening.name} runs {short} into the corner at the leg's {which}; "
                f"the next wall stands there. Move it or make it narrower."
            )


def _behind(leg: LegGeometry, opening: Opening, tee: Tee, legs: dict[str, LegGeometry]) -> str:
    """What to say where a spur stands against an opening of its through leg, '' if it does not."""
    spur = legs[tee.spur].leg
    reach = _thickness(legs[tee.spur]).half()
    start, end = leg.opening_span(opening)
    beside = end <= tee.at - reach or tee.at + reach <= start
    if beside or spur.levels.top <= opening.sill or spur.footing_top >= opening.head:
        return ""
    return f"Leg {leg.leg.name}: wall {spur.name} meets it at opening {opening.name}; one of them has to move."


def _thickness(leg: LegGeometry) -> Length:
    """Thickness of a wall where it starts, measured along the face it meets (more than its own where it is slanted)."""
    across = minus(leg.outside.start, leg.faces[Face.INSIDE_OF_FOAM].start)
    return Length.from_inches((across[0] ** 2 + across[1] ** 2) ** 0.5)
