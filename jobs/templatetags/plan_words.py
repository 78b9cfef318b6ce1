"""How the plan's pages write small lengths: ``{% load plan_words %}``."""

from __future__ import annotations

from django import template

from takeoff.closure import LEAST_SAID_IN, said
from takeoff.units import Length

register = template.Library()


@register.filter
def small_length(length: Length) -> str:
    """What closing put on a leg, with its sign: '-0'-0 1/64"'; of too little to be said, 'longer' or 'shorter'."""
    if 0 < abs(length.inch) < LEAST_SAID_IN:
        return f"{said(length.inch)} {'shorter' if length.nm < 0 else 'longer'}"
    sign = "−" if length.nm < 0 else "+"
    return f"{sign}{said(length.inch)}"
