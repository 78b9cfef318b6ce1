"""What the plan asks: the fields of every kind of object in a plan document, with what a person calls them."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, get_type_hints

from jobs.spec_words import CHOICES, HELP, NAMES, UNITS
from takeoff.fields import words
from takeoff.site import Specification
from takeoff.units import Length

#: The turns that have a button, as written into the document.
TURNS: dict[float, tuple[str, str]] = {
    90.0: ("90 left", "left 90"),
    -90.0: ("90 right", "right 90"),
    45.0: ("45 left", "left 45"),
    -45.0: ("45 right", "right 45"),
    0.0: ("straight", "straight"),
}


class Kind(StrEnum):
    """What a field takes."""

    TEXT = "text"
    LENGTH = "length"
    LENGTHS = "lengths"
    LEVEL = "level"
    NUMBER = "number"
    TURN = "turn"
    CHOICE = "choice"
    FLAG = "flag"


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of an object. ``unit`` stands behind a number; a length shows the unit of a bare number."""

    name: str
    label: str
    kind: Kind = Kind.TEXT
    help: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Shape:
    """The fields of one kind of object, the objects in it, its lists of objects, and its lists of plain words."""

    entries: tuple[Entry, ...] = ()
    parts: Mapping[str, Shape] = field(default_factory=dict)
    lists: Mapping[str, Shape] = field(default_factory=dict)
    word_lists: Mapping[str, int] = field(default_factory=dict)

    def entry(self, name: str) -> Entry:
        """A field by name; KeyError if there is none."""
        for entry in self.entries:
            if entry.name == name:
                return entry
        raise KeyError(name)


def entries_of(shape: Shape) -> Iterator[Entry]:
    """Every field of a shape and of what is in it."""
    yield from shape.entries
    for inner in (*shape.parts.values(), *shape.lists.values()):
        yield from entries_of(inner)


# -- what a plan asks ------------------------------------------------------------------------------
def _length(name: str, label: str, help: str = "") -> Entry:
    return Entry(name, label, Kind.LENGTH, help)


def _level(name: str, label: str, help: str = "") -> Entry:
    return Entry(name, label, Kind.LEVEL, help)


FACES = (
    ("outside_of_foam", "outside of foam"),
    ("outside_of_concrete", "outside of concrete"),
    ("centre_line", "centre line of the core"),
)
ALL_FACES = (
    ("outside_of_foam", "outside of foam"),
    ("outside_of_concrete", "outside of concrete"),
    ("centre_line", "centre line"),
    ("inside_of_concrete", "inside of concrete"),
    ("inside_of_foam", "inside of foam"),
)
BARE = (("in", "inches"), ("ft", "feet"), ("m", "metres"), ("mm", "millimetres"))

YES_NO = (("true", "yes"), ("false", "no"))

