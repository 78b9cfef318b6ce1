"""What a block layout has to tell: courses too low to rip, seams to strap, short pieces, cut corners, assumptions."""

from __future__ import annotations

from collections.abc import Callable

from takeoff.block_orders import CORNER_NAMES
from takeoff.courses import rip_options
from takeoff.forms import FormSystem
from takeoff.leg_layout import LegLayout, minimum_piece
from takeoff.plan import Arc, Plan, RestWay
from takeoff.problems import Problem, Severity
from takeoff.rests import Rest, proposal
from takeoff.results import PlacedUnit, StackSeam, UnitKind
from takeoff.units import Length, format_length


def _in(length: Length) -> str:
    return format_length(length, "in")


# -- odd courses -----------------------------------------------------------------------------------
def rip_problems(plan: Plan, legs: dict[str, LegLayout]) -> list[Problem]:
    """Odd courses of every leg, each kind told once with the legs it concerns: how it is made; and a warning with the
    ways out, and the one this program would take, where it is lower than the least rip or cannot be had as chosen."""
    found: dict[tuple[Rest, str], list[str]] = {}
    for name, leg in legs.items():
        for _, rest in leg.rests:
            names = found.setdefault((rest, leg.form.key), [])
            if name not in names:
                names.append(name)
    return [_rest_problem(plan, rest, plan.form(form), names) for (rest, form), names in found.items()]


def _rest_problem(plan: Plan, rest: Rest, form: FormSystem, names: list[str]) -> Problem:
    least, where = plan.spec.layout.minimum_rip, ", ".join(names)
    which = "top" if rest.at_top else "bottom"
    if rest.way is RestWay.RIP and rest.made < least:
        said = f"the {which} course would be ripped to {_in(rest.made)}, below the least rip of {_in(least)}"
    else:
        said = _made(rest, which) + (f", below the least rip of {_in(least)}" if _too_low(rest, least) else "")
    if rest.fell_back:
        said += f" ({rest.fell_back})"
    way, why = proposal(rest.rest, rest.full, form, least, rest.at_top)
    if not _too_low(rest, least):
        said += "" if way is rest.way or way is None else f". Simpler: {why}"
        return Problem(Severity.NOTE, f"{where}: {said}.", leg=names[0])
    options = rip_options(rest.height, form.face_height, least, form.half_height, rest.at_top)
    sentence = f"{where}: {said}. Choose before the footing is poured: {options}. Proposed: {why}."
    return Problem(Severity.WARNING, sentence, leg=names[0])


def _too_low(rest: Rest, least: Length) -> bool:
    """True where something is ripped lower than the least rip; a unit used whole is not."""
    return rest.way is not RestWay.POUR_LINE and rest.made < least and rest.made < rest.unit


def _made(rest: Rest, which: str) -> str:
    """How an odd course is made, in words."""
    if rest.way is RestWay.TWO_RIPPED:
        return f"the two {which} courses are ripped to {_in(rest.made)} each"
    if rest.way is RestWay.POUR_LINE:
        return f"the top course stands whole; concrete stops at a line {_in(rest.lost)} below its top"
    if rest.way is RestWay.PART_HEIGHT:
        ripped = f", ripped to {_in(rest.made)}" if rest.made < rest.unit else ""
        return f"the {which} course is laid with {_in(rest.unit)} units{ripped}; corner units are ripped to it"
    return f"the {which} course is ripped to {_in(rest.made)}"


# -- openings --------------------------------------------------------------------------------------
#: Less foam than this above or below an opening in a notched unit does not hold. Common practice, no source.
THIN_STRIP = Length.inches(2)


