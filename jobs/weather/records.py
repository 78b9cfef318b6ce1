"""Weather as it came: append-only, the text itself with who gave it and when. A later record does not touch an earlier.

Loaded by :mod:`jobs.models` at its end, so that Django finds it with the others.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.timezone import now

from jobs.models import AppendOnly, House


class WeatherKind(models.TextChoices):
    """How the weather of a house came here."""

    TYPED = "typed", "typed highs and lows"
    CSV = "csv", "table of hours (CSV)"
    EPW = "epw", "typical-year file (EPW)"
    FORECAST = "forecast", "hourly forecast"


class WeatherSource(AppendOnly):
    """One text of weather. ``source`` is what the engine says of it, ``first_at`` and ``last_at`` the hours it has
    (None for a typical year, which has all of any year)."""

    house = models.ForeignKey(House, on_delete=models.PROTECT, related_name="weather")
    kind = models.CharField(max_length=10, choices=WeatherKind.choices)
    name = models.CharField(max_length=120, blank=True)  # of the file, as uploaded
    text = models.TextField()
    source = models.CharField(max_length=300)
    first_at = models.DateTimeField(null=True)
    last_at = models.DateTimeField(null=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=now)

    class Meta:
        app_label = "jobs"
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["house", "-at"], name="weather_of_house_latest")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.house}"
