"""What the pages of warmth and strength are made of, of a wall that is asked about and of one that is poured: answers,
pictures, the table of what would help, what all of it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from inspections.ahead import Ahead
from inspections.winter.conditions import Conditions
from inspections.winter.fills import HELD_BESIDES, FillNeed, planned_psi
from inspections.winter.guide import rules_of
from inspections.winter.helps_table import HelpRow
from inspections.winter.rows import AnswerRow, clock_of, relied_on, row_of
from inspections.winter.second_opinion import Opinion
from takeoff.drawings.heat_chart import Limit, strength_chart, temperature_chart
from takeoff.drawings.svg import render
from takeoff.heat.answers import (
    BRACES_STAY,
    CAUTION,
    MODEL,
    Answer,
    backfill_strength,
    bracing_may_go,
    survives_a_freeze,
    when_strong,
)
from takeoff.heat.outlook import Outlook
from takeoff.weather.rules_306r import FREEZE_ONCE_PSI

PHONE, DESK = 340, 720
#: The picture of strength goes on for so long, and twice as long as the last answer in it [h].
LEAST_SHOWN_H = 96.0


@dataclass(frozen=True, slots=True)
class Charts:
    """The two pictures for one width."""

    temperature: str
    strength: str


@dataclass(frozen=True, slots=True)
class Way:
    """A link to go on with."""

    words: str
    url: str


@dataclass(frozen=True, slots=True)
class ByLog:
    """That the page follows the log of a pour: in a sentence, with the way to its page and to conditions typed."""

    words: str
    url: str
    typed_url: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Depths by two ways of working them out, why they differ, and the formula with its numbers."""

    rows: tuple[tuple[str, str, str], ...]
    why: str
    formula: str


@dataclass(frozen=True, slots=True)
class StrengthPage:
    """The page, or the sentence why there is no answer. ``shows`` names the conditions it asks for; ``lacks_weather``:
    more weather would answer."""

    problem: str = ""
    lacks_weather: bool = False
    by_log: ByLog | None = None
    others: tuple[Way, ...] = ()
    answers: tuple[AnswerRow, ...] = ()
    helps: tuple[HelpRow, ...] = ()
    desk: Charts | None = None
    phone: Charts | None = None
    guide: str = ""
    needed: tuple[tuple[str, str], ...] = ()
    side: SideBySide | None = None
    opinion: Opinion | None = None
    inputs: tuple[tuple[str, str], ...] = ()
    sources: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    weather: str = ""
    model: str = MODEL
    caution: str = CAUTION
    shows: str = "weather_strength"
    asked_note: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """A wall looked at: its outlook from ``begin``, its strength as the gate sees it ahead, how it may be filled."""

    outlook: Outlook
    ahead: Ahead
    needs: tuple[FillNeed, ...]
    asked: Conditions
    begin: datetime
    now: datetime

    def row(self, answer: Answer, *notes: str) -> AnswerRow:
        """An answer by the clock of the site."""
        return row_of(answer, self.begin, self.now, notes)

    @property
    def wanted(self) -> float | None:
        """The strength for backfill: as typed, else what the planned filling asks for."""
        psi = self.asked["wanted_psi"] or planned_psi(self.needs)
        return float(psi) if psi else None

    @property
    def psis(self) -> tuple[float, ...]:
        """Strengths that what would help is told for."""
        return tuple(dict.fromkeys((FREEZE_ONCE_PSI, self.wanted or FREEZE_ONCE_PSI)))


def freeze(sight: Sight) -> Answer:
    """When it survives a freeze."""
    return survives_a_freeze(sight.outlook)


def braces(sight: Sight) -> Answer:
    """When bracing may go."""
    asked = sight.asked["brace_psi"]
    return bracing_may_go(sight.outlook, float(asked) if asked else None)


def braces_row(sight: Sight, answer: Answer) -> AnswerRow:
    """The same with whose number it is and why strength is not all."""
    usual = (
        "" if sight.asked["brace_psi"] else "Nobody asked for another strength: this one is common practice, no source."
    )
    return sight.row(answer, *filter(None, (usual, BRACES_STAY)))


def fill_rows(sight: Sight) -> list[AnswerRow]:
    """A row for each way the wall may be filled against, then for the strength that was typed."""
    rows = []
    for need in sight.needs:
        plan = "As the plan has it." if need.planned else ""
        if need.psi is None:
            rows.append(AnswerRow(need.question, need.refusal, "", "", (), tuple(filter(None, (plan,)))))
            continue
        answer = when_strong(sight.outlook, float(need.psi), need.question)
        rows.append(sight.row(answer, *filter(None, (plan, relied_on(sight.ahead, need.psi), need.besides))))
    typed = sight.asked["wanted_psi"]
    if typed:
        answer = backfill_strength(sight.outlook, float(typed))
        rows.append(sight.row(answer, "The strength typed.", relied_on(sight.ahead, typed), HELD_BESIDES))
    return rows


def charts(sight: Sight, answers: Sequence[Answer], width: int, name: str) -> Charts:
    """Both pictures; on that of strength freezing and the filling asked for."""
    asks: list[tuple[float, Answer]] = [(FREEZE_ONCE_PSI, answers[0])]
    if sight.wanted is not None and sight.wanted != FREEZE_ONCE_PSI:
        asks.append((sight.wanted, backfill_strength(sight.outlook, sight.wanted)))
    placed = Limit(sight.outlook.wall.placed_c * 1.8 + 32, "as placed")
    last = [answer.high for _, answer in asks]
    until = None if None in last else max(2 * max(hour or 0.0 for hour in last), LEAST_SHOWN_H)
    return Charts(
        render(temperature_chart(sight.outlook, width, (placed,), key=f"heat-{name}"), width),
        render(strength_chart(sight.outlook, width, asks, until, key=f"strength-{name}"), width),
    )


def sources_of(answers: Sequence[Answer]) -> tuple[str, ...]:
    """Every source of the answers once."""
    return tuple(dict.fromkeys(str(source) for answer in answers for source in answer.sources))


def limits_of(answers: Sequence[Answer]) -> tuple[str, ...]:
    """Every limit of the answers once."""
    return tuple(dict.fromkeys(limit for answer in answers for limit in answer.limits))


def inputs_of(answers: Sequence[Answer]) -> dict[str, str]:
    """What the answers rest on, once."""
    return dict(pair for answer in answers for pair in answer.inputs)


def guided(sight: Sight, row: AnswerRow) -> AnswerRow:
    """When protection may end, with the guide's day beside the model's: of the two the later holds."""
    rules = rules_of(sight.asked)
    if rules is None or rules.hold_h is None:
        return row
    until = clock_of(sight.begin)(rules.hold_h)
    said = f"In cold weather not before {until} by {rules.name} ({rules.hold_h:g} h): the later of the two holds."
    return replace(row, told=(*row.told, said))


def guide_words(asked: Conditions) -> str:
    """What the cold-weather guide asks beside the model: of the two the longer holds."""
    rules = rules_of(asked)
    if rules is None:
        return ""
    until = "until the strength asked for is reached" if rules.hold_h is None else f"for {rules.hold_h:g} h"
    return (
        f"{rules.name} asks, in cold weather, to keep the concrete at {rules.hold_f:.0f} °F or more {until}. The "
        "longer of guide and model holds, unless the engineer of record says otherwise."
    )
