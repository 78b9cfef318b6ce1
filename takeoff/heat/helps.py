"""What a measure buys: covers, heated air, warmer concrete, each compared with the wall as asked, in days gained."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from takeoff.heat.answers import Answer, spoken_days, when_strong
from takeoff.heat.layers import Array, Cover
from takeoff.heat.outlook import Course, Outlook, Wall, Warming, going_on_from, look_ahead

#: Hours from placing of one thing in the warm, likely and cold run; None where it is not in the hours looked at.
Three = tuple[float | None, float | None, float | None]
#: A measure may come a little later than nothing at all (covers in a thaw): looked at this much longer [h].
BEYOND_H = 24
#: Less gained than this [h] is nothing to speak of.
LEAST_SAID_H = 1.0
DAY_H = 24.0


@dataclass(frozen=True, slots=True)
class Bought:
    """What a measure buys: answers with and without it, and hours gained as the least, likely and most."""

    without: Answer
    with_it: Answer
    gained_h: Three
    words: str


def what_it_buys(outlook: Outlook, changed: Wall, psi: float, what: str) -> Bought:
    """What a blanket, heat or a warmer mix buys towards a strength [psi]: the same wall with it, compared."""
    question = f"When does it reach {psi:,.0f} psi?"
    a = when_strong(outlook, psi, question)
    b = when_strong(look_ahead(changed, outlook.spread, outlook.readings), psi, question)
    pairs = ((a.low, b.low), (a.likely, b.likely), (a.high, b.high))
    gained = [None if x is None or y is None else x - y for x, y in pairs]
    if gained[1] is not None:
        words = f"{what} buys {gained[1] / 24:.1f} days towards {psi:,.0f} psi (likely)."
    elif b.likely is not None:
        words = (
            f"With {what} {psi:,.0f} psi is reached {spoken_days(b.likely)}; without it, not in the hours looked at."
        )
    else:
        words = f"Even with {what} {psi:,.0f} psi is not reached in the hours looked at."
    return Bought(a, b, (gained[0], gained[1], gained[2]), words)


def with_blanket(wall: Wall, r_m2k_w: float, until_h: float = float("inf"), from_h: float = 0.0) -> Wall:
    """The wall with a blanket on both sides [m2K/W] between two hours."""
    return replace(wall, covers=(*wall.covers, Cover(r_m2k_w, from_h, until_h)))


def with_heat(wall: Wall, to_c: float, until_h: float, from_h: float = 0.0) -> Wall:
    """The wall in air held at a temperature [C] between two hours."""
    return replace(wall, warming=(*wall.warming, Warming(to_c, from_h, until_h)))


@dataclass(frozen=True, slots=True)
class Reached:
    """When a strength [psi] is reached with a measure, warm run first, and hours gained by it likewise."""

    psi: float
    hours: Three
    gained_h: Three

    @property
    def gained_words(self) -> str:
        """'1.2 to 2.4 days, likely 1.8', or what is only reached with it."""
        known = sorted(h for h in self.gained_h if h is not None)
        if self.hours[1] is None:
            return "still not reached in the days looked at"
        if self.gained_h[1] is None:
            return "reached only with it"
        if max(known) < LEAST_SAID_H:
            return "nothing to speak of"
        hours, unit = (1, "h") if max(known) < DAY_H else (DAY_H, "days")
        digits = 0 if unit == "h" else 1
        low, likely, high = (f"{max(h, 0.0) / hours:.{digits}f}" for h in (known[0], self.gained_h[1], known[-1]))
        more = "; at worst reached only with it" if self.gained_h[2] is None and self.hours[2] is not None else ""
        return f"likely {likely} {unit} ({low} to {high}){more}"


@dataclass(frozen=True, slots=True)
class Help:
    """A measure and what it does for each strength asked."""

    what: str
    reached: tuple[Reached, ...]


def what_helps(outlook: Outlook, measures: Sequence[tuple[str, Wall]], psis: Sequence[float]) -> tuple[Help, ...]:
    """Each measure, a name and the wall with it, against the wall as asked, for strengths [psi].

    Looked at only as far as the wall as asked needs in its cold run: what helps is there sooner. Strength known by
    readings stands in every run.
    """
    asked = {each.psi: each.hours for each in reached_as_asked(outlook, psis)}
    last = [three[2] for three in asked.values()]
    known = [hour for hour in last if hour is not None]
    until = outlook.wall.hours
    if known and len(known) == len(last):
        begun = outlook.known.hour if outlook.known else 0.0
        until = min(math.ceil(max(*known, begun)) + BEYOND_H, until)
    out = []
    for what, wall in measures:
        found = look_ahead(_shortened(wall, until), outlook.spread, outlook.readings)
        found = going_on_from(found, outlook.known) if outlook.known else found
        out.append(Help(what, tuple(_reached(psi, asked[psi], _hours(found, psi)) for psi in psis)))
    return tuple(out)


def reached_as_asked(outlook: Outlook, psis: Sequence[float]) -> tuple[Reached, ...]:
    """When strengths [psi] are reached without any measure; nothing is gained."""
    return tuple(Reached(psi, _hours(outlook, psi), (0.0, 0.0, 0.0)) for psi in psis)


def _hours(outlook: Outlook, psi: float) -> Three:
    runs: tuple[Course, Course, Course] = outlook.courses
    return runs[0].hour_of(psi), runs[1].hour_of(psi), runs[2].hour_of(psi)


def _reached(psi: float, before: Three, now: Three) -> Reached:
    gained = [None if a is None or b is None else a - b for a, b in zip(before, now, strict=True)]
    return Reached(psi, now, (gained[0], gained[1], gained[2]))


def _shortened(wall: Wall, hours: int) -> Wall:
    """The wall looked at for fewer hours, its top left out: strength is that of the corner."""
    wind: Array | float = wall.wind_m_s
    wind = wind if np.ndim(wind) == 0 else np.asarray(wind)[: hours + 1]
    return replace(wall, air_c=wall.air_c[: hours + 1], wind_m_s=wind, top_covers=None)
