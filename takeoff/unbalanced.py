"""Unbalanced backfill: how much higher the ground stands outside a wall than what holds it inside.

It is larger before the slab is placed than after, and it decides only one thing here: whether the wall must be held
at its top and foot before the earth comes (IRC R404.1.7). It never waives strength.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from takeoff.bands import has_ground_outside
from takeoff.geometry import Placement
from takeoff.plan import Levels, Plan, Section, Stage, stretches
from takeoff.results import Unbalanced
from takeoff.stages import stages_of
from takeoff.units import ZERO, Length

#: Clean stone under a slab. Common practice.
STONE_UNDER_SLAB = Length.inches(4)


def bracing_waived(height: Length, below: Length) -> bool:
    """Under the limit (4.0 ft) no bracing is asked before backfill; exactly at it, bracing is. IRC R404.1.7."""
    return height < below


def slab_bed(section: Section) -> Length | None:
    """Underside of the stone under the slab: the level that the earth inside reaches. None without a slab."""
    if section.slab_top is None:
        return None
    return Length(section.slab_top.nm - section.slab_thickness.nm - STONE_UNDER_SLAB.nm)


def inside_before_slab(levels: Levels, section: Section) -> Length:
    """Ground inside a full-height wall before the slab: the bed of its stone, or the inside grade without a slab;
    never below the footing top, which itself holds the wall's foot."""
    bed = slab_bed(section)
    return max(levels.footing_top, levels.grade_inside if bed is None else bed)


def inside_after_slab(levels: Levels, section: Section) -> Length:
    """Top of the slab, or the same ground as before where there is none."""
    return inside_before_slab(levels, section) if section.slab_top is None else section.slab_top


def frost_fill_outside(levels: Levels) -> Length:
    """Level the frost backfill reaches outside: the frost wall's top or the grade, whichever is lower."""
    return min(levels.top if levels.frost_top is None else levels.frost_top, levels.grade_outside)


def frost_fill_inside(levels: Levels, section: Section) -> Length:
    """Level the frost backfill reaches inside: the bed of the slab or the inside grade, not above the frost wall."""
    bed = slab_bed(section)
    wanted = levels.grade_inside if bed is None else bed
    top = levels.top if levels.frost_top is None else levels.frost_top
    return max(min(wanted, top), levels.footing_top)


def _floor_on_both_sides(levels: Levels, section: Section) -> Levels:
    """An inner T wall has the floor's bed on both sides, whatever grade was typed for it."""
    return replace(levels, grade_outside=inside_before_slab(levels, section))


@dataclass(frozen=True, slots=True)
class _Heights:
    before: Length
    after: Length
    basis: str


def heights(plan: Plan, placement: Placement) -> tuple[Unbalanced, ...]:
    """Unbalanced fill of every leg at each backfill stage it goes through, its worst stretch."""
    out = []
    for geometry in placement.legs.values():
        leg, section = geometry.leg, plan.section(geometry.leg.section)
        levels = [stretch.levels for stretch in stretches(leg, geometry.dimension_length)]
        if not has_ground_outside(placement, geometry):
            levels = [_floor_on_both_sides(level, section) for level in levels]
        for stage in stages_of(plan, placement, leg):
            if stage is Stage.FROST_BACKFILL:
                each = [_frost(level, section, plan.spec.earth.balance_within) for level in levels]
            elif stage is Stage.FINAL_BACKFILL:
                each = [_final(level, section) for level in levels]
            else:
                continue
            out.append(_worst(leg.name, stage, each, plan.spec.earth.bracing_waived_below))
    return tuple(out)


def _worst(leg: str, stage: Stage, each: list[_Heights], below: Length) -> Unbalanced:
    worst = max(each, key=lambda h: (h.before, h.after))
    after = max(h.after for h in each)
    return Unbalanced(
        leg=leg,
        stage=stage,
        before_slab=worst.before,
        after_slab=after,
        bracing_waived_before_slab=bracing_waived(worst.before, below),
        bracing_waived_after_slab=bracing_waived(after, below),
        basis=worst.basis,
    )


def _final(levels: Levels, section: Section) -> _Heights:
    ground = levels.grade_outside
    bed, floor = inside_before_slab(levels, section), inside_after_slab(levels, section)
    before, after = max(ground - bed, ZERO), max(ground - floor, ZERO)
    basis = f"grade outside {ground} - ground inside {bed} = {before} before the slab"
    if section.slab_top is not None:
        basis += f"; {ground} - top of slab {floor} = {after} after it"
    return _Heights(before, after, basis)


def _frost(levels: Levels, section: Section, within: Length) -> _Heights:
    """Filled on both sides together a frost wall carries at most the step allowed between the sides, or what the
    two sides differ by in the end; filled on one side alone, everything from footing to the fill's top."""
    outside, inside = frost_fill_outside(levels), frost_fill_inside(levels, section)
    alone = max(outside - levels.footing_top, inside - levels.footing_top, ZERO)
    ends = abs(outside - inside)
    before = min(alone, max(within, ends))
    after = min(alone, abs(outside - (inside if section.slab_top is None else max(inside, section.slab_top))))
    if section.slab_top is not None and section.slab_top >= outside:
        after = ZERO
    basis = (
        f"both sides raised together: at most {before} (sides within {within}; fill ends at {outside} outside and "
        f"{inside} inside); one side filled alone would be {alone}"
    )
    return _Heights(before, after, basis)
