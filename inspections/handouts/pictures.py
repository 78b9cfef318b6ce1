"""Which drawings belong to a stage, and how they lie on the sheet: two short ones on a page, a long leg across one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from inspections.handouts.subject import Subject, in_runs
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


def pictures(subject: Subject, takeoff: Takeoff) -> list[Picture]:
    """Plan, elevations where there is something to stack or step, and a section for every different profile."""
    placement = place(takeoff.plan)
    drawn = [_picture("plan", plan_view(takeoff.plan, placement), PORTRAIT)]
    drawn += _sections(subject, takeoff)
    drawn += _elevations(subject, takeoff, placement)
    return drawn


def _elevations(subject: Subject, takeoff: Takeoff, placement: Placement) -> Iterator[Picture]:
    shown = _of_this_stage(subject, takeoff)
    for leg in takeoff.plan.legs():
        if leg.name not in subject.legs or leg.name not in placement.legs:
            continue
        if subject.kind not in WALLS and not (subject.kind is Stage.FOOTING and leg.steps):
            continue
        wide = placement.legs[leg.name].outside.length.inch > LONG_LEG
        scene = elevation(shown, leg.name, placement)
        yield _picture(f"elevation-{leg.name}", scene, LANDSCAPE if wide else HALF, wide)


def _of_this_stage(subject: Subject, takeoff: Takeoff) -> Takeoff:
    """What is not stacked or tied in this stage is left out of the elevations; what it stands on is kept."""
    later = tuple(Stage)[tuple(Stage).index(subject.kind) + 1 :]
    units = tuple(u for u in takeoff.units if u.stage not in later) if subject.kind in WALLS else ()
    return replace(takeoff, units=units, bars=tuple(b for b in takeoff.bars if b.stage not in later))


def _sections(subject: Subject, takeoff: Takeoff) -> Iterator[Picture]:
    profiles: dict[object, list[str]] = {}
    for leg in takeoff.plan.legs():
        if leg.name in subject.legs:
            profiles.setdefault(_profile(leg), []).append(leg.name)
    for names in list(profiles.values())[:MOST_SECTIONS]:
        scene = section(takeoff, names[0])
        order = [leg.name for leg in takeoff.plan.legs()]
        alike = f"The same at {in_runs(names[1:], order)}." if names[1:] else ""
        yield replace(_picture(f"section-{names[0]}", scene, HALF), note=alike)


def _profile(leg: Leg) -> object:
    levels = (leg.footing_top, leg.frost_top, leg.wall_top, leg.grade_outside, leg.grade_inside)
    return leg.section, leg.core, leg.form, levels, leg.steps, bool(leg.ledges)


def _picture(name: str, scene: Scene, room: tuple[float, float], wide: bool = False) -> Picture:
    width, height = room
    return Picture(name, render(scene, width, "pt", height=height), scene.description, wide=wide)
