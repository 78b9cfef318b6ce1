"""Bars on paper: for the crew what goes where with its cover, for the fabricator what is cut and bent, and the cuts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from inspections.handouts.pictures import Picture
from inspections.handouts.subject import Subject
from inspections.legs import in_runs
from takeoff.bar_list import BarLine, SizeCuts, bar_list, cutting_plan
from takeoff.bar_stock import STOCK_BARS, stock_key
from takeoff.bending import ShapeKind
from takeoff.drawings.bar_shapes import bar_shape
from takeoff.drawings.svg import render
from takeoff.placing import Placing, placing_of
from takeoff.results import Bar, BarRole
from takeoff.units import ZERO, Length, format_length

BAR_WORDS = {
    BarRole.FOOTING: "along the footing",
    BarRole.FOOTING_CORNER: "footing corner, bent",
    BarRole.DOWEL: "dowel, footing to wall",
    BarRole.HORIZONTAL: "horizontal",
    BarRole.CORNER: "corner, bent",
    BarRole.VERTICAL: "vertical",
    BarRole.PROJECTING: "vertical, up past the cold joint",
    BarRole.OPENING: "beside an opening",
    BarRole.LINTEL: "over an opening",
    BarRole.STIRRUP: "stirrup, bent",
    BarRole.LEDGE: "along a brick ledge",
    BarRole.PAD: "in a pad",
}

#: Room for the sketch of a bent bar [pt]: four of them stand side by side.
SKETCH = 120.0, 92.0


# -- for the crew ------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class BarRow:
    """Bars of one mark; ``length`` as cut, to the quarter inch; ``shape`` its legs out to out by letter and its lap,
    where there are any. ``where`` counts them leg by leg."""

    mark: str
    size: str
    count: int
    length: str
    shape: str
    where: str


@dataclass(frozen=True, slots=True)
class BarGroup:
    """Bars that do the same and lie alike: where, with which cover, and how far off they may be."""

    use: str
    cover: str
    tolerance: str
    source: str
    rows: tuple[BarRow, ...]


def bar_groups(subject: Subject) -> list[BarGroup]:
    """The stage's bars for the legs of the sheet (pads with their section), by what they do, in the order of marks."""
    plan, groups = subject.takeoff.plan, dict[tuple[BarRole, Placing], list[Bar]]()
    cores = {leg.name: leg.core for leg in plan.legs()}
    for bar in _bars_of(subject):
        placing = placing_of(bar, plan, cores.get(bar.leg, ZERO))
        groups.setdefault((bar.role, placing), []).append(bar)
    ordered = sorted(groups.items(), key=lambda item: list(BarRole).index(item[0][0]))
    return [
        BarGroup(BAR_WORDS[role], placing.cover, placing.tolerance, str(placing.source), tuple(_rows(subject, bars)))
        for (role, placing), bars in ordered
    ]


def _bars_of(subject: Subject) -> list[Bar]:
    return [
        bar
        for bar in subject.takeoff.bars
        if bar.stage is subject.kind
        and (bar.leg in subject.legs or (bar.role is BarRole.PAD and bar.section in subject.sections))
    ]


def _rows(subject: Subject, bars: Sequence[Bar]) -> Iterable[BarRow]:
    laps: dict[str, dict[Length, None]] = {}
    for bar in bars:
        if bar.lap is not None:
            laps.setdefault(bar.mark, {})[bar.lap] = None
    for line in bar_list(replace(subject.takeoff, bars=tuple(bars)), subject.kind):
        bent = [] if line.kind is ShapeKind.STRAIGHT else [line.legs_said(), line.bend_said().split(",")[0]]
        lap = [f"lap {' or '.join(format_length(lap, 'in') for lap in own)}"] if (own := laps.get(line.mark)) else []
        where = _where(subject, line.legs)
        yield BarRow(line.mark, f"#{line.size}", line.count, line.cut_said(), "; ".join(bent + lap), where)


def _where(subject: Subject, counted: Sequence[tuple[str, int]]) -> str:
    """'A 12, B 4', or '6 each on E to J'; pads by their own names."""
    counts = dict(counted)
    order = [leg for leg in subject.legs if leg in counts] + [name for name in counts if name not in subject.legs]
    if len(counts) > 1 and len(set(counts.values())) == 1:
        return f"{counts[order[0]]} each on {in_runs(order)}"
    return ", ".join(f"{name} {counts[name]}" for name in order)


