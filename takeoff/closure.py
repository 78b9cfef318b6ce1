"""How far a ring misses its start, said like a surveyor, and what takes the error up.

Rules (settled for this program, no published source): a rounding of at most 1/16 in on any leg and 1/2 in in all is
absorbed and listed; up to 1/2 in that rounding cannot explain is put on two legs a person names; more must be
corrected on the plan.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from takeoff.curves import Point, cross, half_turn, unit
from takeoff.placement import Closure
from takeoff.units import Length, format_length

#: Most that rounding may put on one leg [in].
PER_LEG_IN: Final = 1 / 16
#: Less than this is only said to be little: half of 1/64 in.
LEAST_SAID_IN = 1 / 128
#: Most that may be taken up at all [in].
IN_ALL_IN: Final = 1 / 2
#: Smaller than this is arithmetic, not an error [in].
NOTHING_IN: Final = 1e-6
#: Turns may miss a whole circle by this much [degrees]: decimals of a typed angle.
TURN_SLACK_DEG: Final = 0.01
#: Two legs this close to parallel cannot take an error in any direction [degrees].
PARALLEL_DEG: Final = 15.0

_WINDS: Final = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
_LINES: Final = ("north-south", "north-east to south-west", "east-west", "north-west to south-east")


@dataclass(frozen=True, slots=True)
class Course:
    """One leg as closure sees it: its name, its turn, the heading and length of a straight leg (None: an arc)."""

    name: str
    turn_deg: float
    heading_deg: float | None
    length_in: float = 0.0


def bearing(vector: Point) -> float:
    """Compass bearing of a vector on paper: clockwise from up, 0 to 360."""
    return math.degrees(math.atan2(vector[0], vector[1])) % 360.0


def wind(bearing_deg: float) -> str:
    """The bearing as one of eight words: 'north-east'."""
    return _WINDS[round(bearing_deg / 45.0) % 8]


def said(length_in: float) -> str:
    """A small length as said on site, to 1/64 in below an inch and 1/16 in above."""
    if 0 < abs(length_in) < LEAST_SAID_IN:
        return 'less than 1/64"'
    return format_length(Length.from_inches(abs(length_in)), denominator=64 if abs(length_in) < 1 else 16)


def close(walk: str, courses: Sequence[Course], missing: Point, turned_deg: float, choice: Sequence[str]) -> Closure:
    """Judge a ring from the vector [in] that leads from its end back to its start, and its turns.

    ``choice`` holds the two legs a person named to take the error, or nothing.
    """
    error, toward = math.hypot(*missing), bearing(missing)
    if error < NOTHING_IN:
        error = 0.0

    def verdict(word: str, sentence: str, given: dict[str, float] | None = None) -> Closure:
        listed = tuple((name, Length.from_inches(x)) for name, x in (given or {}).items() if abs(x) > NOTHING_IN / 10)
        return Closure(walk, Length.from_inches(error), toward, turned_deg, word, sentence, listed)

    if (turns := _wrong_turns(walk, courses, turned_deg)) is not None:
        return verdict("correct", turns)
    if not error:
        return verdict("closed", f"Ring {walk} closes.")
    misses = f"Ring {walk} ends {said(error)} short of its start, to the {wind(toward)}"
    if error > IN_ALL_IN + NOTHING_IN:
        return verdict("correct", f'{misses}; more than 1/2" must be corrected. {_suspects(courses, missing)}')
    if choice:
        given, objection = _between_two(courses, missing, choice)
        if given is None:
            return verdict("choose_legs", f"{misses}; {objection}")
        return verdict("absorbed", f"{misses}; taken up by the legs named for it: {_listing(given)}.", given)
    spread = _absorb(courses, missing)
    if spread is not None:
        return verdict("absorbed", f"{misses}; taken up as rounding by {_listing(spread)}.", spread)
    return verdict("choose_legs", f"{misses}; name the two legs, not parallel to each other, that take it.")


def _listing(given: dict[str, float]) -> str:
    return ", ".join(f"{name} {_signed(x)}" for name, x in given.items() if abs(x) > NOTHING_IN / 10)


def _signed(length_in: float) -> str:
    """What a leg is given, with its sign where there is enough of it to be said."""
    if abs(length_in) < LEAST_SAID_IN:
        return f"by {said(length_in)}"
    return f"{'+' if length_in > 0 else '-'}{said(length_in)}"


def _wrong_turns(walk: str, courses: Sequence[Course], turned_deg: float) -> str | None:
    """A sentence where the turns do not make one whole round, else None."""
    whole = math.copysign(360.0, turned_deg or 1.0)
    off = turned_deg - whole
    if abs(off) <= TURN_SLACK_DEG:
        return None
    amiss = f"{_degrees(abs(off))} degrees are {'missing' if abs(turned_deg) < 360 else 'too many'}"
    sentence = (
        f"The turns of ring {walk} add up to {_degrees(turned_deg)} degrees; they must make 360 (round to the left) "
        f"or -360 (round to the right), so {amiss}."
    )
    # A turn to the wrong side changes the sum by twice itself.
    for target in (360.0, -360.0):
        flipped = [
            c.name for c in courses if c.turn_deg and abs(turned_deg - 2 * c.turn_deg - target) <= TURN_SLACK_DEG
        ]
        if flipped and (target > 0) == (turned_deg > 0):
            return f"{sentence} The turn at the end of {_either(flipped)} may be to the wrong side."
    return sentence


def _degrees(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _either(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _suspects(courses: Sequence[Course], missing: Point) -> str:
    """Which legs could be wrong by the whole error: those it runs along."""
    error, along_deg = math.hypot(*missing), math.degrees(math.atan2(missing[1], missing[0]))
    short, long = [], []
    for course in courses:
        if course.heading_deg is None:
            continue
        apart = half_turn(course.heading_deg - along_deg)
        if abs(apart) <= 3.0:
            short.append(course.name)
        elif abs(apart) >= 177.0 and course.length_in > error:
            long.append(course.name)
    if not short and not long:
        return "No single leg runs that way, so two lengths, a turn or an arc must be wrong."
    line = _LINES[round(bearing(missing) / 45.0) % 4]
    reasons = []
    if short:
        reasons.append(f"a leg running {line} is {said(error)} short: {_either(short)}")
    if long:
        reasons.append(f"a leg running {line} is {said(error)} long: {_either(long)}")
    text = ", or ".join(reasons)
    return f"{text[0].upper()}{text[1:]}."


def _between_two(
    courses: Sequence[Course], missing: Point, choice: Sequence[str]
) -> tuple[dict[str, float] | None, str]:
    """What each of two named legs takes, or why they cannot."""
    straight = {c.name: c for c in courses if c.heading_deg is not None}
    unknown = [name for name in choice if name not in straight]
    if unknown:
        return None, f"{_either(unknown)} is not a straight leg of this ring, so it cannot take the error."
    if len(set(choice)) != 2:
        return None, "two different legs are needed to take it."
    first, second = (straight[name] for name in choice)
    u, v = unit(first.heading_deg or 0.0), unit(second.heading_deg or 0.0)
    spread = cross(u, v)
    if abs(spread) < math.sin(math.radians(PARALLEL_DEG)):
        return None, f"{first.name} and {second.name} are too nearly parallel; name two legs that are not."
    given = {first.name: cross(missing, v) / spread, second.name: cross(u, missing) / spread}
    return given, ""


def _absorb(courses: Sequence[Course], missing: Point) -> dict[str, float] | None:
    """Spread a rounding over straight legs, by least squares, none more than 1/16 in; None where that cannot be.

    Slanting legs are tried alone first: their typed lengths are rounded (4 ft x root 2), the square ones seldom are,
    and a square leg should keep the length the blocks are counted on.
    """
    straight = [c for c in courses if c.heading_deg is not None]
    if not straight:
        return None
    main = max(straight, key=lambda c: c.length_in).heading_deg or 0.0
    slanting = [c for c in straight if abs((((c.heading_deg or 0.0) - main) + 45) % 90 - 45) > 1e-6]
    return _bounded_least_squares(slanting, missing) or _bounded_least_squares(straight, missing)


def _bounded_least_squares(courses: Sequence[Course], missing: Point) -> dict[str, float] | None:
    """The smallest changes of length (sum of squares) that add up to a vector, none beyond 1/16 in."""
    free, rest = list(courses), np.array(missing)
    given: dict[str, float] = {}
    while free:
        matrix = np.array([unit(c.heading_deg or 0.0) for c in free]).T
        change = np.linalg.lstsq(matrix, rest, rcond=None)[0]
        if float(np.linalg.norm(matrix @ change - rest)) > NOTHING_IN:
            return None
        over = [k for k, x in enumerate(change) if abs(float(x)) > PER_LEG_IN + 1e-9]
        if not over:
            return given | {c.name: float(x) for c, x in zip(free, change, strict=True)}
        for k in over:
            part = math.copysign(PER_LEG_IN, float(change[k]))
            given[free[k].name] = part
            rest = rest - matrix[:, k] * part
        free = [c for k, c in enumerate(free) if k not in over]
    return given if given and float(np.linalg.norm(rest)) <= NOTHING_IN else None
