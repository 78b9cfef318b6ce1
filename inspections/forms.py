"""What may be typed about a point: evidence, a release or a rejection, what was put right, work done. Forms only
validate; whether it may be so is said by the actions."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.text import slugify

from inspections.exceptions import EvidenceRefused, OutsideTolerance
from inspections.process import Evidence, EvidenceKind, Point, Scope
from inspections.readings import Given
from jobs.forms import RecordForm
from takeoff.units import Length, LengthError, parse_length

_NUMBER = re.compile(r"^[+-]?(\d+(\.\d*)?|\.\d+)$")
_UNIT_WORDS = {"in": "in", "F": "°F", "in per 50 ft": "in per 50 ft", "in in 10 ft": "in in 10 ft"}
AGAIN = "The photo must be chosen again: a browser does not keep it."


class LegsField(forms.MultipleChoiceField):
    """Legs of a form, as large check boxes; all are ticked at first."""

    def __init__(self, legs: Sequence[str], label: str = "Legs") -> None:
        super().__init__(
            label=label,
            required=True,
            choices=[(leg, f"Leg {leg}") for leg in legs],
            initial=list(legs),
            widget=forms.CheckboxSelectMultiple,
            error_messages={
                "required": "Tick at least one leg.",
                "invalid_choice": "Leg %(value)s is not among those this is about; load the page again.",
            },
        )


class _Photos(forms.FileInput):
    """Several pictures from the phone's memory."""

    allow_multiple_selected = True

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        """All files of the field."""
        return files.getlist(name) if hasattr(files, "getlist") else files.get(name)


class PhotosField(forms.FileField):
    """One or more files, none where none was chosen."""

    widget = _Photos

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        """Each file as one alone would be."""
        files = [each for each in (data or []) if each]
        for each in files:
            super().clean(each, initial)
        return files


class ReadingField(forms.CharField):
    """A reading in the unit it names: a length in feet and inches or decimals, or a plain number."""

    def __init__(self, *, unit: str, bare: str = "in", **kwargs: Any) -> None:
        super().__init__(max_length=60, **kwargs)
        self.unit, self.bare = unit, bare

    def to_python(self, value: Any) -> Any:
        """(number in the unit, text as typed), None where nothing is typed."""
        text = super().to_python(value)
        if not text:
            return None
        if self.unit == "F":
            plain = re.sub(r"\s*(°\s*)?f?\s*$", "", text, flags=re.IGNORECASE)
            if not _NUMBER.match(plain):
                raise forms.ValidationError(f"“{text}” is not a temperature; write it like 55.")
            return float(plain), text
        try:
            return parse_length(text, self.bare).inch, text  # type: ignore[arg-type]
        except LengthError as wrong:
            raise forms.ValidationError(str(wrong)) from None

    def validate(self, value: Any) -> None:
        """Missing where it is needed."""
        if value is None and self.required:
            raise forms.ValidationError(self.error_messages["required"], code="required")

    def run_validators(self, value: Any) -> None:
        """Nothing more: the text was read."""


@dataclass(frozen=True, slots=True)
class Part:
    """One piece of evidence in the form, with the fields it is given in."""

    evidence: Evidence
    fields: list[tuple[str, Any]]  # leg ('' for all) and bound field
    unit: str = ""
    help: str = ""
    must: tuple[str, ...] = ()
    files: list[Any] = field(default_factory=list)

    @property
    def kind(self) -> str:
        """What kind of evidence."""
        return self.evidence.kind.value


