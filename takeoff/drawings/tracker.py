"""The house as its own section through the ground, each stage a part that shows how far it is.

Levels are to scale, on one datum for all sections, so that how deep each one is and how far out of the ground it
still stands is seen at once; widths across the wall are schematic, so that a membrane can be seen and tapped. Every
state has its own line, hatch and word. Scene coordinates are points on paper (scale 1).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from takeoff.drawings.cut import Points, WallCut, box, mirrored, shifted, wall_cut
from takeoff.drawings.lettering import width_of, wrap
from takeoff.drawings.scene import Hatch, Legend, Line, Link, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.drawings.svg import POINTS_PER_PIXEL, TOUCH
from takeoff.plan import Leg, Plan, Section, Stage
from takeoff.units import Length, format_length


class PartState(StrEnum):
    """How far one stage of one section is. The value is the word on the drawing."""

    PLANNED = "planned"
    READY = "ready"
    HELD = "held"
    PRESENTED = "presented"
    REJECTED = "rejected"
    RELEASED = "released"
    BURIED = "buried"


States = Mapping[tuple[str, Stage], PartState]


@dataclass(frozen=True, slots=True)
class Look:
    """Line and hatch of a state; ``hatch`` None is the drafting hatch of the material."""

    stroke: Stroke
    hatch: Hatch | None
    warn: bool = False
    wash: bool = False


LOOKS: Mapping[PartState, Look] = {
    PartState.PLANNED: Look(Stroke.PLANNED, Hatch.NONE),
    PartState.READY: Look(Stroke.READY, Hatch.READY),
    PartState.HELD: Look(Stroke.HELD, Hatch.HELD),
    PartState.PRESENTED: Look(Stroke.PRESENTED, Hatch.PRESENTED),
    PartState.REJECTED: Look(Stroke.REJECTED, Hatch.REJECTED, warn=True),
    PartState.RELEASED: Look(Stroke.VISIBLE, None),
    PartState.BURIED: Look(Stroke.BURIED, None, wash=True),
}

#: Which state a reader of a small drawing must hear of first.
URGENCY = (
    PartState.REJECTED,
    PartState.HELD,
    PartState.PRESENTED,
    PartState.READY,
    PartState.PLANNED,
    PartState.RELEASED,
    PartState.BURIED,
)

PART_NAMES: Mapping[Stage, str] = {
    Stage.FOOTING: "Footing",
    Stage.FROST_WALL: "Frost wall",
    Stage.FROST_BACKFILL: "Frost backfill",
    Stage.FULL_WALL: "Full-height wall",
    Stage.WATERPROOFING: "Waterproofing",
    Stage.FINAL_BACKFILL: "Final backfill",
}

SHORT_NAMES: Mapping[Stage, str] = {
    Stage.FOOTING: "Footing",
    Stage.FROST_WALL: "Frost wall",
    Stage.FROST_BACKFILL: "Frost fill",
    Stage.FULL_WALL: "Full wall",
    Stage.WATERPROOFING: "Membrane",
    Stage.FINAL_BACKFILL: "Final fill",
}

MATERIALS: Mapping[Stage, Hatch] = {
    Stage.FOOTING: Hatch.CONCRETE,
    Stage.FROST_WALL: Hatch.CONCRETE,
    Stage.FROST_BACKFILL: Hatch.BACKFILL,
    Stage.FULL_WALL: Hatch.CONCRETE,
    Stage.WATERPROOFING: Hatch.BOARD,
    Stage.FINAL_BACKFILL: Hatch.BACKFILL,
}


@dataclass(frozen=True, slots=True)
class Bench:
    """Schematic widths across the wall [pt]."""

    wall: float
    toe: float  # footing beyond the wall
    strip: float  # membrane and drainage board
    fill: float  # fill at the bottom of the hole
    slope: float  # further out at the top
    inside: float  # ground inside a wall drawn alone
    between: float  # ground between two facing walls

    @property
    def outside(self) -> float:
        """From the outer edge of the drawing to the face of the wall."""
        return self.toe + self.fill + self.slope + 5

    def width(self, pair: bool) -> float:
        """Width of a cut."""
        if pair:
            return 2 * (self.outside + self.wall) + self.between
        return self.outside + self.wall + self.inside


SMALL = Bench(wall=12, toe=4, strip=5, fill=12, slope=9, inside=18, between=26)
LARGE = Bench(wall=20, toe=7, strip=8, fill=20, slope=12, inside=30, between=46)
SMALL_HEIGHT = 104.0
LARGE_HEIGHT = 186.0
LABEL_WIDTH = 118.0
GAP = 10.0


@dataclass(frozen=True, slots=True)
class SectionCuts:
    """What is drawn of one section: its deepest wall, facing another one where two are worth seeing."""

    section: Section
    left: WallCut
    right: WallCut | None
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True)
class Levels:
    """Level [in] to paper [pt] for all cuts in a row."""

    top: float
    bottom: float
    scale: float

    def y(self, level: float) -> float:
        """Height on paper of a level, 0 at the lowest."""
        return (level - self.bottom) * self.scale


def tracker(plan: Plan, states: States, width_px: float = 340.0, detail: bool = False, key: str = "tracker") -> Scene:
    """The section through the ground of every wall section of a plan, with the state of each stage.

    ``states`` by (section key, stage); what is missing is planned. ``detail`` False: a small drawing for a board,
    cuts side by side with the most urgent part named below. True: larger, every part named and numbered beside its
    cut with a row of at least 44 px to tap, wrapped to the width. Render it at ``width_px``.
    """
    cuts = [section_cuts(plan, section) for section in plan.sections if plan.legs_in(section.key)]
    width = width_px * POINTS_PER_PIXEL
    shapes = _detailed(cuts, states, width) if detail else _small(cuts, states, width)
    return Scene(
        title=f"{plan.title}: section through the ground",
        description=describe(cuts, states),
        shapes=tuple(shapes),
        scale_pt_per_in=1.0,
        key=key,
        legend=tuple(_legend()) if detail else (),
        margin_pt=4.0,
    )


def describe(cuts: list[SectionCuts], states: States) -> str:
    """All states in words."""
    sentences = []
    for cut in cuts:
        parts = ", ".join(f"{PART_NAMES[s].lower()} {state_of(states, cut, s).value}" for s in cut.stages)
        sentences.append(f"{cut.section.name}: {parts}.")
    return " ".join(sentences)


def state_of(states: States, cut: SectionCuts, stage: Stage) -> PartState:
    """State of a part; planned where nothing is said."""
    return states.get((cut.section.key, stage), PartState.PLANNED)


def section_cuts(plan: Plan, section: Section) -> SectionCuts:
    """Choose the walls to draw: the deepest leg and, where the section has a full-height wall or is all there is,
    the leg with the lowest ground outside (a walk-out is seen), else the one with the highest footing."""
    legs = plan.legs_in(section.key)
    left = min(legs, key=lambda leg: (_lowest(leg), -leg.levels.top.nm))
    others = [leg for leg in legs if leg is not left]
    alone = len({leg.section for leg in plan.legs()}) == 1
    paired = bool(others) and (alone or any(leg.wall_top is not None for leg in legs))
    right = max(others, key=lambda leg: (-_ground(leg).nm, _lowest(leg).nm)) if paired else None
    stages = [stage for stage in Stage if any(stage in plan.stages_of(leg) for leg in legs)]
    at = None if right is None else _ground_at(right)
    return SectionCuts(
        section, wall_cut(plan, left), None if right is None else wall_cut(plan, right, at), tuple(stages)
    )


def _lowest(leg: Leg) -> Length:
    return min([leg.footing_top, *(s.footing_top for s in leg.steps if s.footing_top is not None)])


def _ground(leg: Leg) -> Length:
    return min([leg.grade_outside, *(s.grade_outside for s in leg.steps if s.grade_outside is not None)])


def _ground_at(leg: Leg) -> Length:
    """Where along the leg the ground outside is lowest."""
    for step in leg.steps:
        if step.grade_outside is not None and step.grade_outside == _ground(leg):
            return step.at + Length(1)
    return Length(0)


# -- the parts of one wall ---------------------------------------------------------------------------
def parts_of(cut: WallCut, bench: Bench, levels: Levels, inside: float) -> dict[Stage, list[Points]]:
    """Outlines of each stage of one wall [pt], x 0 at the outside face, positive inside, ``inside`` as far as
    the ground is drawn there."""
    y = levels.y
    low, foot = y(cut.footing_bottom), y(cut.footing_top)
    out: dict[Stage, list[Points]] = {Stage.FOOTING: [box(-bench.toe, low, bench.wall + bench.toe, foot)]}
    if cut.frost_top is not None:
        out[Stage.FROST_WALL] = [box(0, foot, bench.wall, y(cut.frost_top))]
        out[Stage.FROST_BACKFILL] = [
            _outer(bench, levels, cut, low, y(cut.frost_fill_top), 0.0),
            _inner(bench, cut, levels, inside),
        ]
    if cut.wall_top is not None:
        begin = y(cut.frost_fill_top) if cut.frost_top is not None else low
        out[Stage.FULL_WALL] = [box(0, y(cut.full_bottom), bench.wall, y(cut.wall_top))]
        out[Stage.WATERPROOFING] = [_skin(cut, bench, levels)]
        out[Stage.FINAL_BACKFILL] = [_outer(bench, levels, cut, begin, y(cut.grade_outside), bench.strip)]
    return {stage: [p for p in shapes if p] for stage, shapes in out.items()}


def _edge(bench: Bench, levels: Levels, cut: WallCut, height: float) -> float:
    """The dug slope: its distance outside the wall [pt] at a height on paper."""
    low, top = levels.y(cut.footing_bottom), max(levels.y(cut.grade_outside), levels.y(cut.footing_bottom) + 1)
    return -(bench.toe + bench.fill + bench.slope * max(0.0, min((height - low) / (top - low), 1.0)))


def _outer(bench: Bench, levels: Levels, cut: WallCut, low: float, high: float, skin: float) -> Points:
    """Fill outside, from ``low`` to ``high`` on paper, leaving ``skin`` at the wall."""
    if high <= low:
        return ()
    foot = levels.y(cut.footing_top)
    near = [(-skin, high), (-skin, max(low, min(foot, high)))]
    if low < foot:
        near = [(-skin, high), (-skin, foot), (-bench.toe - skin, foot), (-bench.toe - skin, low)]
        if high <= foot:
            near = [(-bench.toe - skin, high), (-bench.toe - skin, low)]
    return (*near, (_edge(bench, levels, cut, low), low), (_edge(bench, levels, cut, high), high))


def _inner(bench: Bench, cut: WallCut, levels: Levels, inside: float) -> Points:
    low, foot, high = levels.y(cut.footing_bottom), levels.y(cut.footing_top), levels.y(cut.inside_fill_top)
    toe, far = bench.wall + bench.toe, bench.wall + inside
    if high <= foot:
        return ((toe, low), (far, low), (far, high), (toe, high)) if high > low else ()
    return (toe, low), (far, low), (far, high), (bench.wall, high), (bench.wall, foot), (toe, foot)


def _skin(cut: WallCut, bench: Bench, levels: Levels) -> Points:
    """Membrane and board down the wall; where no frost backfill did it before, also the drain beside the footing."""
    high, foot, low = levels.y(cut.membrane_top), levels.y(cut.footing_top), levels.y(cut.footing_bottom)
    if cut.frost_top is not None:
        begin = levels.y(cut.frost_fill_top)
        return box(-bench.strip, begin, 0, high) if high > begin else box(-bench.strip, begin - 6, 0, begin)
    drain = -bench.toe - bench.strip
    return (0, high), (-bench.strip, high), (-bench.strip, foot), (drain, foot), (drain, low), (-bench.toe, low), (-bench.toe, foot), (0, foot)  # fmt: skip


# -- drawing a cut -----------------------------------------------------------------------------------
def _cut_shapes(cuts: SectionCuts, states: States, bench: Bench, levels: Levels, x: float, numbered: bool) -> _Cut:
    """Everything of one section with its left edge at ``x``: ground first, then one group of shapes per stage."""
    pair = cuts.right is not None
    half = bench.between / 2 if pair else bench.inside
    walls = [(cuts.left, x + bench.outside, False)]
    if cuts.right is not None:
        walls.append((cuts.right, x + bench.width(True) - bench.outside, True))
    ground: list[Shape] = []
    by_stage: dict[Stage, list[Line | Path | Symbol]] = {stage: [] for stage in cuts.stages}
    for wall, face, turned in walls:
        place = _placer(face, turned)
        ground += _ground_shapes(wall, bench, levels, half, place)
        for stage, outlines in parts_of(wall, bench, levels, half).items():
            look = _look(stage, state_of(states, cuts, stage))
            by_stage[stage] += [
                Path(place(p), (), True, look.stroke, look.hatch or Hatch.NONE, look.warn, look.wash) for p in outlines
            ]
            by_stage[stage] += _fittings(stage, wall, bench, levels, place, state_of(states, cuts, stage))
    if cuts.left.slab_top is not None:
        ground += _slab(cuts, bench, levels, x)
    if numbered:
        for number, stage in enumerate(cuts.stages, 1):
            by_stage[stage] += _number(stage, number, cuts.left, bench, levels, half, x + bench.outside)
    return _Cut(ground, by_stage)


@dataclass(frozen=True, slots=True)
class _Cut:
    ground: list[Shape]
    by_stage: dict[Stage, list[Line | Path | Symbol]]


class _placer:  # noqa: N801 - used like a function
    """Moves a wall's own coordinates to the sheet, turned about for a wall that faces left."""

    def __init__(self, face: float, turned: bool) -> None:
        self.face, self.turned = face, turned

    def __call__(self, points: Points) -> Points:
        return shifted(mirrored(points) if self.turned else points, self.face)


