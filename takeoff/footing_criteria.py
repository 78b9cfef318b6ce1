"""What an inspector measures on a footing: width, thickness, cover, levels, depth against frost, and the order."""

from __future__ import annotations

from takeoff.bands import has_ground_outside
from takeoff.footing_code import CodeCheck
from takeoff.footing_runs import FootingRun
from takeoff.geometry import Placement
from takeoff.plan import Plan, Stage
from takeoff.readymix import mix_criteria, volume_criterion
from takeoff.results import Criterion
from takeoff.site import BaseJoint
from takeoff.sources import COMMON_PRACTICE, PLAN
from takeoff.tally import Tally, feet_inches, inch_text


def footing_criteria(
    plan: Plan, placement: Placement, every: tuple[FootingRun, ...], code: CodeCheck
) -> tuple[Criterion, ...]:
    """Widths as drawn with what the code's table asks beside them, then what holds for each section."""
    out: list[Criterion] = []
    for section in plan.sections:
        here = [run for run in every if run.band.section == section.key]
        if not here:
            continue
        legs = tuple(dict.fromkeys(run.band.name for run in here))
        for wide in sorted({run.width for run in here}):
            names = tuple(dict.fromkeys(run.band.name for run in here if run.width == wide))
            out += _width_criteria(wide, names, code)
        out += _section_criteria(plan, legs)
        out += _frost_criteria(plan, [r for r in here if has_ground_outside(placement, r.band.geometry)])
    return tuple(out)


def _width_criteria(wide: float, legs: tuple[str, ...], code: CodeCheck) -> list[Criterion]:
    """The width drawn, once for each answer the code gives on the legs that have it."""
    groups: dict[str, list[str]] = {}
    for leg in legs:
        verdict = code.of(leg)
        groups.setdefault(f" ({verdict.short})" if verdict else "", []).append(leg)
    return [
        _at_least("footing.width", "Footing width", wide, tuple(names), f"{inch_text(wide)} wide or more{said}")
        for said, names in groups.items()
    ]


def concrete_criteria(plan: Plan, concrete: Tally) -> tuple[Criterion, ...]:
    """Volume as ordered and what is asked of the mix, per section; a section that has only pads has no legs to tell."""
    out: list[Criterion] = []
    assert concrete.buy is not None
    for section, stage in concrete.terms:
        legs = concrete.legs(section, stage)
        if not legs:
            continue
        total = concrete.total(section, stage)
        out.append(volume_criterion("footing.concrete_volume", stage, total, concrete.buy, legs))
        out += mix_criteria(plan.spec.concrete, stage, legs)
    return tuple(out)


def _section_criteria(plan: Plan, legs: tuple[str, ...]) -> list[Criterion]:
    spec = plan.spec.footing
    thick, cover = spec.thickness.inch, spec.cover.inch
    out = [
        _at_least("footing.thickness", "Footing thickness", thick, legs, f"{inch_text(thick)} thick or more"),
        _at_least("footing.cover", "Cover to earth", cover, legs, f"{inch_text(cover)} or more under and beside bars"),
        Criterion(
            "footing.top_spread", "Footing top, highest to lowest", 0.25, "in", "at most", Stage.FOOTING,
            COMMON_PRACTICE, legs=legs, text='top within 1/4" overall, shot every 4 ft and at corners',
        ),
        Criterion(
            "corner.diagonal", "Diagonals", 0.375, "in per 50 ft", "at most", Stage.FOOTING, COMMON_PRACTICE,
            legs=legs, text='diagonals agree within 3/8" in 50 ft',
        ),
    ]  # fmt: skip
    if spec.base_joint is BaseJoint.KEY_AND_DOWELS:
        text = f'keyway {spec.key_width.inch:g}" wide, {spec.key_depth.inch:g}" deep, on the centre line'
        out.append(_at_least("footing.key_depth", "Keyway depth", spec.key_depth.inch, legs, text))
    return out


def _frost_criteria(plan: Plan, outer: list[FootingRun]) -> list[Criterion]:
    """Depth below grade, asked of walls with ground outside; an inner wall's footing lies under the floor."""
    if not outer:
        return []
    frost = plan.site.frost_depth.inch
    legs = tuple(dict.fromkeys(run.band.name for run in outer))
    shallow = min(outer, key=lambda run: _depth_below_grade(plan, run))
    text = (
        f"bottom of footing {feet_inches(frost)} or more below outside grade "
        f"(drawn: {feet_inches(_depth_below_grade(plan, shallow))} at leg {shallow.band.name}, the shallowest)"
    )
    return [_at_least("footing.frost_depth", "Depth of footing bottom below outside grade", frost, legs, text)]


def _at_least(key: str, label: str, value: float, legs: tuple[str, ...], text: str) -> Criterion:
    return Criterion(key, label, value, "in", "at least", Stage.FOOTING, PLAN, legs=legs, text=text)


def _depth_below_grade(plan: Plan, run: FootingRun) -> float:
    bottom = run.band.levels.footing_top - plan.spec.footing.thickness
    return (run.band.levels.grade_outside - bottom).inch
