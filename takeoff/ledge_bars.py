"""Steel of brick ledges: one bar along the lip and one along the core, and a stirrup at every web that ties them.

A plan says where a ledge is, not how it is reinforced. What is scheduled here is the usual arrangement, in the bar size
of the wall's horizontals; the engineer's detail goes before it, and :mod:`takeoff.ledge_checks` says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from takeoff.geometry import Corner, CornerKind, Placement
from takeoff.laps import MAIN_BEND, TIE_BEND, bend_deduction, bent_length, lapped_pieces, wall_lap
from takeoff.ledges import Haunch, LedgeRun, ledge_runs
from takeoff.plan import Plan
from takeoff.results import Bar, BarRole, BarShape
from takeoff.units import ZERO, Length, format_length

#: Concrete over the steel of a ledge: bars #5 and smaller, exposed to weather or earth (ACI 318, from memory).
COVER = Length.inches("1.5")

#: A bar end at a free end of a ledge needs this much concrete beyond it. Common practice, no source.
END_COVER = Length.inches(2)

#: Bars up to this size are bent as ties, to 4 bar diameters inside; larger ones as main bars (ACI 318).
LARGEST_TIE = 5

Line = tuple[float, float, float, float]


# -- rules ------------------------------------------------------------------------------------------
def stirrup_count(length: Length, web_spacing: Length) -> int:
    """Stirrups of a ledge: one a web, floor(length / web spacing). Common practice, no source."""
    return max(length, ZERO) // web_spacing


def stirrup_shape(haunch: Haunch, core: Length, size: int) -> BarShape:
    """A stirrup in the section of the wall, out to out: up the inside of the core over the height of the haunch, level
    under the bearing to the lip, and back down along the flare to the foot of the haunch.

    The turns are 90 degrees and 90 plus the flare.
    """
    down = haunch.height - COVER
    across = core + haunch.top - 2 * COVER
    flare = math.radians(haunch.flare_deg)
    back = Length.from_inches(down.inch / math.cos(flare))
    inside = TIE_BEND if size <= LARGEST_TIE else MAIN_BEND
    return BarShape((down, across, back), (-90.0, -(90.0 + haunch.flare_deg)), inside)


def cut_length(shape: BarShape, size: int) -> Length:
    """Cut length of a bent bar: its out-to-out legs less what each bend saves."""
    saved = (bend_deduction(size, abs(turn), shape.inside_diameters) for turn in shape.turns_deg)
    return sum(shape.legs, ZERO) - sum(saved, ZERO)


# -- the bars of a plan -----------------------------------------------------------------------------
@dataclass(slots=True)
class _Schedule:
    """Bars as they are found, marked by what makes them alike."""

    plan: Plan
    marks: dict[tuple[BarRole, int, Length], str] = field(default_factory=dict)
    bars: list[Bar] = field(default_factory=list)

    def add(
        self,
        run: LedgeRun,
        role: BarRole,
        count: int,
        cut: Length,
        basis: str,
        lines: Sequence[Line],
        lap: Length | None = None,
        shape: BarShape | None = None,
    ) -> None:
        """Enter bars of one cut length; none where there is no length or number."""
        if cut <= ZERO or count <= 0:
            return
        size = self.plan.spec.bars.horizontal_size
        letter = "E" if role is BarRole.LEDGE else "ES"
        alike = sum(1 for known in self.marks if known[0] is role)
        mark = self.marks.setdefault((role, size, cut), f"{letter}{alike + 1}")
        self.bars.append(
            Bar(mark, size, role, run.stage, run.section, run.leg, count, cut, lap, basis, tuple(lines), shape)
        )  # fmt: skip


def ledge_bars(plan: Plan, placement: Placement) -> tuple[Bar, ...]:
    """All bars and stirrups of a plan's brick ledges."""
    schedule, runs = _Schedule(plan), ledge_runs(plan, placement)
    for run in runs:
        _add_along(schedule, run)
        _add_corners(schedule, run)
        _add_stirrups(schedule, run)
    return tuple(schedule.bars)


