"""Is the steel enough, the footing wide enough, the wall strong enough to be filled against? Legs alike in one row."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from inspections.handouts.subject import Subject
from inspections.legs import in_runs
from inspections.stages.words import SHOWN_BY
from inspections.strength import FILLS, Fill, Need, needed_by
from inspections.strength import STATE_WORDS as FILLED_SO
from takeoff.plan import Stage
from takeoff.results import SteelCheck, Verdict, WallState
from takeoff.strength.checks import DEFER
from takeoff.strength.situations import STATE_WORDS
from takeoff.tally import inch_text
from takeoff.units import Length, format_length

#: The fill that asks for the steel of a wall.
FILLED_IN = {Stage.FROST_WALL: Stage.FROST_BACKFILL, Stage.FULL_WALL: Stage.FINAL_BACKFILL}


@dataclass(frozen=True, slots=True)
class CheckRow:
    """Walls alike in one state. ``asked`` is the row of the table and what it wants, or why no table may be used;
    ``carries`` what a strip of wall bears of what it can."""

    legs: str
    state: str
    wall: str
    asked: str
    there: str
    carries: str
    verdict: str
    enough: bool
    reason: str
    found: str


@dataclass(frozen=True, slots=True)
class Checks:
    """All rows of a sheet, and the caution that stands under them."""

    rows: tuple[CheckRow, ...]
    caution: str = DEFER


def checks(subject: Subject) -> Checks | None:
    """The checks that belong to the stage: of the wall when it is stacked, of the fill when it comes."""
    stage = FILLED_IN.get(subject.kind, subject.kind)
    own = [check for check in subject.steel if check.stage is stage and check.leg in subject.legs]
    groups: dict[CheckRow, list[SteelCheck]] = {}
    for check in own:
        groups.setdefault(_row(check), []).append(check)
    several = Counter((check.leg, check.state) for check in own)
    rows = tuple(replace(row, legs=_legs(found, several)) for row, found in groups.items())
    return Checks(rows) if rows else None


def _legs(found: list[SteelCheck], several: Counter[tuple[str, WallState]]) -> str:
    """'A to E, F from 0'-0" to 12'-0"': whole legs first, then stretches, neighbours as one."""
    whole = [check.leg for check in found if several[check.leg, check.state] == 1]
    stretches: list[tuple[str, Length, Length]] = []
    for check in found:
        if several[check.leg, check.state] > 1:
            joined = stretches and stretches[-1][0] == check.leg and stretches[-1][2] == check.start
            start = stretches.pop()[1] if joined else check.start
            stretches.append((check.leg, start, check.end))
    said = [f"{leg} from {format_length(start)} to {format_length(end)}" for leg, start, end in stretches]
    return ", ".join([in_runs(whole), *said] if whole else said)


def _row(check: SteelCheck) -> CheckRow:
    wall = f"{_in(check.core)} core, {check.height} high, {check.fill} of fill"
    asked = (
        f"{check.table}, {check.row}: {check.required}" if check.required else "no table; looked at as a strip of wall"
    )
    return CheckRow(
        legs="",
        state=STATE_WORDS[check.state],
        wall=wall,
        asked=asked,
        there=check.provided,
        carries=f"{check.ratio:.0%}" if check.ratio > 0 else "",
        verdict=check.verdict.value.upper(),
        enough=check.verdict is Verdict.ENOUGH,
        reason=check.reason,
        found=check.basis[0] if check.basis else "",
    )


# -- footings ----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class FootingRow:
    """Footings alike held against the code's table."""

    legs: str
    there: str
    asked: str
    verdict: str
    said: str


def footing_rows(subject: Subject) -> list[FootingRow]:
    """Verdicts on the footings of the sheet's legs, as kept at locking; on the footing's sheet only."""
    kept = subject.frozen.checks
    if subject.kind is not Stage.FOOTING or kept is None:
        return []
    return [
        FootingRow(
            in_runs(leg for leg in subject.legs if leg in found.legs),
            f"{inch_text(found.width)} x {inch_text(found.thickness)}",
            found.short,
            "LARGE ENOUGH" if found.holds else "TOO SMALL",
            found.words,
        )
        for found in kept.footings
        if set(found.legs) & set(subject.legs)
    ]


# -- strength before earth comes ---------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class NeededTable:
    """How strong walls must be known to be, by the way they are filled: heads, then legs alike and a cell for each."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    shown_by: str = f"Nothing is filled against a wall before it is known to be so strong. {SHOWN_BY}"


def needed(subject: Subject) -> NeededTable | None:
    """What the legs of the sheet need before they are filled against: on the sheet of the fill, and on that of the
    wall, whose cylinders are laid beside it when it is poured. None where the plan says nothing of it."""
    fill = FILLS.get(FILLED_IN.get(subject.kind, subject.kind))
    if fill is None:
        return None
    found = needed_by((leg for leg in subject.facts.legs if leg.name in subject.legs), fill)
    rows = tuple((in_runs(names), _cells(fill, asked)) for names, asked in found)
    heads = tuple(FILLED_SO[state][:1].upper() + FILLED_SO[state][1:] for state in fill.states)
    return NeededTable(heads, rows) if rows else None


def _cells(fill: Fill, asked: tuple[Need, ...]) -> tuple[str, ...]:
    by_state = {each.state: each for each in asked}
    return tuple(_cell(by_state.get(state)) for state in fill.states)


def _cell(asked: Need | None) -> str:
    if asked is None:
        return "not filled so"
    return "the engineer of record alone releases it" if asked.psi is None else f"{asked.psi:,} psi"


def _in(length: Length) -> str:
    return format_length(length, "in")
