"""Does a record of a pour fit what is already on record? Each check raises one refusal or lets pass."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from inspections.exceptions import NoSuchThing, WrongStanding
from inspections.legs import leg_words
from inspections.pours.kinds import AHEAD, LEVEL, MIX, POURED, TRUCK, Kind, Said, Wrong
from inspections.pours.models import PourRecord, TruckLoad
from inspections.standing import Ledger, StageRow
from jobs import plans
from jobs.exceptions import Refused
from jobs.models import House, PlanRevision
from takeoff.geometry import place
from takeoff.plan import Stage
from takeoff.pour.filling import TRUE_IN
from takeoff.pours import wall_pour
from takeoff.units import Length, format_length

#: Clocks of phones differ by so much.
CLOCKS_DIFFER = timedelta(minutes=10)


class WrongSaid(Refused):
    """What is said cannot be. ``problems`` holds every sentence beside its field."""

    def __init__(self, problems: Sequence[Wrong]) -> None:
        self.problems = tuple(problems)
        super().__init__(" ".join(dict.fromkeys(sentence for _, sentence in problems)))


def poured(row: StageRow) -> None:
    """Only footings and walls are poured."""
    if row.kind not in POURED:
        raise NoSuchThing(f"Nothing is poured in “{row.title}”.")


def names_of(ledger: Ledger, row: StageRow, legs: Sequence[str]) -> tuple[str, ...]:
    """The legs in walking order, each once; refused where one is not part of the stage, or none is named."""
    here = [leg.name for leg in ledger.legs_of(row)]
    for name in legs:
        if name not in here:
            raise NoSuchThing(f"Leg {name} is not part of “{row.title}” in the revision in force.")
    if not legs:
        raise NoSuchThing("Name the legs of the pour.")
    return tuple(name for name in here if name in set(legs))


def said_right(kind: Kind, said: Said, now: datetime) -> None:
    """Times in their order and none of them still to come, and what the kind itself asks."""
    wrong = kind.problems(said)
    told = {name for name, _ in wrong}
    for name, at in () if kind.key in AHEAD else said.items():
        if isinstance(at, datetime) and at > now + CLOCKS_DIFFER and name not in told:
            wrong.append((name, "This time is still to come: write down what happened, with its day."))
    if wrong:
        raise WrongSaid(wrong)


def earlier_of(kind: Kind, house: House, row: StageRow, pk: int | None) -> PourRecord | None:
    """The record that is corrected or gone on from; refused where it is not there or was corrected meanwhile."""
    if pk is None:
        return None
    found = kind.model._default_manager.filter(pk=pk, house=house, stage=row.pk).first()
    if found is None:
        raise NoSuchThing("The record to be corrected is not one of this pour.")
    if getattr(found, "replaced_by", None) is not None:
        raise WrongStanding("This was written down again meanwhile; look at the newer record.")
    return found


def fits_others(kind: Kind, house: House, row: StageRow, names: Sequence[str], said: Said, earlier: int | None) -> None:
    """A ticket is written down once; legs already filled together stay one pour."""
    loads = TruckLoad.objects.filter(house=house, stage=row.pk, replaced_by=None)
    if kind is TRUCK:
        twin = next((row for row in loads.filter(ticket__iexact=said["ticket"]) if row.pk != earlier), None)
        if twin is not None:
            raise WrongSaid([("ticket", f"Ticket {twin.ticket} is written down already; go on with that truck.")])
    if kind is MIX:
        for load in loads:
            if set(load.legs) & set(names) and not set(load.legs) <= set(names):
                words = leg_words(tuple(load.legs))
                raise WrongStanding(f"Truck {load.ticket} came for {words} together: agree on all of them.")


def fits_wall(kind: Kind, revision: PlanRevision, row: StageRow, names: Sequence[str], said: Said) -> None:
    """A level is read on one leg of a wall, and no deeper than that wall is."""
    if kind is not LEVEL:
        return
    if len(names) != 1:
        raise WrongSaid([("on_leg", "A level is read on one leg at a time: choose the leg.")])
    if row.kind is Stage.FOOTING:
        raise NoSuchThing("A footing has no forms whose top the level is read from.")
    plan = plans.takeoff_of(revision).plan
    wall = wall_pour(plan, place(plan), row.kind, names)
    if not wall.bodies:
        raise NoSuchThing(f"Nothing is poured on leg {names[0]} in “{row.title}”.")
    deep = wall.top_in - wall.foot_in
    if said["down_in"] > deep + TRUE_IN:
        read, all_ = (format_length(Length.from_inches(value)) for value in (said["down_in"], deep))
        raise WrongSaid(
            [("down_in", f"{read} is deeper than the wall of leg {names[0]}, which is {all_} from the top of its forms "
              "to its foot. Measure from the top of the forms down to the concrete.")]
        )  # fmt: skip
