"""What the plan says of a pour: concrete by level of these very walls, lifts, what the forms hold, strength needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from inspections.pours.models import MixAgreed, TruckLoad
from jobs.frozen import Frozen
from takeoff.geometry import place
from takeoff.plan import Plan, Stage
from takeoff.pour.filling import LegCurve
from takeoff.pour.from_plan import lifts_of, pour_of, rated_psf
from takeoff.pour.lifts import LiftPlan
from takeoff.pour.truck_log import Agreed
from takeoff.pours import PourLift, WallPour, wall_pour
from takeoff.problems import Problem
from takeoff.results import WallState
from takeoff.site import ConcreteSpec
from takeoff.strength.needed import StrengthNeeded, strength_needed
from takeoff.units import Length
from takeoff.weather.rules_306r import MOST_ABOVE_LEAST_F

#: In which states a wall must carry earth, by the stage that pours it.
STATES = {
    Stage.FROST_WALL: (WallState.FROST_FILL, WallState.FROST_ONE_SIDE),
    Stage.FULL_WALL: (WallState.BEFORE_SLAB, WallState.FINISHED),
}


@dataclass(frozen=True, slots=True)
class Theory:
    """A pour as drawn. ``curves`` are the fill curves of its legs and ``knots`` that of all of them, empty for a
    footing, which has only its yards. ``lift_in`` is the depth of a lift, ``refusal`` why nothing is said about
    pressure and pace."""

    legs: tuple[str, ...]
    knots: tuple[tuple[float, float], ...]
    yd3: float
    foot_to_top_in: float
    lifts: tuple[PourLift, ...]
    rated_psf: float | None
    plan: LiftPlan | None
    refusal: str
    problems: tuple[str, ...] = ()
    curves: tuple[LegCurve, ...] = ()
    lift_in: float | None = None

    def curve_of(self, leg: str) -> LegCurve | None:
        """The fill curve of one leg, None where nothing is poured there."""
        return next((curve for curve in self.curves if curve.leg == leg), None)

    @property
    def limit_ft_h(self) -> float | None:
        """Highest rate of rise [ft/h]; None where pressure sets none, or none can be said."""
        return self.plan.limit.ft_h if self.plan else None

    @property
    def yd3_h(self) -> float | None:
        """Pace [yd3/h] that is planned; None where there is none."""
        return self.plan.yd3_h if self.plan else None


def of_pour(
    plan: Plan, frozen: Frozen, stage: Stage, legs: tuple[str, ...], mix: MixAgreed | None, loads: Sequence[TruckLoad]
) -> Theory:
    """The pour of a stage on some legs, with the mix as agreed and the coldest concrete that came so far."""
    if stage is Stage.FOOTING:
        return _footing(frozen, legs)
    wall = wall_pour(with_mix(plan, mix), place(plan), stage, legs)
    curve = wall.curve()
    pour = pour_of(plan, wall, concrete_f=coldest_f(wall.spec, mix, loads))
    found = pour if isinstance(pour, Problem) else lifts_of(wall, pour)
    return Theory(
        legs,
        curve.knots,
        curve.total_yd3,
        wall.foot_to_top_in,
        wall.lifts(_depth(found)),
        None if isinstance(pour, Problem) else rated_psf(plan, wall),
        None if isinstance(found, Problem) else found,
        found.sentence if isinstance(found, Problem) else "",
        () if isinstance(found, Problem) else tuple(p.sentence for p in found.problems),
        curves_of(wall),
        (_depth(found) or wall.spec.lift_height).inch,
    )


def curves_of(wall: WallPour) -> tuple[LegCurve, ...]:
    """The legs of a pour, each with its own fill curve, foot and top of forms."""
    each = ((leg, wall.of_leg(leg)) for leg in wall.legs)
    return tuple(LegCurve(leg, own.curve().knots, own.foot_in, own.top_in) for leg, own in each)


def _depth(found: LiftPlan | Problem) -> Length | None:
    """Depth of a lift as planned, None for the specification's."""
    if isinstance(found, Problem):
        return None
    return Length.from_inches((found.lifts[0].to_ft - found.lifts[0].from_ft) * 12)


def _footing(frozen: Frozen, legs: tuple[str, ...]) -> Theory:
    """Footings are a number of yards, those of all sections the legs are of: it is not told apart leg by leg."""
    wanted = set(legs)
    own = [q for q in frozen.quantities_of(Stage.FOOTING) if q.key == "footing.concrete" and wanted & set(q.legs)]
    over = [name for q in own for name in q.legs if name not in wanted]
    told = ("The yards are those of the whole section: footings are not told apart leg by leg.",) if over else ()
    return Theory(legs, (), sum(q.amount for q in own), 0.0, (), None, None, "", told)


def with_mix(plan: Plan, mix: MixAgreed | None) -> Plan:
    """The plan with the slump and the air that were agreed, where they were; else the specification's."""
    if mix is None:
        return plan
    spec = plan.spec.concrete
    air = spec.air_percent if mix.air_percent is None else mix.air_percent
    concrete = replace(spec, slump_in=mix.slump_in, slump_approved_by=mix.approved_by, air_percent=air)
    return replace(plan, spec=replace(plan.spec, concrete=concrete))


def coldest_f(spec: ConcreteSpec, mix: MixAgreed | None, loads: Sequence[TruckLoad]) -> float:
    """Cold concrete pushes hardest: the least agreed, or the coldest that was taken, whichever is colder [F]."""
    least = spec.minimum_temperature_f if mix is None else mix.least_f
    taken = [load.concrete_f for load in loads if load.concrete_f is not None and load.decision == "accepted"]
    return min([least, *taken])


def agreed_of(spec: ConcreteSpec, mix: MixAgreed | None, ticket_mix: str) -> Agreed:
    """What a truck is measured against; without an agreement the specification, and no mix by name."""
    if mix is None:
        least = spec.minimum_temperature_f
        return Agreed(ticket_mix, least, least + MOST_ABOVE_LEAST_F, spec.slump_in)
    name = mix.mix or ticket_mix
    return Agreed(name, mix.least_f, mix.most_f, mix.slump_in, mix.air_percent, mix.limit_min)


@dataclass(frozen=True, slots=True)
class Needed:
    """Strength one leg needs in one state."""

    leg: str
    state: WallState
    answer: StrengthNeeded


def needed_of(plan: Plan, stage: Stage, legs: tuple[str, ...]) -> tuple[Needed, ...]:
    """Strength the legs need before earth lies against them; legs that never carry any are left out."""
    placement, out = place(plan), []
    for leg in legs:
        for state in STATES.get(stage, ()):
            try:
                out.append(Needed(leg, state, strength_needed(plan, placement, leg, state)))
            except KeyError:
                continue
    return tuple(out)
