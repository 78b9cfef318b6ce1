"""A decision of the demo: the next footing goes ahead by the guide's own answer, under what stands ready on site."""

from __future__ import annotations

from datetime import timedelta

from django.http import QueryDict

from inspections import permissions, queries
from inspections.page_queries.mine import Mine
from inspections.pours import actions
from inspections.pours.kinds import DECISION
from inspections.winter import decide_page
from inspections.winter.asked import asked
from jobs.models import House, Person, Role
from takeoff.closed_days import next_working_day
from takeoff.plan import Stage

READY = "asked=1&covers=on&base_warm=on&pump=on&concrete_f=60&pour_hour=9"


def decide_footing(house: House, by: Person) -> None:
    """The builder decides two days ahead, as soon as people work then."""
    stage = house.stages.get(kind=Stage.FOOTING)
    query = QueryDict(READY, mutable=True)
    about = asked(house, stage, query)
    query["pour_day"] = next_working_day(about.now.date() + timedelta(days=1)).isoformat()
    made = decide_page.read(about, Mine(by.pk, house, permissions.roles(by, house), queries.ledger(house)))
    if made.said is None or made.answer is None or about.revision is None:
        return
    note = "Plant and pump told; a cancel costs nothing until 5 am of the day."
    actions.log(
        by=by, role=Role.BUILDER, house=house, stage=stage, kind=DECISION.key, legs=made.legs,
        said=made.said | {"verdict": made.answer.key, "note": note}, revision=about.revision.number,
    )  # fmt: skip
