"""What a bare number was typed in stays what it means when the plan's unit for bare numbers is changed."""

from __future__ import annotations

import re
from typing import Any, Final

from jobs.plan_fields import LENGTHS
from jobs.plan_forms import Document, to_fields, value_at
from takeoff.planread import bare_unit

#: A number and nothing else; zero is the same in every unit.
_BARE: Final = re.compile(r"^\s*[-−+]?(?:\d+(?:\.\d*)?|\.\d+)\s*$")


def keep_meaning(typed: Document, stored: Document) -> int:
    """Write the former unit behind every bare number that was typed while it held, where the unit has just been
    changed; a number typed since is in the new one. Changes ``typed``; says how many were written out."""
    before, now = bare_unit(stored), bare_unit(typed)
    if before == now:
        return 0
    old, found = to_fields(stored), 0
    for path, text in to_fields(typed).items():
        if old.get(path) == text and _BARE.match(text) and _is_length(path):
            holder: Any = value_at(typed, path.rpartition(".")[0])
            holder[path.rpartition(".")[2]] = f"{text.strip()} {before}"
            found += 1
    return found


def _is_length(path: str) -> bool:
    return path.rpartition(".")[2] in LENGTHS and "." in path
