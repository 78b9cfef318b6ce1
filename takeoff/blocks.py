"""Block layout, course by course: which unit stands where on every leg.

Square and 45 degree corners are made with corner units whose long leg points right, seen from outside, in odd courses
and left in even ones; both legs of a corner unit lie in the same course of both walls and it is counted once. At an
inside corner the same pattern needs the unit of the other hand, and its leg on the exterior side is shorter by the
thickness of the wall times the tangent of half the turn. Between the corner legs a run is filled in running bond
(:mod:`takeoff.bond`). A course is laid as if it had no opening and then cut, so that the grid of joints stays; a unit
an opening covers only in part is notched and kept.

Where two legs are in line, a straight unit runs across the joint. Corners of other angles are straight units cut to
the mitre, and arcs are straight units bent: both measured exactly in length and said in a note. What is done where a
height is no whole number of courses is in :mod:`takeoff.rests`; course ends in the open in :mod:`takeoff.end_caps`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from takeoff.block_criteria import layout_criteria
from takeoff.block_orders import layout_quantities
from takeoff.block_problems import layout_problems, rip_problems, strip_problems
from takeoff.bond import BondRules, CourseSpec, Interval, Piece, bond, close_joints
from takeoff.bucks import bucks
from takeoff.corners import Joint, corner_legs, find_joints, mitre_shortening
from takeoff.courses import Band
from takeoff.end_caps import Beside, open_ends, tees_by_end
from takeoff.form_sundries import sundries
from takeoff.geometry import CornerKind, Placement
from takeoff.ledges import LedgePlace, ledge_places, straight_parts
from takeoff.leg_layout import (
    LegLayout,
    Stand,
    Stands,
    bands_at,
    bond_rules,
    both_stand,
    legs_to_lay,
    one_unit,
    stacked_with,
    turns_of,
)
from takeoff.plan import Plan, RestWay, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Criterion, PlacedUnit, Quantity, StackSeam, UnitKind
from takeoff.unit_marks import ledge_mark, mark
from takeoff.units import Length

Joints = dict[tuple[str, str], Joint]


@dataclass(frozen=True, slots=True)
class Layout:
    """Every unit of a plan where it stands, and what that asks for."""

    units: tuple[PlacedUnit, ...] = ()
    seams: tuple[StackSeam, ...] = ()
    quantities: tuple[Quantity, ...] = ()
    criteria: tuple[Criterion, ...] = ()
    problems: tuple[Problem, ...] = ()


def lay(plan: Plan, placement: Placement) -> Layout:
    """Lay every leg of a plan. Never raises on a consistent plan; trouble comes back as problems."""
    legs = legs_to_lay(plan, placement)
    joints, problems = find_joints(plan, placement, {name: leg.grid for name, leg in legs.items()})
    beside = Beside(joints, legs, tees_by_end(placement))
    units: list[PlacedUnit] = []
    seams: list[StackSeam] = []
    for leg in legs.values():
        laid = _lay_leg(plan, leg, beside)
        units += laid
        seams += _seams(laid, leg, bond_rules(leg.form, leg.leg.core, plan.spec.layout))
        seams += _butt_seams(leg, joints.get((leg.leg.name, "end")))
    ledges = ledge_places(plan, placement)
    placed, found = tuple(_on_ledges(units, ledges)), tuple(seams)
    problems += _shifted_lines(joints, legs) + rip_problems(plan, legs) + strip_problems(legs)
    problems += layout_problems(plan, placed, found)
    quantities = (
        *layout_quantities(plan, placed, mitre_extras(legs, joints), across_joints(legs, joints), ledges),
        *sundries(placed, found, beside),
        *bucks(plan, placement),
    )
    return Layout(placed, found, quantities, layout_criteria(plan, legs), tuple(problems))


def _on_ledges(units: list[PlacedUnit], ledges: tuple[LedgePlace, ...]) -> Iterator[PlacedUnit]:
    """The units, those marked as ledge units that a brick ledge covers from end to end."""
    carrying = {(place.leg, place.course) for place in ledges}
    for unit in units:
        if (unit.leg, unit.course) in carrying and not straight_parts(unit, ledges):
            yield replace(unit, mark=ledge_mark(unit.mark))
        else:
            yield unit


def across_joints(legs: dict[str, LegLayout], joints: Joints) -> set[tuple[str, int, Length]]:
    """The straight units that run across a joint of legs in line, as (leg, course, end)."""
    return {
        (name, n, Length(legs[name].length))
        for (name, end), joint in joints.items()
        if end == "end" and joint.shared and joint.unit is UnitKind.STRAIGHT
        for n in legs[name].bands
        if both_stand(joint, legs[name].grid.bottom(n), legs)
    }


def mitre_extras(legs: dict[str, LegLayout], joints: Joints) -> dict[tuple[str, str], Length]:
    """By how much the longest face of a mitred piece exceeds its length along the outside: at inside corners the
    inside face is the longer one, by W tan(theta/2)."""
    out = {}
    for (name, end), joint in joints.items():
        if name in legs and joint.unit is UnitKind.MITRE and joint.kind is CornerKind.INSIDE:
            leg = legs[name]
            corner = leg.geometry.start if end == "start" else leg.geometry.end
            out[name, end] = mitre_shortening(leg.form.thickness(leg.leg.core), corner.deflection_deg)
    return out


def _shifted_lines(joints: Joints, legs: dict[str, LegLayout]) -> list[Problem]:
    """Joints where two legs have moved a course line differently, so that no unit serves both."""
    out: list[Problem] = []
    if all(rest.way is not RestWay.TWO_RIPPED for leg in legs.values() for _, rest in leg.rests):
        return out
    for (name, end), joint in joints.items():
        if end == "end" and joint.joined and name in legs:
            grid = legs[name].grid
            apart = [n for n in legs[name].bands if bands_at(joint, grid.bottom(n), legs) and
                     not both_stand(joint, grid.bottom(n), legs)]  # fmt: skip
            if apart:
                sentence = (
                    f"The courses of {joint.arriving} and {joint.departing} are ripped to different lines where they "
                    f"meet (course {', '.join(map(str, apart))}): no unit is shared there; strap both faces, or make "
                    "the odd course of both in the same way."
                )
                out.append(Problem(Severity.WARNING, sentence, leg=name))
    return out


# -- one leg ---------------------------------------------------------------------------------------
def _lay_leg(plan: Plan, leg: LegLayout, beside: Beside) -> list[PlacedUnit]:
    joints, legs = beside.joints, beside.legs
    rules = bond_rules(leg.form, leg.leg.core, plan.spec.layout, turns_of(leg))
    specs = {n: _course_spec(leg, n, joints, legs) for n in leg.bands}
    if all(
        j is not None and j.unit is UnitKind.MITRE for j in (joints.get((leg.leg.name, e)) for e in ("start", "end"))
    ):
        longest = rules.length - max(x.nm for x in (Length(0), *mitre_extras({leg.leg.name: leg}, joints).values()))
        specs = {n: _mitred_pair(spec, longest, rules) for n, spec in specs.items()}
    out: list[PlacedUnit] = []
    for (n, spec), course in zip(specs.items(), bond(list(specs.values()), rules), strict=True):
        ends = _Ends.of(spec, rules.length, open_ends(leg, n, spec, beside))
        stands = Stands(leg.bands[n], leg.form.face_height)
        out += [_place(leg, n, piece, ends, beside, stands.of(piece.start, piece.end)) for piece in course.pieces]
    return out


def _course_spec(leg: LegLayout, n: int, joints: Joints, legs: dict[str, LegLayout]) -> CourseSpec:
    """Where a course stands without a break, the corner legs at its ends, and the openings through it."""
    runs: list[tuple[int, int]] = []
    together: list[Band] = []
    for band in leg.bands[n]:
        if runs and runs[-1][1] == band.start.nm and one_unit([*together, band], leg.form.face_height):
            runs[-1] = (runs[-1][0], band.end.nm)
            together.append(band)
        else:
            runs.append((band.start.nm, band.end.nm))
            together = [band]
    start_leg, end_leg = (_leg_at(leg, n, end, joints, legs) for end in ("start", "end"))
    last = len(runs) - 1
    intervals = tuple(
        Interval(a, b, start_leg if i == 0 and a == 0 else 0, end_leg if i == last and b == leg.length else 0)
        for i, (a, b) in enumerate(runs)
    )
    return CourseSpec(intervals, tuple(_removed(leg, n)))


def _mitred_pair(spec: CourseSpec, longest: int, rules: BondRules) -> CourseSpec:
    """A short leg between two mitres needs no filler: two mitred pieces reach, their joint moving to and fro."""
    if len(spec.intervals) != 1 or not (spec.intervals[0].start_leg and spec.intervals[0].end_leg):
        return spec
    (interval,) = spec.intervals
    room = interval.end - interval.start
    move = max(rules.web, -(-rules.minimum_offset // 2))
    if room <= interval.start_leg + interval.end_leg or room // 2 + move > longest:
        return spec
    first = room // 2 + (move if interval.start_leg > interval.end_leg else -move)
    return spec._replace(intervals=(interval._replace(start_leg=first, end_leg=room - first),))


def _leg_at(leg: LegLayout, n: int, end: str, joints: Joints, legs: dict[str, LegLayout]) -> int:
    """Length [nm] of the corner (or bridging, or mitred) unit's leg at one end of a course; 0 where there is none."""
    joint = joints.get((leg.leg.name, end))
    if joint is None or not joint.joined or not both_stand(joint, leg.grid.bottom(n), legs):
        return 0
    arriving, departing = corner_legs(joint, leg.grid.bottom(n))
    return (departing if end == "start" else arriving).nm


