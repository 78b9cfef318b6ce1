"""Course ends that stand in the open and are closed by an end cap: free ends, steps, walls higher than their neighbour.

An end is closed by something else where it meets a corner unit, a wall of the same height, the wall a T stands on, or
the buck of an opening. Counted course by course. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from takeoff.bond import CourseSpec
from takeoff.corners import Joint
from takeoff.courses import Band
from takeoff.geometry import CornerKind, Placement, Tee
from takeoff.leg_layout import LegLayout
from takeoff.units import Length


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside the ends of legs: joints, all legs, and the walls that spurs stand on, by (leg, end)."""

    joints: dict[tuple[str, str], Joint]
    legs: dict[str, LegLayout]
    tees: dict[tuple[str, str], Tee]


def tees_by_end(placement: Placement) -> dict[tuple[str, str], Tee]:
    """The T at each end of a leg that has one; a spur of one leg may have one at either end."""
    out: dict[tuple[str, str], Tee] = {}
    for tee in placement.tees:
        geometry = placement.legs[tee.spur]
        starts = geometry.walk.starts_on
        at_start = geometry.start.kind is CornerKind.TEE and starts is not None and starts.leg == tee.through
        out[tee.spur, "start" if at_start and (tee.spur, "start") not in out else "end"] = tee
    return out


def open_ends(leg: LegLayout, n: int, spec: CourseSpec, beside: Beside) -> set[tuple[int, str]]:
    """(place along the leg [nm], 'start' or 'end' of the course) of every end of a course in the open: a unit that
    reaches it needs a cap."""
    found = set()
    for index, interval in enumerate(spec.intervals):
        before = spec.intervals[index - 1].end if index else None
        after = spec.intervals[index + 1].start if index + 1 < len(spec.intervals) else None
        for at, end, next_to in ((interval.start, "start", before), (interval.end, "end", after)):
            if at != next_to and not _closed(leg, n, at, end, beside):
                found.add((at, end))
    return found


def _closed(leg: LegLayout, n: int, at: int, end: str, beside: Beside) -> bool:
    """True where a wall stands against this end of a course; where it reaches over a part only, the unit is notched."""
    if at != (0 if end == "start" else leg.length):
        return False  # a step
    band = leg.bands[n][0 if end == "start" else -1]
    joint, tee = beside.joints.get((leg.leg.name, end)), beside.tees.get((leg.leg.name, end))
    if joint is not None:
        name, side = (joint.departing, "start") if end == "end" else (joint.arriving, "end")
        other = beside.legs[name]
        same = other.band_at(leg.grid.bottom(n), side)  # the same course, where their lines run through
        return (same is not None and _covers([same], band)) or _covers(list(_at_end(other, side)), band)
    if tee is not None:
        return _covers(list(_at(beside.legs[tee.through], tee.at)), band)
    return False


def _at_end(leg: LegLayout, end: str) -> Iterator[Band]:
    for row in leg.bands.values():
        band = row[0 if end == "start" else -1]
        if (band.start.nm == 0) if end == "start" else (band.end.nm == leg.length):
            yield band


def _at(leg: LegLayout, station: Length) -> Iterator[Band]:
    for row in leg.bands.values():
        yield from (b for b in row if b.start <= station <= b.end)


def _covers(bands: list[Band], band: Band) -> bool:
    return bool(bands) and min(b.bottom for b in bands) < band.top and max(b.top for b in bands) > band.bottom
