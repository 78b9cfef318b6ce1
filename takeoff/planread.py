"""From a plan document to a :class:`takeoff.plan.Plan`, one small reader for each kind of object.

What a field means and which are optional is told in PLAN_FORMAT.md beside this file. A reader that meets a wrong field
notes a problem and goes on with something harmless in its place, so that all problems are found at once; the plan is
handed out only when none of them is a blocker.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import StrEnum

from takeoff.fields import TEXT_LONGEST, Fields, each, words
from takeoff.forms import FormSystem
from takeoff.plan import (
    DIMENSION_FACES,
    Arc,
    Attachment,
    BeamPocket,
    ClosureChoice,
    End,
    Face,
    Ledge,
    Leg,
    Opening,
    OpeningKind,
    Plan,
    Section,
    Step,
    Straight,
    Walk,
    WalkKind,
)
from takeoff.planparts import read_forms, read_pads, read_sections, read_site, read_specification
from takeoff.units import BareUnit, Length

SCHEMA = "wall-walk"
VERSION = 1

MOST_WALKS, MOST_LEGS = 40, 200
MOST_OPENINGS, MOST_STEPS, MOST_LEDGES, MOST_POCKETS = 40, 40, 20, 40
#: Openings, steps, ledges and beam pockets of all legs together.
MOST_PARTS = 800
LONGEST_LEG = Length.feet(1000)
SMALLEST = Length.inches("0.25")
ZERO = Length(0)
SHARPEST_TURN_DEG = 150.0

_TURN_WORDS = re.compile(
    r"^(?:(?P<a>left|right|l|r)\s*(?P<n>\d+(?:\.\d*)?)?|(?P<m>\d+(?:\.\d*)?)\s*(?:°|deg|degrees)?\s*(?P<b>left|right|l|r))$"
)


# -- the whole document ----------------------------------------------------------------------------
def read_document(doc: Fields) -> Plan:
    """Everything in the document, problems noted on the way."""
    _schema(doc)
    title = doc.text("title", "", 120) or ""
    drawing = doc.text("drawing", "", 120) or ""
    face = doc.choice("dimensions_to", Face, among=DIMENSION_FACES) or Face.OUTSIDE_OF_FOAM
    forms = read_forms(doc)
    sections, section_defaults = read_sections(doc)
    defaults = doc.child("leg_defaults", "Defaults for legs")
    site = read_site(doc)
    legs = _LegReader(defaults, section_defaults, sections, forms, site.exterior_grade)
    walks = tuple(_walk(item, legs) for item in each(doc, "walks", MOST_WALKS, "walks", "Walk"))
    if not walks and not any(p.path.startswith("walks") for p in doc.problems):
        doc.complain("walks", "The plan has no walks; at least one ring of legs is needed.")
    spec = read_specification(doc)
    pads = read_pads(doc, sections)
    closure = tuple(_choice(item) for item in each(doc, "closure", MOST_WALKS, "closing choices", "Closing choice"))
    for part in (defaults, *section_defaults.values()):
        if part is not None:
            part.asked |= LEG_FIELDS
            part.unknown()
    doc.unknown()
    chosen = tuple(c for c in closure if c is not None)
    return Plan(title, drawing, face, sections, walks, forms, site, spec, chosen, pads)


def bare_unit(document: object) -> BareUnit:
    """The unit a bare number in text is read in: the document's ``bare_numbers_are``, inches where it is not said."""
    said = document.get("bare_numbers_are") if isinstance(document, dict) else None
    return next((unit for unit in _BARE_UNITS if unit == said), "in")


_BARE_UNITS: tuple[BareUnit, ...] = ("in", "ft", "mm", "m")


class _Bare(StrEnum):
    IN = "in"
    FT = "ft"
    MM = "mm"
    M = "m"


def _schema(doc: Fields) -> None:
    schema, version = doc.values.get("schema"), doc.values.get("version")
    doc.asked |= {"schema", "version"}
    if schema != SCHEMA:
        doc.complain("schema", f"This is not a plan document: its “schema” must be “{SCHEMA}”.")
    elif isinstance(version, bool) or version != VERSION:
        doc.complain("version", f"Plan document: version {VERSION} is read here; this one has another or none.")
    doc.choice("bare_numbers_are", _Bare, default=_Bare.IN)


