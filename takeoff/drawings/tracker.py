"""The house as its own section through the ground, each stage a part that shows how far it is.

Levels are to scale, on one datum for all sections, so that how deep each one is and how far out of the ground it
still stands is seen at once; widths across the wall are schematic, so that a membrane can be seen and tapped. Every
state has its own line, hatch and word. Scene coordinates are points on paper (scale 1).
"""

from __future__ import annotations

from takeoff.drawings.cut import WallCut, box, shifted, wall_cut
from takeoff.drawings.lettering import width_of, wrap
from takeoff.drawings.scene import Hatch, Legend, Line, Link, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.drawings.svg import POINTS_PER_PIXEL, TOUCH
from takeoff.drawings.tracker_cut import cut_shapes, drawn, look_of
from takeoff.drawings.tracker_parts import Bench, Heights
from takeoff.drawings.tracker_states import (
    LOOKS,
    PART_NAMES,
    SHORT_NAMES,
    PartState,
    SectionCuts,
    States,
    most_urgent,
    state_of,
)
from takeoff.plan import Leg, Plan, Section, Stage, WalkKind
from takeoff.stages import leg_stages
from takeoff.units import Length, format_length

__all__ = ["PartState", "States", "section_cuts", "tracker"]

SMALL = Bench(wall=12, toe=4, strip=5, fill=12, slope=9, inside=18, between=26)
LARGE = Bench(wall=20, toe=7, strip=8, fill=20, slope=12, inside=30, between=46)
SMALL_HEIGHT = 104.0
LARGE_HEIGHT = 186.0
LABEL_WIDTH = 118.0
GAP = 10.0


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


def section_cuts(plan: Plan, section: Section) -> SectionCuts:
    """Choose the walls to draw: the deepest leg and, where the section has a full-height wall or is all there is,
    the leg with the lowest ground outside (a walk-out is seen), else the one with the highest footing."""
    legs = _outer_legs(plan, section.key)
    left = min(legs, key=lambda leg: (_lowest(leg), -leg.levels.top.nm))
    others = [leg for leg in legs if leg is not left]
    alone = len({leg.section for leg in plan.legs()}) == 1
    paired = bool(others) and (alone or any(leg.wall_top is not None for leg in legs))
    right = max(others, key=lambda leg: (-_ground(leg).nm, _lowest(leg).nm)) if paired else None
    every = plan.legs_in(section.key)
    goes_through = leg_stages(plan)
    stages = [stage for stage in Stage if any(stage in goes_through[leg.name] for leg in every)]
    at = None if right is None else _ground_at(right)
    return SectionCuts(
        section, wall_cut(plan, left), None if right is None else wall_cut(plan, right, at), tuple(stages)
    )


def _outer_legs(plan: Plan, section: str) -> tuple[Leg, ...]:
    """Legs of a section that are part of a ring; all of them where it hangs on another (a garage)."""
    rings = [walk for walk in plan.walks if walk.kind is WalkKind.RING]
    return tuple(leg for walk in rings for leg in walk.legs if leg.section == section) or plan.legs_in(section)


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


def _common_heights(cuts: list[SectionCuts], height: float, scale: float | None = None) -> Heights:
    """One scale of levels for all of these: so that they fit the height [pt], or the one given [pt per in]."""
    walls = [wall for cut in cuts for wall in (cut.left, cut.right) if wall is not None]
    bottom = min(w.footing_bottom for w in walls)
    top = max(max(w.top, w.grade_outside, w.membrane_top) for w in walls)
    return Heights(top, bottom, scale or height / max(top - bottom, 1.0))


