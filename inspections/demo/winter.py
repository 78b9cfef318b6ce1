"""The weather of the demo: thirteen invented days as somebody types them off the radio, with a cold spell in them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from jobs.models import House, Person
from jobs.weather import actions
from takeoff.weather.highs_lows import Day

#: High, low [F] and wind [mph], day by day.
DAYS = (
    (41, 30, 8), (47, 35, 6), (52, 39, 10), (45, 33, 31), (36, 24, 18), (29, 14, 12), (24, 6, 9), (28, 11, 7),
    (35, 21, 8), (43, 30, 11), (46, 34, 9), (40, 29, 8), (38, 27, 6),
)  # fmt: skip
#: The days before, the oldest first, up to yesterday.
LATELY = (
    (46, 33, 7), (44, 31, 9), (41, 29, 11), (45, 32, 6), (49, 36, 5), (43, 34, 12), (38, 28, 14), (36, 25, 8),
    (40, 27, 6), (44, 30, 7), (47, 35, 9), (42, 33, 10), (39, 30, 12), (37, 26, 9), (40, 28, 7), (43, 31, 6),
    (45, 34, 8), (42, 32, 10),
)  # fmt: skip
#: So many days are typed at a time.
AT_ONCE = 9


def give_lately(house: House, by: Person, today: date) -> None:
    """Type the days gone by of a house that is poured, up to yesterday."""
    first = today - timedelta(days=len(LATELY))
    days = [Day(first + timedelta(days=n), high, low, wind) for n, (high, low, wind) in enumerate(LATELY)]
    for n in range(0, len(days), AT_ONCE):
        actions.add_days(by=by, house=house, days=days[n : n + AT_ONCE])


def give_weather(houses: Iterable[House], by: Person, today: date) -> None:
    """Type the days for every house, from today on."""
    days = [Day(today + timedelta(days=n), high, low, wind) for n, (high, low, wind) in enumerate(DAYS)]
    for house in houses:
        actions.add_days(by=by, house=house, days=days)
