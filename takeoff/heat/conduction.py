"""Transient conduction through layers, with heat of hydration and freezing soil: finite volumes, implicit in time.

Each slice keeps its heat; what leaves one enters the next, so the balance closes to rounding. In time the two-stage
singly diagonal implicit scheme of second order (gamma = 1 - 1/sqrt 2) is used. Crank-Nicolson is as accurate but lets
the jump of a cover taken off ring on in thin foam; backward Euler does not ring but is of first order, and a shift of
half an hour in the night's frost would be seen. This one forgets a jump in a few steps and is of second order.

What is advanced is heat less heat still to be released, E = H(T) - Q alpha(age): conduction alone changes it, whatever
hydration does. The age in a stage is taken at a temperature carried forward from the last stage.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.linalg import lapack

from takeoff.heat.history import Balance, History
from takeoff.heat.layers import Array, Body, HeatError, Side, conductivities, film_w_m2k, materials_of, widths
from takeoff.heat.soil_heat import SoilHeat

GAMMA = 1.0 - 1.0 / math.sqrt(2.0)
#: Steps [h]: short while concrete is young, an hour after.
YOUNG_H, YOUNG_STEP_H = 48.0, 0.5
STEP_H = 1.0
#: Newton of freezing soil: most rounds, and the change of temperature it stops at [K].
ROUNDS, NEAR_K = 40, 1e-9


@dataclass(frozen=True, slots=True)
class State:
    """Where a run begins: temperature [C] of each slice and equivalent age [h] of each slice of concrete."""

    temperature_c: Array
    age_h: Array


def start(body: Body, placed_c: float, other_c: float) -> State:
    """Concrete at its placing temperature, everything else as cold as it stood."""
    temps = np.array([placed_c if m.hydrates else other_c for m in materials_of(body)])
    count = sum(m.hydrates for m in materials_of(body))
    age = body.hydration.age_at_placing_h if body.hydration is not None else 0.0
    return State(temps, np.full(count, age))


def steps(hours: int, young_h: float = YOUNG_H, young_step_h: float = YOUNG_STEP_H, step_h: float = STEP_H) -> Array:
    """Times [h] from 0 on: whole hours are always among them. Steps must be an hour parted by a whole number."""
    for step in (young_step_h, step_h):
        if not 0 < step <= 1 or abs(round(1 / step) - 1 / step) > 1e-9:
            raise HeatError("A step must be an hour parted by a whole number.")
    if hours < 1:
        raise HeatError("At least one hour is needed.")
    young = min(math.ceil(young_h), hours)
    first = np.arange(round(young / young_step_h)) * young_step_h
    rest = young + np.arange(round((hours - young) / step_h) + 1) * step_h
    return np.concatenate([first, rest])


def simulate(body: Body, begin: State, hours: int, times_h: Array | None = None, from_h: float = 0.0) -> History:
    """Run a body for whole hours. ``from_h``: the hour of its sides' air at which the run begins.

    ``times_h`` are the steps, by default :func:`steps`. Raises HeatError where air or wind ends too early, or where a
    number is none.
    """
    times = steps(hours) if times_h is None else times_h
    _check(body, begin, hours, from_h)
    run = _Run(body, begin, times, from_h)
    run.go()
    return run.history()


def _check(body: Body, begin: State, hours: int, from_h: float) -> None:
    if sum(layer.cells for layer in body.layers) < 2:
        raise HeatError("The heat model needs at least two slices.")
    for side, name in zip((body.outside, body.inside), body.names, strict=True):
        for values, what in ((side.air_c, "air"), (side.wind_m_s, "wind")):
            if isinstance(values, np.ndarray) and len(values) < from_h + hours + 1 and not side.closed:
                raise HeatError(f"The {what} {name} is known for {len(values) - 1} h, {from_h + hours:g} h are needed.")
            if not np.all(np.isfinite(values)):
                raise HeatError(f"The {what} {name} has hours without a number.")
    if not np.all(np.isfinite(begin.temperature_c)):
        raise HeatError("The temperatures to begin with are no numbers.")
    wet = sum(layer.cells for layer in body.layers if layer.material.hydrates)
    if body.hydration is not None and len(begin.age_h) != wet:
        raise HeatError("Every slice of concrete needs its age to begin with.")


def conductance(side: Side, times_h: Array, half_cell: float) -> Array:
    """Heat passed from the middle of a side's last slice to its air [W/m2K] at times: film, covers, half a slice.

    ``half_cell`` is the resistance of half the slice [m2K/W]. A cover counts from its hour on, up to its end.
    """
    if side.closed:
        return np.zeros_like(times_h)
    if side.held:
        return np.full_like(times_h, 1.0 / half_cell)
    wind = side.wind_m_s
    if isinstance(wind, np.ndarray):
        wind = np.interp(times_h, np.arange(len(wind)), wind)
    r = np.broadcast_to(1.0 / film_w_m2k(wind) + half_cell, times_h.shape).copy()
    for cover in side.covers:
        r += np.where((times_h > cover.from_h) & (times_h <= cover.until_h), cover.r_m2k_w, 0.0)
    return np.asarray(1.0 / r, dtype=np.float64)


class _Run:
    """One run: arrays laid out once, then stage after stage."""

    def __init__(self, body: Body, begin: State, times_h: Array, from_h: float) -> None:
        self.body, self.begin, self.times = body, begin, times_h
        materials = materials_of(body)
        self.width, self.k = widths(body), conductivities(body)
        self.capacity = np.array([m.c_j_m3k for m in materials]) * self.width
        wet = [n for n, m in enumerate(materials) if m.hydrates]
        self.wet = slice(wet[0], wet[-1] + 1) if wet else slice(0, 0)
        self.soil = SoilHeat.of(materials, self.width)
        self.kept: dict[float, tuple[Array, Array]] = {}
        self._sides(times_h, from_h)
        h = body.hydration
        self.heat = h.heat_j_m3 * self.width[self.wet] if h is not None and wet else np.zeros(0)

    def _sides(self, times_h: Array, from_h: float) -> None:
        """Conductance to air and air itself at both stages of every step, for both sides."""
        first = times_h[:-1] + GAMMA * np.diff(times_h)
        stages = np.stack([first, times_h[1:]], axis=1) + from_h
        self.half = 0.5 * self.width / self.k
        ends = ((self.body.outside, 0), (self.body.inside, -1))
        self.film = [conductance(side, stages, self.half[at]) for side, at in ends]
        self.air = [np.interp(stages, np.arange(len(s.air_c)), s.air_c) for s, _ in ends]
        heat = [film * air for film, air in zip(self.film, self.air, strict=True)]
        columns = (self.film[0], heat[0], self.film[1], heat[1])
        #: of each stage: conductance outside, times its air, conductance inside, times its air
        self.ends = np.stack([column.ravel() for column in columns], axis=1).tolist()
        self.film0 = [conductance(s, times_h[:1] + from_h + 1e-9, self.half[at])[0] for s, at in ends]
        self.air0 = [float(np.interp(from_h, np.arange(len(s.air_c)), s.air_c)) for s, _ in ends]

    def go(self) -> None:
        """All steps; temperatures and ages of every stage are kept."""
        count, n = len(self.times) - 1, len(self.width)
        self.t_stage = np.empty((2 * count, n))
        self.t_time, self.age_time = np.empty((count + 1, n)), np.empty((count + 1, len(self.begin.age_h)))
        t, age = self.begin.temperature_c.astype(np.float64), self.begin.age_h.astype(np.float64)
        self.t_time[0], self.age_time[0] = t, age
        slope = np.zeros(len(self.begin.age_h))
        energy = self._heat_of(t) - self._released(age)
        self.energy0 = float(energy.sum())
        span = (np.diff(self.times) * 3600.0).round(6).tolist()
        for step in range(count):
            t, age, slope, energy = self._step(step, span[step], t, age, slope, energy)
            self.age_time[step + 1] = age
        self.t_time[1:] = self.t_stage[1::2]
        self.energy1 = float(energy.sum())

    def _step(
        self, step: int, dt: float, t: Array, age: Array, slope: Array, energy: Array
    ) -> tuple[Array, Array, Array, Array]:
        """One step of [s]: two solutions with the same matrix but for the sides. Ages are in hours."""
        g, wet, h = GAMMA * dt, self.wet, self.body.hydration
        hours = dt / 3600.0
        back = (1 - GAMMA) / GAMMA
        if h is None or not len(age):
            t1, e1 = self._stage(2 * step, g, energy, t, None)
            t2, e2 = self._stage(2 * step + 1, g, energy + back * (e1 - energy), t1, None)
            return t2, age, slope, e2
        warm = t[wet]
        rate1 = h.rate(warm + g * slope)
        t1, e1 = self._stage(2 * step, g, energy, t, self.heat * h.degree(age + GAMMA * hours * rate1))
        rate2 = h.rate(warm + (t1[wet] - warm) / GAMMA)
        age2 = age + hours * ((1 - GAMMA) * rate1 + GAMMA * rate2)
        t2, e2 = self._stage(2 * step + 1, g, energy + back * (e1 - energy), t1, self.heat * h.degree(age2))
        return t2, age2, (t2[wet] - t1[wet]) / (dt - g), e2

    def _released(self, age: Array) -> Array:
        """Heat of hydration released by an age [J/m2] in every slice."""
        out = np.zeros_like(self.width)
        if len(self.heat):
            h = self.body.hydration
            assert h is not None
            out[self.wet] = self.heat * h.degree(age)
        return out

    def _heat_of(self, t: Array) -> Array:
        """Heat in every slice [J/m2] at temperatures, from 0 C (freezing soil: from frozen through)."""
        heat = self.capacity * t
        if self.soil is not None:
            heat[self.soil.cells] = self.soil.heat(t[self.soil.cells])
        return heat

    def _matrix(self, g: float, guess: Array) -> tuple[Array, Array]:
        """g x conductance to neighbours: the sum at each slice and, negative, between slices; kept where soil does not
        freeze, with the heat capacity in the sum."""
        known = self.kept.get(g)
        if known is not None:
            return known
        half = self.half if self.soil is None else self.soil.half_resistance(self.half, guess)
        link = g / (half[:-1] + half[1:])
        total = np.zeros(len(self.width))
        total[:-1] += link
        total[1:] += link
        if self.soil is not None:
            return total, -link
        self.kept[g] = (total + self.capacity, -link)
        return self.kept[g]

    def _stage(self, at: int, g: float, base: Array, guess: Array, released: Array | None) -> tuple[Array, Array]:
        """Solve H(T) - released = base + g x (heat arriving at T); gives T and E = H - released (concrete's)."""
        total, off = self._matrix(g, guess)
        out_film, out_heat, in_film, in_heat = self.ends[at]
        diagonal, rhs = total.copy(), base.copy()
        diagonal[0] += g * out_film
        diagonal[-1] += g * in_film
        if released is not None:
            rhs[self.wet] += released
        rhs[0] += g * out_heat
        rhs[-1] += g * in_heat
        if self.soil is None:
            _, _, t, info = lapack.dptsv(diagonal, off, rhs)
            if info:
                raise HeatError("The heat model could not be solved.")
            energy = self.capacity * t
        else:
            t = self._newton(diagonal, off, rhs, guess)
            energy = self._heat_of(t)
        self.t_stage[at] = t
        if released is not None:
            energy[self.wet] -= released
        return t, energy

    def _newton(self, sides: Array, off: Array, rhs: Array, guess: Array) -> Array:
        """Temperatures where freezing soil is among the slices: heat against temperature has knees, so by rounds."""
        soil = self.soil
        assert soil is not None
        t = guess.copy()
        for _ in range(ROUNDS):
            slope = self.capacity.copy()
            slope[soil.cells] = soil.slope(t[soil.cells])
            miss = rhs - self._heat_of(t) - sides * t
            miss[:-1] -= off * t[1:]
            miss[1:] -= off * t[:-1]
            _, _, change, info = lapack.dptsv(slope + sides, off, miss)
            if info:
                break
            t = soil.stopped_at_knees(t, t + change)
            if float(np.abs(change).max()) < NEAR_K:
                return t
        raise HeatError("Freezing soil could not be solved; take shorter steps.")

    def history(self) -> History:
        """Whole hours out of the steps, and the balance."""
        whole = np.flatnonzero(np.abs(self.times - np.round(self.times)) < 1e-9)
        depth = np.cumsum(self.width) - self.width / 2
        return History(
            self.body, np.round(self.times[whole]), self.t_time[whole], self.age_time[whole], depth, self.width,
            self._surfaces()[whole], self._balance(),
        )  # fmt: skip

    def _surfaces(self) -> Array:
        """Temperature of both surfaces at each time: what passes the film arrives through half a slice."""
        out = np.empty((len(self.times), 2))
        for side, at in ((0, 0), (1, -1)):
            film = np.concatenate([[self.film0[side]], self.film[side][:, 1]])
            air = np.concatenate([[self.air0[side]], self.air[side][:, 1]])
            t = self.t_time[:, at]
            out[:, side] = t + film * self.half[at] * (air - t)
        return out

    def _balance(self) -> Balance:
        weights = np.outer((np.diff(self.times) * 3600.0).round(6), (1 - GAMMA, GAMMA))
        stage = self.t_stage.reshape(len(self.times) - 1, 2, -1)
        came = [float((weights * self.film[s] * (self.air[s] - stage[:, :, at])).sum()) for s, at in ((0, 0), (1, -1))]
        released = float((self._released(self.age_time[-1]) - self._released(self.age_time[0])).sum())
        return Balance(came[0], came[1], released, self.energy1 - self.energy0 + released)
