"""The specification as a page: part by part, with what is usual and where that is from."""

from __future__ import annotations

from dataclasses import dataclass

from jobs.plan_forms import SPEC, Shape
from jobs.plan_page import PlanField, PlanPage


@dataclass(frozen=True, slots=True)
class SpecPart:
    """One part of the specification."""

    title: str
    source: str
    fields: tuple[PlanField, ...]
    rest: tuple[str, str]


_SPEC_PARTS = {
    "footing": (
        "Footing",
        "Usual values of this program, common practice; sizes by IRC 2021 Table R403.1(1), cover by R403.1.3.5.3.",
    ),
    "bars": (
        "Bars",
        "Usual values of this program, common practice; what a wall needs is in IRC 2021 Table R404.1.2(8) or the engineer's drawings.",
    ),
    "layout": (
        "Laying the block",
        "Usual values of this program, common practice. Empty: the larger of 8 in and one web spacing; pieces of one web spacing.",
    ),
    "concrete": (
        "Concrete",
        "Usual values of this program, common practice. Slump has no usual value: enter it with who approved it.",
    ),
    "envelope": (
        "Membrane, board, drain, stone",
        "Usual values of this program, common practice; drains by IRC 2021 R405.1, waterproofing by R406.2. The maker's sheet comes first.",
    ),
    "earth": (
        "Hole and backfill",
        "Usual values of this program, common practice; bracing before backfill by IRC 2021 R404.1.7. A safe slope is decided on site.",
    ),
    "braces": (
        "Alignment braces",
        "Usual values of this program, common practice. The form maker's and the brace maker's sheets come first.",
    ),
}


def spec_parts(page: PlanPage) -> tuple[SpecPart, ...]:
    """The specification, part by part, with what is usual and where that is from."""
    shapes: dict[str, Shape] = dict(SPEC.parts["spec"].parts)
    return tuple(
        SpecPart(
            *_SPEC_PARTS[name],
            page.fields(f"spec.{name}", shape.entries),
            (f"spec.{name}._rest", page.rest(f"spec.{name}")),
        )
        for name, shape in shapes.items()
    )