def _look(stage: Stage, state: PartState) -> Look:
    look = LOOKS[state]
    return Look(look.stroke, MATERIALS[stage] if look.hatch is None else look.hatch, look.warn, look.wash)


def _ground_shapes(cut: WallCut, bench: Bench, levels: Levels, inside: float, place: _placer) -> list[Shape]:
    """Undisturbed earth beyond the slope and below the footing, and the ground line on it."""
    low, grade = levels.y(cut.footing_bottom), levels.y(cut.grade_outside)
    base, far, deep = -bench.outside, bench.wall + inside, -7.0
    foot, brow = _edge(bench, levels, cut, low), _edge(bench, levels, cut, grade)
    earth = ((base, grade), (brow, grade), (foot, low), (far, low), (far, deep), (base, deep))
    return [
        Path(place(earth), (), True, None, Hatch.EARTH),
        Path(place(((brow, grade), (foot, low), (far, low))), (), False, Stroke.THIN),
        Path(place(((base, grade), (brow, grade))), (), False, Stroke.GRADE),
    ]


def _fittings(
    stage: Stage, cut: WallCut, bench: Bench, levels: Levels, place: _placer, state: PartState
) -> list[Line | Path | Symbol]:
    """What tells the material of a finished part: foam faces of a wall, the membrane, the drain pipe."""
    if state not in (PartState.RELEASED, PartState.BURIED):
        return []
    y = levels.y
    if stage in (Stage.FROST_WALL, Stage.FULL_WALL):
        low = cut.footing_top if stage is Stage.FROST_WALL else cut.full_bottom
        high = cut.frost_top if stage is Stage.FROST_WALL else cut.wall_top
        foam = bench.wall * 0.2
        edges = [((d, y(low)), (d, y(high or low))) for d in (foam, bench.wall - foam)]
        return [Path(place(edge), (), False, Stroke.THIN) for edge in edges]
    drained = Stage.FROST_BACKFILL if cut.frost_top is not None else Stage.WATERPROOFING
    out: list[Line | Path | Symbol] = []
    if stage is Stage.WATERPROOFING:
        begin = cut.frost_fill_top if cut.frost_top is not None else cut.footing_top
        out.append(Path(place(((0, y(begin)), (0, y(cut.membrane_top)))), (), False, Stroke.MEMBRANE))
    if stage is drained:
        r = bench.strip * 0.42
        ((cx, cy),) = place(((-bench.toe - bench.strip / 2 - 1, y(cut.footing_bottom) + r + 1),))
        out.append(Path(((cx - r, cy), (cx + r, cy)), (1.0, 1.0), True, Stroke.VISIBLE, Hatch.PAPER))
    return out


