"""The forecast fetched from a server on this machine, in the shape the service documents; refused in sentences.

Shape: www.weather.gov/documentation/services-web-api, /points/{latitude},{longitude} and its forecastHourly. The values
are made up.
"""

from __future__ import annotations

import json
import threading
import uuid
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.weather import actions, fetch
from jobs.weather.actions import NotPlaced
from jobs.weather.fetch import NotFetched, degrees
from jobs.weather.reading import NoWeather
from jobs.weather.records import WeatherSource

Answer = tuple[int, bytes, dict[str, str]]


class _Quiet(ThreadingHTTPServer):
    """Says nothing of callers that hang up."""

    daemon_threads = True

    def handle_error(self, request: object, client_address: object) -> None:
        pass


class Service:
    """What the server on this machine answers by path, and what it was asked."""

    def __init__(self) -> None:
        self.answers: dict[str, Callable[[], Answer]] = {}
        self.asked: list[tuple[str, str]] = []
        service = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                service.asked.append((self.path, self.headers["User-Agent"]))
                status, body, headers = service.answers.get(self.path, lambda: (404, b"{}", {}))()
                self.send_response(status)
                for name, value in headers.items():
                    self.send_header(name, value)
                self.end_headers()
                self.wfile.write(body)

            def log_message(self, *args: object) -> None:
                pass

        self.server = _Quiet(("127.0.0.1", 0), Handler)
        self.url = f"http://127.0.0.1:{self.server.server_address[1]}"
        threading.Thread(target=self.server.serve_forever, args=(0.01,), daemon=True).start()

    def says(self, path: str, body: object, status: int = 200, **headers: str) -> None:
        content = body if isinstance(body, bytes) else json.dumps(body).encode()
        self.answers[path] = lambda: (status, content, headers)


POINT, HOURS = "/points/46.5547,-93.1", "/gridpoints/DLH/82,41/forecast/hourly"


def hours(count: int = 156) -> dict[str, object]:
    """An hourly forecast from the hour that has begun, as the service writes it."""
    start = datetime.now(UTC).replace(minute=0, second=0, microsecond=0)
    periods = [
        {
            "number": n + 1,
            "startTime": (start + timedelta(hours=n)).isoformat(),
            "endTime": (start + timedelta(hours=n + 1)).isoformat(),
            "isDaytime": True,
            "temperature": 44,
            "temperatureUnit": "F",
            "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 4},
            "dewpoint": {"unitCode": "wmoUnit:degC", "value": -2.2},
            "windSpeed": "5 to 10 mph",
            "windDirection": "NW",
            "shortForecast": "Mostly Sunny",
        }
        for n in range(count)
    ]
    return {"type": "Feature", "properties": {"updateTime": start.isoformat(), "periods": periods}}


@pytest.fixture
def service(settings) -> Iterator[Service]:
    made = Service()
    settings.WEATHER_FORECAST_URL = made.url
    made.says(POINT, {"properties": {"forecastHourly": made.url + HOURS, "timeZone": "America/Chicago"}})
    made.says(HOURS, hours())
    yield made
    made.server.shutdown()
    made.server.server_close()


def ask() -> str:
    return fetch.hourly(46.5547, -93.1)


def test_it_asks_the_place_then_its_hours_and_says_who_calls(service, settings):
    settings.WEATHER_USER_AGENT = "a builder (me@example.org)"
    assert len(json.loads(ask())["properties"]["periods"]) == 156
    assert service.asked == [(POINT, "a builder (me@example.org)"), (HOURS, "a builder (me@example.org)")]


@pytest.mark.parametrize(
    ("value", "said"), [(46.5547, "46.5547"), (-93.1, "-93.1"), (45.0, "45"), (44.98765, "44.9877"), (100.0, "100")]
)
def test_degrees_are_written_without_trailing_zeros(value, said):
    assert degrees(value) == said


@pytest.mark.parametrize(
    ("path", "answer", "said"),
    [
        (POINT, (404, b"{}", {}), "covers the United States only"),
        (POINT, (500, b"{}", {}), r"error \(500\)"),
        (POINT, (301, b"", {"Location": "https://elsewhere.example/"}), "sends on to another address"),
        (POINT, (200, b"<html>", {}), "does not say where the hours"),
        (POINT, (200, b'{"properties": {}}', {}), "does not say where the hours"),
        (POINT, (200, b'{"properties": {"forecastHourly": 7}}', {}), "does not say where the hours"),
        (POINT, (200, b"[" * 100_000, {}), "does not say where the hours"),
        (POINT, (200, b'{"properties": {"forecastHourly": "https://elsewhere.example/x"}}', {}), "elsewhere"),
        (POINT, (200, b'{"properties": {"forecastHourly": "file:///etc/hosts"}}', {}), "elsewhere"),
        (HOURS, (503, b"{}", {}), r"error \(503\)"),
        (HOURS, (200, b"x" * 2_000_001, {}), "larger than 2,000,000"),
        (HOURS, (200, b"\xff\xfe", {}), "not text"),
    ],
)
def test_every_failure_is_a_sentence(service, path, answer, said):
    service.answers[path] = lambda: answer
    with pytest.raises(NotFetched, match=said):
        ask()


