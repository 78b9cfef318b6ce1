"""Houses to measure with: made inside a transaction that is taken back, so that nothing is left of them."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import transaction

from inspections.models import Presentation, SignOff, WorkDone
from inspections.stages import BY_KIND
from jobs import plans
from jobs.frozen import facts_from_json
from jobs.models import Firm, FirmMember, House, HouseStage, Person, PlanRevision, Role, Site
from jobs.stages import DEFAULT_ORDER, TITLES
from takeoff.plan import Stage
from takeoff.units import Length


@dataclass(frozen=True)
class Builder:
    """Somebody who builds, and the houses of the firm."""

    person: Person
    houses: list[House]


@contextmanager
def taken_back() -> Iterator[None]:
    """What is written inside is gone afterwards, whatever happens."""
    with transaction.atomic():
        try:
            yield
        finally:
            transaction.set_rollback(True)


def example(name: str) -> dict[str, Any]:
    """One of the example plans, as its file says."""
    found = Path(settings.BASE_DIR) / "jobs" / "examples" / f"{name}.json"
    return dict(json.loads(found.read_text(encoding="utf-8")))


def builder_of(count: int, plan: str = "saltlick-lane") -> Builder:
    """A builder with so many houses on a locked example plan, each with its footing half way through its points."""
    firm = Firm.objects.create(name="Measured Builders")
    person = Person.objects.create_user(f"bench{firm.pk}@example.org", name="Bench Builder")
    FirmMember.objects.create(firm=firm, person=person)
    first = _house(firm, 1)
    revision = plans.lock(by=person, house=first, document=example(plan))
    others = [_house(firm, n) for n in range(2, count + 1)]
    revisions = PlanRevision.objects.bulk_create(_same(revision, house) for house in others)
    for each in (revision, *revisions):
        _record(each, person)
    return Builder(person, [first, *others])


def _house(firm: Firm, number: int) -> House:
    house = House.objects.create(firm=firm, name=f"Measured house {number}", lot=str(number))
    ground: dict[str, Any] = {"frost_depth": Length.feet(4)}
    Site.objects.create(house=house, **ground)
    HouseStage.objects.bulk_create(
        HouseStage(house=house, position=place, kind=kind, title=TITLES[kind])
        for place, kind in enumerate(DEFAULT_ORDER, start=1)
    )
    return house


def _same(revision: PlanRevision, house: House) -> PlanRevision:
    """The same plan, locked on another house."""
    kept = ("number", "document", "digest", "facts", "frozen", "engine_version", "locked_by")
    return PlanRevision(house=house, **{name: getattr(revision, name) for name in kept})


def _record(revision: PlanRevision, person: Person) -> None:
    """Footing poured and its last point presented; the rest of the points released."""
    facts = facts_from_json(revision.facts)
    legs = list(facts.legs_of(Stage.FOOTING))
    stage = revision.house.stages.get(kind=Stage.FOOTING)
    common: dict[str, Any] = {
        "house": revision.house,
        "stage": stage,
        "revision": revision,
        "by": person,
        "role": Role.BUILDER,
        "digest": "0" * 64,
    }
    prints = {leg.name: leg.fingerprints[Stage.FOOTING] for leg in facts.legs if Stage.FOOTING in leg.stages}
    for point in BY_KIND[Stage.FOOTING].points:
        own = {**common, "point": point.key, "legs": legs, "fingerprints": prints}
        if point.scope.value == "house":
            own |= {"legs": [], "fingerprints": {"": facts.house_fingerprint}}
        shown = Presentation.objects.create(**own)
        if point.before:
            SignOff.objects.create(**own, presentation=shown, decision=SignOff.Decision.RELEASED)
    WorkDone.objects.create(**common, legs=legs, operation="pour_footing")
