"""Facts, plan revisions and whole days on site for these tests, made by hand, without the engine.

Three sections: the main basement with legs A and B (frost wall under a full-height wall, B with a window), the
garage with leg G and the porch with leg P (frost walls only).
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

from PIL import Image

from inspections import actions, strength
from inspections.exceptions import NoSuchThing
from inspections.models import Presentation, SignOff, WorkDone
from inspections.pours import actions as pours
from inspections.pours.models import StrengthEstimate
from inspections.process import Evidence, EvidenceKind, Point, Scope
from inspections.readings import Given
from inspections.stages import BY_KIND
from jobs.frozen import Facts, LegFacts, facts_to_json, frozen_to_json
from jobs.models import House, HouseStage, Person, PlanRevision, Role
from takeoff.plan import Stage
from takeoff.results import Criterion, Takeoff
from takeoff.sources import COMMON_PRACTICE
from tests.cast import Cast
from tests.takeoff import plans

FROST_ONLY = (Stage.FOOTING, Stage.FROST_WALL, Stage.FROST_BACKFILL)
FULL = tuple(Stage)
SECTIONS = (("main", "Main basement"), ("garage", "Garage"), ("porch", "Porch"))


def leg(name: str, section: str = "main", stages: Sequence[Stage] = FULL, **changes: Any) -> LegFacts:
    """Facts of one leg: 7 ft of unbalanced fill, nothing waived, no openings; fingerprints '<leg>-<stage>-1'."""
    fills = [k for k in (Stage.FROST_BACKFILL, Stage.FINAL_BACKFILL) if k in stages]
    usual = LegFacts(
        name=name,
        section=section,
        fingerprints={k: f"{name}-{k}-1" for k in stages},
        unbalanced_before_in=dict.fromkeys(fills, 84.0),
        unbalanced_after_in=dict.fromkeys(fills, 80.0),
        waived_before_slab=dict.fromkeys(fills, False),
        waived_after_slab=dict.fromkeys(fills, False),
    )
    return replace(usual, **changes)


def facts(legs: Iterable[LegFacts] | None = None, house: str = "house-1") -> Facts:
    """The usual three sections, or those of the legs given."""
    usual = (leg("A"), leg("B", openings=1), leg("G", "garage", FROST_ONLY), leg("P", "porch", FROST_ONLY))
    return Facts(legs=tuple(usual if legs is None else legs), sections=SECTIONS, house_fingerprint=house)


def changed(old: Facts, *names: str, stages: Sequence[Stage] = FULL, to: str = "2") -> Facts:
    """The same facts with the inputs of the named legs to the stages changed."""
    legs = []
    for each in old.legs:
        prints = {
            k: f"{each.name}-{k}-{to}" if each.name in names and k in stages else v
            for k, v in each.fingerprints.items()
        }
        legs.append(replace(each, fingerprints=prints))
    return replace(old, legs=tuple(legs))


def criterion(key: str, value: float, sense: str, stage: Stage, **changes: Any) -> Criterion:
    """A number of the plan, for all legs unless said."""
    usual = Criterion(key, key, value, "in", sense, stage, COMMON_PRACTICE)
    return replace(usual, **changes)


def lock_revision(
    house: House, by: Person, found: Facts | None = None, criteria: Sequence[Criterion] = (), **more: Any
) -> PlanRevision:
    """The next revision of a house, with these facts and numbers."""
    number = house.revisions.count() + 1
    takeoff = Takeoff(plans.rectangle(), (), (), (), (), tuple(criteria), (), ())
    return PlanRevision.objects.create(
        house=house,
        number=number,
        document=more.get("document", {}),
        digest="0" * 64,
        facts=facts_to_json(facts() if found is None else found),
        frozen=frozen_to_json(takeoff),
        engine_version="test",
        locked_by=by,
    )


def jpeg(size: tuple[int, int] = (60, 40), **save: Any) -> bytes:
    """A small picture."""
    out = io.BytesIO()
    Image.new("RGB", size, "tan").save(out, "JPEG", **save)
    return out.getvalue()


PHOTO = jpeg()


def evidence_for(point: Point, legs: Sequence[str] = (), **given: Mapping[str, Any]) -> tuple[Given, ...]:
    """All that a point asks for, well within tolerance; ``key={...}`` changes one."""
    out: list[Given] = []
    for asked in point.evidence:
        out += _usual(asked, legs)
    return tuple(replace(each, **given[each.key]) if each.key in given else each for each in out)


def _usual(asked: Evidence, legs: Sequence[str]) -> list[Given]:
    if asked.kind is EvidenceKind.MEASUREMENT:
        return [Given(asked.key, number=0.0, text="0")]
    if asked.kind is EvidenceKind.LEVELS:
        return [Given(asked.key, leg=name, number=1032.0, text="86-0") for name in legs]
    if asked.kind is EvidenceKind.PHOTO:
        return [Given(asked.key, file=PHOTO)]
    if asked.kind is EvidenceKind.CHOICE:
        return [Given(asked.key, text=asked.choices[0][0])]
    return [Given(asked.key, text="yes")]


class Site:
    """A house with its cast and a locked revision: short verbs over the real actions."""

    def __init__(self, cast: Cast, found: Facts | None = None, criteria: Sequence[Criterion] = ()) -> None:
        self.cast, self.house = cast, cast.house
        self.revision = lock_revision(cast.house, cast.builder, found, criteria)

    def lock(self, found: Facts, criteria: Sequence[Criterion] = ()) -> PlanRevision:
        """A new revision in force."""
        self.revision = lock_revision(self.house, self.cast.builder, found, criteria)
        return self.revision

    def stage(self, kind: Stage) -> HouseStage:
        """The house's stage of a kind."""
        found = self.house.stages.filter(kind=kind).order_by("position").first()
        assert found is not None
        return found

    def point(self, kind: Stage, key: str) -> Point:
        """A point of the process."""
        found = BY_KIND[kind].point(key)
        assert found is not None
        return found

    def present(self, kind: Stage, key: str, *legs: str, **more: Any) -> Presentation:
        """Presented by the field lead (or ``by=``, ``role=``) with all that is asked for."""
        usual: dict[str, Any] = {
            "by": self.cast.field_lead,
            "role": Role.FIELD_LEAD,
            "house": self.house,
            "stage": self.stage(kind),
            "point": key,
            "legs": legs,
            "revision": self.revision.number,
            "evidence": evidence_for(self.point(kind, key), legs),
        }
        return actions.present(**{**usual, **more})

    def _sign(self, presentation: Presentation, more: dict[str, Any]) -> dict[str, Any]:
        role = self.point(Stage(presentation.stage.kind), presentation.point).releases[0]
        return {
            "by": self.cast.person(role.value),
            "role": role,
            "house": self.house,
            "presentation": presentation,
            "revision": self.revision.number,
            **more,
        }

    def release(self, presentation: Presentation, **more: Any) -> SignOff:
        """Released by the first role that may."""
        return actions.release(**self._sign(presentation, more))

    def reject(self, presentation: Presentation, reason: str = "Lap is short.", **more: Any) -> SignOff:
        """Rejected by the first role that may."""
        return actions.reject(**self._sign(presentation, {"reason": reason, **more}))

    def close(self, sign_off: SignOff, done: str = "Bars added.", **more: Any) -> Any:
        """The correction closed by the field lead."""
        usual = {"by": self.cast.field_lead, "role": Role.FIELD_LEAD, "house": self.house, "sign_off": sign_off}
        return actions.close_correction(**{**usual, "done": done, **more})

    def work(self, kind: Stage, operation: str, *legs: str, **more: Any) -> WorkDone:
        """Done by the field lead."""
        usual: dict[str, Any] = {
            "by": self.cast.field_lead,
            "role": Role.FIELD_LEAD,
            "house": self.house,
            "stage": self.stage(kind),
            "operation": operation,
            "legs": legs,
            "revision": self.revision.number,
        }
        return actions.do_work(**{**usual, **more})

    def passed(self, kind: Stage, key: str, *legs: str) -> SignOff:
        """Presented and released."""
        return self.release(self.present(kind, key, *legs))

    def show_strength(self, kind: Stage, *legs: str, psi: float, how: str = "field", hour: int = 0, **more: Any) -> Any:
        """A cylinder of the wall broken, cured ``field`` or ``lab``, or an ``estimate`` accepted by the engineer."""
        at = datetime(2026, 1, 5, 7, tzinfo=UTC) + timedelta(hours=hour)
        if how == "estimate":
            return self._estimate(kind, legs, psi, at)
        said = {"specimen": "1A", "psi": psi, "cured": how, "cast": at - timedelta(days=7), "broken": at, "note": ""}
        usual: dict[str, Any] = {"by": self.cast.engineer, "role": Role.ENGINEER, "house": self.house}
        return pours.log(
            **usual,
            stage=self.stage(kind),
            kind="cylinder",
            legs=legs,
            said=said,
            revision=self.revision.number,
            **more,
        )

    def _estimate(self, kind: Stage, legs: Sequence[str], low: float, until: datetime) -> StrengthEstimate:
        """As it stands once accepted; what it is worked out from is tried elsewhere."""
        here = {x.name for x in _facts_of(self.revision).legs if kind in x.fingerprints}
        if not legs or set(legs) - here:
            raise NoSuchThing("Not a leg of this wall.")
        return StrengthEstimate.objects.create(
            house=self.house, stage=self.stage(kind), revision=self.revision, legs=list(legs), by=self.cast.engineer,
            role=Role.ENGINEER, low_psi=low, likely_psi=low * 1.2, high_psi=low * 1.4, until=until, inputs={},
            reason="By the readings.",
        )  # fmt: skip

    def through(self, kind: Stage, *legs: str, until: str = "") -> None:
        """Take legs through a stage: every point passed and every operation done, in order, up to ``until``."""
        process = BY_KIND[kind]
        row_facts = {x.name: x for x in _facts_of(self.revision).legs}
        for operation in (*process.operations, None):
            for point in process.points:
                if point.before == (operation.key if operation else ""):
                    own = [n for n in legs if point.applies(row_facts[n])]
                    if point.scope is Scope.HOUSE:
                        if not Presentation.objects.filter(house=self.house, point=point.key).exists():
                            self.passed(kind, point.key)
                    elif own:
                        self.passed(kind, point.key, *own)
            if operation is None or operation.key == until:
                return
            self._strong_enough(kind, operation.key, legs)
            self.work(kind, operation.key, *legs)

    def _strong_enough(self, kind: Stage, operation: str, legs: Sequence[str]) -> None:
        """Before a fill: a cylinder of the wall that shows all that its legs need."""
        fill = strength.FILLS.get(kind)
        if fill is None or fill.operation != operation:
            return
        wanted = {
            x.name: max((psi or 0 for psi in x.strength.values()), default=0) for x in _facts_of(self.revision).legs
        }
        own = [name for name in legs if wanted[name]]
        if own:
            self.show_strength(fill.wall, *own, psi=max(wanted[name] for name in own))


def _facts_of(revision: PlanRevision) -> Facts:
    from jobs.frozen import facts_from_json

    return facts_from_json(revision.facts)