# -- walks and legs --------------------------------------------------------------------------------
def _walk(item: Fields, legs: _LegReader) -> Walk:
    kind = item.choice("kind", WalkKind, default=WalkKind.RING) or WalkKind.RING
    name = item.text("name") or ""
    spur = kind is WalkKind.SPUR
    room = MOST_LEGS - legs.read_so_far
    parts = list(each(item, "legs", room, "legs (200 in all)", "Leg"))
    if not parts and not any(p.path.startswith(item.address("legs")) for p in item.problems):
        item.complain("legs", f"{item.label}: it has no legs; walk at least one.")
    read = tuple(legs.read(part, last_of_spur=spur and k == len(parts) - 1) for k, part in enumerate(parts))
    walk = Walk(
        name=name,
        kind=kind,
        legs=read,
        heading_deg=item.number("heading", -360, 360, 0.0, " degrees") or 0.0,
        origin_x=item.length("origin_x", required=False, default=ZERO) or ZERO,
        origin_y=item.length("origin_y", required=False, default=ZERO) or ZERO,
        starts_on=_attachment(item, "starts_on") if spur else None,
        ends_on=_attachment(item, "ends_on") if spur else None,
    )
    if spur and walk.starts_on is None and not item.has("starts_on"):
        item.needed("starts_on", "the leg it starts on and the distance along it")
    item.unknown()
    return walk


def _attachment(item: Fields, name: str) -> Attachment | None:
    place = item.child(name, f"{item.label}, {words(name)}")
    if place is None:
        return None
    leg, at = place.text("leg"), place.length("at", least=ZERO)
    place.unknown()
    return Attachment(leg, at) if leg is not None and at is not None else None


LEG_FIELDS = {
    *("name", "length", "radius", "sweep", "turn", "section", "form", "core", "flush"),
    *("footing_top", "frost_top", "wall_top", "grade_outside", "grade_inside"),
    *("ledges", "openings", "beam_pockets", "steps"),
}


class _LegReader:
    """Reads legs with the defaults of the document and of the leg's section behind them."""

    def __init__(
        self,
        defaults: Fields | None,
        section_defaults: dict[str, Fields],
        sections: tuple[Section, ...],
        forms: tuple[FormSystem, ...],
        site_grade: Length | None,
    ) -> None:
        self.defaults, self.section_defaults = defaults, section_defaults
        self.only_section = sections[0].key if len(sections) == 1 else None
        self.only_form = forms[0].key if len(forms) == 1 else None
        self.site_grade = site_grade
        self.read_so_far = 0
        self.parts_so_far = 0

    def read(self, item: Fields, last_of_spur: bool) -> Leg:
        """One leg; what cannot be read is replaced by something harmless and noted."""
        self.read_so_far += 1
        name = item.text("name") or ""
        item.leg = name
        top = [self.defaults] if self.defaults is not None else []
        item.fallbacks = top
        section = item.text("section", self.only_section) or ""
        if section in self.section_defaults:
            item.fallbacks = [self.section_defaults[section], *top]
        leg = Leg(
            name=name,
            path=_path(item),
            turn_deg=read_turn(item, last_of_spur),
            section=section,
            form=item.text("form", self.only_form) or "",
            core=item.length("core", least=Length.inches(2), most=Length.inches(24)) or Length.inches(8),
            footing_top=item.length("footing_top") or ZERO,
            grade_outside=item.length("grade_outside", self.site_grade is None, default=self.site_grade) or ZERO,
            grade_inside=item.length("grade_inside") or ZERO,
            frost_top=item.length("frost_top", required=False),
            wall_top=item.length("wall_top", required=False),
            flush=item.choice("flush", Face, default=Face.OUTSIDE_OF_FOAM) or Face.OUTSIDE_OF_FOAM,
            ledges=tuple(_ledge(part) for part in self._parts(item, "ledges", MOST_LEDGES, "ledge")),
            openings=tuple(_opening(part) for part in self._parts(item, "openings", MOST_OPENINGS, "opening")),
            beam_pockets=tuple(
                _pocket(part) for part in self._parts(item, "beam_pockets", MOST_POCKETS, "beam pocket")
            ),
            steps=tuple(_step(part) for part in self._parts(item, "steps", MOST_STEPS, "step")),
        )
        item.unknown()
        return leg

    def _parts(self, item: Fields, name: str, most: int, what: str) -> Iterator[Fields]:
        """Parts of a leg (openings, steps, ...), labelled 'Leg A, opening W1'."""
        room = MOST_PARTS - self.parts_so_far
        many = f"{what}s" if room >= most else f"{what}s ({MOST_PARTS} parts of legs in all)"
        for part in each(item, name, min(most, room), many, f"{item.label}, {what}"):
            self.parts_so_far += 1
            part.leg = item.leg
            yield part


