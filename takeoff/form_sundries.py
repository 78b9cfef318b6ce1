"""What forms need besides units: end caps, straps, ties, cut-outs at Ts, trimmed foam, adhesive under the first course.

Counted on the units as they stand. Two straps, one on each face, at every joint of a stack and every sawn corner
unit; four plywood straps a course at a field-mitred corner; two a course on the far side of a T; one with every end
cap; two zip ties a course at every sawn joint. Common practice, no source.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from takeoff.end_caps import Beside
from takeoff.geometry import CornerKind
from takeoff.leg_layout import LegLayout, bands_at, both_stand, stacked_with
from takeoff.plan import Stage
from takeoff.results import Buy, PlacedUnit, Quantity, StackSeam, Unit, UnitKind
from takeoff.sources import COMMON_PRACTICE
from takeoff.tally import Tally, feet_inches, inch_text, square_feet
from takeoff.units import Length

STRAPS_A_JOINT = 2
STRAPS_A_MITRED_CORNER = 4
STRAPS_A_TEE = 2
TIES_A_CUT = 2
BEADS = 2

#: Length of a 3/8 in round bead out of a 29 fl oz tube [ft]: 29 x 1.8047 in3 over pi/4 x (3/8 in)^2.
BEAD_PER_TUBE_FT = 29 * 1.8046875 / (math.pi / 4 * 0.375**2) / 12
#: Zip ties come by the hundred; plywood in sheets of 4 x 8 ft. Common practice, no source.
TIES_A_BAG = 100
SHEET_FT2 = 32.0

Column = tuple[str, int, Length]  # leg, course, place of a joint
Joint = tuple[PlacedUnit, PlacedUnit]  # the units on both sides of it


def _each(key: str, label: str, buy: Buy) -> Tally:
    return Tally(key, label, Unit.EACH, "wall forms", COMMON_PRACTICE, buy)


def sundries(units: Sequence[PlacedUnit], seams: Sequence[StackSeam], beside: Beside) -> tuple[Quantity, ...]:
    """All of it, by section and stage."""
    straps = _each("forms.straps", "Form straps", Buy("strap", 1.0))
    joints = list(_joints(units))
    made = (
        _end_caps(beside.legs, units, straps),
        *_mitred(beside),
        *_tees(beside, straps),
        _ties(beside.legs, joints),
        _trim(beside.legs),
        _adhesive(beside.legs),
    )
    _seam_straps(beside.legs, units, joints, seams, straps)
    return tuple(q for tally in (*made, straps) for q in tally.quantities())


# -- course ends and joints ------------------------------------------------------------------------
def _end_caps(legs: dict[str, LegLayout], units: Sequence[PlacedUnit], straps: Tally) -> Tally:
    caps = _each("blocks.end_caps", "End caps: two faces of the core and a strap each", Buy("cap", 1.0))
    places: dict[tuple[str, Stage, Length], list[int]] = defaultdict(list)
    for unit in units:
        for capped, at in ((unit.cap_start, unit.start), (unit.cap_end, unit.end)):
            if capped:
                places[unit.leg, unit.stage, at].append(unit.course)
    for (name, stage, at), courses in places.items():
        where = f"at {at} in {said_courses(courses)}, core {inch_text(legs[name].leg.core.inch)}"
        section = legs[name].leg.section
        caps.add(section, stage, name, len(courses), where)
        straps.add(section, stage, name, len(courses), f"{_some(len(courses), 'end cap')} at {at}")
    return caps


def said_courses(courses: Sequence[int]) -> str:
    """'course 3', 'courses 1 to 4', 'courses 1, 3'."""
    found = sorted(set(courses))
    if len(found) == 1:
        return f"course {found[0]}"
    if found == list(range(found[0], found[-1] + 1)):
        return f"courses {found[0]} to {found[-1]}"
    return f"courses {', '.join(map(str, found))}"


def _joints(units: Sequence[PlacedUnit]) -> Iterator[Joint]:
    """Units that touch in a course of a leg, in order; ``units`` come course by course, from the start of the leg."""
    for a, b in pairwise(units):
        if a.course == b.course and a.end.nm == b.start.nm and a.leg == b.leg:
            yield a, b


def _ties(legs: dict[str, LegLayout], touching: Sequence[Joint]) -> Tally:
    ties = _each("forms.ties", "Zip ties at sawn joints", Buy(f"bag of {TIES_A_BAG}", float(TIES_A_BAG)))
    found: dict[tuple[str, Stage], int] = defaultdict(int)
    for a, b in touching:
        if a.cut_end or b.cut_start:
            found[a.leg, a.stage] += 1
    for (name, stage), count in found.items():
        ties.add(
            legs[name].leg.section, stage, name, TIES_A_CUT * count, f"{_some(count, 'sawn joint')} x {TIES_A_CUT}"
        )
    return ties


def _seam_straps(
    legs: dict[str, LegLayout],
    units: Sequence[PlacedUnit],
    touching: Sequence[Joint],
    seams: Sequence[StackSeam],
    straps: Tally,
) -> None:
    """Straps at joints of a stack (the joint and the one it lies too close over) and at sawn corner units."""
    joints: dict[tuple[str, int], list[Length]] = defaultdict(list)
    stages = {(u.leg, u.course): u.stage for u in units} if seams else {}
    for a, _ in touching:
        joints[a.leg, a.course].append(a.end)
    stacked: set[Column] = set()
    for seam in seams:
        below = [at for at in joints[seam.leg, seam.course - 1] if abs(at - seam.at) <= seam.offset]
        stacked.add((seam.leg, seam.course, seam.at))
        stacked |= {(seam.leg, seam.course - 1, at) for at in below or [seam.at]}
    by_stage: dict[tuple[str, Stage], int] = defaultdict(int)
    for name, course, _ in stacked:
        if (name, course) in stages:  # nothing stands in a course an opening takes out of a whole leg
            by_stage[name, stages[name, course]] += 1
    for (name, stage), count in sorted(by_stage.items()):
        text = f"{_some(count, 'joint')} too close over another x {STRAPS_A_JOINT}"
        straps.add(legs[name].leg.section, stage, name, STRAPS_A_JOINT * count, text)
    sawn: dict[tuple[str, Stage], int] = defaultdict(int)
    for a, b in touching:
        if (a.cut_end and _is_corner(a)) or (b.cut_start and _is_corner(b)):
            sawn[a.leg, a.stage] += 1
    for (name, stage), count in sawn.items():
        text = f"{_some(count, 'sawn corner unit')} x {STRAPS_A_JOINT}"
        straps.add(legs[name].leg.section, stage, name, STRAPS_A_JOINT * count, text)


def _is_corner(unit: PlacedUnit) -> bool:
    return unit.kind not in (UnitKind.STRAIGHT, UnitKind.MITRE)


def _some(count: int, thing: str) -> str:
    return f"{count} {thing}{'' if count == 1 else 's'}"


# -- field-mitred corners --------------------------------------------------------------------------
def _mitred(beside: Beside) -> tuple[Tally, Tally]:
    """Plywood straps where a corner has no unit in a course: straight units cut to the mitre, or walls that butt."""
    straps = _each("forms.corner_straps", "Plywood straps at field-cut corners", Buy("strap", 1.0))
    sheets = Tally(
        "forms.corner_plywood", "Plywood for field-cut corners", Unit.FT2, "wall forms", COMMON_PRACTICE,
        Buy("sheet 4 x 8 ft", SHEET_FT2),
    )  # fmt: skip
    for (name, end), joint in beside.joints.items():
        turned = joint.kind in (CornerKind.OUTSIDE, CornerKind.INSIDE)
        if end != "end" or not turned or name not in beside.legs:
            continue
        leg = beside.legs[name]
        face = leg.form.face_height.inch
        by_stage: dict[Stage, int] = defaultdict(int)
        for n, row in leg.bands.items():
            bottom = leg.grid.bottom(n)
            shared = joint.shared and both_stand(joint, bottom, beside.legs)
            if not shared and bands_at(joint, bottom, beside.legs):
                by_stage[stacked_with(row[-1])] += 1
        for stage, courses in by_stage.items():
            count, section = STRAPS_A_MITRED_CORNER * courses, leg.leg.section
            where = f"corner with {joint.departing}, {_some(courses, 'course')} x {STRAPS_A_MITRED_CORNER}"
            straps.add(section, stage, name, count, where)
            text = f"{count} straps {inch_text(face)} x {inch_text(face)}"
            sheets.add(section, stage, name, square_feet(count * face * face), text)
    return straps, sheets


# -- T walls ---------------------------------------------------------------------------------------
def _tees(beside: Beside, straps: Tally) -> tuple[Tally, Tally]:
    """The panel of a through wall cut out where a spur meets it: the core wide (wider on the slant) and as high as the
    spur stands there, course by course."""
    cuts = Tally("forms.tee_cutouts", "Cut-outs where walls meet in a T", Unit.EACH, "wall forms", COMMON_PRACTICE)
    panel = Tally("forms.tee_panel", "Foam cut out at Ts", Unit.FT2, "wall forms", COMMON_PRACTICE)
    for (name, end), tee in beside.tees.items():
        host, spur = beside.legs[tee.through], beside.legs[name]
        at_start = end == "start"
        corner, stretch = (
            (spur.geometry.start, spur.stretches[0]) if at_start else (spur.geometry.end, spur.stretches[-1])
        )
        wide = spur.leg.core.inch / max(math.sin(math.radians(corner.deflection_deg)), 0.1)
        heights: dict[Stage, list[float]] = defaultdict(list)
        for row in host.bands.values():
            for band in row:
                high = min(band.top, stretch.levels.top) - max(band.bottom, stretch.levels.footing_top)
                if band.start <= tee.at < band.end and high.nm > 0:
                    heights[stacked_with(band)].append(high.inch)
        for stage, cut in heights.items():
            section, through = host.leg.section, host.leg.name
            cuts.add(section, stage, through, len(cut), f"{tee.spur} at {tee.at}, {_some(len(cut), 'course')}")
            text = f"{tee.spur} {inch_text(wide)} x {feet_inches(sum(cut))}"
            panel.add(section, stage, through, square_feet(wide * sum(cut)), text)
            straps.add(
                section, stage, through, STRAPS_A_TEE * len(cut), f"T with {tee.spur}, {_some(len(cut), 'course')} x 2"
            )
    return cuts, panel


# -- foam and adhesive -----------------------------------------------------------------------------
def _trim(legs: dict[str, LegLayout]) -> Tally:
    """Foam ripped away or trimmed off above a pour line, as face of wall (both panels are cut)."""
    trim = Tally("forms.trim", "Foam ripped or trimmed away, face of wall", Unit.FT2, "wall forms", COMMON_PRACTICE)
    for name, leg in legs.items():
        for span, rest in leg.rests:
            long, frost = (span.end - span.start).inch, span.levels.frost_top
            low = frost is not None and (span.levels.wall_top is None or not rest.at_top)
            stage = Stage.FROST_WALL if low else Stage.FULL_WALL
            text = f"{feet_inches(long)} x {inch_text(rest.lost.inch)}"
            trim.add(leg.leg.section, stage, name, square_feet(long * rest.lost.inch), text)
    return trim


def _adhesive(legs: dict[str, LegLayout]) -> Tally:
    """Two beads of foam adhesive under the lowest course, one under each panel, measured along the outside."""
    beads = Tally(
        "forms.adhesive", 'Foam adhesive under the first course, 3/8" bead', Unit.FT, "wall forms", COMMON_PRACTICE,
        Buy("29 oz tube", BEAD_PER_TUBE_FT),
    )  # fmt: skip
    for name, leg in legs.items():
        for span in leg.stretches:
            if span.levels.top > span.levels.footing_top:
                stage = Stage.FROST_WALL if span.levels.frost_top is not None else Stage.FULL_WALL
                length = span.end - span.start
                beads.add(leg.leg.section, stage, name, BEADS * length.foot, f"{BEADS} x {length}")
    return beads