# -- for the fabricator ------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class ListRow:
    """One mark of the bar list. ``shape`` says its kind, and of a bent bar the legs, bends and what they save."""

    mark: str
    shape: str
    length: str
    count: int
    weight: str
    where: str


@dataclass(frozen=True, slots=True)
class SizeList:
    """All marks of one size: '#5, Grade 60'."""

    size: str
    weight: str
    rows: tuple[ListRow, ...]


@dataclass(frozen=True, slots=True)
class CutRow:
    """Stock bars of a length cut alike: '20 of 40'-0"'."""

    bars: str
    pieces: str
    left: str


@dataclass(frozen=True, slots=True)
class CutTable:
    """How one size is cut, and how good that is: 'fewest possible', or by how much it may be over."""

    size: str
    said: str
    rows: tuple[CutRow, ...]


@dataclass(frozen=True, slots=True)
class BarList:
    """What a fabricator needs. ``notice`` where the cuts of today are not those ordered at locking."""

    sizes: tuple[SizeList, ...]
    sketches: tuple[Picture, ...]
    cuts: tuple[CutTable, ...]
    notice: str


def fabrication(subject: Subject) -> BarList | None:
    """The bar list of the stage for the sheet's sections, with a sketch for each bent mark, and the cutting plan."""
    lines = bar_list(subject.takeoff, subject.kind, subject.sections)
    if not lines:
        return None
    plan = cutting_plan(subject.takeoff, subject.kind, subject.sections)
    bent = [line for line in lines if line.kind is not ShapeKind.STRAIGHT]
    return BarList(
        sizes=tuple(_size_list(subject, list(own)) for _, own in groupby(lines, key=lambda line: line.size)),
        sketches=tuple(_sketch(line) for line in bent),
        cuts=tuple(_cut_table(cuts) for cuts in plan),
        notice=_differs(subject, plan),
    )


def _size_list(subject: Subject, lines: Sequence[BarLine]) -> SizeList:
    weight = f"{sum(line.weight_lb for line in lines):,.0f} lb"
    name = f"#{lines[0].size}, Grade {lines[0].grade_ksi}"
    return SizeList(name, weight, tuple(_list_row(subject, line) for line in lines))


def _list_row(subject: Subject, line: BarLine) -> ListRow:
    straight = line.kind is ShapeKind.STRAIGHT
    return ListRow(
        mark=line.mark,
        shape="straight" if straight else f"{line.kind.value}: {line.legs_said()}; {line.bend_said()}",
        length=line.cut_said(),
        count=line.count,
        weight=f"{line.weight_lb:,.0f}",
        where=_where(subject, line.legs),
    )


def _sketch(line: BarLine) -> Picture:
    scene = bar_shape(line)
    drawn = render(scene, SKETCH[0], "pt", height=SKETCH[1])
    return Picture(f"bar-{line.mark}", drawn, scene.description, note=f"{line.mark}, {line.count} of #{line.size}")


def _cut_table(cuts: SizeCuts) -> CutTable:
    rows = (CutRow(f"{line.count} of {line.stock}", line.said(), str(line.left)) for line in cuts.lines)
    return CutTable(f"#{cuts.size}", cuts.said, tuple(rows))


def _differs(subject: Subject, plan: Sequence[SizeCuts]) -> str:
    """A sentence where the stock bars ordered on the day of locking are others than those of the plan printed here."""
    spec = subject.takeoff.plan.spec.bars
    now: dict[str, int] = {}
    for cuts in plan:
        for stock, count in cuts.cuts.by_stock.items():
            key = stock_key(cuts.size, stock, spec)
            now[key] = now.get(key, 0) + count
    then: dict[str, float] = {}
    for quantity in subject.takeoff.of(subject.kind, subject.sections):
        if quantity.key.startswith(STOCK_BARS):
            then[quantity.key] = then.get(quantity.key, 0.0) + quantity.amount
    apart = all(len(cuts.sections) == 1 for cuts in plan)
    if not apart or now == then:
        return ""
    return (
        "The stock bars of the order were counted when the revision was locked; the cutting plan below is worked out "
        "today and takes others. Order by the plan, or ask for a new revision."
    )
