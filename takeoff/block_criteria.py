"""What a person checks on stacked walls: core, joints, plumb, line, top, squareness, openings."""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.courses import Band
from takeoff.leg_layout import LegLayout, bond_rules, stacked_with
from takeoff.plan import Plan, Stage
from takeoff.results import Criterion
from takeoff.sources import COMMON_PRACTICE, FORM_SYSTEM, PLAN
from takeoff.units import Length, format_length


def layout_criteria(plan: Plan, legs: dict[str, LegLayout]) -> tuple[Criterion, ...]:
    """Core, plumb, top, squareness and openings of every wall as stacked and poured."""
    out: list[Criterion] = []
    for stage in (Stage.FROST_WALL, Stage.FULL_WALL):
        names = tuple(n for n, leg in legs.items() if stage in plan.stages_of(leg.leg))
        if not names:
            continue
        for core in dict.fromkeys(legs[n].leg.core for n in names):
            of = tuple(n for n in names if legs[n].leg.core == core)
            size = format_length(core, "in")
            out.append(
                Criterion(
                    "wall.core", "Core", core.inch, "in", "is", stage, PLAN, 0.25, of, f"core {size} between foam"
                )
            )
        pierced = tuple(n for n in names if _opening_stands_in(legs[n], stage))
        out += _tolerances(stage, names, pierced)
        for spacing in dict.fromkeys(legs[n].form.web_spacing for n in names):
            of = tuple(n for n in names if legs[n].form.web_spacing == spacing)
            offset = min(bond_rules(legs[n].form, legs[n].leg.core, plan.spec.layout).minimum_offset for n in of)
            text = f"joints of courses {format_length(Length(offset), 'in')} or more apart, else strapped on both faces"
            out.append(
                Criterion(
                    "wall.joint_offset",
                    "Joints of courses",
                    Length(offset).inch,
                    "in",
                    "at least",
                    stage,
                    FORM_SYSTEM,
                    0,
                    of,
                    text,
                )
            )
    return (*out, *_pour_lines(legs))


def _pour_lines(legs: dict[str, LegLayout]) -> list[Criterion]:
    """Where concrete stops inside a course that stands whole: how far below the edge of the forms, and at what level;
    at the top of a wall and at a cold joint that is no course line. Tolerance as of the top of the wall."""
    found: dict[tuple[Stage, Length, Length], dict[str, None]] = {}
    for name, leg in legs.items():
        for band in (band for row in leg.bands.values() for band in row):
            for stage, level in _stops_in(band):
                found.setdefault((stage, band.top - level, level), {})[name] = None
    out = []
    for (stage, below, level), names in found.items():
        text = f"concrete stops at a line {format_length(below, 'in')} below the edge of the forms, at {level}"
        out.append(
            Criterion("wall.pour_line", "Pour line below the edge of the forms", below.inch, "in", "is", stage, PLAN,
                      0.25, tuple(names), text)
        )  # fmt: skip
    return out


def _stops_in(band: Band) -> Iterator[tuple[Stage, Length]]:
    """Levels at which a pour ends between the lines of a course."""
    frost, wall = band.levels.frost_top, band.levels.wall_top
    if frost is not None and band.bottom < frost < band.top:
        yield Stage.FROST_WALL, frost
    if wall is not None and band.bottom < wall < band.top:
        yield Stage.FULL_WALL, wall


def _opening_stands_in(leg: LegLayout, stage: Stage) -> bool:
    return any(
        stacked_with(band) is stage and o.sill < band.top and o.head > band.bottom
        for _, _, o in leg.holes
        for row in leg.bands.values()
        for band in row
    )


def _tolerances(stage: Stage, names: tuple[str, ...], pierced: tuple[str, ...]) -> list[Criterion]:
    """What is measured on the stacked and poured wall; the size of openings only on legs that have some."""
    rows = [
        ("wall.plumb", "Plumb", 0.25, "at most", 'out of plumb 1/4" or less in the height', 0.0),
        ("wall.line", "Line", 0.25, "at most", "out of line 1/4\" or less in 20'", 0.0),
        ("wall.top", "Top of wall off its level", 0.0, "is", 'top of wall at its level, 1/4" up or down', 0.25),
        ("corner.diagonal", "Diagonals differ per 50 ft", 0.375, "at most", "diagonals within 3/8\" in 50'", 0.0),
    ]
    if pierced:
        rows.append(
            (
                "opening.size",
                "Opening over its size",
                0.25,
                "at most",
                'opening to its size, up to 1/4" over, never under',
                0.0,
            )
        )
    return [
        Criterion(
            key, label, value, "in", sense, stage, COMMON_PRACTICE, tolerance,
            pierced if key == "opening.size" else names, text,
        )
        for key, label, value, sense, text, tolerance in rows
    ]  # fmt: skip
