"""What may be typed about a form system: its lengths, its cores with their corner legs, how it is packed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.text import slugify

from jobs.exceptions import StalePage
from jobs.fields import AmountField, LengthField, out_of_range
from jobs.forms import EditForm, wide
from takeoff.forms import CornerLegs, FormSystem
from takeoff.units import Length, format_length, parse_length

#: Keys that are addresses of their own.
RESERVED_KEYS = frozenset({"new"})


def _inches(length: Length) -> str:
    return format_length(length, "in", denominator=64)


class InchField(LengthField):
    """A length of a block, within the limits of the plan file; bare numbers and what is shown are inches."""

    def __init__(self, *, least: int | str, most: int, **kwargs: Any) -> None:
        super().__init__(bare="in", **kwargs)
        self.least, self.most = Length.inches(least), Length.inches(most)
        self.unit = "in"

    def clean(self, value: Any) -> Any:
        length = super().clean(value)
        if length is not None and not self.least <= length <= self.most:
            raise forms.ValidationError(
                f"“{value}” is {_inches(length)}; {str(self.label).lower()} is between {_inches(self.least)} "
                f"and {_inches(self.most)}."
            )
        return length

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Length) and parse_length(_inches(value)) == value:
            return _inches(value).rstrip('"')
        return super().prepare_value(value)


class CountField(forms.IntegerField):
    """How many are in a bundle."""

    narrow = True
    MOST = 500

    def __init__(self, **kwargs: Any) -> None:
        said = out_of_range(1, self.MOST)
        super().__init__(min_value=1, max_value=self.MOST, error_messages=said, **kwargs)


class CornerForm(forms.Form):
    """One core and the legs of its corner unit; an empty row is left out."""

    #: whether both legs may be equally long
    may_be_alike = False

    core = InchField(label="Core", least=2, most=24, required=False)
    long = InchField(label="Long leg", least=6, most=120, required=False)
    short = InchField(label="Short leg", least=6, most=120, required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        core, long, short = (cleaned.get(name) for name in ("core", "long", "short"))
        if self.errors or not (core or long or short):
            return cleaned
        for name in ("core", "long", "short"):
            if cleaned.get(name) is None:
                self.add_error(name, "This row has other values; fill this in too, or empty the row.")
        if long and short and (long < short or (long == short and not self.may_be_alike)):
            self.add_error(
                "long", f"The long leg ({_inches(long)}) must be longer than the short one ({_inches(short)})."
            )
        return cleaned

    def legs(self) -> CornerLegs | None:
        """The row, None where it is empty."""
        core, long, short = (self.cleaned_data.get(name) for name in ("core", "long", "short"))
        return CornerLegs(core, long, short) if core and long and short else None


class FlatCornerForm(CornerForm):
    """One core and the legs of its 45 degree corner unit, which may be alike."""

    may_be_alike = True


CornerFormSet = forms.formset_factory(CornerForm, extra=2, max_num=12, absolute_max=12)
FlatCornerFormSet = forms.formset_factory(FlatCornerForm, extra=2, max_num=12, absolute_max=12)


class FormSystemForm(EditForm):
    """Everything about a form system but its cores."""

    name = wide(forms.CharField(label="Name", max_length=60, help_text="As your crew and your supplier call it."))
    face_height = InchField(
        label="Face height",
        least=6,
        most=48,
        help_text="16 in and 18 in units both exist on sites and get mixed up; measure one.",
    )
    length = InchField(label="Length of a straight unit", least=12, most=240, initial=Length.inches(48))
    foam = InchField(label="Foam, each side", least="0.5", most=12)
    web_spacing = InchField(label="Web spacing", least=2, most=24)
    handed = forms.TypedChoiceField(
        label="Corner units",
        coerce=lambda value: value == "handed",
        choices=[
            ("handed", "Left and right are different pieces"),
            ("reversible", "One piece, turned over, serves both"),
        ],
    )
    half_height = InchField(
        label="Half-height unit", least=2, most=24, required=False, help_text="Empty where there is none."
    )
    ledge_projection = InchField(
        label="Ledge unit stands out",
        least=1,
        most=24,
        required=False,
        help_text="Of the foam; empty where there is none.",
    )
    ledge_height = InchField(
        label="Height of the ledge unit",
        least=2,
        most=48,
        required=False,
        help_text="From the foot of its haunch to its bearing; empty where there is none.",
    )
    least_radius = InchField(
        label="Least radius",
        least=6,
        most=2400,
        required=False,
        help_text="Of the outside of foam; the supplier will not have it bent tighter. Empty where nothing is said.",
    )
    units_per_bundle = CountField(label="Straight units per bundle", initial=12)
    corners_per_bundle = CountField(label="Corner units per bundle", initial=8)
    rated_pressure_psf = AmountField(
        label="Rated lateral pressure",
        unit="psf",
        min_value=50,
        max_value=5000,
        help_text="What the form is rated for while the concrete is fresh. Pouring faster than it allows bursts forms.",
    )
    web_percent = AmountField(
        label="Core taken by webs",
        unit="%",
        min_value=0,
        max_value=30,
        initial=0,
        help_text="Taken off the concrete; 0 when in doubt, so that the order is not short.",
    )
    foam_r_per_in = AmountField(
        label="R of an inch of foam",
        unit="h·ft²·°F/Btu",
        min_value=0.5,
        max_value=10,
        initial=4,
        help_text="At a mean of 75 °F, from the supplier's sheet.",
    )
    note = wide(forms.CharField(label="Note", max_length=300, required=False))

    def told_stale(self, stale: StalePage, stored: Any, typed: Any, words: Any) -> None:
        super().told_stale(stale, stored, typed, words)
        self.corners_newer = words("corners", stored.corners) if stored.corners != typed.corners else ""
        flat = stored.corners_45 != typed.corners_45
        self.flat_corners_newer = words("corners_45", stored.corners_45) if flat else ""
        if stored.web_displacement != typed.web_displacement:
            self["web_percent"].newer = words("web_displacement", stored.web_displacement)  # type: ignore[attr-defined]

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"].strip()
        if not slugify(name) or slugify(name) in RESERVED_KEYS:
            raise forms.ValidationError(f"“{name}” cannot be used as a name; use some letters or figures of its own.")
        return name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        face, half = cleaned.get("face_height"), cleaned.get("half_height")
        if face and half and half >= face:
            self.add_error(
                "half_height",
                f"The half-height unit ({_inches(half)}) must be lower than the face height ({_inches(face)}).",
            )
        length, webs = cleaned.get("length"), cleaned.get("web_spacing")
        if length and webs and webs > length:
            self.add_error("web_spacing", f"Web spacing ({_inches(webs)}) is longer than the unit ({_inches(length)}).")
        return cleaned


def initial_of(system: FormSystem) -> dict[str, Any]:
    """A form system as the form's first values."""
    names = [n for n in FormSystemForm.base_fields if hasattr(system, n) and n != "handed"]
    return {
        **{name: getattr(system, name) for name in names},
        "handed": "handed" if system.handed else "reversible",
        "web_percent": round(system.web_displacement * 100, 6),
    }


