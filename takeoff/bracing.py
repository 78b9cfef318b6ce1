"""Alignment braces and the planks on them: counted wall by wall. Common practice, no source; editable spacing."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.bar_runs import zones_at
from takeoff.geometry import CornerKind, LegGeometry, Placement
from takeoff.plan import Face, Plan, Stage
from takeoff.results import Buy, Criterion, Part, Quantity, Unit
from takeoff.site import BraceSpec
from takeoff.sources import COMMON_PRACTICE
from takeoff.units import ZERO, Length, ceil_div, format_length

#: More braces where a wall meets another in a T. Common practice, no source.
PER_TEE = 2

PLANK = Length.feet(10)
PLANK_OVERLAP = Length.feet(1)
PLANKS_WIDE = 2

#: Walls stacked lower than this are worked from the ground. Common practice, no source.
PLANKS_ABOVE = Length.feet(5)


def field_braces(wall: Length, spec: BraceSpec) -> int:
    """Braces along one wall without openings: the first near each corner, then at the spacing:
    ceil((L - 2 x first) / spacing) + 1. ``wall`` is the length of the inside face."""
    between = max(ZERO, wall - spec.from_corner - spec.from_corner)
    return ceil_div(between, spec.spacing) + 1


def plank_count(wall: Length) -> int:
    """Planks for one wall: two wide, lapped a foot over the braces: 2 x ceil((L - 1 ft) / 9 ft)."""
    return PLANKS_WIDE * max(1, ceil_div(wall - PLANK_OVERLAP, PLANK - PLANK_OVERLAP))


@dataclass(frozen=True, slots=True)
class _Count:
    leg: str
    field: int
    openings: int
    tees: int
    planks: int

    @property
    def braces(self) -> int:
        return self.field + self.openings + self.tees

    def words(self, per_opening: int) -> str:
        parts = [f"{self.leg} {self.field}"]
        if self.openings:
            parts.append(f"{self.openings // max(1, per_opening)} openings x {per_opening}")
        if self.tees:
            parts.append(f"{self.tees // PER_TEE} T x {PER_TEE}")
        return " + ".join(parts)


def braces(plan: Plan, placement: Placement) -> Part:
    """Braces and planks by section and wall stage. Low frost walls are braced too."""
    by_section: dict[tuple[str, Stage], list[_Count]] = {}
    for geometry in placement.legs.values():
        for stage in (Stage.FROST_WALL, Stage.FULL_WALL):
            counted = _count(plan, geometry, stage)
            if counted is not None:
                by_section.setdefault((geometry.leg.section, stage), []).append(counted)
    quantities = [q for (section, stage), rows in by_section.items() for q in _quantities(plan, section, stage, rows)]
    return Part(tuple(quantities), _criteria(plan, by_section))


def _count(plan: Plan, geometry: LegGeometry, stage: Stage) -> _Count | None:
    zones = [z for s in geometry.outside_stretches() for z in zones_at(s) if z.stage is stage]
    if not zones:
        return None
    inside = _inside_length(geometry)
    openings = sum(1 for o in geometry.leg.openings if any(o.sill < z.top and o.head > z.bottom for z in zones))
    tees = sum(1 for corner in (geometry.start, geometry.end) if corner.kind is CornerKind.TEE)
    high = max(z.top - z.bottom for z in zones) > PLANKS_ABOVE
    return _Count(
        geometry.leg.name,
        field_braces(inside, plan.spec.braces),
        openings * plan.spec.braces.per_opening,
        tees * PER_TEE,
        plank_count(inside) if high else 0,
    )


def _inside_length(geometry: LegGeometry) -> Length:
    return geometry.faces[Face.INSIDE_OF_FOAM].length


def _quantities(plan: Plan, section: str, stage: Stage, rows: list[_Count]) -> list[Quantity]:
    spec, legs = plan.spec.braces, tuple(row.leg for row in rows)
    count, planks = sum(row.braces for row in rows), sum(row.planks for row in rows)
    rule = f"ceil((inside face - 2 x {format_length(spec.from_corner)}) / {format_length(spec.spacing)}) + 1 a wall"
    basis = f"{rule}: {', '.join(row.words(spec.per_opening) for row in rows)} = {count}"
    out = [
        Quantity("braces", "Alignment braces", count, Unit.EACH, stage, section, "bracing", basis, COMMON_PRACTICE,
                 Buy("brace", 1.0), legs)
    ]  # fmt: skip
    if planks:
        each = ", ".join(f"{row.leg} {row.planks}" for row in rows if row.planks)
        text = f"2 wide, 10' planks lapped 1': 2 x ceil((inside face - 1') / 9') a wall: {each} = {planks}"
        out.append(
            Quantity("braces.planks", "Scaffold planks, 10'-0\"", planks, Unit.EACH, stage, section, "bracing", text,
                     COMMON_PRACTICE, Buy("plank", 1.0), legs)
        )  # fmt: skip
    return out


def _criteria(plan: Plan, by_section: dict[tuple[str, Stage], list[_Count]]) -> tuple[Criterion, ...]:
    spacing = plan.spec.braces.spacing
    text = f"braces {format_length(spacing)} apart or closer, 2 more at each opening and T"
    return tuple(
        Criterion("brace.spacing", "Brace spacing", spacing.inch, "in", "at most", stage, COMMON_PRACTICE, 0.0,
                  tuple(row.leg for (_, s), rows in by_section.items() if s is stage for row in rows), text)
        for stage in dict.fromkeys(stage for _, stage in by_section)
    )  # fmt: skip
