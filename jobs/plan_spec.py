"""The specification as a page: part by part, with what is usual and where that is from."""

from __future__ import annotations

from dataclasses import dataclass

from jobs.plan_fields import SPEC, Shape
from jobs.plan_page import PlanPage
from jobs.plan_views import PlanField


@dataclass(frozen=True, slots=True)
class SpecPart:
    """One part of the specification."""

    title: str
    source: str
    fields: tuple[PlanField, ...]
    rest: tuple[str, str]


_PRACTICE = "Usual values of this program: common practice, no source."
_SPEC_PARTS = {
    "footing": (
        "Footing",
        f"{_PRACTICE} For the width and thickness the code asks for see IRC 2021 Table R403.1(3).",
    ),
    "bars": (
        "Bars",
        f"{_PRACTICE} For the uprights the code asks for see IRC 2021 Table R404.1.2(8), or the engineer's drawings.",
    ),
    "layout": (
        "Laying the block",
        f"{_PRACTICE} Joints of courses are offset by the larger of 8 in and one web spacing, and no piece is shorter "
        "than one web spacing, unless said otherwise.",
    ),
    "concrete": ("Concrete", f"{_PRACTICE} Slump has no usual value: enter it with who approved it."),
    "envelope": (
        "Membrane, board, drain, stone",
        f"{_PRACTICE} Drains are asked for by IRC 2021 R405.1. The maker's sheet comes first.",
    ),
    "earth": (
        "Hole and backfill",
        f"{_PRACTICE} When bracing may be left out: IRC 2021 R404.1.7. A safe slope is decided on site.",
    ),
    "braces": ("Alignment braces", f"{_PRACTICE} The sheets of the form's and the brace's maker come first."),
    "building": (
        "Building above",
        "Stories, width and snow have no usual value. With them the width of the footing is checked against IRC Tables "
        "R403.1(1) to R403.1(3); left empty, it is not checked and the takeoff says so.",
    ),
    "assembly": (
        "Wall as heat meets it",
        f"{_PRACTICE} What a basement wall needs goes by the climate zone: IRC Tables N1102.1.2 and N1102.1.3. "
        "Nothing is usual for the zone.",
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
