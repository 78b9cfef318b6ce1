"""The residential code's tables of footing width and thickness, by edition: IRC R403.1(1) to (3).

They give both by snow load, stories, kind of foundation and bearing value of the soil, for a building 32 ft wide; their
footnotes say what another width changes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import ceil, floor
from typing import Final

from takeoff.problems import Severity
from takeoff.site import AboveGrade, BuildingSpec, Foundation
from takeoff.sources import Source
from takeoff.tables import read_table
from takeoff.units import format_length

#: Least width and thickness of a concrete footing [in]. IRC R403.1.1.
LEAST_WIDTH_IN: Final = 12.0
LEAST_THICKNESS_IN: Final = 6.0
#: The width of the building the tables are worked out for [ft].
BASIS_WIDTH_FT: Final = 32.0
#: What one step of building width changes: width and thickness of the footing [in]. Footnotes of the tables.
STEP_WIDTH_IN: Final = 2.0
STEP_THICKNESS_IN: Final = 1.0


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
