"""Which part of a wall's outside face is dressed in which stage, and once only: by the stage that buries it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from takeoff.bands import Band
from takeoff.plan import Levels, Stage, WalkKind
from takeoff.site import EnvelopeSpec


@dataclass(frozen=True, slots=True)
class Facing:
    """Part of a face dressed in one stage, from and to level [in]. ``foot`` is True where it starts on the footing,
    ``finished`` where its top is the last (flashing and bar go there)."""

    stage: Stage
    bottom: float
    top: float
    foot: bool
    finished: bool


def burying_stage(levels: Levels) -> Stage:
    """The stage whose work the drain, the stone and the lowest membrane belong to."""
    return Stage.WATERPROOFING if levels.frost_top is None else Stage.FROST_BACKFILL


def membrane_facings(levels: Levels, spec: EnvelopeSpec) -> tuple[Facing, ...]:
    """Membrane from footing to ``membrane_above_grade`` over the outside grade, never above the wall's top.

    However low the grade (a walk-out), it still covers the joint on the footing as high as it is turned down.
    """
    foot = levels.footing_top.inch
    wanted = max(levels.grade_outside.inch + spec.membrane_above_grade.inch, foot + spec.membrane_onto_footing.inch)
    return _split(levels, min(wanted, levels.top.inch))


def board_facings(levels: Levels) -> tuple[Facing, ...]:
    """Drainage board from footing to outside grade."""
    return _split(levels, min(levels.grade_outside.inch, levels.top.inch))


def _split(levels: Levels, top: float) -> tuple[Facing, ...]:
    """Cut a facing at the cold joint between frost wall and full-height wall."""
    foot = levels.footing_top.inch
    stage = burying_stage(levels)
    if top <= foot:
        return ()
    joint = top if levels.frost_top is None or levels.wall_top is None else min(levels.frost_top.inch, top)
    lower = Facing(stage, foot, joint, foot=True, finished=joint >= top)
    if joint >= top:
        return (lower,)
    return lower, Facing(Stage.WATERPROOFING, joint, top, foot=False, finished=True)


# -- runs round the house ---------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Dressed:
    """One stretch with a part of its face that is dressed."""

    band: Band
    facing: Facing


@dataclass(frozen=True, slots=True)
class FaceRun:
    """Neighbouring stretches of one section dressed from and to the same levels in one stage, round their corners.
    ``closed``: all the way round a ring, so that the end laps on the start."""

    parts: tuple[Dressed, ...]
    closed: bool

    @property
    def facing(self) -> Facing:
        """What all of its stretches share."""
        return self.parts[0].facing

    @property
    def length(self) -> float:
        """Along the outside of the foam [in]."""
        return sum(part.band.outside for part in self.parts)


def dressed(outer: tuple[Band, ...], facings: Callable[[Levels], tuple[Facing, ...]]) -> tuple[Dressed, ...]:
    """Every part of every face, in walking order."""
    return tuple(Dressed(band, facing) for band in outer for facing in facings(band.levels))


def by_group(parts: tuple[Dressed, ...]) -> dict[tuple[str, Stage], tuple[Dressed, ...]]:
    """Parts by section and stage."""
    out: dict[tuple[str, Stage], list[Dressed]] = {}
    for part in parts:
        out.setdefault((part.band.section, part.facing.stage), []).append(part)
    return {group: tuple(found) for group, found in out.items()}


def face_runs(parts: tuple[Dressed, ...], outer: tuple[Band, ...]) -> tuple[FaceRun, ...]:
    """The parts of one section and stage gathered into runs; ``outer`` is every stretch with ground outside, in
    walking order."""
    chains: dict[str, list[Band]] = {}
    for band in outer:
        chains.setdefault(band.geometry.walk.name, []).append(band)
    wanted: dict[tuple[str, float], list[Dressed]] = {}
    for part in parts:
        wanted.setdefault((part.band.name, part.band.start), []).append(part)
    out: list[FaceRun] = []
    for chain in chains.values():
        ring = chain[0].geometry.walk.kind is WalkKind.RING
        out += _runs_of(chain, wanted, ring)
    return tuple(out)


def _runs_of(chain: list[Band], wanted: dict[tuple[str, float], list[Dressed]], ring: bool) -> list[FaceRun]:
    """Runs along one walk; on a ring the last joins the first."""
    open_runs: list[list[Dressed]] = []
    done: list[list[Dressed]] = []
    for band in chain:
        going_on: list[list[Dressed]] = []
        for part in wanted.get((band.name, band.start), ()):
            met = next((run for run in open_runs if run[-1].facing == part.facing), None)
            if met is not None:
                open_runs.remove(met)
            going_on.append([*(met or ()), part])
        done += open_runs
        open_runs = going_on
    return [FaceRun(tuple(run), closed) for run, closed in _closed(chain, done, open_runs, ring)]


def _closed(
    chain: list[Band], done: list[list[Dressed]], at_end: list[list[Dressed]], ring: bool
) -> list[tuple[list[Dressed], bool]]:
    """Runs that reach the end of a ring joined to those that begin at its start."""
    first = chain[0]
    out: list[tuple[list[Dressed], bool]] = []
    for run in at_end:
        whole = ring and len(run) == len(chain)
        begun = next((r for r in done if r[0].band is first and r[0].facing == run[0].facing), None)
        if ring and not whole and begun is not None:
            done.remove(begun)
            run = [*run, *begun]
        out.append((run, whole))
    return [*((run, False) for run in done), *out]
