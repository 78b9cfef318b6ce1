"""Course table, bar table, straps and unbalanced heights of a stage, row by row as a crew reads them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from inspections.handouts.subject import Subject
from inspections.legs import in_runs
from takeoff.bar_list import quarter
from takeoff.bending import as_cut
from takeoff.results import Bar, BarRole, PlacedUnit, Takeoff, UnitKind
from takeoff.units import Length, format_length

BAR_WORDS = {
    BarRole.FOOTING: "along the footing",
    BarRole.FOOTING_CORNER: "footing corner, bent",
    BarRole.DOWEL: "dowel, footing to wall",
    BarRole.HORIZONTAL: "horizontal",
    BarRole.CORNER: "corner, bent",
    BarRole.VERTICAL: "vertical",
    BarRole.PROJECTING: "vertical, up past the cold joint",
    BarRole.OPENING: "beside an opening",
    BarRole.LINTEL: "over an opening",
    BarRole.STIRRUP: "stirrup, bent",
    BarRole.LEDGE: "along a brick ledge",
    BarRole.PAD: "in a pad",
}

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
    for leg in subject.legs:
        units = sorted((u for u in own if u.leg == leg), key=lambda u: (u.course, u.start, u.bottom))
        alike: dict[tuple[str, str], list[tuple[int, Length]]] = {}
        for course, group in groupby(units, key=lambda u: u.course):
            row = list(group)
            alike.setdefault((_pieces(row), _take(row)), []).append((course, min(u.bottom for u in row)))
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
    straight = [u for u in counted if u.kind is UnitKind.STRAIGHT]
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
    if any(u.ripped for u in units):
        words.append("ripped")
    caps = sum(u.cap_start + u.cap_end for u in units)
    if caps:
        words.append(f"{caps} end cap{'' if caps == 1 else 's'}")
    return ", ".join(words)


@dataclass(frozen=True, slots=True)
class BarRow:
    """Bars of one mark; ``length`` as cut, to the quarter inch. ``where`` counts them leg by leg."""

    mark: str
    size: str
    count: int
    length: str
    lap: str
    use: str
    where: str


def bar_rows(subject: Subject, takeoff: Takeoff) -> list[BarRow]:
    """The stage's bars for the legs of the sheet, alike ones together, in the order of their marks."""
    groups: dict[tuple[str, int, BarRole, Length | None], list[Bar]] = {}
    for bar in takeoff.bars:
        if bar.stage is subject.kind and bar.leg in subject.legs:
            groups.setdefault((bar.mark, bar.size, bar.role, bar.lap), []).append(bar)
    ordered = sorted(groups.items(), key=lambda item: (list(BarRole).index(item[0][2]), _in_order(item[0][0])))
    return [
        BarRow(
            mark,
            f"#{size}",
            sum(bar.count for bar in bars),
            quarter(as_cut(max(bar.cut_length for bar in bars))),
            format_length(lap, "in") if lap is not None else "",
            BAR_WORDS[role],
            _where(subject, bars),
        )
        for (mark, size, role, lap), bars in ordered
    ]


def _in_order(mark: str) -> tuple[str, int]:
    """'H7' before 'H10'."""
    letters = mark.rstrip("0123456789")
    return letters, int(mark[len(letters) :] or 0)


def _where(subject: Subject, bars: Iterable[Bar]) -> str:
    counts: Counter[str] = Counter()
    for bar in bars:
        counts[bar.leg] += bar.count
    by_count: dict[int, list[str]] = {}
    for leg in subject.legs:
        if counts[leg]:
            by_count.setdefault(counts[leg], []).append(leg)
    if len(by_count) == 1 and len(counts) > 1:
        return f"{next(iter(by_count))} each on {in_runs(next(iter(by_count.values())))}"
    return ", ".join(f"{leg} {counts[leg]}" for leg in subject.legs if counts[leg])


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
