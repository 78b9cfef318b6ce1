"""Joints between legs: which corner unit stands there, its hand in every course, and the lengths of its legs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from takeoff.courses import Grid
from takeoff.forms import CornerLegs, FormSystem
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.plan import Plan, WalkKind
from takeoff.problems import Problem, Severity
from takeoff.results import UnitKind
from takeoff.units import Length, format_length

#: Units that turn a corner, by the kind that stands for both hands: (right hand, left hand).
HANDS = {
    UnitKind.CORNER: (UnitKind.CORNER_RIGHT, UnitKind.CORNER_LEFT),
    UnitKind.CORNER_45: (UnitKind.CORNER_45_RIGHT, UnitKind.CORNER_45_LEFT),
}

#: A turn this close to 90 or to 45 degrees takes the corner unit made for it.
ANGLE_SLACK_DEG = 0.01


@dataclass(frozen=True, slots=True)
class Joint:
    """The end of one leg and the start of the next.

    ``long`` and ``short`` are the legs of the unit there along the outside faces (already reduced at inside corners);
    both None where no unit is shared and none is cut to an angle: the walls then end against each other.
    ``forward_in_odd`` is True where the long leg lies on the departing leg in odd courses of ``reference``.
    """

    arriving: str
    departing: str
    kind: CornerKind
    unit: UnitKind  # CORNER and CORNER_45 also stand for both hands
    handed: bool
    reference: Grid
    forward_in_odd: bool
    long: Length | None = None
    short: Length | None = None
    counts_departing: bool = False  # the unit is of the departing leg's core, the thicker one

    @property
    def joined(self) -> bool:
        """True where a unit (or a mitred pair) turns the joint in every course both legs have."""
        return self.long is not None

    @property
    def shared(self) -> bool:
        """True where one unit lies in both legs: a corner unit or a straight one across the joint."""
        return self.joined and self.unit is not UnitKind.MITRE

    @property
    def butt(self) -> bool:
        """True for legs in line that share no unit."""
        return not self.joined and self.kind is CornerKind.STRAIGHT

    def is_odd(self, bottom: Length) -> bool:
        """Parity of the course whose bottom line is at a level."""
        return self.reference.is_odd(bottom)

    def kind_in(self, bottom: Length) -> UnitKind:
        """Kind of unit in a course: right hand at outside corners in odd courses, left at inside ones."""
        if self.unit not in HANDS or not self.handed:
            return self.unit
        right = self.is_odd(bottom) == (self.kind is CornerKind.OUTSIDE)
        return HANDS[self.unit][0 if right else 1]

    def counted_on(self, role: str) -> bool:
        """A shared unit is counted on the leg whose core it has, the arriving one if both; each half of a mitred
        corner on its own."""
        return self.unit is UnitKind.MITRE or role == ("start_leg" if self.counts_departing else "end_leg")


def corner_legs(joint: Joint, bottom: Length) -> tuple[Length, Length]:
    """Lengths (on the arriving, on the departing leg) of a joint's unit in the course starting at a level."""
    assert joint.long is not None and joint.short is not None  # asked of joined ones only
    forward = joint.is_odd(bottom) == joint.forward_in_odd
    return (joint.short, joint.long) if forward else (joint.long, joint.short)


