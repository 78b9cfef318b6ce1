"""A house and its ground: added and edited."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from jobs import access, details, events
from jobs.details import HouseDetails
from jobs.exceptions import Change, StalePage, UnknownSoil
from jobs.models import Event, Firm, House, HouseStage, Person, Role
from jobs.models import Site as SiteRecord
from jobs.stages import DEFAULT_ORDER, TITLES
from takeoff.plan import Stage
from takeoff.site import Site
from takeoff.soils import soils


@events.once("add_house")
def add_house(
    *,
    by: Person,
    firm: Firm,
    house: HouseDetails,
    site: Site | None = None,
    kinds: Sequence[Stage] = DEFAULT_ORDER,
    client_id: UUID | None = None,
    device_at: datetime | None = None,
) -> House:
    """A new house of a firm, with its ground and its stages (the six default ones unless told otherwise)."""
    access.require_firm(by, firm)
    _check(house, site or Site())
    row = House(firm=firm)
    details.assign(row, house)
    row.save()
    ground = SiteRecord(house=row)
    details.assign(ground, site or Site())
    ground.save()
    HouseStage.objects.bulk_create(
        HouseStage(house=row, position=place, kind=kind, title=TITLES[kind])
        for place, kind in enumerate(kinds, start=1)
    )
    events.record(
        client_id=client_id,
        verb="add_house",
        by=by,
        role=Role.BUILDER,
        house=row,
        summary=f"Added {row.name}",
        subject=row,
        device_at=device_at,
    )
    return row


@events.once("edit_house")
def edit_house(
    *,
    by: Person,
    house: House,
    version: int,
    changed: HouseDetails,
    client_id: UUID | None = None,
    device_at: datetime | None = None,
) -> House:
    """Save what was typed about a house. ``version`` is the one the page was opened on; see :class:`StalePage`."""
    row = events.lock(house)
    role = access.require_role(by, row, Role.BUILDER)
    _check_version(row, version)
    details.check_dates(changed.dig_date, changed.buried_by_date, "the dig date", "“Buried by”")
    told = details.differences(row, changed, details.HOUSE_LABELS)
    if not told:
        return row
    details.assign(row, changed)
    _bump(row)
    events.record(
        client_id=client_id,
        verb="edit_house",
        by=by,
        role=role,
        house=row,
        summary="Changed " + "; ".join(told.values()),
        subject=row,
        device_at=device_at,
    )
    return row


@events.once("edit_site")
def edit_site(
    *,
    by: Person,
    house: House,
    version: int,
    changed: Site,
    client_id: UUID | None = None,
    device_at: datetime | None = None,
) -> House:
    """Save what was typed about a house's ground; counts as an edit of the house."""
    row = events.lock(house)
    role = access.require_role(by, row, Role.BUILDER)
    _check_version(row, version)
    check_soil(changed.soil_class)
    ground = row.site
    told = details.differences(ground, changed, details.SITE_LABELS)
    if not told:
        return row
    details.assign(ground, changed)
    ground.save()
    _bump(row)
    events.record(
        client_id=client_id,
        verb="edit_site",
        by=by,
        role=role,
        house=row,
        summary="Changed " + "; ".join(told.values()),
        subject=row,
        device_at=device_at,
    )
    return row


def check_soil(symbol: str) -> None:
    """Raises :class:`UnknownSoil` for a symbol IRC Table R405.1 does not list."""
    if symbol not in soils():
        raise UnknownSoil(f"“{symbol}” is not a soil symbol of IRC Table R405.1; give one of {', '.join(soils())}.")


def _check(house: HouseDetails, site: Site) -> None:
    details.check_dates(house.dig_date, house.buried_by_date, "the dig date", "“Buried by”")
    check_soil(site.soil_class)


def _check_version(house: House, version: int) -> None:
    if house.version == version:
        return
    edits = Event.objects.filter(house=house, verb__in=("edit_house", "edit_site")).select_related("by")
    newer = edits[: max(house.version - version, 1)]
    changes = tuple(Change(str(event.by), event.at, event.summary) for event in newer)
    raise StalePage(changes, house.version)


def _bump(house: House) -> None:
    house.version += 1
    house.save()
