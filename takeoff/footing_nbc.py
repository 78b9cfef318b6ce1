"""Footing widths of the National Building Code of Canada, part 9: by floors held up and what the walls are built of.

Read in the Alberta edition of 2023. It holds for joists that span 4.9 m at most, floors loaded 2.4 kPa at most, soil
that bears 75 kPa, and, on insulating concrete form walls, buildings of two storeys.
"""

from __future__ import annotations

import re
from typing import Final

from takeoff.footing_tables import Asked, Refused
from takeoff.problems import Severity
from takeoff.site import AboveGrade, BuildingSpec
from takeoff.sources import Source
from takeoff.tables import read_table

MM_PER_IN: Final = 25.4
#: Newtons per square metre in a pound per square foot.
PA_PER_PSF: Final = 47.880259
SIZES: Final = Source("NBC", "2023 Alberta edition", "Table 9.15.3.4")
#: Least bearing value of the soil [Pa]. 9.15.1.1.(1).
LEAST_BEARING_PA: Final = 75_000.0
#: Most storeys on flat insulating concrete form foundation walls. 9.15.1.1.(1)(c).
MOST_STOREYS: Final = 2
#: Most span of the joists [m]; half the building's width is taken for it. 9.15.3.3.(1)(b).
MOST_SPAN_M: Final = 4.9
#: Wider by this for each storey of the building [mm]. 9.15.3.5.(1)(a) and (c); (b) asks 130 for masonry, less.
WIDER_MM: Final = {AboveGrade.LIGHT_FRAME: 0, AboveGrade.BRICK_VENEER: 65, AboveGrade.CONCRETE_OR_MASONRY: 150}
#: Least thickness [mm]; the projection may ask for more. 9.15.3.8.(1).
LEAST_THICKNESS_MM: Final = 100
#: Soils whose footings are doubled where ground water comes near: gravels, sands and silts by their first letter.
WET_SOILS: Final = ("G", "S", "M")


def is_meant(edition: str) -> bool:
    """Whether a code text means this one: 'NBC 2020', 'National Building Code 2023 Alberta Edition'."""
    named = re.search(r"\bNBC\b|national building code", edition, re.IGNORECASE)
    year = re.search(r"\b(20\d\d)\b", edition)
    return named is not None and (year is None or year[1] in ("2020", "2023"))


def is_wet(soil_class: str, water_below_in: float | None, width_in: float) -> bool:
    """Whether ground water stands less than a footing's width below it, in gravel, sand or silt: 9.15.3.4.(3)."""
    return water_below_in is not None and water_below_in < width_in and soil_class.startswith(WET_SOILS)


def asked_of(building: BuildingSpec, bearing_psf: float, *, inner: bool, wet: bool) -> Asked | Refused:
    """Width and thickness asked of a strip footing [in]: the table's width for the floors held up, wider for each
    storey of veneer or concrete above outer walls, twice as wide where :func:`is_wet`."""
    refusal = _outside_scope(building, bearing_psf)
    if refusal:
        return Refused(
            f"{refusal} ({SIZES} and 9.15.1.1, 9.15.3.3); an engineer must size the footings.", Severity.ENGINEER
        )
    row = next(read_table("nbc_2023ae_9_15_3_4_footings").where(floors_supported=str(building.stories)))
    wide = float(row["interior_mm" if inner else "exterior_mm"])
    words = f"{building.stories} floor{'s' if building.stories > 1 else ''}, {'inner' if inner else 'outer'} wall"
    more = 0 if inner else WIDER_MM[building.walls] * building.stories
    if more:
        words += f", {more} mm for what is built above"
    if wet:
        words += ", twice as wide for ground water near it"
    total = (wide + more) * (2 if wet else 1)
    return Asked(total / MM_PER_IN, LEAST_THICKNESS_MM / MM_PER_IN, f"{words}: {total:g} mm", SIZES)


def _outside_scope(building: BuildingSpec, bearing_psf: float) -> str:
    """Why part 9 does not cover a building; '' where it does."""
    if bearing_psf * PA_PER_PSF < LEAST_BEARING_PA:
        return f"Soil of {bearing_psf:,.0f} psf bears less than 75 kPa"
    if building.stories > MOST_STOREYS:
        return f"{building.stories} storeys stand on insulating concrete form walls, more than {MOST_STOREYS}"
    if building.width.metre / 2 > MOST_SPAN_M:
        return f"Joists over half of {building.width} span more than {MOST_SPAN_M:g} m"
    return ""
