"""What is typed of a pour. Times are by the clock of the site on the day given; a time more than half a day before the
one that comes before it is of the next day, because pours run past midnight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any, ClassVar
from zoneinfo import ZoneInfo

from django import forms

from inspections.forms import ReadingField
from inspections.pours.checks import WrongSaid
from inspections.pours.kinds import ALIGNMENT, CYLINDER, ESTIMATE, LEVEL, MOMENT, TEMPERATURE, TRUCK, Kind
from inspections.pours.models import CylinderBreak, LevelReading, PourMoment, PourRecord, TemperatureReading, TruckLoad
from jobs.fields import AmountField, out_of_range
from jobs.forms import RecordForm
from takeoff.units import Length, exact_text

HALF_A_DAY = timedelta(hours=12)
_AGAIN = {"required": "Load the page again."}
#: Prefilled with the present minute, kept up to it by the page's script until somebody types.
NOW = {"data-now": "yes"}


def _number(label: str, unit: str, low: float, high: float, required: bool = False, **more: Any) -> AmountField:
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    field = AmountField(label=label, unit=unit, min_value=low, max_value=high, required=required, widget=widget, **more)
    field.error_messages |= {"invalid": "Write a plain number, like 6.5.", "required": "Write a number here."}
    return field


def _inches(label: str, help_text: str = "") -> ReadingField:
    widget = forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"})
    field = ReadingField(unit="in", label=label, required=False, widget=widget, help_text=help_text)
    field.suffix = "in"  # type: ignore[attr-defined]
    return field


def _time(label: str, required: bool = False, help_text: str = "", **attrs: str) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        required=required,
        help_text=help_text,
        widget=forms.TimeInput(attrs={"type": "time", **attrs}, format="%H:%M"),
        error_messages={"invalid": "Write a time like 14:05.", "required": "Write the time here."},
    )


def _day(label: str = "Day") -> forms.DateField:
    field = forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Give a day like 2026-11-03.", "required": "Give the day."},
    )
    field.narrow = True  # type: ignore[attr-defined]
    return field


def _text(label: str, longest: int = 2000, required: bool = False, **more: Any) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": 2}) if longest > 200 else forms.TextInput(attrs={"autocomplete": "off"})
    return forms.CharField(label=label, max_length=longest, required=required, widget=widget, **more)


def at_site(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """A moment by the clock of the site. Raises ValidationError for an hour that is left out when clocks go forward."""
    found = datetime.combine(day, clock, zone)
    if found.astimezone(ZoneInfo("UTC")).astimezone(zone).replace(fold=0) != found:
        raise forms.ValidationError(f"There was no {clock:%H:%M} on that day: clocks went forward.")
    return found


class PourForm(RecordForm):
    """One record of a pour. ``record`` is the one it corrects or goes on from; ``large`` are the fields that are asked
    first, the others are folded away."""

    kind: ClassVar[Kind]
    #: Fields of the record that are typed as times of the day, in the order they come.
    clocks: ClassVar[tuple[str, ...]] = ()
    large: ClassVar[tuple[str, ...]] = ()

    revision = forms.IntegerField(widget=forms.HiddenInput, error_messages=_AGAIN)
    leg = forms.CharField(widget=forms.HiddenInput, max_length=40, error_messages=_AGAIN)
    replaces = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, legs: Sequence[str], zone: ZoneInfo, now: datetime, record: PourRecord | None = None,
        **kwargs: Any,
    ) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        self.legs, self.zone, self.now, self.record = tuple(legs), zone, now, record
        local = now.astimezone(zone)
        self.initial = {"day": local.date(), **self._kept(), **self.initial}
        for name in self.clocks:
            kept = getattr(record, name, None)
            if kept is not None:
                self.initial[name] = kept.astimezone(zone).time()
            elif "data-now" in self.fields[name].widget.attrs:
                self.initial[name] = local.time()

    def _kept(self) -> dict[str, Any]:
        """What the record says, as it would be typed."""
        if self.record is None:
            return {}
        names = {f.name for f in self.record._meta.concrete_fields}
        kept = {name: getattr(self.record, name) for name in self.fields if name in names - set(_HIDDEN)}
        first = next((getattr(self.record, name) for name in self.clocks if getattr(self.record, name)), None)
        return {**kept, "replaces": self.record.pk} | ({"day": first.astimezone(self.zone).date()} if first else {})

    def first(self) -> Iterator[Any]:
        """Bound fields that are asked first."""
        return (self[name] for name in self.large if name in self.fields)

    def folded(self) -> list[Any]:
        """The rest of those that are seen."""
        return [bound for bound in self.visible_fields() if bound.name not in self.large and bound.name != "legs"]

    @property
    def legs_field(self) -> Any:
        """The bound field of legs, None where the pour says them."""
        return self["legs"] if "legs" in self.fields else None

    @property
    def folded_wrong(self) -> bool:
        """Whether something that is folded away has to be put right."""
        return any(bound.errors for bound in self.folded())

    def clean(self) -> dict[str, Any]:
        """Times put on their day, and what cannot be beside its field."""
        cleaned = super().clean() or {}
        self._place_times(cleaned)
        if not self.errors:
            for name, sentence in self.kind.problems(self.said()):
                self.add_error(name if name in self.fields else None, sentence)
        return cleaned

    def _place_times(self, cleaned: dict[str, Any]) -> None:
        before: datetime | None = None
        for name in self.clocks:
            clock, day = cleaned.get(name), cleaned.get("day")
            if clock is None or day is None:
                continue
            try:
                at = at_site(day, clock, self.zone)
                if before is not None and before - at > HALF_A_DAY:
                    at = at_site(day + timedelta(days=1), clock, self.zone)
            except forms.ValidationError as wrong:
                self.add_error(name, wrong)
                continue
            cleaned[name] = before = at

    def said(self) -> dict[str, Any]:
        """The record's own fields, as the action takes them."""
        plain = {"client_id", "device_at", "revision", "leg", "replaces", "day", "legs", "on_leg"}
        return {name: _plain(value) for name, value in self.cleaned_data.items() if name not in plain}

    def chosen(self) -> list[str]:
        """Legs the record is about."""
        return list(self.legs)

    def told(self, refused: WrongSaid) -> None:
        """Each problem beside its field."""
        for name, sentence in refused.problems:
            self.add_error(name if name in self.fields else None, sentence)


