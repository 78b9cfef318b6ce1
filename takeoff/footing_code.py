"""Footings against the code: the printed sizes for the building above, and the limits of their shape.

The residential code's tables (:mod:`takeoff.footing_tables`) are for outer walls: an inner wall carries floors from
both sides and is not checked. The National Building Code of Canada (:mod:`takeoff.footing_nbc`) has its own for both.
Local amendments and the engineer of record go before anything said here.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from takeoff import footing_nbc
from takeoff.bands import has_ground_outside
from takeoff.footing_runs import FootingRun, projection, runs, width
from takeoff.footing_tables import (
    EDITIONS,
    LEAST_THICKNESS_IN,
    LEAST_WIDTH_IN,
    Asked,
    Edition,
    Refused,
    asked,
    edition_of,
    for_building_width,
)
from takeoff.forms import FormSystem
from takeoff.geometry import Placement
from takeoff.plan import Plan
from takeoff.problems import About, Problem, Severity
from takeoff.site import BaseJoint, BuildingSpec, FootingSpec, Foundation
from takeoff.sources import IRC_R403_1
from takeoff.tally import inch_text, number
from takeoff.units import Length

__all__ = [
    "LEAST_THICKNESS_IN",
    "LEAST_WIDTH_IN",
    "Asked",
    "CodeCheck",
    "Edition",
    "Refused",
    "Verdict",
    "asked",
    "check",
    "edition_of",
    "for_building_width",
    "heavier_in",
    "missing_words",
    "shape_complaints",
]

#: Least projection of a footing beyond the wall [in]. IRC R403.1.1.
LEAST_PROJECTION_IN: Final = 2.0
#: Height of the basement wall the residential code's tables are worked out for [ft]; printed in 2021 only and taken
#: for 2018 too.
BASIS_WALL_FT: Final = 8.0
#: The smallest shortfall that is told [in]; under it is the dust of arithmetic.
_DUST_IN: Final = 1e-6


def heavier_in(over_ft: float, core_in: float, unit_weight_pcf: float, bearing_psf: float) -> float:
    """Width [in] for concrete higher than the wall the tables are worked out for: its weight over the bearing value.

    Statics, not in the tables; a frost wall and the wall on it easily reach 12 ft.
    """
    return max(over_ft, 0.0) * core_in * unit_weight_pcf / bearing_psf


@dataclass(frozen=True, slots=True)
class Verdict:
    """Footings of some legs against the table. ``heavier`` [in] is width for wall higher than the table's."""

    legs: tuple[str, ...]
    asked: Asked
    width: float
    thickness: float
    heavier: float = 0.0
    told: str = ""

    @property
    def needed(self) -> float:
        """Width wanted [in], the table's and what a higher wall adds."""
        return self.asked.width + self.heavier

    @property
    def holds(self) -> bool:
        """True where width and thickness both reach what is asked."""
        return self.width >= self.needed - _DUST_IN and self.thickness >= self.asked.thickness - _DUST_IN

    @property
    def short(self) -> str:
        """As said on site: 'IRC 2021 Table R403.1(1) asks 15"'."""
        return f"{self.asked.source} asks {_up(self.needed)}"

    @property
    def words(self) -> str:
        """'asked 15" x 6" by IRC 2021 Table R403.1(1) (2 stories, basement, ...)'."""
        return (
            f"asked {_up(self.asked.width)} x {_up(self.asked.thickness)} by {self.asked.source} ({self.asked.row})"
            f"{self.told}"
        )


@dataclass(frozen=True, slots=True)
class CodeCheck:
    """Verdicts for all footings that a table covers, and what is to be said."""

    verdicts: tuple[Verdict, ...] = ()
    problems: tuple[Problem, ...] = ()

    def of(self, leg: str) -> Verdict | None:
        """The verdict on one leg's footing; None where no table could answer."""
        return next((v for v in self.verdicts if leg in v.legs), None)


