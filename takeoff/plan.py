"""The walked plan: frozen input of the engine.

A plan is walked the way a person walks it with the paper in hand: leg by leg, a length and a turn. One or more
*walks*: a **ring** comes back to where it began and must close; a **spur** (a T wall) starts on a point of a
named leg and may end on one. Every leg belongs to a **section** (main, garage, porch) that moves through the
stages at its own pace.

Conventions
-----------
* Turns are in degrees, positive to the left, negative to the right, made at the *end* of the leg.
* Lengths along a leg are measured on the face the plan names in ``dimensions_to``, from the leg's start.
* Levels are on the plan's own datum (for example top of main-floor deck = 100'-0"), up positive.
* A leg whose ``frost_top`` is given has a frost wall from footing top to there; one whose ``wall_top`` is given has
  a full-height wall from the frost top (or the footing top) to there; it may have both.

:mod:`takeoff.planfile` reads and writes plans as JSON and says in sentences what is wrong with one; a
:class:`Plan` made by it is consistent.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from takeoff.forms import FormSystem
from takeoff.site import Site, Specification
from takeoff.units import Length


class Stage(StrEnum):
    """The six kinds of stage a house goes through, in their default order."""

    FOOTING = "footing"
    FROST_WALL = "frost_wall"
    FROST_BACKFILL = "frost_backfill"
    FULL_WALL = "full_wall"
    WATERPROOFING = "waterproofing"
    FINAL_BACKFILL = "final_backfill"


class Face(StrEnum):
    """A face of the wall, from outside to inside."""

    OUTSIDE_OF_FOAM = "outside_of_foam"
    OUTSIDE_OF_CONCRETE = "outside_of_concrete"
    CENTRE_LINE = "centre_line"
    INSIDE_OF_CONCRETE = "inside_of_concrete"
    INSIDE_OF_FOAM = "inside_of_foam"


#: Faces a drawing may be dimensioned to.
DIMENSION_FACES = (Face.OUTSIDE_OF_FOAM, Face.OUTSIDE_OF_CONCRETE, Face.CENTRE_LINE)


class WalkKind(StrEnum):
    """A ring closes; a spur hangs on other legs."""

    RING = "ring"
    SPUR = "spur"


class OpeningKind(StrEnum):
    """What the hole is for."""

    WINDOW = "window"
    DOOR = "door"


class End(StrEnum):
    """Which end of a leg a distance is measured from."""

    START = "start"
    END = "end"


class OddCourse(StrEnum):
    """Where the odd (ripped) course goes when a height is not a multiple of the unit."""

    TOP = "top"
    BOTTOM = "bottom"


class RestWay(StrEnum):
    """What a person chose for a height that is not a whole number of courses."""

    RIP = "rip"  # one course ripped to the rest
    TWO_RIPPED = "two_ripped"  # the last whole course and the rest shared by two equal ripped courses
    PART_HEIGHT = "part_height"  # half-height units, ripped where they are still too high
    POUR_LINE = "pour_line"  # a whole course left standing, concrete stopped at a line inside it


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight leg."""

    length: Length


@dataclass(frozen=True, slots=True)
class Arc:
    """A leg bent to a radius (of the dimensioned face); sweep in degrees, positive bending left."""

    radius: Length
    sweep_deg: float


@dataclass(frozen=True, slots=True)
class Opening:
    """A window or door: rough opening clear width and height; sill is a level; ``offset`` from the named end to the
    nearer jamb, along the dimensioned face."""

    name: str
    kind: OpeningKind
    width: Length
    height: Length
    sill: Length
    offset: Length
    measured_from: End = End.START

    @property
    def head(self) -> Length:
        """Level of the head of the rough opening."""
        return self.sill + self.height


@dataclass(frozen=True, slots=True)
class BeamPocket:
    """A seat for a beam, open at the top: centre at ``offset`` from the leg's start."""

    name: str
    offset: Length
    width: Length
    depth: Length


@dataclass(frozen=True, slots=True)
class Ledge:
    """Brick ledge along a leg: the level of its bearing, how far it stands out from the foam, from/to along the leg
    (``until`` None: to the end)."""

    level: Length
    projection: Length
    start: Length
    until: Length | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """From ``at`` on (from the leg's start), these levels replace the leg's; None leaves one as it was."""

    at: Length
    footing_top: Length | None = None
    frost_top: Length | None = None
    wall_top: Length | None = None
    grade_outside: Length | None = None
    grade_inside: Length | None = None


@dataclass(frozen=True, slots=True)
class Levels:
    """The levels that hold over one stretch of a leg."""

    footing_top: Length
    frost_top: Length | None
    wall_top: Length | None
    grade_outside: Length
    grade_inside: Length

    @property
    def top(self) -> Length:
        """Top of whatever wall stands here."""
        top = self.wall_top if self.wall_top is not None else self.frost_top
        assert top is not None  # planfile refuses a leg with neither
        return top


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a leg between steps: ``start``..``end`` along the dimensioned face."""

    start: Length
    end: Length
    levels: Levels


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg of a walk, as a person would describe it standing at its start."""

    name: str
    path: Straight | Arc
    turn_deg: float
    section: str
    form: str  # key of a FormSystem in the plan
    core: Length
    footing_top: Length
    grade_outside: Length
    grade_inside: Length
    frost_top: Length | None = None
    wall_top: Length | None = None
    #: the face that stays in line where the core changes between this leg and the one before
    flush: Face = Face.OUTSIDE_OF_FOAM
    ledges: tuple[Ledge, ...] = ()
    openings: tuple[Opening, ...] = ()
    beam_pockets: tuple[BeamPocket, ...] = ()
    steps: tuple[Step, ...] = ()

    @property
    def levels(self) -> Levels:
        """Levels at the leg's start."""
        return Levels(self.footing_top, self.frost_top, self.wall_top, self.grade_outside, self.grade_inside)


