"""When a wall carries earth, and how it is held: each stretch of each leg in each state it goes through."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from takeoff.bands import has_ground_outside
from takeoff.geometry import LegGeometry, Placement
from takeoff.plan import Leg, Levels, Plan, Section, Stage, Stretch, stretches
from takeoff.results import WallState
from takeoff.site import TopHeld
from takeoff.stages import stages_of
from takeoff.strength.strip import EarthLoad
from takeoff.unbalanced import (
    frost_fill_inside,
    frost_fill_outside,
    inside_after_slab,
    inside_before_slab,
)
from takeoff.units import ZERO, Length

STATE_WORDS: Final = {
    WallState.FROST_FILL: "while both sides of the frost wall are filled",
    WallState.FROST_ONE_SIDE: "braced while one side of the frost wall is filled first",
    WallState.BEFORE_SLAB: "filled before the slab is placed",
    WallState.FINISHED: "in the finished house",
}

#: What holds the top, in words.
TOP_WORDS: Final = {
    TopHeld.FLOOR: "top held by the floor",
    TopHeld.BRACED: "top held by braces",
    TopHeld.NOT_HELD: "top not held",
}


@dataclass(frozen=True, slots=True)
class Situation:
    """A stretch of wall in one state.

    ``foot`` the level of its foot; ``height`` from what holds its foot to what holds its top, or to its free top;
    ``fill`` unbalanced, ``balanced`` earth inside above the foot. ``on_footing``: dowels hold its foot. ``refused``
    says why the earth stands as no strip can carry it. ``from_inside``: the earth presses from the inside.
    """

    leg: Leg
    start: Length
    end: Length
    stage: Stage
    state: WallState
    foot: Length
    height: Length
    fill: Length
    balanced: Length
    held: bool
    on_footing: bool
    words: str
    refused: str = ""
    from_inside: bool = False

    @property
    def outside_pulled(self) -> bool:
        """Which face is pulled: away from the earth between foot and held top, towards it at the foot of a free one."""
        return self.held is self.from_inside

    def load(self, pressure_psf_per_ft: float) -> EarthLoad:
        """The earth on a strip of it."""
        return EarthLoad(self.height.foot, self.fill.foot, pressure_psf_per_ft, self.balanced.foot)


def situations(plan: Plan, placement: Placement) -> tuple[Situation, ...]:
    """Every stretch of every placed leg in every state in which earth presses on it, in walking order."""
    out: list[Situation] = []
    for geometry in placement.legs.values():
        section = plan.section(geometry.leg.section)
        stages = stages_of(plan, placement, geometry.leg)
        for stretch in stretches(geometry.leg, geometry.dimension_length):
            if stretch.end <= stretch.start:
                continue
            if Stage.FROST_BACKFILL in stages:
                out += _frost(plan, placement, geometry, stretch, section)
            if Stage.FINAL_BACKFILL in stages:
                out += _full(plan, geometry.leg, stretch, section)
    return tuple(out)


def _frost(
    plan: Plan, placement: Placement, geometry: LegGeometry, stretch: Stretch, section: Section
) -> list[Situation]:
    """A frost wall while it is filled: what one side may be ahead of the other, or differ in the end; free at its
    top."""
    levels = stretch.levels
    if levels.frost_top is None or levels.frost_top <= levels.footing_top:
        return []
    inside = frost_fill_inside(levels, section)
    outside = frost_fill_outside(levels) if has_ground_outside(placement, geometry) else inside
    fill = frost_step(levels.footing_top, outside, inside, plan.spec.earth.balance_within)
    higher = max(outside, inside, levels.footing_top + fill)
    words = (
        f"fills end at {outside} outside and {inside} inside, raised within {plan.spec.earth.balance_within}: "
        f"unbalanced {fill}; frost wall {levels.frost_top - levels.footing_top} high, its top free"
    )
    return [
        Situation(
            geometry.leg, stretch.start, stretch.end, Stage.FROST_BACKFILL, WallState.FROST_FILL,
            levels.footing_top, levels.frost_top - levels.footing_top, fill, higher - fill - levels.footing_top,
            False, True, words,
        )
    ]  # fmt: skip


def one_sided(plan: Plan, placement: Placement) -> tuple[Situation, ...]:
    """Every stretch of every frost wall with one side filled alone, outside or inside, and braces that hold its top.
    Asked of strength only: a plan does not say that a wall will be filled so, who fills it does."""
    out: list[Situation] = []
    for geometry in placement.legs.values():
        if Stage.FROST_BACKFILL not in stages_of(plan, placement, geometry.leg):
            continue
        section = plan.section(geometry.leg.section)
        for stretch in stretches(geometry.leg, geometry.dimension_length):
            if stretch.end > stretch.start:
                out += _alone(placement, geometry, stretch, section)
    return tuple(out)


def _alone(placement: Placement, geometry: LegGeometry, stretch: Stretch, section: Section) -> list[Situation]:
    """The two ways to fill one side alone, nothing on the other; without a side that has earth none."""
    levels = stretch.levels
    foot, top = levels.footing_top, levels.frost_top
    if top is None or top <= foot:
        return []
    inside = frost_fill_inside(levels, section)
    outside = frost_fill_outside(levels) if has_ground_outside(placement, geometry) else inside
    return [
        Situation(
            geometry.leg, stretch.start, stretch.end, Stage.FROST_BACKFILL, WallState.FROST_ONE_SIDE, foot, top - foot,
            ground - foot, ZERO, True, True,
            f"filled {side} alone to {ground}: unbalanced {ground - foot}; footing holds its foot at {foot}, braces "
            f"hold its top at {top}",
            from_inside=side == "inside",
        )
        for side, ground in (("outside", outside), ("inside", inside))
        if ground > foot
    ]  # fmt: skip


def frost_step(footing_top: Length, outside: Length, inside: Length, within: Length) -> Length:
    """Unbalanced fill of a frost wall filled on both sides together: the step allowed between the sides or their
    difference in the end, never more than one side filled alone."""
    alone = max(outside - footing_top, inside - footing_top, ZERO)
    return min(alone, max(within, abs(outside - inside)))


def _full(plan: Plan, leg: Leg, stretch: Stretch, section: Section) -> list[Situation]:
    """A full-height wall before its slab and after it."""
    levels = stretch.levels
    if levels.wall_top is None:
        return []
    on_frost = levels.frost_top is not None and levels.frost_top > levels.footing_top
    bed = inside_before_slab(levels, section)
    floor = inside_after_slab(levels, section)
    top_held = plan.spec.bars.top_held
    foot = bed if on_frost else levels.footing_top
    under = "filled frost wall holds its foot at" if on_frost else "footing holds its foot at"
    before = f"{under} {foot}, {TOP_WORDS[top_held]} at {levels.wall_top}"
    held = top_held is not TopHeld.NOT_HELD
    out = _wall(leg, stretch, levels, WallState.BEFORE_SLAB, foot, bed, held, not on_frost, before)
    if section.slab_top is not None:
        words = f"slab holds its foot at {floor}, floor holds its top at {levels.wall_top}"
        out += _wall(leg, stretch, levels, WallState.FINISHED, floor, floor, True, False, words)
    else:
        words = f"{under} {foot}, floor holds its top at {levels.wall_top}"
        out += _wall(leg, stretch, levels, WallState.FINISHED, foot, bed, True, not on_frost, words)
    return out


def _wall(
    leg: Leg,
    stretch: Stretch,
    levels: Levels,
    state: WallState,
    foot: Length,
    ground: Length,
    held: bool,
    on_footing: bool,
    words: str,
) -> list[Situation]:
    """One state of a full-height wall; none where the wall does not reach above its foot."""
    top = levels.top
    if top <= foot:
        return []
    fill = max(levels.grade_outside - ground, ZERO)
    refused = ""
    if max(levels.grade_outside, ground) > top:
        refused = f"the ground stands at {max(levels.grade_outside, ground)}, above the wall's top at {top}"
        fill = min(fill, top - min(ground, top))
    said = f"{words}: {top - foot} unsupported; grade {levels.grade_outside} over {ground} inside: unbalanced {fill}"
    balanced = max(ZERO, min(ground, top) - foot)
    return [
        Situation(
            leg, stretch.start, stretch.end, Stage.FINAL_BACKFILL, state, foot, top - foot, fill, balanced, held,
            on_footing, said, refused,
        )
    ]  # fmt: skip
