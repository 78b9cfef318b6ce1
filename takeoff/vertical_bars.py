"""Vertical bars of the walls and the dowels under them, keyed to the same places along each leg."""

from __future__ import annotations

from takeoff.bar_runs import Gathered, LegSteel, Run, Zone, inset, subtract
from takeoff.bending import bent
from takeoff.laps import bend_deduction
from takeoff.plan import Stage
from takeoff.results import BarRole, BarShape
from takeoff.units import ZERO, Length, ceil_div, format_length

#: The first bar from a free end or a T, and a bar beside an opening, stands this far in. Common practice, no source.
FROM_END = Length.inches(3)

#: A bar shorter than this below or above an opening is left out. Common practice, no source.
SHORTEST = Length.inches(12)


# -- places ----------------------------------------------------------------------------------------
def grid_places(length: Length, spacing: Length, first: Length = ZERO, last: Length | None = None) -> list[Length]:
    """Places of bars along a leg's centre line, from its start.

    In a closed loop (``last`` None) the bar at the end corner belongs to the next leg: n = ceil(L / s), at 0, s, 2s...
    Where the leg ends freely, a bar stands at ``last``.
    """
    end = length if last is None else last
    count = max(1, ceil_div(end - first, spacing)) if end > first else 1
    places = [first + k * spacing for k in range(count)]
    return places if last is None or last <= places[-1] else [*places, last]


def places(leg: LegSteel) -> tuple[Length, ...]:
    """Places of vertical bars along the outside face, in order: the spacing, then one beside each opening edge with no
    bar within reach of it."""
    grid = _outside_places(leg)
    known = [*grid, ZERO if leg.geometry.outside_left else leg.length]  # the bar of the leg beside stands there
    within, extra = leg.plan.spec.bars.opening_edge_within.nm, []
    for (low, high), _, _ in leg.openings:
        if not any(0 <= low.nm - x.nm <= within for x in known) and low - FROM_END > ZERO:
            extra.append(low - FROM_END)
        if not any(0 <= x.nm - high.nm <= within for x in known) and high + FROM_END < leg.length:
            extra.append(high + FROM_END)
    return tuple(sorted({*grid, *extra}, key=lambda x: x.nm))


def _outside_places(leg: LegSteel) -> list[Length]:
    """Places of the spacing along the outside face, counted from the left end as seen from outside, so that a plan
    walked the other way round gets the same bars."""
    geometry, spacing = leg.geometry, leg.plan.spec.bars.vertical_spacing
    left, beside_left, beside_right = geometry.start, leg.before, leg.after
    if geometry.outside_left:
        left, beside_left, beside_right = geometry.end, leg.after, leg.before
    centre = geometry.centre.length
    first = FROM_END if beside_left is None else ZERO
    on_centre = grid_places(centre, spacing, first, max(first, centre - FROM_END) if beside_right is None else None)
    shift = inset(left, leg.thickness.half())
    ratio = leg.centre_ratio
    moved = (Length(round(x.nm / ratio)) + shift for x in on_centre) if ratio != 1.0 else (x + shift for x in on_centre)
    places_from_left = [max(ZERO, min(leg.length, x)) for x in moved]
    return [leg.length - x for x in reversed(places_from_left)] if geometry.outside_left else places_from_left


# -- bars ------------------------------------------------------------------------------------------
def add_verticals(bars: Gathered, leg: LegSteel) -> None:
    """Vertical bars at every place, cut at openings, and a dowel under each that starts on the footing.

    Places of one pour under or over the same openings have the same bars, so they are added together.
    """
    cover, at = leg.plan.spec.bars.top_cover, places(leg)
    for zone in leg.zones:
        alike: dict[tuple[Run, ...], list[Length]] = {}
        start, end, length = zone.stretch.start.nm, zone.stretch.end.nm, leg.length.nm
        for x in at:
            if start <= x.nm < end or x.nm == length == end:
                through = tuple(
                    (sill - cover, head + cover) for jambs, sill, head in leg.openings if jambs[0] < x < jambs[1]
                )
                alike.setdefault(through, []).append(x)
        for through, xs in alike.items():
            _add_in_zone(bars, leg, zone, xs, through)


