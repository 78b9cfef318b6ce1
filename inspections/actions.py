"""Every record: presented, released, rejected, put right, done. Nothing else writes them.

Each action locks the house, asks :mod:`inspections.permissions` whether the person may and :mod:`inspections.checks`
whether it stands so, and writes its record and its event in one transaction, or nothing at all. ``client_id`` is made
on the device, ``digest`` by :mod:`inspections.replay`; ``revision`` is the plan revision the person looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.files.base import ContentFile

from inspections import asbuilt, checks, gates, permissions, readings
from inspections.exceptions import GateHeld, TextMissing, WrongStanding
from inspections.models import CorrectionClosed, EvidenceItem, Presentation, Record, SignOff, WorkDone
from inspections.process import Evidence, EvidenceKind, Point, Scope
from inspections.readings import Given, Item
from inspections.replay import once
from inspections.standing import WHOLE_HOUSE, Ledger, StageRow, Standing
from jobs import events
from jobs.frozen import frozen_from_json
from jobs.models import House, HouseStage, Person, PlanRevision, Role
from takeoff.results import Criterion

#: What may be shown of a correction that was made.
CORRECTION_EVIDENCE = (Evidence("photo", "Photo of what was put right", EvidenceKind.PHOTO, required=False),)


@once("present")
def present(
    *,
    by: Person,
    role: Role,
    house: House,
    stage: HouseStage,
    point: str,
    legs: Sequence[str] = (),
    revision: int,
    evidence: Iterable[Given] = (),
    note: str = "",
    deviation: str = "",
    device_at: datetime | None = None,
    client_id: UUID | None = None,
    digest: str = "",
) -> Presentation:
    """Say that a point is ready to be looked at on the legs (none for a point of the whole house).

    From waiting, outdated, void or corrected; presenting what is already presented replaces it, the newest counts.
    """
    house, ledger, row = checks.open_house(house, stage)
    found = checks.point_of(row, point)
    checks.permit(permissions.may_present(by, house, found, role))
    names = checks.names_of(ledger, row, found, legs)
    in_force = checks.same_plan(house, ledger, row, found.scope, names, revision)
    checks.standing_allows(ledger, row, found, names, checks.CANNOT_PRESENT)
    checks.after_its_work(ledger, row, found, names)
    real = tuple(n for n in names if n != WHOLE_HOUSE)
    items = readings.check(
        found.evidence,
        evidence,
        legs=real,
        criteria=_criteria(in_force, row, found, real),
        planned=asbuilt.planned_tops(in_force.document) if found.key == asbuilt.POINT else None,
        deviation=deviation,
    )
    presentation = Presentation.objects.create(
        **_record(house, stage, in_force, names, by, role, device_at, client_id, digest),
        point=found.key,
        note=note.strip(),
        deviation=deviation.strip(),
        fingerprints={name: ledger.fingerprint(row, found, name) for name in names},
    )
    _tell(presentation, "present", f"Presented “{found.title}”{checks.on(names)}", presentation.deviation)
    _keep(items, house, presentation=presentation)
    return presentation


@once("release")
def release(
    *,
    by: Person,
    role: Role,
    house: House,
    presentation: Presentation,
    legs: Sequence[str] | None = None,
    revision: int,
    reason: str = "",
    device_at: datetime | None = None,
    client_id: UUID | None = None,
    digest: str = "",
) -> SignOff:
    """Release what was presented, on all its legs or on those named; only what still waits for it."""
    house, ledger, row = checks.open_house(house, presentation.stage)
    point = checks.point_of(row, presentation.point)
    names = checks.names_of(ledger, row, point, presentation.legs if legs is None else legs)
    checks.permit(permissions.may_sign(by, house, point, role, ledger=ledger, stage=row, legs=names))
    checks.rules_on_latest(ledger, row, point, names, presentation)
    checks.standing_allows(ledger, row, point, names, checks.CANNOT_RELEASE)
    in_force = checks.same_plan(house, ledger, row, point.scope, names, revision)
    record = _record(house, presentation.stage, in_force, names, by, role, device_at, client_id, digest)
    sign_off = _sign(ledger, row, point, presentation, SignOff.Decision.RELEASED, reason, record)
    _tell(sign_off, "release", f"Released “{point.title}”{checks.on(names)}", sign_off.reason)
    return sign_off


@once("reject")
def reject(
    *,
    by: Person,
    role: Role,
    house: House,
    presentation: Presentation,
    legs: Sequence[str] | None = None,
    revision: int,
    reason: str,
    device_at: datetime | None = None,
    client_id: UUID | None = None,
    digest: str = "",
) -> SignOff:
    """Reject what was presented or released, with a reason, on all its legs or those named: a correction opens."""
    house, ledger, row = checks.open_house(house, presentation.stage)
    point = checks.point_of(row, presentation.point)
    names = checks.names_of(ledger, row, point, presentation.legs if legs is None else legs)
    checks.permit(permissions.may_reject(by, house, point, role))
    if not reason.strip():
        raise TextMissing("Say why it is rejected: what is wrong, and what would be accepted.")
    checks.rules_on_latest(ledger, row, point, names, presentation)
    checks.standing_allows(ledger, row, point, names, checks.CANNOT_REJECT)
    in_force = checks.same_plan(house, ledger, row, point.scope, names, revision)
    record = _record(house, presentation.stage, in_force, names, by, role, device_at, client_id, digest)
    sign_off = _sign(ledger, row, point, presentation, SignOff.Decision.REJECTED, reason, record)
    _tell(sign_off, "reject", f"Rejected “{point.title}”{checks.on(names)}", sign_off.reason)
    return sign_off


@once("close_correction")
def close_correction(
    *,
    by: Person,
    role: Role,
    house: House,
    sign_off: SignOff,
    legs: Sequence[str] | None = None,
    done: str,
    evidence: Iterable[Given] = (),
    device_at: datetime | None = None,
    client_id: UUID | None = None,
    digest: str = "",
) -> CorrectionClosed:
    """Say what was done about a rejection, on all its legs or those named. It must then be presented again."""
    house, ledger, row = checks.open_house(house, sign_off.stage)
    point = checks.point_of(row, sign_off.point)
    checks.permit(permissions.may_close(by, house, role))
    if not done.strip():
        raise TextMissing("Say what was done to put it right.")
    names = checks.names_of(ledger, row, point, sign_off.legs if legs is None else legs)
    for name in names:
        now = ledger.standing(row, point, name)
        if now.standing is not Standing.REJECTED or now.signed is None or now.signed.pk != sign_off.pk:
            raise WrongStanding(f"No correction of “{point.title}” is open from this rejection{checks.on([name])}.")
    items = readings.check(CORRECTION_EVIDENCE, evidence, legs=names)
    in_force = checks.revision_in_force(house)
    closed = CorrectionClosed.objects.create(
        **_record(house, sign_off.stage, in_force, names, by, role, device_at, client_id, digest),
        sign_off=sign_off,
        done=done.strip(),
    )
    _tell(closed, "close_correction", f"Put right “{point.title}”{checks.on(names)}", closed.done)
    _keep(items, house, closure=closed)
    return closed


@once("do_work")
def do_work(
    *,
    by: Person,
    role: Role,
    house: House,
    stage: HouseStage,
    operation: str,
    legs: Sequence[str],
    revision: int,
    note: str = "",
    device_at: datetime | None = None,
    client_id: UUID | None = None,
    digest: str = "",
) -> WorkDone:
    """Record that an operation took place on the legs: on all of them or on none.

    Raises :class:`GateHeld` with every reason where the gate is not open.
    """
    house, ledger, row = checks.open_house(house, stage)
    found = checks.operation_of(row, operation)
    checks.permit(permissions.may_do(by, house, found, role))
    gate = gates.gate(ledger, row, found, checks.in_order(ledger, legs))
    if not gate.is_open:
        raise GateHeld(gate)
    in_force = checks.same_plan(house, ledger, row, Scope.LEGS, gate.legs, revision)
    work = WorkDone.objects.create(
        **_record(house, stage, in_force, gate.legs, by, role, device_at, client_id, digest),
        operation=found.key,
        note=note.strip(),
    )
    _tell(work, "do_work", f"{found.past[0].upper()}{found.past[1:]}{checks.on(gate.legs)}", work.note)
    return work


# -- writing -----------------------------------------------------------------------------------------
def _criteria(in_force: PlanRevision, stage: StageRow, point: Point, legs: Sequence[str]) -> tuple[Criterion, ...]:
    """The plan's numbers that the point's readings are compared with."""
    keys = tuple(dict.fromkeys(e.criterion for e in point.evidence if e.criterion))
    if not keys:
        return ()
    return frozen_from_json(in_force.frozen).criteria_of(stage.kind, keys, tuple(legs) or None)


def _record(
    house: House,
    stage: HouseStage,
    revision: PlanRevision,
    names: Sequence[str],
    by: Person,
    role: Role,
    device_at: datetime | None,
    client_id: UUID | None,
    digest: str,
) -> dict[str, Any]:
    """What every record carries."""
    return {
        "house": house,
        "stage": stage,
        "revision": revision,
        "legs": [name for name in names if name != WHOLE_HOUSE],
        "by": by,
        "role": role,
        "device_at": device_at,
        "client_id": client_id,
        "digest": digest,
    }


def _sign(
    ledger: Ledger,
    stage: StageRow,
    point: Point,
    presentation: Presentation,
    decision: SignOff.Decision,
    reason: str,
    record: dict[str, Any],
) -> SignOff:
    """Write a sign-off that names those it supersedes."""
    names = record["legs"] or [WHOLE_HOUSE]
    sign_off = SignOff.objects.create(
        **record,
        point=point.key,
        presentation=presentation,
        decision=decision,
        reason=reason.strip(),
        fingerprints={name: ledger.fingerprint(stage, point, name) for name in names},
    )
    ruled = (ledger.standing(stage, point, name).signed for name in names)
    sign_off.supersedes.set({signed.pk for signed in ruled if signed is not None})
    return sign_off


def _tell(record: Record, verb: str, summary: str, reason: str) -> None:
    """The event of a record."""
    events.record(
        client_id=record.client_id,
        verb=verb,
        by=record.by,
        role=Role(record.role),
        house=record.house,
        stage=record.stage,
        summary=summary,
        reason=reason,
        subject=record,
        device_at=record.device_at,
    )


def _keep(
    items: Iterable[Item],
    house: House,
    *,
    presentation: Presentation | None = None,
    closure: CorrectionClosed | None = None,
) -> None:
    """Store the evidence of a record. Where one cannot be stored, the files of the others do not stay behind."""
    rows = []
    try:
        for item in items:
            row = EvidenceItem(
                house=house,
                presentation=presentation,
                closure=closure,
                key=item.key,
                kind=item.kind,
                leg=item.leg,
                number=item.number,
                unit=item.unit,
                text=item.text,
                within=item.within,
                required=item.required,
            )
            if item.upload is not None:
                row.file = ContentFile(item.upload.content, name=f"evidence.{item.upload.suffix}")
                row.sha256, row.camera_time = item.upload.sha256, item.upload.camera_time
            rows.append(row)
            row.save()
    except Exception:
        for row in rows:
            if row.file and row.file._committed:
                row.file.storage.delete(row.file.name)
        raise
