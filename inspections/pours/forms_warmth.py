"""What is typed of a mix and of a wall's warmth: what is agreed, a logger's file, what keeps the wall warm. And which
form writes which record."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any, Final

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.datastructures import MultiValueDict

from inspections.forms import LegsField
from inspections.pours.checks import CLOCKS_DIFFER
from inspections.pours.curve_text import CurveField
from inspections.pours.forms import FORMS as PLAIN
from inspections.pours.forms import NOW, PourForm, _day, _number, _text, _time
from inspections.pours.kinds import LOGGER, MIX, PROTECTION, clock_words
from inspections.pours.models import TemperatureReading

#: Bytes of a logger's file.
LARGEST: Final = 1_000_000
_Place = TemperatureReading.Place
#: Where a logger of a wall can lie, the usual place first.
PLACES: Final = (_Place.CORE_MIDDLE, _Place.CORE_TOP, _Place.NORTH_CORNER, _Place.FACE, _Place.AIR)
NO_TEXT: Final = "This is no text. Save it from the logger's program as CSV, not as a workbook, and bring that."


#: ASTM C94, as quoted by Concrete Construction: the purchaser may waive the time where no water has to be added.
LONGER_HELP = "More than 90 holds only while no water is added on site."


class MixForm(PourForm):
    """What is agreed before the first truck."""

    kind = MIX
    large = (
        "slump_in", "approved_by", "least_f", "most_f", "limit_min", "mix", "air_percent", "cement_lb", "water_ratio",
        "curve", "protection", "note",
    )  # fmt: skip

    slump_in = _number("Slump", "in", 0, 12, required=True)
    approved_by = _text(
        "Slump approved by", 120, required=True, error_messages={"required": "Say who approved the slump."}
    )
    least_f = _number("Concrete at discharge, at least", "°F", 35, 110, required=True)
    most_f = _number("at most", "°F", 35, 120, required=True)
    limit_min = _number("From batching to empty, at most", "min", 20, 240, required=True, help_text=LONGER_HELP)
    mix = _text("Mix, as the plant names it", 60)
    air_percent = _number("Air", "%", 0, 15)
    cement_lb = _number("Cement and other binder in a yard", "lb", 200, 1200)
    water_ratio = _number("Water by cement", "lb/lb", 0.25, 0.9)
    curve = CurveField(label="Strength by age")
    protection = _text("Protection on site")
    note = _text("Note")

    def __init__(self, *args: Any, every: Sequence[str] = (), is_wall: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not is_wall:
            del self.fields["cement_lb"], self.fields["water_ratio"], self.fields["curve"]
        self.fields["legs"] = LegsField(every or self.legs, "Legs that are filled together")
        self.initial["legs"] = list(self.legs)

    def chosen(self) -> list[str]:
        return list(self.cleaned_data["legs"])


class LoggerForm(PourForm):
    """A file of a logger, brought as a file or as its lines. Where it cannot be read its lines stay in the form, so
    that the wrong one can be mended there."""

    kind = LOGGER
    clocks = ("begun",)
    large = ("place", "file", "text", "name", "day", "begun")

    place = forms.ChoiceField(label="Where it lay", choices=[(p.value, p.label) for p in PLACES])
    file = forms.FileField(
        label="Logger's file",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv,text/plain"}),
        help_text="A head line, then a column of times (date and clock, or hours) and one of temperatures that says "
        "F or C: time,temp (F) or hours,temp (F). At most 1 MB.",
        error_messages={"empty": "The file is empty."},
    )
    text = forms.CharField(
        label="Lines of the file",
        help_text="Pasted here instead of bringing the file.",
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "spellcheck": "false", "autocomplete": "off"}),
    )
    name = _text("What to call it", 120, help_text="Left empty: the name of the file.")
    day = _day("Hour 0 was on")
    begun = _time("Hour 0 was at", help_text="Only where the file counts hours and has no clock times.")
    note = _text("Note")

    def clean(self) -> dict[str, Any]:
        """The lines out of the file, its name, and when it began."""
        file: UploadedFile | None = self.cleaned_data.pop("file", None)
        if file is not None:
            self._bring(file)
        elif not self.cleaned_data.get("text") and not self.errors:
            self.add_error("file", "Choose the logger's file, or paste its lines.")
        self.cleaned_data["name"] = self.cleaned_data.get("name") or "Lines as pasted"
        return super().clean()

    def _bring(self, file: UploadedFile) -> None:
        size = file.size or 0
        if size > LARGEST:
            self.add_error("file", f"The file has {size:,} bytes; at most {LARGEST:,} are taken. {_FEWER}")
            return
        text = decoded(file.read())
        if text is None:
            self.add_error("file", NO_TEXT)
            return
        self.cleaned_data["text"] = text
        self.cleaned_data["name"] = self.cleaned_data.get("name") or str(file.name or "")[:120]
        data = MultiValueDict(self.data)  # a copy: what a request brought cannot be written
        data["text"], data["name"] = text, self.cleaned_data["name"]
        self.data = data

    def _place_times(self, cleaned: dict[str, Any]) -> None:
        """When the file began: by its own clock, or as typed where it counts hours."""
        super()._place_times(cleaned)
        text = cleaned.get("text")
        if not text or self.errors:
            return
        if len(text.encode()) > LARGEST + text.count("\n"):
            self.add_error("text", f"At most {LARGEST:,} bytes are taken. {_FEWER}")
            return
        try:
            self._begin(cleaned, text)
        except UnreadError as wrong:
            self.add_error("text", f"{wrong} The lines are kept here: mend them, or choose the file again.")

    def _begin(self, cleaned: dict[str, Any], text: str) -> None:
        begins, last_h = span_of(text, cleaned.get("begun"), self.now.astimezone(self.zone))
        if begins is None:
            self.add_error("begun", "The times of this file are hours: say when its hour 0 was.")
            return
        cleaned["begun"] = begins
        last = begins + timedelta(hours=last_h)
        if last > self.now + CLOCKS_DIFFER:
            self.add_error(
                "begun",
                f"Its last reading would be of {clock_words(last.astimezone(self.zone))}, which is still to come: look "
                "at when it was started, or at the clock of the logger.",
            )


_FEWER: Final = "One reading in 15 minutes is enough."


class UnreadError(ValueError):
    """A file that cannot be read; its message is the sentence why."""


def span_of(text: str, begun: datetime | None, now: datetime) -> tuple[datetime | None, float]:
    """When a file's readings begin by the clock of the site, None where it counts hours and nothing was typed, and the
    hours until its last. Raises UnreadError."""
    from takeoff.heat.layers import HeatError
    from takeoff.heat.maturity import logger_begins, read_logger

    try:
        begins = logger_begins(text, now) or begun
        found = read_logger(text, begins or now)
    except HeatError as wrong:
        raise UnreadError(str(wrong)) from None
    return begins, float(found.hours[-1])


def decoded(data: bytes) -> str | None:
    """The text of a file, None where it is none."""
    coding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(coding)
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    return None if "\0" in text or data[:2] == b"PK" else text


class ProtectionForm(PourForm):
    """What keeps the wall warm from now on."""

    kind = PROTECTION
    clocks = ("when",)
    large = ("side_r", "top_r", "air_f", "when", "day")

    side_r = _number("Covers on both sides", "R", 0, 60, help_text="R of all layers together, as printed on them.")
    top_r = _number("Covers on the top", "R", 0, 60)
    air_f = _number("Heated air beside it", "°F", 33, 120)
    when = _time("In place since", required=True, **NOW)
    day = _day()
    note = _text("Note")

    def clean(self) -> dict[str, Any]:
        """An R left empty is none."""
        for name in ("side_r", "top_r"):
            self.cleaned_data[name] = self.cleaned_data.get(name) or 0.0
        return super().clean()


FORMS: Final[dict[str, type[PourForm]]] = {
    **PLAIN,
    MIX.key: MixForm,
    LOGGER.key: LoggerForm,
    PROTECTION.key: ProtectionForm,
}
#: Records that only a wall has.
WALLS_ONLY: Final = frozenset({LOGGER.key, PROTECTION.key})
