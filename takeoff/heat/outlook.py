"""A wall after its pour: three runs of the model, as cold, likely and warm as the inputs may turn out to be.

The spreads of inputs are taken together at their ends, not drawn by chance: the low and high answers are what follows
when everything is a little worse, or better, than told. Spreads are common practice and can be typed.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from takeoff.heat.conduction import simulate, start
from takeoff.heat.edges import mean_air_c, part_left, top_of_wall_c
from takeoff.heat.history import History
from takeoff.heat.hydration import Hydration, Mix, of_mix
from takeoff.heat.layers import CONCRETE, SHELTERED_M_S, Array, Body, Cover, HeatError, Side, corner_factor, wall
from takeoff.heat.maturity import FREEZING_C, Readings, history_with
from takeoff.heat.strength import Curve

#: Hours whose mean air a corner is taken to follow.
CORNER_MEAN_H = 24
#: Concrete outside of these was never placed [C]: a slip of the unit.
COLDEST_PLACED_C, HOTTEST_PLACED_C = -10.0, 50.0


@dataclass(frozen=True, slots=True)
class Spread:
    """How far inputs may be off: air and placing temperature [C], heat of the mix (a part of it)."""

    air_c: float = 3.0
    placed_c: float = 2.0
    heat: float = 0.10

    @property
    def words(self) -> str:
        """'air ±5.4 °F, ...'."""
        air_f, placed_f = self.air_c * 1.8, self.placed_c * 1.8
        return f"air ±{air_f:.1f} °F, placing ±{placed_f:.1f} °F, heat of the mix ±{self.heat:.0%}"


@dataclass(frozen=True, slots=True)
class Warming:
    """Heated air [C] on both sides from an hour until another: an enclosure or a heated blanket."""

    to_c: float
    from_h: float = 0.0
    until_h: float = float("inf")


@dataclass(frozen=True, slots=True, eq=False)
class Wall:
    """A wall as placed: core and foam [m], air [C] and wind [m/s] by whole hours from placing, covers on both sides.

    ``top_covers`` lie on its top: () is a bare top, None says nothing of it. ``standing_c``: forms before placing, by
    default the first hour's air. ``air_source`` says where the air is from.
    """

    core_m: float
    foam_m: float
    air_c: Array
    placed_c: float
    curve: Curve
    mix: Mix = field(default_factory=Mix)
    hydration: Hydration | None = None
    wind_m_s: Array | float = SHELTERED_M_S
    covers: tuple[Cover, ...] = ()
    warming: tuple[Warming, ...] = ()
    top_covers: tuple[Cover, ...] | None = None
    standing_c: float | None = None
    air_source: str = "air as given"

    @property
    def hours(self) -> int:
        """Whole hours the air is known for."""
        return len(self.air_c) - 1

    @property
    def reaction(self) -> Hydration:
        """Hydration as given, or by the mix."""
        return self.hydration or of_mix(self.mix)

    def body(self) -> Body:
        """The wall for the heat model."""
        if self.hours < 1:
            raise HeatError("Air is needed hour by hour from placing on.")
        if any(cover.r_m2k_w < 0 for cover in (*self.covers, *(self.top_covers or ()))):
            raise HeatError("A cover cannot have a resistance of less than nothing.")
        side = Side(warmed(self.air_c, self.warming), self.wind_m_s, self.covers)
        concrete = replace(CONCRETE, c_j_m3k=self.mix.c_j_m3k)
        return wall(self.core_m, self.foam_m, side, side, self.reaction, concrete)

    def shifted(self, air_c: float, placed_c: float, heat: float) -> Wall:
        """The same wall with warmer or colder inputs."""
        return replace(
            self, air_c=self.air_c + air_c, placed_c=self.placed_c + placed_c, hydration=self.reaction.scaled(heat)
        )


def warmed(air_c: Array, warming: tuple[Warming, ...]) -> Array:
    """Air where it is heated: never colder than the heat holds, in its hours."""
    out, hours = np.array(air_c, dtype=np.float64), np.arange(len(air_c))
    for each in warming:
        at = (hours >= each.from_h) & (hours < each.until_h)
        out[at] = np.maximum(out[at], each.to_c)
    return out


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """One run: the history and, at the coldest corner, temperature [C], age [h at 20 C] and strength [psi]; the top of
    the wall [C] and its strength where its covers were told."""

    history: History
    corner_c: Array
    age_h: Array
    psi: Array
    top_c: Array | None = None
    top_psi: Array | None = None

    @property
    def hours(self) -> Array:
        """Hours from placing."""
        return self.history.hours

    def hour_of(self, psi: float) -> float | None:
        """The first hour with a strength, straight between whole hours; None where it is not reached."""
        return first_hour(self.hours, self.psi, psi)

    def freezes_green(self, psi: float) -> tuple[str, float] | None:
        """The place that freezes before it has a strength, and when [h]; None where none does."""
        for place, temps, strength in (("A corner", self.corner_c, self.psi), ("The top", self.top_c, self.top_psi)):
            if temps is None or strength is None:
                continue
            green = np.flatnonzero((temps < FREEZING_C) & (strength < psi))
            if len(green):
                return place, float(self.hours[green[0]])
        return None


def first_hour(hours: Array, values: Array, wanted: float) -> float | None:
    """The first time a growing value is reached, straight between hours; None where it is not."""
    there = np.flatnonzero(values >= wanted)
    if not len(there):
        return None
    n = int(there[0])
    if n == 0:
        return 0.0
    a, b = float(values[n - 1]), float(values[n])
    return float(hours[n - 1] + (wanted - a) / (b - a) * (hours[n] - hours[n - 1]))


@dataclass(frozen=True, slots=True)
class Known:
    """Strength known otherwise, by readings at every place they were taken: low, likely and high [psi] at an hour from
    placing. The model goes on from there."""

    hour: float
    psi: tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """Cold, likely and warm; what they were worked out from."""

    wall: Wall
    spread: Spread
    cold: Course
    likely: Course
    warm: Course
    readings: Readings | None = None
    known: Known | None = None

    @property
    def courses(self) -> tuple[Course, Course, Course]:
        """Warm first: what happens soonest."""
        return self.warm, self.likely, self.cold


def look_ahead(wall_: Wall, spread: Spread | None = None, readings: Readings | None = None) -> Outlook:
    """Three runs of a wall. Readings taken in its core stand in for the model up to the last of them.

    Raises HeatError with the sentence for whoever typed what cannot be.
    """
    spread = spread or Spread()
    if not COLDEST_PLACED_C <= wall_.placed_c <= HOTTEST_PLACED_C:
        raise HeatError(f"Concrete of {wall_.placed_c * 1.8 + 32:.0f} °F is not placed; check the unit.")
    cold = wall_.shifted(-spread.air_c, -spread.placed_c, 1 - spread.heat)
    warm = wall_.shifted(spread.air_c, spread.placed_c, 1 + spread.heat)
    curve = wall_.curve
    return Outlook(
        wall_,
        spread,
        course(cold, curve.scaled(1 - curve.spread), readings),
        course(wall_, curve, readings),
        course(warm, curve.scaled(1 + curve.spread), readings),
        readings,
    )


def going_on_from(outlook: Outlook, known: Known) -> Outlook:
    """The same outlook with each run's strength that of ``known`` at its hour, and grown from there by the age the run
    adds. Before that hour the run's own course is drawn out or in so that it meets it; nothing is moved where the
    strength known is still nothing."""
    curve = outlook.wall.curve
    parts = (1 - curve.spread, 1.0, 1 + curve.spread)
    runs = (outlook.cold, outlook.likely, outlook.warm)
    cold, likely, warm = (
        _moved(run_, curve.scaled(part), known.hour, psi)
        for run_, part, psi in zip(runs, parts, known.psi, strict=True)
    )
    return replace(outlook, cold=cold, likely=likely, warm=warm, known=known)


def _moved(course_: Course, curve: Curve, hour: float, psi: float) -> Course:
    then = float(np.interp(hour, course_.hours, course_.age_h))
    if psi <= 0 or then <= 0:
        return course_
    age = curve.age_of(psi)
    age = curve.known_to_h if age is None else age
    ages = np.where(course_.hours <= hour, course_.age_h * (age / then), age + course_.age_h - then)
    return replace(course_, age_h=ages, psi=curve.through(ages))


def run(wall_: Wall) -> History:
    """One run of the model from placing to the end of the air."""
    body = wall_.body()
    standing = float(wall_.air_c[0]) if wall_.standing_c is None else wall_.standing_c
    return simulate(body, start(body, wall_.placed_c, standing), wall_.hours)


def course(wall_: Wall, curve: Curve, readings: Readings | None = None) -> Course:
    """One run and what follows from it at the coldest corner."""
    history = run(wall_)
    corner, top = corner_c(history, wall_), _top(history, wall_)
    top_psi = None
    if top is not None:
        top_psi = curve.through(curve.age_rule(history.hours, top, counted_above_c=FREEZING_C))
    if readings is None:
        age = curve.age_rule(history.hours, corner, counted_above_c=FREEZING_C)
        return Course(history, corner, age, curve.through(age), top, top_psi)
    # the probe is in the core: the model's own difference carries it to the corner
    offset = np.interp(readings.hours, history.hours, corner - history.core_c)
    there = Readings(readings.hours, readings.temperature_c + offset, readings.source)
    hours, temps = history_with(there, history.hours, corner)
    age = np.interp(history.hours, hours, curve.age_rule(hours, temps, counted_above_c=FREEZING_C))
    temps = np.interp(history.hours, hours, temps)
    return Course(history, temps, age, curve.through(age), top, top_psi)


def corner_c(history: History, wall_: Wall) -> Array:
    """Temperature of the concrete at an outside corner [C], by :func:`cornered_c`, in the air of the wall."""
    air = warmed(wall_.air_c, wall_.warming)
    mean = mean_air_c(air, CORNER_MEAN_H)
    return cornered_c(history, air, mean, corner_factor(wall_.foam_m, wall_.core_m))


def cornered_c(history: History, air_c: Array, mean_air: Array, factor: float) -> Array:
    """Temperature at an outside corner [C] by the colder face beside it.

    Its distance to the air is divided by the corner factor (:func:`takeoff.heat.layers.corner_factor`) and lessened
    once more by what a face loses against its middle, since two faces meet there. Of the air of the hour and its mean
    over a day the colder answer is taken, and never one warmer than the face. Behind foam this is 1 to 3 K colder than
    a two-dimensional run, because heat from the walls is left out. Without foam, as no wall here stands, it can be up
    to 4 K warmer than one after a cover is laid on late: it is not for bare walls.
    """
    face, core = history.coldest_face_c(), history.core_c
    told = [a + (face - a) * part_left(face, core, a) / factor for a in (air_c, mean_air)]
    return np.minimum(np.minimum(*told), face)


def _top(history: History, wall_: Wall) -> Array | None:
    """The top of the wall [C] under its own covers, None where nothing is said of it."""
    if wall_.top_covers is None:
        return None
    top = Side(warmed(wall_.air_c, wall_.warming), wall_.wind_m_s, wall_.top_covers)
    concrete = replace(CONCRETE, c_j_m3k=wall_.mix.c_j_m3k)
    return top_of_wall_c(history, top, wall_.placed_c, wall_.reaction, concrete)
