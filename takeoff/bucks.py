"""Bucks: the frames that form openings, board by board; how large one is: :mod:`takeoff.openings_forms`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from takeoff.geometry import LegGeometry, Placement
from takeoff.openings_forms import formed_openings
from takeoff.plan import Opening, OpeningKind, Plan, Stage, Stretch
from takeoff.results import Buy, Quantity, Unit
from takeoff.sources import COMMON_PRACTICE
from takeoff.tally import Tally, feet_inches, number
from takeoff.units import Length, format_length

#: Braces inside a buck stand this far apart or closer, across and upright. Common practice, no source.
BUCK_BRACES = Length.inches(24)


@dataclass(frozen=True, slots=True)
class Buck:
    """Boards of one buck, each a count and a length: jambs and head as wide as the wall is thick, the sill in two
    strips, and the braces inside it."""

    jambs: tuple[int, Length]
    head: tuple[int, Length]
    sill: tuple[int, Length]
    across: tuple[int, Length]
    upright: tuple[int, Length]

    @property
    def frame(self) -> Length:
        """Boards as wide as the wall."""
        return sum_of(self.jambs, self.head)

    @property
    def braces(self) -> Length:
        """Braces inside it, both ways."""
        return sum_of(self.across, self.upright)


@dataclass(frozen=True, slots=True)
class PlacedBuck:
    """The buck of one opening: the wall it is set in first, the hole as formed, its height below the wall's top, and
    the width of its boards."""

    leg: str
    section: str
    stage: Stage
    opening: Opening
    height: Length
    thick: Length
    buck: Buck


def sum_of(*boards: tuple[int, Length]) -> Length:
    """Length of all boards together."""
    return Length(sum(count * length.nm for count, length in boards))


def buck_of(formed: Opening, top: Length) -> Buck:
    """The boards of a buck for a hole as formed in a wall whose top is at a level.

    Two jambs over the whole height; a head across, none where the opening is open at the top; a window's sill in two
    strips across. Braces inside: as many as leave no more than 24 in between boards, each way. Common practice.
    """
    height = min(formed.head, top) - formed.sill
    closed, window = formed.head < top, formed.kind is OpeningKind.WINDOW
    return Buck(
        jambs=(2, height),
        head=(1 if closed else 0, formed.width),
        sill=(2 if window else 0, formed.width),
        across=(_between(height), formed.width),
        upright=(_between(formed.width), height),
    )


def _between(clear: Length) -> int:
    """Braces that divide a clear distance into parts of 24 in or less: ceil(distance / 24 in) - 1."""
    return max(0, -(-clear.nm // BUCK_BRACES.nm) - 1)


def bucks(plan: Plan, placement: Placement) -> tuple[Quantity, ...]:
    """Bucks and their lumber by section and stage: frame boards, sill strips and braces, in feet before cutting."""
    rows = (
        ("bucks.count", "Bucks for openings", Unit.EACH, None),
        ("bucks.frame", "Buck jambs and heads, as wide as the wall", Unit.FT, Buy("ft", 1.0, 0.1)),
        ("bucks.sill", "Buck sills, two strips left open between", Unit.FT, Buy("ft", 1.0, 0.1)),
        ("bucks.braces", 'Braces inside bucks, 24" apart each way', Unit.FT, Buy("ft", 1.0, 0.1)),
    )
    count, frame, sill, braces = (
        Tally(key, label, unit, "openings", COMMON_PRACTICE, buy) for key, label, unit, buy in rows
    )
    for placed in placed_bucks(plan, placement):
        buck, name, own = placed.buck, placed.opening.name, (placed.section, placed.stage, placed.leg)
        count.add(*own, 1, f"{name}, formed {placed.opening.width} x {placed.height}")
        boards = f"{name} {_boards(buck.jambs, buck.head)}, {format_length(placed.thick, 'in')} wide"
        frame.add(*own, buck.frame.foot, boards)
        sill.add(*own, sum_of(buck.sill).foot, f"{name} {_boards(buck.sill)}")
        braces.add(*own, buck.braces.foot, f"{name} {_boards(buck.across, buck.upright)}")
    return tuple(q for tally in (count, frame, sill, braces) for q in tally.quantities())


def placed_bucks(plan: Plan, placement: Placement) -> Iterator[PlacedBuck]:
    """The buck of every opening that a wall stands around, in walking order."""
    for name, geometry in placement.legs.items():
        thick = plan.form(geometry.leg.form).thickness(geometry.leg.core)
        for formed in formed_openings(plan, geometry.leg):
            found = _where(geometry, formed)
            if found is not None:
                top = found.levels.top
                stage, height = _stage(found, formed), min(formed.head, top) - formed.sill
                buck = buck_of(formed, top)
                yield PlacedBuck(name, geometry.leg.section, stage, formed, height, thick, buck)


def _boards(*boards: tuple[int, Length]) -> str:
    return " + ".join(f"{number(n)} x {feet_inches(length.inch)}" for n, length in boards if n)


def _where(geometry: LegGeometry, formed: Opening) -> Stretch | None:
    """The stretch an opening's middle lies in, None where no wall stands there at that height."""
    low, high = geometry.opening_span(formed)
    middle = low + (high - low).half()
    for stretch in geometry.outside_stretches():
        if stretch.start <= middle <= stretch.end:
            return stretch if formed.sill < stretch.levels.top and formed.head > stretch.levels.footing_top else None
    return None


def _stage(stretch: Stretch, formed: Opening) -> Stage:
    """The wall a buck is set in first: the frost wall where the opening reaches into it."""
    frost = stretch.levels.frost_top
    return Stage.FROST_WALL if frost is not None and formed.sill < frost else Stage.FULL_WALL
