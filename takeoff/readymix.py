"""Concrete as it is ordered: rounded once per pour, split into truck loads, and what is asked of the mix."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from takeoff.plan import Stage
from takeoff.results import Buy, Criterion
from takeoff.site import ConcreteSpec
from takeoff.sources import COMMON_PRACTICE, GEOMETRY, PLAN
from takeoff.tally import number

#: Below this part of a buying unit a remainder is float dust, not concrete.
DUST = 1e-9


def buying_units(amount: float, buy: Buy) -> int:
    """Buying units that cover an amount with its waste and the once-per-order extra: the one rounding, upward."""
    if amount <= 0:
        return 0
    return max(ceil((amount * (1 + buy.waste) + buy.extra) / buy.step - DUST), 1)


def ordered(amount: float, buy: Buy) -> float:
    """The amount that arrives, in the quantity's own unit."""
    return buying_units(amount, buy) * buy.step


@dataclass(frozen=True, slots=True)
class Loads:
    """Truck loads of one order [yd3]; ``complaint`` is a sentence where a load is under the plant's minimum."""

    loads: tuple[float, ...]
    complaint: str = ""

    @property
    def text(self) -> str:
        """'2 trucks: 9 + 3.75 yd3'."""
        said = " + ".join(f"{load:g}" for load in self.loads)
        return f"{len(self.loads)} truck{'s' if len(self.loads) > 1 else ''}: {said} yd3"


def trucks(order_yd3: float, truck_yd3: float, minimum_load_yd3: float, step_yd3: float = 0.25) -> Loads:
    """Split an order into full trucks and a last load that the plant will send.

    n = ceil(order / truck). A last load under the minimum is brought up to it by taking the difference off the
    load before, so that nothing is paid for and not used and the last load can still be sized from the deck.
    """
    if order_yd3 <= 0:
        return Loads(())
    count = ceil(order_yd3 / truck_yd3 - DUST)
    last = order_yd3 - (count - 1) * truck_yd3
    loads = [truck_yd3] * (count - 1) + [last]
    if last >= minimum_load_yd3 - DUST:
        return Loads(_rounded(loads))
    if count == 1:
        return Loads(_rounded(loads), f"The load of {last:g} yd3 is under the minimum of {minimum_load_yd3:g} yd3.")
    moved = ceil((minimum_load_yd3 - last) / step_yd3 - DUST) * step_yd3
    told = f"Full trucks would leave a last load of {last:g} yd3, under the minimum of {minimum_load_yd3:g} yd3: "
    if truck_yd3 - moved < minimum_load_yd3 - DUST:
        moved = max(ceil((truck_yd3 - last) / 2 / step_yd3 - DUST), 0) * step_yd3
        told += "too little for two, so the last two are shared evenly; ask the plant."
    else:
        told += f"{moved:g} yd3 moved from the truck before."
    loads[-2], loads[-1] = truck_yd3 - moved, last + moved
    return Loads(_rounded(loads), told)


def balance_order(
    to_fill_yd3: float,
    on_truck_yd3: float,
    margin: float,
    hopper_yd3: float,
    step_yd3: float = 0.25,
    minimum_load_yd3: float = 2.0,
) -> float:
    """The last load [yd3] called from the deck: what is left to fill with a margin, what stays in pump and line, less
    what is still on the truck; rounded up to the order step, never under what the plant will send. 0 where the truck
    on site has enough. Common practice.
    """
    short = to_fill_yd3 * (1 + margin) + hopper_yd3 - on_truck_yd3
    if to_fill_yd3 <= 0 or short <= DUST:
        return 0.0
    return round(max(ceil(short / step_yd3 - DUST) * step_yd3, minimum_load_yd3), 6)


def _rounded(loads: list[float]) -> tuple[float, ...]:
    return tuple(round(load, 6) for load in loads)


def load_text(order_yd3: float, spec: ConcreteSpec) -> str:
    """How an order comes, in words."""
    split = trucks(order_yd3, spec.truck_yd3, spec.minimum_load_yd3, spec.order_step_yd3)
    return split.text + (f". {split.complaint}" if split.complaint else "")


def volume_criterion(key: str, stage: Stage, amount: float, buy: Buy, legs: tuple[str, ...]) -> Criterion:
    """The concrete of one section as ordered, and what of it is in the forms."""
    order = ordered(amount, buy)
    return Criterion(
        key, "Concrete as ordered", order, "yd3", "is", stage, GEOMETRY, tolerance=buy.step, legs=legs,
        text=f"{order:g} yd3 ordered ({number(amount)} yd3 in the forms)",
    )  # fmt: skip


def mix_criteria(spec: ConcreteSpec, stage: Stage, legs: tuple[str, ...]) -> tuple[Criterion, ...]:
    """Temperature and strength of the concrete delivered; slump only where somebody has approved one."""
    warm, strong = spec.minimum_temperature_f, spec.strength_psi
    out = [
        Criterion(
            "concrete.temperature", "Concrete at discharge", warm, "F", "at least", stage, COMMON_PRACTICE, legs=legs,
            text=f"{warm:g} °F or more at discharge",
        ),
        Criterion(
            "concrete.strength", "Specified strength on the ticket", float(strong), "psi", "at least", stage, PLAN,
            legs=legs, text=f"{strong:,} psi or more on the ticket",
        ),
    ]  # fmt: skip
    if spec.slump_in is not None:
        approved = f", approved by {spec.slump_approved_by}" if spec.slump_approved_by else ""
        text = f"slump {spec.slump_in:g} in, give or take 1 in{approved}"
        out.append(
            Criterion("concrete.slump", "Slump", spec.slump_in, "in", "is", stage, PLAN, 1.0, legs=legs, text=text)
        )
    return tuple(out)
