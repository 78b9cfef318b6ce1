"""What may be typed about houses, ground, people and stages. Forms only validate; actions write."""

from __future__ import annotations

from typing import Any, TypeVar
from uuid import UUID, uuid4

from django import forms
from django.contrib.auth import password_validation
from django.http import HttpRequest, QueryDict
from django.utils.datastructures import MultiValueDict

from jobs import details
from jobs.details import HouseDetails
from jobs.exceptions import DatesOutOfOrder, StalePage
from jobs.fields import AmountField, LengthField
from jobs.models import Person, Role
from jobs.stages import TITLES
from takeoff.plan import Stage
from takeoff.site import Site
from takeoff.soils import soils
from takeoff.units import Length

AnyField = TypeVar("AnyField", bound=forms.Field)

ZONES = (
    ("America/St_Johns", "Newfoundland"),
    ("America/Halifax", "Atlantic"),
    ("America/New_York", "Eastern"),
    ("America/Chicago", "Central"),
    ("America/Denver", "Mountain"),
    ("America/Los_Angeles", "Pacific"),
    ("America/Anchorage", "Alaska"),
)


def posted(request: HttpRequest) -> QueryDict | None:
    """What a form is bound to: the post, even an empty one, or nothing."""
    return request.POST if request.method == "POST" else None


def whole(text: str | None) -> int:
    """A row's number as a page sent it; 0, which no row has, for anything else."""
    return int(text) if text and text.isdecimal() and len(text) < 18 else 0


class RecordForm(forms.Form):
    """A form that makes a record: it carries the record's own id and the time on the device."""

    client_id = forms.UUIDField(required=False, widget=forms.HiddenInput, initial=uuid4)
    device_at = forms.DateTimeField(required=False, widget=forms.HiddenInput)

    def sent(self) -> dict[str, Any]:
        """The record's id and the time on the device, as an action takes them."""
        return {name: self.cleaned_data.get(name) for name in ("client_id", "device_at")}

    @property
    def client_id_sent(self) -> UUID | None:
        """The record's id, None where the page sent none."""
        return self.cleaned_data.get("client_id")


class EditForm(RecordForm):
    """A form over something stored: ``version`` tells what the page was opened on."""

    version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    @property
    def version_seen(self) -> int:
        """The version the page was opened on; 0 where it sent none, which counts as stale."""
        return self.cleaned_data.get("version") or 0

    def told_stale(self, stale: StalePage, stored: Any, typed: Any, words: Any) -> None:
        """Keep everything typed, take over the newer version, and lay the newer values beside what was typed."""
        data = MultiValueDict(self.data)  # a copy: what a request brought cannot be written
        data["version"] = str(stale.version)
        self.data = data
        self.stale = stale
        for name in self.fields:
            both = hasattr(stored, name) and hasattr(typed, name)
            if both and getattr(stored, name) != getattr(typed, name):
                # The bound field is kept by the form, so the template finds the newer value on it.
                self[name].newer = words(name, getattr(stored, name))  # type: ignore[attr-defined]


def _date(label: str, help_text: str = "") -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    wrong = {"invalid": "Give a day like 2026-11-03."}
    field = forms.DateField(label=label, required=False, widget=widget, help_text=help_text, error_messages=wrong)
    field.narrow = True  # type: ignore[attr-defined]
    return field


def wide(field: AnyField) -> AnyField:
    """The same field, over the whole width where a form stands in two columns."""
    field.wide = True  # type: ignore[attr-defined]
    return field


class HouseForm(EditForm):
    """A house as its papers name it."""

    name = wide(
        forms.CharField(
            label="Name of the house", max_length=120, help_text="As the crew calls it: Lot 12, Ridge Road."
        )
    )
    address = wide(forms.CharField(label="Address", max_length=200, required=False))
    lot = forms.CharField(label="Lot", max_length=60, required=False)
    jurisdiction = forms.CharField(
        label="Jurisdiction", max_length=120, required=False, help_text="Whose inspector releases the work."
    )
    permit_number = forms.CharField(label="Permit number", max_length=60, required=False)
    timezone = forms.ChoiceField(label="Time zone of the site", choices=ZONES, initial="America/Chicago")
    dig_date = _date("Dig")
    buried_by_date = _date("Buried by", "The day the walls should be backfilled for good.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kept = self.initial.get("timezone")
        if kept and kept not in dict(ZONES):
            # A house may stand in a zone that is not offered to everybody.
            self.fields["timezone"].choices = [*ZONES, (kept, kept)]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        try:
            details.check_dates(cleaned.get("dig_date"), cleaned.get("buried_by_date"), "the dig date", "“Buried by”")
        except DatesOutOfOrder as refused:
            self.add_error("buried_by_date", str(refused))
        return cleaned

    def details(self) -> HouseDetails:
        """What was typed, once valid."""
        return HouseDetails(**{name: self.cleaned_data[name] for name in details.HOUSE_LABELS})


class SiteForm(EditForm):
    """The ground of a house."""

    soil_class = forms.ChoiceField(
        label="Soil class",
        help_text="Unified Soil Classification symbol, as listed in IRC 2021 Table R405.1.",
        error_messages={
            "invalid_choice": "“%(value)s” is not a soil symbol of IRC Table R405.1; choose one of the list."
        },
    )
    equivalent_fluid_pcf = AmountField(
        label="Equivalent fluid density",
        unit="psf per ft of depth",
        min_value=1,
        max_value=500,
        help_text="Design lateral soil load, from the engineer or the code's table; it may be proposed below.",
    )
    bearing_psf = AmountField(
        label="Bearing value",
        unit="psf",
        min_value=100,
        max_value=100_000,
        help_text="Allowable, from the engineer, or the code's presumptive value.",
    )
    frost_depth = LengthField(
        label="Frost depth",
        bare="in",
        help_text="Below exterior grade, as the jurisdiction gives it. A bare number is inches; 4-0 is four feet.",
    )
    ground_water = LengthField(
        label="Ground water level", bare="ft", required=False, help_text="On the plan's datum. A bare number is feet."
    )
    exterior_grade = LengthField(
        label="Exterior grade level", bare="ft", required=False, help_text="On the plan's datum. A bare number is feet."
    )
    code_edition = forms.CharField(label="Code edition", max_length=40, initial="IRC 2021")

    DEEPEST_FROST = Length.feet(20)
    #: The sentence a proposed load is shown with.
    proposal = ""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(s.symbol, f"{s.symbol} – {s.description}") for s in soils().values()]
        self.fields["soil_class"].choices = choices  # type: ignore[attr-defined]

    def clean_frost_depth(self) -> Length:
        depth: Length = self.cleaned_data["frost_depth"]
        if depth < Length(0) or depth > self.DEEPEST_FROST:
            raise forms.ValidationError(
                f"Frost depth is {depth}; give a depth below grade from 0 to {self.DEEPEST_FROST}."
            )
        return depth

    def site(self) -> Site:
        """What was typed, once valid."""
        return Site(**{name: self.cleaned_data[name] for name in details.SITE_LABELS})


