"""What the codes print about a soil by its Unified Soil Classification symbol.

>>> soil("SM").description
'Silty sand, sand-silt mixtures'
>>> lateral_load("SM").active_psf_per_ft
45.0
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

from takeoff.sources import Source

IRC_TABLE_R405_1: Final = Source("IRC", "2021", "Table R405.1 properties of soils")
IBC_TABLE_1610_1: Final = Source("IBC", "2021", "Table 1610.1 lateral soil load")


@dataclass(frozen=True, slots=True)
class Soil:
    """One row of IRC Table R405.1, words as printed."""

    group: str
    symbol: str
    description: str
    drainage: str
    frost_heave: str
    volume_change: str


@dataclass(frozen=True, slots=True)
class LateralLoad:
    """One row of IBC Table 1610.1 [psf per ft of depth]; None where the soil is not to be used as backfill."""

    symbol: str
    description: str
    active_psf_per_ft: float | None
    at_rest_psf_per_ft: float | None


def _rows(name: str) -> list[dict[str, str]]:
    text = (files("takeoff.tables") / name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@cache
def soils() -> dict[str, Soil]:
    """All soils of IRC 2021 Table R405.1 by symbol, in the order printed."""
    return {row["symbol"]: Soil(**row) for row in _rows("irc_r405_1_soils.csv")}


@cache
def lateral_loads() -> dict[str, LateralLoad]:
    """All rows of IBC 2021 Table 1610.1 by symbol, in the order printed."""
    return {
        row["symbol"]: LateralLoad(
            row["symbol"], row["description"], _load(row["active_psf_per_ft"]), _load(row["at_rest_psf_per_ft"])
        )
        for row in _rows("ibc_1610_1_lateral_soil.csv")
    }


def _load(printed: str) -> float | None:
    return None if printed.startswith("Note") else float(printed)


def soil(symbol: str) -> Soil:
    """The soil of a symbol; KeyError where IRC Table R405.1 does not list it."""
    return soils()[symbol]


def lateral_load(symbol: str) -> LateralLoad | None:
    """The lateral load of a backfill of this symbol, None where IBC Table 1610.1 does not list it (peat)."""
    return lateral_loads().get(symbol)
