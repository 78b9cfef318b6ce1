"""Which inputs a leg's work depends on at each stage, hashed, so that a new revision voids only what it changed.

A release is given for a leg at a stage on one plan revision. It stands on a later revision while the hash of that
leg's inputs to that stage is the same. The table in :mod:`takeoff.stage_inputs` is the whole rule; a section's key and
name are in it nowhere, so that splitting a section voids nothing (its course grid is, because blocks stand on it).
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Final

from takeoff.courses import Grid, grids
from takeoff.geometry import Corner, LegGeometry, Placement, place
from takeoff.openings_forms import formed_openings
from takeoff.plan import Arc, Leg, Levels, Plan, Stage, levels_at, stretches
from takeoff.stage_inputs import STAGE_INPUTS
from takeoff.stages import stages_of
from takeoff.units import Length

#: What the house as a whole was taken off with; shown beside a revision, not part of any leg's hash.
HOUSE_INPUTS: Final = ("dimensions_to", "site", "spec", "closure")


# -- public ----------------------------------------------------------------------------------------
def leg_inputs(plan: Plan, leg_name: str, stage: Stage) -> str:
    """Hash of the inputs that matter to one leg at one stage. KeyError where there is no such leg; a leg that could
    not be placed is hashed as walked."""
    return all_inputs(plan)[leg_name, stage]


@lru_cache(maxsize=16)
def all_inputs(plan: Plan) -> Mapping[tuple[str, Stage], str]:
    """Hashes of every leg at every stage, by (leg name, stage); the plan is placed once for all of them."""
    placement = place(plan)
    course_grids = grids(plan)
    views = {leg.name: _View(plan, leg, placement, course_grids) for leg in plan.legs()}
    hashes = {(name, stage): _digest(view.inputs(stage)) for name, view in views.items() for stage in Stage}
    return MappingProxyType(hashes)


def house_inputs(plan: Plan) -> str:
    """Hash of what holds for the whole house: site, specification, dimensioned face, closing choices."""
    return _digest({name: _plain(getattr(plan, name)) for name in HOUSE_INPUTS})


def _digest(inputs: dict[str, Any]) -> str:
    text = json.dumps(inputs, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode()).hexdigest()


# -- one leg's inputs ------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class _View:
    """A plan seen from one leg."""

    plan: Plan
    leg: Leg
    placement: Placement
    grids: dict[str, Grid]

    def inputs(self, stage: Stage) -> dict[str, Any]:
        """The named inputs of a stage as plain JSON values; nothing for a stage the leg does not go through."""
        if stage not in stages_of(self.plan, self.placement, self.leg):
            return {}
        return {name: INPUTS[name](self) if name in INPUTS else self._dotted(name) for name in STAGE_INPUTS[stage]}

    def _dotted(self, name: str) -> Any:
        value: Any = self.plan
        for part in name.split("."):
            value = getattr(value, part)
        return _plain(value)

    @property
    def geometry(self) -> LegGeometry | None:
        """The leg on paper, None where its walk could not be placed."""
        return self.placement.legs.get(self.leg.name)


def _path(view: _View) -> Any:
    path, geometry = view.leg.path, view.geometry
    shape = [path.radius.nm, path.sweep_deg] if isinstance(path, Arc) else [path.length.nm]
    added = geometry.adjustment.nm if geometry else 0
    return [view.plan.dimensions_to.value, shape, added, geometry.outside_left if geometry else None]


def _thickness_of(plan: Plan, leg: Leg) -> list[int]:
    return [plan.form(leg.form).foam.nm, leg.core.nm]


def _thickness(view: _View) -> Any:
    return _thickness_of(view.plan, view.leg)


def _ends(view: _View) -> Any:
    """At each end: the kind of joint, the turn, the neighbour's thickness and bend, and the face kept flush."""
    if view.geometry is None:
        return [view.leg.turn_deg]
    sides = ((view.geometry.start, _before(view)), (view.geometry.end, _after(view)))
    return [_end(view.plan, corner, other) for corner, other in sides] + [view.leg.flush.value]


def _end(plan: Plan, corner: Corner, other: Leg | None) -> Any:
    beside = None
    if other is not None:
        bend = [other.path.radius.nm, other.path.sweep_deg] if isinstance(other.path, Arc) else None
        beside = [_thickness_of(plan, other), bend]
    return [corner.kind.value, round(corner.deflection_deg, 6), beside]


