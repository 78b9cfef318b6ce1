"""What happened on one house, written down by hand: short verbs that make the records of a ledger, no database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta

from inspections.ahead import Ahead
from inspections.process import Operation, Point, Scope
from inspections.stages import BY_KIND, DEFAULT_ORDER
from inspections.standing import WHOLE_HOUSE, Broken, Closed, Done, Estimated, Ledger, Presented, Signed, StageRow
from jobs.frozen import Facts
from takeoff.plan import Stage
from tests.inspections.world import facts

START = datetime(2026, 11, 3, 7, tzinfo=UTC)


class History:
    """Records in the order made. Stages are named by kind (the first of that kind) or by row."""

    def __init__(self, found: Facts | None = None, kinds: Sequence[Stage] = DEFAULT_ORDER) -> None:
        self.facts: Facts | None = facts() if found is None else found
        self.revision = 1
        self.rows = tuple(StageRow(pk, pk, kind, BY_KIND[kind].title) for pk, kind in enumerate(kinds, start=1))
        self.presented: list[Presented] = []
        self.signed: list[Signed] = []
        self.closed: list[Closed] = []
        self.done: list[Done] = []
        self.broken: list[Broken] = []
        self.estimated: list[Estimated] = []
        self._read: tuple[object, Ledger] | None = None

    @property
    def ledger(self) -> Ledger:
        """The ledger as it is now."""
        lists = (self.presented, self.signed, self.closed, self.done, self.broken, self.estimated)
        now = (self.revision, id(self.facts), *(len(x) for x in lists))
        if self._read is None or self._read[0] != now:
            number = self.revision if self.facts else None
            self._read = (now, Ledger(1, self.facts, number, self.rows, *(tuple(x) for x in lists)))
        return self._read[1]

    def row(self, stage: Stage | StageRow) -> StageRow:
        """A stage of the house."""
        return stage if isinstance(stage, StageRow) else next(r for r in self.rows if r.kind is stage)

    def point(self, stage: Stage | StageRow, key: str) -> Point:
        """A point of the process."""
        found = self.row(stage).process.point(key)
        assert found is not None, key
        return found

    def operation(self, stage: Stage | StageRow, key: str) -> Operation:
        """An operation of the process."""
        found = self.row(stage).process.operation(key)
        assert found is not None, key
        return found

    def _now(self) -> datetime:
        made = len(self.presented) + len(self.signed) + len(self.closed) + len(self.done)
        return START + timedelta(hours=made)

    def _prints(self, row: StageRow, point: Point, legs: Sequence[str]) -> dict[str, str]:
        return {name: self.ledger.fingerprint(row, point, name) for name in legs or (WHOLE_HOUSE,)}

    def present(
        self, stage: Stage | StageRow, key: str, *legs: str, by: int = 1, choices: Mapping[str, str] | None = None
    ) -> Presented:
        """Presented on the legs (none for a point of the house)."""
        row, point = self.row(stage), self.point(stage, key)
        pk, prints = len(self.presented) + 1, self._prints(self.row(stage), point, legs)
        made = Presented(pk, row.pk, key, legs, by, self.revision, self._now(), choices or {}, prints)
        self.presented.append(made)
        return made

    def _sign(self, presented: Presented, legs: Sequence[str], released: bool, reason: str, role: str = "") -> Signed:
        row = next(r for r in self.rows if r.pk == presented.stage)
        names = tuple(legs) or presented.legs
        prints = self._prints(row, self.point(row, presented.point), names)
        pk, by = len(self.signed) + 1, 2
        role = role or self.point(row, presented.point).releases[0].value
        made = Signed(
            pk, row.pk, presented.point, names, presented.pk, released, by, role, self.revision, prints, reason,
            self._now(),
        )  # fmt: skip
        self.signed.append(made)
        return made

    def release(self, presented: Presented, *legs: str, role: str = "") -> Signed:
        """Released, on all its legs or those named, by the first role that may or by the one named."""
        return self._sign(presented, legs, True, "", role)

    def reject(self, presented: Presented, *legs: str) -> Signed:
        """Rejected, on all its legs or those named."""
        return self._sign(presented, legs, False, "Not as drawn.")

    def close(self, signed: Signed, *legs: str) -> Closed:
        """The correction of a rejection closed."""
        made = Closed(len(self.closed) + 1, signed.pk, tuple(legs) or signed.legs, self._now())
        self.closed.append(made)
        return made

    def do(self, stage: Stage | StageRow, key: str, *legs: str) -> Done:
        """Work done, whether a gate would have let it or not."""
        made = Done(len(self.done) + 1, self.row(stage).pk, key, legs, self.revision, self._now())
        self.done.append(made)
        return made

    def breaks(self, wall: Stage, psi: float, *legs: str, hour: float = 0.0, cured: str = "field") -> Broken:
        """A cylinder of the wall broken, so many hours after the story began."""
        at = START + timedelta(hours=hour)
        made = Broken(len(self.broken) + 1, self.row(wall).pk, legs, psi, at, cured == "field")
        self.broken.append(made)
        return made

    def estimates(
        self, wall: Stage, low: float, *legs: str, ahead: Ahead | None = None, hour: float | None = None
    ) -> Estimated:
        """An estimate of the wall's strength accepted, as it was looked ahead; for now, or for so many hours after the
        story began."""
        pk, at = len(self.estimated) + 1, self._now() if hour is None else START + timedelta(hours=hour)
        made = Estimated(pk, self.row(wall).pk, legs, low, low * 1.2, low * 1.4, at, at, ahead)
        self.estimated.append(made)
        return made

    def passed(
        self, stage: Stage | StageRow, key: str, *legs: str, choices: Mapping[str, str] | None = None
    ) -> Presented:
        """Presented and released."""
        made = self.present(stage, key, *legs, choices=choices)
        self.release(made)
        return made

    def revise(self, found: Facts) -> None:
        """A new revision in force."""
        self.facts, self.revision = found, self.revision + 1

    def through(self, stage: Stage | StageRow, *legs: str, until: str = "", but: Sequence[str] = ()) -> None:
        """Take legs through a stage: points passed and operations done in order, up to (not with) ``until``, without
        the points named in ``but``."""
        row = self.row(stage)
        assert self.facts is not None
        for operation in (*row.process.operations, None):
            for point in row.process.points:
                if point.before == (operation.key if operation else "") and point.key not in but:
                    own = [n for n in legs if point.applies(_leg(self.facts, n))]
                    if point.scope is Scope.HOUSE:
                        self.passed(row, point.key)
                    elif own:
                        self.passed(row, point.key, *own)
            if operation is None or operation.key == until:
                return
            self.do(row, operation.key, *legs)


def _leg(found: Facts, name: str):
    leg = found.leg(name)
    assert leg is not None, name
    return leg


def codes(reasons) -> list[str]:
    """Reasons as 'code stage about legs', short enough for a table."""
    return [f"{r.code} {r.about or r.stage} {'+'.join(r.legs) or '-'}".replace(" -", " house") for r in reasons]
