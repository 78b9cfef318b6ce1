"""Bars along the footings: lapped, a corner bar for each at every corner, bent through steps, into what they meet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from takeoff.bar_runs import END_COVER, Gathered, LegSteel, Line, Met, inset
from takeoff.bending import bent
from takeoff.geometry import CornerKind
from takeoff.laps import MAIN_BEND, bar_size, footing_lap, lapped_pieces
from takeoff.plan import Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Bar, BarRole, BarShape
from takeoff.units import ZERO, Length, format_length

#: A bend has at least this many bar diameters of bar beyond it. A 90 degree hook's extension: read in the WSDOT bridge
#: library's reinforcing data and in McCormac and Brown, 9th ed., 7.5.
TAIL = 12

#: Where a bend would fall into a lap, the bars of the run are made shorter by this, and by this again. Common practice,
#: no source.
SHORTER = Length.inches(3)
TRIES = 40


@dataclass(frozen=True, slots=True)
class Path:
    """One bar's way along a leg as if stretched straight: its length, and where it bends how far [degrees, up +]."""

    length: Length
    bends: tuple[tuple[Length, float], ...]
    basis: str


def add_footing_bars(bars: Gathered, leg: LegSteel) -> None:
    """The bars along one leg's footing, on the wall's centre line, every other one with its laps moved."""
    spec = leg.plan.spec.footing
    lap = footing_lap(leg.plan.spec, spec.bar_size).length
    path = path_of(leg)
    for index in range(spec.bars_along):
        pieces = pieces_of(path, leg.plan, lap, turned=index % 2 == 1)
        used = lap if len(pieces) > 1 else None
        text = f"{path.basis}, in {len(pieces)} bars" + (f", lap {_in(lap)}" if used else "")
        lines = _lines(leg) if index == 0 else []
        for (start, end), drawn in zip(stretched(pieces, lap), [lines, *[[]] * (len(pieces) - 1)], strict=True):
            shape = shape_between(path, start, end, spec.bar_size)
            if shape is None:
                bars.add(leg.name, Stage.FOOTING, BarRole.FOOTING, spec.bar_size, end - start, text, 1, used, drawn)
            else:
                bars.add_bent(leg.name, Stage.FOOTING, BarRole.FOOTING, spec.bar_size, shape, text, 1, used, drawn)
    _add_corners(bars, leg, lap)


# -- the way of a bar ------------------------------------------------------------------------------
def path_of(leg: LegSteel) -> Path:
    """The way of one bar along a leg: the centre line, less cover at free ends, up and down at each step."""
    cover, centre = leg.plan.spec.footing.cover, leg.geometry.centre.length
    text = f"centre line {centre}"
    free = [corner.kind is CornerKind.END for corner in (leg.geometry.start, leg.geometry.end)]
    if any(free):
        text += f" less {sum(free)} x {_in(cover)} cover"
    begins = inset(leg.geometry.start, leg.thickness.half())
    at_zero = cover if free[0] else ZERO
    bends, rises = [], ZERO
    for below, above in pairwise(leg.stretches):
        rise = above.levels.footing_top - below.levels.footing_top
        if rise:
            at = leg.along_bar(above.start - begins) - at_zero + rises
            up = 90.0 if rise > ZERO else -90.0
            bends += [(at, up), (at + abs(rise), -up)]
            rises += abs(rise)
    if rises:
        text += f" + {_in(rises)} of steps it runs through"
    return Path(centre - sum(free) * cover + rises, tuple(bends), text)


def pieces_of(path: Path, plan: Plan, lap: Length, turned: bool) -> tuple[Length, ...]:
    """The bars of a path, lapped: of stock length where their laps lie clear of bends, else of the longest shorter
    ones whose laps do, else those that leave each bend its tail; from either end, so that it does not matter which way
    the leg was walked."""
    size, stock = plan.spec.footing.bar_size, plan.spec.bars.stock_length
    tail = Length.from_inches(TAIL * bar_size(size).diameter)
    shortest = max(4 * lap.nm, stock.nm - (TRIES - 1) * SHORTER.nm) if path.bends else stock.nm
    lengths = [Length(nm) for nm in range(stock.nm, shortest - 1, -SHORTER.nm)]
    for clear in (True, False):
        for length in lengths:
            pieces = lapped_pieces(path.length, length, lap, turned)
            for way in (pieces, pieces[::-1]) if path.bends else (pieces,):
                if _suits(path, way, lap, tail, clear):
                    return way
    return lapped_pieces(path.length, stock, lap, turned)


def _suits(path: Path, pieces: tuple[Length, ...], lap: Length, tail: Length, clear: bool) -> bool:
    """True where every bend has its tail in each bar it belongs to and, if ``clear``, lies in no lap."""
    spans = list(stretched(pieces, lap))
    for at, _ in path.bends:
        held = [(start, end) for start, end in spans if start < at < end]
        if any(at - start < tail or end - at < tail for start, end in held) or (clear and len(held) > 1):
            return False
    return True


def stretched(pieces: tuple[Length, ...], lap: Length) -> Iterator[tuple[Length, Length]]:
    """From where to where along the path each bar of a lapped run lies."""
    at = ZERO
    for piece in pieces:
        yield at, at + piece
        at += piece - lap