def _slab(cuts: SectionCuts, bench: Bench, levels: Levels, x: float) -> list[Shape]:
    """The slab between the walls: not a stage, but what holds the foot of the wall; hidden line."""
    top, under = cuts.left.slab_top, cuts.left.slab_underside
    assert top is not None and under is not None
    start = x + bench.outside + bench.wall
    end = start + (bench.between if cuts.right is not None else bench.inside)
    return [
        Line(start, levels.y(top), end, levels.y(top), Stroke.HIDDEN),
        Line(start, levels.y(under), end, levels.y(under), Stroke.HIDDEN),
    ]


def _number(
    stage: Stage, number: int, cut: WallCut, bench: Bench, levels: Levels, inside: float, face: float
) -> list[Line | Path | Symbol]:
    """The number of a part, in a bubble on its first outline; a thin part's bubble stands outside with a line."""
    outlines = parts_of(cut, bench, levels, inside).get(stage)
    if not outlines:
        return []
    xs, ys = [p[0] for p in outlines[0]], [p[1] for p in outlines[0]]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    if stage is Stage.FROST_BACKFILL or stage is Stage.FINAL_BACKFILL:
        x -= bench.strip * 0.6
    if stage is Stage.WATERPROOFING:
        away = bench.wall + 12
        at = max(ys) - 5
        return [
            Line(face - bench.strip / 2, at, face + away, at, Stroke.THIN),
            Symbol(face + away, at, Mark.ROUND, str(number), 6.5),
        ]
    return [Symbol(face + x, y, Mark.ROUND, str(number), 6.5)]


