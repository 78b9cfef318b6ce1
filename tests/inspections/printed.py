"""Hand-outs for tests: a locked example, what is printed of it, and what the page says."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

from django.conf import settings
from django.utils.timezone import now

from inspections.handouts.subject import Subject, subject_of
from jobs import plans
from jobs.models import PlanRevision
from takeoff.plan import Stage
from tests.cast import Cast
from tests.factories import HouseFactory

ADDRESS = "http://site.example/houses/1/stages/2/"


def locked(cast: Cast, plan: dict, **house: str) -> PlanRevision:
    """A plan locked on a house of its own."""
    return plans.lock(by=cast.builder, house=HouseFactory(firm=cast.firm, **house), document=plan)


def example(name: str) -> dict:
    return json.loads((Path(settings.BASE_DIR) / "jobs" / "examples" / f"{name}.json").read_text())


def subject(revision: PlanRevision, kind: Stage, **chosen: list[str]) -> Subject:
    stage = revision.house.stages.get(kind=kind)
    return subject_of(revision.house, stage, revision, now(), **chosen)


def words(html: str) -> str:
    """What a page says, in one line."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())
