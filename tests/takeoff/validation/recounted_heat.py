"""A wall, its corner and top, and frost under a footing worked out a second time, by other solvers and on other slices.

Heat is solved by scipy and on a sparse two-dimensional grid; hydration by Schindler and Folliard (2005; coefficients
from memory), films by ISO 6946 Annex A (from memory). Frost goes by explicit steps of heat; conductivity of soil by
Kersten (1949; from memory).
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from scipy import sparse
from scipy.integrate import solve_ivp
from scipy.sparse.linalg import splu

INCH = 0.0254


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


# -- a wall ----------------------------------------------------------------------------------------
CORE, FOAM, HOURS = 8 * INCH, 2.5 * INCH, 120
K_CONCRETE, K_FOAM, C_FOAM, FILM = 1.7, 0.036, 25 * 1400.0, 4 + 4 * 1.0 + 4.1
#: 334.6 kg cement, 150.6 kg water, 1840 kg stone in a cubic metre; the cement's compounds as of a usual Type I.
HEAT_J_M3 = 334600 * (500 * 0.55 + 260 * 0.18 + 866 * 0.09 + 420 * 0.08 + 624 * 0.027 + 1186 * 0.008 + 850 * 0.02)
ULTIMATE = 1.031 * (150.6 / 334.6) / (0.194 + 150.6 / 334.6)
TAU = 66.78 * 0.09**-0.154 * 0.55**-0.401 * 380**-0.804 * 0.027**-0.758
BETA = 181.4 * 0.09**0.146 * 0.55**0.227 * 380**-0.535 * 0.027**0.558
ACTIVATION = 22100 * 0.09**0.30 * 0.08**0.25 * 380**0.35
C_CONCRETE = 840 * 334.6 + 770 * 1840 + 4187 * 150.6


def degree(age_h: np.ndarray) -> np.ndarray:
    return ULTIMATE * np.exp(-((TAU / age_h) ** BETA))


def pace(temperature_c: np.ndarray) -> np.ndarray:
    return np.exp(ACTIVATION / 8.314 * (1 / 294.25 - 1 / (temperature_c + 273.15)))


def outdoors(hour: float) -> float:
    """From 35 F to 5 F in three days, then steady."""
    return celsius(float(np.interp(hour, [0, 72], [35, 5])))


def air(hour: float) -> float:
    """Kept at 50 F from 20 to 40 h."""
    return max(outdoors(hour), celsius(50)) if 20 <= hour < 40 else outdoors(hour)


def blanket(hour: float) -> float:
    """R 5 from 2 to 60 h [m2K/W]; 1 h ft2 F/Btu is 0.17611 m2K/W."""
    return 5 * 0.17611 if 2 < hour <= 60 else 0.0


@cache
def core_by_scipy() -> tuple[np.ndarray, np.ndarray]:
    """Quarters of an hour and the middle of the core [C]: half the wall, 4 slices of foam and 10 of concrete."""
    wide = np.r_[np.full(4, FOAM / 4), np.full(10, CORE / 20)]
    half = wide / 2 / np.r_[np.full(4, K_FOAM), np.full(10, K_CONCRETE)]
    heat = wide * np.r_[np.full(4, C_FOAM), np.full(10, C_CONCRETE)]

    def slope(hour: float, y: np.ndarray) -> np.ndarray:
        t, age = y[:14], y[14:]
        flow = np.diff(t) / (half[:-1] + half[1:])
        into = np.r_[flow, 0.0] - np.r_[0.0, flow]
        into[0] += (air(hour) - t[0]) / (half[0] + blanket(hour) + 1 / FILM)
        gone = degree(age) * BETA / age * (TAU / age) ** BETA
        into[4:] += HEAT_J_M3 * gone * pace(t[4:]) / 3600 * wide[4:]
        return np.r_[into / heat * 3600, pace(t[4:])]

    y = np.r_[np.full(4, air(0)), np.full(10, celsius(60)), np.ones(10)]
    hours, core = [0.0], [celsius(60)]
    for begin, end in ((0, 2), (2, 20), (20, 40), (40, 60), (60, HOURS)):
        at = np.arange(begin + 0.25, end + 0.1, 0.25)
        got = solve_ivp(slope, (begin + 1e-9, end - 1e-9), y, "BDF", np.minimum(at, end - 1e-9), rtol=1e-5, atol=1e-5)
        y = got.y[:, -1]
        hours += list(at)
        core += list(got.y[13])
    return np.array(hours), np.array(core)


# -- in two dimensions -----------------------------------------------------------------------------
DX = INCH / 2


class Grid:
    """Half-inch squares of foam and concrete stepped by half hours, implicit but for the age of the concrete."""

    def __init__(self, concrete: np.ndarray, solid: np.ndarray) -> None:
        self.number = np.where(solid, np.cumsum(solid).reshape(solid.shape) - 1, -1)
        self.concrete = concrete[solid]
        self.half = np.where(self.concrete, DX / 2 / K_CONCRETE, DX / 2 / K_FOAM)
        self.heat = np.where(self.concrete, C_CONCRETE, C_FOAM) * DX * DX / 1800
        pairs = [np.stack([a.ravel(), b.ravel()]) for a, b in (
            (self.number[:-1], self.number[1:]), (self.number[:, :-1], self.number[:, 1:]))]  # fmt: skip
        one, other = (both := np.hstack(pairs))[:, (both >= 0).all(axis=0)]
        link, n = DX / (self.half[one] + self.half[other]), len(self.concrete)
        self.links = sparse.csc_matrix((np.r_[link, link], (np.r_[one, other], np.r_[other, one])), (n, n))

    def run(self, sides: np.ndarray, place: int) -> np.ndarray:
        """Temperature [C] of a place at whole hours; ``sides`` are the squares that meet the air, twice at an edge."""
        t = np.where(self.concrete, celsius(60), air(0))
        age, solved, out = np.ones(self.concrete.sum()), {}, [celsius(60)]
        for step in range(2 * HOURS):
            now, cover = (step + 1) / 2, blanket(step / 2 + 0.25)
            if cover not in solved:
                loss = np.zeros(len(t))
                np.add.at(loss, sides, DX / (self.half[sides] + cover + 1 / FILM))
                total = self.heat + np.asarray(self.links.sum(axis=0)).ravel() + loss
                solved[cover] = splu((sparse.diags(total) - self.links).tocsc()), loss
            by, loss = solved[cover]
            older = age + 0.5 * pace(t[self.concrete])
            right = self.heat * t + loss * air(now - 1e-9)
            right[self.concrete] += HEAT_J_M3 * (degree(older) - degree(age)) * DX * DX / 1800
            t, age = by.solve(right), older
            if step % 2:
                out.append(float(t[place]))
        return np.array(out)


# -- frost -----------------------------------------------------------------------------------------
def frost_by_steps(days: int, mean_f: float) -> tuple[np.ndarray, float, float]:
    """Air [C], deepest frost from the top of a 10 in footing [in] and freezing index [F days]: explicit steps of heat
    in silt of 95 pcf and 20 % water (all of it freezing from 0 to -0.3 C) over ground of 45 F."""
    hours = np.arange(24 * days + 1)
    outside = (mean_f + 8 * np.sin(2 * np.pi * (hours - 9) / 24) - 32) / 1.8
    frozen = (0.01 * 10 ** (0.022 * 95) + 0.085 * 10 ** (0.008 * 95) * 20) / 12 * 1.730735
    thawed = (0.9 * math.log10(20) - 0.2) * 10**0.95 / 12 * 1.730735
    latent, cold, warm = 144 * 95 * 0.2 * 37258.9, 95 * (0.17 + 0.1) * 67066.1, 95 * (0.17 + 0.2) * 67066.1
    slush = latent + (cold + warm) / 2 * 0.3
    soil = np.arange(65) >= 5
    wide = np.where(soil, 2.5 / 60, 0.254 / 5)
    heat = np.where(soil, slush + warm * celsius(45), 2.4e6 * celsius(45))
    deepest = 0.0
    for step in range(24 * days * 6):
        melting = np.where(
            heat < 0, heat / cold - 0.3, np.where(heat < slush, heat / slush * 0.3 - 0.3, (heat - slush) / warm)
        )
        t = np.where(soil, melting, heat / 2.4e6)
        part = np.clip(-t / 0.3, 0, 1)
        half = wide / 2 / np.where(soil, thawed + (frozen - thawed) * part, 1.7)
        flow = np.diff(t) / (half[:-1] + half[1:])
        into = np.r_[flow, 0.0] - np.r_[0.0, flow]
        into[0] += (np.interp(step / 6, hours, outside) - t[0]) / (half[0] + 1 / FILM)
        into[-1] += (celsius(45) - t[-1]) / half[-1]
        heat = heat + into * 600 / wide
        if t.min() <= 0:
            n = int(np.flatnonzero(t <= 0)[-1])
            middle = np.cumsum(wide) - wide / 2
            deepest = max(deepest, middle[n] + t[n] / (t[n] - t[n + 1]) * (middle[n + 1] - middle[n]))
    return outside, deepest / INCH, days * (32 - mean_f)
