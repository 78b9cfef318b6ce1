"""The reinforcement schedule of a plan: footing bars, dowels, wall bars each way, bars around openings.

Bars are listed by leg with their cut lengths and the places they are drawn; quantities by section and stage in feet,
pieces and pounds, and as stock bars to buy (:mod:`takeoff.bar_stock`).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from takeoff.bar_levels import level_runs, levels_in, stopped_rows
from takeoff.bar_marks import marked
from takeoff.bar_runs import Gathered, LegSteel, legs_for_steel
from takeoff.bar_stock import SCHEDULE, stock_lengths, stock_quantities
from takeoff.bending import as_cut
from takeoff.blocks import Layout
from takeoff.code_bars import horizontal_problems
from takeoff.courses import grids
from takeoff.cutting import CuttingMethod
from takeoff.footing_bars import add_footing_bars, footing_problems
from takeoff.geometry import Placement
from takeoff.laps import BARS, SIZES, Lap, bar_size, footing_lap, lap_problem, wall_lap
from takeoff.lintels import without_head_bars
from takeoff.plan import Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Bar, BarRole, Criterion, Part, Quantity, Unit
from takeoff.sources import COMMON_PRACTICE, PLAN
from takeoff.units import Length, format_length
from takeoff.vertical_bars import add_verticals, dowel_lap
from takeoff.wall_bars import add_horizontals, add_opening_bars

#: Bars closer than this leave no room for concrete between them.
LEAST_SPACING = Length.inches(3)

#: Key and label of the quantity each role is added to.
KINDS = {
    BarRole.FOOTING: ("footing.bars", "Footing bars"),
    BarRole.FOOTING_CORNER: ("footing.bars", "Footing bars"),
    BarRole.DOWEL: ("dowels", "Dowels"),
    BarRole.HORIZONTAL: ("bars.horizontal", "Horizontal bars"),
    BarRole.CORNER: ("bars.corner", "Corner bars"),
    BarRole.VERTICAL: ("bars.vertical", "Vertical bars"),
    BarRole.PROJECTING: ("bars.vertical", "Vertical bars"),
    BarRole.OPENING: ("bars.opening", "Bars around openings"),
    BarRole.LINTEL: ("bars.lintel", "Lintel bars"),
    BarRole.STIRRUP: ("bars.stirrup", "Stirrups"),
    BarRole.LEDGE: ("bars.ledge", "Bars along ledges"),
    BarRole.PAD: ("bars.pad", "Bars in pads"),
}


def schedule(
    plan: Plan,
    placement: Placement,
    layout: Layout | None = None,
    cutting: CuttingMethod = CuttingMethod.PROVEN,
    more: tuple[Bar, ...] = (),
) -> Part:
    """All bars of a plan, marked. Levels of horizontal bars follow the same course grid as ``layout``.

    ``more`` are bars other parts of the engine ask for (pads, lintels, ledges): they are weighed, bought and marked
    with the rest; where there are lintels, the single bars over their openings are left out. ``cutting`` says how hard
    a cutting plan is looked for.
    """
    refused = unusable(plan)
    if refused:
        return Part(problems=refused)
    gathered = Gathered()
    legs = legs_for_steel(plan, placement, grids(plan))
    rows, by_name = {leg.name: level_runs(leg) for leg in legs}, {leg.name: leg for leg in legs}
    for leg in legs:
        after = by_name.get(leg.after.leg.name) if leg.after is not None else None
        beside = {level for _, level in rows[after.name]} if after is not None else set()
        add_footing_bars(gathered, leg)
        add_verticals(gathered, leg)
        add_horizontals(gathered, leg, rows[leg.name], after, beside)
        add_opening_bars(gathered, leg)
    own = gathered.bars(plan)
    if any(bar.role is BarRole.LINTEL for bar in more):
        own = without_head_bars(plan, placement, own)
    bars = marked((*own, *more))
    problems = (*_problems(plan, bars), *footing_problems(legs, bars), *stopped_rows(legs), *horizontal_problems(legs))
    return Part(_quantities(plan, bars, cutting), _criteria(plan, legs), problems, bars)


# -- quantities ------------------------------------------------------------------------------------
@dataclass(slots=True)
class _Sum:
    """Bars of one key and size in one section and stage."""

    by_leg: dict[str, Length] = field(default_factory=dict)
    count: int = 0
    by_leg_count: Counter[str] = field(default_factory=Counter)

    def add(self, bar: Bar) -> None:
        self.by_leg[bar.leg] = self.by_leg.get(bar.leg, Length(0)) + bar.count * bar.cut_length
        self.by_leg_count[bar.leg] += bar.count
        self.count += bar.count

    @property
    def feet(self) -> float:
        return sum(length.nm for length in self.by_leg.values()) / Length.feet(1).nm

    def basis(self) -> str:
        return ", ".join(f"{leg} {self.by_leg_count[leg]} in all {length}" for leg, length in self.by_leg.items())


def _quantities(plan: Plan, bars: tuple[Bar, ...], cutting: CuttingMethod) -> tuple[Quantity, ...]:
    kinds: defaultdict[tuple[str, Stage, str, int], _Sum] = defaultdict(_Sum)
    stock: defaultdict[tuple[str, Stage, int], Counter[Length]] = defaultdict(Counter)
    for bar in bars:
        kinds[bar.section, bar.stage, KINDS[bar.role][0], bar.size].add(bar)
        stock[bar.section, bar.stage, bar.size][as_cut(bar.cut_length)] += bar.count
    walls = {leg.name for leg in plan.legs()}
    out = [_kind_quantity(*key, total, walls) for key, total in kinds.items()]
    for key, pieces in stock.items():
        of_size = {k[2]: total for k, total in kinds.items() if (k[0], k[1], k[3]) == key}
        legs = tuple(dict.fromkeys(leg for total in of_size.values() for leg in total.by_leg if leg in walls))
        parts = ", ".join(f"{KIND_WORDS[kind]} {total.feet:.1f} ft" for kind, total in of_size.items())
        out += stock_quantities(plan.spec.bars, key, pieces, parts, legs, cutting)
        out.append(_weight(key, of_size, legs))
    return tuple(out)


def _kind_quantity(section: str, stage: Stage, kind: str, size: int, total: _Sum, walls: set[str]) -> Quantity:
    label = next(text for key, text in KINDS.values() if key == kind)
    key = kind if kind in ("footing.bars", "dowels") else f"{kind}.#{size}"
    legs = tuple(leg for leg in total.by_leg if leg in walls)
    if kind == "dowels":
        basis = ", ".join(f"{leg} {count}" for leg, count in total.by_leg_count.items()) + f" = {total.count}"
        return Quantity(
            key,
            f"{label} #{size}",
            total.count,
            Unit.EACH,
            stage,
            section,
            "reinforcement",
            basis,
            SCHEDULE,
            None,
            legs,
        )
    basis = f"{total.basis()} = {total.feet:.1f} ft in {total.count} bars"
    return Quantity(
        key, f"{label} #{size}", total.feet, Unit.FT, stage, section, "reinforcement", basis, SCHEDULE, None, legs
    )


def _weight(key: tuple[str, Stage, int], kinds: dict[str, _Sum], legs: tuple[str, ...]) -> Quantity:
    """The weight of one size as cut."""
    section, stage, size = key
    feet, weight = sum(total.feet for total in kinds.values()), bar_size(size).weight
    return Quantity(
        f"bars.weight.#{size}", f"Weight of bars #{size}", feet * weight, Unit.LB, stage, section,
        "reinforcement", f"{feet:.1f} ft x {weight} lb/ft = {feet * weight:.0f} lb", BARS, None, legs,
    )  # fmt: skip


KIND_WORDS = {key: text.lower() for key, text in KINDS.values()}


# -- problems --------------------------------------------------------------------------------------
def unusable(plan: Plan) -> tuple[Problem, ...]:
    """Bar sizes, a spacing or a stock length no schedule can be made with, one sentence each."""
    spec, footing = plan.spec.bars, plan.spec.footing
    sizes = {
        "footing bars": ("spec.footing.bar_size", footing.bar_size),
        "dowels": ("spec.bars.dowel_size", spec.dowel_size),
        "horizontal bars": ("spec.bars.horizontal_size", spec.horizontal_size),
        "vertical bars": ("spec.bars.vertical_size", spec.vertical_size),
        "bars around openings": ("spec.bars.opening_bar_size", spec.opening_bar_size),
    }
    out = [
        Problem(Severity.BLOCKER, f"The size of the {use} is #{size}; #3 to #8 can be scheduled.", path)
        for use, (path, size) in sizes.items()
        if size not in SIZES
    ]
    if spec.vertical_spacing < LEAST_SPACING:
        sentence = (
            f"Vertical bars at {_in(spec.vertical_spacing)} are closer than {_in(LEAST_SPACING)}; check the spacing."
        )
        out.append(Problem(Severity.BLOCKER, sentence, "spec.bars.vertical_spacing"))
    if not out:
        cores = {leg.core for leg in plan.legs()}
        laps = [wall_lap(plan.spec, core, spec.horizontal_size, upright=False).length for core in cores]
        longest = max(footing_lap(plan.spec, footing.bar_size).length, *laps)
        if spec.stock_length < 4 * longest:
            sentence = (
                f"Stock bars of {spec.stock_length} are too short to lap {longest}; {4 * longest} or more is needed."
            )
            out.append(Problem(Severity.BLOCKER, sentence, "spec.bars.stock_length"))
    return tuple(out)


def _problems(plan: Plan, bars: tuple[Bar, ...]) -> tuple[Problem, ...]:
    spec = plan.spec
    uses = (
        ("footing bars", spec.footing.bar_size),
        ("dowels", spec.bars.dowel_size),
        ("horizontal bars", spec.bars.horizontal_size),
        ("vertical bars", spec.bars.vertical_size),
    )
    strength = spec.concrete.strength_psi
    out = [p for use, size in uses if (p := lap_problem(size, spec.bars.grade_ksi, use, strength)) is not None]
    stock = stock_lengths(spec.bars)[-1]
    for bar in {(b.role, b.size, b.cut_length): b for b in bars if b.cut_length > stock}.values():
        sentence = (
            f"{bar.leg}: a {bar.role.value} bar of {bar.cut_length} is longer than the {stock} stock; order it longer "
            "or have a lap shown by the engineer."
        )
        out.append(Problem(Severity.WARNING, sentence, path="spec.bars.stock_length", leg=bar.leg))
    out += _cramped_corners(plan, bars)
    if any(step.footing_top is not None for leg in plan.legs() for step in leg.steps):
        sentence = "Footing bars run on through steps, bent down and up; their length is the centre line and the rises."
        out.append(Problem(Severity.NOTE, sentence))
    return tuple(out)


def _cramped_corners(plan: Plan, bars: tuple[Bar, ...]) -> list[Problem]:
    """Corner bars that a short leg, an opening or a step leaves no room to lap."""
    size = plan.spec.bars.horizontal_size
    laps = {leg.name: wall_lap(plan.spec, leg.core, size, upright=False).length for leg in plan.legs()}
    shortest: dict[str, Length] = {}
    for bar in bars:
        if bar.role is BarRole.CORNER and bar.lap is not None and bar.lap < laps[bar.leg]:
            shortest[bar.leg] = min(bar.lap, shortest.get(bar.leg, laps[bar.leg]))
    return [
        Problem(
            Severity.WARNING,
            f"{leg}: a short leg, or an opening or a step close to a corner, leaves corner bars a leg of only "
            f"{_in(got)}, less than the lap of {_in(laps[leg])}; ask the engineer how they are to be hooked or moved.",
            leg=leg,
        )
        for leg, got in shortest.items()
    ]


# -- criteria --------------------------------------------------------------------------------------
def _criteria(plan: Plan, legs: tuple[LegSteel, ...]) -> tuple[Criterion, ...]:
    """The numbers of the steel that a person finds on site, by stage."""
    if not legs:
        return ()
    out = _footing_criteria(plan, legs)
    for stage in (Stage.FROST_WALL, Stage.FULL_WALL):
        of = tuple(leg for leg in legs if any(zone.stage is stage for zone in leg.zones))
        if of:
            out += _wall_criteria(plan, stage, of) + _level_criteria(stage, of)
    return tuple(out)


def _footing_criteria(plan: Plan, legs: tuple[LegSteel, ...]) -> list[Criterion]:
    names, spec = tuple(leg.name for leg in legs), plan.spec
    stepped = any(step.footing_top is not None for leg in legs for step in leg.leg.steps)
    lap, up = footing_lap(spec, spec.footing.bar_size), legs[0].lap(spec.bars.vertical_size)
    dowel, spacing = max(dowel_lap(leg) for leg in legs), spec.bars.vertical_spacing
    rows = [
        ("footing.bars", "Bars along the footing", float(spec.footing.bars_along), "bars", "at least", PLAN,
         f"{spec.footing.bars_along} bars #{spec.footing.bar_size} along the footing"
         + (", running through steps" if stepped else "")),
        ("footing.bar_lap", "Laps of footing bars", lap.length.inch, "in", "at least", lap.source,
         f"#{spec.footing.bar_size} laps {_in(lap.length)} or more"),
        ("dowel.size", "Dowel size", float(spec.bars.dowel_size), "#", "at least", PLAN,
         f"dowels #{spec.bars.dowel_size}"),
        ("dowel.spacing", "Dowel spacing", spacing.inch, "in", "at most", PLAN,
         f"dowels at {_in(spacing)} or closer, one under every vertical bar"),
        ("dowel.projection", "Dowels above the footing", dowel.inch, "in", "at least", up.source,
         f"dowels stand {_in(dowel)} or more above the footing"),
    ]  # fmt: skip
    return [
        Criterion(key, label, value, unit, sense, Stage.FOOTING, source, 0.0, names, text)
        for key, label, value, unit, sense, source, text in rows
    ]


def _wall_criteria(plan: Plan, stage: Stage, legs: tuple[LegSteel, ...]) -> list[Criterion]:
    names, spec = tuple(leg.name for leg in legs), plan.spec.bars
    across, up = _longest(legs, spec.horizontal_size, upright=False), _longest(legs, spec.vertical_size)
    edge = spec.opening_edge_within
    rows = [
        ("wall.bar_size", "Vertical bar size", float(spec.vertical_size), "#", "at least", PLAN,
         f"verticals #{spec.vertical_size}, horizontals #{spec.horizontal_size}, Grade {spec.grade_ksi}"),
        ("wall.vertical_spacing", "Vertical bars", spec.vertical_spacing.inch, "in", "at most", PLAN,
         f"verticals #{spec.vertical_size} at {_in(spec.vertical_spacing)} or closer"),
        ("wall.vertical_lap", "Laps of vertical bars", up.length.inch, "in", "at least", up.source,
         f"#{spec.vertical_size} laps {_in(up.length)} or more"),
        ("wall.horizontal_lap", "Laps of horizontal bars", across.length.inch, "in", "at least", across.source,
         f"#{spec.horizontal_size} laps {_in(across.length)} or more"),
        ("wall.top_bar", "Top bar below the top", 12.0, "in", "at most", COMMON_PRACTICE,
         "a horizontal bar within 12\" of the top and of the bottom of the pour"),
    ]  # fmt: skip
    beside = tuple(leg.name for leg in legs if pierced(leg, stage))
    carrying = tuple(leg.name for leg in legs if any(z.stage is stage and z.carries_wall for z in leg.zones))
    if beside:
        rows.append(
            ("wall.opening_edge", "Vertical bar beside openings", edge.inch, "in", "at most", PLAN,
             f"a vertical bar within {_in(edge)} of each edge of every opening")
        )  # fmt: skip
    if carrying:
        rows.append(
            ("wall.projection", "Bars above the cold joint", up.length.inch, "in", "at least", up.source,
             f"verticals stand {_in(up.length)} or more above the cold joint")
        )  # fmt: skip
    only = {"wall.opening_edge": beside, "wall.projection": carrying}
    return [
        Criterion(key, label, value, unit, sense, stage, source, 0.0, only.get(key, names), text)
        for key, label, value, unit, sense, source, text in rows
    ]


def _longest(legs: tuple[LegSteel, ...], size: int, upright: bool = True) -> Lap:
    """The longest lap of a wall bar among legs; they differ only where laps follow the core."""
    return max((leg.lap(size, upright) for leg in legs), key=lambda lap: lap.length)


def pierced(leg: LegSteel, stage: Stage) -> bool:
    """True where an opening stands in the wall of a stage."""
    return any(
        zone.stage is stage and sill < zone.top and head > zone.bottom
        for zone in leg.zones
        for _, sill, head in leg.openings
    )


def _level_criteria(stage: Stage, legs: tuple[LegSteel, ...]) -> list[Criterion]:
    """How many rows of horizontal bars lie over one another, legs with the same numbers together; where a leg steps,
    the fewest and the most."""
    by_count: dict[tuple[int, int], list[str]] = {}
    for leg in legs:
        counts = [len(levels_in(zone, leg)) for zone in leg.zones if zone.stage is stage]
        by_count.setdefault((min(counts), max(counts)), []).append(leg.name)
    return [
        Criterion("wall.horizontal_rows", "Rows of horizontal bars", float(few), "rows", "at least", stage, PLAN, 0.0,
                  tuple(names), _rows_text(few, many))
        for (few, many), names in by_count.items()
    ]  # fmt: skip


def _rows_text(few: int, many: int) -> str:
    if few < many:
        return f"{few} to {many} rows of horizontal bars, by the height of the wall"
    return f"{many} row{'' if many == 1 else 's'} of horizontal bars"


def _in(length: Length) -> str:
    return format_length(length, "in")
