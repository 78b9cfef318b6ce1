"""The labels of a section: what each thing is and its size, with the point they speak of."""

from __future__ import annotations

from takeoff.drawings.cut import WallCut
from takeoff.drawings.dimension import feet_inches
from takeoff.drawings.scene import Callout
from takeoff.plan import Leg, Plan
from takeoff.site import BaseJoint
from takeoff.units import Length, format_length

#: Where the backfill is pointed at, outside the wall [in].
FILL_AT = -33.0


def names(cut: WallCut, plan: Plan, wall: Leg, inner: bool) -> list[Callout]:
    """Labels with leaders: the ground's side on the left, the building's on the right."""
    spec, earth = plan.spec.envelope, plan.spec.earth
    foot, edge = cut.footing_top, cut.footing_outside
    deep = min(cut.grade_outside, cut.top) - foot
    left = [
        (0.0, foot + deep * 0.8, f"membrane to {_small(spec.membrane_above_grade)} above grade"),
        (0.0, foot + deep * 0.62, "drainage board"),
        (FILL_AT, foot + deep * 0.5, f"backfill in {_small(earth.lift)} lifts"),
        (
            edge - cut.stone_beyond + 2,
            foot + cut.stone_over - 2,
            f"clean stone, {_small(spec.stone_over_footing)} over the footing, in filter fabric",
        ),
        (edge - 4, cut.footing_bottom + 4, f"{_small(spec.pipe_diameter)} drain pipe to outlet"),
    ]
    out: list[Callout] = [] if inner else [Callout(x, y, words, "left") for x, y, words in left]
    return out + [Callout(x, y, words, "right") for x, y, words in _inside_names(cut, plan, wall)]


def _inside_names(cut: WallCut, plan: Plan, wall: Leg) -> list[tuple[float, float, str]]:
    form, section_of = plan.form(wall.form), plan.section(cut.section)
    begin = cut.full_bottom if cut.wall_top is not None else cut.footing_top
    high = cut.top - begin
    out = [
        (cut.thickness - cut.foam / 2, begin + high * 0.85, f"foam {_small(form.foam)} each side"),
        (cut.middle, begin + high * 0.55, f"core {_small(wall.core)}, {plan.spec.concrete.strength_psi:,} psi"),
        *_steel_names(cut, plan, begin + high * 0.7),
    ]
    if cut.frost_top is not None and cut.wall_top is not None:
        words = f"cold joint {feet_inches(cut.frost_top)}, bars project a lap"
        out.append((cut.thickness - cut.foam, cut.frost_top, words))
    if cut.slab_underside is not None:
        out.append(
            (cut.thickness + 8, cut.slab_underside - 2, f"slab {_small(section_of.slab_thickness)} on clean stone")
        )
    out += [(-g.projection.inch / 2, g.level.inch, f"ledge, bearing {g.level}") for g in wall.ledges]
    return out


def _steel_names(cut: WallCut, plan: Plan, upright: float) -> list[tuple[float, float, str]]:
    bars, footing = plan.spec.bars, plan.spec.footing
    size = f"{_small(Length.from_inches(cut.footing_width))} x {_small(footing.thickness)}"
    keyed = footing.base_joint is BaseJoint.KEY_AND_DOWELS
    return [
        (cut.middle - 0.5, upright, f"#{bars.vertical_size} upright at {_small(bars.vertical_spacing)}"),
        (
            cut.middle + 1.2,
            cut.footing_top + 8,
            f"#{bars.horizontal_size} level, every {_courses(bars.horizontal_every_courses)}",
        ),
        (cut.middle - 0.9, cut.footing_top + 2, f"#{bars.dowel_size} dowels" + (" and keyway" if keyed else "")),
        (cut.footing_inside - 1.2, cut.footing_top, "capillary break on the footing"),
        (
            cut.footing_inside - footing.cover.inch - 0.5,
            cut.footing_bottom + footing.cover.inch + 0.5,
            f"footing {size}, {footing.bars_along} #{footing.bar_size} along",
        ),
    ]


def _small(length: Length) -> str:
    """A size on a detail, in inches as the trade says it."""
    return format_length(length, "in")


def _courses(count: int) -> str:
    return "course" if count == 1 else f"{count} courses"
