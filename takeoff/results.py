"""Frozen output of the engine: quantities, placed units, bars, and the numbers gates ask for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from takeoff.plan import Plan, Stage
from takeoff.problems import Problem
from takeoff.sources import Source
from takeoff.units import Length


class Unit(StrEnum):
    """Units a quantity is worked out in (not the unit it is bought in)."""

    EACH = "each"
    FT = "ft"
    FT2 = "ft2"
    YD3 = "yd3"
    LB = "lb"
    IN = "in"
    GAL = "gal"


@dataclass(frozen=True, slots=True)
class Buy:
    """How something is bought: ``step`` of the quantity's unit makes one ``unit``; ``waste`` is a fraction added
    before rounding, ``extra`` an amount added once per order after waste (a pump hopper)."""

    unit: str  # 'bundle of 12', 'bar 20 ft', 'quarter yard', 'roll', 'coil 100 ft'
    step: float
    waste: float = 0.0
    extra: float = 0.0


@dataclass(frozen=True, slots=True)
class Quantity:
    """An amount that can defend itself.

    ``amount`` is unrounded. ``basis`` is the sum written out ('(2 x 40'-0" + ...) x 0.5 ft x 4 ft = 3.1 yd3').
    ``key`` names the kind of thing ('footing.concrete') and is stable; ``buy`` None is not bought. ``legs`` are the
    names of the legs it covers.
    """

    key: str
    label: str
    amount: float
    unit: Unit
    stage: Stage
    section: str
    purpose: str
    basis: str
    source: Source
    buy: Buy | None = None
    legs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line for a supplier: quantities of one key added up, wasted and rounded once."""

    key: str
    label: str
    amount: float  # unrounded, before waste
    unit: Unit
    with_waste: float
    count: int  # buying units
    buy_unit: str
    ordered: float  # count x step, in `unit`
    basis: str


class UnitKind(StrEnum):
    """A placed form unit."""

    STRAIGHT = "straight"
    CORNER_RIGHT = "corner_right"
    CORNER_LEFT = "corner_left"
    CORNER = "corner"  # reversible
    CORNER_45_RIGHT = "corner_45_right"
    CORNER_45_LEFT = "corner_45_left"
    CORNER_45 = "corner_45"  # reversible
    MITRE = "mitre"  # straight unit cut to an angle that has no corner unit laid out here


@dataclass(frozen=True, slots=True)
class PlacedUnit:
    """One unit (or the leg of a corner unit) where it stands in a leg's elevation.

    ``start``/``end`` along the outside face of foam from the leg's start corner; ``bottom``/``top`` levels as placed
    (after ripping or notching). A corner unit appears on both legs it belongs to, with ``counted`` True on one only.
    ``cut_start``/``cut_end``: that end was sawn. ``ripped``: lower than the unit's height. ``part_height``: a unit made
    lower than the others. ``cap_start``/``cap_end``: that end stands in the open and is closed by an end cap. ``stage``
    is the wall it is stacked with. ``mark`` is what the elevation prints on it.
    """

    leg: str
    course: int  # 1 = first on the section's course grid
    kind: UnitKind
    start: Length
    end: Length
    bottom: Length
    top: Length
    stage: Stage
    counted: bool = True
    cut_start: bool = False
    cut_end: bool = False
    ripped: bool = False
    notched: bool = False
    mark: str = ""
    part_height: bool = False
    cap_start: bool = False
    cap_end: bool = False


@dataclass(frozen=True, slots=True)
class StackSeam:
    """Joints of two courses closer than the minimum offset: to be strapped on both faces."""

    leg: str
    course: int  # the upper of the two
    at: Length
    offset: Length


class BarRole(StrEnum):
    """What a bar does."""

    FOOTING = "footing"
    FOOTING_CORNER = "footing_corner"
    DOWEL = "dowel"
    HORIZONTAL = "horizontal"
    CORNER = "corner"
    VERTICAL = "vertical"
    PROJECTING = "projecting"  # frost wall vertical standing up into the full-height wall
    OPENING = "opening"
    LINTEL = "lintel"
    STIRRUP = "stirrup"  # of a lintel or a brick ledge
    LEDGE = "ledge"  # along the lip of a brick ledge
    PAD = "pad"


@dataclass(frozen=True, slots=True)
class BarShape:
    """How a bar is bent: out-to-out legs in order, and the turn after each but the last [degrees, positive one way,
    negative the other]. ``inside_diameters``: inside bend diameter in bar diameters. A straight bar has no shape."""

    legs: tuple[Length, ...]
    turns_deg: tuple[float, ...]
    inside_diameters: int = 6


@dataclass(frozen=True, slots=True)
class Bar:
    """A run of identical bars.

    ``cut_length`` of one piece; ``count`` pieces. ``places`` are their lines in the leg's elevation as
    (x0, y0, x1, y1) in inches (x from the leg's outside start, y level), one entry per place drawn.
    """

    mark: str
    size: int  # imperial bar number
    role: BarRole
    stage: Stage
    section: str
    leg: str
    count: int
    cut_length: Length
    lap: Length | None
    basis: str
    places: tuple[tuple[float, float, float, float], ...] = ()
    shape: BarShape | None = None


@dataclass(frozen=True, slots=True)
class Criterion:
    """A number a person must find on site: 'lap', 30 in, at least. ``tolerance`` is +- where ``sense`` is 'is'."""

    key: str
    label: str
    value: float
    unit: str
    sense: str  # 'at least' | 'at most' | 'is'
    stage: Stage
    source: Source
    tolerance: float = 0.0
    legs: tuple[str, ...] = ()
    text: str = ""  # as said on site: 'laps 30 in or more'


@dataclass(frozen=True, slots=True)
class Unbalanced:
    """Unbalanced backfill of one leg [in]: ground outside above the ground or slab inside; the worst stretch."""

    leg: str
    stage: Stage  # FROST_BACKFILL or FINAL_BACKFILL
    before_slab: Length
    after_slab: Length
    bracing_waived_before_slab: bool
    bracing_waived_after_slab: bool
    basis: str


class WallState(StrEnum):
    """When a wall is asked whether its steel is enough."""

    FROST_FILL = "frost_fill"  # a frost wall while both sides are filled
    FROST_ONE_SIDE = "frost_one_side"  # a frost wall braced at its top, one side filled alone
    BEFORE_SLAB = "before_slab"  # filled outside before the slab inside is placed
    FINISHED = "finished"


class Verdict(StrEnum):
    """What a check of the steel says."""

    ENOUGH = "enough"
    NOT_ENOUGH = "not enough"
    ENGINEER = "engineer required"


@dataclass(frozen=True, slots=True)
class SteelCheck:
    """The upright steel of one stretch of one leg in one state against the code's table and a strip of wall.

    ``start``..``end`` along the dimensioned face; ``height`` unsupported, ``fill`` unbalanced. ``table``, ``row`` and
    ``required`` are '' where no table may be used, ``reason`` says why. Moment and capacity in lb ft per ft of wall,
    factored and reduced; ``ratio`` is the larger of moment and shear over capacity, above 1 where the strip fails.
    """

    leg: str
    start: Length
    end: Length
    stage: Stage
    state: WallState
    core: Length
    height: Length
    fill: Length
    table: str
    row: str
    required: str
    provided: str
    verdict: Verdict
    reason: str
    moment_lb_ft: float
    capacity_lb_ft: float
    ratio: float
    basis: tuple[str, ...]
    source: Source


@dataclass(frozen=True, slots=True)
class Part:
    """What one part of the engine (footing, walls, envelope, earth, bars, braces) adds to the answer."""

    quantities: tuple[Quantity, ...] = ()
    criteria: tuple[Criterion, ...] = ()
    problems: tuple[Problem, ...] = ()
    bars: tuple[Bar, ...] = ()
    checks: tuple[SteelCheck, ...] = ()


@dataclass(frozen=True, slots=True)
class Takeoff:
    """The whole answer for one plan."""

    plan: Plan
    quantities: tuple[Quantity, ...]
    units: tuple[PlacedUnit, ...]
    seams: tuple[StackSeam, ...]
    bars: tuple[Bar, ...]
    criteria: tuple[Criterion, ...]
    unbalanced: tuple[Unbalanced, ...]
    problems: tuple[Problem, ...]
    checks: tuple[SteelCheck, ...] = ()

    def of(self, stage: Stage, sections: tuple[str, ...] | None = None) -> tuple[Quantity, ...]:
        """Quantities of one stage, all sections or the named ones."""
        return tuple(q for q in self.quantities if q.stage is stage and (sections is None or q.section in sections))

    def criteria_for(self, stage: Stage, legs: tuple[str, ...] | None = None) -> tuple[Criterion, ...]:
        """Criteria of one stage that concern any of the legs."""
        wanted = None if legs is None else set(legs)
        return tuple(
            c for c in self.criteria if c.stage is stage and (wanted is None or not c.legs or wanted & set(c.legs))
        )

    def criterion(self, stage: Stage, key: str, leg: str | None = None) -> Criterion | None:
        """One criterion by key, or None."""
        for c in self.criteria_for(stage, None if leg is None else (leg,)):
            if c.key == key:
                return c
        return None
