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


def give_weather(houses: Iterable[House], by: Person, today: date) -> None:
    """Type the days for every house, from today on."""
    days = [Day(today + timedelta(days=n), high, low, wind) for n, (high, low, wind) in enumerate(DAYS)]
    for house in houses:
        actions.add_days(by=by, house=house, days=days)