# -- one plan ---------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class _Case:
    """What decides the answer for a footing: footings alike are asked once."""

    foundation: Foundation
    inner: bool
    wet: bool
    width: float
    core: float


def check(plan: Plan, placement: Placement) -> CodeCheck:
    """Every footing against the table of the code the site names; one sentence instead where something is not said."""
    canadian = footing_nbc.is_meant(plan.site.code_edition)
    missing = missing_words(plan.spec.building, snow=not canadian)
    if missing:
        sentence = (
            f"Width and thickness of the footings are not checked against the code's tables: {missing} not said "
            "under 'building above'."
        )
        return CodeCheck(problems=(Problem(Severity.NOTE, sentence, "spec.building"),))
    edition = edition_of(plan.site.code_edition)
    if edition is None and not canadian:
        carried = ", ".join(e.year for e in EDITIONS)
        sentence = (
            f"Width and thickness of the footings are not checked: the tables of “{plan.site.code_edition}” are not "
            f"carried here (IRC {carried} and NBC 2020 are)."
        )
        return CodeCheck(problems=(Problem(Severity.NOTE, sentence, "site.code_edition"),))
    return _checked(plan, placement, edition)


def missing_words(building: BuildingSpec, snow: bool = True) -> str:
    """What the tables need and the plan does not say: 'stories and snow load are', or ''."""
    told = (
        ("stories", building.stories > 0),
        ("width", building.width.nm > 0),
        ("snow load", building.snow_psf >= 0 or not snow),
    )
    names = [name for name, known in told if not known]
    if not names:
        return ""
    if len(names) == 1:
        return f"{names[0]} {'are' if names == ['stories'] else 'is'}"
    return f"{', '.join(names[:-1])} and {names[-1]} are"


def _checked(plan: Plan, placement: Placement, edition: Edition | None) -> CodeCheck:
    """``edition`` None asks the National Building Code of Canada."""
    groups: dict[_Case, list[FootingRun]] = {}
    for run in runs(plan, placement):
        inner = not has_ground_outside(placement, run.band.geometry)
        wet = edition is None and footing_nbc.is_wet(plan.site.soil_class, _water_below(plan, run), run.width)
        core = run.band.geometry.leg.core.inch
        groups.setdefault(_Case(foundation_of(plan, run), inner, wet, run.width, core), []).append(run)
    verdicts: list[Verdict] = []
    problems: list[Problem] = []
    for case, here in groups.items():
        if case.inner and edition is not None:
            problems.append(_inner_note([run.band.name for run in here]))
            continue
        answer = _answer(plan, edition, case)
        if isinstance(answer, Refused):
            problems.append(Problem(answer.severity, answer.sentence, "spec.building", about=About.FOOTING))
            continue
        verdict = _verdict(plan, here, answer, edition is not None and case.foundation is Foundation.BASEMENT)
        verdicts.append(verdict)
        problems += [] if verdict.holds else [_too_small(verdict)]
    return CodeCheck(tuple(verdicts), tuple(dict.fromkeys(problems)))


def _answer(plan: Plan, edition: Edition | None, case: _Case) -> Asked | Refused:
    building, bearing = plan.spec.building, plan.site.bearing_psf
    if edition is None:
        return footing_nbc.asked_of(building, bearing, inner=case.inner, wet=case.wet)
    return asked(edition, building, case.foundation, bearing)


def _water_below(plan: Plan, run: FootingRun) -> float | None:
    """How far ground water stands below a footing's bottom [in], negative above it; None where that is not said."""
    water = plan.site.ground_water
    return None if water is None else (run.band.levels.footing_top - plan.spec.footing.thickness - water).inch


def foundation_of(plan: Plan, run: FootingRun) -> Foundation:
    """The row a leg's footing is read in: the building's own, but a frost wall alone beside a basement (garage, porch)
    holds up no basement and is read as slab-on-grade, with all the building's stories: never less than its own."""
    building = plan.spec.building
    alone = run.band.geometry.leg.wall_top is None and any(leg.wall_top is not None for leg in plan.legs())
    return Foundation.SLAB if alone and building.foundation is Foundation.BASEMENT else building.foundation


