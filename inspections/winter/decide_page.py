"""Go or no go: what the guide says of the hours chosen for a pour, and what the builder decides on them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms

from inspections.page_queries import words
from inspections.page_queries.mine import Mine
from inspections.pours import decisions
from inspections.pours.decisions import Decided
from inspections.pours.kinds import is_against
from inspections.pours.models import PourDecision
from inspections.winter.asked import Asked, age_of, closed_words
from inspections.winter.conditions import Conditions
from inspections.winter.guide import Answer, answer, kept, rules_of
from inspections.winter.window_page import inputs_of, stale_words, unseen
from jobs.forms import RecordForm
from takeoff.weather.decide import CAUTION
from takeoff.weather.hours import WeatherError

NO_PLAN = "No plan is locked yet: it says which legs are poured and how thick they are."
POURED = "All legs chosen here are poured, so there is nothing left to decide."
SHOWN_BEFORE = 12


@dataclass(frozen=True, slots=True)
class Before:
    """An earlier decision, in a line."""

    verdict: str
    against: bool
    words: str
    note: str


@dataclass(frozen=True, slots=True)
class DecidePage:
    """The page, or the sentence why nothing is decided. ``said`` is what a decision on these hours keeps besides the
    builder's own words."""

    problem: str = ""
    legs: tuple[str, ...] = ()
    on: str = ""
    hours: str = ""
    answer: Answer | None = None
    said: dict[str, Any] | None = None
    notes: tuple[str, ...] = ()
    weather: str = ""
    inputs: tuple[tuple[str, str], ...] = ()
    standing: tuple[Decided, ...] = ()
    before: tuple[Before, ...] = ()
    caution: str = CAUTION

    @property
    def word(self) -> str:
        """'Go with protection'."""
        return words.upper_first(self.answer.verdict.value) if self.answer else ""

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the rules that spoke are from."""
        return self.answer.sources if self.answer else ()


def read(about: Asked, each: Mine) -> DecidePage:
    """The guide's answer for the hours asked, the decisions that stand and those before them."""
    row = each.ledger.stage(about.stage.pk)
    assert row is not None
    standing = tuple(decisions.told(each, about.now, row))
    before = tuple(_before(about, {one.decision.pk for one in standing}))
    problem, legs = _legs(about, each)
    asked = about.conditions
    if problem or asked is None:
        return DecidePage(problem, standing=standing, before=before)
    try:
        first, until = asked.pour_at, asked.pour_until
    except WeatherError as wrong:
        return DecidePage(str(wrong), standing=standing, before=before)
    hours = f"{words.moment(about.house, first)} to {decisions.clock(until)}"
    if until <= about.now:
        return DecidePage(f"{hours} is past: choose hours to come.", standing=standing, before=before)
    found, rules = answer(about.series, asked, first, until), rules_of(asked)
    weather = f"{about.series.source}. Given by {about.source.by}" if about.series and about.source else ""
    said = {
        "answer": found.key, "first_at": first, "until": until, "reasons": list(found.reasons),
        "conditions": kept(asked), "source": about.source, "weather": weather or "No weather was kept",
    }  # fmt: skip
    return DecidePage(
        legs=legs,
        on=words.where(legs),
        hours=hours,
        answer=found,
        said=said,
        notes=tuple(note for note in (*_notes(about, asked), *found.notes) if note),
        weather=f"{weather}, {age_of(about.source, about.now)}." if about.source and weather else "",
        inputs=inputs_of(asked, rules) if rules else (),
        standing=standing,
        before=before,
    )


def _notes(about: Asked, asked: Conditions) -> Iterable[str]:
    """What is worth knowing that the guide does not say."""
    yield closed_words(about, asked["pour_day"])
    yield from stale_words(about)
    yield from unseen(asked)


def _legs(about: Asked, each: Mine) -> tuple[str, tuple[str, ...]]:
    """Legs of the sections asked that are not poured yet, or the sentence why there is nothing to decide."""
    if about.facts is None:
        return NO_PLAN, ()
    poured = decisions.poured_in(each.ledger)
    left = tuple(leg for leg in about.legs if not poured(about.stage.pk, leg))
    return ("", left) if left or not about.legs else (POURED, ())


def _before(about: Asked, shown: set[int]) -> Iterable[Before]:
    for row in [row for row in about.decisions if row.pk not in shown][:SHOWN_BEFORE]:
        hours = words.moment(about.house, row.first_at)
        on = words.where(row.legs)
        said = f"for {hours}, {on[:1].lower()}{on[1:]}; {row.by}, {words.moment(about.house, row.at)}"
        verdict = words.upper_first(row.get_verdict_display())
        yield Before(verdict, is_against(row.verdict, row.answer), said, row.note)


class DecideForm(RecordForm):
    """What the builder decides on the hours shown."""

    revision = forms.IntegerField(widget=forms.HiddenInput, error_messages={"required": "Load the page again."})
    verdict = forms.ChoiceField(
        label="Decided",
        choices=[(value, words.upper_first(label)) for value, label in PourDecision.Verdict.choices],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose go, go with protection, or no."},
    )
    note = forms.CharField(
        label="Note",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Who was told, what was agreed on calling it off. Against the guide: why.",
    )

    def told(self, problems: Iterable[tuple[str, str]]) -> None:
        """Each problem beside its field."""
        for name, sentence in problems:
            self.add_error(name if name in self.fields else None, sentence)