@dataclass(frozen=True, slots=True)
class Attachment:
    """A point on a named leg: distance from that leg's start along the dimensioned face."""

    leg: str
    at: Length


@dataclass(frozen=True, slots=True)
class Walk:
    """A ring or a spur. A ring's first leg starts at ``heading_deg`` (0 = to the right on paper, 90 = up).

    A second ring stands where the drawing puts it: ``origin_x``, ``origin_y`` place its first corner on the paper.
    A spur leaves ``starts_on`` at a right angle to that leg unless ``heading_deg`` is given as an angle to it.
    """

    name: str
    kind: WalkKind
    legs: tuple[Leg, ...]
    heading_deg: float = 0.0
    origin_x: Length = field(default_factory=lambda: Length(0))
    origin_y: Length = field(default_factory=lambda: Length(0))
    starts_on: Attachment | None = None
    ends_on: Attachment | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """A named set of legs with one course grid.

    ``datum`` is the level courses are counted from; None takes the lowest footing top (odd course at the top) or the
    highest wall top (odd course at the bottom). ``slab_top`` is the top of the slab inside, None where there is none.
    """

    key: str
    name: str
    datum: Length | None = None
    odd_course: OddCourse = OddCourse.TOP
    slab_top: Length | None = None
    slab_thickness: Length = field(default_factory=lambda: Length.inches(4))
    #: how the odd course is made
    rest_way: RestWay = RestWay.RIP


@dataclass(frozen=True, slots=True)
class Pad:
    """A pad (spread) footing under a post: ``count`` alike, ``bars_each_way`` in both directions; ``top`` is a level.
    Pads belong to a section's footing stage; where they stand is on the drawing."""

    name: str
    section: str
    length: Length
    width: Length
    thickness: Length
    top: Length
    count: int = 1
    bars_each_way: int = 3
    bar_size: int = 4


@dataclass(frozen=True, slots=True)
class ClosureChoice:
    """The person's decision on a small closure error: the two legs of a ring that take it, and why."""

    walk: str
    legs: tuple[str, str]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything the engine needs: geometry, levels, form systems, site and specification."""

    title: str
    drawing: str  # sheet and revision letter of the approved drawing, as printed on it
    dimensions_to: Face
    sections: tuple[Section, ...]
    walks: tuple[Walk, ...]
    forms: tuple[FormSystem, ...]
    site: Site = field(default_factory=Site)
    spec: Specification = field(default_factory=Specification)
    closure: tuple[ClosureChoice, ...] = ()
    pads: tuple[Pad, ...] = ()

    def legs(self) -> tuple[Leg, ...]:
        """All legs in walking order."""
        return tuple(leg for walk in self.walks for leg in walk.legs)

    def leg(self, name: str) -> Leg:
        """A leg by name; KeyError if there is none."""
        for leg in self.legs():
            if leg.name == name:
                return leg
        raise KeyError(name)

    def section(self, key: str) -> Section:
        """A section by key; KeyError if there is none."""
        for section in self.sections:
            if section.key == key:
                return section
        raise KeyError(key)

    def form(self, key: str) -> FormSystem:
        """A form system by key; KeyError if there is none."""
        for form in self.forms:
            if form.key == key:
                return form
        raise KeyError(key)

    def legs_in(self, section: str) -> tuple[Leg, ...]:
        """Legs of one section, in walking order."""
        return tuple(leg for leg in self.legs() if leg.section == section)

    def stages_of(self, leg: Leg) -> tuple[Stage, ...]:
        """The kinds of stage a leg with ground outside goes through, in order. Waterproofing and final backfill belong
        to full-height walls; a leg with only a frost wall is finished by its frost backfill. Inner walls go through
        fewer: :func:`takeoff.stages.stages_of` knows."""
        stages = [Stage.FOOTING]
        if leg.frost_top is not None:
            stages += [Stage.FROST_WALL, Stage.FROST_BACKFILL]
        if leg.wall_top is not None:
            stages += [Stage.FULL_WALL, Stage.WATERPROOFING, Stage.FINAL_BACKFILL]
        return tuple(stages)


def stretches(leg: Leg, length: Length) -> tuple[Stretch, ...]:
    """Cut a leg of the given dimensioned length at its steps, each stretch with the levels that hold there."""
    cuts = sorted(leg.steps, key=lambda s: s.at)
    levels, start, out = leg.levels, Length(0), []
    for step in cuts:
        if step.at > start:
            out.append(Stretch(start, step.at, levels))
        levels = Levels(
            footing_top=step.footing_top if step.footing_top is not None else levels.footing_top,
            frost_top=step.frost_top if step.frost_top is not None else levels.frost_top,
            wall_top=step.wall_top if step.wall_top is not None else levels.wall_top,
            grade_outside=step.grade_outside if step.grade_outside is not None else levels.grade_outside,
            grade_inside=step.grade_inside if step.grade_inside is not None else levels.grade_inside,
        )
        start = step.at
    out.append(Stretch(start, length, levels))
    return tuple(out)


def levels_at(leg: Leg, at: Length) -> Levels:
    """The levels that hold at a place along a leg, measured from its start; on a step those after it."""
    return stretches(replace(leg, steps=tuple(step for step in leg.steps if step.at <= at)), at)[-1].levels


def with_sections(plan: Plan, assignment: dict[str, str], sections: tuple[Section, ...]) -> Plan:
    """The same plan with legs moved between sections (leg name -> section key)."""
    walks = tuple(
        replace(walk, legs=tuple(replace(leg, section=assignment.get(leg.name, leg.section)) for leg in walk.legs))
        for walk in plan.walks
    )
    return replace(plan, walks=walks, sections=sections)
