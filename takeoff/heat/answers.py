"""What the heat model is asked, and its answers: each a range, what it rests on, its limits and who decides.

Low is what happens soonest (all inputs warm and strong), high what happens last (all cold and weak). None is 'not
within the hours the weather is known for'.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from takeoff.heat.conduction import State, simulate
from takeoff.heat.edges import PRODUCT
from takeoff.heat.history import History
from takeoff.heat.hydration import KG_M3_PER_LB_YD3, REGRESSIONS
from takeoff.heat.layers import EDGE_SHAPE, FILM, M_PER_IN, R_US, corner_factor
from takeoff.heat.maturity import C1074, MODEL_CODE_AGE, equivalent_age
from takeoff.heat.outlook import Course, Outlook, Wall, corner_c, cornered_c
from takeoff.problems import Problem, Severity
from takeoff.sources import COMMON_PRACTICE, Source
from takeoff.tally import inch_text
from takeoff.weather.rules_306r import DROP, FREEZE_ONCE_PSI, drop_limit_f

CAUTION = (
    "A model's answer, not a permission: the engineer of record and the ready-mix supplier decide, on cylinders and "
    "probes, under the local code."
)
FREEZE_ONCE = Source("PCA, Design and Control of Concrete Mixtures", "", "chapter 14: 500 psi to freeze once")
MODEL = "one-dimensional conduction with heat of hydration; strength by equivalent age at the coldest corner"
#: Bracing stays this long [h] whatever the strength, where nobody asked for another.
BRACES_LEAST_H = 24.0
BRACES_USUAL = COMMON_PRACTICE
BRACES_STAY = (
    "Braces stay until the deck is on where wind or backfill loads the wall: the engineer or the supplier of the "
    "braces decides."
)
#: Hours between the moments at which protection is tried off.
TRY_EVERY_H = 6


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer [``unit``] as low, likely, high, with everything it rests on in sight."""

    question: str
    low: float | None
    likely: float | None
    high: float | None
    unit: str
    words: str
    inputs: tuple[tuple[str, str], ...]
    model: str
    sources: tuple[Source, ...]
    limits: tuple[str, ...]
    problems: tuple[Problem, ...] = ()
    caution: str = CAUTION


def when_strong(outlook: Outlook, psi: float, question: str, sources: tuple[Source, ...] = ()) -> Answer:
    """When the coldest corner has a strength [psi], in hours from placing."""
    found = [c.hour_of(psi) for c in outlook.courses]
    words = f"{psi:,.0f} psi {spoken_range(found[0], found[1], found[2], outlook.wall.hours)}."
    return _answer(outlook, question, (found[0], found[1], found[2]), words, sources, _frozen_early(outlook))


def survives_a_freeze(outlook: Outlook) -> Answer:
    """When concrete may freeze once (500 psi), and whether it does before."""
    return when_strong(outlook, FREEZE_ONCE_PSI, "When does it survive a freeze?", (FREEZE_ONCE,))


def bracing_may_go(outlook: Outlook, psi: float | None = None) -> Answer:
    """When the strength asked for taking the bracing off [psi] is there; the number is the engineer's or supplier's.
    Without one the usual: 500 psi, and a day at least."""
    question = "When may the bracing go, by strength?"
    if psi is not None:
        answer = when_strong(outlook, psi, question)
        return replace(answer, limits=(*answer.limits, BRACES_STAY))
    answer = when_strong(outlook, FREEZE_ONCE_PSI, question, (BRACES_USUAL,))
    three = tuple(
        None if hour is None else max(hour, BRACES_LEAST_H) for hour in (answer.low, answer.likely, answer.high)
    )
    words = (
        f"{FREEZE_ONCE_PSI:,.0f} psi and {BRACES_LEAST_H:.0f} h or more "
        f"{spoken_range(three[0], three[1], three[2], outlook.wall.hours)}."
    )
    return replace(
        answer, low=three[0], likely=three[1], high=three[2], words=words, limits=(*answer.limits, BRACES_STAY)
    )


def backfill_strength(outlook: Outlook, psi: float) -> Answer:
    """When the strength that backfill needs [psi] is there; top and foot must be held besides."""
    answer = when_strong(outlook, psi, "When is it strong enough for backfill?")
    held = "Strength is one condition: the wall must also be held at top and foot as the engineer asks."
    return replace(answer, limits=(*answer.limits, held))


def protection_may_end(outlook: Outlook, psi: float = FREEZE_ONCE_PSI, from_h: float = 0.0) -> Answer:
    """The first hour at which covers and heat may go: strong enough, and with them gone the coldest corner cools in
    24 h by no more than the limit for its thickness. Tried every 6 h, from ``from_h`` on, by running on from there
    without them.

    Warm concrete falls furthest, so the range is over all three runs, each with the air after that as warm (low) and
    as cold (high) as it may be.
    """
    limit_f = drop_limit_f(outlook.wall.core_m / M_PER_IN)
    s, runs = outlook.spread, ((1, outlook.warm), (0, outlook.likely), (-1, outlook.cold))
    walls = [(outlook.wall.shifted(n * s.air_c, n * s.placed_c, 1 + n * s.heat), n, course) for n, course in runs]

    def found(after: int) -> list[float | None]:
        return [_first_safe(w, c, psi, limit_f / 1.8, (after - n) * s.air_c, from_h) for w, n, c in walls]

    soonest = [hour for hour in found(1) if hour is not None]
    latest = found(-1)
    likely = _first_safe(outlook.wall, outlook.likely, psi, limit_f / 1.8, 0.0, from_h)
    known = [hour for hour in latest if hour is not None]
    three = (min(soonest, default=None), likely, max(known) if len(known) == len(latest) else None)
    words = (
        f"Protection may end {spoken_range(*three, outlook.wall.hours)}: {psi:,.0f} psi reached and, with it off, no "
        f"more than {limit_f:g} °F of cooling in a day."
    )
    return _answer(outlook, "When may protection end?", three, words, (DROP,), _frozen_early(outlook))