def _add_along(schedule: _Schedule, run: LedgeRun) -> None:
    """Lip bar and core bar: the length on the core, less cover at free ends, in stock lengths lapped."""
    spec = schedule.plan.spec.bars
    lap = _lap(schedule.plan, run)
    start = ZERO if run.round_start else END_COVER
    end = ZERO if run.round_end else END_COVER
    long = Length.from_inches(run.on_core()) - start - end
    if long <= ZERO:
        return
    pieces = lapped_pieces(long, spec.stock_length, lap)
    used = lap if len(pieces) > 1 else None
    said = "in one bar" if used is None else f"in {len(pieces)} bars, lap {_in(lap)}"
    at, scale = (run.start + start).inch, run.length.inch / run.on_core()
    drawn: dict[Length, list[Line]] = {}
    for below in (COVER, COVER + COVER):
        y, x = (run.bearing - below).inch, at
        for piece in pieces:
            drawn.setdefault(piece, []).append((x, y, x + piece.inch * scale, y))
            x += (piece - lap).inch * scale
    for piece, lines in drawn.items():
        schedule.add(run, BarRole.LEDGE, len(lines), piece, f"lip and core, each a run of {long} {said}", lines, used)


def _lap(plan: Plan, run: LedgeRun) -> Length:
    return wall_lap(plan.spec, run.geometry.leg.core, plan.spec.bars.horizontal_size, upright=False).length


def _add_corners(schedule: _Schedule, run: LedgeRun) -> None:
    """At the leg's end, where the ledge goes round: a corner bar for the lip and one for the core."""
    if not run.round_end:
        return
    size, lap, leg = schedule.plan.spec.bars.horizontal_size, _lap(schedule.plan, run), run.geometry
    y, x = (run.bearing - COVER).inch, run.end.inch
    for cut, shape, basis in corner_pieces(leg.end, lap, size, run.haunch.top + leg.leg.core):
        schedule.add(run, BarRole.LEDGE, 2, cut, basis, ((x - lap.inch, y, x, y),), lap, shape)


def corner_pieces(
    corner: Corner, lap: Length, size: int, to_far_face: Length
) -> list[tuple[Length, BarShape | None, str]]:
    """(cut length, shape, basis) of what laps one bar round a corner, a lap on each leg.

    Outside corner: one bent bar. Inside corner: two straight bars, each going on past the corner to the far face, never
    one bent round the inside. Legs in line: one straight bar of two laps.
    """
    if corner.kind is CornerKind.OUTSIDE:
        turn = corner.deflection_deg
        cut = bent_length(size, lap, lap, turn)
        basis = f"round a corner of {turn:g} degrees, legs {_in(lap)} x {_in(lap)}, lip and core"
        return [(cut, BarShape((lap, lap), (turn,), MAIN_BEND), basis)]
    if corner.kind is CornerKind.INSIDE:
        reach = to_far_face - COVER
        basis = f"at an inside corner, to the far face: lap {_in(lap)} + {_in(reach)}, lip and core"
        return [(lap + reach, None, basis)] * 2
    return [(lap + lap, None, f"legs in line: {_in(lap)} each way, lip and core")]


def _add_stirrups(schedule: _Schedule, run: LedgeRun) -> None:
    """One stirrup a web, drawn at the webs from the foot of the haunch to under the bearing."""
    size, web = schedule.plan.spec.bars.horizontal_size, run.form.web_spacing
    count = stirrup_count(run.length, web)
    if not count:
        return
    shape = stirrup_shape(run.haunch, run.geometry.leg.core, size)
    legs = " + ".join(_in(leg) for leg in shape.legs)
    bends = " and ".join(f"{abs(turn):.0f}" for turn in shape.turns_deg)
    basis = (
        f"one a web: {run.length} / {_in(web)} = {count}; {legs} out to out, bent {bends} degrees, "
        f"inside {shape.inside_diameters} bar diameters"
    )
    low, high = (run.bearing - run.haunch.height).inch, (run.bearing - COVER).inch
    lines = tuple((x, low, x, high) for x in ((run.start + k * web + web.half()).inch for k in range(count)))
    schedule.add(run, BarRole.STIRRUP, count, cut_length(shape, size), basis, lines, None, shape)


def _in(length: Length) -> str:
    return format_length(length, "in")
