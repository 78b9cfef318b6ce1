"""What ACI 306R asks of concrete in cold weather, as printed: temperatures by thickness, days of protection.

The tables are files with their source and what of it was read or is from memory. A guide, not a code: where the
engineer of record, the local code or the project's papers ask for more, that holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import cache

from takeoff.sources import Source
from takeoff.tables import read_table

#: Below this air temperature [F], now or forecast for the time of protection, the weather is cold.
COLD_BELOW_F = 40.0
COLD_WEATHER = Source("ACI 306R", "-10 and later", "definition of cold weather, as quoted by the institute's own pages")
PLACING = Source("ACI 306R", "-88 to -16", "Table of concrete temperatures, as restated by UFGS 03311 and web pages")
MIXING = Source("ACI 306R", "-88", "Table 3.1 lines 2 to 4", seen=False)
DROP = Source("ACI 306R", "-88", "Table 3.1 line 5", seen=False)
PROTECTION = Source("ACI 306R", "-88", "Tables 5.1 and 5.3", seen=False)
TOO_WARM = Source("ACI 306R", "-88", "3.2, at most 20 °F above the least", seen=False)
#: In cold weather concrete is not to be warmer than this above its least temperature [F]: it loses more in the end.
MOST_ABOVE_LEAST_F = 20.0
#: Strength [psi] at which concrete may freeze once: PCA, Design and Control of Concrete Mixtures, chapter 14.
FREEZE_ONCE_PSI = 500.0


#: While protected concrete cools down: at most this an hour and in a day [F]. A project specification (UFGS 03300N).
COOLING_F_PER_H, COOLING_F_PER_DAY = 5.0, 50.0


def cold_by_older_rule(days: Sequence[tuple[float, float]]) -> bool:
    """The older definition: more than three days in a row with a mean under 40 F and no more than 12 h above 50 F.

    ``days`` are (mean air [F], hours above 50 F) in order. PCA, Design and Control of Concrete Mixtures, chapter 14.
    Specifications that name an older edition mean this one.
    """
    run = 0
    for mean_f, warm_h in days:
        run = run + 1 if mean_f < COLD_BELOW_F and warm_h <= 12 else 0
        if run > 3:
            return True
    return False


class Service(IntEnum):
    """How soon concrete meets load and frost: the guide's four categories."""

    NO_LOAD_NOT_EXPOSED = 1
    NO_LOAD_EXPOSED = 2
    PARTIAL_LOAD_EXPOSED = 3
    FULL_LOAD = 4


@dataclass(frozen=True, slots=True)
class SectionRule:
    """One row: a range of least dimension [in] and its temperatures [F]."""

    from_in: float
    under_in: float | None
    placed_f: float
    mixed_over_30_f: float
    mixed_0_to_30_f: float
    mixed_under_0_f: float
    drop_24h_f: float

    def mixed_f(self, air_f: float) -> float:
        """Least temperature as mixed [F] for the air on the way; at 30 F and at 0 F the middle column holds."""
        if air_f > 30:
            return self.mixed_over_30_f
        return self.mixed_0_to_30_f if air_f >= 0 else self.mixed_under_0_f


@cache
def section_rules() -> tuple[SectionRule, ...]:
    """All rows, thinnest first."""
    columns = ("placed_f", "mixed_over_30_f", "mixed_0_to_30_f", "mixed_under_0_f", "drop_24h_f")
    return tuple(
        SectionRule(
            float(row["from_in"]),
            float(row["under_in"]) if row["under_in"] else None,
            *(float(row[column]) for column in columns),
        )
        for row in read_table("aci_306r_temperatures").rows
    )


def section_rule(thickness_in: float) -> SectionRule:
    """The row of a least dimension [in]: exactly 12 in is in the row from 12. Raises ValueError at nothing or less."""
    if not thickness_in > 0:
        raise ValueError(f"A section of {thickness_in:g} in has no thickness.")
    return next(r for r in reversed(section_rules()) if thickness_in >= r.from_in)


def placing_minimum_f(thickness_in: float) -> float:
    """Least temperature [F] as placed and kept, by least dimension [in]."""
    return section_rule(thickness_in).placed_f


def mixing_minimum_f(thickness_in: float, air_f: float) -> float:
    """Least temperature [F] as mixed, by least dimension [in] and air [F]."""
    return section_rule(thickness_in).mixed_f(air_f)


def drop_limit_f(thickness_in: float) -> float:
    """Most the concrete may cool [F] in the first 24 h after protection ends, by least dimension [in]."""
    return section_rule(thickness_in).drop_24h_f


def protection_days(service: Service, accelerated: bool) -> float | None:
    """Days of protection; None where only a strength ends it (full load). ``accelerated``: type III cement, a
    non-chloride accelerator or 100 lb/yd3 more cement."""
    row = next(read_table("aci_306r_protection").where(category=str(int(service))))
    days = row["accelerated_days" if accelerated else "normal_days"]
    return float(days) if days else None
