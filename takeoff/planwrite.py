"""From a plan to its document: everything written out, so that it reads back the same after defaults have changed."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

from takeoff.plan import Arc, Attachment, Leg, Plan, Straight, Walk, WalkKind
from takeoff.planread import SCHEMA, VERSION
from takeoff.units import Length, exact_text


def write_plan(plan: Plan) -> dict[str, Any]:
    """The plan as a JSON-ready object. ``read_plan(write_plan(plan)).plan == plan`` for every plan that reads well."""
    return {
        "schema": SCHEMA,
        "version": VERSION,
        "title": plan.title,
        "drawing": plan.drawing,
        "dimensions_to": plan.dimensions_to.value,
        "sections": [_record(section) for section in plan.sections],
        "walks": [_walk(walk) for walk in plan.walks],
        "closure": [{"walk": c.walk, "legs": list(c.legs), "note": c.note} for c in plan.closure],
        "pads": [_record(pad) for pad in plan.pads],
        "forms": [_record(form) for form in plan.forms],
        "site": _record(plan.site),
        "spec": {f.name: _record(getattr(plan.spec, f.name)) for f in fields(plan.spec)},
    }


def _walk(walk: Walk) -> dict[str, Any]:
    out: dict[str, Any] = {"name": walk.name, "kind": walk.kind.value, "heading": walk.heading_deg}
    if walk.kind is WalkKind.RING:
        out |= {"origin_x": exact_text(walk.origin_x), "origin_y": exact_text(walk.origin_y)}
    else:
        out |= {"starts_on": _attachment(walk.starts_on), "ends_on": _attachment(walk.ends_on)}
    return out | {"legs": [_leg(leg) for leg in walk.legs]}


def _attachment(place: Attachment | None) -> dict[str, Any] | None:
    return None if place is None else {"leg": place.leg, "at": exact_text(place.at)}


def _leg(leg: Leg) -> dict[str, Any]:
    """A leg's fields under their names in the document; an absent wall is written 'none', so that no default gives
    it one."""
    out: dict[str, Any] = {"name": leg.name, **_path(leg.path), "turn": leg.turn_deg}
    for name in ("section", "form", "core", "flush", "footing_top", "frost_top", "wall_top"):
        out[name] = _value(getattr(leg, name))
    out |= {name: "none" for name in ("frost_top", "wall_top") if out[name] is None}
    out |= {"grade_outside": exact_text(leg.grade_outside), "grade_inside": exact_text(leg.grade_inside)}
    for name in ("ledges", "openings", "beam_pockets", "steps"):
        if parts := getattr(leg, name):
            out[name] = [_record(part) for part in parts]
    return out


def _path(path: Straight | Arc) -> dict[str, Any]:
    if isinstance(path, Straight):
        return {"length": exact_text(path.length)}
    return {"radius": exact_text(path.radius), "sweep": path.sweep_deg}


def _record(record: Any) -> dict[str, Any]:
    """A flat record by its fields' names; None is left out."""
    values = {f.name: _value(getattr(record, f.name)) for f in fields(record)}
    return {name: value for name, value in values.items() if value is not None}


def _value(value: Any) -> Any:
    if isinstance(value, Length):
        return exact_text(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_value(item) for item in value]
    return _record(value) if is_dataclass(value) else value
