"""What the plan page shows: fields with their texts, what they inherit, what is wrong with them, and the drawing."""

from __future__ import annotations

import json
import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from jobs.plan_fields import LEG, LEVELS, SPEC, TURNS, WALKED, Entry, Kind
from jobs.plan_forms import OTHER, degrees, to_fields, value_at
from jobs.plan_gather import gathered
from jobs.plan_look import Look
from jobs.plan_views import Choice, Group, LegView, Part, PlanField, Told, WalkView, dom_id
from jobs.spec_words import NOT_SAID
from takeoff.planread import bare_unit
from takeoff.problems import Problem
from takeoff.site import Specification
from takeoff.units import BareUnit, LengthError, exact_text, format_length, parse_length

Document = dict[str, Any]

#: Choices that need no empty line, because the plan format says what an empty one means.
_USUAL = {"kind": "window", "measured_from": "start", "odd_course": "top", "rest_way": "rip", "bare_numbers_are": "in"}

#: What an empty field means where it inherits nothing.
_EMPTY_MEANS = {
    ("sections", "datum"): "lowest footing",
    ("sections", "slab_top"): "no slab",
    ("sections", "slab_thickness"): '4"',
    ("pads", "count"): "1",
    ("pads", "bars_each_way"): "3",
    ("pads", "bar_size"): "4",
    ("walks", "start"): "its start",
    ("walks", "until"): "its end",
    ("walks", "heading"): "0",
    ("drawing", "drawing"): "sheet and revision, S-2 rev B",
}


