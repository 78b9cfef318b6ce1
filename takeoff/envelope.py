"""What keeps water off the outside face, gathered: membrane, drainage board, drain pipe, stone and filter fabric.

All of it belongs, once, to the stage that buries it. Where a frost wall stands below, its membrane, the drain, the
stone and the fabric go in before the frost backfill; what rises above is put on later and laps onto the membrane
left turned up. A leg with a full-height wall only gets everything at waterproofing. A T wall inside a ring has
earth on neither side that is to be kept dry, and gets nothing.
"""

from __future__ import annotations

from takeoff.bands import Band, bands, has_ground_outside
from takeoff.board import board, fastener_note
from takeoff.drain import PIPE_COVER_IN, drain, stone_over_in
from takeoff.facings import Facing, burying_stage, membrane_facings
from takeoff.geometry import Placement
from takeoff.membrane import membrane, usable_lap_in
from takeoff.plan import Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Criterion, Part
from takeoff.site import EnvelopeSpec
from takeoff.sources import IRC_R405_1, PLAN
from takeoff.tally import inch_text


# -- assembly ---------------------------------------------------------------------------------------
def envelope(plan: Plan, placement: Placement) -> Part:
    """Membrane, board, drain, stone and fabric of every face that has ground outside."""
    outer = tuple(band for band in bands(placement) if has_ground_outside(placement, band.geometry))
    quantities = (*membrane(plan, outer), *board(plan, outer), *drain(plan, outer))
    return Part(quantities=quantities, criteria=_criteria(plan, outer), problems=_notes(plan.spec.envelope, outer))


def _notes(spec: EnvelopeSpec, outer: tuple[Band, ...]) -> tuple[Problem, ...]:
    """Laps wider than half a roll; and frost walls with no full-height wall on them, where the code may ask for
    nothing and the builder decides."""
    out = []
    for what, lap, roll in (
        ("side lap of the membrane", spec.membrane_side_lap, spec.membrane_roll_width),
        ("lap of the drainage board", spec.board_lap, spec.board_roll_width),
    ):
        if usable_lap_in(lap.inch, roll.inch) < lap.inch:
            sentence = f"The {what} ({lap}) is more than half its roll ({roll}); half the roll is counted."
            out.append(Problem(Severity.WARNING, sentence))
    names = tuple(dict.fromkeys(band.name for band in outer if band.levels.wall_top is None))
    if names:
        sentence = (
            f"{', '.join(names)}: membrane, board and drain are counted on these frost walls too; where they enclose "
            f"no usable space below grade the code may ask for none ({IRC_R405_1})."
        )
        out.append(Problem(Severity.NOTE, sentence, leg=names[0]))
    return (*out, *fastener_note(outer))


# -- criteria ---------------------------------------------------------------------------------------
def _criteria(plan: Plan, outer: tuple[Band, ...]) -> tuple[Criterion, ...]:
    """What is measured before the face is buried, per section and stage."""
    dressed: dict[tuple[str, Stage], list[tuple[Band, Facing]]] = {}
    drained: dict[tuple[str, Stage], list[str]] = {}
    for band in outer:
        for facing in membrane_facings(band.levels, plan.spec.envelope):
            dressed.setdefault((band.section, facing.stage), []).append((band, facing))
        drained.setdefault((band.section, burying_stage(band.levels)), []).append(band.name)
    out: list[Criterion] = []
    for (_, stage), parts in dressed.items():
        out += _membrane_criteria(plan.spec.envelope, stage, parts)
    for (_, stage), names in drained.items():
        out += _drain_criteria(plan, stage, tuple(dict.fromkeys(names)))
    return tuple(out)


def _membrane_criteria(spec: EnvelopeSpec, stage: Stage, parts: list[tuple[Band, Facing]]) -> list[Criterion]:
    every = tuple(dict.fromkeys(band.name for band, _ in parts))
    at_foot = tuple(dict.fromkeys(band.name for band, facing in parts if facing.foot))
    side, end, turned = spec.membrane_side_lap.inch, spec.membrane_end_lap.inch, spec.membrane_onto_footing.inch
    out = [
        _least("membrane.side_lap", "Side laps of the membrane", side, stage, every, "side laps {} or more"),
        _least("membrane.end_lap", "End laps of the membrane", end, stage, every, "end laps {} or more"),
    ]
    if at_foot:
        text = "turned down {} or more onto the footing"
        out.append(_least("membrane.onto_footing", "Membrane on the footing", turned, stage, at_foot, text))
    for height, names in _tops(parts).items():
        text = "membrane {} or more above finished grade"
        out.append(_least("membrane.above_grade", "Membrane above grade", height, stage, names, text))
    return out


def _tops(parts: list[tuple[Band, Facing]]) -> dict[float, tuple[str, ...]]:
    """How far the finished top stands above grade [in], the least of each leg, and the legs that share it."""
    least: dict[str, float] = {}
    for band, facing in parts:
        if facing.finished:
            above = facing.top - band.levels.grade_outside.inch
            least[band.name] = min(above, least.get(band.name, above))
    return {height: tuple(n for n, h in least.items() if h == height) for height in sorted(set(least.values()))}


def _least(key: str, label: str, value: float, stage: Stage, legs: tuple[str, ...], text: str) -> Criterion:
    return Criterion(key, label, value, "in", "at least", stage, PLAN, legs=legs, text=text.format(inch_text(value)))


def _drain_criteria(plan: Plan, stage: Stage, legs: tuple[str, ...]) -> list[Criterion]:
    spec = plan.spec.envelope
    beyond, over = spec.stone_beyond_footing.inch, stone_over_in(spec, plan.spec.footing.thickness.inch)
    rows = (
        ("drain.stone_beyond", "Stone beyond the footing", beyond, "stone {} or more past the footing edge"),
        ("drain.stone_over", "Stone over the footing", over, "stone {} or more over the footing top"),
        ("drain.stone_under", "Stone under the pipe", spec.stone_under_pipe.inch, "pipe on {} or more of stone"),
        ("drain.pipe_cover", "Stone over the pipe", PIPE_COVER_IN, "{} or more of stone over the pipe"),
    )
    return [
        Criterion(key, label, value, "in", "at least", stage, IRC_R405_1, legs=legs, text=text.format(inch_text(value)))
        for key, label, value, text in rows
    ]
