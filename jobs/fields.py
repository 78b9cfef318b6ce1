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


class LengthField(forms.CharField):
    """Feet-inch text in, a Length out; the error quotes what was typed and says what is accepted.

    A stored length is shown as text that reads back to the same nanometre, so that saving again changes nothing.
    """

    def __init__(self, *, bare: BareUnit = "in", **kwargs: Any) -> None:
        self.bare: BareUnit = bare
        super().__init__(max_length=40, **kwargs)

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if text is None or text in self.empty_values:
            return None
        try:
            return parse_length(text, self.bare)
        except LengthError as error:
            raise forms.ValidationError(str(error)) from None

    def prepare_value(self, value: Any) -> Any:
        return exact_text(value) if isinstance(value, Length) else value
