"""Writes the records of a pour. Nothing else does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone

from inspections import checks, permissions
from inspections.exceptions import NoSuchThing, WrongStanding
from inspections.pours import checks as pour_checks
from inspections.pours.air import around
from inspections.pours.estimate import estimate
from inspections.pours.kinds import ESTIMATE, KINDS, TRUCK
from inspections.pours.live import last_concrete
from inspections.pours.models import PourRecord
from inspections.pours.queries import records
from inspections.pours.theory import STATES
from inspections.process import Scope
from inspections.replay import once
from inspections.standing import StageRow
from jobs import events, plans
from jobs.models import House, HouseStage, Person, PlanRevision, Role


@once("log_pour")
def log(
    *,
    by: Person,
    role: Role,
    house: House,
    stage: HouseStage,
    kind: str,
    legs: Sequence[str],
    said: Mapping[str, Any],
    revision: int,
    replaces: int | None = None,
    device_at: datetime | None = None,
    client_id: UUID | None = None,
    digest: str = "",
) -> PourRecord:
    """Write one record of a pour on the legs; ``said`` are its own fields, ``replaces`` the row it corrects or goes on
    from. A truck stays with the legs it came for."""
    house, ledger, row = checks.open_house(house, stage)
    found = KINDS.get(kind)
    if found is None:
        raise NoSuchThing(f"There is no record “{kind}” of a pour.")
    pour_checks.poured(row)
    checks.permit(permissions.may_write(by, house, role, found.writes, f"write down “{found.title}”"))
    earlier = pour_checks.earlier_of(found, house, row, replaces)
    kept = earlier.legs if earlier is not None and found is TRUCK else legs
    names = pour_checks.names_of(ledger, row, kept)
    in_force = checks.same_plan(house, ledger, row, Scope.LEGS, names, revision)
    if found is ESTIMATE:
        said = {**said, **_worked_out(house, row, names, in_force)}
    pour_checks.said_right(found, said, timezone.now())
    pour_checks.fits_others(found, house, row, names, said, replaces)
    pour_checks.fits_wall(found, in_force, row, names, said)
    fields: dict[str, Any] = {
        "house": house,
        "stage": stage,
        "revision": in_force,
        "legs": list(names),
        "by": by,
        "role": role,
        "device_at": device_at,
        "client_id": client_id,
        "digest": digest,
        "replaces": earlier,
        **said,
    }
    record = found.model._default_manager.create(**fields)
    events.record(
        client_id=client_id,
        verb="log_pour",
        by=by,
        role=role,
        house=house,
        stage=stage,
        summary=f"{found.says(said)}{checks.on(names)}{' (corrected)' if earlier and found is not TRUCK else ''}",
        reason=str(said.get("reason") or said.get("note") or ""),
        subject=record,
        device_at=device_at,
    )
    return record


def _worked_out(house: House, row: StageRow, legs: Sequence[str], in_force: PlanRevision) -> dict[str, Any]:
    """The estimate as the records say it now: who accepts it does not type it. Refused where there is none, and for a
    footing, which carries no earth."""
    if row.kind not in STATES:
        raise NoSuchThing(f"No strength is asked of “{row.title}”.")
    own, plan = records(row.pk).of(tuple(legs)), plans.takeoff_of(in_force).plan
    now = timezone.now().astimezone(ZoneInfo(house.timezone))
    weather = around(house, plan, legs, last_concrete(own.loads, now))
    found = estimate(own, plan.spec.concrete, now, weather)
    if isinstance(found, str):
        raise WrongStanding(found)
    return found.said()
