"""Who gets what at the addresses of stages, points, evidence and the board."""

from __future__ import annotations

from tests.access import Entry

ENTRIES: dict[str, Entry] = {}
