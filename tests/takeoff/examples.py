"""The example plans that ship with the program, read as a builder would read them in."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from takeoff.compute import compute
from takeoff.plan import Plan, Stage
from takeoff.planfile import read_plan
from takeoff.results import Takeoff

FOLDER = Path(__file__).parents[2] / "jobs" / "examples"
NAMES = tuple(sorted(path.stem for path in FOLDER.glob("*.json")))


@cache
def example(name: str) -> Plan:
    """One example plan."""
    reading = read_plan(json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8")))
    assert reading.plan is not None
    return reading.plan


@cache
def taken_off(name: str) -> Takeoff:
    """Its takeoff, worked out once for all tests."""
    return compute(example(name))


def amount(takeoff: Takeoff, key: str, stage: Stage | None = None, section: str | None = None) -> float:
    """All there is of one key, perhaps at one stage, perhaps in one section."""
    return sum(
        q.amount
        for q in takeoff.quantities
        if q.key == key and stage in (None, q.stage) and section in (None, q.section)
    )
