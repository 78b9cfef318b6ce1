"""Splitting a section of a plan document: some of its legs get a section of their own and nothing else changes."""

from __future__ import annotations

import copy

from django.utils.text import slugify

from jobs.exceptions import Refused
from jobs.plan_forms import Document
from takeoff import fingerprint
from takeoff.courses import grids
from takeoff.plan import Plan
from takeoff.planfile import read_plan
from takeoff.problems import blockers
from takeoff.units import exact_text


def check_split(plan: Plan, legs: tuple[str, ...], name: str) -> None:
    known = {leg.name: leg for leg in plan.legs()}
    unknown = [leg for leg in legs if leg not in known]
    if unknown:
        raise Refused(f"“{unknown[0]}” is not a leg of the plan in force; reload the page and choose again.")
    if not legs:
        raise Refused("No leg is chosen; choose the legs that become a section of their own.")
    if not name or len(name) > 60:
        raise Refused("The new section needs a name of at most 60 letters, like Garage.")
    if any(s.name.casefold() == name.casefold() for s in plan.sections):
        raise Refused(f"There already is a section “{name}”; give the new one another name.")
    sections = {known[leg].section for leg in legs}
    if len(sections) > 1:
        raise Refused("The chosen legs are of several sections; split off legs of one section at a time.")
    if len(set(legs)) == len(plan.legs_in(sections.pop())):
        raise Refused("All legs of the section are chosen; leave at least one, or rename the section in the plan.")


def new_key(plan: Plan, name: str) -> str:
    taken, stem = {s.key for s in plan.sections}, slugify(name)[:50] or "section"
    return next(key for n in range(1, 1000) if (key := stem if n == 1 else f"{stem}-{n}") not in taken)


def split(document: Document, plan: Plan, legs: frozenset[str], key: str, name: str) -> Document:
    """The document with the legs in a new section beside the one they were in."""
    out = copy.deepcopy(document)
    old = plan.section(plan.leg(next(iter(legs))).section)
    section_of = {leg.name: leg.section for leg in plan.legs()}
    datum = exact_text(grids(plan)[next(iter(legs))].base)
    sections = [s for s in out.get("sections") or [] if isinstance(s, dict)]
    sections = sections or [{"key": old.key, "name": old.name}]
    place = next((k for k, s in enumerate(sections) if s.get("key") == old.key), None)
    if place is None:
        return out
    sections[place] = {"datum": datum, **{k: v for k, v in sections[place].items() if v is not None}}
    sections.insert(place + 1, {**copy.deepcopy(sections[place]), "key": key, "name": name})
    out["sections"] = sections
    _place_pads(out, old.key, key if plan.legs_in(old.key)[0].name in legs else old.key)
    defaults = out.get("leg_defaults")
    inherits = isinstance(defaults, dict) and bool(defaults.get("section"))
    for walk in out.get("walks") or []:
        for leg in (walk.get("legs") or []) if isinstance(walk, dict) else []:
            if isinstance(leg, dict) and leg.get("name") in legs:
                leg["section"] = key
            elif isinstance(leg, dict) and not inherits and leg.get("name") in section_of:
                leg["section"] = leg.get("section") or section_of[leg["name"]]
    return out


def _place_pads(document: Document, old: str, new: str) -> None:
    """Pads are released with the first leg of their section: where that leg goes, they go."""
    for pad in document.get("pads") or []:
        if isinstance(pad, dict) and (pad.get("section") or old) == old:
            pad["section"] = new


def check_nothing_else_changed(plan: Plan, document: Document) -> None:
    """Raises where the split would change a course line and so the work on a leg."""
    reading = read_plan(document)
    if reading.plan is None:
        raise Refused(" ".join(p.sentence for p in blockers(reading.problems)))
    before, after = fingerprint.all_inputs(plan), fingerprint.all_inputs(reading.plan)
    moved = sorted({leg for (leg, stage), value in before.items() if after[leg, stage] != value})
    if moved:
        raise Refused(
            f"Split there, the courses of {', '.join(moved)} would be counted from another level and work already "
            "released would no longer fit; choose legs whose footings start on the same level, or walk the plan anew."
        )
