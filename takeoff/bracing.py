"""Alignment braces and the planks on them: counted wall by wall. Common practice, no source; editable spacing.

A corner mitred on site out of straight units has no corner web to hold it, so a brace more stands there. A wall bent
to a radius is braced closer. :func:`takeoff.brace_pool.pool` says whether several houses can share the same braces.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from takeoff.bar_runs import zones_at
from takeoff.geometry import Corner, CornerKind, LegGeometry, Placement
from takeoff.plan import Face, Plan, Stage
from takeoff.problems import Problem, Severity
from takeoff.results import Buy, Criterion, Part, Quantity, Unit
from takeoff.site import BraceSpec
from takeoff.sources import COMMON_PRACTICE
from takeoff.units import ZERO, Length, ceil_div, format_length, short_text, steps_text

#: More braces where a wall meets another in a T. Common practice, no source.
PER_TEE = 2
#: One more at a corner mitred out of straight units. Common practice, no source.
PER_MITRE = 1
#: Walls bent to a radius are braced 3 to 4 ft apart. Common practice, no source.
RADIUS_SPACING = Length.feet(4)

PLANKS_WIDE = 2

#: Walls stacked lower than this are worked from the ground. Common practice, no source.
PLANKS_ABOVE = Length.feet(5)


def field_braces(wall: Length, spec: BraceSpec, bent: bool = False) -> int:
    """Braces along one wall without openings: the first near each corner, then at the spacing:
    ceil((L - 2 x first) / spacing) + 1. ``wall`` is the length of the inside face; ``bent`` to a radius."""
    return ceil_div(between_first(wall, spec), spacing_of(spec, bent)) + 1


def between_first(wall: Length, spec: BraceSpec) -> Length:
    """From the first brace at one corner to the first at the other."""
    return max(ZERO, wall - spec.from_corner - spec.from_corner)


def spacing_of(spec: BraceSpec, bent: bool) -> Length:
    """As specified, on a radius not more than 4 ft."""
    return min(spec.spacing, RADIUS_SPACING) if bent else spec.spacing


def plank_count(wall: Length, spec: BraceSpec | None = None) -> int:
    """Planks for one wall, two wide, lapped over the braces: 2 x ceil((L - lap) / (plank - lap))."""
    usual = spec or BraceSpec()
    reach = max(usual.plank_length - usual.plank_lap, Length.inches(12))
    return PLANKS_WIDE * max(1, ceil_div(wall - usual.plank_lap, reach))


def field_mitred(plan: Plan, geometry: LegGeometry, corner: Corner) -> bool:
    """True for a corner no corner unit is made for: not square, and not 45 degrees where the system has that unit."""
    if corner.kind not in (CornerKind.OUTSIDE, CornerKind.INSIDE) or abs(corner.deflection_deg - 90) < 0.01:
        return False
    leg = geometry.leg
    made = plan.form(leg.form).legs_45_for(leg.core) is not None
    return not (made and abs(corner.deflection_deg - 45) < 0.01)


@dataclass(frozen=True, slots=True)
class Braced:
    """Braces and planks of one wall of one leg."""

    leg: str
    bent: bool
    field: int
    openings: int
    tees: int
    mitres: int
    planks: int
    between: Length
    spacing: Length

    @property
    def braces(self) -> int:
        """All of them."""
        return self.field + self.openings + self.tees + self.mitres

    def words(self, per_opening: int) -> str:
        """'A 36'-0" at 6': 6, and 1 to begin with, 2 at 1 opening, 2 at 1 T: 11'."""
        parts = [f"{steps_text(self.between, self.spacing)}, and 1 to begin with" if self.between else "1"]
        if self.openings:
            openings = self.openings // max(1, per_opening)
            parts.append(f"{self.openings} at {openings} opening{'' if openings == 1 else 's'}")
        if self.tees:
            tees = self.tees // PER_TEE
            parts.append(f"{self.tees} at {tees} T{'' if tees == 1 else 's'}")
        if self.mitres:
            parts.append(f"{self.mitres} at a mitred corner")
        return f"{self.leg} {', '.join(parts)}: {self.braces}"


def braces(plan: Plan, placement: Placement) -> Part:
    """Braces and planks by section and wall stage. Low frost walls are braced too."""
    by_section: dict[tuple[str, Stage], list[Braced]] = {}
    for geometry in placement.legs.values():
        for stage in (Stage.FROST_WALL, Stage.FULL_WALL):
            counted = braced(plan, geometry, stage)
            if counted is not None:
                by_section.setdefault((geometry.leg.section, stage), []).append(counted)
    quantities = [q for (section, stage), rows in by_section.items() for q in _quantities(plan, section, stage, rows)]
    return Part(tuple(quantities), _criteria(plan, by_section), _too_few(plan, by_section))


def _too_few(plan: Plan, by_section: dict[tuple[str, Stage], list[Braced]]) -> tuple[Problem, ...]:
    """A note where one wall stage of a section takes more braces than are in the yard, if that is said."""
    owned, out = plan.spec.braces.owned, []
    for (section, stage), rows in by_section.items():
        count = sum(row.braces for row in rows)
        if 0 < owned < count:
            sentence = (
                f"{plan.section(section).name}, {stage.value.replace('_', ' ')}: {count} braces are needed and {owned} "
                f"are in the yard; pour it in parts or rent {count - owned}."
            )
            out.append(Problem(Severity.NOTE, sentence, leg=rows[0].leg))
    return tuple(out)


def braces_for(plan: Plan, placement: Placement, stage: Stage, legs: Iterable[str]) -> int:
    """Braces that the chosen legs tie up while one wall stage of theirs is stacked and poured."""
    counted = (braced(plan, placement.legs[name], stage) for name in dict.fromkeys(legs) if name in placement.legs)
    return sum(each.braces for each in counted if each is not None)


def braced(plan: Plan, geometry: LegGeometry, stage: Stage) -> Braced | None:
    """One leg's wall of a stage, None where it has none. A mitred corner counts with the leg that starts there."""
    zones = [z for s in geometry.outside_stretches() for z in zones_at(s) if z.stage is stage]
    if not zones:
        return None
    spec, inside, bent = plan.spec.braces, _inside_length(geometry), geometry.outside.curve is not None
    openings = sum(1 for o in geometry.leg.openings if any(o.sill < z.top and o.head > z.bottom for z in zones))
    tees = sum(1 for corner in (geometry.start, geometry.end) if corner.kind is CornerKind.TEE)
    high = max(z.top - z.bottom for z in zones) > PLANKS_ABOVE
    return Braced(
        geometry.leg.name,
        bent,
        field_braces(inside, spec, bent),
        openings * spec.per_opening,
        tees * PER_TEE,
        PER_MITRE if field_mitred(plan, geometry, geometry.start) else 0,
        plank_count(inside, spec) if high else 0,
        between_first(inside, spec),
        spacing_of(spec, bent),
    )


def _inside_length(geometry: LegGeometry) -> Length:
    return geometry.faces[Face.INSIDE_OF_FOAM].length


def _quantities(plan: Plan, section: str, stage: Stage, rows: list[Braced]) -> list[Quantity]:
    spec, legs = plan.spec.braces, tuple(row.leg for row in rows)
    count, planks = sum(row.braces for row in rows), sum(row.planks for row in rows)
    rule = (
        f"inside face, first braces {short_text(spec.from_corner)} from the corners, {short_text(spec.spacing)} apart"
    )
    if any(row.bent for row in rows):
        rule += f" ({short_text(spacing_of(spec, bent=True))} on a radius)"
    basis = f"{rule}. {'; '.join(row.words(spec.per_opening) for row in rows)}. Together {count}"
    out = [
        Quantity("braces", "Alignment braces", count, Unit.EACH, stage, section, "bracing", basis, COMMON_PRACTICE,
                 Buy("brace", 1.0), legs)
    ]  # fmt: skip
    if planks:
        each = ", ".join(f"{row.leg} {row.planks}" for row in rows if row.planks)
        long, lap = (short_text(x) for x in (spec.plank_length, spec.plank_lap))
        reach = short_text(spec.plank_length - spec.plank_lap)
        text = (
            f"2 wide, {long} planks lapped {lap}, so {reach} further with each after the first, by the inside face: "
            f"{each} = {planks}"
        )
        out.append(
            Quantity("braces.planks", f"Scaffold planks, {format_length(spec.plank_length)}", planks, Unit.EACH, stage,
                     section, "bracing", text, COMMON_PRACTICE, Buy("plank", 1.0), legs)
        )  # fmt: skip
    return out


def _criteria(plan: Plan, by_section: dict[tuple[str, Stage], list[Braced]]) -> tuple[Criterion, ...]:
    """Spacing to measure: one for straight walls of a stage and one for those bent to a radius."""
    out = []
    for stage in dict.fromkeys(stage for _, stage in by_section):
        for bent in (False, True):
            rows = [row for (_, s), found in by_section.items() if s is stage for row in found if row.bent is bent]
            if not rows:
                continue
            spacing = spacing_of(plan.spec.braces, bent)
            text = f"braces {format_length(spacing)} apart or closer, 2 more at each opening and T"
            legs = tuple(row.leg for row in rows)
            out.append(
                Criterion("brace.spacing", "Brace spacing", spacing.inch, "in", "at most", stage, COMMON_PRACTICE, 0.0,
                          legs, text)
            )  # fmt: skip
    return tuple(out)
