"""What a block layout has to tell: courses too low to rip, seams to strap, short pieces, cut corners, assumptions."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from takeoff.courses import Band, rip_options
from takeoff.forms import FormSystem
from takeoff.leg_layout import minimum_piece
from takeoff.plan import Arc, Plan
from takeoff.problems import Problem, Severity
from takeoff.results import PlacedUnit, StackSeam, UnitKind
from takeoff.units import Length, format_length

CORNERS = (UnitKind.CORNER, UnitKind.CORNER_LEFT, UnitKind.CORNER_RIGHT)

LegBands = dict[int, tuple[Band, ...]]


def _in(length: Length) -> str:
    return format_length(length, "in")


# -- ripped courses --------------------------------------------------------------------------------
def rip_problems(plan: Plan, legs: dict[str, tuple[FormSystem, LegBands]]) -> list[Problem]:
    """Ripped courses of every leg, each kind told once with the legs it concerns: a note, or a warning with ways out
    where the ripped course is lower than the least rip."""
    found: dict[tuple[bool, Length, Length, str], list[str]] = {}
    for name, (form, by_course) in legs.items():
        for at_top, band, courses_in_all in _ripped(form, by_course):
            height = band.top - band.bottom + (courses_in_all - 1) * form.face_height
            names = found.setdefault((at_top, band.top - band.bottom, height, form.key), [])
            if name not in names:
                names.append(name)
    return [_rip_problem(plan, key, names) for key, names in found.items()]


def _ripped(form: FormSystem, by_course: LegBands) -> Iterable[tuple[bool, Band, int]]:
    """(at the top?, band, courses of that wall) for each ripped course end of each stretch."""
    for row in by_course.values():
        for band in row:
            if band.top - band.bottom < form.face_height:
                courses_in_all = sum(
                    1
                    for other in by_course.values()
                    for b in other
                    if b.start == band.start and b.levels == band.levels
                )
                yield band.top == band.levels.top, band, courses_in_all


def _rip_problem(plan: Plan, key: tuple[bool, Length, Length, str], names: list[str]) -> Problem:
    at_top, ripped, height, form_key = key
    form, least = plan.form(form_key), plan.spec.layout.minimum_rip
    where, which = ", ".join(names), "top" if at_top else "bottom"
    if ripped >= least:
        return Problem(Severity.NOTE, f"{where}: the {which} course is ripped to {_in(ripped)}.", leg=names[0])
    options = rip_options(height, form.face_height, least, form.half_height, at_top)
    sentence = (
        f"{where}: the {which} course would be ripped to {_in(ripped)}, below the least rip of {_in(least)}. "
        f"Choose before the footing is poured: {options}."
    )
    return Problem(Severity.WARNING, sentence, leg=names[0])


# -- the layout itself -----------------------------------------------------------------------------
def layout_problems(plan: Plan, units: tuple[PlacedUnit, ...], seams: tuple[StackSeam, ...]) -> list[Problem]:
    """Seams, short pieces and cut corner units by leg; then what was assumed for the whole plan."""
    out = [_seam_problem(leg, [s for s in seams if s.leg == leg]) for leg in dict.fromkeys(s.leg for s in seams)]
    out += _by_leg(_short(plan, units), _short_problem)
    out += _by_leg([u for u in units if u.kind in CORNERS and (u.cut_start or u.cut_end)], _corner_problem)
    return out + _assumptions(plan, units)


def _by_leg(units: list[PlacedUnit], tell: Callable[[str, list[PlacedUnit]], Problem]) -> list[Problem]:
    return [tell(leg, [u for u in units if u.leg == leg]) for leg in dict.fromkeys(u.leg for u in units)]


def _short(plan: Plan, units: tuple[PlacedUnit, ...]) -> list[PlacedUnit]:
    least = {leg.name: minimum_piece(plan.form(leg.form), plan.spec.layout) for leg in plan.legs()}
    return [u for u in units if u.end - u.start < least[u.leg]]


def _seam_problem(leg: str, seams: list[StackSeam]) -> Problem:
    places = "; ".join(
        f"course {s.course} at {s.at} ({_in(s.offset)} from the joint below)"
        if s.offset
        else f"course {s.course} at {s.at}"
        for s in seams[:4]
    )
    more = f" and {len(seams) - 4} more" if len(seams) > 4 else ""
    sentence = f"{leg}: {len(seams)} joints lie too close over a joint below: {places}{more}. Strap both faces there."
    return Problem(Severity.WARNING, sentence, leg=leg)


def _short_problem(leg: str, units: list[PlacedUnit]) -> Problem:
    places = "; ".join(f"course {u.course} at {u.start}, {_in(u.end - u.start)} long" for u in units[:3])
    sentence = (
        f"{leg}: {len(units)} pieces are shorter than one web spacing ({places}): move the opening, step or end beside "
        "them, or close the gap with plywood strapped on both faces."
    )
    return Problem(Severity.WARNING, sentence, leg=leg)


def _corner_problem(leg: str, units: list[PlacedUnit]) -> Problem:
    lengths = ", ".join(dict.fromkeys(_in(u.end - u.start) for u in units))
    courses = ", ".join(dict.fromkeys(str(u.course) for u in units))
    sentence = (
        f"{leg}: corner units must be cut to legs of {lengths} (course {courses}), because the leg or the wall beside "
        "an opening is too short for them; strap both faces at these cuts."
    )
    return Problem(Severity.WARNING, sentence, leg=leg)


def _assumptions(plan: Plan, units: tuple[PlacedUnit, ...]) -> list[Problem]:
    out = []
    bent = [leg.name for leg in plan.legs() if isinstance(leg.path, Arc)]
    mitred = list(dict.fromkeys(u.leg for u in units if u.kind is UnitKind.MITRE))
    if bent:
        out.append(
            f"{', '.join(bent)}: the arc is laid with straight units to its exact outside length; slots and bent units "
            "are not counted."
        )
    if mitred:
        out.append(
            f"{', '.join(mitred)}: corners that are not square are laid with straight units cut to the mitre, measured "
            "exactly; no angled corner units are counted."
        )
    if any(leg.openings for leg in plan.legs()):
        out.append(
            "Openings are taken out of the forms at the rough opening as typed; where a buck stands outside it, type "
            "the opening larger by the buck on both sides."
        )
    if any(walk.starts_on or walk.ends_on for walk in plan.walks):
        out.append(
            "Where a wall meets another in a T, its units run to the face; the cut-out in the through wall and its "
            "straps are not counted."
        )
    return [Problem(Severity.NOTE, sentence) for sentence in out]
