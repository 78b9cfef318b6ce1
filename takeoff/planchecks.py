"""What can be wrong with a plan whose every field could be read: levels, openings, steps, names, ground and frost.

Each check is one function that yields problems; a sentence names the leg and the field, gives the numbers and says what
would be accepted. Geometry (closure, crossing walls) is judged in :mod:`takeoff.geometry`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from takeoff.forms import ENGINEER_REQUIRED_CORE
from takeoff.groundchecks import frost, ground_water, slabs
from takeoff.padchecks import pads
from takeoff.places import Place, places, typed_length
from takeoff.plan import (
    Arc,
    Attachment,
    BeamPocket,
    End,
    Leg,
    Levels,
    Opening,
    Plan,
    Walk,
    WalkKind,
)
from takeoff.problems import Problem, Severity
from takeoff.units import Length, format_length

#: Higher than this is no wall for stay-in-place forms, nor a level somebody meant.
HIGHEST_WALL: Final = Length.feet(40)
#: All legs of a plan together.
LONGEST_PLAN: Final = Length.feet(5000)
ZERO: Final = Length(0)


def check(plan: Plan) -> tuple[Problem, ...]:
    """All checks, in the order a person would want to mend things."""
    problems = [*_names(plan), *_sections(plan), *_walks(plan), *_closing_choices(plan)]
    for place in places(plan):
        problems += [*_form(plan, place), *_steps(place), *_levels(place)]
        if place.leg.frost_top is None and place.leg.wall_top is None:
            continue  # said by _levels; without a wall nothing else can be judged
        problems += [*_openings(place), *_pockets(place), *_ledges(place)]
        problems += [*frost(plan, place), *slabs(plan, place)]
    return (*problems, *pads(plan), *ground_water(plan), *_size(plan))


# -- names and references --------------------------------------------------------------------------
def _names(plan: Plan) -> Iterator[Problem]:
    yield from _twice([(p.leg.name, p.path, p.leg.name) for p in places(plan)], "Leg")
    yield from _twice([(w.name, f"walks.{k}", "") for k, w in enumerate(plan.walks)], "Walk")
    yield from _twice([(s.key, f"sections.{k}", "") for k, s in enumerate(plan.sections)], "Section")
    yield from _twice([(f.key, f"forms.{k}", "") for k, f in enumerate(plan.forms)], "Form system")
    named = [(o.name, f"{p.path}.openings.{k}", p.leg.name) for p in places(plan) for k, o in enumerate(p.leg.openings)]
    yield from _twice(named, "Opening")


def _twice(named: list[tuple[str, str, str]], what: str) -> Iterator[Problem]:
    """Names are compared as they are read aloud: a and A are one name."""
    count = Counter(name.casefold() for name, _, _ in named)
    seen: set[str] = set()
    for name, path, leg in named:
        if count[name.casefold()] > 1 and name.casefold() in seen:
            sentence = f"{what} {name}: the name is used twice; every {what.lower()} needs its own."
            yield Problem(
                Severity.BLOCKER, sentence, f"{path}.{'key' if what in ('Section', 'Form system') else 'name'}", leg
            )
        seen.add(name.casefold())


def _sections(plan: Plan) -> Iterator[Problem]:
    known = {s.key for s in plan.sections}
    for place in places(plan):
        if place.leg.section not in known:
            accepted = ", ".join(sorted(known))
            yield place.problem(f"section “{place.leg.section}” is not one of the plan's ({accepted}).", "section")
    used = {leg.section for leg in plan.legs()}
    for k, section in enumerate(plan.sections):
        if section.key not in used:
            sentence = f"Section {section.name} has no legs; give it some or take it out."
            yield Problem(Severity.WARNING, sentence, f"sections.{k}")


def _form(plan: Plan, place: Place) -> Iterator[Problem]:
    leg = place.leg
    form = next((f for f in plan.forms if f.key == leg.form), None)
    if form is None:
        known = ", ".join(f.key for f in plan.forms)
        yield place.problem(f"form system “{leg.form}” is not in the plan; it has {known}.", "form")
        return
    if leg.core not in form.cores():
        made = ", ".join(format_length(each, "in") for each in form.cores())
        core = format_length(leg.core, "in")
        yield place.problem(f"{form.name} is not made with a {core} core; it is made with {made}.", "core")
    if isinstance(leg.path, Arc) and leg.path.radius < form.thickness(leg.core):
        thick = form.thickness(leg.core)
        yield place.problem(f"radius {leg.path.radius} is less than the wall is thick, {thick}.", "radius")
    lowest = min((s.levels.footing_top for s in place.stretches()), default=leg.footing_top)
    highest = max((s.levels.grade_outside for s in place.stretches()), default=leg.grade_outside)
    if leg.core <= ENGINEER_REQUIRED_CORE and lowest < highest:
        core = format_length(leg.core, "in")
        sentence = f"a {core} core below grade is in no published table; an engineer must decide."
        yield place.problem(sentence, "core", Severity.ENGINEER)


def _walks(plan: Plan) -> Iterator[Problem]:
    legs = {leg.name: leg for leg in plan.legs()}
    for k, walk in enumerate(plan.walks):
        if walk.kind is not WalkKind.SPUR:
            continue
        if walk.heading_deg and not 30 <= abs(walk.heading_deg) <= 150:
            sentence = (
                f"Spur {walk.name}: heading {walk.heading_deg:g} is too flat; 30 to 150 to either side is accepted."
            )
            yield Problem(Severity.BLOCKER, sentence, f"walks.{k}.heading")
        for word, place in (("starts_on", walk.starts_on), ("ends_on", walk.ends_on)):
            if place is not None and (sentence := _standing(walk, place, word.replace("_", " "), legs)):
                yield Problem(Severity.BLOCKER, sentence, f"walks.{k}.{word}.leg")


def _standing(walk: Walk, place: Attachment, said: str, legs: dict[str, Leg]) -> str:
    """What is wrong with the place a spur stands on, '' if nothing."""
    if place.leg not in legs:
        return f"Spur {walk.name} {said} leg “{place.leg}”, which is not a leg of this plan."
    if any(leg.name == place.leg for leg in walk.legs):
        return f"Spur {walk.name} {said} leg {place.leg}, which is one of its own; name a leg of another walk."
    length = typed_length(legs[place.leg])
    if place.at > length:
        return f"Spur {walk.name} {said} leg {place.leg} at {place.at}, past its end at {length}."
    return ""


def _closing_choices(plan: Plan) -> Iterator[Problem]:
    rings = {walk.name: walk for walk in plan.walks if walk.kind is WalkKind.RING}
    for k, choice in enumerate(plan.closure):
        if choice.walk not in rings:
            sentence = f"Closing choice: “{choice.walk}” is not a ring of this plan."
            yield Problem(Severity.BLOCKER, sentence, f"closure.{k}.walk")


# -- steps and levels ------------------------------------------------------------------------------
def _steps(place: Place) -> Iterator[Problem]:
    seen: set[Length] = set()
    for k, step in enumerate(place.leg.steps):
        if not ZERO < step.at < place.length:
            sentence = f"the step at {step.at} is outside the leg; it must lie between its ends, 0 and {place.length}."
            yield place.problem(sentence, f"steps.{k}.at")
        if step.at in seen:
            yield place.problem(f"two steps at {step.at}; put their levels into one.", f"steps.{k}.at")
        seen.add(step.at)
        if not any(x is not None for x in _step_levels(place, k)):
            yield place.problem(f"the step at {step.at} changes no level; give one or take it out.", f"steps.{k}")


def _step_levels(place: Place, k: int) -> tuple[Length | None, ...]:
    step = place.leg.steps[k]
    return (step.footing_top, step.frost_top, step.wall_top, step.grade_outside, step.grade_inside)


def _levels(place: Place) -> Iterator[Problem]:
    """Levels in order on every stretch: footing top, frost top, top of wall; grades not above the wall."""
    leg = place.leg
    stepped = [
        s
        for s in leg.steps
        if (leg.frost_top is None and s.frost_top is not None) or (leg.wall_top is None and s.wall_top is not None)
    ]
    if stepped:
        sentence = f"the step at {stepped[0].at} gives a wall the leg does not have; give the leg its own level first."
        yield place.problem(sentence, "steps")
        return
    if leg.frost_top is None and leg.wall_top is None:
        sentence = "it has neither a top of frost wall nor a top of wall; give one of them."
        yield place.problem(sentence, "wall_top")
        return
    told: set[tuple[str, str]] = set()
    for stretch in place.stretches():
        for sentence, field, severity in _out_of_order(stretch.levels):
            if (sentence, field) not in told:
                told.add((sentence, field))
                where = f" from {stretch.start} on" if stretch.start else ""
                yield place.problem(f"{sentence}{where}.", field, severity)


def _out_of_order(levels: Levels) -> Iterator[tuple[str, str, Severity]]:
    foot, frost, wall = levels.footing_top, levels.frost_top, levels.wall_top
    if frost is not None and frost <= foot:
        yield f"top of frost wall {frost} must be above its footing top {foot}", "frost_top", Severity.BLOCKER
    if wall is not None and wall <= foot:
        yield f"top of wall {wall} must be above its footing top {foot}", "wall_top", Severity.BLOCKER
    elif wall is not None and frost is not None and wall <= frost:
        yield f"top of wall {wall} must be above the top of the frost wall {frost}", "wall_top", Severity.BLOCKER
    if levels.top - foot > HIGHEST_WALL:
        yield (
            f"the wall would be {levels.top - foot} high; at most {HIGHEST_WALL} is accepted",
            "wall_top",
            Severity.BLOCKER,
        )
    if levels.grade_outside > levels.top:
        severity = Severity.WARNING if wall is None else Severity.BLOCKER
        yield (
            f"outside grade {levels.grade_outside} is above the top of the wall {levels.top}",
            "grade_outside",
            severity,
        )
    if levels.grade_inside > levels.top:
        sentence = f"inside grade {levels.grade_inside} is above the top of the wall {levels.top}"
        yield sentence, "grade_inside", Severity.WARNING


# -- openings, pockets, ledges ---------------------------------------------------------------------
def _span(opening: Opening, length: Length) -> tuple[Length, Length]:
    """Both jambs along the dimensioned face."""
    if opening.measured_from is End.START:
        return (opening.offset, opening.offset + opening.width)
    return (length - opening.offset - opening.width, length - opening.offset)


def _openings(place: Place) -> Iterator[Problem]:
    spans = [_span(opening, place.length) for opening in place.leg.openings]
    for k, opening in enumerate(place.leg.openings):
        field, (start, end) = f"openings.{k}", spans[k]
        if start < ZERO or end > place.length:
            sentence = (
                f"opening {opening.name} from {start} to {end} does not fit into the leg's length {place.length}."
            )
            yield place.problem(sentence, f"{field}.offset")
            continue
        for stretch in place.stretches():
            if stretch.start < end and start < stretch.end and stretch.levels.top > stretch.levels.footing_top:
                yield from _in_wall(place, opening, stretch.levels, field)
        for other in range(k):
            if _overlap(opening, spans[k], place.leg.openings[other], spans[other]):
                sentence = f"openings {place.leg.openings[other].name} and {opening.name} overlap; move one of them."
                yield place.problem(sentence, f"{field}.offset")


def _in_wall(place: Place, opening: Opening, levels: Levels, field: str) -> Iterator[Problem]:
    if opening.head > levels.top:
        sentence = f"opening {opening.name} ends at {opening.head}, above the top of the wall {levels.top}."
        yield place.problem(sentence, f"{field}.height")
    if opening.sill < levels.footing_top:
        sentence = f"opening {opening.name} begins at {opening.sill}, below the footing top {levels.footing_top}."
        yield place.problem(sentence, f"{field}.sill")


def _overlap(a: Opening, span_a: tuple[Length, Length], b: Opening, span_b: tuple[Length, Length]) -> bool:
    beside = span_a[1] <= span_b[0] or span_b[1] <= span_a[0]
    return not beside and a.sill < b.head and b.sill < a.head


def _pockets(place: Place) -> Iterator[Problem]:
    for k, pocket in enumerate(place.leg.beam_pockets):
        start, end = _pocket_span(pocket)
        field = f"beam_pockets.{k}.offset"
        if start < ZERO or end > place.length:
            sentence = f"beam pocket {pocket.name} from {start} to {end} does not fit into its length {place.length}."
            yield place.problem(sentence, field)
            continue
        for stretch in place.stretches():
            if stretch.start < end and start < stretch.end:
                bottom = stretch.levels.top - pocket.depth
                if bottom < stretch.levels.footing_top:
                    sentence = f"beam pocket {pocket.name} is {pocket.depth} deep, more than the wall is high."
                    yield place.problem(sentence, f"beam_pockets.{k}.depth")
                yield from _pocket_in_opening(place, pocket, bottom, field)


def _pocket_span(pocket: BeamPocket) -> tuple[Length, Length]:
    half = pocket.width.half()
    return (pocket.offset - half, pocket.offset + half)


def _pocket_in_opening(place: Place, pocket: BeamPocket, bottom: Length, field: str) -> Iterator[Problem]:
    start, end = _pocket_span(pocket)
    for opening in place.leg.openings:
        left, right = _span(opening, place.length)
        if left < end and start < right and opening.head > bottom:
            yield place.problem(f"beam pocket {pocket.name} cuts into opening {opening.name}.", field)


def _ledges(place: Place) -> Iterator[Problem]:
    for k, ledge in enumerate(place.leg.ledges):
        end = ledge.until if ledge.until is not None else place.length
        field = f"ledges.{k}"
        if ledge.start >= end or end > place.length:
            sentence = f"the brick ledge from {ledge.start} to {end} must lie within its length {place.length}."
            yield place.problem(sentence, f"{field}.{'until' if ledge.until is not None else 'start'}")
            continue
        for stretch in place.stretches():
            within = stretch.start < end and ledge.start < stretch.end
            if within and not stretch.levels.footing_top < ledge.level <= stretch.levels.top:
                sentence = (
                    f"the brick ledge at {ledge.level} is not on the wall, "
                    f"which stands from {stretch.levels.footing_top} to {stretch.levels.top}."
                )
                yield place.problem(sentence, f"{field}.level")
        for opening in place.leg.openings:
            left, right = _span(opening, place.length)
            if left < end and ledge.start < right and opening.sill < ledge.level < opening.head:
                sentence = (
                    f"the brick ledge at {ledge.level} runs across opening {opening.name}; stop it at both jambs."
                )
                yield place.problem(sentence, f"{field}.level", Severity.WARNING)


def _size(plan: Plan) -> Iterator[Problem]:
    total = sum((p.length for p in places(plan)), ZERO)
    if total > LONGEST_PLAN:
        sentence = f"All legs together are {total} long; at most {LONGEST_PLAN} is accepted in one plan."
        yield Problem(Severity.BLOCKER, sentence, "walks")