def _removed(leg: LegLayout, n: int) -> Iterator[tuple[int, int]]:
    """Parts of a course that openings, as formed, cover from its bottom to its top, or to the top of the wall."""
    for low, high, opening in leg.holes:
        for band in leg.bands[n]:
            a, b = max(low, band.start), min(high, band.end)
            if a < b and opening.sill <= band.bottom and opening.head >= band.poured_to:
                yield a.nm, b.nm


@dataclass(frozen=True, slots=True)
class _Ends:
    """Which ends of a piece are sawn: at free ends and openings the outer end, elsewhere one end of a short piece; and
    which are capped."""

    spec: CourseSpec
    full: int
    capped: set[tuple[int, str]]
    exposed: frozenset[int]

    @classmethod
    def of(cls, spec: CourseSpec, full: int, capped: set[tuple[int, str]]) -> _Ends:
        """The ends of a course that may be ``capped``, laid with units of the ``full`` length."""
        pairs = (*spec.removed, *((i.start, i.end) for i in spec.intervals))
        return cls(spec, full, capped, frozenset(edge for pair in pairs for edge in pair))

    def sawn(self, piece: Piece) -> tuple[bool, bool]:
        """(start sawn, end sawn)."""
        if piece.role != "fill":
            given = self._given(piece)
            sawn = piece.length != given
            return (sawn and piece.role == "end_leg", sawn and piece.role == "start_leg")
        if piece.length == self.full:
            return (False, False)
        start, end = piece.start in self.exposed, piece.end in self.exposed
        return (start and not end, end or not start)

    def _given(self, piece: Piece) -> int:
        for interval in self.spec.intervals:
            if piece.role == "start_leg" and piece.start == interval.start:
                return interval.start_leg
            if piece.role == "end_leg" and piece.end == interval.end:
                return interval.end_leg
        return piece.length


