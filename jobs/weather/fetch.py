"""The hourly forecast of the US National Weather Service, fetched when a person asks, never by itself.

Two steps, as the service documents them: ``/points/{latitude},{longitude}`` says under
``properties.forecastHourly`` where the hours of that place are; that address is then read. No key is needed; the
service asks to be told who calls, by the user agent. Only the configured address is ever spoken to, over https
(plain http only to this machine itself), and nothing is followed elsewhere.
Source: www.weather.gov/documentation/services-web-api.
"""

from __future__ import annotations

import json
from http.client import HTTPException
from typing import Any
from urllib.error import HTTPError, URLError
from urllib.parse import urlsplit
from urllib.request import HTTPRedirectHandler, ProxyHandler, Request, build_opener

from django.conf import settings

from jobs.exceptions import Refused

TIMEOUT_S = 10
#: Larger answers are no forecast [bytes]; an honest one has about 150,000.
LARGEST = 2_000_000
_THIS_MACHINE = ("127.0.0.1", "localhost", "::1")


class NotFetched(Refused):
    """No forecast came; the sentence says why."""


def hourly(latitude: float, longitude: float) -> str:
    """The text of the hourly forecast of a place [degrees]. Raises :class:`NotFetched`."""
    base = settings.WEATHER_FORECAST_URL.rstrip("/")
    point = get(f"{base}/points/{degrees(latitude)},{degrees(longitude)}", base)
    return get(_address_in(point), base)


def degrees(value: float) -> str:
    """Four decimals at most and no trailing zeros: the service sends any other writing on to this one."""
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _address_in(point: str) -> str:
    try:
        document: Any = json.loads(point)
        address = document["properties"]["forecastHourly"]
    except (ValueError, KeyError, TypeError, RecursionError):
        raise NotFetched("The weather service's answer does not say where the hours of this place are.") from None
    if not isinstance(address, str):
        raise NotFetched("The weather service's answer does not say where the hours of this place are.")
    return address


def get(address: str, base: str) -> str:
    """The text at an address below the configured one: the only function here that uses the network."""
    _check(address, base)
    request = Request(address, headers={"User-Agent": settings.WEATHER_USER_AGENT, "Accept": "application/geo+json"})
    handlers = [_NoRedirect()] if urlsplit(base).scheme == "https" else [_NoRedirect(), ProxyHandler({})]
    try:
        with build_opener(*handlers).open(request, timeout=TIMEOUT_S) as answer:
            content: bytes = answer.read(LARGEST + 1)
    except HTTPError as refused:
        with refused:
            raise NotFetched(_told(refused.code)) from None
    except (URLError, OSError, HTTPException, ValueError):
        raise NotFetched("The weather service cannot be reached from here now; try again later.") from None
    if len(content) > LARGEST:
        raise NotFetched(f"The weather service's answer is larger than {LARGEST:,} bytes and was not taken.")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        raise NotFetched("The weather service's answer is not text.") from None


def _told(code: int) -> str:
    if code == 404:
        return "The weather service knows no forecast for this place; it covers the United States only."
    if 300 <= code < 400:
        return "The weather service sends on to another address, which is not followed; check the site's place."
    return f"The weather service answered with an error ({code}); try again later."


def _check(address: str, base: str) -> None:
    """Only the configured host, by https; http where the host is this machine itself (a test, a local mirror)."""
    asked, own = urlsplit(address), urlsplit(base)
    here = own.scheme == "http" and own.hostname in _THIS_MACHINE
    if not (own.scheme == "https" or here):
        raise NotFetched("The forecast's address must begin with https://; whoever runs this program can set it.")
    try:
        same = (asked.scheme, asked.hostname, asked.port) == (own.scheme, own.hostname, own.port)
    except ValueError:
        same = False
    if not same or asked.username or asked.password:
        raise NotFetched("The weather service names an address elsewhere for the hours, which is not asked.")


class _NoRedirect(HTTPRedirectHandler):
    """Sends nobody anywhere else: an answer that redirects is an error."""

    def redirect_request(self, *args: Any, **kwargs: Any) -> None:
        """No further request."""
        return None
