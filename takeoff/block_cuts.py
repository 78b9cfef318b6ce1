"""The saw's list: which pieces of form units are cut, where each goes, and which pieces come out of the same unit.

The same cuts that are ordered (:mod:`takeoff.block_orders`), so that an offcut is not thrown away that another course
was counted on to use.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from takeoff.block_orders import SAW_CUT, Pool, tallies_of
from takeoff.blocks import across_joints, mitre_extras
from takeoff.corners import find_joints
from takeoff.cutting import Pattern, fewest
from takeoff.geometry import Placement
from takeoff.ledges import ledge_places
from takeoff.leg_layout import legs_to_lay, minimum_piece
from takeoff.plan import Plan, Stage
from takeoff.results import PlacedUnit
from takeoff.units import Length


@dataclass(frozen=True, slots=True)
class Piece:
    """Cut pieces of one length; ``where`` gives leg, course and how many there, as laid."""

    length: Length
    count: int
    where: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class BlockCuts:
    """Cut pieces of one height for the legs of one section, stage, form system and core, and the units they come from.

    ``height`` is the course they stand in as ripped, ``full`` that of the unit; ``said`` how good the plan is.
    """

    section: str
    stage: Stage
    form: str
    core: Length
    height: Length
    full: Length
    pieces: tuple[Piece, ...]
    patterns: tuple[Pattern, ...]
    said: str

    @property
    def count(self) -> int:
        """Pieces of all lengths."""
        return sum(piece.count for piece in self.pieces)

    @property
    def units(self) -> int:
        """Units they are cut from."""
        return sum(pattern.count for pattern in self.patterns)

    @property
    def reused(self) -> int:
        """Pieces that come out of what another left over: all but one of each unit."""
        return self.count - self.units


def block_cuts(plan: Plan, placement: Placement, units: tuple[PlacedUnit, ...]) -> tuple[BlockCuts, ...]:
    """Cut lists of a layout, section by section and stage by stage, full courses before ripped ones."""
    legs = legs_to_lay(plan, placement)
    joints, _ = find_joints(plan, placement, {name: leg.grid for name, leg in legs.items()})
    extras, across = mitre_extras(legs, joints), across_joints(legs, joints)
    tallies = tallies_of(plan, units, extras, across, ledge_places(plan, placement))
    out: list[BlockCuts] = []
    for (section, stage, key, core), tally in tallies.items():
        form = plan.form(key)
        smallest = minimum_piece(form, plan.spec.layout)
        for pool, full in ((tally.straight, form.face_height), (tally.low, form.half_height)):
            for height, pieces, where in _by_height(pool):
                cuts = fewest(pieces, form.length, SAW_CUT, smallest)
                row = (section, stage, form.name, core, height, full or height, where, cuts.patterns, cuts.said())
                out.append(BlockCuts(*row))
    return tuple(out)


def _by_height(pool: Pool) -> Iterator[tuple[Length, dict[Length, int], tuple[Piece, ...]]]:
    for height in sorted(pool.cut, reverse=True):
        cut = pool.cut[height]
        found = tuple(
            Piece(length, count, _where(pool.where[height, length]))
            for length, count in sorted(cut.items(), reverse=True)
        )
        yield height, dict(cut), found


def _where(places: list[tuple[str, int]]) -> tuple[tuple[str, int, int], ...]:
    """Leg, course and how many there."""
    return tuple((leg, course, places.count((leg, course))) for leg, course in dict.fromkeys(places))