def _plain(value: Any) -> Any:
    """A reading is its number; what was typed of it is not kept."""
    return value[0] if isinstance(value, tuple) else value


#: ASTM C94, from memory.
WATER_HELP = "Once, before any is discharged, within what the ticket still allows; none after. Then the slump again."


class TruckForm(PourForm):
    """A truck from its ticket until it is empty: what comes next is large. The button pressed is the decision."""

    kind = TRUCK
    clocks = ("batched", "arrived", "started", "ended")

    ticket = _text("Ticket number", 40, required=True, error_messages={"required": "Write the number on the ticket."})
    yd3 = _number("On the ticket", "yd3", 0.1, 20, required=True)
    batched = _time("Batched", required=True)
    arrived = _time("Arrived")
    started = _time("Placing began")
    ended = _time("Empty")
    concrete_f = _number("Concrete", "°F", 20, 130)
    slump_in = _number("Slump", "in", 0, 12)
    air_percent = _number("Air", "%", 0, 20)
    air_f = _number("Outside air", "°F", -60, 130)
    water_gal = _number("Water added on site", "gal", 0, 200, help_text=WATER_HELP)
    water_by = _text("Who had it added", 120)
    water_allowed_gal = _number("Water the ticket still allows", "gal", 0, 200)
    revolutions = forms.IntegerField(
        label="Turns of the drum when empty",
        required=False,
        min_value=0,
        max_value=5000,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages=out_of_range(0, 5000) | {"invalid": "Write a whole number, like 180."},
    )
    mix = _text("Mix on the ticket", 60)
    day = _day()
    reason = _text("If it is sent back: why")
    note = _text("Note")
    decision = forms.ChoiceField(
        label="Taken?",
        required=False,
        choices=[("", "not decided"), ("accepted", "accepted"), ("rejected", "sent back")],
        error_messages={"invalid_choice": "Accept the truck or send it back."},
    )

    STEPS: ClassVar[dict[str, tuple[str, ...]]] = {
        "arrived": ("ticket", "yd3", "batched", "arrived", "concrete_f", "slump_in"),
        "decide": ("water_gal", "water_by", "slump_in", "started", "reason"),
        "empty": ("ended", "revolutions"),
        "correct": (),
    }

    def __init__(self, *args: Any, record: TruckLoad | None = None, correct: bool = False, **kwargs: Any) -> None:
        self.step = step = "correct" if correct else step_of(record)
        super().__init__(*args, record=record, **kwargs)
        self.large = self.STEPS[step] or tuple(name for name in self.fields if name not in _HIDDEN)  # type: ignore[misc]
        fresh = {"arrived": "arrived", "decide": "started", "empty": "ended"}.get(step)
        if fresh is not None:
            self.fields[fresh].widget.attrs |= NOW
            self.initial[fresh] = self.initial.get(fresh) or self.now.astimezone(self.zone).time()
        if step != "correct":
            self.fields["decision"].widget = forms.HiddenInput()
            self.initial.pop("decision", None)

    def clean(self) -> dict[str, Any]:
        """A truck sent back places nothing, whatever the clock in the form was set to."""
        if self.cleaned_data.get("decision") == TruckLoad.Decision.REJECTED and self.step == "decide":
            self.cleaned_data["started"] = self.cleaned_data["ended"] = None
        self.cleaned_data["water_gal"] = self.cleaned_data.get("water_gal") or 0.0
        return super().clean()