def _first_safe(wall: Wall, course: Course, psi: float, limit_k: float, after_c: float, from_h: float) -> float | None:
    begin = course.hour_of(psi)
    if begin is None:
        return None
    for hour in range(int(np.ceil(max(begin, from_h))), wall.hours - 24 + 1, TRY_EVERY_H):
        if drop_after(wall, course.history, hour, after_c=after_c) <= limit_k:
            return float(hour)
    return None


def drop_after(wall: Wall, history: History, hour: int, hours: int = 24, after_c: float = 0.0) -> float:
    """How far the coldest corner cools [K] in the hours after covers and heat are taken off at an hour, in air that is
    ``after_c`` warmer from then on than the wall's."""
    bare = replace(
        wall,
        air_c=wall.air_c + after_c,
        covers=tuple(replace(c, until_h=min(c.until_h, hour)) for c in wall.covers),
        warming=tuple(replace(w, until_h=min(w.until_h, hour)) for w in wall.warming),
    )
    begin = State(history.temperature_c[hour], history.age_h[hour])
    after = simulate(bare.body(), begin, hours, np.arange(hours + 1, dtype=np.float64), float(hour))
    air = bare.air_c[hour : hour + hours + 1]
    factor = corner_factor(wall.foam_m, wall.core_m)
    corner = cornered_c(after, air, np.full_like(air, air.mean()), factor)
    return float(corner_c(history, wall)[hour] - corner[1:].min())


# -- words --------------------------------------------------------------------------------------------
def spoken_days(hours: float) -> str:
    """'after 14 h', 'after 3.2 days'."""
    return f"after {hours:.0f} h" if hours < 48 else f"after {hours / 24:.1f} days"


def spoken_range(low: float | None, likely: float | None, high: float | None, known_h: int) -> str:
    """'likely after 3.2 days (after 2.1 days to after 5.0 days)'; where one is missing, that is said."""
    never = f"not within the {known_h / 24:.0f} days of weather looked at"
    if low is None:
        return f"is {never}, even if all goes well" if likely is None else never
    if likely is None:
        return f"is likely {never}; at best {spoken_days(low)}"
    worst = never if high is None else spoken_days(high)
    return f"likely {spoken_days(likely)} (at best {spoken_days(low)}, at worst {worst})"


def _frozen_early(outlook: Outlook) -> tuple[Problem, ...]:
    """Concrete that freezes before 500 psi may be lost: told where it happens likely, or in the cold run."""
    for course, how, severity in (
        (outlook.likely, "likely freezes", Severity.ENGINEER),
        (outlook.cold, "freezes, if it gets as cold as it may,", Severity.WARNING),
    ):
        green = course.freezes_green(FREEZE_ONCE_PSI)
        if green is not None:
            said = (
                f"{green[0]} {how} {spoken_days(green[1])}, before it has {FREEZE_ONCE_PSI:.0f} psi: protect it better."
            )
            return (Problem(severity, said),)
    return ()


def _answer(
    outlook: Outlook,
    question: str,
    found: tuple[float | None, float | None, float | None],
    words: str,
    sources: tuple[Source, ...],
    problems: tuple[Problem, ...],
) -> Answer:
    wall, curve = outlook.wall, outlook.wall.curve
    readings = outlook.readings
    inputs = (
        ("wall", f"core {inch_text(wall.core_m / M_PER_IN)}, foam {inch_text(wall.foam_m / M_PER_IN)} each side"),
        ("placed at", f"{wall.placed_c * 1.8 + 32:.0f} °F"),
        ("air", f"{wall.air_source}: {(wall.air_c.min()) * 1.8 + 32:.0f} to {wall.air_c.max() * 1.8 + 32:.0f} °F"),
        ("cement", f"{wall.mix.binder_kg / KG_M3_PER_LB_YD3:.0f} lb in a yard, water by cement "
                   f"{wall.mix.water_kg / wall.mix.binder_kg:.2f}"),
        ("covers", _covers(wall)), ("curve", curve.name),
        ("spread", f"{outlook.spread.words}, curve ±{curve.spread:.0%}"),
        ("readings", "none" if readings is None else f"{len(readings.hours)}, {readings.source}"),
    )  # fmt: skip
    limits = (
        f"Corners by a factor of {corner_factor(wall.foam_m, wall.core_m):.2f} and what two faces lose; no sun, rain "
        "or cold sky.",
        "The top of the wall is not in it: nothing was said of its covers."
        if wall.top_covers is None
        else "The top of the wall is judged for freezing only, by the product of two runs.",
        "No strength is counted while it is below freezing. Admixtures that speed or slow the mix are not in it.",
        *((f"Strength curve: {curve.note}",) if curve.note else ()),
    )
    age = C1074 if curve.age_rule is equivalent_age else MODEL_CODE_AGE
    every = (REGRESSIONS, FILM, EDGE_SHAPE, PRODUCT, age, curve.source, *sources)
    return Answer(question, *found, "h", words, inputs, MODEL, every, limits, problems)


def _covers(wall: Wall) -> str:
    said = [f"R {c.r_m2k_w / R_US:.1f} from {c.from_h:g} to {c.until_h:g} h" for c in wall.covers]
    said += [f"air kept at {w.to_c * 1.8 + 32:.0f} °F from {w.from_h:g} to {w.until_h:g} h" for w in wall.warming]
    return ", ".join(said) or "none but the forms"