def _verdict(plan: Plan, here: list[FootingRun], answer: Asked, on_basement: bool) -> Verdict:
    """``on_basement``: the table counts on a basement wall of a height, and a higher one is heavier."""
    first, legs = here[0], tuple(dict.fromkeys(run.band.name for run in here))
    heavier, told = 0.0, ""
    tallest = max((run.band.levels.top - run.band.levels.footing_top).foot for run in here)
    if on_basement and tallest > BASIS_WALL_FT:
        over, core = tallest - BASIS_WALL_FT, first.band.geometry.leg.core.inch
        heavier = heavier_in(over, core, plan.spec.concrete.unit_weight_pcf, plan.site.bearing_psf)
        told = (
            f" and {_up(heavier)} more for {number(over)} ft of wall above the {BASIS_WALL_FT:g} ft the table is "
            "worked out for (its weight over the bearing value)"
        )
    return Verdict(legs, answer, first.width, plan.spec.footing.thickness.inch, heavier, told)


def _inner_note(inner: list[str]) -> Problem:
    names = ", ".join(dict.fromkeys(inner))
    sentence = (
        f"{names}: the code's footing tables are for outer walls; a bearing wall inside carries floors from both "
        "sides, its footing is for the engineer to size."
    )
    return Problem(Severity.NOTE, sentence, leg=inner[0])


def _too_small(verdict: Verdict) -> Problem:
    sentence = (
        f"{', '.join(verdict.legs)}: the footing is {inch_text(verdict.width)} x {inch_text(verdict.thickness)}, "
        f"{verdict.words}; make it larger or have an engineer size it."
    )
    return Problem(Severity.WARNING, sentence, "spec.footing", verdict.legs[0])


def _up(inches: float) -> str:
    """Inches rounded up to the next quarter, so that what is asked is never said too small."""
    return inch_text(ceil(inches * 4 - 1e-9) / 4)


# -- shape ------------------------------------------------------------------------------------------
def shape_complaints(spec: FootingSpec, form: FormSystem, core: Length) -> list[str]:
    """Sentences where a footing's shape misses the limits of IRC R403.1 for concrete footings.

    At least 12 in wide and 6 in thick; the projection at least 2 in and not more than the thickness. The code
    measures it from the wall. Here the least is asked beyond the foam and the most beyond the concrete core, the
    stricter reading of each, because foam carries nothing.
    """
    wide, thick = width(spec, form, core).inch, spec.thickness.inch
    beyond_foam, beyond_core = projection(spec, form, core).inch, (wide - core.inch) / 2
    out = []
    if wide < LEAST_WIDTH_IN:
        out.append(f"the footing is {inch_text(wide)} wide; {IRC_R403_1} asks for 12 in or more.")
    if thick < LEAST_THICKNESS_IN:
        out.append(f"the footing is {inch_text(thick)} thick; {IRC_R403_1} asks for 6 in or more.")
    if beyond_foam < LEAST_PROJECTION_IN:
        out.append(
            f"the footing stands out {inch_text(beyond_foam)} beyond the foam; {IRC_R403_1} asks for 2 in or more."
        )
    if beyond_core > thick:
        out.append(
            f"the footing stands out {inch_text(beyond_core)} beyond the concrete and is {inch_text(thick)} thick; "
            f"{IRC_R403_1} allows no more projection than thickness."
        )
    if spec.base_joint is BaseJoint.KEY_AND_DOWELS and (spec.key_depth >= spec.thickness or spec.key_width > core):
        out.append(
            f"the keyway, {inch_text(spec.key_width.inch)} wide and {inch_text(spec.key_depth.inch)} deep, does not "
            f"fit a footing {inch_text(thick)} thick under a {inch_text(core.inch)} core."
        )
    return out