class InvitationForm(RecordForm):
    """Who is offered which role."""

    role = forms.TypedChoiceField(
        label="Role on this house",
        coerce=Role,
        choices=[(r.value, r.label.capitalize()) for r in Role if r != Role.BUILDER],
    )
    email = forms.EmailField(label="E-mail address", max_length=254)
    name = forms.CharField(label="Name", max_length=120, required=False)


class ColleagueForm(RecordForm):
    """Who is asked to build for the firm."""

    email = forms.EmailField(label="E-mail address", max_length=254)
    name = forms.CharField(label="Name", max_length=120, required=False)


class PasswordMixin(forms.Form):
    """Name and password of a new login; ``email_of`` says whose, to refuse a password made of it."""

    name = forms.CharField(label="Your name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    phone = forms.CharField(
        label="Phone",
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "tel", "type": "tel"}),
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        help_text="Ten characters or more, not only figures.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def email_of(self) -> str:
        """Address of the new login."""
        return str(self.cleaned_data.get("email", ""))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("password"):
            person = Person(email=self.email_of(), name=cleaned.get("name", ""))
            try:
                password_validation.validate_password(cleaned["password"], person)
            except forms.ValidationError as wrong:
                self.add_error("password", wrong)
        return cleaned


class JoinForm(PasswordMixin, RecordForm):
    """A new login for an invited address."""

    def __init__(self, *args: Any, email: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._email = email

    def email_of(self) -> str:
        return self._email


class AcceptForm(RecordForm):
    """Taking a role up with the login one has; another address than the invited one is confirmed."""

    confirmed = forms.BooleanField(label="The invitation is meant for me", required=False)


class FirmForm(RecordForm):
    """A new firm of somebody who is logged in."""

    firm_name = forms.CharField(
        label="Name of the firm", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "organization"})
    )


class BracesForm(RecordForm):
    """How many alignment braces a firm owns."""

    MOST = 5000
    owned = forms.IntegerField(
        label="Braces owned",
        min_value=0,
        max_value=MOST,
        error_messages={
            "required": f"Say how many braces the firm owns: a whole number from 0 to {MOST:,}.",
            "invalid": f"Give a whole number of braces from 0 to {MOST:,}.",
            "min_value": "A firm owns no less than 0 braces.",
            "max_value": f"That is more than {MOST:,} braces; give a whole number up to that.",
        },
    )
    owned.narrow = True  # type: ignore[attr-defined]


class StartForm(PasswordMixin, FirmForm):
    """A new firm and the login of its first builder."""

    email = forms.EmailField(
        label="E-mail address", max_length=254, widget=forms.EmailInput(attrs={"autocomplete": "email"})
    )
    field_order = ("firm_name", "name", "email", "phone", "password")


class StageForm(RecordForm):
    """What a stage is called and when it is planned."""

    title = forms.CharField(label="Called", max_length=80)
    start = _date("Start")
    end = _date("End")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        title = cleaned.get("title", "this stage")
        try:
            details.check_dates(
                cleaned.get("start"), cleaned.get("end"), f"the start of {title}", f"The end of {title}"
            )
        except DatesOutOfOrder as refused:
            self.add_error("end", str(refused))
        return cleaned


class NewStageForm(RecordForm):
    """One more stage, and after which."""

    kind = forms.TypedChoiceField(
        label="Kind of stage", coerce=Stage, choices=[(k.value, t) for k, t in TITLES.items()]
    )
    title = forms.CharField(label="Called", max_length=80, required=False, help_text="Left empty: as its kind.")
    after = forms.TypedChoiceField(label="Goes after", coerce=int)

    def __init__(self, *args: Any, stages: list[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(0, "Goes first"), *((place, f"{place} {title}") for place, title in stages)]
        self.fields["after"].choices = choices  # type: ignore[attr-defined]
        self.fields["after"].initial = choices[-1][0]
