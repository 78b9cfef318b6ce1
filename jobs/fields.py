"""Exact lengths in the database and in forms."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import models

from takeoff.units import BareUnit, Length, LengthError, exact_text, parse_length


class LengthModelField(models.BigIntegerField):
    """A :class:`takeoff.units.Length` kept as whole nanometres."""

    def from_db_value(self, value: int | None, *_: object) -> Length | None:
        return None if value is None else Length(value)

    def to_python(self, value: Any) -> Length | None:
        if value is None or isinstance(value, Length):
            return value
        return Length(int(value))

    def get_prep_value(self, value: Any) -> int | None:
        if value is None:
            return None
        return value.nm if isinstance(value, Length) else int(value)


class LengthField(forms.Field):
    """Feet-inch text in, a Length out; the error quotes what was typed and says what is accepted.

    A bare number is read in ``bare``, the unit the field's label or help names. A stored length is shown as text that
    reads back to the same nanometre, so that saving again changes nothing.
    """

    LONGEST_TEXT = 40

    def __init__(self, *, bare: BareUnit = "in", **kwargs: Any) -> None:
        self.bare: BareUnit = bare
        super().__init__(**kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"maxlength": str(self.LONGEST_TEXT), "autocomplete": "off", "spellcheck": "false"}

    def to_python(self, value: Any) -> Any:
        if isinstance(value, Length) or value is None:
            return value
        text = str(value).strip().replace("\0", "")
        if not text:
            return None
        if len(text) > self.LONGEST_TEXT:
            raise forms.ValidationError(f"“{text[:20]}…” is too long for a length; write it like 28-4 1/2 or 8.65 m.")
        try:
            return parse_length(text, self.bare)
        except LengthError as error:
            raise forms.ValidationError(str(error)) from None

    def prepare_value(self, value: Any) -> Any:
        return exact_text(value) if isinstance(value, Length) else value


def out_of_range(least: float, most: float, unit: str = "") -> dict[str, str]:
    """What a number field says: what is wrong, and what is accepted."""
    accepted = f"give a number from {least:,} to {most:,} {unit}".strip()
    return {
        "invalid": f"That is not a number; {accepted}.",
        "min_value": f"That is too small; {accepted}.",
        "max_value": f"That is too large; {accepted}.",
    }


class AmountField(forms.FloatField):
    """A number with the unit its input shows; written without a point where it is whole."""

    def __init__(self, *, unit: str, min_value: float, max_value: float, **kwargs: Any) -> None:
        said = out_of_range(min_value, max_value, unit)
        super().__init__(min_value=min_value, max_value=max_value, error_messages=said, **kwargs)
        self.unit = unit

    def prepare_value(self, value: Any) -> Any:
        return int(value) if isinstance(value, float) and value.is_integer() else value
