"""The hourly forecast of the US National Weather Service, as its text comes (public domain, JSON).

``properties.periods`` is a list; of each period ``startTime`` (ISO 8601 with its offset), ``temperature`` and
``temperatureUnit`` ('F', 'C'), ``windSpeed`` ('10 mph', '5 to 10 mph') and ``windGust`` are read. Newer answers give a
number with its unit as ``{"unitCode": "wmoUnit:degC", "value": -3.2}``; both are understood.
Source: www.weather.gov/documentation/services-web-api and answers of that service kept in public repositories.
"""

from __future__ import annotations

import json
import re
from datetime import datetime, tzinfo
from typing import Any

from takeoff.weather.hours import MPH_PER_M_S, Hour, Series, WeatherError, celsius, series

_SPEED = {"mph": 1 / MPH_PER_M_S, "km/h": 1 / 3.6, "kt": 1852 / 3600, "m/s": 1.0}
_CODES = {"km_h-1": "km/h", "m_s-1": "m/s", "degc": "c", "degf": "f", "f": "f", "c": "c"}


def read_forecast(text: str, zone: tzinfo) -> Series:
    """Read the hourly forecast. Raises WeatherError where it is none, naming the period (counted from 1)."""
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        raise WeatherError("The forecast is not JSON.") from None
    properties = document.get("properties") if isinstance(document, dict) else None
    periods = properties.get("periods") if isinstance(properties, dict) else None
    if not isinstance(periods, list) or not isinstance(properties, dict) or not periods:
        raise WeatherError("The forecast has no periods; ask the service for the hourly one.")
    hours = [_period(period, number) for number, period in enumerate(periods, 1)]
    told = properties.get("updateTime") or properties.get("generatedAt") or properties.get("updated")
    when = f" of {told}" if isinstance(told, str) else ""
    return series(hours, zone, f"Hourly forecast of the National Weather Service{when}")


def _period(period: Any, number: int) -> Hour:
    try:
        if not isinstance(period, dict):
            raise WeatherError("it is no record")
        return Hour(
            _time(period.get("startTime")), _air(period), _speed(period.get("windSpeed"), "windSpeed"),
            _speed(period.get("windGust"), "windGust"), _dew(period.get("dewpoint")),
        )  # fmt: skip
    except WeatherError as error:
        raise WeatherError(f"Period {number} of the forecast: {error}.") from None


def _time(value: Any) -> datetime:
    try:
        at = datetime.fromisoformat(value)
    except (TypeError, ValueError):
        raise WeatherError("startTime cannot be read") from None
    if at.tzinfo is None:
        raise WeatherError("startTime says no offset from UTC")
    return at


def _air(period: dict[str, Any]) -> float:
    value, unit = _value_and_unit(period.get("temperature"), period.get("temperatureUnit"))
    if value is None:
        raise WeatherError("temperature is missing")
    if unit not in ("f", "c"):
        raise WeatherError("temperatureUnit is neither F nor C")
    return celsius(value) if unit == "f" else value


def _dew(value: Any) -> float | None:
    amount, unit = _value_and_unit(value, None)
    return amount if unit == "c" else celsius(amount) if unit == "f" and amount is not None else None


def _value_and_unit(value: Any, unit: Any) -> tuple[float | None, str]:
    if isinstance(value, dict):
        unit, value = str(value.get("unitCode", "")).split(":")[-1], value.get("value")
    code = _CODES.get(str(unit).lower().replace(" ", ""), "")
    number = isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e6
    return (float(value) if number else None), code


def _speed(value: Any, field: str) -> float | None:
    """m/s of '10 mph', of the stronger end of '5 to 10 mph', or of a number with its unit; None where not given."""
    if value is None or value == "":
        return None
    if isinstance(value, dict):
        amount, code = _value_and_unit(value, None)
        if amount is not None and code not in _SPEED:
            raise WeatherError(f"{field} is in no unit known here")
        return None if amount is None else amount * _SPEED[code]
    found = re.fullmatch(r"(?:[\d.]+\s+to\s+)?([\d.]+)\s*(mph|km/h|kt|m/s)", str(value).strip())
    if not found:
        raise WeatherError(f"{field} “{str(value)[:20]}” cannot be read")
    return float(found.group(1)) * _SPEED[found.group(2)]
