"""What would help: covers, heated air, warmer concrete, covers kept on, each against the wall as asked. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from inspections.winter.conditions import Conditions
from inspections.winter.rows import NOT_IN_THESE, Clock, clock_of
from takeoff.heat.helps import Reached, reached_as_asked, what_helps, with_blanket, with_heat
from takeoff.heat.layers import R_US
from takeoff.heat.outlook import Outlook, Wall
from takeoff.weather.hours import celsius

DAY_H = 24.0
WARMER_F = 10.0
FOREVER = float("inf")
#: A measure: its name and the wall with it.
Measure = tuple[str, Wall]


@dataclass(frozen=True, slots=True)
class Cell:
    """One strength by one measure: the likely day, the range, days gained ('' for the wall as asked)."""

    psi: str
    likely: str
    between: str
    gained: str


@dataclass(frozen=True, slots=True)
class HelpRow:
    """One measure."""

    what: str
    cells: tuple[Cell, ...]


def helps_before(outlook: Outlook, asked: Conditions, psis: tuple[float, ...], begin: datetime) -> tuple[HelpRow, ...]:
    """What would help a wall that is still to be poured at ``begin``, towards strengths [psi]."""
    wall, days = outlook.wall, asked["blanket_days"]
    r, besides = asked["help_r"], " besides" if wall.covers else ""
    longer = tuple(replace(cover, until_h=FOREVER) for cover in wall.covers)
    measures: list[Measure] = [
        (f"Covers of R {r:g}{besides} on both sides for {days:g} days", with_blanket(wall, r * R_US, days * DAY_H)),
        *_heat(wall, asked, 0.0),
        (f"Concrete {WARMER_F:g} °F warmer", replace(wall, placed_c=wall.placed_c + WARMER_F / 1.8)),
        (
            f"Covers of R {asked['blanket_r'] if longer else r:g} kept on throughout",
            replace(wall, covers=longer) if longer else with_blanket(wall, r * R_US),
        ),
    ]
    return _rows("As asked", outlook, measures, psis, begin)


def helps_after(
    outlook: Outlook, kept: Wall, asked: Conditions, psis: tuple[float, ...], begin: datetime, now_h: float, is_on: bool
) -> tuple[HelpRow, ...]:
    """What would help a wall poured at ``begin`` from ``now_h`` on. ``kept`` is the wall with what is on it now left on
    (``is_on``: there is something), which every measure takes to stay."""
    if not psis:
        return ()
    r, days, besides = asked["help_r"], asked["blanket_days"], " besides" if is_on else ""
    until = now_h + days * DAY_H
    measures: list[Measure] = [("What is on now stays on", kept)] if is_on else []
    measures += [
        (f"Covers of R {r:g}{besides} on both sides for {days:g} days", with_blanket(kept, r * R_US, until, now_h)),
        *_heat(kept, asked, now_h),
        (f"Covers of R {r:g}{besides} kept on throughout", with_blanket(kept, r * R_US, FOREVER, now_h)),
    ]
    return _rows("As it stands", outlook, measures, psis, begin)


def _heat(wall: Wall, asked: Conditions, from_h: float) -> Iterator[Measure]:
    days = asked["heat_days"]
    to_f = asked["help_f"]
    yield f"Air heated to {to_f:g} °F for {days:g} days", with_heat(wall, celsius(to_f), from_h + days * DAY_H, from_h)


def _rows(
    first: str, outlook: Outlook, measures: list[Measure], psis: tuple[float, ...], begin: datetime
) -> tuple[HelpRow, ...]:
    when = clock_of(begin)
    asked = HelpRow(first, tuple(_cell(each, when, "") for each in reached_as_asked(outlook, psis)))
    found = what_helps(outlook, measures, psis)
    return asked, *(
        HelpRow(each.what, tuple(_cell(one, when, one.gained_words) for one in each.reached)) for each in found
    )


def _cell(found: Reached, when: Clock, gained: str) -> Cell:
    low, likely, high = found.hours
    between = f"{when(low)} to {when(high)}" if high is not None else f"{when(low)} at best"
    return Cell(f"{found.psi:,.0f} psi", when(likely), between if low is not None else NOT_IN_THESE, gained)