# -- the page ---------------------------------------------------------------------------------------------
@dataclass(slots=True)
class PlanPage:
    """Builds the views of one document. ``systems`` are (key, name, cores as text); ``open_at`` the leg shown open."""

    document: Document
    look: Look
    systems: Sequence[tuple[str, str, tuple[str, ...]]]
    site_grade: str = ""
    open_at: str = ""
    focus: bool = False
    urls: dict[str, str] = field(default_factory=dict)
    texts: dict[str, str] = field(init=False)
    errors: dict[str, list[str]] = field(init=False)
    bare: BareUnit = field(init=False)

    def __post_init__(self) -> None:
        self.open_at = self.open_at or self._to_begin_with()
        self.texts = to_fields(self.document) | to_fields(self.document, SPEC)
        self.bare = bare_unit(self.document)
        self.errors = defaultdict(list)
        closings = {closure.sentence for closure in self.look.closures}  # told under the drawing
        for problem in gathered(self.document, self.look.wrong):
            if problem.sentence not in closings:
                self.errors[self.field_of(problem.path)].append(problem.sentence)

    def _to_begin_with(self) -> str:
        """The first leg, as long as nothing is typed for it."""
        first = value_at(self.document, "walks.0.legs.0")
        return "walks.0.legs.0" if isinstance(first, dict) and not set(first) - {"name"} else ""

    # addresses of problems
    def field_of(self, path: str) -> str:
        """The nearest thing on the page at or above an address: a field, an item, or ''."""
        while path and path not in self.texts and f"{path}._rest" not in self.texts:
            path = path.rpartition(".")[0]
        if path.endswith("legs"):
            return ""
        return path

    def href(self, path: str) -> str:
        """Where the field of a problem is."""
        top = path.split(".")[0]
        if top in self.urls:
            return self.urls[top]
        found = self.field_of(path)
        if found.startswith("closure") or path.startswith("closure"):
            return "#closing"
        return f"#{dom_id(found)}" if found else "#plan"

    def told(self, problems: Iterable[Problem]) -> list[Told]:
        """Problems with where their fields are."""
        return [Told(p.sentence, self.href(p.path), p.severity.value) for p in gathered(self.document, problems)]

    def said(self, path: str) -> tuple[str, ...]:
        """What is wrong with a field, or with a leg, walk or part as a whole."""
        return tuple(self.errors.get(path, ()))

    # fields
    def field(self, path: str, entry: Entry) -> PlanField:
        """One field with its text, what it inherits and what is wrong with it."""
        value = self.texts.get(path, "")
        inherited = self.inherited(path, entry)
        made = PlanField(
            path=path,
            entry=entry,
            value=value,
            placeholder=inherited or _EMPTY_MEANS.get((path.split(".")[0], entry.name), ""),
            errors=self.said(path),
            focus=path == self.focus_path,
        )
        if made.is_length:
            made = replace(made, bare=self.bare)
        if entry.kind is Kind.TURN:
            other = self.texts.get(made.other_name, "")
            return replace(made, choices=self._turns(path, value, other), other=other)
        if entry.kind in (Kind.CHOICE, Kind.FLAG):
            return replace(made, choices=self._choices(path, entry, value, inherited))
        return made

    @property
    def focus_path(self) -> str:
        """The field that has the focus after a button: the first one of what was added."""
        if not self.open_at or not self.focus:
            return ""
        last = self.open_at.split(".")[-2] if "." in self.open_at else ""
        first = {"legs": "length", "steps": "at", "ledges": "level", "beam_pockets": "offset", "openings": "width"}
        first["pads"] = "length"
        if last in first:
            return f"{self.open_at}.{first[last]}"
        return f"{self.open_at}.name" if last in ("walks", "sections") else ""

    def _turns(self, path: str, value: str, other: str) -> tuple[Choice, ...]:
        meant = degrees(value) if value and value != OTHER else None
        out = []
        for angle, (written, label) in TURNS.items():
            chosen = meant == angle
            out.append(Choice(value if chosen else written, label, chosen, _turn_icon(angle)))
        out.append(Choice(OTHER, "other angle", value == OTHER))
        if self._may_end(path):
            out.append(Choice("", "ends here", not value))
        return tuple(out)

    def _may_end(self, path: str) -> bool:
        walk = ".".join(path.split(".")[:2])
        legs = value_at(self.document, f"{walk}.legs")
        last = isinstance(legs, list) and path == f"{walk}.legs.{len(legs) - 1}.turn"
        return last and value_at(self.document, f"{walk}.kind") == "spur"

    def _choices(self, path: str, entry: Entry, value: str, inherited: str) -> tuple[Choice, ...]:
        offered = list(self._offered(entry, path))
        shown = value
        if entry.name == "core" and value:
            shown = next((key for key, _ in offered if self._same_length(key, value)), value)
        if shown and shown not in dict(offered):
            offered.append((shown, f"{shown} (not known)"))
        if entry.name in _USUAL:
            return tuple(Choice(k, label, k == (shown or _USUAL[entry.name])) for k, label in offered)
        word = "as all legs" if path.startswith("walks.") else "usual"
        empty = f"{word}: {dict(offered).get(inherited, inherited)}" if inherited else "choose"
        lines = [Choice(value if k == shown and value else k, label, k == shown) for k, label in offered]
        return (Choice("", empty, not value), *lines)

    def _offered(self, entry: Entry, path: str) -> Iterable[tuple[str, str]]:
        if entry.name == "form":
            return [(key, name) for key, name, _ in self.systems]
        if entry.name == "core":
            cores = dict.fromkeys(core for _, _, cores in self.systems for core in cores)
            return [(core, core) for core in cores]
        if entry.name == "section":
            return self.sections()
        if entry.name == "walk":
            return [(name, name) for name in self._walk_names()]
        if entry.name == "leg":
            return [(name, name) for name in self.leg_names()]
        return entry.choices

    def _same_length(self, one: str, other: str) -> bool:
        try:
            return parse_length(one, self.bare) == parse_length(other, self.bare)
        except LengthError:
            return False

    # what is in the document
    def sections(self) -> list[tuple[str, str]]:
        """Keys and names of the sections."""
        found = _dicts(self.document.get("sections"))
        return [(str(s.get("key", "")), str(s.get("name") or s.get("key", ""))) for s in found] or [("main", "Main")]

    def _walk_names(self) -> list[str]:
        rings = [w for w in _dicts(self.document.get("walks")) if w.get("kind") != "spur"]
        return [str(w["name"]) for w in rings if isinstance(w.get("name"), str)]

    def leg_names(self) -> list[str]:
        """Names of all legs as typed."""
        legs = [leg for w in _dicts(self.document.get("walks")) for leg in _dicts(w.get("legs"))]
        return [leg["name"] for leg in legs if isinstance(leg.get("name"), str)]

    def inherited(self, path: str, entry: Entry) -> str:
        """What an empty field of a leg (or of a section's legs) takes instead, as text; '' where nothing."""
        steps = path.split(".")
        in_leg = len(steps) == 5 and steps[0] == "walks" and steps[2] == "legs"
        in_section = len(steps) == 4 and steps[0] == "sections" and steps[2] == "leg_defaults"
        if steps[0] == "leg_defaults" or (steps[0] == "pads" and entry.name == "section"):
            return self._last_resort(entry.name)
        if not (in_leg or in_section):
            return self._usual_spec(steps) if steps[0] == "spec" else ""
        holders = []
        if in_leg and entry.name != "section":
            section = value_at(self.document, ".".join([*steps[:4], "section"])) or self._default_section()
            holders = [s.get("leg_defaults") for s in _dicts(self.document.get("sections")) if s.get("key") == section]
        holders.append(self.document.get("leg_defaults"))
        for holder in holders:
            value = holder.get(entry.name) if isinstance(holder, dict) else None
            if isinstance(value, str) and value.strip():
                return value
        return self._last_resort(entry.name)

    def _last_resort(self, name: str) -> str:
        if name == "grade_outside":
            return self.site_grade
        if name == "form" and len(self.systems) == 1:
            return self.systems[0][0]
        if name == "section" and len(self.sections()) == 1:
            return self.sections()[0][0]
        return "outside_of_foam" if name == "flush" else ""

    def _default_section(self) -> str:
        said = value_at(self.document, "leg_defaults.section")
        keys = [key for key, _ in self.sections()]
        return said if isinstance(said, str) else keys[0] if len(keys) == 1 else ""

    def _usual_spec(self, steps: list[str]) -> str:
        if len(steps) != 3:
            return ""
        value = getattr(getattr(Specification(), steps[1]), steps[2])
        if f"{steps[1]}.{steps[2]}" in NOT_SAID:
            return "not said"
        if isinstance(value, bool):
            return json.dumps(value)
        if isinstance(value, tuple):
            return "none"
        if hasattr(value, "nm"):
            return format_length(value, "in", 64) if value.inch < 24 else exact_text(value)
        return "" if value is None else f"{value:g}" if isinstance(value, int | float) else str(value)

    # views
    def fields(self, path: str, entries: Iterable[Entry]) -> tuple[PlanField, ...]:
        """Several fields of one object."""
        return tuple(self.field(f"{path}.{e.name}" if path else e.name, e) for e in entries)

    def rest(self, path: str) -> str:
        """What travels along unseen with an object."""
        return self.texts.get(f"{path}._rest", "")

    def head(self) -> tuple[PlanField, ...]:
        """The plan's own fields."""
        return self.fields("", WALKED.entries)

    def all_legs(self) -> tuple[PlanField, ...]:
        """What all legs have unless they say otherwise."""
        entries = WALKED.parts["leg_defaults"].entries
        wanted = [e for e in entries if e.name != "section" or len(self.sections()) > 1]
        return self.fields("leg_defaults", wanted)

    @property
    def started(self) -> bool:
        """Whether the face is chosen and a first length is typed, so that the head may be folded away."""
        legs = [leg for w in _dicts(self.document.get("walks")) for leg in _dicts(w.get("legs"))]
        return bool(self.document.get("dimensions_to")) and any("length" in leg or "radius" in leg for leg in legs)

    @property
    def several_sections(self) -> bool:
        """Whether legs must say which section they are of."""
        return len(self.sections()) > 1

    @property
    def defaults_rest(self) -> str:
        """What travels along with what all legs have."""
        return self.rest("leg_defaults")

    def section_parts(self) -> tuple[Part, ...]:
        """The sections, each with what its legs have."""
        shape, out = WALKED.lists["sections"], []
        for k, section in enumerate(_dicts(self.document.get("sections"))):
            path = f"sections.{k}"
            fields = self.fields(path, [e for e in shape.entries if e.name != "key"])
            more = self.fields(
                f"{path}.leg_defaults", [e for e in shape.parts["leg_defaults"].entries if e.name != "section"]
            )
            rests = (
                (f"{path}.leg_defaults._rest", self.rest(f"{path}.leg_defaults")),
                (f"{path}.key", str(section.get("key", ""))),
            )
            out.append(Part(path, str(section.get("name") or f"Section {k + 1}"), fields, self.rest(path), more, rests))
        return tuple(out)

    def pad_parts(self) -> tuple[Part, ...]:
        """The pad footings; their section is asked where there are several."""
        out = []
        for k, pad in enumerate(_dicts(self.document.get("pads"))):
            path = f"pads.{k}"
            entries = [e for e in WALKED.lists["pads"].entries if e.name != "section" or self.several_sections]
            section = f"{path}.section"
            unseen = () if self.several_sections else ((section, self.texts.get(section, "")),)
            title, fields = f"Pad {pad.get('name') or k + 1}", self.fields(path, entries)
            out.append(Part(path, title, fields, self.rest(path), rest_more=unseen, errors=self.said(path)))
        return tuple(out)

    def closing_parts(self) -> tuple[Part, ...]:
        """The closing choices."""
        out = []
        for k, _ in enumerate(_dicts(self.document.get("closure"))):
            path = f"closure.{k}"
            walk, note = self.fields(path, WALKED.lists["closure"].entries)
            legs = [
                self.field(f"{path}.legs.{n}", Entry("leg", label, Kind.CHOICE))
                for n, label in enumerate(("One leg", "The other leg"))
            ]
            out.append(Part(path, f"Closing choice {k + 1}", (walk, *legs, note), self.rest(path)))
        return tuple(out)

    def walks(self) -> tuple[WalkView, ...]:
        """Every walk with its legs."""
        return tuple(self._walk(k, w) for k, w in enumerate(_dicts(self.document.get("walks"))))

    def _walk(self, k: int, walk: Document) -> WalkView:
        path, spur = f"walks.{k}", walk.get("kind") == "spur"
        shape = WALKED.lists["walks"]
        names = ("heading",) if spur else ("heading", "origin_x", "origin_y")
        where = list(self.fields(path, [shape.entry(name) for name in names]))
        hidden = [(f"{path}.kind", self.texts.get(f"{path}.kind", "")), (f"{path}._rest", self.rest(path))]
        for part, said in (("starts_on", "Starts on"), ("ends_on", "Ends on")):
            entries = [replace(e, label=f"{said}: {e.label.lower()}") for e in shape.parts[part].entries]
            fields = self.fields(f"{path}.{part}", entries)
            if spur:
                where += fields
            else:
                hidden += [(f.path, f.value) for f in fields]
            hidden.append((f"{path}.{part}._rest", self.rest(f"{path}.{part}")))
        if spur:
            hidden += [(f"{path}.{n}", self.texts.get(f"{path}.{n}", "")) for n in ("origin_x", "origin_y")]
        legs = _dicts(walk.get("legs"))
        views = tuple(self._leg(f"{path}.legs.{n}", leg, n == 0, n == len(legs) - 1) for n, leg in enumerate(legs))
        title = f"{'Spur' if spur else 'Ring'} {walk.get('name') or k + 1}"
        name = self.field(f"{path}.name", shape.entry("name"))
        return WalkView(path, title, spur, name, tuple(where), views, tuple(hidden), self.said(path))

    def _leg(self, path: str, leg: Document, first: bool, last: bool) -> LegView:
        several = len(self.sections()) > 1
        built = [e for e in LEG.entries if e.name in ("form", "core", "flush") or (e.name == "section" and several)]
        groups = tuple(self._group(path, leg, name) for name in ("openings", "steps", "ledges", "beam_pockets"))
        rest = self.rest(path)
        return LegView(
            path=path,
            summary=self.summary(leg),
            wrong=sum(len(v) for k, v in self.errors.items() if k == path or k.startswith(f"{path}.")),
            open=self.open_at == path or self.open_at.startswith(f"{path}."),
            first=first,
            last=last,
            name=self.field(f"{path}.name", LEG.entry("name")),
            length=self.field(f"{path}.length", LEG.entry("length")),
            turn=self.field(f"{path}.turn", LEG.entry("turn")),
            arc=self.fields(path, [LEG.entry("radius"), LEG.entry("sweep")]),
            built=self.fields(path, built),
            levels=self.fields(path, LEVELS),
            groups=groups,
            rest=rest,
            errors=self.said(path),
        )

    def _group(self, path: str, leg: Document, name: str) -> Group:
        what, add = {
            "openings": ("opening", "Add a window or door"),
            "steps": ("step", "Add a step"),
            "ledges": ("ledge", "Add a brick ledge"),
            "beam_pockets": ("beam pocket", "Add a beam pocket"),
        }[name]
        parts = tuple(
            Part(
                at,
                f"{what[0].upper()}{what[1:]} {item.get('name') or k + 1}",
                self.fields(at, LEG.lists[name].entries),
                self.rest(at),
                errors=self.said(at),
            )
            for k, item in enumerate(_dicts(leg.get(name)))
            for at in (f"{path}.{name}.{k}",)
        )
        return Group(f"{path}.{name}", add, parts)

    # one line for a closed leg
    def summary(self, leg: Document) -> str:
        """'C · 24'-8" · left 90 · main'."""
        parts = [str(leg.get("name") or "no name"), self._run(leg), self._turn_words(leg)]
        if len(self.sections()) > 1:
            key = leg.get("section") or self._default_section()
            parts.append(dict(self.sections()).get(str(key), "no section"))
        for name, what in (("openings", "opening"), ("steps", "step"), ("ledges", "ledge"), ("beam_pockets", "pocket")):
            if found := len(_dicts(leg.get(name))):
                parts.append(f"{found} {what}{'s' if found > 1 else ''}")
        return " · ".join(part for part in parts if part)

    def _run(self, leg: Document) -> str:
        if leg.get("radius") is not None or leg.get("sweep") is not None:
            return f"arc R {self._said(leg.get('radius'))}, {leg.get('sweep', '?')}°"
        return self._said(leg.get("length")) if leg.get("length") is not None else "no length yet"

    def _said(self, text: Any) -> str:
        if not isinstance(text, str):
            return "?"
        try:
            return format_length(parse_length(text, self.bare), denominator=64)
        except LengthError:
            return f"“{text[:20]}”"

    def _turn_words(self, leg: Document) -> str:
        value = leg.get("turn")
        if value is None:
            return ""
        angle = degrees(str(value))
        if angle is None:
            return "turn not clear" if value != OTHER else ""
        if angle in TURNS:
            return TURNS[angle][1]
        return f"{'left' if angle > 0 else 'right'} {abs(angle):g}"

    # what is live
    def live(self) -> str:
        """What plan.js puts beside the fields after a look, as JSON."""
        legs = [
            (f"walks.{k}.legs.{n}", leg)
            for k, w in enumerate(_dicts(self.document.get("walks")))
            for n, leg in enumerate(_dicts(w.get("legs")))
        ]
        inherit = {
            dom_id(f"{path}.{e.name}"): self.inherited(f"{path}.{e.name}", e) for path, _ in legs for e in LEVELS
        }
        return json.dumps(
            {
                "errors": {dom_id(path): said for path, said in self.errors.items() if path},
                "summaries": {dom_id(path): self.summary(leg) for path, leg in legs},
                "placeholders": inherit,
                "bare": self.bare,
            }
        )


def _turn_icon(angle: float) -> str:
    """A leg going up and the next one turned off it, as a path in a square of 24."""
    x, y = 12 - 10 * math.sin(math.radians(angle)), 13 - 10 * math.cos(math.radians(angle))
    return f"M12 23 12 13 {x:.1f} {y:.1f}"


def _dicts(value: Any) -> list[Document]:
    return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []
