"""The concrete order of one pour: everything the plant and the pump need to hear, and as a text message.

What nobody has decided (slump, its approval) is said as missing, never filled in.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from takeoff.pour.lifts import LiftPlan, Pour, part_load_yd3
from takeoff.pour.mix import MixTemperatures, stone_problem
from takeoff.pour.testing import SamplesDue, samples_due
from takeoff.problems import Problem, Severity
from takeoff.readymix import trucks
from takeoff.site import ConcreteSpec
from takeoff.weather.hours import spoken

LINE = 40


@dataclass(frozen=True, slots=True)
class ConcreteOrder:
    """One order. ``loads`` [yd3] in order of arrival, ``every_min`` between trucks, ``problems`` open when written."""

    house: str
    part: str
    at: datetime
    yd3: float
    loads: tuple[float, ...]
    every_min: float | None
    strength_psi: int
    stone_in: float
    slump_in: float | None
    slump_approved_by: str
    air_percent: float
    temperatures: MixTemperatures | None
    accelerator: bool
    pump: bool
    tests: SamplesDue
    address: str
    phone: str
    problems: tuple[Problem, ...]


def concrete_order(
    house: str,
    part: str,
    at: datetime,
    yd3: float,
    spec: ConcreteSpec,
    *,
    lifts: LiftPlan | None = None,
    pour: Pour | None = None,
    temperatures: MixTemperatures | None = None,
    clear_core_in: float | None = None,
    clear_bars_in: float | None = None,
    wall_ft2: float = 0.0,
    accelerator: bool = False,
    pump: bool = True,
    address: str = "",
    phone: str = "",
) -> ConcreteOrder:
    """Put an order together: ``yd3`` is already rounded to the order step (takeoff.readymix.ordered).

    With ``lifts`` and ``pour`` loads are no larger than what is placed within 90 min of batching, and trucks are spaced
    by the rate of rise. ``at`` is wanted on site, in the site's zone.
    """
    cap, every = spec.truck_yd3, None
    if lifts is not None and pour is not None:
        cap = part_load_yd3(lifts.yd3_h, pour.haul_min, spec.truck_yd3, spec.order_step_yd3) or cap
        every = cap / lifts.yd3_h * 60
    split = trucks(yd3, cap, min(spec.minimum_load_yd3, cap), spec.order_step_yd3)
    problems = _problems(spec, lifts, temperatures, clear_core_in, clear_bars_in)
    if split.complaint:
        problems += (Problem(Severity.NOTE, split.complaint),)
    return ConcreteOrder(
        house, part, at, yd3, split.loads, every, spec.strength_psi, spec.aggregate_in, spec.slump_in,
        spec.slump_approved_by, spec.air_percent, temperatures, accelerator, pump, samples_due(yd3, wall_ft2), address,
        phone, problems,
    )  # fmt: skip


def _problems(
    spec: ConcreteSpec,
    lifts: LiftPlan | None,
    temperatures: MixTemperatures | None,
    clear_core_in: float | None,
    clear_bars_in: float | None,
) -> tuple[Problem, ...]:
    told: list[Problem] = []
    if spec.slump_in is None:
        said = "No slump is given, nor who approved it: do not send the order without."
        told.append(Problem(Severity.ENGINEER, said))
    elif not spec.slump_approved_by:
        told.append(Problem(Severity.WARNING, f"Nobody is named who approved the slump of {spec.slump_in:g} in."))
    if clear_core_in is not None:
        stone = stone_problem(spec.aggregate_in, clear_core_in, clear_bars_in)
        told += [stone] if stone else []
    if temperatures is not None and temperatures.water is not None and temperatures.water.problem is not None:
        told.append(temperatures.water.problem)
    told += lifts.problems if lifts is not None else ()
    return tuple(told)


def as_text(order: ConcreteOrder) -> str:
    """The order as a text message: short lines, no line over 40 characters except a name typed longer."""
    lines = [order.house, order.part, spoken(order.at), f"{order.yd3:g} yd3 in {_loads(order)}"]
    if order.every_min is not None and len(order.loads) > 1:
        lines.append(f"a truck every {order.every_min:.0f} min")
    lines.append(f"{order.strength_psi} psi, {stone_words(order.stone_in)} stone")
    lines.append(f"air {order.air_percent:g} %, slump {_slump(order)}")
    if order.temperatures is not None:
        t = order.temperatures
        lines.append(f"{t.discharge_least_f:.0f}-{t.discharge_most_f:.0f} F at discharge")
        lines.append(f"batch at {t.batched_f:.0f} F or more")
        if t.water is not None and t.water.problem is None:
            lines.append(f"mixing water about {t.water.water_f:.0f} F")
    lines.append("non-chloride accelerator" if order.accelerator else "no accelerator")
    lines.append("no chloride, no water added on site" if order.accelerator else "no water added on site")
    lines.append("pump on site" if order.pump else "no pump")
    samples = "1 sample" if order.tests.tests == 1 else f"{order.tests.tests} samples"
    lines.append(f"{samples}, {order.tests.cylinders} cylinders")
    lines += [text for text in (order.address, order.phone) if text]
    return "\n".join(lines)


def _loads(order: ConcreteOrder) -> str:
    runs = [(load, len(list(group))) for load, group in groupby(order.loads)]
    said = " + ".join(f"{count} x {load:g}" if count > 1 else f"{load:g}" for load, count in runs)
    return said if len(said) < 22 else f"{len(order.loads)} trucks, last {order.loads[-1]:g}"


def _slump(order: ConcreteOrder) -> str:
    return "NOT SET, DO NOT SEND" if order.slump_in is None else f"{order.slump_in:g} in"


def stone_words(size: float) -> str:
    """The nominal size [in] as the plant says it: ``3/8 in``."""
    names = {0.375: "3/8 in", 0.5: "1/2 in", 0.75: "3/4 in", 1.0: "1 in", 1.5: "1-1/2 in"}
    return names.get(size, f"{size:g} in")
