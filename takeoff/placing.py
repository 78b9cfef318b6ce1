"""Where a bar lies in the concrete and how far it may be off: what the crew sheet says beside each bar.

Covers and tolerances of IRC 2021 R404.1.3.3.7.2 and R404.1.3.3.7.4 (the same in R608.5.4.1), read in a public copy of
the code.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from takeoff.lintel_tables import COVER as LINTEL_COVER
from takeoff.lintel_tables import FIGURE as LINTEL_FIGURE
from takeoff.plan import Plan
from takeoff.results import Bar, BarRole
from takeoff.site import BarPlace
from takeoff.sources import Source
from takeoff.units import Length, format_length

PLACE: Final = Source("IRC", "2021", "R404.1.3.3.7.2 location of reinforcement in the wall")
COVER: Final = Source("IRC", "2021", "R404.1.3.3.7.4 support and cover")
INSIDE: Final = Source("IRC", "2021", "Table R404.1.2(8), notes on cover")
BESIDE: Final = Source("IRC", "2021", "R608.8.1.2 vertical reinforcement at openings")

TO_EARTH: Final = Length.inches(3)
IN_FORM: Final = Length.inches("0.75")

#: Covers of table (8) to the outside face: #5 and smaller, and larger bars.
OUTSIDE_SMALL, OUTSIDE_LARGE = Length.inches("1.5"), Length.inches(2)
LARGEST_SMALL: Final = 5

#: Place of upright bars: the greater of a tenth of the wall and 3/8 in.
PLACE_SHARE: Final = 10
PLACE_LEAST: Final = Length.inches("0.375")

#: Cover may be short by the smaller of a third of it and 3/8 in.
COVER_SHARE: Final = 3
COVER_MOST: Final = Length.inches("0.375")

EIGHTH: Final = Length.inches("0.125")

#: Upright bars at an opening stand within this of its edge.
OPENING_WITHIN: Final = Length.inches(12)

IN_FOOTING: Final = (BarRole.FOOTING, BarRole.FOOTING_CORNER, BarRole.PAD)
UPRIGHT: Final = (BarRole.VERTICAL, BarRole.PROJECTING)


@dataclass(frozen=True, slots=True)
class Placing:
    """Cover and tolerance of a bar in words, and where they come from."""

    cover: str
    tolerance: str
    source: Source


def place_tolerance(core: Length) -> Length:
    """How far the middle of an upright bar may be from its place across the wall: the greater of 10% of the thickness
    and 3/8 in."""
    return max(Length(core.nm // PLACE_SHARE), PLACE_LEAST)


def cover_tolerance(cover: Length) -> Length:
    """How much less than asked a cover may be: the smaller of a third of it and 3/8 in."""
    return min(Length(cover.nm // COVER_SHARE), COVER_MOST)


def placing_of(bar: Bar, plan: Plan, core: Length) -> Placing:
    """What to say beside a bar in a wall of this core."""
    if bar.role in IN_FOOTING:
        return _covered(max(TO_EARTH, plan.spec.footing.cover), "to the earth below and beside")
    if bar.role is BarRole.DOWEL:
        across = _across(plan, core, bar.size)
        foot = _in(max(TO_EARTH, plan.spec.footing.cover))
        return Placing(f"{foot} to the earth below; {across.cover}", across.tolerance, PLACE)
    if bar.role in UPRIGHT:
        return _across(plan, core, bar.size)
    if bar.role is BarRole.OPENING and _stands(bar):
        across = _across(plan, core, bar.size)
        return Placing(f"within {_in(OPENING_WITHIN)} of the opening's edge; {across.cover}", across.tolerance, BESIDE)
    if bar.role is BarRole.LINTEL:
        words = f"{_in(LINTEL_COVER)} above the opening and below the lintel's top; {_in(IN_FORM)} to the foam"
        return Placing(words, _short(LINTEL_COVER), LINTEL_FIGURE)
    return _covered(IN_FORM, "to the foam")


def _across(plan: Plan, core: Length, size: int) -> Placing:
    """Place of an upright bar across the wall, by what the specification says."""
    off = f"± {_in(_eighths(place_tolerance(core)))} across the wall"
    bars = plan.spec.bars
    if bars.vertical_place is BarPlace.CENTRE:
        return Placing(f"middle of the bar {_in(core.half())} from each face of the concrete", off, PLACE)
    outside = OUTSIDE_SMALL if size <= LARGEST_SMALL else OUTSIDE_LARGE
    words = f"{_in(bars.inside_cover)} from the inside face of the concrete; {_in(outside)} or more from the outside"
    return Placing(words, off, INSIDE)


def _eighths(length: Length) -> Length:
    """A tolerance as a tape shows it: the eighth of an inch below."""
    return Length(length.nm // EIGHTH.nm * EIGHTH.nm)


def _covered(cover: Length, where: str) -> Placing:
    return Placing(f"{_in(cover)} {where}", _short(cover), COVER)


def _short(cover: Length) -> str:
    return f"no more than {_in(cover_tolerance(cover))} less"


def _stands(bar: Bar) -> bool:
    """True for a bar drawn upright."""
    return any(x0 == x1 for x0, _, x1, _ in bar.places)


def _in(length: Length) -> str:
    return format_length(length, "in")
