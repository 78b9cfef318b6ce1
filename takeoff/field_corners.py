"""Corners made in the field: what it takes to go on when corner units did not come.

Two straight units are cut to the mitre at the corner's own leg lengths, so that the bond of the courses stays, and
strapped with plywood on both faces of both legs. There is no web at the corner: brace both walls close to it, and keep
corner units for the lower courses, where the pressure is. Common practice, no source; ask the form's supplier.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from takeoff.block_orders import SAW_CUT
from takeoff.cutting import first_fit
from takeoff.forms import CornerLegs, FormSystem
from takeoff.tally import number, square_feet
from takeoff.units import ZERO, Length, format_length

#: Plywood straps at one corner of one course: both faces of both legs, each as wide as the course is high.
STRAPS = 4


@dataclass(frozen=True, slots=True)
class FieldCorners:
    """What some field-made corners take: straight units, plywood straps and their area, and the sum written out."""

    count: int
    stock_each: Length  # of straight unit, along the outside
    straight_units: int
    straps: int
    plywood_ft2: float
    basis: str


def field_corners(
    form: FormSystem, legs: CornerLegs, count: int, saw_cut: Length = SAW_CUT, smallest: Length = ZERO
) -> FieldCorners:
    """Straight units and plywood for ``count`` field-made corners with the legs of the unit they replace.

    Long and short legs are packed into whole units, longest first; ``saw_cut`` is lost between two pieces. Raises
    ValueError where a leg is longer than a straight unit or ``count`` is negative: that corner cannot be made so.
    """
    if count < 0:
        raise ValueError(f"{count} corners cannot be missing.")
    if max(legs.long, legs.short) > form.length:
        raise ValueError(
            f"The {_in(legs.long)} leg is longer than a straight unit of {_in(form.length)}: such a corner needs a "
            "joint in its leg; ask the supplier."
        )
    pieces = Counter({legs.long: count}) + Counter({legs.short: count})
    units = first_fit(pieces, form.length, saw_cut, smallest).stock
    straps = STRAPS * count
    area = square_feet(straps * form.face_height.inch**2)
    basis = (
        f"{count} x {_in(legs.long)} + {count} x {_in(legs.short)} out of {units} units of {_in(form.length)}; "
        f"{straps} straps {_in(form.face_height)} x {_in(form.face_height)} = {number(area)} ft2"
    )
    return FieldCorners(count, legs.long + legs.short, units, straps, area, basis)


def _in(length: Length) -> str:
    return format_length(length, "in")
