"""Trouble that is returned, not raised: one sentence each, naming the leg and the field.

A :class:`Problem` either stops a takeoff (``BLOCKER``) or is told beside it (``WARNING``, ``NOTE``). Exceptions
are for callers' mistakes only.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How far a problem reaches."""

    BLOCKER = "blocker"  # no takeoff can be made until it is mended
    ENGINEER = "engineer"  # 'engineer required': the numbers stand, but a licensed engineer must decide
    WARNING = "warning"  # the takeoff stands; a person should look
    NOTE = "note"  # told for the record: what was absorbed or assumed


class About(StrEnum):
    """What of the work a problem is about, where that is narrower than a leg: it is told where that is looked at."""

    ANYTHING = ""
    FOOTING = "footing"
    STEEL = "steel"
    LINTELS = "lintels"
    LEDGE = "ledge"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong or worth saying.

    ``path`` addresses the field in the plan document (``walks.0.legs.3.length``), so that a form can show the
    sentence beside what was typed. ``leg`` is the leg's name as the person gave it, or ''; ``legs`` all of them where
    one sentence speaks of several. ``about`` and ``stage`` (its key, or '') say where it matters.
    """

    severity: Severity
    sentence: str
    path: str = ""
    leg: str = ""
    about: About = About.ANYTHING
    stage: str = ""
    legs: tuple[str, ...] = ()


def blockers(problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Those that stop a takeoff."""
    return tuple(p for p in problems if p.severity is Severity.BLOCKER)
