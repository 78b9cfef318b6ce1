"""Model-based: after any life of a house the gate says what the rule's prose says, told a second time by an oracle.

The first machine lives in memory and is tried many times; the second goes through the real actions and the database.
"""

from uuid import uuid4

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from inspections import gates, queries
from inspections.models import CorrectionClosed, EvidenceItem, Presentation, SignOff, WorkDone
from inspections.pours.models import CylinderBreak, StrengthEstimate
from jobs.exceptions import Refused, ReusedRecordId
from jobs.models import Event
from takeoff.plan import Stage
from tests.cast import make_cast
from tests.inspections.history import History
from tests.inspections.moves import LEGS, Moves
from tests.inspections.world import Site, evidence_for


class InMemory(Moves):
    """Carries the moves out on a hand-written history; points may come before the work they are looked at after."""

    in_order = False

    def start(self, found):
        self.history = History(found)
        return [(row.pk, row.kind) for row in self.history.rows]

    def _row(self, pk):
        return next(row for row in self.history.rows if row.pk == pk)

    def _told(self, row, point, legs):
        names = self.names(row, self._point(row, point), legs)
        stands = [self.history.ledger.standing(self._row(row), self._point(row, point), n) for n in names]
        return names, stands

    def attempt_present(self, row, point, legs, choice):
        names = self.names(row, self._point(row, point), legs)
        if not self.may_present(row, self._point(row, point), names):
            return False
        self.history.present(self._row(row), point, *legs, choices={"held_by": choice})
        return True

    def attempt_sign(self, row, point, legs, released):
        names, stands = self._told(row, point, legs)
        if not self.may_sign(row, self._point(row, point), names, released):
            return False
        sign = self.history.release if released else self.history.reject
        sign(stands[0].presented, *legs)
        return True

    def attempt_close(self, row, point, legs):
        names, stands = self._told(row, point, legs)
        if not self.may_close(row, self._point(row, point), names):
            return False
        self.history.close(stands[0].signed, *legs)
        return True

    def attempt_work(self, row, operation, legs):
        ledger = self.history.ledger
        gate = gates.gate(ledger, self._row(row), self.history.operation(self._row(row), operation), legs)
        if gate.is_open:
            self.history.do(self._row(row), operation, *legs)
        return gate.is_open

    def attempt_strength(self, row, legs, how, psi, hour):
        wall = self._row(row).kind
        if not legs or set(legs) - set(self.diary.legs_of(wall)):
            return False
        if how == "estimate":
            self.history.estimates(wall, psi, *legs, hour=hour)
        else:
            self.history.breaks(wall, psi, *legs, hour=hour, cured=how)
        return True

    def attempt_revision(self, found):
        self.history.revise(found)

    def gate(self, row, operation):
        stage = self._row(row)
        return gates.gate(self.history.ledger, stage, self.history.operation(stage, operation), LEGS)


@pytest.mark.slow
def test_any_life_of_a_house_in_memory():
    run_state_machine_as_test(
        InMemory,
        settings=settings(
            max_examples=30, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck)
        ),
    )


class ThroughActions(Moves):
    """Carries the moves out through the real actions, each attempted whether it is in season or not.

    A machine that goes another way to the same actions (pages, replayed posts) overrides ``send``.
    """

    def start(self, found):
        self.transaction = transaction.atomic()
        self.transaction.__enter__()
        self.cast = make_cast()
        self.site = Site(self.cast, found)
        self.client_ids: list[tuple[str, dict, object]] = []
        return [(stage.pk, Stage(stage.kind)) for stage in self.site.house.stages.order_by("position")]

    def teardown(self):
        transaction.set_rollback(True)
        self.transaction.__exit__(None, None, None)

    def send(self, move: str, **said) -> bool:
        """One record; whether it was accepted. Nothing may be left behind of one that was not."""
        said = {"client_id": uuid4(), **said}
        before = counts()
        try:
            row = getattr(self.site, move)(*said.pop("args"), **said.pop("named", {}), **said)
        except Refused:
            assert counts() == before
            return False
        assert counts() != before
        self.sent.append((move, {"row": row, **said}))
        return True

    def attempt_present(self, row, point, legs, choice):
        kind, found = self.diary.kind_of(row), self._point(row, point)
        given = evidence_for(found, legs, **({"held_by": {"text": choice}} if choice else {}))
        return self._say("present", args=(kind, point, *legs), evidence=given)

    def attempt_sign(self, row, point, legs, released):
        found = Presentation.objects.filter(stage=row, point=point).order_by("-pk")
        for presentation in found:
            if set(legs) <= set(presentation.legs):
                named = {"legs": list(legs)}
                return self._say("release" if released else "reject", args=(presentation,), named=named)
        return False

    def attempt_close(self, row, point, legs):
        found = SignOff.objects.filter(stage=row, point=point, decision="rejected").order_by("-pk")
        for sign_off in found:
            if set(legs) <= set(sign_off.legs):
                return self._say("close", args=(sign_off,), named={"legs": list(legs)})
        return False

    def attempt_work(self, row, operation, legs):
        return self._say("work", args=(self.diary.kind_of(row), operation, *legs))

    def _say(self, move, *, args, named=None, **more):
        client_id = uuid4()
        accepted = self.send(move, args=args, named=named or {}, client_id=client_id, **more)
        if accepted:
            self.client_ids.append((move, {"args": args, "named": named or {}, **more}, client_id))
        return accepted

    def attempt_strength(self, row, legs, how, psi, hour):
        return self.send(
            "show_strength", args=(self.diary.kind_of(row), *legs), named={"how": how, "psi": psi, "hour": hour}
        )

    def attempt_revision(self, found):
        self.site.lock(found)

    def replay(self):
        """The oldest and the newest record again, as first sent: answered, and nothing written. With another content
        or by somebody else: refused."""
        for move, said, client_id in {id(x): x for x in (self.client_ids[:1] + self.client_ids[-1:])}.values():
            before = counts()
            named = {"revision": self._seen(client_id), **said["named"]} if move != "close" else said["named"]
            more = {k: v for k, v in said.items() if k not in ("args", "named")}
            row = getattr(self.site, move)(*said["args"], client_id=client_id, **named, **more)
            assert row.client_id == client_id
            with pytest.raises(ReusedRecordId):
                stranger = {"by": self.cast.stranger, "client_id": client_id}
                getattr(self.site, move)(*said["args"], **{**named, **more, **stranger})
            assert counts() == before

    def _seen(self, client_id):
        rows = (model.objects.filter(client_id=client_id).first() for model in (Presentation, SignOff, WorkDone))
        return next(row.revision.number for row in rows if row is not None)

    def gate(self, row, operation):
        ledger = self._ledger()
        stage = ledger.stage(row)
        return gates.gate(ledger, stage, stage.process.operation(operation), LEGS)

    def _ledger(self):
        now = (*counts(), self.site.revision.pk)
        if getattr(self, "_read", (None, None))[0] != now:
            self._read = (now, queries.ledger(self.site.house))
        return self._read[1]


def counts() -> tuple[int, ...]:
    """How many records and events there are."""
    records = (Presentation, SignOff, CorrectionClosed, WorkDone, EvidenceItem, Event, CylinderBreak, StrengthEstimate)
    return tuple(m.objects.count() for m in records)


@pytest.mark.slow
@pytest.mark.django_db
def test_any_life_of_a_house_through_the_actions():
    run_state_machine_as_test(
        ThroughActions,
        settings=settings(
            max_examples=4,
            stateful_step_count=12,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            phases=[Phase.generate],  # making a failure smaller would take minutes here; the one in memory does that
        ),
    )