def _common_levels(cuts: list[SectionCuts], height: float) -> Levels:
    walls = [wall for cut in cuts for wall in (cut.left, cut.right) if wall is not None]
    bottom = min(w.footing_bottom for w in walls)
    top = max(max(w.top, w.grade_outside, w.membrane_top) for w in walls)
    return Levels(top, bottom, height / max(top - bottom, 1.0))


# -- the small drawing -------------------------------------------------------------------------------
def _small(cuts: list[SectionCuts], states: States, width: float) -> list[Shape]:
    bench = _stretched(SMALL, cuts, width)
    levels = _common_levels(cuts, SMALL_HEIGHT)
    shapes: list[Shape] = []
    x = 0.0
    for cut in cuts:
        drawn = _cut_shapes(cut, states, bench, levels, x, numbered=False)
        wide = bench.width(cut.right is not None)
        shapes += drawn.ground
        shapes += [_link(cut, states, stage, drawn.by_stage[stage], ()) for stage in cut.stages]
        shapes += _small_words(cut, states, x + wide / 2, wide)
        x += wide + GAP
    return shapes


def _stretched(bench: Bench, cuts: list[SectionCuts], width: float) -> Bench:
    """The bench widened to fill the sheet, up to twice."""
    used = sum(bench.width(cut.right is not None) for cut in cuts)
    factor = max(0.5, min((width - 8 - GAP * (len(cuts) - 1)) / used, 2.0))
    names = ("wall", "toe", "strip", "fill", "slope", "inside", "between")
    return Bench(**{name: getattr(bench, name) * factor for name in names})