def strip_problems(legs: dict[str, LegLayout]) -> list[Problem]:
    """A note for every opening whose head or sill, as formed, leaves a strip of a course too thin to hold."""
    found: dict[tuple[str, str, str, Length], int] = {}
    for name, leg in legs.items():
        for low, high, opening in leg.holes:
            for course, row in leg.bands.items():
                for band in (b for b in row if b.start < high and b.end > low):
                    above, below = band.poured_to - opening.head, opening.sill - band.bottom
                    for left, side in ((above, "above"), (below, "below")):
                        if Length(0) < left < THIN_STRIP:
                            found[name, opening.name, side, left] = course
    return [
        Problem(
            Severity.NOTE,
            f"{leg}: {_in(left)} of course {course} is left {side} {opening}, too thin to hold; put the opening's edge "
            "at a course line or form that strip with lumber.",
            leg=leg,
        )
        for (leg, opening, side, left), course in found.items()
    ]


# -- the layout itself -----------------------------------------------------------------------------
def layout_problems(plan: Plan, units: tuple[PlacedUnit, ...], seams: tuple[StackSeam, ...]) -> list[Problem]:
    """Seams, short pieces and cut corner units by leg; then what was assumed for the whole plan."""
    out = [_seam_problem(leg, [s for s in seams if s.leg == leg]) for leg in dict.fromkeys(s.leg for s in seams)]
    out += _by_leg(_short(plan, units), _short_problem)
    out += _by_leg([u for u in units if u.kind in CORNER_NAMES and (u.cut_start or u.cut_end)], _corner_problem)
    return out + _assumptions(plan, units)


def _by_leg(units: list[PlacedUnit], tell: Callable[[str, list[PlacedUnit]], Problem]) -> list[Problem]:
    return [tell(leg, [u for u in units if u.leg == leg]) for leg in dict.fromkeys(u.leg for u in units)]


def _short(plan: Plan, units: tuple[PlacedUnit, ...]) -> list[PlacedUnit]:
    least = {leg.name: minimum_piece(plan.form(leg.form), plan.spec.layout).nm for leg in plan.legs()}
    return [u for u in units if u.end.nm - u.start.nm < least[u.leg]]


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
    found = list(dict.fromkeys(str(u.course) for u in units))
    courses = f"course{'s' if len(found) > 1 else ''} {', '.join(found)}"
    sentence = (
        f"{leg}: corner units must be cut to legs of {lengths} ({courses}), because the leg or the wall beside "
        "an opening is too short for them; strap both faces at these cuts."
    )
    return Problem(Severity.WARNING, sentence, leg=leg)


def _assumptions(plan: Plan, units: tuple[PlacedUnit, ...]) -> list[Problem]:
    out = []
    bent = [leg.name for leg in plan.legs() if isinstance(leg.path, Arc)]
    mitred = list(dict.fromkeys(u.leg for u in units if u.kind is UnitKind.MITRE))
    if bent:
        out.append(
            f"{', '.join(bent)}: the arc is laid with straight units to its exact outside length; slots, tape and "
            "lath, and units more where the wall bends inward, are counted beside them."
        )
    if mitred:
        out.append(
            f"{', '.join(mitred)}: corners no corner unit is made for are laid with straight units cut to the mitre, "
            "measured exactly, and strapped with plywood, four straps a course; brace both walls close to them."
        )
    if any(leg.openings for leg in plan.legs()):
        out.append(_openings_as_formed(plan))
    if any(walk.starts_on or walk.ends_on for walk in plan.walks):
        out.append(
            "Where a wall meets another in a T, its units run to the face; the panel of the through wall is cut out as "
            "wide as the core, kept to plug the forms, and the far side is strapped."
        )
    return [Problem(Severity.NOTE, sentence) for sentence in out]


def _openings_as_formed(plan: Plan) -> str:
    buck = plan.spec.layout.buck
    if not buck:
        return "Openings are taken out of the forms as typed: bucks stand inside the size on the plan."
    return (
        f"Openings are taken out of the forms {_in(buck)} larger than typed on both sides and at the head, and below "
        "the sill of a window, for the boards of the buck."
    )
