"""The air of a pour: at its first hour, and the lowest of the time the guide looks ahead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from inspections.winter.asked import Asked
from inspections.winter.guide import rules_of
from takeoff.weather.hours import WeatherError
from takeoff.weather.rules_306r import COLD_BELOW_F

#: The weather must be known for so long [h].
AHEAD_H = 72


@dataclass(frozen=True, slots=True)
class PourAir:
    """Air at the hour of a pour [F], the lowest of the hours the guide looks at, how many of them are known, whether
    that is cold weather."""

    at: datetime
    air_f: float
    low_f: float
    known_h: int

    @property
    def is_cold(self) -> bool:
        """Under 40 F now or in the days ahead, as far as the weather is known."""
        return self.low_f < COLD_BELOW_F


def pour_air(about: Asked) -> PourAir | str:
    """The air of the pour asked about, or the sentence why it is not known."""
    asked = about.conditions
    if asked is None:
        return "The hour of the pour is not known."
    try:
        at = asked.pour_at
    except WeatherError as wrong:
        return str(wrong)
    if about.series is None:
        return "No weather is here yet: temperatures of the mix are not worked out."
    first = about.series.at(at)
    if first is None:
        return "The weather kept here has no hour of the pour: temperatures of the mix are not worked out."
    rules = rules_of(asked)
    most = AHEAD_H if rules is None else round(max(rules.watched_h, AHEAD_H))
    ahead = about.series.between(at - timedelta(hours=1), at + timedelta(hours=most))
    return PourAir(at, first.air_f, min(h.air_f for h in ahead), min(len(ahead), most))