_HIDDEN = ("client_id", "device_at", "revision", "leg", "replaces")


def step_of(load: TruckLoad | None) -> str:
    """What is asked of a truck next."""
    if load is None:
        return "arrived"
    if load.decision == TruckLoad.Decision.OPEN:
        return "decide"
    return "empty" if load.decision == TruckLoad.Decision.ACCEPTED and load.ended is None else "correct"


DOWN_HELP = "Like 4'-2\" or 4-2; a plain number is inches. Where the top of a leg steps, from its highest part."


class LevelForm(PourForm):
    """How far down the concrete stands on one leg, read with a tape. ``next_leg`` is the one read longest ago."""

    kind = LEVEL
    clocks = ("taken",)
    large = ("on_leg", "down_in", "taken", "day")

    on_leg = forms.ChoiceField(label="Leg", error_messages={"invalid_choice": "Leg %(value)s is not in this pour."})
    down_in = _inches("Down from the top of the forms", DOWN_HELP)
    taken = _time("Read at", required=True, **NOW)
    day = _day()
    note = _text("Note")

    def __init__(self, *args: Any, next_leg: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on_leg"].choices = [(leg, f"Leg {leg}") for leg in self.legs]  # type: ignore[attr-defined]
        self.fields["down_in"].required = True
        self.fields["down_in"].error_messages["required"] = "Write how far down the concrete stands."
        self.initial["on_leg"] = next_leg
        if isinstance(self.record, LevelReading):
            self.initial["on_leg"] = self.record.legs[0]
            self.initial["down_in"] = exact_text(Length.from_inches(self.record.down_in))

    def chosen(self) -> list[str]:
        return [self.cleaned_data["on_leg"]]


class TemperatureForm(PourForm):
    """One reading."""

    kind = TEMPERATURE
    clocks = ("taken",)
    large = ("place", "value_f", "taken", "day")

    place = forms.ChoiceField(label="Where", choices=TemperatureReading.Place.choices)
    value_f = _number("Temperature", "°F", -60, 200, required=True)
    taken = _time("Read at", required=True, **NOW)
    day = _day()
    note = _text("Note")


class AlignmentForm(PourForm):
    """How true one leg stands."""

    kind = ALIGNMENT
    clocks = ("taken",)
    large = ("on_leg", "plumb_in", "line_in", "top_in", "taken", "day")

    on_leg = forms.ChoiceField(label="Leg", error_messages={"invalid_choice": "Leg %(value)s is not in this pour."})
    plumb_in = _inches("Out of plumb over the height")
    line_in = _inches("Off its line")
    top_in = _inches("Top over (+) or under (-) its level")
    taken = _time("Read at", required=True, **NOW)
    day = _day()
    note = _text("Note")

    def __init__(self, *args: Any, is_wall: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on_leg"].choices = [(leg, f"Leg {leg}") for leg in self.legs]  # type: ignore[attr-defined]
        if self.record is not None and self.record.legs:
            self.initial["on_leg"] = self.record.legs[0]
        if not is_wall:
            del self.fields["plumb_in"], self.fields["line_in"]

    def chosen(self) -> list[str]:
        return [self.cleaned_data["on_leg"]]


class MomentForm(PourForm):
    """Something done to the fresh wall."""

    kind = MOMENT
    clocks = ("when",)
    large = ("what", "when", "day")

    what = forms.ChoiceField(label="What was done", choices=PourMoment.What.choices)
    when = _time("When", required=True, **NOW)
    day = _day()
    note = _text("Note")


class CylinderForm(PourForm):
    """One cylinder broken."""

    kind = CYLINDER
    large = ("specimen", "psi", "cured", "cast", "broken")

    specimen = _text("Specimen", 40, required=True, error_messages={"required": "Write the mark of the cylinder."})
    psi = _number("Strength", "psi", 10, 20000, required=True)
    cured = forms.ChoiceField(label="Cured", choices=CylinderBreak.Cured.choices)
    note = _text("Note")

    def __init__(self, *args: Any, cast: datetime | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label in (("cast", "Cast"), ("broken", "Broken")):
            self.fields[name] = forms.DateTimeField(
                label=label,
                widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
                error_messages={
                    "invalid": "Give day and time like 2026-11-03T14:05.",
                    "required": "Give day and time.",
                },
            )
            kept = getattr(self.record, name, None)
            self.initial[name] = kept or {"cast": cast, "broken": self.now}[name]


class EstimateForm(PourForm):
    """Somebody stands behind an estimate that was worked out."""

    kind = ESTIMATE
    large = ("reason",)

    reason = _text(
        "Why it can be relied on", required=True, error_messages={"required": "Say why the estimate can be relied on."}
    )


FORMS: dict[str, type[PourForm]] = {
    form.kind.key: form
    for form in (TruckForm, LevelForm, TemperatureForm, AlignmentForm, MomentForm, CylinderForm, EstimateForm)
}
