"""A site with a real plan, locked by the engine: for pages, which draw it and show its numbers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jobs
from inspections.models import Presentation
from jobs import plans
from takeoff.plan import Stage
from tests.cast import Cast
from tests.inspections.world import Site

EXAMPLES = Path(jobs.__file__).parent / "examples"


def document(name: str = "kettle-road") -> dict[str, Any]:
    """One of the example plans: kettle-road is the smallest (one section), saltlick-lane has a garage."""
    return json.loads((EXAMPLES / f"{name}.json").read_text())


class RealSite(Site):
    """The cast's house with an example plan in force."""

    def __init__(self, cast: Cast, name: str = "kettle-road") -> None:
        self.cast, self.house = cast, cast.house
        self.revision = plans.lock(by=cast.builder, house=cast.house, document=document(name))

    @property
    def legs(self) -> tuple[str, ...]:
        """All legs, in walking order."""
        return tuple(leg["name"] for leg in self.revision.facts["legs"])

    def legs_in(self, section: str) -> tuple[str, ...]:
        """Legs of one section."""
        return tuple(leg["name"] for leg in self.revision.facts["legs"] if leg["section"] == section)

    def present(self, kind: Stage, key: str, *legs: str, **more: Any) -> Presentation:
        """As on any site; readings are round figures, so they say why they are not what the plan asks."""
        return super().present(kind, key, *legs, **{"deviation": "Figures of a test.", **more})
