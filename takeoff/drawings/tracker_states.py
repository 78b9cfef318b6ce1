"""How far a part is: the seven states with their line, hatch and word, and the parts' names and materials."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from takeoff.drawings.cut import WallCut
from takeoff.drawings.scene import Hatch, Stroke
from takeoff.plan import Section, Stage


class PartState(StrEnum):
    """How far one stage of one section is. The value is the word on the drawing."""

    PLANNED = "planned"
    READY = "ready"
    HELD = "held"
    PRESENTED = "presented"
    REJECTED = "rejected"
    RELEASED = "released"
    BURIED = "buried"


States = Mapping[tuple[str, Stage], PartState]


@dataclass(frozen=True, slots=True)
class Look:
    """Line and hatch of a state; ``hatch`` None is the drafting hatch of the material."""

    stroke: Stroke
    hatch: Hatch | None
    warn: bool = False
    wash: bool = False


LOOKS: Mapping[PartState, Look] = {
    PartState.PLANNED: Look(Stroke.PLANNED, Hatch.NONE),
    PartState.READY: Look(Stroke.READY, Hatch.READY),
    PartState.HELD: Look(Stroke.HELD, Hatch.HELD),
    PartState.PRESENTED: Look(Stroke.PRESENTED, Hatch.PRESENTED),
    PartState.REJECTED: Look(Stroke.REJECTED, Hatch.REJECTED, warn=True),
    PartState.RELEASED: Look(Stroke.VISIBLE, None),
    PartState.BURIED: Look(Stroke.BURIED, None, wash=True),
}

#: Which state a reader of a small drawing must hear of first.
URGENCY = (
    PartState.REJECTED,
    PartState.HELD,
    PartState.PRESENTED,
    PartState.READY,
    PartState.PLANNED,
    PartState.RELEASED,
    PartState.BURIED,
)

PART_NAMES: Mapping[Stage, str] = {
    Stage.FOOTING: "Footing",
    Stage.FROST_WALL: "Frost wall",
    Stage.FROST_BACKFILL: "Frost backfill",
    Stage.FULL_WALL: "Full-height wall",
    Stage.WATERPROOFING: "Waterproofing",
    Stage.FINAL_BACKFILL: "Final backfill",
}

SHORT_NAMES: Mapping[Stage, str] = {
    Stage.FOOTING: "Footing",
    Stage.FROST_WALL: "Frost wall",
    Stage.FROST_BACKFILL: "Frost fill",
    Stage.FULL_WALL: "Full wall",
    Stage.WATERPROOFING: "Membrane",
    Stage.FINAL_BACKFILL: "Final fill",
}

MATERIALS: Mapping[Stage, Hatch] = {
    Stage.FOOTING: Hatch.CONCRETE,
    Stage.FROST_WALL: Hatch.CONCRETE,
    Stage.FROST_BACKFILL: Hatch.BACKFILL,
    Stage.FULL_WALL: Hatch.CONCRETE,
    Stage.WATERPROOFING: Hatch.BOARD,
    Stage.FINAL_BACKFILL: Hatch.BACKFILL,
}


@dataclass(frozen=True, slots=True)
class SectionCuts:
    """What is drawn of one section: its deepest wall, facing another one where two are worth seeing."""

    section: Section
    left: WallCut
    right: WallCut | None
    stages: tuple[Stage, ...]


def state_of(states: States, cut: SectionCuts, stage: Stage) -> PartState:
    """State of a part; planned where nothing is said."""
    return states.get((cut.section.key, stage), PartState.PLANNED)


def most_urgent(cut: SectionCuts, states: States) -> tuple[Stage, PartState]:
    """The part a reader must hear of first: rejected before held before presented, then in order of the work."""
    ranked = [(URGENCY.index(state_of(states, cut, stage)), n) for n, stage in enumerate(cut.stages)]
    rank, n = min(ranked)
    return cut.stages[n], URGENCY[rank]
