"""Weather written down: a file, typed days, a fetched forecast; where the site lies. Kept only where readable."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone

from jobs import access, events
from jobs.exceptions import Refused
from jobs.models import House, Person, Role, Site
from jobs.weather import fetch, reading
from jobs.weather.reading import NoWeather
from jobs.weather.records import WeatherKind, WeatherSource
from takeoff.weather.highs_lows import Day

#: Who may give weather to a house.
GIVES = (Role.BUILDER, Role.FIELD_LEAD)


class NotPlaced(Refused):
    """A forecast asked for a site whose place nobody typed."""


@events.once("add_weather")
def add_file(
    *, by: Person, house: House, content: bytes, name: str, client_id: UUID | None = None,
    device_at: datetime | None = None,
) -> WeatherSource:  # fmt: skip
    """Keep an uploaded file of hours. Raises :class:`NoWeather` with the line that cannot be read."""
    text = reading.text_of(content)
    return _keep(by, house, reading.kind_of(text), text, name, client_id, device_at)


@events.once("add_weather")
def add_days(
    *, by: Person, house: House, days: list[Day], client_id: UUID | None = None, device_at: datetime | None = None
) -> WeatherSource:
    """Keep typed highs and lows. Raises :class:`NoWeather` where a day is missing or upside down."""
    if len(days) > reading.MOST_DAYS:
        raise NoWeather(f"{len(days)} days are too many; at most {reading.MOST_DAYS} are typed.")
    return _keep(by, house, WeatherKind.TYPED, reading.written(days), "", client_id, device_at)


def fetch_forecast(
    *, by: Person, house: House, client_id: UUID | None = None, device_at: datetime | None = None
) -> WeatherSource:
    """Ask the weather service for the hours of the site's place and keep them.

    Raises :class:`NotPlaced`, :class:`jobs.weather.fetch.NotFetched` or :class:`NoWeather`; what was kept before stays.
    """
    access.require_role(by, house, *GIVES)
    earlier = events.find(client_id) if client_id else None
    if earlier is not None and isinstance(kept := events.subject_of(earlier), WeatherSource):
        return kept  # sent twice, asked once
    ground = Site.objects.get(house=house)
    if ground.latitude is None or ground.longitude is None:
        raise NotPlaced("Type the latitude and longitude of the site first; the forecast is for a place.")
    text = fetch.hourly(ground.latitude, ground.longitude)
    return _add_forecast(by=by, house=house, text=text, client_id=client_id, device_at=device_at)


@events.once("add_weather")
def _add_forecast(
    *, by: Person, house: House, text: str, client_id: UUID | None = None, device_at: datetime | None = None
) -> WeatherSource:
    return _keep(by, house, WeatherKind.FORECAST, text, "", client_id, device_at)


def _keep(
    by: Person, house: House, kind: WeatherKind, text: str, name: str, client_id: UUID | None,
    device_at: datetime | None,
) -> WeatherSource:  # fmt: skip
    role = access.require_role(by, house, *GIVES)
    today = timezone.now().astimezone(ZoneInfo(house.timezone))
    found = reading.read(kind, text, house, today)
    typical = kind == WeatherKind.EPW
    row = WeatherSource.objects.create(
        house=house, kind=kind, name=name[:120], text=text, source=found.source[:300],
        first_at=None if typical else found.hours[0].at, last_at=None if typical else found.hours[-1].at, by=by,
    )  # fmt: skip
    events.record(
        client_id=client_id, verb="add_weather", by=by, role=role, house=house,
        summary=f"Weather: {row.get_kind_display()}" + (f", {row.name}" if row.name else ""), subject=row,
        device_at=device_at,
    )  # fmt: skip
    return row


@events.once("place_site")
def place(
    *, by: Person, house: House, latitude: float, longitude: float, client_id: UUID | None = None,
    device_at: datetime | None = None,
) -> Site:  # fmt: skip
    """Say where the site lies, in degrees, north and east counted up."""
    row = events.lock(house)
    role = access.require_role(by, row, *GIVES)
    ground = row.site
    ground.latitude, ground.longitude = latitude, longitude
    ground.save(update_fields=["latitude", "longitude"])
    events.record(
        client_id=client_id, verb="place_site", by=by, role=role, house=row,
        summary=f"The site lies at {latitude:.4f}, {longitude:.4f}", subject=ground, device_at=device_at,
    )  # fmt: skip
    return ground