def _before(view: _View) -> Leg | None:
    """The leg before, or the leg a spur starts on."""
    assert view.geometry is not None
    if (neighbour := view.placement.previous_leg(view.leg.name)) is not None:
        return neighbour.leg
    start = view.geometry.walk.starts_on
    return view.plan.leg(start.leg) if start else None


def _after(view: _View) -> Leg | None:
    """The leg after, or the leg a spur ends on."""
    assert view.geometry is not None
    if (neighbour := view.placement.next_leg(view.leg.name)) is not None:
        return neighbour.leg
    end = view.geometry.walk.ends_on
    return view.plan.leg(end.leg) if end else None


def _neighbours(view: _View) -> list[tuple[Leg, Levels]]:
    """Both neighbours with their levels at the shared joint; at a T those of the through leg where it is met."""
    if view.geometry is None:
        return []
    walk, out = view.geometry.walk, []
    for other, met, at_its_end in ((_before(view), walk.starts_on, True), (_after(view), walk.ends_on, False)):
        if other is None:
            continue
        placed = view.placement.legs.get(other.name)
        runs = stretches(other, placed.dimension_length) if placed else ()
        levels = runs[-1 if at_its_end else 0].levels if runs else other.levels
        out.append((other, levels_at(other, met.at) if met and met.leg == other.name else levels))
    return out


def _ends_footings(view: _View) -> Any:
    return [levels.footing_top.nm for _, levels in _neighbours(view)]


def _ends_walls(stage: Stage) -> Callable[[_View], Any]:
    """What corner units and corner bars see of the neighbours: their form system, their grid, and where they stand.
    A frost wall does not care how high its neighbour goes above its own top."""

    def read(view: _View) -> Any:
        ceiling = max(_frost_tops(view.leg), default=None) if stage is Stage.FROST_WALL else None
        out = []
        for other, levels in _neighbours(view):
            top = levels.top if ceiling is None else min(levels.top, ceiling)
            grid = _grid_of(view, other)
            rest = _rest_way(view, other, stage)
            out.append([_form_of(view.plan, other), grid, levels.footing_top.nm, top.nm, rest])
        return out

    return read


def _frost_tops(leg: Leg) -> list[Length]:
    own = [leg.frost_top] if leg.frost_top is not None else []
    return own + [s.frost_top for s in leg.steps if s.frost_top is not None]


def _holes(stage: Stage) -> Callable[[_View], Any]:
    """Openings, beam pockets and ledges in one of the two walls of a leg; pockets are in whichever is the upper. An
    opening is in a wall that its buck reaches into. What stands on the wall matters where there are openings to be
    spanned."""

    def read(view: _View) -> Any:
        leg, joint = view.leg, _frost_tops(view.leg)
        frost = stage is Stage.FROST_WALL
        openings = [
            rough
            for rough, o in zip(leg.openings, formed_openings(view.plan, leg), strict=True)
            if not joint or (o.sill < max(joint) if frost else o.head > min(joint))
        ]
        ledges = [x for x in leg.ledges if not joint or (x.level <= max(joint) if frost else x.level > min(joint))]
        pockets = leg.beam_pockets if not frost or leg.wall_top is None else ()
        above = _plain(view.plan.spec.building) if openings else None
        return [[_unnamed(o) for o in openings], [_unnamed(p) for p in pockets], _plain(tuple(ledges)), above]

    return read


def _openings_at_foot(view: _View) -> Any:
    """Jambs of the openings in the wall that stands on the footing: dowels follow the bars beside them."""
    tops = _frost_tops(view.leg)
    formed = zip(view.leg.openings, formed_openings(view.plan, view.leg), strict=True)
    low = [rough for rough, o in formed if not tops or o.sill < max(tops)]
    buck = view.plan.spec.layout.buck.nm
    return [[o.offset.nm, o.width.nm, o.measured_from.value, buck] for o in low]


def _pads(view: _View) -> Any:
    """Pads of a section are released with the footing of its first leg, so that another pad asks one leg's release
    anew and not those of all the walls; what they are called does not matter. A split takes them along with that
    leg."""
    section = view.leg.section
    if view.leg is not view.plan.legs_in(section)[0]:
        return []
    own = [_unnamed(pad) for pad in view.plan.pads if pad.section == section]
    for pad in own:
        del pad["section"]
    return sorted(own, key=lambda pad: json.dumps(pad, sort_keys=True))