def _place(leg: LegLayout, n: int, piece: Piece, ends: _Ends, beside: Beside, stand: Stand) -> PlacedUnit:
    """One piece of a course as a unit."""
    name, start, end = leg.leg.name, Length(piece.start), Length(piece.end)
    side = "start" if piece.role == "start_leg" else "end"
    joint = beside.joints.get((name, side)) if piece.role != "fill" else None
    kind = joint.kind_in(leg.grid.bottom(n)) if joint else UnitKind.STRAIGHT
    straight = kind in (UnitKind.STRAIGHT, UnitKind.MITRE)
    part, ripped = (stand.part_height, stand.ripped) if straight else (False, stand.corner_ripped)
    sawn = ends.sawn(piece)
    return PlacedUnit(
        leg=name,
        course=n,
        kind=kind,
        start=start,
        end=end,
        bottom=stand.bottom,
        top=stand.top,
        stage=stand.stage if joint is None else _stage(leg, n, stand.stage, joint, beside.legs),
        counted=joint is None or joint.counted_on(piece.role),
        cut_start=sawn[0],
        cut_end=sawn[1],
        ripped=ripped,
        notched=_notched(leg, stand, piece.start, piece.end),
        mark=mark(
            kind,
            end - start,
            leg.form,
            sawn=any(sawn),
            ripped_to=stand.high if ripped else None,
            across=joint is not None,
            part_height=part,
            pour_line=stand.pour_line,
        ),
        part_height=part,
        cap_start=bool(ends.capped) and (piece.start, "start") in ends.capped,
        cap_end=bool(ends.capped) and (piece.end, "end") in ends.capped,
    )