def _small_words(cut: SectionCuts, states: States, x: float, room: float) -> list[Shape]:
    stage, state = most_urgent(cut, states)
    lines = list(wrap(cut.section.name, 8.0, room))[:2]
    out: list[Shape] = [Text(x, -15 - 9.5 * n, line, 8.0, bold=True, room=room) for n, line in enumerate(lines)]
    at = -15 - 9.5 * len(lines)
    done = state in (PartState.RELEASED, PartState.BURIED)
    words = ("all parts", state.value) if done else (SHORT_NAMES[stage], state.value)
    both = f"{words[0]}: {words[1]}"
    rows = (both,) if width_of(both, 7.6) <= room else (f"{words[0]}:", words[1])
    warn = state is PartState.REJECTED
    return out + [Text(x, at - 9 * n, row, 7.6, room=room, warn=warn) for n, row in enumerate(rows)]


def most_urgent(cut: SectionCuts, states: States) -> tuple[Stage, PartState]:
    """The part a reader must hear of first: rejected before held before presented, then in order of the work."""
    ranked = [(URGENCY.index(state_of(states, cut, stage)), n) for n, stage in enumerate(cut.stages)]
    rank, n = min(ranked)
    return cut.stages[n], URGENCY[rank]


def _link(
    cut: SectionCuts,
    states: States,
    stage: Stage,
    shapes: list[Line | Path | Symbol],
    label: tuple[Line | Path | Text | Symbol, ...],
) -> Link:
    title = f"{PART_NAMES[stage]}, {cut.section.name}: {state_of(states, cut, stage).value}"
    return Link(f"{cut.section.key}/{stage.value}", title, (*shapes, *label))


