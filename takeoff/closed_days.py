"""Days on which plants, pumps and inspectors commonly do not work: Sundays, and the holidays nearly everybody keeps.

Which holidays a plant keeps is common practice, no source: ask it. Their dates follow the acts named beside them (from
memory). A holiday that falls on a Sunday is not moved to the Monday here, because not every firm keeps that Monday.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

MONDAY, THURSDAY, SUNDAY = 0, 3, 6
#: Month and day of those that always fall on the same one.
_FIXED: Final = {(1, 1): "New Year's Day", (12, 25): "Christmas Day"}
_FIXED_US: Final = {(7, 4): "Independence Day"}
_FIXED_CANADA: Final = {(7, 1): "Canada Day", (12, 26): "Boxing Day"}


def closed_day(on: date, canada: bool = False) -> str:
    """'a Sunday', 'Thanksgiving Day', or '' for a day on which work goes on. United States: 5 U.S.C. 6103(a); Canada:
    Canada Labour Code, section 166, its Holidays Act and the provinces' Thanksgiving (from memory)."""
    if on.weekday() == SUNDAY:
        return "a Sunday"
    return dict(_of(on.year, canada)).get(on, "")


def next_working_day(after: date, canada: bool = False) -> date:
    """The first day after this one that is neither a Sunday nor such a holiday."""
    on = after + timedelta(days=1)
    while closed_day(on, canada):
        on += timedelta(days=1)
    return on


def _of(year: int, canada: bool) -> Iterator[tuple[date, str]]:
    for (month, day), name in (_FIXED | (_FIXED_CANADA if canada else _FIXED_US)).items():
        yield date(year, month, day), name
    yield _nth(year, 9, MONDAY, 1), "Labour Day" if canada else "Labor Day"
    if canada:
        yield _monday_before(date(year, 5, 25)), "Victoria Day"
        yield _nth(year, 10, MONDAY, 2), "Thanksgiving Day"
    else:
        yield _monday_before(date(year, 6, 1)), "Memorial Day"
        yield _nth(year, 11, THURSDAY, 4), "Thanksgiving Day"


def _nth(year: int, month: int, weekday: int, n: int) -> date:
    """The n-th such weekday of a month."""
    first = date(year, month, 1)
    return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (n - 1))


def _monday_before(day: date) -> date:
    return day - timedelta(days=(day.weekday() - 1) % 7 + 1)
