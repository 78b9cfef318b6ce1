"""Course table, straps and unbalanced heights of a stage, row by row as a crew reads them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from inspections.handouts.subject import Subject
from inspections.legs import in_runs
from takeoff.radius import ArcLeg, arc_legs
from takeoff.radius_orders import course_runs
from takeoff.results import PlacedUnit, Takeoff, UnitKind
from takeoff.unit_marks import ledge_mark
from takeoff.units import Length, format_length

_TAKE = (
    (UnitKind.CORNER_LEFT, "corner L"),
    (UnitKind.CORNER_RIGHT, "corner R"),
    (UnitKind.CORNER, "corner"),
    (UnitKind.CORNER_45_LEFT, "corner 45 L"),
    (UnitKind.CORNER_45_RIGHT, "corner 45 R"),
    (UnitKind.CORNER_45, "corner 45"),
    (UnitKind.MITRE, "mitred"),
)


@dataclass(frozen=True, slots=True)
class CourseRow:
    """Courses of one leg that are laid alike. ``pieces`` from the start of the leg; ``take`` is for one course."""

    leg: str
    courses: str
    level: str
    pieces: str
    take: str


def course_rows(subject: Subject, takeoff: Takeoff) -> list[CourseRow]:
    """Every leg's courses from the bottom up; courses with the same pieces share a row."""
    rows = []
    own = [u for u in takeoff.units if u.stage is subject.kind and u.leg in subject.legs]
    arcs = {arc.name: arc for arc in arc_legs(takeoff.plan, subject.placement)} if own else {}
    for leg in subject.legs:
        units = sorted((u for u in own if u.leg == leg), key=lambda u: (u.course, u.start, u.bottom))
        alike: dict[tuple[str, str], list[tuple[int, Length]]] = {}
        for course, group in groupby(units, key=lambda u: u.course):
            row = list(group)
            take = _take(row) + (f", {_slots(arcs[leg], row)} slots" if leg in arcs else "")
            alike.setdefault((_pieces(row), take), []).append((course, min(u.bottom for u in row)))
        for (pieces, take), courses in alike.items():
            numbers = ", ".join(str(n) for n, _ in courses)
            rows.append(CourseRow(leg, numbers, format_length(courses[0][1]), pieces, take))
    return rows


def _pieces(units: Sequence[PlacedUnit]) -> str:
    """'CR, 3 × S48, C 40': in order; a gap (an opening, a step) as a bar; a neighbour's corner unit in brackets."""
    words: list[str] = []
    end: Length | None = None
    for unit in units:
        if end is not None and unit.start > end:
            words.append(f"| {format_length(unit.start - end, 'in')} open |")
        words.append(_mark(unit))
        end = unit.end if end is None else max(end, unit.end)
    said = []
    for word, run in groupby(words):
        count = len(list(run))
        said.append(word if count == 1 else f"{count} × {word}")
    return " · ".join(said)


def _mark(unit: PlacedUnit) -> str:
    said = unit.mark + (" notched" if unit.notched else "")
    return said if unit.counted else f"({said})"


def _take(units: Sequence[PlacedUnit]) -> str:
    """'5 whole, 2 cut, 1 corner L': what one such course takes off the stack."""
    counted = [u for u in units if u.counted]
    straight = [u for u in counted if u.kind is UnitKind.STRAIGHT and not _on_ledge(u)]
    words = []
    for low, word in ((False, ""), (True, "low ")):
        own = [u for u in straight if u.part_height is low]
        whole = sum(1 for u in own if not (u.cut_start or u.cut_end))
        words += [f"{whole} {word}whole"] if whole else []
        words += [f"{len(own) - whole} {word}cut"] if len(own) - whole else []
    for kind, word in _TAKE:
        count = sum(1 for u in counted if u.kind is kind)
        if count:
            words.append(f"{count} {word}")
    ledge = sum(1 for u in counted if _on_ledge(u))
    words += [f"{ledge} brick ledge"] if ledge else []
    if any(u.ripped for u in units):
        words.append("ripped")
    caps = sum(u.cap_start + u.cap_end for u in units)
    if caps:
        words.append(f"{caps} end cap{'' if caps == 1 else 's'}")
    return ", ".join(words)


def _on_ledge(unit: PlacedUnit) -> bool:
    """A unit made with a brick ledge, by its mark."""
    return unit.kind is UnitKind.STRAIGHT and unit.mark.startswith(ledge_mark("S"))


def _slots(arc: ArcLeg, units: Sequence[PlacedUnit]) -> int:
    """Slots that bend one course of an arc."""
    runs = (run for found in course_runs(units).values() for run in found)
    return sum(arc.bend.slots((end - start).inch * arc.neutral_per_outside) for start, end in runs)


@dataclass(frozen=True, slots=True)
class StrapRow:
    """Joints of two courses too close to each other, at one place of a leg."""

    leg: str
    courses: str
    at: str
    offset: str


def strap_rows(subject: Subject, takeoff: Takeoff) -> list[StrapRow]:
    """Where joints come too close and are strapped on both faces."""
    courses = {(u.leg, u.course) for u in takeoff.units if u.stage is subject.kind}
    groups: dict[tuple[str, Length, Length], list[int]] = {}
    for seam in takeoff.seams:
        if seam.leg in subject.legs and (seam.leg, seam.course) in courses:
            groups.setdefault((seam.leg, seam.at, seam.offset), []).append(seam.course)
    return [
        StrapRow(leg, ", ".join(f"{n - 1}/{n}" for n in upper), format_length(at), format_length(offset, "in"))
        for (leg, at, offset), upper in groups.items()
    ]


@dataclass(frozen=True, slots=True)
class FillRow:
    """Unbalanced fill of legs alike, before and after the slab."""

    legs: str
    before: str
    after: str
    bracing: str
    basis: str


def fill_rows(subject: Subject) -> list[FillRow]:
    """How deep the fill stands against each leg, and whether bracing is waived there."""
    groups: dict[tuple[Length, Length, bool, bool, str], list[str]] = {}
    for u in subject.frozen.unbalanced:
        if u.stage is subject.kind and u.leg in subject.legs:
            key = (u.before_slab, u.after_slab, u.bracing_waived_before_slab, u.bracing_waived_after_slab, u.basis)
            groups.setdefault(key, []).append(u.leg)
    return [
        FillRow(
            in_runs(legs),
            format_length(before),
            format_length(after),
            _bracing(waived_before, waived_after),
            basis,
        )
        for (before, after, waived_before, waived_after, basis), legs in groups.items()
    ]


def _bracing(before: bool, after: bool) -> str:
    if before:
        return "waived: under 4.0 ft; strength is not"
    if after:
        return "held at top and foot until the slab is in; waived after, strength is not"
    return "held at top and foot before filling"
