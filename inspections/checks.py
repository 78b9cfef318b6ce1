"""Is this where a move may start from? Shared by the actions: each check raises one sentence or lets pass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from inspections import gates, queries
from inspections.exceptions import NoSuchThing, NotYours, StaleRevision, WrongStanding
from inspections.legs import leg_words
from inspections.models import Presentation
from inspections.process import Operation, Point, Scope
from inspections.standing import WHOLE_HOUSE, Ledger, StageRow, Standing
from jobs import events
from jobs.frozen import Facts, facts_from_json
from jobs.models import House, HouseStage, PlanRevision

#: Standings a move cannot start from, and what is said then.
CANNOT_PRESENT = {
    Standing.REJECTED: "“{point}” was rejected{on}: close the correction first.",
    Standing.RELEASED: "“{point}” is already released{on}.",
}
CANNOT_RELEASE = {
    Standing.OUTDATED: "The plan changed{on} after “{point}” was presented; have it presented again.",
    Standing.RELEASED: "“{point}” is already released{on}.",
    Standing.VOID: "“{point}” was released{on} before the plan changed there; it must be presented again.",
    Standing.REJECTED: "“{point}” was rejected{on}; its correction is open.",
    Standing.CORRECTED: "“{point}” was put right{on} and must be presented again.",
}
CANNOT_REJECT = {
    Standing.REJECTED: "“{point}” is already rejected{on}.",
    Standing.CORRECTED: "“{point}” was already rejected{on} and put right; it waits to be presented again.",
}


# -- finding and naming ------------------------------------------------------------------------------
def open_house(house: House, stage: HouseStage) -> tuple[House, Ledger, StageRow]:
    """The house with everybody else's writes on it waiting, its ledger, and the stage in it."""
    locked = events.lock(house)
    ledger = queries.ledger(locked)
    row = ledger.stage(stage.pk)
    if row is None:
        raise NoSuchThing("That stage is not (or no longer) one of this house.")
    if ledger.facts is None:
        raise NoSuchThing("No plan revision is locked yet.")
    return locked, ledger, row


def revision_in_force(house: House) -> PlanRevision:
    """The latest locked revision."""
    found = queries.revision_in_force(house)
    if found is None:
        raise NoSuchThing("No plan revision is locked yet.")
    return found


def point_of(stage: StageRow, key: str) -> Point:
    """A point of the stage by key."""
    found = stage.process.point(key)
    if found is None:
        raise NoSuchThing(f"The stage “{stage.title}” has no point “{key}”.")
    return found


def operation_of(stage: StageRow, key: str) -> Operation:
    """An operation of the stage by key."""
    found = stage.process.operation(key)
    if found is None:
        raise NoSuchThing(f"The stage “{stage.title}” has no work “{key}”.")
    return found


def names_of(ledger: Ledger, stage: StageRow, point: Point, legs: Sequence[str]) -> tuple[str, ...]:
    """The legs in walking order, each once; ``(WHOLE_HOUSE,)`` for a point of the house."""
    if point.scope is Scope.HOUSE:
        if legs:
            raise NoSuchThing(f"“{point.title}” is for the whole house, not leg by leg.")
        return (WHOLE_HOUSE,)
    if not legs:
        raise NoSuchThing(f"Name the legs “{point.title}” is about.")
    here = {leg.name: leg for leg in ledger.legs_of(stage)}
    for name in legs:
        if name not in here:
            raise NoSuchThing(f"Leg {name} is not part of “{stage.title}” in the revision in force.")
        if not point.applies(here[name]):
            raise NoSuchThing(f"Leg {name} has nothing for “{point.title}”.")
    return tuple(name for name in here if name in set(legs))


def in_order(ledger: Ledger, legs: Sequence[str]) -> tuple[str, ...]:
    """The legs in walking order, each once; unknown ones last."""
    known = [leg.name for leg in (ledger.facts.legs if ledger.facts else ())]
    wanted = dict.fromkeys(legs)
    return (*(n for n in known if n in wanted), *(n for n in wanted if n not in known))


def on(names: Sequence[str]) -> str:
    """' on legs A and B', or '' for the whole house."""
    words = leg_words(tuple(names))
    return f" on {words}" if words else ""


def permit(problems: list[str]) -> None:
    """Raises :class:`NotYours` where :mod:`inspections.permissions` finds a problem."""
    if problems:
        raise NotYours(" ".join(problems))


# -- where it stands ---------------------------------------------------------------------------------
def standing_allows(
    ledger: Ledger, stage: StageRow, point: Point, names: Sequence[str], cannot: Mapping[Standing, str]
) -> None:
    """Refused where the point stands on any of the legs where the move cannot start."""
    for standing, sentence in cannot.items():
        hit = [n for n in names if ledger.standing(stage, point, n).standing is standing]
        if hit:
            raise WrongStanding(sentence.format(point=point.title, on=on(hit)))


def rules_on_latest(
    ledger: Ledger, stage: StageRow, point: Point, names: Sequence[str], presentation: Presentation
) -> None:
    """Only the newest presentation of each leg is released or rejected."""
    older = []
    for name in names:
        latest = ledger.standing(stage, point, name).presented
        if latest is None or name not in (presentation.legs or [WHOLE_HOUSE]):
            raise NoSuchThing(f"“{point.title}” was not presented{on([name])} with this.")
        if latest.pk != presentation.pk:
            older.append(name)
    if older:
        raise WrongStanding(f"“{point.title}” was presented again{on(older)} meanwhile; look at the newer one.")


def after_its_work(ledger: Ledger, stage: StageRow, point: Point, names: Sequence[str]) -> None:
    """A point looked at after some work of its stage cannot be presented before that work."""
    legs = [leg.name for leg in ledger.legs_of(stage)] if point.scope is Scope.HOUSE else names
    reasons = gates.not_done_yet(ledger, stage, point, legs)
    if reasons:
        raise WrongStanding(f"“{point.title}” is looked at after the work: {reasons[0].sentence}")


def same_plan(
    house: House, ledger: Ledger, stage: StageRow, scope: Scope, names: Sequence[str], seen: int
) -> PlanRevision:
    """The revision in force; refused where the person saw another one that differs in what is recorded."""
    in_force = revision_in_force(house)
    if seen == in_force.number:
        return in_force
    old = PlanRevision.objects.filter(house=house, number=seen).only("facts").first()
    before = facts_from_json(old.facts) if old else None
    changed = [n for n in names if _inputs(before, stage, scope, n) != _inputs(ledger.facts, stage, scope, n)]
    if changed or before is None:
        raise StaleRevision(
            f"You were looking at an older plan; revision {in_force.letter} is in force and differs"
            f"{on(changed) or ' here'}. Look at it again; nothing was recorded."
        )
    return in_force


def _inputs(facts: Facts | None, stage: StageRow, scope: Scope, name: str) -> str:
    """Fingerprint of what a leg (or the house) brings to a stage; '' where it has no part in it."""
    if facts is None:
        return ""
    if scope is Scope.HOUSE:
        return facts.house_fingerprint
    leg = facts.leg(name)
    return leg.fingerprints.get(stage.kind, "") if leg else ""
