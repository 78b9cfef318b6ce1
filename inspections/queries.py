"""Reading what was recorded: one ledger per house, with a fixed number of queries for any number of houses."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from django.db.models import Max, OuterRef, Subquery

from inspections.ahead import ahead_from
from inspections.models import CorrectionClosed, EvidenceItem, Presentation, SignOff, WorkDone
from inspections.pours.models import CylinderBreak, StrengthEstimate
from inspections.process import EvidenceKind
from inspections.standing import Broken, Closed, Done, Estimated, Ledger, Presented, Signed, StageRow
from jobs.frozen import Facts, facts_from_json
from jobs.models import House, HouseStage, PlanRevision

T = TypeVar("T")
Grouped = Mapping[int, list[T]]


def ledger(house: House) -> Ledger:
    """All records of one house."""
    return ledgers([house])[house.pk]


def ledgers(houses: Iterable[House]) -> dict[int, Ledger]:
    """House row id -> its ledger, in the order given. Nine queries, however many houses."""
    keys = [house.pk for house in houses]
    if not keys:
        return {}
    revisions, stages = _revisions(keys), _stages(keys)
    presented, signed, closed, done = _presented(keys), _signed(keys), _closed(keys), _done(keys)
    broken, estimated = _broken(keys), _estimated(keys)
    out = {}
    for key in keys:
        number, facts = revisions.get(key, (None, None))
        out[key] = Ledger(
            house=key,
            facts=facts,
            revision=number,
            stages=tuple(stages[key]),
            presented=tuple(presented[key]),
            signed=tuple(signed[key]),
            closed=tuple(closed[key]),
            done=tuple(done[key]),
            broken=tuple(broken[key]),
            estimated=tuple(estimated[key]),
        )
    return out


def revision_in_force(house: House) -> PlanRevision | None:
    """The latest locked revision of a house, without the plan it was made from."""
    return PlanRevision.objects.filter(house=house).defer("document").order_by("-number").first()


def _revisions(keys: list[int]) -> dict[int, tuple[int, Facts]]:
    latest = (
        PlanRevision.objects.filter(house=OuterRef("house"))
        .order_by()
        .values("house")
        .annotate(latest=Max("number"))
        .values("latest")
    )
    rows = PlanRevision.objects.filter(house__in=keys, number=Subquery(latest)).values_list("house", "number", "facts")
    return {house: (number, facts_from_json(facts)) for house, number, facts in rows}


def _stages(keys: list[int]) -> Grouped[StageRow]:
    out: defaultdict[int, list[StageRow]] = defaultdict(list)
    for row in HouseStage.objects.filter(house__in=keys).order_by("position"):
        out[row.house_id].append(StageRow(row.pk, row.position, row.stage_kind, row.title))
    return out


def _presented(keys: list[int]) -> Grouped[Presented]:
    choices: defaultdict[int, dict[str, str]] = defaultdict(dict)
    found = EvidenceItem.objects.filter(house__in=keys, presentation__isnull=False, kind=EvidenceKind.CHOICE)
    for presentation, key, text in found.values_list("presentation", "key", "text"):
        choices[presentation][key] = text
    out: defaultdict[int, list[Presented]] = defaultdict(list)
    fields = ("pk", "stage", "point", "legs", "by", "revision__number", "at", "fingerprints")
    for row in _rows(Presentation, keys, *fields):
        revision, legs = row.pop("revision__number"), tuple(row.pop("legs"))
        house = row.pop("house")
        out[house].append(Presented(**row, legs=legs, revision=revision, choices=choices.get(row["pk"], {})))
    return out


def _signed(keys: list[int]) -> Grouped[Signed]:
    out: defaultdict[int, list[Signed]] = defaultdict(list)
    fields = ("pk", "stage", "point", "legs", "presentation", "decision", "by", "role", "fingerprints", "reason", "at")
    for row in _rows(SignOff, keys, *fields, "revision__number"):
        house, legs, decision = row.pop("house"), tuple(row.pop("legs")), row.pop("decision")
        revision = row.pop("revision__number")
        released = decision == SignOff.Decision.RELEASED
        out[house].append(Signed(**row, legs=legs, released=released, revision=revision))
    return out


def _closed(keys: list[int]) -> Grouped[Closed]:
    out: defaultdict[int, list[Closed]] = defaultdict(list)
    for row in _rows(CorrectionClosed, keys, "pk", "sign_off", "legs", "at"):
        out[row["house"]].append(Closed(row["pk"], row["sign_off"], tuple(row["legs"]), row["at"]))
    return out


def _done(keys: list[int]) -> Grouped[Done]:
    out: defaultdict[int, list[Done]] = defaultdict(list)
    for row in _rows(WorkDone, keys, "pk", "stage", "operation", "legs", "at", "revision__number"):
        house, legs, revision = row.pop("house"), tuple(row.pop("legs")), row.pop("revision__number")
        out[house].append(Done(**row, legs=legs, revision=revision))
    return out


def _broken(keys: list[int]) -> Grouped[Broken]:
    out: defaultdict[int, list[Broken]] = defaultdict(list)
    for row in _rows(CylinderBreak, keys, "pk", "stage", "legs", "psi", "broken", "cured", replaced_by=None):
        house, legs, beside = row.pop("house"), tuple(row.pop("legs")), row.pop("cured") == CylinderBreak.Cured.FIELD
        out[house].append(Broken(**row, legs=legs, beside_wall=beside))
    return out


def _estimated(keys: list[int]) -> Grouped[Estimated]:
    out: defaultdict[int, list[Estimated]] = defaultdict(list)
    fields = ("pk", "stage", "legs", "low_psi", "likely_psi", "high_psi", "at", "until", "ahead")
    for row in _rows(StrengthEstimate, keys, *fields, replaced_by=None):
        house, legs = row.pop("house"), tuple(row.pop("legs"))
        low, likely, high = row.pop("low_psi"), row.pop("likely_psi"), row.pop("high_psi")
        ahead = ahead_from(row.pop("ahead"))
        out[house].append(Estimated(**row, legs=legs, low=low, likely=likely, high=high, ahead=ahead))
    return out


def _rows(model: Any, keys: list[int], *fields: str, **where: Any) -> list[dict[str, Any]]:
    """Plain rows of one kind of record, oldest first (by row id, which never runs backwards)."""
    return list(model.objects.filter(house__in=keys, **where).order_by("pk").values("house", *fields))
