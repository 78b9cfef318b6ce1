"""A pour day of the demo: what was agreed, its trucks, how true the wall stood, how warm it stayed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone

from inspections.demo.story import Story
from jobs.models import Role
from takeoff.plan import Stage

#: Minutes between trucks, from batching to arrival, to the first concrete, and until a truck is empty.
EVERY, HAUL, WAIT, PLACING = 40, 25, 6, 32
#: The core as it was read: hours after placing and degrees [F]; how much colder the north corner was.
CORE = (
    (0, 61.0), (2, 63.5), (4, 67.0), (8, 74.5), (12, 80.5), (16, 85.0), (20, 88.0), (24, 90.0), (30, 92.0), (36, 92.5),
    (48, 91.5), (60, 89.5), (72, 86.5),
)  # fmt: skip
CORNER_LESS = 6.0
#: By the supplier's own tests: days in the laboratory and psi.
CURVE = [[1.0, 900.0], [3.0, 1900.0], [7.0, 2850.0], [28.0, 4050.0]]


def pour_of(story: Story, kind: Stage, legs: Sequence[str], *, days_ago: float, loads: Sequence[float]) -> None:
    """Tell the pour of some legs: every truck is taken, the wall is trued and covered, and read for three days."""
    morning = timezone.localtime(timezone.now() - timedelta(days=days_ago), ZoneInfo(story.house.timezone))
    begin = morning.replace(hour=7, minute=30, second=0, microsecond=0)
    story.days_ago = days_ago + 1  # agreed the evening before
    agreed = {
        "mix": "W4A-38", "slump_in": 6.0, "approved_by": story.people.engineer.name, "air_percent": 6.0,
        "limit_min": 90.0, "least_f": 55.0, "most_f": 75.0, "note": "",
        "protection": "Foam strip and plastic on the top, twelve blankets at the corners",
        "cement_lb": 500.0, "water_ratio": 0.5, "curve": CURVE,
    }  # fmt: skip
    story.log("mix", kind, legs, Role.ENGINEER, agreed)
    story.days_ago = days_ago
    for number, yd3 in enumerate(loads):
        story.log("truck", kind, legs, Role.FIELD_LEAD, _truck(begin + timedelta(minutes=EVERY * number), number, yd3))
    end = begin + timedelta(minutes=EVERY * (len(loads) - 1) + HAUL + WAIT + PLACING)
    for what, minutes in (("vibrated", 1), ("trued", 25), ("covered", 50)):
        said = {"what": what, "when": end + timedelta(minutes=minutes), "note": ""}
        story.log("moment", kind, legs, Role.FIELD_LEAD, said)
    for leg, plumb in zip(legs, (0.125, -0.25, 0.0, 0.375), strict=False):
        off = {"plumb_in": plumb, "line_in": 0.125, "top_in": 0.0, "taken": end + timedelta(minutes=55), "note": ""}
        story.log("alignment", kind, (leg,), Role.FIELD_LEAD, off)
    for hours in (12, 24, 36, 48, 60, 72):
        for place, less in (("core_middle", 0.0), ("north_corner", CORNER_LESS)):
            at = end + timedelta(hours=hours)
            said = {"place": place, "value_f": dict(CORE)[hours] - less, "taken": at, "note": ""}
            story.log("temperature", kind, legs, Role.FIELD_LEAD, said)
    _kept_warm(story, kind, legs, end)


def _kept_warm(story: Story, kind: Stage, legs: Sequence[str], end: datetime) -> None:
    """Blankets for three days, the top covered for six; a logger in the core; two cylinders of the laboratory."""
    for hours, side_r, top_r in ((1.0, 2.0, 8.0), (72.0, 0.0, 8.0)):
        said = {"side_r": side_r, "top_r": top_r, "air_f": None, "when": end + timedelta(hours=hours), "note": ""}
        story.log("protection", kind, legs, Role.FIELD_LEAD, said)
    off = {"what": "unprotected", "when": end + timedelta(hours=144), "note": ""}
    story.log("moment", kind, legs, Role.FIELD_LEAD, off)
    begun = end - timedelta(minutes=30)
    lines = {"place": "core_middle", "name": "north-wall-core.csv", "text": logged(begun, end), "begun": begun}
    story.log("logger", kind, legs, Role.FIELD_LEAD, lines | {"note": "Left in the sleeve beside the kitchen window."})
    for specimen, psi in (("KR-L1", 2990.0), ("KR-L2", 2930.0)):
        said = {"specimen": specimen, "psi": psi, "cured": "lab", "note": ""}
        story.log("cylinder", kind, legs, Role.ENGINEER, said | {"cast": end, "broken": end + timedelta(days=7)})


def logged(begun: datetime, end: datetime, hours: int = 72) -> str:
    """A logger's file as it is brought: every half hour by the clock of the site, a tenth of a degree up and down."""
    lines = ["Time,Temp (F)"]
    for n in range(2 * hours + 2):
        at = (begun.astimezone(UTC) + timedelta(minutes=30 * n)).astimezone(begun.tzinfo)
        value = _between((at - end).total_seconds() / 3600) + (0.1 if n % 3 else -0.1)
        lines.append(f"{at:%Y-%m-%d %H:%M},{value:.1f}")
    return "\n".join([*lines, ""])


def _between(hour: float) -> float:
    """The core at an hour [F], straight between those of :data:`CORE`; its first before placing."""
    for (h0, f0), (h1, f1) in pairwise(CORE):
        if hour <= h1:
            return f0 + (f1 - f0) * max(hour - h0, 0.0) / (h1 - h0)
    return CORE[-1][1]


def _truck(batched: datetime, number: int, yd3: float) -> dict[str, Any]:
    arrived = batched + timedelta(minutes=HAUL)
    started = arrived + timedelta(minutes=WAIT)
    return {
        "ticket": str(20431 + number), "mix": "W4A-38", "yd3": yd3, "batched": batched, "arrived": arrived,
        "started": started, "ended": started + timedelta(minutes=PLACING), "concrete_f": 61.0 + number, "air_f": 44.0,
        "slump_in": 6.0, "air_percent": 5.8, "water_gal": 0.0, "water_by": "", "decision": "accepted", "reason": "",
        "note": "",
    }  # fmt: skip
