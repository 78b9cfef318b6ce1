"""What every page needs: the navigation, and how lengths, amounts and states are written.

``{% load page %}``. The filters take engine objects and frozen (stored) ones alike.
"""

from __future__ import annotations

import math
import re
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from django import template
from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

from jobs.models import FirmMember, HouseMember, Role
from takeoff.units import Length, format_length

register = template.Library()


# -- times ------------------------------------------------------------------------------------------
@register.filter(expects_localtime=True)
def clock(at: datetime) -> str:
    """'2:05 pm', by the clock of the page."""
    return f"{at:%I:%M}".lstrip("0") + (" am" if at.hour < 12 else " pm")


@register.filter
def plain(number: float) -> str:
    """As somebody would write it, to a hundredth: '9', '8.5', '4.25'."""
    return f"{round(number, 2):g}"


@register.filter
def minutes_left(minutes: float | None) -> str:
    """'12 min', or '3 min over' once they are gone; the script of the page of a pour goes on in the same words."""
    whole = round(minutes or 0)
    return f"{whole} min" if whole >= 0 else f"{-whole} min over"


# -- navigation ------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class NavItem:
    """One place in the navigation; ``current`` is the page the person is on, or a page below it."""

    label: str
    url: str
    current: bool


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a label leads, and which people it is for."""

    label: str
    address: str  # name of the address
    roles: frozenset[Role]  # besides the firm's own people, who go everywhere
    below: str = ""  # pages under this path belong to it too


_ON_SITE: Final = frozenset({Role.FIELD_LEAD})
_ALL: Final = frozenset(Role)
_PLACES: Final = (
    _Place("Houses", "inspections:board", _ALL, below="/houses/"),
    _Place("Today", "inspections:today", _ON_SITE),
    _Place("Asked of me", "inspections:asked", _ALL),
    _Place("Form systems", "jobs:form_systems", frozenset()),
    _Place("Firm", "jobs:firm", frozenset()),
    _Place("Account", "password_change", _ALL, below="/account/"),
)


@register.simple_tag(takes_context=True)
def nav_items(context: template.Context) -> list[NavItem]:
    """The places this person can go to: none before logging in, always the account after it.

    Two queries, whatever the number of houses. A place whose address is not wired is left out.
    """
    request: HttpRequest | None = context.get("request")
    if request is None or not getattr(request, "user", None) or not request.user.is_authenticated:
        return []
    is_builder = FirmMember.objects.filter(person=request.user, ended_at=None).exists()
    memberships = HouseMember.objects.filter(person=request.user, ended_at=None)
    roles = {Role(role) for role in memberships.values_list("role", flat=True).distinct()}
    return list(_items(request.path, is_builder, roles))


def _items(path: str, is_builder: bool, roles: set[Role]) -> Iterator[NavItem]:
    for place in _PLACES:
        if not (is_builder or roles & place.roles or place.label == "Account"):
            continue
        try:
            url = reverse(place.address)
        except NoReverseMatch:
            continue
        under = bool(place.below) and path.startswith(place.below)
        yield NavItem(place.label, url, current=under or path.startswith(url))


# -- lengths and amounts ---------------------------------------------------------------------------
#: Decimals shown of an amount in a unit; what is bought is rounded elsewhere, once.
DECIMALS: Final[dict[str, int]] = {"yd3": 2, "ft": 1, "ft2": 0, "lb": 0, "gal": 1, "in": 2, "each": 0}
#: Units that a person writes otherwise than the engine does.
_SIGNS: Final[dict[str, str]] = {"F": "°F"}

_POWERS: Final = re.compile(r"\b(in|ft|yd|mm|cm|m)([23])\b")


@register.filter
def feet_inches(length: Length | None, style: str = "ft-in") -> str:
    """A length as said on site, to the nearest 1/16 in: ``28'-4 1/2"``. ``style`` may be 'in', 'mm' or 'm'."""
    if not isinstance(length, Length):
        return ""
    return format_length(length, style)  # type: ignore[arg-type]


@register.filter
def quantity(value: Any, unit: str = "") -> str:
    """An amount with its unit: ``41.25 yd³``, ``163.4 ft``, ``1,240 ft²``, ``36``.

    ``value`` is a number with ``unit`` given, or anything that has ``amount`` and ``unit`` (a Quantity, an order
    line, a stored quantity). A count that is not whole shows one decimal, so that nothing is hidden. An amount too
    small for its decimals is written 'under 0.01 yd³', never as zero.
    """
    if not unit:
        value, unit = _read(value, "amount"), _read(value, "unit")
    if value is None or value == "":
        return ""
    amount, unit = float(value), str(unit)
    if not math.isfinite(amount):
        return ""
    decimals = DECIMALS.get(unit, 2)
    if unit == "each" and not amount.is_integer():
        decimals = 1
    word = "" if unit == "each" else f" {_SIGNS.get(unit) or typeset(unit)}"
    smallest = 10.0**-decimals
    if 0 < abs(amount) < smallest / 2:
        return f"under {smallest:.{decimals}f}{word}"
    figure = f"{amount:,.{decimals}f}"
    return (figure.rstrip("0").rstrip(".") if unit == "in" else figure) + word


def _read(value: Any, name: str) -> Any:
    return value.get(name) if isinstance(value, Mapping) else getattr(value, name, None)


@register.filter
def typeset(text: Any) -> str:
    """Engine text with raised figures: ``3.1 yd3`` becomes ``3.1 yd³``. For bases, criteria and units."""
    return _POWERS.sub(lambda m: m[1] + ("²" if m[2] == "2" else "³"), str(text or ""))


# -- states ----------------------------------------------------------------------------------------
#: States of a part of the work, in the order in which they come.
STATES: Final = ("planned", "ready", "held", "presented", "rejected", "released", "buried")


@register.filter
def state_word(state: Any) -> str:
    """The word for a state, as shown: ``Held``. Takes the state or its name."""
    word = str(getattr(state, "value", state) or "").replace("_", " ")
    return word[:1].upper() + word[1:]


@register.filter
def state_key(state: Any) -> str:
    """The state's name, for choosing its swatch: ``held``; an unknown one counts as planned."""
    key = str(getattr(state, "value", state) or "")
    return key if key in STATES else "planned"


@register.simple_tag
def new_client_id() -> str:
    """A fresh id for a record about to be made; the page keeps it, so that sending twice counts once."""
    return str(uuid.uuid4())


# -- forms -----------------------------------------------------------------------------------------
@register.filter
def first_input(field: Any) -> str:
    """Id of the input a link from the error summary should lead to (the first of a group of choices)."""
    return f"{field.auto_id}_0" if field.use_fieldset else str(field.auto_id)


@register.filter
def about(sentence: str, label: str) -> str:
    """A sentence that stands away from its field, with the field's label before it unless it names it itself."""
    return sentence if str(label) in sentence else f"{label}: {sentence}"


@register.filter
def input_kind(field: Any) -> str:
    """What kind of input a form field is: 'checkbox', 'file', 'select', 'textarea' or its input type."""
    widget = field.field.widget
    kinds = {"checkboxinput": "checkbox", "fileinput": "file", "clearablefileinput": "file"}
    name = type(widget).__name__.lower()
    return kinds.get(name) or str(getattr(widget, "input_type", "textarea"))