# -- the large drawing -------------------------------------------------------------------------------
def _detailed(cuts: list[SectionCuts], states: States, width: float) -> list[Shape]:
    bench = LARGE
    levels = _common_levels(cuts, LARGE_HEIGHT)
    shapes: list[Shape] = []
    x = row_top = 0.0
    height = LARGE_HEIGHT + 7 + 22
    rows_deep = max(TOUCH * max(len(c.stages) for c in cuts) + 20, height)
    for cut in cuts:
        wide = bench.width(cut.right is not None) + 8 + LABEL_WIDTH
        if x and x + wide > width - 8:
            x, row_top = 0.0, row_top - rows_deep - 16
        shapes += _panel(cut, states, bench, levels, x, row_top)
        x += wide + GAP
    return shapes


def _panel(cut: SectionCuts, states: States, bench: Bench, levels: Levels, x: float, top: float) -> list[Shape]:
    """One section: its name, its cut, and one row to tap per stage. ``top`` is the top of the panel on paper."""
    floor = top - 20 - LARGE_HEIGHT
    drawn = _cut_shapes(cut, states, bench, levels, x, numbered=True)
    wide = bench.width(cut.right is not None)
    out: list[Shape] = [Text(x, top - 6, cut.section.name, 10.0, anchor="start", bold=True)]
    out += [_raised(shape, floor) for shape in drawn.ground]
    out += [_level_text(cut.left, levels, x, floor)]
    for n, stage in enumerate(cut.stages):
        label = _label(cut, states, stage, n + 1, x + wide + 8, top - 20 - TOUCH * n)
        shapes = [_raised_part(shape, floor) for shape in drawn.by_stage[stage]]
        out.append(_link(cut, states, stage, shapes, label))
    return out


def _level_text(cut: WallCut, levels: Levels, x: float, floor: float) -> Text:
    grade = format_length(Length.from_inches(cut.grade_outside))
    return Text(x, floor + levels.y(cut.grade_outside), f"grade {grade}", 6.4, anchor="start", dx_pt=1, dy_pt=6)


def _label(
    cut: SectionCuts, states: States, stage: Stage, number: int, x: float, top: float
) -> tuple[Line | Path | Text | Symbol, ...]:
    """A row: number, sample of the state's line and hatch, name and word; its invisible frame is what is tapped."""
    state = state_of(states, cut, stage)
    look, middle = _look(stage, state), top - TOUCH / 2
    return (
        Path(box(x, top - TOUCH, x + LABEL_WIDTH, top), (), True, None),
        Line(x, top - TOUCH, x + LABEL_WIDTH, top - TOUCH, Stroke.THIN),
        Symbol(x + 8, middle, Mark.ROUND, str(number), 7.5),
        Path(box(x + 18, middle - 9, x + 36, middle + 9), (), True, look.stroke, look.hatch or Hatch.NONE, look.warn, look.wash),
        Text(x + 41, middle + 5, PART_NAMES[stage], 8.0, anchor="start"),
        Text(x + 41, middle - 5.5, state.value, 8.0, anchor="start", bold=True, warn=look.warn),
    )  # fmt: skip


def _raised(shape: Shape, dy: float) -> Shape:
    return shape if isinstance(shape, (Text, Link)) else _raised_part(shape, dy)  # type: ignore[arg-type]


def _raised_part(shape: Line | Path | Symbol, dy: float) -> Line | Path | Symbol:
    if isinstance(shape, Path):
        return Path(
            shifted(shape.points, 0, dy), shape.bulges, shape.closed, shape.stroke, shape.hatch, shape.warn, shape.wash
        )
    if isinstance(shape, Line):
        return Line(shape.x0, shape.y0 + dy, shape.x1, shape.y1 + dy, shape.stroke, shape.warn)
    return Symbol(shape.x, shape.y + dy, shape.mark, shape.text, shape.size_pt, shape.rotate)


def _legend() -> list[Legend]:
    """The seven states, each with its line and hatch (concrete stands for the material)."""
    return [
        Legend(
            state.value, look.stroke, Hatch.CONCRETE if look.hatch is None else look.hatch, None, look.warn, look.wash
        )
        for state, look in LOOKS.items()
    ]
