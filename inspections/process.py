"""The words of the process: points, evidence and operations as plain data types.

A **hold point** stops work until it is released; a **witness point** is told to the named person, who may come, and
work may go on. An **operation** is a move that loads or covers work (placing concrete, stacking on top, filling);
it is the thing a gate opens or holds. The declared process itself is :mod:`inspections.stages`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from jobs.frozen import LegFacts
from jobs.models import Role
from takeoff.plan import Stage

#: Who may say that a correction is closed.
CLOSES: tuple[Role, ...] = (Role.FIELD_LEAD, Role.BUILDER)


class PointKind(StrEnum):
    """Whether work waits."""

    HOLD = "hold"
    WITNESS = "witness"


class Scope(StrEnum):
    """What a release of a point covers."""

    HOUSE = "house"  # once for the house
    LEGS = "legs"  # leg by leg


class EvidenceKind(StrEnum):
    """What kind of proof is asked."""

    MEASUREMENT = "measurement"  # a number, compared with a criterion
    LEVELS = "levels"  # one level per leg, read with a rod
    PHOTO = "photo"
    TICKET = "ticket"  # number of a delivery ticket or permit, or its picture
    CHOICE = "choice"
    CHECK = "check"  # somebody looked and says yes
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Evidence:
    """One piece of evidence a point asks for. ``criterion`` names the takeoff's number it is compared with."""

    key: str
    label: str
    kind: EvidenceKind
    required: bool = True
    criterion: str = ""
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()


def _always(_: LegFacts) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class Point:
    """A hold or witness point of a stage.

    ``releases``: roles that may release or reject it. ``presents``: roles that may say it is ready. ``criteria``: keys
    of the takeoff's numbers shown with it. ``applies``: whether a leg has this point at all. ``before``: the operation
    of the same stage that waits for it, or '' where it is for the stages after this one.
    """

    key: str
    title: str
    kind: PointKind
    releases: tuple[Role, ...]
    before: str
    looks_at: str
    scope: Scope = Scope.LEGS
    presents: tuple[Role, ...] = (Role.FIELD_LEAD, Role.BUILDER)
    evidence: tuple[Evidence, ...] = ()
    criteria: tuple[str, ...] = ()
    applies: Callable[[LegFacts], bool] = _always
    source: str = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Operation:
    """A covering or loading move. ``past`` is how its record reads ('footing concrete placed'); ``waits`` says what it
    waits for besides its points."""

    key: str
    title: str
    past: str
    does: tuple[Role, ...] = (Role.FIELD_LEAD, Role.BUILDER)
    caution: str = ""
    waits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StageProcess:
    """One kind of stage: its points in order and its operations in order. ``buries`` names the kinds of stage whose
    work can no longer be seen once this stage's last operation is done."""

    kind: Stage
    title: str
    purpose: str
    points: tuple[Point, ...]
    operations: tuple[Operation, ...]
    buries: tuple[Stage, ...] = ()
    cautions: tuple[str, ...] = ()

    def point(self, key: str) -> Point | None:
        """A point by key, or None."""
        return next((p for p in self.points if p.key == key), None)

    def operation(self, key: str) -> Operation | None:
        """An operation by key, or None."""
        return next((o for o in self.operations if o.key == key), None)

    def points_before(self, operation: str) -> tuple[Point, ...]:
        """Points that the operation waits for: its own and those of the operations before it."""
        order = [o.key for o in self.operations]
        reach = set(order[: order.index(operation) + 1])
        return tuple(p for p in self.points if p.before in reach)
