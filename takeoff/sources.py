"""Where a number comes from: a record beside every constant, table and rule.

``seen`` is True where the printed value was read, False where it is from memory; a fact of the trade without a
published source is :data:`COMMON_PRACTICE`.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """A document, its edition and the clause or table in it."""

    document: str
    edition: str = ""
    clause: str = ""
    seen: bool = True

    def __str__(self) -> str:
        text = " ".join(part for part in (self.document, self.edition, self.clause) if part)
        return text if self.seen else f"{text} (from memory)"


COMMON_PRACTICE = Source("common practice, no source")
GEOMETRY = Source("geometry of the plan")
PLAN = Source("plan, as entered")
FORM_SYSTEM = Source("form system data, as entered")

IRC_R403_1 = Source("IRC", "2021", "R403.1 footings")
IRC_R404_1_7 = Source("IRC", "2021", "R404.1.7 backfill placement")
IRC_R405_1 = Source("IRC", "2021", "R405.1 drainage")
IRC_R401_3 = Source("IRC", "2021", "R401.3 drainage of lots")
IRC_R608_5_4_1 = Source("IRC", "2021", "Table R608.5.4(1) lap splice and development lengths")
