"""Which part of a wall's outside face is dressed in which stage, and once only: by the stage that buries it."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.plan import Levels, Stage
from takeoff.site import EnvelopeSpec


@dataclass(frozen=True, slots=True)
class Facing:
    """Part of a face dressed in one stage, from and to level [in]. ``foot`` is True where it starts on the footing,
    ``finished`` where its top is the last (flashing and bar go there)."""

    stage: Stage
    bottom: float
    top: float
    foot: bool
    finished: bool


def burying_stage(levels: Levels) -> Stage:
    """The stage whose work the drain, the stone and the lowest membrane belong to."""
    return Stage.WATERPROOFING if levels.frost_top is None else Stage.FROST_BACKFILL


def membrane_facings(levels: Levels, spec: EnvelopeSpec) -> tuple[Facing, ...]:
    """Membrane from footing to ``membrane_above_grade`` over the outside grade, never above the wall's top.

    However low the grade (a walk-out), it still covers the joint on the footing as high as it is turned down.
    """
    foot = levels.footing_top.inch
    wanted = max(levels.grade_outside.inch + spec.membrane_above_grade.inch, foot + spec.membrane_onto_footing.inch)
    return _split(levels, min(wanted, levels.top.inch))


def board_facings(levels: Levels) -> tuple[Facing, ...]:
    """Drainage board from footing to outside grade."""
    return _split(levels, min(levels.grade_outside.inch, levels.top.inch))


def _split(levels: Levels, top: float) -> tuple[Facing, ...]:
    """Cut a facing at the cold joint between frost wall and full-height wall."""
    foot = levels.footing_top.inch
    stage = burying_stage(levels)
    if top <= foot:
        return ()
    joint = top if levels.frost_top is None or levels.wall_top is None else min(levels.frost_top.inch, top)
    lower = Facing(stage, foot, joint, foot=True, finished=joint >= top)
    if joint >= top:
        return (lower,)
    return lower, Facing(Stage.WATERPROOFING, joint, top, foot=False, finished=True)