def hand_counts(outside: int, inside: int, course_count: int) -> tuple[int, int]:
    """Right and left corner units of a plan with handed corners, all courses full: right = outside x odd courses +
    inside x even courses. Derived from the pattern; common practice."""
    odd, even = -(-course_count // 2), course_count // 2
    return outside * odd + inside * even, outside * even + inside * odd


def find_joints(
    plan: Plan, placement: Placement, grids: dict[str, Grid]
) -> tuple[dict[tuple[str, str], Joint], list[Problem]]:
    """All joints of a plan, by (leg, 'start' or 'end'), and what is wrong with any."""
    out: dict[tuple[str, str], Joint] = {}
    problems: list[Problem] = []
    for walk in plan.walks:
        legs = [placement.legs[leg.name] for leg in walk.legs if leg.name in placement.legs]
        following = legs[1:] + (legs[:1] if walk.kind is WalkKind.RING else [])
        for a, b in zip(legs, following, strict=False):
            reference = _reference([g.leg.name for g in legs], a.leg.name, grids)
            joint, trouble = _joint(plan, a, b, reference, grids)
            out[a.leg.name, "end"] = out[b.leg.name, "start"] = joint
            problems += trouble
    return out, problems


def _reference(names: list[str], name: str, grids: dict[str, Grid]) -> Grid:
    """The grid that says which courses are odd: of the first leg of the walk whose courses run through with this
    leg's, so that sections side by side alternate together."""
    return next(grids[n] for n in names if grids[n].in_step_with(grids[name]))


def _joint(
    plan: Plan, a: LegGeometry, b: LegGeometry, reference: Grid, grids: dict[str, Grid]
) -> tuple[Joint, list[Problem]]:
    kind, form = a.end.kind, plan.form(a.leg.form)
    meets = form == plan.form(b.leg.form) and grids[a.leg.name].in_step_with(grids[b.leg.name])
    unit, legs, problems = UnitKind.STRAIGHT, None, []
    if not meets:
        problems.append(_no_common_courses(a, b, form, plan.form(b.leg.form)))
    elif kind is CornerKind.STRAIGHT:
        legs = bridge(form) if a.leg.core == b.leg.core else None
    else:
        unit, legs, problems = _turned(a, b, form)
    if meets and kind is CornerKind.STRAIGHT and legs is None:
        problems.append(_core_changes(a, b))
    long, short = legs if legs else (None, None)
    joint = Joint(
        a.leg.name, b.leg.name, kind, unit, form.handed, reference, not a.outside_left, long, short,
        counts_departing=b.leg.core > a.leg.core,
    )  # fmt: skip
    return joint, problems


def bridge(form: FormSystem) -> tuple[Length, Length]:
    """Split of a straight unit that runs across a joint: on web lines, and uneven enough that the joint beside it
    moves by the minimum offset when it is turned round in the next course."""
    move = max(Length.inches(8), form.web_spacing)
    webs = -(-(form.length + move).nm // (2 * form.web_spacing.nm))
    long = min(webs * form.web_spacing, form.length - form.web_spacing)
    return long, form.length - long


Legs = tuple[Length, Length]


def _turned(a: LegGeometry, b: LegGeometry, form: FormSystem) -> tuple[UnitKind, Legs | None, list[Problem]]:
    """What turns a corner: the square corner unit, the 45 degree one where the system has it, else straight units
    cut to the mitre."""
    deflection, core = a.end.deflection_deg, max(a.leg.core, b.leg.core)
    where = f"the corner of {a.leg.name} and {b.leg.name}"
    cores = [] if a.leg.core == b.leg.core else [_cores_differ(a, b, core)]
    less = mitre_shortening(form.thickness(core), deflection) if a.end.kind is CornerKind.INSIDE else Length(0)
    if math.isclose(deflection, 90.0, abs_tol=ANGLE_SLACK_DEG):
        if core not in form.cores():
            sentence = f"{form.name} has no corner unit for a {_in(core)} core: {where} is laid without one."
            return UnitKind.CORNER, None, [Problem(Severity.WARNING, sentence, leg=a.leg.name)]
        legs = _less(form.legs_for(core), less)
        if legs is None:
            sentence = f"The short corner leg of {form.name} is lost inside {where}: it is laid without a corner unit."
            return UnitKind.CORNER, None, [Problem(Severity.WARNING, sentence, leg=a.leg.name)]
        return UnitKind.CORNER, legs, cores
    slanted = form.legs_45_for(core) if math.isclose(deflection, 45.0, abs_tol=ANGLE_SLACK_DEG) else None
    if slanted is not None:
        legs = _less(slanted, less)
        if legs is not None:
            return UnitKind.CORNER_45, legs, cores
        sentence = f"The short 45 degree leg of {form.name} is lost inside {where}: it is cut to the mitre."
        return UnitKind.MITRE, bridge(form), [Problem(Severity.WARNING, sentence, leg=a.leg.name)]
    return UnitKind.MITRE, bridge(form), []


def _less(legs: CornerLegs, less: Length) -> Legs | None:
    """Legs along the outside faces, shorter at an inside corner; None where the short one is lost."""
    return (legs.long - less, legs.short - less) if legs.short > less else None


def mitre_shortening(thickness: Length, deflection_deg: float) -> Length:
    """By how much an inside face is shorter than the outside face at one corner: W tan(theta/2), W for a square one."""
    if math.isclose(deflection_deg, 90.0, abs_tol=1e-6):
        return thickness
    return Length.from_inches(thickness.inch * math.tan(math.radians(deflection_deg) / 2))


def _no_common_courses(a: LegGeometry, b: LegGeometry, form: FormSystem, other: FormSystem) -> Problem:
    why = (
        f"{form.name} and {other.name} differ"
        if form != other
        else "their sections count courses from different levels"
    )
    sentence = (
        f"The courses of {a.leg.name} and {b.leg.name} do not meet at their joint ({why}): no unit is shared there; "
        "strap both faces in every course and ask the supplier."
    )
    return Problem(Severity.WARNING, sentence, leg=a.leg.name)


def _core_changes(a: LegGeometry, b: LegGeometry) -> Problem:
    sentence = (
        f"The core changes from {_in(a.leg.core)} on {a.leg.name} to {_in(b.leg.core)} on "
        f"{b.leg.name}: no unit runs across, so the joint goes through every course; strap both faces and brace it."
    )
    return Problem(Severity.WARNING, sentence, leg=a.leg.name)


def _cores_differ(a: LegGeometry, b: LegGeometry, core: Length) -> Problem:
    sentence = (
        f"The corner of {a.leg.name} and {b.leg.name} joins a {_in(a.leg.core)} and a "
        f"{_in(b.leg.core)} core: it is laid with the {_in(core)} corner unit, whose leg "
        "must be fitted to the thinner wall; ask the supplier."
    )
    return Problem(Severity.WARNING, sentence, leg=a.leg.name)


def _in(length: Length) -> str:
    return format_length(length, "in")


def neighbours(plan: Plan, placement: Placement) -> dict[tuple[str, str], LegGeometry]:
    """The leg beside each end of each placed leg, by (leg, 'start' or 'end'); free ends and Ts are missing."""
    out: dict[tuple[str, str], LegGeometry] = {}
    for walk in plan.walks:
        legs = [placement.legs[leg.name] for leg in walk.legs if leg.name in placement.legs]
        following = legs[1:] + (legs[:1] if walk.kind is WalkKind.RING else [])
        for a, b in zip(legs, following, strict=False):
            out[a.leg.name, "end"], out[b.leg.name, "start"] = b, a
    return out