def shape_between(path: Path, start: Length, end: Length, size: int) -> BarShape | None:
    """Shape of the bar that follows a path from ``start`` to ``end``: a leg out to out is its middle line and half a
    bar diameter for each bend at its ends. None where it is straight."""
    bends = [(at, turn) for at, turn in path.bends if start < at < end]
    if not bends:
        return None
    half = Length.from_inches(bar_size(size).diameter / 2)
    ends = [start, *(at for at, _ in bends), end]
    legs = [b - a + (half if k in (0, len(bends)) else 2 * half) for k, (a, b) in enumerate(pairwise(ends))]
    return BarShape(tuple(legs), tuple(turn for _, turn in bends), MAIN_BEND)


def _lines(leg: LegSteel) -> list[Line]:
    spec = leg.plan.spec.footing
    out = []
    for stretch in leg.stretches:
        y = (stretch.levels.footing_top - spec.thickness + spec.cover).inch
        out.append((stretch.start.inch, y, stretch.end.inch, y))
    return out


# -- corners and Ts --------------------------------------------------------------------------------
def _add_corners(bars: Gathered, leg: LegSteel, lap: Length) -> None:
    """A corner bar for each bar along, at the leg's end, and at Ts bars into what the footing meets."""
    spec, corner = leg.plan.spec.footing, leg.geometry.end
    size, count, role = spec.bar_size, spec.bars_along, BarRole.FOOTING_CORNER
    if leg.after is not None and corner.kind is CornerKind.STRAIGHT:
        text = f"legs in line: {_in(lap)} each way"
        bars.add(leg.name, Stage.FOOTING, role, size, lap + lap, text, count, lap)
    elif leg.after is not None:
        text = f"legs {_in(lap)} x {_in(lap)}, {corner.deflection_deg:g} degrees, bend inside 6 bar diameters"
        bars.add_bent(leg.name, Stage.FOOTING, role, size, bent(lap, lap, corner.deflection_deg), text, count, lap)
    for met, stretch in zip(leg.met, (leg.stretches[0], leg.stretches[-1]), strict=True):
        if met is None:
            continue
        way = meets(leg.plan, stretch.levels.footing_top, met)
        if way == "footing":
            text = f"into the footing met in a T, legs {_in(lap)} x {_in(lap)}, bend inside 6 bar diameters"
            bars.add_bent(leg.name, Stage.FOOTING, role, size, bent(lap, lap), text, count, lap)
        elif way == "wall":
            form = leg.plan.form(met.leg.form)
            through = form.foam + met.leg.core - END_COVER
            text = (
                f"straight into the wall of {met.leg.name}, whose footing lies at another level: lap {_in(lap)} + "
                f"{_in(form.foam)} foam + core less {_in(END_COVER)}"
            )
            bars.add(leg.name, Stage.FOOTING, role, size, lap + through, text, count, lap)


def meets(plan: Plan, footing_top: Length, met: Met) -> str:
    """What the bars of a footing run into at a T: the other 'footing' where they lie within its depth, its 'wall' where
    they lie above it, 'nothing' where they lie below."""
    spec = plan.spec.footing
    apart = footing_top - met.levels.footing_top
    if abs(apart) <= max(ZERO, spec.thickness - 2 * spec.cover):
        return "footing"
    return "wall" if apart > ZERO else "nothing"


# -- sentences -------------------------------------------------------------------------------------
def footing_problems(legs: tuple[LegSteel, ...], bars: tuple[Bar, ...]) -> list[Problem]:
    """What a person must be asked about bars along footings: bends close to an end, footings that meet at different
    levels."""
    out = []
    for bar in bars:
        if bar.role is BarRole.FOOTING and bar.shape is not None:
            tail, shortest = TAIL * bar_size(bar.size).diameter, min(bar.shape.legs[0], bar.shape.legs[-1])
            if shortest.inch < tail:
                sentence = (
                    f"{bar.leg}: a footing bar bends {_in(shortest)} from its end at a step, less than {TAIL} bar "
                    "diameters; ask the engineer where it may be lapped."
                )
                out.append(Problem(Severity.WARNING, sentence, leg=bar.leg))
    for leg in legs:
        for met, stretch in zip(leg.met, (leg.stretches[0], leg.stretches[-1]), strict=True):
            way = meets(leg.plan, stretch.levels.footing_top, met) if met is not None else "footing"
            if met is not None and way != "footing":
                out.append(Problem(Severity.WARNING, _meeting(leg.name, met.leg.name, way), leg=leg.name))
    return list(dict.fromkeys(out))


def _meeting(name: str, met: str, way: str) -> str:
    if way == "wall":
        return (
            f"{name}: its footing meets the wall of {met} above that wall's footing. Its bars are counted straight "
            "through the foam to the far face of the core; ask the engineer whether they are hooked there and what "
            "carries the end of the footing."
        )
    return (
        f"{name}: its footing lies lower than that of {met}, which it meets; no bars are counted between them. Ask the "
        f"engineer how {met} is carried where the ground under it is dug away."
    )


def _in(length: Length) -> str:
    return format_length(length, "in")
