"""Going round the wall: lifts, circuits, how often a truck may come, how long it takes, what colder concrete changes.

The rate of rise sets the pace, not the pump: R [ft/h] over a plan area A [ft2] takes R A / 27 yd3 an hour, so a truck
of ``cap`` yd3 lasts cap x 27 / (R A) hours. Each lift is one circuit of the wall; the concrete a lift is placed on must
still take a vibrator, so a circuit may not last longer than the cold-joint time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from takeoff.pour.pressure import MOST_VIBRATION_FT, Placing, RateLimit, highest_rate
from takeoff.problems import Problem, Severity
from takeoff.readymix import trucks
from takeoff.sources import COMMON_PRACTICE, Source

FT3_PER_YD3 = 27.0
#: Discharge within this of batching: ASTM C94, as quoted by Concrete Construction, "Hold the deliveries".
DISCHARGE_MIN = 90.0
ASTM_C94 = Source("ASTM C94", "", "discharge within 1-1/2 h, as quoted by Concrete Construction")
#: What a plain lift is, how soon the next may follow and how late it may; common practice, no source.
USUAL_LIFT_FT = 4.0
SOONEST_NEXT_MIN = 30.0
COLD_JOINT_MIN = 60.0
#: A lift is at least this, or nobody can vibrate it [ft].
LEAST_LIFT_FT = 1.0
_DUST = 1e-9


# -- rules --------------------------------------------------------------------------------------------
def plan_area_ft2(length_ft: float, core_in: float) -> float:
    """Area [ft2] of concrete seen from above: centre line x core."""
    return length_ft * core_in / 12


def placing_rate_yd3_h(rate_ft_h: float, area_ft2: float) -> float:
    """Concrete [yd3/h] that makes the wall rise at a rate."""
    return rate_ft_h * area_ft2 / FT3_PER_YD3


def rise_ft_h(yd3_h: float, area_ft2: float) -> float:
    """Rise [ft/h] that a supply makes. Raises ValueError where there is no area."""
    if area_ft2 <= 0:
        raise ValueError("A plan area must be more than nothing.")
    return yd3_h * FT3_PER_YD3 / area_ft2


def truck_minutes(truck_yd3: float, yd3_h: float) -> float:
    """Minutes a truck lasts at a rate of placing: the spacing of the trucks."""
    return truck_yd3 / yd3_h * 60


def even_lifts(height_ft: float, most_ft: float) -> tuple[float, ...]:
    """A height in the fewest equal lifts not over ``most_ft``. Raises ValueError for nothing or less."""
    if height_ft <= 0 or most_ft <= 0:
        raise ValueError("Height and lift must be more than nothing.")
    count = ceil(height_ft / most_ft - _DUST)
    return (height_ft / count,) * count


# -- the plan -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Pour:
    """A pour to be planned. ``placing`` gives height, concrete temperature and slump (its rate is not read).

    ``area_ft2`` of core seen from above, ``pump_yd3_h`` what pump and crew can place, ``haul_min`` from batching to
    the first concrete out of the hose, ``set_up_min`` of the pump.
    """

    placing: Placing
    area_ft2: float
    rated_psf: float
    truck_yd3: float = 9.0
    minimum_load_yd3: float = 2.0
    pump_yd3_h: float = 30.0
    haul_min: float = 30.0
    set_up_min: float = 30.0
    lift_ft: float = USUAL_LIFT_FT
    cold_joint_min: float = COLD_JOINT_MIN
    soonest_next_min: float = SOONEST_NEXT_MIN


@dataclass(frozen=True, slots=True)
class Lift:
    """One circuit of the wall: from and to above its foot [ft], concrete [yd3], minutes it takes."""

    number: int
    from_ft: float
    to_ft: float
    yd3: float
    minutes: float

    @property
    def yd3_h(self) -> float:
        """Supply [yd3/h] that keeps its pace; less where openings leave less to fill."""
        return self.yd3 / self.minutes * 60


@dataclass(frozen=True, slots=True)
class LiftPlan:
    """How the wall is gone round. ``rate_ft_h`` is the pace planned, ``limit`` what pressure allows.

    ``waits_for_set``: each lift waits until the one below has been shown to have set; then pump hours are only those of
    placing. ``problems`` say what does not go together.
    """

    limit: RateLimit
    rate_ft_h: float
    lifts: tuple[Lift, ...]
    yd3: float
    yd3_h: float
    truck_every_min: float
    truck_unload_until_min: float
    pump_hours: float
    waits_for_set: bool
    words: str
    problems: tuple[Problem, ...]
    source: Source = COMMON_PRACTICE

    @property
    def circuits(self) -> int:
        """Times round the wall."""
        return len(self.lifts)

    @property
    def circuit_min(self) -> float:
        """Minutes of the longest circuit: how old the concrete is that the next lift is placed on."""
        return max(lift.minutes for lift in self.lifts)


def plan_lifts(pour: Pour) -> LiftPlan | Problem:
    """Lifts, circuits, truck spacing and pump hours at the highest pace that pressure and pump allow, and so that a
    lift stiffens before the next one comes over it.

    The lift is the one wished, or lower where the circuit would outlast the cold-joint time or the vibrator would reach
    deeper than the pressure equations allow. Refused where pressure is
    (no slump) or where there is no area.
    """
    if not pour.area_ft2 > 0 or not pour.pump_yd3_h > 0 or not pour.truck_yd3 > 0:
        return Problem(Severity.ENGINEER, "Plan area, pump and truck must each be more than nothing.")
    limit = highest_rate(pour.placing, pour.rated_psf)
    if isinstance(limit, Problem):
        return limit
    rate = rise_ft_h(pour.pump_yd3_h, pour.area_ft2)
    rate = rate if limit.ft_h is None else min(rate, limit.ft_h)
    lifts = _unhurried(_lifts(pour, rate, _lift_ft(pour, rate, limit)), pour, limit)
    rate = lifts[-1].to_ft / sum(lift.minutes for lift in lifts) * 60
    yd3_h = placing_rate_yd3_h(rate, pour.area_ft2)
    yd3 = sum(lift.yd3 for lift in lifts)
    every = truck_minutes(pour.truck_yd3, yd3_h)
    hours = pour.set_up_min / 60 + yd3 / yd3_h
    plan = LiftPlan(
        limit, rate, lifts, yd3, yd3_h, every, pour.haul_min + every, hours, limit.lift_ft is not None, "", ()
    )
    return replace(plan, words=_words(plan, pour), problems=_problems(plan, pour))


def _lift_ft(pour: Pour, rate: float, limit: RateLimit) -> float:
    """Depth of a lift [ft]: as wished, within the liquid depth, and with a circuit inside the cold-joint time."""
    most = pour.lift_ft if limit.lift_ft is None else min(pour.lift_ft, limit.lift_ft)
    if limit.lift_ft is not None:
        return most
    if limit.ft_h is not None:
        most = min(most, MOST_VIBRATION_FT)
    return min(most, max(rate * pour.cold_joint_min / 60, LEAST_LIFT_FT))


def _lifts(pour: Pour, rate: float, most_ft: float) -> tuple[Lift, ...]:
    depths = even_lifts(pour.placing.height_ft, most_ft)
    out, foot = [], 0.0
    for number, depth in enumerate(depths, 1):
        yd3 = depth * pour.area_ft2 / FT3_PER_YD3
        out.append(Lift(number, foot, foot + depth, yd3, depth / rate * 60))
        foot += depth
    return tuple(out)


def _unhurried(lifts: tuple[Lift, ...], pour: Pour, limit: RateLimit) -> tuple[Lift, ...]:
    """Lifts of which none takes less than the next must wait for it; trucks and pump go by that pace. A lift alone has
    nothing over it, and lifts that wait until one has set wait longer anyhow."""
    if len(lifts) == 1 or limit.lift_ft is not None:
        return lifts
    return tuple(replace(lift, minutes=max(lift.minutes, pour.soonest_next_min)) for lift in lifts)


def _is_unhurried(plan: LiftPlan, pour: Pour) -> bool:
    """Whether the wait between lifts sets the pace of all of them."""
    return plan.circuits > 1 and not plan.waits_for_set and plan.circuit_min <= pour.soonest_next_min + _DUST


def _words(plan: LiftPlan, pour: Pour) -> str:
    depth = plan.lifts[0].to_ft - plan.lifts[0].from_ft
    pace = "the pump" if plan.limit.ft_h is None or plan.rate_ft_h < plan.limit.ft_h - _DUST else "pressure"
    pace = "the wait between lifts" if _is_unhurried(plan, pour) else pace
    shortest, longest = (round(pick(lift.minutes for lift in plan.lifts)) for pick in (min, max))
    text = f"{plan.circuits} lift{'s' if plan.circuits > 1 else ''} of {depth:.1f} ft, "
    if plan.circuits == 1:
        text += f"{longest} min; "
    else:
        text += f"{longest} min each; " if shortest == longest else f"{shortest} to {longest} min each; "
    text += f"{plan.yd3_h:.1f} yd3/h, {plan.rate_ft_h:.2f} ft/h set by {pace}; "
    text += f"a {pour.truck_yd3:g} yd3 truck every {plan.truck_every_min:.0f} min; "
    if plan.waits_for_set:
        return text + "each lift waits until the one below has been shown to have set."
    return text + f"pump {plan.pump_hours:.1f} h."


def _problems(plan: LiftPlan, pour: Pour) -> tuple[Problem, ...]:
    told = []
    if plan.waits_for_set:
        said = f"{plan.limit.words} Each such stop is a construction joint: ask the engineer."
        told.append(Problem(Severity.ENGINEER, said))
    elif plan.circuits > 1 and plan.circuit_min > pour.cold_joint_min + _DUST:
        said = f"A circuit takes {plan.circuit_min:.0f} min, over the {pour.cold_joint_min:g} min until a cold joint: "
        told.append(Problem(Severity.WARNING, said + "split the pour, or a retarder (which raises the pressure)."))
    elif _is_unhurried(plan, pour):
        said = (
            f"The wall is gone round in {pour.soonest_next_min:g} min a lift, no faster, so that each stiffens before "
            "the next: the pump stands by in between. Trucks and pump hours are told so."
        )
        told.append(Problem(Severity.NOTE, said))
    if plan.limit.ft_h is not None and pour.lift_ft > MOST_VIBRATION_FT + _DUST:
        said = f"Lifts of {pour.lift_ft:g} ft would be vibrated deeper than the pressure equations allow: "
        told.append(Problem(Severity.NOTE, f"{said}{MOST_VIBRATION_FT:g} ft at most are planned."))
    if plan.truck_unload_until_min > DISCHARGE_MIN:
        fits = part_load_yd3(plan.yd3_h, pour.haul_min, pour.truck_yd3)
        said = (
            f"A full truck is empty {plan.truck_unload_until_min:.0f} min after batching, over {DISCHARGE_MIN:g} min: "
        )
        said += f"order part loads of at most {fits:g} yd3." if fits >= 1 else "the haul alone uses the time up."
        told.append(Problem(Severity.WARNING, said))
    return tuple(told)


def with_volumes(plan: LiftPlan, pour: Pour, yd3: Sequence[float]) -> LiftPlan:
    """The same lifts with the concrete each really takes [yd3], where openings, ledges and steps make them differ.

    No lift rises faster than pressure allows, none takes more than the pump places, and none less time than the next
    must wait; trucks are spaced by the mean.
    Raises ValueError where the volumes are not one a lift.
    """
    if len(yd3) != plan.circuits:
        raise ValueError(f"{len(yd3)} volumes for {plan.circuits} lifts.")
    fastest = plan.limit.ft_h
    lifts = []
    for lift, amount in zip(plan.lifts, yd3, strict=True):
        minutes = amount / pour.pump_yd3_h * 60
        if fastest is not None:
            minutes = max(minutes, (lift.to_ft - lift.from_ft) / fastest * 60)
        lifts.append(replace(lift, yd3=amount, minutes=minutes))
    lifts = list(_unhurried(tuple(lifts), pour, plan.limit))
    total, hours = sum(yd3), sum(lift.minutes for lift in lifts) / 60
    every = truck_minutes(pour.truck_yd3, total / hours)
    told = replace(
        plan, lifts=tuple(lifts), yd3=total, yd3_h=total / hours, rate_ft_h=plan.lifts[-1].to_ft / hours,
        truck_every_min=every, truck_unload_until_min=pour.haul_min + every, pump_hours=pour.set_up_min / 60 + hours,
    )  # fmt: skip
    return replace(told, words=_words(told, pour), problems=_problems(told, pour))


def part_load_yd3(yd3_h: float, haul_min: float, truck_yd3: float, step_yd3: float = 0.25) -> float:
    """Largest load [yd3] that is placed within 90 min of batching, in order steps; 0 where the haul takes too long."""
    fits = max((DISCHARGE_MIN - haul_min) / 60 * yd3_h, 0.0)
    return min(int(fits / step_yd3 + _DUST) * step_yd3, truck_yd3)


def truck_times(plan: LiftPlan, pour: Pour) -> tuple[float, ...]:
    """Minutes after the first truck's first concrete at which each truck is wanted at the pump, load by load."""
    load = part_load_yd3(plan.yd3_h, pour.haul_min, pour.truck_yd3) or pour.truck_yd3
    split = trucks(ceil(plan.yd3 / 0.25 - _DUST) * 0.25, load, min(pour.minimum_load_yd3, load))
    times, placed = [], 0.0
    for each in split.loads:
        times.append(placed / plan.yd3_h * 60)
        placed += each
    return tuple(times)


