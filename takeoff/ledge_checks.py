"""What a brick ledge has to tell: a bearing off the courses, a unit that does not fit, ends off the webs, openings."""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.courses import Grid, grids
from takeoff.ledges import FLARE, STEEPEST_FLARE_DEG, LedgeRun, UnitsByCourse
from takeoff.leg_layout import minimum_piece
from takeoff.openings_forms import formed_openings
from takeoff.plan import Plan
from takeoff.problems import About, Problem, Severity
from takeoff.results import PlacedUnit, UnitKind
from takeoff.units import ZERO, Length, format_length

#: No piece of ledge unit at the end of a ledge is shorter than this many webs. Common practice, no source.
END_WEBS = 2

#: Weight of brick veneer [psf], and the most it usually puts on a ledge [lb/ft]: 25 ft of brick by a trade article.
VENEER_PSF = 40.0
VENEER_PLF = 1000.0


# -- rules ------------------------------------------------------------------------------------------
def veneer_load_plf(height_ft: float, weight_psf: float = VENEER_PSF) -> float:
    """Line load [lb/ft] of brick veneer ``height_ft`` high on a ledge: weight x height."""
    return weight_psf * height_ft


def end_offsets(unit: Length, web: Length, least_ledge: Length, least_rest: Length) -> list[Length]:
    """How much of a unit may be ledge where a ledge ends in it: whole webs, none or ``least_ledge`` and more, and what
    stays straight none or ``least_rest`` and more."""
    offsets = [k * web for k in range(unit // web + 1)]
    if offsets[-1] != unit:
        offsets.append(unit)
    return [
        used for used in offsets if (not used or used >= least_ledge) and (used == unit or unit - used >= least_rest)
    ]


# -- all of them ------------------------------------------------------------------------------------
def ledge_problems(plan: Plan, runs: tuple[LedgeRun, ...], laid: UnitsByCourse) -> tuple[Problem, ...]:
    """Everything to be told of a plan's ledges, by leg; what is assumed for all of them once."""
    if not runs:
        return ()
    out: list[Problem] = [*_levels(runs, grids(plan))]
    for run in runs:
        out += _section(run)
        if run.form.ledge_projection is not None:
            out += _ripped(run, laid)
            out += _ends(plan, run, laid)
        out += _openings(plan, run)
    out += _overlaps(runs)
    return (*dict.fromkeys(out), *_assumed(runs))


def _warn(run: LedgeRun, sentence: str, field: str = "level", severity: Severity = Severity.WARNING) -> Problem:
    return Problem(severity, f"{run.leg}: {sentence}", f"{run.path}.{field}", run.leg, About.LEDGE)


def _levels(runs: tuple[LedgeRun, ...], course_grids: dict[str, Grid]) -> Iterator[Problem]:
    """A unit bears at its top: a ledge between two course lines must move, or the courses must. Legs with the same
    ledge are told together."""
    alike: dict[str, list[LedgeRun]] = {}
    for run in runs:
        if run.bearing != run.ledge.level:
            alike.setdefault(_off_the_courses(run, course_grids[run.leg]), []).append(run)
    for sentence, of in alike.items():
        names = ", ".join(dict.fromkeys(run.leg for run in of))
        yield Problem(Severity.WARNING, f"{names}: {sentence}", f"{of[0].path}.level", of[0].leg)


def _off_the_courses(run: LedgeRun, grid: Grid) -> str:
    level = run.ledge.level
    down = grid.base + (level - grid.base) // grid.height * grid.height
    return (
        f"the brick ledge at {level} is not on a course line; ledge units bear at {down} ({_in(level - down)} lower) "
        f"or {down + grid.height} ({_in(down + grid.height - level)} higher). It is counted on course {run.course} at "
        f"{run.bearing}; move the ledge, or the level courses are counted from."
    )


def _section(run: LedgeRun) -> Iterator[Problem]:
    """The unit against what the plan asks, and the flare against the published limit."""
    form, asked = run.form, run.ledge.projection
    if form.ledge_projection is None:
        yield _warn(
            run,
            f"{form.name} has no ledge unit; the ledge is formed on site and no units are counted for it. Its haunch "
            f"is taken {_in(run.haunch.top)} by {_in(run.haunch.height)}.",
            "projection",
        )
    elif form.ledge_projection != asked:
        yield _warn(
            run,
            f"the brick ledge stands out {_in(asked)}, the ledge unit of {form.name} {_in(form.ledge_projection)}; "
            "concrete and steel are measured as the plan asks. Agree on one of the two.",
            "projection",
        )
    if run.haunch.top <= form.foam:
        yield _warn(
            run,
            f"the brick ledge stands out {_in(run.haunch.top)} and the foam above it is {_in(form.foam)} thick: no "
            "concrete is left for brick to bear on.",
            "projection",
        )
    if run.haunch.flare_deg > STEEPEST_FLARE_DEG + 1e-6:
        yield _warn(
            run,
            f"the haunch of {_in(run.haunch.top)} by {_in(run.haunch.height)} flares {run.haunch.flare_deg:.1f} "
            f"degrees from upright, more than {STEEPEST_FLARE_DEG:.0f} ({FLARE}); a taller haunch is "
            "needed, or an engineer's design.",
            "projection",
            Severity.ENGINEER,
        )


def _ripped(run: LedgeRun, laid: UnitsByCourse) -> Iterator[Problem]:
    if any(unit.ripped and unit.kind is UnitKind.STRAIGHT for unit in _units(run, laid)):
        yield _warn(
            run,
            f"course {run.course} is ripped, and a ledge unit loses its bearing at the top or its haunch at the foot "
            "when ripped; move the odd course or the ledge.",
        )


def _units(run: LedgeRun, laid: UnitsByCourse) -> list[PlacedUnit]:
    return [u for u in laid[run.leg, run.course] if u.start < run.end and u.end > run.start]


# -- ends -------------------------------------------------------------------------------------------
def _ends(plan: Plan, run: LedgeRun, laid: UnitsByCourse) -> Iterator[Problem]:
    """Ends inside a straight unit: on a web line, with two webs of ledge unit and a piece of straight unit at least."""
    rest = minimum_piece(run.form, plan.spec.layout)
    for which, at, reached in (("start", run.start, run.to_corner[0]), ("until", run.end, run.to_corner[1])):
        if reached:
            continue
        for unit in _units(run, laid):
            if unit.kind is UnitKind.STRAIGHT and unit.start < at < unit.end:
                yield from _end(run, unit, at, which, rest)


def _end(run: LedgeRun, unit: PlacedUnit, at: Length, which: str, rest: Length) -> Iterator[Problem]:
    web, long = run.form.web_spacing, unit.end - unit.start
    used = unit.end - at if which == "start" else at - unit.start
    allowed = end_offsets(long, web, END_WEBS * web, rest)
    if used in allowed:
        return
    best = min(allowed, key=lambda offset: (abs(offset - used), -offset.nm))
    place = run.typed(unit.end - best if which == "start" else unit.start + best)
    if used < END_WEBS * web:
        why = f"leaves a piece of ledge unit {_in(used)} long, less than {END_WEBS} webs"
    elif long - used < rest:
        why = f"leaves a piece of straight unit {_in(long - used)} long, less than {_in(rest)}"
    else:
        why = f"cuts a ledge unit {_in(used)} from its end, between two webs"
    word = "starts" if which == "start" else "ends"
    typed = run.typed(at)
    yield _warn(run, f"the brick ledge {word} at {typed} and {why}; {place} is the nearest place that works.", which)


# -- openings, other ledges -------------------------------------------------------------------------
def _openings(plan: Plan, run: LedgeRun) -> Iterator[Problem]:
    """A haunch over the head of an opening; one through the opening itself is told with the plan's own checks."""
    foot = run.bearing - run.haunch.height
    for opening in formed_openings(plan, run.geometry.leg):
        low, high = run.geometry.opening_span(opening)
        across = low < run.end and high > run.start
        told = opening.sill < run.ledge.level < opening.head
        if not across or told:
            continue
        if opening.sill < run.bearing < opening.head:
            yield _warn(run, f"the brick ledge, on course {run.course}, runs across opening {opening.name}.")
        elif opening.sill < run.bearing and opening.head > foot:
            yield _warn(
                run,
                f"the haunch of the brick ledge reaches down to {foot}, across the head of opening {opening.name} at "
                f"{opening.head}: end the ledge at both jambs or have the lintel designed for the brick.",
                "level",
                Severity.ENGINEER,
            )


def _overlaps(runs: tuple[LedgeRun, ...]) -> Iterator[Problem]:
    """Two ledges of one leg in the same place, or closer in height than a haunch."""
    by_leg: dict[str, list[LedgeRun]] = {}
    for run in runs:
        before = by_leg.setdefault(run.leg, [])
        for other in before:
            beside = run.start >= other.end or other.start >= run.end
            if not beside and abs(run.bearing - other.bearing) < max(run.haunch.height, other.haunch.height):
                yield _warn(
                    run,
                    f"brick ledges at {other.ledge.level} and {run.ledge.level} lie over each other between "
                    f"{run.typed(max(run.start, other.start))} and {run.typed(min(run.end, other.end))}.",
                    "start",
                )
        before.append(run)


def _assumed(runs: tuple[LedgeRun, ...]) -> tuple[Problem, ...]:
    """What is taken for granted of all ledges, told once."""
    legs = ", ".join(dict.fromkeys(run.leg for run in runs))
    high = VENEER_PLF / veneer_load_plf(1.0)
    bearing = max(min(run.haunch.top - run.form.foam for run in runs), ZERO)
    steel = (
        f"{legs}: the steel of the brick ledge is the usual one, a stirrup at every web and a bar in lip and core, in "
        "the size of the horizontal bars; the engineer's detail goes before it."
    )
    load = (
        f"{legs}: beyond the foam above it the brick ledge bears brick on {_in(bearing)} of concrete. Brick of "
        f"{VENEER_PSF:.0f} psf puts {VENEER_PLF:,.0f} lb on each foot at {high:.0f}' high, the most such a ledge is "
        "usually given; more is for the engineer."
    )
    return (
        Problem(Severity.NOTE, steel, leg=runs[0].leg),
        Problem(Severity.NOTE, load, leg=runs[0].leg),
    )


def _in(length: Length) -> str:
    return format_length(length, "in")
