"""Crew sheet: the numbers, what is checked and by whom, cautions, drawings, what goes where, whom to call."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from inspections import engineer
from inspections.gates import role_words
from inspections.handouts import cutting, formwork, pours, steel, strength, tables
from inspections.handouts.numbers import Figure, texts_of, to_meet, tolerances
from inspections.handouts.pictures import Picture, pictures
from inspections.handouts.standings import standing_lines
from inspections.handouts.subject import Subject
from inspections.process import Evidence, EvidenceKind, Operation, Point, PointKind, Scope
from jobs.models import Role
from takeoff.plan import Stage
from takeoff.problems import Severity

WRITTEN = (EvidenceKind.MEASUREMENT, EvidenceKind.LEVELS, EvidenceKind.TICKET, EvidenceKind.TEXT)
#: Stages whose crew must know what the takeoff assumed about block, bars and footing.
WITH_NOTES = (Stage.FOOTING, Stage.FROST_WALL, Stage.FULL_WALL)


@dataclass(frozen=True, slots=True)
class EvidenceLine:
    """One thing to look at or to read off: a box, and room to write where there is a number or a word to keep."""

    label: str
    must: str
    write: bool
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PointLine:
    """A hold or witness point on paper."""

    word: str
    title: str
    looks_at: str
    legs: str
    released_by: str
    presented_by: str
    evidence: tuple[EvidenceLine, ...]
    standings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PointGroup:
    """Points that the same move waits for; ``before`` is its title, '' for what closes the stage."""

    before: str
    done_by: str
    caution: str
    waits: tuple[str, ...]
    points: tuple[PointLine, ...]


@dataclass(frozen=True, slots=True)
class PersonLine:
    """Whom to call."""

    name: str
    role: str
    phone: str


@dataclass(frozen=True, slots=True)
class Crew:
    """All that stands on a crew sheet."""

    purpose: str
    numbers: list[Figure]
    tolerances: list[Figure]
    groups: list[PointGroup]
    engineer: list[str]
    warnings: list[str]
    notes: list[str]
    cautions: list[str]
    courses: list[tables.CourseRow]
    bars: list[steel.BarGroup]
    pads: list[cutting.PadRow]
    steel: strength.Checks | None
    footings: list[strength.FootingRow]
    lintels: list[formwork.LintelRow]
    braces: list[formwork.BraceRow]
    bucks: list[formwork.BuckRow]
    done: list[formwork.DoneRow]
    arcs: list[formwork.ArcRow]
    pour: pours.Pour | None
    straps: list[tables.StrapRow]
    fills: list[tables.FillRow]
    needed: strength.NeededTable | None
    pictures: tuple[Picture, ...]
    people: list[PersonLine]

    @property
    def upright(self) -> list[Picture]:
        """Drawings on upright pages."""
        return [picture for picture in self.pictures if not picture.wide]

    @property
    def across(self) -> list[Picture]:
        """Drawings on pages that lie across."""
        return [picture for picture in self.pictures if picture.wide]


def crew(subject: Subject) -> Crew:
    """The crew sheet of a stage."""
    process, takeoff = subject.row.process, subject.takeoff
    told = _told(subject)
    return Crew(
        purpose=process.purpose,
        numbers=to_meet(subject),
        tolerances=tolerances(subject),
        groups=list(_groups(subject)),
        engineer=told[Severity.ENGINEER],
        warnings=told[Severity.WARNING],
        notes=told[Severity.NOTE] if subject.kind in WITH_NOTES else [],
        cautions=list(process.cautions),
        courses=tables.course_rows(subject, takeoff),
        bars=steel.bar_groups(subject),
        pads=cutting.pad_rows(subject),
        steel=strength.checks(subject),
        footings=strength.footing_rows(subject),
        lintels=formwork.lintel_rows(subject),
        braces=formwork.brace_rows(subject),
        bucks=formwork.buck_rows(subject),
        done=formwork.done_rows(subject),
        arcs=formwork.arc_rows(subject),
        pour=pours.pour(subject),
        straps=tables.strap_rows(subject, takeoff),
        fills=tables.fill_rows(subject),
        needed=strength.needed(subject),
        pictures=pictures(subject) if subject.legs else (),
        people=people(subject),
    )


def people(subject: Subject) -> list[PersonLine]:
    """Everybody on the house with a number to call, the firm first."""
    firm = subject.house.firm
    lines = [PersonLine(firm.name, "builder's office", firm.phone)]
    return lines + [PersonLine(row.name, Role(row.role).label, row.phone) for row in subject.present]


def _told(subject: Subject) -> dict[Severity, list[str]]:
    """What the takeoff has to say about the sheet's legs, once each; what an engineer must decide before all."""
    told: dict[Severity, list[str]] = {severity: [] for severity in Severity}
    process = subject.row.process
    keys = [point.key for point in process.points]
    told[Severity.ENGINEER] = list(engineer.sentences(subject.frozen, process.kind, keys, subject.legs))
    for problem in subject.frozen.problems:
        own, sentence = told[Severity(problem["severity"])], problem["sentence"]
        if problem["severity"] != Severity.ENGINEER and subject.about((problem["leg"],)) and sentence not in own:
            own.append(sentence)
    return told


def _groups(subject: Subject) -> Iterator[PointGroup]:
    process = subject.row.process
    steps: list[Operation | None] = [*process.operations, None]
    for operation in steps:
        points = [p for p in process.points if p.before == (operation.key if operation else "")]
        lines = tuple(line for point in points if (line := point_line(subject, point)) is not None)
        if lines:
            if operation is None:
                yield PointGroup("", "", "", (), lines)
            else:
                by = role_words(operation.does)
                yield PointGroup(operation.title, by, operation.caution, operation.waits, lines)


def point_line(subject: Subject, point: Point) -> PointLine | None:
    """One point on paper, None where no leg of the sheet has it."""
    legs = [leg.name for leg in subject.facts.legs if leg.name in subject.legs and point.applies(leg)]
    if not legs:
        return None
    return PointLine(
        word="HOLD" if point.kind is PointKind.HOLD else "WITNESS",
        title=point.title,
        looks_at=point.looks_at,
        legs="once for the house" if point.scope is Scope.HOUSE else subject.leg_words(legs),
        released_by=role_words(point.releases),
        presented_by=role_words(point.presents),
        evidence=tuple(_evidence(subject, each) for each in point.evidence),
        standings=tuple(standing_lines(subject, point, legs)),
    )


def _evidence(subject: Subject, evidence: Evidence) -> EvidenceLine:
    must = "; ".join(texts_of(subject, [evidence.criterion])) if evidence.criterion else ""
    label = evidence.label + ("" if evidence.required else ", if taken")
    return EvidenceLine(label, must, evidence.kind in WRITTEN, _choices(evidence.choices))


def _choices(choices: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    return tuple(label for _, label in choices)