# -- a colder truck -----------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class ColderTruck:
    """The plan again with colder concrete, and what to say to the pump."""

    colder_f: float
    plan: LiftPlan
    slower_ft_h: float
    words: str


def colder_truck(pour: Pour, by_f: float = 10.0) -> ColderTruck | Problem:
    """What concrete colder by ``by_f`` does to pace and trucks: it sets later, pushes harder, and must rise slower."""
    now = plan_lifts(pour)
    if isinstance(now, Problem):
        return now
    colder = plan_lifts(replace(pour, placing=replace(pour.placing, concrete_f=pour.placing.concrete_f - by_f)))
    if isinstance(colder, Problem):
        return colder
    less = now.rate_ft_h - colder.rate_ft_h
    words = f"At {pour.placing.concrete_f - by_f:g} °F instead of {pour.placing.concrete_f:g} °F: "
    if colder.waits_for_set and not now.waits_for_set:
        words += colder.limit.words
    elif less > _DUST:
        words += f"rise {colder.rate_ft_h:.2f} ft/h instead of {now.rate_ft_h:.2f}, a truck every "
        words += f"{colder.truck_every_min:.0f} min instead of {now.truck_every_min:.0f}."
    else:
        words += "the pace stays as it is."
    return ColderTruck(by_f, colder, less, words)
