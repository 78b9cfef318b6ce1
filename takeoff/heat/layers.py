"""What a wall or a footing is made of for the heat model: layers in order, and what each side meets.

A layer has a thickness and a material; a side has air hour by hour, wind, and covers taken off at an hour. Sun, rain
and the cold sky are left out: the sky makes clear nights a little colder than told, sun makes days warmer.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from takeoff.heat.hydration import Hydration
from takeoff.sources import Source

Array = NDArray[np.float64]

CENGEL = Source("Cengel and Ghajar, Heat and Mass Transfer", "", "property tables", seen=False)
FILM = Source("ISO 6946", "2007", "Annex A surface resistance, h = 4 + 4 v + hr", seen=False)
EDGE_SHAPE = Source("Incropera and DeWitt, Fundamentals of Heat and Mass Transfer", "6th", "Table 4.1 case 8")
#: Convection of a surface [W/m2K] in still air and for each m/s of wind; radiation of a dull surface at 0 C.
STILL, PER_M_S, RADIATION = 4.0, 4.0, 4.1
#: Conduction through the edge where two walls join, by length of the edge and conductivity.
EDGE = 0.54
#: Metres in an inch.
M_PER_IN = 0.0254
#: One US R unit (ft2 F h/Btu) in m2K/W.
R_US = 0.176110
#: Wind in a sheltered hole where none is given [m/s]; common practice.
SHELTERED_M_S = 1.0


class HeatError(ValueError):
    """What the heat model cannot work with; its message is a sentence fit for the person who gave it."""


@dataclass(frozen=True, slots=True)
class Freezing:
    """How a wet material freezes: ``latent_j_m3`` given off from ``begins_c`` to ``ends_c``, and what it is then."""

    latent_j_m3: float
    k_frozen: float
    c_frozen_j_m3k: float
    begins_c: float = 0.0
    ends_c: float = -0.5

    def __post_init__(self) -> None:
        if not (self.latent_j_m3 > 0 and self.k_frozen > 0 and self.c_frozen_j_m3k > 0):
            raise HeatError("Frozen soil needs conductivity, heat capacity and heat of freezing above nothing.")
        if not self.ends_c < self.begins_c:
            raise HeatError("Soil must freeze over a range of temperatures, however small.")


@dataclass(frozen=True, slots=True)
class Material:
    """Conductivity [W/mK], heat capacity by volume [J/m3K]; whether it gives off heat of hydration; how it freezes."""

    name: str
    k: float
    c_j_m3k: float
    source: Source = CENGEL
    hydrates: bool = False
    freezing: Freezing | None = None

    def __post_init__(self) -> None:
        if not (self.k > 0 and self.c_j_m3k > 0):
            raise HeatError(f"{self.name}: conductivity and heat capacity must be more than nothing.")


#: Hardening concrete of ordinary stone; conductivity as quoted for hydration models, see hydration.py for its capacity.
CONCRETE = Material("concrete", 1.7, 2.40e6, Source("OOFEM, material library manual", "", "hydrating concrete"), True)
FOAM = Material("expanded polystyrene", 0.036, 25 * 1400.0)
PLYWOOD = Material("plywood", 0.12, 545 * 1215.0)


@dataclass(frozen=True, slots=True)
class Layer:
    """``cells`` equal slices of a material."""

    material: Material
    thickness_m: float
    cells: int

    def __post_init__(self) -> None:
        if not self.thickness_m > 0 or self.cells < 1:
            raise HeatError(f"A layer of {self.material.name} needs a thickness and at least one slice.")


@dataclass(frozen=True, slots=True)
class Cover:
    """A resistance laid on a side [m2K/W] from an hour until another; blankets, tarpaulins, straw."""

    r_m2k_w: float
    from_h: float = 0.0
    until_h: float = float("inf")


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """What a side meets: air [C] at each whole hour from placing, straight between; wind [m/s] likewise or steady.

    ``held``: the surface itself has the temperature given, as ground deep down; no film then. ``closed``: no heat
    passes (a plane of symmetry).
    """

    air_c: Array
    wind_m_s: Array | float = SHELTERED_M_S
    covers: tuple[Cover, ...] = ()
    held: bool = False
    closed: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """Layers from outside (or above) to inside (or below), its two sides, and the hydration of its concrete."""

    layers: tuple[Layer, ...]
    outside: Side
    inside: Side
    hydration: Hydration | None = None
    names: tuple[str, str] = field(default=("outside", "inside"))


def materials_of(body: Body) -> list[Material]:
    """The material of each slice, from outside."""
    return [layer.material for layer in body.layers for _ in range(layer.cells)]


def widths(body: Body) -> Array:
    """The width of each slice [m]."""
    return np.array([layer.thickness_m / layer.cells for layer in body.layers for _ in range(layer.cells)])


def conductivities(body: Body) -> Array:
    """The conductivity of each slice [W/mK], thawed."""
    return np.array([m.k for m in materials_of(body)])


def film_w_m2k(wind_m_s: Array | float) -> Array:
    """Heat passed from a surface to air and surroundings [W/m2K] by wind [m/s]: 4 + 4 v + 4.1. ISO 6946 Annex A."""
    return np.asarray(STILL + PER_M_S * np.maximum(wind_m_s, 0.0) + RADIATION, dtype=np.float64)


def steady_side(air_c: float, hours: int, wind_m_s: float = SHELTERED_M_S, covers: tuple[Cover, ...] = ()) -> Side:
    """A side of unchanging air [C] and wind [m/s] for some hours."""
    return Side(np.full(hours + 1, float(air_c)), wind_m_s, covers)


def wall(
    core_m: float,
    foam_m: float,
    outside: Side,
    inside: Side,
    hydration: Hydration | None,
    concrete: Material = CONCRETE,
    fineness: int = 1,
) -> Body:
    """An insulated wall: foam, core, foam; with no foam (0), bare concrete. ``fineness`` multiplies the slices."""
    core = Layer(concrete, core_m, max(8, round(core_m / 0.016)) * fineness)
    foam = (Layer(FOAM, foam_m, 3 * fineness),) if foam_m > 0 else ()
    return Body((*foam, core, *foam), outside, inside, hydration)


def footing(
    depth_m: float,
    soil: Material,
    above: Side,
    below_c: float,
    hydration: Hydration | None,
    soil_m: float = 2.5,
    concrete: Material = CONCRETE,
) -> Body:
    """A footing bare on top on soil held at ``below_c`` at ``soil_m`` below it; slices grow with depth."""
    ground = Side(np.full(len(above.air_c), float(below_c)), held=True)
    layers = (Layer(concrete, depth_m, max(6, round(depth_m / 0.03))), *soil_layers(soil, soil_m))
    return Body(layers, above, ground, hydration, ("above", "below"))


def soil_layers(soil: Material, depth_m: float) -> tuple[Layer, ...]:
    """Soil in slices of 2 cm for the first 20 %, 4 cm for the next 30 %, 8 cm below, as near as they fit."""
    parts = ((0.2, 0.02), (0.3, 0.04), (0.5, 0.08))
    return tuple(Layer(soil, depth_m * part, max(2, round(depth_m * part / size))) for part, size in parts)


def corner_factor(foam_m: float, core_m: float) -> float:
    """How much more heat a core's outside corner loses than a like length of wall: 1 + 0.54 t / (2 c).

    The column of core at the corner, c by c, has two outer faces and no inner one, so as much face as the wall; to
    these the edge of the foam adds a shape factor of 0.54. Heat that flows in along both walls is left out, so the
    corner is told colder than it is. A bare wall (t = 0) has no such edge: its factor is 1.
    """
    if not core_m > 0 or foam_m < 0:
        raise HeatError("A corner needs a core and foam of no less than nothing.")
    return 1.0 + EDGE * foam_m / (2.0 * core_m)
