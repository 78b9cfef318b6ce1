"""Answers of the heat model as rows of a page: days by the clock of the site, what is past, when the gate relies on it.
Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil

from inspections.ahead import MODELLED, Ahead, expected
from inspections.strength import MARGIN
from takeoff.heat.answers import Answer
from takeoff.heat.outlook import Outlook
from takeoff.weather.hours import spoken

HOUR_S = 3600
#: Hours from placing as a day and hour in words.
Clock = Callable[[float | None], str]
NOT_IN_THESE = "not in these days"


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer with its days by the clock of the site; ``likely`` is '' where there is no day. ``told`` are sentences
    somebody must hear, ``notes`` plain ones."""

    question: str
    words: str
    likely: str
    between: str
    told: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def clock_of(begin: datetime) -> Clock:
    """Hours from ``begin`` as a day and the next full hour of its clocks: no model knows the minute."""

    def when(hours: float | None) -> str:
        if hours is None:
            return NOT_IN_THESE
        full = ceil((begin.timestamp() + hours * HOUR_S) / HOUR_S - 1e-6) * HOUR_S
        return spoken(datetime.fromtimestamp(full, begin.tzinfo))

    return when


def row_of(
    answer: Answer, begin: datetime, now: datetime, notes: tuple[str, ...] = (), may_be_past: bool = True
) -> AnswerRow:
    """An answer in hours from ``begin``, as seen from ``now``; ``may_be_past``: then it says whether it is."""
    when = clock_of(begin)
    same = answer.low == answer.likely == answer.high
    never = answer.low is None and answer.high is None  # the words say so
    past = past_words(answer, (now.timestamp() - begin.timestamp()) / HOUR_S) if may_be_past else ""
    return AnswerRow(
        answer.question,
        answer.words,
        when(answer.likely) if answer.likely is not None else "",
        _between(when(answer.low), when(answer.high), same, never),
        tuple(problem.sentence for problem in answer.problems),
        (*((past,) if past else ()), *notes),
    )


def _between(best: str, worst: str, same: bool, never: bool) -> str:
    if never:
        return ""
    return "the same at best and at worst" if same else f"{best} at best, {worst} at worst"


def past_words(answer: Answer, now_h: float) -> str:
    """A word where the day told may have passed: a model's day is no proof."""
    if answer.low is None or answer.low > now_h:
        return ""
    if answer.high is not None and answer.high <= now_h:
        return "Past, even at worst: show it with readings or cylinders before anybody relies on it."
    return "It may be there by now: readings or cylinders must show it."


def ahead_of(outlook: Outlook, begin: datetime, from_h: float = 0.0) -> Ahead:
    """The three courses of strength by whole hours from one on, as an accepted estimate keeps them."""
    first = ceil(from_h)
    low, likely, high = (
        tuple(float(psi) for psi in run.psi[first:]) for run in (outlook.cold, outlook.likely, outlook.warm)
    )
    return Ahead(begin + timedelta(hours=first), 1.0, low, likely, high, MODELLED, "")


def relied_on(ahead: Ahead, psi: float) -> str:
    """The day on which the gate of a filling may rely on a strength: with its tenth to spare."""
    wanted = psi / MARGIN
    if ahead.low[0] >= wanted:
        return "With the tenth to spare that the gate asks for: there already, once somebody accepts the estimate."
    return f"With the tenth to spare that the gate asks for: expected {expected(ahead, wanted)}."