def test_a_service_that_is_not_there_or_slow_is_told(service, settings, monkeypatch):
    settings.WEATHER_FORECAST_URL = "http://127.0.0.1:1"
    with pytest.raises(NotFetched, match="cannot be reached"):
        ask()
    settings.WEATHER_FORECAST_URL = service.url
    gone = threading.Event()
    monkeypatch.setattr(fetch, "TIMEOUT_S", 0.05)
    service.answers[POINT] = lambda: (200 if gone.wait(5) else 500, b"{}", {})
    with pytest.raises(NotFetched, match="cannot be reached"):
        ask()
    gone.set()


@pytest.mark.parametrize("base", ["http://weather.example", "ftp://127.0.0.1", "file:///", ""])
def test_only_https_is_spoken_but_to_this_machine(settings, base):
    settings.WEATHER_FORECAST_URL = base
    with pytest.raises(NotFetched, match="must begin with https"):
        ask()


# -- kept by the house ---------------------------------------------------------------------------------------
def test_without_a_place_nothing_is_asked(service, cast):
    with pytest.raises(NotPlaced, match="latitude and longitude"):
        actions.fetch_forecast(by=cast.builder, house=cast.house)
    assert service.asked == []


def test_a_forecast_is_kept_with_its_time_and_shown(service, cast, clients):
    actions.place(by=cast.builder, house=cast.house, latitude=46.5547, longitude=-93.1)
    page = clients["field_lead"].post(address(cast, "weather_fetch"), follow=True).content.decode()
    row = WeatherSource.objects.get()
    assert (row.kind, row.by) == ("forecast", cast.field_lead) and row.last_at > timezone.now()
    assert "Hourly forecast of the National Weather Service of" in page and "less than an hour old" in page


def test_a_button_pressed_twice_asks_once(service, cast, clients):
    actions.place(by=cast.builder, house=cast.house, latitude=46.5547, longitude=-93.1)
    data = {"client_id": str(uuid.uuid4())}
    for _ in range(2):
        assert clients["builder"].post(address(cast, "weather_fetch"), data).status_code == 302
    assert len(service.asked) == 2 and WeatherSource.objects.count() == 1  # the place and its hours


def test_when_it_fails_the_last_one_stays_and_its_age_is_told(service, cast, clients):
    actions.place(by=cast.builder, house=cast.house, latitude=46.5547, longitude=-93.1)
    text = json.dumps(hours())
    WeatherSource.objects.create(
        house=cast.house, kind="forecast", text=text, source="kept", by=cast.builder,
        at=timezone.now() - timedelta(hours=20),
    )  # fmt: skip
    service.says(POINT, {}, 502)
    answer = clients["builder"].post(address(cast, "weather_fetch"))
    page = answer.content.decode()
    assert answer.status_code == 409 and "answered with an error (502)" in page
    assert "The last forecast kept is 20 hours old." in page and WeatherSource.objects.count() == 1


def test_an_answer_that_is_no_forecast_is_not_kept(service, cast):
    actions.place(by=cast.builder, house=cast.house, latitude=46.5547, longitude=-93.1)
    service.says(HOURS, {"properties": {"periods": [{"startTime": "noon"}]}})
    with pytest.raises(NoWeather, match="Period 1 of the forecast"):
        actions.fetch_forecast(by=cast.builder, house=cast.house)
    assert not WeatherSource.objects.exists()


def test_opening_the_page_asks_nobody(service, cast, clients):
    actions.place(by=cast.builder, house=cast.house, latitude=46.5547, longitude=-93.1)
    assert clients["builder"].get(address(cast, "weather")).status_code == 200
    assert service.asked == []


@pytest.mark.parametrize(
    ("latitude", "longitude", "status"), [("46.5", "-93.1", 302), ("91", "0", 422), ("46", "-181", 422), ("", "", 422)]
)
def test_where_the_site_lies_has_limits(cast, clients, latitude, longitude, status):
    answer = clients["builder"].post(
        address(cast, "weather_place"), {"latitude": latitude, "longitude": longitude}
    )  # fmt: skip
    cast.house.site.refresh_from_db()
    assert answer.status_code == status
    assert (cast.house.site.latitude == 46.5) is (status == 302)


def test_the_place_is_no_number_but_a_place(cast, clients):
    answer = clients["builder"].post(address(cast, "weather_place"), {"latitude": "nan", "longitude": "-93"})
    assert answer.status_code == 422


def address(cast, name: str) -> str:
    return reverse(f"inspections:{name}", args=[cast.house.pk, cast.house.stages.get(kind="footing").pk])
