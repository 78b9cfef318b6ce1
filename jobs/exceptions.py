"""What may be refused, one sentence each, fit for the person who asked. Views catch :class:`Refused` and show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


class Refused(Exception):  # noqa: N818 - named for what happens, as it is told
    """Something that may not be done; the message is a sentence for the person."""


class ReusedRecordId(Refused):
    """A record's id came back with another person or another deed: not a replay, a mistake."""


class DatesOutOfOrder(Refused):
    """A house buried before it is dug, a stage that ends before it starts."""


class UnknownSoil(Refused):
    """A soil symbol that is not in the code's table."""


class InvitationRefused(Refused):
    """A role that cannot be offered or taken up."""


class InvitationSpent(Refused):
    """An invitation already taken up, withdrawn or expired."""


class StageInUse(Refused):
    """A stage with records on it."""


class FormSystemRefused(Refused):
    """A form system that cannot be kept as it is."""


class AlreadyInAFirm(Refused):
    """A person who already belongs to a firm."""


class LastOfTheFirm(Refused):
    """The only person left in a firm, who would leave its houses without a builder."""


class AddressTaken(Refused):
    """An e-mail address that already has a login."""


class PdfUnavailable(Refused):
    """No PDF can be made on this machine; the message says which line to run."""


class AddressRefused(Refused):
    """An address that a hand-out may not fetch."""


@dataclass(frozen=True, slots=True)
class Change:
    """What somebody saved while the page was open."""

    by: str
    at: datetime
    summary: str


class StalePage(Refused):
    """The page was older than what is stored. Nothing was saved; ``changes`` says what happened meanwhile."""

    def __init__(self, changes: tuple[Change, ...], version: int) -> None:
        self.changes = changes
        self.version = version
        who = " and ".join(dict.fromkeys(change.by for change in changes)) or "Somebody"
        super().__init__(
            f"{who} saved this page after you opened it. Nothing of yours is saved yet: "
            "compare the newer values below, then save again."
        )
