"""Forms that give weather to a house: highs and lows day by day, a file, where the site lies."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from jobs.fields import AmountField
from jobs.forms import RecordForm
from jobs.weather.reading import LARGEST, MOST_DAYS
from takeoff.weather.highs_lows import Day
from takeoff.weather.hours import spoken_day

COLDEST_F, HOTTEST_F, MOST_WIND_MPH = -80, 130, 150


class DaysForm(RecordForm):
    """Highs, lows and winds of the days from the first on; days at the end may be left empty."""

    first = forms.DateField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, first: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["first"].initial = first
        self.begins = self._first_sent(first)
        for n in range(MOST_DAYS):
            name = spoken_day(self.begins + timedelta(days=n))
            self.fields[f"high_{n}"] = _cell(f"High of {name}", COLDEST_F, HOTTEST_F, "F")
            self.fields[f"low_{n}"] = _cell(f"Low of {name}", COLDEST_F, HOTTEST_F, "F")
            self.fields[f"wind_{n}"] = _cell(f"Wind of {name}", 0, MOST_WIND_MPH, "mph")

    def _first_sent(self, usual: date) -> date:
        """The first day the page was opened on, so that a form sent after midnight keeps its days."""
        try:
            return date.fromisoformat(self.data.get("first", ""))
        except (ValueError, TypeError):
            return usual

    @property
    def rows(self) -> list[tuple[str, list[Any]]]:
        """Name of the day and its three inputs."""
        return [
            (spoken_day(self.begins + timedelta(days=n)), [self[f"{part}_{n}"] for part in ("high", "low", "wind")])
            for n in range(MOST_DAYS)
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for n in range(MOST_DAYS):
            given = [cleaned.get(f"{part}_{n}") is not None for part in ("high", "low", "wind")]
            for part, is_given in zip(("high", "low"), given, strict=False):
                if any(given) and not is_given and f"{part}_{n}" not in self.errors:
                    self.add_error(f"{part}_{n}", f"Type the {part} of this day too, or leave the day empty.")
            high, low = cleaned.get(f"high_{n}"), cleaned.get(f"low_{n}")
            if high is not None and low is not None and low > high:
                self.add_error(f"low_{n}", f"The low of {low:g} °F is above the high of {high:g} °F.")
        return cleaned

    def days(self) -> list[Day]:
        """The days typed, once valid."""
        rows = ((n, *(self.cleaned_data[f"{part}_{n}"] for part in ("high", "low", "wind"))) for n in range(MOST_DAYS))
        return [
            Day(self.begins + timedelta(days=n), high, low, wind) for n, high, low, wind in rows if high is not None
        ]


def _cell(label: str, least: float, most: float, unit: str) -> AmountField:
    return AmountField(label=label, unit=unit, min_value=least, max_value=most, required=False)


def initial_of(days: list[Day], first: date) -> dict[str, Any]:
    """What is typed already of the days from the first on."""
    out: dict[str, Any] = {}
    for day in days:
        n = (day.on - first).days
        if 0 <= n < MOST_DAYS:
            out |= {f"high_{n}": day.high_f, f"low_{n}": day.low_f, f"wind_{n}": day.wind_mph}
    return out


class FileForm(RecordForm):
    """A file of hours."""

    file = forms.FileField(
        label="File of hours",
        help_text="EPW, or a CSV with a column of times and one of air temperature that says its unit: temp (F).",
        error_messages={"required": "Choose a file.", "empty": "The file is empty."},
    )

    def clean_file(self) -> UploadedFile:
        """Judged by its size before it is read."""
        file: UploadedFile = self.cleaned_data["file"]
        if (file.size or 0) > LARGEST:
            raise forms.ValidationError(f"The file has {file.size:,} bytes; at most {LARGEST:,} are accepted.")
        return file


class FetchForm(RecordForm):
    """A forecast asked for."""


class PlaceForm(RecordForm):
    """Where the site lies."""

    latitude = AmountField(label="Latitude", unit="degrees north", min_value=-90, max_value=90)
    longitude = AmountField(
        label="Longitude", unit="degrees east", min_value=-180, max_value=180,
        help_text="West of Greenwich, as all of America, it is below 0: -93.1.",
    )  # fmt: skip
