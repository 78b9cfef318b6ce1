"""What is printed on a unit in the elevation, short enough to be read on the wall."""

from __future__ import annotations

from takeoff.forms import FormSystem
from takeoff.results import UnitKind
from takeoff.units import Length, format_length

_NAMES = {
    UnitKind.CORNER_RIGHT: "CR",
    UnitKind.CORNER_LEFT: "CL",
    UnitKind.CORNER: "CO",
    UnitKind.CORNER_45_RIGHT: "45R",
    UnitKind.CORNER_45_LEFT: "45L",
    UnitKind.CORNER_45: "45",
}


def mark(
    kind: UnitKind,
    length: Length,
    form: FormSystem,
    sawn: bool = False,
    ripped_to: Length | None = None,
    across: bool = False,
    part_height: bool = False,
    pour_line: Length | None = None,
) -> str:
    """'S48' whole, 'C 31 1/2' cut, 'S48/30' whole with 30 in of it on this leg, 'CR', 'CL', 'CO' square corners, '45R',
    '45L', '45' angled ones, 'M 30' mitred; 'H48' and 'H 31 1/2' of units made lower. After it 'R 12' where it is ripped
    to 12 in, 'L 4' where the concrete stops 4 in up in it."""
    if kind is UnitKind.STRAIGHT:
        text = _straight(length, form.length, across, part_height)
    elif kind is UnitKind.MITRE:
        text = f"M {_in(length)}"
    else:
        text = _NAMES[kind] + (f" cut {_in(length)}" if sawn else "")
    if ripped_to is not None:
        text += f" R {_in(ripped_to)}"
    return text + (f" L {_in(pour_line)}" if pour_line is not None else "")


def _straight(length: Length, full: Length, across: bool, part_height: bool) -> str:
    if length == full:
        return f"{'H' if part_height else 'S'}{_in(full)}"
    if across:
        return f"{'H' if part_height else 'S'}{_in(full)}/{_in(length)}"
    return f"{'H' if part_height else 'C'} {_in(length)}"


def ledge_mark(straight: str) -> str:
    """The mark of a unit that carries a brick ledge: 'B48' for 'S48', 'B 31' for 'C 31'."""
    return "B" + straight[1:]


def _in(length: Length) -> str:
    return format_length(length, "in").rstrip('"')
