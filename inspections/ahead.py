"""When a strength is expected: a wall's strength as it was looked ahead when an estimate of it was worked out. Pure.

Kept with the estimate are three courses of strength by time; the day of any strength is read off them where it is
asked, so that no date is kept twice. A course that ends before the strength is reached says so and goes no further.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

#: Where the temperatures after the last reading are from, in the words of a sentence.
FITTED: Final = "readings carried on with the weather"
HELD: Final = "the last temperatures read held, no weather"
MODELLED: Final = "modelled, no probe"


@dataclass(frozen=True, slots=True)
class Ahead:
    """Strength [psi] every ``step_h`` hours from ``start``, by the clock of the site: low, likely and high. ``by`` says
    in a word where the temperatures are from, ``words`` in full."""

    start: datetime
    step_h: float
    low: tuple[float, ...]
    likely: tuple[float, ...]
    high: tuple[float, ...]
    by: str
    words: str

    @property
    def end(self) -> datetime:
        """As far as it is looked ahead."""
        return self.start + timedelta(hours=self.step_h * (len(self.likely) - 1))

    @property
    def modelled(self) -> bool:
        """Whether no temperature of the wall was read for it."""
        return self.by == MODELLED

    def when(self, course: tuple[float, ...], psi: float) -> datetime | None:
        """The first time a course has a strength [psi], straight between its steps; None where it never has."""
        n = next((n for n, value in enumerate(course) if value >= psi), None)
        if n is None:
            return None
        steps = n - (course[n] - psi) / (course[n] - course[n - 1]) if n else 0.0
        return self.start + timedelta(hours=self.step_h * steps)

    def said(self) -> dict[str, Any]:
        """As it is kept."""
        return {
            "start": self.start.isoformat(), "step_h": self.step_h, "low": list(self.low), "likely": list(self.likely),
            "high": list(self.high), "by": self.by, "words": self.words,
        }  # fmt: skip


def ahead_from(kept: Mapping[str, Any] | None) -> Ahead | None:
    """As :meth:`Ahead.said` kept it; None for an estimate that was accepted before it was looked ahead."""
    if kept is None:
        return None
    low, likely, high = (tuple(kept[name]) for name in ("low", "likely", "high"))
    start = datetime.fromisoformat(kept["start"])
    return Ahead(start, kept["step_h"], low, likely, high, kept["by"], kept["words"])


def expected(ahead: Ahead, psi: float) -> str:
    """'about Nov 29, between Nov 28 and Dec 1': the days a strength [psi] is expected, or after which."""
    soonest, likely, latest = (ahead.when(course, psi) for course in (ahead.high, ahead.likely, ahead.low))
    beyond = f"after {day(ahead.end)}, as far as it is looked ahead"
    if soonest is None:
        return beyond
    if likely is None:
        return f"{day(soonest)} at the earliest, likely {beyond}"
    if latest is None:
        return f"about {day(likely)}, {day(soonest)} at the earliest, at the latest {beyond}"
    if day(soonest) == day(latest):
        return f"on {day(likely)}"
    return f"about {day(likely)}, between {day(soonest)} and {day(latest)}"


def day(at: datetime) -> str:
    """'Nov 29'."""
    return f"{at:%b} {at.day}"
