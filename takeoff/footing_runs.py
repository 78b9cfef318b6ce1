"""Lines of the continuous footings: how wide, how far out, how long under each stretch, where they step.

The concrete is taken on the mitred centre line of the wall, which gives the corners exactly; the outside perimeter
would count each outside corner twice.
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.bands import Band, bands
from takeoff.forms import FormSystem
from takeoff.geometry import CornerKind, Placement
from takeoff.plan import Attachment, Leg, Plan, WalkKind, levels_at
from takeoff.site import BaseJoint, FootingSpec
from takeoff.tally import yards
from takeoff.units import Length


# -- rules ------------------------------------------------------------------------------------------
def width(spec: FootingSpec, form: FormSystem, core: Length) -> Length:
    """Width of the footing: as specified, or the whole block and the projection on each side if that is more.

    The block stands on its foam as well as on its core, so the footing carries all of it. Common practice.
    """
    return max(spec.width, form.thickness(core) + 2 * spec.projection)


def projection(spec: FootingSpec, form: FormSystem, core: Length) -> Length:
    """How far the footing stands out beyond the foam on each side."""
    return max(spec.width - form.thickness(core), 2 * spec.projection).half()


def loop_volume_yd3(centre_line_in: float, width_in: float, thickness_in: float) -> float:
    """Concrete [yd3] of a footing of this length on its mitred centre line."""
    return yards(centre_line_in * width_in * thickness_in)


def riser_volume_yd3(rise_in: float, width_in: float, riser_thickness_in: float) -> float:
    """Concrete [yd3] of the upright part that joins two levels of a stepped footing: rise x width x thickness.

    The runs themselves are already counted once, in plan. Common practice.
    """
    return yards(rise_in * width_in * riser_thickness_in)


def key_volume_yd3(centre_line_in: float, spec: FootingSpec) -> float:
    """Concrete [yd3] that a keyway takes out of the footing; the wall poured on it puts it back."""
    if spec.base_joint is not BaseJoint.KEY_AND_DOWELS:
        return 0.0
    return yards(centre_line_in * spec.key_width.inch * spec.key_depth.inch)


def key_text(spec: FootingSpec, sign: str) -> str:
    """How the keyway is told in a sum: ' less keyway 3.5" x 1.5"', or nothing where there is none."""
    if spec.base_joint is not BaseJoint.KEY_AND_DOWELS:
        return ""
    return f' {sign} keyway {spec.key_width.inch:g}" x {spec.key_depth.inch:g}"'


# -- the lines of one plan --------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class FootingRun:
    """The footing under one stretch [in]: ``length`` on its centre line, with what is added at a free end and
    taken off where another wall's footing already lies. ``to_walls`` counts the Ts at which none lies at its level."""

    band: Band
    length: float
    width: float
    projection: float
    to_walls: int = 0


@dataclass(frozen=True, slots=True)
class Riser:
    """A step of the footing: on which leg, how high [in] and how wide [in]."""

    leg: Leg
    rise: float
    width: float


def runs(plan: Plan, placement: Placement) -> tuple[FootingRun, ...]:
    """Footing of every stretch, in walking order."""
    out = []
    for band in bands(placement):
        leg, walk = band.geometry.leg, band.geometry.walk
        ends = [(band.geometry.start, walk.starts_on)] * band.first + [(band.geometry.end, walk.ends_on)] * band.last
        tees = [met for corner, met in ends if corner.kind is CornerKind.TEE and met is not None]
        free = sum(corner.kind is CornerKind.END for corner, _ in ends)
        beyond, met = _projection_of(plan, leg).inch, [at for at in tees if _footings_meet(plan, band, at)]
        extra = free * beyond - sum(_projection_of(plan, plan.leg(at.leg)).inch for at in met)
        long, wide = max(band.centre + extra, 0.0), _width_of(plan, leg).inch
        out.append(FootingRun(band, long, wide, beyond, len(tees) - len(met)))
    return tuple(out)


def _footings_meet(plan: Plan, band: Band, at: Attachment) -> bool:
    """True where the footing of the wall met in a T lies at the level of this one, which then stops at its edge; a
    higher or lower one is passed, and this one runs to the wall."""
    other = levels_at(plan.leg(at.leg), at.at).footing_top
    return abs(other - band.levels.footing_top) < plan.spec.footing.thickness


@dataclass(frozen=True, slots=True)
class Tread:
    """A level piece of footing between two steps: on which leg it begins, and how long [in] on the centre line."""

    leg: Leg
    length: float


def treads(placement: Placement) -> tuple[Tread, ...]:
    """Level pieces between two steps, along legs and round corners; pieces that end at a free end, a T or nowhere are
    not among them."""
    out: list[Tread] = []
    for chain in _chains(placement):
        pieces: list[list[Band]] = []
        for band in chain:
            if pieces and pieces[-1][-1].levels.footing_top == band.levels.footing_top:
                pieces[-1].append(band)
            else:
                pieces.append([band])
        closed = chain[0].geometry.walk.kind is WalkKind.RING
        if closed and len(pieces) > 1 and pieces[0][0].levels.footing_top == pieces[-1][-1].levels.footing_top:
            pieces[0] = pieces.pop() + pieces[0]
        between = pieces if closed and len(pieces) > 1 else pieces[1:-1]
        out += [Tread(piece[0].geometry.leg, sum(band.centre for band in piece)) for piece in between]
    return tuple(out)


def _chains(placement: Placement) -> list[list[Band]]:
    """The stretches of each walk, in walking order."""
    by_walk: dict[str, list[Band]] = {}
    for band in bands(placement):
        by_walk.setdefault(band.geometry.walk.name, []).append(band)
    return list(by_walk.values())


def risers(plan: Plan, placement: Placement) -> tuple[Riser, ...]:
    """Every change of the footing's level, along a leg and at its start."""
    out: list[Riser] = []
    for chain in _chains(placement):
        closed = chain[0].geometry.walk.kind is WalkKind.RING
        before = [chain[-1] if closed else chain[0], *chain[:-1]]
        for earlier, later in zip(before, chain, strict=True):
            rise = abs((later.levels.footing_top - earlier.levels.footing_top).inch)
            if rise:
                leg = later.geometry.leg
                out.append(Riser(leg, rise, _width_of(plan, leg).inch))
    return tuple(out)


def _width_of(plan: Plan, leg: Leg) -> Length:
    return width(plan.spec.footing, plan.form(leg.form), leg.core)


def _projection_of(plan: Plan, leg: Leg) -> Length:
    return projection(plan.spec.footing, plan.form(leg.form), leg.core)