def _add_in_zone(bars: Gathered, leg: LegSteel, zone: Zone, xs: list[Length], through: tuple[Run, ...]) -> None:
    for bottom, top in subtract((zone.bottom, zone.top), through):
        if top - bottom < SHORTEST and bottom != zone.bottom:
            continue
        if top - bottom < SHORTEST and top != zone.top:
            continue
        reaches = _add_vertical(bars, leg, zone, xs, (bottom, top), through)
        if bottom == zone.bottom and not zone.on_frost_wall:
            _add_dowel(bars, leg, zone, xs, reaches - bottom)


def _add_vertical(
    bars: Gathered, leg: LegSteel, zone: Zone, xs: list[Length], part: Run, through: tuple[Run, ...]
) -> Length:
    """A bar at each place: to the top less cover; from a frost wall a lap above the cold joint where a wall stands on
    it. Returns the level it reaches."""
    spec = leg.plan.spec.bars
    lap, (bottom, top) = leg.lap(spec.vertical_size), part
    role, used = BarRole.VERTICAL, None
    basis = f"{_in(top - bottom)} between {_level(bottom)} and {_level(top)}"
    if top == zone.top and zone.carries_wall:
        reach = min([top + lap.length, *(low for low, _ in through if low > top)])
        if reach - top < SHORTEST or any(low <= top < high for low, high in through):
            top -= spec.top_cover
            basis += f" less {_in(spec.top_cover)} cover, under an opening"
        else:
            role, used = BarRole.PROJECTING, reach - top
            basis = f"{_in(zone.top - bottom)} of frost wall + {_in(reach - top)} above the cold joint"
            top = reach
    elif top == zone.top:
        top -= spec.top_cover
        basis += f" less {_in(spec.top_cover)} cover at the top"
    low, high = bottom.inch, top.inch
    lines = [(x.inch, low, x.inch, high) for x in xs]
    bars.add(leg.name, zone.stage, role, spec.vertical_size, top - bottom, basis, len(xs), used, lines)
    return top


def dowel_length(thickness: Length, cover: Length, projection: Length, foot: Length, size: int) -> Length:
    """Cut length of a dowel: (footing - cover) + projection + foot - one bend (2.502 db); straight without a foot."""
    saved = bend_deduction(size) if foot else ZERO
    return thickness - cover + projection + foot - saved


def dowel_shape(thickness: Length, cover: Length, projection: Length, foot: Length) -> BarShape | None:
    """An L out to out, standing leg and foot; None where there is no foot."""
    return bent(thickness - cover + projection, foot) if foot else None


def dowel_lap(leg: LegSteel) -> Length:
    """Lap of a dowel with its vertical bar: the longer of the laps of both sizes."""
    spec = leg.plan.spec.bars
    return max(leg.lap(spec.dowel_size).length, leg.lap(spec.vertical_size).length)


def _add_dowel(bars: Gathered, leg: LegSteel, zone: Zone, xs: list[Length], room: Length) -> None:
    footing, spec = leg.plan.spec.footing, leg.plan.spec.bars
    lap = dowel_lap(leg)
    projection = min(lap, room)
    cut = dowel_length(footing.thickness, footing.cover, projection, spec.dowel_foot, spec.dowel_size)
    shape = dowel_shape(footing.thickness, footing.cover, projection, spec.dowel_foot)
    basis = f"({_in(footing.thickness)} footing - {_in(footing.cover)} cover) + {_in(projection)} lap"
    if shape is not None:
        basis += f" + {_in(spec.dowel_foot)} foot - bend {bend_deduction(spec.dowel_size).inch:.2f} in"
    low, high = (zone.bottom - footing.thickness + footing.cover).inch, (zone.bottom + projection).inch
    lines = [(x.inch, low, x.inch, high) for x in xs]
    bars.add(leg.name, Stage.FOOTING, BarRole.DOWEL, spec.dowel_size, cut, basis, len(xs), projection, lines, shape)


def _in(length: Length) -> str:
    return format_length(length, "in")


def _level(length: Length) -> str:
    return format_length(length)
