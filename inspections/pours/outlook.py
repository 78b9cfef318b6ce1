"""How a poured wall does by the model that follows its records, and how its strength grows after its last reading.

:func:`look` is the model of a pour: its mix and curve, what keeps it warm and from when to when, made to follow what
was read in its core. With the weather from the pour on, strength goes on from the readings at the wall's coldest
corner, colder and warmer as the weather may turn out; without, the last temperature of each place is taken to hold,
give or take :data:`HELD_C`. Age grows from what each place has by its readings; the weakest place counts. Pure.

Covers and heat that are on are taken to stay on until they are written down as taken off, because nobody knows when
that will be. But a day that rests on a promise is no safe day: the late course (the low one) takes them as gone from
now on, so that the latest day told holds even if they are stripped today. Taking them off is written down, and
everything is worked out anew.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from inspections.ahead import FITTED, HELD, MODELLED, Ahead
from inspections.pours.air import DAYS, Around
from inspections.pours.as_poured import CORNERS, FOREVER, AsPoured, curve_of, kept_words, readings_of, wall_of

if TYPE_CHECKING:
    from takeoff.heat.fit import Fitted
    from takeoff.heat.outlook import Outlook, Wall
    from takeoff.heat.strength import Curve

#: A temperature that is taken to hold is taken this much [C] colder and warmer besides; common practice, no source.
HELD_C: Final = 3.0
#: Strength is kept this often [h]; weather that goes less far past a reading than two steps carries nothing on.
STEP_H: Final = 6
#: Equivalent age [h] by hours from placing.
Age = Callable[[Any], Any]
STAYS_ON: Final = (
    "What is on now is taken to stay on until it is written down as taken off; the latest day takes it as gone from "
    "now on."
)


@dataclass(frozen=True, slots=True)
class Path:
    """One place: its readings by hours from placing [h, F]; low, likely and high age [h] they make at the last."""

    points: tuple[tuple[float, float], ...]
    ages: tuple[float, float, float]

    @property
    def last_h(self) -> float:
        """Hours from placing to the last reading."""
        return self.points[-1][0]


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """A poured wall by the model: ``outlook`` with covers and heat as they are, on until taken off; ``told`` the same
    but that its cold course loses them from now on, as a range must be told. ``fit`` says how the model was made to
    follow the core, None where no reading of it is there."""

    outlook: Outlook
    told: Outlook
    fit: Fitted | None

    @property
    def warnings(self) -> tuple[str, ...]:
        """What somebody must be told of: a model that does not follow, concrete that freezes green as it is kept, or
        that would if what keeps it warm came off now."""
        from takeoff.heat.answers import survives_a_freeze

        found = [p.sentence for p in self.fit.problems] if self.fit else []
        kept, gone = ([p.sentence for p in survives_a_freeze(each).problems] for each in (self.outlook, self.told))
        if not kept:
            gone = [f"Leave on what is on. Without it from now: {each[0].lower()}{each[1:]}" for each in gone]
        return (*found, *(kept or gone))


@lru_cache(maxsize=16)
def look(poured: AsPoured, around: Around) -> Look | None:
    """The model of a pour in its weather; None where it cannot be run: no hour of weather, or no reading of the core
    within it, or concrete that was never placed so cold or hot."""
    found = _followed(replace(poured, now_h=FOREVER), around)
    if found is None:
        return None
    outlook, fit = found
    return Look(outlook, _let_go(outlook, poured.now_h) if poured.still_kept else outlook, fit)


@lru_cache(maxsize=16)
def _followed(poured: AsPoured, around: Around) -> tuple[Outlook, Fitted | None] | None:
    """The model with covers and heat as they are, the same at every hour it is looked at."""
    from takeoff.heat.fit import look_ahead_fitted
    from takeoff.heat.layers import HeatError
    from takeoff.heat.outlook import look_ahead

    wall, core = wall_of(poured, around), poured.core
    try:
        return look_ahead_fitted(wall, readings_of(core)) if core else (look_ahead(wall), None)
    except HeatError:
        return None


def _let_go(outlook: Outlook, hour: float) -> Outlook:
    """The same, its cold course without covers and heat from an hour on."""
    from takeoff.heat.outlook import course

    def bare(wall: Wall) -> Wall:
        return replace(
            wall,
            covers=tuple(replace(c, until_h=min(c.until_h, hour)) for c in wall.covers),
            warming=tuple(replace(w, until_h=min(w.until_h, hour)) for w in wall.warming),
            top_covers=None
            if wall.top_covers is None
            else tuple(replace(c, until_h=min(c.until_h, hour)) for c in wall.top_covers),
        )

    spread, curve = outlook.spread, outlook.wall.curve
    cold = bare(outlook.wall).shifted(-spread.air_c, -spread.placed_c, 1 - spread.heat)
    return replace(outlook, cold=course(cold, curve.scaled(1 - curve.spread), outlook.readings))


def reaches(poured: AsPoured, around: Around | None) -> bool:
    """Whether the weather goes far enough past the last reading to carry it on."""
    last = poured.last_h
    return around is not None and last is not None and len(around.air_c) - 1 >= last + 2 * STEP_H


def carried_on(paths: Mapping[str, Path], poured: AsPoured, seen: Look | None) -> Ahead:
    """Strength from the last reading on, of the places read; ``seen`` is the model that carries them on, if any."""
    curve = curve_of(poured)
    last = max(path.last_h for path in paths.values())
    if seen is None:
        end, by, words = last + DAYS * 24, HELD, _held_words(paths, poured)
        growths = {place: _held(path, curve) for place, path in paths.items()}
    else:
        end, by, words = float(seen.outlook.wall.hours), FITTED, _fitted_words(poured, seen)
        growths = dict.fromkeys(paths, _grown(seen.told))
    hours = np.arange(last, end + 1e-6, STEP_H)
    bounds = (np.min, np.min, np.max)
    strength = [
        part * bounds[n]([[curve.psi(float(age)) for age in _aged(path, n, growths[place][n], hours)]
                          for place, path in paths.items()], axis=0)
        for n, part in enumerate((1 - curve.spread, 1.0, 1 + curve.spread))
    ]  # fmt: skip
    return _kept(poured, last, strength, by, words)


def carried_to_corner(path: Path, seen: Look) -> Path:
    """The coldest corner by the readings of the core ``path``: the model says how much colder it is. Never older."""
    ages = (float(grown(path.last_h)) for grown in _grown(seen.told))
    low, likely, high = (min(a, b) for a, b in zip(path.ages, ages, strict=True))
    return Path(path.points, (low, likely, high))


def modelled(poured: AsPoured, around: Around) -> tuple[tuple[float, float, float], Ahead] | None:
    """Low, likely and high strength [psi] of the last full hour by weather alone, and how it goes on; None where the
    weather of these days ends before it, or the concrete was never placed so cold or hot."""
    if not 1 <= poured.now_h < around.told_h:
        return None
    at, seen = int(poured.now_h), look(poured, around)
    if seen is None:
        return None
    told = seen.told
    courses = [told.cold.psi, told.likely.psi, told.warm.psi]
    words = (
        f"No probe: the heat model of the wall {taken(poured)}; {told.spread.words}, the curve within "
        f"{told.wall.curve.spread:.0%}.{_stays(poured)} {around.source}."
    )
    low, likely, high = (float(course[at]) for course in courses)
    return (low, likely, high), _kept(poured, at, [course[at::STEP_H] for course in courses], MODELLED, words)


# -- in words -------------------------------------------------------------------------------------------
def taken(poured: AsPoured) -> str:
    """What the model takes of covers, heat, mix and curve, to stand after 'the wall'."""
    mix = "a usual mix" if poured.cement_lb is None else "the mix as agreed"
    return f"{_kept_by(poured)}, {mix}, {_curve_words(poured)}"


def _kept_by(poured: AsPoured) -> str:
    if not poured.kept:
        return "without covers or heat, as none is on record"
    return f"kept warm by {'; '.join(kept_words(kept) for kept in poured.kept)}"


def _curve_words(poured: AsPoured) -> str:
    curve = curve_of(poured)
    name = "the supplier's curve" if poured.curve_points and "ACI 209" not in curve.name else "a usual curve"
    return f"{name} corrected by the laboratory's breaks" if "Corrected" in curve.note else name


def _stays(poured: AsPoured) -> str:
    return f" {STAYS_ON}" if poured.still_kept else ""


def _fitted_words(poured: AsPoured, seen: Look) -> str:
    said = f"The model of the wall goes on with the weather, {taken(poured)}."
    said += f" {fit_words(seen.fit)}" if seen.fit else " No reading of the core is there for it to follow."
    return f"{said}{_stays(poured)} {seen.outlook.wall.air_source}."


def fit_words(fit: Fitted) -> str:
    """How well the model follows the readings, its worst miss and whether to go by it."""
    from takeoff.heat.fit import POOR_C

    poor = " It does not follow them well: read again soon." if fit.after_rms_c > POOR_C else ""
    return f"{fit.words} At worst it misses by {fit.worst_c * 1.8:.1f} °F.{poor}"


def _held_words(paths: Mapping[str, Path], poured: AsPoured) -> str:
    words = (
        "No weather carries the readings on (it must be known from the pour to half a day past the last): each place "
        f"is taken to hold the last temperature read, within {HELD_C * 1.8:.0f} °F, {_curve_words(poured)}."
    )
    if not set(paths) & set(CORNERS):
        words += " No corner or face is read: they are colder than the core."
    if poured.still_kept:
        words += " Once covers or heat come off it gets colder than that: write it down and read again."
    return words


# -- ages -----------------------------------------------------------------------------------------------
def _grown(outlook: Outlook) -> tuple[Age, Age, Age]:
    low, likely, high = (_interpolated(each.hours, each.age_h) for each in (outlook.cold, outlook.likely, outlook.warm))
    return low, likely, high


def _interpolated(hours: Any, age_h: Any) -> Age:
    return lambda at: np.interp(at, hours, age_h)


def _held(path: Path, curve: Curve) -> tuple[Age, Age, Age]:
    """Age at the temperature read last, colder, as it is, and warmer; nothing below freezing."""
    from takeoff.heat.maturity import FREEZING_C

    def growth(off: float) -> Age:
        degrees = np.full(2, (path.points[-1][1] - 32) / 1.8 + off)
        pace = float(curve.age_rule(np.array([0.0, 1.0]), degrees, counted_above_c=FREEZING_C)[-1])
        return lambda at: pace * np.asarray(at)

    return growth(-HELD_C), growth(0.0), growth(HELD_C)


def _aged(path: Path, n: int, growth: Age, hours: Any) -> Any:
    """Age of a place: by its readings, and what it grew since."""
    return path.ages[n] + growth(hours) - growth(path.last_h)


def _kept(poured: AsPoured, from_h: float, courses: list[Any], by: str, words: str) -> Ahead:
    low, likely, high = (tuple(round(float(psi), 1) for psi in course) for course in courses)
    return Ahead(poured.placed + timedelta(hours=from_h), float(STEP_H), low, likely, high, by, words)
