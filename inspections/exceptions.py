"""What may be refused here, one sentence each. Views catch :class:`jobs.exceptions.Refused` and show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from jobs.exceptions import Refused

if TYPE_CHECKING:
    from inspections.gates import Gate


class NotYours(Refused):
    """A move that this person, in this role, may not make."""


class NoSuchThing(Refused):
    """A stage, point, operation or leg that is not (or no longer) there."""


class NotOnThisStage(NoSuchThing):
    """A section or leg that was asked for and is not part of the stage."""


class StaleRevision(Refused):
    """The page showed an older plan revision, and the plan changed since for what is recorded."""


class WrongStanding(Refused):
    """The point does not stand where this move starts from."""


class TextMissing(Refused):
    """A reason, or what was done, left empty."""


@dataclass(frozen=True, slots=True)
class EvidenceProblem:
    """What is wrong with one piece of evidence; ``leg`` is '' where it concerns them all."""

    key: str
    leg: str
    sentence: str


class EvidenceRefused(Refused):
    """Evidence missing, unreadable or of the wrong kind. ``problems`` holds every one of them."""

    def __init__(self, problems: tuple[EvidenceProblem, ...]) -> None:
        self.problems = problems
        super().__init__(" ".join(dict.fromkeys(p.sentence for p in problems)))


class OutsideTolerance(EvidenceRefused):
    """Readings that miss what the plan asks, with no word on why they are presented all the same."""


class UploadRefused(Refused):
    """A file that is not kept."""


class GateHeld(Refused):
    """Work that may not go on. ``gate`` has every reason."""

    def __init__(self, gate: Gate) -> None:
        self.gate = gate
        super().__init__(" ".join(reason.sentence for reason in gate.reasons))
