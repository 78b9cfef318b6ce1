"""What the pages of a pour are asked under: typed in sight, carried from page to page in the address, kept nowhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from math import ceil
from typing import Any

from django import forms
from django.http import QueryDict

from jobs.fields import AmountField
from takeoff.weather.hours import clock, local_time, zone_named
from takeoff.weather.rules_306r import Service

R306, CANADA = "306r", "canada"
FROM_POUR, FROM_NOW = "pour", "now"
UNKNOWN, CLEAR, FROZEN, SNOW = "unknown", "clear", "frozen", "snow"
#: In the address of a page whose boxes were shown, so that an unticked one is a no.
ASKED = "asked"

SERVICES = (
    (Service.NO_LOAD_NOT_EXPOSED, "no load, never exposed to frost"),
    (Service.NO_LOAD_EXPOSED, "no load, exposed to frost later"),
    (Service.PARTIAL_LOAD_EXPOSED, "part of its load early, exposed to frost"),
    (Service.FULL_LOAD, "full load early: until a strength is reached"),
)


def _amount(label: str, unit: str, least: float, most: float, help_text: str = "") -> AmountField:
    return AmountField(
        label=label, unit=unit, min_value=least, max_value=most, required=False, help_text=help_text
    )  # fmt: skip


#: Days beyond these were mistyped.
FIRST_DAY, LAST_DAY = date(2000, 1, 1), date(2099, 12, 31)


class _Day(forms.DateField):
    """A day of these times."""

    def clean(self, value: Any) -> date | None:
        """Refused outside :data:`FIRST_DAY` to :data:`LAST_DAY`."""
        day: date | None = super().clean(value)
        if day is not None and not FIRST_DAY <= day <= LAST_DAY:
            raise forms.ValidationError(f"Give a day from {FIRST_DAY.year} to {LAST_DAY.year}.")
        return day


def _date(label: str, help_text: str = "") -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return _Day(
        label=label, required=False, widget=widget, help_text=help_text,
        error_messages={"invalid": "Give a day like 2026-11-03."},
    )  # fmt: skip


def _tick(label: str) -> forms.BooleanField:
    return forms.BooleanField(label=label, required=False)


class ConditionsForm(forms.Form):
    """Every condition of the pages; each page shows its own and carries the others along unseen."""

    weather = forms.ChoiceField(label="Weather", required=False)
    from_day = _date("First day looked at")
    guide = forms.ChoiceField(
        label="Guide", required=False, choices=((R306, "ACI 306R, by thickness"), (CANADA, "Ontario Building Code"))
    )
    thickness_in = _amount("Least thickness of the section", "in", 2, 120)
    concrete_f = _amount("Concrete at discharge", "°F", 35, 110, "Left empty: not known, and nothing is decided on it.")
    service = forms.TypedChoiceField(
        label="Load and frost on it", required=False, coerce=int, choices=[(int(s), words) for s, words in SERVICES]
    )
    accelerator = _tick("Accelerated: non-chloride accelerator, type III cement or 100 lb more cement")
    covers = _tick("Covers are on site")
    heat = _tick("Heat is on site")
    base_warm = _tick("Base and forms are kept warm until the pour")
    pump = _tick("Placed by pump")
    ground = forms.ChoiceField(
        label="Ground, forms and steel",
        required=False,
        choices=(
            (UNKNOWN, "nobody has looked yet"),
            (CLEAR, "seen: free of frost, ice and snow"),
            (FROZEN, "seen: frozen"),
            (SNOW, "seen: ice or snow"),
        ),
    )
    wind_mph = _amount("Most wind", "mph", 5, 60, "What boom and crew stand; the pump's own limit comes first.")
    gust_mph = _amount("Most gusts", "mph", 5, 80)
    need_h = _amount("Hours needed in one run", "h", 1, 12)
    sections = forms.MultipleChoiceField(label="Sections poured", required=False, widget=forms.CheckboxSelectMultiple)
    pump_yd3_h = _amount("Pump and crew place", "yd3 an hour", 2, 150)
    haul_min = _amount("From batching to the hose", "min", 0, 180)
    cold_joint_min = _amount("Until a cold joint", "min", 15, 240)
    pour_day = _date("Day of the pour")
    pour_hour = forms.TypedChoiceField(
        label="First concrete at", required=False, coerce=int, choices=[(h, clock(time(h))) for h in range(24)]
    )
    exposed = _tick("Some of the concrete stays bare to the weather")
    weathering = forms.ChoiceField(
        label="Weathering by the local code",
        required=False,
        choices=[(name, name) for name in ("severe", "moderate", "negligible")],
    )
    plant_phone = forms.CharField(label="Number of the plant", required=False, max_length=30)
    strength_psi = _amount("Strength at 28 days", "psi", 1000, 12_000, "A usual curve; the supplier's own is better.")
    cement_lb = _amount("Cement in a yard", "lb", 200, 1200)
    water_ratio = _amount("Water by cement", "", 0.3, 0.9)
    blanket_r = _amount(
        "Covers, R value", "h ft2 °F / Btu", 0, 20, "0: none. On both sides of a wall, on top of a footing."
    )
    blanket_days = _amount("Covers stay", "days", 0, 28)
    heat_f = _amount("Heated air", "°F", 0, 100, "0: no heat.")
    heat_days = _amount("Heat stays", "days", 0, 28)
    soil_dry_pcf = _amount("Soil under it, dry", "pcf", 40, 170, "From the soils report.")
    soil_water = _amount("Water in the soil, by dry weight", "percent", 1, 100)
    soil_fine = _tick("The soil is silt or clay, not sand or gravel")
    ground_f = _amount("Ground 8 ft below", "°F", 33, 80)
    aggregate_f = _amount("Aggregate and cement at the plant", "°F", -20, 120, "For the mixing water; empty: not said.")
    wanted_psi = _amount("Strength asked for", "psi", 100, 10_000, "For backfill: the engineer's number.")
    brace_psi = _amount(
        "Strength for taking bracing off", "psi", 100, 10_000, "Left empty: 500 psi and a day, common practice."
    )
    help_r = _amount("If covers were added, R value", "h ft2 °F / Btu", 0.5, 20, "For the table of what would help.")
    help_f = _amount("If the air were heated to", "°F", 33, 100, "For the same table.")
    bare_from = forms.ChoiceField(
        label="Bare from", required=False, choices=((FROM_POUR, "the pour on"), (FROM_NOW, "now on: it lies there"))
    )
    bare_until = _date("Bare until", "Backfilled then. Left empty: as far as the weather is known.")
    # which pour of the stage, and whether its log is followed: they stand in the address only
    pour = forms.CharField(label="Pour", required=False, max_length=60)
    follow = forms.CharField(label="Followed", required=False, max_length=10)

    def __init__(self, data: Any, *, weather: list[tuple[str, str]], sections: list[tuple[str, str]]) -> None:
        super().__init__(data)
        self.fields["weather"].choices = weather  # type: ignore[attr-defined]
        self.fields["sections"].choices = sections  # type: ignore[attr-defined]

    def clean_sections(self) -> list[str]:
        """All of them where none is ticked."""
        return self.cleaned_data["sections"] or [key for key, _ in self.fields["sections"].choices]  # type: ignore[attr-defined]


@dataclass(frozen=True)
class Conditions:
    """What was asked, with the usual where nothing was typed. Lengths in inches, temperatures in F."""

    typed: Mapping[str, Any]
    usual: Mapping[str, Any]
    zone_name: str

    def __getitem__(self, name: str) -> Any:
        """As typed; the usual where it was left empty, except where empty says something."""
        value = self.typed.get(name)
        return self.usual[name] if value in (None, "") and name not in EMPTY_SAYS else value

    @property
    def start(self) -> datetime:
        """From when hours are looked at: now, or midnight of another day chosen."""
        day: date = self["from_day"]
        begun: datetime = self.usual["now"]
        if day == begun.date():
            return begun.replace(minute=0, second=0, microsecond=0)
        return datetime.combine(day, time(), zone_named(self.zone_name))

    @property
    def pour_at(self) -> datetime:
        """When the first concrete is wanted. Raises WeatherError for an hour that the clocks skip."""
        at = datetime.combine(self["pour_day"], time(self["pour_hour"]))
        return local_time(at, zone_named(self.zone_name))

    @property
    def pour_until(self) -> datetime:
        """When the last of the hours needed is over, by the clock of the site. Raises WeatherError as above."""
        zone = zone_named(self.zone_name)
        return datetime.fromtimestamp(self.pour_at.timestamp() + ceil(self["need_h"]) * 3600, zone)


#: Fields that say 'not known' or 'none' when left empty.
EMPTY_SAYS = (
    *("concrete_f", "thickness_in", "wanted_psi", "brace_psi", "plant_phone", "bare_until", "pour", "follow"),
    *("soil_dry_pcf", "soil_water", "ground_f", "aggregate_f"),
)
TICKS = tuple(name for name, field in ConditionsForm.base_fields.items() if isinstance(field, forms.BooleanField))
USUAL: dict[str, Any] = {
    "guide": R306, "service": int(Service.NO_LOAD_EXPOSED), "accelerator": False, "covers": False, "heat": False,
    "base_warm": False, "pump": True, "ground": UNKNOWN, "wind_mph": 25, "gust_mph": 35, "need_h": 4, "pump_yd3_h": 30,
    "haul_min": 30, "cold_joint_min": 60, "pour_hour": 9, "plant_phone": "", "exposed": False, "weathering": "severe",
    "soil_fine": True,
    "cement_lb": 564, "water_ratio": 0.45,
    "blanket_r": 0, "blanket_days": 3, "heat_f": 0, "heat_days": 3, "help_r": 5, "help_f": 50,
    "brace_psi": None, "bare_from": FROM_POUR, "bare_until": None, "pour": "", "follow": "",
}  # fmt: skip


def asked_form(
    query: QueryDict, usual: Mapping[str, Any], weather: list[tuple[str, str]], sections: list[tuple[str, str]]
) -> ConditionsForm:
    """The form over an address: what it says, else the usual; a tick that was shown and is missing is a no."""
    data: dict[str, Any] = {name: usual.get(name) for name in ConditionsForm.base_fields}
    every = [key for key, _ in sections]
    data["sections"] = usual.get("sections") or every
    if ASKED in query:
        data |= dict.fromkeys(TICKS, False) | {"sections": every}
    for name in ConditionsForm.base_fields:
        if name in query:
            data[name] = query.getlist(name) if name == "sections" else str(query[name]).replace("\0", "")[:60]
    return ConditionsForm(data, weather=weather, sections=sections)
