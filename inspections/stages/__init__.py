"""The declared process: six kinds of stage, what must be released in each, by whom, on what evidence.

Reading the files of this folder from top to bottom tells a builder how the program will hold the job; ``python
manage.py process_sheet`` prints it. Numbers are not written here: a criterion's key is looked up in the takeoff of
the revision in force. Which inspections a place requires differs and changes; the defaults follow published
inspection cards of cold-climate jurisdictions and common practice. Local code, the engineer of record and licensed
practice rule.
"""

from __future__ import annotations

from inspections.process import StageProcess
from inspections.stages.final_backfill import FINAL_BACKFILL
from inspections.stages.footing import FOOTING
from inspections.stages.frost_backfill import FROST_BACKFILL
from inspections.stages.frost_wall import FROST_WALL
from inspections.stages.full_wall import FULL_WALL
from inspections.stages.waterproofing import WATERPROOFING

#: Points whose need is waived on legs with less than the stated unbalanced fill (bracing only, never strength).
WAIVED_WHEN_LOW = frozenset({"held_foot", "held_top"})

STAGES: tuple[StageProcess, ...] = (FOOTING, FROST_WALL, FROST_BACKFILL, FULL_WALL, WATERPROOFING, FINAL_BACKFILL)
BY_KIND = {stage.kind: stage for stage in STAGES}
DEFAULT_ORDER = tuple(stage.kind for stage in STAGES)
