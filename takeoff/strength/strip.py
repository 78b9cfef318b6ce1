"""A strip of wall one foot wide under earth: moments and reactions by statics.

Pounds and feet. The outside earth presses as a fluid of ``pressure`` [psf per ft of depth]. Inside ground balances it
up to its own level, so the net pressure grows from nothing at the outside grade to pressure x fill at the inside
ground and stays so down to the foot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EarthLoad:
    """Earth on a strip: ``span`` foot to top [ft], ``fill`` outside ground above inside ground [ft], ``balanced``
    inside ground above the foot [ft], ``pressure`` [psf per ft of depth]. The earth may not stand above the top."""

    span: float
    fill: float
    pressure: float
    balanced: float = 0.0

    def __post_init__(self) -> None:
        if min(self.span, self.pressure) <= 0 or min(self.fill, self.balanced) < 0:
            raise ValueError("a strip has a span and a pressure above nothing, and no negative heights")
        if self.fill + self.balanced > self.span + 1e-9:
            raise ValueError("earth stands above the top of the strip")

    @property
    def total(self) -> float:
        """Whole net load [lb per ft of wall]: q H^2 / 2 + q H b."""
        return self.pressure * self.fill * (self.fill / 2 + self.balanced)

    @property
    def about_foot(self) -> float:
        """Moment of the load about the foot [lb ft per ft]: q H^2 / 2 x (b + H / 3) + q H b^2 / 2."""
        q, h, b = self.pressure, self.fill, self.balanced
        return q * h * h / 2 * (b + h / 3) + q * h * b * b / 2


@dataclass(frozen=True, slots=True)
class Effects:
    """What the load does: greatest moment [lb ft per ft] and its height above the foot [ft], reactions [lb per ft]."""

    moment: float
    at: float
    top: float
    foot: float


def pinned(load: EarthLoad) -> Effects:
    """A strip held at top and foot, free to turn there.

    Top reaction R = (moment of load about the foot) / L. The shear is nothing where the load from the top down equals
    R: at u = sqrt(2 R / q) below grade, M = R (L - b - H + u) - q u^3 / 6; or, where R is more than q H^2 / 2, in the
    even part below. For b = 0 the u of the published closed form. Statics.
    """
    q, h, b = load.pressure, load.fill, load.balanced
    top = load.about_foot / load.span
    above = load.span - b - h
    triangle = q * h * h / 2
    if top <= triangle or h == 0:
        u = math.sqrt(2 * top / q)
        moment, at = top * (above + u) - q * u**3 / 6, load.span - above - u
    else:
        t = (top - triangle) / (q * h)
        moment = top * (above + h + t) - triangle * (h / 3 + t) - q * h * t * t / 2
        at = load.span - above - h - t
    return Effects(moment, at, top, load.total - top)


def cantilever(load: EarthLoad) -> Effects:
    """A strip fixed at its foot with its top free: the foot carries all. Statics."""
    return Effects(load.about_foot, 0.0, 0.0, load.total)
