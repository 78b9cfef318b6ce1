"""How true a concrete wall must stand after the pour: published tolerances, and measurements against them.

ACI 117-90 as restated by UFGS 03700 (walls up to 100 ft high): 1 in out of plumb and out of line, thickness to 12 in
from 1/4 in less to 3/8 in more. Tops of footings as quoted by Concrete Construction from ACI 117, 3.3. A builder's own
aim is usually tighter; both may be told.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from takeoff.sources import COMMON_PRACTICE, Source
from takeoff.tally import inch_text

ACI_117_WALLS = Source("ACI 117", "-90", "section 4, as restated by UFGS 03700")
ACI_117_FOOTINGS = Source("ACI 117", "", "3.3, as quoted by Concrete Construction, “Footing elevations”")


class Measure(StrEnum):
    """What is measured [in]."""

    PLUMB = "plumb"  # out of plumb over the whole height
    LINE = "line"  # off the line it should stand on
    THICKNESS = "thickness"  # more (+) or less (-) than drawn, walls to 12 in
    FOOTING_TOP = "footing_top"  # above (+) or below (-) its level
    FOOTING_TOP_UNDER_MASONRY = "footing_top_under_masonry"


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Allowed from ``low_in`` to ``high_in``, both allowed."""

    measure: Measure
    low_in: float
    high_in: float
    source: Source

    def allows(self, off_in: float) -> bool:
        """Whether a deviation [in] is within it."""
        return self.low_in - 1e-9 <= off_in <= self.high_in + 1e-9


PUBLISHED = {
    t.measure: t
    for t in (
        Tolerance(Measure.PLUMB, -1.0, 1.0, ACI_117_WALLS),
        Tolerance(Measure.LINE, -1.0, 1.0, ACI_117_WALLS),
        Tolerance(Measure.THICKNESS, -0.25, 0.375, ACI_117_WALLS),
        Tolerance(Measure.FOOTING_TOP, -2.0, 0.5, ACI_117_FOOTINGS),
        Tolerance(Measure.FOOTING_TOP_UNDER_MASONRY, -0.5, 0.5, ACI_117_FOOTINGS),
    )
}
#: What a careful crew aims at in stay-in-place forms [in]: common practice, no source; editable by the builder.
USUAL_AIM = {
    Measure.PLUMB: Tolerance(Measure.PLUMB, -0.25, 0.25, COMMON_PRACTICE),
    Measure.LINE: Tolerance(Measure.LINE, -0.25, 0.25, COMMON_PRACTICE),
    Measure.FOOTING_TOP: Tolerance(Measure.FOOTING_TOP, -0.25, 0.25, COMMON_PRACTICE),
}
#: A wall this high or less is what the published numbers speak of [ft]; thickness up to this [in].
HIGHEST_FT, THICKEST_IN = 100.0, 12.0


@dataclass(frozen=True, slots=True)
class Finding:
    """One measurement against tolerance and aim."""

    measure: Measure
    off_in: float
    within: bool
    within_aim: bool
    words: str
    source: Source


def off_text(off_in: float) -> str:
    """A deviation as it is read from a tape, with its sign: '+1 1/4"', '-1/8"'."""
    return f"+{inch_text(off_in)}" if off_in > 0 else inch_text(off_in)


def judge(measure: Measure, off_in: float, aim_in: float | None = None, *, moves: bool = True) -> Finding:
    """A deviation [in] against the published tolerance and the crew's aim (+-; by default the usual one). ``moves`` is
    False once it can no longer be pulled true: then only what is still possible is said."""
    published, usual = PUBLISHED[measure], USUAL_AIM.get(measure)
    aim = usual if aim_in is None else Tolerance(measure, -aim_in, aim_in, COMMON_PRACTICE)
    within, aimed = published.allows(off_in), aim is None or aim.allows(off_in)
    span = f"{off_text(published.low_in)} to {off_text(published.high_in)}"
    said = f"{measure.value.replace('_', ' ')} {off_text(off_in)}; allowed {span}"
    if not within:
        words = f"{said}: outside. Record it and ask the engineer."
    elif not aimed:
        now = "Pull it true while it is fresh." if moves else "It no longer moves: tell who builds on it."
        words = f"{said}: within the tolerance, outside the aim. {now}"
    else:
        words = f"{said}: good."
    return Finding(measure, off_in, within, aimed and within, words, published.source)
