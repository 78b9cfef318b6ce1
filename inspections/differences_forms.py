"""What may be asked where the job is not as planned: other blocks, a short delivery, a footing off its level, a plan
revised after ordering. Forms of questions: they are asked by GET and write nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms

from jobs.fields import LengthField, out_of_range
from jobs.form_system_forms import InchField
from jobs.forms import whole
from jobs.models import PlanRevision
from jobs.order_changes import buying
from jobs.stages import TITLES
from takeoff.forms import FormSystem
from takeoff.plan import Leg, Plan, Stage
from takeoff.results import OrderLine
from takeoff.tally import inch_text, number
from takeoff.units import ZERO, Length

#: Instead of the key of a system: the planned blocks in another height.
SAME = "same"
#: Nobody counts more pieces than this in one delivery.
MOST = 100_000


class BlocksForm(forms.Form):
    """Which blocks came instead of those planned. ``planned`` is asked where the plan has several systems."""

    planned = forms.ChoiceField(label="Planned")
    came = forms.ChoiceField(
        label="What came",
        error_messages={"required": "Choose what came.", "invalid_choice": "Choose what came from the list."},
    )
    height = InchField(
        label="Face height of what came",
        least=6,
        most=48,
        required=False,
        help_text="Only for the planned blocks in another height; measure one. A bare number is inches.",
    )

    def __init__(self, *args: Any, plan: Plan, others: Sequence[FormSystem], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        used = dict.fromkeys(leg.form for leg in plan.legs())
        self.systems = {form.key: form for form in (*plan.forms, *others)}
        self.fields["planned"].choices = [(key, _system(self.systems[key])) for key in used]  # type: ignore[attr-defined]
        if len(used) == 1:
            self.fields["planned"].widget = forms.HiddenInput()
            self.fields["planned"].initial = next(iter(used))
        self.fields["came"].choices = [  # type: ignore[attr-defined]
            *((key, _system(form)) for key, form in self.systems.items() if len(used) > 1 or key not in used),
            (SAME, "The planned blocks, but of another height"),
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        came, planned = cleaned.get("came"), cleaned.get("planned")
        if came == SAME and cleaned.get("height") is None and "height" not in self.errors:
            self.add_error("height", "Say how high the blocks are that came: measure one, from 6 to 48 in.")
        if came and came == planned:
            self.add_error("came", "That is what is planned; choose what came instead.")
        return cleaned


def _system(form: FormSystem) -> str:
    return f"{form.name}, {inch_text(form.face_height.inch)} high"


# -- a short delivery --------------------------------------------------------------------------------
class ShortForm(forms.Form):
    """How many of each line ordered for a stage came; a line left empty came whole. Blocks are counted in pieces."""

    def __init__(self, *args: Any, lines: Sequence[OrderLine], needed: Mapping[str, int], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = list(lines)
        for place, line in enumerate(self.lines):
            field = forms.IntegerField(
                label=line.label,
                required=False,
                min_value=0,
                max_value=MOST,
                help_text=_of(line, needed.get(line.key)),
                error_messages=out_of_range(0, MOST),
                widget=forms.NumberInput(attrs={"inputmode": "numeric", "min": "0"}),
            )
            self.fields[f"came_{place}"] = field

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and all(cleaned.get(name) is None for name in self.fields):
            self.add_error(None, "Say of at least one item how many came; what is left empty counts as complete.")
        return cleaned

    def came(self) -> Iterator[tuple[OrderLine, int]]:
        """Lines that were counted, and how many came."""
        for place, line in enumerate(self.lines):
            count = self.cleaned_data.get(f"came_{place}")
            if count is not None:
                yield line, count

    @property
    def blocks(self) -> list[forms.BoundField]:
        """Fields of blocks, counted in pieces."""
        return [self[f"came_{k}"] for k, line in enumerate(self.lines) if is_block(line)]

    @property
    def rest(self) -> list[forms.BoundField]:
        """Fields of everything else, counted as it is bought."""
        return [self[f"came_{k}"] for k, line in enumerate(self.lines) if not is_block(line)]

    @property
    def rest_is_asked(self) -> bool:
        """Whether something was typed in the fold of everything else."""
        return any(field.value() not in (None, "") for field in self.rest)


def is_block(line: OrderLine) -> bool:
    """Whether the engine can say how far the crew gets without it."""
    return line.key.startswith("blocks.")


def _of(line: OrderLine, needed: int | None) -> str:
    """'180 by the layout, 192 ordered (16 x bundle of 12)'."""
    if needed is None:
        return f"{buying(line.count, line.buy_unit)} ordered"
    said = buying(line.count, line.buy_unit)
    bundles = f" ({said})" if " x " in said else ""
    return f"{needed:,} by the layout, {number(line.ordered)} ordered{bundles}"


# -- a footing off its level -------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class LegRow:
    """One leg of the form: its fields, its planned level, and whether a level on record fills it in."""

    leg: Leg
    amount: forms.BoundField
    way: forms.BoundField
    is_shot: bool


class FootingForm(forms.Form):
    """How far off which footings were poured; ``shot`` are levels on record less planned ones, by leg."""

    LOW, HIGH = "low", "high"

    def __init__(self, *args: Any, plan: Plan, legs: Sequence[Leg], shot: Mapping[str, Length], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan, self.legs, self.shot = plan, list(legs), shot
        for place, leg in enumerate(self.legs):
            off = shot.get(leg.name)
            amount = LengthField(
                label=f"Leg {leg.name}, off by", bare="in", required=False, initial=abs(off) if off else None
            )
            way = forms.ChoiceField(
                label=f"Leg {leg.name}, which way",
                required=False,
                choices=[(self.LOW, "too low"), (self.HIGH, "too high")],
                initial=self.HIGH if off and off > ZERO else self.LOW,
            )
            self.fields |= {f"off_{place}": amount, f"way_{place}": way}

    def rows(self) -> list[LegRow]:
        """Legs with their fields, in walking order."""
        return [
            LegRow(leg, self[f"off_{k}"], self[f"way_{k}"], leg.name in self.shot) for k, leg in enumerate(self.legs)
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for place, leg in enumerate(self.legs):
            wrong = self._wrong(leg, cleaned.get(f"off_{place}"))
            if wrong:
                self.add_error(f"off_{place}", wrong)
        if not self.errors and not self.low():
            self.add_error(None, "Say of at least one leg how far its footing is off; a bare number is inches.")
        return cleaned

    def _wrong(self, leg: Leg, amount: Length | None) -> str:
        if amount is None:
            return ""
        if amount < ZERO:
            return f"Leg {leg.name}: give the amount without a sign, and choose too low or too high beside it."
        course = self.plan.form(leg.form).face_height
        if amount >= course:
            return (
                f"Leg {leg.name}: {inch_text(amount.inch)} is a whole course of {inch_text(course.inch)} or more; that "
                "is for the engineer and a new revision of the plan."
            )
        return ""

    def low(self) -> dict[str, Length]:
        """Leg -> how much too low, negative too high; legs poured right are not in it."""
        out = {}
        for place, leg in enumerate(self.legs):
            amount = self.cleaned_data.get(f"off_{place}")
            if amount:
                out[leg.name] = -amount if self.cleaned_data.get(f"way_{place}") == self.HIGH else amount
        return out


# -- a plan revised after ordering -------------------------------------------------------------------
class RevisedForm(forms.Form):
    """On which earlier revision things were ordered, and for which stages."""

    ordered = forms.ChoiceField(
        label="Ordered on revision",
        error_messages={
            "required": "Choose the revision the orders were made from.",
            "invalid_choice": "Choose one of the earlier revisions of the list.",
        },
    )
    stages = forms.MultipleChoiceField(
        label="Ordered so far for",
        required=False,
        help_text="None ticked counts as all of them.",
        widget=forms.CheckboxSelectMultiple,
        choices=[(stage.value, title) for stage, title in TITLES.items()],
        initial=[stage.value for stage in Stage],
        error_messages={
            "invalid_choice": "“%(value)s” is not a stage; tick stages of the list.",
        },
    )

    def __init__(self, *args: Any, earlier: Sequence[PlanRevision], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.earlier = {revision.number: revision for revision in earlier}
        self.fields["ordered"].choices = [  # type: ignore[attr-defined]
            (str(each.number), f"{each.letter}, {each.note}" if each.note else each.letter) for each in earlier
        ]

    def older(self) -> PlanRevision:
        """The revision ordered on."""
        return self.earlier[whole(self.cleaned_data["ordered"])]

    def wanted(self) -> tuple[Stage, ...]:
        """Stages something was ordered for, all where none is ticked."""
        ticked = self.cleaned_data["stages"]
        return tuple(stage for stage in Stage if stage.value in ticked) or tuple(Stage)
