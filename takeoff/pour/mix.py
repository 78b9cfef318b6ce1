"""Temperature of the mix from its ingredients and back, what the haul takes, stone that fits the core.

Heat balance of fresh concrete: t = sum(m c T) / sum(m c), cement and aggregate at 0.22 of the heat of water; ice takes
its heat of melting besides. Published by The Concrete Society (nugget 935) and, with ice, in project sheets. Sizes in
pounds and degrees F, as the plant's batch ticket says them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from takeoff.problems import Problem, Severity
from takeoff.sources import Source
from takeoff.weather.rules_306r import MOST_ABOVE_LEAST_F, mixing_minimum_f, placing_minimum_f

MIXING_FORMULA = Source("The Concrete Society", "", "Heating concrete using hot water, nugget 935")
HAUL_LOSS = Source("ACI 306R", "-88", "3.8 temperature loss, revolving drum", seen=False)
AGGREGATE_SIZE = Source("ACI 318", "", "largest aggregate", seen=False)
#: Heat of a pound of dry solids in that of water, heat of melting [Btu/lb].
SOLIDS = 0.22
MELTING_BTU_LB = 144.0
FREEZING_F = 32.0
#: Hotter water than this makes cement set at once unless it meets the aggregate first [F]; 60 C in the same source.
HOTTEST_WATER_F = 140.0
#: Part of the difference to the air that a revolving drum loses in an hour, an open and a covered dump body.
DRUM_PER_H, OPEN_BODY_PER_H, COVERED_BODY_PER_H = 0.25, 0.20, 0.10
#: Stone sizes as sold [in].
STONE_SIZES_IN = (0.375, 0.5, 0.75, 1.0, 1.5)
#: Concrete is not discharged warmer than this [F]: ACI 305.1 and ACI 301, as quoted by public pages.
HOTTEST_CONCRETE_F = 95.0
#: Usual least temperature of delivery where the weather is not cold [F]; common practice.
USUAL_LEAST_F = 50.0


def balance(parts: Iterable[tuple[float, float]], melted: float = 0.0) -> float:
    """Temperature of parts put together: (sum of heat capacity x temperature - heat of melting) / sum of capacity.

    ``parts`` are (heat capacity, temperature) in any consistent unit; ``melted`` is heat taken by melting ice, whose
    water counts among the parts at the melting point. Raises ValueError where nothing is mixed.
    """
    pairs = list(parts)
    capacity = sum(c for c, _ in pairs)
    if not capacity > 0:
        raise ValueError("Nothing is mixed.")
    return (sum(c * t for c, t in pairs) - melted) / capacity


@dataclass(frozen=True, slots=True)
class Batch:
    """One cubic yard [lb] and the temperature of each part [F].

    ``moisture_lb`` is water in the aggregate, as warm as it; ``aggregate_lb`` is dry or, with no moisture given,
    saturated and surface dry.
    """

    cement_lb: float
    aggregate_lb: float
    water_lb: float
    cement_f: float
    aggregate_f: float
    water_f: float
    moisture_lb: float = 0.0
    ice_lb: float = 0.0


def fresh_temperature_f(batch: Batch) -> float:
    """Temperature of the concrete [F] as it leaves the mixer."""
    parts = (
        (SOLIDS * batch.cement_lb, batch.cement_f),
        (SOLIDS * batch.aggregate_lb, batch.aggregate_f),
        (batch.water_lb, batch.water_f),
        (batch.moisture_lb, batch.aggregate_f),
        (batch.ice_lb, FREEZING_F),
    )
    return balance(parts, MELTING_BTU_LB * batch.ice_lb)


@dataclass(frozen=True, slots=True)
class WaterNeeded:
    """Temperature of the mixing water [F] for a target; ``problem`` where hot water alone does not do it."""

    water_f: float
    problem: Problem | None


def water_needed(batch: Batch, target_f: float) -> WaterNeeded:
    """How hot the mixing water must be for concrete of ``target_f``; the batch's own water temperature is not read.

    Exact inverse of :func:`fresh_temperature_f`. Raises ValueError where the batch has no mixing water.
    """
    if not batch.water_lb > 0:
        raise ValueError("There is no mixing water to heat.")
    cold = fresh_temperature_f(replace(batch, water_f=0.0))
    solids = SOLIDS * (batch.cement_lb + batch.aggregate_lb)
    capacity = solids + batch.water_lb + batch.moisture_lb + batch.ice_lb
    water = (target_f - cold) * capacity / batch.water_lb
    return WaterNeeded(water, _water_problem(water, target_f))


def _water_problem(water_f: float, target_f: float) -> Problem | None:
    if water_f > HOTTEST_WATER_F:
        said = f"Concrete of {target_f:.0f} °F would take water of {water_f:.0f} °F, over {HOTTEST_WATER_F:.0f}: "
        return Problem(Severity.WARNING, said + "the aggregate must be heated too, or the water meet it before cement.")
    if water_f < FREEZING_F:
        return Problem(Severity.NOTE, f"Concrete of {target_f:.0f} °F would take water below freezing: use ice.")
    return None


# -- on the way ---------------------------------------------------------------------------------------
def haul_loss_f(arriving_f: float, air_f: float, hours: float, per_hour: float = DRUM_PER_H) -> float:
    """Heat lost on the way [F]: 0.25 (tr - ta) an hour in a revolving drum, tr on arrival; none to warmer air."""
    return max(per_hour * (arriving_f - air_f) * hours, 0.0)


def batched_f(arriving_f: float, air_f: float, hours: float, per_hour: float = DRUM_PER_H) -> float:
    """Temperature at the plant [F] that arrives as ``arriving_f``."""
    return arriving_f + haul_loss_f(arriving_f, air_f, hours, per_hour)


def arriving_f(batched: float, air_f: float, hours: float, per_hour: float = DRUM_PER_H) -> float:
    """Temperature on arrival [F] of concrete batched at ``batched``: the inverse of :func:`batched_f`."""
    if batched <= air_f:
        return batched
    return (batched + per_hour * hours * air_f) / (1 + per_hour * hours)


@dataclass(frozen=True, slots=True)
class MixTemperatures:
    """What is asked of the temperature of one pour [F]: at discharge from and to, as mixed, and of the water."""

    discharge_least_f: float
    discharge_most_f: float
    batched_f: float
    water: WaterNeeded | None
    words: str


def mix_temperatures(
    thickness_in: float, air_f: float, haul_hours: float, batch: Batch | None = None, cold: bool = True
) -> MixTemperatures:
    """Temperatures to order for a section of a thickness [in] in an air [F] after a haul [h].

    At the plant the warmer of two holds: the cold-weather guide's mixing temperature and what the haul takes from the
    placing temperature. Not ``cold``: the usual 50 to 95 F.
    """
    least = placing_minimum_f(thickness_in) if cold else USUAL_LEAST_F
    most = least + MOST_ABOVE_LEAST_F if cold else HOTTEST_CONCRETE_F
    at_plant = batched_f(least, air_f, haul_hours)
    at_plant = max(at_plant, mixing_minimum_f(thickness_in, air_f)) if cold else at_plant
    water = water_needed(batch, at_plant) if batch is not None else None
    words = (
        f"{least:.0f} to {most:.0f} °F at discharge; about {at_plant:.0f} °F or more as batched "
        f"in air of {air_f:.0f} °F"
    )
    if water is not None:
        words += f"; mixing water about {water.water_f:.0f} °F"
    return MixTemperatures(least, most, at_plant, water, words)


# -- stone --------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class StoneLimit:
    """Largest stone [in] by rule, the largest size sold within it (None: none), and why."""

    limit_in: float
    size_in: float | None
    why: str


def largest_stone(clear_core_in: float, clear_bars_in: float | None = None) -> StoneLimit:
    """Largest nominal stone: 1/5 of the narrowest dimension between forms, 3/4 of the clear space between bars.

    Lengths in inches. Raises ValueError for a core of nothing.
    """
    if not clear_core_in > 0 or (clear_bars_in is not None and not clear_bars_in > 0):
        raise ValueError("Core and space between bars must be more than nothing.")
    limit, why = clear_core_in / 5, f"1/5 of the {clear_core_in:g} in between the forms"
    if clear_bars_in is not None and 0.75 * clear_bars_in < limit:
        limit, why = 0.75 * clear_bars_in, f"3/4 of the {clear_bars_in:g} in between bars"
    sizes = [size for size in STONE_SIZES_IN if size <= limit + 1e-9]
    return StoneLimit(limit, max(sizes) if sizes else None, f"{why} = {limit:.2f} in")


def stone_problem(stone_in: float, clear_core_in: float, clear_bars_in: float | None = None) -> Problem | None:
    """A sentence where the stone ordered is larger than fits."""
    limit = largest_stone(clear_core_in, clear_bars_in)
    if stone_in <= limit.limit_in + 1e-9:
        return None
    return Problem(Severity.WARNING, f"Stone of {stone_in:g} in is too large: {limit.why} is the most.")
