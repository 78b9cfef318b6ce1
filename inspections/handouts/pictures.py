"""Which drawings belong to a stage, and how they lie on the sheet: two short ones on a page, a long leg across one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

from inspections.handouts.subject import Subject
from inspections.legs import in_runs
from takeoff.drawings.elevation import elevation
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.scene import Scene
from takeoff.drawings.section import section
from takeoff.drawings.svg import render
from takeoff.geometry import Placement, place
from takeoff.plan import Leg, Stage
from takeoff.results import Takeoff

WALLS = (Stage.FROST_WALL, Stage.FULL_WALL)
#: Room on a sheet [pt]: across and down it, and half of it, a caption and borders taken off.
PORTRAIT = 515.0, 630.0
HALF = 515.0, 305.0
LANDSCAPE = 696.0, 455.0
#: A leg longer than this [in] lies across a page of its own.
LONG_LEG = 150.0
#: At most so many different sections through the ground.
MOST_SECTIONS = 6


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing of the sheet: its name in the page, what it shows for those who cannot see it, a note below it."""

    name: str
    svg: str
    alt: str
    note: str = ""
    wide: bool = False


@dataclass(frozen=True)
class _Plan:
    """A takeoff known by the document it was made from, so that its drawings can be kept."""

    key: str
    takeoff: Takeoff = field(compare=False)


def pictures(subject: Subject) -> tuple[Picture, ...]:
    """Plan, a section for every different profile, elevations where there is something to stack or step.

    Kept for a while: a stage is printed several times over, part by part and person by person.
    """
    document = json.dumps(subject.revision.document, sort_keys=True)
    key = hashlib.sha256(document.encode()).hexdigest()
    return _drawn(_Plan(key, subject.takeoff), subject.kind, subject.legs)


@lru_cache(maxsize=32)
def _drawn(plan: _Plan, kind: Stage, legs: tuple[str, ...]) -> tuple[Picture, ...]:
    takeoff, placement = plan.takeoff, place(plan.takeoff.plan)
    return (
        _picture("plan", plan_view(takeoff.plan, placement), PORTRAIT),
        *_sections(takeoff, legs),
        *_elevations(takeoff, placement, kind, legs),
    )


def forget() -> None:
    """Drops the drawings that are kept."""
    _drawn.cache_clear()


def _elevations(takeoff: Takeoff, placement: Placement, kind: Stage, legs: tuple[str, ...]) -> Iterator[Picture]:
    shown = _of_this_stage(takeoff, kind)
    for leg in takeoff.plan.legs():
        if leg.name not in legs or leg.name not in placement.legs:
            continue
        if kind not in WALLS and not (kind is Stage.FOOTING and leg.steps):
            continue
        wide = placement.legs[leg.name].outside.length.inch > LONG_LEG
        scene = elevation(shown, leg.name, placement)
        yield _picture(f"elevation-{leg.name}", scene, LANDSCAPE if wide else HALF, wide)


def _of_this_stage(takeoff: Takeoff, kind: Stage) -> Takeoff:
    """What is not stacked or tied in this stage is left out of the elevations; what it stands on is kept."""
    later = tuple(Stage)[tuple(Stage).index(kind) + 1 :]
    units = tuple(u for u in takeoff.units if u.stage not in later) if kind in WALLS else ()
    return replace(takeoff, units=units, bars=tuple(b for b in takeoff.bars if b.stage not in later))


def _sections(takeoff: Takeoff, legs: tuple[str, ...]) -> Iterator[Picture]:
    profiles: dict[object, list[str]] = {}
    for leg in takeoff.plan.legs():
        if leg.name in legs:
            profiles.setdefault(_profile(leg), []).append(leg.name)
    for names in list(profiles.values())[:MOST_SECTIONS]:
        scene = section(takeoff, names[0])
        alike = f"The same at {in_runs(names[1:])}." if names[1:] else ""
        yield replace(_picture(f"section-{names[0]}", scene, HALF), note=alike)


def _profile(leg: Leg) -> object:
    levels = (leg.footing_top, leg.frost_top, leg.wall_top, leg.grade_outside, leg.grade_inside)
    return leg.section, leg.core, leg.form, levels, leg.steps, bool(leg.ledges)


def _picture(name: str, scene: Scene, room: tuple[float, float], wide: bool = False) -> Picture:
    width, height = room
    return Picture(name, render(scene, width, "pt", height=height), scene.description, wide=wide)
