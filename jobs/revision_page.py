"""What a revision's pages show: quantities by stage and section, numbers to be found on site, courses and cuts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from jobs.frozen import Frozen, facts_from_json, frozen_from_json
from jobs.models import PlanRevision
from jobs.stages import TITLES
from takeoff.fields import words
from takeoff.plan import Stage
from takeoff.results import Bar, Criterion, PlacedUnit, Quantity, Takeoff, UnitKind
from takeoff.units import Length, format_length


@dataclass(frozen=True, slots=True)
class SectionTable:
    """Quantities of one section at one stage."""

    name: str
    quantities: tuple[Quantity, ...]


@dataclass(frozen=True, slots=True)
class StagePage:
    """One stage of a revision."""

    stage: Stage
    title: str
    tables: tuple[SectionTable, ...]
    criteria: tuple[Criterion, ...]

    @property
    def count(self) -> int:
        """How many quantities it has."""
        return sum(len(table.quantities) for table in self.tables)


def stages_of(revision: PlanRevision) -> list[StagePage]:
    """Stage by stage, as frozen when the revision was locked. Stages with nothing in them are left out."""
    frozen, facts = frozen_from_json(revision.frozen), facts_from_json(revision.facts)
    pages = [
        StagePage(
            stage,
            TITLES[stage],
            tuple(
                SectionTable(name, tuple(replace(q, section="") for q in found))
                for key, name in facts.sections
                if (found := frozen.quantities_of(stage, (key,)))
            ),
            tuple(c for c in frozen.criteria if c.stage is stage),
        )
        for stage in Stage
    ]
    return [page for page in pages if page.tables or page.criteria]


def problems_of(frozen: Frozen) -> list[dict[str, str]]:
    """What was told with the takeoff, what an engineer must decide first."""
    order = ("blocker", "engineer", "warning", "note")
    return sorted(frozen.problems, key=lambda p: order.index(p["severity"]) if p["severity"] in order else 9)


# -- one leg -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class CourseRow:
    """One course of a leg: what is laid in it, counted from its foot."""

    course: int
    bottom: Length
    top: Length
    units: str
    cut: str


def courses_of(takeoff: Takeoff, leg: str) -> list[CourseRow]:
    """The courses of a leg, highest first, as the wall stands on paper."""
    by_course: dict[int, list[PlacedUnit]] = {}
    for unit in takeoff.units:
        if unit.leg == leg:
            by_course.setdefault(unit.course, []).append(unit)
    return [_course(number, by_course[number]) for number in sorted(by_course, reverse=True)]


_UNIT_WORDS = {
    UnitKind.STRAIGHT: "straight",
    UnitKind.CORNER_RIGHT: "right corner",
    UnitKind.CORNER_LEFT: "left corner",
    UnitKind.CORNER: "corner",
    UnitKind.CORNER_45_RIGHT: "right 45° corner",
    UnitKind.CORNER_45_LEFT: "left 45° corner",
    UnitKind.CORNER_45: "45° corner",
    UnitKind.MITRE: "cut to the mitre",
}


def _course(number: int, units: list[PlacedUnit]) -> CourseRow:
    kinds = Counter(unit.kind for unit in units)
    listed = ", ".join(f"{count} {_UNIT_WORDS[kind]}" for kind, count in sorted(kinds.items()))
    cuts = Counter(format_length(unit.end - unit.start, "in") for unit in units if unit.cut_start or unit.cut_end)
    said = [f"{count} at {length}" for length, count in sorted(cuts.items())]
    heights = sorted({format_length(unit.top - unit.bottom, "in") for unit in units if unit.ripped})
    if heights:
        said.append(f"ripped to {' and '.join(heights)}")
    if any(unit.notched for unit in units):
        said.append("notched at openings")
    caps = sum(unit.cap_start + unit.cap_end for unit in units)
    if caps:
        said.append(f"{caps} end cap{'' if caps == 1 else 's'}")
    return CourseRow(number, min(u.bottom for u in units), max(u.top for u in units), listed, "; ".join(said))


@dataclass(frozen=True, slots=True)
class BarRow:
    """Bars of one mark on a leg."""

    mark: str
    what: str
    size: int
    count: int
    cut_length: Length
    lap: Length | None
    stage: str


def bars_of(takeoff: Takeoff, leg: str) -> list[BarRow]:
    """The bars of a leg as cut, stage by stage."""
    return [_bar(bar) for bar in _ordered(bar for bar in takeoff.bars if bar.leg == leg)]


def _ordered(bars: Iterable[Bar]) -> list[Bar]:
    stages = list(Stage)
    return sorted(bars, key=lambda bar: stages.index(bar.stage))


def _bar(bar: Bar) -> BarRow:
    return BarRow(bar.mark, words(bar.role.value), bar.size, bar.count, bar.cut_length, bar.lap, TITLES[bar.stage])
