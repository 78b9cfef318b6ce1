"""Samples and cylinders that a pour needs, and what their breaks mean.

Frequency: at least once a day, per 150 yd3 and per 5,000 ft2 of wall, for each class of concrete (notes restating ACI
318 5.6). Acceptance: the mean of any three tests in a row reaches f'c, and no test is more than 500 psi (above 5,000
psi: a tenth) below it (UFGS 03300A). Times of sampling from memory of ASTM C172 and C31.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import ceil

from takeoff.sources import Source

FREQUENCY = Source("ACI 318", "-08", "5.6 frequency of testing, as restated in testing notes")
ACCEPTANCE = Source("UFGS 03300A", "", "evaluation of concrete compressive strength")
SAMPLING = Source("ASTM C172, C31", "", "times of sampling and initial curing", seen=False)
YD3_PER_TEST, FT2_PER_TEST = 150.0, 5000.0
#: Minutes: from first to last portion of a sample, to start slump, air and temperature, to start moulding.
SAMPLE_MIN, START_TESTS_MIN, START_CYLINDERS_MIN = 15, 5, 15
#: Slump and temperature are tested at least so often [yd3], and with cylinders: a project specification, UFGS 03311.
FIELD_TEST_EVERY_YD3 = 10.0
INITIAL_CURE_F, INITIAL_CURE_H = (60.0, 80.0), 48


class Cylinder(StrEnum):
    """Size of cylinder [in]."""

    SIX_BY_TWELVE = "6x12"
    FOUR_BY_EIGHT = "4x8"


#: Cylinders broken at 28 days make one test: two of the large, three of the small (ACI 318, as restated).
PER_TEST = {Cylinder.SIX_BY_TWELVE: 2, Cylinder.FOUR_BY_EIGHT: 3}


@dataclass(frozen=True, slots=True)
class SamplesDue:
    """Strength tests a pour needs, cylinders to cast, and after how many yards each sample is taken."""

    tests: int
    cylinders: int
    at_yd3: tuple[float, ...]
    words: str


def samples_due(
    yd3: float, wall_ft2: float = 0.0, size: Cylinder = Cylinder.FOUR_BY_EIGHT, early: int = 1, field_cured: int = 0
) -> SamplesDue:
    """Samples of one day and class: the most of 1, per 150 yd3 and per 5,000 ft2; spread evenly over the pour.

    ``early`` cylinders a sample are broken at 7 days, ``field_cured`` lie by the wall to tell when it may be loaded.
    No concrete needs none.
    """
    if yd3 <= 0:
        return SamplesDue(0, 0, (), "No concrete, no test.")
    count = max(1, ceil(yd3 / YD3_PER_TEST - 1e-9), ceil(wall_ft2 / FT2_PER_TEST - 1e-9))
    each = PER_TEST[size] + early + field_cured
    places = tuple(yd3 * (n + 0.5) / count for n in range(count))
    words = f"{count} sample{'s' if count > 1 else ''}, {count * each} cylinders {size.value} in: "
    words += f"{PER_TEST[size]} at 28 d, {early} at 7 d" + (f", {field_cured} beside the wall" if field_cured else "")
    words += f"; keep {INITIAL_CURE_F[0]:.0f} to {INITIAL_CURE_F[1]:.0f} °F until picked up"
    return SamplesDue(count, count * each, places, words)


def field_tests_at_yd3(yd3: float) -> tuple[float, ...]:
    """Yards placed at which slump and temperature are to be tested: the first truck, then every 10 yd3."""
    return tuple(n * FIELD_TEST_EVERY_YD3 for n in range(ceil(yd3 / FIELD_TEST_EVERY_YD3 - 1e-9)))


@dataclass(frozen=True, slots=True)
class StrengthVerdict:
    """What tests at 28 days say: numbers (from 1) of windows of three, by their last test, and of tests too low."""

    accepted: bool
    low_means_at: tuple[int, ...]
    low_tests: tuple[int, ...]
    words: str


def least_single_psi(specified_psi: float) -> float:
    """The lowest single test accepted [psi]: f'c - 500 up to 5,000 psi, 0.9 f'c above."""
    return specified_psi - 500 if specified_psi <= 5000 else 0.9 * specified_psi


def strength_verdict(tests_psi: Sequence[float], specified_psi: float, age_days: int = 28) -> StrengthVerdict:
    """Judge strength tests in the order made. Tests younger than 28 days accept and reject nothing."""
    if age_days < 28:
        return StrengthVerdict(True, (), (), f"Tests at {age_days} days tell how it goes; they reject nothing.")
    means = tuple(n for n in range(3, len(tests_psi) + 1) if sum(tests_psi[n - 3 : n]) / 3 < specified_psi)
    least = least_single_psi(specified_psi)
    low = tuple(n for n, test in enumerate(tests_psi, 1) if test < least)
    said = [f"mean of three ending at test {n} under {specified_psi:,.0f} psi" for n in means]
    said += [f"test {n} under {least:,.0f} psi" for n in low]
    words = "; ".join(said) + ": tell the engineer." if said else "Accepted."
    return StrengthVerdict(not said, means, low, words)