def _notched(leg: LegLayout, stand: Stand, start: int, end: int) -> bool:
    """True where a step, an opening or a beam pocket takes a part of the face of a unit from ``start`` to ``end``
    along the leg [nm]."""
    under, bottom, top = stand.under, stand.bottom, stand.top
    if len(under) > 1 and any(b.bottom != bottom or b.top != top for b in under):
        return True
    if under[0].start.nm > start or under[-1].end.nm < end:
        return True
    for low, high, opening in leg.holes:
        if low.nm < end and high.nm > start and opening.sill < top and opening.head > bottom:
            return True
    for pocket in leg.leg.beam_pockets:
        centre = leg.geometry.along_outside(pocket.offset)
        low, high = centre - pocket.width.half(), centre + pocket.width.half()
        if low.nm < end and high.nm > start and any(b.levels.top - pocket.depth < b.top for b in under):
            return True
    return False


def _stage(leg: LegLayout, n: int, here: Stage, joint: Joint, legs: dict[str, LegLayout]) -> Stage:
    """The wall a corner unit is stacked with: the frost wall where its bottom is below the cold joint on either leg;
    else the full-height wall, as it is ``here``."""
    if not joint.shared or here is Stage.FROST_WALL:
        return here
    other = legs[joint.departing if joint.arriving == leg.leg.name else joint.arriving]
    bands = other.bands[other.grid.course_at(leg.grid.bottom(n))]
    return stacked_with(bands[0] if other.leg.name == joint.departing else bands[-1])


# -- seams ----------------------------------------------------------------------------
def _seams(units: list[PlacedUnit], leg: LegLayout, rules: BondRules) -> list[StackSeam]:
    """Joints of consecutive courses closer than the minimum offset, found on the units as placed."""
    by_course: dict[int, list[PlacedUnit]] = {n: [] for n in leg.bands}
    for unit in units:
        by_course[unit.course].append(unit)
    joints = {n: [a.end.nm for a, b in pairwise(row) if a.end.nm == b.start.nm] for n, row in by_course.items()}
    return [
        StackSeam(leg.leg.name, n, Length(at), Length(offset))
        for n in joints
        if n - 1 in joints
        for at, offset in close_joints(joints[n - 1], joints[n], rules.minimum_offset)
    ]


def _butt_seams(leg: LegLayout, joint: Joint | None) -> list[StackSeam]:
    """Legs in line that share no unit (core or form changes) meet in a joint through every course."""
    if joint is None or not joint.butt:
        return []
    levels = [n for n in leg.bands if leg.stands_at(leg.grid.bottom(n), "end")]
    return [StackSeam(leg.leg.name, n, Length(leg.length), Length(0)) for n in levels if n - 1 in leg.bands]
