"""A pour day of the demo: what was agreed, its trucks, how true the wall stood, how warm it stayed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone

from inspections.demo.story import Story
from jobs.models import Role
from takeoff.plan import Stage

#: Minutes between trucks, from batching to arrival, to the first concrete, and until a truck is empty.
EVERY, HAUL, WAIT, PLACING = 40, 25, 6, 32


def pour_of(story: Story, kind: Stage, legs: Sequence[str], *, days_ago: float, loads: Sequence[float]) -> None:
    """Tell the pour of some legs: every truck is taken, the wall is trued and covered, and read for three days."""
    morning = timezone.localtime(timezone.now() - timedelta(days=days_ago), ZoneInfo(story.house.timezone))
    begin = morning.replace(hour=7, minute=30, second=0, microsecond=0)
    story.days_ago = days_ago
    agreed = {
        "mix": "W4A-38", "slump_in": 6.0, "approved_by": story.people.engineer.name, "air_percent": 6.0,
        "limit_min": 90.0, "least_f": 55.0, "most_f": 75.0, "note": "",
        "protection": "Foam strip and plastic on the top, twelve blankets at the corners",
    }  # fmt: skip
    story.log("mix", kind, legs, Role.ENGINEER, agreed)
    for number, yd3 in enumerate(loads):
        story.log("truck", kind, legs, Role.FIELD_LEAD, _truck(begin + timedelta(minutes=EVERY * number), number, yd3))
    end = begin + timedelta(minutes=EVERY * (len(loads) - 1) + HAUL + WAIT + PLACING)
    for what, minutes in (("vibrated", 1), ("trued", 25), ("covered", 50)):
        said = {"what": what, "when": end + timedelta(minutes=minutes), "note": ""}
        story.log("moment", kind, legs, Role.FIELD_LEAD, said)
    for leg, plumb in zip(legs, (0.125, -0.25, 0.0, 0.375), strict=False):
        off = {"plumb_in": plumb, "line_in": 0.125, "top_in": 0.0, "taken": end + timedelta(minutes=55), "note": ""}
        story.log("alignment", kind, (leg,), Role.FIELD_LEAD, off)
    for hours, value in ((12, 74.0), (24, 71.0), (36, 66.0), (48, 61.0), (60, 57.0), (72, 54.0)):
        for place, less in (("core_middle", 0.0), ("north_corner", 7.0)):
            at = end + timedelta(hours=hours)
            said = {"place": place, "value_f": value - less, "taken": at, "note": ""}
            story.log("temperature", kind, legs, Role.FIELD_LEAD, said)


def _truck(batched: datetime, number: int, yd3: float) -> dict[str, Any]:
    arrived = batched + timedelta(minutes=HAUL)
    started = arrived + timedelta(minutes=WAIT)
    return {
        "ticket": str(20431 + number), "mix": "W4A-38", "yd3": yd3, "batched": batched, "arrived": arrived,
        "started": started, "ended": started + timedelta(minutes=PLACING), "concrete_f": 61.0 + number, "air_f": 44.0,
        "slump_in": 6.0, "air_percent": 5.8, "water_gal": 0.0, "water_by": "", "decision": "accepted", "reason": "",
        "note": "",
    }  # fmt: skip