def _foot_joint(view: _View) -> Any:
    """The key in the footing fills with the concrete of the wall that stands on it, the lower one of two."""
    return [_plain(getattr(view.plan.spec.footing, name)) for name in ("base_joint", "key_width", "key_depth")]


def _tees(view: _View) -> Any:
    """Spurs that stand on this leg: where, on which side, how thick."""
    on = [t for t in view.placement.tees if t.through == view.leg.name]
    return [[t.at.nm, t.inward, _thickness_of(view.plan, view.plan.leg(t.spur))] for t in on]


_NOT_DIMENSIONS: Final = ("key", "name", "note", "units_per_bundle", "corners_per_bundle")


def _form_of(plan: Plan, leg: Leg) -> Any:
    """A form system's dimensions; what it is called does not matter."""
    return {k: v for k, v in _plain(plan.form(leg.form)).items() if k not in _NOT_DIMENSIONS}


def _form(view: _View) -> Any:
    return _form_of(view.plan, view.leg)


def _grid_of(view: _View, leg: Leg) -> Any:
    """Where the course lines lie, and which of two successive courses is which; not where counting starts."""
    grid = view.grids[leg.name]
    first_line = grid.base % grid.height
    return [first_line.nm, grid.is_odd(first_line), grid.height.nm]


def _rest(stage: Stage) -> Callable[[_View], Any]:
    """How the odd course of one of the two walls of a leg is made."""
    return lambda view: _rest_way(view, view.leg, stage)


def _rest_way(view: _View, leg: Leg, stage: Stage) -> Any:
    """The way chosen for the odd course, None where all levels of the wall lie on course lines and there is none."""
    grid, steps = view.grids[leg.name], leg.steps
    levels = [leg.footing_top, *(s.footing_top for s in steps), *_frost_tops(leg)]
    if stage is Stage.FULL_WALL:
        levels += [leg.wall_top, *(s.wall_top for s in steps)]
    odd = any((level - grid.base) % grid.height for level in levels if level is not None)
    return view.plan.section(leg.section).rest_way.value if odd else None


def _slab(view: _View) -> Any:
    section = view.plan.section(view.leg.section)
    return [_plain(section.slab_top), section.slab_thickness.nm if section.slab_top is not None else None]


def _levels(*names: str) -> Callable[[_View], Any]:
    """The named levels of a leg and of its steps; steps that change none of them are left out."""

    def read(view: _View) -> Any:
        steps = [[s.at.nm, *(_plain(getattr(s, n)) for n in names)] for s in view.leg.steps]
        changing = sorted(step for step in steps if any(level is not None for level in step[1:]))
        return [[_plain(getattr(view.leg, n)) for n in names], changing]

    return read


INPUTS: Final[dict[str, Callable[[_View], Any]]] = {
    "path": _path,
    "ends": _ends,
    "ends_footings": _ends_footings,
    "ends_frost_walls": _ends_walls(Stage.FROST_WALL),
    "ends_full_walls": _ends_walls(Stage.FULL_WALL),
    "holes_in_frost_wall": _holes(Stage.FROST_WALL),
    "holes_in_full_wall": _holes(Stage.FULL_WALL),
    "openings_at_foot": _openings_at_foot,
    "foot_joint": _foot_joint,
    "foot_joint_of_full_wall": lambda view: _foot_joint(view) if view.leg.frost_top is None else None,
    "tees": _tees,
    "thickness": _thickness,
    "form": _form,
    "grid": lambda view: _grid_of(view, view.leg),
    "rest_of_frost_wall": _rest(Stage.FROST_WALL),
    "rest_of_full_wall": _rest(Stage.FULL_WALL),
    "slab": _slab,
    "pads": _pads,
    "footing_levels": _levels("footing_top"),
    "frost_levels": _levels("frost_top"),
    "wall_levels": _levels("wall_top"),
    "outside_grade": _levels("grade_outside"),
    "inside_grade": _levels("grade_inside"),
    "wall_above": lambda view: view.leg.wall_top is not None,
}


def _unnamed(record: Any) -> Any:
    """A record without its name."""
    return {k: v for k, v in _plain(record).items() if k != "name"}


def _plain(value: Any) -> Any:
    """Any value of a plan as plain JSON; lengths in nanometres."""
    if isinstance(value, Length):
        return value.nm
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    return value
