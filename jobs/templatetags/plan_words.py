"""How the plan's pages write small lengths: ``{% load plan_words %}``."""

from __future__ import annotations

from django import template

from takeoff.closure import said
from takeoff.units import Length

register = template.Library()


@register.filter
def small_length(length: Length) -> str:
    """What closing put on a leg, with its sign: '-0'-0 1/64"'."""
    sign = "−" if length.nm < 0 else "+"
    return f"{sign}{said(length.inch)}"
