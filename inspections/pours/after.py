"""After the last truck: how true the wall stands, the time left to true it, temperatures, cylinders, and the yield."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspections.pours.live import accepted, running
from inspections.pours.models import AlignmentReading, CylinderBreak, PourMoment, TemperatureReading
from inspections.pours.queries import Records
from inspections.pours.theory import Theory
from takeoff.plan import Stage
from takeoff.pour.tolerances import Measure, judge, off_text
from takeoff.pour.truck_log import minutes_between
from takeoff.strength.needed import StrengthNeeded
from takeoff.tally import inch_text
from takeoff.weather.rules_306r import FREEZE_ONCE_PSI

#: The wall can be pulled true for about so long after the last concrete, shorter in warm and longer in cold weather,
#: and is looked at again so long after it was [min]. Common practice, no source.
TRUE_FROM_MIN, TRUE_UNTIL_MIN, LOOK_AGAIN_MIN = 45, 60, 30
FREEZING_F = 32.0
_CONCRETE = ("core_top", "core_middle", "north_corner", "face", "footing")
_DUST = 1e-6


@dataclass(frozen=True, slots=True)
class AlignmentRow:
    """One reading, each measure with what is allowed."""

    reading: AlignmentReading
    findings: tuple[tuple[str, bool], ...]  # sentence, whether it is good


@dataclass(frozen=True, slots=True)
class TemperatureRow:
    """One reading, with a word where concrete is freezing."""

    reading: TemperatureReading
    warning: str


@dataclass(frozen=True, slots=True)
class CylinderRow:
    """One cylinder and how old it was."""

    cylinder: CylinderBreak
    age: str


@dataclass(frozen=True, slots=True)
class After:
    """What the page says after the pour."""

    last: datetime | None
    true_until: datetime | None  # about when the wall no longer moves; None before the pour ends
    true_over: bool
    look_again: datetime | None  # after it was pulled true; None once it was read again
    alignments: list[AlignmentRow]
    temperatures: list[TemperatureRow]
    cylinders: list[CylinderRow]
    moments: tuple[PourMoment, ...]
    yielded: str


def read(
    own: Records, theory: Theory, stage: Stage, top_aim_in: float | None, last: datetime | None, done: bool,
    now: datetime,
) -> After:  # fmt: skip
    """All of it from what stands on record; ``last`` is when concrete was last placed."""
    placed = sum(load.yd3 for load in accepted(own.loads) if load.ended is not None)
    ended = last is not None and not running(own.loads) and (done or placed >= theory.yd3 - _DUST)
    until = last + timedelta(minutes=TRUE_UNTIL_MIN) if last is not None and ended else None
    trued = [m.when for m in own.moments if m.what == PourMoment.What.TRUED]
    again = max(trued) + timedelta(minutes=LOOK_AGAIN_MIN) if trued else None
    looked = again is not None and any(reading.taken >= again for reading in own.alignments)
    over = until is not None and now > until
    late = over and again is not None and now > again
    return After(
        last,
        until,
        over,
        None if looked or late else again,
        [
            AlignmentRow(reading, tuple(_findings(reading, stage, top_aim_in, not over)))
            for reading in reversed(own.alignments)
        ],
        [TemperatureRow(reading, _cold(reading)) for reading in reversed(own.temperatures)],
        [CylinderRow(cylinder, age_words(cylinder)) for cylinder in own.cylinders],
        own.moments,
        yield_words(placed, theory.yd3) if ended else "",
    )


def yield_words(placed_yd3: float, theory_yd3: float) -> str:
    """'29.75 yd3 came, 29.6 drawn: 0.4% more'."""
    if theory_yd3 <= _DUST:
        return f"{placed_yd3:g} yd3 came."
    off = placed_yd3 / theory_yd3 - 1
    return f"{placed_yd3:g} yd3 came, {theory_yd3:.1f} yd3 are drawn: {abs(off):.1%} {'more' if off >= 0 else 'less'}."


def _findings(
    reading: AlignmentReading, stage: Stage, top_aim_in: float | None, moves: bool
) -> Iterator[tuple[str, bool]]:
    """Each measure of a reading against the published tolerance and the aim of the plan, and what is still possible."""
    for measure, off in ((Measure.PLUMB, reading.plumb_in), (Measure.LINE, reading.line_in)):
        if off is not None:
            found = judge(measure, off, moves=moves)
            yield _said(found.words), found.within_aim
    if reading.top_in is None:
        return
    if stage is Stage.FOOTING:
        found = judge(Measure.FOOTING_TOP, reading.top_in, moves=moves)
        yield _said(found.words), found.within_aim
    elif top_aim_in:
        good = abs(reading.top_in) <= top_aim_in + _DUST
        level = "level it while it is fresh, or tell who sets the floor." if moves else "tell who sets the floor."
        said = "good." if good else f"outside: {level}"
        yield f"Top {off_text(reading.top_in)}; the plan asks {inch_text(top_aim_in)} up or down: {said}", good
    else:
        yield f"Top {off_text(reading.top_in)}.", True


def _said(text: str) -> str:
    return text[:1].upper() + text[1:]


def _cold(reading: TemperatureReading) -> str:
    """A word where concrete is at freezing."""
    if reading.place not in _CONCRETE or reading.value_f > FREEZING_F:
        return ""
    return (
        f"Freezing: protect it now. Concrete that freezes before about {FREEZE_ONCE_PSI:.0f} psi may be lost; "
        "tell the engineer."
    )


def age_words(cylinder: CylinderBreak) -> str:
    """'7 days', '30 h'."""
    hours = minutes_between(cylinder.cast, cylinder.broken) / 60
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"


def strength_words(answer: StrengthNeeded) -> str:
    """'1,150 psi needed', or who says it and why where no number answers, without the leg's name and state again."""
    if answer.psi is None:
        why = answer.reason.partition(": ")[2] or answer.reason
        return f"the engineer of record says what it must have ({why})"
    return f"{answer.psi:,} psi needed"