LEVELS = (
    _level("footing_top", "Top of footing"),
    _level("frost_top", "Top of frost wall"),
    _level("wall_top", "Top of wall"),
    _level("grade_outside", "Grade outside"),
    _level("grade_inside", "Grade inside"),
)
STEP = Shape(
    (
        _length("at", "From start to step"),
        *(Entry(e.name, e.label, e.kind) for e in LEVELS),
    )
)
OPENING = Shape(
    (
        Entry("name", "Name"),
        Entry("kind", "Kind", Kind.CHOICE, choices=(("window", "window"), ("door", "door"))),
        _length("width", "Rough width"),
        _length("height", "Rough height"),
        _level("sill", "Level of sill"),
        _length("offset", "To nearer side"),
        Entry(
            "measured_from", "Measured from", Kind.CHOICE, choices=(("start", "start of leg"), ("end", "end of leg"))
        ),
    )
)
LEDGE = Shape(
    (
        _level("level", "Level of bearing"),
        _length("projection", "Stands out"),
        _length("start", "From, along the leg"),
        _length("until", "To, along the leg"),
    )
)
POCKET = Shape(
    (
        Entry("name", "Name"),
        _length("offset", "Centre from start"),
        _length("width", "Width"),
        _length("depth", "Depth from top of wall"),
    )
)
BUILT = (
    Entry("section", "Section of the house", Kind.CHOICE),
    Entry("form", "Form system", Kind.CHOICE),
    Entry("core", "Core", Kind.CHOICE),
    Entry("flush", "Face in line where cores change", Kind.CHOICE, choices=ALL_FACES),
)
LEG = Shape(
    (
        Entry("name", "Name"),
        _length("length", "Length"),
        _length("radius", "Radius"),
        Entry("sweep", "Sweep", Kind.NUMBER, "Bending left is plus, right is minus.", unit="degrees"),
        Entry("turn", "Turn at its end", Kind.TURN),
        *BUILT,
        *LEVELS,
    ),
    lists={"openings": OPENING, "steps": STEP, "ledges": LEDGE, "beam_pockets": POCKET},
)
LEG_DEFAULTS = Shape((*BUILT, *LEVELS))
ATTACHMENT = Shape((Entry("leg", "Leg", Kind.CHOICE), _length("at", "Distance along it")))
WALK = Shape(
    (
        Entry("name", "Name"),
        Entry("kind", "Kind", Kind.CHOICE, choices=(("ring", "ring"), ("spur", "spur"))),
        Entry("heading", "First heading", Kind.NUMBER, unit="degrees"),
        _length("origin_x", "First corner, to the right"),
        _length("origin_y", "First corner, up"),
    ),
    parts={"starts_on": ATTACHMENT, "ends_on": ATTACHMENT},
    lists={"legs": LEG},
)
SECTION = Shape(
    (
        Entry("key", "Key"),
        Entry("name", "Name"),
        _level("datum", "Courses counted from"),
        Entry(
            "odd_course",
            "Odd course goes",
            Kind.CHOICE,
            choices=(("top", "to the top"), ("bottom", "to the bottom")),
        ),
        Entry(
            "rest_way",
            "An odd course is made of",
            Kind.CHOICE,
            choices=(
                ("rip", "one ripped course"),
                ("two_ripped", "two courses ripped alike"),
                ("part_height", "half-height units"),
                ("pour_line", "a whole course, concrete stopped inside it"),
            ),
        ),
        _level("slab_top", "Top of slab"),
        _length("slab_thickness", "Thickness of slab"),
    ),
    parts={"leg_defaults": LEG_DEFAULTS},
)
PAD = Shape(
    (
        Entry("name", "Name"),
        Entry("section", "Section of the house", Kind.CHOICE),
        Entry("count", "How many alike", Kind.NUMBER),
        _length("length", "Length"),
        _length("width", "Width"),
        _length("thickness", "Thickness"),
        _level("top", "Level of its top"),
        Entry("bars_each_way", "Bars, each way", Kind.NUMBER),
        Entry("bar_size", "Size of its bars", Kind.NUMBER, unit="#"),
    )
)
CLOSING = Shape((Entry("walk", "Ring", Kind.CHOICE), Entry("note", "Why")), word_lists={"legs": 2})
WALKED = Shape(
    (
        Entry("title", "Title"),
        Entry("drawing", "Approved drawing"),
        Entry("dimensions_to", "Lengths are measured to", Kind.CHOICE, choices=FACES),
        Entry("bare_numbers_are", "A bare number is in", Kind.CHOICE, choices=BARE),
    ),
    parts={"leg_defaults": LEG_DEFAULTS},
    lists={"sections": SECTION, "walks": WALK, "pads": PAD, "closure": CLOSING},
)
#: Names of the fields that take a length or a level.
LENGTHS = frozenset(e.name for e in entries_of(WALKED) if e.kind in (Kind.LENGTH, Kind.LEVEL) or e.name == "core")


# -- the specification, by its dataclasses ------------------------------------------------------------
def _spec_entry(part: str, item: dataclasses.Field[Any], hint: Any) -> Entry:
    label, unit = NAMES.get(f"{part}.{item.name}", NAMES.get(item.name, ("", "")))
    help = HELP.get(f"{part}.{item.name}", HELP.get(item.name, ""))
    for ending, said in UNITS.items():
        if not label and item.name.endswith(ending):
            label, unit = words(item.name.removesuffix(ending)), said
    label = label or words(item.name)
    label = label[0].upper() + label[1:]
    kinds = getattr(hint, "__args__", (hint,))
    if Length in kinds:
        return Entry(item.name, label, Kind.LENGTHS if Ellipsis in kinds else Kind.LENGTH, help)
    if hint is bool:
        return Entry(item.name, label, Kind.FLAG, help, choices=YES_NO)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        choices = tuple((k.value, CHOICES.get(k.value, words(k.value))) for k in hint)
        return Entry(item.name, label, Kind.CHOICE, help, choices)
    if hint is str:
        return Entry(item.name, label, help=help)
    return Entry(item.name, label, Kind.NUMBER, help, unit=unit)


def _spec_shape(part: str, cls: type) -> Shape:
    hints = get_type_hints(cls)
    return Shape(tuple(_spec_entry(part, f, hints[f.name]) for f in dataclasses.fields(cls)))


#: The specification page: one object for each part of :class:`takeoff.site.Specification`.
SPEC = Shape(
    parts={"spec": Shape(parts={name: _spec_shape(name, cls) for name, cls in get_type_hints(Specification).items()})}
)