def _path(item: Fields) -> Straight | Arc:
    """A length, or a radius and a sweep."""
    bent = item.has("radius", *(f"radius_{u}" for u in ("in", "ft", "mm", "m")), "sweep")
    straight = item.has("length", *(f"length_{u}" for u in ("in", "ft", "mm", "m")))
    if bent and straight:
        item.complain("length", f"{item.label}: give either a length, or a radius and a sweep, not both.")
    if bent:
        radius = item.length("radius", least=Length.inches(1), most=LONGEST_LEG)
        sweep = item.number("sweep", -360, 360, unit=" degrees")
        if sweep is not None and abs(sweep) < 0.1:
            item.complain("sweep", f"{item.label}: sweep is nothing; give the degrees it bends, positive to the left.")
        return Arc(radius or Length.feet(10), sweep or 90.0)
    length = item.length("length", least=SMALLEST, most=LONGEST_LEG)
    return Straight(length or Length.feet(10))


def read_turn(item: Fields, last_of_spur: bool) -> float:
    """Degrees turned at the end of a leg: a number (positive left), or words: '90 left', 'right 45', 'straight'."""
    item.asked.add("turn")
    value = item.values.get("turn")
    if isinstance(value, str):
        said = value.strip().lower()
        if said in ("straight", "none", "0"):
            return 0.0
        if match := _TURN_WORDS.match(said) if len(said) <= 30 else None:
            degrees = float(match["n"] or match["m"] or 90)
            side = match["a"] or match["b"]
            item.values = {**item.values, "turn": degrees if side[0] == "l" else -degrees}
        else:
            item.complain(
                "turn",
                f"{item.label}: turn “{value[:40]}” is not understood; write 90 left, 45 right, straight or degrees.",
            )
            return 0.0
    if value is None and not last_of_spur:
        item.needed("turn", "degrees at its end, like 90 left or -45,")
        return 0.0
    return item.number("turn", -SHARPEST_TURN_DEG, SHARPEST_TURN_DEG, 0.0, " degrees") or 0.0


def _opening(part: Fields) -> Opening:
    opening = Opening(
        name=part.text("name") or "",
        kind=part.choice("kind", OpeningKind, default=OpeningKind.WINDOW) or OpeningKind.WINDOW,
        width=part.length("width", least=Length.inches(4), most=Length.feet(40)) or Length.inches(4),
        height=part.length("height", least=Length.inches(4), most=Length.feet(40)) or Length.inches(4),
        sill=part.length("sill") or ZERO,
        offset=part.length("offset", least=ZERO) or ZERO,
        measured_from=part.choice("measured_from", End, default=End.START) or End.START,
    )
    part.unknown()
    return opening


def _pocket(part: Fields) -> BeamPocket:
    pocket = BeamPocket(
        name=part.text("name") or "",
        offset=part.length("offset", least=ZERO) or ZERO,
        width=part.length("width", least=Length.inches(1), most=Length.feet(10)) or Length.inches(1),
        depth=part.length("depth", least=Length.inches(1), most=Length.feet(10)) or Length.inches(1),
    )
    part.unknown()
    return pocket


def _ledge(part: Fields) -> Ledge:
    ledge = Ledge(
        level=part.length("level") or ZERO,
        projection=part.length("projection", least=Length.inches(1), most=Length.inches(24)) or Length.inches(1),
        start=part.length("start", required=False, least=ZERO, default=ZERO) or ZERO,
        until=part.length("until", required=False, least=ZERO),
    )
    part.unknown()
    return ledge


def _step(part: Fields) -> Step:
    step = Step(
        at=part.length("at", least=ZERO) or ZERO,
        footing_top=part.length("footing_top", required=False),
        frost_top=part.length("frost_top", required=False),
        wall_top=part.length("wall_top", required=False),
        grade_outside=part.length("grade_outside", required=False),
        grade_inside=part.length("grade_inside", required=False),
    )
    part.unknown()
    return step


def _choice(item: Fields) -> ClosureChoice | None:
    walk, note = item.text("walk") or "", item.text("note", "", TEXT_LONGEST) or ""
    item.asked.add("note")
    named = item.items("legs", 2, "legs")
    item.unknown()
    if len(named) != 2 or not all(isinstance(n, str) and n for n in named):
        item.complain("legs", f"{item.label}: name the two legs that take the closing error.")
        return None
    return ClosureChoice(walk, (str(named[0]), str(named[1])), note)