def corners_of(corners: Sequence[CornerLegs]) -> list[dict[str, Length]]:
    """Rows of corner legs as a form set's first values."""
    return [{"core": c.core, "long": c.long, "short": c.short} for c in corners]


def _rows(corners: Any) -> tuple[CornerLegs, ...]:
    return tuple(sorted((c for c in (f.legs() for f in corners.forms) if c), key=lambda c: c.core))


def read(form: FormSystemForm, corners: Any, flat: Any, key: str | None = None) -> FormSystem | None:
    """The form system that was typed, ``flat`` its 45 degree corners, or None with sentences on the form; ``key`` None
    makes one from the name."""
    if not all([form.is_valid(), corners.is_valid(), flat.is_valid()]):
        return None
    typed = {
        k: v for k, v in form.cleaned_data.items() if k not in ("client_id", "device_at", "version", "web_percent")
    }
    system = FormSystem(
        key=key or slugify(typed["name"])[:60],
        corners=_rows(corners),
        corners_45=_rows(flat),
        web_displacement=form.cleaned_data["web_percent"] / 100,
        **typed,
    )
    for sentence in (*_wrong_corners(system), *_wrong_flat_corners(system)):
        form.add_error(None, sentence)
    return None if form.errors else system


def _wrong_corners(system: FormSystem) -> list[str]:
    if not system.corners:
        return ["Give at least one core with its corner legs."]
    said = _twice(system.corners, "core")
    for legs in system.corners:
        thick = system.thickness(legs.core)
        if legs.short <= thick:
            said.append(
                f"{_inches(legs.core)} core: the short corner leg ({_inches(legs.short)}) must be longer than the wall "
                f"is thick ({_inches(thick)}); legs are measured along the outside face of foam."
            )
    return said


def _twice(rows: Sequence[CornerLegs], what: str) -> list[str]:
    cores = [legs.core for legs in rows]
    return [
        f"The {_inches(core)} {what} is there twice; give each core one row."
        for core in dict.fromkeys(cores)
        if cores.count(core) > 1
    ]


def _wrong_flat_corners(system: FormSystem) -> list[str]:
    """Of 45 degree corners: the inside face is shorter than the outside by the wall's thickness times tan 22.5 deg."""
    said = _twice(system.corners_45, "45 degree corner")
    for legs in system.corners_45:
        if legs.core not in system.cores():
            said.append(f"45 degree corner: the system is not made with a {_inches(legs.core)} core.")
        shorter = system.shorter_inside_45(legs.core)
        if legs.short <= shorter:
            said.append(
                f"{_inches(legs.core)} core: the short leg of the 45 degree corner ({_inches(legs.short)}) must be "
                f"longer than {_inches(shorter)}, or nothing is left of its inside face."
            )
    return said