# -- the small drawing -------------------------------------------------------------------------------
def _small(cuts: list[SectionCuts], states: States, width: float) -> list[Shape]:
    bench = _stretched(SMALL, cuts, width)
    heights = _common_heights(cuts, SMALL_HEIGHT)
    shapes: list[Shape] = []
    x = 0.0
    for cut in cuts:
        shapes_of = cut_shapes(cut, states, bench, heights, x, numbered=False)
        wide = bench.width(cut.right is not None)
        shapes += shapes_of.ground
        shapes += [_link(cut, states, stage, shapes_of.by_stage[stage], ()) for stage in cut.stages]
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
    scale = _common_heights(cuts, LARGE_HEIGHT).scale
    shapes: list[Shape] = []
    top = 0.0
    for row in _rows(cuts, width - 8):
        heights = _common_heights(row, LARGE_HEIGHT, scale)
        x = 0.0
        for cut in row:
            shapes += _panel(cut, states, LARGE, heights, x, top)
            x += _panel_width(cut) + GAP
        deep = (heights.top - heights.bottom) * scale + 7
        top -= 20 + max(TOUCH * max(len(c.stages) for c in row), deep + 12) + 14
    return shapes


def _panel_width(cut: SectionCuts) -> float:
    return LARGE.width(cut.right is not None) + 8 + LABEL_WIDTH


def _rows(cuts: list[SectionCuts], width: float) -> list[list[SectionCuts]]:
    """Panels side by side as far as they go."""
    rows: list[list[SectionCuts]] = []
    used = 0.0
    for cut in cuts:
        wide = _panel_width(cut)
        if rows and used + GAP + wide <= width:
            rows[-1].append(cut)
            used += GAP + wide
        else:
            rows.append([cut])
            used = wide
    return rows


def _panel(cut: SectionCuts, states: States, bench: Bench, heights: Heights, x: float, top: float) -> list[Shape]:
    """One section: its name, its cut, and one row to tap per stage. ``top`` is the top of the panel on paper."""
    floor = top - 20 - heights.y(heights.top)
    shapes_of = cut_shapes(cut, states, bench, heights, x, numbered=True)
    wide = bench.width(cut.right is not None)
    out: list[Shape] = [Text(x, top - 6, cut.section.name, 10.0, anchor="start", bold=True)]
    out += [_raised(shape, floor) for shape in shapes_of.ground]
    out += _level_texts(cut.left, bench, heights, x, floor)
    for n, stage in enumerate(cut.stages):
        label = _label(cut, states, stage, n + 1, x + wide + 8, top - 20 - TOUCH * n)
        shapes = [_raised_part(shape, floor) for shape in shapes_of.by_stage[stage]]
        out.append(_link(cut, states, stage, shapes, label))
    return out


def _level_texts(cut: WallCut, bench: Bench, heights: Heights, x: float, floor: float) -> list[Shape]:
    """Grade and footing top in feet-inches, beside and below the left wall."""
    room = bench.outside - bench.strip - 3
    grade = f"grade {_said(cut.grade_outside)}"
    footing = f"top of footing {_said(cut.footing_top)}"
    low = floor + heights.y(cut.footing_bottom) - 7
    return [
        Text(x, floor + heights.y(cut.grade_outside), grade, 6.4, anchor="start", dx_pt=1, dy_pt=6, room=room),
        Text(x + bench.outside - bench.toe, low, footing, 6.4, anchor="start", dy_pt=-5, halo=True),
    ]


def _said(level: float) -> str:
    return format_length(Length.from_inches(level))


def _label(
    cut: SectionCuts, states: States, stage: Stage, number: int, x: float, top: float
) -> tuple[Line | Path | Text | Symbol, ...]:
    """A row: number, sample of the state's line and hatch, name and word; its invisible frame is what is tapped."""
    state = state_of(states, cut, stage)
    look, middle = look_of(stage, state), top - TOUCH / 2
    return (
        Path(box(x, top - TOUCH, x + LABEL_WIDTH, top), (), True, None),
        Line(x, top - TOUCH, x + LABEL_WIDTH, top - TOUCH, Stroke.THIN),
        Symbol(x + 8, middle, Mark.ROUND, str(number), 7.5),
        *drawn(box(x + 18, middle - 9, x + 36, middle + 9), look, broken_off=False),
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
    hatches = {None: Hatch.CONCRETE, Hatch.NONE: Hatch.PAPER}
    return [
        Legend(state.value, look.stroke, hatches.get(look.hatch, look.hatch or Hatch.NONE), None, look.warn, look.wash)
        for state, look in LOOKS.items()
    ]
