"""Horizontal bars against the least the residential code asks of a basement wall."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.bar_levels import levels_in
from takeoff.bar_runs import LegSteel, Zone
from takeoff.plan import Stage
from takeoff.problems import Problem, Severity
from takeoff.sources import Source
from takeoff.units import Length

IRC_R404_1_2_1 = Source("IRC", "2021", "Table R404.1.2(1) horizontal reinforcement")

#: Up to this height one bar near mid-height is enough, above it bars near third points.
ONE_BAR_UP_TO = Length.feet(8)

#: 'Near' is not defined in the table; read here as within a foot. It can only make us ask for more.
NEAR = Length.inches(12)

TOP_WITHIN = Length.inches(12)

LEAST_SIZE = 4


def wanted_levels(bottom: Length, top: Length) -> tuple[Length, ...]:
    """Where a wall story wants a bar below its top one: mid-height up to 8 ft, third points above. IRC 2021 Table
    R404.1.2(1)."""
    height = top - bottom
    if height <= ONE_BAR_UP_TO:
        return (bottom + height.half(),)
    third = Length(height.nm // 3)
    return (bottom + third, bottom + third + third)


def missing_levels(bottom: Length, top: Length, levels: Sequence[Length]) -> tuple[Length, ...]:
    """Wanted levels with no bar near them, the top one first where it is missing."""
    no_top = not any(level <= top <= level + TOP_WITHIN for level in levels)
    near = [want for want in wanted_levels(bottom, top) if not any(abs(want - level) <= NEAR for level in levels)]
    return ((top - TOP_WITHIN,) if no_top else ()) + tuple(near)


def horizontal_problems(legs: tuple[LegSteel, ...]) -> list[Problem]:
    """Full-height walls whose rows of bars, or their size, fall short of the table; legs told together."""
    short: dict[str, list[str]] = {}
    for leg in legs:
        for zone in leg.zones:
            if zone.stage is Stage.FULL_WALL and (words := _words(leg, zone)) and leg.name not in short.get(words, ()):
                short.setdefault(words, []).append(leg.name)
    return [
        Problem(Severity.WARNING, f"{', '.join(names)}: {words} ({IRC_R404_1_2_1}).", "spec.bars", names[0])
        for words, names in short.items()
    ]


def _words(leg: LegSteel, zone: Zone) -> str:
    size = leg.plan.spec.bars.horizontal_size
    if size < LEAST_SIZE:
        return f"horizontal bars are #{size}; the code asks for #{LEAST_SIZE} at least"
    missing = missing_levels(zone.bottom, zone.top, levels_in(zone, leg))
    if not missing:
        return ""
    places = " and ".join(f"{level - zone.bottom} up" for level in missing)
    return f"no row of horizontal bars near {places} in a wall of {zone.top - zone.bottom}"
