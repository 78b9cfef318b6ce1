"""Model-based: after any life of a house the gate says what the rule's prose says, told a second time by an oracle.

The first machine lives in memory and is tried many times; the second goes through the real actions and the database.
"""

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test

from inspections import gates
from tests.inspections.history import History
from tests.inspections.moves import LEGS, Moves


class InMemory(Moves):
    """Carries the moves out on a hand-written history."""

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
            max_examples=40, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck)
        ),
    )
