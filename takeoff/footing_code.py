"""Footings against the residential code: the printed tables of width and thickness, and the limits of their shape.

The tables (IRC R403.1(1) to (3)) give width and thickness by snow load, stories, kind of foundation and bearing value
of the soil, for a building 32 ft wide; their footnotes say what another width changes. They are tables for outer
walls: an inner wall carries floors from both sides and is not checked. Local amendments and the engineer of record go
before anything said here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import ceil, floor
from typing import Final

from takeoff.bands import has_ground_outside
from takeoff.footing_runs import FootingRun, projection, runs, width
from takeoff.forms import FormSystem
from takeoff.geometry import Placement
from takeoff.plan import Plan
from takeoff.problems import Problem, Severity
from takeoff.site import AboveGrade, BaseJoint, BuildingSpec, FootingSpec, Foundation
from takeoff.sources import IRC_R403_1, Source
from takeoff.tables import read_table
from takeoff.tally import inch_text, number
from takeoff.units import Length, format_length

#: Least width and thickness of a concrete footing, and least projection beyond the wall [in]. IRC R403.1.1.
LEAST_WIDTH_IN: Final = 12.0
LEAST_THICKNESS_IN: Final = 6.0
LEAST_PROJECTION_IN: Final = 2.0
#: The building the tables are worked out for [ft]; the height of its basement walls [ft] is printed in 2021 only and
#: taken for 2018 too.
BASIS_WIDTH_FT: Final = 32.0
BASIS_WALL_FT: Final = 8.0
#: What one step of building width changes: width and thickness of the footing [in]. Footnotes of the tables.
STEP_WIDTH_IN: Final = 2.0
STEP_THICKNESS_IN: Final = 1.0
#: The smallest shortfall that is told [in]; under it is the dust of arithmetic.
_DUST_IN: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Edition:
    """One printed edition: which file holds its tables, the step of building width [ft], the snow loads its rows go up
    to [psf] by the text printed in the row."""

    year: str
    printed: str
    step_ft: float
    rows: tuple[tuple[float, str], ...]


_ROWS_2018: Final = ((20.0, "20 psf"), (30.0, "30 psf"), (50.0, "50 psf"), (70.0, "70 psf"))
_ROWS_2021: Final = ((25.0, "20 psf roof live load or 25 psf ground snow load"), *_ROWS_2018[1:])
#: Editions whose tables are carried; that of 2024 was found to print what 2021 prints.
EDITIONS: Final = (
    Edition("2018", "2018", 2.0, _ROWS_2018),
    Edition("2021", "2021", 4.0, _ROWS_2021),
    Edition("2024", "2021", 4.0, _ROWS_2021),
)
_TABLE: Final = {AboveGrade.LIGHT_FRAME: 1, AboveGrade.BRICK_VENEER: 2, AboveGrade.CONCRETE_OR_MASONRY: 3}
_PRINTED: Final = {
    Foundation.SLAB: "slab-on-grade",
    Foundation.CRAWL_SPACE: "crawl space",
    Foundation.BASEMENT: "basement",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What a table asks of one footing [in], the row and column it was read in, in words."""

    width: float
    thickness: float
    row: str
    source: Source


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a table cannot answer."""

    sentence: str
    severity: Severity


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


# -- the tables -------------------------------------------------------------------------------------
def edition_of(text: str) -> Edition | None:
    """The edition a code text names ('IRC 2021', '2018 IRC with amendments'), None where its tables are not carried."""
    year = re.search(r"\b(20\d\d)\b", text)
    if "IRC" not in text.upper() or year is None:
        return None
    return next((edition for edition in EDITIONS if edition.year == year[1]), None)


def asked(edition: Edition, building: BuildingSpec, foundation: Foundation, bearing_psf: float) -> Asked | Refused:
    """Width and thickness a table asks of a footing [in], at the building's own width.

    Snow loads between two rows take the heavier row. Between two columns of bearing value the width is interpolated
    linearly and the thickness is that of the weaker soil; beyond the last column the last one is taken, which asks for
    more than the soil needs; below the first one, above the last row of snow or over three stories the table has no
    answer. IRC R403.1(1) to (3) with their footnotes.
    """
    number_of = _TABLE[building.walls]
    source = Source("IRC", edition.year, f"Table R403.1({number_of})")
    row = next((text for most, text in edition.rows if building.snow_psf <= most), None)
    if row is None or building.stories > 3:
        said = f"{building.stories} stories" if row is not None else f"a snow load of {building.snow_psf:g} psf"
        return Refused(f"{source} has no row for {said}; an engineer must size the footings.", Severity.ENGINEER)
    columns = _columns(edition.printed, number_of, row, str(building.stories), _PRINTED[foundation])
    if bearing_psf < columns[0][0]:
        said = f"under {columns[0][0]:,.0f} psf; soil of {bearing_psf:,.0f} psf needs footings sized by an engineer"
        return Refused(f"{source} has no column {said}.", Severity.ENGINEER)
    wide, thick = _between(columns, bearing_psf)
    wide, thick = for_building_width(wide, thick, edition, building.width.foot)
    stories = f"{building.stories} stor{'y' if building.stories == 1 else 'ies'}"
    across = format_length(building.width)
    words = f"{stories}, {_PRINTED[foundation]}, {row}, {bearing_psf:,.0f} psf, building {across} wide"
    return Asked(wide, thick, words, source)


@cache
def _columns(year: str, table: int, snow: str, stories: str, foundation: str) -> tuple[tuple[float, float, float], ...]:
    """(bearing [psf], width [in], thickness [in]) of one printed row, by bearing."""
    rows = read_table(f"irc_{year}_r403_1_{table}").where(
        snow_or_roof_load=snow, stories=stories, foundation=foundation
    )
    return tuple((float(r["bearing_psf"]), float(r["width_in"]), float(r["thickness_in"])) for r in rows)


def _between(columns: tuple[tuple[float, float, float], ...], bearing_psf: float) -> tuple[float, float]:
    for (low, wide, thick), (high, narrower, _) in pairwise(columns):
        if low <= bearing_psf < high:
            return wide + (narrower - wide) * (bearing_psf - low) / (high - low), thick
    return columns[-1][1], columns[-1][2]


def for_building_width(wide: float, thick: float, edition: Edition, across_ft: float) -> tuple[float, float]:
    """Width and thickness [in] at another building width than 32 ft: 2 in and 1 in for each step of it, a step begun
    counts where the building is wider and only a whole one where it is narrower; never under 12 in and 6 in.

    The step is 2 ft in the 2018 edition and 4 ft from 2021 on (footnotes of R403.1(1) to (3)).
    """
    steps = (across_ft - BASIS_WIDTH_FT) / edition.step_ft
    count = ceil(steps - 1e-9) if steps > 0 else -floor(-steps + 1e-9)
    return (
        max(wide + STEP_WIDTH_IN * count, LEAST_WIDTH_IN),
        max(thick + STEP_THICKNESS_IN * count, LEAST_THICKNESS_IN),
    )


def heavier_in(over_ft: float, core_in: float, unit_weight_pcf: float, bearing_psf: float) -> float:
    """Width [in] for concrete higher than the wall the tables are worked out for: its weight over the bearing value.

    Statics, not in the tables; a frost wall and the wall on it easily reach 12 ft.
    """
    return max(over_ft, 0.0) * core_in * unit_weight_pcf / bearing_psf


# -- one plan ---------------------------------------------------------------------------------------
def check(plan: Plan, placement: Placement) -> CodeCheck:
    """Every footing under an outer wall against its table; one sentence instead where something is not said."""
    missing = missing_words(plan.spec.building)
    if missing:
        sentence = (
            f"Width and thickness of the footings are not checked against the code's tables: {missing} not said "
            "under 'building above'."
        )
        return CodeCheck(problems=(Problem(Severity.NOTE, sentence, "spec.building"),))
    edition = edition_of(plan.site.code_edition)
    if edition is None:
        carried = ", ".join(e.year for e in EDITIONS)
        sentence = (
            f"Width and thickness of the footings are not checked: the tables of “{plan.site.code_edition}” are not "
            f"carried here (IRC {carried} are)."
        )
        return CodeCheck(problems=(Problem(Severity.NOTE, sentence, "site.code_edition"),))
    return _checked(plan, placement, edition)


def missing_words(building: BuildingSpec) -> str:
    """What the tables need and the plan does not say: 'stories and snow load are', or ''."""
    told = (("stories", building.stories > 0), ("width", building.width.nm > 0), ("snow load", building.snow_psf >= 0))
    names = [name for name, known in told if not known]
    if not names:
        return ""
    if len(names) == 1:
        return f"{names[0]} {'are' if names == ['stories'] else 'is'}"
    return f"{', '.join(names[:-1])} and {names[-1]} are"


def _checked(plan: Plan, placement: Placement, edition: Edition) -> CodeCheck:
    groups: dict[tuple[Foundation, float, float], list[FootingRun]] = {}
    inner: list[str] = []
    for run in runs(plan, placement):
        if not has_ground_outside(placement, run.band.geometry):
            inner.append(run.band.name)
            continue
        key = foundation_of(plan, run), run.width, run.band.geometry.leg.core.inch
        groups.setdefault(key, []).append(run)
    verdicts, problems = [], list(_inner_note(inner))
    for (foundation, _, _), here in groups.items():
        answer = asked(edition, plan.spec.building, foundation, plan.site.bearing_psf)
        if isinstance(answer, Refused):
            problems.append(Problem(answer.severity, answer.sentence, "spec.building"))
            continue
        verdict = _verdict(plan, here, answer, foundation)
        verdicts.append(verdict)
        problems += [] if verdict.holds else [_too_small(verdict)]
    return CodeCheck(tuple(verdicts), tuple(dict.fromkeys(problems)))


def foundation_of(plan: Plan, run: FootingRun) -> Foundation:
    """The row a leg's footing is read in: the building's own, but a frost wall alone beside a basement (garage, porch)
    holds up no basement and is read as slab-on-grade, with all the building's stories: never less than its own."""
    building = plan.spec.building
    alone = run.band.geometry.leg.wall_top is None and any(leg.wall_top is not None for leg in plan.legs())
    return Foundation.SLAB if alone and building.foundation is Foundation.BASEMENT else building.foundation