class PresentForm(RecordForm):
    """The evidence a point asks for, on the legs chosen.

    ``legs`` may be chosen, ``ticked`` are at first; ``planned`` are levels of the plan, shown beside those typed;
    ``must`` is set to what each reading is compared with, in words, by criterion.
    """

    revision = forms.IntegerField(widget=forms.HiddenInput, error_messages={"required": "Load the page again."})

    def __init__(
        self,
        *args: Any,
        point: Point,
        legs: Sequence[str],
        ticked: Sequence[str] = (),
        planned: Mapping[str, Length] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.point, self.names, self.planned = point, tuple(legs), planned or {}
        self.must: Mapping[str, Sequence[str]] = {}
        self._slugs = _slugs(self.names)
        if point.scope is Scope.LEGS:
            self.fields["legs"] = LegsField(legs, "Legs this is ready on")
            self.fields["legs"].initial = list(ticked or legs)
        for evidence in point.evidence:
            for name, made in self._fields_of(evidence):
                self.fields[name] = made
        if any(e.criterion for e in point.evidence):
            self.fields["deviation"] = forms.CharField(
                label="Where a reading is not what the plan asks: why it is presented so",
                required=False,
                max_length=2000,
                widget=forms.Textarea(attrs={"rows": 2}),
            )
        self.fields["note"] = forms.CharField(
            label="Anything whoever looks at it should know",
            required=False,
            max_length=2000,
            widget=forms.Textarea(attrs={"rows": 2}),
        )

    def _fields_of(self, evidence: Evidence) -> Iterator[tuple[str, forms.Field]]:
        key, kind = evidence.key, evidence.kind
        common: dict[str, Any] = {
            "label": evidence.label,
            "required": evidence.required,
            "error_messages": {"required": f"“{evidence.label}” is missing."},
        }
        if kind is EvidenceKind.LEVELS:
            for leg in self.names:
                label = f"Leg {leg}"
                yield (
                    self.level_name(key, leg),
                    ReadingField(unit="in", bare="ft", label=label, required=False, widget=_text()),
                )
        elif kind is EvidenceKind.MEASUREMENT:
            yield key, ReadingField(unit=evidence.unit, widget=_text(decimal=evidence.unit == "F"), **common)
        elif kind is EvidenceKind.PHOTO:
            yield key, forms.FileField(widget=forms.FileInput, **common)
            yield f"{key}-more", PhotosField(label=f"{evidence.label}: more pictures", required=False)
        elif kind is EvidenceKind.TICKET:
            yield key, forms.CharField(label=evidence.label, required=False, max_length=200)
            yield f"{key}-file", forms.FileField(label=f"{evidence.label}: picture or PDF", required=False)
        elif kind is EvidenceKind.CHOICE:
            yield key, forms.ChoiceField(choices=evidence.choices, widget=forms.RadioSelect, **common)
        elif kind is EvidenceKind.CHECK:
            yield key, forms.BooleanField(**common)
        else:
            yield key, forms.CharField(max_length=2000, widget=forms.Textarea(attrs={"rows": 2}), **common)

    def level_name(self, key: str, leg: str) -> str:
        """Name of the field of one leg's level."""
        return f"{key}-at-{self._slugs[leg]}"

    def parts(self) -> list[Part]:
        """The evidence in order, with its bound fields."""
        return [self._part(evidence) for evidence in self.point.evidence]

    def _part(self, evidence: Evidence) -> Part:
        must = tuple(self.must.get(evidence.criterion, ()))
        if evidence.kind is EvidenceKind.LEVELS:
            fields = [(leg, self[self.level_name(evidence.key, leg)]) for leg in self.names]
            for leg, bound in fields:
                bound.planned = self.planned.get(leg)  # type: ignore[attr-defined]
            return Part(evidence, fields, "ft-in", "Like 86-0 1/2; a bare number is read in feet: 86.04.", must)
        files = [self[n] for n in (f"{evidence.key}-more", f"{evidence.key}-file") if n in self.fields]
        unit = _UNIT_WORDS.get(evidence.unit, evidence.unit)
        return Part(evidence, [("", self[evidence.key])], unit, "", must, files)

    def chosen(self) -> list[str]:
        """The legs, none for a point of the house."""
        return list(self.cleaned_data.get("legs", []))

    def given(self) -> list[Given]:
        """The evidence as the action takes it."""
        return [given for evidence in self.point.evidence for given in self._given(evidence)]

    def _given(self, evidence: Evidence) -> Iterator[Given]:
        key, data = evidence.key, self.cleaned_data
        if evidence.kind is EvidenceKind.LEVELS:
            for leg in self.names:
                reading = data.get(self.level_name(key, leg))
                if reading is not None:
                    yield Given(key, leg=leg, number=reading[0], text=reading[1])
        elif evidence.kind is EvidenceKind.MEASUREMENT:
            if data.get(key) is not None:
                yield Given(key, number=data[key][0], text=data[key][1])
        elif evidence.kind is EvidenceKind.PHOTO:
            for upload in (data.get(key), *(data.get(f"{key}-more") or ())):
                if upload:
                    yield Given(key, file=upload.read())
        elif evidence.kind is EvidenceKind.TICKET:
            if data.get(key):
                yield Given(key, text=data[key])
            if data.get(f"{key}-file"):
                yield Given(key, file=data[f"{key}-file"].read())
        elif data.get(key):
            yield Given(key, text="yes" if data[key] is True else str(data[key]))

    def told(self, refused: EvidenceRefused) -> None:
        """Each problem of the evidence beside its field."""
        for problem in refused.problems:
            name = self.level_name(problem.key, problem.leg) if problem.leg in self._slugs else problem.key
            if name not in self.fields:
                name = problem.key if problem.key in self.fields else ""
            self.add_error(name or None, problem.sentence)
        if isinstance(refused, OutsideTolerance):
            self.add_error("deviation", "Say here why, or read again and correct the figure.")

    def mourn_files(self) -> None:
        """Where the form comes back: files that were chosen must be chosen again, and it says so; a file that was
        refused has its own sentence."""
        for name in self.fields:
            if self.files.get(self.add_prefix(name)) and not self.errors.get(name):
                self.add_error(name, AGAIN)


def _text(decimal: bool = False) -> forms.TextInput:
    attrs = {"autocomplete": "off", "spellcheck": "false"}
    return forms.TextInput(attrs={**attrs, "inputmode": "decimal"} if decimal else attrs)


def _slugs(legs: Sequence[str]) -> dict[str, str]:
    """Leg name -> a name of its own fit for a form field."""
    out: dict[str, str] = {}
    for leg in legs:
        plain = slugify(leg) or "leg"
        out[leg] = plain if plain not in out.values() else f"{plain}-{len(out)}"
    return out


class SignForm(RecordForm):
    """A release or a rejection of what was presented, on the legs ticked. The button pressed is the decision."""

    revision = forms.IntegerField(widget=forms.HiddenInput, error_messages={"required": "Load the page again."})
    presentation = forms.IntegerField(widget=forms.HiddenInput, error_messages={"required": "Load the page again."})
    decision = forms.ChoiceField(
        choices=[("released", "Release"), ("rejected", "Reject")],
        widget=forms.HiddenInput,
        error_messages={"required": "Press Release or Reject.", "invalid_choice": "Press Release or Reject."},
    )
    reason = forms.CharField(
        label="Reason",
        required=False,
        max_length=2000,
        help_text="Needed to reject: what is wrong, and what would be accepted.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, legs: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if legs:
            self.fields["legs"] = LegsField(legs, "Legs you decide on")

    def clean(self) -> dict[str, Any]:
        """A rejection says why."""
        if self.cleaned_data.get("decision") == "rejected" and not self.cleaned_data.get("reason"):
            self.add_error("reason", "Say why it is rejected: what is wrong, and what would be accepted.")
        return self.cleaned_data


class CorrectionForm(RecordForm):
    """What was done about a rejection."""

    sign_off = forms.IntegerField(widget=forms.HiddenInput, error_messages={"required": "Load the page again."})
    done = forms.CharField(
        label="What was put right, and how",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say what was done to put it right."},
    )
    photo = forms.FileField(label="Photo of what was put right", required=False, widget=forms.FileInput)

    def __init__(self, *args: Any, legs: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if legs:
            self.fields["legs"] = LegsField(legs, "Legs put right")

    def given(self) -> list[Given]:
        """The photo as the action takes it."""
        photo = self.cleaned_data.get("photo")
        return [Given("photo", file=photo.read())] if photo else []

    def told(self, refused: EvidenceRefused) -> None:
        """What is wrong with the photo, beside it."""
        for problem in refused.problems:
            self.add_error("photo" if problem.key == "photo" else None, problem.sentence)

    def mourn_files(self) -> None:
        """Where the form comes back: the photo must be chosen again."""
        if self.files.get("photo") and not self.errors.get("photo"):
            self.add_error("photo", AGAIN)


class WorkForm(RecordForm):
    """An operation that took place, on the legs ticked."""

    revision = forms.IntegerField(widget=forms.HiddenInput, error_messages={"required": "Load the page again."})
    note = forms.CharField(label="Note", required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, legs: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["legs"] = LegsField(legs, "Legs it was done on")


class SplitForm(RecordForm):
    """Legs that become a section of their own."""

    name = forms.CharField(
        label="Name of the new section",
        max_length=60,
        help_text="As the crew calls it: Garage, Porch.",
        error_messages={"required": "Give the new section a name."},
    )

    def __init__(self, *args: Any, legs: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["legs"] = LegsField(legs, "Legs of the new section")
        self.fields["legs"].initial = []


class BracesDownForm(forms.Form):
    """When braces come down, for a look ahead; nothing is kept."""

    MOST = 60
    after = forms.IntegerField(
        label="Braces come down so many days after the pour",
        required=False,
        min_value=0,
        max_value=MOST,
        help_text="Left empty: they stand until the backfill of their wall begins.",
        error_messages={
            "invalid": f"Give whole days from 0 to {MOST}.",
            "min_value": f"Give whole days from 0 to {MOST}.",
            "max_value": f"Give whole days from 0 to {MOST}.",
        },
    )
    after.unit = "days"  # type: ignore[attr-defined]
    after.narrow = True  # type: ignore[attr-defined]
