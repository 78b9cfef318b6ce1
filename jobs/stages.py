"""The six default stages of a house and what the trade calls them. A stage is data: a house may differ."""

from __future__ import annotations

from takeoff.plan import Stage

TITLES: dict[Stage, str] = {
    Stage.FOOTING: "Footing",
    Stage.FROST_WALL: "Frost wall",
    Stage.FROST_BACKFILL: "Backfill of frost wall",
    Stage.FULL_WALL: "Full-height wall",
    Stage.WATERPROOFING: "Waterproofing",
    Stage.FINAL_BACKFILL: "Final backfill",
}

#: In the order a house goes through them.
DEFAULT_ORDER: tuple[Stage, ...] = tuple(Stage)