def _verdict(plan: Plan, here: list[FootingRun], answer: Asked, foundation: Foundation) -> Verdict:
    first, legs = here[0], tuple(dict.fromkeys(run.band.name for run in here))
    heavier, told = 0.0, ""
    tallest = max((run.band.levels.top - run.band.levels.footing_top).foot for run in here)
    if foundation is Foundation.BASEMENT and tallest > BASIS_WALL_FT:
        over, core = tallest - BASIS_WALL_FT, first.band.geometry.leg.core.inch
        heavier = heavier_in(over, core, plan.spec.concrete.unit_weight_pcf, plan.site.bearing_psf)
        told = (
            f" and {_up(heavier)} more for {number(over)} ft of wall above the {BASIS_WALL_FT:g} ft the table is "
            "worked out for (its weight over the bearing value)"
        )
    return Verdict(legs, answer, first.width, plan.spec.footing.thickness.inch, heavier, told)


def _inner_note(inner: list[str]) -> Iterator[Problem]:
    if inner:
        names = ", ".join(dict.fromkeys(inner))
        sentence = (
            f"{names}: the code's footing tables are for outer walls; a bearing wall inside carries floors from both "
            "sides, its footing is for the engineer to size."
        )
        yield Problem(Severity.NOTE, sentence, leg=inner[0])


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
